"""Outlets in or at whose body a picture, a shading or a patch of hatch lies: it may be the mark of another symbol.

The dark half of a GFCI receptacle, painted as a shading, is no paint to the search, which takes the plain one for
drawn there.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.model import FloatArray, Sheet, Symbol
from cordpath.symbols.matching.paint import SPECK, UNEXPECTED

BY = 2.0  # pt from a symbol to a mark that stands apart from it: half the radius of a small circle
WHY = "a picture, a shading or a pattern in or at it was not read, and may be a mark of another symbol"
SLACK = 0.5  # pt by which a mark in a body reaches over its outline: half of a broad pen


def doubted_in_part(symbols: tuple[Symbol, ...], sheet: Sheet) -> tuple[Symbol, ...]:
    """The symbols; outlets that have too much in them that was not read are not found for certain."""
    asked = [k for k, symbol in enumerate(symbols) if symbol.found and symbol.is_outlet]
    if not asked or not sheet.unread_areas:
        return symbols
    areas = shapely.box(*np.array(sheet.unread_areas).T)
    bodies = np.array([symbols[k].footprint for k in asked], object)
    body, area = shapely.STRtree(areas).query(bodies, predicate="dwithin", distance=BY)
    size = shapely.area(bodies)[body]
    share = shapely.area(shapely.intersection(bodies[body], areas[area])) / size
    within = shapely.contains(shapely.buffer(bodies[body], SLACK), areas[area])
    a_mark = (shapely.area(areas)[area] >= SPECK * size) & (_across(areas)[area] <= _across(bodies)[body])
    doubtful = {asked[k] for k in body[a_mark | (share >= np.where(within, SPECK, UNEXPECTED))].tolist()}
    return tuple(symbol.doubted(WHY) if k in doubtful else symbol for k, symbol in enumerate(symbols))


def _across(shapes: NDArray[np.object_]) -> FloatArray:
    """(n,) pt, the longer side of the box around each."""
    x0, y0, x1, y1 = shapely.bounds(shapes).T
    return np.maximum(x1 - x0, y1 - y0)

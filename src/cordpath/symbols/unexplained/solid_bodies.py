"""Solid boxes and triangles of a device's size on short stems, or half filled, that nothing explains.

A solid box alone is a post or a column, a solid triangle an arrowhead: its line comes to its base.  Of a device the
stem goes on from the triangle's tip, and from a box at a right angle (common practice, no source).  So it does of
outlined triangles that are as small as arrowheads.

Terms: *stem*, a line of which one end lies on the edge of the area, which points to its middle and ends near it.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.geometry import distances, from_the_top
from cordpath.model import BoolArray, Point, Sheet, Symbol, Unexplained
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.ink.row_fills import painted_by_rows
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.unexplained.circles import RADIUS
from cordpath.symbols.unexplained.closed_bodies import (
    EDGE,
    FULL,
    Shapes,
    filled,
    heads,
    on_stems,
    painted_share,
    sides,
    three_sided,
)
from cordpath.symbols.unexplained.left_ink import accounted
from cordpath.symbols.unexplained.unexplained import Left, times_drawn

SMALLEST = 5.0  # pt across: smaller solid shapes are arrowheads, dots and letters
SLENDER = 1.4  # times as long as wide: solid ends of walls and arrowheads of most offices are longer
HALF = 0.3, 0.7  # of a triangle that is painted: an arrowhead is solid, or empty


def told_solid(
    left: Left, ink: Ink, paint: Paint, sheet: Sheet, symbols: tuple[Symbol, ...], known: list[Point]
) -> tuple[Unexplained, ...]:
    """What to say of those that are not told yet; ``known``: places of what is."""
    rows = np.array(painted_by_rows(ink.xy[: ink.count], 2 * RADIUS[1]), dtype=object)
    painted = np.r_[paint.shapes, rows]
    solid = _sized(np.r_[painted, left.outlines[heads(left.outlines)]])
    middle = shapely.get_coordinates(shapely.centroid(solid))
    free = ~accounted(middle, sheet, symbols) & ~left.in_building(shapely.bounds(solid).reshape(-1, 4))
    free &= distances(middle, known) > RADIUS[1]
    solid, middle = solid[free], middle[free]
    at = from_the_top(middle[on_stems(solid, ink, tips=three_sided(solid)) | _half(solid, painted)])
    kinds = "a solid shape or a triangle on a stem, or one half filled"
    what = f"{kinds}, drawn {times_drawn(len(at))}, that the mapping file does not name"
    return (Unexplained(what, at),) if at else ()


def _sized(shape: Shapes) -> Shapes:
    """Those with the size of a device that are about as long as wide, and fill a rectangle or a triangle."""
    box = shapely.bounds(shape).reshape(-1, 4)
    most = (box[:, 2:] - box[:, :2]).max(axis=1)
    shape = shape[(most >= SMALLEST) & (most <= 2 * RADIUS[1])]
    around = sides(shape)
    fit = (around.min(axis=1) >= SMALLEST) & (around.max(axis=1) <= SLENDER * around.min(axis=1))
    return shape[fit & ((filled(shape) >= FULL) | three_sided(shape))]


def _half(shape: Shapes, painted: Shapes) -> BoolArray:
    """(n,) triangles of which about a half is painted."""
    part = painted_share(shape, EDGE, shapely.STRtree(painted), shapely.area(painted))
    return np.asarray(three_sided(shape) & (part >= HALF[0]) & (part <= HALF[1]), bool)

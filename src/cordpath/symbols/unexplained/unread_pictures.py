"""Pictures of a symbol's size that were not read: a symbol or a label may be one, and each is told with its place.

What is told of the sheet as a whole names the first few only.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import Sheet, Symbol, Unexplained
from cordpath.symbols.unexplained.likely import LARGEST

NEAR = 1.0  # pt between a picture's box and the middle of the pictures that touch it: they are told as one
TOUCHING = 1.0  # pt between a bar and a symbol: rounding, and half of a broad pen
PAIR = 2  # bars: a single one may be a wall's or a letter's


def told_pictures(sheet: Sheet, symbols: Iterable[Symbol]) -> tuple[Unexplained, ...]:
    """The small pictures of the drawings, but those in an outlet: one that has such a part asks by itself."""
    if not sheet.unread_at or not sheet.unread_areas:
        return ()
    middles = shapely.points(np.array(sheet.unread_at))
    areas = shapely.STRtree(shapely.box(*np.array(sheet.unread_areas).T))
    found = np.unique(areas.query(middles, predicate="dwithin", distance=NEAR)[0])
    known = [symbol.footprint for symbol in symbols if symbol.is_outlet]
    of_outlets = shapely.STRtree(known).query(middles[found], predicate="within")[0]
    at = tuple(sheet.unread_at[k] for k in np.delete(found, of_outlets))
    if not at:
        return ()
    count = "a picture" if len(at) == 1 else f"{len(at)} pictures"
    return (Unexplained(f"{count} of the size of a symbol or a label, not read", at),)


def told_bars(sheet: Sheet, symbols: Iterable[Symbol]) -> tuple[Unexplained, ...]:
    """Symbols of the plan that are no outlets, with filled bars at them that are none of theirs: a circle with two
    bars is a receptacle, though its bars be areas."""
    bars = sheet.bars[geometry.lengths(sheet.bars) <= LARGEST]
    others = [symbol for symbol in symbols if not symbol.is_outlet and symbol.view is not None]
    if not len(bars) or not others:
        return ()
    body = np.array([symbol.footprint for symbol in others], object)
    bar, at = shapely.STRtree(body).query(geometry.lines(bars), predicate="dwithin", distance=TOUCHING)
    beside = ~shapely.intersects(body[at], shapely.points(geometry.midpoints(bars)[bar]))
    found = np.flatnonzero(np.bincount(at[beside], minlength=len(body)) >= PAIR)
    if not len(found):
        return ()
    count = "a symbol" if len(found) == 1 else f"{len(found)} symbols"
    at = tuple(others[k].at for k in found.tolist())
    return (Unexplained(f"{count} and filled bars beside, which may be outlets together", at),)

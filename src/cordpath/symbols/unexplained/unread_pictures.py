"""Pictures of a symbol's size that were not read: a symbol or a label may be one, and each is told with its place.

What is told of the sheet as a whole names the first few only.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely

from cordpath.model import Sheet, Symbol, Unexplained

NEAR = 1.0  # pt between a picture's box and the middle of the pictures that touch it: they are told as one


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

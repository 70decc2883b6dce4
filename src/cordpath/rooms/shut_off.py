"""Kinds of rooms that are never open to each other: where two come out as one space, a wall was not recognised.

Terms: *astray*, the name of a room that came out in one space with a room it is never open to, or outdoors: walls
between them were not recognised.  *Wet*, the place of a water closet, tub or shower: it tells of a bathroom as a
name does, where the bathroom has none.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.model import TUB_KINDS, FloatArray, RoomKind, Symbol
from cordpath.rooms.building import Building

# Kinds that have walls all round, and kinds they are not open to (common practice, no source).
SHUT: frozenset[RoomKind] = frozenset({"bathroom", "garage", "bedroom"})
BESIDE: frozenset[RoomKind] = frozenset(
    {"bathroom", "garage", "bedroom", "kitchen", "dining", "living", "hall", "laundry"}
)
NEVER: dict[RoomKind, frozenset[RoomKind]] = {
    "bathroom": frozenset({"kitchen", "dining", "living", "garage"}),
    "garage": frozenset({"kitchen", "dining", "living", "bedroom", "hall", "bathroom"}),
}
# Kinds that houses have in one space without a wall, and that no rule tells apart.
OPEN: frozenset[RoomKind] = frozenset({"dining", "living", "hall"})
OPEN_CONFIDENCE = 0.85  # of a room in which names of others of them stand: none of them changes a verdict
Kinds = tuple[RoomKind | None, ...]


def astray(building: Building, seeds: FloatArray, kinds: Kinds) -> int:
    """How many names stand in a space that walls would not leave so.  ``kinds`` (s,) of the names at ``seeds``."""
    spaces, _ = building.divide(seeds, split=False)
    held: set[int] = set()
    lost: set[int] = set()
    for space in spaces:
        held.update(space.seeds)
        others = (*space.seeds, *space.open_with, *space.wide_with)
        for k in space.seeds:
            if space.reaches_frame or any(odd(kinds[k], kinds[o]) for o in others if o != k):
                lost.add(k)
    lost.update(set(range(len(seeds))) - held)
    return sum(kinds[k] not in (None, "outdoors") for k in lost)


def wet_places(symbols: tuple[Symbol, ...]) -> FloatArray:
    """(w, 2) where water closets, tubs and showers stand that were surely found."""
    wet = [s.at for s in symbols if s.found and (s.kind == "water closet" or s.kind in TUB_KINDS)]
    return np.array(wet, float).reshape(-1, 2)


def bared(building: Building, seeds: FloatArray, kinds: Kinds, wet: FloatArray) -> int:
    """How many of the wet places stand in one space with a kitchen, a living room or a garage."""
    if not len(wet):
        return 0
    spaces, _ = building.divide(seeds, split=False)
    never = NEVER["bathroom"]
    open_ = [s.polygon for s in spaces if any(kinds[k] in never for k in (*s.seeds, *s.open_with))]
    if not open_:
        return 0
    return int(shapely.intersects_xy(shapely.union_all(open_), wet[:, 0], wet[:, 1]).sum())


def odd(one: RoomKind | None, other: RoomKind | None) -> bool:
    """Are these never open to each other?"""
    return (one in SHUT and other in BESIDE) or (other in SHUT and one in BESIDE)


def never_open(one: RoomKind, other: RoomKind) -> bool:
    """Is there no house in which these share a space?  A bath open to its bedroom, or to a hall of its own, is."""
    return other in NEVER.get(one, ()) or one in NEVER.get(other, ())

"""What lies beyond a doorway without a leaf: whether a name holds there too.

Names of an open plan share its ground by a guess; where doorways alone lead from one to the other they have ground
of their own, however the triangles of the free space lay in the doorway beside a short piece of wall.

The ways between spaces are read from their widths, and a wide doorway (cased opening) is no reason to keep a part
without a name by itself: a foyer belongs to its living room.  But a part in which another kind of room shows, as a
kitchen by its sink and range, must not make a kitchen of the living room; and what is no kitchen by name must not
become one beyond a doorway.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.model import Disputed, Room, RoomKind
from cordpath.rooms.building import Building
from cordpath.rooms.ink import polygons_only, union
from cordpath.rooms.names.kinds import Draft
from cordpath.rooms.openings.openings import CASED_FT, Closer
from cordpath.rooms.spaces.spaces import OPEN_FT, keeps
from cordpath.rooms.spaces.throats import POCKET_RATIO

Parts = list[tuple[Draft, Draft, BaseGeometry]]  # a nameless part, what bears the name, and the whole before

INSIDE = 0.8  # of a doorway's width that lies in the space it divides
OVER_IN = 1.5  # the cut goes into the walls on both sides
# A bathroom of a tub, a water closet and a basin is 5 ft by 7 ft or 8 ft; doorways are as wide as up to
# a pair of doors (common practice, no source).
ROOM_SQFT, ROOM_FT, DOORWAY_FT = 35.0, 4.5, 5.0
HALL_FT = 2.8  # as the narrowest hall of 3 ft may be drawn and measured
BESIDE_IN = 0.2  # between two rooms whose border is a guess
# Rooms that lie open to others, and that rules of their own hold for
WORKED_IN: frozenset[RoomKind] = frozenset({"kitchen", "food area", "laundry"})


def divide_at_doorways(drafts: list[Draft], building: Building) -> None:
    """Names of one open plan that doorways part from each other share no ground, in place."""
    by_seed = {d.seed: d for d in drafts if d.seed is not None and d.tag is not None}
    seen: set[int] = set()
    for draft in by_seed.values():
        group = [draft, *(by_seed[k] for k in draft.open_with if k in by_seed)]
        if len(group) < 2 or id(draft) in seen:
            continue
        seen |= {id(each) for each in group}
        space = polygons_only(shapely.union_all([d.polygon.buffer(0.1 * building.inch) for d in group]))
        cuts = [(c, cut) for c in _doorways(building) if (cut := _cut(space, c, building.inch)) is not None]
        parts = shapely.get_parts(polygons_only(space.difference(union([cut for _, cut in cuts]))))
        homes = [_home(each, parts) for each in group]
        if -1 in homes or len(set(homes)) < 2:
            continue
        named = parts[sorted(set(homes))]
        between = (doorway for doorway, cut in cuts if shapely.dwithin(named, cut, 0.2 * building.inch).sum() > 1)
        wide = any(doorway.width > OPEN_FT * 12 * building.inch for doorway in between)
        _give_out(group, homes, list(parts), wide)


def beyond_doorways(drafts: list[Draft], rooms: tuple[Room, ...], building: Building) -> tuple[Disputed, ...]:
    """Ground of a name in an open plan that lies beyond a doorway from it, and beside ground of another name: there
    are wider ways round, so that the doorway parts no names, but it may well be the other's.

    ``rooms`` have the drafts' polygons.
    """
    ids = {id(room.polygon): room.id for room in rooms}
    by_seed = {d.seed: d for d in drafts if d.seed is not None}
    found: list[Disputed] = []
    for draft in drafts:
        mates = [by_seed[k] for k in draft.open_with if k in by_seed]
        if draft.tag is None or draft.kind == "outdoors":
            continue
        name, mine = shapely.Point(draft.tag.at), ids[id(draft.polygon)]
        for doorway in _doorways(building):
            if (cut := _cut(draft.polygon, doorway, building.inch)) is None:
                continue
            parts = shapely.get_parts(polygons_only(draft.polygon.difference(cut)))
            for part in parts:
                if part.intersects(name) or not keeps(part, building.inch):
                    continue
                beside = [m for m in mates if m.polygon.distance(part) < BESIDE_IN * building.inch]
                found += [Disputed((mine, ids[id(m.polygon)]), part) for m in beside]
                if not beside and _is_a_room(part, doorway, draft.kind in WORKED_IN, building.inch):
                    found.append(Disputed((mine, None), part))
    return tuple(found)


def _is_a_room(part: BaseGeometry, doorway: Closer, worked_in: bool, inch: float) -> bool:
    """Is a nameless part as large as a room, and wider than the way to it?  An alcove is not, nor a hall's end; but
    a hall, however wide the way to it, is no part of a kitchen or a laundry (``worked_in``)."""
    foot = 12 * inch
    narrowest = HALL_FT * foot if worked_in else max(ROOM_FT * foot, doorway.width)
    large = part.area >= ROOM_SQFT * foot**2 and width_across(part) >= narrowest
    return bool(large and (worked_in or doorway.width <= DOORWAY_FT * foot))


def _home(draft: Draft, parts: NDArray[np.object_]) -> int:
    """The part in which the name stands; -1 for none."""
    assert draft.tag is not None
    inside = np.flatnonzero(shapely.intersects(parts, shapely.Point(draft.tag.at)))
    return int(inside[0]) if len(inside) else -1


def _give_out(group: list[Draft], homes: list[int], parts: list[BaseGeometry], wide: bool) -> None:
    """Every name has ground in the part that it stands in and in no other's; names of one part divide it as before,
    and the nearest of them takes what a name beyond the doorway had of it."""
    before = [draft.polygon for draft in group]
    for k, draft in enumerate(group):
        away = [i for i in range(len(group)) if homes[i] != homes[k]]
        foreign = union([before[i] for i in away]).intersection(parts[homes[k]])
        here = [i for i in range(len(group)) if homes[i] == homes[k]]
        gains = not foreign.is_empty and k == min(here, key=lambda i: float(before[i].distance(foreign)))
        mine = union([before[k], *shapely.get_parts(foreign)]) if gains else before[k]
        draft.polygon = polygons_only(mine.difference(union([parts[homes[i]] for i in away])))
        apart = {group[i].seed for i in away}
        draft.open_with = tuple(seed for seed in draft.open_with if seed not in apart)
        if wide:
            beyond = {seed for seed in apart if seed is not None}
            draft.wide_with = tuple(sorted({*draft.wide_with, *beyond}))


def _doorways(building: Building) -> list[Closer]:
    return [c for c in building.closers if c.kind == "cased" and c.width <= CASED_FT * 12 * building.inch]


def _cut(space: BaseGeometry, doorway: Closer, inch: float) -> BaseGeometry | None:
    """The doorway as a cut through a space; None where it does not lie in it."""
    a, b = doorway.chord
    if shapely.LineString([a, b]).intersection(space).length < INSIDE * doorway.width:
        return None
    over = (b - a) / max(doorway.width, 1e-9) * OVER_IN * inch
    return shapely.LineString([a - over, b + over]).buffer(0.1 * inch, cap_style="flat")


def part_beyond_doorways(drafts: list[Draft], building: Building) -> Parts:
    """Takes the parts beyond doorways out of the named drafts, in place; to be appended to the drafts."""
    found: Parts = []
    for draft in drafts:
        if draft.tag is None or draft.open_with:
            continue
        name = shapely.Point(draft.tag.at)
        for doorway in _doorways(building):
            parted = _parted(draft.polygon, doorway, name, building.inch)
            if parted is None:
                continue
            whole = draft.polygon
            draft.polygon, beyond = parted
            seed = () if draft.seed is None else (draft.seed,)
            part = Draft(beyond, None, None, confidence=draft.confidence, wide_with=seed)
            part.reasons += draft.reasons
            found.append((part, draft, whole))
    return found


def _parted(
    space: BaseGeometry, doorway: Closer, name: shapely.Point, inch: float
) -> tuple[BaseGeometry, BaseGeometry] | None:
    """The part with the name and the part beyond; None where the doorway divides nothing, or leads to an alcove."""
    cut = _cut(space, doorway, inch) if space.intersects(name) else None
    if cut is None:
        return None
    parts = shapely.get_parts(polygons_only(space.difference(cut)))
    here = [part for part in parts if part.intersects(name)]
    if len(here) != 1:
        return None
    others = [part for part in parts if part is not here[0] and keeps(part, inch)]
    narrower = min((width_across(part) for part in (here[0], *others)), default=0.0)
    if len(others) != 1 or doorway.width >= POCKET_RATIO * narrower:
        return None
    return here[0], others[0]


def width_across(part: BaseGeometry) -> float:
    """Across the largest circle in it."""
    return 2 * float(shapely.maximum_inscribed_circle(part, tolerance=0.02 * np.sqrt(part.area)).length)


def join_again(parts: Parts) -> list[Draft]:
    """The parts that stay by themselves; the others become one with what bears the name, in place.

    A part stays where fixtures tell another kind of room, or where the name would make a kitchen of it.
    """
    kept: list[Draft] = []
    for part, named, whole in reversed(parts):
        if part.kind == "unknown" and not part.holds and named.kind not in WORKED_IN:
            others = union([each.polygon for each in kept])
            named.polygon = polygons_only(whole.difference(others))
        else:
            kept.append(part)
    return kept

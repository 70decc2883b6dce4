"""Rooms that a symbol may stand in as well: beyond a guessed line of an open plan, or a line that may be a wall."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.model import Disputed, FloorPlan, Room
from cordpath.rooms.anchors import Anchor
from cordpath.rooms.names.stated import STATED

NO_WALL = "no wall divides"
VIRTUAL_IN = 18.0  # how near a guessed line of an open plan leaves the room open
STRICT_IN = 30.0  # the same towards a kitchen, laundry or bath, where a wrong guess would clear an outlet
# A kitchen reaches this far from its counters and appliances: an aisle of 4 ft, and the end of a wall beyond a
# refrigerator (common practice, no source)
AISLE_IN = 60.0
BLIND_IN = 72.0  # how near the guessed line is too near where no counter or appliance shows where the kitchen is
# What lies beyond the aisle and a table of a kitchen (common practice, no source), where it is as large as the
# least living room (IRC R304.1 to 2012, from memory), is perhaps a living area without a name.
BEYOND_IN, LIVING_SQFT = 120.0, 120.0
PLAIN_KINDS = frozenset({"dining", "living", "bedroom", "hall", "closet", "other"})
PARTS = frozenset({"closet", "utility", "other"})  # STORAGE, PANTRY, FURNACE: also written on a part of a room
# Places that walls shut off: a name within, with no wall between, may be one of a part of them.  DINING under the
# roof of a patio is outdoors, SITTING in a bath is bath.
ENCLOSED = frozenset({"garage", "accessory building", "basement", "crawl space", "bathroom", "outdoors"})
# MUD, DROP ZONE or HALL also name a part of a laundry or a kitchen, where they lie open along their length: a hall
# that ends in one, or has an alcove for the machines at its side, is a hall.
PASSED_THROUGH = frozenset({"laundry", "kitchen"})
# Of the root of a room's area, or of a hall's longest side: a longer line without a wall is no opening in one.
OPEN_SIDE = 0.5
TOUCHING_IN = 1.0  # between the two sides of a guessed line
COUNTER_TOUCH_IN = 3.0
FRONT_IN = (2.0, 1.0, 3.0, 5.0)  # how far off the wall the room is looked up


@dataclass(frozen=True, eq=False)
class Floor:
    """What all symbols of a view stand on.  ``faces``: walls and glass; ``shapes``: the rooms' polygons; ``works``:
    counters and what is cooked with, ``sure_works`` without what may be furniture; ``tall``: appliances that no
    countertop runs over."""

    plan: FloorPlan
    faces: BaseGeometry
    shapes: NDArray[np.object_]
    works: BaseGeometry
    sure_works: BaseGeometry
    tall: BaseGeometry
    inch: float


def cut_off(anchor: Anchor, room: Room, floor: Floor) -> bool:
    """Stands it beyond a line that receptacles stand along, away from its room's name?"""
    there = before(anchor, floor.inch)
    return any(each.works is None and each.area.intersects(there) for each in _nameless(room, floor))


def _nameless(room: Room, floor: Floor) -> list[Disputed]:
    return [each for each in floor.plan.disputed if each.rooms == (room.id, None)]


def _holds(disputed: Disputed, point: shapely.Point, floor: Floor) -> bool:
    works = disputed.works
    worked = works is not None and _in_aisle(works, point, floor.faces, floor.inch)
    return bool(disputed.area.intersects(point)) and not worked


def before(anchor: Anchor, inch: float) -> shapely.Point:
    """The place just before the anchor."""
    return shapely.Point(anchor.at if anchor.facing is None else anchor.at + anchor.facing * FRONT_IN[0] * inch)


def near_guess(anchor: Anchor, stood: Anchor, room: Room, floor: Floor) -> tuple[Room, ...]:
    """Rooms of another kind, beyond a guessed line, that it may stand in as well.

    ``stood``: where its body is, where no wall was found ahead.  Ground that a drawn line gives to another room is
    asked about there: the bars end at that line.  How near the guess is, is asked where the bars end: at an island.
    """
    point, body = before(anchor, floor.inch), before(stood, floor.inch)
    here = (each for each in floor.plan.disputed if each.rooms[0] == room.id)
    claimed = {each.rooms[1] for each in here if each.rooms[1] is not None and _holds(each, body, floor)}
    mates = (floor.plan.room(mate_id) for mate_id in dict.fromkeys((*room.open_to, *sorted(claimed))))
    return tuple(
        mate
        for mate in mates
        if mate is not None
        and mate.kind != room.kind
        and (mate.id in claimed or _may_be_in(mate, point, room, floor))
    )


def undivided(room: Room, mates: tuple[Room, ...]) -> str:
    others = " or ".join(f"{mate.name} ({mate.kind})" for mate in mates)
    which = "the two" if len(mates) == 1 else "these"
    return (f"{NO_WALL} {room.name} ({room.kind}) from {others} here: "
            f"which of {which} it stands in cannot be settled")  # fmt: skip


def _may_be_in(mate: Room, point: shapely.Point, room: Room, floor: Floor) -> bool:
    """May a symbol at ``point`` of ``room`` as well be in ``mate``, with which it shares a space?"""
    inch = floor.inch
    if _is_part(room, mate, inch):
        return True
    if room.kind not in PLAIN_KINDS or mate.kind in PLAIN_KINDS:
        near = _open_within(mate.polygon, point, floor.faces, VIRTUAL_IN * inch)
        return near or (room.kind == "kitchen" and _off_the_works(room, mate, point, floor))
    if _open_within(mate.polygon, point, floor.faces, STRICT_IN * inch):
        return True
    if mate.kind not in ("kitchen", "food area"):
        return False
    both = shapely.union_all([room.polygon, mate.polygon])
    shared = floor.works.intersection(both.buffer(COUNTER_TOUCH_IN * inch))
    if shared.is_empty:
        return bool(mate.polygon.distance(point) <= BLIND_IN * inch)
    return _in_aisle(shared, point, floor.faces, inch)


def _off_the_works(room: Room, mate: Room, point: shapely.Point, floor: Floor) -> bool:
    """Is ground of a kitchen so far from all of its counters and appliances that the guess may be as far off?"""
    both = shapely.union_all([room.polygon, mate.polygon])
    shared = floor.sure_works.intersection(both.buffer(COUNTER_TOUCH_IN * floor.inch))
    return not shared.is_empty and bool(shared.distance(point) > BLIND_IN * floor.inch)


def beside_no_name(anchor: Anchor, room: Room, floor: Floor) -> str | None:
    """Why ground of a room that no wall divides may be none of it: it lies round a corner, or far off its works."""
    point = before(anchor, floor.inch)
    if any(each.works is not None and _holds(each, point, floor) for each in _nameless(room, floor)):
        return (
            f"{NO_WALL} {room.name} from this ground, but its name and all that it is worked at are round a "
            "corner: it may be a hall or a living area without a name"
        )
    return _far_from_works(point, room, floor)


def _far_from_works(point: shapely.Point, room: Room, floor: Floor) -> str | None:
    """Why ground of a kitchen that shares its space with no other name may be none of the kitchen's."""
    if room.kind != "kitchen" or room.open_to or room.confidence >= STATED:
        return None
    inch = floor.inch
    mine = floor.sure_works.intersection(room.polygon.buffer(COUNTER_TOUCH_IN * inch))
    away = mine.distance(point) / inch
    if mine.is_empty or away <= BEYOND_IN:
        return None
    if room.polygon.difference(mine.buffer(BEYOND_IN * inch)).area < LIVING_SQFT * (12 * inch) ** 2:
        return None
    return (
        f"{NO_WALL} {room.name} from ground {away / 12:.0f} ft off all its counters and appliances, which may be a "
        "living area without a name"
    )


def _in_aisle(works: BaseGeometry, point: shapely.Point, faces: BaseGeometry, inch: float) -> bool:
    """Does an aisle lead from the works to the point: is any within its width in a line that no wall crosses?"""
    near = works.intersection(point.buffer(AISLE_IN * inch))
    if near.is_empty:
        return False
    nearest = shapely.get_coordinates(shapely.shortest_line(point, near))[1:]
    ends = np.r_[shapely.get_coordinates(near), nearest]
    starts = np.broadcast_to(shapely.get_coordinates(point), ends.shape)
    lines = shapely.linestrings(np.stack([starts, ends], 1))
    return bool((shapely.length(shapely.intersection(lines, faces)) <= TOUCHING_IN * inch).any())


def _is_part(room: Room, mate: Room, inch: float) -> bool:
    """Is the name of the room one of a part of its mate: a store in a garage, a pantry along a kitchen's wall?

    Wherever the line between them is guessed, what stands in the part stands in the whole.
    """
    part = room.kind in PARTS and mate.kind not in PLAIN_KINDS | PARTS
    through = room.kind == "hall" and mate.kind in PASSED_THROUGH
    if not part and not through and not (mate.kind in ENCLOSED and room.kind in PLAIN_KINDS):
        return False
    open_side = room.polygon.boundary.intersection(mate.polygon.buffer(TOUCHING_IN * inch))
    side = _longest_side(room.polygon) if through else np.sqrt(room.polygon.area)
    return bool(open_side.length >= OPEN_SIDE * side)


def _longest_side(area: BaseGeometry) -> float:
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(area))
    return float(np.hypot(*np.diff(corners, axis=0).T).max(initial=0.0))


def _open_within(area: BaseGeometry, point: shapely.Point, faces: BaseGeometry, reach: float) -> bool:
    """Is the area within reach of the point where no wall lies between?  Behind a wall of its own room an outlet is
    as near to the room on the other side as the wall is thick, however far away the two are open to each other."""
    if area.distance(point) > reach:
        return False
    free = point.buffer(reach).difference(faces)
    around = [part for part in shapely.get_parts(free) if part.intersects(point)]
    return not around or bool(around[0].intersects(area))

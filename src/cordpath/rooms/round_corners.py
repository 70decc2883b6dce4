"""Ground of a kitchen or a laundry round a corner from its name, and from all that it is worked at.

A hall whose mouth is as wide as itself, or the other leg of an L, has no doorway that parts it from the kitchen,
and perhaps no name: it came out as the kitchen's for certain.  The name holds for the leg that it stands in, and
the works for the ground before them; other legs are told as disputed, outlets there ask.

Terms: *mouth*, the shortest way straight on from the end of a wall, along it, to the wall ahead, that parts ground
from the name.  *Leg*, what lies beyond a mouth.  *Works*, as in ``works.py``.
"""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import Disputed, Room
from cordpath.rooms.beyond import DOORWAY_FT, HALL_FT, ROOM_SQFT, WORKED_IN, width_across
from cordpath.rooms.ink import polygons_only
from cordpath.rooms.names.kinds import Draft
from cordpath.rooms.throat_ground import EVEN_IN, JOIN_IN, MOST_ENDS, corners, holds_outlets
from cordpath.rooms.undivided import LIVING_SQFT

FACE_IN = 1.0  # off a face: what runs nearer to it runs along it
TURN = 0.1  # sine of 6 degrees: a wall that turns by less goes on


def beyond_corners(
    drafts: list[Draft], rooms: tuple[Room, ...], works: BaseGeometry, inch: float
) -> tuple[Disputed, ...]:
    """Legs of such rooms in which neither their name nor ``works`` stand.  An aisle of the works reaches into a leg
    with a wide mouth; a hall that runs past them is none.

    ``rooms`` have the drafts' polygons.
    """
    ids = {id(room.polygon): room.id for room in rooms}
    by_seed = {draft.seed: draft for draft in drafts if draft.seed is not None}
    found: list[Disputed] = []
    for draft in drafts:
        if draft.tag is None or draft.kind not in WORKED_IN:
            continue
        mates = [by_seed[k] for k in draft.open_with if k in by_seed]
        space = polygons_only(shapely.union_all([d.polygon.buffer(JOIN_IN * inch) for d in (draft, *mates)]))
        mine = works.intersection(space)
        for leg, mouth in _legs(space, shapely.Point(draft.tag.at), inch):
            ground = polygons_only(leg.intersection(draft.polygon))
            if leg.intersection(mine).area > FACE_IN * inch * leg.length or not holds_outlets(ground, inch):
                continue
            there = [m for m in mates if m.tag is not None and leg.intersects(shapely.Point(m.tag.at))]
            owner = ids.get(id(there[0].polygon)) if there else None
            aisles = mine if mouth > DOORWAY_FT * 12 * inch and draft.kind != "laundry" else shapely.Polygon()
            found.append(Disputed((ids[id(draft.polygon)], owner), ground, aisles))
    return tuple(found)


def _legs(space: BaseGeometry, name: shapely.Point, inch: float) -> list[tuple[BaseGeometry, float]]:
    """Legs as large as a room behind a mouth no wider than a doorway, or as a living room behind a wider one, with
    the widths of their mouths.

    The shortest mouth parts its leg first: what it leaves has fewer corners, and the walls of a hall do not divide
    the room that it comes from.
    """
    rest, found, foot = space.simplify(EVEN_IN * inch), list[tuple[BaseGeometry, float]](), 12 * inch
    while (parted := _parted(rest, name, inch)) is not None:
        rest, leg, mouth = parted
        least = ROOM_SQFT if mouth <= DOORWAY_FT * foot else LIVING_SQFT
        if leg.area >= least * foot**2 and width_across(leg) >= HALL_FT * foot:
            found.append((leg, mouth))
    return found


def _parted(
    space: BaseGeometry, name: shapely.Point, inch: float
) -> tuple[BaseGeometry, BaseGeometry, float] | None:
    """The ground with the name, what lies beyond the shortest mouth, and how wide that is."""
    for mouth in sorted(_mouths(space, inch), key=lambda line: line.length):
        parts = shapely.get_parts(polygons_only(space.difference(mouth.buffer(0.1 * inch, cap_style="flat"))))
        here = [part for part in parts if part.intersects(name)]
        others = [part for part in parts if not part.intersects(name) and part.area > inch**2]
        if here and others:
            return here[0], polygons_only(shapely.union_all(others)), mouth.length
    return None


def _mouths(space: BaseGeometry, inch: float) -> list[BaseGeometry]:
    """From every corner round which the space goes, straight on along both of its walls."""
    turns = [(at, on, back) for at, on, back in corners(space) if abs(on[0] * back[1] - on[1] * back[0]) > TURN]
    if len(turns) > MOST_ENDS:
        return []
    inner, reach = space.buffer(-FACE_IN * inch), space.length
    found: list[BaseGeometry] = []
    for at, way in ((at, way) for at, *ways in turns for way in ways):
        through = shapely.get_parts(shapely.LineString([at, at + reach * way]).intersection(inner))
        first = [part for part in through if part.distance(shapely.Point(at)) < 2 * FACE_IN * inch]
        if first:
            over = 1.5 * FACE_IN * inch * way
            found.append(shapely.LineString([at - over, shapely.get_coordinates(first[0])[-1] + over]))
    return found

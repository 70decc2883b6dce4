"""Which room every symbol stands in, and whether it serves a counter."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.model import POINTS_PER_INCH, Answer, FloatArray, FloorPlan, Room, Scale, Standing, Symbol
from cordpath.rooms.anchors import OFF_IN, Anchor, find_anchor
from cordpath.rooms.undivided import (
    AISLE_IN,
    BLIND_IN,
    COUNTER_TOUCH_IN,
    FRONT_IN,
    PLAIN_KINDS,
    Floor,
    beside_no_name,
    cut_off,
    near_guess,
    undivided,
)
from cordpath.rooms.works import sure_works, works_of

BESIDE_IN = 6.0  # a symbol in no room counts for the nearest one within this
# Bare studs are 3 1/2 in.; outer walls of studs with their finish 6 1/2 in. thick (common practice, no source).
THINNEST_IN, HALF_WALL_IN = 2.5, 3.25
BEFORE_IN = 12.0  # before a symbol, where somebody stands who uses it
CUT_IN = 6.0  # from a room to the match line that cuts it, and how long the cut is at least
CUT_OFF = (
    "a doorway, or a line that was not recognised as a wall, parts it from the room's name, and no name is on this "
    "side"
)
BEYOND = "the room goes on beyond a match line, and what is drawn there is not on this sheet"
# Farther off the building than this, as a name that names none of its rooms: porches and most decks are less deep.
FAR_OFF_IN = 96.0
FAR_OFF = "it stands far off the building: in the yard, or in another drawing, as an elevation beside the plan"
COUNTER_LABEL_IN = (36.0, 54.0)  # mounting heights of receptacles over a counter
TALL = frozenset({"refrigerator", "wall oven", "washer", "dryer", "water heater"})  # no countertop runs over them
BEHIND_IN = 4.0  # from an appliance to an outlet behind it: the wall's face or the glass of a window
COUNTER_CLEAR_IN = 6.0
FACE_IN = 1.0  # off the middle of a wall that is drawn as one line: half of a broad pen
APPLIANCES = frozenset({"range", "refrigerator", "dishwasher", "wall oven", "cooktop", "microwave", "disposer",
                        "washer", "dryer", "water heater"})  # fmt: skip


def stand(symbols: tuple[Symbol, ...], plan: FloorPlan, scale: Scale) -> tuple[Standing, ...]:
    """One standing a symbol, in the same order.

    The room is the one just in front of the anchor, off the wall's face on the side of the symbol's body.  A
    room that a guessed line could give to a neighbour of another kind keeps the room and says so in ``why``.
    """
    ratio = plan.guessed_ratio or scale.ratio
    if ratio is None or not plan.rooms:
        why = plan.why or "the view has no scale, and no rooms without one"
        return tuple(Standing(s.at, None, None, 0.0, Answer.UNKNOWN, why) for s in symbols)
    inch = POINTS_PER_INCH / ratio
    # A device below a window stands at the wall under the glass: its cord starts there, and not where the wall
    # beside the window begins.
    faces = shapely.union_all([plan.walls, plan.glazing])
    shapely.prepare(faces)
    shapes = np.array([r.polygon for r in plan.rooms], object)
    shapely.prepare(shapes)
    works = works_of(symbols, plan.counters)
    tall = shapely.union_all([s.footprint for s in symbols if s.kind in TALL and s.found])
    floor = Floor(plan, faces, shapes, works, sure_works(works, symbols, inch), tall, inch)
    return tuple(_standing(s, find_anchor(s, faces, inch), floor) for s in symbols)


def _standing(symbol: Symbol, anchor: Anchor, floor: Floor) -> Standing:
    plan, shapes, inch = floor.plan, floor.shapes, floor.inch
    anchor = _at_middle_line(anchor, floor.faces, inch)
    # where no wall was recognised ahead of it, it stands where its body is drawn, and not where its bars end
    stood = anchor if anchor.facing is not None else replace(anchor, at=np.array(symbol.at, float))
    room = _room(stood, plan, shapes, inch)
    why = anchor.why
    mates: tuple[Room, ...] = ()
    if anchor.why is not None:
        behind = _behind(anchor, plan, shapes, inch)
        # nothing is measured from either side: which one the cord starts at is not known
        anchor = Anchor(np.array(symbol.at, float), None, anchor.tolerance, anchor.why)
        if room is not None and behind is not None:
            alike = behind.kind == room.kind and behind.finished == room.finished
            why, mates = (None, ()) if alike else (why, (behind,))
    if room is None:
        why = why or "it stands in no room that was found"
    elif why is None and cut_off(stood, room, floor):
        why = CUT_OFF
    elif why is None and (
        mates := near_guess(anchor, stood, room, floor) or _body_elsewhere(symbol, anchor, room, floor)
    ):
        why = undivided(room, mates)
    elif why is None and (far := beside_no_name(stood, room, floor)):
        why = far
    elif why is None and _cut_nearby(anchor, room, plan, inch):
        why = BEYOND
    elif why is None and room.id.endswith(".out") and _far_off(anchor, floor):
        room, why = None, FAR_OFF
    facing = None if anchor.facing is None else (float(anchor.facing[0]), float(anchor.facing[1]))
    counter = _at_counter(symbol, anchor, room, plan, floor.tall, inch)
    place = (float(anchor.at[0]), float(anchor.at[1]))
    perhaps = tuple(mate.id for mate in mates)
    return Standing(place, facing, room.id if room else None, anchor.tolerance / (12 * inch), counter, why, perhaps)


def _at_middle_line(anchor: Anchor, faces: BaseGeometry, inch: float) -> Anchor:
    """The anchor; in more doubt at a wall that is drawn as one line, or at a window in it: its face lies half its
    thickness off."""
    if anchor.facing is None or faces.is_empty:
        return anchor
    inward = shapely.LineString([anchor.at, anchor.at - anchor.facing * THINNEST_IN * inch])
    deep = float(inward.intersection(faces).length)
    if not 0 < deep < 0.95 * THINNEST_IN * inch:
        return anchor
    return replace(anchor, tolerance=anchor.tolerance + HALF_WALL_IN * inch - deep / 2)


def _body_elsewhere(symbol: Symbol, anchor: Anchor, room: Room, floor: Floor) -> tuple[Room, ...]:
    """Rooms of another kind that its middle stands in, or the end of its bars or the ground before it where the
    wall that it points to was not recognised: the line between these rooms is a guess there."""
    at = np.array(symbol.at, float)
    places = [at, anchor.at] if anchor.facing is None else [at]
    if anchor.facing is None and symbol.wall_direction is not None:
        places.append(at - np.array(symbol.wall_direction, float) * BEFORE_IN * floor.inch)
    found = [_lookup(place, floor.plan, floor.shapes) for place in places]
    others = {each.id: each for each in found if each is not None}
    return tuple(o for o in others.values() if (o.kind, o.finished) != (room.kind, room.finished))


def _cut_nearby(anchor: Anchor, room: Room, plan: FloorPlan, inch: float) -> bool:
    """Stands it in a part of a room beyond which another sheet goes on?  That may be the kitchen's side.

    A room whose name asks for protection already needs no other name.
    """
    if plan.match_lines is None or room.kind not in PLAIN_KINDS:
        return False
    beside = plan.match_lines.intersection(room.polygon.buffer(CUT_IN * inch))
    return bool(beside.length > CUT_IN * inch and beside.distance(shapely.Point(anchor.at)) <= BLIND_IN * inch)


def _far_off(anchor: Anchor, floor: Floor) -> bool:
    """Is it far from all walls and rooms of the building?"""
    inside = [k for k, room in enumerate(floor.plan.rooms) if not room.id.endswith(".out")]
    point = shapely.Point(anchor.at)
    away = [floor.faces.distance(point), *shapely.distance(floor.shapes[inside], point)]
    return bool(min(away) > FAR_OFF_IN * floor.inch)


def _lookup(point: FloatArray, plan: FloorPlan, shapes: NDArray[np.object_]) -> Room | None:
    inside = np.flatnonzero(shapely.intersects_xy(shapes, point[0], point[1]))
    if not len(inside):
        return None
    # a named room wins over the outdoors where both reach
    return min((plan.rooms[k] for k in inside), key=lambda r: (r.id.endswith(".out"), r.polygon.area))


def _room(anchor: Anchor, plan: FloorPlan, shapes: NDArray[np.object_], inch: float) -> Room | None:
    if anchor.facing is not None:
        for off in FRONT_IN:
            room = _lookup(anchor.at + anchor.facing * off * inch, plan, shapes)
            if room is not None:
                return room
        point = anchor.at + anchor.facing * FRONT_IN[0] * inch
    else:
        room = _lookup(anchor.at, plan, shapes)
        if room is not None:
            return room
        point = anchor.at
    away = shapely.distance(shapes, shapely.Point(point))
    best = int(np.argmin(away))
    return plan.rooms[best] if away[best] <= BESIDE_IN * inch else None


def _behind(anchor: Anchor, plan: FloorPlan, shapes: NDArray[np.object_], inch: float) -> Room | None:
    """The room on the other side of the wall."""
    if anchor.facing is None:
        return None
    places = (anchor.at - anchor.facing * off * inch for off in range(3, 18, 3))
    return next((room for place in places if (room := _lookup(place, plan, shapes)) is not None), None)


def _behind_appliance(anchor: Anchor, appliances: BaseGeometry, inch: float) -> bool:
    """Does it stand where a tall appliance does, as in a window behind a refrigerator?"""
    return (
        bool(appliances.dwithin(shapely.Point(anchor.at), BEHIND_IN * inch)) if not appliances.is_empty else False
    )


def _at_counter(
    symbol: Symbol, anchor: Anchor, room: Room | None, plan: FloorPlan, appliances: BaseGeometry, inch: float
) -> Answer:
    """Does it serve a countertop?  Unknown where a height that may not be its own would say otherwise."""
    heights = {symbol.fact("height_in"), symbol.fact("height_in_unsure") or symbol.fact("height_in")}
    answers = {_by_height(each, symbol, anchor, room, plan, appliances, inch) for each in heights}
    return answers.pop() if len(answers) == 1 else Answer.UNKNOWN


def _off(counters: BaseGeometry, anchor: Anchor, inch: float) -> float:
    """From an anchor to the counters on its side of the wall, up to an aisle off, pt; inf for none.  A wall that is
    drawn as one line has the next kitchen's counter right behind it."""
    here = shapely.Point(anchor.at)
    if anchor.facing is not None:
        near, far = (anchor.at + anchor.facing * off * inch for off in (FACE_IN, AISLE_IN))
        before = shapely.LineString([near, far]).buffer(AISLE_IN * inch, cap_style="flat")
        counters = counters.intersection(before)
    return float("inf") if counters.is_empty else float(counters.distance(here))


def _by_height(
    height: Any, symbol: Symbol, anchor: Anchor, room: Room | None, plan: FloorPlan, appliances: BaseGeometry,
    inch: float,
) -> Answer:  # fmt: skip
    if isinstance(height, int | float) and COUNTER_LABEL_IN[0] <= height <= COUNTER_LABEL_IN[1]:
        return Answer.YES
    if symbol.fact("serves") in APPLIANCES:
        return Answer.NO
    if isinstance(height, int | float) and height < 30:
        return Answer.NO
    if room is None:
        return Answer.UNKNOWN
    here = shapely.Point(anchor.at)
    if plan.counters is None or plan.counters.is_empty:
        return Answer.UNKNOWN
    away = _off(plan.counters, anchor, inch)
    touch = COUNTER_TOUCH_IN * inch + (anchor.tolerance if anchor.facing is None else 0.0)
    if away <= touch:
        return Answer.YES
    if plan.counters_doubtful is not None and _off(plan.counters_doubtful, anchor, inch) <= COUNTER_CLEAR_IN * inch:
        return Answer.UNKNOWN
    # Below a window no wall carries it, and it may be one in a counter that stops short of the glass.
    at_wall = anchor.facing is not None and plan.walls.dwithin(here, OFF_IN * inch)
    seated = at_wall or _behind_appliance(anchor, appliances, inch)
    if not seated or plan.guessed_ratio is not None:
        return Answer.UNKNOWN  # what it is mounted on was not told apart: island, pedestal or floor
    found_here = plan.counters.intersection(room.polygon.buffer(6 * inch)).area > 2 * 144 * inch**2
    return Answer.NO if found_here and away > COUNTER_CLEAR_IN * inch + anchor.tolerance else Answer.UNKNOWN

"""Open plans in which a drawn line divides otherwise than the guessed border.

A partition in a thin pen, the edge of another floor or a step is not recognised as a wall.  But where such a line
runs from wall to wall, and the kitchen's name stands on one side of it only, ground on that side which the guess
gave to the next room may be the kitchen's.  That ground is called *disputed*: the room keeps it, and outlets there
are questions.

A room in which receptacles stand along such a line, or that such a line divides wholly into two parts with doors
of their own, was found too large: its part beyond the line, as seen from its name, is *cut off*, and it stays open
which room it belongs to.

Terms: *divider*, a line drawn over a good part of the way from wall to wall, with no gap wider than a doorway.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import lines
from cordpath.model import Disputed, FloatArray, Room, Symbol
from cordpath.rooms.beyond import beyond_doorways
from cordpath.rooms.building import Building
from cordpath.rooms.counters import joined_lines, within
from cordpath.rooms.ink import Ink, make_ink, polygons_only
from cordpath.rooms.names.kinds import Draft
from cordpath.rooms.openings.openings import CASED_FT
from cordpath.rooms.throat_ground import beyond_throats, holds_outlets
from cordpath.rooms.undivided import PLAIN_KINDS
from cordpath.rooms.walls.bands import merge_runs

Dispute = tuple[Draft, Draft, BaseGeometry]  # whose ground it is by the guess, whose it may be, and where

# Of a line that may be a piece of a partition; beside a door in a narrow room, where receptacles stand along it
LEAST_FT, BESIDE_A_DOOR_FT = 3.0, 1.0
DRAWN = 0.4  # of the way from wall to wall is drawn; a partition with a wide doorway has as much
WHOLLY = 0.9  # of it is drawn where no doorway is in the line: at its ends a line may miss the walls by inches
LEVEL_IN = 1.5  # pieces of one line lie this near to its axis
ALONG_IN = 1.0  # from a face: what runs nearer to it runs along it
PARALLEL = 0.999  # cosine of 2.5 degrees
MOST_LINES = 200  # of one open plan, longest first; more are a pattern
AT_LINE_IN, AT_LINE_PT = 4.0, 5.0  # from the body of a receptacle to the line that it stands at: real, or on paper
ACROSS = 0.9  # cosine: a receptacle's wall runs across the way that it faces
DASH_GAP_IN = 8.0  # between two dashes of one line
OUT_OF_HOUSE_IN = 24.0  # past the outermost walls: a line that runs out there is an axis of the grid, no wall
PEN = 0.3  # of the pen of the walls: finer lines are of dimensions, axes, floors and furniture (a real plan; ours)
BESIDE_IN = 8.0  # from a part of a room to the middle line of a doorway in its wall
LEAST_ACROSS_FT = 3.0  # of what is cut off: less is the top of a counter


def disputed_grounds(
    drafts: list[Draft], rooms: tuple[Room, ...], symbols: tuple[Symbol, ...], every: Ink, walls: BaseGeometry,
    building: Building,
) -> tuple[Disputed, ...]:  # fmt: skip
    """All that drawn lines, narrow ways and doorways tell against the rooms as they were found; ``rooms`` have the
    drafts' polygons, ``every`` is the ink of the walls too."""
    inch, used = building.inch, building.walls.used
    ink, pen = every.take(~used), float(np.median(every.width[used])) if used.any() else 0.0
    ids = {id(room.polygon): room.id for room in rooms}
    shared = [
        Disputed((ids[id(draft.polygon)], ids[id(mate.polygon)]), ground)
        for draft, mate, ground in disputes(drafts, ink, inch)
    ]
    alone = [
        *cut_off_by_receptacles(drafts, symbols, ink, walls, inch),
        *cut_in_two(drafts, ink.take(ink.width >= PEN * pen), building),
    ]
    narrow = (*beyond_throats(drafts, rooms, inch), *beyond_doorways(drafts, rooms, building))
    return (*shared, *narrow, *(Disputed((ids[id(draft.polygon)], None), ground) for draft, ground in alone))


def disputes(drafts: list[Draft], ink: Ink, inch: float) -> list[Dispute]:
    """Ground of plain rooms that a drawn line gives to a neighbour with rules of its own; ``ink`` without walls."""
    by_seed = {d.seed: d for d in drafts if d.seed is not None}
    found: list[Dispute] = []
    for draft in drafts:
        mates = [by_seed[k] for k in (*draft.open_with, *draft.wide_with) if k in by_seed]
        wanted = [m for m in mates if m.kind not in PLAIN_KINDS]
        if draft.kind not in PLAIN_KINDS or draft.tag is None or not wanted:
            continue
        space = polygons_only(shapely.union_all([d.polygon.buffer(0.1 * inch) for d in (draft, *mates)]))
        parts = _parts(space, ink, inch)
        own = shapely.Point(draft.tag.at)
        for mate in wanted:
            name = shapely.Point(mate.tag.at) if mate.tag is not None else own
            theirs = [part for part in parts if part.intersects(name) and not part.intersects(own)]
            ground = polygons_only(shapely.union_all(theirs).intersection(draft.polygon)) if theirs else None
            if ground is not None and holds_outlets(ground, inch):
                found.append((draft, mate, ground))
    return found


def cut_off_by_receptacles(
    drafts: list[Draft], symbols: tuple[Symbol, ...], ink: Ink, walls: BaseGeometry, inch: float
) -> list[tuple[Draft, BaseGeometry]]:
    """Ground of named rooms beyond a divider that receptacles stand along, where no wall was recognised."""
    loose = [
        s for s in symbols if s.is_outlet and s.found and s.wall_direction is not None and not _at(s, walls, inch)
    ]
    found: list[tuple[Draft, BaseGeometry]] = []
    for draft in drafts:
        mine = [s for s in loose if draft.polygon.intersects(shapely.Point(s.at))]
        if draft.tag is None or not mine:
            continue
        ways = [
            way
            for some in (ink, _of_dashes(ink, inch))
            for way in _dividers(draft.polygon, _cut_to(draft.polygon, some), inch, shortest=BESIDE_A_DOOR_FT)
        ]
        lines = [line for line in ways if any(_at(s, line, inch) for s in mine)]
        if not lines:
            continue
        parts = shapely.get_parts(draft.polygon.difference(shapely.union_all(lines).buffer(0.2 * inch)))
        name = shapely.Point(draft.tag.at)
        least = LEAST_ACROSS_FT / 2 * 12 * inch
        away = [part for part in parts if not part.intersects(name) and not part.buffer(-least).is_empty]
        if away and len(away) < len(parts):
            found.append((draft, polygons_only(shapely.union_all(away))))
    return found


def cut_in_two(drafts: list[Draft], ink: Ink, building: Building) -> list[tuple[Draft, BaseGeometry]]:
    """Ground of named rooms beyond a line that is drawn from wall to wall, with a door to either side of it: a wall
    of one line, or the edge of another floor, but no axis that runs on out of the house."""
    inch = building.inch
    house = building.hull.buffer(OUT_OF_HOUSE_IN * inch)
    inside = shapely.contains_xy(house, ink.xy[:, ::2].ravel(), ink.xy[:, 1::2].ravel()).reshape(-1, 2).all(axis=1)
    solid = ink.take(~ink.dashed & inside)
    least = LEAST_ACROSS_FT / 2 * 12 * inch
    doors = [shapely.Point(c.chord.mean(0)) for c in building.closers if c.kind != "glazing"]
    found: list[tuple[Draft, BaseGeometry]] = []
    for draft in drafts:
        if draft.tag is None or draft.kind == "outdoors" or len(doors) < 2:
            continue
        name, parts = shapely.Point(draft.tag.at), _parts(draft.polygon, solid, inch, WHOLLY)
        reach = [part.buffer(BESIDE_IN * inch) for part in parts]
        entered = [any(near.intersects(door) for door in doors) for near in reach]
        away = [
            part for part, door in zip(parts, entered, strict=True)
            if door and not part.intersects(name) and holds_outlets(part, inch) and not part.buffer(-least).is_empty
        ]  # fmt: skip
        here = any(door for part, door in zip(parts, entered, strict=True) if part.intersects(name))
        if away and here:
            found.append((draft, polygons_only(shapely.union_all(away))))
    return found


def _at(symbol: Symbol, line: BaseGeometry, inch: float) -> bool:
    """Does the symbol stand at the line, or the wall, as its bars point: ahead of it, and across its way?"""
    at, way = np.array(symbol.at, float), np.array(symbol.wall_direction, float)
    body = shapely.get_coordinates(symbol.footprint)
    reach = float(((body - at) @ way).max(initial=0.0)) + max(AT_LINE_IN * inch, AT_LINE_PT)
    if not shapely.LineString([at, at + way * reach]).intersects(line):
        return False
    ends = shapely.get_coordinates(line)
    if line.geom_type != "LineString":
        return True
    along = (ends[-1] - ends[0]) / max(float(np.hypot(*(ends[-1] - ends[0]))), 1e-9)
    return bool(abs(along[0] * way[1] - along[1] * way[0]) > ACROSS)


def _parts(space: BaseGeometry, ink: Ink, inch: float, least: float = DRAWN) -> list[BaseGeometry]:
    """The space cut along its dividers."""
    lines = _dividers(space, ink, inch, least)
    if not lines:
        return [space]
    return list(shapely.get_parts(space.difference(shapely.union_all(lines).buffer(0.2 * inch))))


def _cut_to(space: BaseGeometry, ink: Ink) -> Ink:
    """What of the strokes lies in a space: a partition goes on along the next room."""
    shapes = lines(ink.xy)
    shapely.prepare(space)
    hit = np.flatnonzero(shapely.intersects(space, shapes))
    parts, index = shapely.get_parts(shapely.intersection(shapes[hit], space), return_index=True)
    straight = shapely.get_type_id(parts) == 1
    parts, mine = parts[straight], ink.take(hit[index[straight]])
    ends = np.concatenate([shapely.get_coordinates(shapely.get_point(parts, k)) for k in (0, -1)], axis=1)
    return make_ink(ends, mine.width, mine.luminance, mine.layer, mine.order, mine.dashed)


def _of_dashes(ink: Ink, inch: float) -> Ink:
    """Lines of dashes as lines: beams and what comes down are drawn so, but nobody mounts a receptacle at them."""
    dashes = ink.take(ink.dashed & (ink.length > 0.5 * inch))
    if len(dashes) < 2:
        return dashes
    xy, _ = merge_runs(dashes.xy, dashes.unit, DASH_GAP_IN * inch)
    n = len(xy)
    return make_ink(xy, np.zeros(n), np.zeros(n), np.full(n, -1), np.zeros(n, np.int64), np.zeros(n, bool))


def _dividers(
    space: BaseGeometry, ink: Ink, inch: float, least: float = DRAWN, shortest: float = LEAST_FT
) -> list[BaseGeometry]:
    drawn = joined_lines(within(ink, space), inch)
    drawn = drawn.take(drawn.length > 6 * inch)
    x0, y0, x1, y1 = space.bounds
    far = float(np.hypot(x1 - x0, y1 - y0))
    inner = space.buffer(-ALONG_IN * inch)  # on the axis of a line its wall may go on, and its face is no way
    found: list[BaseGeometry] = []
    for k in np.argsort(-drawn.length, kind="stable")[:MOST_LINES]:
        if drawn.length[k] < shortest * 12 * inch:
            break
        middle, unit = (drawn.xy[k, :2] + drawn.xy[k, 2:]) / 2, drawn.unit[k]
        through = shapely.LineString([middle - far * unit, middle + far * unit]).intersection(inner)
        own = shapely.LineString(drawn.xy[k].reshape(2, 2))
        for way in shapely.get_parts(through):  # more than one, where another wall ends at the line
            if not way.distance(own) < 0.5 * inch:
                continue
            ends = shapely.get_coordinates(way)[[0, -1]]
            if _is_drawn(ends, drawn, inch, least):
                over = (ends[1] - ends[0]) / max(way.length, 1e-9) * 1.5 * ALONG_IN * inch
                found.append(shapely.LineString([ends[0] - over, ends[1] + over]))
    return found


def _is_drawn(way: FloatArray, drawn: Ink, inch: float, least: float) -> bool:
    """Do lines on its axis cover a good part of the way, with no gap wider than a doorway?"""
    length = float(np.hypot(*(way[1] - way[0])))
    unit = (way[1] - way[0]) / max(length, 1e-9)
    ends = drawn.xy.reshape(-1, 2, 2) - way[0]
    aside = np.abs(ends[..., 0] * unit[1] - ends[..., 1] * unit[0]).max(1)
    mine = (aside < LEVEL_IN * inch) & (np.abs(drawn.unit @ unit) > PARALLEL)
    along = np.clip(np.sort(ends[mine] @ unit, axis=1), 0, length)
    along = along[np.argsort(along[:, 0])]
    reached = np.maximum.accumulate(np.r_[0.0, along[:, 1]])
    gaps = np.maximum(np.r_[along[:, 0], length] - reached, 0.0)
    return bool(1 - gaps.sum() / max(length, 1e-9) >= least and gaps.max() <= CASED_FT * 12 * inch)

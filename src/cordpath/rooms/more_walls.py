"""Rooms that there would be if more of the drawing were walls.

The walls of a building are taken from the way that most of them are drawn in.  Where one room has walls of
another pen, grey ones or a pale fill, it comes out as a part of the room beside it, and a garage or a bath without
a name as living room.  Whatever else looks like walls is therefore looked through once more: ground that such
walls shut off from the name of a room is told as *disputed*.  Nothing is taken away, outlets there ask.

Terms: *loose*, of such walls: those that hang together with none of the walls found.  Furniture stands by itself.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import Disputed, FloatArray, Room
from cordpath.rooms.building import Building, raise_building
from cordpath.rooms.ink import Evidence, polygons_only, union
from cordpath.rooms.loose_doors import LEAST_ACROSS_FT
from cordpath.rooms.names.kinds import Draft
from cordpath.rooms.openings.arcs import Swing
from cordpath.rooms.spaces.spaces import Space
from cordpath.rooms.walls.bands import groups
from cordpath.rooms.walls.routes import DARK
from cordpath.rooms.walls.together import EVERY, LINED, with_more
from cordpath.rooms.walls.walls import SCREENED, Walls

TOUCH_IN, WITHIN_IN = 3.0, 0.6  # walls that meet end this near to each other; rounding and half a pen
# Off the line from the hinge to the end of a swing, and off what it sweeps: leaves are 1 3/8 and 1 3/4 thick.
LEAF_IN = 2.5
ARC_CHORDS = 16  # of a quarter circle of 4 ft: the arc lies within 0.1 in of them
BESIDE_IN = 8.0  # from a room to the middle line of a doorway in its wall
LEAST_SQFT = 20.0  # of a room: a closet or a counter that lines shut off in a room of its own is less


def beyond_more_walls(
    drafts: list[Draft], rooms: tuple[Room, ...], building: Building, ev: Evidence, seeds: FloatArray
) -> tuple[Disputed, ...]:
    """Ground of named rooms that further walls would shut off from every name, or give to another name.

    ``rooms`` have the drafts' polygons; ``seeds`` (s, 2) the places of the names.
    """
    wanted = [d for d in drafts if d.tag is not None and d.kind != "outdoors"]
    if not wanted:
        return ()
    ids = {id(room.polygon): room.id for room in rooms}
    by_seed = {d.seed: ids[id(d.polygon)] for d in drafts if d.seed is not None}
    shade = ev.ink.luminance
    dark = np.where(shade < SCREENED, shade * (DARK / SCREENED), shade)
    every = replace(ev, ink=replace(ev.ink, luminance=dark))
    found: list[Disputed] = []
    # where one line is a wall, other walls are one line of another pen
    ways = EVERY if building.walls.route == "single" else LINED
    for walls in with_more(building.walls, every, ways):
        more = raise_building(_without_loose(walls, building), every, seeds)
        if more is None:
            continue
        spaces, _ = more.divide(seeds)
        for draft in wanted:
            others = [space for space in spaces if not _is_open_to(space, draft) and _has_a_way_in(space, more)]
            grounds = [_room_like(space.polygon, draft.polygon, building.inch) for space in others]
            found += [
                Disputed((ids[id(draft.polygon)], by_seed.get(space.seeds[0]) if space.seeds else None), ground)
                for space, ground in zip(others, grounds, strict=True)
                if ground is not None
            ]
    return tuple(found)


def _without_loose(walls: Walls, building: Building) -> Walls:
    """The walls without doors and their sweeps, nor those that touch neither walls found nor others that do."""
    inch = building.inch
    known = building.barrier.buffer(WITHIN_IN * inch)
    leaves = _leaves(building).difference(known)
    parts = shapely.get_parts(polygons_only(walls.healed.difference(union([known, leaves]))))
    if not len(parts):
        return walls
    every = np.append(parts, building.barrier)
    group = groups(every, TOUCH_IN * inch)
    gone = union([leaves, union(parts[group[:-1] != group[-1]]).buffer(WITHIN_IN * inch)])
    bands = shapely.polygons(walls.bands) if len(walls.bands) else np.zeros(0, object)
    kept = ~shapely.covers(gone, bands) if len(bands) else np.zeros(0, bool)
    exact, healed = (polygons_only(shape.difference(gone)) for shape in (walls.exact, walls.healed))
    return replace(walls, exact=exact, healed=healed, bands=walls.bands[kept])


def _leaves(building: Building) -> BaseGeometry:
    """Where doors and their sweeps may be drawn: in two lines they look like short walls."""
    rounds = [_outline(swing) for swing in building.swings]
    return union([line.buffer(LEAF_IN * building.inch, join_style="mitre") for line in rounds])


def _outline(swing: Swing) -> BaseGeometry:
    """The leaf open and shut, and what its edge sweeps, as one closed line."""
    off = swing.ends - swing.hinge
    first = float(np.arctan2(off[0, 1], off[0, 0]))
    turn = float(np.arctan2(off[0, 0] * off[1, 1] - off[0, 1] * off[1, 0], off[0] @ off[1]))
    angles = first + turn * np.linspace(0, 1, ARC_CHORDS + 1)
    arc = swing.hinge + swing.radius * np.column_stack([np.cos(angles), np.sin(angles)])
    return shapely.LineString([swing.hinge, *arc, swing.hinge])


def _is_open_to(space: Space, draft: Draft) -> bool:
    """Would a space still be the draft's or widely open to it, or that of a name in one open plan with it, the line
    to which is a guess anyhow?"""
    names = {*space.seeds, *space.open_with, *space.wide_with}
    return draft.seed in names or bool({*space.seeds} & {*draft.open_with})


def _has_a_way_in(space: Space, building: Building) -> bool:
    """Is there a door or a doorway to it?  A bed or a shower that lines go round has none."""
    beside = space.polygon.buffer(BESIDE_IN * building.inch)
    return any(c.kind != "glazing" and beside.intersects(shapely.Point(c.chord.mean(0))) for c in building.closers)


def _room_like(space: BaseGeometry, ground: BaseGeometry, inch: float) -> BaseGeometry | None:
    """What of the ground lies in a space, where it is as large as a room."""
    shared = polygons_only(space.intersection(ground))
    large = shared.area > LEAST_SQFT * (12 * inch) ** 2
    return shared if large and not shapely.buffer(shared, -LEAST_ACROSS_FT / 2 * 12 * inch).is_empty else None

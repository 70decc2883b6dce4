"""Doors that are drawn where no wall was recognised.

A door hangs in a wall.  Where one hangs in the open, the wall in its line was drawn in another pen than all others
(dashed, grey, one thin line, a pale fill) and passed for no wall: what lies beyond it is another room, and where no
name stands there, nothing tells which.

Terms: *latch*, the end of the swing at which the leaf closes.  *Loose*, of a swing: off every wall that was found.
*Break*, of a line: the doorway in it, from the hinge to the latch.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import TUB_KINDS, Disputed, FloatArray, Room, Symbol
from cordpath.rooms.building import Building
from cordpath.rooms.ink import Ink, Paint, polygons_only, union
from cordpath.rooms.names.kinds import Draft
from cordpath.rooms.openings.arcs import Swing
from cordpath.rooms.throat_ground import holds_outlets

LEAF_IN = (20.0, 50.0)  # radius: doors of rooms; smaller ones are of cabinets
SWEEP = 0.45  # radians, 26 degrees: the least that doors are drawn open
OFF_IN = 8.0  # from a wall found to a hinge or latch that hangs in none: more than frames and rounded corners make
DRAWN = 0.12  # of the radius: how far a leaf's line may end off the hinge and the swing
DASHED = 0.4  # of a leaf: ink in dashes as long as their gaps, less what ends and gaps fall on
SLANT = 0.15  # of its length: how far a piece of a leaf may slant
LEAST_ACROSS_FT = 3.0  # of a room beyond a door
SLIT_IN = 6.0  # half the least width of a way round the end of a wall
FILLED = 0.85  # of the radius: how long a leaf is that is painted as an area
BESIDE_BREAK_IN = 12.0  # of a line that goes on beyond a doorway, and how far off its axis at most: a frame's width
OFF_AXIS_IN = 4.0
OF_FIXTURE_IN = 12.0  # from an appliance or a shower to the hinge of its own door
# What has doors of its own.
DOORED: frozenset[str] = TUB_KINDS | {"refrigerator", "dishwasher", "wall oven", "range", "washer", "dryer"}


def beyond_loose_doors(
    drafts: list[Draft], rooms: tuple[Room, ...], building: Building, symbols: tuple[Symbol, ...], ink: Ink,
    fills: Paint,
) -> tuple[Disputed, ...]:  # fmt: skip
    """Ground of named rooms beyond a loose door from their names; ``ink`` without walls.

    ``rooms`` have the drafts' polygons.
    """
    lines = [line for swing in building.swings for line in _wall_lines(swing, building, symbols, ink, fills)]
    if not lines:
        return ()
    ids = {id(room.polygon): room.id for room in rooms}
    by_seed = {d.seed: d for d in drafts if d.seed is not None}
    found: list[Disputed] = []
    for draft in drafts:
        if draft.tag is None or draft.kind == "outdoors":
            continue
        mates = [by_seed[k] for k in draft.open_with if k in by_seed]
        for mate, beyond in _beyond(draft, mates, lines, building.inch):
            ground = polygons_only(beyond.intersection(draft.polygon))
            if holds_outlets(ground, building.inch):
                owner = None if mate is None else ids[id(mate.polygon)]
                found.append(Disputed((ids[id(draft.polygon)], owner), ground))
    return tuple(found)


def _beyond(
    draft: Draft, mates: list[Draft], lines: list[FloatArray], inch: float
) -> Iterator[tuple[Draft | None, BaseGeometry]]:
    """What the lines of walls cut off from a draft's name in its space, with the name that stands there, if any."""
    space = polygons_only(shapely.union_all([d.polygon.buffer(0.1 * inch) for d in (draft, *mates)]))
    least = LEAST_ACROSS_FT / 2 * 12 * inch
    x0, y0, x1, y1 = space.bounds
    far = float(np.hypot(x1 - x0, y1 - y0))
    for hinge, latch in lines:
        middle, way = (hinge + latch) / 2, (latch - hinge) / max(float(np.hypot(*(latch - hinge))), 1e-9)
        through = shapely.LineString([middle - far * way, middle + far * way]).intersection(space)
        cut = [p for p in shapely.get_parts(through) if p.distance(shapely.Point(middle)) < 0.5 * inch]
        parts = _parts(space, cut, inch) if cut else []
        beyond = [p for p in parts if not _holds(p, draft) and not p.buffer(-least).is_empty]
        if len(beyond) < len(parts):
            yield from ((next((m for m in mates if _holds(p, m)), None), p) for p in beyond)


def _parts(space: BaseGeometry, cut: list[BaseGeometry], inch: float) -> list[BaseGeometry]:
    """What a cut leaves of a space; a slit between the cut and the end of a wall beside it joins nothing."""
    wide, thin = (union([p.buffer(by * inch) for p in cut]) for by in (SLIT_IN, 0.2))
    whole = shapely.get_parts(space.difference(thin))
    return [
        polygons_only(part.buffer((SLIT_IN + 0.2) * inch).intersection(home))
        for part in shapely.get_parts(polygons_only(space.difference(wide)))
        for home in whole
        if home.intersects(part.representative_point())
    ]


def _holds(part: BaseGeometry, draft: Draft) -> bool:
    return draft.tag is not None and bool(part.intersects(shapely.Point(draft.tag.at)))


def _wall_lines(
    swing: Swing, building: Building, symbols: tuple[Symbol, ...], ink: Ink, fills: Paint
) -> list[FloatArray]:
    """(hinge, latch) of a loose swing, where its wall runs.

    One leaf drawn: its hinge or its latch is off every wall.  Both ways where leaves are drawn at both ends and the
    swing is off every wall with both.  Without a leaf it is a
    door in the break of a line only: bows of circuits sweep as wide as swings, and hang in the open.  A wide gap
    between two walls (a cased opening) holds no door: one that hangs in it hangs in a wall that was not recognised.
    """
    inch = building.inch
    if not LEAF_IN[0] * inch <= swing.radius <= LEAF_IN[1] * inch or swing.sweep < SWEEP:
        return []
    hung = union([building.barrier, *(closer.strip for closer in building.closers if closer.kind != "cased")])
    places = shapely.points(np.array([swing.hinge, *swing.ends]))
    off = shapely.distance(hung, places) > OFF_IN * inch
    own = union([s.footprint for s in symbols if s.kind in DOORED])
    if not own.is_empty and own.distance(places[0]) <= OF_FIXTURE_IN * inch:
        return []
    leaf = np.array([_is_drawn(swing, end, ink) or _is_filled(swing, end, fills) for end in swing.ends])
    if not leaf.any():
        latch = off[1:] & [_in_break(swing.hinge, end, ink, building) for end in swing.ends]
        return [np.array([swing.hinge, end]) for end in swing.ends[latch]]
    latch = ~leaf & (off[0] | off[1:]) if leaf.sum() == 1 else np.full(2, off.all())
    return [np.array([swing.hinge, end]) for end in swing.ends[latch]]


def _is_drawn(swing: Swing, end: FloatArray, ink: Ink) -> bool:
    """Does one line run from the hinge to the end, or dashes or pieces along it?"""
    near = DRAWN * swing.radius
    ends = ink.xy.reshape(-1, 2, 2)
    at_hinge = np.hypot(*(ends - swing.hinge).transpose(2, 0, 1)) <= near
    at_end = np.hypot(*(ends - end).transpose(2, 0, 1)) <= near
    return bool((at_hinge & at_end[:, ::-1]).any()) or _is_pieced(swing.hinge, end, ends)


def _is_pieced(hinge: FloatArray, end: FloatArray, lines: FloatArray) -> bool:
    """Do ``lines`` (n, 2, 2) that follow the leaf cover enough of it, and some of each third?

    An outlet at one end of a bow does not.
    """
    reach = float(np.hypot(*(end - hinge)))
    way = (end - hinge) / max(reach, 1e-9)
    from_hinge = lines - hinge
    along = from_hinge @ way
    aside = from_hinge @ np.array([-way[1], way[0]])
    follows = (np.abs(aside) <= DRAWN / 2 * reach).all(axis=1)
    follows &= np.abs(np.diff(aside)[:, 0]) <= SLANT * np.abs(np.diff(along)[:, 0])
    along = along[follows]
    spots = (np.arange(30) + 0.5) / 30 * reach
    inked = (along.min(axis=1)[:, None] <= spots) & (spots <= along.max(axis=1)[:, None])
    covered = inked.any(axis=0)
    return bool(covered.mean() >= DASHED and covered.reshape(3, -1).any(axis=1).all())


def _is_filled(swing: Swing, end: FloatArray, fills: Paint) -> bool:
    """Is an area painted from the hinge to the end that is as thin as a leaf?"""
    slack = DRAWN / 2 * swing.radius
    leaf = shapely.LineString([swing.hinge, end]).buffer(slack, cap_style="square")
    if not len(fills):
        return False
    box = shapely.bounds(fills.shape)
    long = np.hypot(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1])
    return bool(((long >= FILLED * swing.radius) & shapely.covers(leaf, fills.shape)).any())


def _in_break(hinge: FloatArray, latch: FloatArray, ink: Ink, building: Building) -> bool:
    """Does a line that ends at the hinge go on at the latch, away from it, or end at a wall there?"""
    inch = building.inch
    way = (latch - hinge) / max(float(np.hypot(*(latch - hinge))), 1e-9)
    from_hinge = ink.xy.reshape(-1, 2, 2) - hinge
    along = np.sort(from_hinge @ way, axis=1)
    aside = np.abs(from_hinge @ np.array([-way[1], way[0]])).max(1)
    follows = (aside <= OFF_AXIS_IN * inch) & (along[:, 1] - along[:, 0] >= BESIDE_BREAK_IN * inch)
    reach = float((latch - hinge) @ way)
    before = follows & (np.abs(along[:, 1]) <= OFF_AXIS_IN * inch)
    after = follows & (np.abs(along[:, 0] - reach) <= OFF_AXIS_IN * inch)
    return bool(after.any() and (before.any() or building.barrier.distance(shapely.Point(hinge)) <= OFF_IN * inch))

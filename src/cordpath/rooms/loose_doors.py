"""Doors that are drawn where no wall was recognised.

A door hangs in a wall.  Where one hangs in the open, the wall in its line was drawn in another pen than all others
(dashed, grey, one thin line, a pale fill) and passed for no wall: what lies beyond it is another room, and where no
name stands there, nothing tells which.

Terms: *latch*, the end of the swing at which the leaf closes.  *Loose*, of a swing: off every wall that was found.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import TUB_KINDS, Disputed, FloatArray, Room, Symbol
from cordpath.rooms.building import Building
from cordpath.rooms.ink import Ink, polygons_only, union
from cordpath.rooms.names.kinds import Draft
from cordpath.rooms.openings.arcs import Swing
from cordpath.rooms.undivided import PLAIN_KINDS

LEAF_IN = (20.0, 50.0)  # radius: doors of rooms; smaller ones are of cabinets
SWEEP = 0.45  # radians, 26 degrees: the least that doors are drawn open
OFF_IN = 8.0  # from a wall found to a hinge or latch that hangs in none: more than frames and rounded corners make
DRAWN = 0.12  # of the radius: how far a leaf's line may end off the hinge and the swing
DASHED = 0.4  # of a leaf: ink in dashes as long as their gaps, less what ends and gaps fall on
SLANT = 0.15  # of its length: how far a piece of a leaf may slant
LEAST_ACROSS_FT = 3.0  # of a room beyond a door
LEAST_SQFT = 4.0  # of ground that outlets may stand on
OF_FIXTURE_IN = 12.0  # from an appliance or a shower to the hinge of its own door
# What has doors of its own.
DOORED: frozenset[str] = TUB_KINDS | {"refrigerator", "dishwasher", "wall oven", "range", "washer", "dryer"}
# Kinds some or all of whose outlets ask for nothing in some edition.
ASKED_PARTLY: frozenset[str] = frozenset({"kitchen", "food area", "utility", "attic"})
CLEARED: frozenset[str] = PLAIN_KINDS | ASKED_PARTLY


def beyond_loose_doors(
    drafts: list[Draft], rooms: tuple[Room, ...], building: Building, symbols: tuple[Symbol, ...], ink: Ink
) -> tuple[Disputed, ...]:
    """Ground of named rooms beyond a loose door, on which no name stands; ``ink`` without walls.

    ``rooms`` have the drafts' polygons.
    """
    lines = [line for swing in building.swings for line in _wall_lines(swing, building, symbols, ink)]
    if not lines:
        return ()
    ids = {id(room.polygon): room.id for room in rooms}
    by_seed = {d.seed: d for d in drafts if d.seed is not None}
    found: list[Disputed] = []
    for draft in drafts:
        if draft.tag is None or draft.kind not in CLEARED:
            continue
        group = [draft, *(by_seed[k] for k in draft.open_with if k in by_seed)]
        ground = polygons_only(_nameless(group, lines, building.inch).intersection(draft.polygon))
        if ground.area > LEAST_SQFT * (12 * building.inch) ** 2:
            found.append(Disputed((ids[id(draft.polygon)], None), ground))
    return tuple(found)


def _nameless(group: list[Draft], lines: list[FloatArray], inch: float) -> BaseGeometry:
    """What the lines of walls cut off from every name of a space."""
    space = polygons_only(shapely.union_all([d.polygon.buffer(0.1 * inch) for d in group]))
    names = shapely.multipoints([d.tag.at for d in group if d.tag is not None])
    least = LEAST_ACROSS_FT / 2 * 12 * inch
    x0, y0, x1, y1 = space.bounds
    far = float(np.hypot(x1 - x0, y1 - y0))
    away = []
    for hinge, latch in lines:
        middle, way = (hinge + latch) / 2, (latch - hinge) / max(float(np.hypot(*(latch - hinge))), 1e-9)
        through = shapely.LineString([middle - far * way, middle + far * way]).intersection(space)
        cut = [p for p in shapely.get_parts(through) if p.distance(shapely.Point(middle)) < 0.5 * inch]
        parts = shapely.get_parts(space.difference(union([p.buffer(0.2 * inch) for p in cut]))) if cut else []
        beyond = [p for p in parts if not p.intersects(names) and not p.buffer(-least).is_empty]
        away += beyond if len(beyond) < len(parts) else []
    return union(away)


def _wall_lines(swing: Swing, building: Building, symbols: tuple[Symbol, ...], ink: Ink) -> list[FloatArray]:
    """(hinge, latch) of a loose swing, where its wall runs.

    Both ways where leaves are drawn at both ends and the swing is off every wall with both.  Without a leaf it is
    no door: bows of circuits sweep as wide as swings, and hang in the open.
    """
    inch = building.inch
    if not LEAF_IN[0] * inch <= swing.radius <= LEAF_IN[1] * inch or swing.sweep < SWEEP:
        return []
    hung = union([building.barrier, *(closer.strip for closer in building.closers)])
    places = shapely.points(np.array([swing.hinge, *swing.ends]))
    off = shapely.distance(hung, places) > OFF_IN * inch
    own = union([s.footprint for s in symbols if s.kind in DOORED])
    if not own.is_empty and own.distance(places[0]) <= OF_FIXTURE_IN * inch:
        return []
    leaf = np.array([_is_drawn(swing, end, ink) for end in swing.ends])
    if not leaf.any():
        return []
    latch = ~leaf & off[1:] if leaf.sum() == 1 else np.full(2, off.all())
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

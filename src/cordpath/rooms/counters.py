"""Countertops along walls and on islands.

Terms: *front*, the line of a counter's edge, parallel to a wall face; *depth*, its distance from that face;
*island*, a closed rectangle away from the walls; *turn*, what two fronts leave between them in the corner of a
room; *end*, the line that closes a counter across its depth.  Base cabinets are 24 in deep and their tops 25 in,
vanities from 18 in (common practice, no source).  *Doubtful* counters are lines that may be a front and may be
something else: they keep an answer open, they give none.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import lines, midpoints, sides_around
from cordpath.model import BASIN_KINDS, BoolArray, FloatArray, Room, Symbol, Word
from cordpath.rooms.building import Building
from cordpath.rooms.ink import Ink, make_ink, polygons_only, union
from cordpath.rooms.names.kinds import Draft
from cordpath.rooms.walls.bands import merge_runs, pair_up
from cordpath.rooms.walls.patterns import equally_spaced

DEPTH_IN = {"kitchen": (22.0, 27.5), "food area": (20.0, 27.5), "laundry": (22.0, 27.5), "bathroom": (16.0, 27.5)}
DOUBTFUL_IN = (11.0, 33.0)
FRONT_IN = 12.0  # shortest front; 12 in of counter space is where receptacle rules begin (NEC 210.52(C)(1))
DOUBTFUL_FRONT_IN = 6.0
ISLAND_IN = (22.0, 50.0)  # depth
ISLAND_LONG_IN = 24.0
ISLAND_CLEAR_IN = 18.0  # from the walls: less is no way to walk
# From front to front over the face of a cabinet set across the corner of a room; those of 36 to 42 in along each
# wall have faces of 17 to 25 in (common practice, no source).
TURN_IN = 30.0
MEET_IN = 2.0  # off the corner of a counter, or of a room: half a pen, and walls that are drawn as lines
ACROSS = 0.1  # cosine: two lines that meet within 6 degrees of a right angle
TILE_IN = 26.0  # the largest tiles of floors are 24 in (common practice, no source)
PAST_IN = 6.0  # beyond a counter's front: appliances in the row stand out by less
TAG_BOX = 1.2  # of the height of a word: how far round it its box is drawn
ACROSS_IN = 48.0  # over a guessed border: an aisle
SAMPLES = 9
LINE_IN = 2.5  # through a line, or two of them; the thinnest wall, bare studs, is 3 1/2 in
DOOR_IN = 8.0  # from a space to the middle line of a doorway in its wall
INTERRUPTS = frozenset({"range", "refrigerator", "washer", "dryer", "wall oven", "water heater"})
IN_ROW = frozenset({"range", "refrigerator", "wall oven", "dishwasher"})  # counters of a kitchen stand beside them
BESIDE_IN = 4.0  # from an appliance to the counter beside it: its place is some inches wider than it is
# Of its outline a counter has its front and the end beside an appliance, half or more, before the room; a closet
# whose door is one line has the width of that door.
FREE = 0.4


@dataclass(frozen=True, eq=False)
class Counters:
    sure: BaseGeometry
    doubtful: BaseGeometry


def find_counters(ink: Ink, rooms: list[Room], walls: BaseGeometry, symbols: tuple[Symbol, ...],
                  inch: float, tags: BoolArray) -> Counters:  # fmt: skip
    """Counter areas of the rooms that have counters; ``ink`` without the walls' own strokes.

    ``tags``, (n,): strokes that may be the box or the underline of a word: as fronts they are doubtful.
    """
    sure: list[BaseGeometry] = [s.footprint for s in symbols if s.kind == "countertop" and s.found]
    doubtful: list[BaseGeometry] = []
    ink, boxes = ink.take(~tags), ink.take(tags)
    for room in rooms:
        if room.kind not in DEPTH_IN:
            continue
        searched = _searched(room, rooms, inch)
        near = walls.intersection(searched.buffer(36 * inch).envelope)
        tagged = within(boxes, searched)
        doubtful += _own(_fronts(joined_lines(tagged, inch), room, near, inch, tagged)[0], room, symbols)
        mine = joined_lines(within(ink, searched), inch)
        if not len(mine):
            continue
        strips, maybe = _fronts(mine, room, near, inch, within(ink, searched))
        sure += _own(strips, room, symbols)
        doubtful += _own(maybe, room, symbols)
        if room.kind in ("kitchen", "food area"):
            sure += _own(_islands(mine, near, inch), room, symbols)
    gone = union([s.footprint.buffer(0.5 * inch) for s in symbols if s.kind in INTERRUPTS])
    return Counters(union(sure).difference(gone), union(doubtful).difference(gone))


def join_counters(drafts: list[Draft], symbols: tuple[Symbol, ...], building: Building) -> Building:
    """Counters that lines in the wall's pen close off become part of the room before them, in place: nameless
    spaces no deeper than a counter, without a door, in which a bowl or beside which an appliance stands, and which
    one room alone is no more than a line away from.  Returns the building without those lines; cords go over them.
    """
    inch, fronts = building.inch, list[BaseGeometry]()
    bowls = shapely.union_all([s.footprint.centroid for s in symbols if s.found and s.kind in BASIN_KINDS])
    row = union([s.footprint for s in symbols if s.found and s.kind in IN_ROW])
    chords = union([shapely.LineString(c.chord) for c in building.closers if c.kind != "glazing"])
    for cell in [*(d.polygon for d in drafts if d.tag is None), *_too_small(drafts, building.barrier)]:
        bowl, beside = cell.intersects(bowls), _near(row, cell, BESIDE_IN * inch)
        if not bowl and beside.is_empty:
            continue
        deep = cell.buffer(-DEPTH_IN["kitchen"][1] / 2 * inch)
        rooms = [d for d in drafts if d.polygon is not cell and d.polygon.dwithin(cell, LINE_IN * inch)]
        if len(rooms) > 1:  # a wall behind it that is drawn as one line: the appliance stands before it
            rooms = [d for d in rooms if d.polygon.intersects(beside)]
        if not deep.is_empty or len(rooms) != 1 or cell.dwithin(chords, DOOR_IN * inch):
            continue
        if not bowl and not _stands_before(cell, rooms[0].polygon, inch):
            continue
        both, half = union([cell, rooms[0].polygon]), LINE_IN / 2 * inch
        rooms[0].polygon = polygons_only(both.buffer(half, join_style="mitre").buffer(-half, join_style="mitre"))
        fronts.append(rooms[0].polygon.difference(both))
        drafts[:] = [d for d in drafts if d.polygon is not cell]
    return replace(building, exact=polygons_only(building.exact.difference(union(fronts)))) if fronts else building


def _near(row: BaseGeometry, cell: BaseGeometry, reach: float) -> BaseGeometry:
    """The middles of the appliances of a row that stand so near to a cell."""
    return shapely.union_all([part.centroid for part in shapely.get_parts(row) if part.dwithin(cell, reach)])


def _too_small(drafts: list[Draft], barrier: BaseGeometry) -> list[BaseGeometry]:
    """What the barrier closes round and is too small for a space."""
    holes = [shapely.Polygon(ring) for part in shapely.get_parts(barrier) for ring in part.interiors]
    taken = shapely.union_all([d.polygon.representative_point() for d in drafts])
    return [hole for hole in holes if not hole.intersects(taken)]


def _stands_before(cell: BaseGeometry, room: BaseGeometry, inch: float) -> bool:
    """Is it as deep as a counter, and free before the room at its front and an end?"""
    low, high = DEPTH_IN["kitchen"]
    free = cell.boundary.intersection(room.buffer(LINE_IN * inch)).length
    deep = any(low - LINE_IN <= side / inch <= high for side in sides_around(cell))
    return bool(deep and free >= FREE * cell.length)


def within(ink: Ink, area: BaseGeometry) -> Ink:
    """The strokes whose middles lie in an area."""
    middle = midpoints(ink.xy)
    return ink.take(np.asarray(shapely.intersects_xy(area, middle[:, 0], middle[:, 1]), bool))


def _searched(room: Room, rooms: list[Room], inch: float) -> BaseGeometry:
    """A room, and in an open plan also what lies just across its guessed border, where its counters may run on."""
    mates = [mate.polygon for mate in rooms if mate.id in room.open_to]
    if not mates or room.kind not in ("kitchen", "food area"):
        return room.polygon
    across = shapely.union_all(mates).intersection(room.polygon.buffer(ACROSS_IN * inch))
    return shapely.union_all([room.polygon, across.buffer(0.1)])


def _own(found: list[BaseGeometry], room: Room, symbols: tuple[Symbol, ...]) -> list[BaseGeometry]:
    """Those that lie mostly in the room, or have a sink or cooktop in them: a dining table is no counter."""
    bowls = [s.footprint for s in symbols if s.found and s.kind in ("sink", "cooktop")]
    return [
        shape for shape in found
        if room.polygon.intersection(shape).area >= 0.5 * shape.area
        or any(shape.intersection(bowl).area >= 0.5 * bowl.area > 0 for bowl in bowls)
    ]  # fmt: skip


def beside_words(ink: Ink, words: tuple[Word, ...]) -> BoolArray:
    """Strokes of boxes and underlines round words: room numbers, dimensions, notes."""
    near = np.zeros(len(ink), bool)
    if not len(ink) or not words:
        return near
    box = np.array([w.box for w in words])
    high = np.minimum(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1])
    slack = TAG_BOX * high
    areas = shapely.box(box[:, 0] - slack, box[:, 1] - slack, box[:, 2] + slack, box[:, 3] + slack)
    near[shapely.STRtree(lines(ink.xy)).query(areas, predicate="covers")[1]] = True
    return near


def joined_lines(ink: Ink, inch: float) -> Ink:
    """Strokes without floor patterns and dashes, pieces of one line joined."""
    ink = ink.take(~ink.dashed & (ink.length > 0.5 * inch))
    if len(ink) < 2:
        return ink
    xy, _ = merge_runs(ink.xy, ink.unit)
    n = len(xy)
    joined = make_ink(xy, np.zeros(n), np.zeros(n), np.full(n, -1), np.zeros(n, np.int64), np.zeros(n, bool))
    bands = pair_up(joined.xy, joined.unit, joined.length, 0.4 * inch, 13 * inch, 6 * inch)
    return joined.take(~equally_spaced(joined.xy, joined.unit, bands, inch))


def _fronts(
    ink: Ink, room: Room, walls: BaseGeometry, inch: float, every: Ink
) -> tuple[list[BaseGeometry], list[BaseGeometry]]:
    """Strips between a line and the wall face behind it: counters, and perhaps counters.  ``every``: the lines
    before those of floor patterns were taken out."""
    low, high = DEPTH_IN[room.kind]
    long = ink.take(ink.length > DOUBTFUL_FRONT_IN * inch)
    if not len(long):
        return [], []
    depth, normal = _depths(long, walls, inch)
    front = np.isfinite(depth)
    usual = front & (depth >= low * inch) & (depth <= high * inch) & (long.length >= FRONT_IN * inch)
    out = np.where(front[:, None], normal * np.where(front, depth, 0.0)[:, None], 0.0)
    usual[usual] = ~_ends(long.xy[usual], out[usual], inch)
    usual[usual] = ~_tiled(long.xy[usual], every.xy[~every.dashed], inch)
    a, b = long.xy[:, :2], long.xy[:, 2:]
    strips = shapely.polygons(np.stack([a, b, b + out, a + out], 1))
    turns = _turns(long.xy[usual], long.unit[usual], out[usual], walls, inch)
    return [*strips[usual], *turns], list(strips[front & ~usual])


def _ends(xy: FloatArray, out: FloatArray, inch: float) -> BoolArray:
    """(n,) lines (n, 4) that close a longer counter at its end, away from which ``out`` leads to a wall: between
    the two is the place of an appliance."""
    ends = np.zeros(len(xy), bool)
    size = np.hypot(*(xy[:, 2:] - xy[:, :2]).T)
    square = np.maximum((out**2).sum(1), 1e-9)
    for at, other in ((xy[:, :2], xy[:, 2:]), (xy[:, 2:], xy[:, :2])):
        off = xy.reshape(-1, 1, 2, 2) - at[None, :, None]  # (line, counter, end of the line)
        along = np.clip((off * out[None, :, None]).sum(-1) / square[None, :, None], 0.0, 1.0)
        away = np.hypot(*np.moveaxis(off - along[..., None] * out[None, :, None], -1, 0)).max(-1)
        beyond = (out[:, None] * (at - other)[None]).sum(-1) > 0
        ends |= ((away <= MEET_IN * inch) & beyond & (size[:, None] < size[None])).any(1)
    return ends


def _tiled(xy: FloatArray, every: FloatArray, inch: float) -> BoolArray:
    """(n,) lines (n, 4) over which a floor runs on: lines of it cross them squarely, no further apart than tiles.

    The second line of 12 in tiles lies as far off the wall as a counter's front does, and by a counter or an island
    its neighbours are cut short, so that it is no floor pattern by itself.  No floor is seen on a counter.
    """
    tiled = np.zeros(len(xy), bool)
    drawn = lines(every)
    tree = shapely.STRtree(drawn)
    for k, (front, line) in enumerate(zip(xy, lines(xy), strict=True)):
        over = every[tree.query(line, predicate="crosses")].reshape(-1, 2, 2) - front[:2]
        unit = (front[2:] - front[:2]) / np.hypot(*(front[2:] - front[:2]))
        along, off = over @ unit, over @ np.array([-unit[1], unit[0]])
        square = np.ptp(along, axis=1) <= ACROSS * np.ptp(off, axis=1)
        through = square & (off.min(1) < -PAST_IN * inch) & (off.max(1) > PAST_IN * inch)
        gaps = np.diff(np.sort(along[through].mean(1)))
        tiled[k] = bool((gaps > inch).any() and gaps[gaps > inch].min() <= TILE_IN * inch)
    return tiled


def _turns(
    xy: FloatArray, unit: FloatArray, out: FloatArray, walls: BaseGeometry, inch: float
) -> list[BaseGeometry]:
    """What lies in the corners of a room between fronts (n, 4) that meet there, or end at a face set across."""
    found: list[BaseGeometry] = []
    ends = xy.reshape(-1, 2, 2)
    gaps = np.hypot(*np.moveaxis(ends[:, None, :, None] - ends[None, :, None], -1, 0)).reshape(len(xy), len(xy), 4)
    near = np.triu((gaps.min(-1) <= TURN_IN * inch) & (np.abs(unit @ unit.T) < ACROSS), 1)
    for i, j in np.argwhere(near).tolist():
        p, q = divmod(int(gaps[i, j].argmin()), 2)
        one, other = ends[i, p], ends[j, q]
        # the faces of both walls, run on to the corner
        corner = one + out[i] + unit[i] * float((other + out[j] - one - out[i]) @ unit[i])
        ahead = float((corner - one) @ out[j]) > 0 and float((corner - other) @ out[i]) > 0
        if ahead and walls.distance(shapely.Point(corner)) <= MEET_IN * inch:
            corners = [one, one + out[i], corner, other + out[j], other]
            found.append(shapely.convex_hull(shapely.multipoints(corners)))
    return found


def _depths(ink: Ink, walls: BaseGeometry, inch: float) -> tuple[FloatArray, FloatArray]:
    """(n,) distance of each stroke to the wall face that runs behind all of it, inf for none; (n, 2) direction."""
    step = (np.arange(SAMPLES) + 0.5) / SAMPLES
    points = ink.xy[:, None, :2] + (ink.xy[:, None, 2:] - ink.xy[:, None, :2]) * step[None, :, None]
    depth, normal = np.full(len(ink), np.inf), np.zeros((len(ink), 2))
    for sign in (1.0, -1.0):
        side = sign * np.stack([-ink.unit[:, 1], ink.unit[:, 0]], 1)
        rays = shapely.linestrings(
            np.stack([points, points + side[:, None] * DOUBTFUL_IN[1] * inch], 2).reshape(-1, 2, 2)
        )
        reach = shapely.distance(shapely.points(points.reshape(-1, 2)), shapely.intersection(rays, walls))
        reach = np.where(np.isnan(reach), np.inf, reach).reshape(len(ink), SAMPLES)
        usual = np.median(reach, axis=1)
        with np.errstate(invalid="ignore"):
            level = (np.abs(reach - usual[:, None]) < 1.0 * inch).mean(1)
        good = np.isfinite(usual) & (level > 0.75) & (usual > DOUBTFUL_IN[0] * inch) & (usual < depth)
        depth[good], normal[good] = usual[good], side[good]
    return depth, normal


def _islands(ink: Ink, walls: BaseGeometry, inch: float) -> list[BaseGeometry]:
    """Closed rectangles away from the walls."""
    long = ink.take(ink.length > 6 * inch)
    if not 4 <= len(long) <= 3000:
        return []
    stretched = long.xy + np.concatenate([-long.unit, long.unit], 1) * 0.3
    shapes: NDArray[np.object_] = shapely.get_parts(shapely.polygonize([shapely.union_all(lines(stretched))]))
    found: list[BaseGeometry] = []
    for shape in shapes:
        box = shapely.oriented_envelope(shape)
        if box.geom_type != "Polygon" or shape.area < 0.93 * box.area:
            continue
        wide, short = (side / inch for side in sides_around(shape))
        clear = shape.distance(walls) > ISLAND_CLEAR_IN * inch
        if ISLAND_IN[0] <= short <= ISLAND_IN[1] and wide >= ISLAND_LONG_IN and clear:
            found.append(shape)
    return found

"""Where a cord ends: the outline of a bowl, tub or shower, as far as it lies outside walls.

Terms
    *goal*      the area (or line) of one fixture that ends a cord; each bowl of a double sink is a piece of it.
    *foot*      the point of a piece of outline nearest to a given point.
    *screen*    thin glass or a low wall that a shower stall is enclosed with; its outside is the stall's edge.

The last straight piece of a shortest path ends at the foot on some piece of the outline, or at a vertex of it:
were it to end elsewhere it would graze a corner of the barrier, and that corner would be the last bend.
So for each possible last bend only the feet need be tried.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.model import Fixture, FloatArray, FloorPlan
from cordpath.reach.barriers import HAIR_PT, Barrier

# A piece of a bowl or tub that a wall cuts off is a slip of the drafter's pen when it is this much smaller than
# the largest piece; its outline on the far side of the wall is no edge of the fixture.
SLIP = 0.25
# Glass of a shower screen is 1/4 to 1/2 in., drawn with its frame up to 2 in. (common practice, no source); the
# thinnest wall, bare studs, is 3 1/2 in.
SCREEN_IN = 2.5
# The narrowest fixed panel of glass beside a stall is about a foot long; what is shorter is the end of a wall's
# outline, or a corner of it that the pieces of the wall leave open (common practice, no source).
SHORTEST_SCREEN_IN = 10.0
STALL_ALONE = 2.0  # times its stall: a space larger than this holds more than a stall that screens close all round


@dataclass(frozen=True, eq=False)
class Goal:
    """``area`` is empty where the whole outline lies inside walls.  ``sides`` (k, 4): its straight pieces."""

    area: BaseGeometry
    sides: FloatArray


def goal(fixture: Fixture, fixed: Barrier, plan: FloorPlan, foot: float) -> Goal:
    """The goal of one fixture; ``foot`` is the length of a foot on paper, in points."""
    edge = fixture.symbol.edge
    pieces = [] if edge is None else [_clip(piece, fixed) for piece in _pieces(edge)]
    area = shapely.union_all(pieces)
    if fixture.symbol.kind == "shower" and not area.is_empty:
        screens = _screens(area, fixed, SCREEN_IN / 12 * foot)
        area = shapely.union_all([area, *_within_its_room(screens, area, fixture, plan, SCREEN_IN / 12 * foot)])
    return Goal(area, _sides(area))


def _screens(area: BaseGeometry, fixed: Barrier, thin: float) -> list[BaseGeometry]:
    """Thin parts of the barrier along a stall: the outer face of its screens is its outside edge.

    Thin is what vanishes when the barrier is worn away by half of ``thin`` from all sides.  In a plan whose walls
    are themselves thin lines nothing can be told apart, and there are no screens.
    """
    worn = shapely.buffer(fixed.solid, -thin / 2, join_style="mitre")
    thick = shapely.buffer(worn, thin / 2 + HAIR_PT, join_style="mitre")
    if shapely.area(shapely.intersection(fixed.solid, thick)) < 0.5 * fixed.solid.area:
        return []
    near = shapely.intersection(fixed.solid, area.buffer(2 * thin, join_style="mitre"))
    rest = shapely.get_parts(shapely.difference(near, thick))
    rest = rest[shapely.area(rest) >= thin**2 / 4]  # crumbs at the corners of thick walls are no screens
    rest = rest[shapely.dwithin(rest, area, thin)]
    around = shapely.get_parts(shapely.union_all(shapely.buffer(rest, thin / 2)))
    rest = shapely.intersection(shapely.union_all(rest), around)  # panels with joints between them are one screen
    run = shapely.length(shapely.intersection(rest, area.buffer(thin, join_style="mitre"))) / 2
    return list(rest[run >= SHORTEST_SCREEN_IN / SCREEN_IN * thin])


def _within_its_room(
    screens: list[BaseGeometry], area: BaseGeometry, fixture: Fixture, plan: FloorPlan, thin: float
) -> list[BaseGeometry]:
    """The screens less those that another room lies behind: a wall drawn as one line among walls of two."""
    own = plan.room(fixture.room)
    if own is None or own.polygon.area < STALL_ALONE * area.area:
        return screens
    others = [room.polygon for room in plan.rooms if room is not own]
    return [screen for screen in screens if not shapely.dwithin(screen, others, thin).any()]


def _pieces(edge: BaseGeometry) -> list[BaseGeometry]:
    """Bowls one by one: polygons, closed outlines filled, open lines as they are."""
    flat = shapely.get_parts(edge)
    while (shapely.get_type_id(flat) >= 4).any():
        flat = shapely.get_parts(flat)
    found: list[BaseGeometry] = []
    for piece in flat:
        if piece.is_empty:
            continue
        if piece.geom_type in ("LineString", "LinearRing") and piece.is_closed and len(piece.coords) > 3:
            piece = shapely.polygons(shapely.get_coordinates(piece))
        found.append(shapely.make_valid(piece) if not piece.is_valid else piece)
    return found


def _clip(piece: BaseGeometry, fixed: Barrier) -> BaseGeometry:
    """What of a bowl or tub lies outside walls, without slips through to the other side."""
    free = shapely.get_parts(shapely.difference(piece, fixed.solid))
    size = shapely.area(free) if piece.area > 0 else shapely.length(free)
    return shapely.union_all(free[size >= SLIP * size.max()]) if len(free) else shapely.Point()


def _sides(area: BaseGeometry) -> FloatArray:
    lines = [shapely.get_coordinates(ring) for ring in _outlines(area)]
    sides = [np.concatenate([line[:-1], line[1:]], axis=1) for line in lines if len(line) > 1]
    return np.concatenate(sides) if sides else np.zeros((0, 4))


def _outlines(area: BaseGeometry) -> NDArray[np.object_]:
    parts = shapely.get_parts(area)
    areas = shapely.get_type_id(parts) == 3
    return np.concatenate([shapely.get_rings(parts[areas]), parts[shapely.get_type_id(parts) == 1]])


def last_pieces(points: FloatArray, goal: Goal, barrier: Barrier) -> tuple[FloatArray, FloatArray]:
    """From each of (n, 2) points the shortest free straight line to a foot on the goal.

    Returns (n,) lengths in points, inf where no foot is in free sight, and (n, 2) ends.
    """
    n = len(points)
    length, ends = np.full(n, np.inf), np.full((n, 2), np.nan)
    if not n or goal.area.is_empty:
        return length, ends
    straight = shapely.shortest_line(shapely.points(points), goal.area)
    near = shapely.get_coordinates(straight).reshape(-1, 2, 2)[:, 1]
    free = ~barrier.blocked(points, near)
    length[free], ends[free] = np.hypot(*(near - points)[free].T), near[free]
    if (~free).any():
        length[~free], ends[~free] = _feet(points[~free], goal.sides, barrier)
    return length, ends


def _feet(points: FloatArray, sides: FloatArray, barrier: Barrier) -> tuple[FloatArray, FloatArray]:
    """As :func:`last_pieces`, trying the foot on every side of the outline."""
    n, k = len(points), len(sides)
    if not k:
        return np.full(n, np.inf), np.full((n, 2), np.nan)
    start, run = sides[:, :2], sides[:, 2:] - sides[:, :2]
    square = np.maximum((run**2).sum(axis=1), 1e-18)
    along = np.clip(((points[:, None] - start) * run).sum(axis=2) / square, 0.0, 1.0)
    feet = start + along[:, :, None] * run
    length = np.hypot(*(feet - points[:, None]).transpose(2, 0, 1))
    blocked = barrier.blocked(np.repeat(points, k, axis=0), feet.reshape(-1, 2)).reshape(n, k)
    length = np.where(blocked, np.inf, length)
    best = length.argmin(axis=1)
    row = np.arange(n)
    return length[row, best], feet[row, best]

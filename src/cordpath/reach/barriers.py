"""What a supply cord cannot go through, as exact polygons with the corners that a taut cord bends round.

Terms
    *barrier*   walls (low walls and screens with them) and glazing; under ``doors="blocking"`` also every door
                and cased opening as a strip between its jambs.
    *solid*     the union of the barrier, in page coordinates, with gaps narrower than 0.3 pt closed.
    *core*      the solid less a hair: a cord that touches a face or a corner meets the solid but not the core.
    *corner*    a convex vertex of the solid.  A shortest path in the plane among polygons is a chain of straight
                lines that bends at such vertices only (T. Lozano-Perez and M. Wesley, "An algorithm for planning
                collision-free paths among polyhedral obstacles", CACM 22 (1979) 560; from memory).
    *tangent*   a line that has both neighbours of a corner on one side: a taut cord leaves a corner only so.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import middle_line
from cordpath.model import BoolArray, Doors, FloatArray, FloorPlan

HAIR_PT = 0.01  # the core is this much smaller: far above rounding (1e-12), 0.007 in. at 1/4 in. = 1 ft
GAP_PT = 0.15  # half the widest gap that is closed: two faces, each rounded to 1/600 in. (0.12 pt); no cord fits
LINE_PT = 0.05  # half the thickness given to a barrier that is a mere line
JAMB_PT = 3.0  # strips reach this far past both ends: drafters leave a leaf short of its jamb (2 in. at 1/4 in.)
TANGENT_EPS = 1e-6  # sine of the angle by which a tangent may fail, for rounding


@dataclass(frozen=True, eq=False)
class Barrier:
    """A barrier made ready for questions.  ``before`` and ``after`` are unit vectors from each corner to its
    neighbours on the outline; all arrays are (m, 2) in page coordinates."""

    solid: BaseGeometry
    core: BaseGeometry
    corners: FloatArray
    before: FloatArray
    after: FloatArray

    def blocked(self, a: FloatArray, b: FloatArray) -> BoolArray:
        """(n,) True where the straight line from (n, 2) ``a`` to (n, 2) ``b`` runs through the core."""
        if not len(a):
            return np.zeros(0, bool)
        return np.asarray(shapely.intersects(self.core, shapely.linestrings(np.stack([a, b], axis=1))), bool)

    def inside(self, points: FloatArray) -> BoolArray:
        """(n,) True where a (n, 2) point lies in the core."""
        return np.asarray(shapely.intersects(self.core, shapely.points(points)), bool)

    def tangent(self, which: np.ndarray, towards: FloatArray) -> BoolArray:
        """(n,) True where the line from corner ``which[i]`` along (n, 2) ``towards[i]`` is a tangent there."""
        reach = np.hypot(towards[:, 0], towards[:, 1])
        unit = towards / np.where(reach > 0, reach, 1.0)[:, None]
        one = _cross(unit, self.before[which])
        two = _cross(unit, self.after[which])
        eps = TANGENT_EPS
        return ((one >= -eps) & (two >= -eps)) | ((one <= eps) & (two <= eps))


def _cross(a: FloatArray, b: FloatArray) -> FloatArray:
    return a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]


def fixed_barrier(plan: FloorPlan) -> Barrier:
    """Walls and glazing.  Glass inside a door or a cased opening belongs to the door, not to the glazing."""
    return _ready([plan.walls, *glazing_of(plan)])


def barrier(plan: FloorPlan, doors: Doors, enclosures: BaseGeometry, starts: FloatArray) -> Barrier:
    """The barrier under one reading of doors.

    ``enclosures``: leaves that lie wholly in this area are doors of a goal's own enclosure (the door of a shower
    stall) and never block the way to it.  A doorway in which one of the (n, 2) ``starts`` lies does not block
    either: no cord could leave it.
    """
    if doors == "open":
        return fixed_barrier(plan)
    ways = [g for g in (*plan.doors, *plan.openings) if g is not None and not g.is_empty]
    here = shapely.multipoints(starts)
    strips = [strip(way) for way in ways if not way.within(enclosures)]
    return _ready([plan.walls, plan.glazing, *(s for s in strips if not shapely.dwithin(s, here, HAIR_PT))])


def glazing_of(plan: FloorPlan) -> list[BaseGeometry]:
    """The glazing, less what belongs to a door or a cased opening."""
    ways = [g for g in (*plan.doors, *plan.openings) if g is not None and not g.is_empty]
    if not ways or plan.glazing.is_empty:
        return [plan.glazing]
    margin = [HAIR_PT if way.area > 0 else JAMB_PT for way in ways]
    return [plan.glazing.difference(shapely.union_all(shapely.buffer(ways, margin)))]


def strip(way: BaseGeometry) -> BaseGeometry:
    """A door or opening with its middle line run on past both ends, so that no slit is left at a jamb."""
    middle, _ = middle_line(way)
    if not len(middle):
        return way
    start, end = middle
    along = end - start
    length = float(np.hypot(*along))
    if length == 0.0:
        return way
    on = along / length * JAMB_PT
    strip = shapely.linestrings(np.array([start - on, end + on])).buffer(LINE_PT, cap_style="flat")
    return shapely.union_all([*_areas([way]), strip])


def _areas(parts: Iterable[BaseGeometry]) -> list[BaseGeometry]:
    """Polygons as they are, lines as thin bands; points are nothing."""
    pieces = shapely.get_parts([part for part in parts if part is not None and not part.is_empty])
    while len(nested := pieces[shapely.get_type_id(pieces) >= 4]):
        pieces = np.concatenate([pieces[shapely.get_type_id(pieces) < 4], shapely.get_parts(nested)])
    kind = shapely.get_type_id(pieces)
    bands = shapely.buffer(pieces[(kind == 1) | (kind == 2)], LINE_PT, cap_style="square", join_style="mitre")
    return [*shapely.make_valid(pieces[kind == 3]), *bands]


def _ready(parts: Iterable[BaseGeometry]) -> Barrier:
    union = shapely.union_all(_areas(parts))
    grown = shapely.buffer(union, GAP_PT, join_style="mitre")
    solid = shapely.buffer(grown, -GAP_PT, join_style="mitre")
    core = shapely.buffer(solid, -HAIR_PT, join_style="mitre")
    shapely.prepare(core)
    corners, before, after = _corners(solid)
    return Barrier(solid, core, corners, before, after)


def _corners(solid: BaseGeometry) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Convex vertices of the solid, with unit vectors to the vertex before and after."""
    rings = shapely.get_rings(shapely.orient_polygons(shapely.get_parts(solid)))
    found = [_ring_corners(shapely.get_coordinates(ring)[:-1]) for ring in rings]
    if not found:
        nothing = np.zeros((0, 2))
        return nothing, nothing, nothing
    at, before, after = (np.concatenate(part) for part in zip(*found, strict=True))
    return at, before, after


def _ring_corners(ring: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    before, after = np.roll(ring, 1, axis=0) - ring, np.roll(ring, -1, axis=0) - ring
    before /= np.maximum(np.hypot(before[:, 0], before[:, 1]), 1e-12)[:, None]
    after /= np.maximum(np.hypot(after[:, 0], after[:, 1]), 1e-12)[:, None]
    # orient_polygons puts the solid on the left of every ring: a left turn is convex.
    convex = _cross(-before, after) > 0
    return ring[convex], before[convex], after[convex]

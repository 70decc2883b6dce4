"""One reading of a view's building: walls, openings, barrier, spaces.

Terms: *barrier*, healed walls and closed openings together: what keeps rooms apart (never used for paths).
*Frame*, the box in which free space is looked at; what reaches it is outdoors.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.model import FloatArray
from cordpath.rooms.ink import Evidence, polygons_only, union
from cordpath.rooms.openings.arcs import Swing, find_swings
from cordpath.rooms.openings.openings import CASED_FT, Closer, cut_closers, find_closers
from cordpath.rooms.openings.thresholds import halve_thresholds
from cordpath.rooms.spaces.spaces import Space
from cordpath.rooms.spaces.throats import CASED_FACTOR, STAIR_FACTOR, Cut, divide
from cordpath.rooms.stairs import find_stairs
from cordpath.rooms.walls.bands import extents, groups
from cordpath.rooms.walls.ends import find_gaps, wall_ends
from cordpath.rooms.walls.walls import Walls

MARGIN_FT = 12.0  # free space looked at around the building
TOGETHER_FT = 4.0  # barrier pieces nearer than this are one building
BUILDING_FT = 12.0  # least side of a building; smaller groups are taken only if there is no larger one
SHED_SQFT = 20.0  # least floor of a building that stands by itself: 4 by 5 ft
STRAY_FT = 8.0  # a name farther than this from the building names none of its rooms


@dataclass(frozen=True, eq=False)
class Building:
    walls: Walls
    exact: BaseGeometry  # walls for paths, openings taken out
    barrier: BaseGeometry
    closers: tuple[Closer, ...]
    swings: tuple[Swing, ...]
    stairs: NDArray[np.object_]
    hull: BaseGeometry
    frame: BaseGeometry
    inch: float

    def divide(
        self, seeds: FloatArray, split: bool = True, reach: FloatArray | None = None
    ) -> tuple[list[Space], BaseGeometry]:
        inch = self.inch
        cuts = [
            Cut(c.strip.buffer(1.5 * inch), CASED_FACTOR, 0.5 * c.width, 0.85)
            for c in self.closers if c.kind == "cased"
        ]  # fmt: skip
        cuts += [Cut(s, STAIR_FACTOR, 18 * inch, 0.5) for s in self.stairs]
        spaces, outside = divide(self.barrier, self.frame, seeds, cuts, inch, split, reach)
        return halve_thresholds(spaces, self.closers, inch), outside


def raise_building(walls: Walls, ev: Evidence, seeds: FloatArray) -> Building | None:
    """Openings closed and the building told from loose pieces; None where nothing is left."""
    inch = ev.inch
    free_ink = ev.ink.take(~walls.used)
    swings = find_swings(free_ink, inch)
    painted = cut_closers(walls.cuts, swings, ev)
    wide = [c.strip for c in painted if c.kind == "cased" and c.width > CASED_FT * 12 * inch]
    healed = polygons_only(walls.healed.difference(union(wide))) if wide else walls.healed
    if healed.is_empty:
        return None
    gaps = find_gaps(wall_ends(walls.bands, healed, inch), healed, free_ink, inch)
    closers = painted + find_closers(gaps, swings, free_ink, healed, inch)
    hard = [c.strip for c in closers if c.kind != "cased"]
    barrier = union([healed, *hard]).buffer(0.6 * inch, join_style="mitre").buffer(-0.6 * inch, join_style="mitre")
    barrier = _main_parts(polygons_only(barrier), seeds, inch)
    if barrier.is_empty:
        return None
    hull = shapely.convex_hull(barrier)
    near = hull.buffer(12 * inch)
    closers = [c for c in closers if near.intersects(c.strip)]
    exact = _pierced(walls.exact.difference(union(list(walls.cuts))), closers, inch).intersection(near)
    x0, y0, x1, y1 = barrier.bounds
    margin = MARGIN_FT * 12 * inch
    frame = shapely.box(x0 - margin, y0 - margin, x1 + margin, y1 + margin)
    stairs = find_stairs(ev.ink, walls.used, inch)
    return Building(walls, polygons_only(exact), barrier, tuple(closers), swings, stairs, hull, frame, inch)


def _pierced(walls: BaseGeometry, closers: list[Closer], inch: float) -> BaseGeometry:
    """Door openings that wall lines run through (thresholds, headers) taken out of the walls."""
    holes: list[BaseGeometry] = []
    for closer in closers:
        a, b = closer.chord
        inner = shapely.LineString([a + 0.15 * (b - a), b - 0.15 * (b - a)])
        if closer.kind != "glazing" and inner.intersection(walls).length > 0.5 * inner.length:
            holes.append(shapely.LineString([a, b]).buffer(5 * inch, cap_style="flat"))
    return walls.difference(union(holes)) if holes else walls


def _main_parts(barrier: BaseGeometry, seeds: FloatArray, inch: float) -> BaseGeometry:
    """The groups of barrier pieces that are buildings, and the loose pieces within their outline."""
    foot = 12 * inch
    parts = shapely.get_parts(barrier)
    if not len(parts):
        return barrier
    group = groups(parts, TOGETHER_FT * foot)
    side = extents(parts, group)[:, 0]
    main = side >= BUILDING_FT * foot
    hulls = [shapely.convex_hull(shapely.union_all(parts[group == g])) for g in range(len(side))]
    if len(seeds):
        points = shapely.multipoints(seeds)
        holds = np.array([bool(h.intersects(points)) for h in hulls])
        main = main & holds if (main & holds).any() else main
        main |= np.array([h and _is_shed(parts[group == g], points, foot) for g, h in enumerate(holds)], bool)
    if not main.any():
        main = side >= min(float(side.max()), 5 * foot)
    for _ in range(3):
        outline = shapely.union_all([h.buffer(2 * foot) for g, h in enumerate(hulls) if main[g]])
        more = main | np.array([bool(outline.intersects(h)) for h in hulls])
        if (more == main).all():
            break
        main = more
    return polygons_only(shapely.union_all(parts[main[group]]))


def _is_shed(parts: NDArray[np.object_], seeds: BaseGeometry, foot: float) -> bool:
    """Do walls close round a name, however small the building is: a shed, a pump house, a sauna by itself?"""
    rings = shapely.get_parts(polygons_only(shapely.union_all(parts)))
    inner = [shapely.Polygon(hole) for ring in rings for hole in ring.interiors]
    return any(room.area >= SHED_SQFT * foot**2 and room.intersects(seeds) for room in inner)


def score(building: Building, seeds: FloatArray) -> float:
    """How well this reading separates the names: names alone in a plausible room, 3 to 2500 sq ft."""
    spaces, _ = building.divide(seeds, split=False)
    total = 0.0
    for space in spaces:
        area = space.polygon.area / (12 * building.inch) ** 2
        if len(space.seeds) != 1 or space.reaches_frame or not 3 < area < 2500 or space.open_with:
            total += 0.4 if space.open_with and 3 < area < 2500 and not space.reaches_frame else 0.0
            continue
        total += 1.0 if space.throat_ft == 0 else 0.8 if space.ratio < 0.8 else 0.4
    return total

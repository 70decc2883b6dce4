"""Fronts of counters that are drawn in the pen of the walls, as lines of it that run in no pair.

Terms: *front*, as in counters.py; *line*, what of the walls is thinner than walls are.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import BASIN_KINDS, Symbol
from cordpath.rooms.building import Building
from cordpath.rooms.counters import DEPTH_IN
from cordpath.rooms.ink import polygons_only

LINE_IN = 2.0  # bare studs are 3 1/2 in thick
REACH_IN = 1.5  # past the deepest counter, for the pen and the finish of the wall
SHALLOWEST_IN, DEEPEST_IN = DEPTH_IN["bathroom"][0], DEPTH_IN["kitchen"][1] + REACH_IN


def open_fronts(building: Building, symbols: tuple[Symbol, ...]) -> Building:
    """The building without lines that a bowl stands behind, as deep before its wall as a counter's front and
    nowhere farther off the walls: cords go over them.  Where one line is a wall, nothing tells them apart."""
    if building.walls.route == "single":
        return building
    inch, half = building.inch, LINE_IN / 2 * building.inch
    thick = building.exact.buffer(-half, join_style="mitre").buffer(1.1 * half, join_style="mitre")
    near = thick.buffer(DEEPEST_IN * inch)
    lines = [part for part in shapely.get_parts(building.exact.difference(thick)) if part.within(near)]
    bowls = [s.footprint.centroid for s in symbols if s.found and s.kind in BASIN_KINDS]
    rays = [ray for bowl in bowls if (ray := _before(bowl, thick, inch)) is not None]
    if not lines or not rays:
        return building
    fronts = [line for line in lines if any(line.intersects(ray) for ray in rays)]
    return replace(building, exact=polygons_only(building.exact.difference(shapely.union_all(fronts))))


def _before(bowl: BaseGeometry, walls: BaseGeometry, inch: float) -> BaseGeometry | None:
    """Where the front of a counter with the bowl in it would cross the way out of the wall behind it."""
    behind = shapely.get_coordinates(shapely.shortest_line(walls, bowl))
    if len(behind) < 2:
        return None
    off = float(np.hypot(*(behind[1] - behind[0])))
    if not 0 < off < SHALLOWEST_IN * inch:
        return None
    way = (behind[1] - behind[0]) / off
    return shapely.LineString([behind[0] + way * deep * inch for deep in (SHALLOWEST_IN, DEEPEST_IN)])

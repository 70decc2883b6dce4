"""What a careful reader must find on a random house: cord paths and verdicts, worked out without the program.

The rules are written again here, from the section numbers named beside each line, as short as the houses need.
Cord paths run over a visibility graph of all corners of the walls (shortest way among polygons turns at corners).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import shapely
from house_plan import Pt
from house_site import Fixture, Outlet, Site
from scipy.sparse.csgraph import dijkstra
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

LIMIT = 72.0  # inches
FAR = 12 * 12.0
DOORS = ("door", "double", "slider", "pocket", "bifold", "cased", "garage")


@dataclass
class Reach:
    """Cord paths in inches: (outlet index, fixture index) -> length, doors open or blocking."""

    open: dict[tuple[int, int], float] = field(default_factory=dict)
    blocking: dict[tuple[int, int], float] = field(default_factory=dict)


def reach(site: Site) -> Reach:
    basins = [k for k, f in enumerate(site.fixtures) if f.design.edge]
    out = Reach()
    out.open = _paths(site, basins, site.plan.open_walls(DOORS))
    out.blocking = _paths(site, basins, site.plan.walls)
    return out


def _paths(site: Site, basins: list[int], walls: BaseGeometry) -> dict[tuple[int, int], float]:
    solid = walls.buffer(-0.3, join_style="mitre")
    shapely.prepare(solid)
    corners = np.unique(np.round(shapely.get_coordinates(walls.buffer(0.05, join_style="mitre")), 3), axis=0)
    found: dict[tuple[int, int], float] = {}
    for i, outlet in enumerate(site.outlets):
        start = (outlet.anchor[0] + outlet.normal[0] * 0.5, outlet.anchor[1] + outlet.normal[1] * 0.5)
        near = [k for k in basins if site.fixtures[k].measured.distance(Point(start)) < FAR]
        if not near:
            continue
        local = corners[np.hypot(corners[:, 0] - start[0], corners[:, 1] - start[1]) < FAR]
        for k in near:
            length = _shortest(start, site.fixtures[k].measured, local, solid)
            if length is not None and length < FAR:
                found[i, k] = length
    return found


def _shortest(start: Pt, goal: BaseGeometry, corners: np.ndarray, solid: BaseGeometry) -> float | None:
    nodes = np.vstack([[start], corners])
    ends = np.array([nearest_points(goal, Point(p))[0].coords[0] for p in nodes])
    n = len(nodes)
    a, b = np.triu_indices(n, 1)
    lines = shapely.linestrings(np.stack([nodes[a], nodes[b]], axis=1))
    clear = ~shapely.intersects(solid, lines)
    lengths = np.hypot(*(nodes[a] - nodes[b]).T)
    weights = np.zeros((n + 1, n + 1))
    weights[a[clear], b[clear]] = lengths[clear]
    last = np.hypot(*(nodes - ends).T)
    seen = ~shapely.intersects(solid, shapely.linestrings(np.stack([nodes, ends], axis=1)))
    weights[np.nonzero(seen)[0], n] = np.maximum(last[seen], 1e-6)
    best = dijkstra(weights, directed=False, indices=0)[n]
    return float(best) if math.isfinite(best) else None


EDITIONS = ("2017", "2020", "2023")


def required(
    site: Site, i: int, edition: str, lengths: dict[tuple[int, int], float] | None
) -> tuple[bool | None, bool]:
    """Is protection asked for (None: cannot be told), and may a careful reader leave it open?"""
    outlet = site.outlets[i]
    kind = outlet.room.kind if outlet.room is not None else "outdoors"
    listed = outlet.design.facts.get("volts", 125) == 125 or edition >= "2020"  # 210.8(A) lead-in
    soft = False
    yes = listed and kind in ("bathroom", "garage", "outdoors", "laundry")  # 210.8(A)(1)(2)(3), laundry item
    if kind == "kitchen" and listed:
        yes |= edition >= "2023" or (outlet.counter and outlet.serves is None)  # 210.8(A)(6)
    if outlet.serves == "dishwasher" or (edition >= "2023" and outlet.serves in ("range", "dryer", "microwave")):
        yes = True  # 210.8(D)
    if outlet.serves in ("washer", "dryer") and listed:
        yes = True
    if yes:
        return True, soft
    if not listed:
        return False, soft
    if lengths is None:
        return None, soft
    own = [v for (o, _), v in lengths.items() if o == i]
    nearest = min(own, default=math.inf)
    soft |= abs(nearest - LIMIT) < 7.0  # a foot's worth of doubt: scale, drawn edge, place of the device
    return nearest <= LIMIT, soft


def protected(outlet: Outlet, marks: dict[str, str], gfci_circuits: set[str]) -> bool | None:
    if outlet.device:
        return True
    if outlet.circuit is not None and marks.get(outlet.circuit) == "GFCI":
        return True
    if outlet.circuit is not None and outlet.circuit in gfci_circuits:
        return None
    return False


def verdicts(
    site: Site, reach_: Reach, marks: dict[str, str], print_: str
) -> list[tuple[dict[str, str], dict[str, list[str]]]]:
    """For each outlet the verdict of each edition, and what else a careful reader may say."""
    devices = {o.circuit for o in site.outlets if o.device and o.circuit is not None}
    out = []
    measurable, reduced = print_ != "nts", print_ == "half"
    for i, outlet in enumerate(site.outlets):
        told: dict[str, str] = {}
        also: dict[str, list[str]] = {}
        for edition in EDITIONS:
            lengths = (reach_.blocking if edition == "2017" else reach_.open) if measurable else None
            need, soft = required(site, i, edition, lengths)
            shown = protected(outlet, marks, devices)
            told[edition] = _verdict(need, shown)
            zone = outlet.room is not None and outlet.room.shared
            on_counter = outlet.room is not None and outlet.room.kind == "kitchen" and edition < "2023"
            if soft or reduced or (zone and told[edition] != "protected") or (not measurable and on_counter):
                also[edition] = ["unresolved"]
        out.append((told, also))
    return out


def _verdict(need: bool | None, shown: bool | None) -> str:
    if need is False:
        return "not required"
    if shown is True:
        return "protected"
    return "missing" if need and shown is False else "unresolved"


__all__ = ["EDITIONS", "Fixture", "Reach", "reach", "verdicts"]

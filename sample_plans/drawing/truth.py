"""What a reader of the sheet should find, worked out from the description of the house alone.

Distances: shortest way in the plan from the point where an outlet meets its wall to the bowl of a basin or the
outside of a tub or shower, round the corners of the walls (visibility graph over exact wall corners; standard
computational geometry, from memory).  Walls and windows stop it; doors and doorways only in the 2017 edition.

The rules are this sample's own short statement of NEC 210.8(A) and (D) for dwellings, kept apart from the
program's on purpose: it is what the drawing's author meant.
"""

from __future__ import annotations

import math
from dataclasses import asdict
from pathlib import Path as FilePath
from typing import Any

import networkx as nx
import numpy as np
from shapely import distance, intersects, linestrings, points, prepare, unary_union
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from .building import Building, Placed, key
from .house import XY, Device, Floor, House
from .marks import Arc, Line, Path
from .plan import centre, frame_of
from .symbols import Symbols

EDITIONS = ("2017", "2020", "2023")
LIMIT_FT = 6.0
NEAR_FT = 0.08  # an outlet that close to the limit (1 in) cannot be settled from a drawing
SHRINK = 0.002  # ft; a way may touch a wall corner
LETTERS = {"M": "missing", "P": "protected", "N": "not required", "U": "unresolved"}
OUTLETS = {"receptacle", "hardwired outlet"}
BASINS, TUBS = {"sink", "lavatory"}, {"bathtub", "shower"}
SERVED_2023 = {"RANGE", "DRYER", "MW"}


def truth_of(house: House, folder: FilePath, pdf: str) -> dict[str, Any]:
    """The truth of a sheet, as plain data for JSON.  Page coordinates are points as displayed."""
    symbols = Symbols(folder / house.mapping)
    views = [_view(house, view, symbols) for view in house.views]
    return {
        "file": pdf,
        "mapping": house.mapping,
        "page": 1,
        "sheet": house.sheet,
        "title": house.title,
        "panel": {
            "name": house.panel,
            "circuits": [asdict(c) for c in house.circuits],
        },
        "views": views,
    }


def _view(house: House, view: Any, symbols: Symbols) -> dict[str, Any]:
    floor, frame = view.floor, frame_of(view)
    building = Building(floor)
    placed = [building.place(d) for d in floor.devices]
    outlets = [p for p in placed if symbols.kind(p.device.symbol) in OUTLETS]
    others: dict[str, int] = {}
    for p in placed:
        if symbols.kind(p.device.symbol) not in OUTLETS:
            others[p.device.symbol] = others.get(p.device.symbol, 0) + 1
    ways = {doors: Ways(building, symbols, doors == "blocking") for doors in ("open", "blocking")}
    return {
        "title": floor.title,
        "number": view.number,
        "scale": {"ratio": view.ratio, "text": view.note},
        "rooms": [
            {
                "name": r.name,
                "number": r.number,
                "kind": r.kind,
                "finished": r.finished,
                "polygon": _ring(building.rooms[key(r)], frame),
            }
            for r in floor.rooms
        ],
        "fixtures": [
            {
                "symbol": f.symbol,
                "kind": symbols.kind(f.symbol),
                "at": _round(frame.at(f.at)),
                "room": building.room(f.room).name,
            }
            for f in floor.fixtures
        ],
        "outlets": [_outlet(house, building, p, symbols, frame, ways) for p in outlets],
        "look-alikes": dict(sorted(others.items())),
    }


def _outlet(
    house: House, building: Building, p: Placed, symbols: Symbols, frame: Any, ways: dict[str, Ways]
) -> dict[str, Any]:
    d = p.device
    entry: dict[str, Any] = {
        "symbol": d.symbol,
        "at": _round(centre(p, frame, symbols)),
        "anchor": _round(frame.at(p.anchor)),
        "angle": round(p.turn, 1),
        "room": building.room(d.room).name,
        "labels": list(d.labels),
        "circuit": d.circuit or None,
        "counter": d.counter,
    }
    near = {doors: way.nearest(p) for doors, way in ways.items()}
    for doors, (what, feet) in near.items():
        if feet < 2 * LIMIT_FT:
            entry[f"doors {doors}"] = {"to": what, "distance_ft": round(feet, 3)}
    entry["straight_ft"] = round(ways["open"].straight(p), 3)
    entry["verdict"] = {
        e: verdict(e, house, building, p, symbols, near["blocking" if e == "2017" else "open"][1]) for e in EDITIONS
    }
    if d.expect:
        entry["meant"] = {e: LETTERS[c] for e, c in zip(EDITIONS, d.expect, strict=True)}
    if d.why:
        entry["because"] = d.why
    return entry


def verdict(edition: str, house: House, building: Building, p: Placed, symbols: Symbols, distance: float) -> str:
    """The author's reading of 210.8 for one outlet."""
    required = _required(edition, building, p, symbols, distance)
    if required is False:
        return "not required"
    if protected(house, p, symbols):
        return "protected"
    return "missing" if required and not _behind_a_device(house, p, symbols) else "unresolved"


def _behind_a_device(house: House, p: Placed, symbols: Symbols) -> bool:
    """Is a GFCI device on the same circuit?  It may feed this outlet: the drawing does not show the order."""
    devices = (d for view in house.views for d in view.floor.devices if d.circuit == p.device.circuit)
    return bool(p.device.circuit) and any(_is_device(d, symbols) for d in devices)


def _is_device(device: Device, symbols: Symbols) -> bool:
    drawn = symbols.entries.get(device.symbol, {}).get("protection") == "device"
    return drawn or any("GFI" in text or "GFCI" in text for text in device.labels)


def protected(house: House, p: Placed, symbols: Symbols) -> bool:
    """GFI at the outlet, or a GFCI or dual-function breaker on its circuit."""
    if _is_device(p.device, symbols):
        return True
    number = p.device.circuit.rpartition("-")[2]
    return any(c.number == number and c.mark in ("GFCI", "DF") for c in house.circuits)


def _required(edition: str, building: Building, p: Placed, symbols: Symbols, distance: float) -> bool | None:
    d, room = p.device, building.room(p.device.room)
    if "DW" in d.labels:
        return True
    if edition == "2023" and SERVED_2023 & set(d.labels):
        return True
    if edition == "2017" and "EV" in d.labels:
        return None  # required where the interim amendment 17-2 (625.54, up to 50 A) is adopted
    if edition == "2017" and symbols.entries[d.symbol].get("volts", 125) > 125:
        return False
    everywhere = {"bathroom", "garage", "outdoors", "laundry", "crawl space", "accessory building"}
    if edition != "2017":
        everywhere |= {"basement", "damp or wet"}
    if edition == "2023":
        everywhere |= {"kitchen", "food area"}
    if room.kind in everywhere:
        return True
    if room.kind == "basement" and room.finished is False:
        return True
    if room.kind == "kitchen" and d.counter:
        return True
    if distance < LIMIT_FT - NEAR_FT:
        return True
    if distance <= LIMIT_FT + NEAR_FT or room.kind == "unknown":
        return None
    return False


class Ways:
    """Shortest ways of a cord on a floor, feet."""

    def __init__(self, building: Building, symbols: Symbols, doors_block: bool) -> None:
        barrier: BaseGeometry = unary_union([building.walls, building.glazing])
        if doors_block:
            barrier = unary_union([barrier, building.closures])
        self.barrier = barrier.buffer(-SHRINK, join_style="mitre")
        prepare(self.barrier)
        parts = getattr(barrier, "geoms", [barrier])
        rings = [ring for part in parts for ring in (part.exterior, *part.interiors)]
        self.corners = [xy for ring in rings for xy in ring.coords[:-1]]
        self.targets = targets(building.floor, symbols)

    def free(self, a: XY, b: XY) -> bool:
        return not self.barrier.intersects(LineString([a, b]))

    def straight(self, p: Placed) -> float:
        return min((Point(p.anchor).distance(shape) for _, shape in self.targets), default=math.inf)

    def nearest(self, p: Placed) -> tuple[str, float]:
        """The nearest basin, tub or shower by way of the floor: what, and how far."""
        start = (p.anchor[0] + p.out[0] * 0.005, p.anchor[1] + p.out[1] * 0.005)
        x0, y0, x1, y1 = Point(start).buffer(2 * LIMIT_FT).bounds
        nodes = [start, *((x, y) for x, y in self.corners if x0 < x < x1 and y0 < y < y1)]
        graph = nx.Graph()
        graph.add_nodes_from(range(len(nodes)))
        xy = np.array(nodes)
        i, j = np.triu_indices(len(nodes), 1)
        lengths = np.hypot(*(xy[i] - xy[j]).T)
        near = lengths < 2 * LIMIT_FT
        i, j, lengths = i[near], j[near], lengths[near]
        free = ~intersects(self.barrier, linestrings(np.stack([xy[i], xy[j]], axis=1)))
        graph.add_weighted_edges_from(zip(i[free].tolist(), j[free].tolist(), lengths[free].tolist(), strict=True))
        ways = nx.single_source_dijkstra_path_length(graph, 0)
        best = ("", math.inf)
        reached, walked = list(ways), np.array(list(ways.values()))
        for what, shape in self.targets:
            total = walked + distance(points(xy[reached]), shape)
            for k in np.flatnonzero(total < 2 * LIMIT_FT):
                if total[k] < best[1]:
                    node = reached[k]
                    best = min(best, (what, ways[node] + self._last(nodes[node], shape)), key=lambda b: b[1])
        return best

    def _last(self, a: XY, shape: Polygon) -> float:
        """Straight from a to the nearest seen point of the outline."""
        goal = nearest_points(shape, Point(a))[0]
        if self.free(a, (goal.x, goal.y)):
            return Point(a).distance(shape)
        ring = np.array(shape.exterior.segmentize(0.2).coords)
        rays = np.stack([np.broadcast_to(a, ring.shape), ring], axis=1)
        seen = ring[~intersects(self.barrier, linestrings(rays))]
        return float(np.hypot(*(seen - a).T).min()) if len(seen) else math.inf


def targets(floor: Floor, symbols: Symbols) -> list[tuple[str, Polygon]]:
    """Bowls of basins and outsides of tubs and showers, in feet."""
    found = []
    for f in floor.fixtures:
        kind = symbols.kind(f.symbol)
        if kind not in BASINS | TUBS:
            continue
        outlines = _outlines(symbols, f.symbol, f.at, f.turn)
        outer = max(outlines, key=lambda s: s.area)
        if kind in TUBS:
            found.append((f"{f.symbol}, {f.room}", outer))
        else:
            bowls = [s for s in outlines if s is not outer and s.area > 0.1]
            found += [(f"{f.symbol}, {f.room}", bowl) for bowl in bowls]
    return found


def _outlines(symbols: Symbols, name: str, at: XY, turn: float) -> list[Polygon]:
    """Closed outlines of a fixture: closed polylines, circles, and chains of arcs and lines."""
    closed, loose = [], []
    for mark in symbols.marks(name, at, turn, 1 / 12):
        if isinstance(mark, Path) and mark.closed:
            closed.append(Polygon(mark.points))
        elif isinstance(mark, Arc):
            chords = mark.chords(72)
            (closed if mark.sweep >= 360 else loose).append(
                Polygon(chords) if mark.sweep >= 360 else LineString(chords)
            )
        elif isinstance(mark, Line):
            loose.append(LineString([mark.a, mark.b]))
    joined = unary_union([line.buffer(0.003) for line in loose]) if loose else None
    for part in getattr(joined, "geoms", [joined] if joined is not None else []):
        if part.interiors:
            closed.append(Polygon(max(part.interiors, key=lambda r: Polygon(r).area)).buffer(0.003))
    return closed


def _ring(shape: Polygon, frame: Any) -> list[list[float]]:
    return [_round(frame.at(xy)) for xy in shape.exterior.coords[:-1]]


def _round(p: XY) -> list[float]:
    return [round(p[0], 2), round(p[1], 2)]

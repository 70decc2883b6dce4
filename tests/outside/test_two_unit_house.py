"""A two-unit house that an architect modelled, drawn as plan sheets: rooms, doors and cord paths against the model.

Source: "Duplex Apartment" of the sample files of buildingSMART International (CC BY 4.0, see tests/data/README.md):
the outlines and names of its IfcSpaces, and the doors and windows that bound them.  The walls are what the spaces
leave of the shell: 16 in outside, 22 in and more between the units, 5 in inside.  Fixtures and outlets are ours.
Paths: naive visibility graph of all corners of these walls, by networkx.
"""

from __future__ import annotations

import itertools
import json
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import networkx
import numpy as np
import pytest
import shapely
from reportlab.pdfgen.canvas import Canvas
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from cordpath.check import load_mapping, understand
from cordpath.model import UNNAMED, Reading
from drawn_room import BATHTUB, DUPLEX, LAVATORY

MODEL = json.loads((Path(__file__).parents[1] / "data" / "two_unit_house.json").read_text())
FOOT = 18.0  # pt, 1/4" = 1'-0"
METRE = FOOT / 0.3048
HIGH = 1500.0  # of the page
AT = (300.0, 1300.0)  # of the model's origin on the page
FRAME = 0.076  # m
OUT = 0.11 * 72  # from the wall to the middle of an outlet
PASSAGES = ("Hallway", "Foyer", "Stair")  # one space in parts; their names stand in one end of it
WAYS = ("lines", "filled")
Line = tuple[tuple[float, float], tuple[float, float]]


@dataclass
class Sheet:
    """The plan in points of the page, y up.  ``names``: what an outlet may stand in, by its place."""

    walls: BaseGeometry
    spaces: list[tuple[str, Polygon]]
    leaves: list[Line]
    windows: list[Line]
    outlets: list[tuple[tuple[float, float], str]]
    fixtures: list[tuple[str, Polygon]]


def both(points: list[list[float]]) -> list[list[tuple[float, float]]]:
    """On the page, of unit A and of unit B."""
    turned = [[8.8 - x, -17.8 - y] for x, y in points]
    return [[(AT[0] + x * METRE, AT[1] + y * METRE) for x, y in each] for each in (points, turned)]


def model(level: str) -> Sheet:
    told = MODEL["levels"][level]
    spaces = [(name, Polygon(ring)) for name, points in told["spaces"] for ring in both(points)]
    shell = Polygon(both(MODEL["shell"])[0])
    solid = shell.difference(shapely.union_all([space.buffer(0.01, join_style="mitre") for _, space in spaces]))
    ways = {kind: [tuple(ring) for points in told[kind] for ring in both(points)] for kind in ("doors", "windows")}
    ways["doors"] = [framed(line) for line in ways["doors"]]
    slots = shapely.union_all([slot(solid, line) for line in (*ways["doors"], *ways["windows"])])
    leaves = [leaf(solid, door) for door in ways["doors"]]  # type: ignore[arg-type]
    sheet = Sheet(solid, spaces, leaves, ways["windows"], [], [])  # type: ignore[arg-type]
    for name, space in spaces:
        if name.startswith("Bathroom"):
            x0, y0, _, y1 = space.bounds
            tub = box(x0 + 1, y0 + 1, x0 + 46, y0 + 91)  # 30 in by 60 in, just off the walls
            basin = Point(x0 + 13.5 + 1.5, y1 - 15).buffer(10.5, 32)
            sheet.fixtures += [("bathtub", tub), ("lavatory", basin)]
    taken = shapely.union_all([slots.buffer(20), *(shape.buffer(16) for _, shape in sheet.fixtures)])
    for name, space in spaces:
        for a, b in itertools.pairwise(space.exterior.coords):
            p = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            n = inward(space, a, b)
            behind = Point(p[0] - 1.5 * n[0], p[1] - 1.5 * n[1])
            if math.dist(a, b) > 40 and solid.contains(behind) and not taken.contains(Point(p)):
                sheet.outlets.append((p, name))
    sheet.walls = solid.difference(slots)
    return sheet


def framed(line: Any) -> Line:
    """The clear way of a door: the model's openings hold a frame of 76 mm on either side."""
    way = LineString(line)
    a, b = (way.interpolate(d).coords[0] for d in (FRAME * METRE, way.length - FRAME * METRE))
    return a, b  # type: ignore[return-value]


def slot(solid: BaseGeometry, line: Any) -> BaseGeometry:
    """The piece of wall around a line in its middle that an opening takes out."""
    return LineString(line).buffer(thickness(solid, line), cap_style="flat").intersection(solid)


def thickness(solid: BaseGeometry, line: Any) -> float:
    """Of the wall around a line in its middle."""
    (x0, y0), (x1, y1) = line
    u = ((x1 - x0) / math.dist(*line), (y1 - y0) / math.dist(*line))
    across = LineString([((x0 + x1) / 2 + s * u[1], (y0 + y1) / 2 - s * u[0]) for s in (-30, 30)])
    return float(across.intersection(solid).length)


def leaf(solid: BaseGeometry, door: Line) -> Line:
    """From hinge to lock, at the face of the wall that the leaf opens from."""
    (x0, y0), (x1, y1) = door
    half = thickness(solid, door) / 2 / math.dist(*door)
    return ((x0 - half * (y1 - y0), y0 + half * (x1 - x0)), (x1 - half * (y1 - y0), y1 + half * (x1 - x0)))


def inward(space: Polygon, a: tuple[float, ...], b: tuple[float, ...]) -> tuple[float, float]:
    n = ((a[1] - b[1]) / math.dist(a, b), (b[0] - a[0]) / math.dist(a, b))
    inside = space.contains(Point((a[0] + b[0]) / 2 + n[0], (a[1] + b[1]) / 2 + n[1]))
    return n if inside else (-n[0], -n[1])


def draw(path: Path, sheet: Sheet, way: str) -> None:
    page = Canvas(str(path), pagesize=(1200, HIGH))
    for part in shapely.get_parts(sheet.walls):
        outline = page.beginPath()
        for ring in (part.exterior, *part.interiors):
            outline.moveTo(*ring.coords[0])
            for point in ring.coords[1:-1]:
                outline.lineTo(*point)
            outline.close()
        page.setLineWidth(1.1)
        page.setFillGray(0.6)
        page.drawPath(outline, stroke=way != "filled", fill=way == "filled", fillMode=0)
    page.setFillGray(0)
    page.setLineWidth(0.4)
    for a, b in sheet.windows:
        n = ((a[1] - b[1]) / math.dist(a, b), (b[0] - a[0]) / math.dist(a, b))
        for off in (-0.2085 * METRE, 0, 0.2085 * METRE):
            page.line(a[0] + off * n[0], a[1] + off * n[1], b[0] + off * n[0], b[1] + off * n[1])
    for a, b in sheet.leaves:
        wide, turn = math.dist(a, b), math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
        page.line(*a, a[0] - (b[1] - a[1]), a[1] + (b[0] - a[0]))
        page.arc(a[0] - wide, a[1] - wide, a[0] + wide, a[1] + wide, turn, 90)
    for kind, shape in sheet.fixtures:
        x0, y0, x1, y1 = shape.bounds
        if kind == "bathtub":
            page.rect(x0, y0, x1 - x0, y1 - y0)
            page.rect(x0 + 6, y0 + 6, x1 - x0 - 12, y1 - y0 - 12)
        else:
            x, y = (x0 + x1) / 2, (y0 + y1) / 2
            page.rect(x - 15, y - 13.5, 30, 27)
            page.circle(x, y, 10.5)
    for p, name in sheet.outlets:
        n = next(inward(s, a, b) for known, s in sheet.spaces if known == name
                 for a, b in itertools.pairwise(s.exterior.coords)
                 if math.dist(p, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)) < 0.1)  # fmt: skip
        page.setLineWidth(0.72)
        page.circle(p[0] + OUT * n[0], p[1] + OUT * n[1], 4.5)
        for side in (-1.8, 1.8):
            foot = (p[0] + side * n[1], p[1] - side * n[0])
            page.line(*foot, foot[0] + (OUT + 4.1256) * n[0], foot[1] + (OUT + 4.1256) * n[1])
    for name, space in sheet.spaces:
        page.setFont("Helvetica", 6)
        spot = space.buffer(-20).representative_point() if not space.buffer(-20).is_empty else space.centroid
        page.drawCentredString(spot.x, spot.y, name.upper())
    page.setFont("Helvetica-Bold", 12)
    page.drawString(AT[0], 120, "POWER PLAN")
    page.setFont("Helvetica", 8)
    page.drawString(AT[0], 108, 'SCALE: 1/4" = 1\'-0"')
    x0, _, x1, y1 = sheet.walls.bounds
    page.setLineWidth(0.4)
    page.line(x0, y1 + 30, x1, y1 + 30)
    for x in (x0, x1):
        page.line(x, y1 + 8, x, y1 + 36)
        page.line(x - 3, y1 + 27, x + 3, y1 + 33)
    page.drawCentredString((x0 + x1) / 2, y1 + 33, "28'-10 1/2\"")
    page.save()


@pytest.fixture(scope="module", params=[(level, way) for level in MODEL["levels"] for way in WAYS], ids=str)
def read(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Sheet, Reading]:
    level, way = request.param
    folder, sheet = tmp_path_factory.mktemp("house"), model(level)
    draw(folder / "plan.pdf", sheet, way)
    (folder / "symbols.yaml").write_text("cordpath: 1\nsymbols:\n" + DUPLEX + LAVATORY + BATHTUB)
    return sheet, understand(folder / "plan.pdf", 1, load_mapping(folder / "symbols.yaml"))


def placed(sheet: Sheet, reading: Reading) -> list[tuple[tuple[float, float], str, Any]]:
    """Every outlet of the drawing with the one that was read."""
    found = []
    for p, name in sheet.outlets:
        best = min(reading.outlets, key=lambda o: math.dist(o.symbol.at, (p[0], HIGH - p[1])))
        assert math.dist(best.symbol.at, (p[0], HIGH - p[1])) < OUT + 1
        found.append((p, name, best))
    return found


def test_every_outlet_stands_in_its_space(read: tuple[Sheet, Reading]) -> None:
    sheet, reading = read
    (plan,) = reading.plans
    assert len(reading.outlets) == len(sheet.outlets) > 15
    for p, name, outlet in placed(sheet, reading):
        room = plan.room(outlet.standing.room)
        assert room is not None, (name, outlet.standing.why)
        mates = {plan.room(other).name for other in (*room.open_to, *outlet.standing.perhaps)}  # type: ignore[union-attr]
        passage = name in PASSAGES and (room.kind == "hall" or room.name == UNNAMED)
        assert passage or name.upper() in {room.name, *mates}, (p, name, room)
        asked = passage or outlet.standing.why is not None
        assert asked or (room.kind != "outdoors" and (room.kind == "bathroom") == ("Bath" in name))


def test_cord_paths_are_those_of_the_model(read: tuple[Sheet, Reading]) -> None:
    sheet, reading = read
    core = sheet.walls.buffer(-0.3, join_style="mitre")
    shapely.prepare(core)
    corners = [(float(x), float(y)) for x, y in shapely.get_coordinates(sheet.walls)]
    graph = networkx.Graph()
    graph.add_weighted_edges_from(free_ways(list(itertools.combinations(corners, 2)), core))
    measured = {(path.outlet, path.fixture): path for path in reading.paths if path.doors == "open"}
    count = 0
    for kind, goal in sheet.fixtures:
        middle = (goal.centroid.x, HIGH - goal.centroid.y)
        fixture = min((f for f in reading.fixtures if f.symbol.kind == kind),
                      key=lambda f: math.dist(f.symbol.at, middle))  # fmt: skip
        rim = [goal.exterior.interpolate(d).coords[0] for d in np.arange(0, goal.length, 1.0)]
        last = graph.copy()
        last.add_weighted_edges_from((a, "goal", way) for a, _, way in nearest_ends(corners, rim, core))
        onwards = networkx.single_source_dijkstra_path_length(last, "goal")
        for p, name, outlet in placed(sheet, reading):
            straight = [way for *_, way in nearest_ends([p], rim, core)]
            bent = [way + onwards.get(b, math.inf) for _, b, way in free_ways([(p, c) for c in corners], core)]
            true = min([*straight, *bent], default=math.inf) / FOOT
            path = measured.get((outlet.id, fixture.id))
            assert (true < 9.5) <= (path is not None) <= (true < 12.5), (p, name, kind, true)
            if path is not None:
                count += 1
                assert abs(path.length_ft - true) < max(path.uncertainty_ft, 0.25), (p, name, kind, true, path)
    assert count >= 6


def free_ways(pairs: list[Line], core: BaseGeometry) -> list[tuple[Any, Any, float]]:
    """The pairs that see each other within 12 ft, with how far they are apart."""
    sights = shapely.linestrings(np.array(pairs))
    near = np.flatnonzero(shapely.length(sights) < 12 * FOOT)
    clear = near[~shapely.intersects(core, sights[near])]
    return [(*pairs[k], math.dist(*pairs[k])) for k in clear]


def nearest_ends(
    points: list[tuple[float, float]], rim: list[tuple[float, ...]], core: BaseGeometry
) -> list[tuple[Any, Any, float]]:
    """From each point the nearest point of the rim that it sees."""
    seen = free_ways([(p, end) for p in points for end in rim], core)  # type: ignore[misc]
    best = {p: (p, end, way) for p, end, way in sorted(seen, key=lambda each: -each[2])}
    return list(best.values())

"""The sample plans: what is committed is what the script draws, and the truth files agree with the drawings."""

from __future__ import annotations

import json
import math
import sys
from itertools import combinations, pairwise
from pathlib import Path
from typing import Any

import pikepdf
import pymupdf
import pytest
from shapely import MultiLineString
from shapely.geometry import LineString, Point, Polygon, box

from cordpath.symbols import load_mapping

SAMPLES = Path(__file__).resolve().parents[1] / "sample_plans"
PLAN = Path(__file__).parent / "data" / "real_house_plan.pdf"
sys.path[:0] = [str(SAMPLES), str(Path(__file__).parent)]

from draw import draw, draw_sheet  # noqa: E402
from drawing.building import Building  # noqa: E402
from drawing.dimensions import dimension_text  # noqa: E402
from drawing.plan import frame_of  # noqa: E402
from houses import HOUSES  # noqa: E402
from powerlayer import LOWER, UPPER, write_power_layer  # noqa: E402

STEMS = [house.stem for house in HOUSES]
BY_STEM = {house.stem: house for house in HOUSES}
EDITIONS = ("2017", "2020", "2023")
SMALLEST = "quarry-yard"
LARGEST = 1_000_000  # bytes; small enough to keep beside the source
FREE = ("floor receptacle",)


def truth(stem: str) -> dict[str, Any]:
    return json.loads((SAMPLES / f"{stem}.truth.json").read_text(encoding="utf-8"))


def content(path: Path) -> list[bytes]:
    """What the pages show, unpacked: free of the packing of one zlib or another."""
    with pikepdf.open(path) as pdf:
        return [b"\n".join(part.read_bytes() for part in _parts(page)) for page in pdf.pages]


def _parts(page: pikepdf.Page) -> list[pikepdf.Stream]:
    found = page.Contents
    return list(found) if isinstance(found, pikepdf.Array) else [found]


@pytest.mark.parametrize("stem", STEMS)
def test_the_script_draws_what_is_committed(stem: str, tmp_path: Path) -> None:
    pdf, text = draw(BY_STEM[stem], tmp_path)
    if stem == SMALLEST:  # one tells whether a sheet drawn twice is the same
        (tmp_path / "again").mkdir()
        assert pdf.read_bytes() == draw_sheet(BY_STEM[stem], tmp_path / "again").read_bytes()
    assert content(pdf) == content(SAMPLES / pdf.name)
    assert json.loads(text.read_text(encoding="utf-8")) == truth(stem)
    assert (SAMPLES / pdf.name).stat().st_size < LARGEST


@pytest.mark.parametrize("stem", STEMS)
def test_outlets_stand_on_the_edge_of_their_room(stem: str) -> None:
    for view in truth(stem)["views"]:
        per_foot = 864 / view["scale"]["ratio"]
        for outlet in view["outlets"]:
            rooms = [Polygon(r["polygon"]) for r in view["rooms"] if r["name"] == outlet["room"]]
            inside = [room for room in rooms if room.buffer(0.1).contains(Point(outlet["at"]))]
            assert len(inside) == 1, outlet
            if math.dist(outlet["at"], outlet["anchor"]) > 0 and not _free(view, outlet, per_foot):
                assert inside[0].exterior.distance(Point(outlet["anchor"])) < 0.02, outlet


def _free(view: dict[str, Any], outlet: dict[str, Any], per_foot: float) -> bool:
    """At an island or at the ceiling: more than 1 ft from every edge of its room."""
    edges = [Polygon(r["polygon"]).exterior for r in view["rooms"] if r["name"] == outlet["room"]]
    return all(edge.distance(Point(outlet["anchor"])) > per_foot for edge in edges)


@pytest.mark.parametrize("stem", STEMS)
def test_nothing_stands_in_a_doorway(stem: str) -> None:
    for view in BY_STEM[stem].views:
        building = Building(view.floor)
        for device in view.floor.devices + view.floor.demolished:
            placed = building.place(device)
            if device.facing is None:
                assert building.closures.distance(Point(placed.anchor)) > 0.1, device


@pytest.mark.parametrize("stem", STEMS)
def test_verdicts_are_what_the_house_means(stem: str) -> None:
    for view in truth(stem)["views"]:
        for outlet in view["outlets"]:
            assert outlet.get("meant", outlet["verdict"]) == outlet["verdict"], outlet


@pytest.mark.parametrize("stem", STEMS)
def test_a_distance_that_decides_is_clear_of_the_limit_or_unresolved(stem: str) -> None:
    for view in truth(stem)["views"]:
        for outlet in view["outlets"]:
            for edition in EDITIONS:
                way = outlet.get("doors blocking" if edition == "2017" else "doors open")
                by_distance = outlet["room"] and not _by_room(view, outlet)
                if way and by_distance and abs(way["distance_ft"] - 6) < 0.25:
                    assert outlet["verdict"][edition] == "unresolved", outlet


def _by_room(view: dict[str, Any], outlet: dict[str, Any]) -> bool:
    kinds = {r["kind"] for r in view["rooms"] if r["name"] == outlet["room"]}
    return bool(kinds & {"bathroom", "laundry", "garage", "outdoors", "kitchen", "basement", "accessory building"})


def test_every_verdict_occurs_in_every_edition() -> None:
    outlets = [o for stem in STEMS for view in truth(stem)["views"] for o in view["outlets"]]
    assert len(outlets) > 130
    for edition in EDITIONS:
        assert {o["verdict"][edition] for o in outlets} == {"missing", "protected", "not required", "unresolved"}
    changes = {tuple(o["verdict"].values()) for o in outlets}
    assert ("not required", "missing", "missing") in changes
    assert ("not required", "not required", "missing") in changes


@pytest.mark.parametrize("stem", STEMS)
def test_dimension_texts_say_what_is_drawn(stem: str) -> None:
    words = pymupdf.open(SAMPLES / f"{stem}.pdf")[0].get_text("dict")["blocks"]
    lines = [line for block in words for line in block.get("lines", [])]
    shown = [("".join(s["text"] for s in line["spans"]), line["bbox"]) for line in lines]
    page = pymupdf.open(SAMPLES / f"{stem}.pdf")[0]
    house = BY_STEM[stem]
    for view in house.views:
        frame = frame_of(view)
        for dims in view.floor.dims:
            whole = math.dist(dims.a, dims.b)
            for s, e in pairwise(dims.stations):
                middle = (s + e) / 2 / whole
                at = frame.at(tuple(a + (b - a) * middle for a, b in zip(dims.a, dims.b, strict=True)))
                want = dimension_text(e - s, house.metric)
                near = [box(*(pymupdf.Rect(b) * page.rotation_matrix)) for t, b in shown if t == want]
                assert any(n.distance(Point(at)) < dims.offset + 20 for n in near), (view.floor.title, want)


@pytest.mark.parametrize("stem", STEMS)
def test_no_lettering_covers_other_lettering(stem: str) -> None:
    page = pymupdf.open(SAMPLES / f"{stem}.pdf")[0]
    found = []
    for block in page.get_text("dict")["blocks"]:
        for line in block.get("lines", []):
            (a, b, c, d), size = line["bbox"], line["spans"][0]["size"]
            slack = 0.28 * size if abs(line["dir"][0]) in (0.0, 1.0) else 0.35 * min(c - a, d - b)
            text = "".join(s["text"] for s in line["spans"])
            found.append((text, box(a + slack, b + slack, c - slack, d - slack)))
    bad = [(p[0], q[0]) for p, q in combinations(found, 2) if p[1].intersects(q[1])]
    assert not bad


@pytest.mark.parametrize("name", ["symbols.yaml", "symbols-b.yaml"])
def test_mapping_files_are_accepted(name: str) -> None:
    mapping = load_mapping(SAMPLES / name)
    used = {o["symbol"] for stem in STEMS if truth(stem)["mapping"] == name
            for view in truth(stem)["views"] for o in view["outlets"] + view["fixtures"]}  # fmt: skip
    assert used <= {entry.name for entry in mapping.symbols}


def test_the_plotter_file_is_loose_strokes_on_a_turned_page() -> None:
    page = pymupdf.open(SAMPLES / "tern-street.pdf")[0]
    assert page.rotation == 90
    assert (page.rect.width, page.rect.height) == (2592, 1728)
    stroked = [d for d in page.get_drawings() if d["type"] == "s"]
    assert len(stroked) > 3000
    assert all(len(d["items"]) == 1 and d["items"][0][0] == "l" for d in stroked)


def test_demolished_devices_are_on_a_layer_that_is_off() -> None:
    document = pymupdf.open(SAMPLES / "quarry-yard.pdf")
    names = {number: group["name"] for number, group in document.get_ocgs().items()}
    assert [names[number] for number in document.get_layer()["off"]] == ["E-DEMO"]
    assert len(names) >= 6
    assert {d["layer"] for d in document[0].get_drawings()} >= {"A-WALL", "E-POWR"}
    assert content(SAMPLES / "quarry-yard.pdf")[0].count(b"/LEDEMO BDC") > 0


def test_the_power_layer_stands_on_wall_faces_of_the_real_plan(tmp_path: Path) -> None:
    layer = write_power_layer(PLAN, tmp_path)
    assert len(load_mapping(layer.mapping).symbols) == 5
    pieces = [
        [item[1], item[2]]
        for d in pymupdf.open(PLAN)[0].get_drawings()
        if (d.get("width") or 0) >= 1.0 and d["color"] == (0.0, 0.0, 0.0)
        for item in d["items"]
        if item[0] == "l"
    ]
    walls = MultiLineString(pieces)
    faces = walls.buffer(0.5)
    for spot in (*LOWER, *UPPER):
        (x, y), (ox, oy) = spot.wall, spot.out
        along = LineString([(x + oy * 3, y + ox * 3), (x - oy * 3, y - ox * 3)])
        assert along.within(faces), spot
        ahead = LineString([(x + ox, y + oy), (x + ox * 18, y + oy * 18)])
        assert not ahead.intersects(walls), spot


def test_the_power_layer_keeps_the_plan_and_adds_one_form(tmp_path: Path) -> None:
    layer = write_power_layer(PLAN, tmp_path)
    before, after = pymupdf.open(PLAN)[0], pymupdf.open(layer.pdf)[0]
    assert after.rect == before.rect
    added = len(after.get_drawings()) - len(before.get_drawings())
    assert added > 3 * (len(LOWER) + len(UPPER))
    assert {w[4] for w in before.get_text("words")} < {w[4] for w in after.get_text("words")}

"""What programs and files of other people rely on: words of the command, of the mapping file and of the results.

The lists are written out here a second time on purpose: a name that is changed in the program has to be changed
here too, and then it is plain that somebody's file or program breaks.
"""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path
from typing import Any, get_args

import click
import openpyxl
import pytest
from click.testing import CliRunner

import small_house
from cordpath.cli import main
from cordpath.model import Kind, RoomKind
from cordpath.symbols.mapping_file.entries import KINDS
from cordpath.symbols.mapping_file.mapping import load_mapping
from small_house import BATH, DEEP, LAVATORY_AT, NORTH, PLACES, WEST

SYMBOL_KINDS = (
    "receptacle", "hardwired outlet", "sink", "lavatory", "bathtub", "shower", "water closet", "countertop",
    "range", "wall oven", "cooktop", "microwave", "refrigerator", "dishwasher", "disposer", "washer", "dryer",
    "water heater", "sump pump", "panel", "switch", "light", "door", "window", "other",
)  # fmt: skip
ROOM_KINDS = (
    "bathroom", "kitchen", "food area", "laundry", "garage", "accessory building", "basement", "crawl space",
    "outdoors", "boathouse", "damp or wet", "dining", "living", "bedroom", "hall", "closet", "utility", "attic",
    "other", "unknown",
)  # fmt: skip
VERDICTS = ("missing", "protected", "not required", "unresolved")
SCHEDULE = ["sheet", "number", "room", "kind", "circuit", "required by", "protected by", "verdict", "distance"]
OUTPUTS = {"plan.marked.pdf", "results.json", "schedule.csv", "schedule.xlsx", "report.html"}
EVERY_KEY = """\
cordpath: 1
drawing:
  scale: auto
  wall_layers: [A-WALL*]
  device_layers: [E-POWR*]
  ignore_layers: [A-FURN*]
symbols:
  - name: duplex receptacle
    kind: receptacle
    shape:
      - circle: {center: [0, 0], radius: 0.0625}
      - line: {from: [-0.1, 0.025], to: [0.1, 0.025]}
      - arc: {center: [0, 0], radius: 0.1, start: 0, end: 180}
      - polyline: {points: [[0, 0], [0.1, 0], [0.1, 0.1]], closed: true, filled: false}
      - text: {value: S, at: [0, 0]}
    size: plotted
    scales: [0.8, 1.25]
    wall_side: [0, -1]
    volts: 240
  - name: GFCI receptacle
    kind: receptacle
    protection: device
    legend: GFCI RECEPTACLE
  - name: kitchen sink
    kind: sink
    picked: {file: a101.pdf, page: 1, box: [100, 200, 140, 230]}
    size: real
    edge: inner
labels:
  - text: GFI|GFCI
    sets: {protection: device}
  - text: WP
    sets: {weatherproof: true}
  - text: DW
    sets: {serves: dishwasher, volts: 120, status: existing, height_in: 18}
rooms:
  - text: OWNER'S BATH
    kind: bathroom
"""


def test_a_mapping_file_may_use_every_key(tmp_path: Path) -> None:
    file = tmp_path / "symbols.yaml"
    file.write_text(EVERY_KEY)
    (tmp_path / "a101.pdf").touch()
    mapping = load_mapping(file)
    duplex, gfci, sink = mapping.symbols
    assert len(duplex.shape or ()) == 5 and (duplex.size, duplex.scales) == ("plotted", (0.8, 1.25))
    assert (duplex.volts, gfci.volts, sink.volts) == (240.0, 125.0, None)
    assert (gfci.legend, gfci.protection, gfci.scales) == ("GFCI RECEPTACLE", "device", (0.95, 1.05))
    assert sink.picked is not None and (sink.size, sink.edge) == ("real", "inner")
    assert [dict(label.sets) for label in mapping.labels] == [
        {"protection": "device"}, {"weatherproof": True},
        {"serves": "dishwasher", "volts": 120.0, "status": "existing", "height_in": 18.0},
    ]  # fmt: skip
    drawing = mapping.drawing
    assert (drawing.wall_layers, drawing.device_layers, drawing.ignore_layers) == (
        ("A-WALL*",), ("E-POWR*",), ("A-FURN*",),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("written", "every", "one"),
    [
        ("auto", None, ()),
        ("'1/4in = 1ft'", 48.0, ()),
        ("1/4in = 1ft", 48.0, ()),
        ("'1:50'", 50.0, ()),
        ("1:50", 50.0, ()),  # which is 110 to YAML
        ("{E-101: 1:50, E-102: 1/4in = 1ft}", None, (("E-101", 50.0), ("E-102", 48.0))),
    ],
)
def test_a_scale_may_be_written_in_these_ways(
    tmp_path: Path, written: str, every: float | None, one: tuple[tuple[str, float], ...]
) -> None:
    file = tmp_path / "symbols.yaml"
    file.write_text(EVERY_KEY.replace("scale: auto", f"scale: {written}"))
    (tmp_path / "a101.pdf").touch()
    drawing = load_mapping(file).drawing
    assert (drawing.scale, drawing.sheet_scales) == (every, one)


def test_kinds() -> None:
    assert KINDS == get_args(Kind) == SYMBOL_KINDS
    assert get_args(RoomKind) == ROOM_KINDS


def test_options_of_check() -> None:
    command = main.get_command(click.Context(main), "check")
    assert command is not None
    options = {name: each for each in command.params for name in each.opts}
    assert {"--symbols", "--code", "--amend", "--out", "--jobs", "--pages", "--force"} <= set(options)
    assert options["--amend"].multiple and options["--out"].default == "review"
    assert set(options["--code"].type.choices) >= {"2014", "2017", "2020", "2023", "2026"}


# ------------------------------------------------------------------------------------- one sheet, all outputs


@pytest.fixture(scope="module")
def reviewed(tmp_path_factory: pytest.TempPathFactory) -> tuple[int, Path]:
    """The exit status of ``cordpath check`` and its output folder."""
    folder = tmp_path_factory.mktemp("contract")
    small_house.draw(folder / "plan.pdf")
    (folder / "symbols.yaml").write_text(small_house.SYMBOLS)
    words = ["check", folder, "--symbols", folder / "symbols.yaml", "--out", folder / "out", "--jobs", "0"]
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert (folder / "out").is_dir(), result.output
    return result.exit_code, folder / "out"


@pytest.fixture(scope="module")
def results(reviewed: tuple[int, Path]) -> dict[str, Any]:
    document: dict[str, Any] = json.loads((reviewed[1] / "results.json").read_text("utf-8"))
    return document


def test_status_and_outputs(reviewed: tuple[int, Path]) -> None:
    status, out = reviewed
    assert status == 1 and {path.name for path in out.iterdir()} >= OUTPUTS


def test_the_batch_in_results(results: dict[str, Any]) -> None:
    assert results["format"] == "cordpath-results/1"
    run = results["run"]
    assert run["code"]["edition"] == "2023" and run["code"]["amendments"] == []
    assert isinstance(run["version"], str) and run["symbols"].endswith("symbols.yaml")
    (sheet,) = results["sheets"]
    found = [outlet["verdict"] for outlet in sheet["outlets"]]
    counts = {"sheets": 1, "outlets": 4, **{verdict: found.count(verdict) for verdict in VERDICTS}}
    assert {name: results["totals"][name] for name in counts} == counts


def test_a_sheet_in_results(results: dict[str, Any]) -> None:
    (sheet,) = results["sheets"]
    assert sheet["file"].endswith("plan.pdf") and (sheet["page"], sheet["sheet"]) == (1, "E-101")
    assert (sheet["title"], sheet["status"], sheet["why"]) == ("POWER PLAN", "checked", None)
    scale = sheet["scale"]
    assert scale["ratio"] == 48.0 and scale["source"] == "note" and '1/4"' in scale["text"]
    assert isinstance(scale["agrees"], list) and isinstance(sheet["unexplained"], list)
    rooms = {room["name"]: room for room in sheet["rooms"]}
    assert (rooms["BATH"]["kind"], rooms["BEDROOM"]["kind"]) == ("bathroom", "bedroom")
    xs, ys = zip(*rooms["BATH"]["polygon"], strict=True)
    assert (min(xs), min(ys), max(xs), max(ys)) == pytest.approx((WEST, NORTH, WEST + BATH, NORTH + DEEP), abs=1)
    for room in rooms.values():
        assert room["id"] and 0 <= room["confidence"] <= 1 and room["finished"] in (True, False, None)
    (lavatory,) = sheet["fixtures"]
    assert (lavatory["kind"], lavatory["symbol"], lavatory["room"]) == ("lavatory", "lavatory", rooms["BATH"]["id"])
    assert lavatory["at"] == pytest.approx(LAVATORY_AT, abs=0.2) and 0 <= lavatory["confidence"] <= 1


def test_places_are_page_coordinates_and_angles_counter_clockwise(results: dict[str, Any]) -> None:
    """The place is the origin of the shape in the mapping file; the wall side of a template points up."""
    (sheet,) = results["sheets"]
    for at, turn in PLACES.values():
        (outlet,) = [each for each in sheet["outlets"] if each["at"] == pytest.approx(at, abs=0.2)]
        assert outlet["angle"] == pytest.approx(turn, abs=0.5)


def test_an_outlet_in_results(results: dict[str, Any]) -> None:
    (sheet,) = results["sheets"]
    rooms = {room["id"]: room["name"] for room in sheet["rooms"]}
    (lavatory,) = sheet["fixtures"]
    for outlet in sheet["outlets"]:
        assert re.fullmatch(r"E-101\.\d+", outlet["id"])
        assert (outlet["kind"], outlet["symbol"]) == ("receptacle", "duplex receptacle")
        assert outlet["verdict"] in VERDICTS and 0 <= outlet["confidence"] <= 1
        assert outlet["circuit"] is None and outlet["height_in"] is None
        if rooms[outlet["room"]] == "BEDROOM":
            assert (outlet["verdict"], outlet["protection"]["by"]) == ("not required", None)
        elif outlet["labels"] == ["GFI"]:
            assert outlet["verdict"] == "protected" and outlet["protection"]["by"] == "device"
            assert "GFI" in outlet["protection"]["evidence"]
        else:
            assert (outlet["verdict"], outlet["protection"]["by"], outlet["labels"]) == ("missing", None, [])
            assert outlet["protection"]["evidence"] is None
            measured = [each for each in outlet["requirements"] if each["distance_ft"] is not None]
            for each in measured:
                assert each["to"] == lavatory["id"] and len(each["path"]) >= 2
                assert f"{each['distance_ft']:.1f} ft" in each["because"]
            for each in outlet["requirements"]:
                assert re.fullmatch(r"\d+\.\d+(\(\w+\))+", each["cite"]) and each["because"]
    assert {each["verdict"] for each in sheet["outlets"]} == {"missing", "protected", "not required"}


def test_the_schedules(reviewed: tuple[int, Path], results: dict[str, Any]) -> None:
    _, out = reviewed
    with (out / "schedule.csv").open(encoding="utf-8", newline="") as file:
        head, *rows = csv.reader(file)
    table = list(openpyxl.load_workbook(out / "schedule.xlsx").worksheets[0].iter_rows(values_only=True))
    assert head[:9] == SCHEDULE == list(table[0][:9]) and len(rows) == len(table) - 1 == 4
    (sheet,) = results["sheets"]
    rooms = {room["id"]: room["name"] for room in sheet["rooms"]}
    told = [
        [sheet["sheet"], each["id"], rooms[each["room"]], each["kind"], "", each["verdict"]]
        for each in sheet["outlets"]
    ]
    assert [[*row[:5], row[7]] for row in rows] == told

"""results.json: shape, schema, totals, determinism, and that nothing that was read is left out."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest
import report_builder as build
from shapely import box
from shapely.geometry import MultiPolygon

from cordpath.errors import OutputRefused
from cordpath.model import Answer, Requirement, Run, SheetResult, Unexplained
from cordpath.report import CAUTIONS, results_document, results_schema, write_results

SINK = (300.0, 150.0)


def findings():
    room = build.kitchen()
    return (
        build.missing("E-101.1", (60.0, 50.0), SINK, room),
        build.unresolved("E-101.2", (90.0, 50.0), SINK, room),
        build.protected("E-101.3", (120.0, 50.0)),
        build.free("E-101.4", (150.0, 50.0)),
    )


def check(document):
    jsonschema.Draft202012Validator.check_schema(results_schema())
    jsonschema.Draft202012Validator(results_schema()).validate(json.loads(json.dumps(document, allow_nan=False)))


def test_the_contracts_example_keys_are_all_there() -> None:
    document = results_document((build.result(findings()), build.failed(page=2)), build.RUN)
    check(document)
    assert document["format"] == "cordpath-results/1"
    assert document["run"]["code"] == {
        "edition": "2023",
        "amendments": ["city.yaml"],
        "permit_date": None,
    }
    totals = document["totals"]
    assert (totals["sheets"], totals["outlets"], totals["missing"]) == (2, 4, 1)
    assert (totals["protected"], totals["not required"], totals["unresolved"]) == (1, 1, 1)
    sheet = document["sheets"][0]
    assert (sheet["file"], sheet["page"], sheet["sheet"], sheet["title"]) == (
        "plans/set.pdf",
        1,
        "E-101",
        "POWER PLAN",
    )
    assert (sheet["scale"]["ratio"], sheet["scale"]["source"]) == (48.0, "note")
    assert sheet["scale"]["agrees"] == ["dimension"]
    assert sheet["rooms"][0]["kind"] == "kitchen" and len(sheet["rooms"][0]["polygon"]) == 4
    assert sheet["fixtures"][0] | {} == sheet["fixtures"][0]
    assert sheet["fixtures"][0]["id"] == "f1" and sheet["fixtures"][0]["room"] == "r1"
    outlet = sheet["outlets"][0]
    assert outlet["id"] == "E-101.1" and outlet["at"] == [60.0, 50.0] and outlet["labels"] == ["WP"]
    assert outlet["circuit"] == "A-12" and outlet["height_in"] == 42.0 and outlet["room"] == "r1"
    first = outlet["requirements"][0]
    assert first["cite"] == "210.8(A)(8)" and first["distance_ft"] == 4.3 and first["to"] == "f1"
    assert first["path"] == [[60.0, 50.0], [300.0, 50.0], [300.0, 150.0]]
    assert outlet["protection"]["by"] is None
    assert document["sheets"][1]["status"] == "failed" and "picture" in document["sheets"][1]["why"]


def test_an_outlet_that_was_read_but_not_judged_is_unresolved() -> None:
    stray = build.outlet("E-101.9", (200.0, 200.0))
    document = results_document((build.result(findings(), extra_outlets=[stray]),), build.RUN)
    check(document)
    last = document["sheets"][0]["outlets"][-1]
    assert (last["id"], last["verdict"]) == ("E-101.9", "unresolved") and last["reasons"]
    assert document["totals"]["unresolved"] == 2 and document["totals"]["outlets"] == 5


def test_unexplained_things_are_told_once_and_near_what() -> None:
    inside = Unexplained("a shape drawn 3 times", ((50.0, 50.0), (60.0, 60.0), (500.0, 350.0)))
    outside = Unexplained("text beside no symbol", ((600.0, 390.0),), (590.0, 380.0, 610.0, 395.0))
    found = build.result((), unexplained=(inside, outside))
    twice = replace(
        found, reading=replace(found.reading, spotting=replace(found.reading.spotting, unexplained=(inside,)))
    )
    document = results_document((twice,), build.RUN)
    check(document)
    things = document["sheets"][0]["unexplained"]
    assert [(t["count"], t["near"]) for t in things] == [(3, ["KITCHEN"]), (1, ["MAIN FLOOR"])]
    assert document["totals"]["unexplained"] == 4


def test_numbers_are_finite_and_rounded() -> None:
    finding = build.missing("a.1", (1 / 3, 2 / 3), SINK)
    odd = replace(finding, requirements=(Requirement("210.8", "x", Answer.UNKNOWN, float("nan"), "f1"),))
    document = results_document((build.result((odd,)),), build.RUN)
    check(document)
    outlet = document["sheets"][0]["outlets"][0]
    assert outlet["at"] == [0.33, 0.67] and outlet["requirements"][0]["distance_ft"] is None


def test_rooms_of_several_parts_and_with_holes() -> None:
    ring = box(0, 0, 100, 100).difference(box(40, 40, 60, 60))
    found = build.result(())
    rooms = (build.kitchen(MultiPolygon([box(200, 0, 210, 10), ring])),)
    plan = replace(found.reading.plans[0], rooms=rooms)
    document = results_document((replace(found, reading=replace(found.reading, plans=(plan,))),), build.RUN)
    check(document)
    room = document["sheets"][0]["rooms"][0]
    assert (
        sorted(map(tuple, room["polygon"])) == [(0, 0), (0, 100), (100, 0), (100, 100)] and len(room["holes"]) == 1
    )


@pytest.mark.parametrize(
    ("where", "value"),
    [
        (("format",), "cordpath-results/2"),
        (("totals", "missing"), -1),
        (("sheets", 0, "status"), "ok"),
        (("sheets", 0, "outlets", 0, "verdict"), "violation"),
        (("sheets", 0, "outlets", 0, "kind"), "sink"),
        (("sheets", 0, "outlets", 0, "at"), [1.0]),
        (("sheets", 0, "outlets", 0, "protection", "by"), "fuse"),
        (("sheets", 0, "outlets", 0, "requirements", 0, "distance_ft"), -2.0),
        (("sheets", 0, "outlets", 0, "requirements", 0, "cite"), ""),
        (("sheets", 0, "rooms", 0, "kind"), "lounge"),
        (("sheets", 0, "rooms", 0, "confidence"), 1.5),
        (("sheets", 0, "scale", "source"), "guess"),
        (("sheets", 0, "surprise"), 1),
        (("sheets", 1, "why"), None),
    ],
)
def test_the_schema_catches_mistakes(where, value) -> None:
    document = results_document((build.result(findings()), build.failed(page=2)), build.RUN)
    check(document)
    holder = document
    for key in where[:-1]:
        holder = holder[key]
    holder[where[-1]] = value
    with pytest.raises(jsonschema.ValidationError):
        check(document)


@pytest.mark.parametrize("key", ["verdict", "requirements", "protection", "id", "reasons"])
def test_the_schema_asks_for_the_keys_of_an_outlet(key: str) -> None:
    document = results_document((build.result(findings()),), build.RUN)
    del document["sheets"][0]["outlets"][0][key]
    with pytest.raises(jsonschema.ValidationError):
        check(document)


def test_same_results_same_bytes_and_what_a_run_adds_is_kept(tmp_path: Path) -> None:
    run = Run("0.1.0", "2023", (), "s.yaml", {"jobs": 2, "paths": (Path("a"), float("inf"))})
    results = (build.result(findings()),)
    for name in ("a.json", "b.json"):
        write_results(tmp_path / name, results_document(results, run))
    data = (tmp_path / "a.json").read_bytes()
    assert data == (tmp_path / "b.json").read_bytes()
    loaded = json.loads(data)
    check(loaded)
    assert loaded["run"]["jobs"] == 2 and loaded["run"]["paths"] == ["a", None]


def test_a_batch_of_nothing_and_a_skipped_sheet_are_valid() -> None:
    check(results_document((), build.RUN))
    skipped = SheetResult("a.pdf", 3, "skipped", "no plan is drawn on it")
    document = results_document((skipped,), build.RUN)
    check(document)
    assert document["totals"]["skipped"] == 1


def test_an_output_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(OutputRefused):
        write_results(tmp_path / "file" / "results.json", results_document((), build.RUN))


def test_results_say_what_they_are_not() -> None:
    document = results_document((), build.RUN)
    assert document["cautions"] == list(CAUTIONS) and len(CAUTIONS) == 4

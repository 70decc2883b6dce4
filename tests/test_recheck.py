"""What became of findings on sheets that are plotted anew: shifted, turned, scaled, renumbered, changed."""

from __future__ import annotations

import copy
import io
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.console import Console

import small_house
from cordpath.cli import main
from cordpath.report import CAUTIONS
from cordpath.resubmittal.overlay import Anchors, lay_over
from cordpath.resubmittal.recheck import recheck
from cordpath.resubmittal.report import comment_states, markdown, recheck_document, recheck_table
from cordpath.resubmittal.resubmittal import other_code

ROOMS = {
    "r1": ("KITCHEN", (100, 100, 400, 300)),
    "r2": ("BATH", (400, 100, 520, 300)),
    "r3": ("HALL", (100, 300, 520, 380)),
}
SPOTS = [("r1", 110, 150), ("r1", 250, 105), ("r1", 390, 200), ("r2", 460, 105), ("r2", 515, 220), ("r3", 300, 375),
         ("r3", 150, 375)]  # fmt: skip


def document() -> dict[str, Any]:
    outlets = [
        {"id": f"E-101.{k}", "symbol": "duplex", "room": room, "at": [x, y], "labels": [], "circuit": f"A-{k}",
         "verdict": "missing" if k <= 4 else "not required", "reasons": ["It is so."]}
        for k, (room, x, y) in enumerate(SPOTS, 1)
    ]  # fmt: skip
    rooms = [
        {"id": i, "name": n, "kind": "other", "polygon": [[a, b], [c, b], [c, d], [a, d]]}
        for i, (n, (a, b, c, d)) in ROOMS.items()
    ]
    fixtures = [
        {"symbol": s, "at": at} for s, at in (("sink", [250, 115]), ("lavatory", [500, 120]), ("sink", [410, 280]))
    ]
    sheet = {"file": "a.pdf", "page": 1, "sheet": "E-101", "status": "checked", "why": None, "rooms": rooms,
             "fixtures": fixtures, "outlets": outlets, "scale": {"ratio": 48.0, "status": "proved"}}  # fmt: skip
    return {"sheets": [sheet]}


def plotted(old: dict[str, Any], turn: complex = 1, shift: complex = 0, number: str = "E-101") -> dict[str, Any]:
    """The same sheet with every point moved, outlets numbered anew from the other end."""
    new = copy.deepcopy(old)

    def at(point: list[float]) -> list[float]:
        z = turn * complex(*point) + shift
        return [z.real, z.imag]

    for sheet in new["sheets"]:
        sheet["sheet"], sheet["file"] = number, "b.pdf"
        sheet["scale"]["ratio"] = 48.0 / abs(turn)
        for thing in (*sheet["outlets"], *sheet["fixtures"]):
            thing["at"] = at(thing["at"])
        for room in sheet["rooms"]:
            room["polygon"] = [at(point) for point in room["polygon"]]
        sheet["outlets"].reverse()
        for k, outlet in enumerate(sheet["outlets"], 1):
            outlet["id"] = f"{number}.{k}"
    return new


TURNS = st.builds(lambda s, q: s * 1j**q, st.floats(0.4, 2.0), st.integers(0, 3))
SHIFTS = st.builds(complex, st.floats(-400, 400), st.floats(-400, 400))


@settings(max_examples=25, deadline=None)
@given(TURNS, SHIFTS, st.sampled_from(["E-101", "E-201"]), st.sets(st.integers(1, 4)))
def test_findings_are_followed_through_any_plot(
    turn: complex, shift: complex, number: str, cured: set[int]
) -> None:
    old = document()
    new = plotted(old, turn, shift, number)
    for outlet in new["sheets"][0]["outlets"]:
        if int(outlet["circuit"][2:]) in cured:
            outlet["verdict"] = "protected"
    done = recheck(old, new)
    assert done.sheets == (("E-101", number, 1.0),)
    told = {item.old.outlet: item.status for item in done.items if item.old}
    assert told == {f"E-101.{k}": "resolved" if k in cured else "unresolved" for k in (1, 2, 3, 4)}
    assert all(item.old and item.new and item.old.circuit == item.new.circuit for item in done.items)
    assert not done.unclouded


def outlet_of(new: dict[str, Any], circuit: str) -> dict[str, Any]:
    return next(o for o in new["sheets"][0]["outlets"] if o["circuit"] == circuit)


def test_moved_gone_new_and_what_is_not_clouded() -> None:
    old = document()
    new = plotted(old, 0.5, 30 + 40j)
    sheet = new["sheets"][0]
    outlet_of(new, "A-1")["at"][1] += 4 * 9.0  # 4 ft at 1/8 in to the foot
    sheet["outlets"].remove(outlet_of(new, "A-4"))
    sheet["outlets"].append({**outlet_of(new, "A-5"), "id": "E-101.9", "at": [50 + 30, 190 + 40], "room": "r1",
                             "circuit": "A-9", "verdict": "missing"})  # fmt: skip
    outlet_of(new, "A-6")["verdict"] = "unresolved"
    outlet_of(new, "A-2")["labels"] = ["GFI"]
    outlet_of(new, "A-2")["verdict"] = "protected"
    x, y = outlet_of(new, "A-2")["at"]
    sheet["revision_clouds"] = [[x - 10, y - 10, x + 10, y + 10]]
    done = recheck(old, new, {("a.pdf", 1, "E-101.1"): 7})
    told = {(i.old or i.new).circuit: (i.status, i.changes, i.clouded) for i in done.items}  # type: ignore[union-attr]
    assert told["A-1"] == ("moved", ("moved 4.0 ft",), False)
    assert told["A-2"] == ("resolved", ("labels: none to GFI",), True)
    assert told["A-3"] == ("unresolved", (), None)
    assert told["A-4"] == ("gone", ("removed",), False)
    assert told["A-6"] == ("new", (), None)
    assert told["A-9"] == ("new", ("added",), False)
    assert {(i.old or i.new).circuit for i in done.unclouded} == {"A-1", "A-4", "A-9"}  # type: ignore[union-attr]
    assert [i.comment for i in done.items if i.old and i.old.outlet == "E-101.1"] == [7]


def test_a_symbol_that_became_another_at_its_place_is_the_same_outlet() -> None:
    old = document()
    new = plotted(old)
    outlet_of(new, "A-3").update(symbol="GFCI", verdict="protected")
    item = next(i for i in recheck(old, new).items if i.old and i.old.circuit == "A-3")
    assert item.status == "resolved" and item.changes == ("symbol: duplex to GFCI",)


def test_amendments_are_compared_by_what_they_hold() -> None:
    """A file changed under its name was no other code, and the same file at another place was one."""
    code = {"edition": "2020", "amendments": ["town.yaml"], "permit_date": None}
    old = {"run": {"code": code, "amendments_sha256": ["a"]}}
    (told,) = other_code(old, {"run": {"code": code, "amendments_sha256": ["b"]}})
    assert "have changed since, under the same names" in told
    elsewhere = {"run": {"code": {**code, "amendments": ["/office/town.yaml"]}, "amendments_sha256": ["a"]}}
    assert other_code(old, elsewhere) == ()
    assert other_code({"run": {"code": code}}, old) == (), "a review of before is compared by names"


def test_an_outlet_across_a_wall_is_another_one() -> None:
    """One that was missing protection in the bath was resolved by a new one in the kitchen, 16 pt away."""
    old = document()
    old["sheets"][0]["outlets"].append(
        {"id": "E-101.8", "symbol": "duplex", "room": "r2", "at": [403, 250], "labels": [], "circuit": "A-8",
         "verdict": "missing", "reasons": ["It is so."]}
    )  # fmt: skip
    new = plotted(old)
    moved = outlet_of(new, "A-8")
    moved.update(room="r1", at=[390, 250], verdict="not required")
    items = [i for i in recheck(old, new).items if i.old and i.old.circuit == "A-8"]
    assert [(i.status, i.new) for i in items] == [("gone", None)]
    renamed = copy.deepcopy(new)
    next(r for r in renamed["sheets"][0]["rooms"] if r["id"] == "r2")["name"] = "POWDER"
    for outlet in renamed["sheets"][0]["outlets"]:
        if outlet["circuit"] == "A-8":
            outlet.update(room="r2", at=[412, 250])
    (item,) = [i for i in recheck(old, renamed).items if i.old and i.old.circuit == "A-8"]
    assert item.new is not None, "a room was given another name, and its outlet moved by 9 pt"


def test_a_sheet_without_findings_that_did_not_come_again_is_told() -> None:
    """Nobody looked at its outlets again, and nothing said so."""
    old = document()
    for outlet in old["sheets"][0]["outlets"]:
        outlet["verdict"] = "not required"
    other = plotted(document(), number="E-102")
    for outlet in other["sheets"][0]["outlets"]:
        outlet["symbol"] = "other"
    for fixture in other["sheets"][0]["fixtures"]:
        fixture["symbol"] = "other"
    for k, room in enumerate(other["sheets"][0]["rooms"]):
        room["name"] = f"ROOM {k}"
    (note,) = recheck(old, other).notes
    assert note.startswith("E-101 (a.pdf) held 7 outlets and no finding: no sheet of the new set")
    failed = document()
    failed["sheets"][0].update(status="failed", why="it is a scan", outlets=[])
    assert "could not be checked before" in recheck(failed, other).notes[0]


def test_another_code_than_that_of_the_old_review_is_told() -> None:
    """A recheck without --code takes the default edition: findings of another one were resolved without a word."""
    old = {"run": {"code": {"edition": "2020", "amendments": [], "permit_date": None}}}
    new = {"run": {"code": {"edition": "2023", "amendments": ["Utah"], "permit_date": "2026-10-15"}}}
    (told,) = other_code(old, new)
    assert "the 2020 edition" in told and "the 2023 edition with Utah on 2026-10-15" in told
    assert other_code(old, old) == other_code({}, new) == ()


def test_a_finding_that_is_resolved_by_another_room_name_says_so() -> None:
    old = document()
    new = plotted(old)
    outlet_of(new, "A-3")["verdict"] = "not required"
    room = next(r for r in new["sheets"][0]["rooms"] if r["id"] == outlet_of(new, "A-3")["room"])
    before, room["name"] = room["name"], "STUDY"
    item = next(i for i in recheck(old, new).items if i.old and i.old.circuit == "A-3")
    assert item.status == "resolved" and item.changes == (f"room: {before} to STUDY",)


@pytest.mark.parametrize("how", ["failed", "left out", "another house"])
def test_what_was_not_checked_is_never_resolved(how: str) -> None:
    old = document()
    new = plotted(old)
    if how == "failed":
        new["sheets"][0].update(status="failed", why="damaged", outlets=[], rooms=[], fixtures=[], scale=None)
    elif how == "left out":
        new["sheets"] = []
    else:
        rng = np.random.default_rng(5)
        for thing in (*new["sheets"][0]["outlets"], *new["sheets"][0]["fixtures"]):
            thing["at"] = rng.uniform(0, 600, 2).tolist()
        for room in new["sheets"][0]["rooms"]:
            room["name"] = f"X{room['name']}"
    done = recheck(old, new)
    assert [i.status for i in done.items if i.old] == ["not checked"] * 4
    assert how != "failed" or "damaged" in done.notes[0]


def test_two_sheets_with_swapped_numbers_are_told_apart_by_their_drawings() -> None:
    old = document()
    other = plotted(document(), 1, 0, "E-102")["sheets"][0]
    for thing in (*other["outlets"], *other["fixtures"]):
        thing["at"] = [600 - thing["at"][0], thing["at"][1] * 0.6 + 20]
    for room in other["rooms"]:
        room["polygon"] = [[600 - x, y * 0.6 + 20] for x, y in room["polygon"]]
    old["sheets"].append(other)
    new = copy.deepcopy(old)
    for sheet, number in zip(new["sheets"], ("E-102", "E-101"), strict=True):
        sheet["sheet"] = number
    assert {(a, b) for a, b, _ in recheck(old, new).sheets} == {("E-101", "E-102"), ("E-102", "E-101")}


@settings(max_examples=30, deadline=None)
@given(TURNS, SHIFTS, st.integers(0, 10_000))
def test_a_laying_is_found_among_strangers(turn: complex, shift: complex, seed: int) -> None:
    rng = np.random.default_rng(seed)
    points = rng.uniform(0, 700, (14, 2))
    labels = tuple(rng.choice(list("abcde"), 14).tolist())
    z = turn * (points[:, 0] + 1j * points[:, 1]) + shift
    new = np.column_stack([z.real, z.imag])
    new[:3] += rng.uniform(-60, 60, (3, 2))  # these moved
    strangers = rng.uniform(new.min(), new.max(), (4, 2))
    both = np.vstack([new, strangers])
    laying = lay_over(
        Anchors(tuple(map(tuple, points)), labels), Anchors(tuple(map(tuple, both)), (*labels, *"abca"))
    )
    assert laying is not None and laying.support >= 11 / 14 - 0.01
    assert np.abs(laying.map(points)[3:] - new[3:]).max() < 1.5


def test_no_laying_without_anchors() -> None:
    assert lay_over(Anchors((), ()), Anchors((), ())) is None
    same = Anchors(((1.0, 1.0),) * 4, ("a",) * 4)
    laying = lay_over(same, same)  # anchors that coincide fix no turn: the sheet lies as it did
    assert laying is not None and (laying.turn, laying.shift) == (1, 0)


def test_a_comment_is_not_resolved_while_another_outlet_has_joined_it() -> None:
    old, new = document(), document()
    outlet_of(new, "A-1")["verdict"] = "protected"
    outlet_of(new, "A-6")["verdict"] = "missing"
    first, sixth = (("a.pdf", 1, outlet_of(old, circuit)["id"]) for circuit in ("A-1", "A-6"))
    done = recheck(old, new, {first: 7}, {sixth: 7})
    told = {i.old.circuit: (i.status, i.comment, i.comment_now) for i in done.items if i.old}
    assert told["A-1"] == ("resolved", 7, None) and told["A-6"] == ("new", None, 7)
    assert comment_states(done.items)[7] == "new"
    assert comment_states([i for i in done.items if i.status == "resolved"]) == {7: "resolved"}
    text = markdown(done, ())
    assert (
        all(caution in text for caution in CAUTIONS) and "Sheets compared with what replaces them: E-101." in text
    )
    assert "- 7: new" in text and "| 7 | new |" in text


def test_a_circuit_that_changed_is_told_once() -> None:
    old, new = document(), document()
    before, after = outlet_of(old, "A-3"), outlet_of(new, "A-3")
    before["labels"], after["labels"], after["circuit"] = ["A-3", "WP"], ["A-5", "WP"], "A-5"
    done = recheck(old, new)
    (item,) = [i for i in done.items if i.old and i.old.circuit == "A-3"]
    assert item.changes == ("circuit: A-3 to A-5",)


def test_a_missing_outlet_that_stays_is_not_called_by_a_word_for_verdicts() -> None:
    """Tables read "unresolved E-101.1 (missing)"; programs keep the word."""
    done = recheck(document(), document())
    told = markdown(done, ())
    assert "4 still open" in told and "| still open | E-101.1 (missing) |" in told and "unresolved" not in told
    assert {item["status"] for item in recheck_document(done, ())["items"]} == {"unresolved"}


def test_verdicts_stay_whole_on_80_columns_and_empty_columns_are_left_out() -> None:
    old = document()
    old["sheets"][0]["outlets"][0]["verdict"] = "unresolved"
    done = recheck(old, copy.deepcopy(old))
    shown = []
    for found in (
        done,
        replace(done, items=tuple(replace(item, why="it could not be seen") for item in done.items)),
    ):
        console = Console(width=80, file=io.StringIO())
        console.print(recheck_table(found, ()))
        shown.append(console.file.getvalue())  # type: ignore[attr-defined]
    assert all("(unresolved)" in each and "Review" not in each for each in shown)
    assert "Changes" not in shown[0] and "Changes" in shown[1]


def test_a_ruling_stands_beside_its_finding() -> None:
    """An accepted finding is in no comment; without its ruling the line did not say why."""
    old = document()
    new = plotted(old)
    new["sheets"][0]["outlets"][-1]["decision"] = {"ruling": "accept", "reason": "on the ceiling"}
    lines = [line for line in markdown(recheck(old, new), ()).splitlines() if "| accept |" in line]
    assert len(lines) == 1 and new["sheets"][0]["outlets"][-1]["id"] in lines[0]


def test_a_recheck_writes_not_over_the_review_that_it_goes_on_from(tmp_path: Path) -> None:
    """``recheck recheck set-3`` wrote into "recheck", its default: the second review was gone."""
    sheet, symbols = small_house.files()
    text = json.dumps({"format": "cordpath-results/1", "sheets": []})
    (tmp_path / "results.json").write_text(text)
    words = ["recheck", tmp_path / "results.json", sheet, "--symbols", symbols, "--out", tmp_path, "--jobs", "0"]
    told = CliRunner().invoke(main, [str(word) for word in words])
    assert told.exit_code == 2 and "the earlier review lies there" in told.output
    assert (tmp_path / "results.json").read_text() == text

"""Rulings are found again on a resubmittal, never on another outlet, and never change a verdict."""

from __future__ import annotations

import contextlib
import sys
from dataclasses import replace
from pathlib import Path

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity

sys.path.insert(0, str(Path(__file__).parent / "report"))
from report_builder import kitchen, missing, result, unresolved

from cordpath.decisions import blank, decisions_of, lay, place_of, told_of_unused
from cordpath.errors import ConfigurationRefused, CordpathError
from cordpath.model import Decision, SheetResult
from cordpath.report import CAUTIONS, sheet_of
from cordpath.resubmittal.carried import carried

SINK = (300.0, 150.0)
HEAD = "cordpath-decisions: 1\ndecisions:\n"


def sheet(spots: list[tuple[float, float]], scale: float = 1.0, shift: float = 0.0, **more: object) -> SheetResult:
    shape = affinity.translate(affinity.scale(kitchen().polygon, scale, scale, origin=(0, 0)), shift, shift)
    at = [(x * scale + shift, y * scale + shift) for x, y in spots]
    found = [missing(f"E-101.{k}", spot, SINK, kitchen(shape)) for k, spot in enumerate(at, 1)]
    return result(found, **more)  # type: ignore[arg-type]


def ruling(old: SheetResult, k: int, **more: object) -> Decision:
    place = place_of(old, old.findings[k])
    made = Decision("E-101", "KITCHEN", "duplex receptacle", place, "accept", "as agreed", "A-12")
    return replace(made, **more)  # type: ignore[arg-type]


def ruled(results: tuple[SheetResult, ...]) -> list[str]:
    return [f.outlet.id for r in results for f in r.findings if f.decision]


@given(st.floats(0.4, 2.5), st.floats(0, 500), st.floats(-8, 8), st.floats(-8, 8), st.integers(0, 2))
def test_a_ruling_survives_another_plot_and_small_moves(
    scale: float, shift: float, dx: float, dy: float, k: int
) -> None:
    spots = [(60.0, 50.0), (200.0, 50.0), (60.0, 240.0)]
    old = sheet(spots)
    moved = [(x + dx, y + dy) for x, y in spots]
    laid = lay([sheet(moved, scale, shift, number="E 101")], [ruling(old, k)])
    assert ruled(laid.results) == [f"E-101.{k + 1}"] and not laid.unused
    assert laid.results[0].findings[k].verdict == "missing"


def test_a_ruling_is_used_once_and_on_nothing_else() -> None:
    old = sheet([(60.0, 50.0), (200.0, 50.0)])
    gone = lay([sheet([(200.0, 50.0), (340.0, 250.0)])], [ruling(old, 0)])
    assert ruled(gone.results) == [] and "near" in gone.unused[0][1]
    other_room = lay([old], [ruling(old, 0, room="BATH"), ruling(old, 0, sheet="E-102")])
    assert ruled(other_room.results) == [] and len(other_room.unused) == 2


@pytest.mark.parametrize("circuit", ["A-12", None])
def test_a_neighbour_at_the_counter_is_another_outlet(circuit: str | None) -> None:
    """30 pt are 20 in of 1/4" = 1'-0": with the outlet that was ruled on gone, the next one stood near enough."""
    old = sheet([(200.0, 50.0), (230.0, 50.0)])
    gone = lay([sheet([(230.0, 50.0)])], [ruling(old, 0, circuit=circuit)])
    assert ruled(gone.results) == [] and len(gone.unused) == 1


def test_a_ruling_goes_with_its_outlet_and_not_to_what_stands_at_its_place() -> None:
    """Carried over a recheck: what is gone takes its ruling along, what has moved is told; the rest is found."""
    spots = [(60.0, 50.0), (100.0, 50.0), (110.0, 50.0), (200.0, 240.0), (340.0, 140.0)]
    spots += [(60.0, 240.0), (300.0, 50.0), (60.0, 180.0)]
    old = sheet(spots)
    earlier = {"sheets": [sheet_of(old)]}
    rulings = [ruling(old, 1), ruling(old, 3), ruling(old, 4)]
    now = [spots[0], spots[2], spots[3], (340.0, 200.0), *spots[5:]]
    new = sheet(now, number="E-201")
    found = carried(rulings, earlier, [new])
    assert [(one, "no longer" in why, "moved" in why) for one, why in found.lost] == [
        (rulings[0], True, False), (rulings[2], False, True),
    ]  # fmt: skip
    assert ruled(lay([new], [anew for _, anew in found.pairs]).results) == ["E-101.3"]


def test_no_ruling_goes_by_number_alone_to_a_sheet_that_the_old_one_does_not_lie_on() -> None:
    """A plan that was mirrored has other outlets at the same places of its rooms; what was ruled on it stays."""
    old = sheet([(60.0, 50.0), (100.0, 50.0), (110.0, 90.0), (150.0, 240.0), (340.0, 140.0), (270.0, 210.0)])
    mirrored = sheet([(400.0 - f.outlet.symbol.at[0], f.outlet.symbol.at[1]) for f in old.findings])
    rulings = [ruling(old, 0), ruling(mirrored, 1)]
    found = carried(rulings, {"sheets": [sheet_of(old)]}, [mirrored])
    assert [one for one, _ in found.lost] == [rulings[0]] and "laid over" in found.lost[0][1]
    assert ruled(lay([mirrored], [anew for _, anew in found.pairs]).results) == ["E-101.2"]


def test_two_outlets_that_could_be_meant_are_both_left() -> None:
    old = sheet([(200.0, 150.0)])
    split = sheet([(195.0, 150.0), (205.0, 150.0)])
    laid = lay([split], [ruling(old, 0)])
    assert ruled(laid.results) == [] and "two outlets" in laid.unused[0][1]


def test_two_rulings_go_to_two_outlets() -> None:
    old = sheet([(60.0, 50.0), (80.0, 50.0), (100.0, 50.0)])
    laid = lay([old], [ruling(old, k, reason=str(k)) for k in (2, 0, 1)])
    assert [f.decision.reason for f in laid.results[0].findings if f.decision] == ["0", "1", "2"]


def test_unused_rulings_and_those_of_several_files_are_told() -> None:
    old = sheet([(60.0, 50.0)])
    lost, twice = ruling(old, 0, room="ATTIC", line=3), ruling(old, 0, line=9)
    files = [lay([replace(old, file=name)], [lost, twice]).unused for name in ("a.pdf", "b.pdf")]
    said = told_of_unused([lost, twice], files)
    assert "line 3" in said[0] and "not used" in said[0]
    assert "line 9" in said[1] and "2 files" in said[1]
    named = replace(twice, file="B")
    assert [ruled(lay([replace(old, file=f)], [named]).results) for f in ("a.pdf", "x/b.pdf")] == [[], ["E-101.1"]]


def test_a_ruling_from_the_blank_file_stays_in_its_file_among_submittals_of_one_model() -> None:
    """All have E-101 and an outlet at the same place; files are named alike, each in a folder of its own."""
    files = [replace(sheet([(60.0, 50.0)]), file=f"in/Lot {k}/House.pdf") for k in (1, 2)]
    asked = decisions_of(blank(files).encode(), "d.yaml")
    for k, file in enumerate(files):
        laid = lay([file], asked)
        assert ruled(laid.results) == ["E-101.1"] and [one for one, _ in laid.unused] == [asked[1 - k]]
    assert "file:" not in blank(files[:1])
    assert not lay([files[0]], [replace(asked[0], file="t 1/house")]).results[0].findings[0].decision


def test_the_blank_file_is_read_back_and_finds_its_outlets() -> None:
    odd = replace(kitchen(), name='NOOK "A": \u2028# x')
    findings = [missing("E-101.1", (60.0, 50.0), SINK, odd), unresolved("E-101.2", (300.0, 240.0), SINK, None)]
    sheets = [result(findings)]
    asked = decisions_of(blank(sheets).encode(), "d.yaml")
    assert all(f"# {caution}\n" in blank(sheets) for caution in CAUTIONS)
    assert ruled(lay(sheets, asked).results) == ["E-101.1", "E-101.2"]
    assert decisions_of(blank(lay(sheets, asked).results).encode(), "d.yaml") == ()


ENTRY = "- {sheet: E-1, room: K, symbol: d, place: [0.1, 0.2], ruling: accept, reason: r}\n"


@pytest.mark.parametrize(
    ("text", "place", "what"),
    [
        ("", "1:1", "empty"),
        ("decisions: []\n", "1:1", "cordpath-decisions: 1"),
        (HEAD + ENTRY.replace("accept", "acept"), f"3:{ENTRY.index('accept') + 1}", "'accept' was perhaps meant"),
        (HEAD + ENTRY.replace(", reason: r", ""), "3:3", "without reason"),
        (HEAD + ENTRY.replace("[0.1, 0.2]", "[0.1]"), f"3:{ENTRY.index('[') + 1}", "[x, y]"),
        (HEAD + ENTRY.replace("symbol: d", "symbl: d"), f"3:{ENTRY.index('symbol') + 1}", "unknown key 'symbl'"),
        (HEAD + "- *a\n", "3:3", "a reference (*a)"),
        ("\tx", "1:1", "not YAML"),
    ],
)
def test_faults_are_told_by_line_and_column(text: str, place: str, what: str) -> None:
    with pytest.raises(ConfigurationRefused) as refused:
        decisions_of(text.encode(), "d.yaml")
    assert any(line.startswith(f"d.yaml:{place}: ") and what in line for line in str(refused.value).splitlines())


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    with contextlib.suppress(CordpathError):
        decisions_of(HEAD.encode() + data, "d.yaml")


def test_an_empty_room_is_no_division_by_nothing() -> None:
    flat = replace(kitchen(), polygon=shapely.Polygon([(0, 0), (10, 0), (5, 0)]))
    assert all(abs(v) < 1e12 for v in place_of(result(), missing("E-101.1", (60.0, 50.0), SINK, flat)))

"""The rules in force as a table, and one rule explained."""

from __future__ import annotations

import contextlib
import datetime as dt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath.errors import UsageRefused
from cordpath.rules import (
    Edition,
    amend,
    dated,
    editions,
    explain,
    find_lines,
    load_amendment,
    load_edition,
    rule_lines,
    wording,
)
from cordpath.rules.language import CONDITIONS
from cordpath.rules.load import parse_amendment

FOLDER = Path(__file__).parents[2] / "configs" / "amendments"


def ready(name: str, year: str) -> Edition:
    return amend(load_edition(year), load_amendment(FOLDER / f"{name}.yaml"))


@pytest.mark.parametrize("year", editions())
def test_every_entry_is_in_the_table_and_can_be_explained(year: str) -> None:
    edition = load_edition(year)
    lines = rule_lines(edition, edition)
    assert not any(line.mark for line in lines)
    for entry in (*edition.rules, *edition.exemptions):
        assert any(line.entry is entry for line in lines), entry.cite
    assert {column.name for column in edition.columns} == {
        line.part.removeprefix("beside the verdict: ") for line in lines if line.part.startswith("beside")
    }
    for line in lines:
        told = {part.heading: part.lines for part in explain(line, edition)}
        assert told["Says"] and told["How cordpath decides it"] and told["What it cannot see"] and told["Sources"]
        assert all(text.strip() for part in told.values() for text in part)
        assert line in find_lines(line.nec, lines)


def test_every_condition_of_the_language_is_explained() -> None:
    assert set(CONDITIONS) == set(wording.DECIDES) == set(wording.BLIND)


def test_what_an_amendment_did_is_marked() -> None:
    base = load_edition("2023")
    marks = {(line.cite, line.mark) for line in rule_lines(ready("utah-2023", "2023"), base)}
    assert ("210.8(A)(7)", "dropped") in marks and ("210.8(F) Exception 2", "dropped") in marks
    assert ("210.8(A)(6)", "changed") in marks and ("210.8(C)", "") in marks
    added = {line.cite for line in rule_lines(ready("ohio-2023", "2023"), base) if line.mark == "added"}
    assert "Ohio 4101:8-34-01, door opener" in added
    relief = rule_lines(ready("washington-2020-relief", "2020"), load_edition("2020"))
    assert any(line.mark == "changed" and "as amended by" in line.cite for line in relief)


@pytest.mark.parametrize(
    ("day", "says"),
    [
        (None, "until 2026-09-01: give --permit-date"),
        (dt.date(2026, 8, 31), "in force until 2026-09-01"),
        (dt.date(2026, 9, 1), "not in force on 2026-09-01"),
    ],
)
def test_dates_are_told(day: dt.date | None, says: str) -> None:
    base = load_edition("2023")
    lines = rule_lines(base if day is None else dated(base, day), base)
    assert says in next(line.note for line in lines if line.cite == "210.8(F) Exception 2")


def test_a_rule_is_found_in_either_numbering() -> None:
    edition = ready("residential-numbering", "2017")
    lines = rule_lines(edition, load_edition("2017"))
    (local,), (nec,) = find_lines("e3902.6", lines), find_lines("210.8(A)(6)", lines)
    assert local is nec and local.cite == "E3902.6" and local.mark == ""
    assert ("Section of the NEC", ("210.8(A)(6)",)) in [(p.heading, p.lines) for p in explain(local, edition)]
    assert [line.cite for line in find_lines("E3902.1", lines)] == ["E3902.1"]


def test_a_section_names_its_parts() -> None:
    edition = load_edition("2023")
    lines = rule_lines(edition, edition)
    found = [line.cite for line in find_lines("210.8(F)", lines)]
    assert found[0] == "210.8(F)"
    items = {line.cite for line in find_lines("210.8 (A)", lines)}
    assert {f"210.8(A)({n})" for n in range(1, 13)} <= items and "210.8(F)" not in items
    assert [line.nec for line in find_lines("210.12(b)", lines)] == ["210.12(B)"]


def test_exceptions_of_companion_columns_are_theirs() -> None:
    edition = load_edition("2023")
    (line,) = (line for line in rule_lines(edition, edition) if line.nec == "406.12(1)")
    told = {part.heading: part.lines for part in explain(line, edition)}
    assert [text.split(":")[0] for text in told["Exceptions"]] == ["406.12, height", "406.12, appliances"]


@pytest.mark.parametrize("wanted", ["210.9", "", "GFCI", "210.8(A)(99)"])
def test_an_unknown_citation_is_refused_with_a_cure(wanted: str) -> None:
    edition = load_edition("2023")
    with pytest.raises(UsageRefused, match="cordpath rules"):
        find_lines(wanted, rule_lines(edition, edition))


@given(st.text(max_size=20))
def test_any_text_is_found_or_refused(wanted: str) -> None:
    edition = load_edition("2020")
    lines = rule_lines(edition, edition)
    with contextlib.suppress(UsageRefused):
        assert find_lines(wanted, lines)


def test_conditions_in_words() -> None:
    text = (
        "cordpath: 1\namendment: T\nadd:\n  - cite: T 1\n    title: T\n    says: S\n"
        "    for: receptacle\n    where:\n"
        "      - {room: [hall, attic], finished: false, serves: [a, b, c], within: tub, higher_than_in: 60}\n"
        "      - {weatherproof: false, at_counter: false, ask: 'Is it so?'}\n"
    )
    edition = amend(load_edition("2023"), parse_amendment(text, "t.yaml"))
    rule = edition.rule("T 1")
    assert rule is not None
    first, second = (wording.clause(each, edition.measure) for each in rule.where)
    for words in (
        "of the kind hall or attic", "the room is not finished", "it serves a, b or c",
        "within 6 ft of a tub or shower along the cord path", "higher than 60 in",
    ):  # fmt: skip
        assert words in first
    assert second == "it serves no countertop and it is not weatherproof; then it asks: Is it so?"

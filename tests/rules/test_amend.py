"""Amendments: drop, change, add, exempt, their dates, and their faults."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from tests.rules.records import finding, fixture, room

from cordpath.errors import ConfigurationRefused
from cordpath.model import Answer, Room
from cordpath.rules import Edition, amend, load_amendment, load_edition
from cordpath.rules.load import parse_amendment

CONFIGS = Path(__file__).parents[2] / "configs"
HEAD = "cordpath: 1\namendment: Town rule 7\n"
GARAGE = {"rooms": room("garage")}
KITCHEN = {"rooms": room("kitchen"), "at_counter": Answer.NO, "fixtures": (fixture("sink", 9.0),)}
SPAN = "effective: 2025-01-01\nsunset: 2026-01-01\n"
DAYS = ((dt.date(2024, 12, 31), False), (dt.date(2025, 1, 1), True), (dt.date(2026, 1, 1), False))


def amended(text: str, year: str = "2023") -> Edition:
    return amend(load_edition(year), parse_amendment(HEAD + text, "town.yaml"))


def test_drop_takes_a_rule_out_and_only_that_one() -> None:
    edition = amended("drop: [210.8(A)(1)]\n")
    assert edition.rule("210.8(A)(1)") is None
    assert edition.rule("210.8(A)(10)") is not None
    assert finding(edition, rooms=room("bathroom"), fixtures=(fixture("lavatory", 9.0),)).verdict == "unresolved"
    assert edition.name == "2023 as amended by Town rule 7"


def test_drop_of_a_list_takes_all_of_it() -> None:
    edition = amended("drop: 210.8(A)\n")
    assert not [rule for rule in edition.rules if rule.cite.startswith("210.8(A)")]
    assert finding(edition, **GARAGE).verdict == "not required"


def test_change_replaces_the_fields_that_are_written() -> None:
    edition = amended("change:\n  - cite: 210.8(A)(6)\n    where: {room: kitchen, at_counter: true}\n")
    rule = edition.rule("210.8(A)(6)")
    assert rule is not None and rule.title == "Kitchens"
    assert finding(edition, **KITCHEN).verdict == "not required"
    assert finding("2023", **KITCHEN).verdict == "missing"


@pytest.mark.parametrize(
    "text",
    ["drop: [210.8(A)(6)]\n", "change:\n  - {cite: 210.8(A)(6), where: {room: kitchen, at_counter: true}}\n"],
)
def test_a_rule_that_is_switched_off_is_named_at_the_outlet_and_beside_the_results(text: str) -> None:
    """A kitchen outlet was 'not required' by an amendment of which only the file's name was told."""
    edition = amended(text)
    found = finding(edition, **KITCHEN)
    assert found.verdict == "not required"
    assert "Town rule 7 drops or changes 210.8(A)(6), which as printed would ask here." in found.reasons
    assert any("Town rule 7 " in said and "210.8(A)(6)" in said for said in edition.cautions)
    assert not any("Town rule 7" in said for said in finding(edition, rooms=room("bedroom")).reasons)


def test_an_empty_where_is_refused() -> None:
    """A rule that holds nowhere was switched off, and nothing said so."""
    with pytest.raises(ConfigurationRefused, match="must not be empty"):
        amended("change:\n  - {cite: 210.8(A)(6), where: []}\n")


def test_another_measure_is_told_beside_the_results() -> None:
    edition = amended("measure: {limit_ft: 0.5}\n")
    assert any("Town rule 7 measures by another limit_ft (0.5)" in said for said in edition.cautions)


def test_a_measure_can_be_changed() -> None:
    edition = amended("measure: {limit_ft: 8}\n")
    assert edition.measure.limit_ft == 8.0 and edition.measure.doors == "open"
    assert finding(edition, fixtures=(fixture("sink", 7.0),)).verdict == "missing"


def test_exempt_and_add() -> None:
    text = (
        "exempt:\n  - {cite: Town 7.1, says: Freezers., to: [210.8(A)(2)], claim: {serves: [freezer]}}\n"
        "add:\n  - {cite: Town 7.2, title: Closets, says: Closets too., for: receptacle, where: {room: closet}}\n"
    )
    edition = amended(text)
    assert finding(edition, **GARAGE, serves="freezer").verdict == "not required"
    assert finding(edition, **GARAGE).verdict == "missing"
    assert finding(edition, rooms=room("closet")).requirements[0].cite == "Town 7.2"


@pytest.mark.parametrize(("day", "within"), DAYS)
def test_dates_of_an_amendment(day: dt.date, within: bool) -> None:
    dropped = amended(SPAN + "drop: [210.8(A)(2)]\n")
    assert finding(dropped, day=day, **GARAGE).verdict == ("not required" if within else "missing")
    text = SPAN + "change:\n  - cite: 210.8(A)(6)\n    where: {room: kitchen, at_counter: true}\n"
    changed = amended(text)
    assert finding(changed, day=day, **KITCHEN).verdict == ("not required" if within else "missing")
    at_counter = {**KITCHEN, "at_counter": Answer.YES}
    assert finding(changed, day=day, **at_counter).verdict == "missing"
    added = amended(
        SPAN + "add:\n  - {cite: Town 7.2, title: C, says: C., for: receptacle, where: {room: closet}}\n"
    )
    assert finding(added, day=day, rooms=room("closet")).verdict == ("missing" if within else "not required")


@pytest.mark.parametrize(
    "text",
    ["drop: [210.8(A)(6)]\n", "change:\n  - {cite: 210.8(A)(6), where: {room: kitchen, at_counter: true}}\n"],
)
def test_a_rule_that_is_switched_off_for_some_days_is_named_at_the_outlet_and_its_days_beside_it(text: str) -> None:
    edition = amended(SPAN + text)
    (within,) = (finding(edition, day=day, **KITCHEN) for day, asked in DAYS if asked)
    assert "Town rule 7 takes it out: 210.8(A)(6) is not in force" in within.reasons[0]
    (said,) = edition.cautions
    assert said.endswith("210.8(A)(6) (from 2025-01-01 until 2026-01-01)")


def test_without_a_permit_date_what_is_dated_is_a_question() -> None:
    for text in (SPAN + "drop: [210.8(A)(2)]\n", SPAN + "change:\n  - {cite: 210.8(A)(2), volts: 240}\n"):
        found = finding(amended(text), **GARAGE)
        assert found.verdict == "unresolved"
        assert any("which date governs?" in reason for reason in found.reasons)


def test_a_permit_date_given_with_the_amendment_is_kept() -> None:
    amendment = parse_amendment(HEAD + SPAN + "drop: [210.8(A)(2)]\n", "town.yaml")
    edition = amend(load_edition("2023"), amendment, dt.date(2025, 6, 1))
    assert finding(edition, **GARAGE).verdict == "not required"


def test_later_amendments_win() -> None:
    first = amended("change:\n  - {cite: 210.8(A)(2), volts: 240}\n")
    second = amend(first, parse_amendment(HEAD + "change:\n  - {cite: 210.8(A)(2), volts: 125}\n", "b.yaml"))
    assert finding(first, **GARAGE).verdict == "not required"
    assert finding(second, **GARAGE).verdict == "missing"


@pytest.mark.parametrize(
    ("text", "line", "word"),
    [
        ("drop: [210.8(Z)]\n", 3, "drops 210.8(Z)"),
        ("change:\n  - {cite: 210.8(Z), volts: 125}\n", 4, "changes 210.8(Z)"),
        ('editions: ["2017"]\ndrop: [210.8(F)]\n', 3, "not for 2023"),
        ("exempt:\n  - {cite: T, says: S, to: [210.8(Z)], claim: {room: hall}}\n", 4, "210.8(Z)"),
        (
            "add:\n  - {cite: 210.8(A)(1), title: T, says: S, for: receptacle, where: {room: hall}}\n",
            4,
            "use change",
        ),
        (SPAN + "measure: {limit_ft: 8}\n", 5, "dated amendment"),
        ("change:\n  - {cite: 210.8(A)(1), where: {room: loo}}\n", 4, "'loo'"),
        ("dropp: [210.8(F)]\n", 3, "'dropp'"),
    ],
)
def test_faults_of_an_amendment_are_told_with_their_line(text: str, line: int, word: str) -> None:
    with pytest.raises(ConfigurationRefused) as refused:
        amended(text)
    assert [fault.line for fault in refused.value.faults if word in fault.what] == [line], str(refused.value)
    assert all(fault.file == "town.yaml" for fault in refused.value.faults)


def test_a_rule_may_hang_on_the_status_of_an_outlet() -> None:
    edition = amended(
        "exempt:\n  - {cite: Town 9, says: S, to: [210.8(A)(2)], claim: {status: [existing, relocated]}}\n"
    )
    assert finding(edition, **GARAGE, status="Existing").verdict == "not required"
    assert finding(edition, **GARAGE, status="new").verdict == "missing"
    assert finding(edition, **GARAGE).verdict == "missing"
    assert finding(edition, **GARAGE, status_unsure="existing").verdict == "unresolved"


@pytest.mark.parametrize("file", ["amendments/oregon-2023", "amendments/utah-2023", "amendment-example"])
@pytest.mark.parametrize("title", ["BSMT PLAN", "LOWER LEVEL PLAN", "CELLAR", "FOUNDATION PLAN", "WALKOUT LEVEL"])
@pytest.mark.parametrize("place", [room("closet", "STORAGE"), room("utility", "MECH."), room("garage", "SHOP")])
def test_unfinished_basements_only_asks_wherever_2017_asked(file: str, title: str, place: Room) -> None:
    """States that went back to unfinished basements clear no storeroom that the older edition asks about."""
    old = finding("2017", rooms=place, title=title)
    amended = amend(load_edition("2023"), load_amendment(CONFIGS / f"{file}.yaml"))
    found = finding(amended, rooms=place, title=title)
    assert (old.verdict, found.verdict) != ("unresolved", "not required")


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("drop: [210.8(A)(1]\n", 3, "drops 210.8(A)(1, which edition 2023 has not"),
        ("drop: ['2']\n", 3, "drops 2, which edition 2023 has not"),
        ("drop: [210.8(A)(6)]\nchange:\n  - {cite: 210.8(A)(6), volts: 125}\n", 5, "drops as well"),
        ("drop: [210.8(A)]\nchange:\n  - {cite: 210.8(A)(6), volts: 125}\n", 5, "drops as well"),
        ("change:\n  - {cite: 210.8(A)(6), volts: 125}\n  - {cite: 210.8(A)(6), volts: 250}\n", 5, "a second time"),
        ("effective: 2030-01-01\nsunset: 2025-01-01\ndrop: [210.8(F)]\n", 4, "must be after its 'effective'"),
        ("change:\n  - {cite: 210.8(F), effective: 2026-01-01, sunset: 2026-01-01}\n", 4, "must be after"),
        ("editions: ['2023']\n", 1, "changes nothing; expected one of drop, change"),
        (
            "exempt:\n  - {cite: T 1, says: x, to: ['210.8(A)(1'], claim: {serves: [freezer]}}\n", 4,
            "exempts from 210.8(A)(1, which edition 2023 has not",
        ),
    ],
)  # fmt: skip
def test_what_would_silently_drop_more_or_nothing_is_refused(text: str, line: int, said: str) -> None:
    """``drop: [210.8(A)(1]`` took four rules out, and a change of a dropped rule ended in a traceback."""
    with pytest.raises(ConfigurationRefused) as refused:
        amended(text)
    (fault,) = refused.value.faults
    assert said in fault.what and (fault.file, fault.line) == ("town.yaml", line)

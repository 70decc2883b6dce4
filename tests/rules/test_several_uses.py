"""Rooms whose name tells more than one use: the other use may ask for protection where the first does not."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.rules.records import finding, fixture, room

from cordpath.model import Answer, RoomKind
from cordpath.rules.appliances import VAGUE, WRITTEN, named

FIXED = "hardwired outlet"
SINK = (fixture("sink", 9.0),)  # out of reach; a kitchen or bar without any is a question of its own


def named_for(kind: RoomKind, name: str, *also: RoomKind) -> Any:
    return replace(room(kind, name), also=also)


@pytest.mark.parametrize(
    ("edition", "verdict"),
    [
        ("2014", "unresolved"),
        ("2017", "unresolved"),
        ("2020", "unresolved"),
        ("2023", "missing"),
        ("2026", "missing"),
    ],
)
def test_a_kitchen_that_is_a_laundry_too(edition: str, verdict: str) -> None:
    both = named_for("kitchen", "KITCHEN/LAUNDRY", "laundry")
    found = finding(edition, rooms=both, fixtures=SINK, at_counter=Answer.NO)
    assert found.verdict == verdict
    if verdict == "unresolved":
        assert any("laundry of KITCHEN/LAUNDRY" in reason for reason in found.reasons)
    alone = finding(edition, rooms=room("kitchen", "KITCHEN"), fixtures=SINK, at_counter=Answer.NO)
    assert alone.verdict == ("missing" if verdict == "missing" else "not required")


@pytest.mark.parametrize(("edition", "verdict"), [("2017", "unresolved"), ("2020", "missing"), ("2023", "missing")])
def test_a_bar_that_is_surely_in_the_basement(edition: str, verdict: str) -> None:
    """From 2020 on a basement asks finished or not; before, whether it is finished is the question."""
    below = named_for("food area", "BASEMENT BAR", "basement")
    assert finding(edition, rooms=below, fixtures=SINK).verdict == verdict


def test_a_bar_on_a_patio_may_be_outdoors() -> None:
    bar = named_for("food area", "PATIO BAR", "outdoors")
    assert finding("2020", rooms=bar, fixtures=SINK).verdict == "unresolved"
    assert finding("2020", rooms=room("food area", "BAR"), fixtures=SINK).verdict == "not required"


@pytest.mark.parametrize("said", ["Equipment", "APPL.", "by owner", "unit", " hard-wired "])
def test_words_that_say_nothing_of_what_fixed_wiring_serves_clear_nothing(said: str) -> None:
    found = finding("2023", kind=FIXED, rooms=room("hall"), serves=said, volts=240.0)
    assert found.verdict == "unresolved" and any("fixed wiring serve" in reason for reason in found.reasons)


@pytest.mark.parametrize(
    ("edition", "said", "verdict"),
    [
        ("2023", "wall ovens", "missing"), ("2023", "Ranges", "missing"), ("2023", "hob", "missing"),
        ("2023", "M/W", "missing"), ("2020", "D/W", "missing"), ("2017", "DW", "missing"),
        ("2023", "jetted bath", "unresolved"), ("2023", "oven & range", "missing"),
        ("2023", "warm floor", "unresolved"), ("2023", "well pump", "not required"),
        ("2023", "heat pump", "not required"), ("2023", "WH", "not required"), ("2023", "fridge", "not required"),
        ("2023", "car lift", "not required"),
    ],
)  # fmt: skip
def test_what_fixed_wiring_serves_is_known_however_it_is_written(edition: str, said: str, verdict: str) -> None:
    found = finding(edition, kind=FIXED, rooms=room("hall"), serves=said, volts=240.0, amperes=30.0)
    assert found.verdict == verdict


def test_every_short_form_stands_for_a_name_that_is_no_short_form() -> None:
    assert all(named(short.upper()) == long and long not in WRITTEN for short, long in WRITTEN.items())
    assert not VAGUE & (set(WRITTEN) | set(WRITTEN.values()))


def test_a_receptacle_for_a_refrigerator_serves_no_counter_however_it_is_written() -> None:
    kit = room("kitchen", "KIT.")
    for said in ("REF", "refrig.", "Fridge", "refrigerator"):
        found = finding("2020", rooms=kit, fixtures=SINK, at_counter=Answer.YES, serves=said)
        assert found.verdict == "not required", said


@pytest.mark.parametrize(
    ("edition", "volts", "amperes", "verdict"),
    [
        ("2020", 240.0, 50.0, "unresolved"), ("2020", 240.0, None, "unresolved"), ("2020", 240.0, 20.0, "missing"),
        ("2020", 120.0, 20.0, "missing"), ("2023", 240.0, 50.0, "missing"),
    ],
)  # fmt: skip
def test_a_receptacle_of_240_volts_between_counters_may_be_a_range_s(
    edition: str, volts: float, amperes: float | None, verdict: str
) -> None:
    """It was missing protection for certain as one that serves the countertop."""
    found = finding(
        edition, rooms=room("kitchen"), fixtures=SINK, at_counter=Answer.YES, volts=volts, amperes=amperes
    )
    assert found.verdict == verdict

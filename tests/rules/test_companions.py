"""The companion columns: what they answer, and that they never bear on the verdict."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.rules.records import CANNOT_TELL, NOT_SHOWN, SHOWN, finding, fixture, room

from cordpath.errors import ConfigurationRefused
from cordpath.model import Answer, Companion, Finding
from cordpath.rules import editions, load_edition
from cordpath.rules.load import COMPANIONS, parse_column

AFCI, TAMPER, WEATHER = COMPANIONS


def column(found: Finding, name: str) -> Companion:
    return next(each for each in found.companions if each.name == name)


def asked(name: str, year: str = "2023", **record: Any) -> str:
    return column(finding(year, **record), name).asked.value


@pytest.mark.parametrize("year", editions())
@pytest.mark.parametrize(
    ("kind", "answer"),
    [
        ("kitchen", "yes"), ("laundry", "yes"), ("living", "yes"), ("bedroom", "yes"), ("hall", "yes"),
        ("closet", "yes"), ("dining", "yes"),
        ("bathroom", "no"), ("garage", "no"), ("outdoors", "no"), ("crawl space", "no"),
        ("food area", "unknown"), ("other", "unknown"), ("unknown", "unknown"),
    ],
)  # fmt: skip
def test_arc_fault_protection_by_room(year: str, kind: str, answer: str) -> None:
    """Rooms of 210.12 as captaincode.leviton.com, node 24, and the 2023 list of section 1429 name them."""
    found = column(finding(year, rooms=room(kind)), AFCI)
    assert found.asked.value == answer
    expected = "210.12(B)" if year >= "2023" else "210.12(A)"
    assert found.cite == (None if answer == "no" else expected)
    assert (found.because == "") == (answer == "no")


def test_arc_fault_protection_is_about_120_volts() -> None:
    """240 V dryer and range circuits are outside (captaincode.leviton.com, node 24)."""
    assert asked(AFCI, rooms=room("laundry"), volts=250.0, amperes=30.0) == "no"
    assert asked(AFCI, rooms=room("kitchen"), kind="hardwired outlet", volts=120.0, serves="dishwasher") == "yes"
    assert asked(AFCI, rooms=room("basement", finished=False)) == "no"
    assert asked(AFCI, rooms=room("basement", finished=True)) == "unknown"


def test_tamper_resistant_receptacles() -> None:
    """250 V since 2017; more than 5.5 ft above the floor and single receptacles of appliances are left out."""
    assert asked(TAMPER, rooms=room("bedroom")) == "yes"
    assert asked(TAMPER, "2014", rooms=room("bedroom"), volts=250.0) == "no"
    assert asked(TAMPER, "2017", rooms=room("bedroom"), volts=250.0, amperes=20.0) == "yes"
    assert asked(TAMPER, rooms=room("bedroom"), volts=250.0, amperes=50.0) == "no"
    assert asked(TAMPER, rooms=room("garage"), height_in=96.0) == "no"
    assert asked(TAMPER, rooms=room("garage"), height_in=66.0) == "yes"
    refrigerator = {"rooms": room("kitchen"), "serves": "refrigerator"}
    assert asked(TAMPER, **refrigerator) == "unknown"
    assert asked(TAMPER, **refrigerator, single_receptacle=True) == "no"
    assert asked(TAMPER, **refrigerator, single_receptacle=False) == "yes"
    assert asked(TAMPER, "2017", rooms=room("attic")) == "no"
    assert asked(TAMPER, kind="hardwired outlet", rooms=room("bedroom")) == "no"


def test_weather_resistant_receptacles() -> None:
    """Damp and wet locations (EC&M, Code Q&A, 2014)."""
    for year in editions():
        assert asked(WEATHER, year, rooms=room("outdoors")) == "yes"
        assert asked(WEATHER, year, rooms=room("damp or wet")) == "yes"
        assert asked(WEATHER, year, rooms=room("bedroom")) == "no"
        assert asked(WEATHER, year, rooms=room("hall"), weatherproof=True) == "unknown"
    assert asked(WEATHER, rooms=room("outdoors"), volts=250.0, amperes=50.0) == "no"


def test_an_outlet_whose_room_is_in_doubt_has_columns_in_doubt() -> None:
    rooms = (room("bathroom", "BATH"), room("bedroom", "BED", id="r2", open_to=("r1",)))
    found = finding("2023", rooms=rooms, why="it may stand in either", standing_room="r1")
    assert column(found, AFCI).asked is Answer.UNKNOWN
    assert column(found, AFCI).because.endswith("?")


KINDS = ("bathroom", "kitchen", "basement", "garage", "bedroom", "outdoors", "attic", "unknown", "crawl space")


@settings(max_examples=120, deadline=None)
@given(
    year=st.sampled_from(editions()),
    kind=st.sampled_from(["receptacle", "hardwired outlet", "light"]),
    where=st.sampled_from(KINDS),
    protection=st.sampled_from([NOT_SHOWN, SHOWN, CANNOT_TELL]),
    feet=st.sampled_from([None, 3.0, 5.95, 9.0]),
    facts=st.fixed_dictionaries(
        {},
        optional={
            "volts": st.sampled_from([120.0, 240.0]),
            "height_in": st.sampled_from([18.0, 100.0]),
            "weatherproof": st.booleans(),
            "serves": st.sampled_from(["dryer", "refrigerator", "lighting"]),
            "single_receptacle": st.booleans(),
            "readily_accessible": st.booleans(),
        },
    ),
)
def test_the_columns_never_change_a_verdict(
    year: str, kind: str, where: str, protection: Any, feet: float | None, facts: dict[str, Any]
) -> None:
    edition = load_edition(year)
    record = {"kind": kind, "rooms": room(where), "fixtures": (fixture("sink", feet),), **facts}
    told, silent = (
        finding(edition, protection, **record),
        finding(replace(edition, columns=()), protection, **record),
    )
    assert silent.companions == () and [each.name for each in told.companions] == list(COMPANIONS)
    assert told.verdict == silent.verdict and told.reasons == silent.reasons
    assert told.requirements == silent.requirements and told.confidence == silent.confidence
    for each in told.companions:
        assert (each.cite is None) == (each.asked is Answer.NO)


def test_a_fault_in_a_companion_file_is_told_with_its_line() -> None:
    text = "cordpath: 1\ncompanion: x\ntitle: X\ngroups:\n  - editions: ['2023']\n    rules:\n      - {cite: A}\n"
    with pytest.raises(ConfigurationRefused) as refused:
        parse_column(text, "x.yaml", "2023")
    assert all(fault.file == "x.yaml" and fault.line == 7 for fault in refused.value.faults)
    whole = text.replace("- {cite: A}", "- {cite: A, title: T, says: S, for: receptacle, where: {room: hall}}")
    assert parse_column(whole, "x.yaml", "2020") is None
    assert parse_column(whole, "x.yaml", "2023") is not None

"""Loads in the ways that drafters write them: misspelt, abbreviated, by another name, several at one outlet."""

from __future__ import annotations

import datetime as dt

import pytest
from tests.rules.records import NOT_SHOWN, finding, room

from cordpath.rules import dated, load_edition

FIXED = {"kind": "hardwired outlet", "volts": 240.0, "amperes": 40.0}


def verdict(said: str, year: str) -> str:
    return finding(year, NOT_SHOWN, rooms=room("bedroom"), serves=said, **FIXED).verdict


@pytest.mark.parametrize(
    ("said", "year"),
    [("D W", "2014"), ("D/WASHER", "2017"), ("sump", "2020"), ("drier", "2023"), ("power washer", "2020"),
     ("high-pressure spray washing machine", "2023"), ("ck top", "2023"), ("M.W.O.", "2026")],
)  # fmt: skip
def test_another_way_to_write_it_is_the_appliance(said: str, year: str) -> None:
    """All were cleared but for the sump, which was asked about."""
    assert verdict(said, year) == "missing"


@pytest.mark.parametrize(
    "said", ["double oven", "slide-in range", "electric dryer", "built-in micro", "elec. range"]
)
def test_how_it_is_built_leaves_it_what_it_is(said: str) -> None:
    """They were questions, though no other appliance is meant."""
    assert verdict(said, "2023") == "missing" and verdict(said, "2020") == "not required"


@pytest.mark.parametrize(
    ("said", "year"),
    [("diswasher", "2014"), ("dshwshr", "2017"), ("mcrwv", "2023"), ("effluent pump", "2020"),
     ("water dispenser", "2020"), ("soda machine", "2023"), ("air station", "2020"), ("electric smoker", "2023"),
     ("teppanyaki", "2026"), ("drying cabinet", "2023"), ("air tub", "2014"), ("tub motor", "2017"),
     ("cold plunge", "2023"), ("filter pump", "2017"), ("dock lift", "2014"), ("heated tile", "2020")],
)  # fmt: skip
def test_what_may_be_one_of_them_is_a_question(said: str, year: str) -> None:
    """They were cleared: their names share no word with the rule's."""
    assert verdict(said, year) == "unresolved"


@pytest.mark.parametrize(
    "said",
    ["smoke detector", "steam shower", "bath fan", "water filter", "medicine cabinet", "massage chair", "tub light",
     "wine cooler", "instant hot water dispenser", "condensate pump"],
)  # fmt: skip
def test_what_only_sounds_like_one_is_left_alone(said: str) -> None:
    assert verdict(said, "2023") == "not required"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [("A/C", "not required"), ("A/C & POOL PUMP", "missing"), ("A/C / GENERATOR", "missing"),
     ("LIGHT", "not required"), ("LIGHT & FOUNTAIN", "missing"), ("AC UNIT", "not required"),
     ("AC-1", "unresolved"), ("MINI SPLIT CONDENSER", "unresolved"), ("HP", "unresolved"), ("CU", "unresolved"),
     ("SOFFIT LIGHTS", "unresolved"), ("HVAC DISCONNECT", "unresolved"), ("AC-1 & POOL PUMP", "missing"),
     ("SMOKE ALARM", "missing"), ("GENERATOR", "missing")],
)  # fmt: skip
def test_an_exception_takes_out_only_an_outlet_that_serves_nothing_else(said: str, wanted: str) -> None:
    """One of two loads that an exception names cleared the outlet of both; a name with more words than the
    exception's was missing protection for certain."""
    edition = dated(load_edition("2023"), dt.date(2025, 3, 1))
    found = finding(edition, NOT_SHOWN, rooms=room("outdoors"), serves=said, **FIXED)
    assert found.verdict == wanted


@pytest.mark.parametrize("said", ["HEAT TRACE", "SNOW MELT", "GUTTER HEAT", "HEAT CABLE"])
@pytest.mark.parametrize("year", ["2014", "2017", "2020", "2023", "2026"])
def test_what_melts_snow_and_ice_is_asked_about_however_it_is_called(said: str, year: str) -> None:
    """Only SNOW MELTING, DEICING and HEAT TAPE were; whether it is out of reach no plan shows."""
    found = finding(year, NOT_SHOWN, rooms=room("outdoors"), serves=said)
    assert found.verdict == "unresolved"

"""What an outlet serves, in the short ways that drafters and mapping files write it."""

from __future__ import annotations

import pytest
from tests.rules.records import NOT_SHOWN, finding, room

FIXED = {"kind": "hardwired outlet", "volts": 240.0, "amperes": 40.0}


@pytest.mark.parametrize(
    "said",
    [
        "rng",
        "R",
        "rangetop",
        "MWO",
        "m.w.",
        "microhood",
        "d/w & disposal",
        "dishw",
        "stacked w/d",
        "D",
        "sp",
        "S.P.",
    ],
)
def test_an_abbreviation_is_the_appliance(said: str) -> None:
    """210.8(D) of 2023 names all of them; they were taken for loads that no rule speaks of."""
    assert finding("2023", NOT_SHOWN, rooms=room("bedroom"), serves=said, **FIXED).verdict == "missing"


@pytest.mark.parametrize("said", ["c/t", "WO", "w/o", "evc", "d.o.", "xyz"])
def test_an_abbreviation_that_is_not_known_is_a_question(said: str) -> None:
    found = finding("2023", NOT_SHOWN, rooms=room("bedroom"), serves=said, **FIXED)
    assert found.verdict == "unresolved" and any(said.lower() in reason for reason in found.reasons)


@pytest.mark.parametrize(
    "said", ["TV", "wh", "HVAC", "fan", "towel warmer", "electric fireplace", "garbage disposal"]
)
def test_a_load_that_no_rule_speaks_of_is_left_alone(said: str) -> None:
    assert finding("2023", NOT_SHOWN, rooms=room("bedroom"), serves=said, **FIXED).verdict == "not required"


@pytest.mark.parametrize(
    ("said", "year"),
    [
        ("drinking fountain", "2020"), ("hydration station", "2023"), ("sewer pump", "2020"),
        ("dish drawer", "2017"),
        ("dishwshr", "2020"), ("electric grill", "2023"), ("warming drawer", "2026"), ("griddle", "2023"),
        ("induction", "2026"), ("stovetop", "2023"), ("laundry tower", "2023"),
    ],
)  # fmt: skip
def test_what_may_be_one_of_the_appliances_is_a_question(said: str, year: str) -> None:
    """They were cleared: no word of their names is in the rule, or none that is spelt as there."""
    assert finding(year, NOT_SHOWN, rooms=room("bedroom"), serves=said, **FIXED).verdict == "unresolved"


@pytest.mark.parametrize(
    "said", ["towel warmer", "water softener", "electric fireplace", "charbroiler", "wall clock"]
)
def test_names_that_begin_with_few_letters_alike_are_no_question(said: str) -> None:
    assert finding("2023", NOT_SHOWN, rooms=room("bedroom"), serves=said, **FIXED).verdict == "not required"

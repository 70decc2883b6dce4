"""Kinds and facts guessed from a legend's words."""

from __future__ import annotations

import pytest

from cordpath.symbols.learning.trade_words import guess


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("Duplex Receptacle", "receptacle"), ("DUPLEX CONVENIENCE OUTLET", "receptacle"),
        ("GFI OUTLET", "receptacle"),
        ("HALF-SWITCHED DUPLEX", "receptacle"), ("FLOOR RECEPTACLE", "receptacle"), ("LIGHTING OUTLET", "light"),
        ("TELEPHONE OUTLET", "other"), ("TV JACK", "other"), ("THREE-WAY SWITCH", "switch"), ("DIMMER", "switch"),
        ("RECESSED DOWNLIGHT", "light"), ("LIGHTING PANEL", "panel"), ("DISCONNECT SWITCH", "hardwired outlet"),
        ("SMOKE DETECTOR", "other"), ("JUNCTION BOX", "hardwired outlet"), ("EXHAUST FAN", "other"), ("", "other"),
    ],
)  # fmt: skip
def test_kinds(text: str, kind: str) -> None:
    assert guess(text).kind == kind


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("FLOOR BOX", "receptacle"), ("POKE-THRU", "receptacle"), ("WATERPROOF OUTLET", "receptacle"),
        ("WATER HEATER OUTLET", "receptacle"), ("POWER AND DATA FLOOR BOX", "receptacle"),
        ("TELEPHONE AND 120V OUTLET", "receptacle"), ("EV CHARGER", "hardwired outlet"),
        ("RCPT, 20A", "receptacle"), ("WATER SHUT-OFF", "other"),
        ("LOW VOLTAGE DATA OUTLET", "other"), ("GAS OUTLET", "other"),
        ("SMOKE DETECTOR, HARDWIRED", "other"), ("HARD-WIRED SMOKE/CO ALARM W/ BATTERY BACKUP", "other"),
        ("HARDWIRED APPLIANCE", "hardwired outlet"), ("J-BOX FOR SMOKE DETECTOR", "hardwired outlet"),
    ],
)  # fmt: skip
def test_outlets_for_power_are_none_of_other_things(text: str, kind: str) -> None:
    """Named ``other``, they were no outlets of the plans, and nothing was asked about them."""
    assert guess(text).kind == kind


@pytest.mark.parametrize(
    ("text", "facts"),
    [
        ("DUPLEX RECEPTACLE, 20A, 125V", {"amperes": 20.0}),
        ("RANGE RECEPTACLE 120/240V 50A", {"volts": 240.0, "amperes": 50.0}),
        ("240 V RECEPTACLE", {"volts": 240.0}),
        ("GFCI RECEPTACLE", {"protection": "device"}),
        ("GROUND FAULT CIRCUIT INTERRUPTER RECEPTACLE - WP", {"protection": "device", "weatherproof": True}),
        ("WEATHERPROOF GFI DUPLEX", {"protection": "device", "weatherproof": True}),
    ],
)
def test_facts(text: str, facts: dict[str, object]) -> None:
    assert dict(guess(text).facts) == facts


@pytest.mark.parametrize(
    "text",
    [
        "NON-GFCI RECEPTACLE", "DUPLEX RECEPTACLE (GFCI WHERE REQUIRED)", "RECEPTACLE FED FROM GFCI UPSTREAM",
        "RECEPTACLE ON GFCI BREAKER", "RECEPTACLE ON GFCI CIRCUIT", "DUPLEX RECEPTACLE, NOT GFCI",
    ],
)  # fmt: skip
def test_nothing_is_protected_that_the_words_leave_open(text: str) -> None:
    told = guess(text)
    assert told.kind == "receptacle" and "protection" not in dict(told.facts)
    assert any("GFCI" in remark for remark in told.remarks)


@pytest.mark.parametrize(
    ("text", "told"), [("SMOKE DETECTOR", False), ("EXHAUST FAN", True), ("JUNCTION BOX", True)]
)
def test_only_what_is_open_is_to_be_looked_over(text: str, told: bool) -> None:
    assert bool(guess(text).remarks) == told

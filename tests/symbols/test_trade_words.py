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
        ("OUTLET W/ NIGHT LIGHT", "receptacle"), ("GFI OUTLET AT MIRROR LIGHT", "receptacle"),
        ("240V DRYER", "hardwired outlet"), ("THERMOSTAT 24V", "other"), ("CHIME 16 VOLT", "other"),
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
        ("= GFCI receptacle", {"protection": "device"}),
        (": GFCI RECEPTACLE", {"protection": "device"}),
        ("SOCKET OUTLET WITH GFCI", {"protection": "device"}),
        ("RECEPTACLE = GFCI", {}),
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
        "DUPLEX RECEPTACLE (GFCI AS REQUIRED)", "DUPLEX RECEPTACLE - GFCI PER CODE", "DUPLEX OUTLET / GFI",
        "DUPLEX OUTLET (GFI IN KITCHEN & BATHS)", "DUPLEX RECEPTACLE, GFI AT WET AREAS", "FUTURE GFCI RECEPTACLE",
        "110V OUTLET (GFI = GROUND FAULT INTERRUPTER)", "CONVENIENCE OUTLET, G.F.I. WITHIN 6' OF WATER",
        "DUPLEX RECEPTACLE. GFI: GROUND FAULT", "DUPLEX OUTLET, SEE PLAN FOR GFI", "QUAD OUTLET, GFI AS NOTED",
    ],
)  # fmt: skip
def test_nothing_is_protected_that_the_words_leave_open(text: str) -> None:
    """A plain outlet with GFCI AS REQUIRED in its row protected every plain outlet of the plans."""
    told = guess(text)
    assert told.kind == "receptacle" and "protection" not in dict(told.facts)
    assert any("GFCI" in remark for remark in told.remarks)


@pytest.mark.parametrize(
    "text",
    [
        "20A GFCI DUPLEX RECEPTACLE, NEMA 5-20R", "DUPLEX GFI RECEPTACLE W/ IN-USE COVER", "DUPLEX OUTLET, G.F.I.",
        "GFCI RECEPTACLE @ +42\" A.F.F. U.N.O.", "GFCI/WP OUTLET", "(N) GFCI DUPLEX RECEPTACLE",
        "GFI DUPLEX AT KITCHEN COUNTER", "DUPLEX RECEPTACLE WITH GROUND FAULT CIRCUIT INTERRUPTER", "WP/GFI",
    ],
)  # fmt: skip
def test_a_row_that_is_a_gfci_device_by_its_words_is_one(text: str) -> None:
    assert dict(guess(text).facts)["protection"] == "device"


@pytest.mark.parametrize(
    ("text", "told"), [("SMOKE DETECTOR", False), ("EXHAUST FAN", True), ("JUNCTION BOX", True)]
)
def test_only_what_is_open_is_to_be_looked_over(text: str, told: bool) -> None:
    assert bool(guess(text).remarks) == told

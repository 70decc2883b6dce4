"""For every rule and exception of every edition: a record that it decides, and one beside it that it leaves alone.

Keyed by the title of a rule and by the cite of an exception, so that one case serves all editions that share it;
a rule without a case fails the test that walks the edition files.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

from tests.rules.records import fixture, room

from cordpath.model import Answer

Record = dict[str, Any]
FIXED = "hardwired outlet"


def at(where: str, /, **more: Any) -> Record:
    return {"rooms": room(where), **more}


# title: (the rule holds, the rule does not hold)
RULES: dict[str, tuple[Record, Record]] = {
    "Bathrooms": (at("bathroom"), at("bedroom")),
    "Garages and accessory buildings": (at("accessory building"), at("hall")),
    "Garages": (at("garage"), at("hall")),
    "Accessory buildings": (at("accessory building"), at("garage")),
    "Outdoors": (at("outdoors"), at("living")),
    "Crawl spaces": (at("crawl space"), at("closet")),
    "Unfinished basements": (
        {"rooms": room("basement", finished=False)},
        {"rooms": room("basement", finished=True)},
    ),
    "Basements": ({"rooms": room("basement", finished=True)}, at("living")),
    "Kitchen countertops": (at("kitchen", at_counter=Answer.YES), at("kitchen", at_counter=Answer.NO)),
    "Kitchens": (at("kitchen", at_counter=Answer.NO), at("dining", at_counter=Answer.YES)),
    "Areas for food and drink": (at("food area"), at("dining")),
    "Sinks": ({"fixtures": (fixture("sink", 5.8),)}, {"fixtures": (fixture("sink", 6.4),)}),
    "Boathouses": (at("boathouse"), at("other")),
    "Bathtubs and showers": ({"fixtures": (fixture("shower", 5.8),)}, {"fixtures": (fixture("bathtub", 6.2),)}),
    "Laundry areas": (at("laundry"), {"rooms": room("utility", "MECH. ROOM")}),
    "Damp and wet places indoors": (at("damp or wet"), at("utility")),
    "Boat hoists": (
        at("outdoors", kind=FIXED, serves="boat hoist", volts=240.0),
        at("outdoors", kind=FIXED, serves="air conditioner", volts=240.0),
    ),
    "Dishwashers": (
        at("kitchen", kind=FIXED, serves="dishwasher"),
        at("kitchen", kind=FIXED, serves="range"),
    ),
    "Crawl space lighting": (
        at("crawl space", kind=FIXED, serves="lighting", volts=120.0),
        at("crawl space", kind=FIXED, serves="furnace", volts=120.0),
    ),
    "Appliances of 422.5": (at("hall", serves="water cooler"), at("hall", serves="wine cooler")),
    "Tire inflation and vacuum machines": (
        at("hall", serves="vacuum machine"),
        at("hall", serves="central vacuum"),
    ),
    "High-pressure washers": (at("hall", serves="pressure washer"), at("hall", serves="car wash")),
    "Vending machines": (at("hall", serves="vending machine"), at("hall", serves="ice machine")),
    "Drinking fountains": (at("hall", serves="drinking fountain"), at("hall", serves="wine cooler")),
    "Lights and pumps under water": (
        at("hall", kind=FIXED, serves="underwater light"),
        at("hall", serves="well pump"),
    ),
    "Elevators and lifts": (
        {"rooms": room("utility", "ELEV. MACHINE RM"), "serves": "elevator pit"},
        at("hall", kind=FIXED, serves="elevator"),
    ),
    "Specific appliances (422.5)": (
        at("basement", kind=FIXED, serves="sump pump", amperes=20.0),
        at("laundry", kind=FIXED, serves="dryer", amperes=30.0),
    ),
    "Specific appliances": (
        at("closet", kind=FIXED, serves="dryer", volts=240.0, amperes=30.0),
        at("closet", kind=FIXED, serves="water heater", volts=240.0, amperes=30.0),
    ),
    "Receptacles for servicing equipment": (at("attic", serves="hvac service"), at("hall")),
    "Outdoor outlets": (
        at("outdoors", kind=FIXED, serves="pool pump", volts=240.0, amperes=20.0),
        at("utility", kind=FIXED, serves="furnace", volts=120.0, amperes=15.0),
    ),
    "Heated floors": (
        at("bathroom", kind=FIXED, serves="floor heat", volts=240.0),
        at("bathroom", kind=FIXED, serves="towel warmer", volts=240.0),
    ),
    "Motors of pool pumps": (
        at("outdoors", kind=FIXED, serves="pool pump", volts=240.0, amperes=20.0),
        at("outdoors", kind=FIXED, serves="well pump", volts=240.0, amperes=20.0),
    ),
    "Receptacles at pools": ({"rooms": room("other", "POOL ROOM")}, {"rooms": room("other", "GAME ROOM")}),
    "Spas and hot tubs": (
        at("hall", kind=FIXED, serves="hot tub", volts=240.0, amperes=60.0),
        at("hall", kind=FIXED, serves="sauna", volts=240.0, amperes=60.0),
    ),
    "Hydromassage bathtubs": (
        at("hall", kind=FIXED, serves="whirlpool tub", volts=120.0),
        at("hall", kind=FIXED, serves="bath fan", volts=120.0),
    ),
    "Receptacles for charging vehicles, interim amendment 17-2": (
        at("garage", serves="ev charger", volts=240.0, amperes=50.0),
        at("garage", serves="ev charger", volts=240.0, amperes=60.0),
    ),
    "Receptacles for charging vehicles": (
        at("garage", serves="ev charger", volts=240.0, amperes=50.0),
        at("garage", serves="freezer"),
    ),
}

ICE = {"serves": "deicing", "readily_accessible": False, "dedicated_circuit": True}
# (edition or "any", cite): (taken out, the claim alone that still asks or stays required)
EXEMPTIONS: dict[str, tuple[Record, Record]] = {
    "210.8(A)(2)": ({}, {"rooms": room("accessory building", finished=True)}),
    "210.8(A)(3)": ({}, {"rooms": room("accessory building", finished=True)}),
    "210.8(A)(3) Exception": (at("outdoors", **ICE), at("outdoors", serves="deicing")),
    "210.8(A) Exception 1": (at("outdoors", **ICE), at("outdoors", serves="deicing")),
    "210.8(A)(7), cabinet doors": (
        {},
        {"rooms": room("kitchen"), "serves": "disposer", "fixtures": (fixture("sink", 2.0),)},
    ),
    "210.8(A)(5) Exception": (
        {"rooms": room("basement", finished=False), "serves": "burglar alarm"},
        {"rooms": room("basement", finished=False), "serves": "freezer"},
    ),
    "210.8(A) Exception 2": (at("garage", serves="security system"), at("garage", serves="freezer")),
    "760.41(B)": ({}, at("garage", serves="fire alarm")),
    "210.8(A) Exception, ceiling supports": ({}, at("bathroom", serves="ceiling support")),
    "210.8(A) Exception 3": ({}, at("bathroom", serves="ceiling support")),
    "210.8(A) Exception 4": (
        {},
        at("bathroom", serves="exhaust fan", readily_accessible=False),
    ),
    "210.8(F) Exception 1": (
        at("outdoors", kind=FIXED, serves="lighting", amperes=15.0),
        at("outdoors", kind=FIXED, serves="pool pump", amperes=15.0),
    ),
    "210.8(F), interim amendment 20-13": (
        {},
        at("outdoors", kind=FIXED, serves="mini split", amperes=20.0, day=dt.date(2021, 6, 1)),
    ),
    "210.8(F) Exception 2": (
        at("outdoors", kind=FIXED, serves="heat pump", amperes=30.0, day=dt.date(2025, 6, 1)),
        at("outdoors", kind=FIXED, serves="heat pump", amperes=30.0, day=dt.date(2026, 9, 1)),
    ),
}
# Rules that even where they hold are only asked about: nothing on a plan can settle them.
ASKED = frozenset({
    "Receptacles at pools", "Spas and hot tubs", "Appliances of 422.5", "Tire inflation and vacuum machines",
    "High-pressure washers", "Vending machines", "Drinking fountains", "Lights and pumps under water",
    "Elevators and lifts", "Receptacles for charging vehicles, interim amendment 17-2",
})  # fmt: skip
# Exceptions that even when claimed stay a question: nothing on a plan can settle them.
ONLY_ASK = {
    ("2020", "210.8(F) Exception 2"): "has the jurisdiction adopted",
}

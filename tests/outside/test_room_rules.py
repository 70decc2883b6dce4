"""The places and appliances of 210.8 by edition, as a table: one record a line, one verdict an edition.

Worked by hand from the published accounts that the edition files name beside each rule (EC&M, IAEI, NAHB, Eaton,
Leviton's Captain Code, electricallicenserenewal.com): 125 V, 15 and 20 A to 2017, 125 to 250 V from 2020;
basements unfinished to 2017, all from 2020; countertops of kitchens to 2020, all of a kitchen from 2023; food areas
from 2023; damp and wet places from 2020; exceptions as they moved; charging of vehicles in 2017 by an interim
amendment (17-2; NECA, Code question of the day of 13 June 2018), which is asked for.  M: missing, since
none is shown; N: not required; U: asked, where no plan can settle it.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from tests.rules.records import finding, fixture, room

from cordpath.model import Answer

EDITIONS = ("2014", "2017", "2020", "2023", "2026")
F = "hardwired outlet"
Y, NO = Answer.YES, Answer.NO
FAR = (fixture("sink", 9.0),)
ICE: dict[str, Any] = {"serves": "deicing", "readily_accessible": False, "dedicated_circuit": True}
BEFORE, AFTER = dt.date(2025, 1, 1), dt.date(2027, 1, 1)  # the exception for listed HVAC ends on 1 September 2026
Line = tuple[str, dict[str, Any], str]


def r(where: str, name: str | None = None, /, *, finished: bool | None = None, **more: Any) -> dict[str, Any]:
    return {"rooms": room(where, name, finished=finished), **more}


def sink(feet: float) -> tuple[Any, ...]:
    return (fixture("sink", feet),)


def tub(feet: float, kind: str = "bathtub") -> tuple[Any, ...]:
    return (fixture(kind, feet),)


TABLE: dict[str, tuple[Line, ...]] = {
    "210.8(A)(1) bathrooms": (
        ("bath 125", r("bathroom"), "MMMMM"),
        ("bath 240/20", r("bathroom", volts=240.0, amperes=20.0), "NNMMM"),
        ("bath 125/30", r("bathroom", volts=125.0, amperes=30.0), "NNMMM"),
        ("powder", r("bathroom", "POWDER"), "MMMMM"),
    ),
    "210.8(A)(2) garages and accessory buildings": (
        ("garage", r("garage"), "MMMMM"),
        ("garage ceiling opener", r("garage", serves="garage door opener", height_in=96.0), "MMMMM"),
        (
            "garage freezer single dedicated",
            r("garage", serves="freezer", single_receptacle=True, dedicated_circuit=True),
            "MMMMM",
        ),
        ("garage 240/50 ev", r("garage", serves="ev charger", volts=240.0, amperes=50.0), "NUMMM"),
        ("garage 240/30 welder", r("garage", serves="welder", volts=240.0, amperes=30.0), "NNMMM"),
        ("carport", r("garage", "CARPORT"), "MMMMM"),
        ("accessory", r("accessory building", "SHED"), "MMMMM"),
        ("accessory 240", r("accessory building", "SHED", volts=240.0, amperes=30.0), "NNMMM"),
    ),
    "210.8(A)(3) outdoors": (
        ("outdoors", r("outdoors"), "MMMMM"),
        ("outdoors 240/30", r("outdoors", volts=240.0, amperes=30.0), "NNMMM"),
        ("outdoors soffit high", r("outdoors", height_in=110.0, readily_accessible=False), "MMMMM"),
        ("outdoors ice", r("outdoors", **ICE), "NNNNN"),
        (
            "outdoors ice accessible",
            r("outdoors", serves="deicing", readily_accessible=True, dedicated_circuit=True),
            "MMMMM",
        ),
        ("garage ice", r("garage", **ICE), "MMMNN"),
    ),
    "crawl spaces": (
        ("crawl rec", r("crawl space"), "MMMMM"),
        ("crawl light hw 120", r("crawl space", kind=F, serves="lighting", volts=120.0), "NMMMM"),
        ("crawl light sym, its volts not told", r("crawl space", kind="light"), "NUUUU"),
        ("crawl 240 rec", r("crawl space", volts=240.0, amperes=20.0), "NNMMM"),
    ),
    "basements and alarms": (
        ("bsmt unfinished", r("basement", finished=False), "MMMMM"),
        ("bsmt finished", r("basement", finished=True), "NNMMM"),
        ("bsmt unknown", r("basement"), "UUMMM"),
        ("bsmt unf alarm", r("basement", finished=False, serves="burglar alarm"), "NNNNN"),
        ("bsmt unf fire alarm", r("basement", finished=False, serves="fire alarm"), "NNNUU"),
        ("bsmt fin alarm", r("basement", finished=True, serves="burglar alarm"), "NNNNN"),
        ("garage security", r("garage", serves="security system"), "MMMNN"),
        ("garage fire alarm", r("garage", serves="fire alarm"), "MMMUU"),
        ("bsmt view bedroom", {**r("bedroom"), "title": "BASEMENT PLAN"}, "NNMMM"),
        ("bsmt view mech", {**r("utility", "MECH"), "title": "BASEMENT PLAN"}, "UUMMM"),
    ),
    "kitchens and sinks": (
        ("kitchen counter", r("kitchen", at_counter=Y, fixtures=FAR), "MMMMM"),
        ("kitchen wall", r("kitchen", at_counter=NO, fixtures=FAR), "NNNMM"),
        ("kitchen fridge far", r("kitchen", at_counter=NO, fixtures=FAR, serves="refrigerator"), "NNNMM"),
        (
            "kitchen fridge near sink",
            r("kitchen", at_counter=NO, fixtures=sink(4.0), serves="refrigerator"),
            "MMMMM",
        ),
        ("kitchen counter unknown", r("kitchen", at_counter=Answer.UNKNOWN, fixtures=FAR), "UUUMM"),
        (
            "range rec 240/50 far",
            r("kitchen", at_counter=NO, fixtures=FAR, serves="range", volts=240.0, amperes=50.0),
            "NNNMM",
        ),
        (
            "range rec near sink",
            r("kitchen", at_counter=NO, fixtures=sink(5.0), serves="range", volts=240.0, amperes=50.0),
            "NNMMM",
        ),
        ("counter 240/20", r("kitchen", at_counter=Y, fixtures=FAR, volts=240.0, amperes=20.0), "NNMMM"),
        ("food area far", r("food area", "BUTLER'S PANTRY", fixtures=FAR), "NNNMM"),
        ("food area 5.9", r("food area", "WET BAR", fixtures=sink(5.5)), "MMMMM"),
        ("living 5.5 of sink", r("living", fixtures=sink(5.5)), "MMMMM"),
        ("hall 6.5 of sink", r("hall", fixtures=(fixture("sink", 6.5, room="r9"),)), "NNNNN"),
        ("bedroom 240/20 near sink", r("bedroom", fixtures=sink(4.0), volts=240.0, amperes=20.0), "NNMMM"),
    ),
    "boathouses, tubs, laundries, damp places": (
        ("boathouse", r("boathouse"), "MMMMM"),
        ("boathouse 240", r("boathouse", volts=240.0, amperes=30.0), "NNMMM"),
        ("bedroom tub 5.5", r("bedroom", fixtures=tub(5.5)), "MMMMM"),
        ("bedroom shower 5.5", r("bedroom", fixtures=tub(5.5, "shower")), "MMMMM"),
        ("bedroom tub 6.5", r("bedroom", fixtures=tub(6.5)), "NNNNN"),
        ("bedroom tub 240", r("bedroom", fixtures=tub(4.0), volts=240.0, amperes=20.0), "NNMMM"),
        ("laundry", r("laundry"), "MMMMM"),
        ("laundry dryer 240/30", r("laundry", serves="dryer", volts=240.0, amperes=30.0), "NNMMM"),
        ("closet washer", r("closet", serves="washer"), "MMMMM"),
        ("hall dryer hw", r("hall", kind=F, serves="dryer", volts=240.0, amperes=30.0), "NNNMM"),
        ("damp", r("damp or wet", "INDOOR POOL EQUIP"), "UUMMM"),
        ("damp sauna", r("damp or wet", "STEAM"), "NNMMM"),
        ("damp 240", r("damp or wet", "STEAM", volts=240.0, amperes=20.0), "NNMMM"),
        ("bedroom", r("bedroom"), "NNNNN"),
        ("bedroom 240", r("bedroom", volts=240.0, amperes=20.0), "NNNNN"),
    ),
    "attics": (
        ("attic", r("attic"), "NNUUU"),
        ("attic service", r("attic", serves="hvac service"), "NNMMM"),
    ),
    "exceptions for fans and ceilings": (
        ("bath exhaust rec", r("bathroom", serves="exhaust fan", readily_accessible=False), "MMMUU"),
        (
            "kitchen exhaust rec",
            r("kitchen", at_counter=NO, fixtures=FAR, serves="exhaust fan", readily_accessible=False),
            "NNNMU",
        ),
        ("laundry exhaust rec", r("laundry", serves="exhaust fan", readily_accessible=False), "MMMMU"),
        ("bath ceiling support", r("bathroom", serves="ceiling support"), "MMUUU"),
        ("crawl ceiling support", r("crawl space", serves="ceiling support"), "MMMUU"),
        (
            "tub9 ceiling support 2020 not in list",
            r("bedroom", fixtures=tub(4.0), serves="ceiling support"),
            "MMMUU",
        ),
        ("damp ceiling support", r("damp or wet", "STEAM", serves="ceiling support"), "NNMUU"),
    ),
    "210.8(D) appliances": (
        ("dishwasher hw", r("kitchen", kind=F, serves="dishwasher", amperes=20.0, volts=120.0), "MMMMM"),
        ("dishwasher rec", r("kitchen", at_counter=NO, fixtures=FAR, serves="dishwasher"), "MMMMM"),
        ("dishwasher 240 hw", r("kitchen", kind=F, serves="dishwasher", amperes=20.0, volts=240.0), "MMMMM"),
        ("sump hw", r("basement", finished=True, kind=F, serves="sump pump", amperes=20.0, volts=120.0), "NNMMM"),
        ("sump rec unf", r("basement", finished=False, serves="sump pump"), "MMMMM"),
        ("sump rec utility", r("utility", "MECH", serves="sump pump"), "NNMMM"),
        ("wall oven hw", r("kitchen", kind=F, serves="wall oven", volts=240.0, amperes=40.0), "NNNMM"),
        ("cooktop hw", r("kitchen", kind=F, serves="cooktop", volts=240.0, amperes=40.0), "NNNMM"),
        ("range hw 70A", r("kitchen", kind=F, serves="range", volts=240.0, amperes=70.0), "NNNNN"),
        ("microwave dining", r("dining", serves="microwave"), "NNNMM"),
        ("disposer hw", r("kitchen", kind=F, serves="disposer", volts=120.0, amperes=20.0), "NNNNN"),
        ("water heater hw garage", r("garage", kind=F, serves="water heater", volts=240.0, amperes=30.0), "NNNMM"),
        ("water heater hw closet", r("closet", kind=F, serves="water heater", volts=240.0, amperes=30.0), "NNNNN"),
    ),
    "210.8(F), 555.9, 625.54": (
        (
            "ac hw out 2025",
            r("outdoors", kind=F, serves="air conditioner", volts=240.0, amperes=40.0, day=BEFORE),
            "NNUNN",
        ),
        (
            "ac hw out 2027",
            r("outdoors", kind=F, serves="air conditioner", volts=240.0, amperes=40.0, day=AFTER),
            "NNMMM",
        ),
        (
            "ac hw out 60A",
            r("outdoors", kind=F, serves="air conditioner", volts=240.0, amperes=60.0, day=AFTER),
            "NNNNM",
        ),
        ("pool equip? spa hw 50", r("outdoors", kind=F, serves="hot tub", volts=240.0, amperes=50.0), "UUMMM"),
        ("evse hw garage", r("garage", kind=F, serves="ev charger", volts=240.0, amperes=48.0), "NNNMM"),
        ("evse hw garage60", r("garage", kind=F, serves="ev charger", volts=240.0, amperes=60.0), "NNNNM"),
        ("evse hw outdoors 50", r("outdoors", kind=F, serves="ev charger", volts=240.0, amperes=50.0), "NNMMM"),
        ("gate hw outdoors", r("outdoors", kind=F, serves="gate operator", volts=120.0, amperes=20.0), "NNMMM"),
        ("outdoor light hw", r("outdoors", kind=F, serves="lighting", volts=120.0, amperes=15.0), "NNNNN"),
        ("outdoor light sym", r("outdoors", kind="light"), "NNNNN"),
        ("garage light hw", r("garage", kind=F, serves="lighting", volts=120.0, amperes=15.0), "NNNNN"),
        ("furnace hw garage", r("garage", kind=F, serves="furnace", volts=120.0, amperes=15.0, day=AFTER), "NNNMM"),
        ("opener hw garage", r("garage", kind=F, serves="garage door opener", volts=120.0, amperes=15.0), "NNNMM"),
        ("boat hoist hw 240", r("outdoors", kind=F, serves="boat hoist", volts=240.0, amperes=30.0), "MMMMM"),
        ("ice hw outdoors", r("outdoors", kind=F, volts=240.0, amperes=30.0, **ICE), "NNNNN"),
        ("bath exhaust hw", r("bathroom", kind=F, serves="exhaust fan", volts=120.0, amperes=15.0), "NNNNN"),
        ("rec 277", r("garage", volts=277.0, amperes=20.0), "NNNNN"),
        ("ev rec hall", r("hall", serves="ev charger", volts=240.0, amperes=50.0), "NUMMM"),
        ("wp bedroom", r("bedroom", weatherproof=True), "UUUUU"),
        ("unknown room", r("unknown", "XYZ"), "UUUUU"),
    ),
    "other rooms": (
        ("utility wash sink 5", r("utility", "MECH", fixtures=sink(5.0)), "MMMMM"),
        ("mud room", r("other", "MUD ROOM"), "NNNNN"),
        ("sunroom", r("living", "SUNROOM"), "NNNNN"),
        ("workshop bsmt", r("basement", "WORKSHOP"), "UUMMM"),
        ("laundry hw 240 dryer 2020", r("laundry", kind=F, serves="dryer", volts=240.0, amperes=30.0), "NNNMM"),
    ),
}


@pytest.mark.parametrize("part", TABLE)
def test_the_table_of_places_by_edition(part: str) -> None:
    wrong = []
    for name, record, wants in TABLE[part]:
        found = [finding(year, **record).verdict for year in EDITIONS]
        said = "".join({"missing": "M", "not required": "N"}.get(each, "U") for each in found)
        wrong += [f"{name}: {said}, expected {wants}"] if said != wants else []
    assert not wrong, wrong

"""A table of outlets over all editions, worked by hand from published accounts of the rules and not from the files.

Each row: an outlet, its answer in the editions of 2014, 2017, 2020, 2023 and 2026, and the section that gives it.
``R``: protection is required (``missing``, since none is shown); ``N``: it is not; ``?``: it hangs on what no plan
shows.  *Judgement*: the text allows both readings, and the stricter one is taken.

Sources.  210.8(A): captaincode2014.leviton.com and captaincode2017.leviton.com; Eaton, NEC 2020 increases GFCI
protection; Eaton, NEC 2023 updates, dwelling requirements; electricallicenserenewal.com, section 1851 (2026).
210.8(C) to (F) of 2020: captaincode2020.leviton.com, node 243.  422.5(A) of 2020: the same, node 261.  210.8(D) of
2023: Eaton, NEC 2023 updates, 210.8(D).  210.8(F) of 2023: Mike Holt forum, thread 2570000; of 2026:
electricallicenserenewal.com, section 1852; its exception for cooling equipment: acca.org, for code officials.
210.8(D) of 2014: electricallicenserenewal.com, section 19; 210.8(E) of 2017 and 2020: the same, sections 232, 811.
625.54: EC&M, code quiz on charging equipment (2020).  555.9: Electrical Contractor, Change for the Better.
"""

from __future__ import annotations

from typing import Any

import pytest
from tests.rules.records import finding, fixture, room

from cordpath.model import Answer

YEARS = ("2014", "2017", "2020", "2023", "2026")
VERDICTS = {"missing": "R", "not required": "N", "unresolved": "?"}
FAR_SINK = (fixture("sink", 9.0),)


def at(where: str, /, **more: Any) -> dict[str, Any]:
    return {"rooms": room(where), **more}


def fixed(where: str, serves: str, amperes: float, volts: float = 240.0) -> dict[str, Any]:
    return at(where, kind="hardwired outlet", serves=serves, volts=volts, amperes=amperes)


def kitchen(**more: Any) -> dict[str, Any]:
    return at("kitchen", at_counter=Answer.NO, fixtures=FAR_SINK, **more)


def basement(finished: bool, **more: Any) -> dict[str, Any]:
    return {"rooms": room("basement", finished=finished), **more}


OPENER = at("garage", serves="garage door opener", height_in=96.0)
FREEZER = at("garage", serves="freezer", single_receptacle=True, dedicated_circuit=True)
ICE = at("outdoors", serves="deicing", readily_accessible=False, dedicated_circuit=True)
SUMP = {"kind": "hardwired outlet", "serves": "sump pump", "volts": 120.0, "amperes": 20.0}

TABLE: tuple[tuple[str, dict[str, Any], str, str], ...] = (
    ("bathroom", at("bathroom"), "RRRRR", "210.8(A)(1)"),
    ("powder room", {"rooms": room("bathroom", "POWDER")}, "RRRRR", "210.8(A)(1)"),
    ("door opener on the garage's ceiling", OPENER, "RRRRR", "210.8(A)(2): no exception since 2008"),
    ("garage freezer, single, its own circuit", FREEZER, "RRRRR", "210.8(A)(2): no exception since 2008"),
    ("240 V 50 A receptacle in a garage", at("garage", volts=240.0, amperes=50.0), "NNRRR", "210.8(A)(2)"),
    ("receptacle to charge a car", at("garage", serves="ev charger", volts=240.0, amperes=50.0), "N?RRR",
     "625.54; in 2017 by interim amendment 17-2 (NECA, Code question of the day of 13 June 2018)"),
    ("charger by fixed wiring in a garage", fixed("garage", "ev charger", 40.0), "NNNRR",
     "210.8(F) of 2023 says in garages, of 2026 at garages. Judgement: an outlet inside is meant"),
    ("charger by fixed wiring outdoors, 50 A", fixed("outdoors", "ev charger", 50.0), "NNRRR", "210.8(F)"),
    ("charger by fixed wiring outdoors, 60 A", fixed("outdoors", "ev charger", 60.0), "NNNNR",
     "210.8(F): 60 A in 2026"),
    ("finished basement", basement(True), "NNRRR", "210.8(A)(5), 2026 (6)"),
    ("unfinished basement", basement(False), "RRRRR", "210.8(A)(5), 2026 (6)"),
    ("kitchen counter", at("kitchen", at_counter=Answer.YES), "RRRRR", "210.8(A)(6), 2026 (7)"),
    ("refrigerator away from counter and sink", kitchen(serves="refrigerator"), "NNNRR", "210.8(A)(6)"),
    ("range receptacle away from counter and sink", kitchen(serves="range", volts=240.0, amperes=50.0), "NNNRR",
     "210.8(A)(6)"),
    ("kitchen wall away from counter and sink", kitchen(), "NNNRR", "210.8(A)(6)"),
    ("dishwasher by fixed wiring", fixed("kitchen", "dishwasher", 20.0, 120.0), "RRRRR", "210.8(D); 422.5(A)(7)"),
    ("wall oven by fixed wiring", fixed("kitchen", "wall oven", 40.0), "NNNRR", "210.8(D) of 2023"),
    ("cooktop by fixed wiring", fixed("kitchen", "cooktop", 40.0), "NNNRR", "210.8(D) of 2023"),
    ("range by fixed wiring, 80 A", fixed("kitchen", "range", 80.0), "NNNNN", "210.8(D): up to 60 A"),
    ("microwave by fixed wiring", fixed("kitchen", "microwave", 20.0, 120.0), "NNNRR", "210.8(D) of 2023"),
    ("disposer by fixed wiring", fixed("kitchen", "disposer", 20.0, 120.0), "NNNNN", "in no list of 210.8(D)"),
    ("dryer by fixed wiring", fixed("laundry", "dryer", 30.0), "NNNRR", "210.8(D) of 2023"),
    ("240 V dryer receptacle, laundry", at("laundry", serves="dryer", volts=240.0, amperes=30.0), "NNRRR",
     "210.8(A)(10), 2023 (11)"),
    ("240 V dryer receptacle, closet", at("closet", serves="dryer", volts=240.0, amperes=30.0), "NNRRR",
     "210.8(A)(10). Judgement: where a dryer stands is a laundry area; from 2023 on 210.8(D) asks in any place"),
    ("washer", at("laundry", serves="washer"), "RRRRR", "210.8(A)(10), 2023 (11)"),
    ("water heater by fixed wiring", fixed("utility", "water heater", 30.0), "NNNNN", "in no list of 210.8(D)"),
    ("sump pump by fixed wiring, finished basement", basement(True, **SUMP), "NNRRR", "422.5(A)(6); 210.8(D)"),
    ("sump pump receptacle, crawl space", at("crawl space", serves="sump pump"), "RRRRR", "210.8(A)(4), 2026 (5)"),
    ("light in a crawl space", fixed("crawl space", "lighting", 15.0, 120.0), "NRRRR", "210.8(E), 2020 (C)"),
    ("wet bar, 8 ft from its sink", at("food area", fixtures=(fixture("sink", 8.0),)), "NNNRR",
     "210.8(A)(7) of 2023"),
    ("living room, 5 ft from a bar sink", at("living", fixtures=(fixture("sink", 5.0),)), "RRRRR", "210.8(A)(7)"),
    ("bedroom, 5.5 ft from a tub", at("bedroom", fixtures=(fixture("bathtub", 5.5),)), "RRRRR", "210.8(A)(9)"),
    ("outdoors", at("outdoors"), "RRRRR", "210.8(A)(3)"),
    ("air conditioner, 40 A", fixed("outdoors", "air conditioner", 40.0), "NN???", "210.8(F): the day decides"),
    ("air conditioner, 60 A", fixed("outdoors", "air conditioner", 60.0), "NNNN?", "210.8(F): 60 A in 2026"),
    ("light outdoors", fixed("outdoors", "lighting", 15.0, 120.0), "NNNNN", "210.8(F): lighting is left out"),
    ("deicing receptacle out of reach", ICE, "NNNNN", "210.8(A)(3) Exception; 2023 Exception 1"),
    ("damp room", at("damp or wet"), "NNRRR", "210.8(A)(11) of 2020"),
    ("boathouse", at("boathouse"), "RRRRR", "210.8(A)(8), 2023 (9)"),
    ("service receptacle in an attic", at("attic", serves="hvac service"), "NNRRR", "210.8(E) of 2020"),
    ("bedroom", at("bedroom"), "NNNNN", "in no list"),
    ("dining room", at("dining"), "NNNNN", "in no list"),
    ("240 V receptacle in a hall", at("hall", volts=240.0, amperes=30.0), "NNNNN", "in no list"),
    ("boat hoist by fixed wiring", fixed("outdoors", "boat hoist", 30.0), "RRRRR", "210.8(C); 555.9 from 2020 on"),
)  # fmt: skip


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row[0])
def test_the_editions_answer_as_published(row: tuple[str, dict[str, Any], str, str]) -> None:
    _, record, want, section = row
    got = {year: finding(year, **record) for year in YEARS}
    reasons = [found.reasons for found in got.values()]
    assert "".join(VERDICTS[found.verdict] for found in got.values()) == want, f"{section}: {reasons}"

"""Random outlets against the rules as published accounts tell them, written from those and not from the files.

Never cleared where the accounts ask for protection, never missing where they ask for none.  What they leave to the
inspector, and more questions than needed, are other tests' matter.  Sources as in ``test_rule_table.py``.
"""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from tests.rules.records import finding, fixture, room

from cordpath.model import Answer

YEARS = ("2014", "2017", "2020", "2023", "2026")
ALWAYS = ("bathroom", "garage", "outdoors", "crawl space", "boathouse", "laundry", "accessory building")
PLAIN = ("bedroom", "closet", "dining", "hall", "living", "other")
KINDS = (*ALWAYS, *PLAIN, "kitchen", "food area", "basement", "damp or wet")
HEAT = ("range", "wall oven", "cooktop", "dryer", "microwave")  # of 210.8(D) from 2023
PUMPED = ("sump pump", "water cooler")  # of 422.5(A) from 2020
OTHERS = ("refrigerator", "freezer", "disposer", "range hood", "water heater", "tv", "doorbell", "gate operator")
BIG = ("refrigerator", "freezer", "disposer", "range hood", "water heater", *HEAT[:3])


def drawn(chance: Random) -> dict[str, Any]:
    volts = chance.choice((120.0, 120.0, 240.0))
    return {
        "place": chance.choice(KINDS),
        "kind": chance.choice(("receptacle", "receptacle", "hardwired outlet")),
        "volts": volts,
        "amperes": chance.choice((15.0, 20.0) if volts == 120 else (20.0, 30.0, 50.0, 70.0)),
        "serves": chance.choice((None, None, None, "dishwasher", *HEAT, *PUMPED, *OTHERS)),
        "finished": chance.choice((True, False)),
        "counter": chance.choice((Answer.YES, Answer.NO)),
        "near": chance.choice((None, None, ("sink", 5.0), ("sink", 7.0), ("bathtub", 5.0), ("shower", 7.0))),
    }


def asked(year: str, case: dict[str, Any]) -> bool | None:
    """Is protection asked for?  None where it hangs on what no plan shows."""
    age, place, serves, amperes = YEARS.index(year), case["place"], case["serves"], case["amperes"]
    told = [serves == "dishwasher" and (age < 2 or amperes <= 60)]
    told += [age >= 2 and serves in PUMPED and amperes <= 60, age >= 3 and serves in HEAT and amperes <= 60]
    if case["kind"] != "receptacle":
        outdoors = ("outdoors",) if age == 2 else ("outdoors", "garage", "accessory building", "boathouse")
        told.append(age >= 2 and place in outdoors and amperes <= (60 if age == 4 else 50))
        return None if serves is None or (serves in PUMPED and age < 2) else any(told)
    if age >= 2 or (case["volts"] == 120 and amperes in (15, 20)):  # 210.8(A)
        at_counter = case["counter"] is Answer.YES and serves not in BIG and serves not in ("dishwasher", "dryer")
        told += [place in ALWAYS, serves == "dryer", place == "kitchen" and (age >= 3 or at_counter)]
        told += [place == "basement" and (age >= 2 or not case["finished"]), place == "damp or wet" and age >= 2]
        told += [place == "food area" and age >= 3, case["near"] is not None and case["near"][1] < 6]
        if place == "kitchen" and age == 2 and case["volts"] > 130 and at_counter and not any(told[:-1]):
            return None
    water = serves in PUMPED and age < 2  # protection of its own, in its plug
    return None if water and not any(told) else any(told)


@pytest.mark.parametrize("year", YEARS)
def test_neither_cleared_where_asked_nor_missing_where_not(year: str) -> None:
    chance = Random(44001)
    for _ in range(80):
        case = drawn(chance)
        near = (fixture(*case["near"]),) if case["near"] is not None else ()
        load = {"serves": case["serves"]} if case["serves"] is not None else {}
        found = finding(
            year, kind=case["kind"], rooms=room(case["place"], finished=case["finished"]), fixtures=near,
            at_counter=case["counter"], volts=case["volts"], amperes=case["amperes"], **load,
        )  # fmt: skip
        wanted = asked(year, case)
        assert wanted is not True or found.verdict != "not required", case
        assert wanted is not False or found.verdict != "missing", case

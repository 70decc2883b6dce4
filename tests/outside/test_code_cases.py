"""Cases that the trade press, code forums and authorities have worked, put to the editions as records.

Each case names where its answer was published.  ``R``: protection is required (here ``missing``, since none is
shown); ``N``: it is not.  ``ask``: the publication makes the answer hang on something that no plan shows, so the
right verdict is ``unresolved``, and never the opposite of what was published.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from tests.rules.records import finding, fixture, room

from cordpath.model import Answer
from cordpath.rules import amend, load_edition
from cordpath.rules.load import parse_amendment

FIXED = "hardwired outlet"
FAR_SINK = (fixture("sink", 9.0),)
NEAR_SINK = (fixture("sink", 3.0),)
KITCHEN = room("kitchen", "KITCHEN")
Case = tuple[str, str, dict[str, Any], str, str]


def at(where: str, /, **more: Any) -> dict[str, Any]:
    return {"rooms": room(where), **more}


def kitchen(**more: Any) -> dict[str, Any]:
    return {"rooms": KITCHEN, "fixtures": FAR_SINK, "at_counter": Answer.NO, **more}


ICE = {"serves": "deicing", "readily_accessible": False, "dedicated_circuit": True}
BEFORE, AFTER = dt.date(2026, 3, 1), dt.date(2026, 10, 1)
CONDENSER = at("outdoors", kind=FIXED, serves="air conditioner", volts=240.0, amperes=40.0)
BATH_FIXTURES = (fixture("lavatory", 20.0), fixture("bathtub", 20.0, id="f2"))
TUB_AND_BASIN = (fixture("bathtub", 4.0), fixture("lavatory", 9.0, id="f2"))

CASES: dict[str, tuple[tuple[str, ...], dict[str, Any], str, str]] = {
    "laundry area without a sink": (
        ("2014", "2017", "2020", "2023", "2026"), at("laundry"), "R",
        "EC&M, Code quiz: GFCI requirements for laundry areas",
    ),
    "single receptacle for the washer, near a laundry sink": (
        ("2014", "2017", "2020", "2023"), at("laundry", serves="washer", fixtures=NEAR_SINK), "R",
        "EC&M, Code Q&A 92",
    ),
    "dishwasher by fixed wiring": (
        ("2014", "2017", "2020", "2023"), at("kitchen", kind=FIXED, serves="dishwasher", amperes=20.0), "R",
        "electricallicenserenewal.com, 2014 210.8(D), section 19",
    ),
    "disposer receptacle under the kitchen sink": (
        ("2014", "2020", "2023"), kitchen(serves="disposer", fixtures=NEAR_SINK), "R",
        "captaincode2014.leviton.com node 17; Electrical Contractor, Remodel With Care 2017-2020",
    ),
    "disposer receptacle behind a cabinet door: inspectors differ": (
        ("2017",), kitchen(serves="disposer", fixtures=NEAR_SINK), "ask",
        "Electrical Contractor, Remodel With Care 2017-2020; Mike Holt forum, thread 149255",
    ),
    "within 6 ft of a sink only through a wall": (
        ("2017", "2020", "2023"), at("bedroom", fixtures=(fixture("sink"),)), "N",
        "Mike Holt forum, receptacle close to a sink in another room, thread 2583220",
    ),
    "hall receptacle within 6 ft of a tub in the same space": (
        ("2014", "2017", "2020", "2023"), at("hall", fixtures=TUB_AND_BASIN), "R",
        "captaincode2014.leviton.com node 72",
    ),
    "bathroom receptacle far from every fixture": (
        ("2014", "2017", "2020", "2023", "2026"), at("bathroom", fixtures=BATH_FIXTURES), "R",
        "electricallicenserenewal.com, 2014 210.8(A)(9), section 16",
    ),
    "refrigerator receptacle far from the sink, countertop editions": (
        ("2014", "2017", "2020"), kitchen(serves="refrigerator"), "N",
        "IAEI, Kitchens and areas for food or beverage preparation and GFCIs",
    ),
    "refrigerator receptacle within 6 ft of the bowl": (
        ("2014", "2017", "2020"), kitchen(serves="refrigerator", fixtures=NEAR_SINK), "R",
        "IAEI, Kitchens and areas for food or beverage preparation and GFCIs",
    ),
    "refrigerator receptacle anywhere in a kitchen": (
        ("2023", "2026"), kitchen(serves="refrigerator"), "R",
        "NAHB, 2023 National Electrical Code adoption kit",
    ),
    "240 V range receptacle within 6 ft of the sink": (
        ("2020",), kitchen(serves="range", volts=250.0, amperes=50.0, fixtures=NEAR_SINK), "R",
        "NAHB, Ranges tripping on GFCIs (2021)",
    ),
    "240 V range receptacle far from the sink": (
        ("2020",), kitchen(serves="range", volts=250.0, amperes=50.0), "N",
        "NAHB, Ranges tripping on GFCIs (2021)",
    ),
    "wall oven by fixed wiring": (
        ("2020",), kitchen(kind=FIXED, serves="wall oven", volts=240.0, amperes=40.0), "N",
        "Structure Tech, The 2020 NEC has been adopted in Minnesota",
    ),
    "wall oven by fixed wiring, up to 60 A": (
        ("2023",), kitchen(kind=FIXED, serves="wall oven", volts=240.0, amperes=40.0), "R",
        "captaincode2023.leviton.com node 308",
    ),
    "dryer by fixed wiring": (
        ("2020",), at("laundry", kind=FIXED, serves="dryer", volts=240.0, amperes=30.0), "N",
        "Mike Holt forum, post 2711350",
    ),
    "dryer by fixed wiring, up to 60 A": (
        ("2023",), at("laundry", kind=FIXED, serves="dryer", volts=240.0, amperes=30.0), "R",
        "captaincode2023.leviton.com node 308",
    ),
    "240 V dryer receptacle, 125 V editions": (
        ("2014", "2017"), at("laundry", serves="dryer", volts=250.0, amperes=30.0), "N",
        "Mike Holt forum, stack washer and dryer, thread 187216",
    ),
    "240 V dryer receptacle": (
        ("2020", "2023"), at("laundry", serves="dryer", volts=250.0, amperes=30.0), "R",
        "NFPA Journal, November 2020, In Compliance: NFPA 70",
    ),
    "finished bedroom in the basement, no sink, earlier editions": (
        ("2014", "2017"), at("bedroom", title="BASEMENT PLAN"), "N",
        "Oregon BCD electrical forum manual, GFCI",
    ),
    "finished bedroom in the basement": (
        ("2020", "2023"), at("bedroom", title="BASEMENT PLAN"), "R",
        "NAHB, 2020 National Electrical Code adoption kit",
    ),
    "wet bar, 8 ft from its sink": (
        ("2020",), at("food area", fixtures=(fixture("sink", 8.0),)), "N",
        "JADE Learning, 2023 NEC section 210.8(A)(7)",
    ),
    "wet bar, 8 ft from its sink, since 2023": (
        ("2023",), at("food area", fixtures=(fixture("sink", 8.0),)), "R",
        "JADE Learning, 2023 NEC section 210.8(A)(7)",
    ),
    "ceiling receptacle of a garage door opener": (
        ("2014", "2017", "2020", "2023", "2026"), at("garage", serves="garage door opener", height_in=108.0), "R",
        "forum.nachi.org, Garage GFCI on door openers, thread 63226",
    ),
    "garage freezer on a circuit of its own": (
        ("2014", "2017", "2020", "2023"), at("garage", serves="freezer", dedicated_circuit=True), "R",
        "forum.nachi.org, GFCI exemption in garage, thread 202382",
    ),
    "vehicle charging receptacle in a garage, where the interim amendment may be adopted": (
        ("2017",), at("garage", serves="electric vehicle", volts=250.0, amperes=50.0), "ask",
        "NECA, Code question of the day of 13 June 2018 (interim amendment 17-2); the printed code has none, "
        "Mike Holt forum, threads 2565333 and 2551341",
    ),
    "vehicle charging receptacle in a garage, 125 V edition": (
        ("2014",), at("garage", serves="electric vehicle", volts=250.0, amperes=50.0), "N",
        "Mike Holt forum, EV outlet with GFCI, thread 2565333",
    ),
    "vehicle charging receptacle in a garage": (
        ("2020", "2023"), at("garage", serves="electric vehicle", volts=250.0, amperes=50.0), "R",
        "Mike Holt forum, EV outlet with GFCI, thread 2565333",
    ),
    "vehicle charger by fixed wiring inside a garage": (
        ("2020",), at("garage", kind=FIXED, serves="evse", volts=240.0, amperes=50.0), "N",
        "Mike Holt forum, EV charger, thread 2566510",
    ),
    "vehicle charger by fixed wiring outdoors, 60 A": (
        ("2020", "2023"), at("outdoors", kind=FIXED, serves="evse", volts=240.0, amperes=60.0), "N",
        "Mike Holt forum, EV charger, thread 2566510",
    ),
    "air conditioner by fixed wiring": (
        ("2017",), CONDENSER, "N", "electricallicenserenewal.com, 2020 210.8(F), section 812",
    ),
    "air conditioner, 2020 as first printed": (
        ("2020",), {**CONDENSER, "day": dt.date(2021, 6, 1)}, "R",
        "IAEI, GFCI protection at air-conditioning units",
    ),
    "air conditioner, 2020, where the interim amendment may be adopted": (
        ("2020",), {**CONDENSER, "day": BEFORE}, "ask", "ACCA, Codes for code officials",
    ),
    "air conditioner before the exception ends": (
        ("2023",), {**CONDENSER, "day": BEFORE}, "N", "ACCA, Codes for code officials; Eaton, NEC 2023, 210.8(F)",
    ),
    "air conditioner after the exception has ended": (
        ("2023", "2026"), {**CONDENSER, "day": AFTER}, "R", "ACCA, statement of 15 September 2025",
    ),
    "air conditioner, and nobody says when": (("2023",), CONDENSER, "ask", "ACCA, statement of 15 September 2025"),
    "crawl space light": (
        ("2014",), at("crawl space", kind=FIXED, serves="light", volts=120.0), "N",
        "electricallicenserenewal.com, 2017 210.8(E), section 232",
    ),
    "crawl space light, since 2017": (
        ("2017", "2020", "2023"), at("crawl space", kind=FIXED, serves="light", volts=120.0), "R",
        "electricallicenserenewal.com, 2017 210.8(E), section 232",
    ),
    "deicing receptacle out of reach on its own circuit": (
        ("2014", "2017", "2020", "2023", "2026"), at("outdoors", **ICE), "N",
        "Electrical Board of Appeals, 2014 NEC comparative analysis",
    ),
    "soffit receptacle out of reach": (
        ("2014", "2017", "2020", "2023"), at("outdoors", height_in=110.0, readily_accessible=False), "R",
        "Electrical Contractor, Article 210 branch circuits part 5",
    ),
    "low back of a peninsula, far from the sink": (
        ("2014", "2017", "2020"), kitchen(), "N",
        "Electrical Contractor, Your Business: Article 210 branch circuits",
    ),
    "attic receptacle for servicing equipment, 2017": (
        ("2017",), at("attic", serves="hvac service"), "N",
        "electricallicenserenewal.com, 2020 210.8(E), section 811",
    ),
    "attic receptacle for servicing equipment": (
        ("2020",), at("attic", serves="hvac service"), "R",
        "electricallicenserenewal.com, 2020 210.8(E), section 811",
    ),
    "sump pump by fixed wiring": (
        ("2020", "2023"), at("basement", kind=FIXED, serves="sump pump", amperes=20.0), "R",
        "EC&M, Code Q&A: GFCI protection for appliances (2020)",
    ),
    "powder room": (
        ("2014", "2017", "2020", "2023"), {"rooms": room("bathroom", "POWDER")}, "R",
        "Mike Holt forum, GFCI in powder room, thread 2572124",
    ),
    "receptacle inside a bathroom exhaust fan, unless its instructions say otherwise": (
        ("2023",), at("bathroom", serves="exhaust fan", readily_accessible=False), "ask",
        "Eaton, NEC 2023, 210.8(A) dwelling requirements",
    ),
    "security system receptacle in a garage": (
        ("2020",), at("garage", serves="security system"), "R", "Eaton, NEC 2023, 210.8(A) dwelling requirements",
    ),
    "security system receptacle in a garage, since 2023": (
        ("2023",), at("garage", serves="security system"), "N", "Eaton, NEC 2023, 210.8(A) dwelling requirements",
    ),
}  # fmt: skip
VERDICTS = {"R": "missing", "N": "not required", "ask": "unresolved"}


@pytest.mark.parametrize(
    ("case", "year"), [(name, year) for name, (years, _, _, _) in CASES.items() for year in years]
)
def test_published_cases(case: str, year: str) -> None:
    _, record, answer, source = CASES[case]
    found = finding(year, **record)
    assert found.verdict == VERDICTS[answer], f"{source}: {found.reasons}"


# --------------------------------------------------------------------------------- published amendments

HEAD = 'cordpath: 1\namendment: {name}\neditions: ["{year}"]\n'
UTAH = HEAD.format(name="Utah Code 15A-3-601 in part", year="2023") + (
    """
drop: [210.8(A)(7), 210.8(F)]
change:
  - {cite: "210.8(A)(11)", volts: 125}
  - cite: 210.8(D)
    where: {serves: [dishwasher, sump pump]}
"""
)
SOUTH_CAROLINA = HEAD.format(name="S.C. Regulation 8-1103 in part", year="2020") + (
    """
change:
  - {cite: "210.8(A)(6)", volts: 125}
  - {cite: "210.8(A)(7)", volts: 125}
"""
)
WISCONSIN = HEAD.format(name="Wisconsin SPS 316 in part", year="2017") + "drop: [210.8(A)(9), 210.8(A)(10)]\n"
AMENDED = (
    ("lexace.ai, Utah statute 15A-3-601: 240 V dryer receptacle", "2023", UTAH,
     at("laundry", serves="dryer", volts=250.0, amperes=30.0), "R"),
    ("lexace.ai, Utah statute 15A-3-601: dryer by fixed wiring", "2023", UTAH,
     at("laundry", kind=FIXED, serves="dryer", volts=240.0, amperes=30.0), "R"),
    ("lexace.ai, Utah statute 15A-3-601: air conditioner", "2023", UTAH, {**CONDENSER, "day": AFTER}, "R"),
    ("law.cornell.edu, S.C. Regulation 8-1103: 240 V range near the sink", "2020", SOUTH_CAROLINA,
     kitchen(serves="range", volts=250.0, amperes=50.0, fixtures=NEAR_SINK), "R"),
    ("Wisconsin CR 16-093: laundry receptacle without a sink", "2017", WISCONSIN, at("laundry"), "R"),
)  # fmt: skip


@pytest.mark.parametrize(("source", "year", "text", "record", "before"), AMENDED)
def test_published_amendments_take_out_what_their_state_took_out(
    source: str, year: str, text: str, record: dict[str, Any], before: str
) -> None:
    edition = load_edition(year)
    amended = amend(edition, parse_amendment(text, "amendment.yaml"))
    assert finding(edition, **record).verdict == VERDICTS[before]
    # 210.8(D) names the dryer receptacle in 2023 until the state's change takes it out of the list.
    assert finding(amended, **record).verdict == "not required", source


def test_the_example_amendment_can_be_laid_over_its_edition() -> None:
    from cordpath.rules import load_amendment

    path = Path(__file__).parents[2] / "configs" / "amendment-example.yaml"
    amended = amend(load_edition("2023"), load_amendment(path))
    assert "Fernhollow" in amended.name
    assert finding(amended, **kitchen(serves="refrigerator")).verdict == "not required"
    assert finding("2023", **kitchen(serves="refrigerator")).verdict == "missing"
    heater = {"rooms": room("utility", "MECH"), "fixtures": (fixture("water heater"),)}
    assert finding(amended, **heater).verdict == "missing"
    assert finding("2023", **heater).verdict == "unresolved"  # it may be the one for servicing (210.63)
    assert finding(amended, **CONDENSER, day=AFTER).verdict == "not required"

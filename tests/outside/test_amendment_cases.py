"""What states are published to have changed, put to the ready amendment files as records.

Each case names where the effect was published.  ``before`` is the verdict of the edition alone, ``after`` with the
file laid over it: ``R`` required (missing, since none is shown), ``N`` not required, ``ask`` unresolved, where the
publication makes it hang on something that no plan shows.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from tests.rules.records import finding, fixture, room

from cordpath.model import Answer
from cordpath.rules import Edition, amend, dated, load_amendment, load_edition

FOLDER = Path(__file__).parents[2] / "configs" / "amendments"
FIXED = "hardwired outlet"
NEAR_SINK = (fixture("sink", 3.0),)
FAR_SINK = (fixture("sink", 9.0),)
VERDICTS = {"R": "missing", "N": "not required", "ask": "unresolved"}
AFTER_EXCEPTION = dt.date(2026, 10, 1)  # the exception for cooling equipment of 2023 has ended by itself


def at(where: str, /, **more: Any) -> dict[str, Any]:
    return {"rooms": room(where), **more}


def kitchen(**more: Any) -> dict[str, Any]:
    return {"rooms": room("kitchen"), "fixtures": FAR_SINK, "at_counter": Answer.NO, **more}


DRYER = at("laundry", serves="dryer", volts=250.0, amperes=30.0)
FIXED_DRYER = at("laundry", kind=FIXED, serves="dryer", volts=240.0, amperes=30.0)
COOLING = at("outdoors", kind=FIXED, serves="air conditioner", volts=240.0, amperes=40.0)
RANGE = kitchen(serves="range", volts=250.0, amperes=50.0, fixtures=NEAR_SINK)
FINISHED, UNFINISHED = {"rooms": room("basement", finished=True)}, {"rooms": room("basement", finished=False)}
STORAGE = {"rooms": room("closet", "STORAGE"), "title": "BASEMENT PLAN"}
OPENER = at("garage", serves="garage door opener", single_receptacle=True)
PUMP = {"rooms": room("basement", finished=False), "serves": "sump pump", "single_receptacle": True}
LIFT = at("outdoors", serves="sewage lift pump", single_receptacle=True, dedicated_circuit=True)
CAR = at("garage", serves="ev charger", volts=250.0, amperes=50.0)
SUMP = {"kind": FIXED, "serves": "sump pump", "volts": 120.0, "amperes": 20.0}
FREEZER = at("garage", serves="freezer", single_receptacle=True)

UTAH, OHIO = "lexace.ai, Utah Code 15A-3-601", "Ohio Adm. Code 4101:8-34-01 (a published copy)"
OREGON = "electricallicenserenewal.com, OESC 210.8(A), section 1251"
CAROLINA, LIFT_PUMP = "law.cornell.edu, S.C. Code Regs. 8-1103", "electricallicenserenewal.com, NC, section 3525"
WISCONSIN, JERSEY = "Wisconsin CR 16-093 rule text", "electriciantalk.com, thread quoting New Jersey's rule"
WAC, RELIEF = "law.cornell.edu, WAC 296-46B-210", "Washington L&I bulletin 2a7749d (govdelivery.com)"

# file, case, record, before, after, source
CASES: tuple[tuple[str, str, dict[str, Any], str, str, str], ...] = (
    ("utah-2023", "240 V dryer receptacle", DRYER, "R", "N", UTAH),
    ("utah-2023", "dryer by fixed wiring", FIXED_DRYER, "R", "N", UTAH),
    ("utah-2023", "air conditioner", {**COOLING, "day": AFTER_EXCEPTION}, "R", "N", UTAH),
    ("utah-2023", "dishwasher by fixed wiring stays", kitchen(kind=FIXED, serves="dishwasher"), "R", "R", UTAH),
    ("utah-2023", "grinder pump by fixed wiring", {**SUMP, "serves": "grinder pump"}, "ask", "ask", UTAH),
    ("utah-2023", "dish drawer by fixed wiring", kitchen(kind=FIXED, serves="dish drawer"), "ask", "ask", UTAH),
    ("utah-2023", "finished basement", FINISHED, "R", "N", UTAH),
    ("utah-2023", "unfinished basement stays", UNFINISHED, "R", "R", UTAH),
    ("utah-2023", "refrigerator away from counter and sink", kitchen(serves="refrigerator"), "R", "N", UTAH),
    ("utah-2023", "countertop stays", kitchen(at_counter=Answer.YES), "R", "R", UTAH),
    ("utah-2023", "wet bar, 8 ft from its sink", at("food area", fixtures=(fixture("sink", 8.0),)), "R", "N", UTAH),
    ("utah-2023", "bathroom stays", at("bathroom"), "R", "R", UTAH),
    ("ohio-2023", "240 V dryer receptacle is left to 210.8(D)", DRYER, "R", "R", OHIO),
    ("ohio-2023", "240 V receptacle in a garage", at("garage", volts=250.0, amperes=50.0), "R", "N", OHIO),
    ("ohio-2023", "30 A at 125 V", at("garage", amperes=30.0), "R", "N", OHIO),
    ("ohio-2023", "door opener, single receptacle", OPENER, "R", "N", OHIO),
    ("ohio-2023", "door opener, duplex", {**OPENER, "single_receptacle": False}, "R", "R", OHIO),
    ("ohio-2023", "door opener, not told", at("garage", serves="garage door opener"), "R", "ask", OHIO),
    ("ohio-2023", "sump pump, single receptacle beside a GFCI duplex", PUMP, "R", "ask", OHIO),
    ("ohio-2023", "sump pump, duplex", {**PUMP, "single_receptacle": False}, "R", "R", OHIO),
    ("oregon-2023", "50 A receptacle in a garage", at("garage", volts=250.0, amperes=50.0), "R", "N", OREGON),
    ("oregon-2023", "240 V, amperes not told", at("garage", volts=250.0), "R", "ask", OREGON),
    ("oregon-2023", "finished basement", FINISHED, "R", "N", OREGON),
    ("oregon-2023", "refrigerator away from counter and sink", kitchen(serves="refrigerator"), "R", "N", OREGON),
    ("oregon-2023", "wet bar, 8 ft away", at("food area", fixtures=(fixture("sink", 8.0),)), "R", "N", OREGON),
    ("oregon-2023", "freezer on its own circuit, to be labelled",
     at("garage", serves="freezer", dedicated_circuit=True), "R", "ask", OREGON),
    ("oregon-2023", "freezer on a shared circuit", at("garage", serves="freezer", dedicated_circuit=False),
     "R", "R", OREGON),
    ("oregon-2023", "security system, to be labelled", at("garage", serves="security system"), "N", "ask", OREGON),
    ("oregon-2023", "storage on a basement plan", STORAGE, "R", "ask", OREGON),
    ("utah-2023", "storage on a basement plan", STORAGE, "R", "ask", UTAH),
    ("utah-2023", "closet on a lower level", {"rooms": room("closet"), "title": "LOWER LEVEL"}, "ask", "ask", UTAH),
    ("south-carolina-2020", "240 V range within 6 ft of the sink", RANGE, "R", "N", CAROLINA),
    ("south-carolina-2020", "125 V within 6 ft of the sink stays", kitchen(fixtures=NEAR_SINK), "R", "R", CAROLINA),
    ("south-carolina-2020", "walk-out basement", {**FINISHED, "title": "WALK-OUT BASEMENT PLAN"},
     "R", "N", CAROLINA),
    ("south-carolina-2020", "any other basement", {**FINISHED, "title": "BASEMENT PLAN"}, "R", "R", CAROLINA),
    ("washington-2020", "alarm receptacle in a garage, to be red", at("garage", serves="fire alarm"),
     "R", "ask", WAC),
    ("washington-2020", "freezer in a garage stays", at("garage", serves="freezer"), "R", "R", WAC),
    ("washington-2020", "fixed equipment at a shower",
     at("bathroom", kind=FIXED, serves="steam generator", fixtures=(fixture("shower", 2.0),)), "N", "ask", WAC),
    ("washington-2020-relief", "range at a sink, in 2021", {**RANGE, "day": dt.date(2021, 6, 1)}, "R", "N", RELIEF),
    ("washington-2020-relief", "60 A at a sink, in 2021", {**RANGE, "amperes": 60.0, "day": dt.date(2021, 6, 1)},
     "R", "R", RELIEF),
    ("washington-2020-relief", "range at a sink, in 2023", {**RANGE, "day": dt.date(2023, 1, 1)}, "R", "R", RELIEF),
    ("washington-2020-relief", "20 A at a sink, in 2021",
     {**kitchen(fixtures=NEAR_SINK), "day": dt.date(2021, 6, 1)}, "R", "R",
     RELIEF),
    ("washington-2020-relief", "air conditioner, in 2021", {**COOLING, "day": dt.date(2021, 6, 1)},
     "R", "N", RELIEF),
    ("washington-2020-relief", "air conditioner, no date", COOLING, "ask", "ask", RELIEF),
    ("wisconsin-2017", "laundry receptacle without a sink", at("laundry"), "R", "N", WISCONSIN),
    ("wisconsin-2017", "hall receptacle near a tub", at("hall", fixtures=(fixture("bathtub", 4.0),)),
     "R", "N", WISCONSIN),
    ("wisconsin-2017", "bathroom stays", at("bathroom"), "R", "R", WISCONSIN),
    ("north-carolina-2017", "lift pump outdoors", LIFT, "R", "N", LIFT_PUMP),
    ("north-carolina-2017", "lift pump on a shared circuit", {**LIFT, "dedicated_circuit": False},
     "R", "R", LIFT_PUMP),
    ("north-carolina-2017", "lift pump, circuit not told",
     at("outdoors", serves="lift pump", single_receptacle=True), "R", "ask", LIFT_PUMP),
    ("new-jersey-2014", "garage freezer, single receptacle", FREEZER, "R", "N", JERSEY),
    ("new-jersey-2014", "garage receptacle out of reach", at("garage", readily_accessible=False), "R", "N", JERSEY),
    ("new-jersey-2014", "garage receptacle", at("garage"), "R", "R", JERSEY),
    # What a change of one rule must not take from another: worked by hand from the same accounts.
    ("ohio-2023", "receptacle to charge a car is left to 625.54", CAR, "R", "R", OHIO),
    ("oregon-2023", "receptacle to charge a car is left to 625.54", CAR, "R", "R", OREGON),
    ("south-carolina-2020", "receptacle to charge a car is left to 625.54", CAR, "R", "R", CAROLINA),
    ("utah-2023", "sump pump by fixed wiring stays", {**UNFINISHED, **SUMP}, "R", "R", UTAH),
    ("utah-2023", "charger by fixed wiring outdoors",
     at("outdoors", kind=FIXED, serves="ev charger", volts=240.0, amperes=40.0), "R", "N", UTAH),
    ("washington-2020-relief", "30 A in a laundry with a sink, in 2021",
     {**at("laundry", volts=250.0, amperes=30.0, fixtures=NEAR_SINK), "day": dt.date(2021, 6, 1)}, "R", "R",
     RELIEF),
    ("wisconsin-2017", "washer in an unfinished basement", {**UNFINISHED, "serves": "washer"}, "R", "R", WISCONSIN),
    ("wisconsin-2017", "washer near a laundry sink", at("laundry", serves="washer", fixtures=NEAR_SINK),
     "R", "R", WISCONSIN),
    ("north-carolina-2017", "lift pump in a garage", {**LIFT, "rooms": room("garage")}, "R", "R", LIFT_PUMP),
    ("new-jersey-2014", "sump pump in a crawl space", {**PUMP, "rooms": room("crawl space")}, "R", "R", JERSEY),
    ("new-jersey-2014", "sump pump, unfinished basement", PUMP, "R", "N", JERSEY),
    ("new-jersey-2014", "bathroom receptacle out of reach stays", at("bathroom", readily_accessible=False),
     "R", "R", JERSEY),
)  # fmt: skip


def amended(name: str) -> Edition:
    found = load_amendment(FOLDER / f"{name}.yaml")
    return amend(load_edition(found.editions[-1]), found)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case[0]}: {case[1]}")
def test_published_effects(case: tuple[str, str, dict[str, Any], str, str, str]) -> None:
    name, _, record, before, after, source = case
    year = load_amendment(FOLDER / f"{name}.yaml").editions[-1]
    alone = finding(year, **record)
    assert alone.verdict == VERDICTS[before], f"{source}: {alone.reasons}"
    found = finding(amended(name), **record)
    assert found.verdict == VERDICTS[after], f"{source}: {found.reasons}"


FILES = sorted(path.stem for path in FOLDER.glob("*.yaml"))


@pytest.mark.parametrize("name", FILES)
def test_a_ready_file_says_where_it_comes_from_and_that_it_is_to_be_verified(name: str) -> None:
    found = load_amendment(FOLDER / f"{name}.yaml")
    assert found.sources and found.editions and found.status is not None
    assert found.status.startswith("secondary source, verify")
    for year in found.editions:
        edition = amend(load_edition(year), found)
        assert any(found.name in caution for caution in edition.cautions)
    assert f"`{name}.yaml`" in (FOLDER / "README.md").read_text(encoding="utf-8")


def test_every_ready_file_that_changes_rules_has_cases() -> None:
    assert {case[0] for case in CASES} == set(FILES) - {"residential-numbering"}


# Chapter 39 of the residential code, numbers of 2015 and 2018 (building-center.org, GFCI and AFCI protection).
RESIDENTIAL = {
    "E3902.1": at("bathroom"),
    "E3902.2": at("garage"),
    "E3902.3": at("outdoors"),
    "E3902.4": at("crawl space"),
    "E3902.5": UNFINISHED,
    "E3902.6": kitchen(at_counter=Answer.YES),
    "E3902.7": at("bedroom", fixtures=NEAR_SINK),
    "E3902.8": at("hall", fixtures=(fixture("bathtub", 4.0), fixture("lavatory", 9.0, id="f2"))),
    "E3902.9": at("laundry"),
    "E3902.10": at("kitchen", kind=FIXED, serves="dishwasher"),
}


@pytest.mark.parametrize("cite", RESIDENTIAL)
@pytest.mark.parametrize("year", ["2014", "2017"])
def test_residential_numbers(cite: str, year: str) -> None:
    edition = amend(load_edition(year), load_amendment(FOLDER / "residential-numbering.yaml"))
    local, nec = finding(edition, **RESIDENTIAL[cite]), finding(year, **RESIDENTIAL[cite])
    assert [each.cite for each in local.requirements] == [cite]
    assert [each.cite_nec for each in local.requirements] == [each.cite for each in nec.requirements]
    assert local.verdict == nec.verdict == "missing"
    assert any(f"[{cite}]" in reason for reason in local.reasons)
    assert not any("210.8" in reason for reason in local.reasons)


def test_a_permit_date_decides_the_same_whether_given_before_or_with_the_amendment() -> None:
    relief = load_amendment(FOLDER / "washington-2020-relief.yaml")
    day = dt.date(2021, 6, 1)
    for edition in (amend(dated(load_edition("2020"), day), relief), amend(load_edition("2020"), relief, day)):
        assert finding(edition, **COOLING).verdict == "not required"

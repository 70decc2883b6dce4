"""What is not known never clears an outlet: for any facts, one fact less leaves the verdict or opens it.

*Completion*: a way in which what is not known may turn out.  A verdict under unknowns is that of every completion,
or ``unresolved``; between *protected* and *not required* it may be *protected*, as the judge's table has it.
"""

from __future__ import annotations

import datetime as dt
import itertools
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely.geometry import box
from tests.rules.records import CANNOT_TELL, NOT_SHOWN, PER_FOOT, SHOWN, finding, fixture, reading, room

from cordpath.model import Answer, Finding, Fixture, Label, Protection, Reading, Scale
from cordpath.rules import amend, dated, editions, judge, load_amendment, load_edition
from cordpath.rules.doubts import variants
from cordpath.rules.edition import Edition

AMENDMENTS = Path(__file__).parents[2] / "configs" / "amendments"
FILES = sorted(path.stem for path in AMENDMENTS.glob("*.yaml"))
BREAKER = Protection(Answer.YES, "breaker", "panel A circuit 3")
PROTECTIONS = (NOT_SHOWN, SHOWN, BREAKER, CANNOT_TELL)
NOTED = Scale("v1", None, "none", "", "unknown", why="no scale note was found")


@cache
def codes() -> dict[str, Edition]:
    """Every edition, and every ready amendment over its edition, with and without a day of the permit.

    Without the companion columns, which bear on no verdict (test_companions.py).
    """
    plain = [replace(load_edition(year), columns=()) for year in editions()]
    found = [load_amendment(AMENDMENTS / f"{name}.yaml") for name in FILES]
    local = [amend(code, each) for each in found for code in plain if code.year in each.editions]
    days = (dt.date(2021, 6, 1), dt.date(2026, 3, 1), dt.date(2026, 10, 1))
    named = {code.name: code for code in (*plain, *local)}
    return named | {f"{name} on {day}": dated(code, day) for name, code in named.items() for day in days}


def serving() -> list[str]:
    """Everything that a rule or exception of any edition or amendment names as served, and what none does."""
    told = {
        word
        for code in codes().values()
        for entry in (*code.rules, *code.exemptions)
        for clause in (*entry.where, *getattr(entry, "claim", ()))
        for condition in clause.conditions
        if condition.name == "serves"
        for word in condition.value
    }
    return [*sorted(told), "aquarium"]


FACTS: dict[str, st.SearchStrategy[Any]] = {
    "serves": st.sampled_from(serving()),
    "volts": st.sampled_from([120.0, 208.0, 240.0, 277.0]),
    "amperes": st.sampled_from([15.0, 20.0, 30.0, 50.0, 60.0, 100.0]),
    "height_in": st.sampled_from([18.0, 44.0, 70.0, 108.0]),
    "status": st.sampled_from(["new", "existing", "demolished"]),
    "weatherproof": st.booleans(),
    "readily_accessible": st.booleans(),
    "dedicated_circuit": st.booleans(),
    "single_receptacle": st.booleans(),
    "hard_wired": st.booleans(),
}
KINDS = ("bathroom", "kitchen", "food area", "laundry", "garage", "accessory building", "basement", "crawl space",
         "outdoors", "boathouse", "damp or wet", "living", "bedroom", "hall", "closet", "utility", "attic", "other",
         "unknown")  # fmt: skip
records = st.fixed_dictionaries(
    {
        "code": st.sampled_from(sorted(codes())),
        "kind": st.sampled_from(["receptacle", "receptacle", "hardwired outlet", "light"]),
        "room": st.sampled_from(KINDS),
        "named": st.sampled_from(["ROOM", "UTILITY", "STORAGE", "WALKOUT"]),
        "finished": st.sampled_from([True, False, None]),
        "title": st.sampled_from(["FIRST FLOOR PLAN", "BASEMENT PLAN", "LOWER LEVEL", "CRAWL SPACE PLAN"]),
        "counter": st.sampled_from(list(Answer)),
        "feet": st.sampled_from([2.0, 5.8, 5.95, 6.05, 6.4, 9.0, None]),
        "loose": st.sampled_from([0.0, 0.1]),
        "tub": st.sampled_from([3.0, 9.0, None]),
        "at": st.sampled_from([None, "dryer", "dishwasher", "sump pump", "range"]),
        "protection": st.sampled_from(PROTECTIONS),
        "facts": st.fixed_dictionaries({}, optional=FACTS),
    }
)
Record = dict[str, Any]


def read(record: Record, **more: Any) -> Reading:
    """The reading of a record: its room, a sink, a tub and perhaps an appliance at the outlet."""
    at = record["at"]
    near = ((fixture(at, id="f3", at=(100.0, 104.0))),) if at is not None else ()
    given: Record = {
        "kind": record["kind"],
        "rooms": room(record["room"], record["named"], finished=record["finished"]),
        "title": record["title"],
        "at_counter": record["counter"],
        "fixtures": (basin("sink", record["feet"], "f1"), basin("bathtub", record["tub"], "f2"), *near),
        "loose": record["loose"],
        "doors": "open" if codes()[record["code"]].measure.doors == "open" else "blocking",
        **record["facts"],
    }
    return reading(**{**given, **more})


def basin(kind: str, feet: float | None, name: str) -> tuple[Fixture, float | None]:
    """A sink or tub straight along the wall at the length of its path, or far away and behind a wall."""
    return fixture(kind, feet, id=name, at=(390.0 if feet is None else 104.0 + feet * PER_FOOT, 100.0))


def verdict(record: Record, seen: Reading | None = None, code: Edition | None = None) -> str:
    return judged(record, seen, code).verdict


def judged(record: Record, seen: Reading | None = None, code: Edition | None = None) -> Finding:
    now = read(record) if seen is None else seen
    (found,) = judge(now, (), (record["protection"],), code or codes()[record["code"]])
    return found


def borne_out(less: str, completions: set[str]) -> bool:
    """Is a verdict under unknowns one that every completion bears out?"""
    if less == "unresolved" or completions == {less}:
        return True
    return less == "protected" and completions <= {"protected", "not required"}


# ------------------------------------------------------------------------------------------------- labels


@st.composite
def doubts(draw: st.DrawFn) -> tuple[tuple[str, Any], ...]:
    names = draw(st.lists(st.sampled_from(sorted(FACTS)), min_size=1, max_size=3, unique=True))
    return tuple((name, draw(FACTS[name])) for name in names)


def labelled(record: Record, own: tuple[tuple[str, Any], ...], doubtful: tuple[tuple[str, Any], ...]) -> Reading:
    """The outlet with labels of its own before all others, and with labels that may be its own."""
    seen = read(record)
    (outlet,) = seen.outlets
    first = tuple(Label(f"own {name}", (0, 0), ((name, value),)) for name, value in own)
    last = tuple(Label(f"doubt {name}?", (0, 0), ((f"{name}_unsure", value),)) for name, value in doubtful)
    symbol = replace(outlet.symbol, labels=(*first, *outlet.symbol.labels, *last))
    return replace(seen, outlets=(replace(outlet, symbol=symbol),))


@settings(max_examples=120, deadline=None)
@given(records, doubts())
def test_a_label_in_doubt_settles_only_what_it_settles_either_way(
    record: Record, told: tuple[tuple[str, Any], ...]
) -> None:
    found = judged(record, labelled(record, (), told))
    own = itertools.chain.from_iterable(itertools.combinations(told, n) for n in range(len(told) + 1))
    completions = {verdict(record, labelled(record, each, ())) for each in own}
    assert borne_out(found.verdict, completions), (found.verdict, completions, found.reasons)
    if found.verdict == "unresolved" and "unresolved" not in completions:
        assert any(reason.endswith("?") for reason in found.reasons)


@settings(max_examples=70, deadline=None)
@given(records, st.data())
def test_a_fact_of_which_two_labels_differ_settles_nothing_that_hangs_on_it(
    record: Record, data: st.DataObject
) -> None:
    name = data.draw(st.sampled_from(["serves", "volts", "amperes", "height_in", "single_receptacle"]))
    one, two = data.draw(FACTS[name]), data.draw(FACTS[name])
    both = verdict(record, labelled(record, ((name, one), (name, two)), ()))
    completions = {verdict(record, labelled(record, ((name, value),), ())) for value in (one, two)}
    assert borne_out(both, completions)


@pytest.mark.parametrize(
    ("year", "record", "doubt", "sure"),
    [
        ("2023", {"rooms": room("garage")}, {"serves": "security system"}, "not required"),
        ("2014", {"rooms": room("bathroom")}, {"volts": 240.0}, "not required"),
        ("2020", {"rooms": room("bathroom")}, {"hard_wired": True, "serves": "hand dryer"}, "not required"),
        ("2020", {"rooms": room("kitchen"), "at_counter": Answer.YES}, {"serves": "refrigerator"}, "not required"),
        ("2023", {"rooms": room("outdoors"), "kind": "hardwired outlet", "serves": "evse"},
         {"amperes": 60.0}, "not required"),
        ("2020", {"rooms": room("closet"), "serves": "disposer"}, {"serves": "dishwasher"}, "missing"),
    ],
)  # fmt: skip
def test_labels_that_may_be_a_neighbour_s(year: str, record: Record, doubt: Record, sure: str) -> None:
    record = {**record, "fixtures": (fixture("sink", 9.0), fixture("bathtub", 9.0, id="f2"))}
    unsure = finding(year, **record, **{f"{name}_unsure": value for name, value in doubt.items()})
    plain = {name: value for name, value in record.items() if name not in doubt}
    assert finding(year, **plain, **doubt).verdict == sure
    assert unsure.verdict == "unresolved"
    assert "Is label 'label' read rightly and meant for this outlet?" in unsure.reasons
    asked = [each for each in unsure.requirements if each.holds is not Answer.YES]
    assert asked and all(each.holds is Answer.UNKNOWN and each.question for each in asked)


def test_a_device_that_may_be_on_a_ceiling_is_asked_about() -> None:
    assert finding("2023", SHOWN, rooms=room("garage"), height_in_unsure=108.0).verdict == "unresolved"
    assert finding("2023", BREAKER, rooms=room("garage"), height_in_unsure=108.0).verdict == "protected"
    marked = finding("2023", rooms=room("garage"), status_unsure="demolished")
    assert marked.verdict == "unresolved"
    (held,) = marked.requirements  # asked for whether it is demolished or not
    assert held.cite == "210.8(A)(2)" and held.holds is Answer.YES and held.question is None


def test_columns_in_doubt_by_a_label_are_a_question() -> None:
    found = finding("2023", rooms=room("bedroom"), height_in_unsure=100.0)
    tamper = next(each for each in found.companions if each.name == "tamper-resistant")
    assert found.verdict == "not required" and tamper.asked is Answer.UNKNOWN and tamper.because.endswith("?")


def test_many_doubtful_labels_are_taken_one_by_one_and_together() -> None:
    seen = labelled({**PLAIN, "code": "2023"}, (), tuple((n, True) for n in list(FACTS)[5:10]))
    assert len(variants(seen.outlets[0].symbol)) == 7
    fewer = labelled({**PLAIN, "code": "2023"}, (), tuple((n, True) for n in list(FACTS)[5:9]))
    assert len(variants(fewer.outlets[0].symbol)) == 16
    plain = read({**PLAIN, "code": "2023"})
    assert variants(plain.outlets[0].symbol) == ()


PLAIN: Record = {
    "kind": "receptacle", "room": "bedroom", "named": "ROOM", "finished": None, "title": "FIRST FLOOR PLAN",
    "counter": Answer.NO, "feet": 9.0, "loose": 0.1, "tub": 9.0, "at": None, "protection": NOT_SHOWN, "facts": {},
}  # fmt: skip

# ---------------------------------------------------------------------------- rooms, fixtures, scales, days


def lost_room(record: Record) -> Reading:
    return read(record, standing_room=None, why="it is within a wall")


def weak_room(record: Record) -> Reading:
    return read(record, rooms=room(record["room"], record["named"], finished=record["finished"], confidence=0.6))


def loose_fixtures(record: Record, **change: Any) -> Reading:
    seen = read(record)
    fixtures = tuple(replace(f, symbol=replace(f.symbol, **change)) for f in seen.fixtures)
    return replace(
        seen, fixtures=fixtures, spotting=replace(seen.spotting, symbols=tuple(f.symbol for f in fixtures))
    )


def without_edges(record: Record) -> Reading:
    seen = loose_fixtures(record, edge=None)
    return replace(seen, paths=())


def of_no_room(record: Record) -> Reading:
    seen = read(record)
    return replace(seen, fixtures=tuple(replace(f, room=None) for f in seen.fixtures))


def doubtful_outlet(record: Record, **change: Any) -> Reading:
    seen = read(record)
    (outlet,) = seen.outlets
    return replace(seen, outlets=(replace(outlet, symbol=replace(outlet.symbol, **change)),))


VEILS: dict[str, Any] = {
    "room of another side": lambda r: read(r, why="it may stand in the next room"),
    "no room": lost_room,
    "little confidence in the room": weak_room,
    "kind of the room": lambda r: read(r, rooms=room("unknown", r["named"], finished=r["finished"])),
    "counter": lambda r: read({**r, "counter": Answer.UNKNOWN}),
    "scale": lambda r: read(r, scale=NOTED),
    "uncertainty": lambda r: read({**r, "loose": 0.6}),
    "a view": lambda r: doubtful_outlet(r, view=None),
    "confidence in the outlet": lambda r: doubtful_outlet(r, confidence=0.3),
    "the outlet": lambda r: doubtful_outlet(r, found=False),
    "the fixtures": lambda r: loose_fixtures(r, found=False),
    "confidence in the fixtures": lambda r: loose_fixtures(r, confidence=0.3),
    "edges": without_edges,
    "rooms of fixtures": of_no_room,
    "paths": lambda r: replace(read(r), reach_problems=(("E1.1", "it is drawn inside a wall"),)),
}


@pytest.mark.parametrize("veil", VEILS)
@settings(max_examples=25, deadline=None)
@given(record=records)
def test_knowing_one_thing_less_clears_no_outlet(veil: str, record: Record) -> None:
    known, less = verdict(record), verdict(record, VEILS[veil](record))
    assert less == known or less == "unresolved" or borne_out(less, {known}), (known, less)


LIVING = ("bedroom", "living", "dining", "bathroom", "kitchen")  # rooms for living, unless said to be unfinished


@settings(max_examples=80, deadline=None)
@given(records.filter(lambda record: record["room"] not in LIVING))
def test_a_room_that_may_be_unfinished_clears_no_outlet(record: Record) -> None:
    """An accessory building of which nothing is said is taken as one for storage: that asks for more, not less."""
    known = {verdict({**record, "finished": each}) for each in (True, False)}
    less = verdict({**record, "finished": None})
    assert borne_out(less, known) or (less == "missing" and record["room"] == "accessory building")


@settings(max_examples=60, deadline=None)
@given(records)
def test_without_the_day_of_the_permit_no_outlet_is_cleared(record: Record) -> None:
    open_ = replace(codes()[record["code"]], permit_date=None)
    days = {
        dt.date(2020, 1, 1),
        dt.date(2022, 12, 31),
        dt.date(2024, 1, 1),
        dt.date(2026, 8, 31),
        dt.date(2026, 9, 1),
    }
    days |= {d for e in (*open_.rules, *open_.exemptions) for d in (e.effective, e.sunset) if d is not None}
    completions = {verdict(record, code=dated(open_, day)) for day in days}
    assert borne_out(verdict(record, code=open_), completions)


@settings(max_examples=60, deadline=None)
@given(records)
def test_protection_that_cannot_be_told_clears_no_outlet(record: Record) -> None:
    known = {verdict({**record, "protection": each}) for each in (NOT_SHOWN, BREAKER)}
    assert borne_out(verdict({**record, "protection": CANNOT_TELL}), known)


@settings(max_examples=70, deadline=None)
@given(records, st.sampled_from(KINDS), st.booleans())
@example({**PLAIN, "code": "2023"}, "kitchen", True)
def test_at_a_border_only_what_both_rooms_say_is_settled(record: Record, other: str, divided: bool) -> None:
    """Within an open plan the rooms are all known; at a wall the other side may be anything."""
    here = room(record["room"], record["named"], finished=record["finished"], open_to=("r2",))
    there = room(other, "OTHER", id="r2", open_to=("r1",), polygon=box(0, 0, 400, 100))
    why = "the symbol lies across a wall" if divided else "no wall divides ROOM from OTHER here"
    seen = read(record, rooms=(here, there), why=why)
    sides = {verdict(record, read(record, rooms=(here, there), standing_room=each)) for each in ("r1", "r2")}
    assert borne_out(verdict(record, seen), sides)


@settings(max_examples=80, deadline=None)
@given(records, st.floats(0.0, 12.0), st.floats(0.0, 1.0))
def test_a_length_settles_only_what_all_lengths_within_its_uncertainty_settle(
    record: Record, feet: float, loose: float
) -> None:
    found = verdict({**record, "feet": feet, "loose": loose})
    ends = (max(feet - loose, 0.0), feet, feet + loose)
    assert borne_out(found, {verdict({**record, "feet": each, "loose": 0.0}) for each in ends})

"""The device's own place, facts that labels tell, crawl-space lights, the numbering of citations, short reasons."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, box
from tests.rules.records import CANNOT_TELL, HERE, NOT_SHOWN, SHOWN, finding, fixture, room, symbol

from cordpath.errors import ConfigurationRefused
from cordpath.model import Answer, FloorPlan, Protection, Standing, View, cites_together
from cordpath.rules import amend, editions, is_judged_light, load_edition
from cordpath.rules.load import parse_amendment
from cordpath.rules.reasons import sentence

BREAKER = Protection(Answer.YES, "breaker", "panel A circuit 3")
FIXED = "hardwired outlet"


# ----------------------------------------------------------------------------------- where the device stands


@pytest.mark.parametrize("year", editions())
@pytest.mark.parametrize(
    ("facts", "verdict"),
    [
        ({}, "protected"),
        ({"readily_accessible": True}, "protected"),
        ({"readily_accessible": False}, "unresolved"),
        ({"height_in": 108.0}, "unresolved"),
        ({"height_in": 48.0}, "protected"),
        ({"serves": "garage door opener"}, "unresolved"),
        ({"serves": "freezer"}, "protected"),
    ],
)
def test_a_device_out_of_reach_is_a_question(year: str, facts: dict[str, Any], verdict: str) -> None:
    """A GFCI receptacle on a garage ceiling is in a poor place, an ordinary one fed from elsewhere is fine
    (Building Code Forum, thread 26989; Mike Holt forum, thread 2551421)."""
    found = finding(year, SHOWN, rooms=room("garage"), **facts)
    assert found.verdict == verdict
    said = any("must be readily accessible [210.8]" in reason for reason in found.reasons)
    assert said == (verdict == "unresolved" or facts.get("serves") == "freezer")
    if verdict == "unresolved":
        assert found.reasons[-1].endswith("?")
    assert finding(year, BREAKER, rooms=room("garage"), **facts).verdict == "protected"


def test_the_device_s_place_bears_on_nothing_but_protected() -> None:
    away = {"readily_accessible": False}
    assert finding("2023", SHOWN, rooms=room("bedroom"), **away).verdict == "not required"
    assert finding("2023", NOT_SHOWN, rooms=room("garage"), **away).verdict == "missing"


# -------------------------------------------------------------------------------------- facts from labels


def test_hard_wired_turns_a_symbol_into_the_other_kind() -> None:
    dryer = {"rooms": room("laundry"), "serves": "dryer", "volts": 240.0, "amperes": 30.0}
    assert finding("2020", **dryer).verdict == "missing"
    assert finding("2020", **dryer, hard_wired=True).verdict == "not required"
    assert finding("2020", kind=FIXED, **dryer).verdict == "not required"
    assert finding("2020", kind=FIXED, **dryer, hard_wired=False).verdict == "missing"


@pytest.mark.parametrize(
    ("fact", "question"),
    [
        ("single_receptacle", "Is it a single receptacle?"),
        ("dedicated_circuit", "Is it on a circuit of its own?"),
        ("readily_accessible", "Is it readily accessible?"),
    ],
)
def test_what_no_label_tells_is_asked_in_plain_words(fact: str, question: str) -> None:
    text = (
        "cordpath: 1\namendment: T\nexempt:\n"
        "  - {cite: T 1, says: S, to: [210.8(A)(2)], claim: {serves: [freezer]}, "
        f"where: {{{fact}: true}}}}\n"
    )
    edition = amend(load_edition("2023"), parse_amendment(text, "t.yaml"))
    freezer: dict[str, Any] = {"rooms": room("garage"), "serves": "freezer"}
    assert question in finding(edition, **freezer).reasons
    assert finding(edition, **freezer, **{fact: True}).verdict == "not required"
    assert finding(edition, **freezer, **{fact: False}).verdict == "missing"


def test_amperes_of_a_receptacle_above_125_volts_are_asked_for() -> None:
    text = "cordpath: 1\namendment: T\nchange:\n  - cite: [210.8(A)(2), 210.8(A)(1)]\n    amperes: [15, 20]\n"
    edition = amend(load_edition("2023"), parse_amendment(text, "t.yaml"))
    assert finding(edition, rooms=room("garage"), volts=250.0).verdict == "unresolved"
    assert finding(edition, rooms=room("garage"), volts=250.0, amperes=20.0).verdict == "missing"
    assert finding(edition, rooms=room("garage"), volts=250.0, amperes=30.0).verdict == "not required"
    assert finding(edition, rooms=room("garage")).verdict == "missing"


# ------------------------------------------------------------------------------------- crawl-space lights


@pytest.mark.parametrize("year", editions())
def test_a_light_in_a_crawl_space_is_judged(year: str) -> None:
    """Crawl-space lighting up to 120 V since 2017 (electricallicenserenewal.com, 2017 210.8(E), section 232)."""
    found = finding(year, kind="light", rooms=room("crawl space"), volts=120.0)
    assert found.verdict == ("not required" if year == "2014" else "missing")
    assert finding(year, kind="light", rooms=room("bathroom"), volts=120.0).verdict == "not required"
    unsure = finding(year, kind="light", rooms=room("unknown", "X"), volts=120.0)
    assert unsure.verdict == ("not required" if year == "2014" else "unresolved")


def test_which_lights_are_judged() -> None:
    plan = FloorPlan(
        "v1", (room("crawl space"), room("bedroom", id="r2")), MultiPolygon(), MultiPolygon(), (), (), None
    )
    bare = replace(plan, rooms=plan.rooms[1:])
    view, crawl = View("v1", "FIRST FLOOR", (0, 0, 9, 9)), View("v1", "CRAWL SPACE PLAN", (0, 0, 9, 9))
    light = symbol("light")

    def judged(where: str | None, plan: FloorPlan, view: View | None, why: str | None = None) -> bool:
        return is_judged_light(light, Standing(HERE, None, where, 0.1, why=why), plan, view)

    assert judged("r1", plan, view)
    assert not judged("r2", plan, view)
    assert judged("r2", plan, view, "it lies across a wall") and judged(None, plan, view, "no room")
    assert not judged(None, bare, view, "no room") and not judged("r2", bare, view, "it lies across a wall")
    assert judged(None, bare, crawl, "no room")
    assert not judged("r1", plan, None)
    outside = replace(plan, rooms=(room("outdoors"),))
    lost = replace(outside, why="walls were found, but no closed space")
    assert judged("r1", lost, crawl) and not judged("r1", lost, view) and not judged("r1", outside, crawl)
    assert not is_judged_light(symbol("switch"), Standing(HERE, None, "r1", 0.1), plan, view)


# ------------------------------------------------------------------------------------ numbering of citations

DIALECT = "cordpath: 1\namendment: Town numbering\ndialect:\n  210.8(A)(2): T-2\n  210.8(A)(1): T-1\n"


def test_a_dialect_changes_what_is_cited_and_nothing_else() -> None:
    edition = amend(load_edition("2020"), parse_amendment(DIALECT, "t.yaml"))
    assert edition.shown("210.8(A)(1)") == "T-1"
    assert edition.shown("210.8(A)(10)") == "210.8(A)(10)"
    assert edition.shown("210.8(A)(2) Exception") == "T-2 Exception"
    assert edition.shown("210.8(A)") == "210.8(A)"
    for where in ("bathroom", "garage", "outdoors"):
        local, nec = finding(edition, rooms=room(where)), finding("2020", rooms=room(where))
        assert local.verdict == nec.verdict
        assert [each.cite_nec or each.cite for each in local.requirements] == [e.cite for e in nec.requirements]
    assert finding(edition, rooms=room("garage")).requirements[0].cite == "T-2"
    assert finding("2020", rooms=room("garage")).requirements[0].cite_nec is None


@pytest.mark.parametrize(
    ("text", "line", "word"),
    [
        ("dialect:\n  210.8(Z): X\n", 4, "210.8(Z)"),
        ("dialect: [a]\n", 3, "must be a table"),
        ("dialect:\n  210.8(A)(1): [a]\n", 4, "must be text"),
        ("dialect:\n  210.8(A)(1): a\n  210.8(A)(1): b\n", 5, "twice"),
        ("change:\n  - {cite: [210.8(A)(1), 210.8(Q)], volts: 125}\n", 4, "changes 210.8(Q)"),
    ],
)
def test_faults_of_a_dialect_are_told_with_their_line(text: str, line: int, word: str) -> None:
    with pytest.raises(ConfigurationRefused) as refused:
        amend(load_edition("2023"), parse_amendment("cordpath: 1\namendment: T\n" + text, "t.yaml"))
    assert [fault.line for fault in refused.value.faults if word in fault.what] == [line], str(refused.value)


# ---------------------------------------------------------------------------------------------- reasons


def test_all_requirements_are_one_sentence() -> None:
    found = finding("2023", rooms=room("kitchen", "KITCHEN"), fixtures=(fixture("sink", 3.7),))
    assert found.reasons[0] == (
        "Required: in a kitchen (KITCHEN) [210.8(A)(6)]; "
        "3.7 ft along the cord path from the bowl of the sink f1, unless an elevation shows a longer way "
        "[210.8(A)(8)]."
    )
    free = finding("2023", rooms=room("bedroom", "BED 2"))
    assert free.reasons == (
        "No rule of the 2023 edition asks for protection: it is in a bedroom (BED 2); "
        "no sink, tub or shower is within reach of a cord.",
    )


def test_what_is_common_to_several_reasons_is_said_once() -> None:
    near = (fixture("lavatory", 1.2), fixture("bathtub", 3.7, id="f2"))
    (first, *_) = finding("2023", rooms=room("bathroom", "BATH"), fixtures=near).reasons
    assert first.count("unless an elevation shows") == 1 and first.endswith("longer way [210.8(A)(10)].")
    unknown = finding("2023", rooms=room("unknown", "ROOST"))
    assert sum("Perhaps required" in reason for reason in unknown.reasons) == 1
    assert any("210.8(A) items 1 to 3, 5 to 7, 9, 11 and 12" in reason for reason in unknown.reasons)
    assert len(unknown.reasons) == len(set(unknown.reasons))
    rooms = (room("living", "LIVING", open_to=("r2",)), room("hall", "FOYER", id="r2", open_to=("r1",)))
    (only,) = finding("2023", rooms=rooms, why="no wall divides LIVING from FOYER here").reasons
    assert "it is in a living room (LIVING) or in a hall (FOYER); no sink" in only


@pytest.mark.parametrize(
    ("cites", "text"),
    [
        (["210.8(F)"], "210.8(F)"),
        (["210.8(A)(1)", "210.8(A)(2)", "210.8(D)"], "210.8(A)(1), 210.8(A)(2), 210.8(D)"),
        ([f"210.8(A)({n})" for n in (1, 2, 3, 5)] + ["625.54"], "210.8(A) items 1 to 3 and 5, 625.54"),
        ([f"210.8(A)({n})" for n in (9, 1, 4, 7)], "210.8(A) items 1, 4, 7 and 9"),
        (["210.8(A)", "210.8(A)(1)", "210.8(A)(1)"], "210.8(A), 210.8(A)(1)"),  # the head was lost beside its item
        (["E3902.1", "E3902.2", "E3902.3", "E3902.4"], "E3902.1, E3902.2, E3902.3, E3902.4"),
    ],
)
def test_citations_are_listed_shortly(cites: list[str], text: str) -> None:
    assert ", ".join(cites_together(cites)) == text


def test_a_rule_that_no_source_was_seen_for_says_so() -> None:
    found = finding("2026", kind="light", rooms=room("crawl space"), volts=120.0)
    assert any("210.8(C)" in reason and "printed code" in reason for reason in found.reasons)
    alarm = finding("2026", rooms=room("garage"), serves="security system")
    assert alarm.verdict == "not required" and any("printed code" in reason for reason in alarm.reasons)
    sure = finding("2023", kind="light", rooms=room("crawl space"), volts=120.0)
    assert not any("printed code" in reason for reason in sure.reasons)


@given(st.text(max_size=30))
def test_no_single_word_stands_as_a_sentence(text: str) -> None:
    said = sentence(text)
    assert said == "" or " " in said


def test_a_word_of_the_drawing_is_told_as_one() -> None:
    junk = replace(CANNOT_TELL, reasons=("gfi",))
    found = finding("2023", junk, rooms=room("bathroom"))
    assert all(" " in reason for reason in found.reasons)
    assert any("'gfi'" in reason for reason in found.reasons)
    doubtful = finding("2023", rooms=room("bathroom", polygon=box(0, 100, 400, 400)), found=False)
    assert all(" " in reason for reason in doubtful.reasons)

"""The judge: distances, places that are not settled, doubtful symbols, reasons."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, box
from tests.rules.records import (
    CANNOT_TELL,
    NO_SCALE,
    NOT_SHOWN,
    PER_FOOT,
    SHOWN,
    cites,
    finding,
    fixture,
    reading,
    room,
    symbol,
)

from cordpath.model import Answer, Panel, PanelRow, Protection, Scale
from cordpath.rules import judge, load_edition

UNKNOWN = Answer.UNKNOWN
KITCHEN_AND_DINING = (
    room("kitchen", "KITCHEN", open_to=("r2",)),
    room("dining", "DINING", id="r2", open_to=("r1",), polygon=box(0, 0, 400, 100)),
)


# ---------------------------------------------------------------------------------------------- distance


@pytest.mark.parametrize(
    ("feet", "loose", "verdict"),
    [
        (4.3, 0.1, "missing"),
        (5.9, 0.1, "missing"),  # 5.9 + 0.1 is the limit itself
        (5.95, 0.1, "unresolved"),
        (6.0, 0.0, "missing"),
        (6.05, 0.1, "unresolved"),
        (6.2, 0.1, "not required"),
        (6.2, 0.3, "unresolved"),
        (0.0, 0.2, "missing"),
    ],
)
def test_a_length_counts_with_its_uncertainty(feet: float, loose: float, verdict: str) -> None:
    found = finding(fixtures=(fixture("sink", feet),), loose=loose)
    assert found.verdict == verdict
    if verdict != "not required":
        (asked,) = found.requirements
        assert asked.distance_ft == feet and asked.to == "f1" and len(asked.path) == 2
        assert (asked.question is not None) == (verdict == "unresolved")
        assert "bowl of the sink f1" in asked.because


def test_the_nearest_fixture_is_named() -> None:
    found = finding(fixtures=(fixture("sink", 5.0), fixture("sink", 3.0, id="f2"), fixture("sink", 5.99, id="f3")))
    (asked,) = found.requirements
    assert (asked.to, asked.distance_ft) == ("f2", 3.0)
    assert "unless an elevation shows" in asked.because


def test_one_sure_reach_decides_over_a_nearer_doubtful_one() -> None:
    doubtful = fixture("sink", 2.0, found=False, rivals=("round table",))
    assert finding(fixtures=(doubtful, fixture("sink", 5.0, id="f2"))).requirements[0].to == "f2"
    alone = finding(fixtures=(doubtful,))
    assert alone.verdict == "unresolved"
    assert any("round table" in reason for reason in alone.reasons)


def test_paths_of_the_other_reading_of_doors_do_not_count() -> None:
    assert finding("2017", fixtures=(fixture("sink", 3.0),), doors="open").verdict == "not required"
    assert finding("2017", fixtures=(fixture("sink", 3.0),), doors="blocking").verdict == "missing"
    assert finding("2023", fixtures=(fixture("sink", 3.0),), doors="blocking").verdict == "not required"


def test_an_opening_wider_than_a_doorway_is_asked_about_where_doorways_end_the_path() -> None:
    sink = fixture("sink", 3.0, at=(100.0, 154.0))
    across = {"fixtures": (sink,), "doors": "open"}
    wide, narrow = LineString([(20.0, 120.0), (140.0, 120.0)]), LineString([(60.0, 120.0), (140.0, 120.0)])
    asked = finding("2017", openings=(wide,), **across)
    assert asked.verdict == "unresolved"
    assert any("6.7 ft wide" in reason for reason in asked.reasons)
    assert finding("2017", openings=(narrow,), **across).verdict == "not required"
    assert finding("2017", openings=(wide, narrow), **across).verdict == "not required"
    assert finding("2017", openings=(wide,), door_lines=(narrow,), **across).verdict == "not required"
    assert finding("2020", openings=(wide,), **across).verdict == "missing"


@pytest.mark.parametrize("status", ["conflict", "not to scale", "unknown"])
def test_without_a_scale_nothing_is_measured_and_nothing_passes(status: str) -> None:
    scale = Scale("v1", 48.0 if status == "conflict" else None, "none", "", status, why="two notes differ")  # type: ignore[arg-type]
    far = finding(scale=scale, fixtures=(fixture("sink"),))
    assert far.verdict == "unresolved"
    assert any("two notes differ" in reason for reason in far.reasons)
    assert finding(scale=scale, rooms=room("garage"), fixtures=(fixture("sink"),)).verdict == "missing"
    # A sink is looked for in its real size: at no scale, or at a wrong one, that none was found is no proof.
    assert finding(scale=scale).verdict == "unresolved"
    assert finding(scale=scale, rooms=(room(), room("kitchen", id="r2"))).verdict == "unresolved"


def test_a_path_that_could_not_be_measured_is_a_question() -> None:
    found = finding(problems=(("E1.1", "it is drawn inside a wall"),))
    assert found.verdict == "unresolved"
    assert any("drawn inside a wall" in reason for reason in found.reasons)
    assert finding(problems=(("E1.2", "another one"),)).verdict == "not required"


def test_a_fixture_without_an_edge_is_asked_about_only_where_it_may_be_near() -> None:
    near = (100.0 + 4 * PER_FOOT, 130.0)
    assert finding(fixtures=(fixture("sink", at=near, edge=False),)).verdict == "unresolved"
    assert finding(fixtures=(fixture("sink", at=(390.0, 390.0), edge=False),)).verdict == "not required"
    assert finding(spotted=(symbol("sink", near, found=False),)).verdict == "unresolved"
    behind = room("bathroom", "BATH", id="r2", polygon=box(0, 0, 400, 95))
    there = fixture("sink", at=(100.0, 60.0), room="r2", edge=False)
    tub = fixture("bathtub", id="f2", at=(300.0, 20.0), room="r2")
    assert finding(rooms=(room(), behind), fixtures=(there, tub)).verdict == "not required"  # the wall is whole
    door = LineString([(110, 97), (160, 97)])
    record = {"rooms": (room(), behind), "fixtures": (there, tub), "door_lines": (door,)}
    assert finding("2023", **record).verdict == "unresolved"
    assert finding("2017", **record).verdict == "not required"


def test_a_doubtful_sink_near_an_outlet_of_no_sure_room_is_asked_about() -> None:
    """The wall between may be the one that the outlet is on the other side of."""
    behind = room("hall", "HALL", id="r2", polygon=box(0, 0, 400, 95))
    sink = fixture("sink", at=(100.0, 60.0), room="r2", edge=False)
    assert finding("2020", rooms=(room(), behind), fixtures=(sink,)).verdict == "not required"
    across = finding("2020", rooms=(room(), behind), fixtures=(sink,), why="the symbol lies across a wall")
    assert "210.8(A)(7)" in cites(across, UNKNOWN)


def test_an_outlet_at_an_appliance_of_a_drawing_without_a_scale_is_asked_about() -> None:
    """A drawn inch may be 2 ft (1/2" = 1'-0") or more: 12 pt off is perhaps at its back, 60 pt off is not."""
    record = {"scale": NO_SCALE, "rooms": room("hall")}
    near = finding("2020", **record, fixtures=(fixture("dishwasher", at=(100.0, 116.0)),))  # type: ignore[arg-type]
    assert near.verdict == "unresolved" and "210.8(D)" in cites(near, UNKNOWN)
    assert any("the drawing has no scale" in reason for reason in near.reasons)
    far = finding("2020", **record, fixtures=(fixture("dishwasher", at=(100.0, 164.0)),))  # type: ignore[arg-type]
    assert "210.8(D)" not in cites(far, UNKNOWN)


def test_a_kitchen_without_a_sink_is_asked_about_where_its_sink_may_be_near() -> None:
    kitchen = room("kitchen", "KITCHEN", id="r2", polygon=box(0, 0, 400, 95))
    sink = fixture("sink", at=(300.0, 20.0), room="r2")
    door = LineString([(140, 97), (190, 97)])
    assert finding(rooms=(room(), kitchen)).verdict == "not required"  # a whole wall between
    asked = finding(rooms=(room(), kitchen), door_lines=(door,))
    assert asked.verdict == "unresolved"
    assert any("mapping file" in reason for reason in asked.reasons)
    assert finding(rooms=(room(), kitchen), door_lines=(door,), fixtures=(sink,)).verdict == "not required"
    far_door = LineString([(300, 97), (350, 97)])
    assert finding(rooms=(room(), kitchen), door_lines=(far_door,)).verdict == "not required"
    own = finding("2020", rooms=room("kitchen", "KITCHEN"), at_counter=Answer.NO)
    assert own.verdict == "unresolved"


def test_a_bath_without_a_tub_is_no_powder_room() -> None:
    door = LineString([(140, 97), (190, 97)])
    basin = fixture("lavatory", at=(390.0, 20.0), room="r2")
    for name, verdict in (("BATH", "unresolved"), ("POWDER", "not required"), ("1/2 BATH", "not required")):
        bath = room("bathroom", name, id="r2", polygon=box(0, 0, 400, 95))
        found = finding(rooms=(room(), bath), fixtures=(basin,), door_lines=(door,))
        assert found.verdict == verdict, name


# ----------------------------------------------------------------------------------------------- places


def test_open_plan_in_doubt_is_settled_only_if_both_ends_agree() -> None:
    doubt = {"rooms": KITCHEN_AND_DINING, "why": "no wall divides KITCHEN from DINING here"}
    sink = (fixture("sink", 11.0),)
    assert finding("2023", **doubt, fixtures=sink).verdict == "unresolved"
    assert finding("2020", **doubt, fixtures=sink, at_counter=Answer.NO).verdict == "not required"
    assert finding("2023", rooms=KITCHEN_AND_DINING, fixtures=sink).verdict == "missing"
    both = (room("kitchen", "KITCHEN", open_to=("r2",)), room("food area", "BAR", id="r2", polygon=box(0, 0, 9, 9)))
    sinks = (fixture("sink", 11.0), fixture("sink", 11.0, id="f2", at=(4.0, 4.0), room="r2"))
    agreed = finding("2023", rooms=both, why="no wall divides them", fixtures=sinks)
    assert agreed.verdict == "missing"
    assert any("KITCHEN or BAR" in reason for reason in agreed.reasons)


def test_only_the_rooms_that_an_outlet_may_stand_in_are_weighed() -> None:
    living = room("living", "LIVING", open_to=("r2", "r3"))
    hall = room("hall", "FOYER", id="r2", open_to=("r1", "r3"), polygon=box(0, 0, 400, 100))
    kitchen = room("kitchen", "KITCHEN", id="r3", open_to=("r1", "r2"), polygon=box(400, 0, 800, 400))
    sinks = (fixture("sink", 20.0, at=(790.0, 10.0), room="r3"),)
    doubt = {"rooms": (living, hall, kitchen), "why": "no wall divides LIVING from FOYER here", "fixtures": sinks}
    assert finding("2023", **doubt, perhaps=("r2",)).verdict == "not required"
    assert finding("2023", **doubt, perhaps=("r2", "r3")).verdict == "unresolved"


def test_a_symbol_across_a_wall_may_be_in_the_room_behind_it() -> None:
    across = "the symbol lies across a wall, about as much on either side"
    here = room("bedroom", "BED 1", open_to=("r3",))
    hall = room("hall", "HALL", id="r3", polygon=box(300, 100, 400, 400), open_to=("r1",))
    bath = room("bathroom", "BATH", id="r2", polygon=box(0, 0, 400, 95))
    fixtures = (
        fixture("lavatory", id="f1", at=(390.0, 20.0), room="r2"),
        fixture("bathtub", id="f2", at=(390.0, 50.0), room="r2"),
    )
    assert finding(rooms=(here, hall, bath), why=across, fixtures=fixtures).verdict == "unresolved"
    assert finding(rooms=(here, hall), why=across).verdict == "unresolved"
    kitchen = room("kitchen", "KITCHEN", open_to=("r3",))
    sink = fixture("sink", 9.0, id="f3")
    found = finding(rooms=(kitchen, bath), why=across, fixtures=(*fixtures, sink))
    assert found.verdict == "missing"  # a kitchen on this side, a bathroom on the other
    far = room("bedroom", "BED 9", id="r9", polygon=box(500, 500, 700, 700))
    found = finding(rooms=(kitchen, bath, far), why=across, fixtures=(*fixtures, sink))
    assert found.verdict == "missing"  # a room that is nowhere near is no candidate


def test_without_a_room_nothing_passes() -> None:
    lost = finding(standing_room=None, why="it is within a wall", rooms=room(polygon=box(0, 300, 400, 400)))
    assert lost.verdict == "unresolved"
    assert any("within a wall" in reason for reason in lost.reasons)
    assert finding(standing_room=None).verdict == "unresolved"
    assert finding(standing_room="r9").verdict == "unresolved"
    assert finding(view=None).verdict == "unresolved"
    between = (room("bedroom", "BED 1"), room("bedroom", "BED 2", id="r2", polygon=box(0, 0, 400, 95)))
    assert finding(standing_room=None, why="between two rooms", rooms=between).verdict == "unresolved"


def test_where_the_building_was_not_found_nothing_is_outdoors_for_sure() -> None:
    """A plan of which no room was found has one of the outside, over all that is drawn."""
    seen = reading(rooms=room("outdoors", "OUTDOORS"))
    bare = replace(seen, plans=(replace(seen.plans[0], why="walls were found, but no closed space"),))
    fixed = reading(kind="hardwired outlet", rooms=room("outdoors", "OUTDOORS"), serves="lighting")
    lit = replace(fixed, plans=bare.plans)
    for year in ("2014", "2023"):
        (found,) = judge(bare, (), (NOT_SHOWN,), load_edition(year))
        assert found.verdict == "unresolved" and any("no closed space" in reason for reason in found.reasons)
        assert judge(seen, (), (NOT_SHOWN,), load_edition(year))[0].verdict == "missing"
    assert judge(lit, (), (NOT_SHOWN,), load_edition("2023"))[0].verdict == "unresolved"
    assert judge(fixed, (), (NOT_SHOWN,), load_edition("2023"))[0].verdict == "not required"
    with_room = (*bare.plans[0].rooms, room("bedroom", id="r2"))
    half = replace(bare, plans=(replace(bare.plans[0], rooms=with_room),))
    assert judge(half, (), (NOT_SHOWN,), load_edition("2023"))[0].verdict == "missing"


def test_a_settled_place_outside_the_house_is_outdoors() -> None:
    found = finding(standing_room=None, rooms=room(polygon=box(0, 300, 400, 400)), outside=box(0, 100, 400, 299))
    assert found.verdict == "missing" and found.requirements[0].because == "outdoors"


def test_a_room_of_unknown_kind_or_little_confidence_is_a_question() -> None:
    assert finding(rooms=room("unknown", "XQZ")).verdict == "unresolved"
    weak = finding(rooms=room("bedroom", "BED 2", confidence=0.6))
    assert weak.verdict == "unresolved"
    assert any("little confidence" in reason for reason in weak.reasons)
    assert finding(rooms=room("unknown", "XQZ"), fixtures=(fixture("sink", 2.0),)).verdict == "missing"


def test_the_title_of_a_drawing_puts_its_rooms_in_the_basement() -> None:
    bedroom = {"rooms": room("bedroom", "BEDROOM 4"), "title": "BASEMENT POWER PLAN"}
    assert finding("2023", **bedroom).verdict == "missing"
    assert finding("2017", **bedroom).verdict == "not required"
    mixed = finding("2023", rooms=room("bedroom"), title="BASEMENT AND FIRST FLOOR PLANS")
    assert mixed.verdict == "unresolved"
    assert finding("2023", rooms=room("bedroom"), title="LOWER LEVEL PLAN").verdict == "unresolved"
    assert finding("2017", rooms=room("utility", "MECH"), title="BASEMENT PLAN").verdict == "unresolved"


@pytest.mark.parametrize("edition", ["2014", "2017", "2020", "2023", "2026"])
def test_the_title_of_a_drawing_puts_its_stores_in_an_accessory_building(edition: str) -> None:
    """STORAGE in a detached garage was a closet, where nothing is asked."""
    for title in ("DETACHED GARAGE PLAN", "GARAGE PLAN", "STORAGE SHED", "BARN POWER PLAN", "BOATHOUSE PLAN"):
        for kind in ("closet", "other"):
            assert finding(edition, rooms=room(kind, "STORAGE"), title=title).verdict == "unresolved", (title, kind)
        assert finding(edition, rooms=room("bedroom", "LOFT"), title=title).verdict == "not required"
    for title in ("FIRST FLOOR PLAN", "FINISHED ATTIC PLAN", "BARNDOMINIUM FLOOR PLAN", "HOUSE AND GARAGE PLAN"):
        assert finding(edition, rooms=room("closet", "STORAGE"), title=title).verdict == "not required", title


def test_what_a_label_leaves_unsure_is_asked() -> None:
    found = finding("2020", rooms=room("closet"), serves_unsure="sump pump")
    assert found.verdict == "unresolved"
    assert any("sump pump" in reason for reason in found.reasons)


def test_an_outlet_at_an_appliance_may_serve_it() -> None:
    record = {"rooms": room("closet"), "fixtures": (fixture("dryer", at=(100.0, 104.0)),)}
    assert finding("2023", **record).verdict == "missing"  # a closet with a dryer is a laundry area
    hall = {**record, "rooms": room("hall")}
    found = finding("2023", **hall)
    assert found.verdict == "unresolved"
    assert any("dryer" in reason for reason in found.reasons)


def test_an_outlet_on_the_other_side_of_a_wall_serves_no_appliance() -> None:
    two = (room("office"), replace(room("laundry"), id="r2"))
    behind = (fixture("dryer", at=(100.0, 104.0), room="r2"),)
    assert finding("2023", rooms=two, fixtures=behind).verdict == "not required"
    assert finding("2023", rooms=two, fixtures=behind, perhaps=("r2",)).verdict == "unresolved"
    assert finding("2023", rooms=two, fixtures=behind, facing=None).verdict == "unresolved"
    unsure = (fixture("dryer", at=(100.0, 104.0), room=None),)
    assert finding("2023", rooms=two, fixtures=unsure).verdict == "unresolved"


# ------------------------------------------------------------------------------------ outlets and words


def test_a_doubtful_symbol_is_unresolved_with_both_names() -> None:
    found = finding(rooms=room("bathroom"), found=False, rivals=("GFCI receptacle",))
    assert found.verdict == "unresolved"
    assert "a receptacle or GFCI receptacle" in found.reasons[0]
    assert finding(rooms=room("bathroom"), confidence=0.2).verdict == "unresolved"


def test_fixed_wiring_without_rules_for_it_never_passes() -> None:
    edition = load_edition("2023")
    narrow = [rule for rule in edition.rules if "hardwired outlet" not in rule.applies_to]
    bare = replace(edition, rules=tuple(narrow))
    found = finding(bare, kind="hardwired outlet", serves="water heater")
    assert found.verdict == "unresolved"
    assert "not in this edition file" in found.reasons[0]
    assert finding("2023", kind="hardwired outlet", serves="water heater").verdict == "not required"
    assert finding("2023", kind="hardwired outlet").verdict == "unresolved"


@pytest.mark.parametrize(
    ("edition", "place"),
    [("2020", "outdoors"), ("2023", "outdoors"), ("2026", "outdoors"), ("2023", "garage"), ("2026", "garage"),
     ("2023", "accessory building"), ("2026", "boathouse")],
)  # fmt: skip
def test_fixed_wiring_that_may_serve_lighting_is_asked_about_where_lighting_is_exempt(
    edition: str, place: str
) -> None:
    """210.8(F) leaves lighting outlets out (electricallicenserenewal.com, 2020 210.8(F), section 812; Mike Holt
    forum, 2023 210.8(F), thread 2570000): a junction box that does not say what it serves may be one.
    """
    box: dict[str, Any] = {"kind": "hardwired outlet", "rooms": room(place)}
    day = dt.date(2026, 10, 1)  # the exception for heating and cooling equipment has ended
    found = finding(edition, day=day, **box)
    assert found.verdict == "unresolved"
    assert any("What does the fixed wiring serve?" in reason for reason in found.reasons)
    assert any("210.8(F) Exception" in reason for reason in found.reasons)
    assert finding(edition, day=day, serves="lighting", **box).verdict == "not required"
    for equipment in ("water heater", "pool pump", "heat pump"):
        assert finding(edition, day=day, serves=equipment, **box).verdict == "missing", equipment
    unsure = finding(edition, day=day, serves_unsure="lighting", **box)
    assert unsure.verdict == "unresolved"


def test_amperes_of_fixed_wiring_come_from_the_panel_schedule() -> None:
    row = PanelRow(("7", "9"), "CHARGER", 2, 60.0, Answer.NO, Answer.NO, "7,9 CHARGER 60")
    panel = Panel("A", (row,), "E1")
    on_circuit = Protection(Answer.NO, None, None, circuit="A-7")
    record = {"kind": "hardwired outlet", "rooms": room("outdoors"), "serves": "evse", "volts": 240.0}
    assert finding("2023", on_circuit, panels=(panel,), **record).verdict == "not required"
    assert finding("2023", on_circuit, **record).verdict == "missing"


def test_fixed_wiring_without_a_voltage_is_of_120_or_240_volts() -> None:
    """A dwelling has no others (common practice, no source): a rule up to 240 V reaches it, one up to 125 V may."""
    assert (
        finding("2014", kind="hardwired outlet", rooms=room("outdoors"), serves="boat hoist").verdict == "missing"
    )
    crawl = {"kind": "hardwired outlet", "rooms": room("crawl space"), "serves": "lighting"}
    assert finding("2017", **crawl).verdict == "unresolved"  # type: ignore[arg-type]
    assert finding("2017", **crawl, volts=240.0).verdict == "not required"  # type: ignore[arg-type]


def test_a_number_alone_names_no_circuit_where_there_are_several_panels() -> None:
    """Nor does a circuit that stands in the schedule twice with other amperes: either would clear the outlet."""
    rows = [PanelRow(("7",), "CHARGER", 2, amperes, Answer.NO, Answer.NO, "7 CHARGER") for amperes in (60.0, 40.0)]
    first, second = Panel("A", (rows[0],), "E1"), Panel("B", (), "E1")
    record = {"kind": "hardwired outlet", "rooms": room("outdoors"), "serves": "evse", "volts": 240.0}
    for circuit, panels, verdict in (
        ("7", (first,), "not required"),
        ("7", (first, second), "missing"),
        ("A-7", (first, second), "not required"),
        ("B-7", (first, second), "missing"),
        ("A-7", (replace(first, rows=tuple(rows)), second), "missing"),
    ):
        shown = Protection(Answer.NO, None, None, circuit=circuit)
        assert finding("2023", shown, panels=panels, **record).verdict == verdict, circuit


@pytest.mark.parametrize(
    ("protection", "verdict"), [(NOT_SHOWN, "missing"), (SHOWN, "protected"), (CANNOT_TELL, "unresolved")]
)
def test_protection_and_requirement_meet(protection: Protection, verdict: str) -> None:
    assert finding("2023", protection, rooms=room("bathroom")).verdict == verdict
    free = finding("2023", protection)
    assert free.verdict == "not required" and free.protection is protection


def test_existing_outlets_are_judged_and_demolished_ones_asked_about() -> None:
    old = finding(rooms=room("bathroom"), status="existing")
    assert old.verdict == "missing" and any("existing" in reason for reason in old.reasons)
    assert finding(rooms=room("bathroom"), status="demolished").verdict == "unresolved"


def test_reasons_are_whole_sentences() -> None:
    for record in (
        {"rooms": room("bathroom", "BATH 2")},
        {"fixtures": (fixture("sink", 5.95),)},
        {"rooms": room("unknown", "")},
        {},
        {"scale": NO_SCALE, "fixtures": (fixture("bathtub"),)},
        {"kind": "hardwired outlet", "rooms": room("outdoors"), "serves": "hvac"},
    ):
        found = finding("2023", NOT_SHOWN, **record)  # type: ignore[arg-type]
        assert found.reasons
        for reason in found.reasons:
            assert reason[0].isupper() or reason[0].isdigit(), reason
            assert reason[-1] in ".?" and ": ." not in reason and ", ," not in reason, reason
        if found.verdict == "unresolved":
            assert any(reason.endswith("?") or "Give" in reason for reason in found.reasons)
    bath = finding("2023", rooms=room("bathroom", "BATH 2"))
    assert bath.requirements[0].because == "in a bathroom (BATH 2)"


def test_one_finding_an_outlet_and_as_many_protections() -> None:
    with pytest.raises(ValueError, match="1 outlets but 0 protections"):
        judge(reading(), (), (), load_edition("2023"))


# ------------------------------------------------------------------------------ what knowledge may change

KINDS = ("bathroom", "kitchen", "basement", "garage", "bedroom", "outdoors", "utility", "unknown")
records = st.fixed_dictionaries(
    {
        "kind": st.sampled_from(KINDS),
        "finished": st.sampled_from([True, False, None]),
        "counter": st.sampled_from(list(Answer)),
        "feet": st.sampled_from([2.0, 5.95, 6.05, 9.0, None]),
        "loose": st.sampled_from([0.0, 0.1]),
        "sure": st.booleans(),
        "year": st.sampled_from(["2017", "2020", "2023"]),
    }
)


def required(record: dict[str, object], **veil: object) -> Answer:
    """Whether protection is required, told by the verdict with protection not shown."""
    now = {**record, **veil}
    feet = now["feet"]
    found = finding(
        str(now["year"]),
        NOT_SHOWN,
        rooms=room(str(now["kind"]), "ROOM", finished=now["finished"], confidence=0.9 if now["sure"] else 0.1),  # type: ignore[arg-type]
        at_counter=now["counter"],
        why=now.get("why"),
        fixtures=(fixture("sink", feet), fixture("bathtub", id="f2")),  # type: ignore[arg-type]
        loose=now["loose"],
        problems=now.get("problems", ()),  # type: ignore[arg-type]
        scale=now.get("scale", reading().scales[0]),
    )
    return {"missing": Answer.YES, "not required": Answer.NO, "unresolved": Answer.UNKNOWN}[found.verdict]


VEILS: tuple[dict[str, object], ...] = (
    {"finished": None},
    {"counter": UNKNOWN},
    {"loose": 0.3},
    {"sure": False},
    {"kind": "unknown"},
    {"why": "it may stand in the next room"},
    {"problems": (("E1.1", "in a wall"),)},
    {"scale": NO_SCALE},
)


@settings(max_examples=150, deadline=None)
@given(records, st.sampled_from(VEILS))
def test_knowing_less_never_gives_another_answer(record: dict[str, object], veil: dict[str, object]) -> None:
    """With less known the answer is the same or unknown; so learning never turns a yes into a no, or back."""
    known = required(record)
    if veil == {"loose": 0.3} and record["loose"] == 0.3:
        return
    assert required(record, **veil) in (known, UNKNOWN)


def test_the_same_reading_gives_the_same_findings() -> None:
    one = finding("2023", rooms=room("kitchen"), fixtures=(fixture("sink", 3.0), fixture("sink", 3.0, id="f2")))
    two = finding("2023", rooms=room("kitchen"), fixtures=(fixture("sink", 3.0, id="f2"), fixture("sink", 3.0)))
    assert one.reasons == two.reasons and cites(one) == cites(two)


def test_where_the_edition_is_silent_on_doors_a_way_through_one_is_asked_about() -> None:
    through_door = finding("2014", fixtures=(fixture("sink", 3.0),), doors="open")
    assert through_door.verdict == "unresolved"
    assert any("door or doorway end the path?" in reason for reason in through_door.reasons)
    assert finding("2014", fixtures=(fixture("sink", 3.0),), doors="blocking").verdict == "missing"
    assert finding("2014", fixtures=(fixture("sink", 9.0),), doors="open").verdict == "not required"


def test_where_the_edition_names_no_windows_a_way_through_one_is_asked_about() -> None:
    """2017 and 2020 end the path at a window; 2014 has no rule, and 2023 names windows no more (electricallicense
    renewal.com, 2020 NEC, change of the measuring rule; EC&M, Practically Speaking, measurement methods)."""
    for year, verdict in (("2014", "unresolved"), ("2017", "not required"), ("2020", "not required"),
                          ("2023", "unresolved"), ("2026", "unresolved")):  # fmt: skip
        seen = reading(fixtures=(fixture("sink", 3.0),), doors="open")
        seen = replace(seen, paths=tuple(replace(path, glass=True) for path in seen.paths))
        (found,) = judge(seen, (), (NOT_SHOWN,), load_edition(year))
        assert found.verdict == verdict, year
        asked = [reason for reason in found.reasons if "Can a cord pass the window" in reason]
        assert len(asked) == (verdict == "unresolved")
        far = replace(seen, paths=tuple(replace(path, length_ft=6.4) for path in seen.paths))
        assert judge(far, (), (NOT_SHOWN,), load_edition(year))[0].verdict == "not required"


@pytest.mark.parametrize(
    ("year", "edge", "feet", "verdict"),
    [
        ("2014", None, 6.2, "unresolved"),  # the outer edge is nearer than the bowl that was measured
        ("2014", None, 5.8, "missing"),
        ("2014", "outer", 6.2, "not required"),
        ("2020", "outer", 5.8, "unresolved"),  # the bowl is farther than the outer edge that was measured
        ("2020", "outer", 5.6, "missing"),
        ("2020", "inner", 5.8, "missing"),
    ],
)
def test_another_edge_than_the_edition_s_widens_the_doubt(
    year: str, edge: str | None, feet: float, verdict: str
) -> None:
    sink = fixture("sink", feet)
    drawn = sink[0].symbol
    measured = replace(sink[0], symbol=replace(drawn, entry=replace(drawn.entry, edge=edge)))  # type: ignore[arg-type]
    assert finding(year, fixtures=((measured, feet),)).verdict == verdict


def test_a_weatherproof_mark_indoors_is_asked_about_unless_the_room_explains_it() -> None:
    for year in ("2014", "2017", "2020", "2023", "2026"):
        found = finding(year, rooms=room("living"), weatherproof=True)
        assert found.verdict == "unresolved"
        assert any("weatherproof" in reason for reason in found.reasons)
    assert finding("2017", rooms=room("damp or wet"), weatherproof=True).verdict == "not required"


@pytest.mark.parametrize(
    ("day", "verdict"),
    [(dt.date(2026, 8, 31), "not required"), (dt.date(2026, 9, 1), "missing"), (None, "unresolved")],
)
def test_a_furnace_in_a_garage_is_heating_equipment_like_a_condenser_outdoors(
    day: dt.date | None, verdict: str
) -> None:
    """210.8(F) of 2023 reaches fixed wiring in garages; its Exception 2 for listed equipment ended 2026-09-01."""
    furnace = {"kind": "hardwired outlet", "rooms": room("garage"), "serves": "furnace", "amperes": 15.0}
    assert finding("2023", day=day, **furnace).verdict == verdict  # type: ignore[arg-type]

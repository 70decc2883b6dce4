"""Ways in which an outlet could have been cleared on less than the drawing proves; each was one once."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import box
from tests.rules.records import NOT_SHOWN, PER_FOOT, finding, fixture, reading, room

from cordpath.model import Answer, Panel, PanelRow, Protection
from cordpath.rules import judge, load_edition
from cordpath.rules.edition import Clause, Condition, Rule, Span

FIXED = "hardwired outlet"
LATER = ("2020", "2023", "2026")


def on_sheet(title: str, sheet: str, edition: str = "2023", views: int = 1, **record: object) -> str:
    """The verdict of an outlet on a drawing under ``title``, on a sheet titled ``sheet``."""
    read = reading(title=title, **record)  # type: ignore[arg-type]
    view = read.sheet.views[0]
    others = tuple(replace(view, id=f"v{k}") for k in range(2, views + 1))
    read = replace(read, sheet=replace(read.sheet, title=sheet, views=(view, *others)))
    (found,) = judge(read, (), (NOT_SHOWN,), load_edition(edition))
    return found.verdict


@pytest.mark.parametrize("title", ["BSMT POWER PLAN", "BSMT. PLAN", "PLAN - BASEMENT", "CELLAR"])
def test_a_basement_under_a_short_name_is_one(title: str) -> None:
    assert finding("2023", rooms=room("bedroom"), title=title).verdict == "missing"
    assert finding("2017", rooms=room("closet"), title=title).verdict == "unresolved"


@pytest.mark.parametrize("title", ["LOWER FLOOR PLAN", "TERRACE LEVEL", "WALK-OUT LEVEL", "FOUNDATION PLAN"])
@pytest.mark.parametrize("edition", ["2014", "2017", *LATER])
def test_a_level_that_may_be_a_basement_is_asked_about(title: str, edition: str) -> None:
    assert finding(edition, rooms=room("closet", "STORAGE"), title=title).verdict == "unresolved"


def test_the_title_of_the_sheet_tells_the_level_of_a_drawing_that_names_none() -> None:
    bedroom = {"rooms": room("bedroom")}
    assert on_sheet("POWER PLAN", "BASEMENT", **bedroom) == "missing"
    assert on_sheet("POWER PLAN", "BASEMENT AND FIRST FLOOR", **bedroom) == "unresolved"
    assert on_sheet("POWER PLAN", "BASEMENT", views=2, **bedroom) == "unresolved"
    for title in ("FIRST FLOOR PLAN", "LEVEL 2", "UPPER FLOOR"):
        assert on_sheet(title, "BASEMENT AND UPPER FLOORS", **bedroom) == "not required"
    assert on_sheet("POWER PLAN", "BASEMENT", rooms=room("crawl space")) == "missing"  # by the rule of its own
    assert on_sheet("POWER PLAN", "POWER PLANS", **bedroom) == "not required"


@pytest.mark.parametrize("edition", ["2014", "2017"])
def test_a_greenhouse_may_be_an_accessory_building(edition: str) -> None:
    """These editions have no rule for damp places, and it was cleared by that."""
    assert finding(edition, rooms=room("damp or wet", "GREENHOUSE")).verdict == "unresolved"
    assert finding(edition, rooms=room("damp or wet", "SAUNA")).verdict == "not required"


@pytest.mark.parametrize("volts", [208.0, 230.0, 240.0, 250.0])
def test_a_rule_up_to_240_volts_reaches_receptacles_rated_250(volts: float) -> None:
    pump = {"rooms": room("other", "PUMP ROOM"), "serves": "pool pump", "volts": volts}
    assert finding("2017", **pump).verdict == "missing"  # type: ignore[arg-type]
    hoist = {"rooms": room("outdoors"), "serves": "boat hoist", "volts": volts}
    assert finding("2014", **hoist).verdict == "missing"  # type: ignore[arg-type]


def test_beyond_250_volts_no_rule_of_210_8_a_reaches() -> None:
    assert finding("2023", rooms=room("garage"), volts=277.0).verdict == "not required"


@pytest.mark.parametrize("edition", LATER)
def test_a_receptacle_in_a_room_of_equipment_may_be_the_one_for_its_service(edition: str) -> None:
    asked = finding(edition, rooms=room("utility", "MECH. ROOM"))
    assert asked.verdict == "unresolved" and any("210.63" in reason for reason in asked.reasons)
    assert finding("2017", rooms=room("utility", "MECH. ROOM")).verdict == "not required"


@pytest.mark.parametrize("serves", ["steam oven", "wall oven (upper)", "hybrid dryer"])
def test_an_appliance_in_other_words_than_the_rule_s_is_asked_about(serves: str) -> None:
    found = finding("2023", kind=FIXED, rooms=room("hall"), serves=serves, volts=240.0)
    assert found.verdict == "unresolved" and any(serves in reason for reason in found.reasons)


@pytest.mark.parametrize(
    ("edition", "serves", "verdict"),
    [
        ("2020", "dish washer", "missing"), ("2020", "Dish-Washer", "missing"), ("2023", "cook top", "missing"),
        ("2023", "stove", "missing"), ("2020", "stove", "not required"), ("2020", "sump", "missing"),
        ("2017", "sump", "not required"), ("2020", "sewage ejector", "unresolved"), ("2014", "jacuzzi", "missing"),
        ("2023", "jacuzzi tub", "unresolved"), ("2020", "pump", "unresolved"), ("2020", "tub", "unresolved"),
        ("2023", "range hood", "not required"), ("2023", "washer", "not required"), ("2023", "-", "unresolved"),
        ("2023", "central vacuum", "not required"), ("2020", "vacuum", "not required"),
        ("2020", "warming drawer", "not required"), ("2023", "warming drawer", "unresolved"),
    ],
)  # fmt: skip
def test_an_appliance_written_otherwise_or_in_part_is_not_passed_over(
    edition: str, serves: str, verdict: str
) -> None:
    found = finding(edition, kind=FIXED, rooms=room("hall"), serves=serves, volts=120.0, amperes=15.0)
    assert found.verdict == verdict


@pytest.mark.parametrize("serves", [
    "water cooler", "soda machine", "drinking fountain", "bottle filling station", "power washer", "tire inflator",
    "auto vac", "underwater light", "pond pump",
])  # fmt: skip
@pytest.mark.parametrize("edition", ["2014", "2017"])
def test_appliances_of_article_422_and_water_are_asked_about_before_2020(edition: str, serves: str) -> None:
    """2014: 422.23, 422.49, 422.51, 422.52 (Mike Holt forum, thread 108111; the text of 2008 at solar365.com);
    2017: 422.5(A), of which captaincode2020.leviton.com, node 261, marks what 2020 changed; 680.51(A)."""
    for kind in ("receptacle", FIXED):
        assert finding(edition, kind=kind, rooms=room("hall"), serves=serves, volts=120.0).verdict == "unresolved"


def test_receptacles_of_an_elevator_are_asked_about() -> None:
    """620.85 to 2017, 620.6 from 2020 (Electrical Contractor, July 2021)."""
    for edition in ("2014", "2017", *LATER):
        assert finding(edition, rooms=room("closet", "ELEVATOR")).verdict == "unresolved"
        assert finding(edition, rooms=room("hall"), serves="stair lift").verdict == "unresolved"
        assert finding(edition, rooms=room("hall", "ELEV. LOBBY")).verdict == "not required"
        assert finding(edition, rooms=room("hall"), serves="stair light").verdict == "not required"


def test_words_that_only_sound_like_an_appliance_are_not_asked_about() -> None:
    for serves in ("range hood", "stranger", "hood"):
        assert finding("2023", kind=FIXED, rooms=room("hall"), serves=serves).verdict == "not required", serves


@pytest.mark.parametrize("edition", ["2023", "2026"])
def test_a_sink_in_a_living_room_may_make_an_area_for_drink_of_its_surroundings(edition: str) -> None:
    """NEC 210.8(A)(7) of 2023 is about the area with the sink, not about the room: 8 ft is asked, 15 ft is not."""
    for kind in ("living", "bedroom", "dining", "hall", "other"):
        bar = {"rooms": room(kind, "ROOM")}
        near, far = ((fixture("sink", at=(100.0, 100.0 + feet * PER_FOOT)),) for feet in (8.0, 15.0))
        asked = finding(edition, fixtures=near, **bar)  # type: ignore[arg-type]
        assert asked.verdict == "unresolved" and any("food or drink" in reason for reason in asked.reasons)
        clear = finding(edition, fixtures=far, **bar)  # type: ignore[arg-type]
        assert clear.verdict == "not required" and any("15 ft away" in reason for reason in clear.reasons)
        assert finding(edition, **bar).verdict == "not required"  # type: ignore[arg-type]
        assert finding("2020", fixtures=near, **bar).verdict == "not required"  # type: ignore[arg-type]
        unsure = (fixture("sink", at=(100.0, 244.0), found=False),)
        assert finding(edition, fixtures=unsure, **bar).verdict == "unresolved"  # type: ignore[arg-type]


def test_the_area_about_a_sink_does_not_end_where_no_wall_divides() -> None:
    sink = (fixture("sink", at=(100.0, 244.0), room="r2"),)
    for kind, open_to, verdict in (
        ("living", ("r2",), "unresolved"), ("living", (), "not required"), ("kitchen", ("r2",), "not required"),
    ):  # fmt: skip
        rooms = (room("dining", "DINING", open_to=open_to), room(kind, "THERE", id="r2"))
        assert finding("2023", rooms=rooms, fixtures=sink).verdict == verdict


def test_amperes_that_one_of_two_rows_leaves_out_clear_nothing() -> None:
    rows = [PanelRow(("7",), "CHARGER", 2, amperes, Answer.NO, Answer.NO, "7 CHARGER") for amperes in (60.0, None)]
    shown = Protection(Answer.NO, None, None, circuit="A-7")
    box = {"kind": FIXED, "rooms": room("outdoors"), "serves": "evse", "volts": 240.0}
    assert finding("2023", shown, panels=(Panel("A", (rows[0],), "E1"),), **box).verdict == "not required"  # type: ignore[arg-type]
    assert finding("2023", shown, panels=(Panel("A", tuple(rows), "E1"),), **box).verdict == "missing"  # type: ignore[arg-type]


def test_a_limit_beyond_all_editions_clears_nothing_by_a_way_that_was_not_found() -> None:
    """Why there is no way is told to 6 ft; here a sink stands 7 ft off, behind something."""
    edition = load_edition("2020")
    longer = replace(edition, measure=replace(edition.measure, limit_ft=8.0))
    for at, verdict in (((100.0, 230.0), "unresolved"), ((100.0, 260.0), "not required")):
        record = {"rooms": room("bedroom"), "fixtures": (fixture("sink", at=at),)}
        assert finding(longer, **record).verdict == verdict  # type: ignore[arg-type]
        assert finding(edition, **record).verdict == "not required"  # type: ignore[arg-type]
    found = {"rooms": room("bedroom"), "fixtures": (fixture("sink", 9.0, at=(100.0, 230.0)),)}
    assert finding(longer, **found).verdict == "not required"  # type: ignore[arg-type]
    glass = replace(longer, measure=replace(longer.measure, windows="unsettled"))
    assert finding(glass, **found).verdict == "unresolved"  # type: ignore[arg-type]


def test_the_breaker_s_amperes_are_not_those_of_a_receptacle() -> None:
    """A 15 A receptacle may stand on a larger breaker, rightly or not: its own rating decides."""
    row = PanelRow(("7",), "BATH", 1, 30.0, Answer.NO, Answer.NO, "7 BATH 30")
    shown = Protection(Answer.NO, None, None, circuit="A-7")
    for edition in ("2014", "2017"):
        found = finding(edition, shown, panels=(Panel("A", (row,), "E1"),), rooms=room("bathroom"))
        assert found.verdict == "missing"


@pytest.mark.parametrize(("kind", "verdict"), [(FIXED, "missing"), ("receptacle", "not required")])
def test_an_amendment_may_ask_for_fixed_wiring_alone(kind: str, verdict: str) -> None:
    edition = load_edition("2023")
    asks = Rule(
        "X1", "Fixed", "", ("receptacle", FIXED), Span(), Span(), (Clause((Condition("hard_wired", (True,)),)),)
    )
    alone = replace(edition, rules=(asks,), exemptions=())
    assert finding(alone, kind=kind, rooms=room("hall"), serves="heater").verdict == verdict


def test_an_appliance_in_a_room_that_may_be_the_outlet_s_is_at_it() -> None:
    """Which side of the wall the outlet is on is in doubt, or no wall divides the two rooms."""
    pump = {"fixtures": (fixture("sump pump", at=(100.0, 104.0), room="r2"),)}
    hall, closet = room("hall"), room("closet", id="r2")
    assert finding("2020", rooms=(hall, closet), **pump).verdict == "not required"  # type: ignore[arg-type]
    doubt = finding("2020", rooms=(hall, closet), why="its side of the wall is not sure", **pump)  # type: ignore[arg-type]
    assert doubt.verdict == "unresolved" and any("sump pump" in reason for reason in doubt.reasons)
    open_hall = room("hall", open_to=("r2",))
    assert finding("2020", rooms=(open_hall, closet), **pump).verdict == "unresolved"  # type: ignore[arg-type]


@pytest.mark.parametrize(("edition", "verdict"), [("2017", "not required"), ("2020", "not required"),
                                                  ("2014", "unresolved"), ("2023", "unresolved")])  # fmt: skip
def test_a_sink_behind_a_window_is_asked_about_where_the_edition_names_none(edition: str, verdict: str) -> None:
    """2017 and 2020 let a window end the path; the others say nothing of windows."""
    read = reading(rooms=room("hall"), fixtures=(fixture("sink", 3.0, room="r2"),))
    read = replace(read, paths=tuple(replace(path, glass=True) for path in read.paths))
    (found,) = judge(read, (), (NOT_SHOWN,), load_edition(edition))
    assert found.verdict == verdict
    assert verdict == "not required" or any("window or pane" in reason for reason in found.reasons)


def test_an_amendment_may_ask_for_what_is_not_marked_weatherproof() -> None:
    edition = load_edition("2023")
    asks = Rule(
        "X1", "Plain", "", ("receptacle",), Span(), Span(), (Clause((Condition("weatherproof", (False,)),)),)
    )
    alone = replace(edition, rules=(asks,), exemptions=())
    assert finding(alone, rooms=room("hall")).verdict == "missing"
    assert finding(alone, rooms=room("hall"), weatherproof=True).verdict == "not required"


@pytest.mark.parametrize("edition", ["2014", "2017", *LATER])
@pytest.mark.parametrize("kind", ["receptacle", FIXED])
def test_a_boat_hoist_is_judged_after_its_rule_moved_to_article_555(edition: str, kind: str) -> None:
    hoist = {"kind": kind, "rooms": room("boathouse"), "serves": "boat hoist", "volts": 240.0, "amperes": 20.0}
    found = finding(edition, **hoist)  # type: ignore[arg-type]
    assert found.verdict == "missing"
    assert ("210.8(C)" if edition < "2020" else "555.9") in [each.cite for each in found.requirements]


def test_an_outlet_of_no_room_is_outdoors_only_where_the_outside_is() -> None:
    outside = box(-400.0, -400.0, 500.0, 50.0)
    lost = {"standing_room": None, "outside": outside}
    assert finding("2023", **lost).verdict == "unresolved"  # type: ignore[arg-type]
    out = {"standing_room": None, "outside": box(-400.0, -400.0, 500.0, 500.0), "rooms": ()}
    assert finding("2023", **out).verdict == "missing"  # type: ignore[arg-type]


@pytest.mark.parametrize("amperes", ["?", "FORTY", "-20", "0", "nan"])
def test_amperes_that_cannot_be_read_are_a_question(amperes: str) -> None:
    unit = {"kind": FIXED, "rooms": room("outdoors"), "serves": "pool pump", "volts": 240.0, "amperes": amperes}
    found = finding("2020", **unit)  # type: ignore[arg-type]
    (outdoors,) = (each for each in found.requirements if each.cite == "680.21(C)")
    assert outdoors.holds is Answer.YES  # any amperes
    told = finding("2020", **{**unit, "serves": "pond pump"})  # type: ignore[arg-type]
    assert told.verdict == "unresolved" and any("ampere rating" in reason for reason in told.reasons)


@pytest.mark.parametrize("volts", ["?", "-120", "0", "inf"])
def test_volts_that_cannot_be_read_are_a_question(volts: str) -> None:
    found = finding("2017", rooms=room("bathroom"), volts=volts)
    assert found.verdict == "unresolved" and any("voltage" in reason for reason in found.reasons)


def test_an_outlet_that_is_perhaps_none_is_cleared_by_no_rule() -> None:
    """A shape in doubt, or one read with little confidence, in a bedroom."""
    assert finding("2023", rooms=room("bedroom"), found=False).verdict == "unresolved"
    assert finding("2023", rooms=room("bedroom"), confidence=0.49).verdict == "unresolved"
    assert finding("2023", rooms=room("bedroom"), confidence=0.51).verdict == "not required"


@pytest.mark.parametrize(
    ("edition", "serves", "verdict"),
    [("2017", "W/D", "missing"), ("2023", "washer & dryer", "missing"), ("2017", "DW/DISP", "missing"),
     ("2023", "DISP and DW", "missing"), ("2023", "MICRO/HOOD", "missing"), ("2023", "micro hood", "unresolved"),
     ("2020", "MICRO/HOOD", "not required"), ("2023", "range/oven", "missing"), ("2023", "REF/FRZ", "not required"),
     ("2020", "grinder pump", "unresolved"), ("2020", "charging station", "unresolved"),
     ("2023", "TV/DATA", "not required"), ("2023", "ref and disp", "not required")],
)  # fmt: skip
def test_an_outlet_of_several_things_is_asked_for_what_any_of_them_asks(
    edition: str, serves: str, verdict: str
) -> None:
    """W/D, DW/DISP and MICRO/HOOD in a room of no rules of its own were as if they served nothing."""
    assert finding(edition, rooms=room("hall"), serves=serves, volts=120.0).verdict == verdict


@pytest.mark.parametrize(
    ("title", "want"),
    [
        ("BSMNT PLAN", "missing"), ("BASM'T POWER PLAN", "missing"), ("B'SMT. PLAN", "missing"),
        ("PLANTA SÓTANO", "missing"), ("LWR. LVL. PLAN", "unresolved"), ("LOWER STORY", "unresolved"),
        ("LOWER GROUND FLOOR", "unresolved"), ("WALK OUT LEVEL", "unresolved"), ("SUB-LEVEL 1", "unresolved"),
        ("LEVEL B1", "unresolved"), ("BELOW GRADE PLAN", "unresolved"), ("LOWER UNIT PLAN", "not required"),
        ("FIRST FLR. PLAN", "not required"), ("LEVEL 1", "not required"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("year", ["2020", "2023", "2026"])
def test_the_title_of_a_basement_in_other_spellings(year: str, title: str, want: str) -> None:
    """A bedroom on a BSMNT PLAN or the LWR. LVL. was cleared for certain: only BSMT and LOWER LEVEL were known."""
    assert finding(year, rooms=room("bedroom"), title=title).verdict == want


@pytest.mark.parametrize(
    "title", ["GAR. PLAN", "GARAGE", "DET. GARAGE", "GARAGE FLOOR PLAN", "POOL HOUSE PLAN", "SHOP"]
)
def test_the_store_of_a_garage_or_of_a_building_beside_the_house_asks(title: str) -> None:
    """STORAGE on a GAR. PLAN was a closet of the house for certain: only GARAGE PLAN and the like were known."""
    assert finding("2023", rooms=room("closet", "STORAGE"), title=title).verdict == "unresolved"
    assert finding("2023", rooms=room("living", "OFFICE"), title=title).verdict == "not required"

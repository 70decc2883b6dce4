"""Names and what lies beyond doorways without leaves; lines that divide an open plan otherwise than its guess."""

from __future__ import annotations

import pytest
from room_symbols import FT, SCALE, Drawer, symbol
from shapely.geometry import box
from test_worked import open_plan, plan_of, room_at, thing

from cordpath.rooms import stand
from cordpath.rooms.standing import CUT_OFF

RECEPTACLE = {"wall": (0.0, -1.0)}


def beside(left: str, right: str, low: float, high: float, wide: float = 12.0) -> Drawer:
    """Two rooms 13 ft deep with a doorway between, ``low`` to ``high`` feet down their wall."""
    drawer = Drawer().room(5, 5, 5 + wide, 18, left).room(5.375 + wide, 5, 30, 18, right)
    return drawer.hole(4.9 + wide, 5 + low, 5.5 + wide, 5 + high)


def test_a_short_piece_of_wall_beside_a_wide_doorway_parts_two_names() -> None:
    """The kitchen's corner behind it was the nook's, for certain."""
    plan = plan_of(beside("NOOK", "KITCHEN", 1.0, 6.0, wide=5.0), thing("range", 28, 16), thing("sink", 24, 17))
    kitchen, nook = room_at(plan, 11.5, 6), room_at(plan, 6, 6)
    assert (kitchen.kind, nook.kind) == ("kitchen", "dining")
    assert kitchen.polygon.area == pytest.approx((30 - 10.375) * 13 * FT**2, rel=0.03)
    assert kitchen.open_to == nook.open_to == ()
    (standing,) = stand((symbol("receptacle", (12 * FT, 5.3 * FT), **RECEPTACLE),), plan, SCALE)
    assert standing.room == kitchen.id and standing.why is None


def test_a_kitchen_without_a_name_makes_none_of_the_room_before_its_doorway() -> None:
    plan = plan_of(beside("LIVING RM", "", 4.0, 9.0), thing("range", 28, 16), thing("sink", 24, 17))
    assert room_at(plan, 8, 12).kind == "living"
    assert room_at(plan, 26, 12).kind == "kitchen"


def test_a_kitchen_by_name_is_none_beyond_its_doorway() -> None:
    plan = plan_of(beside("KITCHEN", "", 4.0, 9.0), thing("range", 7, 16), thing("sink", 7, 9))
    assert room_at(plan, 8, 12).kind == "kitchen"
    assert room_at(plan, 26, 12).kind == "unknown"


def test_a_foyer_without_a_name_belongs_to_its_living_room() -> None:
    plan = plan_of(beside("LIVING RM", "", 4.0, 9.0))
    assert room_at(plan, 26, 12).id == room_at(plan, 8, 12).id


def test_a_hall_does_not_go_on_through_a_doorway_about_as_wide_as_itself() -> None:
    """It took all of an office whose name stands in a corner, and the office's receptacles were asked about."""
    drawer = Drawer().room(5, 5, 9, 40, "HALL").room(9.375, 17, 26, 27, "OFFICE", (11.0, 17.8))
    plan = plan_of(drawer.hole(8.9, 23, 9.5, 26.5))
    assert room_at(plan, 20, 25).name == "OFFICE"
    assert room_at(plan, 20, 25).open_to == room_at(plan, 7, 8).open_to == ()


@pytest.mark.parametrize("wide", [3.1, 3.6])
def test_the_far_end_of_a_hall_is_not_the_kitchens_beside_it(wide: float) -> None:
    """A doorway of 6 ft is wider than the hall before it, which was the kitchen's for certain."""
    south = 19.375 + wide
    drawer = Drawer().room(5, 5, 22, 19, "BEDROOM").room(22.375, 5, 31, 19, "KITCHEN")
    drawer.room(5, 19.375, 31, south, "HALL", (12, 19.5 + wide / 2))
    drawer.room(5, south + 0.375, 18, south + 14, "LIVING RM").room(18.375, south + 0.375, 31, south + 14, "DEN")
    plan = plan_of(drawer.hole(23, 18.9, 29, 19.5).hole(11, south - 0.1, 17, south + 0.5), thing("range", 30, 8))
    assert room_at(plan, 26, 12).name == "KITCHEN"
    outlet = symbol("receptacle", (20 * FT, 19.6 * FT), **RECEPTACLE)
    (standing,) = stand((outlet,), plan, SCALE)
    assert standing.why is not None
    assert wide < 3.5 or room_at(plan, 26, 19.5 + wide / 2).name == "HALL"


@pytest.mark.parametrize(("wide", "deep", "settled"), [(3.5, 13.0, False), (3.5, 4.0, True), (5.8, 13.0, True)])
def test_a_nameless_room_beyond_the_doorway_of_a_narrow_one_asks(wide: float, deep: float, settled: bool) -> None:
    """The doorway is nearly as wide as the room with the name: a garage beyond it was a study's, for certain.

    An alcove that is no room, and ground beyond an opening that is no doorway, are the room's.
    """
    drawer = Drawer().room(5, 6, 18, 11, "STUDY").room(5, 11.375, 18, 11.375 + deep)
    drawer.hole(8, 10.9, 8 + wide, 11.5)
    plan = plan_of(drawer)
    there = symbol("receptacle", (16 * FT, 11.675 * FT), **RECEPTACLE)
    here = symbol("receptacle", (16 * FT, 6.3 * FT), **RECEPTACLE)
    standings = stand((there, here), plan, SCALE)
    assert {each.room for each in standings} == {room_at(plan, 8, 8).id}
    assert standings[0].why == (None if settled else CUT_OFF) and standings[1].why is None


@pytest.mark.parametrize(
    ("name", "wide", "settled"), [("KITCHEN", 3.5, False), ("KITCHEN", 4.5, False), ("STUDY", 3.5, True)]
)
def test_a_hall_beyond_a_doorway_is_no_part_of_a_kitchen_for_certain(name: str, wide: float, settled: bool) -> None:
    """Its receptacles were missing protection where the kitchen is open to a room on the other side; a hall may be
    narrower than the doorway to it."""
    drawer = Drawer().room(5, 5, 18, 17, name).room(18.375, 5, 30, 17, "DINING").hole(17.9, 7, 18.5, 15)
    plan = plan_of(drawer.room(5, 17.375, 30, 21).hole(9, 16.9, 9 + wide, 17.5))
    (standing,) = stand((symbol("receptacle", (25 * FT, 17.675 * FT), **RECEPTACLE),), plan, SCALE)
    assert standing.why == (None if settled else CUT_OFF)


def test_an_alcove_of_a_kitchen_is_the_kitchen() -> None:
    drawer = Drawer().room(5, 5, 20, 18, "KITCHEN").room(20.375, 5, 23, 18).hole(19.9, 6, 20.5, 13)
    plan = plan_of(drawer, thing("range", 7, 16), thing("sink", 7, 9))
    assert room_at(plan, 22, 9).id == room_at(plan, 8, 9).id


@pytest.mark.parametrize(("drawn", "settled"), [(False, True), (True, False)])
def test_a_line_from_wall_to_wall_disputes_the_guess(drawn: bool, settled: bool) -> None:
    """A partition in a thin pen with a doorway in it: the guess left the kitchen's far end to the living room."""
    drawer = open_plan(("KITCHEN", 12), ("LIVING RM", 34))
    if drawn:
        drawer.line((31, 5), (31, 10)).line((31, 15), (31, 20))
    plan = plan_of(drawer)
    (standing,) = stand((symbol("receptacle", (30 * FT, 5.3 * FT), **RECEPTACLE),), plan, SCALE)
    assert standing.room == room_at(plan, 38, 8).id
    assert (standing.why is None) is settled
    assert standing.perhaps == (() if settled else (room_at(plan, 8, 8).id,))


def test_lines_that_reach_no_wall_dispute_nothing() -> None:
    plan = plan_of(open_plan(("KITCHEN", 12), ("LIVING RM", 34)).line((31, 9), (31, 14)))
    assert plan.disputed == ()


@pytest.mark.parametrize(("stands", "settled"), [(True, False), (False, True)])
def test_receptacles_along_a_line_that_is_no_wall_cut_off_what_has_no_name(stands: bool, settled: bool) -> None:
    """A partition in a thin pen: the nameless laundry behind it was the bedroom's, for certain."""
    drawer = Drawer().room(5, 5, 30, 18, "BEDROOM", (10, 11)).line((20, 5), (20, 13)).line((20, 16), (20, 18))
    there = symbol("receptacle", (29.7 * FT, 12 * FT), wall=(1.0, 0.0))
    here = symbol("receptacle", (5.3 * FT, 12 * FT), wall=(-1.0, 0.0))
    at_line = symbol("receptacle", (19.7 * FT, 8 * FT), wall=(1.0, 0.0))
    every = (there, here, at_line) if stands else (there, here)
    plan = plan_of(drawer, *every)
    beyond, before, *_ = stand(every, plan, SCALE)
    assert beyond.room == before.room == room_at(plan, 10, 11).id
    assert before.why is None
    assert (beyond.why is None) is settled


def test_a_line_across_a_narrow_room_is_drawn_in_short_pieces_beside_its_door() -> None:
    """A hall behind it without a wall of its own was the bath's, for certain."""
    drawer = Drawer().room(5, 5, 10.2, 18, "BATH", (7.5, 14)).line((5, 9), (6.6, 9)).line((9, 9), (14, 9))
    there = symbol("receptacle", (7 * FT, 5.3 * FT), wall=(0.0, -1.0))
    at_line = symbol("receptacle", (6 * FT, 9.3 * FT), wall=(0.0, -1.0))
    beyond, before = stand((there, at_line), plan_of(drawer, there, at_line), SCALE)
    assert beyond.why == CUT_OFF and before.why is None


@pytest.mark.parametrize(("long", "at", "settled"), [(30, 33, False), (30, 15, True), (18, 22, True)])
def test_ground_far_from_all_that_makes_a_kitchen_may_be_a_living_area_without_a_name(
    long: float, at: float, settled: bool
) -> None:
    """In one space with the kitchen it was missing protection for certain (2023)."""
    works = thing("range", 7, 16), thing("sink", 7, 9)
    plan = plan_of(Drawer().room(5, 5, 5 + long, 18, "KITCHEN"), *works)
    standing, *_ = stand((symbol("receptacle", (at * FT, 5.3 * FT), **RECEPTACLE), *works), plan, SCALE)
    assert standing.room == room_at(plan, 8, 12).id and (standing.why is None) is settled


@pytest.mark.parametrize(
    ("lines", "window"), [((0.0, 2.0, 2.5, 4.5), True), ((1.5, 3.0), False), ((0.0, 4.5), False)]
)
def test_lines_across_an_opening_between_two_rooms_may_be_a_window(lines: tuple[float, ...], window: bool) -> None:
    drawer = beside("DINING", "BATH", 4.0, 7.0)
    for inches in lines:
        drawer.lines.append((17 + inches / 12, 9, 17 + inches / 12, 12))
    plan = plan_of(drawer)
    assert len(plan.doors) == 1 and len(plan.panes) == window


@pytest.mark.parametrize(("away", "settled"), [(4.5, False), (7.0, True)])
def test_the_end_of_the_wall_beyond_a_refrigerator_may_be_the_kitchen(away: float, settled: bool) -> None:
    """The guess gave it to the living room, and it was cleared."""
    fridge = thing("refrigerator", 23, 6.5)
    plan = plan_of(open_plan(("KITCHEN", 12), ("LIVING RM", 34)), fridge)
    edge = fridge.footprint.bounds[2] / FT
    (standing, _) = stand((symbol("receptacle", ((edge + away) * FT, 5.3 * FT), **RECEPTACLE), fridge), plan, SCALE)
    assert standing.room == room_at(plan, 38, 8).id and (standing.why is None) is settled


@pytest.mark.parametrize(("column_ft", "settled"), [(1.0, False), (2.5, True)])
def test_openings_that_columns_part_are_one_wide_opening(column_ft: float, settled: bool) -> None:
    """Each was a doorway, and a living room's receptacle in the kitchen, missing protection for certain (2023)."""
    works = thing("range", 7, 27), thing("sink", 12, 27)
    drawer = Drawer().room(5, 5, 30, 16, "LIVING").room(5, 16.375, 30, 28.4, "KITCHEN", (8.0, 22.0))
    for k in range(3):
        drawer.hole(16 + k * (3.6 + column_ft), 15.9, 19.6 + k * (3.6 + column_ft), 16.5)
    plan = plan_of(drawer, *works)
    (standing, *_) = stand((symbol("receptacle", (29.7 * FT, 22 * FT), wall=(1.0, 0.0)), *works), plan, SCALE)
    assert standing.room == room_at(plan, 8, 24).id and (standing.why is None) is settled


@pytest.mark.parametrize("stub", [None, 15.8, 16.1])
def test_a_wall_of_one_line_divides_where_another_wall_ends_at_it(stub: float | None) -> None:
    """A den behind it was the bath's, for certain: the other wall cut the way from wall to wall in two."""
    drawer = Drawer().room(5, 2, 27, 6, "HALL").room(5, 6.375, 27, 19, "BATH", (9, 9)).line((16, 6.375), (16, 19))
    drawer.hole(8, 5.9, 11, 6.5).hole(20, 5.9, 23, 6.5)
    if stub is not None:
        drawer.areas.append(box(11, 13, stub, 13.4))
    there, here = (symbol("receptacle", (x * FT, 18.7 * FT), wall=(0.0, 1.0)) for x in (25, 7))
    standings = stand((there, here), plan_of(drawer, there, here), SCALE)
    assert standings[0].why is not None and standings[1].why is None

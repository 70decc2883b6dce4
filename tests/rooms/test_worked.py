"""Open plans: the kitchen follows its works, counters run over guessed borders, and the borders are told."""

from __future__ import annotations

import pytest
import shapely
from room_symbols import FT, PLAIN, SCALE, Drawer, symbol, two_rooms
from shapely.geometry import box

from cordpath.model import Answer, FloorPlan, Room, Symbol
from cordpath.rooms import find_rooms, stand


def plan_of(drawer: Drawer, *symbols: Symbol) -> FloorPlan:
    sheet, view = drawer.sheet()
    return find_rooms(sheet, view, SCALE, PLAIN, symbols)


def room_at(plan: FloorPlan, x: float, y: float) -> Room:
    (found,) = [r for r in plan.rooms if r.polygon.intersects(shapely.Point(x * FT, y * FT))]
    return found


def open_plan(*names: tuple[str, float]) -> Drawer:
    """One space of 35 x 15 ft with names along its middle."""
    drawer = Drawer().room(5, 5, 40, 20)
    for name, x in names:
        drawer.word(name, (x, 12))
    return drawer


def thing(kind: str, x: float, y: float) -> Symbol:
    return symbol(kind, (x * FT, y * FT), size=27.0)  # type: ignore[arg-type]


def test_without_works_the_border_is_half_way_and_is_told() -> None:
    plan = plan_of(open_plan(("KITCHEN", 12), ("LIVING RM", 32)))
    (border,) = plan.borders
    assert set(border.rooms) == {room_at(plan, 8, 8).id, room_at(plan, 38, 8).id}
    middle = shapely.get_coordinates(border.line)
    assert middle[:, 0] == pytest.approx(22 * FT, abs=3 * FT)
    assert border.line.length == pytest.approx(15 * FT, rel=0.1)
    assert border.confidence <= 0.7


def test_the_ground_of_works_across_the_border_is_the_kitchens() -> None:
    works = (thing("sink", 24, 6), thing("range", 25, 19), thing("refrigerator", 8, 6))
    plan = plan_of(open_plan(("KITCHEN", 12), ("LIVING RM", 32)), *works)
    kitchen, living = room_at(plan, 8, 8), room_at(plan, 38, 12)
    assert (kitchen.kind, living.kind) == ("kitchen", "living")
    for work in works:
        assert kitchen.polygon.covers(work.footprint.intersection(box(5 * FT, 5 * FT, 40 * FT, 20 * FT)))
    assert living.polygon.intersection(kitchen.polygon).area < 1
    assert living.polygon.covers(shapely.Point(32 * FT, 12 * FT))
    (border,) = plan.borders
    assert border.confidence > 0.6
    assert shapely.get_coordinates(border.line)[:, 0].max() > 25 * FT


def test_an_outlet_at_works_across_the_border_stands_in_the_kitchen() -> None:
    works = (thing("sink", 24, 6), thing("range", 25, 19))
    outlet = symbol("receptacle", (26 * FT, 5.3 * FT), wall=(0.0, -1.0))
    plan = plan_of(open_plan(("KITCHEN", 12), ("LIVING RM", 32)), *works)
    (standing,) = stand((outlet,), plan, SCALE)
    assert standing.room == room_at(plan, 8, 8).id


@pytest.mark.parametrize(("x", "settled"), [(12, True), (19, False)])
def test_ground_of_a_kitchen_far_from_its_works_may_be_the_open_room_beside_it(x: float, settled: bool) -> None:
    """The border of an open plan is a guess: 11 ft off all counters an outlet was missing protection."""
    works = (thing("sink", 7, 6), thing("range", 7, 19))
    plan = plan_of(open_plan(("KITCHEN", 12), ("LIVING RM", 32)), *works)
    outlet = symbol("receptacle", (x * FT, 5.3 * FT), wall=(0.0, -1.0))
    standing = stand((outlet, *works), plan, SCALE)[0]
    assert standing.room == room_at(plan, 8, 8).id
    assert standing.perhaps == (() if settled else (room_at(plan, 38, 8).id,))


@pytest.mark.parametrize(
    ("name", "work"),
    [
        ("LIVING RM", thing("sink", 37, 6)),  # far from the kitchen: a wet bar
        ("LAUNDRY", thing("sink", 24, 6)),  # a room that has a sink of its own
        ("LIVING RM", symbol("sink", (24 * FT, 6 * FT), size=27.0, found=False)),
    ],
)
def test_works_that_move_no_border(name: str, work: Symbol) -> None:
    bare = plan_of(open_plan(("KITCHEN", 12), (name, 32)))
    plan = plan_of(open_plan(("KITCHEN", 12), (name, 32)), work)
    assert room_at(plan, 8, 8).polygon.equals(room_at(bare, 8, 8).polygon)


def test_rooms_with_walls_have_no_border() -> None:
    drawer = Drawer().room(5, 5, 15, 17, "KITCHEN").room(15.375, 5, 25, 17, "LIVING RM").hole(14.9, 14, 15.5, 16.5)
    plan = plan_of(drawer, thing("sink", 17, 6))
    assert plan.borders == ()


def island(drawer: Drawer, x0: float, y0: float, x1: float, y1: float) -> Drawer:
    return drawer.line((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))


def test_an_island_over_the_border_is_a_counter_and_a_dining_table_beyond_it_is_none() -> None:
    drawer = island(island(open_plan(("KITCHEN", 12), ("DINING", 32)), 17, 11, 23.5, 14), 30, 8, 36, 11)
    plan = plan_of(drawer)
    assert plan.counters is not None
    assert plan.counters.covers(shapely.Point(20 * FT, 12.5 * FT))
    assert not plan.counters.intersects(shapely.Point(33 * FT, 9.5 * FT))


@pytest.mark.parametrize(("kind", "answer"), [("refrigerator", Answer.NO), ("range", Answer.UNKNOWN)])
def test_an_outlet_in_a_window_behind_a_refrigerator_serves_no_counter(kind: str, answer: Answer) -> None:
    """The window leaves no wall to stand at; only an appliance that no counter runs over tells what is served."""
    window, appliance = box(60, -6.75, 120, 0), box(72, 1, 108, 40)
    whole = two_rooms("kitchen")
    plan = two_rooms("kitchen", counters=box(0, 0, 54, 37))
    plan = FloorPlan(**{**plan.__dict__, "walls": whole.walls.difference(window), "glazing": window})
    sign = symbol("receptacle", (90, 4))
    tall = symbol(kind, (90, 20), size=36.0)  # type: ignore[arg-type]
    tall = Symbol(**{**tall.__dict__, "footprint": appliance})
    standings = stand((sign, tall), plan, SCALE)
    assert standings[0].anchor == (90, 0)
    assert standings[0].at_counter is answer

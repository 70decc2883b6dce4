"""Ground round a corner from the kitchen's name, where no doorway and no second name parts them."""

from __future__ import annotations

import pytest
from room_symbols import FT, SCALE, Drawer, symbol
from shapely.geometry import box
from test_worked import plan_of, room_at, thing

from cordpath.model import Standing, Symbol
from cordpath.rooms import stand

WORKS = (thing("range", 7, 7), thing("sink", 12, 6.5))


def stood(drawer: Drawer, at: tuple[float, float], way: tuple[float, float], *works: Symbol) -> Standing:
    outlet = symbol("receptacle", (at[0] * FT, at[1] * FT), wall=way)
    plan = plan_of(drawer, outlet, *works)
    standing = stand((outlet, *works), plan, SCALE)[0]
    assert standing.room is not None and room_at(plan, 8, 12).id == standing.room
    return standing


def with_a_hall(wide: float, long: float) -> Drawer:
    """A kitchen of 16 x 14 ft with the mouth of a hall in its south wall, drawn through and without jambs."""
    drawer = Drawer().room(5, 5, 21, 19, "KITCHEN", (11, 12)).room(5, 19.375, 15, 19 + long, "BEDROOM")
    drawer.room(15.375, 19.375, 15.375 + wide, 19 + long).room(15.75 + wide, 19.375, 30, 19 + long, "DEN")
    return drawer.hole(15.375, 18.9, 15.375 + wide, 19.5)


@pytest.mark.parametrize("wide", [3.1, 3.6, 4.5])
def test_a_hall_without_a_name_and_a_doorway_is_not_the_kitchens_for_certain(wide: float) -> None:
    """Its mouth is as wide as itself: its receptacles were in the kitchen, missing protection for certain."""
    drawer = with_a_hall(wide, 18)
    assert stood(drawer, (15.675, 30), (-1, 0), *WORKS).why is not None
    assert stood(drawer, (5.3, 14), (-1, 0), *WORKS).why is None
    assert stood(drawer, (20.7, 8), (1, 0), *WORKS).why is None


def bent(name: tuple[float, float] = (9, 9)) -> Drawer:
    """An L: 20 x 9 ft, and a leg of 11 x 14 ft below its west end."""
    drawer = Drawer().room(5, 5, 25, 14, "KITCHEN", name).room(5, 14.375, 16, 28)
    return drawer.hole(5, 13.9, 16, 14.5).room(16.375, 14.375, 25, 28, "BEDROOM")


@pytest.mark.parametrize("works", [(), WORKS])
def test_the_other_leg_of_an_l_without_works_is_not_the_kitchens_for_certain(works: tuple[Symbol, ...]) -> None:
    assert stood(bent(), (5.3, 25), (-1, 0), *works).why is not None
    assert stood(bent(), (18, 13.7), (0, 1), *works).why is None


def test_an_l_with_works_in_both_legs_is_one_kitchen() -> None:
    assert stood(bent(), (5.3, 25), (-1, 0), *WORKS, thing("refrigerator", 7, 27)).why is None


def test_ground_within_an_aisle_of_the_works_is_the_kitchens() -> None:
    assert stood(bent(), (15.7, 16), (1, 0), *WORKS, thing("range", 15, 12)).why is None


@pytest.mark.parametrize("deep", [3.0, 5.0])
def test_an_alcove_is_the_kitchens(deep: float) -> None:
    drawer = Drawer().room(5, 5, 21, 19, "KITCHEN", (11, 12)).room(8, 19.375, 13, 19.375 + deep)
    drawer.hole(8, 18.9, 13, 19.5).room(5, 25, 21, 30, "BEDROOM")
    assert stood(drawer, (10, 19 + deep), (0, 1)).why is None
    assert stood(drawer, (20.7, 8), (1, 0)).why is None


def test_a_short_wall_beside_a_refrigerator_divides_no_kitchen() -> None:
    drawer = Drawer().room(5, 5, 21, 19, "KITCHEN", (11, 12))
    drawer.areas.append(box(16, 5, 16.4, 8))
    assert stood(drawer, (20.7, 12), (1, 0), *WORKS).why is None


@pytest.mark.parametrize("drawn", ["doorway", "mouth"])
def test_a_hall_is_not_the_laundrys_that_lies_open_to_it(drawn: str) -> None:
    """The machines stand in an alcove of a hall without a name: the hall's receptacles were in a laundry area."""
    drawer = Drawer().room(5, 5, 30, 8.6).room(14, 8.975, 20, 12.5, "LAUNDRY", (17, 11.9))
    drawer.room(5, 8.975, 13.625, 20, "BEDROOM").room(20.375, 8.975, 30, 20, "DEN")
    drawer = drawer.hole(14.4, 8.5, 19.6, 9.1) if drawn == "doorway" else drawer.hole(14, 8.5, 20, 9.1)
    works = thing("washer", 15.5, 11), thing("dryer", 18.5, 11)
    outlets = (
        symbol("receptacle", (28 * FT, 5.3 * FT), wall=(0, -1)),
        symbol("receptacle", (17 * FT, 12.2 * FT), wall=(0, 1)),
    )
    plan = plan_of(drawer, *outlets, *works)
    hall, alcove = stand((*outlets, *works), plan, SCALE)[:2]
    assert hall.why is not None or plan.room(hall.room).kind == "unknown"  # type: ignore[union-attr]
    assert alcove.why is None and plan.room(alcove.room).kind == "laundry"  # type: ignore[union-attr]


def test_an_aisle_does_not_go_round_the_end_of_a_wall() -> None:
    """A receptacle on the other face of a short wall beside the range was the kitchen's, for certain."""
    drawer = Drawer().room(5, 5, 35, 19, "KITCHEN", (28, 12))
    drawer.areas.append(box(20, 5, 20.4, 10))
    assert stood(drawer, (19.7, 8), (1, 0), thing("range", 22, 7), thing("sink", 27, 6.5)).why is not None
    assert stood(drawer, (20.7, 9.6), (-1, 0), thing("range", 22, 7), thing("sink", 27, 6.5)).why is None


@pytest.mark.parametrize("folding", [True, False])
def test_a_pair_of_folding_doors_closes_an_alcove_from_side_to_side(folding: bool) -> None:
    """No wall ends beside it: the hall's end before it, and its receptacles, were the laundry's for certain."""
    drawer = Drawer().room(5, 5, 30, 8.6, "HALL").room(5, 8.975, 11, 12.5, "LAUNDRY", (8, 11.9))
    drawer.room(11.375, 8.975, 30, 20, "DEN").hole(5, 8.5, 11, 9.1)
    if folding:
        drawer.line((5, 8.8), (6.2, 7.9), (7.4, 8.8)).line((11, 8.8), (9.8, 7.9), (8.6, 8.8))
    works = thing("washer", 6.5, 11), thing("dryer", 9.5, 11)
    outlet = symbol("receptacle", (5.3 * FT, 6.5 * FT), wall=(-1.0, 0.0))
    plan = plan_of(drawer, outlet, *works)
    (hall, *_) = stand((outlet, *works), plan, SCALE)
    assert (plan.room(hall.room).kind == "hall") is folding  # type: ignore[union-attr]

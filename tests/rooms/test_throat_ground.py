"""Open plans whose guessed border lies deep in the kitchen: what is left between it and the way out asks."""

from __future__ import annotations

import pytest
from room_symbols import FT, PLAIN, SCALE, Drawer, symbol

from cordpath.model import Standing
from cordpath.rooms import find_rooms, stand


def _stood(drawn: Drawer, *places: tuple[float, float, int]) -> tuple[Standing, ...]:
    """Standings of receptacles at (x, y, way to the wall: -1 up, 1 down), feet, and whether a kitchen is meant."""
    signs = tuple(symbol("receptacle", (x * FT, y * FT), wall=(0.0, float(way))) for x, y, way in places)
    sheet, view = drawn.sheet()
    plan = find_rooms(sheet, view, SCALE, PLAIN, signs)
    kinds = {room.id: room.kind for room in plan.rooms}
    stood = stand(signs, plan, SCALE)
    assert all("kitchen" in (kinds[s.room or ""], *(kinds[k] for k in s.perhaps)) for s in stood)
    return stood


def test_ground_between_the_border_and_the_way_out_may_be_the_kitchens() -> None:
    """A kitchen of 20 x 18 ft with a way out of 12 ft: the border ran 8 ft before it, and receptacles of the
    kitchen there were in a living room for certain, without protection."""
    drawn = Drawer().room(5, 5, 25, 23, "KITCHEN").room(25.375, 5, 39, 23, "GREAT ROOM").hole(24.9, 8, 25.5, 20)
    _stood(drawn, (20, 5.4, -1), (23, 5.4, -1), (20, 22.6, 1), (23, 22.6, 1))


@pytest.mark.parametrize("x", [22, 25])
def test_ground_with_the_kitchens_name_beyond_the_throat_may_be_the_kitchens(x: float) -> None:
    """The name stands far back in the kitchen: the other one is nearer, but walls end between it and the place."""
    drawn = Drawer().room(5, 5, 27, 23, "KITCHEN", (11, 14)).room(27.375, 5, 37, 23, "GREAT ROOM")
    _stood(drawn.hole(26.9, 12, 27.5, 22), (x, 22.6, 1))


def test_one_space_without_wall_ends_is_divided_half_way_as_before() -> None:
    drawn = Drawer().room(5, 5, 40, 20).word("KITCHEN", (12, 12)).word("LIVING RM", (32, 12))
    signs = tuple(symbol("receptacle", (x * FT, 5.4 * FT), wall=(0.0, -1.0)) for x in (30, 36))
    sheet, view = drawn.sheet()
    plan = find_rooms(sheet, view, SCALE, PLAIN, signs)
    assert [s.perhaps for s in stand(signs, plan, SCALE)] == [(), ()]


def test_ground_of_a_kitchen_beyond_the_throat_may_be_the_living_rooms() -> None:
    """The border ran 6 ft beyond a half wall, and receptacles at its far side were a kitchen's for certain."""
    drawn = Drawer().room(5, 5, 27, 13.5, "KITCHEN", (15, 9.3)).room(5, 13.875, 27, 31, "LIVING", (16, 22))
    drawn = drawn.hole(8, 13.4, 17, 14)
    signs = tuple(symbol("receptacle", (x * FT, 14.3 * FT), wall=(0.0, -1.0)) for x in (6, 7.5))
    sheet, view = drawn.sheet()
    plan = find_rooms(sheet, view, SCALE, PLAIN, signs)
    kinds = {room.id: room.kind for room in plan.rooms}
    stood = stand(signs, plan, SCALE)
    assert all("living" in (kinds[s.room or ""], *(kinds[k] for k in s.perhaps)) for s in stood)


def test_ground_beyond_a_doorway_beside_a_wider_way_round_may_be_the_other_rooms() -> None:
    """The kitchen ran on through a gap of 5 ft beside a see-through fireplace: receptacles there were the
    kitchen's for certain."""
    drawn = Drawer().room(5, 5, 17, 29, "GREAT ROOM", (11, 16)).room(17.375, 5, 31, 29, "", (0, 0))
    drawn = (
        drawn.hole(16.9, 9.5, 17.5, 14.5)
        .hole(16.9, 19, 17.5, 28.9)
        .word("KITCHEN", (24, 9))
        .word("DINING", (24, 24))
    )
    signs = tuple(symbol("receptacle", (x * FT, 5.4 * FT), wall=(0.0, -1.0)) for x in (7, 13))
    sheet, view = drawn.sheet()
    plan = find_rooms(sheet, view, SCALE, PLAIN, signs)
    kinds = {room.id: room.kind for room in plan.rooms}
    stood = stand(signs, plan, SCALE)
    assert all("living" in (kinds[s.room or ""], *(kinds[k] for k in s.perhaps)) for s in stood)


@pytest.mark.parametrize(("name", "kind"), [("KITCHEN", "kitchen"), ("BATH", "bathroom")])
def test_the_far_end_of_a_room_beyond_an_opening_wider_than_the_room_may_be_its_own(name: str, kind: str) -> None:
    """A kitchen of 4.4 ft by 30 ft with an opening of 8.9 ft: its end without a name was the hall's for certain."""
    drawn = Drawer().room(5, 5, 35, 9.4, name, (31, 7.2)).room(5, 9.775, 35, 24, "HALL", (14, 17))
    signs = tuple(symbol("receptacle", (x * FT, 5.4 * FT), wall=(0.0, -1.0)) for x in (7, 12, 16, 34))
    sheet, view = drawn.hole(17.9, 9.3, 26.8, 9.9).sheet()
    plan = find_rooms(sheet, view, SCALE, PLAIN, signs)
    kinds = {room.id: room.kind for room in plan.rooms}
    assert all(kind in (kinds[s.room or ""], *(kinds[k] for k in s.perhaps)) for s in stand(signs, plan, SCALE))


@pytest.mark.parametrize(("x", "kind"), [(14, "kitchen"), (20, "living"), (22, "living")])
def test_the_border_of_an_open_plan_is_the_wall_that_goes_on_beyond_a_wide_opening(x: float, kind: str) -> None:
    """The kitchen reached 5 ft beyond an opening of 10 ft between two ends of one wall."""
    drawn = Drawer().room(5, 5, 17, 17, "KITCHEN", (11, 11)).room(17.375, 5, 37, 21, "GREAT ROOM", (27, 13))
    sheet, view = drawn.hole(16.9, 6, 17.5, 16).sheet()
    outlet = symbol("receptacle", (x * FT, 5.4 * FT), wall=(0.0, -1.0))
    plan = find_rooms(sheet, view, SCALE, PLAIN, (outlet,))
    kinds = {room.id: room.kind for room in plan.rooms}
    (stood,) = stand((outlet,), plan, SCALE)
    assert kinds[stood.room or ""] == kind

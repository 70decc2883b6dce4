"""Doors that hang where no wall was recognised."""

from __future__ import annotations

import numpy as np
import pytest
from room_symbols import FT, PLAIN, SCALE, Drawer, symbol
from shapely.geometry import LineString, box

from cordpath.model import Kind, Point, Standing
from cordpath.rooms import find_rooms, stand
from cordpath.rooms.standing import CUT_OFF


def _door(drawn: Drawer, x: float, y: float, wide: float = 2.5) -> Drawer:
    """A leaf that stands open to the west, hinged at the north end of an opening in a wall that runs south."""
    return _bow(drawn.line((x, y), (x - wide, y)), x, y, wide)


def _bow(drawn: Drawer, x: float, y: float, wide: float = 2.5) -> Drawer:
    bow = [(x - wide * np.sin(t), y + wide * np.cos(t)) for t in np.linspace(0, np.pi / 2, 13)]
    return drawn.line(*((float(a), float(b)) for a, b in bow))


def _standings(drawn: Drawer, *more: tuple[Kind, Point], north: bool = False) -> tuple[Standing, ...]:
    """Of an outlet at the west wall, or farther north on it, and one at the east wall of a house of 36 x 14 ft."""
    west = symbol("receptacle", (2 * FT + 6, (7 if north else 9) * FT), wall=(-1, 0))
    east = symbol("receptacle", (38 * FT - 6, 9 * FT), wall=(1, 0))
    symbols = (west, east, *(symbol(kind, (x * FT, y * FT), 30.0) for kind, (x, y) in more))
    sheet, view = drawn.sheet()
    return stand(symbols, find_rooms(sheet, view, SCALE, PLAIN, symbols), SCALE)[:2]


@pytest.mark.parametrize("top", [6.0, 2.6])
def test_a_part_without_a_name_beyond_a_door_in_a_line_asks(top: float) -> None:
    """A partition of one thin line was no wall, and a garage without a name was the living room, for certain."""
    drawn = Drawer().room(2, 2, 38, 16, "LIVING ROOM", (8.0, 9.0))
    drawn.line((20, 2), (20, top)).line((20, top + 2.5), (20, 16))
    west, east = _standings(_door(drawn, 20, top))
    assert west.why is None
    assert east.why == CUT_OFF


def test_doors_in_walls_and_of_appliances_and_lines_without_a_door_ask_nothing() -> None:
    plain = Drawer().room(2, 2, 38, 16, "LIVING ROOM", (8.0, 9.0)).line((20, 2), (20, 5))
    assert [s.why for s in _standings(plain)] == [None, None]
    fridge = _door(Drawer().room(2, 2, 38, 16, "LIVING ROOM", (8.0, 9.0)), 20, 6)
    assert [s.why for s in _standings(fridge, ("refrigerator", (20.0, 5.0)))] == [None, None]
    walled = Drawer().room(2, 2, 20, 16, "DEN").room(20.375, 2, 38, 16, "OFFICE").hole(19.9, 6, 20.5, 8.5)
    assert [s.why for s in _standings(_door(walled, 20, 6))] == [None, None]


def test_a_door_between_two_names_takes_nothing_from_either() -> None:
    drawn = Drawer().room(2, 2, 38, 16, "LIVING ROOM", (8.0, 9.0)).word("DINING", (30.0, 9.0))
    drawn.line((20, 2), (20, 6)).line((20, 8.5), (20, 16))
    assert CUT_OFF not in [s.why for s in _standings(_door(drawn, 20, 6))]


def test_a_bow_of_a_circuit_is_no_door() -> None:
    """It sweeps as a swing does and hangs in the open, and the outlets beyond it were questions."""
    drawn = Drawer().room(2, 2, 38, 16, "LIVING ROOM", (8.0, 9.0))
    assert [s.why for s in _standings(_bow(drawn, 20, 6))] == [None, None]


@pytest.mark.parametrize("pieces", [np.c_[np.arange(0, 2.5, 0.5), np.arange(0.25, 2.6, 0.5)], [(0, 1), (1, 2.5)]])
def test_a_leaf_in_dashes_or_pieces_is_a_leaf(pieces: list[tuple[float, float]]) -> None:
    drawn = Drawer().room(2, 2, 38, 16, "LIVING ROOM", (8.0, 9.0))
    drawn.line((20, 2), (20, 6)).line((20, 8.5), (20, 16))
    for a, b in pieces:
        drawn.line((20 - float(a), 6), (20 - float(b), 6))
    assert [s.why for s in _standings(_bow(drawn, 20, 6))] == [None, CUT_OFF]


def _broken(drawn: Drawer) -> Drawer:
    """A partition of one thin line with a doorway of 2.5 ft."""
    return drawn.room(2, 2, 38, 16, "LIVING ROOM", (8.0, 9.0)).line((20, 2), (20, 6)).line((20, 8.5), (20, 16))


def test_a_leaf_that_is_painted_and_a_swing_without_a_leaf_in_the_break_of_a_line_are_doors() -> None:
    """The garage without a name beyond them was the living room, for certain."""
    painted = _bow(_broken(Drawer()), 20, 6)
    painted.areas.append(LineString([(20, 6.06), (17.5, 6.06)]).buffer(0.06, cap_style="flat"))
    assert [s.why for s in _standings(painted)] == [None, CUT_OFF]
    assert [s.why for s in _standings(_bow(_broken(Drawer()), 20, 6))] == [None, CUT_OFF]


def test_a_door_in_a_wide_gap_between_two_walls_is_no_door_of_these_walls() -> None:
    """Stubs of 2 ft on either side of a partition of thin lines looked like a doorway 7 ft wide."""
    drawn = Drawer().room(2, 2, 20, 16, "LIVING ROOM", (8.0, 9.0)).room(20.375, 2, 38, 16)
    drawn.hole(19.9, 5, 20.5, 12)
    for x in (20.0, 20.375):
        drawn.line((x, 5), (x, 7)).line((x, 9.5), (x, 12))
    west, east = _standings(_door(drawn, 20, 7))
    assert west.why is None
    assert east.why is not None or east.room != west.room


def test_a_door_whose_hinge_alone_hangs_in_the_open_is_one_of_a_wall_that_was_not_recognised() -> None:
    drawn = Drawer().room(2, 2, 38, 16, "BATH", (8.0, 9.0)).line((20, 5), (20, 16))
    drawn.line((20, 5), (17.5, 5))  # hinged at the south end of an opening that the outer wall ends
    drawn.line(*((20 - 2.5 * float(np.sin(t)), 5 - 2.5 * float(np.cos(t))) for t in np.linspace(0, np.pi / 2, 13)))
    assert [s.why for s in _standings(drawn)] == [None, CUT_OFF]


def test_ground_beyond_a_loose_door_on_which_another_name_stands_may_be_that_names() -> None:
    """The line between two names of one space is a guess: beyond the door it is the other's."""
    drawn = Drawer().room(2, 2, 38, 16, "LIVING ROOM", (14.0, 9.0)).word("KITCHEN", (36.0, 9.0))
    sheet, view = _door(drawn, 20, 6).sheet()
    plan = find_rooms(sheet, view, SCALE, PLAIN, ())
    living, kitchen = (next(r.id for r in plan.rooms if r.name == name) for name in ("LIVING ROOM", "KITCHEN"))
    assert (living, kitchen) in [each.rooms for each in plan.disputed]


def test_a_slit_between_the_line_of_a_loose_door_and_the_end_of_a_wall_joins_nothing() -> None:
    """A kitchen without a name was the dining room round the end of the wall between them, 4 in wide."""
    drawn = Drawer().room(2, 2, 38, 16, "DINING", (8.0, 14.0)).line((20, 2), (20, 4)).line((20, 6.5), (20, 16))
    drawn.areas.append(box(2, 11, 19.7, 11.4))
    west, east = _standings(_door(drawn, 20, 4), north=True)
    assert west.why == CUT_OFF and east.why == CUT_OFF

"""Walls of another pen than most: ground that they shut off from a name asks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from room_symbols import FT, PLAIN, SCALE, Drawer, symbol
from test_worked import plan_of, room_at

from cordpath.model import Fills, Standing, Strokes
from cordpath.rooms import find_rooms, stand
from cordpath.rooms.standing import CUT_OFF


def _standings(drawn: Drawer, *places: tuple[float, float, int]) -> tuple[Standing, ...]:
    """Of outlets at places in feet, each with 1 for a wall east of it and -1 for one west of it."""
    symbols = tuple(symbol("receptacle", (x * FT, y * FT), wall=(way, 0)) for x, y, way in places)
    sheet, view = drawn.sheet()
    return stand(symbols, find_rooms(sheet, view, SCALE, PLAIN, symbols), SCALE)


@pytest.mark.parametrize(("top", "low", "high"), [(12.0, 16.0, 19.0), (16.0, 18.0, 21.7)])
def test_a_room_of_thin_walls_with_a_gap_for_a_door_and_without_a_name_asks(
    top: float, low: float, high: float
) -> None:
    """Filled walls around, two thin lines about a garage in the corner: it was the living room, for certain."""
    drawn = Drawer().room(2, 2, 38, 24, "LIVING ROOM", (8.0, 6.0))
    for x in (20.0, 20.375):
        drawn.line((x, top + 0.375), (x, low)).line((x, high), (x, 24))
    drawn.line((20, top), (38, top)).line((20, top), (20, top + 0.375)).line(
        (20.375, top + 0.375), (38, top + 0.375)
    )
    drawn.line((20, low), (20.375, low)).line((20, high), (20.375, high))
    west, east = _standings(drawn, (2.25, 18.0, -1), (37.75, 20.0, 1))
    assert west.why is None
    assert east.why == CUT_OFF


def test_a_room_of_single_thin_lines_where_heavier_single_lines_are_walls_asks() -> None:
    """A garage in the corner of a plan that draws each wall as one line: it was the living room, for certain."""
    heavy = [(2, 2, 38, 2), (38, 2, 38, 24), (38, 24, 2, 24), (2, 24, 2, 2), (2, 24, 2, 40), (2, 40, 38, 40)]
    heavy += [(38, 40, 38, 24), (20, 24, 20, 40)]
    thin = [(20, 12, 38, 12), (20, 12, 20, 16), (20, 19, 20, 24)]
    marks = [(x, 34, x, 35) for x in np.arange(4.0, 18.0, 0.25)]  # what most ink of a sheet is: finer than both
    pens = [1.8] * len(heavy) + [0.6] * len(thin) + [0.3] * len(marks)
    strokes = replace(Strokes.of(np.array(heavy + thin + marks, float) * FT), width=np.array(pens))
    drawn = Drawer().word("LIVING ROOM", (8, 6)).word("BEDROOM 1", (10, 30)).word("BEDROOM 2", (30, 30))
    sheet, view = drawn.room(50, 40, 51, 41).sheet()
    sheet = replace(sheet, strokes=strokes, fills=Fills.none())
    there = symbol("receptacle", (37.6 * FT, 18 * FT), wall=(1.0, 0.0))
    here = symbol("receptacle", (2.4 * FT, 18 * FT), wall=(-1.0, 0.0))
    standings = stand((there, here), find_rooms(sheet, view, SCALE, PLAIN, (there, here)), SCALE)
    assert [each.why for each in standings] == [CUT_OFF, None]


def test_furniture_in_lines_a_wall_apart_shuts_nothing_off() -> None:
    """A bed and a sofa look like walls and stand by themselves."""
    drawn = Drawer().room(2, 2, 38, 24, "BEDROOM 1", (30.0, 20.0))
    for x0, y0, x1, y1 in ((10, 4, 15, 11), (10.4, 4.4, 14.6, 10.6), (20, 8, 28, 11), (20.4, 8.4, 27.6, 10.6)):
        drawn.line((x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0))
    assert [s.why for s in _standings(drawn, (2.25, 8.0, -1), (37.75, 8.0, 1))] == [None, None]


def _double_door(drawn: Drawer, hinge: tuple[float, float], way: int) -> None:
    """A door 2.6 ft wide, open 90 degrees to the east or west of a wall, its latch north; each line drawn twice."""
    x, y = hinge
    for off in (-0.125, 0.125):
        bow = [
            (x + way * (2.6 + off) * np.cos(t), y - (2.6 + off) * np.sin(t)) for t in np.linspace(0, np.pi / 2, 13)
        ]
        drawn.line(*((float(a), float(b)) for a, b in bow)).line((x, y + off), (x + way * 2.6, y + off))


def test_two_doors_that_stand_open_toward_each_other_shut_nothing_off() -> None:
    """Leaves and sweeps in two lines, their tips a doorway apart, looked like the walls of a room beyond them."""
    drawn = Drawer().room(2, 2, 11.625, 18, "HALL").room(18.875, 2, 30, 18, "CLOSET")
    drawn.room(12, 2, 18.5, 18, "BEDROOM 1", (15.25, 5.0))
    drawn.hole(11.5, 9, 12.1, 11.6).hole(18.4, 9, 19, 11.6)
    _double_door(drawn, (12.0, 11.6), 1)
    _double_door(drawn, (18.5, 11.6), -1)
    for y in (4.0, 4.25):  # a shelf
        drawn.line((18.875, y), (30, y)).line((2.0, y), (11.625, y))
    (stands,) = _standings(drawn, (18.25, 16.0, 1))
    assert stands.why is None


@pytest.mark.parametrize("dashed", [True, False])
def test_receptacles_at_a_line_of_dashes_tell_a_wall(dashed: bool) -> None:
    """Nobody mounts a receptacle at a beam; without one the dashes tell nothing."""
    drawn = Drawer().room(2, 2, 38, 16, "LIVING ROOM", (8.0, 9.0))
    for k in range(22):
        drawn.line((20, 2 + 0.6 * k), (20, 2.4 + 0.6 * k))
    at_dashes = [(19.75, 6.0, 1)] if dashed else []
    *_, east = _standings(drawn, *at_dashes, (37.75, 9.0, 1))
    assert east.why == (CUT_OFF if dashed else None)


@pytest.mark.parametrize(
    ("ends", "door", "settled"),
    [((5.2, 16.8), 20.0, False), ((5.2, 10.0), 20.0, True), ((5.2, 16.8), 9.5, True)],
)
@pytest.mark.parametrize("name", ["BATH", "BEDROOM"])
def test_a_line_from_wall_to_wall_between_two_doors_may_be_a_wall(
    name: str, ends: tuple[float, float], door: float, settled: bool
) -> None:
    """A nameless bedroom behind a wall of one line was the bath's, for certain (plan type 1571), and the other way
    round a nameless bath was the bedroom's.  A line that ends in the open, or with no door beyond, is none."""
    drawer = Drawer().room(5, 5, 30, 17, name, at=(9, 11)).room(5, 17.375, 30, 22, "HALL")
    drawer.line((15, ends[0]), (15, ends[1]))
    for x in (6.0, door):
        drawer.hole(x, 16.9, x + 2.7, 17.5)
    plan = plan_of(drawer)
    there = symbol("receptacle", (25 * FT, 5.3 * FT), wall=(0.0, -1.0))
    here = symbol("receptacle", (8 * FT, 5.3 * FT), wall=(0.0, -1.0))
    standings = stand((there, here), plan, SCALE)
    assert {each.room for each in standings} == {room_at(plan, 9, 11).id}
    assert standings[0].why == (None if settled else CUT_OFF) and standings[1].why is None

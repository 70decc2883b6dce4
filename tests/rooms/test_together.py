"""Walls of several ways of drawing on one sheet, and rooms that walls shut off."""

from __future__ import annotations

import pytest
from house_drawing import draw
from house_marks import mark
from random_houses import build
from room_symbols import PLAIN, SCALE, symbol
from shapely.geometry import box

from cordpath.model import FloorPlan, Room
from cordpath.rooms import find_rooms, stand


@pytest.mark.parametrize(
    ("seed", "style"), [(1, "fill in light"), (2, "light in fill"), (6, "heavy in light"), (3, "coarse in fill")]
)
def test_walls_drawn_in_two_ways_shut_off_every_room(seed: int, style: str) -> None:
    """One way alone was taken for the walls: bathrooms were open to bedrooms, or rooms outdoors."""
    house = build(seed, width=32, depth=24)
    sheet, view, scale = draw(house, style, seed=seed)
    plan = find_rooms(sheet, view, scale, PLAIN, ())
    marks = mark(house, plan, 0, 48.0)
    assert marks.right >= marks.total - 1 and marks.silent == marks.leaks == 0


def test_one_straight_wall_drawn_otherwise_than_all_others_is_a_wall() -> None:
    """It is no network of its own, and the rooms on either side of it were one."""
    house = build(10, width=30, depth=22)
    sheet, view, scale = draw(house, "one filled", seed=10)
    plan = find_rooms(sheet, view, scale, PLAIN, ())
    marks = mark(house, plan, 0, 48.0)
    assert marks.right >= marks.total - 1 and marks.silent == marks.leaks == 0
    assert "walls taken together that are drawn in several ways" in plan.assumptions


def test_rooms_between_walls_of_coarse_hatch_are_found() -> None:
    """Lines 6 in apart at 45 degrees: coarser than the walls are thick, and the rooms were outdoors in silence."""
    house = build(4, width=32, depth=24)
    sheet, view, scale = draw(house, "coarse in coarse", seed=4)
    plan = find_rooms(sheet, view, scale, PLAIN, ())
    marks = mark(house, plan, 0, 48.0)
    assert marks.right >= marks.total - 1 and marks.silent == marks.leaks == 0


def test_a_window_in_a_wall_of_one_line_leaves_the_face_in_doubt() -> None:
    """Its glass is as thin as the line, and the wall's face half a wall off: paths were up to 3 in too long."""
    room = Room("r1", "BEDROOM", "bedroom", box(0, 0, 180, 180), 0.97, "v1")
    glass = box(60, -1.0, 120, 1.0)
    line = box(-0.75, -0.75, 180.75, 180.75).difference(box(0.75, 0.75, 179.25, 179.25)).difference(glass)
    plan = FloorPlan("v1", (room,), line, glass, (), (), None)
    at_wall, at_glass = (symbol("receptacle", (x, 6.0), wall=(0, -1)) for x in (30.0, 90.0))
    wall, window = stand((at_wall, at_glass), plan, SCALE)
    assert window.anchor_tolerance_ft == pytest.approx(wall.anchor_tolerance_ft, abs=0.5 / 12)
    assert window.anchor_tolerance_ft > 3.0 / 12

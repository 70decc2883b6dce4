"""Walls of several ways of drawing on one sheet, and rooms that walls shut off."""

from __future__ import annotations

import pytest
from house_drawing import draw
from house_marks import mark
from random_houses import build
from room_symbols import PLAIN

from cordpath.rooms import find_rooms


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


def test_rooms_between_walls_of_coarse_hatch_are_found() -> None:
    """Lines 6 in apart at 45 degrees: coarser than the walls are thick, and the rooms were outdoors in silence."""
    house = build(4, width=32, depth=24)
    sheet, view, scale = draw(house, "coarse in coarse", seed=4)
    plan = find_rooms(sheet, view, scale, PLAIN, ())
    marks = mark(house, plan, 0, 48.0)
    assert marks.right >= marks.total - 1 and marks.silent == marks.leaks == 0

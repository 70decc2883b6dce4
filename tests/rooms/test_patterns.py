"""Floor patterns are no walls, whatever lies over them."""

from __future__ import annotations

import numpy as np
import shapely
from house_drawing import draw
from hypothesis import given
from hypothesis import strategies as st
from random_houses import build
from room_symbols import PLAIN

from cordpath.model import FloatArray
from cordpath.rooms import find_rooms
from cordpath.rooms.walls.bands import pair_up
from cordpath.rooms.walls.patterns import Pattern, find_pattern

INCH = 1.5


def _found(rows: list[tuple[float, float, float]]) -> Pattern:
    """Lines across: (height, from, to) in inches of the building."""
    xy = np.array([(a, y, b, y) for y, a, b in rows], float) * INCH
    unit: FloatArray = np.tile([1.0, 0.0], (len(xy), 1))
    bands = pair_up(xy, unit, xy[:, 2] - xy[:, 0], 0.4 * INCH, 13 * INCH, 6 * INCH)
    return find_pattern(xy, unit, bands, INCH)


@given(pitch=st.floats(2.0, 6.0), off=st.floats(0.1, 0.9), under=st.integers(4, 6), short=st.floats(0.0, 0.45))
def test_a_line_over_a_pattern_takes_no_line_out_of_it(pitch: float, off: float, under: int, short: float) -> None:
    """The front of a counter or the edge of a table, somewhere between two lines."""
    hatch = [(k * pitch, 0.0, 100.0) for k in range(12)]
    found = _found([*hatch, ((under + off) * pitch, 100 * short, 100.0)])
    assert found.lines[1:11].all()
    assert not found.lines[0] and not found.lines[11] and found.edges[[0, 11]].all()


def test_the_faces_of_a_wall_between_two_patterns_are_no_lines_of_them() -> None:
    rows = [(k * 6.0, 0.0, 100.0) for k in range(8)]  # up to 42
    rows += [(45.0, 0.0, 100.0), (49.5, 0.0, 100.0)] + [(51.0 + k * 6.0, 0.0, 100.0) for k in range(8)]
    found = _found(rows)
    assert not found.lines[8:10].any() and not found.edges[8:10].any()


def test_a_wall_of_one_pen_is_told_from_the_last_line_of_the_floor_before_it() -> None:
    """Hatch that ends one wall's thickness before a wall that a door cuts short."""
    for seed, name in ((8, "STUDY"), (1, "STUDY")):
        house = build(seed)
        sheet, view, scale = draw(house, "one weight", seed=seed)
        plain, _, _ = draw(house, "double", seed=seed)
        rooms, wanted = (
            {r.name: r.polygon for r in find_rooms(s, view, scale, PLAIN, ()).rooms} for s in (sheet, plain)
        )
        union = shapely.union(rooms[name], wanted[name]).area
        assert rooms[name].intersection(wanted[name]).area > 0.95 * union

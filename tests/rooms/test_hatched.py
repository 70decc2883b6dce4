"""Walls that are hatch and nothing else."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from house_drawing import draw
from house_marks import mark
from hypothesis import given
from hypothesis import strategies as st
from random_houses import build
from room_symbols import FT, PLAIN, Drawer

from cordpath.model import Strokes
from cordpath.rooms import find_rooms
from cordpath.rooms.ink import gather
from cordpath.rooms.walls.hatched import by_hatch, without_bevels

STEP_PT = 0.12  # a plotter's step, 1/600 in


@pytest.mark.parametrize(("seed", "turn", "ratio"), [(0, 0, 48.0), (3, 1, 96.0)])
def test_rooms_between_walls_of_hatch_are_those_between_filled_ones(seed: int, turn: int, ratio: float) -> None:
    """They merged into one or were outdoors, without a reason for some."""
    house = build(seed)
    sheet, view, scale = draw(house, "hatch", seed=seed, ratio=ratio, turn=turn)
    xy = np.round(sheet.strokes.xy / STEP_PT) * STEP_PT
    plan = find_rooms(replace(sheet, strokes=replace(sheet.strokes, xy=xy)), view, scale, PLAIN, ())
    marks = mark(house, plan, turn, ratio)
    assert marks.right == marks.total and marks.leaks == marks.silent == 0
    assert any("hatch" in said for said in plan.assumptions)
    filled, _, _ = draw(house, "fill", seed=seed, ratio=ratio, turn=turn)
    wanted = find_rooms(filled, view, scale, PLAIN, ()).walls
    # Cords turn at corners of walls: one that stood out would make the way around it too long, and clear an outlet.
    corners, found = shapely.points(shapely.get_coordinates(wanted.simplify(0.05))), plan.walls
    assert np.quantile(shapely.distance(corners, found.boundary), 0.8) < 3 * STEP_PT
    assert shapely.distance(wanted, shapely.points(shapely.get_coordinates(found))).max() < 3 * STEP_PT


@given(
    w=st.floats(60, 200),
    h=st.floats(60, 200),
    thick=st.floats(10, 20),
    pitch=st.floats(0.8, 3.0),
    turn=st.floats(0, 90),
    cuts=st.lists(st.floats(0.1, 0.9), min_size=6, max_size=6),
)
def test_corners_that_hatch_cuts_are_put_back(
    w: float, h: float, thick: float, pitch: float, turn: float, cuts: list[float]
) -> None:
    """An L, however it lies.  One line of a hatch at 45 degrees ends before a corner and the next one behind it,
    both together one pitch from it."""
    ring = np.array([(0, 0), (w, 0), (w, thick), (thick, thick), (thick, h), (0, h)])
    points = []
    for k, p in enumerate(ring):
        for q, share in ((ring[k - 1], cuts[k]), (ring[(k + 1) % 6], 1 - cuts[k])):
            points.append(p + (q - p) / np.hypot(*(q - p)) * share * pitch)
    cut, whole = (
        shapely.affinity.rotate(shapely.Polygon(p), turn, origin=(0, 0)) for p in (np.array(points), ring)
    )
    assert shapely.hausdorff_distance(without_bevels(cut, pitch), whole) < 0.3


def test_a_hatched_floor_is_no_wall() -> None:
    sheet, view = Drawer().room(2, 2, 30, 25, "KITCHEN").sheet()
    rows = [(2 * FT + 2 * k, 2 * FT, 2 * FT + 2 * k + 400, 2 * FT + 400) for k in range(200)]
    sheet = replace(sheet, strokes=replace(Strokes.of(np.array(rows)), width=np.full(len(rows), 0.25)))
    assert by_hatch(gather(sheet, view, PLAIN.drawing, (), 1.5), 1.0) is None

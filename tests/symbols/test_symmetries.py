"""Turns and mirrors that lay a shape on itself: all of its own, and none that it has not."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import cKDTree

from cordpath.symbols.pose import MIRROR, TURN
from cordpath.symbols.templates.symmetries import near_symmetries, symmetries

ALLOWED = 0.2  # pt


def of(points: np.ndarray) -> list[tuple[float, int]]:
    """Turns in degrees, and mirrors, of samples about the middle that they have."""
    found = symmetries(points, np.ones(len(points)), points.mean(0), cKDTree(points), ALLOWED)
    return [(round(float(np.degrees(turn)), 3), mirror) for turn, mirror in found]


def ring(count: int, radius: float = 9.0) -> np.ndarray:
    angle = 2 * np.pi * np.arange(count) / count
    return radius * np.c_[np.cos(angle), np.sin(angle)]


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6, 8, 12, 24])
def test_a_ring_of_like_parts_turns_by_each_of_them(count: int) -> None:
    turns = [turn for turn, mirror in of(ring(count)) if not mirror]
    assert turns == pytest.approx([360 * k / count for k in range(count)])


def test_a_shape_of_no_symmetry_has_the_turn_of_nothing_alone() -> None:
    assert of(np.array([[0, 0], [9, 0], [9, 4], [2, 5], [1, 8.0]])) == [(0.0, 0)]


def test_a_mirror_is_found_along_the_main_axis_at_any_angle() -> None:
    kite = np.array([[0, 0], [10, 3], [10, -3], [14, 0], [4, 1.2], [4, -1.2]])
    for degrees in (0.0, 17.3, 44.9, 101.0):
        turn = np.radians(degrees)
        way = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
        assert any(mirror for _, mirror in of(kite @ way.T)), degrees


@settings(max_examples=60, deadline=None)
@given(
    part=st.lists(st.tuples(st.floats(1, 9), st.floats(0, 2 * np.pi)), min_size=1, max_size=4),
    count=st.sampled_from([1, 2, 3, 4, 6]),
)
def test_every_turn_lays_every_sample_on_a_sample(part: list[tuple[float, float]], count: int) -> None:
    polar = np.array([(r, a + 2 * np.pi * k / count) for r, a in part for k in range(count)])
    points = polar[:, :1] * np.c_[np.cos(polar[:, 1]), np.sin(polar[:, 1])]
    centre, found = points.mean(0), of(points)
    assert {360 * k / count for k in range(count)} <= {turn for turn, mirror in found if not mirror}
    for turn, mirror in found:
        a = np.radians(turn)
        away = (points - centre) * (1 - 2 * mirror, 1)
        moved = away @ np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]]).T + centre
        assert cKDTree(points).query(moved)[0].max() <= ALLOWED + 1e-6


@pytest.mark.parametrize(("sides", "least", "expected"), [(3, 0.75, 5), (4, 0.75, 7), (3, 0.99, 0), (24, 0.75, 0)])
def test_a_polygon_with_a_tick_lies_on_itself_nearly_at_each_of_its_sides(
    sides: int, least: float, expected: int
) -> None:
    """Turned by any of its sides but the first, and mirrored on each."""
    corners = ring(sides)
    lines = np.c_[corners, np.roll(corners, -1, axis=0)]
    tick = np.array([[5.0, 8.0, 8.0, 9.5]])
    both = np.r_[lines, tick].reshape(-1, 2, 2)
    t = np.linspace(0, 1, 60)[:, None, None]
    points = (both[:, 0] + (both[:, 1] - both[:, 0]) * t).reshape(-1, 2)
    weight = np.tile(np.hypot(*(both[:, 1] - both[:, 0]).T), 60)
    found = near_symmetries(points, weight, lines, cKDTree(points), ALLOWED, least)
    turns = {(round(float(np.degrees(each[TURN])) % 360), int(each[MIRROR])) for each in found}
    assert len(turns) == len(found) == expected

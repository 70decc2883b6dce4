"""Bands, joined strokes, swings, triangles and stairs."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.geometry import circle, lengths
from cordpath.rooms.ink import Ink, make_ink
from cordpath.rooms.openings.arcs import find_swings
from cordpath.rooms.spaces.mesh import triangulate
from cordpath.rooms.spaces.throats import divide
from cordpath.rooms.stairs import find_stairs
from cordpath.rooms.walls.bands import groups, merge_runs, pair_up

ANGLE = st.floats(0, np.pi)


def _ink(xy: np.ndarray) -> Ink:
    xy = np.asarray(xy, float).reshape(-1, 4)
    n = len(xy)
    zero = np.zeros(n)
    whole = np.zeros(n, np.int64)
    return make_ink(xy, np.full(n, 0.5), zero, whole - 1, whole, zero.astype(bool))


def _unit(xy: np.ndarray) -> np.ndarray:
    return (xy[:, 2:] - xy[:, :2]) / lengths(xy)[:, None]


def _turned(xy: np.ndarray, angle: float) -> np.ndarray:
    c, s = np.cos(angle), np.sin(angle)
    return (xy.reshape(-1, 2) @ np.array([[c, s], [-s, c]])).reshape(-1, 4)


@settings(max_examples=50, deadline=None)
@given(angle=ANGLE, gap=st.floats(4, 12), shift=st.floats(-40, 40), flip=st.booleans())
def test_two_parallels_make_one_band(angle: float, gap: float, shift: float, flip: bool) -> None:
    second = [100 + shift, gap, shift, gap] if flip else [shift, gap, 100 + shift, gap]
    xy = _turned(np.array([[0, 0, 100, 0], second], float), angle)
    bands = pair_up(xy, _unit(xy), lengths(xy), 3, 14, 6)
    assert len(bands) == 1
    assert bands.gap[0] == pytest.approx(gap, abs=1e-6)
    assert bands.overlap[0] == pytest.approx(100 - abs(shift), abs=1e-6)
    assert shapely.Polygon(bands.corners[0]).area == pytest.approx(gap * (100 - abs(shift)), rel=1e-6)


def test_facing_wall_ends_are_no_band() -> None:
    xy = np.array([[0, 0, 6, 0], [0, 13, 6, 13]], float)
    assert len(pair_up(xy, _unit(xy), lengths(xy), 3, 14, 6)) == 0


@settings(max_examples=50, deadline=None)
@given(angle=ANGLE, cuts=st.lists(st.floats(0.05, 0.95), max_size=6, unique=True), seed=st.integers(0, 99))
def test_a_cut_line_is_joined_again(angle: float, cuts: list[float], seed: int) -> None:
    rng = np.random.default_rng(seed)
    t = np.r_[0, np.sort(cuts), 1] * 200
    pieces = np.stack([t[:-1], np.zeros(len(t) - 1), t[1:], np.zeros(len(t) - 1)], 1)
    pieces = pieces[np.diff(t) > 2]
    xy = _turned(pieces[rng.permutation(len(pieces))], angle) + rng.uniform(-0.05, 0.05, (len(pieces), 4))
    gaps = np.diff(t)[np.diff(t) <= 2]
    joined, label = merge_runs(xy, _unit(xy), slack=3.0)
    assert len(label) == len(xy)
    if not len(gaps):
        assert len(joined) == 1
        assert lengths(joined)[0] == pytest.approx(200, abs=1.0)


def test_crossing_and_parallel_lines_are_not_joined() -> None:
    xy = np.array([[0, 0, 100, 0], [50, -50, 50, 50], [0, 2, 100, 2]], float)
    joined, _ = merge_runs(xy, _unit(xy))
    assert len(joined) == 3


@settings(max_examples=30, deadline=None)
@given(radius=st.floats(30, 60), start=st.floats(0, 6.28), sweep=st.floats(1.0, 1.9), pieces=st.integers(5, 20),
       seed=st.integers(0, 50))  # fmt: skip
def test_swings_of_any_order_and_direction(
    radius: float, start: float, sweep: float, pieces: int, seed: int
) -> None:
    rng = np.random.default_rng(seed)
    t = start + np.linspace(0, sweep, pieces + 1)
    p = np.c_[np.cos(t), np.sin(t)] * radius + 300
    xy = np.concatenate([p[:-1], p[1:]], 1)
    swap = rng.random(len(xy)) < 0.5
    xy[swap] = xy[swap][:, [2, 3, 0, 1]]
    xy = xy[rng.permutation(len(xy))] + rng.uniform(-0.06, 0.06, xy.shape)
    (swing,) = find_swings(_ink(xy), 1.5)
    assert swing.hinge == pytest.approx([300, 300], abs=0.03 * radius + 0.6 / sweep**2)
    assert swing.radius == pytest.approx(radius, abs=0.03 * radius + 0.6 / sweep**2)
    ends = {tuple(np.round(e)) for e in (p[0], p[-1])}
    assert all(min(np.hypot(*(e - np.array(q))) for q in ends) < 1.5 for e in swing.ends)


def test_two_leaves_that_meet_are_two_swings() -> None:
    t = np.linspace(0, np.pi / 2, 12)
    left = np.c_[np.sin(t), np.cos(t)] * 40
    right = np.c_[80 - np.sin(t) * 40, np.cos(t) * 40]
    xy = np.concatenate([np.concatenate([p[:-1], p[1:]], 1) for p in (left, right)])
    hinges = sorted(tuple(np.round(s.hinge)) for s in find_swings(_ink(xy), 1.5))
    assert hinges == [(0, 0), (80, 0)]


def test_straight_lines_and_full_circles_are_no_swings() -> None:
    t = np.linspace(0, 2 * np.pi, 40)
    ring = np.c_[np.cos(t), np.sin(t)] * 30
    chain = np.c_[np.arange(20.0) * 5, np.zeros(20)]
    for p in (ring, chain):
        assert find_swings(_ink(np.concatenate([p[:-1], p[1:]], 1)), 1.5) == ()


def test_circle_through_points() -> None:
    t = np.array([0.1, 0.7, 1.9, 2.5])
    centre, radius, residual = circle(np.c_[np.cos(t) * 7 + 3, np.sin(t) * 7 - 2])
    assert centre == pytest.approx([3, -2])
    assert radius == pytest.approx(7)
    assert residual < 1e-9


@settings(max_examples=30, deadline=None)
@given(width=st.floats(60, 400), depth=st.floats(60, 400), angle=ANGLE)
def test_triangles_cover_the_space(width: float, depth: float, angle: float) -> None:
    corners = np.array([[0, 0], [width, 0], [width, depth], [0, depth]])
    c, s = np.cos(angle), np.sin(angle)
    space = shapely.Polygon(corners @ np.array([[c, s], [-s, c]]))
    mesh = triangulate(space, 1.5)
    assert mesh is not None
    assert mesh.area.sum() == pytest.approx(space.area, rel=1e-6)
    boundary = 3 * len(mesh.area) - 2 * len(mesh.left)
    assert boundary == len(shapely.get_coordinates(shapely.segmentize(space, 13.5))) - 1
    assert mesh.width.max() <= 1.17 * np.hypot(width, depth)


@settings(max_examples=30, deadline=None)
@given(throat=st.floats(30, 60), left=st.floats(150, 300), right=st.floats(150, 300))
def test_a_narrow_throat_divides_two_names(throat: float, left: float, right: float) -> None:
    room = shapely.union_all([shapely.box(0, 0, left, 200), shapely.box(left + 7, 0, left + 7 + right, 200),
                              shapely.box(left - 1, 100, left + 8, 100 + throat)])  # fmt: skip
    frame = room.envelope.buffer(300, join_style="mitre")
    barrier = room.envelope.buffer(9, join_style="mitre").difference(room)
    seeds = np.array([[left / 2, 60], [left + 7 + right / 2, 60]])
    spaces, outside = divide(barrier, frame, seeds, [], 1.5)
    named = {s.seeds: s.polygon for s in spaces}
    assert set(named) == {(0,), (1,)}
    assert named[(0,)].area == pytest.approx(left * 200, rel=0.02)
    assert named[(1,)].area == pytest.approx(right * 200, rel=0.02)
    assert outside.area == pytest.approx(frame.area - room.envelope.buffer(9, join_style="mitre").area, rel=0.01)


def test_groups_join_over_gaps() -> None:
    boxes = shapely.box(np.array([0, 15, 40.0]), 0, np.array([10, 25, 50.0]), 10)
    label = groups(boxes, 6)
    assert label[0] == label[1] != label[2]


def test_a_flight_of_stairs() -> None:
    treads = np.array([[0, y, 54, y] for y in np.arange(0, 10) * 16.0])
    (flight,) = find_stairs(_ink(treads), np.zeros(10, bool), 1.5)
    assert flight.area == pytest.approx(54 * 144, rel=0.1)
    shelves = np.array([[0, y, 54, y] for y in (0.0, 30.0, 77.0, 90.0)])
    assert len(find_stairs(_ink(shelves), np.zeros(4, bool), 1.5)) == 0

"""Plain geometry that several stages use."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from cordpath.geometry import (
    SAGITTA_PT,
    bent_chains,
    chords,
    components,
    distinct_rows,
    first_equals,
    first_of_equal,
    lengths,
    lines,
    middle_line,
    near_boxes,
    near_points,
    nodes,
    rows_beside,
    segments_in_box,
    segments_near,
    sides_around,
)
from cordpath.geometry.groups import FEW_LINKS

COORDINATES = st.floats(-2000, 4000, allow_nan=False, width=32)


def boxes(most: int) -> st.SearchStrategy[np.ndarray]:
    corners = hnp.arrays(np.float64, st.tuples(st.integers(0, most), st.just(4)), elements=COORDINATES)
    return corners.map(lambda c: np.c_[np.minimum(c[:, :2], c[:, 2:]), np.maximum(c[:, :2], c[:, 2:])])


@settings(max_examples=60, deadline=None)
@given(boxes(12), boxes(6), st.floats(0, 50))
def test_no_box_that_is_near_another_is_missed(some: np.ndarray, others: np.ndarray, margin: float) -> None:
    told = near_boxes(some, others, margin)
    gap = shapely.distance(shapely.box(*some.T)[:, None], shapely.box(*others.T)[None])
    assert told[(gap <= margin).any(axis=1)].all()


@settings(max_examples=60, deadline=None)
@given(
    hnp.arrays(np.float64, st.tuples(st.integers(0, 12), st.just(2)), elements=COORDINATES),
    boxes(6),
    st.floats(0, 50),
)
def test_points_are_told_as_boxes_without_a_size(points: np.ndarray, others: np.ndarray, margin: float) -> None:
    assert (
        near_points(points, others, margin).tolist() == near_boxes(np.c_[points, points], others, margin).tolist()
    )


def test_boxes_far_from_all_others_are_told_apart() -> None:
    some = np.array([[0.0, 0.0, 5.0, 5.0], [500.0, 500.0, 500.0, 500.0], [900.0, 0.0, 1500.0, 5.0], [np.nan] * 4])
    others = np.array([[10.0, 0.0, 12.0, 4.0], [890.0, 20.0, 895.0, 25.0], [np.nan] * 4])
    assert near_boxes(some, others, 18.0).tolist() == [True, False, True, False]
    assert not near_boxes(some, others[2:], 18.0).any()
    assert not near_boxes(some, others[:0], 18.0).any()


@settings(max_examples=60, deadline=None)
@given(hnp.arrays(np.float64, st.tuples(st.integers(0, 30), st.just(4)), elements=st.integers(0, 9).map(float)))
def test_segments_in_a_box_have_both_ends_in_it(xy: np.ndarray) -> None:
    inside = [all(2 <= row[k] <= 7 and 3 <= row[k + 1] <= 6 for k in (0, 2)) for row in xy.tolist()]
    assert segments_in_box(xy, (2.0, 3.0, 7.0, 6.0)).tolist() == inside


@settings(deadline=None)
@given(
    x=st.floats(-500, 500), y=st.floats(-500, 500), radius=st.floats(0.1, 300), start=st.floats(-6.3, 6.3),
    sweep=st.floats(0.01, 2 * np.pi),
)  # fmt: skip
def test_chords_run_along_their_arc_and_stray_no_more_than_the_sagitta(
    x: float, y: float, radius: float, start: float, sweep: float
) -> None:
    xy, of = chords(np.array([[x, y, radius, start, start + sweep], [0, 0, 1, 0, 1]]))
    mine = xy[of == 0]
    ends = radius * np.array([[np.cos(a), np.sin(a)] for a in (start, start + sweep)]) + (x, y)
    assert np.allclose(mine[[0, -1]].reshape(2, 2, 2)[[0, 1], [0, 1]], ends)
    assert np.array_equal(mine[:-1, 2:], mine[1:, :2])
    assert np.allclose(np.hypot(*(mine[:, :2] - (x, y)).T), radius)
    off = radius - np.hypot(*((mine[:, :2] + mine[:, 2:]) / 2 - (x, y)).T)
    assert off.max() <= 1.01 * max(
        SAGITTA_PT, radius * (1 - np.cos(0.025))
    )  # no chord turns less than 0.05 radians
    assert lengths(mine).sum() == pytest.approx(radius * sweep, rel=0.011)


PAIRS = hnp.arrays(np.float64, st.tuples(st.integers(0, 30), st.just(8)), elements=st.integers(-6, 6).map(float))


@settings(max_examples=100, deadline=None)
@given(PAIRS, st.sampled_from([0.0, 0.3, 1.1, 2.6]))
def test_segments_near_each_other_are_those_that_shapely_measures(pairs: np.ndarray, reach: float) -> None:
    """Crossing ones, parallel ones and points among them; rounding decides at exactly the reach."""
    one, other = pairs[:, :4], pairs[:, 4:]
    gap = shapely.distance(lines(one), lines(other))
    told = segments_near(one, other, reach)
    assert told[gap <= reach - 1e-9].all()
    assert not told[gap > reach + 1e-9].any()
    assert told[gap == 0.0].all()


@st.composite
def linked(draw: st.DrawFn) -> tuple[int, list[tuple[int, int]]]:
    count = draw(st.integers(1, 40))
    member = st.integers(0, count - 1)
    return count, draw(st.lists(st.tuples(member, member), max_size=FEW_LINKS))


@given(linked())
def test_few_links_make_the_same_groups_as_many(drawn: tuple[int, list[tuple[int, int]]]) -> None:
    count, links = drawn
    a, b = np.array(links, np.int64).reshape(-1, 2).T
    filler = np.zeros(FEW_LINKS + 1, np.int64)  # links of a thing with itself change nothing
    few, many = components(a, b, count), components(np.r_[a, filler], np.r_[b, filler], count)
    assert few[0] == many[0] and few[1].tolist() == many[1].tolist()


PLACES = hnp.arrays(
    np.float64, st.tuples(st.integers(0, 40), st.just(2)), elements=st.integers(-60, 60).map(lambda k: k / 10)
)


@settings(max_examples=50)
@given(PLACES, st.sampled_from([0.2, 0.7, 1.1]))
def test_points_share_a_node_where_steps_as_short_as_the_reach_lead_from_one_to_the_other(
    points: np.ndarray, reach: float
) -> None:
    node = nodes(points, reach)
    away = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    one = node[:, None] == node[None]
    assert one[away <= reach / 2].all()
    graph = [set(np.flatnonzero(row).tolist()) for row in away <= 1.5 * reach]
    for start in range(len(points)):  # whatever shares its node is reached by steps of one and a half
        seen, left = {start}, [start]
        while left:
            new = graph[left.pop()] - seen
            seen |= new
            left += new
        assert set(np.flatnonzero(one[start]).tolist()) <= seen


def test_lone_ends_meet_up_to_the_reach_and_no_farther() -> None:
    for away, meet in ((0.69, True), (0.71, False)):
        for angle in np.linspace(0, 2 * np.pi, 24):
            step = away * np.array([np.cos(angle), np.sin(angle)])
            node = nodes(np.array([[1010.33, 701.7], [0.0, 0.0], [1010.33 + step[0], 701.7 + step[1]]]), 0.7)
            assert (node[0] == node[2]) is np.bool_(meet) and node[1] != node[0]


def test_a_crowd_in_one_place_makes_no_pairs_without_end() -> None:
    crowd = np.random.default_rng(1).uniform(0, 0.08, (200_000, 2))
    assert not nodes(crowd, 0.085).any()


@settings(max_examples=50)
@given(
    long=st.floats(1, 400), share=st.floats(0.05, 0.95), turn=st.floats(0, 180), x=st.floats(-900, 900),
    y=st.floats(-900, 900),
)  # fmt: skip
def test_a_rectangle_has_its_sides_and_its_long_middle_line_however_it_is_turned(
    long: float, share: float, turn: float, x: float, y: float
) -> None:
    box = shapely.transform(
        shapely.affinity.rotate(shapely.box(0, 0, long, share * long), turn, origin=(0, 0)),
        lambda p: p + np.array([x, y]),
    )
    assert sides_around(box) == pytest.approx((long, share * long), rel=1e-6)
    line, short = middle_line(box)
    assert short == pytest.approx(share * long, rel=1e-6)
    ends = np.array([[0, share * long / 2], [long, share * long / 2]])
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    real = ends @ np.array([[c, s], [-s, c]]) + (x, y)
    assert min(np.abs(line - real).max(), np.abs(line[::-1] - real).max()) < 1e-6 * (long + 1000)


def test_a_line_is_its_own_middle_line_and_a_point_has_no_sides() -> None:
    line, short = middle_line(shapely.LineString([(1, 2), (4, 6)]))
    assert sorted(line.tolist()) == [[1, 2], [4, 6]] and short == 0.0
    assert sides_around(shapely.LineString([(1, 2), (4, 6)])) == (5.0, 0.0)
    assert sides_around(shapely.Point(1, 2)) == (0.0, 0.0) == sides_around(shapely.Polygon())
    assert len(middle_line(shapely.Polygon())[0]) == 0


@settings(max_examples=50)
@given(
    st.floats(1, 9), st.sets(st.integers(-12, 12), max_size=20), st.integers(0, 10**6)
)  # fmt: skip
def test_rows_follow_each_other_until_one_is_missing(gap: float, there: set[int], seed: int) -> None:
    random = np.random.default_rng(seed)
    numbers = np.array(sorted(there - {0}), np.int64)
    aside = numbers * gap + random.uniform(-0.14, 0.14, len(numbers))
    astray = (random.integers(-12, 12, 3) + 0.5) * gap  # between two rows
    rows = rows_beside(np.r_[aside, astray], np.array([gap]))
    assert rows.even[0, : len(numbers)].all() and rows.number[0, : len(numbers)].tolist() == numbers.tolist()
    after = next(k for k in range(1, 14) if k not in there)
    below = next(k for k in range(1, 14) if -k not in there)
    assert (rows.beyond[0], rows.before[0]) == (after - 1, below - 1)


@settings(max_examples=60, deadline=None)
@given(
    hnp.arrays(np.float64, st.tuples(st.integers(0, 12), st.integers(1, 4)), elements=st.integers(-2, 2).map(float))
)
def test_different_rows_are_those_that_numpy_tells(rows: np.ndarray) -> None:
    different, which = distinct_rows(rows.astype(float))
    assert different.tolist() == np.unique(rows, axis=0).tolist()
    assert different[which].tolist() == rows.tolist()
    _, first, which = np.unique(rows, axis=0, return_index=True, return_inverse=True)
    assert first_equals(rows.astype(np.int64)).tolist() == first[which.reshape(-1)].tolist()
    assert np.flatnonzero(first_of_equal(rows.astype(np.int64))).tolist() == sorted(first.tolist())


@settings(max_examples=40)
@given(
    st.integers(3, 12), st.floats(0.2, 0.7), st.floats(2, 30), st.floats(0, 0.2), st.integers(0, 10**6)
)  # fmt: skip
def test_strokes_that_touch_and_turn_a_little_are_one_chain_whatever_way_each_runs(
    pieces: int, turn: float, length: float, off: float, seed: int
) -> None:
    random = np.random.default_rng(seed)
    way = turn * np.arange(pieces)
    points = np.r_[[[500.0, 500.0]], 500 + np.cumsum(length * np.c_[np.cos(way), np.sin(way)], axis=0)]
    xy = np.c_[points[:-1], points[1:]]
    xy[:, 2:] += off * np.c_[np.cos(way), np.sin(way)]  # a hair across the next one's start
    back = random.random(pieces) < 0.5
    xy[back] = xy[back][:, [2, 3, 0, 1]]
    tail = np.array([[500.0, 500.0, 500.0 - length, 500.0]])  # straight on from the first
    many = np.r_[xy, tail, tail + 900]
    label = bent_chains(many, 0.3, (0.1, 0.74))
    assert (label[:pieces] == label[0]).all() and label[pieces] != label[0] != label[pieces + 1] != label[pieces]
    assert bent_chains(many, 0.3, (0.1, 0.74), 2 * length)[pieces] == label[0], "too short to tell"
    assert len(set(bent_chains(many, 0.3, (0.1, 0.15)).tolist())) == pieces + 2
    assert not len(bent_chains(many[:0], 0.3, (0.1, 0.74)))

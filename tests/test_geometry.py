"""Plain geometry that several stages use."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from cordpath.geometry import SAGITTA_PT, chords, lengths, lines, near_boxes, segments_in_box, segments_near

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

"""Plain geometry that several stages use."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from cordpath.geometry import near_boxes, segments_in_box

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

"""Overlapping boxes against the tree of another library (GEOS, through shapely)."""

from __future__ import annotations

import itertools

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.sheet.lettering.near import about, overlapping


@settings(max_examples=80, deadline=None)
@given(st.integers(0, 10_000), st.integers(0, 60), st.integers(0, 60), st.booleans())
def test_the_same_pairs_as_a_tree_of_shapes(seed: int, many: int, others: int, points: bool) -> None:
    rng = np.random.default_rng(seed)

    def boxes(count: int) -> np.ndarray:
        corner = np.round(rng.uniform(-40, 40, (count, 2)))  # on whole points, so that edges touch often
        return np.concatenate([corner, corner + np.round(rng.uniform(0, 9, (count, 2)))], axis=1)

    a, b = boxes(many), boxes(others)
    if points:
        b[:, 2:] = b[:, :2]
    tree = shapely.STRtree(shapely.box(*b.T))
    i, j = tree.query(shapely.box(*a.T), predicate="intersects")
    wanted = sorted(zip(i.tolist(), j.tolist(), strict=True))
    i, j = overlapping(a, b)
    assert list(zip(i.tolist(), j.tolist(), strict=True)) == wanted


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000), st.integers(0, 40), st.integers(0, 6))
def test_no_stroke_that_touches_a_box_is_left_out(seed: int, many: int, others: int) -> None:
    rng = np.random.default_rng(seed)
    xy = np.round(rng.uniform(-500, 2000, (many, 4)))
    corner = np.round(rng.uniform(-500, 2000, (others, 2)))
    boxes = np.concatenate([corner, corner + np.round(rng.uniform(0, 90, (others, 2)))], axis=1)
    kept = about(xy, boxes)
    for stroke, box in itertools.product(range(many), boxes.tolist()):
        if shapely.LineString(xy[stroke].reshape(2, 2)).intersects(shapely.box(*box)):
            assert kept[stroke]


def test_strokes_far_from_every_box_are_left_out() -> None:
    xy = np.array([[0, 0, 10, 10], [1000, 1000, 1010, 1000], [0.0, 500, 20, 500]])
    assert about(xy, np.array([[4.0, 4, 6, 6]])).tolist() == [True, False, False]

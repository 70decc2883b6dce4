"""Overlapping boxes against the tree of another library (GEOS, through shapely)."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.sheet.lettering.near import overlapping


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

"""Strokes that hang together, against the distances between their strokes."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import FloatArray
from cordpath.symbols.unexplained import groups
from cordpath.symbols.unexplained.groups import LINK, Groups, profiled

_at = st.integers(0, 60).map(lambda tenths: tenths / 10)
_stroke = st.tuples(_at, _at, _at, _at).filter(lambda row: row[:2] != row[2:])
_strokes = st.lists(_stroke, min_size=1, max_size=14)


def _all(found: Groups) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    return np.ones(len(found), bool)


def _joined(xy: FloatArray, reach: float) -> int:
    """How many groups strokes make that are nearer than ``reach`` to one another."""
    return len(shapely.get_parts(shapely.union_all(shapely.buffer(_lines(xy), reach / 2))))


def _lines(xy: FloatArray) -> np.ndarray[tuple[int, ...], np.dtype[np.object_]]:
    return np.asarray(shapely.linestrings(xy.reshape(-1, 2, 2)))


@given(_strokes)
@settings(max_examples=60)
def test_strokes_that_touch_are_one_group_and_far_ones_are_not(drawn: list[tuple[float, ...]]) -> None:
    xy = np.array(drawn) * 5
    found = profiled(xy, _all)
    # cells that touch hold ink up to two diagonals apart; ink that crosses lies in one cell or in two that touch
    assert _joined(xy, 2 * np.sqrt(2) * LINK + 0.01) <= len(found) <= _joined(xy, 0.02)
    assert np.isclose(found.ink.sum(), np.hypot(*(xy[:, 2:] - xy[:, :2]).T).sum())


@given(_strokes)
@settings(max_examples=40)
def test_a_page_too_large_for_a_table_is_grouped_alike(drawn: list[tuple[float, ...]]) -> None:
    xy = np.array(drawn) * 5
    table, most = profiled(xy, _all), groups.MOST_PAGE
    groups.MOST_PAGE = 0
    try:
        by_order = profiled(xy, _all)
    finally:
        groups.MOST_PAGE = most
    assert np.array_equal(table.box, by_order.box) and np.array_equal(table.profile, by_order.profile)


def test_a_stroke_whose_samples_are_rounded_over_a_cell_is_one_group() -> None:
    corner = [0.0, 0.0, LINK, 0.0]
    for cells in range(6, 40):  # along multiples of a cell a sample may be rounded into the one before its own
        start = cells * LINK
        assert len(profiled(np.array([corner, [start, start, start + 5 * LINK, start]]), _all)) == 2

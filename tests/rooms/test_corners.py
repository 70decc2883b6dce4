"""Faces of walls that miss each other are drawn out to the corners that were meant, and nothing else is."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath.model import FloatArray
from cordpath.rooms.walls.corners import MISSED_IN, MISSED_PT, drawn_out

INCH = 1.5  # pt, 1/4" = 1'-0"
THICK = 6 * INCH


def faces(wide: float, deep: float, split: float, door: float) -> FloatArray:
    """The faces of an L of two walls of 6 in, with a third that runs against the first and stops at an opening."""
    w, d, t = wide, deep, THICK
    return np.array([
        [0, 0, w, 0], [t, t, split, t], [split + t, t, w, t], [w, 0, w, t],
        [0, 0, 0, d], [t, t, t, d], [0, d, t, d],
        [split, t, split, door], [split + t, t, split + t, door], [split, door, split + t, door],
    ], float)  # fmt: skip


def turned(xy: FloatArray, angle: float) -> FloatArray:
    c, s = np.cos(angle), np.sin(angle)
    return np.asarray((xy.reshape(-1, 2) @ np.array([[c, s], [-s, c]])).reshape(-1, 4), float)


@given(
    st.floats(150, 600), st.floats(150, 600), st.floats(60, 110), st.floats(60, 140), st.floats(0, 7),
    st.lists(st.floats(0, 4.5), min_size=20, max_size=20),
)  # fmt: skip
def test_faces_that_stop_short_are_drawn_out_to_their_corners(
    wide: float, deep: float, split: float, door: float, angle: float, missing: list[float]
) -> None:
    true = turned(faces(wide, deep, split, door), angle)
    span = true[:, 2:] - true[:, :2]
    size = np.hypot(*span.T)
    unit = span / size[:, None]
    cut = np.minimum(np.array(missing).reshape(2, -1), 0.2 * size)
    drawn = np.concatenate([true[:, :2] + unit * cut[0][:, None], true[:, 2:] - unit * cut[1][:, None]], axis=1)
    assert drawn_out(drawn, INCH) == pytest.approx(true, abs=0.7)  # two misses of .3 pt that count as met


@given(st.floats(150, 600), st.floats(150, 600), st.floats(60, 110), st.floats(60, 140), st.floats(0, 7))
def test_faces_that_meet_stay_as_they_are(
    wide: float, deep: float, split: float, door: float, angle: float
) -> None:
    true = turned(faces(wide, deep, split, door), angle)
    assert drawn_out(true, INCH) == pytest.approx(true, abs=1e-9)


def test_an_opening_is_never_closed() -> None:
    """The narrowest that a house has, 12 in, at the scale at which it is drawn smallest."""
    inch = 0.375  # 1/16" = 1'-0"
    wall = np.array([[0.0, 0, 100, 0], [0, 3, 100, 3], [40, 3 + 12 * inch, 40, 60], [42, 3 + 12 * inch, 42, 60]])
    assert drawn_out(wall, inch) == pytest.approx(wall)
    assert max(MISSED_IN) < 12 and MISSED_PT > 72 / 16

"""Circles of plots on a coarse grid."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import FloatArray
from cordpath.symbols.ink.arcs import GRID, rounding
from cordpath.symbols.ink.normalise import normalise


def plotted(radius: float, chords: int, step: float, seed: int) -> tuple[FloatArray, FloatArray]:
    """A hundred circles of loose chords at odd places, rounded to a grid, and (100, 2) where their centres are."""
    corners = np.stack(np.meshgrid(np.arange(10), np.arange(10)), -1).reshape(-1, 2) * 40.0
    places = corners + np.random.default_rng(seed).uniform(30, 38, (100, 2))
    angle = np.linspace(0, 2 * np.pi, chords + 1)
    rim = places[:, None] + radius * np.c_[np.cos(angle), np.sin(angle)]
    rim = np.round(rim / step) * step
    return np.concatenate([rim[:, :-1], rim[:, 1:]], 2).reshape(-1, 4), places


@settings(max_examples=40)
@given(
    st.floats(3.5, 8.0), st.integers(10, 24), st.sampled_from([600, 300, 240, 200, 150]), st.integers(0, 10**6)
)  # fmt: skip
def test_circles_of_a_plot_are_found_however_coarse_its_grid(
    radius: float, chords: int, steps_an_inch: int, seed: int
) -> None:
    """With the residual that 1/600 in leaves, one in three was lost at 1/300 in, and nearly all at 1/150 in."""
    step = 72 / steps_an_inch
    xy, places = plotted(radius, chords, step, seed)
    ink = normalise(xy, np.full(len(xy), -1), np.ones(len(xy), bool), np.zeros((0, 4)))
    full = ink.arcs.circles[ink.arcs.circles[:, 3] > 330]
    gap = np.hypot(full[:, None, 0] - places[:, 0], full[:, None, 1] - places[:, 1])
    found = ((gap < step) & (np.abs(full[:, 2] - radius) < step)[:, None]).any(0)
    assert found.sum() >= (98 if steps_an_inch >= 200 else 85)


def test_the_step_of_coordinates_is_told_and_no_step_where_there_is_none() -> None:
    rng = np.random.default_rng(7)
    loose = rng.uniform(0, 800, (200, 4))
    assert rounding(loose) == GRID
    assert math.isclose(rounding(np.round(loose / 0.36) * 0.36), 0.36, abs_tol=1e-9)
    assert rounding(np.round(loose / 0.06) * 0.06) == GRID  # finer than is always allowed for
    assert rounding(np.round(loose / 9.0) * 9.0) == GRID  # a drawing's own spacing
    assert rounding(np.r_[np.round(loose / 0.36) * 0.36, rng.uniform(0, 800, (200, 4))]) == GRID


@pytest.mark.parametrize("corner", [6, 7, 8, 9, 10])
def test_two_circles_with_a_corner_at_one_point_of_a_plot_are_both_found(corner: int) -> None:
    """A receptacle behind a range, whose circle touches a burner: the chords of each went on as the other's."""
    angle = np.linspace(0, 2 * np.pi, 17)
    shape = np.c_[np.cos(angle), np.sin(angle)]
    burner = np.array([67.4, 27.86]) + 3.0 * shape
    receptacle = burner[0] + 2.43 * (shape - shape[corner])
    rims = [np.round(rim / GRID) * GRID for rim in (burner, receptacle)]
    xy = np.concatenate([np.concatenate([rim[:-1], rim[1:]], 1) for rim in rims])
    ink = normalise(xy, np.full(len(xy), -1), np.ones(len(xy), bool), np.zeros((0, 4)))
    full = ink.arcs.circles[ink.arcs.circles[:, 3] > 330]
    assert sorted(full[:, 2].round(1)) == pytest.approx([2.4, 3.0], abs=0.11)


@pytest.mark.parametrize("chord", [0, 16, 32, 48])
def test_two_circles_that_share_a_chord_on_a_plot_are_both_found(chord: int) -> None:
    """Two receptacles side by side touch: of the chords that fall on each other one is left, and it led the
    chain of one circle into the other's.  Neither was found, nor told."""
    angle = np.linspace(0, 2 * np.pi, 65) + 0.1
    shape = 7.0 * np.c_[np.cos(angle), np.sin(angle)]
    beside = shape - 2 * shape[chord : chord + 2].mean(0)
    rims = [np.round((rim + 300.0) / GRID) * GRID for rim in (shape, beside)]
    xy = np.concatenate([np.concatenate([rim[:-1], rim[1:]], 1) for rim in rims])
    ink = normalise(xy, np.full(len(xy), -1), np.ones(len(xy), bool), np.zeros((0, 4)))
    full = ink.arcs.circles[ink.arcs.circles[:, 3] > 330]
    assert full[:, 2] == pytest.approx([7.0, 7.0], abs=0.11)


KAPPA = 4 * (math.sqrt(2) - 1) / 3  # of the radius: how far the handles of a quarter circle's Bezier curve reach


def of_beziers(middle: FloatArray, radius: float, turn: float) -> FloatArray:
    """(44, 4) chords of a circle drawn as four Bezier curves, whose points are rounded to the plotter's grid."""
    t = np.linspace(0, 1, 12)[:, None]
    quarters = []
    for a in turn + np.arange(4) * math.pi / 2:
        c, s = math.cos(a), math.sin(a)
        handles = middle + radius * np.array([(1, 0), (1, KAPPA), (KAPPA, 1), (0, 1)]) @ np.array([(c, s), (-s, c)])
        p = np.round(handles / GRID) * GRID
        points = (1 - t) ** 3 * p[0] + 3 * (1 - t) ** 2 * t * p[1] + 3 * (1 - t) * t**2 * p[2] + t**3 * p[3]
        quarters.append(np.c_[points[:-1], points[1:]])
    return np.concatenate(quarters)


def test_circles_of_bezier_curves_that_cross_are_both_found() -> None:
    """Where a chord of the one ended on a corner of the other, the quarters of a circle were four arcs that no
    circle fitted together, and the outlet was taken for its half-painted twin, whose paint has edges."""
    rng = np.random.default_rng(0)
    for _ in range(60):
        middle, turn, apart = 100 + rng.uniform(0, 1, 2), rng.uniform(0, math.pi / 2), rng.uniform(1, 3)
        way = rng.uniform(0, 2 * math.pi)
        other = middle + apart * np.array([math.cos(way), math.sin(way)])
        xy = np.concatenate([of_beziers(middle, 6.0, turn), of_beziers(other, 6.0, 0.0)])
        ink = normalise(xy, np.repeat(np.arange(8), 11), np.ones(88, bool), np.zeros((0, 4)))
        assert (ink.arcs.circles[:, 3] > 330).sum() == 2

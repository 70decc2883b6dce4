"""A step of the plotter's grid in the midst of a line is no end of the line."""

from __future__ import annotations

import math

import numpy as np
import pytest

from cordpath.model import PolylineMark
from cordpath.symbols import spot
from cordpath.symbols.ink.normalise import Ink, normalise
from symbols.test_spot import GRID, entry, rules, sheet_of

# Three sides of a box, turned and rounded: the longest side is drawn in three pieces and a step.
OPEN_BOX = PolylineMark(((-0.0833, -0.0583), (-0.0833, 0.0583), (0.0833, 0.0583), (0.0833, -0.0583)), closed=False)
PLOTTED = [
    (2415.6, 783.48, 2412.96, 777.24),
    (2412.6, 790.32, 2415.36, 789.24),
    (2409.48, 778.68, 2405.16, 780.48),
    (2415.36, 789.24, 2417.52, 788.28),
    (2412.96, 777.24, 2411.16, 777.96),
    (2417.52, 788.28, 2415.6, 783.6),
    (2411.16, 777.96, 2409.48, 778.68),
    (2415.6, 783.6, 2415.6, 783.48),
    (2409.84, 791.52, 2412.6, 790.32),
]
# The same in pieces, one of them of half a point (random pair 2831).
SPLINTERED = [
    (201.6, 217.92, 200.52, 218.64),
    (197.88, 224.04, 196.2, 221.28),
    (205.8, 231.84, 208.44, 230.16),
    (197.88, 224.04, 198.12, 224.52),
    (205.8, 231.84, 203.52, 233.28),
    (204.48, 216.12, 201.6, 217.92),
    (200.52, 218.64, 196.2, 221.28),
    (208.44, 230.16, 211.8, 228.12),
    (198.12, 224.52, 203.52, 233.28),
]


def ink_of(xy: np.ndarray) -> Ink:
    n = len(xy)
    return normalise(xy, np.full(n, -1), np.ones(n, bool), np.zeros((0, 4)))


def stepped(turn: float, step: tuple[float, float], backwards: bool = False) -> np.ndarray:
    """A line of 6 pt, a step, and a line of 9 pt that turns off by some degrees."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    at = np.cumsum([(10.0, 10.0), (6.0, 0.0), step, (9 * c, 9 * s)], axis=0)
    xy = np.c_[at[:-1], at[1:]]
    return xy[::-1, [2, 3, 0, 1]] if backwards else xy


@pytest.mark.parametrize("backwards", [False, True])
@pytest.mark.parametrize("step", [(0.0, GRID), (GRID, GRID), (GRID, 0.0), (GRID, -GRID), (0.5, 0.06)])
def test_a_step_of_the_grid_is_bridged(step: tuple[float, float], backwards: bool) -> None:
    ink = ink_of(stepped(0.0, step, backwards))
    assert len(set(ink.run_of.tolist())) == 1 and ink.run[0] == pytest.approx(15.0 + step[0], abs=0.2)


@pytest.mark.parametrize(("turn", "step"), [(12.0, (0.0, GRID)), (90.0, (0.0, GRID)), (0.0, (0.0, 3 * GRID)),
                                            (0.0, (1.0, 1.0)), (0.0, (0.5, 0.3))])  # fmt: skip
def test_a_turn_or_a_longer_step_is_not(turn: float, step: tuple[float, float]) -> None:
    ink = ink_of(stepped(turn, step))
    assert len(set(ink.run_of.tolist())) > 1 and ink.run.max() < 10.0


@pytest.mark.parametrize(("plotted", "size"), [(PLOTTED, 1.0), (SPLINTERED, 7 / 6)])
def test_an_open_box_with_a_step_in_its_longest_side_is_not_lost(
    plotted: list[tuple[float, float, float, float]], size: float
) -> None:
    xy = np.array(plotted) - (np.floor(plotted[0][:2]) - [100.0, 100.0]).tolist() * 2
    box = PolylineMark(tuple((x * size, y * size) for x, y in OPEN_BOX.points), closed=False)
    assert len(spot(sheet_of(xy), rules(entry("open box", (box,))), ()).symbols) == 1

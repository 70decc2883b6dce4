"""Circles with bars that nothing explains: outlets of a design that no entry names, however few.

A shape that is drawn once or twice may be anything, and over a counter's line it hangs together with the counter.
But two short lines alike, side by side about the middle of a circle of a device's size, is how receptacles are
drawn in most offices, and little else is (common practice, no source).

Terms: *bar*, a straight run of a device's length that crosses a circle beside its middle.  *Stem*, one that runs
towards its middle.  *Stub*, a short one that begins on the circle and leads out of it.
"""

from __future__ import annotations

import numpy as np

from cordpath.geometry import distances, from_the_top
from cordpath.model import BoolArray, FloatArray, IntArray, LabelEntry, Point, Sheet, Unexplained
from cordpath.symbols.context import Walls
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.labels.words import read
from cordpath.symbols.unexplained.circles import ALIKE, LONG, Runs, outermost, runs_near

# Of the radius, from the middle of the circle to a bar; two bars lie as far from it but for ALIKE.
BESIDE = 0.1, 0.8
# Bars are parallel: directions of strokes of 10 pt on a grid of 1/600 in are so sure.
LEVEL = np.cos(np.radians(4.0))
STUB = 0.3  # of the radius: least length of a stub; shorter ones are no longer than they are far from the circle
TAG = 3.0  # radii, and of the text size: a device's label stands so near its middle
ON_WALL = 1.5  # pt from a stem's end to the wall that it stands on


def barred_circles(
    circles: FloatArray, ink: Ink, sheet: Sheet, walls: Walls, labels: tuple[LabelEntry, ...]
) -> FloatArray:
    """(n, 3) middle and radius of those of the circles that are drawn like an outlet."""
    like = _outlet_like(circles, ink, sheet, walls, labels)
    circles = circles[like]
    return circles[outermost(circles)]


def told_barred(circles: FloatArray, known: list[Point]) -> tuple[Unexplained, ...]:
    """What to say of those that are not told yet; ``known``: places of what is."""
    if not len(circles):
        return ()
    circles = circles[distances(circles[:, :2], known) > 1.5 * circles[:, 2]]
    at = from_the_top(circles[:, :2])
    if not at:
        return ()
    one = "a circle with bars, like an outlet,"
    several = f"{len(at)} circles with bars, like outlets," if len(at) > 1 else one
    return (Unexplained(f"{several} that the mapping file does not name", at),)


def _outlet_like(
    circles: FloatArray, ink: Ink, sheet: Sheet, walls: Walls, labels: tuple[LabelEntry, ...]
) -> BoolArray:
    """(n,) circles with two bars, or with a stem to a wall and a device's label."""
    runs = runs_near(circles, ink)
    like = np.zeros(len(circles), bool)
    like[with_bars(runs)] = True
    like[with_bars(_stubs(runs_near(circles, ink, STUB)))] = True
    for k in np.unique(on_wall_stems(runs.take(~like[runs.of]), circles, walls)).tolist():
        like[k] = _labelled(circles[k], sheet, labels)
    return like


def _stubs(runs: Runs) -> Runs:
    near, far = np.hypot(*runs.near.T), np.hypot(*runs.far.T)
    return runs.take((np.abs(near - runs.radius) <= ALIKE * runs.radius) & (far >= (1 + STUB / 2) * runs.radius))


def with_bars(runs: Runs) -> IntArray:
    """Circles with two parallel runs as far from the middle, on either side of it, that end as far out."""
    off = np.abs(runs.aside)
    bars = runs.take((off >= BESIDE[0] * runs.radius) & (off <= BESIDE[1] * runs.radius))
    begin = np.searchsorted(bars.of, bars.of)
    before = np.arange(len(bars.of)) - begin  # bars of the same circle that come before each
    two = np.repeat(np.arange(len(before)), before)
    one = begin[two] + np.arange(len(two)) - np.repeat(np.cumsum(before) - before, before)
    along = (bars.unit[one] * bars.unit[two]).sum(axis=1)
    slack = ALIKE * bars.radius[one]
    alike = (np.abs(along) >= LEVEL) & (np.abs(bars.aside[one] + np.sign(along) * bars.aside[two]) <= slack)
    one, two, slack = one[alike], two[alike], slack[alike]
    axis = bars.unit[one]
    ends = [
        np.sort(np.c_[(bars.near[k] * axis).sum(axis=1), (bars.far[k] * axis).sum(axis=1)], axis=1)
        for k in (one, two)
    ]
    level = (np.abs(ends[0] - ends[1]) <= 2 * slack[:, None]).all(axis=1)
    return bars.of[one[level]]


def on_wall_stems(runs: Runs, circles: FloatArray, walls: Walls) -> IntArray:
    """Circles with a run from the circle, towards whose middle it points, to something wall-like."""
    off = np.abs(np.hypot(*runs.near.T) - runs.radius)
    stems = runs.take((np.abs(runs.aside) <= ALIKE * runs.radius) & (off <= 2 * ALIKE * runs.radius))
    if not len(stems.of) or not len(walls.runs):
        return np.zeros(0, np.int64)
    stem, wall = walls.grid.near(stems.far + circles[stems.of, :2], ON_WALL)
    return stems.of[stem[walls.length[wall] > LONG * stems.radius[stem]]]


def _labelled(circle: FloatArray, sheet: Sheet, labels: tuple[LabelEntry, ...]) -> bool:
    """Is a circuit tag or a mark of protection beside it?"""
    size = np.array([word.size for word in sheet.words])
    away = np.hypot(*(sheet.words_at - circle[:2]).T)
    said = [read(sheet.words[k].text, labels) for k in np.flatnonzero(away <= TAG * np.maximum(circle[2], size))]
    return any(each is not None and each.kind in ("circuit", "protection") for each in said)

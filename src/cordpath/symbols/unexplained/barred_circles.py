"""Circles with bars that nothing explains: outlets of a design that the mapping file lacks, however few are drawn.

A shape that is drawn once or twice may be anything, and over a counter's line it hangs together with the counter.
But two short lines alike, side by side about the middle of a circle of a device's size, is how receptacles are
drawn in most offices, and little else is (common practice, no source).

Terms: *bar*, a straight run of a device's length that crosses a circle beside its middle.  *Stem*, one that runs
towards its middle.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
import shapely

from cordpath.model import BoolArray, FloatArray, IntArray, LabelEntry, Point, Sheet, Symbol, Unexplained
from cordpath.symbols.context import Walls, on_plan
from cordpath.symbols.ink.grid import sorted_unique, within
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.labels.words import read

# Devices are drawn with 0.05 to 0.14 in of radius, or half of it on a reduced print, less what chords cut off.
RADIUS = 1.7, 10.0  # pt on paper
WHOLE = 295.0  # degrees of the circle that are drawn
WITHIN = 0.6  # of the radius: a device whose outline lies so near the middle explains the circle
BESIDE = 0.1, 0.8  # of the radius: from the middle of the circle to a bar
SHORT, LONG = 0.8, 6.0  # of the radius: length of a bar; walls, frames and centre lines are longer
ALIKE = 0.15  # of the radius: two bars lie as far from the middle, and end as far out
# Bars are parallel: directions of strokes of 10 pt on a grid of 1/600 in are so sure.
LEVEL = np.cos(np.radians(4.0))
TAG = 3.0  # radii, and of the text size: a device's label stands so near its middle
ON_WALL = 1.5  # pt from a stem's end to the wall that it stands on
MOSTLY = 0.5  # of the chords of a circle
MOST = 2000  # circles of a sheet: more of them are a pattern


def barred_circles(
    ink: Ink, sheet: Sheet, symbols: tuple[Symbol, ...], walls: Walls, labels: tuple[LabelEntry, ...]
) -> FloatArray:
    """(n, 3) middle and radius of circles drawn like an outlet that none of ``symbols`` explains."""
    circles = ink.arcs.circles
    fit = (circles[:, 2] >= RADIUS[0]) & (circles[:, 2] <= RADIUS[1]) & (circles[:, 3] >= WHOLE)
    if not fit.any() or fit.sum() > MOST:
        return np.zeros((0, 3))
    circles = circles[fit & ~_owned(ink, symbols), :3]
    home = np.array([on_plan((x, y), sheet) for x, y, _ in circles.tolist()], bool)
    circles = circles[home & ~_explained(circles, symbols) & ~_numbered(circles, sheet)]
    like = _outlet_like(circles, ink, sheet, walls, labels)
    return _outermost(circles[like])


def told_circles(circles: FloatArray, known: list[Point]) -> tuple[Unexplained, ...]:
    """What to say of those that are not told yet; ``known``: places of what is."""
    if not len(circles):
        return ()
    if known:
        away = np.hypot(*(circles[:, None, :2] - np.array(known)[None]).transpose(2, 0, 1)).min(axis=1)
        circles = circles[away > 1.5 * circles[:, 2]]
    at = sorted(((float(x), float(y)) for x, y, _ in circles), key=lambda place: (place[1], place[0]))
    if not at:
        return ()
    one = "a circle with bars, like an outlet,"
    several = f"{len(at)} circles with bars, like outlets," if len(at) > 1 else one
    return (Unexplained(f"{several} that the mapping file does not name", tuple(at)),)


def boxes_of(circles: FloatArray) -> FloatArray:
    """(n, 4)"""
    middle, radius = circles[:, :2], circles[:, 2:3]
    return np.c_[middle - radius, middle + radius]


def _owned(ink: Ink, symbols: tuple[Symbol, ...]) -> BoolArray:
    """(m,) of the ink's circles: True where most of its chords are strokes of symbols."""
    mine = np.zeros(len(ink.segment_of), bool)
    for symbol in symbols:
        mine[symbol.strokes] = True
    arcs, count = ink.arcs, len(ink.arcs.circles)
    drawn = arcs.stroke < ink.count
    circle, chord = arcs.circle[drawn], arcs.stroke[drawn]
    owned = np.bincount(circle, mine[ink.stroke[chord]], count)
    return np.asarray(owned > MOSTLY * np.bincount(circle, minlength=count), bool)


def _explained(circles: FloatArray, symbols: tuple[Symbol, ...]) -> BoolArray:
    """(n,) True for what stands in a device, or in something of the building that no entry names.

    The footprint of a fixture that was found explains nothing: outlets are drawn over ranges and dryers.
    """
    found = np.zeros(len(circles), bool)
    if not symbols or not len(circles):
        return found
    devices = [s.footprint for s in symbols if s.entry.size == "plotted" or s.unnamed]
    middles = shapely.points(circles[:, :2])
    circle, _ = shapely.STRtree(devices).query(middles, predicate="dwithin", distance=circles[:, 2] * WITHIN)
    found[circle] = True
    return found


def _numbered(circles: FloatArray, sheet: Sheet) -> BoolArray:
    """(n,) True for bubbles: a number inside."""
    found = np.zeros(len(circles), bool)
    at = np.array([word.at for word in sheet.words if word.text.strip().isdigit()]).reshape(-1, 2)
    if len(at) and len(circles):
        away = np.hypot(*(circles[:, None, :2] - at[None]).transpose(2, 0, 1))
        found = (away <= circles[:, 2:3]).any(axis=1)
    return found


@dataclass(frozen=True, eq=False)
class _Runs:
    """Straight runs of a bar's length that come to circles, the end nearer to the circle's middle first."""

    of: IntArray  # (k,) the circle of each, ascending
    radius: FloatArray  # (k,) of the circle
    near: FloatArray  # (k, 2) the nearer end, from the middle
    far: FloatArray  # (k, 2) the farther end, from the middle
    unit: FloatArray  # (k, 2) from near to far
    aside: FloatArray  # (k,) how far the run's line passes the middle, to one side of it or the other

    def take(self, which: BoolArray) -> _Runs:
        kept = (getattr(self, field.name)[which] for field in fields(self))
        return _Runs(*kept)


def _outlet_like(
    circles: FloatArray, ink: Ink, sheet: Sheet, walls: Walls, labels: tuple[LabelEntry, ...]
) -> BoolArray:
    """(n,) circles with two bars, or with a stem to a wall and a device's label."""
    runs = _runs_near(circles, ink)
    like = np.zeros(len(circles), bool)
    like[_with_bars(runs)] = True
    for k in np.unique(_with_stem(runs.take(~like[runs.of]), circles, walls)).tolist():
        like[k] = _labelled(circles[k], sheet, labels)
    return like


def _runs_near(circles: FloatArray, ink: Ink) -> _Runs:
    circle, near = ink.grid.near(circles[:, :2], (1 + ALIKE) * float(circles[:, 2].max(initial=0.0)))
    straight = np.flatnonzero(near < ink.count)
    straight = straight[~ink.curved[near[straight]] & ~ink.hatch[near[straight]]]
    circle, near = circle[straight], near[straight]
    close = within(ink.xy[near], circles[circle, :2], (1 + ALIKE) * circles[circle, 2])  # chords cut corners
    count = len(ink.runs)
    key = sorted_unique(circle[close] * count + ink.run_of[near[close]])
    of, run = key // max(count, 1), key % max(count, 1)
    radius, length = circles[of, 2], ink.run_lengths[run]
    fit = (length >= SHORT * radius) & (length <= LONG * radius)
    of, radius, run = of[fit], radius[fit], run[fit]
    ends = ink.runs[run].reshape(-1, 2, 2) - circles[of, None, :2]
    away = np.hypot(ends[..., 0], ends[..., 1])
    turned = away[:, 0] > away[:, 1]
    ends[turned] = ends[turned][:, ::-1]
    first, last = ends[:, 0], ends[:, 1]
    unit = (last - first) / length[fit][:, None]
    return _Runs(of, radius, first, last, unit, unit[:, 0] * first[:, 1] - unit[:, 1] * first[:, 0])


def _with_bars(runs: _Runs) -> IntArray:
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


def _with_stem(runs: _Runs, circles: FloatArray, walls: Walls) -> IntArray:
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


def _outermost(circles: FloatArray) -> FloatArray:
    """One of each middle: a ring in a ring is one device."""
    kept: list[FloatArray] = []
    for circle in circles[np.argsort(-circles[:, 2], kind="stable")]:
        if all(np.hypot(*(circle[:2] - other[:2])) > other[2] for other in kept):
            kept.append(circle)
    return np.array(kept).reshape(-1, 3)

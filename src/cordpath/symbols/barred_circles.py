"""Circles with bars that nothing explains: outlets of a design that the mapping file lacks, however few are drawn.

A shape that is drawn once or twice may be anything, and over a counter's line it hangs together with the counter.
But two short lines alike, side by side about the middle of a circle of a device's size, is how receptacles are
drawn in most offices, and little else is (common practice, no source).

Terms: *bar*, a straight run of a device's length that crosses a circle beside its middle.  *Stem*, one that runs
towards its middle.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.geometry import lengths
from cordpath.model import BoolArray, FloatArray, LabelEntry, Point, Sheet, Symbol, Unexplained
from cordpath.symbols.context import Walls, on_plan
from cordpath.symbols.label_words import read
from cordpath.symbols.normalise import Ink

RADIUS = (
    1.9,
    10.0,
)  # pt on paper: devices are drawn with 0.05 to 0.14 in of radius, or half of it on a reduced print
WHOLE = 295.0  # degrees of the circle that are drawn
WITHIN = 0.6  # of the radius: a device whose outline lies so near the middle explains the circle
BESIDE = 0.1, 0.8  # of the radius: from the middle of the circle to a bar
SHORT, LONG = 0.8, 6.0  # of the radius: length of a bar; walls, frames and centre lines are longer
ALIKE = 0.15  # of the radius: two bars lie as far from the middle, and end as far out
LEVEL = np.cos(
    np.radians(4.0)
)  # bars are parallel: directions of strokes of 10 pt on a grid of 1/600 in are so sure
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
    like = [_is_outlet_like(circle, ink, sheet, walls, labels) for circle in circles]
    return _outermost(circles[np.array(like, bool)])


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
    middles = shapely.points(circles[:, :2])
    for symbol in symbols:
        if symbol.entry.size == "plotted" or symbol.unnamed:
            found |= shapely.distance(symbol.footprint, middles) <= circles[:, 2] * WITHIN
    return found


def _numbered(circles: FloatArray, sheet: Sheet) -> BoolArray:
    """(n,) True for bubbles: a number inside."""
    found = np.zeros(len(circles), bool)
    at = np.array([word.at for word in sheet.words if word.text.strip().isdigit()]).reshape(-1, 2)
    if len(at) and len(circles):
        away = np.hypot(*(circles[:, None, :2] - at[None]).transpose(2, 0, 1))
        found = (away <= circles[:, 2:3]).any(axis=1)
    return found


def _is_outlet_like(
    circle: FloatArray, ink: Ink, sheet: Sheet, walls: Walls, labels: tuple[LabelEntry, ...]
) -> bool:
    runs = _runs_near(circle, ink)
    if not len(runs):
        return False
    if _has_bars(circle, runs):
        return True
    return _has_stem(circle, runs, walls) and _labelled(circle, sheet, labels)


def _runs_near(circle: FloatArray, ink: Ink) -> FloatArray:
    """(k, 4) straight runs of a bar's length that come to the circle, the end nearer to its middle first."""
    _, near = ink.grid.near(circle[None, :2], float(circle[2]))
    near = np.unique(near[near < ink.count])
    near = near[~ink.curved[near] & ~ink.hatch[near]]
    runs = ink.runs[np.unique(ink.run_of[near])]
    length = lengths(runs)
    runs = runs[(length >= SHORT * circle[2]) & (length <= LONG * circle[2])]
    ends = runs.reshape(-1, 2, 2)
    far = np.hypot(*(ends - circle[:2]).transpose(2, 0, 1))
    turned = far[:, 0] > far[:, 1]
    runs[turned] = runs[turned][:, [2, 3, 0, 1]]
    return runs


def _has_bars(circle: FloatArray, runs: FloatArray) -> bool:
    """Two parallel runs as far from the middle, on either side of it, that end as far out."""
    unit = (runs[:, 2:] - runs[:, :2]) / lengths(runs)[:, None]
    from_middle = runs[:, :2] - circle[:2]
    aside = unit[:, 0] * from_middle[:, 1] - unit[:, 1] * from_middle[:, 0]
    near, far = ((runs[:, k : k + 2] - circle[:2]) for k in (0, 2))
    slack = ALIKE * circle[2]
    off = np.abs(aside)
    bar = (off >= BESIDE[0] * circle[2]) & (off <= BESIDE[1] * circle[2])
    one, two = np.nonzero(np.triu(bar[:, None] & bar[None] & (np.abs(unit @ unit.T) >= LEVEL), 1))
    if not len(one):
        return False
    same = np.sign((unit[one] * unit[two]).sum(axis=1))
    opposite = np.abs(aside[one] + same * aside[two]) <= slack
    axis = unit[one]
    ends = [np.sort(np.c_[(near[k] * axis).sum(axis=1), (far[k] * axis).sum(axis=1)], axis=1) for k in (one, two)]
    alike = (np.abs(ends[0] - ends[1]) <= 2 * slack).all(axis=1)
    return bool((opposite & alike).any())


def _has_stem(circle: FloatArray, runs: FloatArray, walls: Walls) -> bool:
    """A run from the circle, towards whose middle it points, to something wall-like."""
    unit = (runs[:, 2:] - runs[:, :2]) / lengths(runs)[:, None]
    from_middle = runs[:, :2] - circle[:2]
    aside = np.abs(unit[:, 0] * from_middle[:, 1] - unit[:, 1] * from_middle[:, 0])
    starts = np.abs(np.hypot(*from_middle.T) - circle[2]) <= 2 * ALIKE * circle[2]
    stems = runs[(aside <= ALIKE * circle[2]) & starts]
    if not len(stems) or not len(walls.runs):
        return False
    _, near = walls.grid.near(stems[:, 2:], ON_WALL)
    near = np.unique(near)
    lines = shapely.linestrings(walls.runs[near[walls.length[near] > LONG * circle[2]]].reshape(-1, 2, 2))
    return bool((shapely.distance(lines[:, None], shapely.points(stems[:, 2:])[None]) <= ON_WALL).any())


def _labelled(circle: FloatArray, sheet: Sheet, labels: tuple[LabelEntry, ...]) -> bool:
    """Is a circuit tag or a mark of protection beside it?"""
    for word in sheet.words:
        if np.hypot(word.at[0] - circle[0], word.at[1] - circle[1]) <= TAG * max(float(circle[2]), word.size):
            said = read(word.text, labels)
            if said is not None and said.kind in ("circuit", "protection"):
                return True
    return False


def _outermost(circles: FloatArray) -> FloatArray:
    """One of each middle: a ring in a ring is one device."""
    kept: list[FloatArray] = []
    for circle in circles[np.argsort(-circles[:, 2], kind="stable")]:
        if all(np.hypot(*(circle[:2] - other[:2])) > other[2] for other in kept):
            kept.append(circle)
    return np.array(kept).reshape(-1, 3)

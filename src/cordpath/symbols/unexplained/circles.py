"""Circles of a device's size that nothing explains, and the straight runs that come to them.

Terms: *run*, a straight line of a bar's length, whatever strokes it is drawn in.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath.geometry import from_the_top
from cordpath.model import BoolArray, FloatArray, IntArray, Sheet, Symbol, TextMark, Unexplained
from cordpath.symbols.context import on_plan
from cordpath.symbols.ink.grid import sorted_unique, within
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.unexplained.bubbles import in_bubbles

# Devices are drawn with 0.05 to 0.14 in of radius, or half of it on a reduced print, less what chords cut off.
RADIUS = 1.2, 10.0  # pt on paper
LARGEST = 40.0  # pt: the same on a print of four times the size, from ANSI A (8.5 in) to E (34 in); from memory
WHOLE = 295.0  # degrees of the circle that are drawn
WITHIN = 0.6  # of the radius: a device whose outline lies so near the middle explains the circle
SHORT, LONG = 0.8, 6.0  # of the radius: length of a bar; walls, frames and centre lines are longer
ALIKE = 0.15  # of the radius: ends and lines lie where they are looked for
MOSTLY = 0.5  # of the chords of a circle
ROUND = 0.94  # of a circle's area for the length around it: a polygon of eight sides has 0.948
HOLLOW = 0.4  # of the area inside its outline, that a ring leaves free; what is broader is a mark or a dot
MOST = 2000  # circles of a sheet: more of them are a pattern
PLACE = 144.0  # pt: circles of a pattern are told by squares of 2 in


@dataclass(frozen=True, eq=False)
class Free:
    """Circles (n, 3), middle and radius, that nothing explains: of a device's size, larger ones, and those of a
    sheet with too many of them to look at each."""

    devices: FloatArray
    larger: FloatArray
    pattern: FloatArray


def free_circles(ink: Ink, paint: Paint, sheet: Sheet, symbols: tuple[Symbol, ...]) -> Free:
    """The circles on the plans, drawn by a pen or as an area between two circles, that none of ``symbols`` explains
    and no number makes a bubble."""
    arcs = ink.arcs.circles
    circles = np.r_[arcs[(arcs[:, 3] >= WHOLE) & ~_owned(ink, symbols), :3], _rings(paint)]
    circles = circles[(circles[:, 2] >= RADIUS[0]) & (circles[:, 2] <= LARGEST)]
    home = np.array([on_plan((x, y), sheet) for x, y, _ in circles.tolist()], bool)
    free = circles[home & ~_explained(circles, symbols) & ~_numbered(circles, sheet)]
    small = free[:, 2] <= RADIUS[1]
    none = np.zeros((0, 3))
    if small.sum() > MOST:
        return Free(none, free[~small], free[small])
    return Free(free[small], free[~small], none)


def told_pattern(pattern: FloatArray) -> tuple[Unexplained, ...]:
    """What to say of so many circles that none of them was looked at."""
    if not len(pattern):
        return ()
    middle = (np.unique(np.floor(pattern[:, :2] / PLACE), axis=0) + 0.5) * PLACE
    at = from_the_top(middle)
    what = f"{len(pattern)} circles of a device's size that nothing explains: too many to look at each"
    return (Unexplained(what, at),)


def _rings(paint: Paint) -> FloatArray:
    """(n, 3) middle and radius of the areas that a broad pen would have drawn as circles."""
    rings = paint.shapes[shapely.get_num_interior_rings(paint.shapes) == 1]
    outer, inner = (
        shapely.polygons(shapely.get_exterior_ring(rings)),
        shapely.polygons(shapely.get_interior_ring(rings, 0)),
    )
    area, hole = shapely.area(outer), shapely.area(inner)
    round_ = np.minimum(_roundness(outer), _roundness(inner)) >= ROUND
    middle = shapely.get_coordinates(shapely.centroid(outer)).reshape(-1, 2)
    radius = (np.sqrt(area / np.pi) + np.sqrt(hole / np.pi)) / 2
    apart = shapely.distance(shapely.centroid(outer), shapely.centroid(inner))
    fit = round_ & (hole >= HOLLOW * area) & (apart <= ALIKE * radius)
    return np.c_[middle, radius][fit]


def _roundness(area: NDArray[np.object_]) -> FloatArray:
    """(n,) 1 for circles, pi / 4 for squares."""
    return np.asarray(4 * np.pi * shapely.area(area) / np.maximum(shapely.length(area), 1e-9) ** 2, float)


def _owned(ink: Ink, symbols: tuple[Symbol, ...]) -> BoolArray:
    """(m,) of the ink's circles: True where most of its chords are strokes of symbols.

    An appliance that is told by its letters in a plain box has all ink in the box, outlets that are drawn over it
    as well: of circles only the one about its middle is its own, the drum of a washer or a ring about its letters.
    """
    mine = np.zeros(len(ink.segment_of), bool)
    boxes = [symbol for symbol in symbols if _lettered_box(symbol)]
    for symbol in symbols:
        if not _lettered_box(symbol):
            mine[symbol.strokes] = True
    arcs, count = ink.arcs, len(ink.arcs.circles)
    drawn = arcs.stroke < ink.count
    circle, chord = arcs.circle[drawn], arcs.stroke[drawn]
    owned = np.bincount(circle, mine[ink.stroke[chord]], count) > MOSTLY * np.bincount(circle, minlength=count)
    for box in boxes:
        owned |= np.hypot(*(arcs.circles[:, :2] - box.at).T) < arcs.circles[:, 2]
    return np.asarray(owned, bool)


def _lettered_box(symbol: Symbol) -> bool:
    return symbol.entry.usual and any(isinstance(mark, TextMark) for mark in symbol.entry.shape or ())


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
    """(n,) True for bubbles: a number inside, or a grid's letter."""
    at = sheet.words_at[in_bubbles(sheet)]
    if not len(at) or not len(circles):
        return np.zeros(len(circles), bool)
    return np.asarray(cKDTree(at).query(circles[:, :2])[0] <= circles[:, 2])


@dataclass(frozen=True, eq=False)
class Runs:
    """Straight runs of a bar's length that come to circles, the end nearer to the circle's middle first."""

    of: IntArray  # (k,) the circle of each, ascending
    radius: FloatArray  # (k,) of the circle
    near: FloatArray  # (k, 2) the nearer end, from the middle
    far: FloatArray  # (k, 2) the farther end, from the middle
    unit: FloatArray  # (k, 2) from near to far
    aside: FloatArray  # (k,) how far the run's line passes the middle, to one side of it or the other

    def take(self, which: BoolArray) -> Runs:
        kept = (getattr(self, field.name)[which] for field in fields(self))
        return Runs(*kept)


def runs_near(circles: FloatArray, ink: Ink, shortest: float = SHORT) -> Runs:
    """The straight runs of a bar's length that come to (n, 3) circles; ``shortest``: of the radius."""
    circle, near = ink.grid.near(circles[:, :2], (1 + ALIKE) * float(circles[:, 2].max(initial=0.0)))
    straight = np.flatnonzero(near < ink.count)
    straight = straight[~ink.curved[near[straight]] & ~ink.hatch[near[straight]]]
    circle, near = circle[straight], near[straight]
    close = within(ink.xy[near], circles[circle, :2], (1 + ALIKE) * circles[circle, 2])  # chords cut corners
    count = len(ink.runs)
    key = sorted_unique(circle[close] * count + ink.run_of[near[close]])
    of, run = key // max(count, 1), key % max(count, 1)
    radius, length = circles[of, 2], ink.run_lengths[run]
    fit = (length >= shortest * radius) & (length <= LONG * radius)
    of, radius, run = of[fit], radius[fit], run[fit]
    ends = ink.runs[run].reshape(-1, 2, 2) - circles[of, None, :2]
    away = np.hypot(ends[..., 0], ends[..., 1])
    turned = away[:, 0] > away[:, 1]
    ends[turned] = ends[turned][:, ::-1]
    first, last = ends[:, 0], ends[:, 1]
    unit = (last - first) / length[fit][:, None]
    return Runs(of, radius, first, last, unit, unit[:, 0] * first[:, 1] - unit[:, 1] * first[:, 0])


def outermost(circles: FloatArray) -> IntArray:
    """Numbers of the (n, 3) circles, one of each middle: a ring in a ring is one device."""
    kept: list[int] = []
    for k in np.argsort(-circles[:, 2], kind="stable").tolist():
        if all(np.hypot(*(circles[k, :2] - circles[other, :2])) > circles[other, 2] for other in kept):
            kept.append(k)
    return np.array(kept, np.int64)


def boxes_of(circles: FloatArray) -> FloatArray:
    """(n, 4)"""
    middle, radius = circles[:, :2], circles[:, 2:3]
    return np.c_[middle - radius, middle + radius]

"""Solid boxes and triangles of a device's size on short stems, or half filled, that nothing explains.

A solid box alone is a post or a column, a solid triangle an arrowhead: its line comes to its base.  Of a device the
stem goes on from the triangle's tip, and from a box at a right angle (common practice, no source).  So it does of
outlined triangles that are as small as arrowheads.

Terms: *stem*, a line of which one end lies on the edge of the area, which points to its middle and ends near it.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import distances, from_the_top, lengths
from cordpath.model import BoolArray, FloatArray, Point, Sheet, Symbol, Unexplained
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.ink.row_fills import painted_by_rows
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.unexplained.circles import RADIUS
from cordpath.symbols.unexplained.closed_bodies import painted_share
from cordpath.symbols.unexplained.left_ink import accounted
from cordpath.symbols.unexplained.unexplained import Left, times_drawn

SMALLEST = 5.0  # pt across: smaller solid shapes are arrowheads, dots and letters
SLENDER = 1.4  # times as long as wide: solid ends of walls and arrowheads of most offices are longer
FULL = 0.93  # of a rectangle or a triangle that is painted: corners are rounded or lack a row
MEET = 0.5  # pt between the stem's end and the edge: half a pen, and a row
STEM = 0.25, 1.5  # of its size: a shorter line is a speck, a longer one a leader or a wire
HALF = 0.3, 0.7  # of a triangle that is painted: an arrowhead is solid, or empty
AIMED = 0.15  # of its size, by which a stem misses the middle


def told_solid(
    left: Left, ink: Ink, paint: Paint, sheet: Sheet, symbols: tuple[Symbol, ...], known: list[Point]
) -> tuple[Unexplained, ...]:
    """What to say of those that are not told yet; ``known``: places of what is."""
    rows = np.array(painted_by_rows(ink.xy[: ink.count], 2 * RADIUS[1]), dtype=object)
    painted = np.r_[paint.shapes, rows]
    solid = _sized(np.r_[painted, left.heads])
    middle = shapely.get_coordinates(shapely.centroid(solid))
    free = ~accounted(middle, sheet, symbols) & ~left.in_building(shapely.bounds(solid).reshape(-1, 4))
    free &= distances(middle, known) > RADIUS[1]
    solid, middle = solid[free], middle[free]
    at = from_the_top(middle[_on_stems(solid, middle, ink) | _half(solid, painted)])
    kinds = "a solid shape or a triangle on a stem, or one half filled"
    what = f"{kinds}, drawn {times_drawn(len(at))}, that the mapping file does not name"
    return (Unexplained(what, at),) if at else ()


def _sized(shape: NDArray[np.object_]) -> NDArray[np.object_]:
    """Those with the size of a device that are about as long as wide, and fill a rectangle or a triangle."""
    box = shapely.bounds(shape).reshape(-1, 4)
    most = (box[:, 2:] - box[:, :2]).max(axis=1)
    shape = shape[(most >= SMALLEST) & (most <= 2 * RADIUS[1])]
    around = shapely.get_coordinates(shapely.oriented_envelope(shape)).reshape(-1, 5, 2)
    sides = np.hypot(*np.diff(around[:, :3], axis=1).transpose(2, 0, 1))
    fit = (sides.min(axis=1) >= SMALLEST) & (sides.max(axis=1) <= SLENDER * sides.min(axis=1))
    share = shapely.area(shape) / np.maximum(sides.prod(axis=1), 1e-9)
    return shape[fit & ((share >= FULL) | _three_sided(share))]


def _share(shape: NDArray[np.object_]) -> FloatArray:
    """(n,) of the rectangle around each that it fills."""
    return np.asarray(shapely.area(shape) / np.maximum(shapely.area(shapely.oriented_envelope(shape)), 1e-9))


def _three_sided(share: FloatArray) -> BoolArray:
    """(n,) A triangle fills half of the rectangle around it."""
    return np.asarray(np.abs(share - 0.5) <= 1 - FULL, bool)


def _half(shape: NDArray[np.object_], painted: NDArray[np.object_]) -> BoolArray:
    """(n,) triangles of which about a half is painted."""
    part = painted_share(shape, MEET, shapely.STRtree(painted), shapely.area(painted))
    return np.asarray(_three_sided(_share(shape)) & (part >= HALF[0]) & (part <= HALF[1]), bool)


def _on_stems(solid: NDArray[np.object_], middle: FloatArray, ink: Ink) -> BoolArray:
    """(n,) those that stand on a stem."""
    found = np.zeros(len(solid), bool)
    runs = ink.runs[ink.run_lengths <= 2 * STEM[1] * RADIUS[1]]
    ends = np.concatenate([runs, runs[:, [2, 3, 0, 1]]])
    end, of = shapely.STRtree(shapely.boundary(solid)).query(
        shapely.points(ends[:, :2]), predicate="dwithin", distance=MEET
    )
    size = np.sqrt(shapely.area(shapely.oriented_envelope(solid)))[of]
    stem, to = ends[end], middle[of] - ends[end, :2]
    far = lengths(stem)
    way = (stem[:, 2:] - stem[:, :2]) / np.maximum(far, 1e-9)[:, None]
    off = np.abs(way[:, 0] * to[:, 1] - way[:, 1] * to[:, 0])
    fit = (far >= STEM[0] * size) & (far <= STEM[1] * size) & (off <= AIMED * size)
    fit &= (way * to).sum(axis=1) < 0
    # A triangle's tip is farther from its middle than a third of the sides is from its base.
    fit &= ~_three_sided(_share(solid))[of] | (np.hypot(*to.T) > size / 2)
    found[of[fit]] = True
    return found

"""Areas that a plotter painted with rows of strokes side by side, and drew no line around.

Terms: *row*, one of these strokes; *family*, rows each of which lies beside the next, closer than a pen is broad.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import components, directions, forward, lengths, midpoints, pairs_within
from cordpath.model import FloatArray, IntArray

SHORTEST = 0.5  # pt; shorter strokes have no direction: four roundings to 1/600 in
CLOSE = 0.15, 0.9  # pt from row to row: drawn twice is no fill, and with gaps broader than pens it is a hatch
BESIDE = 1.2  # pt between the middles of two rows: those of an area with slanting sides are shifted
PARALLEL = 0.25  # pt by which the ends of two rows side by side are nearer than their others: two roundings
FEWEST = 6  # rows: fewer are the bars of a symbol
STEP = 0.3  # pt, by which the ends of rows are off the edge: half a row and a rounding to 1/600 in
PEN = 0.2  # pt from the outermost rows to the edge: half a pen, as broad as rows are apart
BEVEL, LONGER = 1.6, 2.5  # pt of the edge that lacking rows cut off a corner; times it of both edges beside it


def painted_by_rows(strokes: FloatArray, longest: float) -> list[BaseGeometry]:
    """The areas that strokes (n, 4) of up to ``longest`` pt paint."""
    length = lengths(strokes)
    rows = forward(strokes[(length >= SHORTEST) & (length <= longest)])
    one, two = _beside(rows)
    _, family = components(one, two, len(rows))
    many = np.flatnonzero(np.bincount(family, minlength=1) >= FEWEST)
    order = np.argsort(family, kind="stable")
    start = np.searchsorted(family[order], many)
    stop = np.searchsorted(family[order], many, side="right")
    return [_around(rows[order[a:b]]) for a, b in zip(start.tolist(), stop.tolist(), strict=True)]


def _beside(rows: FloatArray) -> tuple[IntArray, IntArray]:
    """Pairs of rows of one direction that lie side by side."""
    if not len(rows):
        return np.zeros(0, np.int64), np.zeros(0, np.int64)
    middle, turn, length = midpoints(rows), directions(rows), lengths(rows)
    one, two = pairs_within(middle, BESIDE).T
    across = (middle[two] - middle[one]) * np.c_[-np.sin(turn[one]), np.cos(turn[one])]
    gap = np.abs(across.sum(axis=1))
    off = np.abs(np.sin(turn[two] - turn[one])) * np.minimum(length[one], length[two])
    beside = (gap >= CLOSE[0]) & (gap <= CLOSE[1]) & (off <= PARALLEL)
    return one[beside], two[beside]


def _around(rows: FloatArray) -> BaseGeometry:
    """The area that the rows (n, 4) of one family paint."""
    longest = rows[np.argmax(lengths(rows))]
    way = (longest[2:] - longest[:2]) / np.hypot(*(longest[2:] - longest[:2]))
    rows = np.where((((rows[:, 2:] - rows[:, :2]) @ way) < 0)[:, None], rows[:, [2, 3, 0, 1]], rows)
    rows = rows[np.argsort(midpoints(rows) @ np.array([-way[1], way[0]]), kind="stable")]
    ring = shapely.simplify(shapely.linearrings(np.r_[rows[:, :2], rows[::-1, 2:]]), STEP)
    return shapely.Polygon(_with_corners(shapely.get_coordinates(ring)[:-1])).buffer(PEN, join_style="mitre")


def _with_corners(points: FloatArray) -> FloatArray:
    """The corners (n, 2) of an area, with those that are cut off because the shortest rows are not there."""
    edge = np.roll(points, -1, axis=0) - points
    far, before, after = np.hypot(*edge.T), np.roll(edge, 1, axis=0), np.roll(edge, -1, axis=0)
    beside = np.minimum(np.roll(far, 1), np.roll(far, -1))
    turn = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    on = (edge[:, 0] * after[:, 1] - edge[:, 1] * after[:, 0]) / np.where(turn == 0, 1e-9, turn)
    corner = points + on[:, None] * before
    cut = (far <= BEVEL) & (beside >= LONGER * far)
    cut[cut] &= np.hypot(*(corner - points)[cut].T) <= BEVEL
    if len(points) - cut.sum() < 3:
        return points
    return np.asarray(np.where(cut[:, None], corner, points)[~np.roll(cut, 1)], float)

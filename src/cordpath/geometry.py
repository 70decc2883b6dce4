"""Plain geometry that several stages use.

Terms: *similarity*, a map of the plane that keeps shapes: scale, rotation, optional mirror, shift.
*Collinear run*, strokes on one line that touch or overlap, merged to one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.model import BoolArray, Box, FloatArray, IntArray, Point

Number = TypeVar("Number", np.float64, np.int64)
SAGITTA_PT = 0.02  # between a curve and its chords: a third of what rounding to 1/600 in, the finest seen, moves
OFF_SQUARE_PT = 0.5  # by which the ends of a table's line may differ across it
MOST_ROWS = 1000  # cells that a page is divided into each way


@dataclass(frozen=True)
class Similarity:
    """``p -> scale * R(angle) * M * p + shift`` in page coordinates (y down), where M mirrors x if asked.

    ``angle`` is counter-clockwise as seen on the page, in degrees.
    """

    scale: float
    angle: float
    mirrored: bool
    shift: Point

    @property
    def matrix(self) -> FloatArray:
        """(2, 2) linear part."""
        c, s = np.cos(np.radians(self.angle)), np.sin(np.radians(self.angle))
        rotate = np.array([[c, s], [-s, c]])  # y down: counter-clockwise as seen
        mirror = np.diag([-1.0, 1.0]) if self.mirrored else np.eye(2)
        return self.scale * rotate @ mirror

    def apply(self, points: FloatArray) -> FloatArray:
        """(n, 2) points to (n, 2) points."""
        return np.asarray(points, float) @ self.matrix.T + np.asarray(self.shift, float)

    def direction(self, vector: Point) -> Point:
        """A direction of the template as a unit vector on the page."""
        turned = self.matrix @ np.asarray(vector, float)
        length = float(np.hypot(*turned)) or 1.0
        return (float(turned[0] / length), float(turned[1] / length))

    def shape(self, geometry: BaseGeometry) -> BaseGeometry:
        return shapely.transform(geometry, self.apply)


def lengths(xy: FloatArray) -> FloatArray:
    """(n,) lengths of (n, 4) segments."""
    return np.hypot(xy[:, 2] - xy[:, 0], xy[:, 3] - xy[:, 1])


def midpoints(xy: FloatArray) -> FloatArray:
    """(n, 2) middles of (n, 4) segments."""
    return (xy[:, :2] + xy[:, 2:]) / 2


def directions(xy: FloatArray) -> FloatArray:
    """(n,) undirected angles of (n, 4) segments in radians, 0 <= angle < pi, in the y-down frame."""
    angle = np.arctan2(xy[:, 3] - xy[:, 1], xy[:, 2] - xy[:, 0]) % np.pi
    return np.where(angle >= np.pi, 0.0, angle)


def boxes_around(xy: FloatArray) -> FloatArray:
    """(n, 4) boxes around (n, 4) segments."""
    return np.c_[np.minimum(xy[:, :2], xy[:, 2:]), np.maximum(xy[:, :2], xy[:, 2:])]


def forward(xy: NDArray[Number]) -> NDArray[Number]:
    """(n, 4) the strokes from their left end to their right one, upright ones downwards."""
    back = (xy[:, 0] > xy[:, 2]) | ((xy[:, 0] == xy[:, 2]) & (xy[:, 1] > xy[:, 3]))
    return np.where(back[:, None], xy[:, [2, 3, 0, 1]], xy)


def circle(points: FloatArray) -> tuple[FloatArray, float, float]:
    """Least-squares circle (algebraic fit): centre, radius, largest residual."""
    middle = points.mean(0)
    p = points - middle
    a = np.c_[2 * p, np.ones(len(p))]
    solution = np.linalg.lstsq(a, (p**2).sum(1), rcond=None)[0]
    centre = solution[:2]
    radius = float(np.sqrt(max(0.0, solution[2] + centre @ centre)))
    residual = float(np.abs(np.hypot(*(p - centre).T) - radius).max())
    return centre + middle, radius, residual


def chords(pieces: FloatArray, sagitta: float = SAGITTA_PT) -> tuple[FloatArray, IntArray]:
    """(k, 4) chords of arcs (n, 5), centre, radius, start and end in radians, and the arc of each."""
    sweep = pieces[:, 4] - pieces[:, 3]
    step = np.sqrt(8 * sagitta / np.maximum(pieces[:, 2], 0.05)).clip(0.05, 0.5)
    parts = np.maximum(1, np.ceil(sweep / step).astype(np.int64))
    i = np.repeat(np.arange(len(pieces)), parts)
    k = np.arange(len(i)) - np.repeat(np.cumsum(parts) - parts, parts)
    a0, a1 = pieces[i, 3] + sweep[i] * k / parts[i], pieces[i, 3] + sweep[i] * (k + 1) / parts[i]
    c = pieces[i]
    xy = np.c_[c[:, 0] + c[:, 2] * np.cos(a0), c[:, 1] + c[:, 2] * np.sin(a0),
               c[:, 0] + c[:, 2] * np.cos(a1), c[:, 1] + c[:, 2] * np.sin(a1)]  # fmt: skip
    return xy, i


def segments_in_box(xy: FloatArray, box: Box) -> BoolArray:
    """(n,) True where both ends of a (n, 4) segment lie inside the box."""
    x0, y0, x1, y1 = box
    inside = np.zeros(len(xy), bool)
    near = np.flatnonzero((xy[:, 0] >= x0) & (xy[:, 0] <= x1))  # most of a sheet is elsewhere
    near = near[(xy[near, 1] >= y0) & (xy[near, 1] <= y1)]
    ends = xy[near, 2:]
    inside[near[(ends[:, 0] >= x0) & (ends[:, 0] <= x1) & (ends[:, 1] >= y0) & (ends[:, 1] <= y1)]] = True
    return inside


def in_box(point: Point, box: Box) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]


def segments_near(one: FloatArray, other: FloatArray, reach: float) -> BoolArray:
    """(n,) which of the segments (n, 4) come within ``reach`` of their partners (n, 4)."""
    (a, b), (c, d) = (np.ascontiguousarray(xy, float).view(np.complex128).T for xy in (one, other))
    along, from_a, from_b = (d - c).conj(), a - c, b - c
    on_other, beyond_other = along * from_a, along * from_b
    near = _near_segment(from_a, on_other.real, d - c, reach) | _near_segment(
        from_b, beyond_other.real, d - c, reach
    )
    along = (b - a).conj()
    on_one, beyond_one = along * (c - a), along * (d - a)
    near |= _near_segment(c - a, on_one.real, b - a, reach) | _near_segment(d - a, beyond_one.real, b - a, reach)
    # they cross where the ends of each lie on both sides of the other
    return near | ((on_other.imag * beyond_other.imag < 0) & (on_one.imag * beyond_one.imag < 0))


def _near_segment(
    away: NDArray[np.complex128], along: FloatArray, step: NDArray[np.complex128], reach: float
) -> BoolArray:
    """(n,) which points, ``away`` from the starts of segments, lie within ``reach`` of them; x + iy.

    ``step``: from start to end; ``along``: its product with ``away``.
    """
    part = np.clip(along / np.maximum(step.real**2 + step.imag**2, 1e-12), 0.0, 1.0)
    gap = away - part * step
    return np.asarray(gap.real**2 + gap.imag**2 <= reach * reach, bool)


def near_boxes(boxes: FloatArray, others: FloatArray, margin: float, cell: float = 12.0) -> BoolArray:
    """(n,) boxes (n, 4) that may lie within ``margin`` of one of ``others`` (m, 4): all that do, and a few more.

    Told by squares of the page of at least ``cell`` points: a cheap look before an exact one.
    """
    out = np.zeros(len(boxes), bool)
    around = others[np.isfinite(others).all(axis=1)] + margin * np.array([-1.0, -1.0, 1.0, 1.0])
    if not len(around):
        return out
    low, high = around[:, :2].min(axis=0), around[:, 2:].max(axis=0)
    cell = max(cell, float((high - low).max()) / MOST_ROWS)
    wide, tall = (((high - low) / cell).astype(np.int64) + 1).tolist()
    x0, y0, x1, y1 = _cells(around, low, cell, wide, tall)
    edges = np.zeros((tall + 1, wide + 1), np.int64)
    for y, x, step in ((y0, x0, 1), (y0, x1 + 1, -1), (y1 + 1, x0, -1), (y1 + 1, x1 + 1, 1)):
        np.add.at(edges, (y, x), step)
    taken = np.zeros((tall + 1, wide + 1), np.int64)
    taken[1:, 1:] = (edges.cumsum(0).cumsum(1)[:-1, :-1] > 0).cumsum(0).cumsum(1)
    here = np.flatnonzero((boxes[:, 0] <= high[0]) & (boxes[:, 1] <= high[1])
                          & (boxes[:, 2] >= low[0]) & (boxes[:, 3] >= low[1]))  # fmt: skip
    x0, y0, x1, y1 = _cells(boxes[here], low, cell, wide, tall)
    out[here] = taken[y1 + 1, x1 + 1] - taken[y0, x1 + 1] - taken[y1 + 1, x0] + taken[y0, x0] > 0
    return out


def _cells(boxes: FloatArray, low: FloatArray, cell: float, wide: int, tall: int) -> tuple[IntArray, ...]:
    """(4, n) columns and rows of the cells at the boxes' corners, within the table."""
    most = np.array([wide, tall, wide, tall]) - 1.0
    return tuple(np.clip(np.floor((boxes - np.r_[low, low]) / cell), 0.0, most).astype(np.int64).T)


def rulings(ends: FloatArray, least: float) -> tuple[FloatArray, FloatArray]:
    """Lines of a table among strokes (n, 2, 2): upright ones (k, 3) as x, top, bottom, and level ones (m, 3) as y,
    left, right.  ``least``: pt; shorter strokes are dashes and letters."""
    low, high = ends.min(axis=1), ends.max(axis=1)
    run = high - low
    upright = (run[:, 0] < OFF_SQUARE_PT) & (run[:, 1] >= least)
    level = (run[:, 1] < OFF_SQUARE_PT) & (run[:, 0] >= least)
    return (
        np.stack([low[upright, 0], low[upright, 1], high[upright, 1]], axis=1),
        np.stack([low[level, 1], low[level, 0], high[level, 0]], axis=1),
    )


def lines(xy: FloatArray) -> NDArray[np.object_]:
    """(n,) shapely linestrings of (n, 4) segments."""
    return shapely.linestrings(np.asarray(xy, float).reshape(-1, 2, 2))

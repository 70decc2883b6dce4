"""Strokes and arcs: lengths, directions, chords, and the lines of tables."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.model import BoolArray, Box, FloatArray, IntArray

Number = TypeVar("Number", np.float64, np.int64)
SAGITTA_PT = 0.02  # between a curve and its chords: a third of what rounding to 1/600 in, the finest seen, moves
OFF_SQUARE_PT = 0.5  # by which the ends of a table's line may differ across it


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


def arc(points: FloatArray) -> tuple[FloatArray, float, float, FloatArray, float] | None:
    """The arc along points (n, 2) in any order, by :func:`circle`: centre, radius, largest residual, the points in
    their order round the centre, the widest gap before the first, and the sweep, radians.  None for points on a
    line."""
    if np.linalg.matrix_rank(points - points.mean(0), tol=1e-6) < 2:
        return None
    centre, radius, residual = circle(points)
    angle = np.arctan2(*(points - centre).T[::-1])
    order = np.argsort(angle, kind="stable")
    gaps = np.diff(np.append(angle[order], angle[order[0]] + 2 * np.pi))
    widest = int(np.argmax(gaps))
    return centre, radius, residual, points[np.roll(order, -(widest + 1))], float(2 * np.pi - gaps[widest])


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


def cubic(p: FloatArray, t: FloatArray) -> FloatArray:
    """(n, 2) points at ``t`` (n,) of cubic Beziers with control points ``p`` (n, 4, 2), or of one, (1, 4, 2)."""
    s, t = 1.0 - t[:, None], t[:, None]
    return np.asarray(s**3 * p[:, 0] + 3 * s * s * t * p[:, 1] + 3 * s * t * t * p[:, 2] + t**3 * p[:, 3])


def points_in_box(points: FloatArray, box: Box) -> BoolArray:
    """(n,) True where a point (n, 2) lies inside the box or on its border."""
    return np.asarray(((points >= box[:2]) & (points <= box[2:])).all(axis=1), bool)


def segments_in_box(xy: FloatArray, box: Box) -> BoolArray:
    """(n,) True where both ends of a (n, 4) segment lie inside the box."""
    x0, y0, x1, y1 = box
    inside = np.zeros(len(xy), bool)
    near = np.flatnonzero((xy[:, 0] >= x0) & (xy[:, 0] <= x1))  # most of a sheet is elsewhere
    near = near[(xy[near, 1] >= y0) & (xy[near, 1] <= y1)]
    inside[near[points_in_box(xy[near, 2:], box)]] = True
    return inside


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

"""What lies near what: segments by pairs, and boxes by squares of the page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath.model import BoolArray, FloatArray, IntArray

LEAST_CELL = 12.0  # pt
MOST_ROWS = 1000  # cells that a page is divided into each way


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


def near_boxes(boxes: FloatArray, others: FloatArray, margin: float) -> BoolArray:
    """(n,) boxes (n, 4) that may lie within ``margin`` of one of ``others`` (m, 4): all that do, and a few more.

    Told by squares of the page: a cheap look before an exact one.
    """
    out = np.zeros(len(boxes), bool)
    about = _Squares.of(others, margin)
    if about is None:
        return out
    before = np.zeros((about.taken.shape[0] + 1, about.taken.shape[1] + 1), np.int64)
    before[1:, 1:] = about.taken.cumsum(0).cumsum(1)
    here = np.flatnonzero((boxes[:, 0] <= about.high[0]) & (boxes[:, 1] <= about.high[1])
                          & (boxes[:, 2] >= about.low[0]) & (boxes[:, 3] >= about.low[1]))  # fmt: skip
    (x0, y0), (x1, y1) = about.at(boxes[here, 0], boxes[here, 1]), about.at(boxes[here, 2], boxes[here, 3])
    out[here] = before[y1 + 1, x1 + 1] - before[y0, x1 + 1] - before[y1 + 1, x0] + before[y0, x0] > 0
    return out


def near_points(points: FloatArray, others: FloatArray, margin: float) -> BoolArray:
    """(n,) the same of points (n, 2)."""
    out = np.zeros(len(points), bool)
    about = _Squares.of(others, margin)
    if about is not None:
        x, y = points.T
        (x0, y0), (x1, y1) = about.low, about.high
        here = np.flatnonzero((x >= x0) & (x <= x1) & (y >= y0) & (y <= y1))
        across, down = about.at(x[here], y[here])
        out[here] = about.taken[down, across]
    return out


def distances(points: FloatArray, others: Sequence[Sequence[float]]) -> FloatArray:
    """(n,) from each of the points (n, 2) to the nearest of others, inf where there are none."""
    if not len(others):
        return np.full(len(points), np.inf)
    return np.asarray(cKDTree(others).query(points.reshape(-1, 2))[0], float)


@dataclass(frozen=True, eq=False)
class _Squares:
    """Squares of a page from ``low`` to ``high`` (2,): those ``taken`` (down, across) touch one of some boxes."""

    low: FloatArray
    high: FloatArray
    cell: float  # pt
    taken: BoolArray

    @staticmethod
    def of(boxes: FloatArray, margin: float) -> _Squares | None:
        """Of boxes (n, 4) with a ``margin`` about them; None for none."""
        around = boxes[np.isfinite(boxes).all(axis=1)] + margin * np.array([-1.0, -1.0, 1.0, 1.0])
        if not len(around):
            return None
        low, high = around[:, :2].min(axis=0), around[:, 2:].max(axis=0)
        cell = max(LEAST_CELL, float((high - low).max()) / MOST_ROWS)
        wide, tall = (((high - low) / cell).astype(np.int64) + 1).tolist()
        page = _Squares(low, high, cell, np.zeros((tall, wide), bool))
        (x0, y0), (x1, y1) = page.at(around[:, 0], around[:, 1]), page.at(around[:, 2], around[:, 3])
        edges = np.zeros((tall + 1, wide + 1), np.int64)
        for y, x, step in ((y0, x0, 1), (y0, x1 + 1, -1), (y1 + 1, x0, -1), (y1 + 1, x1 + 1, 1)):
            np.add.at(edges, (y, x), step)
        page.taken[:] = edges.cumsum(0).cumsum(1)[:-1, :-1] > 0
        return page

    def at(self, x: FloatArray, y: FloatArray) -> tuple[IntArray, IntArray]:
        """(n,) column and row of the square at each point, of the nearest one where it is outside."""
        tall, wide = self.taken.shape
        across = np.clip((x - self.low[0]) / self.cell, 0.0, wide - 1.0)
        down = np.clip((y - self.low[1]) / self.cell, 0.0, tall - 1.0)
        return across.astype(np.int64), down.astype(np.int64)

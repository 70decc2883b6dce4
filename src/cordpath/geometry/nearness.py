"""What lies near what: segments by pairs, and boxes by squares of the page."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from cordpath.model import BoolArray, FloatArray, IntArray

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

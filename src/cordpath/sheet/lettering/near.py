"""Pairs of upright boxes that overlap, for boxes of about one size: several times faster than a tree of shapes,
because letters are small beside the page.

Terms: *band*, a strip of the page as high as the highest box; a box is filed under the band of its upper edge.
"""

from __future__ import annotations

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray

CELLS = 128  # of the grid along the longer side of the page, for ``about``


def overlapping(a: FloatArray, b: FloatArray) -> tuple[IntArray, IntArray]:
    """Pairs (i, j) for which box ``a[i]`` and box ``b[j]``, both x0, y0, x1, y1, overlap or touch; ascending."""
    none = np.zeros(0, np.int64)
    if not len(a) or not len(b):
        return none, none
    band = max(float((a[:, 3] - a[:, 1]).max()), float((b[:, 3] - b[:, 1]).max()), 1e-6)
    wide = float((b[:, 2] - b[:, 0]).max())
    left, top = float(b[:, 0].min()), float(b[:, 1].min())
    span = float(b[:, 0].max()) - left + 1.0
    key = np.floor((b[:, 1] - top) / band) * span + (b[:, 0] - left)
    order = np.argsort(key, kind="stable")
    key = key[order]
    left_a, top_a, right_a, foot_a = np.ascontiguousarray(a.T)
    left_b, top_b, right_b, foot_b = np.ascontiguousarray(b[order].T)
    first = np.floor((a[:, 1] - top) / band) - 1  # a box that begins a band above may reach down
    last = np.floor((a[:, 3] - top) / band)
    low = np.clip(a[:, 0] - wide - left, 0.0, span - 0.5)
    high = np.clip(a[:, 2] - left, -0.25, span - 0.5)
    found = []
    for step in range(3):  # a box is no higher than a band
        row = first + step
        start = np.searchsorted(key, row * span + low, "left")
        stop = np.searchsorted(key, row * span + high, "right")
        count = np.where(row <= last, np.maximum(stop - start, 0), 0)
        i = np.repeat(np.arange(len(a)), count)
        k = np.repeat(start - np.cumsum(count) + count, count) + np.arange(len(i))
        level = np.flatnonzero((top_a[i] <= foot_b[k]) & (top_b[k] <= foot_a[i]))
        i, k = i[level], k[level]
        hit = (left_a[i] <= right_b[k]) & (left_b[k] <= right_a[i])
        found.append(i[hit] * len(b) + order[k[hit]])
    pair = np.sort(np.concatenate(found))
    return pair // len(b), pair % len(b)


def about(xy: FloatArray, boxes: FloatArray) -> BoolArray:
    """(n,) may the strokes (n, 4) touch one of the upright boxes (b, 4): False only where they surely do not.

    Both are laid on a grid of square cells; a stroke is asked by the number of marked cells within its box.
    """
    if not len(xy) or not len(boxes):
        return np.zeros(len(xy), bool)
    origin = np.minimum(xy.reshape(-1, 2).min(axis=0), boxes[:, :2].min(axis=0))
    reach = np.maximum(xy.reshape(-1, 2).max(axis=0), boxes[:, 2:].max(axis=0)) - origin
    cell = max(float(reach.max()) / CELLS, 1e-9)
    low = ((np.minimum(xy[:, :2], xy[:, 2:]) - origin) / cell).astype(np.int64)
    high = ((np.maximum(xy[:, :2], xy[:, 2:]) - origin) / cell).astype(np.int64) + 1
    marked = np.zeros((CELLS + 2, CELLS + 2), np.int64)
    for x0, y0, x1, y1 in ((boxes - np.tile(origin, 2)) / cell).astype(np.int64).tolist():
        marked[x0 + 1 : x1 + 2, y0 + 1 : y1 + 2] = 1
    total = marked.cumsum(axis=0).cumsum(axis=1)
    inside = total[high[:, 0], high[:, 1]] - total[low[:, 0], high[:, 1]]
    inside += total[low[:, 0], low[:, 1]] - total[high[:, 0], low[:, 1]]
    return np.asarray(inside > 0, bool)

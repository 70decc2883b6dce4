"""Rows of a panel schedule that a slanting line crosses out: one row, a part of the table or all of it.

A level line through a word is told in words.py.
"""

from __future__ import annotations

import numpy as np

from cordpath.circuits.panels.tables import Half
from cordpath.circuits.panels.words import Reading

CROSSED = 0.5  # of the width of a half, from its first header to its last: a leader or a dimension runs over less


def crossed(half: Half, reading: Reading) -> frozenset[int]:
    """Numbers of the rows, by anchor, that a slanting line over most of the half's width passes the height of."""
    heads = [field.head for field in half.fields]
    x0, x1 = min(head.x0 for head in heads), max(head.x1 for head in heads)
    lines = reading.slanting
    if not len(lines) or x1 <= x0:
        return frozenset()
    order = np.argsort(lines[:, :, 0], axis=1)[:, :, None]
    (ax, ay), (bx, by) = np.take_along_axis(lines, order, axis=1).transpose(1, 2, 0)
    left, right = np.maximum(ax, x0), np.minimum(bx, x1)
    over = right - left >= CROSSED * (x1 - x0)
    rise = (by - ay) / (bx - ax)
    ends = np.stack([ay + rise * (left - ax), ay + rise * (right - ax)])[:, over]
    return frozenset(
        k for k, anchor in enumerate(half.anchors)
        if ((ends.min(axis=0) <= anchor.y1) & (ends.max(axis=0) >= anchor.y0)).any()
    )  # fmt: skip

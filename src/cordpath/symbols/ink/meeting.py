"""Ends of strokes that meet."""

from __future__ import annotations

import numpy as np

from cordpath.model import IntArray

BUSIEST_NODE = 8  # ends at one node; hubs of more are hatch origins and glyph blobs


def meeting(node: IntArray) -> tuple[IntArray, IntArray]:
    """All pairs of half-edges at one node, for nodes of 2 to BUSIEST_NODE ends."""
    order = np.argsort(node, kind="stable")
    ordered = node[order]
    start = np.flatnonzero(np.r_[True, ordered[1:] != ordered[:-1]]) if len(node) else np.zeros(0, np.int64)
    size = np.diff(np.r_[start, len(node)])
    left, right = [np.zeros(0, np.int64)], [np.zeros(0, np.int64)]
    for k in range(2, BUSIEST_NODE + 1):
        at = start[size == k]
        for a in range(k):
            for b in range(a + 1, k):
                left.append(order[at + a])
                right.append(order[at + b])
    return np.concatenate(left), np.concatenate(right)

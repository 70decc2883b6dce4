"""Paint of which it is not sure that it is seen as it is painted: through a soft mask, or in a blend mode in which
dark paint shows on bare paper and vanishes where something white lies below.

It is read as it is painted.  Where it may be a mark of a symbol, this is a question.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.model import BoolArray, Fills, FloatArray, IntArray, Strokes

SAID = (
    "parts of the drawing are seen through a soft mask, or are blended so that what is seen of them depends on "
    "what lies below, or lie under paint that may hide them (a shading, a soft mask, overprint, large letters, a "
    "broken white line), or are areas of no width: they are read as "
    "they are painted, and an outlet with such a part in it is a question"
)


def unsure_boxes(unsure: BoolArray, strokes: Strokes, fills: Fills) -> FloatArray:
    """(m, 4) boxes of the ink of each path of ``unsure`` (p,), page coordinates."""
    line, area = unsure[strokes.path], unsure[fills.path]
    if not line.any() and not area.any():
        return np.zeros((0, 4))
    xy, half = strokes.xy[line], strokes.width[line, None] / 2
    low, high = np.minimum(xy[:, :2], xy[:, 2:]) - half, np.maximum(xy[:, :2], xy[:, 2:]) + half
    return np.concatenate([_around(low, high, strokes.path[line]), shapely.bounds(fills.shape[area])])


def _around(low: FloatArray, high: FloatArray, path: IntArray) -> FloatArray:
    """(m, 4) the box around what each path draws."""
    order = np.argsort(path, kind="stable")
    first = np.flatnonzero(np.diff(path[order], prepend=-1))
    if not len(first):
        return np.zeros((0, 4))
    ends = np.minimum.reduceat(low[order], first), np.maximum.reduceat(high[order], first)
    return np.concatenate(ends, axis=1)

"""Two signs beside one row of a legend, as on a wall and turned, or plan and elevation.

Taken together they would be one symbol that no plan draws, and every outlet of theirs would be lost or named by
another row.

Terms: *sign*, what stands in a row's cell without a wide gap.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cordpath.model import FloatArray

APART = 6.0  # pt: letters stand nearer to their sign than this (3 to 5 pt, common practice, no source)
OF_WIDTH = 0.5  # of the narrower one: two signs stand farther apart, pieces of one sign nearer
OF_SIZE = 0.5  # of the largest sign's: something smaller is a piece of a sign
DIFFERENT = "different signs stand beside its row, and which of them is meant is not known"


def signs(drawn: FloatArray, texts: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """From where to where (x, pt) the signs of a cell stand, from the left; letters between two are a sign's own.

    ``drawn``: (n, 4) boxes of strokes and fills.  ``texts``: from where to where the words of the cell run.
    """
    parts = _parts(drawn)
    if len(parts) < 2:
        return [(part[0], part[2]) for part in parts]
    large = max(_size(part) for part in parts)
    out: list[list[float]] = []
    for part in parts:
        small = _size(part) < OF_SIZE * large
        if out and (small or _near(out[-1], part) or out[-1][4] < OF_SIZE * large):
            last = out[-1]
            joined = [min(last[0], part[0]), min(last[1], part[1]), max(last[2], part[2]), max(last[3], part[3])]
            out[-1] = [*joined, max(last[4], _size(part))]
        else:
            out.append([*part, _size(part)])
    found = [(part[0], part[2]) for part in out]
    for x0, x1 in texts:  # letters beside a sign
        near = [max(x0 - b, a - x1, 0.0) for a, b in found]
        k = int(np.argmin(near))
        if near[k] < APART:
            found[k] = (min(found[k][0], x0), max(found[k][1], x1))
    return found


def _parts(drawn: FloatArray) -> list[list[float]]:
    """[x0, y0, x1, y1] of what stands apart, from the left."""
    parts: list[list[float]] = []
    for x0, y0, x1, y1 in drawn[np.argsort(drawn[:, 0])].tolist():
        if parts and x0 - parts[-1][2] < APART:
            last = parts[-1]
            parts[-1] = [last[0], min(last[1], y0), max(last[2], x1), max(last[3], y1)]
        else:
            parts.append([x0, y0, x1, y1])
    return parts


def _near(one: Sequence[float], other: Sequence[float]) -> bool:
    return other[0] - one[2] < OF_WIDTH * min(one[2] - one[0], other[2] - other[0])


def _size(part: Sequence[float]) -> float:
    return max(part[2] - part[0], part[3] - part[1])

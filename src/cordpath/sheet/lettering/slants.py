"""Directions other than level and upright in which the lettering of a sheet may run.

Terms: *core* as in runs.py.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.geometry import components, directions, lengths
from cordpath.model import BoolArray, FloatArray
from cordpath.sheet.lettering.parts import Band, Parts

CORE = (0.55, 1.3)  # of the band: heights of core parts
SURE = 3  # letters from which a line's direction is told by its unrest alone
ANGLES = 8  # directions looked at besides level and upright
SLANT = 3.0  # degrees off level or upright from which text counts as slanted


def slants(parts: Parts, band: Band, left: BoolArray, long: FloatArray) -> list[float]:
    """Directions other than level and upright in which lettering may run, most likely first."""
    votes: dict[int, float] = {}
    if len(long):
        turn = np.round((90 - np.degrees(directions(long))) % 180 - 90).astype(int)
        weight = np.bincount(turn + 90, lengths(long), 181)
        weight[[0, 90, 180]] = 0
        for at in np.argsort(-weight)[:4].tolist():
            if weight[at] > 0.02 * weight.sum():
                for angle in ((at + 180) % 180 - 90, (at + 90) % 180 - 90):  # along the strokes, across them
                    votes[angle] = votes.get(angle, 0.0) + 1
    for angle, number in _clusters(parts, band, left):
        votes[angle] = votes.get(angle, 0.0) + number
    usual = [a for a in sorted(votes, key=lambda a: (-votes[a], a)) if abs((a + 45) % 90 - 45) > SLANT]
    return [float(a) for a in usual[:ANGLES]]


def _clusters(parts: Parts, band: Band, left: BoolArray) -> list[tuple[int, int]]:
    """(degrees, parts) of groups of neighbouring parts that are longer than wide."""
    index = np.flatnonzero(left & (parts.size > CORE[0] * band[0]) & (parts.size < CORE[1] * band[1]))
    if len(index) < SURE:
        return []
    boxes = shapely.box(*parts.box[index].T)
    first, second = shapely.STRtree(boxes).query(boxes, predicate="dwithin", distance=0.6 * band[0])
    _, group = components(first, second, len(index))
    count = np.bincount(group)
    middle = (parts.box[index, :2] + parts.box[index, 2:]) / 2
    mean = np.column_stack([np.bincount(group, middle[:, k]) for k in (0, 1)]) / count[:, None]
    x, y = (middle - mean[group]).T
    xx, yy, xy = (np.bincount(group, v) for v in (x * x, y * y, x * y))
    spread = np.hypot(xx - yy, 2 * xy)
    long = (count >= SURE) & (xx + yy + spread > 4 * (xx + yy - spread))
    angle = -np.degrees(np.arctan2(2 * xy, xx - yy)) / 2
    found: dict[int, int] = {}
    for a, n in zip(angle[long], count[long], strict=True):
        found[round(float(a))] = found.get(round(float(a)), 0) + int(n)
    return list(found.items())

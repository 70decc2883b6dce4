"""Hatch: families of parallel, evenly spaced, overlapping strokes.  They imitate bars, fills and letters.

Terms: *row*, one line of a family; *spacing*, a member's distance to its nearest parallel neighbour.
"""

from __future__ import annotations

import math

import numpy as np
from scipy.spatial import cKDTree

from cordpath.geometry import directions, lengths, midpoints
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.arcs import components

SHORTEST = 4.0  # pt; shorter parallel strokes are letters and ticks
NARROWEST, WIDEST = 0.8, 14.0  # pt between rows, measured on plans
MEMBERS = 8  # rows; stairs of fewer treads and the bars of symbols stay symbols
BIN = math.radians(2)  # directions of one family


def hatched(xy: FloatArray, eligible: BoolArray, members: int = MEMBERS) -> BoolArray:
    """(n,) True for strokes of a hatch family; only ``eligible`` strokes (no chords of arcs) may be members."""
    out = np.zeros(len(xy), bool)
    which = np.flatnonzero(eligible & (lengths(xy) > SHORTEST))
    if len(which) < members:
        return out
    line = xy[which]
    angle, middle, half = directions(line), midpoints(line), lengths(line) / 2
    rows = np.zeros(len(which), np.int64)
    for shift in (0.0, 0.5):  # two half-shifted passes: a family may straddle a bin's border
        bins = np.floor(angle / BIN + shift).astype(np.int64) % 90
        order = np.argsort(bins, kind="stable")
        starts = np.flatnonzero(np.r_[True, bins[order][1:] != bins[order][:-1]])
        for a, b in zip(starts, np.r_[starts[1:], len(order)], strict=True):
            if b - a >= members:
                j = order[a:b]
                axis = (bins[j[0]] + 0.5 - shift) * BIN
                off = (angle[j] - axis + np.pi / 2) % np.pi - np.pi / 2
                axis += float(np.median(off))
                rows[j] = np.maximum(rows[j], _family_rows(middle[j], half[j], axis))
    out[which[rows >= members]] = True
    return out


def _family_rows(middle: FloatArray, half: FloatArray, axis: float) -> IntArray:
    """(n,) number of distinct rows in each stroke's family."""
    c, s = math.cos(axis), math.sin(axis)
    along, across = middle[:, 0] * c + middle[:, 1] * s, -middle[:, 0] * s + middle[:, 1] * c
    n = len(middle)
    near = np.c_[along / 6, across]  # a family's strokes lie side by side, not end to end
    _, k = cKDTree(near).query(near, k=min(7, n), distance_upper_bound=WIDEST)
    valid = k < n
    k = np.minimum(k, n - 1)
    gap = np.abs(across[k] - across[:, None])
    valid &= (gap > NARROWEST) & (gap < WIDEST)
    valid &= np.abs(along[k] - along[:, None]) < 0.8 * (half[k] + half[:, None])
    spacing = np.where(valid, gap, np.inf).min(1)
    slack = 0.06 * np.where(np.isfinite(spacing), spacing, 0.0) + 0.08
    with np.errstate(invalid="ignore"):
        link = valid & (np.abs(gap - spacing[:, None]) < slack[:, None])
        link &= np.abs(spacing[k] - spacing[:, None]) < slack[:, None]
    i, j = np.nonzero(link)
    if not len(i):
        return np.ones(n, np.int64)
    count, label = components(i, k[i, j], n)
    row = np.round(across / np.maximum(0.5, np.where(np.isfinite(spacing), spacing, 1.0))).astype(np.int64)
    low = int(row.min())
    span = int(row.max()) - low + 1
    distinct = np.sort(label * span + (row - low))
    distinct = distinct[np.r_[True, distinct[1:] != distinct[:-1]]]
    return np.bincount(distinct // span, minlength=count)[label]

"""Hatch: families of parallel, evenly spaced, overlapping strokes.  They imitate bars, fills and letters.

Terms: *row*, one line of a family; *spacing*, a member's distance to its nearest parallel neighbour; *breadth*, how
far a family reaches across its rows: that of a fill drawn as strokes ends where the filled mark does.
"""

from __future__ import annotations

import math

import numpy as np
from scipy.spatial import cKDTree

from cordpath.geometry import components, directions, lengths, midpoints
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import sorted_unique

SHORTEST = 4.0  # pt; shorter parallel strokes are letters and ticks
NARROWEST, WIDEST = 0.8, 14.0  # pt between rows, measured on plans
MEMBERS = 8  # rows; stairs of fewer treads and the bars of symbols stay symbols
BIN = math.radians(2)  # directions of one family
NEIGHBOURS = 7  # looked at for each stroke: itself, and three to either side


def hatched(xy: FloatArray, eligible: BoolArray, members: int = MEMBERS) -> BoolArray:
    """(n,) True for strokes of a hatch family; only ``eligible`` strokes (no chords of arcs) may be members."""
    return breadths(xy, eligible, members) > 0


def breadths(xy: FloatArray, eligible: BoolArray, members: int = MEMBERS) -> FloatArray:
    """(n,) breadth in pt of the widest hatch family that each stroke is a row of, 0 for those of none."""
    out = np.zeros(len(xy))
    which = np.flatnonzero(eligible & (lengths(xy) > SHORTEST))
    if len(which) < members:
        return out
    line = xy[which]
    out[which] = _breadths(directions(line), midpoints(line), lengths(line) / 2, members)
    return out


def _breadths(angle: FloatArray, middle: FloatArray, half: FloatArray, members: int) -> FloatArray:
    """(n,) breadth of the widest family of so many rows that each stroke is in, 0 for none."""
    widest = np.zeros(len(angle))
    before: set[bytes] = set()  # the strokes of each bin of the pass before
    for shift in (0.0, 0.5):  # two half-shifted passes: a family may straddle a bin's border
        bins = np.floor(angle / BIN + shift).astype(np.int64) % 90
        order = np.argsort(bins, kind="stable")
        starts = np.flatnonzero(np.r_[True, bins[order][1:] != bins[order][:-1]])
        some = [j for j in np.split(order, starts[1:]) if len(j) >= members and j.tobytes() not in before]
        before = {j.tobytes() for j in some}
        parts = [(j, _axis(angle[j], (bins[j[0]] + 0.5 - shift) * BIN)) for j in some]
        if parts:
            j = np.concatenate([part for part, _ in parts])
            rows, breadth = _families(middle, half, parts)
            widest[j] = np.maximum(widest[j], np.where(rows >= members, breadth, 0.0))
    return widest


def _axis(angle: FloatArray, middle: float) -> float:
    """Median direction of strokes within a bin about ``middle``."""
    off = (angle - middle + np.pi / 2) % np.pi - np.pi / 2
    return middle + float(np.median(off))


def _families(
    middle: FloatArray, half: FloatArray, parts: list[tuple[IntArray, float]]
) -> tuple[IntArray, FloatArray]:
    """Number of distinct rows in each stroke's family, and its breadth, for the strokes of all parts one after the
    other.

    ``parts``: strokes of about one direction, and that direction.  Neighbours are looked for part by part, all
    else is done for all of them at once.
    """
    along, across, near = _neighbours(middle, parts)
    j = np.concatenate([part for part, _ in parts])
    half, n = half[j], len(j)
    me, other = near
    gap = np.abs(across[other] - across[me])
    valid = (gap > NARROWEST) & (gap < WIDEST)
    valid &= np.abs(along[other] - along[me]) < 0.8 * (half[other] + half[me])
    me, other, gap = me[valid], other[valid], gap[valid]
    spacing = np.full(n, np.inf)
    np.minimum.at(spacing, me, gap)
    slack = 0.06 * np.where(np.isfinite(spacing), spacing, 0.0) + 0.08
    with np.errstate(invalid="ignore"):
        link = np.abs(gap - spacing[me]) < slack[me]
        link &= np.abs(spacing[other] - spacing[me]) < slack[me]
    if not link.any():
        return np.ones(n, np.int64), np.zeros(n)
    count, label = components(me[link], other[link], n)
    row = np.round(across / np.maximum(0.5, np.where(np.isfinite(spacing), spacing, 1.0))).astype(np.int64)
    low = int(row.min())
    span = int(row.max()) - low + 1
    distinct = sorted_unique(label * span + (row - low))
    least, most = np.full(count, np.inf), np.full(count, -np.inf)
    np.minimum.at(least, label, across)
    np.maximum.at(most, label, across)
    return np.bincount(distinct // span, minlength=count)[label], (most - least)[label]


def _neighbours(
    middle: FloatArray, parts: list[tuple[IntArray, float]]
) -> tuple[FloatArray, FloatArray, tuple[IntArray, IntArray]]:
    """Places along and across the directions of their parts, and pairs of near strokes, by number."""
    along, across, me, other = [], [], [], []
    before = 0
    for j, axis in parts:
        c, s, n = math.cos(axis), math.sin(axis), len(j)
        x, y = middle[j, 0], middle[j, 1]
        along.append(x * c + y * s)
        across.append(-x * s + y * c)
        near = np.c_[along[-1] / 6, across[-1]]  # a family's strokes lie side by side, not end to end
        # asked in order, a tree answers much faster, and as fast unbalanced, which is built sooner
        order = np.lexsort((near[:, 0], np.floor(near[:, 1] / WIDEST)))
        tree = cKDTree(near, balanced_tree=False)
        _, k = tree.query(near[order], k=min(NEIGHBOURS, n), distance_upper_bound=WIDEST)
        each = np.repeat(order, k.shape[1])
        found = np.flatnonzero((k.ravel() < n) & (k.ravel() != each))
        me.append(each[found] + before)
        other.append(k.ravel()[found] + before)
        before += n
    return np.concatenate(along), np.concatenate(across), (np.concatenate(me), np.concatenate(other))

"""Dashed lines that a plotter wrote as loose strokes, joined again.

Terms: *dash*, a short straight stroke with a free end; *gap*, the way from one dash's free end to the next one's.
Dishwashers under a counter, openings above and hidden edges are drawn like this.
"""

from __future__ import annotations

import math

import numpy as np

from cordpath.geometry import components, pairs_within
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.arcs import mutual

SHORTEST, LONGEST = 1.4, 15.0  # pt of a dash (0.02 to 0.2 in)
STUB = 0.2  # pt: what is left of a dash that was cut at a corner
WIDEST = 7.0  # pt of a gap
SHARE = 1.2  # gaps are no longer than this times the longer dash
UNLIKE = 3.0  # dashes at the ends of a line are cut short: ratio of neighbours' lengths
ASIDE = 0.2  # pt that a dash may lie beside its neighbour's line: the plotter's grid
TURN = math.radians(2)
LEAST = 3  # dashes in a row


def dash_links(
    ends: FloatArray, heading: FloatArray, length: FloatArray, free: BoolArray, curved: BoolArray
) -> tuple[IntArray, IntArray]:
    """Pairs of half-edges across the gaps of dashed lines.

    ``ends`` (2n, 2) and ``heading`` (2n,) of half-edges (direction into the segment), ``free`` (2n,) True where
    nothing else ends; ``length`` and ``curved`` (n,) of segments.
    """
    n = len(length)
    none = (np.zeros(0, np.int64), np.zeros(0, np.int64))
    dash = ~curved & (length > STUB) & (length < LONGEST)
    h = np.flatnonzero(free & np.r_[dash, dash])
    if len(h) < 2 * LEAST - 2:
        return none
    pairs = pairs_within(ends[h], WIDEST)
    i, j = h[pairs[:, 0]], h[pairs[:, 1]]
    step = ends[j] - ends[i]
    gap = np.hypot(step[:, 0], step[:, 1])
    li, lj = length[i % n], length[j % n]
    low, high = np.minimum(li, lj), np.maximum(li, lj)
    shorter = np.where(li < lj, i, j)
    cut = ~free[(shorter + n) % (2 * n)]  # its other end meets something: a dash cut at a corner
    ok = (i % n != j % n) & (gap > 0.2) & (gap < SHARE * high) & (high > SHORTEST)
    ok &= cut | ((high < UNLIKE * low) & (low > SHORTEST))
    i, j, step, gap, low = i[ok], j[ok], step[ok], gap[ok], low[ok]
    outward = -np.c_[np.cos(heading[i]), np.sin(heading[i])]
    into = np.c_[np.cos(heading[j]), np.sin(heading[j])]
    slack = TURN + 0.13 / np.maximum(low, 0.5)
    cross = np.abs(outward[:, 0] * into[:, 1] - outward[:, 1] * into[:, 0])
    ahead = (step * outward).sum(1)
    aside = np.abs(step[:, 0] * outward[:, 1] - step[:, 1] * outward[:, 0])
    ok = (cross < np.sin(np.minimum(slack, 0.3))) & ((outward * into).sum(1) > 0) & (ahead > 0)
    ok &= aside < ASIDE + 0.03 * gap
    partner = mutual(i[ok], j[ok], gap[ok], 2 * n)
    a = np.flatnonzero(partner >= 0)
    a = a[a < partner[a]]
    b = partner[a]
    _, chain = components(a % n, b % n, n)
    long = np.bincount(chain, minlength=n)[chain[a % n]] >= LEAST
    return a[long], b[long]

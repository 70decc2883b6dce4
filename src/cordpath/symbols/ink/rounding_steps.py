"""Steps of the plotter's grid in the midst of a line: rounding leaves a splinter whose direction says nothing, or
little where it is longer."""

from __future__ import annotations

import math

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.arcs import GRID

STEP = 1.05 * math.sqrt(2) * GRID  # pt, the diagonal of a square of the grid and a little
LEAST_SIDE = 1.0  # pt of the pieces on both sides: the directions of shorter ones are noise themselves
OFF = 1.05 * GRID  # pt by which roundings at both ends of a splinter turn it off its line, at most about


def steps_between(
    i: IntArray, j: IntArray, length: FloatArray, leaving: FloatArray, curved: BoolArray, straight: float
) -> tuple[IntArray, IntArray]:
    """Pairs of segments that are one line: a piece and a step at its end, beyond which another goes straight on.

    ``i``, ``j``: half-edges that meet, ``leaving``: (2n,) their directions, ``straight``: radians off a line.
    """
    n = len(length)
    one, other = np.r_[i, j], np.r_[j, i]
    step, side = one % max(n, 1), other % max(n, 1)
    off = np.abs((leaving[one] - leaving[other]) % (2 * np.pi) - np.pi)  # of a splinter from the line
    kept = (length[step] <= STEP) | ((length[step] <= LEAST_SIDE) & (off < straight + OFF / length[step]))
    kept &= (length[side] > LEAST_SIDE) & ~curved[step] & ~curved[side]
    one, other = one[kept], other[kept]
    first, last = one < n, one >= n
    order = np.argsort(one[last], kind="stable")
    ends, beyond = one[last][order] - n, other[last][order]
    low, high = (np.searchsorted(ends, one[first], side=side) for side in ("left", "right"))
    count = high - low
    before = np.repeat(np.flatnonzero(first), count)
    k = np.repeat(low, count) + np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
    a, b, step = other[before], beyond[k], one[before]
    least = np.minimum(length[a % max(n, 1)], length[b % max(n, 1)])
    turn = np.abs((leaving[a] - leaving[b]) % (2 * np.pi) - np.pi)
    on = turn < straight + GRID / least
    a, b, step = a[on] % max(n, 1), b[on] % max(n, 1), step[on]
    return np.r_[a, step], np.r_[step, b]

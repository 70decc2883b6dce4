"""Straight lines that a writer drew as polylines with far more points than they need.

Terms: *splinter*, a short piece that goes on in the direction of the piece before it; *run*, splinters of one path
one after the other.  Walls, symbols and dimensions are told by the length of their lines, and splinters have none.
"""

from __future__ import annotations

import math

import numpy as np

from cordpath.geometry import lengths
from cordpath.model import BoolArray, FloatArray, IntArray

SPLINTER = 3.0  # pt; longer pieces are lines by themselves
MANY = 4  # splinters of a run: two or three are the work of a draughtsman
JOINED = 1e-3  # pt; the next piece begins where the last one ended
STRAIGHT_ON = math.radians(3.0)  # points of short pieces are rounded, and the whole run is held against a line
STRAY = 0.02  # pt; points of a straight run stray no more from the line between its ends: a flat curve's do
ONWARD = 0.9  # of the length of its pieces, from end to end: a circle of many chords comes back to where it began


def whole_lines(xy: FloatArray, path: IntArray, curve: IntArray) -> tuple[FloatArray, BoolArray]:
    """Pieces (n, 4) in drawn order with the first of each straight run as long as the run, and (n,) which remain.

    ``path``: (n,) of each piece; ``curve``: (n,) the bend that it is cut from, -1 for edges.  Chords of bends stay.
    """
    n = len(xy)
    keep = np.ones(n, bool)
    if n < 2:
        return xy, keep
    long = lengths(xy)
    short = (curve < 0) & (long < SPLINTER) & (long > 0)
    step = xy[:, 2:] - xy[:, :2]
    cross = step[:-1, 0] * step[1:, 1] - step[:-1, 1] * step[1:, 0]
    turn = np.abs(np.arctan2(cross, (step[:-1] * step[1:]).sum(axis=1)))
    on = short[1:] & short[:-1] & (path[1:] == path[:-1]) & (turn < STRAIGHT_ON)
    on &= (np.abs(xy[1:, :2] - xy[:-1, 2:]) < JOINED).all(axis=1)
    if not on.any():
        return xy, keep
    first = np.flatnonzero(np.r_[True, ~on])
    last = np.r_[first[1:], n] - 1
    run = np.repeat(np.arange(len(first)), last - first + 1)
    start, along = xy[first, :2], xy[last, 2:] - xy[first, :2]
    extent = np.maximum(np.hypot(*along.T), 1e-9)
    off = xy[:, 2:] - start[run]
    across = np.abs(off[:, 0] * along[run, 1] - off[:, 1] * along[run, 0]) / extent[run]
    straight = (last - first + 1 >= MANY) & (np.maximum.reduceat(across, first) < STRAY)
    straight &= extent > ONWARD * np.add.reduceat(long, first)
    out = xy.copy()
    out[first[straight], 2:] = xy[last[straight], 2:]
    keep[straight[run]] = False
    keep[first] = True
    return out, keep

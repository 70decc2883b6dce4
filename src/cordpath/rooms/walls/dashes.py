"""Dashes that a plot driver drew one by one are dashed lines, as if the file had drawn them with a pattern.

Terms: *dash*, a short stroke with at least one end that touches nothing: the outer ones may start at a wall.
*Row*, dashes of one length on one line, the same gap apart: heads over doorways, soffits, beams and edges of what
lies above are drawn so, walls are not.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.geometry import components, lengths, lines, nodes
from cordpath.model import BoolArray, FloatArray

# Dashes are a matter of the plotter's pen and not of the building: 1/32 to 1/4 in on paper, with gaps of at least
# 1/100 in, no longer than the dash and not much shorter than half of it (line types of the usual standards, from
# memory); panes of a window have mullions between them that are narrower.
DASH_PT, GAP_PT, LEAST_GAP = (2.2, 18.0), 0.7, 0.2
LEAST = 4  # dashes in a row
ALIKE = 0.12  # how far lengths and gaps of a row differ, of the dash's length
STRAIGHT = 0.02  # how far the next dash leans or lies off, of a dash's length
STEP_PT = 0.12  # what plotters round ends to, 1/600 in
ONE_END_PT = 1.5 * STEP_PT  # ends a step apart, across it too, are one
ROUNDED_PT = 3 * STEP_PT  # what that makes of two ends and of the direction between them


def in_rows(xy: FloatArray) -> tuple[BoolArray, FloatArray]:
    """(n,) strokes (n, 4) that are dashes of a row, and (n, 4) the strokes without the gaps of their rows: a dash
    goes on to the next one, as a line that the file draws with a pattern is one stroke."""
    found, joined = np.zeros(len(xy), bool), xy.copy()
    size = lengths(xy)
    short = np.flatnonzero((size > DASH_PT[0]) & (size < DASH_PT[1]))
    short = short[_loose(xy)[short]]
    if len(short) < LEAST:
        return found, joined
    n = len(short)
    s = np.concatenate([xy[short], xy[short][:, [2, 3, 0, 1]]])  # each dash both ways
    length = np.tile(size[short], 2)
    unit = (s[:, 2:] - s[:, :2]) / length[:, None]
    ahead = np.concatenate([s[:, 2:] + unit * GAP_PT / 2, s[:, 2:] + unit * length[:, None]], axis=1)
    i, j = shapely.STRtree(lines(s)).query(lines(ahead), predicate="dwithin", distance=ROUNDED_PT)
    off = s[j, :2] - s[i, 2:]
    gap = (off * unit[i]).sum(1)
    aside = np.abs(off[:, 0] * unit[i, 1] - off[:, 1] * unit[i, 0])
    lean = np.abs(unit[i, 0] * unit[j, 1] - unit[i, 1] * unit[j, 0])
    slack = ALIKE * length[i] + ROUNDED_PT
    fits = (
        (i % n != j % n)
        & ((unit[i] * unit[j]).sum(1) > 0)
        & (gap > np.maximum(GAP_PT, LEAST_GAP * length[i]))
        & (np.abs(length[i] - length[j]) < slack)
    )
    fits &= np.maximum(aside, lean * length[i]) < STRAIGHT * length[i] + ROUNDED_PT
    i, j, gap = i[fits], j[fits], gap[fits]
    before = np.full(len(s), np.nan)
    before[j] = gap
    even = np.isnan(before[i]) | (np.abs(before[i] - gap) < ALIKE * length[i] + ROUNDED_PT)
    i, j = i[even], j[even]
    _, row = components(i % n, j % n, n)
    many = np.bincount(row, minlength=n)[row] >= LEAST
    found[short[many]] = True
    i, j = i[many[i % n]], j[many[i % n]]
    joined[short[i % n]] = np.hstack([s[i, :2], s[j, :2]])
    return found, joined


def _loose(xy: FloatArray) -> BoolArray:
    """(n,) strokes with an end that no other one shares."""
    node = nodes(xy.reshape(-1, 2), ONE_END_PT)
    return np.asarray((np.bincount(node)[node] == 1).reshape(-1, 2).any(1), bool)

"""Circles that a plotter drew as loose dashes, one path a dash.

Terms: *dash*, a path of a few short pieces; *trio*, three dashes drawn one after the other, and the circle through
their middles.  Trios that show one circle are a dashed circle, as if the file had drawn it with a dash pattern:
an outlet that is existing or to be removed is drawn so, and between loose dashes no circle can be fitted.
"""

from __future__ import annotations

import math

import numpy as np

from cordpath.geometry import chords, circle, lengths
from cordpath.model import BoolArray, FloatArray, IntArray, Strokes
from cordpath.sheet.ink.pen_areas import together

LONGEST = 8.0  # pt of a dash, 0.11 in
MOST = 8  # pieces of a dash
FEWEST = 5  # dashes of a circle; of fewer the curve is not told from a corner
RADIUS = (1.5, 30.0)  # pt: marks of symbols, and bowls
ALIKE = 0.1  # of the radius, by which circles of neighbouring trios differ, and 0.3 pt of rounding
ROUNDING = 0.3  # pt
ASIDE = 0.2  # pt that the ends of dashes lie beside their circle
GAP = 3.0  # times the longest dash: a wider gap is an opening of an arc
LEAST_SWEEP = math.radians(240)  # of the dashes together with their gaps; less is an arc, of a door for one


def with_dashed_circles(strokes: Strokes) -> Strokes:
    """The strokes, with whole circles, dashed, in place of the dashes that lie along them."""
    first, last = _dashes(strokes)
    if len(first) < FEWEST:
        return strokes
    start, end = strokes.xy[first, :2], strokes.xy[last, 2:]
    middle = (strokes.xy[(first + last) // 2, :2] + strokes.xy[(first + last + 1) // 2, 2:]) / 2
    circle, shows = _trios(middle)
    shows &= _follow(strokes, first, last)
    same = shows[1:] & shows[:-1]
    same &= np.abs(circle[1:] - circle[:-1]).max(axis=1) < ROUNDING + ALIKE * circle[1:, 2]
    begin = np.flatnonzero(np.r_[True, ~same])
    stop = np.r_[begin[1:], len(circle)]  # one beyond the last trio of each run
    gone = np.zeros(len(strokes), bool)
    rings, of = [], []
    for a, b in zip(begin, stop, strict=True):
        if b - a + 2 < FEWEST or not shows[a]:
            continue
        dash = slice(a, b + 2)
        ring = _ring(np.concatenate([start[dash], middle[dash], end[dash]]))
        if ring is None:
            continue
        rings.append(ring)
        of.append(np.full(len(ring), first[a]))
        gone[first[a] : last[b + 1] + 1] = True
    if not rings:
        return strokes
    like, n = np.concatenate(of), sum(map(len, rings))
    drawn = Strokes(
        np.concatenate(rings), strokes.width[like], strokes.colour[like], strokes.layer[like], strokes.path[like],
        np.full(n, -1), np.ones(n, bool), np.zeros(n, bool),
    )  # fmt: skip
    return together(strokes.take(~gone), drawn)


def _dashes(strokes: Strokes) -> tuple[IntArray, IntArray]:
    """First and last piece of each path that may be a dash: few pieces, short, one after the other."""
    n = len(strokes)
    if not n:
        return np.zeros(0, np.int64), np.zeros(0, np.int64)
    first = np.flatnonzero(np.r_[True, strokes.path[1:] != strokes.path[:-1]])
    last = np.r_[first[1:], n] - 1
    joined = np.r_[True, (np.abs(strokes.xy[1:, :2] - strokes.xy[:-1, 2:]) < 1e-3).all(axis=1)]
    joined[first] = True
    whole = np.logical_and.reduceat(joined, first)
    long = np.add.reduceat(lengths(strokes.xy), first)
    fit = whole & (long > 0) & (long < LONGEST) & (last - first < MOST) & ~strokes.dashed[first]
    return first[fit], last[fit]


def _follow(strokes: Strokes, first: IntArray, last: IntArray) -> BoolArray:
    """(d - 2,) trios of one pen, drawn one after the other with gaps of one size."""
    on = (last[:-1] + 1 == first[1:]) & (np.abs(strokes.width[first[1:]] - strokes.width[first[:-1]]) < 0.01)
    on &= (strokes.colour[first[1:]] == strokes.colour[first[:-1]]).all(axis=1)
    gap = np.hypot(*(strokes.xy[first[1:], :2] - strokes.xy[last[:-1], 2:]).T)
    reach = np.hypot(*(strokes.xy[last, 2:] - strokes.xy[first, :2]).T)
    on &= (gap > 0.1) & (gap < GAP * np.maximum(reach[1:], reach[:-1]))
    return on[1:] & on[:-1]


def _trios(middle: FloatArray) -> tuple[FloatArray, BoolArray]:
    """(d - 2, 3) middle and radius of the circle through three middles of dashes, and which are small and round."""
    a, b, c = middle[:-2], middle[1:-1], middle[2:]
    u, v = b - a, c - a
    cross = 2 * (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0])
    round_enough = np.abs(cross) > 1e-6
    cross = np.where(round_enough, cross, 1.0)
    uu, vv = (u**2).sum(axis=1), (v**2).sum(axis=1)
    at = np.stack([(v[:, 1] * uu - u[:, 1] * vv) / cross, (u[:, 0] * vv - v[:, 0] * uu) / cross], axis=1)
    radius = np.hypot(*at.T)
    shows = round_enough & (radius > RADIUS[0]) & (radius < RADIUS[1])
    return np.c_[np.where(shows[:, None], at + a, 0.0), np.where(shows, radius, 0.0)], shows


def _ring(points: FloatArray) -> FloatArray | None:
    """(k, 4) chords of the circle that all the points lie on, all around; None where they show none."""
    (x, y), radius, off = circle(points)
    if not RADIUS[0] < radius < RADIUS[1]:
        return None
    angle = np.sort(np.arctan2(points[:, 1] - y, points[:, 0] - x))
    open_part = np.diff(angle, append=angle[0] + 2 * math.pi).max()
    if off > ASIDE or 2 * math.pi - open_part < LEAST_SWEEP:
        return None
    return chords(np.array([[x, y, radius, 0.0, 2 * math.pi]]))[0]

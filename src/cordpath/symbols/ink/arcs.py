"""Arcs and circles out of loose chords, without a loop over strokes.

Terms: *half-edge*, a stroke seen from one of its ends (stroke i has half-edges i and i + n); *node*, ends that
touch; *link*, two half-edges at one node that carry one curve on; *chain*, strokes joined by links; *window*, three
strokes in a row of a chain.

A plotter rounds to 1/600 in (0.12 pt), so single chords have noise for directions.  Whole chains are fitted
first, with a residual that allows that grid, or the coarser one of the sheet's own coordinates; only chains that
are no single arc are fitted window by window.
Constants are lengths in points on paper, measured on plots and on synthetic sheets rounded to 1/600 in.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from cordpath.geometry import components, distinct_rows, pairs_within
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.circle_fits import arc_pieces, fit, swept
from cordpath.symbols.ink.grid import sorted_unique

GRID = 0.12  # pt, 1/600 in: the rounding that is always allowed for
COARSEST = 0.5  # pt; coordinates farther apart than 1/144 in are a drawing's own spacing, and no rounding
FEW_COORDINATES = 50  # from so many different ones on a common step is no accident
ON_STEP, OFF_STEP = 0.1, 0.05  # of a step: how near to a multiple of it; share of the gaps that may be none
MAX_RADIUS = 400.0  # pt; larger arcs are straight as far as symbols go
SHORT = 1.6  # pt up to which a chord's direction is noise on a plot of 1/600 in; in proportion on a coarser one
MIN_SPAN = math.radians(40)  # less of a circle cannot be fitted on a rounded grid
LONGEST_CHORD = 40.0  # pt
LEAST_CHORDS = 5  # of a whole circle; other arcs are fitted as a whole from one more


@dataclass(frozen=True, eq=False)
class Arcs:
    """``pieces`` (k, 5): centre x, y, radius, start, end (radians, y down, start <= end), one a chord;
    ``stroke`` (k,) the chord; ``circles`` (m, 4): centre x, y, radius, degrees covered; ``circle`` (k,) whose."""

    pieces: FloatArray
    stroke: IntArray
    circles: FloatArray
    circle: IntArray

    @property
    def lengths(self) -> FloatArray:
        """(m,) pt of each circle that are drawn."""
        return np.asarray(np.radians(self.circles[:, 3]) * self.circles[:, 2])

    @cached_property
    def _by_stroke(self) -> tuple[IntArray, IntArray]:
        """The chords, ascending, and whose each is."""
        order = np.argsort(self.stroke, kind="stable")
        return self.stroke[order], self.circle[order]

    def circle_of(self, strokes: IntArray) -> IntArray:
        """(n,) number of a circle that each stroke is a chord of, -1 for none."""
        chord, circle = self._by_stroke
        if not len(chord):
            return np.full(len(strokes), -1)
        at = np.minimum(np.searchsorted(chord, strokes), len(chord) - 1)
        return np.where(chord[at] == strokes, circle[at], -1)


def rounding(xy: FloatArray) -> float:
    """pt: the step of the grid that the coordinates (n, 4) of a plot lie on, ``GRID`` where there is none coarser.

    The smallest gaps between different coordinates are the step, if nearly all gaps are multiples of it.
    """
    values = np.r_[np.unique(np.round(xy[:, [0, 2]], 3)), np.inf, np.unique(np.round(xy[:, [1, 3]], 3))]
    gaps = np.diff(values)
    gaps = gaps[np.isfinite(gaps) & (gaps > 0.01)]
    if len(gaps) < FEW_COORDINATES:
        return GRID
    step = float(np.median(np.sort(gaps)[: len(gaps) // 10 + 1]))
    off = np.abs(gaps / step - np.round(gaps / step)) > ON_STEP
    return step if GRID < step <= COARSEST and off.mean() <= OFF_STEP else GRID


def _whole(xy: FloatArray, chain: IntArray, length: FloatArray, grid: float = GRID) -> tuple[BoolArray, FloatArray]:
    """Chains that are one arc: mask of their strokes among ``xy``, and every stroke's circle.

    ``grid``: pt, the step that coordinates were rounded to; it moves a point by its half-diagonal at most.
    """
    count = int(chain.max()) + 1 if len(chain) else 0
    circle, worst = fit(np.r_[xy[:, 0], xy[:, 2]], np.r_[xy[:, 1], xy[:, 3]], np.r_[chain, chain], count)
    _, sweep = swept(xy, circle[chain])
    span, total = np.bincount(chain, np.abs(sweep), count), np.bincount(chain, length, count)
    r = circle[:, 2]
    good = (
        (worst < max(0.1, 0.015 + grid / math.sqrt(2)) + 0.008 * r)
        & (worst < 0.2 * r)
        & (r > 0.4)
        & (r < MAX_RADIUS)
    )
    good &= (span > MIN_SPAN) & (np.abs(total - span * r) < 0.12 * total)
    good &= (np.bincount(chain) > LEAST_CHORDS) | (span > 6.0)
    return good[chain], circle[chain]


def link_chords(i: IntArray, j: IntArray, turn: FloatArray, length: FloatArray, grid: float) -> IntArray:
    """(2n,) partner of every half-edge along a curve, -1 for none; i, j, turn: pairs of half-edges at nodes.

    Mutually best pairs only.  Chords of a few steps of the plotter's grid may turn little by noise.
    """
    n = len(length)
    li, lj = length[i % n], length[j % n]
    noise = SHORT * (grid / GRID)
    short, tiny = (li < noise) & (lj < noise), (li < 0.6) | (lj < 0.6)
    # drains are drawn with as few as five chords: longer ones may turn as much if they are alike
    alike = (np.maximum(li, lj) < 4.0) & (np.abs(li - lj) < 0.15 * np.minimum(li, lj) + GRID)
    most = np.where(tiny | alike, math.radians(75), math.radians(50))
    ok = ((turn > math.radians(2.5)) | short) & (turn < most)
    ok &= (li < LONGEST_CHORD) & (lj < LONGEST_CHORD) & (li < 3.5 * lj + 0.15) & (lj < 3.5 * li + 0.15)
    return mutual(i[ok], j[ok], turn[ok], 2 * n)


def mutual(i: IntArray, j: IntArray, cost: FloatArray, count: int) -> IntArray:
    """(count,) partners by mutual least cost, -1 for none; in a second round those whose first choice was taken."""
    partner = np.full(count, -1, np.int64)
    for _ in range(2):
        free = (partner[i] < 0) & (partner[j] < 0)
        i, j, cost = i[free], j[free], cost[free]
        if not len(i):
            break
        head, tail, price = np.r_[i, j], np.r_[j, i], np.r_[cost, cost]
        order = np.lexsort((tail, price, head))
        first = order[np.r_[True, head[order][1:] != head[order][:-1]]]
        best = np.full(count, -1, np.int64)
        best[head[first]] = tail[first]
        mine = np.flatnonzero(best >= 0)
        mine = mine[best[best[mine]] == mine]
        partner[mine] = best[mine]
    return partner


def _windows(xy: FloatArray, partner: IntArray, done: BoolArray) -> tuple[IntArray, FloatArray]:
    """Arcs inside chains that are not one arc: strokes, and their circles (a stroke may appear twice)."""
    n = len(xy)
    none = (np.zeros(0, np.int64), np.zeros((0, 3)))
    ends = np.r_[xy[:, :2], xy[:, 2:]]
    other = np.r_[np.arange(n, 2 * n), np.arange(n)]
    h = np.flatnonzero(partner >= 0)
    e = other[partner[h]]
    on = partner[e] >= 0
    h, e = h[on], e[on]
    f = partner[e]
    trio = np.stack([h % n, e % n, f % n], 1)
    on = (trio[:, 0] < trio[:, 2]) & ~done[trio].any(1)
    h, e, f, trio = h[on], e[on], f[on], trio[on]
    if not len(h):
        return none
    points = np.stack([ends[other[h]], ends[h], ends[e], ends[other[f]]], 1)
    step = np.diff(points, axis=1)
    cross = step[:, :-1, 0] * step[:, 1:, 1] - step[:, :-1, 1] * step[:, 1:, 0]
    group = np.repeat(np.arange(len(h)), 4)
    circle, worst = fit(points[..., 0].ravel(), points[..., 1].ravel(), group, len(h))
    on = (cross[:, 0] * cross[:, 1] > 0) & (worst < 0.03 + 0.012 * circle[:, 2]) & (circle[:, 2] < MAX_RADIUS)
    if not on.any():
        return none
    return _joined(trio[on], points[on], circle[on], n)


def _joined(trio: IntArray, points: FloatArray, circle: FloatArray, n: int) -> tuple[IntArray, FloatArray]:
    """Windows that share two strokes and agree are one arc."""
    count = len(trio)
    low, high = np.minimum(trio[:, :2], trio[:, 1:]), np.maximum(trio[:, :2], trio[:, 1:])
    key, window = (low * n + high).T.ravel(), np.r_[np.arange(count), np.arange(count)]
    order = np.argsort(key, kind="stable")
    key, window = key[order], window[order]
    same = np.flatnonzero(key[1:] == key[:-1])
    a, b = window[same], window[same + 1]
    r = np.minimum(circle[a, 2], circle[b, 2])
    near = np.hypot(*(circle[a, :2] - circle[b, :2]).T) < 0.35 + 0.2 * r
    near &= np.abs(circle[a, 2] - circle[b, 2]) < 0.3 + 0.2 * r
    total, label = components(a[near], b[near], count)
    flat = points.reshape(-1, 2)
    joined, worst = fit(flat[:, 0], flat[:, 1], np.repeat(label, 4), total)
    bad = worst > 0.04 + 0.012 * joined[:, 2]
    if bad.any():  # windows that do not make one arc together stand alone
        alone = bad[label]
        label = np.where(alone, total + np.arange(count), label)
        _, label = np.unique(label, return_inverse=True)
        total = int(label.max()) + 1
        joined, _ = fit(flat[:, 0], flat[:, 1], np.repeat(label, 4), total)
    pairs = sorted_unique(np.repeat(label, 3) * n + trio.ravel())
    return pairs % n, joined[pairs // n]


def find_arcs(xy: FloatArray, partner: IntArray, node: IntArray, curve: IntArray, grid: float) -> Arcs:
    """Arcs among (n, 4) strokes with their links, the (2n,) nodes of their half-edges and the Bezier segment each
    chord was cut from (-1: none).

    ``grid``: pt, the step that coordinates were rounded to, see :func:`rounding`.
    """
    n = len(xy)
    length = np.hypot(xy[:, 2] - xy[:, 0], xy[:, 3] - xy[:, 1])
    done = np.zeros(n, bool)
    found = [_one_arc_chains(xy, partner, length, done, grid)]
    done[found[-1][0]] = True
    found.append(_one_arc_chains(xy, _parted(partner, node), length, done, grid))
    done[found[-1][0]] = True
    found.append(_bezier_arcs(xy, curve, done))
    done[found[-1][0]] = True
    found.append(_windows(xy, partner, done))
    at, of = (np.concatenate(each) for each in zip(*found, strict=True))
    return _merged(arc_pieces(xy[at], of), at)


def _one_arc_chains(
    xy: FloatArray, partner: IntArray, length: FloatArray, done: BoolArray, grid: float
) -> tuple[IntArray, FloatArray]:
    """Strokes of the chains that are one arc, of those not ``done``, and their circles."""
    n = len(xy)
    head = np.flatnonzero(partner >= 0)
    head = head[~done[head % n]]
    if not len(head):
        return np.zeros(0, np.int64), np.zeros((0, 3))
    _, chain = components(head % n, partner[head] % n, n)
    big = np.flatnonzero((np.bincount(chain)[chain] >= LEAST_CHORDS) & ~done)
    if not len(big):
        return big, np.zeros((0, 3))
    _, dense = np.unique(chain[big], return_inverse=True)
    good, circle = _whole(xy[big], dense, length[big], grid)
    return big[good], circle[good]


def _parted(partner: IntArray, node: IntArray) -> IntArray:
    """The links without those at nodes where two chains meet or cross: each may go on as the other there.

    On a plot, corners of two circles that touch fall on one point of its grid, and so do chords: of two that fall
    on each other one is left, and three chords meet at its ends.
    """
    linked = partner >= 0
    curved = np.tile(linked.reshape(2, -1).any(0), 2)  # both half-edges of the chords of chains
    met = np.bincount(node, curved)
    parted = partner.copy()
    parted[linked & (met[node] > 2)] = -1
    return parted


def _bezier_arcs(xy: FloatArray, curve: IntArray, done: BoolArray) -> tuple[IntArray, FloatArray]:
    """Bezier segments that are arcs by themselves, whatever they touch."""
    mine = np.flatnonzero((curve >= 0) & ~done)
    if not len(mine):
        return np.zeros(0, np.int64), np.zeros((0, 3))
    _, group = np.unique(curve[mine], return_inverse=True)
    count = int(group.max()) + 1
    q = xy[mine]
    circle, worst = fit(np.r_[q[:, 0], q[:, 2]], np.r_[q[:, 1], q[:, 3]], np.r_[group, group], count)
    _, sweep = swept(q, circle[group])
    span = np.bincount(group, np.abs(sweep), count)
    good = (np.bincount(group) >= 2) & (worst < 0.05 + 0.01 * circle[:, 2]) & (circle[:, 2] < MAX_RADIUS)
    good &= (circle[:, 2] > 0.3) & (span > math.radians(15))
    return mine[good[group]], circle[group][good[group]]


def _merged(pieces: FloatArray, stroke: IntArray) -> Arcs:
    """Co-circular pieces become one circle with the degrees that they cover together (5 degree bins)."""
    if not len(pieces):
        return Arcs(pieces.reshape(0, 5), stroke, np.zeros((0, 4)), np.zeros(0, np.int64))
    unique, inverse = distinct_rows(np.round(pieces[:, :3], 6))
    pairs = pairs_within(unique, 0.35)
    gap = np.abs(unique[pairs[:, 0]] - unique[pairs[:, 1]]).max(1) if len(pairs) else np.zeros(0)
    pairs = pairs[gap < 0.1 + 0.012 * unique[pairs[:, 0], 2]] if len(pairs) else pairs.reshape(0, 2)
    count, label = components(pairs[:, 0], pairs[:, 1], len(unique))
    label = label[inverse]
    weight = np.maximum(pieces[:, 4] - pieces[:, 3], 1e-9)
    total = np.bincount(label, weight, count)
    centre = np.stack([np.bincount(label, weight * pieces[:, k], count) / total for k in range(3)], 1)
    first = np.floor(np.degrees(pieces[:, 3]) / 5 + 0.5).astype(np.int64)
    last = np.maximum(first, np.floor(np.degrees(pieces[:, 4]) / 5 + 0.5).astype(np.int64))
    bins = last - first
    piece = np.repeat(np.arange(len(pieces)), bins)
    offset = np.arange(len(piece)) - np.repeat(np.cumsum(bins) - bins, bins)
    covered = np.zeros((count, 72), bool)
    covered[label[piece], (first[piece] + offset) % 72] = True
    return Arcs(pieces, stroke, np.c_[centre, covered.sum(1) * 5.0], label)

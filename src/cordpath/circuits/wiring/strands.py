"""Strokes followed from end to end: what may be a wire.

Terms
    *end*     one of the two ends of a stroke; end 2k and 2k + 1 belong to stroke k.
    *node*    ends that lie together.
    *joint*   two ends at which one line runs on.  Where more than two ends meet, a line runs on straight ahead:
              lines that cross do not join.
    *strand*  strokes joined one after the other: a path with two loose ends.
    *dash*    a short strand; three or more in a row, with short gaps, are one broken line.

A single gap in a solid line is no joint: whether the line runs on is then not known.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from cordpath.geometry import components, lengths, nodes
from cordpath.model import BoolArray, FloatArray, IntArray

TOUCH = 0.7  # pt: ends as near meet; pens round to 1/600 in (0.12 pt), and draughtsmen leave hairs
MEETING = 1.5 * TOUCH  # pt: two ends that meet are no farther apart, see nodes
BEND = 100.0  # degrees by which a line may turn at a vertex of its own: a little over a right angle
STRAIGHT = 20.0  # degrees by which it may turn where other lines meet it
MOST_AT_NODE = 6  # ends: more are the middle of a hatch or a star
DASH = 20.0  # pt, longest dash of a broken line: common linetypes plot at 3 to 12 pt (common practice, no source)
CHORD = 18.0  # pt, 1/4 in, longest chord of an arc drawn in pieces (common practice, no source)
GAP = 8.0  # pt, longest gap between dashes
DASH_TURN = 25.0  # degrees between a dash and the gap beside it
LEAST_DASHES = 3
BROKEN = 0.1  # of a broken line's way is gaps: 1/4 in common linetypes, less where dashes are long (no source)


@dataclass(frozen=True, eq=False)
class Strands:
    """``xy`` (n, 4): the strokes, without specks; ``kept`` (n,) their places among those given.

    ``partner`` (2n,): the end that each end is joined to, -1 for loose ends.  ``strand`` (n,): number of each
    stroke's strand.  ``length`` (s,): of each strand, pt, gaps left out.  ``forked`` (s,): is it a broken line that
    over one of its gaps may as well run on as another one?
    """

    xy: FloatArray
    kept: IntArray
    partner: IntArray
    strand: IntArray
    length: FloatArray
    forked: BoolArray

    @property
    def ends(self) -> FloatArray:
        """(2n, 2) all ends."""
        return self.xy.reshape(-1, 2)

    @property
    def gap(self) -> FloatArray:
        """(s,) widest gap between the dashes of each strand, pt; 0 for lines without."""
        strand, away = self._gaps()
        widest = np.zeros(len(self.length))
        np.maximum.at(widest, strand, away)
        return widest

    @property
    def broken(self) -> BoolArray:
        """(s,) is a strand a broken line?  One that jumps over another has a gap or two and is none."""
        strand, away = self._gaps()
        gaps = np.bincount(strand, away / 2, len(self.length))  # each stands there from both sides
        return gaps > BROKEN * (gaps + self.length)

    def _gaps(self) -> tuple[IntArray, FloatArray]:
        """(k,) strands and (k,) widths of the gaps at all joined ends, 0 where strokes meet."""
        joined = np.flatnonzero(self.partner >= 0)
        away = np.hypot(*(self.ends[joined] - self.ends[self.partner[joined]]).T)
        return self.strand[joined // 2], np.where(away > MEETING, away, 0.0)

    def loose(self) -> IntArray:
        """Ends of strands."""
        return np.flatnonzero(self.partner < 0)

    def walk(self, end: int) -> FloatArray:
        """(m, 2) the points of a strand from one loose end to the other."""
        points = [self.ends[end]]
        for _ in range(len(self.xy)):
            other = end ^ 1
            points.append(self.ends[other])
            end = int(self.partner[other])
            if end < 0:
                break
            points.append(self.ends[end])
        return np.array(points)

    def far(self, end: int) -> int:
        """The other loose end of the strand."""
        for _ in range(len(self.xy)):
            following = int(self.partner[end ^ 1])
            if following < 0:
                return end ^ 1
            end = following
        return end ^ 1


def strands(xy: FloatArray, stops: FloatArray, radius: FloatArray, halts: BoolArray | None = None) -> Strands:
    """Strands of (n, 4) strokes.

    ``stops`` (m, 2) with ``radius`` (m,), pt: lines end there, but for a lone one that runs straight on; ``halts``
    (2n,): the ends at which they do so as well, and strokes too long for chords of an arc always.
    """
    kept = np.arange(len(xy))
    if len(xy):
        node = nodes(xy.reshape(-1, 2), TOUCH)
        kept = np.flatnonzero(node[0::2] != node[1::2])  # a speck's neighbours meet at its node
        node = node.reshape(-1, 2)[kept].ravel()
        xy = xy[kept]
    halted = np.zeros(2 * len(xy), bool) if halts is None else halts.reshape(-1, 2)[kept].ravel()
    n = len(xy)
    partner = np.full(2 * n, -1, np.int64)
    if not n:
        return Strands(xy, kept, partner, np.zeros(0, np.int64), np.zeros(0), np.zeros(0, bool))
    ends, out = xy.reshape(-1, 2), _outward(xy)
    stopped = _stopped(ends, stops, radius)
    _joint_up(partner, node, out, stopped | halted, halted & np.repeat(lengths(xy) > CHORD, 2))
    strand = _components(partner, n)
    length = _lengths(strand, xy)
    crowd = np.bincount(node, minlength=node.max() + 1)
    # Dashes of two lines that cross may end at one point by chance.  At a symbol, both lines end there.
    alone = (crowd[node] == 1) | ((crowd[node] == 2) & ~halted)
    free = (partner < 0) & ~stopped & alone & (length[strand][np.arange(2 * n) // 2] <= DASH)
    ways = _bridge(partner, ends, out, np.flatnonzero(free), strand)
    strand = _components(partner, n)
    length = _lengths(strand, xy)
    forked = np.zeros(len(length), bool)
    ways = strand[ways // 2]
    forked[ways[:, ways[0] != ways[1]]] = True
    return Strands(xy, kept, partner, strand, length, forked)


def _lengths(strand: IntArray, xy: FloatArray) -> FloatArray:
    return np.asarray(np.bincount(strand, weights=lengths(xy)), float)


def _outward(xy: FloatArray) -> FloatArray:
    """(2n, 2) unit vectors out of the strokes, at each end."""
    way = xy[:, 2:] - xy[:, :2]
    way = way / np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-9)[:, None]
    return np.stack([-way, way], axis=1).reshape(-1, 2)


def _stopped(ends: FloatArray, stops: FloatArray, radius: FloatArray) -> BoolArray:
    if not len(stops):
        return np.zeros(len(ends), bool)
    away, which = cKDTree(stops).query(ends, distance_upper_bound=float(radius.max()))
    near = np.isfinite(away)
    found = np.zeros(len(ends), bool)
    found[near] = away[near] <= radius[which[near]]
    return found


def _joint_up(partner: IntArray, node: IntArray, out: FloatArray, stopped: BoolArray, apart: BoolArray) -> None:
    """Joins ends at their nodes: two ends by BEND, more by STRAIGHT, each to the one that it runs on to best; two
    that are ``apart`` never."""
    crowd = np.bincount(node)[node]
    which = np.flatnonzero((crowd > 1) & (crowd <= np.where(stopped, 2, MOST_AT_NODE)))
    order = which[np.argsort(node[which], kind="stable")]
    pairs = [np.zeros((2, 0), np.int64)]
    for step in range(1, MOST_AT_NODE):
        a, b = order[:-step], order[step:]
        same = (node[a] == node[b]) & (a ^ 1 != b)
        pairs.append(np.stack([a[same], b[same]]))
    a, b = np.concatenate(pairs, axis=1)
    turn = np.degrees(np.arccos(np.clip(-(out[a] * out[b]).sum(axis=1), -1, 1)))
    good = turn <= np.where((crowd[a] == 2) & ~stopped[a] & ~stopped[b], BEND, STRAIGHT)
    good &= ~(apart[a] & apart[b])
    _mutual(partner, a[good], b[good], turn[good])


def _mutual(partner: IntArray, a: IntArray, b: IntArray, cost: FloatArray) -> None:
    """Joins the pairs in which each end is the other's cheapest; ties join nothing."""
    best = np.full(len(partner), np.inf)
    np.minimum.at(best, a, cost)
    np.minimum.at(best, b, cost)
    good = (cost <= best[a]) & (cost <= best[b])
    a, b = a[good], b[good]
    often = np.bincount(np.concatenate([a, b]), minlength=len(partner))
    good = (often[a] == 1) & (often[b] == 1)
    partner[a[good]], partner[b[good]] = b[good], a[good]


def _components(partner: IntArray, n: int) -> IntArray:
    a = np.flatnonzero(partner >= 0)
    return components(a // 2, partner[a] // 2, n)[1]


def _bridge(partner: IntArray, ends: FloatArray, out: FloatArray, free: IntArray, strand: IntArray) -> IntArray:
    """Joins dashes over their gaps, where at least LEAST_DASHES follow each other.

    Returns (2, k) pairs of ends that would join as well, but that one of the two is joined to another.
    """
    if len(free) < 2:
        return np.zeros((2, 0), np.int64)
    away, near = cKDTree(ends[free]).query(ends[free], k=min(7, len(free)), distance_upper_bound=GAP)
    i, k = np.nonzero(np.isfinite(away))
    a, b, gap = free[i], free[near[i, k]], away[i, k]
    keep = (strand[a // 2] != strand[b // 2]) & (a < b) & (gap > 0)
    a, b, gap = a[keep], b[keep], gap[keep]
    way = (ends[b] - ends[a]) / gap[:, None]
    least = np.cos(np.radians(DASH_TURN))
    keep = ((out[a] * way).sum(axis=1) >= least) & (-(out[b] * way).sum(axis=1) >= least)
    found = np.full_like(partner, -1)
    _mutual(found, a[keep], b[keep], gap[keep])
    joined = np.flatnonzero(found >= 0)
    count = int(strand.max()) + 1
    _, row = components(strand[joined // 2], strand[found[joined] // 2], count)
    many = np.bincount(row)[row[strand[joined // 2]]] >= LEAST_DASHES
    partner[joined[many]] = found[joined[many]]
    a, b = a[keep], b[keep]
    other = (partner[a] != b) & ((partner[a] >= 0) | (partner[b] >= 0))
    return np.stack([a[other], b[other]])

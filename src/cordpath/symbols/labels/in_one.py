"""Lines that may lead away from a label and were drawn as many strokes, each as one: curves and broken lines.

Terms: *end*, *leader* as in leaders.py.  *Landing*, the short level begin of a leader.  *Ring*, strokes about a
text that hang together with no free end: a box, a circle, a hexagon.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.labels.leaders import AIMED, JOINED, LEAST, MOST, Loose, once

BOXED = 9.0  # pt, 1/8 in, from a text to a box around it, or from its corners to a ring
INTO = 0.5  # pt, about a pen, that it may begin inside
LONGEST = 4  # strokes of such a line; what turns more often is the edge of something
LANDING = 2.0  # pt: the level begin of a bent leader, about half as long as letters are high
CHORDS = 64  # of a curve; writers draw a whole circle with 12 to 72
CHORD_TURN = math.radians(35.0)  # between two of them: a circle of 12 turns by 30 degrees
SHORTEST, LONGEST_DASH, WIDEST, LEAST_DASHES = 1.4, 15.0, 7.0, 3  # pt of dashes and gaps, as in ink/dashes.py


def lines_at(
    areas: NDArray[np.object_], loose: Loose, curve: IntArray
) -> tuple[NDArray[np.object_], Loose, FloatArray, BoolArray]:
    """The texts' areas, of those in a ring that of the ring, and the strokes about them as of :func:`in_one`.

    ``curve``: (n,) which curve each of the sheet's strokes is a chord of, -1 for straight ones.
    """
    loose, rings = unboxed(loose, areas, curve)
    areas = areas.copy()
    for k, ring in rings.items():
        areas[k] = ring
    return areas, *in_one(loose, curve, shapely.bounds(areas))


def unboxed(loose: Loose, areas: NDArray[np.object_], curve: IntArray) -> tuple[Loose, dict[int, shapely.Geometry]]:
    """Without the texts' letters, and boxes and rings around them: lines that begin there are the texts'.  And the
    areas of such rings, by text.  A curve that only passes a text, as a door swing does, is not its letter."""
    near = np.flatnonzero(loose.free)
    x0, y0, x1, y1 = shapely.bounds(areas).T
    round_it = (np.hypot(x1 - x0, y1 - y0) - np.minimum(x1 - x0, y1 - y0)) / 2 + BOXED
    reach = np.c_[x0 - round_it, y0 - round_it, x1 + round_it, y1 + round_it]
    near = near[geometry.near_boxes(geometry.boxes_around(loose.xy[near]), reach, 0.0)]
    around = shapely.buffer(areas, round_it, join_style="mitre")
    line, text = shapely.STRtree(around).query(geometry.lines(loose.xy[near]), predicate="covered_by")
    gone = np.zeros(len(loose.xy), bool)
    chords = np.bincount(curve + 1, minlength=1)
    found: dict[int, shapely.Geometry] = {}
    for k in np.unique(text).tolist():
        own = near[line[text == k]]
        inside = own[shapely.covered_by(geometry.lines(loose.xy[own]), shapely.buffer(areas[k], INTO))]
        gone[inside[~_passes(curve[inside] + 1, chords)]] = True
        own, inner = own[~gone[own]], shapely.buffer(areas[k], -INTO)
        for ring in _rings(loose.xy[own]):
            hull = shapely.MultiPoint(loose.xy[own[ring]].reshape(-1, 2)).convex_hull
            if hull.contains(inner):
                gone[own[ring]] = True
                found[k] = hull
    return loose.but(gone), found


def _passes(curve: IntArray, chords: IntArray) -> BoolArray:
    """(k,) Is a stroke a chord of a curve that has others than these?  ``curve``: (k,) 0 for straight ones;
    ``chords``: how many each curve has."""
    of, number, count = np.unique(curve, return_inverse=True, return_counts=True)
    return np.asarray(((of > 0) & (count < chords[of]))[number], bool)


def _rings(xy: FloatArray) -> list[IntArray]:
    """Those of the lines (n, 4) that hang together with no end by itself, once what hangs off them is left out."""
    node = geometry.nodes(xy.reshape(-1, 2), JOINED)
    kept = np.arange(len(xy))
    for _ in range(len(xy)):
        met = np.bincount(node.reshape(-1, 2)[kept].ravel())
        closed = (met[node.reshape(-1, 2)[kept]] > 1).all(axis=1)
        if closed.all():
            break
        kept = kept[closed]
    of = geometry.hanging_together(node.reshape(-1, 2)[kept].ravel())
    return [kept[of == each] for each in np.unique(of).tolist()]


def in_one(loose: Loose, curve: IntArray, boxes: FloatArray) -> tuple[Loose, FloatArray, BoolArray]:
    """The strokes about the boxes, a curve or a broken line as one from its begin to its end; (2m, 2) the ways in
    which those that may be leaders leave their ends: a curve as its first chord does; (m,) which are broken."""
    near = np.flatnonzero(loose.free)
    around = geometry.boxes_around(loose.xy[near])
    near = near[geometry.near_boxes(around, boxes, MOST) | geometry.near_boxes(around, _beyond(loose, boxes), MOST)]
    xy, curve = loose.xy[near], curve[near]
    onset = np.c_[xy[:, 2:] - xy[:, :2], xy[:, :2] - xy[:, 2:]]
    chords = np.flatnonzero(curve >= 0)
    if len(chords):
        first = np.flatnonzero(np.r_[True, np.diff(curve[chords]) != 0])
        last = np.r_[first[1:], len(chords)] - 1
        onset[chords[first], 2:] = onset[chords[last], 2:]
        ends = xy[chords[last], 2:]
        begins = xy[chords[first], :2]
        xy[chords] = np.tile(np.repeat(ends, last - first + 1, axis=0), 2)
        xy[chords[first]] = np.c_[begins, ends]
    broken = np.zeros(len(xy), bool)
    for chain, dashed in _chains(xy, boxes):
        end, way = xy.reshape(-1, 2)[chain[-1] ^ 1].copy(), onset.reshape(-1, 2)[chain[-1] ^ 1].copy()
        xy[[k // 2 for k in chain[1:]]] = np.r_[end, end]
        xy.reshape(-1, 2)[chain[0] ^ 1], onset.reshape(-1, 2)[chain[0] ^ 1] = end, way
        broken[chain[0] // 2] = dashed
    leading = once(xy, np.flatnonzero((geometry.lengths(xy) >= LEAST) | _landings(xy, boxes)))
    return Loose(xy, np.ones(len(xy), bool), leading), onset[leading].reshape(-1, 2), broken[leading]


def _landings(xy: FloatArray, boxes: FloatArray) -> BoolArray:
    """(n,) Which short strokes begin freely at one of the boxes and lead to a line that may be a leader's?"""
    found = np.zeros(len(xy), bool)
    length = geometry.lengths(xy)
    short = np.flatnonzero((length >= LANDING) & (length < LEAST))
    ends = xy.reshape(-1, 2)
    begin = np.r_[2 * short, 2 * short + 1]
    begin = begin[geometry.near_points(ends[begin], boxes, AIMED)]
    if not len(begin):
        return found
    tree = cKDTree(ends, balanced_tree=False, compact_nodes=False)
    met = tree.query_ball_point(ends[begin], JOINED, return_length=True) == 1
    met &= tree.query_ball_point(ends[begin ^ 1], JOINED, return_length=True) == 2
    leader = cKDTree(xy[length >= LEAST].reshape(-1, 2), balanced_tree=False, compact_nodes=False)
    met &= leader.query_ball_point(ends[begin ^ 1], JOINED, return_length=True) == 1
    found[begin[met] // 2] = True
    return found


def _beyond(loose: Loose, boxes: FloatArray) -> FloatArray:
    """(n, 4) the other ends, as boxes, of strokes longer than MOST that begin at one of the boxes."""
    long = loose.xy[np.flatnonzero(loose.free & (geometry.lengths(loose.xy) > MOST))].reshape(-1, 2)
    other = np.flatnonzero(geometry.near_points(long, boxes, AIMED)) ^ 1
    return np.tile(long[other], 2)


def _chains(xy: FloatArray, boxes: FloatArray) -> list[tuple[list[int], bool]]:
    """Curves and broken lines that begin freely at one of the boxes and were drawn as many strokes (n, 4): the ends
    at which one comes to each of them, and whether it is broken."""
    ends = xy.reshape(-1, 2)
    start = np.flatnonzero(geometry.near_points(ends, boxes, AIMED))
    if not len(start):
        return []
    tree = cKDTree(ends, balanced_tree=False, compact_nodes=False)
    start = start[tree.query_ball_point(ends[start], JOINED, return_length=True) == 1]
    chains, growing = [[k] for k in start.tolist()], list(range(len(start)))
    dashed = np.zeros(len(chains), bool)
    for _ in range(CHORDS):
        last = [chains[n][-1] ^ 1 for n in growing]
        near = tree.query_ball_point(ends[last], WIDEST) if growing else ()
        onward = {n: _straight_on(ends, end, met) for n, end, met in zip(growing, last, near, strict=True)}
        growing = [n for n, end in onward.items() if end is not None]
        for n in growing:
            dashed[n] |= math.dist(ends[chains[n][-1] ^ 1], ends[onward[n]]) > JOINED
            chains[n].append(onward[n])
    return [
        (chain, bool(broken)) for chain, broken in zip(chains, dashed, strict=True)
        if len({k // 2 for k in chain}) == len(chain) and len(chain) >= (LEAST_DASHES if broken else LONGEST + 1)
    ]  # fmt: skip


def _straight_on(ends: FloatArray, end: int, near: list[int]) -> int | None:
    """The one end that meets an end, where its stroke runs nearly straight on, or that of the next dash.

    ``near``: the ends within WIDEST of it.
    """
    others = [k for k in near if k // 2 != end // 2]
    met = [k for k in others if math.dist(ends[k], ends[end]) <= JOINED]
    way = ends[end] - ends[end ^ 1]
    if len(met) > 1 or any(k == end ^ 1 for k in near if math.dist(ends[k], ends[end]) <= JOINED):
        return None
    if met:
        onward = ends[met[0] ^ 1] - ends[met[0]]
        return met[0] if way @ onward >= math.cos(CHORD_TURN) * math.hypot(*way) * math.hypot(*onward) else None
    if not SHORTEST <= math.hypot(*way) <= LONGEST_DASH:
        return None
    unit = way / math.hypot(*way)
    ahead = {
        k: float((ends[k] - ends[end]) @ unit) for k in others
        if (np.abs((ends[[k, k ^ 1]] - ends[end]) @ (-unit[1], unit[0])) <= JOINED).all()
    }  # fmt: skip
    ahead = {k: gap for k, gap in ahead.items() if gap > JOINED and (ends[k ^ 1] - ends[end]) @ unit > gap}
    return min(ahead, key=ahead.__getitem__, default=None)

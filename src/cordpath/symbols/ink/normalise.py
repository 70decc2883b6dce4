"""Loose strokes made comparable: duplicates dropped, runs measured, arcs fitted, hatch told, all indexed once.

Terms: *segment*, a stroke after duplicates are dropped, or a stand-in for ink that strokes only imply: a chord of
an arc fitted through coarse chords, the gap of a dashed line, or an outline of a small fill (``standin``); *run*,
collinear segments that touch end to end (or are dashes of one line), whose direction and length are better than
their pieces'; *corner*, two segments that meet at an angle; *half-edge*, a segment seen from one of its ends
(segment i: i from its start, i + n from its end).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from cordpath.geometry import chords, components, first_equals, forward, lengths, nodes
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.arcs import Arcs, find_arcs, link_chords, rounding
from cordpath.symbols.ink.beads import Beads, strings_of
from cordpath.symbols.ink.dashes import dash_links
from cordpath.symbols.ink.grid import Grid, Raster, sorted_unique
from cordpath.symbols.ink.hatch import breadths
from cordpath.symbols.ink.known import Known
from cordpath.symbols.ink.meeting import meeting
from cordpath.symbols.ink.rounding_steps import steps_between
from cordpath.symbols.ink.tangles import Crowding

SHORTEST = 0.02  # pt; zero-length strokes are pen dots (13 % of a measured plot)
SAME = 0.05  # pt; strokes that agree within this are drawn twice
TOUCH = 0.085  # pt; ends nearer than this are one node (less than the plotter's grid)
STRAIGHT = math.radians(1.5)
NOBODYS: IntArray = np.zeros(0, np.int64)  # segments that are known to belong to others: none
COARSE = 0.04  # pt of sagitta from which a chord is a poor stand-in for its arc


@dataclass(frozen=True, eq=False)
class Ink:
    """What a template is compared with.  The first ``count`` segments are drawn, the rest are stand-ins."""

    xy: FloatArray  # (m, 4)
    count: int  # n drawn segments
    run: FloatArray  # (m,) length of the run, or of the whole arc, pt
    run_of: IntArray  # (n,) number of the run of each drawn segment
    standin: BoolArray  # (m,)
    counts: BoolArray  # (m,) unexplained, it counts as clutter (not: coarse chords with stand-ins, fill outlines)
    line_of: IntArray  # (m,) number of the run or circle it belongs to: what a reader sees as one line
    curved: BoolArray  # (m,) part of an arc
    node: IntArray  # (2n,) number of the place at which each half-edge begins
    heading: FloatArray  # (2n,) direction of the run leaving the node of each half-edge, radians
    corners: IntArray  # (c, 2) half-edges at one node, more than 10 degrees apart
    arcs: Arcs
    stroke: IntArray  # (n,) the sheet's stroke that each drawn segment is
    segment_of: IntArray  # (strokes of the sheet,) segment that a stroke became, -1 for none

    @cached_property
    def grid(self) -> Grid:
        return Grid(self.xy)

    @cached_property
    def hatch(self) -> BoolArray:
        """(m,) part of a hatch; no stand-in is."""
        return self.hatch_breadth > 0

    @cached_property
    def hatch_breadth(self) -> FloatArray:
        """(m,) pt across the rows of the widest hatch that a segment is part of, 0 for none."""
        drawn = breadths(self.xy[: self.count], ~self.curved[: self.count])
        return np.r_[drawn, np.zeros(len(self.xy) - self.count)]

    @cached_property
    def crowding(self) -> Crowding:
        return Crowding(self.xy)

    @cached_property
    def raster(self) -> Raster:
        return Raster(self.xy)

    @cached_property
    def painted(self) -> Ink:
        """The edges of small fills alone, as if a pen had drawn them."""
        edges = self.xy[self.line_of < 0]
        return normalise(edges, np.full(len(edges), -1), np.ones(len(edges), bool), np.zeros((0, 4)))

    @cached_property
    def beads(self) -> Beads:
        return strings_of(self.arcs)

    @cached_property
    def known(self) -> Known:
        return Known()

    @cached_property
    def ends(self) -> FloatArray:
        """(2n, 2) node points of half-edges."""
        return np.r_[self.xy[: self.count, :2], self.xy[: self.count, 2:]]

    @cached_property
    def lengths(self) -> FloatArray:
        return lengths(self.xy)

    @cached_property
    def runs(self) -> FloatArray:
        """(r, 4) straight runs end to end, by number; runs of arc chords are too short to matter."""
        n = self.count
        count = int(self.run_of.max()) + 1 if n else 0
        unit = np.c_[np.cos(self.heading[:n]), np.sin(self.heading[:n])]
        first = np.full(count, -1, np.int64)
        first[self.run_of[::-1]] = np.arange(n)[::-1]
        base, axis = self.xy[first, :2], unit[first]
        low, high = np.zeros(count), np.zeros(count)
        for k in (0, 2):
            along = ((self.xy[:n, k : k + 2] - base[self.run_of]) * axis[self.run_of]).sum(1)
            np.minimum.at(low, self.run_of, along)
            np.maximum.at(high, self.run_of, along)
        return np.c_[base + axis * low[:, None], base + axis * high[:, None]]

    @cached_property
    def run_lengths(self) -> FloatArray:
        """(r,) pt, end to end."""
        return lengths(self.runs)

    @cached_property
    def hatch_runs(self) -> BoolArray:
        """(r,) a row of hatch is drawn on the run."""
        out = np.zeros(len(self.run_lengths), bool)
        out[self.run_of[self.hatch[: self.count] & ~self.curved[: self.count]]] = True
        return out

    @cached_property
    def run_ends(self) -> tuple[FloatArray, shapely.STRtree]:
        """(2k, 4) the runs that are no hatch, from either end, and where they begin in a tree."""
        runs = self.runs[~self.hatch_runs]
        ways = np.concatenate([runs, runs[:, [2, 3, 0, 1]]])
        return ways, shapely.STRtree(shapely.points(ways[:, :2]))

    @cached_property
    def extent(self) -> float:
        """Square pt of the box around all ink."""
        ends = self.xy.reshape(-1, 2)
        return float((ends.max(0) - ends.min(0)).prod()) if len(ends) else 0.0

    def strokes_of(self, segments: IntArray) -> IntArray:
        """Indices of the sheet's strokes that became these segments, duplicates included."""
        order, start = self._drawn_by
        own = sorted_unique(segments[segments < self.count])
        count = start[own + 1] - start[own]
        place = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
        return np.sort(order[np.repeat(start[own], count) + place])

    @cached_property
    def _drawn_by(self) -> tuple[IntArray, IntArray]:
        """The sheet's strokes by the segment that they became, and (n + 1,) where those of each begin."""
        order = np.argsort(self.segment_of, kind="stable")
        return order, np.searchsorted(self.segment_of[order], np.arange(self.count + 1))


def deduped(xy: FloatArray) -> IntArray:
    """(n,) for every stroke the index of the first stroke drawn at the same place, -1 for pen dots."""
    out = first_equals(forward(np.round(xy / SAME).astype(np.int64)))
    out[lengths(xy) <= SHORTEST] = -1
    return out


def normalise(xy: FloatArray, curve: IntArray, usable: BoolArray, outlines: FloatArray, bent: bool = True) -> Ink:
    """Ink of the ``usable`` strokes (n, 4) with Bezier numbers; ``outlines``: edges of fills, ``bent``: arcs."""
    usable = usable & np.isfinite(xy).all(1) & (np.abs(xy) < 1e5).all(1)
    chosen = np.flatnonzero(usable)
    first = deduped(xy[chosen])
    kept = np.flatnonzero(first == np.arange(len(chosen)))
    position = np.full(len(chosen) + 1, -1, np.int64)
    position[kept] = np.arange(len(kept))
    segment_of = np.full(len(xy), -1, np.int64)
    segment_of[chosen] = position[first]  # -1 looks up the last entry, which stays -1
    return _indexed(xy[chosen][kept], curve[chosen][kept], chosen[kept], segment_of, outlines, bent)


def _indexed(
    drawn: FloatArray, curve: IntArray, stroke: IntArray, segment_of: IntArray, outlines: FloatArray, bent: bool
) -> Ink:
    n, length = len(drawn), lengths(drawn)
    step = drawn[:, 2:] - drawn[:, :2]
    leaving = np.r_[np.arctan2(step[:, 1], step[:, 0]), np.arctan2(-step[:, 1], -step[:, 0])]
    ends = np.r_[drawn[:, :2], drawn[:, 2:]]
    node = nodes(ends, TOUCH)
    i, j = meeting(node)
    turn = np.abs((leaving[i] - leaving[j]) % (2 * np.pi) - np.pi)  # 0: straight on
    grid = rounding(drawn[curve < 0])
    links = link_chords(i, j, turn, length, grid) if bent else np.full(2 * n, -1, np.int64)
    arcs = find_arcs(drawn, links, node, curve, grid)
    curved = np.zeros(n, bool)
    curved[arcs.stroke] = True
    free = np.bincount(node)[node] == 1 if n else np.zeros(0, bool)
    dashes = dash_links(ends, leaving, length, free, curved)
    run, heading, run_of = _runs(i, j, turn, length, leaving, curved, dashes)
    bridges = np.c_[ends[dashes[0]], ends[dashes[1]]]
    run = run + np.bincount(run_of[dashes[0] % max(n, 1)], lengths(bridges), len(run))[run_of] if n else run
    corner = turn > math.radians(10)
    run[arcs.stroke] = arcs.lengths[arcs.circle]
    line_of, runs = run_of.copy(), int(run_of.max()) + 1 if n else 0
    line_of[arcs.stroke] = runs + arcs.circle
    sagitta = length[arcs.stroke] ** 2 / (8 * arcs.pieces[:, 2]) if len(arcs.stroke) else np.zeros(0)
    coarse = np.flatnonzero(sagitta > COARSE)
    counts = np.ones(n, bool)
    counts[arcs.stroke[coarse]] = False
    bridged = dashes[0] % max(n, 1)
    extra = _standins(arcs, coarse, runs, (bridges, run[bridged], run_of[bridged]), outlines)
    return Ink(
        xy=np.r_[drawn, extra.xy],
        count=n,
        run_of=run_of,
        run=np.r_[run, extra.run],
        line_of=np.r_[line_of, extra.line_of],
        standin=np.r_[np.zeros(n, bool), np.ones(len(extra.xy), bool)],
        counts=np.r_[counts, extra.round],
        curved=np.r_[curved, extra.round],
        node=node,
        heading=heading,
        corners=np.stack([i[corner], j[corner]], 1),
        arcs=arcs,
        stroke=stroke,
        segment_of=segment_of,
    )


@dataclass(frozen=True, eq=False)
class _Standins:
    """Segments that nobody drew: ``run`` and ``line_of`` as of Ink, ``round`` where they are chords of an arc."""

    xy: FloatArray
    run: FloatArray
    line_of: IntArray
    round: BoolArray


def _standins(
    arcs: Arcs, coarse: IntArray, runs: int, bridges: tuple[FloatArray, FloatArray, IntArray], outlines: FloatArray
) -> _Standins:
    """Finer chords for the ``coarse`` ones of arcs, the gaps of dashed lines, and the edges of small fills.

    ``bridges``: gaps (b, 4), and length and number of the run that each is in; circles are numbered after ``runs``.
    """
    gaps, run, run_of = bridges
    fine, of = chords(arcs.pieces[coarse])
    circle = arcs.circle[coarse][of]
    return _Standins(
        np.r_[fine, gaps, outlines],
        np.r_[arcs.lengths[circle], run, lengths(outlines)],
        np.r_[runs + circle, run_of, np.full(len(outlines), -1)],
        np.arange(len(fine) + len(gaps) + len(outlines)) < len(fine),
    )


def _runs(
    i: IntArray,
    j: IntArray,
    turn: FloatArray,
    length: FloatArray,
    leaving: FloatArray,
    curved: BoolArray,
    dashes: tuple[IntArray, IntArray],
) -> tuple[FloatArray, FloatArray, IntArray]:
    """(n,) length of each segment's run, (2n,) its direction at each half-edge, (n,) its number."""
    n = len(length)
    a, b = i % n if n else i, j % n if n else j
    least = np.minimum(length[a], length[b])
    # the plotter's grid turns a piece by its own rounding over its length
    straight = (turn < STRAIGHT + 0.13 / np.maximum(least, 0.1)) & (least > 1.0) & ~curved[a] & ~curved[b]
    straight |= turn < STRAIGHT
    steps = steps_between(i, j, length, leaving, curved, STRAIGHT)
    ahead = np.r_[a[straight], dashes[0] % max(n, 1), steps[0]]
    count, label = components(ahead, np.r_[b[straight], dashes[1] % max(n, 1), steps[1]], n)
    run = np.asarray(np.bincount(label, length, count), float)[label]
    twice = 2 * leaving[:n]
    mean = np.arctan2(np.bincount(label, length * np.sin(twice), count),
                      np.bincount(label, length * np.cos(twice), count))[label] / 2  # fmt: skip
    mean = np.where(np.cos(mean - leaving[:n]) < 0, mean + np.pi, mean)
    return run, (np.r_[mean, mean + np.pi] + np.pi) % (2 * np.pi) - np.pi, label


def outline_segments(shapes: FloatArray) -> FloatArray:
    """(k, 4) edges of the exteriors of shapely polygons or multipolygons (an object array)."""
    if not len(shapes):
        return np.zeros((0, 4))
    rings = shapely.get_exterior_ring(shapely.get_parts(shapes))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[1:] == ring[:-1]
    return np.c_[points[:-1], points[1:]][same]

"""Leader lines: which text a line leads to which symbol.

Terms: *leader*, a thin line of one to three strokes that runs from a text to a symbol.  *End* 2k and 2k + 1, those
of stroke k.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, IntArray, Sheet

FROM, TO = 4.5, 4.5  # pt from the text's box, and from the symbol's outline
AIMED = 9.0  # pt, 1/8 in, from the outline where the line's last stroke points at the symbol
LEAST, MOST = 6.0, 144.0  # pt: a leader's stroke
JOINED = 0.6  # pt between the ends of two strokes of one leader
STROKES = 3
SAME_END = 0.06  # pt, half of a plotter's grid: ends as near are one
ARROW = 2  # strokes of an arrowhead that may meet at a leader's far end
ROWS = 4  # parallels at least half as long beside a stroke: a floor or a hatch; labels seldom have so many leaders
ROW_GAP = 14.0  # pt to the farthest of them
ROW_TURN = np.radians(2.0)
SAME_TURN = 1e-6  # radians, .004 pt across the longest sheet: directions as near are one
NO_GAP = 1e-6  # pt: the rounding of numbers


@dataclass(frozen=True, eq=False)
class Steps:
    """Strokes that were followed from the texts, the first ones first."""

    start: IntArray  # (s,) index of the line that each is of
    end: IntArray  # (s,) where the line comes to the stroke
    joined: IntArray  # (s,) strokes that meet its other end


@dataclass(frozen=True, eq=False)
class Loose:
    """Strokes that no symbol explains, made ready for the leaders of all the texts of a sheet."""

    xy: FloatArray  # (n, 4) strokes of the sheet, whosever they are
    free: BoolArray  # (n,) those that no symbol explains
    which: IntArray  # (m,) of these, those that may be a leader's

    @staticmethod
    def of(sheet: Sheet, free: BoolArray) -> Loose:
        xy = sheet.strokes.xy
        length = geometry.lengths(xy)
        return Loose(xy, free, once(xy, np.flatnonzero(free & (length >= LEAST) & (length <= MOST))))

    def of_any_length(self) -> Loose:
        """With the longer strokes too."""
        long = np.flatnonzero(self.free & (geometry.lengths(self.xy) > MOST))
        return replace(self, which=np.sort(np.r_[self.which, once(self.xy, long)]))

    def but(self, others: BoolArray) -> Loose:
        """Without some of the sheet's strokes (n,), which are something else's."""
        if not others.any():
            return self
        return Loose(self.xy, self.free & ~others, self.which[~others[self.which]])

    @cached_property
    def ends(self) -> FloatArray:
        """(2m, 2)"""
        return self.xy[self.which].reshape(-1, 2)

    @cached_property
    def tree(self) -> cKDTree:
        return cKDTree(self.ends, balanced_tree=False, compact_nodes=False)  # few places are asked about

    def toward(self, outlines: NDArray[np.object_]) -> Loose:
        """Without strokes from which no line can come to one of the outlines, and what meets none of the others."""
        kept = np.zeros(len(self.which), bool)
        new = np.unique(within(outlines, self.ends, AIMED)[0] // 2)
        for _ in range(STROKES):  # what meets the first stroke of a line tells whether its end is free
            kept[new] = True
            met = self.tree.query_ball_point(self.ends.reshape(-1, 4)[new].reshape(-1, 2), JOINED)
            stroke = np.fromiter(chain.from_iterable(met), np.int64) // 2
            new = np.unique(stroke[~kept[stroke]])
        kept[new] = True
        return Loose(self.xy, self.free, self.which[kept])


@dataclass(frozen=True, eq=False)
class Leaders:
    """Lines that begin at texts with a free end, wherever they lead."""

    loose: Loose
    start: IntArray  # (k,) the end at which each line begins
    text: IntArray  # (k,) the text at which it does
    steps: Steps

    @staticmethod
    def of(texts: NDArray[np.object_], loose: Loose, fans: bool = False, reach: float = FROM) -> Leaders:
        """Of the texts' areas.  ``fans``: also lines that begin together, and both branches of those that fork;
        ``reach``: pt from a text to their begins, where they begin nearer to no other."""
        ends, tree = loose.ends, loose.tree
        start, text = within(texts, ends, reach)
        if reach > FROM:
            near = shapely.dwithin(texts[text], shapely.points(ends[start]), FROM)
            kept = near | ~np.isin(start, start[near])
            start, text = start[kept], text[kept]
        if not fans:
            free = tree.query_ball_point(ends[start], JOINED, return_length=True) <= 1
            start, text = start[free], text[free]
        return Leaders(loose, start, text, _followed(start, tree, ends, 2 if fans else 1))

    def off(self, outlines: NDArray[np.object_]) -> Leaders:
        """Without the lines that begin at one of the outlines, as wires do."""
        at = np.unique(within(outlines, self.loose.ends[self.start], JOINED)[0])
        steps, kept = self.steps, ~np.isin(self.steps.start, at)
        return replace(self, steps=Steps(steps.start[kept], steps.end[kept], steps.joined[kept]))

    def to(self, outlines: NDArray[np.object_]) -> tuple[IntArray, IntArray]:
        """(text, outline) of every text that a line leads to exactly one of the outlines."""
        arrives = self._arrives(outlines)
        # A line that ends at several symbols is wiring or a wall, not a leader.
        found = [(int(self.text[k]), *there, int(self.start[k] // 2)) for k, there in self._met(arrives)
                 if len(there) == 1]  # fmt: skip
        led = np.array(found, np.int64).reshape(-1, 3)
        pairs = np.unique(led[~self.in_rows(led[:, 2]), :2], axis=0)
        return pairs[:, 0], pairs[:, 1]

    def far_ends(self) -> tuple[IntArray, FloatArray]:
        """(n,) the text of every line that ends by itself, and (n, 2) where it does."""
        last = self.steps.joined == 0
        line, end = self.steps.start[last], self.steps.end[last] ^ 1
        alone = ~self.in_rows(self.start[line] // 2)
        return self.text[line[alone]], self.loose.ends[end[alone]]

    def _arrives(self, outlines: NDArray[np.object_]) -> dict[int, set[int]]:
        """Outlines that each end of the lines' strokes comes to."""
        ends, reached = self.loose.ends, np.unique(np.r_[self.steps.end, self.steps.end ^ 1])
        at, outline = within(outlines, ends[reached], AIMED)
        end = reached[at]
        arrives: dict[int, set[int]] = {}
        meant = _aimed(ends, end, outlines[outline])
        for each, there in zip(end[meant].tolist(), outline[meant].tolist(), strict=True):
            arrives.setdefault(each, set()).add(there)
        return arrives

    def _met(self, arrives: dict[int, set[int]]) -> list[tuple[int, set[int]]]:
        """Outlines at the far ends of the lines, by the line's number; nothing but an arrowhead meets them there:
        walls join other walls.

        A bend at a symbol may lie there by chance: the line leads to where it ends as well.
        """
        met: list[tuple[int, set[int]]] = []
        lines = zip(self.steps.start.tolist(), self.steps.end.tolist(), self.steps.joined.tolist(), strict=True)
        for line, end, joined in lines:
            there = arrives.get(end ^ 1, set())
            # Both ends at one symbol: a stroke of a neighbour, or a leader on its way past the symbol.
            if there and joined <= ARROW and not there & arrives.get(end, set()):
                met.append((line, there))
        return met

    def in_rows(self, stroke: IntArray) -> BoolArray:
        """(k,) True for strokes of the lines among many parallels."""
        every, inverse = np.unique(self.loose.which[stroke], return_inverse=True)
        return np.asarray(in_rows(self.loose.xy, self.loose.xy[every])[inverse], bool)


def in_rows(xy: FloatArray, strokes: FloatArray) -> BoolArray:
    """(k,) True for strokes (k, 4) among many parallels of the sheet (n, 4): boards, tiles and hatch run from many
    a text and lead nowhere."""
    found = np.zeros(len(strokes), bool)
    others, ordered = _by_turn(xy, strokes)
    turns, group = np.unique(np.round(geometry.directions(strokes) / SAME_TURN) * SAME_TURN, return_inverse=True)
    for number, turn in enumerate(turns.tolist()):  # most strokes have one of few directions
        around = turn + np.array([-np.pi, 0.0, np.pi])
        first = np.searchsorted(ordered, around - ROW_TURN, side="right").tolist()
        last = np.searchsorted(ordered, around + ROW_TURN).tolist()
        near = np.concatenate([others[a:b] for a, b in zip(first, last, strict=True)])
        mine = group == number
        found[mine] = _among_parallels(strokes[mine], near, turn)
    return found


def once(xy: FloatArray, which: IntArray) -> IntArray:
    """Those of the strokes ``which``, in order, that are not drawn there and back or a second time: a line that
    some writers close would have no free end."""
    ends = geometry.forward(np.rint(xy[which] / SAME_END).astype(np.int64))
    return which[geometry.first_of_equal(ends)]


def within(
    shapes: NDArray[np.object_], points: FloatArray, distance: float
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """(point, shape) of every pair within the distance; most points are far from all shapes."""
    near = np.flatnonzero(geometry.near_points(points, shapely.bounds(shapes), distance + NO_GAP))
    point, shape = shapely.STRtree(shapes).query(
        shapely.points(points[near]), predicate="dwithin", distance=distance
    )
    return near[point], shape


def _followed(start: IntArray, tree: cKDTree, ends: FloatArray, branches: int) -> Steps:
    """The strokes of the lines that begin at ``start``, up to where they end or have more than so many branches."""
    found = []
    line, end = np.arange(len(start)), start
    for _ in range(STROKES):
        other = end ^ 1
        joined = tree.query_ball_point(ends[other], JOINED, return_length=True) - 1
        found.append((line, end, joined))
        on = np.flatnonzero((joined >= 1) & (joined <= branches))
        near = tree.query_ball_point(ends[other[on]], JOINED)
        line = np.repeat(line[on], joined[on])
        end = np.array(
            [k for here, o in zip(near, other[on].tolist(), strict=True) for k in here if k != o], np.int64
        )
    return Steps(*(np.concatenate(each) for each in zip(*found, strict=True)))


def _aimed(ends: FloatArray, end: IntArray, outline: NDArray[np.object_]) -> BoolArray:
    """Which of the line ends touch their symbol's outline, or would where the stroke is drawn on."""
    way = ends[end] - ends[end ^ 1]
    onward = ends[end] + way / np.maximum(np.hypot(*way.T), 1e-9)[:, None] * (AIMED + 1)
    points_at = shapely.intersects(shapely.linestrings(np.stack([ends[end], onward], axis=1)), outline)
    away = shapely.distance(shapely.points(ends[end]), outline)
    # One that the stroke has run through already is passed where it points at the next.
    through = shapely.intersects(geometry.lines(np.c_[ends[end ^ 1], ends[end]]), outline) & ~points_at
    aside = away > JOINED  # of the one that it points at
    return np.asarray(points_at | ((away <= TO) & ~((through | aside) & np.isin(end, end[points_at]))), bool)


def _by_turn(others: FloatArray, strokes: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Those of the ``others`` that may be parallels beside one of the strokes, in order of their directions, and
    these; none of them is too short to lie along half of a leader."""
    length = geometry.lengths(others)
    room = ROW_GAP + length * np.sin(ROW_TURN) + JOINED  # what runs askew is farther off at its other end
    boxes = geometry.boxes_around(others) + room[:, None] * [-1.0, -1.0, 1.0, 1.0]
    near = others[(length >= LEAST / 2) & geometry.near_boxes(boxes, geometry.boxes_around(strokes), NO_GAP)]
    angle = geometry.directions(near)
    order = np.argsort(angle)
    return near[order], angle[order]


def _among_parallels(strokes: FloatArray, others: FloatArray, turn: float) -> BoolArray:
    """(k,) of strokes (k, 4) in the direction ``turn``: do many of the ``others``, which run in about the same, lie
    beside them for half their length?"""
    along, across = np.array([np.cos(turn), np.sin(turn)]), np.array([-np.sin(turn), np.cos(turn)])
    side = others[:, :2] @ across
    order = np.argsort(side)
    side, others = side[order], others[order]
    found = np.zeros(len(strokes), bool)
    for place, ends in enumerate(strokes.reshape(-1, 2, 2)):
        own = float(ends[0] @ across)
        first, last = np.searchsorted(side, (own - ROW_GAP - NO_GAP, own + ROW_GAP + NO_GAP)).tolist()
        off = side[first:last] - own
        beside = np.flatnonzero((np.abs(off) > JOINED) & (np.abs(off) < ROW_GAP))
        if len(beside) < ROWS:
            continue
        reach = others[first:last][beside].reshape(-1, 2, 2) @ along
        low, high = sorted((ends @ along).tolist())
        shared = np.minimum(reach.max(axis=1), high) - np.maximum(reach.min(axis=1), low)
        rows = np.rint(off[beside[shared > (high - low) / 2]] / JOINED)
        found[place] = len(np.unique(rows)) >= ROWS
    return found

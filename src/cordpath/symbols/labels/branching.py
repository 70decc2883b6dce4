"""Leaders that branch along a line: from a text to a bar, and from the bar to each outlet of a row; and braces.

Terms: *tree*, a leader from a text with all that branches off it, at ends of strokes or from the middle of one.
*Brace*, a line about the middle of which a text stands and which opens away from it: a bracket, a brace, a bow; or
a straight one, from the first to the last outlet of a row.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import within as within_reach
from cordpath.symbols.labels.leaders import AIMED, FROM, JOINED, MOST, Loose, within

LARGEST = 12  # strokes of a tree: a bar and its legs; what has more is wiring or walls
LEAST_ENDS = 2
MEETING = 0.2  # pt between ends of strokes of a brace, whose tip is narrow: two roundings to a plotter's grid
AT_TIP = 4  # ends of strokes that meet at the tip, where two of each side may lie as near
BRACE = 128  # strokes, at most: two curves of as many chords as a circle has
SHALLOW, DEEP = 2.0, 18.0  # pt that a brace is deep, 1/4 in at most: what is deeper is a counter or a wall
# pt from the text's box to the tip of a brace, and to a straight one: 1/16 in and 1/8 in from that of a font, which
# is common practice; the boxes of drawn words are 2 pt tighter
AT_TEXT, OFF_TEXT = 6.5, 11.0
ABOUT = 0.25  # of the length of a brace from its middle, that the text's middle may stand at most
LAID = 36.0  # pt, 1/2 in, from the ends of a brace to outlets that it takes together, as far as labels reach


def branching(texts: NDArray[np.object_], outlines: NDArray[np.object_], loose: Loose) -> tuple[IntArray, IntArray]:
    """(text, outline) of the texts' areas from which trees come to several of the outlines."""
    none = np.zeros(0, np.int64)
    if not len(loose.which) or not len(texts) or not len(outlines):
        return none, none
    begin, text = within(texts, loose.ends, FROM)
    free = loose.tree.query_ball_point(loose.ends[begin], JOINED, return_length=True) <= 1
    begin, text = begin[free], text[free]
    if not len(begin):
        return none, none
    trees = _Trees(loose.ends, outlines)
    there, _ = within(outlines, loose.ends, AIMED)
    trees.grow(there // 2)
    kept = trees.by_itself(begin)
    begun = zip(begin[kept].tolist(), text[kept].tolist(), strict=True)
    found = {(each, outline) for start, each in begun for outline in trees.led(start)}
    led = np.array(sorted(found), np.int64).reshape(-1, 2)
    return led[:, 0], led[:, 1]


def embraced(texts: NDArray[np.object_], outlines: NDArray[np.object_], loose: Loose) -> tuple[IntArray, IntArray]:
    """(text, outline) of the texts' areas at braces that take several of the outlines together."""
    near = np.flatnonzero(loose.free)
    near = near[geometry.near_boxes(geometry.boxes_around(loose.xy[near]), shapely.bounds(texts), MOST)]
    xy = loose.xy[near]
    node = geometry.nodes(xy.reshape(-1, 2), MEETING)
    dots = node[::2] == node[1::2]
    xy, node = xy[~dots], node[~np.repeat(dots, 2)]
    of_line, met = geometry.hanging_together(node), np.bincount(node)
    lines = geometry.lines(xy)
    line, text = shapely.STRtree(texts).query(lines, predicate="dwithin", distance=OFF_TEXT)
    straight = np.bincount(of_line)[of_line] == 1
    beside = shapely.distance(lines[line], texts[text]) <= AT_TEXT
    tick = np.flatnonzero(straight[line] & beside)  # leads from the middle of a bracket's line
    ends_of_ticks = shapely.points(xy[line[tick]].reshape(-1, 2))
    tree = shapely.STRtree(lines)
    end, ticked = tree.query(ends_of_ticks, predicate="dwithin", distance=JOINED)
    near_by = straight[line] | beside
    line, text = np.r_[line[near_by], ticked], np.r_[text[near_by], text[tick[end // 2]]]
    may = _may_be_braces(xy, of_line, met[node] == 1)[line]
    line, text = line[may], text[may]
    found: set[tuple[int, int]] = set()
    order = np.argsort(of_line, kind="stable")
    first = np.searchsorted(of_line[order], np.arange(len(of_line) + 1))
    for chain, at in {(int(of_line[k]), int(t)) for k, t in zip(line, text, strict=True)}:
        own = order[first[chain] : first[chain + 1]]
        ends = np.c_[2 * own, 2 * own + 1].ravel()
        free = ends[met[node[ends]] == 1]
        if len(free) == 3:  # a tick leads from its tip to the text
            off = shapely.distance(shapely.points(xy.reshape(-1, 2)[free]), texts[at])
            free = free[off > AT_TEXT]
        if len(free) == 2 and len(own) <= BRACE and (met[node[ends]] <= AT_TIP).all():
            points = xy.reshape(-1, 2)
            taken = _taken(texts[at], points[free], points[ends], outlines)
            if taken and len(own) == 1:  # an edge of something else meets other lines
                met_by = tree.query(shapely.points(points[free]), predicate="dwithin", distance=JOINED)[0]
                taken = taken if len(met_by) == 2 else []
            found |= {(at, k) for k in taken}
    led = np.array(sorted(found), np.int64).reshape(-1, 2)
    return led[:, 0], led[:, 1]


def _may_be_braces(xy: FloatArray, of_line: IntArray, free: BoolArray) -> BoolArray:
    """(n,) strokes of lines with two ends, or three, and no more strokes than braces have; straight ones as long as
    braces are.  ``free`` (2n,): ends that nothing meets."""
    strokes, ends = np.bincount(of_line), np.bincount(np.repeat(of_line, 2), free)
    long = (strokes[of_line] > 1) | (geometry.lengths(xy) >= 2 * DEEP)
    return np.asarray(long & (((ends == 2) | (ends == 3)) & (strokes <= BRACE))[of_line], bool)


def lost_at_braces(
    lost: FloatArray, outlines: NDArray[np.object_], loose: Loose
) -> list[tuple[int, shapely.Point]]:
    """(outline, place) of lettering that could not be read, (n, 2), at braces that take the outline with others."""
    places = shapely.points(np.unique(lost[within(outlines, lost, LAID + DEEP)[0]], axis=0))
    if not len(places):
        return []
    text, outline = embraced(shapely.buffer(places, FROM), outlines, loose)
    return list(zip(outline.tolist(), places[text].tolist(), strict=True))


def _taken(
    text: shapely.Geometry, ends: FloatArray, points: FloatArray, outlines: NDArray[np.object_]
) -> list[int]:
    """The outlines that a line through the points (n, 2), with its two ends, takes together for the text, if it is
    a brace and they are several."""
    span = float(np.hypot(*(ends[1] - ends[0])))
    if span < 2 * DEEP:
        return []
    way = (ends[1] - ends[0]) / span
    middle = np.array(text.centroid.coords[0]) - ends[0]
    up = np.array([-way[1], way[0]]) * (1.0 if middle @ np.array([-way[1], way[0]]) > 0 else -1.0)
    high = (points - ends[0]) @ up
    straight = len(points) == 2
    if not (straight or SHALLOW <= high.max() <= DEEP) or high.min() < -JOINED or middle @ up < high.max() - FROM:
        return []
    if abs(middle @ way - span / 2) > ABOUT * span:
        return []
    at = shapely.get_coordinates(shapely.centroid(outlines)) - ends[0]
    along, off = at @ way, at @ up
    taken = (along >= -AIMED) & (along <= span + AIMED) & (off >= -(DEEP if straight else LAID))
    taken &= off <= high.max()
    if straight and taken.any():
        wire = shapely.distance(outlines[taken], shapely.LineString(ends)).min() <= JOINED
        if wire or along[taken].min() > AIMED or along[taken].max() < span - AIMED:
            return []
    return np.flatnonzero(taken).tolist() if taken.sum() >= LEAST_ENDS else []


class _Trees:
    """Strokes that may be a leader's, by their ends (2m, 2), and what the trees of them come to."""

    def __init__(self, ends: FloatArray, outlines: NDArray[np.object_]) -> None:
        self.ends, self.xy, self.outlines = ends, ends.reshape(-1, 4), outlines
        self.lines = geometry.lines(self.xy)
        self.tree, self.bodies = shapely.STRtree(self.lines), shapely.STRtree(outlines)
        self.number = np.full(len(self.lines), -1)  # (m,) of the tree that each stroke is part of, -1 for none
        self.comes_to: dict[int, dict[int, int]] = {}  # by tree: its free ends, and the outline at each

    def grow(self, strokes: IntArray) -> None:
        """Follows the trees that these strokes are part of, all at once; others come to none of the outlines."""
        part, tree = np.unique(strokes), np.zeros(0, np.int64)  # strokes that were come to, and the tree of each
        one, two, new = [part[:0]], [part[:0]], part
        while len(new):
            k, other = self.tree.query(self.lines[new], predicate="dwithin", distance=JOINED)
            joined = self._joined(new[k], other)
            one.append(new[k[joined]])
            two.append(other[joined])
            part = np.union1d(part, two[-1])
            a, b = (np.searchsorted(part, np.concatenate(each)) for each in (one, two))
            count, tree = geometry.components(a, b, len(part))
            small = np.bincount(tree, minlength=count) <= LARGEST
            new = np.setdiff1d(part[small[tree]], np.concatenate(one))
        whole = np.bincount(tree)[tree] <= LARGEST if len(tree) else tree > 0
        self.number[part[whole]] = tree[whole]
        self._come_to(part[whole])

    def by_itself(self, begin: IntArray) -> BoolArray:
        """(n,) Does nothing meet these ends?  Others are the corner of something, or of a wire."""
        met = self.bodies.query(shapely.points(self.ends[begin]), predicate="dwithin", distance=JOINED)[0]
        return np.asarray((self._met(begin) <= 1) & (np.bincount(met, minlength=len(begin)) == 0))

    def led(self, begin: int) -> list[int]:
        """The outlines at the free ends of the tree that begins at an end, where they are several."""
        there = self.comes_to.get(int(self.number[begin // 2]), {})
        led = {outline for end, outline in there.items() if end != begin}
        return sorted(led) if len(led) >= LEAST_ENDS else []

    def _come_to(self, strokes: IntArray) -> None:
        """Notes the outlines about the free ends of the strokes, the nearest of each."""
        end = np.r_[2 * strokes, 2 * strokes + 1]
        points = shapely.points(self.ends[end])
        at, outline = self.bodies.query(points, predicate="dwithin", distance=AIMED)
        order = np.lexsort((outline, shapely.distance(points[at], self.outlines[outline]), at))
        at, first = np.unique(at[order], return_index=True)
        outline = outline[order][first]
        free = self._met(end[at]) == 1
        for one, there in zip(end[at[free]].tolist(), outline[free].tolist(), strict=True):
            self.comes_to.setdefault(int(self.number[one // 2]), {})[one] = there

    def _joined(self, one: IntArray, two: IntArray) -> BoolArray:
        """(n,) Does an end of the one stroke lie on the other?  What crosses it is something else."""
        joined = [
            within_reach(self.xy[b], self.ends[2 * a + side], JOINED)
            for a, b in ((one, two), (two, one))
            for side in (0, 1)
        ]
        return np.any(joined, axis=0)

    def _met(self, ends: IntArray) -> IntArray:
        """(n,) how many strokes meet each of the ends, its own among them."""
        points = shapely.points(self.ends[ends])
        met, _ = self.tree.query(points, predicate="dwithin", distance=JOINED)
        return np.bincount(met, minlength=len(ends))

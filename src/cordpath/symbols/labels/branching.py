"""Leaders that branch along a line: from a text to a bar, and from the bar to each outlet of a row; and braces.

Terms: *tree*, a leader from a text with all that branches off it, at ends of strokes or from the middle of one.
*Brace*, a line about the middle of which a text stands and which opens away from it: a bracket, a brace, a bow.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.labels.leaders import AIMED, FROM, JOINED, MOST, Loose, within

LARGEST = 12  # strokes of a tree: a bar and its legs; what has more is wiring or walls
LEAST_ENDS = 2
MEETING = 0.2  # pt between ends of strokes of a brace, whose tip is narrow: two roundings to a plotter's grid
AT_TIP = 4  # ends of strokes that meet at the tip, where two of each side may lie as near
BRACE = 128  # strokes, at most: two curves of as many chords as a circle has
SHALLOW, DEEP = 2.0, 18.0  # pt that a brace is deep, 1/4 in at most: what is deeper is a counter or a wall
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
    xy = loose.xy[loose.which]
    trees = _Trees(geometry.lines(xy), xy.reshape(-1, 2), outlines)
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
    _, group = geometry.components(node[::2], node[1::2], int(node.max(initial=-1)) + 1)
    of_line, met = group[node[::2]], np.bincount(node)
    line, text = shapely.STRtree(texts).query(geometry.lines(xy), predicate="dwithin", distance=FROM)
    found: set[tuple[int, int]] = set()
    for chain, at in {(int(of_line[k]), int(t)) for k, t in zip(line, text, strict=True)}:
        own = np.flatnonzero(of_line == chain)
        ends = np.c_[2 * own, 2 * own + 1].ravel()
        free = ends[met[node[ends]] == 1]
        if len(free) == 2 and len(own) <= BRACE and (met[node[ends]] <= AT_TIP).all():
            points = xy.reshape(-1, 2)
            found |= {(at, k) for k in _taken(texts[at], points[free], points[ends], outlines)}
    led = np.array(sorted(found), np.int64).reshape(-1, 2)
    return led[:, 0], led[:, 1]


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
    if not SHALLOW <= high.max() <= DEEP or high.min() < -JOINED or middle @ up < high.max() - FROM:
        return []
    if abs(middle @ way - span / 2) > ABOUT * span:
        return []
    at = shapely.get_coordinates(shapely.centroid(outlines)) - ends[0]
    along, off = at @ way, at @ up
    taken = (along >= -AIMED) & (along <= span + AIMED) & (off >= -LAID) & (off <= high.max())
    return np.flatnonzero(taken).tolist() if taken.sum() >= LEAST_ENDS else []


class _Trees:
    """Strokes that may be a leader's, as lines and by their ends (2m, 2), and what they may come to."""

    def __init__(
        self, lines: NDArray[np.object_], ends: NDArray[np.float64], outlines: NDArray[np.object_]
    ) -> None:
        self.lines, self.ends, self.outlines = lines, ends, outlines
        self.tree = shapely.STRtree(lines)
        self.bodies = shapely.STRtree(outlines)
        self.at: dict[int, dict[int, int]] = {}  # by stroke: what the tree that it is part of comes to

    def grow(self, strokes: IntArray) -> None:
        """Follows the trees that these strokes are part of; others come to none of the outlines."""
        for first in np.unique(strokes).tolist():
            if first not in self.at:
                tree, whole = self._tree(first)
                self.at |= dict.fromkeys(tree, self._come_to(tree) if whole else {})

    def by_itself(self, begin: IntArray) -> BoolArray:
        """(n,) Does nothing meet these ends?  Others are the corner of something, or of a wire."""
        points = shapely.points(self.ends[begin])
        met, _ = self.tree.query(points, predicate="dwithin", distance=JOINED)
        at, _ = self.bodies.query(points, predicate="dwithin", distance=JOINED)
        return np.asarray(
            (np.bincount(met, minlength=len(begin)) <= 1) & (np.bincount(at, minlength=len(begin)) == 0)
        )

    def led(self, begin: int) -> list[int]:
        """The outlines at the free ends of the tree that begins at an end, where they are several."""
        led = {outline for end, outline in self.at.get(begin // 2, {}).items() if end != begin}
        return sorted(led) if len(led) >= LEAST_ENDS else []

    def _come_to(self, strokes: set[int]) -> dict[int, int]:
        """By free end of a tree the outline that it comes to."""
        near = ((end, self._outlines(end)) for k in strokes for end in (2 * k, 2 * k + 1))
        return {end: there[0] for end, there in near if there and len(self._at(end)) == 1}

    def _tree(self, first: int) -> tuple[set[int], bool]:
        """Strokes that are joined to the first, an end to an end or to the middle; and are these all of them?"""
        found, new = {first}, [first]
        while new:
            k = new.pop()
            near = self.tree.query(self.lines[k], predicate="dwithin", distance=JOINED)
            for other in near.tolist():
                if other not in found and self._joined(k, other):
                    found.add(other)
                    new.append(other)
            if len(found) > LARGEST:
                return found, False
        return found, True

    def _joined(self, one: int, two: int) -> bool:
        """Does an end of the one lie on the other?  What crosses it is something else."""
        a, b = self.lines[one], self.lines[two]
        ends = shapely.points(self.ends[[2 * one, 2 * one + 1, 2 * two, 2 * two + 1]])
        return bool((shapely.distance(ends, np.array([b, b, a, a], dtype=object)) <= JOINED).any())

    def _at(self, end: int) -> IntArray:
        """The strokes that meet an end, its own among them."""
        point = shapely.Point(self.ends[end])
        return np.asarray(self.tree.query(point, predicate="dwithin", distance=JOINED), np.int64)

    def _outlines(self, end: int) -> list[int]:
        """The outlines about an end, the nearest first."""
        point = shapely.Point(self.ends[end])
        near = self.bodies.query(point, predicate="dwithin", distance=AIMED)
        away = shapely.distance(self.outlines[near], point)
        return [int(k) for k in near[np.argsort(away)]]

"""Leaders that branch along a line: from a text to a bar, and from the bar to each outlet of a row.

Terms: *tree*, a leader from a text with all that branches off it, at ends of strokes or from the middle of one.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath import geometry
from cordpath.model import BoolArray, IntArray
from cordpath.symbols.labels.leaders import AIMED, FROM, JOINED, Loose, within

LARGEST = 12  # strokes of a tree: a bar and its legs; what has more is wiring or walls
LEAST_ENDS = 2


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

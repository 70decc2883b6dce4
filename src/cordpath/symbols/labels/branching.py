"""Leaders that branch along a line: from a text to a bar, and from the bar to each outlet of a row.

Terms: *tree*, a leader from a text with all that branches off it, at ends of strokes or from the middle of one.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath import geometry
from cordpath.model import IntArray
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
    begun = zip(begin.tolist(), text.tolist(), strict=True)
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

    def led(self, begin: int) -> list[int]:
        """The outlines at the free ends of the tree that begins at an end, where they are several."""
        if len(self._at(begin)) > 1 or len(self._outlines(begin, JOINED)):
            return []  # the corner of something, or a wire
        strokes = self._tree(begin // 2)
        if strokes is None:
            return []
        free = [end for k in strokes for end in (2 * k, 2 * k + 1) if end != begin and len(self._at(end)) == 1]
        led = {k for end in free for k in self._outlines(end, AIMED)[:1]}
        return sorted(led) if len(led) >= LEAST_ENDS else []

    def _tree(self, first: int) -> set[int] | None:
        """The strokes that are joined to the first, an end to an end or to the middle; None where they are many."""
        found, new = {first}, [first]
        while new:
            k = new.pop()
            near = self.tree.query(self.lines[k], predicate="dwithin", distance=JOINED)
            for other in near.tolist():
                if other not in found and self._joined(k, other):
                    found.add(other)
                    new.append(other)
            if len(found) > LARGEST:
                return None
        return found

    def _joined(self, one: int, two: int) -> bool:
        """Does an end of the one lie on the other?  What crosses it is something else."""
        a, b = self.lines[one], self.lines[two]
        ends = shapely.points(self.ends[[2 * one, 2 * one + 1, 2 * two, 2 * two + 1]])
        return bool((shapely.distance(ends, np.array([b, b, a, a], dtype=object)) <= JOINED).any())

    def _at(self, end: int) -> IntArray:
        """The strokes that meet an end, its own among them."""
        point = shapely.Point(self.ends[end])
        return np.asarray(self.tree.query(point, predicate="dwithin", distance=JOINED), np.int64)

    def _outlines(self, end: int, within: float) -> list[int]:
        """The outlines about an end, the nearest first."""
        point = shapely.Point(self.ends[end])
        near = self.bodies.query(point, predicate="dwithin", distance=within)
        away = shapely.distance(self.outlines[near], point)
        return [int(k) for k in near[np.argsort(away)]]

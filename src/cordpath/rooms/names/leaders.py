"""Names that stand beside their room and point into it: BATH 1 ---> from the bedroom next to it.

Terms: *leader*, a line, bent once or twice or straight, from the end of a text to a place; *arrowhead*, two short
strokes of one length from its tip, to either side of the line; *tip*, where it points.

Without an arrowhead a line beside a name is a wall, a counter or a dimension more often than a leader, and is none.
"""

from __future__ import annotations

import numpy as np
from scipy.spatial import cKDTree

from cordpath.model import FloatArray, Point

BESIDE = 1.2  # text sizes between the end of a text and the start of its leader
LEAST = 1.0  # text sizes: the shortest piece of a leader
HEAD = 1.8  # text sizes: the longest side of an arrowhead
JOINT = 0.4  # pt between the ends of pieces that hang together: plotters round to 1/300 in
BACK = 1.0  # text sizes by which a line may end behind the tip, at the foot of its arrowhead
SLANT = (4.0, 45.0)  # degrees between a side of an arrowhead and its line
EVEN = 0.2  # by which the sides of one arrowhead differ at the most, as a share
PIECES = 3  # of one leader at the most


class Leaders:
    """The strokes of a drawing by their ends."""

    def __init__(self, xy: FloatArray) -> None:
        self.xy = xy
        self.length = np.hypot(*(xy[:, 2:] - xy[:, :2]).T)
        self.ends = xy.reshape(-1, 2)
        self.tree = cKDTree(self.ends) if len(xy) else None

    def tip(self, starts: tuple[Point, ...], size: float) -> Point | None:
        """Where a leader from one of the ends of a text points; None without one, or with two."""
        if self.tree is None:
            return None
        found = [tip for start in starts for tip in self._from(np.array(start), size)]
        if not found or any(np.hypot(*(tip - found[0])) > size for tip in found):
            return None
        return float(found[0][0]), float(found[0][1])

    def _from(self, start: FloatArray, size: float) -> list[FloatArray]:
        ends = self._near(start, BESIDE * size)
        lines = [end for end in ends if self.length[end // 2] >= LEAST * size]
        if any(self._head(self.ends[end], self.ends[end] - self.ends[end ^ 1], size) is not None for end in lines):
            return []  # a line with an arrowhead here as well is a dimension's
        return [tip for end in lines if (tip := self._follow(end, size)) is not None]

    def _follow(self, end: int, size: float) -> FloatArray | None:
        """From the end of a stroke along it and those that hang on to it, to the tip."""
        seen = {end // 2}
        for _ in range(PIECES):
            far = end ^ 1
            tip = self._head(self.ends[far], self.ends[far] - self.ends[end], size)
            if tip is not None:
                return tip
            going = [k for k in self._near(self.ends[far], JOINT) if k // 2 not in seen]
            if len(going) != 1 or self.length[going[0] // 2] < LEAST * size:
                return None
            end = going[0]
            seen.add(end // 2)
        return None

    def _head(self, at: FloatArray, way: FloatArray, size: float) -> FloatArray | None:
        """The tip of an arrowhead at the end of a line that comes along ``way``; None without one."""
        ahead = way / max(1e-9, float(np.hypot(*way)))
        near = np.array(self._near(at, BACK * size), np.int64)
        near = near[(self.length[near // 2] > 0) & (self.length[near // 2] <= HEAD * size)]
        off = self.ends[near] - at
        on = (off @ ahead >= -JOINT) & (np.abs(off[:, 0] * ahead[1] - off[:, 1] * ahead[0]) <= JOINT)
        for tip in self.ends[near[on]]:
            there = near[np.hypot(*(self.ends[near] - tip).T) <= JOINT]
            if self._is_head(self.ends[there ^ 1] - tip, ahead):
                return np.asarray(tip)
        return None

    def _is_head(self, sides: FloatArray, ahead: FloatArray) -> bool:
        """Are two of the sides (n, 2), as seen from a tip, those of an arrowhead?"""
        turn = np.degrees(np.arctan2(sides[:, 0] * ahead[1] - sides[:, 1] * ahead[0], -(sides @ ahead)))
        long = np.hypot(*sides.T)
        left, right = ((each >= SLANT[0]) & (each <= SLANT[1]) for each in (turn, -turn))
        even = np.abs(long[:, None] - long) <= EVEN * np.maximum(long[:, None], long)
        return bool((even & left[:, None] & right).any())

    def _near(self, at: FloatArray, reach: float) -> list[int]:
        assert self.tree is not None
        return sorted(self.tree.query_ball_point(at, reach))

"""Leaves that show a door where no swing does.

Terms: *leaf*, a straight line as long as the opening that starts at one side of it and stands open; a pair has one
of half the length at either side.  *Panel*, lines in the thickness of the wall over a part of the opening: a pocket
or a sliding door half open.  *Fold*, short lines across the opening that meet in its width: a folding door.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
import shapely

from cordpath.geometry import lines
from cordpath.model import BoolArray, FloatArray
from cordpath.rooms.ink import Ink
from cordpath.rooms.walls.ends import Gap

LEAF_IN = (12.0, 50.0)  # length of a leaf: half of a pair in a closet to the widest single door
LENGTH = 0.14  # how much a leaf's length may differ from the opening's (or half of it)
HUNG_IN = 4.0  # how far a leaf may start from the corner of the wall's end
OPEN = np.sin(np.radians(20.0))  # how far a leaf stands open at least
PANEL_SHARE = 0.3  # least part of the opening that a panel lies over


Shown = Literal["leaf", "panel"]


class Leaves:
    """The lines of a view among which leaves and panels are looked for."""

    def __init__(self, ink: Ink, inch: float) -> None:
        self.inch = inch
        self.ink = ink.take((ink.length > 4 * inch) & (ink.length < 1.2 * LEAF_IN[1] * inch) & ~ink.dashed)
        self.tree = shapely.STRtree(lines(self.ink.xy))

    def close(self, gap: Gap) -> Shown | None:
        """What shows that the gap is a door: a leaf (or a fold), or a panel in the wall; None for nothing."""
        local = self._local(gap)
        if self._leaf(gap, local) or self._fold(gap, local):
            return "leaf"
        return "panel" if self._panel(gap, local) else None

    def _local(self, gap: Gap) -> FloatArray:
        """(n, 2, 2) ends of the lines around a gap, along its axis and aside of it."""
        side = np.array([-gap.end.out[1], gap.end.out[0]])
        reach = gap.length + HUNG_IN * self.inch
        around = shapely.Point(gap.end.at + gap.end.out * gap.length / 2).buffer(reach)
        pick = self.tree.query(around, predicate="intersects")
        return np.asarray((self.ink.xy[pick].reshape(-1, 2, 2) - gap.end.at) @ np.stack([gap.end.out, side], 1))

    def slides(self, gap: Gap) -> bool:
        """Two panels of about half the width, each from its own side of the gap, one before the other."""
        local = self._local(gap)
        inch, half = self.inch, gap.end.thick / 2 + 1.5 * self.inch
        along, aside = np.sort(local[..., 0], axis=1), local[..., 1]
        flat = (np.abs(aside[:, 1] - aside[:, 0]) < 0.3 * inch) & (np.abs(aside).max(1) < half)
        share = (along[:, 1] - along[:, 0]) / gap.length
        panel = flat & (share > 0.42) & (share < 0.68)
        first = panel & (np.abs(along[:, 0]) < 3 * inch)
        second = panel & (np.abs(along[:, 1] - gap.length) < 3 * inch)
        if not (first.any() and second.any()):
            return False
        off = np.abs(aside[first].mean(1)[:, None] - aside[second].mean(1)[None, :])
        return bool(off.max() > 0.6 * inch)

    def _leaf(self, gap: Gap, local: FloatArray) -> bool:
        """``local`` (n, 2, 2): ends along and aside of the gap's axis."""
        inch, half = self.inch, gap.end.thick / 2
        size = np.hypot(*(local[:, 1] - local[:, 0]).T)
        steep = np.abs(local[:, 1, 1] - local[:, 0, 1]) > OPEN * size
        far_off = np.abs(local[..., 1]).max(1) > half + 0.25 * size  # it stands in the room, not in the wall
        fits = steep & far_off & (size > LEAF_IN[0] * inch) & (size < LEAF_IN[1] * inch)
        whole = np.abs(size / gap.length - 1) < LENGTH
        part = np.abs(2 * size / gap.length - 1) < LENGTH
        at_start, at_end = self._hung(local, 0.0, half), self._hung(local, gap.length, half)
        single = fits & whole & (at_start | at_end)
        pair = (fits & part & at_start).any() and (fits & part & at_end).any()
        return bool(single.any() or pair)

    def _hung(self, local: FloatArray, at: float, half: float) -> BoolArray:
        """Lines with exactly one end at the corners of the wall's end."""
        near = np.abs(local[..., 0] - at) < HUNG_IN * self.inch
        near &= np.abs(local[..., 1]) < half + HUNG_IN * self.inch
        return np.asarray(near.sum(1) == 1, bool)

    def _panel(self, gap: Gap, local: FloatArray) -> bool:
        """Lines along the gap between the faces of the wall, over a part of the width and from one side of it."""
        inch, half = self.inch, gap.end.thick / 2
        along = np.sort(local[..., 0], axis=1)
        aside = local[..., 1]
        flat = (np.abs(aside[:, 1] - aside[:, 0]) < 0.3 * inch) & (np.abs(aside).max(1) < half - 0.4 * inch)
        inside = flat & (along[:, 0] < gap.length - 4 * inch) & (along[:, 1] > 4 * inch)
        touch = (along[:, 0] < 3 * inch) | (along[:, 1] > gap.length - 3 * inch)
        share = (np.minimum(along[:, 1], gap.length) - np.maximum(along[:, 0], 0.0)) / gap.length
        return bool((inside & touch & (share > PANEL_SHARE) & (share < 0.95)).any())

    def _fold(self, gap: Gap, local: FloatArray) -> bool:
        """Two lines of like length that meet in a fold, from a side of the gap and back to its line."""
        inch, half = self.inch, gap.end.thick / 2
        size = np.hypot(*(local[:, 1] - local[:, 0]).T)
        fits = (size > 4 * inch) & (size < 0.6 * gap.length)
        low, high = local[..., 0].min(1), local[..., 0].max(1)
        fits &= (low > -HUNG_IN * inch) & (high < gap.length + HUNG_IN * inch)
        fits &= np.abs(local[..., 1]).min(1) < half + HUNG_IN * inch
        fits &= np.abs(local[:, 1, 1] - local[:, 0, 1]) > 0.1 * size
        some, ends = local[fits], size[fits]
        if len(some) < 2:
            return False
        a, b = np.triu_indices(len(some), 1)
        alike = np.abs(ends[a] / ends[b] - 1) < 0.1
        meets = np.zeros(len(a), bool)
        for i in (0, 1):
            for j in (0, 1):
                tip, foot, other = some[a, i], some[a, 1 - i], some[b, 1 - j]
                touch = np.hypot(*(tip - some[b, j]).T) < inch
                apart = np.hypot(*(foot - other).T) > 0.4 * ends[a]
                level = np.abs(foot[:, 1] - other[:, 1]) < 2 * inch
                hung = np.minimum(np.abs(foot[:, 0]), np.abs(other[:, 0])) < HUNG_IN * inch
                far = np.maximum(foot[:, 0], other[:, 0])
                hung |= np.abs(far - gap.length) < HUNG_IN * inch
                meets |= touch & apart & level & hung
        return bool((alike & meets).any())

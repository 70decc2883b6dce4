"""Straight segments about the circles of a sheet, each circle looked at once for all templates.

Term: *known*, within how many points of a circle's middle all segments are in the table.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np

from cordpath.model import FloatArray, IntArray
from cordpath.symbols.ink.grid import Grid, sorted_unique, square_gaps
from cordpath.symbols.ink.normalise import Ink

SHORTEST = 0.3  # pt: the direction of shorter segments is noise
LEAST_REACH, FARTHER = 6.0, 1.5  # pt looked at first: most lines begin nearer; and how many times as far then
AT_ONCE = 1024  # circles: what is compared about more of them takes much memory


class AboutCircles:
    """The table of one sheet's ink, filled in as it is asked."""

    def __init__(self, ink: Ink) -> None:
        self.ink = ink
        count = len(ink.arcs.circles)
        self._known = np.zeros(count)
        self._start = np.zeros(count, np.int64)
        self._count = np.zeros(count, np.int64)
        self._segment = np.zeros(0, np.int64)
        self._gap: FloatArray = np.zeros(0)  # square pt

    @cached_property
    def _straight(self) -> tuple[IntArray, Grid]:
        """The straight segments, and these alone by place: a lettered sheet has as many others."""
        ink, drawn = self.ink, slice(self.ink.count)
        straight = np.flatnonzero(~ink.curved[drawn] & (ink.lengths[drawn] > SHORTEST))
        return straight, Grid(ink.xy[straight])

    def within(self, circles: IntArray, reach: float) -> tuple[IntArray, IntArray]:
        """Pairs (place in ``circles``, segment) of straight segments within ``reach`` of the circles' middles, in
        order of the places, then of the segments."""
        lacking = circles[self._known[circles] < reach]
        if len(lacking):
            known = LEAST_REACH
            while known < reach:
                known *= FARTHER
            self._look(sorted_unique(lacking), known)
        count = self._count[circles]
        place = np.repeat(np.arange(len(circles)), count)
        row = np.arange(len(place)) + np.repeat(self._start[circles] - np.cumsum(count) + count, count)
        near = np.flatnonzero(self._gap[row] <= reach * reach)
        return place[near], self._segment[row[near]]

    def _look(self, circles: IntArray, reach: float) -> None:
        """Puts what is within ``reach`` of the circles into the table; what it held of them stays, out of use."""
        parts = [self._about(circles[k : k + AT_ONCE], reach) for k in range(0, len(circles), AT_ONCE)]
        count, segment, gap = (np.concatenate(each) for each in zip(*parts, strict=True))
        self._known[circles] = reach
        self._start[circles] = len(self._segment) + np.cumsum(count) - count
        self._count[circles] = count
        self._segment = np.r_[self._segment, segment]
        self._gap = np.r_[self._gap, gap]

    def _about(self, circles: IntArray, reach: float) -> tuple[IntArray, IntArray, FloatArray]:
        """How many segments are within ``reach`` of each circle; they, circle by circle, and their square gaps."""
        middles, (straight, grid) = self.ink.arcs.circles[circles, :2], self._straight
        of, k = grid.near(middles, reach)
        return np.bincount(of, minlength=len(circles)), straight[k], square_gaps(grid.xy[k], middles[of])

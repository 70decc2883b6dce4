"""The ends of dimension lines that are drawn as fills.

Terms: *head*, a small dark fill at the end of a dimension line: arrow head, dot, filled tick.  *Tip*, the corner of
an arrow head that points at what is measured.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from cordpath.model import WHITE, BoolArray, Fills, FloatArray, IntArray

TOUCH = 0.8  # pt, 1/90 in.: a stroke that comes this close to the carrier touches it
ROUND = 0.85  # of 1, 4 pi area / perimeter^2: dots are rounder
FOREMOST = 0.2  # pt
SMALL_FILL = 16.0  # pt; arrow heads and dots are smaller


@dataclass(frozen=True, eq=False)
class Heads:
    """Small dark fills at the ends of dimension lines: arrow heads, dots, filled ticks.  k corners, s shapes."""

    corner: FloatArray  # (k, 2)
    shape: IntArray  # (k,) index into middle
    middle: FloatArray  # (s, 2)
    round: BoolArray  # (s,)

    @staticmethod
    def of(fills: Fills) -> Heads:
        if not len(fills):
            return Heads(np.zeros((0, 2)), np.zeros(0, np.int64), np.zeros((0, 2)), np.zeros(0, bool))
        bounds = shapely.bounds(fills.shape)
        small = np.maximum(bounds[:, 2] - bounds[:, 0], bounds[:, 3] - bounds[:, 1]) <= SMALL_FILL
        shapes = fills.shape[small & (fills.luminance < WHITE)]
        corner, index = shapely.get_coordinates(shapes, return_index=True)
        # 4 pi area / perimeter^2 is 1 for a circle, 0.79 for a square, 0.6 for the plumpest triangle.
        compact = 4 * np.pi * shapely.area(shapes) / np.maximum(shapely.length(shapes), 1e-9) ** 2
        middle = shapely.get_coordinates(shapely.centroid(shapes)).reshape(-1, 2)
        return Heads(corner, index.astype(np.int64), middle, compact > ROUND)

    def turned(self, turn: FloatArray) -> Heads:
        return Heads(self.corner @ turn.T, self.shape, self.middle @ turn.T, self.round)

    def places(self, across: float) -> FloatArray:
        """Places along a line at ``across`` where heads say that it ends: tips of arrows, middles of the others.

        A tip is a corner on the line, and the foremost of its shape; an arrow's base has none there."""
        if not len(self.middle):
            return np.zeros(0)
        starts = np.flatnonzero(np.diff(self.shape, prepend=-1))
        first = np.minimum.reduceat(self.corner[:, 0], starts)[self.shape]
        last = np.maximum.reduceat(self.corner[:, 0], starts)[self.shape]
        foremost = np.minimum(self.corner[:, 0] - first, last - self.corner[:, 0]) < FOREMOST
        tip = (np.abs(self.corner[:, 1] - across) <= TOUCH / 2) & foremost & ~self.round[self.shape]
        pointed = np.zeros(len(self.middle), bool)
        pointed[self.shape[tip]] = True
        centre = (np.abs(self.middle[:, 1] - across) <= TOUCH) & ~pointed
        return np.concatenate([self.corner[tip, 0], self.middle[centre, 0]])

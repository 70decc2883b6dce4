"""Places where lines are drawn so close that nothing can be told, and where looking must have an end.

Terms: *work*, pieces of ink that comparing a pose with the sheet takes, see verify; *crowded*, a pose with more ink
within its reach than lines as wide apart as a thin pen would give: on paper it is black; *passed over*, a crowded
pose beyond the work allowed.  What is passed over is always told.
"""

from __future__ import annotations

import numpy as np

from cordpath.geometry import from_the_top, lengths
from cordpath.model import BoolArray, FloatArray, Unexplained

BLACK = 2.0  # pt of stroke length on a square point: lines 0.5 pt apart, the width of a thin pen
MOST_WORK = 500_000  # pieces of ink at crowded poses of one template; 200 symbols with exploded fills take 300,000
CELL = 6.0  # pt: crowding is told this finely, less than a symbol
PLACE = 36.0  # pt: passed-over poses nearer than this are told as one place
WHAT = "so many lines lie on one another that not every symbol was looked for there"


class Crowding:
    """How much ink lies in any square of the page, from sums over cells."""

    def __init__(self, xy: FloatArray) -> None:
        self.total = np.zeros((1, 1))
        self.low = np.zeros(2)
        self.passed: list[FloatArray] = []  # (n, 2) centres of poses that were passed over
        if not len(xy):
            return
        length = lengths(xy)
        self.low = xy.reshape(-1, 2).min(0)
        parts = np.maximum(1, np.ceil(length / CELL).astype(np.int64))
        number = np.arange(0.5, parts.sum()) - np.repeat(np.cumsum(parts) - parts, parts)  # of its middle
        step = (xy[:, 2:] - xy[:, :2]) / parts[:, None]
        across, down = (
            ((np.repeat(xy[:, k] - low, parts) + np.repeat(step[:, k], parts) * number) / CELL).astype(np.int64)
            for k, low in enumerate(self.low)
        )
        wide, high = int(across.max()) + 1, int(down.max()) + 1
        ink = np.bincount(down * wide + across, np.repeat(length / parts, parts), wide * high).reshape(high, wide)
        self.total = np.pad(ink.cumsum(0).cumsum(1), ((1, 0), (1, 0)))

    def around(self, centres: FloatArray, radius: FloatArray) -> tuple[FloatArray, FloatArray]:
        """(n,) pt of ink, and (n,) square pt, of the cells that the squares around the centres touch."""
        high, wide = self.total.shape[0] - 1, self.total.shape[1] - 1
        first = np.floor((centres - radius[:, None] - self.low) / CELL).astype(np.int64)
        last = np.floor((centres + radius[:, None] - self.low) / CELL).astype(np.int64) + 1
        area = ((last - first) * CELL).prod(axis=1)
        x0, x1 = np.clip(first[:, 0], 0, wide), np.clip(last[:, 0], 0, wide)
        y0, y1 = np.clip(first[:, 1], 0, high), np.clip(last[:, 1], 0, high)
        ink = self.total[y1, x1] - self.total[y0, x1] - self.total[y1, x0] + self.total[y0, x0]
        return ink, area

    def worth(self, centres: FloatArray, radius: FloatArray, step: float) -> BoolArray:
        """(n,) poses to look at: all, but for crowded ones beyond the work allowed, the most crowded first."""
        ink, area = self.around(centres, radius)
        crowded = np.flatnonzero(ink > BLACK * area)
        crowded = crowded[np.argsort(ink[crowded], kind="stable")]
        beyond = crowded[np.cumsum(ink[crowded] / step) > MOST_WORK]
        if len(beyond):
            self.passed.append(centres[beyond])
        worth = np.ones(len(centres), bool)
        worth[beyond] = False
        return worth

    def told(self) -> tuple[Unexplained, ...]:
        """The places where poses were passed over, from the top."""
        if not self.passed:
            return ()
        cell = np.floor(np.concatenate(self.passed) / PLACE).astype(np.int64)
        middle = (np.unique(cell, axis=0) + 0.5) * PLACE
        return (Unexplained(WHAT, from_the_top(middle)),)

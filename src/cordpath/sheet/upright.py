"""Sheets laid down sideways: content turned on the page without the page's /Rotate saying so.

Layout (title block, legends, titles under drawings) is read in level text.  Where most of a sheet's text reads
upwards, downwards or upside down, it is found on a turned copy and its boxes are turned back.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np

from cordpath.model import Box, FloatArray, Strokes, Word

MOSTLY = 0.6  # share of the words that must read one way: dimensions and notes along walls stay under half
LEAST_WORDS = 8  # fewer words do not tell how a sheet is meant to lie


@dataclass(frozen=True)
class Turn:
    """A turn by quarter turns clockwise of a page of ``width`` x ``height`` points."""

    quarters: int
    width: float
    height: float

    @property
    def size(self) -> tuple[float, float]:
        return (self.height, self.width) if self.quarters % 2 else (self.width, self.height)

    def points(self, points: FloatArray) -> FloatArray:
        """(n, 2) page coordinates to those of the turned page."""
        x, y = points[:, 0], points[:, 1]
        w, h = self.width, self.height
        return np.column_stack(((x, y), (h - y, x), (w - x, h - y), (y, w - x))[self.quarters % 4])

    def box(self, box: Box) -> Box:
        corners = self.points(np.array([[box[0], box[1]], [box[2], box[3]]]))
        (x0, y0), (x1, y1) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
        return (x0, y0, x1, y1)

    @property
    def back(self) -> Turn:
        return Turn(-self.quarters % 4, *self.size)

    def strokes(self, strokes: Strokes) -> Strokes:
        return replace(strokes, xy=self.points(strokes.xy.reshape(-1, 2)).reshape(-1, 4))

    def words(self, words: Iterable[Word]) -> tuple[Word, ...]:
        return tuple(replace(w, box=self.box(w.box), angle=(w.angle - 90.0 * self.quarters) % 360.0) for w in words)


def upright(words: tuple[Word, ...], size: tuple[float, float]) -> Turn:
    """The turn that makes most of the text level; none where the sheet lies as it should, or cannot be told."""
    told = [word for word in words if len(word.text) > 1]
    quarters = np.array([round(word.angle / 90.0) % 4 for word in told], np.int64)
    shares = np.bincount(quarters, minlength=4) / max(len(told), 1)
    most = int(shares.argmax())
    return Turn(most if shares[most] >= MOSTLY and len(told) >= LEAST_WORDS else 0, *size)

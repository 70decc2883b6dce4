"""Where tags go: beside their mark, on as little of the drawing and of one another as can be.

Terms: *ink*, what is already drawn on the page; *taken*, boxes of marks and tags that are placed; *cost*, square
points of overlap, weighted, plus the way from the mark.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from cordpath.model import Box, FloatArray

INK_STEP = 2.0  # pt a cell of the ink map: half the height of the smallest text on a plan
GAPS = (3.0, 9.0, 18.0, 32.0, 50.0, 75.0, 105.0)  # pt x unit between mark and tag that are tried, nearest first
COMPASS = 16  # directions that are tried around a mark
TEXT_WEIGHT = 3.0  # covered text is worse than a covered line
TAKEN_WEIGHT = 1000.0  # a tag on another mark is read as neither: worse than any text of the plan under it
FORBIDDEN_WEIGHT = 1e4  # a tag goes there only if it would leave the page elsewhere
LOOKED_AT = 128  # places whose overlaps are worked out at a time, the likeliest first: most are never looked at
AWAY_WEIGHT = 1.2  # square points of cover that one point nearer to the mark is worth


@dataclass
class Crowd:
    """What stands on a displayed page of ``width`` x ``height`` points, and what has been placed so far."""

    width: float
    height: float
    dark: FloatArray | None = None  # (rows, columns) share of ink in each cell of INK_STEP, from the top left
    words: Sequence[Box] = ()
    forbidden: Sequence[Box] = ()  # areas that are kept clear, such as for stamps
    taken: list[Box] = field(default_factory=list)
    _sums: FloatArray = field(init=False)
    _words: FloatArray = field(init=False)

    def __post_init__(self) -> None:
        dark = self.dark if self.dark is not None and self.dark.size else np.zeros((1, 1))
        self._sums = np.pad(np.asarray(dark, float).cumsum(0).cumsum(1), ((1, 0), (1, 0)))
        self._words = np.array(self.words, float).reshape(-1, 4)

    def take(self, box: Box) -> None:
        self.taken.append(box)

    def avoid(self, boxes: Sequence[Box]) -> None:
        """More of what should not be covered, as words should not."""
        self._words = np.concatenate([self._words, np.array(boxes, float).reshape(-1, 4)])

    def place(
        self, marks: Sequence[Box], width: float, height: float, unit: float = 1.0, gaps: int = len(GAPS)
    ) -> Box:
        """The best place for a tag of that size beside one of ``marks``, at one of the first ``gaps``; it is then
        taken.  Among equals the first mark is preferred.  Where every place among those covers another tag or mark,
        or the best one covers text, it may stand farther off."""
        box, free = self._best(marks, width, height, unit, gaps)
        if not free and gaps < len(GAPS):
            box, _ = self._best(marks, width, height, unit, len(GAPS))
        self.take(box)
        return box

    def _best(self, marks: Sequence[Box], width: float, height: float, unit: float, gaps: int) -> tuple[Box, bool]:
        """The cheapest place, and whether it is free of text and of what was placed before."""
        tried = [_candidates(mark, width, height, np.array(GAPS[:gaps]) * unit) for mark in marks]
        boxes = np.concatenate([candidates for candidates, _ in tried])
        away = np.concatenate([gap for _, gap in tried])
        inside = (boxes[:, 0] >= 1) & (boxes[:, 1] >= 1)
        inside &= (boxes[:, 2] <= self.width - 1) & (boxes[:, 3] <= self.height - 1)
        least = self._ink_under(boxes) + AWAY_WEIGHT * away + np.where(inside, 0.0, 1e9)
        near = [_reached(boxes, others) for others in (self._words, self.taken, self.forbidden)]
        best, cost, free = 0, np.inf, False
        order = np.argsort(least, kind="stable")
        for some in np.split(order, range(LOOKED_AT, len(order), LOOKED_AT)):
            if least[some[0]] > cost:
                break  # overlaps only add: nothing that is left can cost less
            words, taken, forbidden = (_overlap(boxes[some], others) for others in near)
            full = least[some] + TEXT_WEIGHT * words + TAKEN_WEIGHT * taken + FORBIDDEN_WEIGHT * forbidden
            first = int(np.lexsort((some, full))[0])  # among equals the one that was named first
            if (full[first], some[first]) < (cost, best):
                best, cost, free = int(some[first]), full[first], bool(taken[first] <= 0 and words[first] <= 0)
        return _held_in(boxes[best], self.width, self.height), free

    def _ink_under(self, boxes: FloatArray) -> FloatArray:
        rows, columns = self._sums.shape
        cells = np.round(boxes / INK_STEP).astype(int)
        x0, x1 = (np.clip(cells[:, k], 0, columns - 1) for k in (0, 2))
        y0, y1 = (np.clip(cells[:, k], 0, rows - 1) for k in (1, 3))
        s = self._sums
        under: FloatArray = (s[y1, x1] - s[y0, x1] - s[y1, x0] + s[y0, x0]) * INK_STEP**2
        return under


def _candidates(mark: Box, width: float, height: float, gaps: FloatArray) -> tuple[FloatArray, FloatArray]:
    """(n, 4) boxes around the mark, and (n,) their gaps."""
    angle = 2 * np.pi * (np.arange(COMPASS) - 2) / COMPASS  # the first is up and to the right
    cos, sin = np.cos(angle), -np.sin(angle)
    # On the boundary of the mark grown by half the tag and the gap, in each direction.
    half_x = (mark[2] - mark[0]) / 2 + width / 2 + gaps[:, None]
    half_y = (mark[3] - mark[1]) / 2 + height / 2 + gaps[:, None]
    with np.errstate(divide="ignore"):
        reach = np.minimum(half_x / np.maximum(np.abs(cos), 1e-9), half_y / np.maximum(np.abs(sin), 1e-9))
    x = ((mark[0] + mark[2]) / 2 + reach * cos).ravel()
    y = ((mark[1] + mark[3]) / 2 + reach * sin).ravel()
    boxes = np.column_stack([x - width / 2, y - height / 2, x + width / 2, y + height / 2])
    return boxes, np.repeat(gaps, COMPASS)


def _reached(boxes: FloatArray, others: FloatArray | Sequence[Box]) -> FloatArray:
    """Those (m, 4) others that meet the box around all (n, 4) boxes."""
    others = np.asarray(others, float).reshape(-1, 4)
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    x0, y0, x1, y1 = others.T
    return others[(x0 < high[0]) & (y0 < high[1]) & (x1 > low[0]) & (y1 > low[1])]


def _overlap(boxes: FloatArray, others: FloatArray) -> FloatArray:
    """(n,) summed overlap areas of (n, 4) boxes with (m, 4) others."""
    others = _reached(boxes, others)
    if not len(others):
        return np.zeros(len(boxes))
    area = _shared(boxes, others, 0)
    area *= _shared(boxes, others, 1)
    told: FloatArray = area.sum(axis=1)
    return told


def _shared(boxes: FloatArray, others: FloatArray, axis: int) -> FloatArray:
    """(n, m) lengths that boxes and others share along an axis."""
    length: FloatArray = np.minimum(boxes[:, None, axis + 2], others[None, :, axis + 2])
    length -= np.maximum(boxes[:, None, axis], others[None, :, axis])
    return np.maximum(length, 0.0, out=length)


def _held_in(box: FloatArray, width: float, height: float) -> Box:
    """The box moved onto the page."""
    x0, y0, x1, y1 = (float(v) for v in box)
    dx = min(0.0, width - 1 - x1) or max(0.0, 1 - x0)
    dy = min(0.0, height - 1 - y1) or max(0.0, 1 - y0)
    return (x0 + dx, y0 + dy, x1 + dx, y1 + dy)

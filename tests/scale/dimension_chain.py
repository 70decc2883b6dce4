"""A chain of dimensions as drawings have them: for tests of scales."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import shapely

from cordpath.model import Box, Fills, Sheet, Strokes, View, Word

LENGTHS_FT = (14.0, 8.0, 11.5, 22.0, 9.5)
NOTE = '1/4" = 1\'-0"'


def feet_and_inches(feet: float) -> str:
    """To the nearest inch."""
    inches = round(feet * 12)
    return f"{inches // 12}'-{inches % 12}\""


class Plan:
    """A chain of dimensions over a row of walls, drawn at a ratio in one of the usual styles."""

    def __init__(self, ratio: float, style: str = "tick", place: str = "above", turned: bool = False) -> None:
        self.segments: list[tuple[float, float, float, float]] = []
        self.tips: list[list[tuple[float, float]]] = []
        self.words: list[Word] = []
        self.style, self.place, self.turned = style, place, turned
        self.point = 72 * 12 / ratio

    def chain(self, texts: list[str], feet: tuple[float, ...], y: float = 300.0) -> Plan:
        x = 60.0
        self._end(x, y)
        for number, (text, length) in enumerate(zip(texts, feet, strict=True)):
            end = x + length * self.point
            self._line(x, end, y, text, number)
            self._end(end, y)
            self.segments.append((end, y + 60, end, y + 200))
            x = end
        self.segments += [(60, y + 60, x, y + 60), (60, y + 200, x, y + 200)]
        return self

    def _line(self, x: float, end: float, y: float, text: str, line: int) -> None:
        size, middle = 6.0, (x + end) / 2
        half = 0.26 * size * len(text)
        base = y if self.place == "broken" else y - 0.9 * size
        stops = [(x, middle - half - 2), (middle + half + 2, end)] if self.place == "broken" else [(x, end)]
        short = 6.0 if self.style == "arrow" else 0.0  # the line stops at the base of the arrow head
        for a, b in stops:
            self.segments.append((a + (short if a == x else 0), y, b - (short if b == end else 0), y))
        box = (middle - half, base - size / 2, middle + half, base + size / 2)
        self.words.append(Word(text, box, 0.0, size, line))
        if self.style == "arrow":
            self.tips += [[(x, y), (x + 6, y - 1), (x + 6, y + 1)], [(end, y), (end - 6, y - 1), (end - 6, y + 1)]]

    def _end(self, x: float, y: float) -> None:
        self.segments.append((x, y - 4, x, y + 50))
        if self.style == "tick":
            self.segments.append((x - 3, y + 3, x + 3, y - 3))
        elif self.style == "halves":
            self.segments += [(x, y, x - 3, y + 3), (x, y, x + 3, y - 3)]
        elif self.style == "dot":
            ring = [(x + 1.5 * math.cos(a), y + 1.5 * math.sin(a)) for a in np.linspace(0, 2 * math.pi, 13)[:-1]]
            self.tips.append(ring)
        elif self.style == "open":
            for way in (1, -1):
                self.segments += [(x, y, x + way * 6, y - 1.6), (x, y, x + way * 6, y + 1.6)]

    def sheet(self, note: str | None) -> Sheet:
        size = 2000.0
        xy, words, tips = np.array(self.segments), self.words, self.tips
        if self.turned:  # a quarter turn counter-clockwise, as a plan is turned on a sheet
            xy = np.column_stack([xy[:, 1], size - xy[:, 0], xy[:, 3], size - xy[:, 2]])
            words = [replace(word, box=turned(word.box, size), angle=90.0) for word in words]
            tips = [[(y, size - x) for x, y in tip] for tip in tips]
        n = len(tips)
        fills = Fills(
            np.array([shapely.Polygon(tip) for tip in tips], object), np.zeros((n, 3)), np.ones(n),
            np.full(n, -1, np.int64), np.arange(n, dtype=np.int64),
        ) if n else Fills.none()  # fmt: skip
        view = View("v1", "PLAN", (0.0, 0.0, size, size), note)
        return Sheet("t.pdf", 1, "A-1", None, size, size, Strokes.of(xy), fills, tuple(words), (), (view,), ())


def turned(box: Box, size: float) -> Box:
    x0, y0, x1, y1 = box
    return (y0, size - x1, y1, size - x0)


def imperial(ratio: float, **style: object) -> Plan:
    texts = [feet_and_inches(length) for length in LENGTHS_FT]
    return Plan(ratio, **style).chain(texts, LENGTHS_FT)  # type: ignore[arg-type]

"""Pages drawn for tests of the mapping file's examples: outlets, words, legends."""

from __future__ import annotations

import math
from collections import Counter

import numpy as np

from cordpath.model import (
    Drawing,
    Fills,
    FloatArray,
    Mapping,
    Mark,
    Region,
    Sheet,
    Strokes,
    SymbolEntry,
    View,
    Word,
)
from cordpath.symbols import gather_examples

LEGEND = (500.0, 40.0, 760.0, 260.0)


def ring(x: float, y: float, radius: float, pieces: int = 20) -> FloatArray:
    angle = np.linspace(0, 2 * math.pi, pieces + 1)
    points = np.c_[x + radius * np.cos(angle), y + radius * np.sin(angle)]
    return np.c_[points[:-1], points[1:]]


def frame(x0: float, y0: float, x1: float, y1: float) -> FloatArray:
    return np.array([[x0, y0, x1, y0], [x1, y0, x1, y1], [x1, y1, x0, y1], [x0, y1, x0, y0]])


def duplex(x: float, y: float) -> FloatArray:
    return np.r_[ring(x, y, 5.4), [[x - 2, y - 10, x - 2, y + 7.5], [x + 2, y - 10, x + 2, y + 7.5]]]


def words(text: str, x: float, y: float, line: int = 0, size: float = 7.0) -> list[Word]:
    out = []
    for part in text.split():
        width = 0.55 * size * len(part)
        out.append(Word(part, (x, y - size / 2, x + width, y + size / 2), 0.0, size, line))
        x += width + 0.3 * size
    return out


def sheet(
    drawings: list[FloatArray], texts: list[Word] | None = None, fills: Fills | None = None, legend: bool = False,
    note: str | None = None,
) -> Sheet:  # fmt: skip
    regions = (Region("legend", LEGEND),) if legend else ()
    views = (View("v1", "PLAN", (0, 0, 450, 450), note),)
    strokes = Strokes.of(np.concatenate([np.zeros((0, 4)), *drawings]))
    paint = fills or Fills.none()
    return Sheet("f.pdf", 1, "E-101", None, 800, 600, strokes, paint, tuple(texts or ()), (), views, regions)


def from_legend(page: Sheet, row: str) -> tuple[Mark, ...] | None:
    """The marks that an entry gets whose ``legend:`` is that row; None where it gets none."""
    entry = SymbolEntry("row", "receptacle", legend=row)
    return gather_examples(Mapping("m.yaml", Drawing(), (entry,)), {}, sheet=page).shapes.get("row")


def kinds(marks: tuple[Mark, ...] | None) -> Counter[str]:
    return Counter(type(mark).__name__ for mark in marks or ())


def legend_sheet(side: str = "left", rules: bool = True) -> Sheet:
    """Three rows, symbols left or right of their text, in a ruled table, with leaders."""
    column, text = (530.0, 560.0) if side == "left" else (720.0, 560.0)
    rows = ["DUPLEX RECEPTACLE", "Ground Fault Receptacle, Weatherproof", "SWITCH"]
    texts = words("ELECTRICAL LEGEND", 580, 55, 0)
    strokes = []
    for k, row in enumerate(rows):
        y = 90.0 + 40 * k
        texts += words(row, text, y, k + 1)
        if rules:
            strokes.append(
                np.array([[500, y - 20, 760, y - 20], [500, y + 20, 760, y + 20], [500, y - 20, 500, y + 20]])
            )
            strokes.append(
                np.array([[column - 25, y - 20, column + 20, y - 20], [column + 20, y - 20, column + 20, y + 20]])
            )
    strokes.append(duplex(column, 90))
    strokes.append(np.r_[duplex(column, 130), [[column - 6, 124, column + 6, 136]]])
    texts += words("S", column - 2, 170)
    return sheet(strokes, texts, legend=True)

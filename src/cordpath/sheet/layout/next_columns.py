"""The second column of a legend that nothing frames.

Were it no part of the legend, its rows could not be named, and its signs would be symbols of the plan.

Terms: *rows*, the texts of a legend's column.  *Sign*, what is drawn beside a row; see ``even_rows``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from cordpath.geometry import hull, lines, middle_in_box
from cordpath.model import Box, FloatArray
from cordpath.sheet.layout.even_rows import COLUMN, FEWEST, LEVEL, LIKE
from cordpath.sheet.text.textlines import Run

APART = 108.0  # pt, 1.5 in.: from the texts of a column to the signs of the next one
SAME = 4.0  # pt by which the gap from a sign to its text may differ from that of the first column's nearest
SIGNED = 0.5  # share of a column's rows with strokes as near: solid signs and letters have none
# Letters: labels of outlets, which may stand in a column too, are shorter (common practice, no source).
DESCRIBED = 6
MOST = 6  # columns beside the first


@dataclass(frozen=True, eq=False)
class _Text:
    """A text of a column: ``run`` may begin with letters that are the sign before it (SD  SMOKE DETECTOR)."""

    start: float
    size: float
    run: Run


def with_next_columns(box: Box, rows: list[Run], found: list[Run], small: FloatArray, long: FloatArray) -> Box:
    """The box with the columns right of it whose texts begin on one line, stand level with rows of the first column
    and have signs on the same side as near as these, with no line of the drawing through them."""
    gaps = [gap for row in rows if (gap := _gap(row.box[0], row, small)) is not None]
    if len(gaps) < FEWEST:
        return box
    for _ in range(MOST):
        column = next(_columns(box, rows, found, small, max(gaps) + SAME), None)
        if column is None:
            return box
        wide = hull([box, column])
        added = shapely.box(box[2], wide[1], wide[2], wide[3])
        if len(long) and shapely.intersects(lines(long), added).any():
            return box
        box = wide
    return box


def _columns(box: Box, rows: list[Run], found: list[Run], small: FloatArray, gap: float) -> Iterator[Box]:
    """The hulls of texts and signs of the columns that may be the next, from the left."""
    level = sorted(_level(box, rows, found), key=lambda text: (text.start, text.run.middle))
    for first in level:
        column = [text for text in level if abs(text.start - first.start) <= LEVEL * first.size]
        near = [
            text.run for text in column
            if (own := _gap(text.start, text.run, small)) is not None and own <= gap
        ]  # fmt: skip
        told = sum(len(run.text) >= DESCRIBED for run in near)
        if told >= FEWEST and len(near) >= SIGNED * len(column):
            x0 = min(first.start - gap - COLUMN / 2, first.start)
            signs = [sign for text in column for sign in _signs(text.start, text.run, small)]
            signs = [sign for sign in signs if sign[0] > max(x0, box[2])]
            yield hull([*(text.run.box for text in column), *signs])


def _level(box: Box, rows: list[Run], found: list[Run]) -> Iterator[_Text]:
    """The texts right of the box on the rows of the first column and as large, wherever in a run they begin."""
    heights = np.array([row.middle for row in rows])
    for run in found:
        if middle_in_box(run.box, box) or not (np.abs(heights - run.middle) <= LEVEL * run.size).any():
            continue
        for start, size in run.starts:
            alike = size <= LIKE * rows[0].size and rows[0].size <= LIKE * size
            if alike and box[2] < min(start, run.box[0]) and start <= box[2] + APART + COLUMN:
                yield _Text(start, size, run)


def _signs(start: float, run: Run, small: FloatArray) -> list[Box]:
    """What is drawn left of where a text begins, on its row."""
    _, y0, _, y1 = run.box
    on = (small[:, 3] > y0) & (small[:, 1] < y1) & (small[:, 0] > start - COLUMN) & (small[:, 2] < start)
    return [(a, b, c, d) for a, b, c, d in small[on].tolist()]


def _gap(start: float, run: Run, small: FloatArray) -> float | None:
    """From the nearest sign left of a text to the text, pt; None where there is none."""
    signs = _signs(start, run, small)
    return start - max(sign[2] for sign in signs) if signs else None

"""The second column of a legend that nothing frames.

Without it a half of a legend was no legend: its rows could not be named, and its signs were symbols of the plan.

Terms: *rows*, the texts of a legend's column.  *Sign*, what is drawn beside a row; see ``even_rows``.
"""

from __future__ import annotations

from collections.abc import Iterator

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


def with_next_columns(box: Box, rows: list[Run], found: list[Run], small: FloatArray, long: FloatArray) -> Box:
    """The box with the columns right of it whose texts begin on one line, stand level with rows of the first column
    and have signs on the same side as near as these, with no line of the drawing through them."""
    gaps = [gap for row in rows if (gap := _gap(row, small)) is not None]
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
    heights = np.array([row.middle for row in rows])
    level = [
        run for run in found
        if box[2] < run.box[0] <= box[2] + APART + COLUMN and not middle_in_box(run.box, box)
        and (np.abs(heights - run.middle) <= LEVEL * run.size).any()
        and run.size <= LIKE * rows[0].size and rows[0].size <= LIKE * run.size
    ]  # fmt: skip
    for first in sorted(level, key=lambda run: (run.box[0], run.middle)):
        column = [run for run in level if abs(run.box[0] - first.box[0]) <= LEVEL * first.size]
        near = [run for run in column if (own := _gap(run, small)) is not None and own <= gap]
        told = sum(len(run.text) >= DESCRIBED for run in near)
        if told >= FEWEST and len(near) >= SIGNED * len(column):
            x0 = min(first.box[0] - gap - COLUMN / 2, first.box[0])
            signs = [sign for run in column for sign in _signs(run, small) if sign[0] > max(x0, box[2])]
            yield hull([*(run.box for run in column), *signs])


def _signs(run: Run, small: FloatArray) -> list[Box]:
    """What is drawn left of a text, on its row."""
    x0, y0, _, y1 = run.box
    on = (small[:, 3] > y0) & (small[:, 1] < y1) & (small[:, 0] > x0 - COLUMN) & (small[:, 2] < x0)
    return [(a, b, c, d) for a, b, c, d in small[on].tolist()]


def _gap(run: Run, small: FloatArray) -> float | None:
    """From the nearest sign left of a text to the text, pt; None where there is none."""
    signs = _signs(run, small)
    return run.box[0] - max(sign[2] for sign in signs) if signs else None

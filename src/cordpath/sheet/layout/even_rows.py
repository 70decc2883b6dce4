"""Rows of a legend that stand far apart, at one distance from each other."""

from __future__ import annotations

from cordpath.model import FloatArray
from cordpath.sheet.text.textlines import Run

TALLEST_ROW = 90.0  # pt, 1.25 in.: from row to row, or between two rules, of a legend; its signs are not larger
COLUMN = 90.0  # pt, 1.25 in.: how far a legend's signs stand from its text
LEVEL = 0.5  # of the text size: between the middles of two texts of one row, and between the beginnings of two rows
LIKE = 1.25  # times the size of another row
FEWEST = 3  # rows of one distance that are no accident
UNEVEN = 0.15  # of the first step between two rows, by which another may differ


def even_rows(heading: Run, found: list[Run], small: FloatArray) -> list[Run]:
    """The texts below a heading that begin on one line and stand at one distance, with signs beside them, and what
    else is written on their rows.

    A sign of letters may be joined to its text (S3  THREE-WAY SWITCH): the row begins where its text does.
    ``small`` (n, 4): boxes of the short strokes; a sign may be a fill alone.
    """
    below = sorted((run for run in found if run.box[1] > heading.box[3] and _beside(run, heading)),
                   key=lambda run: run.middle)  # fmt: skip
    for first in below:
        if first.middle - heading.middle > TALLEST_ROW:
            break
        rows = max((_from(first, column, below) for column in first.starts), key=len)
        right = max(row.box[2] for row in rows)  # signs right of the texts stand in a column behind the longest
        if sum(_has_sign(row, small, right) for row in rows) >= FEWEST:
            level = [run for run in below if any(abs(run.middle - row.middle) <= LEVEL * row.size for row in rows)]
            return [run for run in level if run.box[2] > rows[0].box[0] - COLUMN]
    return []


def _beside(run: Run, heading: Run) -> bool:
    near = run.box[0] < heading.box[2] + COLUMN and run.box[2] > heading.box[0] - COLUMN
    return near and run.size <= LIKE * heading.size


def _from(first: Run, column: tuple[float, float], below: list[Run]) -> list[Run]:
    """The rows from ``first`` down at the distance of the first two; ``column``: where texts begin, and a size."""
    rows = [first]
    for run in (run for run in below if run.middle > first.middle and _aligned(run, column)):
        step = run.middle - rows[-1].middle
        even = step <= TALLEST_ROW if len(rows) == 1 else abs(step - _step(rows)) <= UNEVEN * _step(rows)
        if not even:
            break
        rows.append(run)
    return rows


def _step(rows: list[Run]) -> float:
    return rows[1].middle - rows[0].middle


def _aligned(run: Run, column: tuple[float, float]) -> bool:
    for start, size in run.starts:
        small, large = sorted((size, column[1]))
        if large <= LIKE * small and abs(start - column[0]) <= LEVEL * large:
            return True
    return False


def _has_sign(run: Run, small: FloatArray, right: float) -> bool:
    """Is something drawn beside it, on its row?"""
    x0, y0, x1, y1 = run.box
    level = small[(small[:, 3] > y0) & (small[:, 1] < y1)]
    before = (level[:, 0] > x0 - COLUMN) & (level[:, 2] < x0)
    after = (level[:, 2] < right + COLUMN) & (level[:, 0] > x1)
    return bool((before | after).any())

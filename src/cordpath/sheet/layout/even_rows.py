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
    """The texts below a heading that begin or end on one line and stand at one distance, with signs beside them,
    and what else is written on their rows.

    A sign of letters may be joined to its text (S3  THREE-WAY SWITCH): the row begins where its text does.
    ``small`` (n, 4): boxes of the short strokes; a sign may be a fill alone.
    """
    fitting = (run for run in found if run.box[1] > heading.box[3] and run.size <= LIKE * heading.size)
    below = sorted(fitting, key=lambda run: run.middle)
    near = [run for run in below if _beside(run, heading)]
    for first in near:
        if first.middle - heading.middle > TALLEST_ROW:
            break
        columns = [[run for run in near if _aligned(run, column)] for column in first.starts]
        columns.append([run for run in below if _ends_with(run, first)])
        rows = max((_from(first, column) for column in columns), key=len)
        right = max(row.box[2] for row in rows)  # signs right of the texts stand in a column behind the longest
        if sum(_has_sign(row, small, right) for row in rows) >= FEWEST:
            level = [run for run in near if any(abs(run.middle - row.middle) <= LEVEL * row.size for row in rows)]
            aside = [run for run in level if run not in rows and run.box[2] > rows[0].box[0] - COLUMN]
            return sorted([*rows, *aside], key=lambda run: run.middle)
    return []


def _beside(run: Run, heading: Run) -> bool:
    return run.box[0] < heading.box[2] + COLUMN and run.box[2] > heading.box[0] - COLUMN


def _from(first: Run, column: list[Run]) -> list[Run]:
    """The rows from ``first`` down its column, at the distance of the first two."""
    rows = [first]
    for run in (run for run in column if run.middle > first.middle):
        step = run.middle - rows[-1].middle
        even = step <= TALLEST_ROW if len(rows) == 1 else abs(step - _step(rows)) <= UNEVEN * _step(rows)
        if not even:
            break
        rows.append(run)
    return rows


def _step(rows: list[Run]) -> float:
    return rows[1].middle - rows[0].middle


def _ends_with(run: Run, first: Run) -> bool:
    small, large = sorted((run.size, first.size))
    return large <= LIKE * small and abs(run.box[2] - first.box[2]) <= LEVEL * large


def _aligned(run: Run, column: tuple[float, float]) -> bool:
    """``column``: where texts begin, and a size."""
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

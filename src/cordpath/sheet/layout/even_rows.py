"""Rows of a legend that stand far apart, at one distance from each other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from cordpath.geometry import hull, misaligned
from cordpath.model import FloatArray
from cordpath.sheet.text.textlines import Run

TALLEST_ROW = 90.0  # pt, 1.25 in.: from row to row, or between two rules, of a legend; its signs are not larger
COLUMN = 90.0  # pt, 1.25 in.: how far a legend's signs stand from its text
WINDOW = 6 * COLUMN  # pt about a heading in which its legend is looked for
NEXT_LINE = 1.6  # of the text size, from line to line of a description
LEVEL = 0.5  # of the text size: between the middles of two texts of one row, and between the beginnings of two rows
LIKE = 1.25  # times the size of another row
FEWEST = 3  # rows of one distance that are no accident
UNEVEN = 0.15  # of the first step between two rows, by which another may differ


def even_rows(heading: Run, found: list[Run], small: FloatArray) -> list[Run]:
    """The texts below a heading that begin or end on one line and stand at one distance, with signs beside them,
    and what else is written on their rows.  The lines of a description are one text, and the distance is that of
    the first lines or of the middles.

    A sign of letters may be joined to its text (S3  THREE-WAY SWITCH): the row begins where its text does.
    ``small`` (n, 4): boxes of the short strokes; a sign may be a fill alone.
    """
    fitting = (run for run in found if run.box[1] > heading.box[3] and run.size <= LIKE * heading.size)
    below = blocks([run for run in fitting if abs(run.box[0] - heading.box[0]) <= WINDOW])
    near = [run for run in below if _beside(run, heading)]
    for first in near:
        if first.middle - heading.middle > TALLEST_ROW:
            break
        columns = [[run for run in near if _aligned(run, column)] for column in first.starts]
        columns.append([run for run in below if _ends_with(run, first)])
        rows = max((_from(first, column, at) for column in columns for at in (_middle, _top)), key=len)
        right = max(row.box[2] for row in rows)  # signs right of the texts stand in a column behind the longest
        if sum(_has_sign(row, small, right) for row in rows) >= FEWEST:
            level = [run for run in near if any(abs(run.middle - row.middle) <= LEVEL * row.size for row in rows)]
            aside = [run for run in level if run not in rows and run.box[2] > rows[0].box[0] - COLUMN]
            return sorted([*rows, *aside], key=lambda run: run.middle)
    return []


def _beside(run: Run, heading: Run) -> bool:
    return run.box[0] < heading.box[2] + COLUMN and run.box[2] > heading.box[0] - COLUMN


def _from(first: Run, column: list[Run], at: Callable[[Run], float]) -> list[Run]:
    """The rows from ``first`` down its column, at the distance of the first two."""
    rows = [first]
    usual = 0.0
    for run in (run for run in column if run.middle > first.middle):
        step = at(run) - at(rows[-1])
        if not (step <= TALLEST_ROW if len(rows) == 1 else abs(step - usual) <= UNEVEN * usual):
            break
        usual = usual or step
        rows.append(run)
    return rows


def _middle(run: Run) -> float:
    return run.middle


def _top(run: Run) -> float:
    return run.box[1]


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


def blocks(texts: list[Run]) -> list[Run]:
    """The texts, those of several lines as one: they have one middle, or begin or end in one upright line."""
    blocks: list[tuple[Run, float]] = []  # with the middle of the last line
    for run in sorted(texts, key=lambda run: run.middle):
        over = next((k for k, (block, last) in enumerate(blocks) if _goes_on(block, last, run)), None)
        if over is None:
            blocks.append((run, run.middle))
        else:
            one = blocks[over][0]
            text = f"{one.text} {run.text}"
            blocks[over] = (replace(one, text=text, box=hull([one.box, run.box])), run.middle)
    return [block for block, _ in blocks]


def _goes_on(block: Run, last: float, run: Run) -> bool:
    step = run.middle - last
    return run.size / 2 < step <= NEXT_LINE * run.size and misaligned(block.box, run.box) <= run.size

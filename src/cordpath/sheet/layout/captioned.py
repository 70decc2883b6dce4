"""Legends that are a grid of signs with their descriptions under them, or over them.

Terms: *caption*, a description over or under its sign; *sign*, see ``signs``.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from cordpath.geometry import components, group_boxes, hull, middle_in_box, midpoints
from cordpath.model import Box, FloatArray
from cordpath.sheet.layout.even_rows import COLUMN, FEWEST, LEVEL, LIKE, TALLEST_ROW, UNEVEN, WINDOW, blocks
from cordpath.sheet.text.textlines import Run

TOUCH = 3.0  # pt: pieces of a sign stand nearer to one another than this, signs farther
NEAR = TALLEST_ROW / 2  # pt from a sign to its caption, at most
DESCRIBED = 4  # letters of a description; shorter texts are letters of signs


@dataclass(frozen=True, eq=False)
class _Grid:
    texts: list[Run]
    signs: list[Box]
    under: bool  # the captions stand under their signs


def captioned(heading: Run, found: list[Run], small: FloatArray) -> list[Box]:
    """Boxes of the captions and signs of the grid below a heading; none where there is no such grid.

    ``small``: see signs.short_strokes.
    """
    x0, y0, x1, _ = heading.box
    window = (x0 - WINDOW, y0, x1 + WINDOW, y0 + WINDOW)
    here = small[(small[:, :2] >= window[:2]).all(axis=1) & (small[:, 2:] <= window[2:]).all(axis=1)]
    texts = blocks([
        run for run in found
        if run.box[1] > heading.box[3] and middle_in_box(run.box, window) and run.size <= LIKE * heading.size
    ])  # fmt: skip
    signs = _signs(_without_letters(here, texts))
    signs += [run.box for run in texts if len(run.text) < DESCRIBED]  # S over SWITCH
    grids = [_rows(heading, _Grid(texts, signs, under)) for under in (True, False)]
    best = max(grids, key=len)
    return best if len(grids[0]) != len(grids[1]) else grids[0]


def _without_letters(small: FloatArray, texts: list[Run]) -> FloatArray:
    """The strokes that are no letters of a text: where rows are drawn, each was the sign of the next."""
    middle = midpoints(small)
    letters = np.zeros(len(small), bool)
    for x0, y0, x1, y1 in (run.box for run in texts if len(run.text) >= DESCRIBED):
        letters |= ((middle >= (x0, y0)) & (middle <= (x1, y1))).all(axis=1)
    return small[~letters]


def _signs(small: FloatArray) -> list[Box]:
    """Boxes of what stands together, no larger than a sign."""
    if not len(small):
        return []
    drawn = shapely.box(*small.T)
    one, two = shapely.STRtree(drawn).query(drawn, predicate="dwithin", distance=TOUCH)
    count, shape = components(one, two, len(small))
    whole = group_boxes(small, shape, count)
    return [(a, b, c, d) for a, b, c, d in whole.tolist() if max(c - a, d - b) <= COLUMN]


def _rows(heading: Run, grid: _Grid) -> list[Box]:
    """Boxes of the captions with their signs, row by row at one distance."""
    signed = {run: sign for run in grid.texts if (sign := _sign_of(run, grid)) is not None}
    rows: list[list[Run]] = []
    for run in sorted(signed, key=lambda run: run.box[1]):
        if not rows and not _is_first(run, heading):
            continue
        if rows and run in rows[-1]:
            continue
        row = _level(run, list(signed))
        if rows and not _is_next(row, rows):
            break
        rows.append(row)
    captions = [run for row in rows for run in row]
    if len(captions) < FEWEST:
        return []
    return [*(run.box for run in captions), *(signed[run] for run in captions)]


def _is_first(run: Run, heading: Run) -> bool:
    return run.box[1] - heading.box[3] <= TALLEST_ROW and run.box[0] < heading.box[2] + COLUMN and (
        run.box[2] > heading.box[0] - COLUMN
    )  # fmt: skip


def _level(first: Run, signed: list[Run]) -> list[Run]:
    """The captions of one row, none of them far from the next."""
    level = sorted((run for run in signed if _are_level(run, first)), key=lambda run: run.box[0])
    at = level.index(first)
    low = high = at
    while low and level[low].box[0] - level[low - 1].box[2] <= COLUMN:
        low -= 1
    while high + 1 < len(level) and level[high + 1].box[0] - level[high].box[2] <= COLUMN:
        high += 1
    return level[low : high + 1]


def _are_level(one: Run, other: Run) -> bool:
    """Do they begin, or end, at one height?  Captions have one line or more."""
    return min(abs(one.box[1] - other.box[1]), abs(one.box[3] - other.box[3])) <= LEVEL * other.size


def _is_next(row: list[Run], rows: list[list[Run]]) -> bool:
    """Does a row follow at the distance of the others, in columns of the first?"""
    step = _top(row) - _top(rows[-1])
    usual = _top(rows[1]) - _top(rows[0]) if len(rows) > 1 else step
    if not 0 < step <= TALLEST_ROW or abs(step - usual) > UNEVEN * usual:
        return False
    return all(any(run.box[0] < over.box[2] and run.box[2] > over.box[0] for over in rows[0]) for run in row)


def _top(row: list[Run]) -> float:
    return min(run.box[1] for run in row)


def _sign_of(run: Run, grid: _Grid) -> Box | None:
    """The box of what is drawn next to a text, over or under it, no other text between them."""
    if len(run.text) < DESCRIBED:
        return None
    x0, y0, x1, y1 = run.box
    own: list[Box] = []
    for sign in grid.signs:
        gap = y0 - sign[3] if grid.under else sign[1] - y1
        if sign[0] < x1 and sign[2] > x0 and -run.size / 2 <= gap <= NEAR:
            own.append(sign)
    if not own:
        return None
    sign = hull(own)
    band = (sign[3], run.middle) if grid.under else (run.middle, sign[1])
    between = (
        other is not run and other.box[0] < x1 and other.box[2] > x0 and band[0] < other.middle < band[1]
        and len(other.text) >= DESCRIBED for other in grid.texts
    )  # fmt: skip
    return None if any(between) else sign

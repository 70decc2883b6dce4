"""Marks of what is drawn beside a row of a legend, its sign: without rules, leaders and the signs of other rows."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from cordpath import geometry
from cordpath.model import BoolArray, Box, FloatArray, Mark, Sheet, TextMark, Word
from cordpath.symbols.examples import legend
from cordpath.symbols.examples.doubts import BETWEEN
from cordpath.symbols.examples.legend_columns import DOT
from cordpath.symbols.examples.legend_frame import COLUMN
from cordpath.symbols.examples.legend_ink import row_ink
from cordpath.symbols.examples.legend_lines import UPRIGHT, Row, drawn_letters
from cordpath.symbols.examples.legend_signs import DIFFERENT, signs
from cordpath.symbols.examples.legend_words import RowMarks, row_marks
from cordpath.symbols.examples.likeness import alike, unlike
from cordpath.symbols.examples.page_marks import dark_fills, is_inside, marks_of

FEWEST_DOTS = 5  # in a line make a leader of dots
EDGE = 0.1  # pt about a sign: its lines end at its edge
MOST_ROWS = 40  # of a legend that are looked at: a list of more is no legend of symbols
CAPTION = "what is drawn at its side stands above or below its words, and may be another's"


def in_cell(sheet: Sheet, cell: Box, row: Row) -> tuple[tuple[Mark, ...], tuple[str, ...]]:
    """Marks of what is drawn beside a legend's row, without rules and leaders, and what is uncertain about them.

    Words that do not stand upright as the row does are a dimension of a plan beside the legend.
    """
    ink = row_ink(sheet, cell, row)
    column = (cell[0], cell[1] - legend.TALLEST, cell[2], cell[3] + legend.TALLEST)
    painted = _without_texts(sheet, row, dark_fills(sheet, lambda bounds: is_inside(bounds, column)))
    drawn = row_marks(sheet, cell, row, ink, [ring for ring in painted if not _is_ground(ring, painted)])
    if not _is_level(sheet, row, drawn):
        return (), (CAPTION,)
    not_words = (frozenset(row.words) | row.side | _turned(sheet) | drawn.others) - drawn.words
    each = [
        marks_of(sheet, box, not_words, drawn.strokes & within, rings, words)
        for box, within, rings, words in _signs(sheet, cell, drawn, not_words)
    ]
    each = [marks for marks in each if marks]
    if any(not alike(each[0], marks) for marks in each[1:]):
        return (), (f"{len(each)} {DIFFERENT}",)
    said = (*ink.said, *(f"{what} {BETWEEN}" for what in drawn.doubtful))
    return (each[0], said) if each else ((), ())


def _is_level(sheet: Sheet, row: Row, drawn: RowMarks) -> bool:
    """Does what is drawn reach the height of the row's text?  In legends with captions the next sign does not."""
    points = np.concatenate([sheet.strokes.xy[drawn.strokes].reshape(-1, 2), *drawn.rings])
    return not len(points) or bool(points[:, 1].min() <= row.box[3] and points[:, 1].max() >= row.box[1])


def _without_texts(sheet: Sheet, row: Row, rings: list[FloatArray]) -> list[FloatArray]:
    """The fills without drawn letters of the texts that are neither signs nor descriptions, and without the dots
    that lead from a sign to its text."""
    if not rings:
        return rings
    boxes = np.array([[*ring.min(axis=0), *ring.max(axis=0)] for ring in rings])
    gone = np.zeros(len(rings), bool)
    for x0, y0, x1, y1 in drawn_letters(sheet, row.side):
        gone |= is_inside(boxes, (x0 - EDGE, y0 - EDGE, x1 + EDGE, y1 + EDGE))
    dots = (boxes[:, 2:] - boxes[:, :2]).max(axis=1) <= DOT
    for k in np.flatnonzero(dots):
        level = dots & (np.abs(boxes[:, 1] - boxes[k, 1]) <= EDGE)
        gone[k] |= int(level.sum()) >= FEWEST_DOTS
    return [ring for ring, is_gone in zip(rings, gone.tolist(), strict=True) if not is_gone]


def _signs(
    sheet: Sheet, cell: Box, drawn: RowMarks, not_words: frozenset[int]
) -> Iterator[tuple[Box, BoolArray, list[FloatArray], frozenset[int]]]:
    """The signs of a cell: box, (strokes,), outlines of fills and words of each."""
    xy = sheet.strokes.xy
    own = xy[drawn.strokes]
    boxes = np.c_[np.minimum(own[:, :2], own[:, 2:]), np.maximum(own[:, :2], own[:, 2:])]
    rings = [np.r_[ring.min(axis=0), ring.max(axis=0)] for ring in drawn.rings]
    words = sorted(({*sheet.words_in(cell).tolist()} - not_words) | drawn.words)
    found = signs(np.r_[boxes, np.array(rings).reshape(-1, 4)], [_across(sheet.words[i]) for i in words])
    if len(found) < 2:
        yield cell, np.ones(len(xy), bool), drawn.rings, drawn.words
        return
    middle, at = geometry.midpoints(xy)[:, 0], np.array([(box[0] + box[2]) / 2 for box in rings])
    for x0, x1 in found:
        here = [ring for ring, x in zip(drawn.rings, at.tolist(), strict=True) if x0 <= x <= x1]
        box = (x0 - EDGE, cell[1], x1 + EDGE, cell[3])
        own_words = frozenset(i for i in drawn.words if x0 <= sheet.words[i].at[0] <= x1)
        yield box, (middle >= x0) & (middle <= x1), here, own_words


def _across(word: Word) -> tuple[float, float]:
    return word.box[0], word.box[2]


def _is_ground(ring: FloatArray, rings: list[FloatArray]) -> bool:
    """Is a fill as wide as a column of a table, and holds another?  Every other row of some legends is tinted."""
    low, high = ring.min(axis=0), ring.max(axis=0)
    if high[0] - low[0] < COLUMN:
        return False
    return any(other is not ring and (other >= low).all() and (other <= high).all() for other in rings)


def _turned(sheet: Sheet) -> frozenset[int]:
    return frozenset(i for i, word in enumerate(sheet.words) if abs(word.angle) >= UPRIGHT)


def stand_right(sheet: Sheet) -> bool:
    """Are more different things drawn right of the rows of the sheet's legends than left of them?"""
    rows = [(row, legend.cells_of(sheet, row)) for row in legend.descriptions(sheet)[:MOST_ROWS]]
    left, right = (unlike([in_cell(sheet, cells[side], row)[0] for row, cells in rows]) for side in (0, 1))
    return right > left


def letters_in_cell(sheet: Sheet, cell: Box, row: Row) -> tuple[tuple[Mark, ...], tuple[str, ...]]:
    """As :func:`in_cell`: the one short text of a cell without strokes: symbols such as ``S`` are letters alone."""
    others = _turned(sheet) | row.side | set(row.words)
    words = [sheet.words[i] for i in sheet.words_in(cell).tolist() if i not in others]
    alone = len(words) == 1 and len(words[0].text) <= 3
    return ((TextMark(words[0].text.strip(), (0.0, 0.0)),) if alone else (), ())

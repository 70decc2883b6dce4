"""Rows of a legend that are numbered, each number in a bubble: the bubble is no part of the symbol beside it.

Terms: *bubble*, the ring round a number.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cordpath.model import FloatArray, Sheet, Word
from cordpath.symbols.examples.legend_frame import CROWDED, shapes
from cordpath.symbols.examples.legend_ink import RowInk
from cordpath.symbols.examples.legend_lines import Row

BUBBLE = 30.0  # pt across: keynotes and their like are drawn 1/4 to 3/8 in. across (common practice, no source)
GAP = 3.0  # pt between a number and the symbol: the 3 of S3 stands nearer
MOST_DIGITS = 3


def without_number(
    sheet: Sheet, row: Row, ink: RowInk, words: list[int], fills: list[FloatArray]
) -> tuple[RowInk, set[int]]:
    """The ink without the bubble of the row's number, and the number; ``words``: the loose ones at the row's line,
    ``fills``: outlines (p, 2) of those in its cell.

    A number is one where a row above or below has the next at the same place, and the whole symbol stands between
    it and the description, or, where it has a bubble, on its other side.
    """
    own = np.flatnonzero(ink.strokes)
    numbers = [i for i in words if _is_counted(sheet, row, sheet.words[i])]
    if len(numbers) != 1 or not 0 < len(own) <= CROWDED:
        return ink, set()
    word = sheet.words[numbers[0]]
    xy = sheet.strokes.xy[own]
    shape = shapes(xy)
    ring = np.isin(shape, [k for k in np.unique(shape) if _is_bubble(xy[shape == k], word)])
    others = [sheet.words[i].box for i in words if i != numbers[0]]
    others += [(*fill.min(axis=0).tolist(), *fill.max(axis=0).tolist()) for fill in fills]
    left = [*np.minimum(xy[~ring, 0], xy[~ring, 2]).tolist(), *(box[0] for box in others)]
    right = [*np.maximum(xy[~ring, 0], xy[~ring, 2]).tolist(), *(box[2] for box in others)]
    outer = [word.box, *xy[ring].tolist()]
    first, last = min(min(box[0], box[2]) for box in outer), max(max(box[0], box[2]) for box in outer)
    after, before = bool(left) and min(left) >= last + GAP, bool(right) and max(right) <= first - GAP
    outside = after if word.at[0] < row.box[0] else before
    beside = outside or (bool(ring.any()) and (after or before))
    if not beside:
        return ink, set()
    strokes = ink.strokes.copy()
    strokes[own[ring]] = False
    near = ink.near & (strokes | ~ink.strokes)
    return replace(ink, strokes=strokes, near=near), set(numbers)


def _is_counted(sheet: Sheet, row: Row, word: Word) -> bool:
    """Is it a number, and another row has the next one or the one before at the same place?"""
    if not _digits(word):
        return False
    others = (sheet.words[i] for i in sheet.words_in(row.region).tolist())
    return any(
        _digits(other)
        and abs(int(other.text) - int(word.text)) == 1
        and abs(other.at[0] - word.at[0]) <= word.size / 2
        and abs(other.at[1] - word.at[1]) > word.size
        for other in others
    )


def _digits(word: Word) -> bool:
    return word.text.isascii() and word.text.isdigit() and len(word.text) <= MOST_DIGITS


def _is_bubble(xy: FloatArray, word: Word) -> bool:
    """Is something drawn round a word, or in its letters?"""
    low, high = xy.reshape(-1, 2).min(axis=0), xy.reshape(-1, 2).max(axis=0)
    at, (x0, y0, x1, y1) = np.array(word.at), word.box
    inside = bool((low >= (x0, y0)).all() and (high <= (x1, y1)).all())
    return inside or bool((low < at).all() and (high > at).all() and (high - low).max() <= BUBBLE)

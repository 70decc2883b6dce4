"""Words of drawn letters whose strokes are known one by one: they are no lines of a symbol.

Terms: *line*, of words: those that were read as one run, by their number; *value*, the text of a symbol's mark.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from cordpath.model import FloatArray, IntArray, Sheet, Word
from cordpath.symbols.ink.grid import sorted_unique
from cordpath.symbols.ink.normalise import Ink

NOTE = 2  # times the letters of a mark: a row as long is a note, whatever letter it begins or ends with
BOX_SLACK = 0.3  # pt around the box of a word that its strokes may reach


@dataclass(frozen=True, eq=False)
class Drawn:
    """Words whose strokes are known one by one.  ``lines``: the sheet's strokes by the line of words they are of;
    ``line`` (n,): that line of each stroke, -1 for none."""

    lines: dict[int, IntArray]
    line: IntArray

    @staticmethod
    def of(sheet: Sheet) -> Drawn:
        if not len(sheet.lettered) or len(sheet.lettered) != len(sheet.strokes):
            return NOT_DRAWN
        order = np.argsort(sheet.lettered, kind="stable")
        number = sheet.lettered[order]
        line, start = np.unique(number, return_index=True)
        stop = np.r_[start[1:], len(number)]
        rows = zip(line.tolist(), start.tolist(), stop.tolist(), strict=True)
        return Drawn({k: order[a:b] for k, a, b in rows if k >= 0}, sheet.lettered)

    def about(self, ink: Ink, centre: FloatArray, radius: float) -> list[int]:
        """The lines of words that have a stroke within the radius."""
        if not self.lines:
            return []
        _, near = ink.grid.near(centre[None], radius)
        return [k for k in sorted_unique(self.line[ink.stroke[near[near < ink.count]]]).tolist() if k >= 0]

    def segments(self, word: Word, ink: Ink) -> IntArray:
        """The word's strokes among the segments; none where they are not known."""
        strokes = self.lines.get(word.line) if word.origin == "stroke" else None
        if strokes is None:
            return np.zeros(0, np.int64)
        own = sorted_unique(ink.segment_of[strokes])
        own = own[own >= 0]
        x0, y0, x1, y1 = word.box
        low, high = (x0 - BOX_SLACK, y0 - BOX_SLACK), (x1 + BOX_SLACK, y1 + BOX_SLACK)
        ends = ink.xy[own].reshape(-1, 2, 2)
        return own[((ends >= low) & (ends <= high)).all(axis=(1, 2))]


NOT_DRAWN = Drawn({}, np.zeros(0, np.int64))


def may_be_part(text: str, value: str) -> bool:
    """May the text be what is left of the value, or the value stand in it?"""
    text, value = text.upper(), value.upper()
    pairs = {value[k : k + 2] for k in range(len(value) - 1)}
    return any(pair in text for pair in pairs) or (len(text) <= 2 and bool(set(text) & set(value)))


def may_be_left_of(row: Sequence[str], value: str, whole: bool = False) -> bool:
    """May letters side by side be what is left of the value, or have it among them?  For each of them the letters
    that it may be, "" for one that is not sure: it may be any.

    Two letters of the value in order are enough; in a row that is not much longer, a letter at its end where the
    rest of the value may follow, and in one of two letters any.  ``whole``: is all that was drawn there in the row,
    as outlines are that lie over each other?  Then nothing follows.
    """
    value = value.upper()
    if len(value) < 2 or len(row) <= 2:
        return any(_may_be(letters, letter) for letters in row for letter in value)
    for one, two in pairwise(row):
        if any(_may_be(one, a) and _may_be(two, b) for a, b in pairwise(value)):
            return True
    ends = not whole and (_may_be(row[0], value[-1]) or _may_be(row[-1], value[0]))
    return ends and len(row) < NOTE * len(value)


def _may_be(letters: str, letter: str) -> bool:
    return not letters or letter in letters

"""Words and ruling strokes of a schedule in its own reading direction.

Terms
    *phrase*   neighbouring words of one text line with no ruling and no wide gap between.
    *ruling*   a straight level or upright stroke, one side of a table's cells.

Tables may be turned by a quarter on the sheet; everything here is turned so that x runs along the text.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from cordpath.geometry import rulings
from cordpath.model import BoolArray, FloatArray, Sheet, Word
from cordpath.units import plain

ALIKE = frozenset("XO")  # letters that are the same at every quarter turn
SKEW = 3.0  # degrees by which text may miss a quarter turn and still belong to a table
LEAST_RULING_PT = 3.0  # shorter strokes are dashes and letters
SURE = 0.8  # confidence below which a word read from drawn lettering settles nothing
LIKELY = 0.75  # and below which it is no word that is known, or some letters of it are read with doubt
STRIKE = 0.2  # font sizes from the middle of a word to a line that strikes it through
STRUCK = 0.7  # of a word's width that such a line covers
ROWS = 3  # as many lines of one extent are rulings of a table, even where its text stands on them
BETWEEN = 0.75  # of the usual gap between rulings: a line with less to either side strikes a row through
WORD_GAP = 0.7  # widest gap inside a phrase, in font sizes: a space is about 0.3, a column gap more than 1
PLOTTED_GAP = 1.25  # the same of words drawn with a pen: a space is 0.8 to 1.0, and 1.2 beside a slim I
OVER = 0.5  # pt by which the box of a word reaches over a ruling beside it
PEN = 0.3  # pt beside a plotted word where no letter of it is, whose own uprights are as rulings
_RAISED = re.compile(r"(?<!FT)(?<!IN)(?<!M)[\u00b9\u00b2\u00b3\u2070\u2074-\u2079]{1,2}")
_KEYED = re.compile(r"\b(GFC?I|DF)(\d{1,2})$")
# x' and y' from x and y for text read at 0, 90, 180, 270 degrees (y down)
TURNS = {
    0: np.array([[1.0, 0], [0, 1]]), 90: np.array([[0, -1.0], [1, 0]]),
    180: np.array([[-1.0, 0], [0, -1]]), 270: np.array([[0, 1.0], [-1, 0]]),
}  # fmt: skip


@dataclass(frozen=True)
class Text:
    """A word or phrase in the turned frame, in points; ``size`` is the font size."""

    text: str
    x0: float
    y0: float
    x1: float
    y1: float
    size: float
    sure: bool = True  # False for drawn lettering that was read with doubt
    struck: bool = False  # a line runs through it
    likely: bool = True  # False where more than a letter of it may be another
    plotted: bool = False  # drawn with a pen

    @property
    def x(self) -> float:
        return (self.x0 + self.x1) / 2

    @property
    def y(self) -> float:
        return (self.y0 + self.y1) / 2


@dataclass(frozen=True, eq=False)
class Reading:
    """All words of one reading direction, and the rulings of the sheet, in the turned frame.

    ``upright`` (n, 3): x, y0, y1.  ``level`` (m, 3): y, x0, x1.  ``strokes`` (k, 2, 2): ends of all strokes.
    """

    turn: int
    words: tuple[Text, ...]
    upright: FloatArray
    level: FloatArray
    strokes: FloatArray

    def upright_between(self, x0: float, x1: float, y: float) -> bool:
        """Does an upright ruling cross height y between x0 and x1?"""
        low, high = np.searchsorted(self._across[:, 0], x0), np.searchsorted(self._across[:, 0], x1, "right")
        u = self._across[low:high]
        return bool(((u[:, 1] <= y) & (u[:, 2] >= y)).any())

    @cached_property
    def _across(self) -> FloatArray:
        """``upright`` from left to right."""
        return self.upright[np.argsort(self.upright[:, 0])]

    def levels_between(self, x: float, y0: float, y1: float) -> int:
        """Number of distinct level rulings that cross x between the heights y0 and y1."""
        y0, y1 = min(y0, y1), max(y0, y1)
        v = self.level
        hit = v[(v[:, 0] > y0) & (v[:, 0] < y1) & (v[:, 1] <= x) & (v[:, 2] >= x), 0]
        return len(np.unique(np.round(hit)))


def readings(sheet: Sheet) -> tuple[Reading, ...]:
    """The sheet once for every reading direction that has words."""
    ink = sheet.strokes.xy[sheet.strokes.ink()]
    found = []
    for turn, matrix in TURNS.items():
        words = [
            _turned(word, matrix)
            for word in sheet.words
            if is_read(word, turn) and word.text.strip() and word.origin != "hidden"
        ]
        if words:
            ends = ink.reshape(-1, 2, 2) @ matrix.T
            upright, level = rulings(ends, LEAST_RULING_PT)
            found.append(Reading(turn, _struck(words, level), upright, level, ends))
    return tuple(found)


def is_read(word: Word, turn: int = 0) -> bool:
    """Is a word read at ``turn`` degrees?  Two drawn ticks X over each other may have been read down the sheet."""
    alike = word.is_drawn and set(word.text) <= ALIKE
    return any(_off(word.angle, each) <= SKEW for each in (TURNS if alike else (turn,)))


def _struck(words: list[Text], level: FloatArray) -> tuple[Text, ...]:
    """The words, those that a line strikes through marked."""
    y, x0, x1 = level[_no_rulings(level)].T
    order = np.argsort(y)
    y, x0, x1 = y[order], x0[order], x1[order]
    at = np.array([(w.y, w.x0, w.x1, w.size) for w in words])
    first = np.searchsorted(y, at[:, 0] - STRIKE * at[:, 3])
    last = np.searchsorted(y, at[:, 0] + STRIKE * at[:, 3])
    found = list(words)
    for k in np.flatnonzero(last > first).tolist():
        here = slice(first[k], last[k])
        cover = np.minimum(x1[here], at[k, 2]) - np.maximum(x0[here], at[k, 1])
        if (cover >= STRUCK * (at[k, 2] - at[k, 1])).any():
            found[k] = replace(words[k], struck=True)
    return tuple(found)


def _no_rulings(level: FloatArray) -> BoolArray:
    """(m,) False for the rulings of a table: many lines of one extent, but for one between two at their pitch."""
    _, group, size = np.unique(np.round(level[:, 1:]), axis=0, return_inverse=True, return_counts=True)
    group = group.ravel()
    order = np.lexsort((level[:, 0], group))
    own = group[order]
    gap = np.diff(level[order, 0], prepend=-np.inf, append=np.inf)
    gap[1:-1][own[1:] != own[:-1]] = np.inf
    by_gap = np.lexsort((gap[:-1], own))
    first = np.searchsorted(own, np.arange(len(size)))
    usual = gap[:-1][by_gap][first + (size - 1) // 2][own]  # the last of each group's gaps is infinite
    between = np.maximum(gap[:-1], gap[1:]) <= BETWEEN * usual
    found = size[group] < ROWS
    found[order] |= between
    return np.asarray(found, bool)


def _off(angle: float, turn: int) -> float:
    return abs((angle - turn + 180.0) % 360.0 - 180.0)


def _turned(word: Word, matrix: FloatArray) -> Text:
    corners = np.array(word.box).reshape(2, 2) @ matrix.T
    (x0, y0), (x1, y1) = corners.min(axis=0), corners.max(axis=0)
    size = word.size if word.size > 0 else max(float(y1 - y0), 1.0)
    sure, likely = word.confidence >= SURE, word.confidence >= LIKELY
    text = _lowered(plain(word.text))
    return Text(
        text, float(x0), float(y0), float(x1), float(y1), size, sure, likely=likely, plotted=word.origin == "stroke"
    )


def _lowered(text: str) -> str:
    """A text with its raised numbers, which are the keys of notes, in brackets: 20¹ is 20(1); FT² is left alone.

    A digit right behind a mark is one that was raised by hand: GFCI1.
    """
    text = _KEYED.sub(r"\1(\2)", text)
    return _RAISED.sub(lambda found: f"({unicodedata.normalize('NFKC', found[0])})", text)


def top_under(title: Text, heads: list[Text]) -> float:
    """The upper edge of the header nearest along the text: tables side by side need not be of one height."""
    return min(heads, key=lambda head: max(head.x0 - title.x1, title.x0 - head.x1, 0.0)).y0


def lines(words: list[Text]) -> list[list[Text]]:
    """Words by text line, top to bottom, each line left to right."""
    found: list[list[Text]] = []
    for word in sorted(words, key=lambda w: (w.y, w.x0)):
        for line in reversed(found[-3:]):
            if abs(line[0].y - word.y) <= 0.35 * max(word.size, line[0].size):
                line.append(word)
                break
        else:
            found.append([word])
    return [sorted(line, key=lambda w: (w.x0, w.y)) for line in found]


def phrases(line: list[Text], reading: Reading) -> list[Text]:
    """The phrases of one text line."""
    found: list[Text] = []
    for word in line:
        last = found[-1] if found else None
        gap, into = (PLOTTED_GAP, -PEN) if word.plotted else (WORD_GAP, OVER)
        if (
            last is not None
            and word.x0 - last.x1 <= gap * word.size
            and not reading.upright_between(last.x1 - into, word.x0 + into, word.y)
        ):
            found[-1] = joined(last, word)
        else:
            found.append(word)
    return found


def joined(a: Text, b: Text) -> Text:
    return Text(
        f"{a.text} {b.text}",
        min(a.x0, b.x0),
        min(a.y0, b.y0),
        max(a.x1, b.x1),
        max(a.y1, b.y1),
        max(a.size, b.size),
        a.sure and b.sure,
        a.struck or b.struck,
        a.likely and b.likely,
        a.plotted and b.plotted,
    )


def columns_of(words: list[Text]) -> list[list[Text]]:
    """The words by columns, left to right: those of one overlap along the text."""
    found: list[list[Text]] = []
    for word in sorted(words, key=lambda each: each.x0):
        if found and word.x0 <= max(each.x1 for each in found[-1]):
            found[-1].append(word)
        else:
            found.append([word])
    return found

"""The texts of a legend: lines of words, and descriptions of one or two of them.

Terms: *line*, words of a legend on one baseline without a wide gap.  *Row*, the one or two lines of a description.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from cordpath import units
from cordpath.model import Box, Sheet, Word

WORD_GAP = 1.3  # of the text size: words of a description stand nearer than this
LINE_STEP = 2.2  # of the text size: a description's second line follows within this step
BASELINE = 0.4  # of the text size
LINE_PITCH, STEP_SHARE = 1.6, 1.25  # lines of one text: of the text size, and times under the usual step of rows
ALIGNED = 0.3  # of the text size: texts of one column begin or end alike
LONGEST_SIGN = 3  # letters of a sign, as in GFI
FEWEST = 2  # other descriptions that begin in a column
UPRIGHT = 1.0  # degrees: words turned by more are no words of a legend


@dataclass(frozen=True)
class Row:
    """A description.  ``words`` are indices into Sheet.words; ``region`` is the box of its legend, ``side`` the
    words of texts there that are neither descriptions nor signs, see legend_columns.py."""

    text: str
    box: Box
    size: float
    words: tuple[int, ...]
    region: Box
    side: frozenset[int] = frozenset()

    @property
    def middle(self) -> float:
        return (self.box[1] + self.box[3]) / 2


def joined(lines: list[Row]) -> list[Row]:
    """Texts of several lines as one row each.  Boxes of drawn letters begin where their ink does, not all alike."""
    steps = [step for one in lines if (step := _step(one, lines)) is not None]
    usual = float(np.percentile(steps, 75)) if steps else 0.0
    rows: list[Row] = []
    for line in sorted(lines, key=lambda row: (row.box[3], row.box[0])):
        close = min(LINE_PITCH * line.size, usual / STEP_SHARE)
        over = [k for k, row in enumerate(rows) if (step := _step_between(row, line)) is not None and step <= close]
        if over:
            rows[over[-1]] = _two_lines(rows[over[-1]], line)
        else:
            rows.append(line)
    return sorted(rows, key=lambda row: (row.box[1], row.box[0]))


def _step(one: Row, lines: list[Row]) -> float | None:
    """To the next line below it that begins where it begins."""
    steps = [step for two in lines if (step := _step_between(one, two)) is not None]
    return min(steps, default=None)


def _step_between(one: Row, two: Row) -> float | None:
    step = two.box[3] - one.box[3]
    return step if step > 0 and abs(two.box[0] - one.box[0]) <= one.size else None


def drawn_letters(sheet: Sheet, words: Iterable[int]) -> list[Box]:
    """Boxes of those of the words (numbers in Sheet.words) whose letters are ink as symbols are."""
    return [sheet.words[i].box for i in words if sheet.words[i].origin != "font"]


def letters_of(text: str) -> str:
    return re.sub(r"[^A-Z0-9+/&\"']", "", units.plain(text))


def lines_of(sheet: Sheet, region: Box) -> list[Row]:
    """The lines in a legend, none of them cut at its sides."""
    words = sheet.words
    inside = [i for i in sheet.words_in(region).tolist() if abs(words[i].angle) < UPRIGHT]
    begun = {words[i].line for i in inside}
    level = sheet.words_in((-np.inf, region[1], np.inf, region[3])).tolist()
    upright = {*inside, *(i for i in level if words[i].line in begun and abs(words[i].angle) < UPRIGHT)}
    lines: list[list[int]] = []
    for i in sorted(upright, key=lambda i: (words[i].at[1], words[i].box[0])):
        word = words[i]
        row = next((line for line in reversed(lines[-6:]) if _continues(words, line, word)), None)
        if row is None:
            lines.append([i])
        else:
            row.append(i)
    rows = _without_signs([row for line in lines for row in _split(words, line, region)], words)
    return [row for row in rows if not set(inside).isdisjoint(row.words)]


def _continues(words: tuple[Word, ...], line: list[int], word: Word) -> bool:
    return abs(words[line[0]].at[1] - word.at[1]) <= BASELINE * max(word.size, words[line[0]].size)


def _split(words: tuple[Word, ...], line: list[int], region: Box) -> list[Row]:
    """A baseline cut where the gap is wide: columns, and letters inside symbols."""
    line = sorted(line, key=lambda i: words[i].box[0])
    parts: list[list[int]] = []
    for i in line:
        near = bool(parts) and words[i].box[0] - words[parts[-1][-1]].box[2] <= WORD_GAP * words[i].size
        if near:
            parts[-1].append(i)
        else:
            parts.append([i])
    return [_row(words, part, region) for part in parts]


def _without_signs(rows: list[Row], words: tuple[Word, ...]) -> list[Row]:
    """The lines, those of signs apart whose letters stand as near to the description as its own words do:
    before the column in which most of the others begin."""
    begin = np.array([row.box[0] for row in rows])
    out: list[Row] = []
    for row in rows:
        near = ALIGNED * row.size
        second = words[row.words[1]].box[0] if len(row.words) > 1 else np.inf
        here, behind = ((np.abs(begin - x) <= near).sum() for x in (row.box[0], second))
        sign = len(letters_of(words[row.words[0]].text)) <= LONGEST_SIGN and behind >= max(FEWEST, here + 1)
        parts = (row.words[:1], row.words[1:]) if sign else (row.words,)
        out += [_row(words, list(part), row.region) for part in parts]
    return out


def _row(words: tuple[Word, ...], part: list[int], region: Box) -> Row:
    boxes = np.array([words[i].box for i in part])
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    size = max(words[i].size for i in part)
    return Row(" ".join(words[i].text for i in part), box, size, tuple(part), region)


def wrapped(lines: list[Row]) -> list[Row]:
    """Descriptions of two lines, the second under the first and beginning where it begins."""
    found = []
    for one in lines:
        for two in lines:
            step = two.box[1] - one.box[1]
            if 0 < step <= LINE_STEP * one.size and abs(two.box[0] - one.box[0]) <= one.size:
                found.append(_two_lines(one, two))
    return found


def _two_lines(one: Row, two: Row) -> Row:
    box = (min(one.box[0], two.box[0]), one.box[1], max(one.box[2], two.box[2]), two.box[3])
    return Row(f"{one.text} {two.text}", box, one.size, (*one.words, *two.words), one.region)

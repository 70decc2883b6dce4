"""Marks that tell how large a print is against the original: a bar that was one inch long on the original drawing.

Terms: *mark*, such a bar with the sentence beside it ("bar is one inch on original drawing").  *Size of the print*,
the length of the bar as printed against the length that the sentence tells: 0.5 on a half-size print.

A note of a scale holds for the original only; with a mark it holds for the print too.  Marks stand in the margin or
the title block, and hold for the whole sheet (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from cordpath.geometry import hull
from cordpath.model import POINTS_PER_INCH, Box, FloatArray, Sheet, Word
from cordpath.scale.bars import Field
from cordpath.units import plain

SENTENCE = re.compile(
    r"\b(?:BAR|LINE|SEGMENT|SCALE|RULER|MARK)S?\b(?:(?!\bIF\b).)*?"
    r"\b(?P<value>ONE|TWO|1|2)[\s-]*(?:INCH(?:ES)?\b|IN\b\.?|\")(?:(?!\bIF\b).)*?"
    r"\b(?:ORIGINAL|FULL[\s-]*(?:SIZE|SCALE))\b"
)
HINT = re.compile(r"\b(?:INCH|INCHES|BAR|ORIGINAL|FULL)\b")
INCHES = {"ONE": 1.0, "1": 1.0, "TWO": 2.0, "2": 2.0}
MOST_LINES = 5  # of the sentence
LEAST_LEADING, LEADING = 0.5, 2.2  # of the size: from line to line
INDENT = 12.0  # of the size: how far lines of one sentence begin or are centred apart
REACH = 108.0  # pt, 1.5 in.: from the sentence to its bar, on the original; the bar stands right at it
SMALLEST, LARGEST = 0.2, 2.5  # sizes of prints that can still be read, and that fit a plotter
FLAT = 14.0  # pt: across, of a bar with its end marks; table cells are as high as their text and more
EXACT = 0.6  # pt: how far a bar's end may lie off its end mark
SAME = 0.01  # relative: candidates of this length are one
LEVEL = 6.0  # pt across: pieces of one bar


@dataclass(frozen=True)
class Original:
    """The size of a print, with the sentence that tells it."""

    size: float
    text: str


def find_original(sheet: Sheet) -> Original | None:
    """What the marks of a sheet tell; None where there is none, or where they do not tell one size."""
    found = []
    for angle in sorted({round(word.angle % 360.0, 1) for word in sheet.words if HINT.search(plain(word.text))}):
        said = _sentences(sheet, angle)
        if said:
            field = Field.of(sheet, angle)
            found += [mark for text, box, value in said if (mark := _mark(field, text, box, value)) is not None]
    if not found or max(m.size for m in found) > (1 + SAME) * min(m.size for m in found):
        return None
    return found[0]


def _sentences(sheet: Sheet, angle: float) -> list[tuple[str, Box, float]]:
    """Text, box and inches of every sentence in one reading direction; the shortest run of lines that says it."""
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    lines: dict[int, list[_Placed]] = {}
    for word in sheet.words:
        if abs((word.angle - angle + 180.0) % 360.0 - 180.0) < 2.0 and word.origin != "hidden":
            x, y = word.at
            lines.setdefault(word.line, []).append(_Placed(y * c + x * s, x * c - y * s, word))
    rows = [sorted(line, key=lambda placed: placed.along) for line in lines.values()]
    rows.sort(key=lambda row: row[0][:2])
    found = []
    for first in range(len(rows)):
        for taken in _growing(rows, first):
            text = " ".join(placed.word.text for placed in taken)
            match = SENTENCE.search(plain(text))
            if match is not None:
                found.append((text, hull(placed.word.box for placed in taken), INCHES[match["value"]]))
                break
    return found


class _Placed(NamedTuple):
    """A word in the frame of a reading direction."""

    down: float
    along: float
    word: Word


def _growing(rows: list[list[_Placed]], first: int) -> Iterator[list[_Placed]]:
    """One line, then it with the next below it, and so on."""
    taken, last, count = list(rows[first]), rows[first][0], 1
    size = last.word.size
    yield taken
    for row in rows[first + 1 :]:
        drop = row[0].down - last.down
        if drop > LEADING * size or count == MOST_LINES:
            return
        if drop >= LEAST_LEADING * size and abs(row[0].along - taken[0].along) < INDENT * size:
            taken, last, count = [*taken, *row], row[0], count + 1
            yield taken


def _mark(field: Field, text: str, box: Box, value: float) -> Original | None:
    """The one bar beside a sentence."""
    corners = np.array([[box[0], box[1]], [box[2], box[1]], [box[2], box[3]], [box[0], box[3]]]) @ field.turn.T
    (left, top), (right, bottom) = corners.min(axis=0), corners.max(axis=0)
    bars = _bars(field, value)
    away = np.maximum.reduce([bars[:, 2] - bottom, top - bars[:, 3], np.zeros(len(bars))])
    beside = np.maximum.reduce([bars[:, 0] - right, left - bars[:, 1], np.zeros(len(bars))])
    bars = bars[np.hypot(away, beside) <= REACH]
    lengths = _whole(bars)
    if not len(lengths) or lengths.max() > (1 + SAME) * lengths.min():
        return None
    return Original(float(np.median(lengths)) / (value * POINTS_PER_INCH), text)


def _bars(field: Field, value: float) -> FloatArray:
    """(n, 4) along from and to, least and most across, of what may be a bar: flat, with a mark at both ends."""
    bodies = field.bodies
    long = bodies[:, 1] - bodies[:, 0]
    full = value * POINTS_PER_INCH
    bodies = bodies[(long >= SMALLEST * full) & (long <= LARGEST * full) & (bodies[:, 3] - bodies[:, 2] <= FLAT)]
    marks = field.marks[field.marks[:, 2] - field.marks[:, 1] <= FLAT]
    if not len(bodies) or not len(marks):
        return np.zeros((0, 4))
    met = (marks[None, :, 1] <= bodies[:, None, 3] + EXACT) & (marks[None, :, 2] >= bodies[:, None, 2] - EXACT)
    ends = [(met & (np.abs(marks[None, :, 0] - bodies[:, None, k]) <= EXACT)).any(axis=1) for k in (0, 1)]
    return np.asarray(bodies[ends[0] & ends[1]], float)


def _whole(bars: FloatArray) -> FloatArray:
    """The lengths of the bars that are no parts of a longer one on their level."""
    if not len(bars):
        return np.zeros(0)
    inside = (bars[:, None, 0] >= bars[None, :, 0] - EXACT) & (bars[:, None, 1] <= bars[None, :, 1] + EXACT)
    level = np.abs((bars[:, None, 2] + bars[:, None, 3]) / 2 - (bars[None, :, 2] + bars[None, :, 3]) / 2) <= LEVEL
    long = bars[:, 1] - bars[:, 0]
    part = (inside & level & (long[None, :] > long[:, None] * (1 + SAME))).any(axis=1)
    return np.asarray(long[~part], float)

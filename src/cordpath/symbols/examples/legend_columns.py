"""Texts of a legend that are neither description nor sign: abbreviations, block names and heights in columns of
their own.

Taken for descriptions they would name the symbols, and taken for letters of the signs no symbol of the plan would
look like them.

Terms: *row*, *line* as in legend.py.  *Side text*, a text on the line of a row with nothing drawn between them,
in a column that (nearly) every row has; or a mounting height beside a sign, wherever it stands: that is what one
outlet is hung at, and no letters of its design.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from cordpath import geometry, units
from cordpath.model import Box, FloatArray, Sheet
from cordpath.symbols.examples.legend_frame import COLUMN, LEVEL
from cordpath.symbols.examples.legend_lines import ALIGNED, BASELINE, Row, drawn_letters, joined, lines_of
from cordpath.symbols.labels.words import read

EVERY = 0.9  # share of a column's rows with a side text: marks such as GFI stand at some of the signs only
FEWEST = 4  # rows: of fewer it is not told what a column is
SIGNED = 0.5  # share of them with something drawn beyond the side text: letters alone are signs themselves
UPRIGHT = 18.0  # pt: upright lines so long between texts are rules of the table
BESIDE = 108.0  # pt, 1.5 in: a sign stands within this distance of its texts
DOT = 2.0  # pt across: dots lead from a sign to its text
PALE = 0.9  # luminance from which a fill is a ground and no sign


@dataclass(frozen=True, eq=False)
class _Drawn:
    """(n, 4) boxes of what may be a sign, and (k, 3) upright rules: x, top, bottom."""

    boxes: FloatArray
    upright: FloatArray

    def on(self, line: Row) -> FloatArray:
        """(m, 2) from where to where something is drawn on a line."""
        half = line.size / 2
        y = line.middle
        on = (self.boxes[:, 1] < y + half) & (self.boxes[:, 3] > y - half)
        return self.boxes[on][:, [0, 2]]

    def ruled(self, line: Row, x0: float, x1: float) -> bool:
        """Does a rule stand between two places on a line?"""
        x, top, bottom = self.upright.T
        return bool(((x > x0) & (x < x1) & (top < line.middle) & (bottom > line.middle)).any())


def side_texts(sheet: Sheet, region: Box) -> frozenset[int]:
    """Words (numbers in Sheet.words) of the side texts of a legend."""
    lines = lines_of(sheet, region)
    drawn = _drawn(sheet, region)
    pairs = [(one, two) for one in lines if (two := _next_to(one, lines, drawn)) is not None]
    found: set[int] = set()
    for one, two in pairs:
        column = [(a, b) for a, b in pairs if _aligned(a, one) and _aligned(b, two)]
        side, rest = _shorter([a for a, _ in column], [b for _, b in column])
        if len(column) >= FEWEST and _is_column(side, rest, lines, drawn):
            found.update(i for line in side for i in line.words)
    found.update(i for line in lines if _is_height(line) for i in line.words)
    return frozenset(found)


def _is_height(line: Row) -> bool:
    said = read(line.text, ())
    return said is not None and {name for name, _ in said.sets} == {"height_in"}


def _is_column(side: list[Row], rest: list[Row], lines: list[Row], drawn: _Drawn) -> bool:
    """Do nearly all of the rows have a side text, each clear of what is drawn, and most of them a sign?"""
    rows = joined([line for line in lines if any(_aligned(line, one) for one in rest[:1])])
    if len(side) < EVERY * len(rows):
        return False
    signs = 0
    for one, other in zip(side, rest, strict=True):
        at = drawn.on(one)
        beyond = at[at[:, 1] <= one.box[0]] if one.box[0] < other.box[0] else at[at[:, 0] >= one.box[2]]
        before = at[(at[:, 1] <= min(one.box[0], other.box[0])) | (at[:, 0] >= max(one.box[2], other.box[2]))]
        gap = np.maximum(one.box[0] - at[:, 1], at[:, 0] - one.box[2])
        for x0, x1 in at[gap < one.size].tolist():  # so near that it may be a letter of a sign
            if not drawn.ruled(one, min(x1, one.box[2]), max(x0, one.box[0])):
                return False
        near = np.abs(beyond - np.array([one.box[0], one.box[2]])).min(initial=np.inf) <= BESIDE
        signs += bool(near or len(before))
    return signs >= SIGNED * len(side)


def _shorter(one: list[Row], two: list[Row]) -> tuple[list[Row], list[Row]]:
    """Of two columns of texts that with fewer letters, and the other."""
    letters = [sum(_letters(line.text) for line in column) for column in (one, two)]
    return (one, two) if letters[0] < letters[1] else (two, one)


def _letters(text: str) -> int:
    return sum(letter.isalpha() for letter in units.plain(text))


def _aligned(one: Row, other: Row) -> bool:
    """Do two texts begin, end or have their middles in one upright line?"""
    apart = [abs(one.box[0] - other.box[0]), abs(one.box[2] - other.box[2])]
    apart.append(abs(one.box[0] + one.box[2] - other.box[0] - other.box[2]) / 2)
    return min(apart) <= ALIGNED * max(one.size, other.size)


def _next_to(one: Row, lines: list[Row], drawn: _Drawn) -> Row | None:
    """The text right of one on its line, with nothing between them."""
    level = [
        other for other in lines
        if other is not one and other.box[0] >= one.box[2] and other.box[0] - one.box[2] <= BESIDE
        and abs(other.middle - one.middle) <= BASELINE * max(one.size, other.size)
    ]  # fmt: skip
    if not level:
        return None
    two = min(level, key=lambda other: other.box[0])
    at = drawn.on(one)
    return None if ((at[:, 0] < two.box[0]) & (at[:, 1] > one.box[2])).any() else two


def _drawn(sheet: Sheet, region: Box) -> _Drawn:
    strokes = sheet.strokes.take(geometry.segments_in_box(sheet.strokes.xy, region))
    xy = strokes.xy[strokes.ink()]
    across, down = np.abs(xy[:, 2] - xy[:, 0]), np.abs(xy[:, 3] - xy[:, 1])
    upright = (across <= LEVEL) & (down >= UPRIGHT)
    level = (down <= LEVEL) & (across >= COLUMN)
    boxes = np.c_[np.minimum(xy[:, :2], xy[:, 2:]), np.maximum(xy[:, :2], xy[:, 2:])][~upright & ~level]
    ruled = xy[upright]
    rules = np.c_[ruled[:, 0], ruled[:, [1, 3]].min(axis=1), ruled[:, [1, 3]].max(axis=1)]
    fills = sheet.fills
    if len(fills):
        bounds = shapely.bounds(fills.shape)
        sizes = bounds[:, 2:] - bounds[:, :2]
        small = (sizes[:, 0] < COLUMN) & (sizes.max(axis=1) > DOT) & (fills.luminance < PALE)
        boxes = np.r_[boxes, bounds[small]]
    letters = np.array(drawn_letters(sheet, sheet.words_in(region).tolist()), float).reshape(-1, 4)
    if len(letters) and len(boxes):  # drawn letters are texts
        middle = (boxes[:, :2] + boxes[:, 2:]) / 2
        within = (middle[:, None] >= letters[:, :2]) & (middle[:, None] <= letters[:, 2:])
        boxes = boxes[~within.all(axis=2).any(axis=1)]
    return _Drawn(boxes, rules)

"""Rows of a sheet's legend: where a description stands, and where its symbol is drawn.

Terms: *line*, words of a legend on one baseline without a wide gap.  *Row*, the one or two lines of a description.
*Cell*, the box left or right of a row in which its symbol stands.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

import numpy as np

from cordpath import geometry, units
from cordpath.model import Box, Sheet, Word
from cordpath.symbols.examples.legend_frame import closed

WORD_GAP = 1.3  # of the text size: words of a description stand nearer than this
LINE_STEP = 2.2  # of the text size: a description's second line follows within this step
BASELINE = 0.4  # of the text size
SIDE = 108.0  # pt, 1.5 in: a symbol stands within this distance of its description
TALLEST = 43.0  # pt, 0.6 in: half the height of the tallest cell
CLEAR = 1.0  # pt between a symbol and its description
LEAST_LETTERS = 4  # of a description; shorter texts are letters of symbols
LINE_PITCH, STEP_SHARE = 1.6, 1.25  # lines of one text: of the text size, and times under the usual step of rows
HEADING = re.compile(r"\bLEGEND\b|^SYMBOL$|\bSYMBOLS\b|\bSYMBOL (LIST|SCHEDULE|KEY)\b|^DESCRIPTION$")
_MARK = r"(GFC?I|AFCI|W\.?P\.?|W\.?R\.?|T\.?R\.?|I\.?G\.?|USB|\d+ ?[VA]?)"
LABEL = re.compile(rf"{_MARK}([/, -]+{_MARK})*")  # common practice, no source: GFCI, GFCI/WP, 240V
ALIGNED = 0.3  # of the text size: texts of one column begin or end alike
UPRIGHT = 1.0  # degrees: words turned by more are no words of a legend


@dataclass(frozen=True)
class Row:
    """A description.  ``words`` are indices into Sheet.words; ``region`` is the box of its legend."""

    text: str
    box: Box
    size: float
    words: tuple[int, ...]
    region: Box


def rows_of(sheet: Sheet, description: str) -> list[Row]:
    """Rows of the sheet's legends whose text is the description, upright text only."""
    wanted = _letters(description)
    found: list[Row] = []
    for region in sheet.regions:
        if region.kind != "legend" or not wanted:
            continue
        lines = _lines(sheet, region.box)
        found += [row for row in [*lines, *_wrapped(lines)] if _letters(row.text) == wanted]
    return found


def descriptions(sheet: Sheet) -> list[Row]:
    """Rows of the sheet's legends that may describe a symbol, from the top of each legend.

    Texts of several lines are one row where their lines stand closer than the rows do.
    """
    found: list[Row] = []
    for region in sheet.regions:
        if region.kind == "legend":
            lines = [row for row in _lines(sheet, region.box) if len(_letters(row.text)) >= LEAST_LETTERS]
            found += [row for row in _joined(lines) if not HEADING.search(units.plain(row.text))]
    return found


def _joined(lines: list[Row]) -> list[Row]:
    steps = [step for one in lines if (step := _step(one, lines)) is not None]
    usual = float(np.percentile(steps, 75)) if steps else 0.0
    rows: list[Row] = []
    for line in sorted(lines, key=lambda row: (row.box[0], row.box[1])):
        last = rows[-1] if rows else None
        step = _step_between(last, line) if last else None
        if last and step is not None and step <= LINE_PITCH * line.size and step * STEP_SHARE <= usual:
            rows[-1] = _two_lines(last, line)
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


def _letters(text: str) -> str:
    return re.sub(r"[^A-Z0-9+/&\"']", "", units.plain(text))


def _lines(sheet: Sheet, region: Box) -> list[Row]:
    words = sheet.words
    inside = [i for i in sheet.words_in(region).tolist() if abs(words[i].angle) < UPRIGHT]
    inside.sort(key=lambda i: (words[i].at[1], words[i].box[0]))
    lines: list[list[int]] = []
    for i in inside:
        word = words[i]
        row = next((line for line in reversed(lines[-6:]) if _continues(words, line, word)), None)
        if row is None:
            lines.append([i])
        else:
            row.append(i)
    return [row for line in lines for row in _split(words, line, region)]


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


def _row(words: tuple[Word, ...], part: list[int], region: Box) -> Row:
    boxes = np.array([words[i].box for i in part])
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    size = max(words[i].size for i in part)
    return Row(" ".join(words[i].text for i in part), box, size, tuple(part), region)


def _wrapped(lines: list[Row]) -> list[Row]:
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


def cells_of(sheet: Sheet, row: Row) -> tuple[Box, Box]:
    """The boxes left and right of a row, up to its neighbours above and below, to the next text beside it and to
    the frame of the legend."""
    others = others_of(sheet, row)
    middle = (row.box[1] + row.box[3]) / 2
    above, below = _next(sheet, row, others)
    rise = (middle - above) / 2 if above is not None else TALLEST
    fall = (below - middle) / 2 if below is not None else TALLEST
    # The first and the last row are as high as the others are.
    rise, fall = (rise if above is not None else fall), (fall if below is not None else rise)
    top, bottom = max(middle - min(rise, TALLEST), row.region[1]), min(middle + min(fall, TALLEST), row.region[3])
    beside = [other for other in others if other.box[1] < bottom and other.box[3] > top]
    headings = [other for other in beside if _is_heading(sheet, other, row)]
    top = max([top, *(other.box[3] for other in headings if other.box[3] <= row.box[1])])
    bottom = min([bottom, *(other.box[1] for other in headings if other.box[1] >= row.box[3])])
    beside = [other for other in beside if other not in headings]
    left = max([other.box[2] for other in beside if other.box[2] <= row.box[0]], default=row.box[0] - SIDE)
    # Symbols right of their texts stand in a column behind the longest of them.
    furthest = max(row.box[2] + SIDE, row.region[2])
    right = min([other.box[0] for other in beside if other.box[0] >= row.box[2]], default=furthest)
    left = max(left, row.box[0] - SIDE)
    return (
        closed(sheet.strokes, (left + CLEAR, top, row.box[0] - CLEAR, bottom), row.box[0]),
        closed(sheet.strokes, (row.box[2] + CLEAR, top, right - CLEAR, bottom), row.box[2]),
    )


def _is_heading(sheet: Sheet, other: Row, row: Row) -> bool:
    """Does a text stand over the symbol of a row, or under it?  It ends the cell there, and not at its side.

    In the height of the row's own text something is drawn above or below the heading, which a rule of the table or
    a band behind the row is not.
    """
    if other.box[3] > row.box[1] and other.box[1] < row.box[3]:
        return False
    if other.box[2] > row.box[0] and other.box[0] < row.box[2]:
        return False
    about = (other.box[0] - SIDE / 2, row.box[1] - TALLEST, other.box[2] + SIDE / 2, row.box[3] + TALLEST)
    xy = sheet.strokes.xy[geometry.segments_in_box(sheet.strokes.xy, about) & sheet.strokes.ink()]
    low, high = np.minimum(xy[:, :2], xy[:, 2:]), np.maximum(xy[:, :2], xy[:, 2:])
    under = (low[:, 0] < other.box[2]) & (high[:, 0] > other.box[0])
    return bool((under & (low[:, 1] < row.box[3]) & (high[:, 1] > row.box[1])).any())


def neighbours(sheet: Sheet, row: Row) -> tuple[float, float]:
    """The heights of the texts above and below a row: y of their middles, infinite where there is none."""
    above, below = _next(sheet, row, others_of(sheet, row))
    return (-math.inf if above is None else above, math.inf if below is None else below)


def others_of(sheet: Sheet, row: Row) -> list[Row]:
    """The other descriptions and headings of a row's legend, without letters of symbols."""
    lines = _lines(sheet, row.region)
    return [
        other for other in lines
        if not set(other.words) & set(row.words) and len(_letters(other.text)) > 3 and not _is_label(other, lines)
    ]  # fmt: skip


def _is_label(line: Row, lines: list[Row]) -> bool:
    """GFCI over a symbol, and no description: what is written at outlets, in line with none of the other texts."""
    return LABEL.fullmatch(units.plain(line.text)) is not None and not any(
        min(abs(other.box[0] - line.box[0]), abs(other.box[2] - line.box[2])) <= ALIGNED * line.size
        for other in lines
        if other is not line and not LABEL.fullmatch(units.plain(other.text))
    )


def _next(sheet: Sheet, row: Row, others: list[Row]) -> tuple[float | None, float | None]:
    """The middles of the nearest texts above and below a row in its column."""
    column = [other for other in others if other.box[0] < row.box[2] and other.box[2] > row.box[0]]
    # Boxes of words are higher than their letters: those of tight rows overlap, their middles never do.
    half = (row.box[3] - row.box[1]) / (4 if _is_wrapped(sheet, row) else 2)
    first, last = row.box[1] + half, row.box[3] - half
    middles = [(other.box[1] + other.box[3]) / 2 for other in column]
    above = max((at for at in middles if at < first - BASELINE * row.size), default=None)
    return above, min((at for at in middles if at > last + BASELINE * row.size), default=None)


def _is_wrapped(sheet: Sheet, row: Row) -> bool:
    """Is the description of two lines?"""
    middles = [sheet.words[i].at[1] for i in row.words]
    return max(middles) - min(middles) > BASELINE * row.size

"""Rows of a sheet's legend: where a description stands, and where its symbol is drawn.

Terms: *line*, words of a legend on one baseline without a wide gap.  *Row*, the one or two lines of a description.
*Cell*, the box left or right of a row in which its symbol stands.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np

from cordpath import geometry, units
from cordpath.model import Box, Sheet
from cordpath.symbols.examples.legend_columns import side_texts
from cordpath.symbols.examples.legend_frame import closed, reaching
from cordpath.symbols.examples.legend_lines import ALIGNED, BASELINE, Row, joined, letters_of, lines_of, wrapped

SIDE = 108.0  # pt, 1.5 in: a symbol stands within this distance of its description
TALLEST = 43.0  # pt, 0.6 in: half the height of the tallest cell
CLEAR = 1.0  # pt between a symbol and its description
LEAST_LETTERS = 4  # of a description; shorter texts are letters of symbols
HEADING = re.compile(r"\bLEGEND\b|^SYMBOL$|\bSYMBOLS\b|\bSYMBOL (LIST|SCHEDULE)\b|\bKEY$|^DESCRIPTION$")
_MARK = r"(GFC?I|AFCI|W\.?P\.?|W\.?R\.?|T\.?R\.?|I\.?G\.?|USB|\d+ ?[VA]?)"
LABEL = re.compile(rf"{_MARK}([/, -]+{_MARK})*")  # common practice, no source: GFCI, GFCI/WP, 240V


def rows_of(sheet: Sheet, description: str) -> list[Row]:
    """Rows of the sheet's legends whose text is the description, upright text only."""
    wanted = letters_of(description)
    found: list[Row] = []
    for region in sheet.regions:
        if region.kind != "legend" or not wanted:
            continue
        lines = lines_of(sheet, region.box)
        rows = [row for row in [*lines, *wrapped(lines)] if letters_of(row.text) == wanted]
        side = side_texts(sheet, region.box) if rows else frozenset()
        found += [replace(row, side=side) for row in rows]
    return found


def descriptions(sheet: Sheet) -> list[Row]:
    """Rows of the sheet's legends that may describe a symbol, from the top of each legend.

    Texts of several lines are one row where their lines stand closer than the rows do.
    """
    found: list[Row] = []
    for region in sheet.regions:
        if region.kind == "legend":
            side = side_texts(sheet, region.box)
            lines = [row for row in lines_of(sheet, region.box) if len(letters_of(row.text)) >= LEAST_LETTERS]
            rows = joined([line for line in lines if not side & set(line.words)])
            found += [replace(row, side=side) for row in rows if not HEADING.search(units.plain(row.text))]
    return found


def cells_of(sheet: Sheet, row: Row) -> tuple[Box, Box]:
    """The boxes left and right of a row, up to its neighbours above and below, to the next text beside it and to
    the frame of the legend."""
    others = others_of(sheet, row)
    middle = row.middle
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
    column = [other for other in others if abs(other.box[0] - row.box[0]) <= ALIGNED * row.size]
    left, right = _reach(sheet, row, beside, (top, bottom), max(other.box[2] for other in (row, *column)))
    return (
        closed(sheet.strokes, (left + CLEAR, top, row.box[0] - CLEAR, bottom), row.box[0]),
        closed(sheet.strokes, (row.box[2] + CLEAR, top, right - CLEAR, bottom), row.box[2]),
    )


def _reach(
    sheet: Sheet, row: Row, beside: list[Row], height: tuple[float, float], longest: float
) -> tuple[float, float]:
    """From where to where the cells of a row run: to the next text ``beside`` it, and as far as symbols stand from
    their texts, none of them cut.  ``longest``: where the longest text of its column ends: symbols right of their
    texts stand in a column behind it."""
    top, bottom = height
    before = max((other.box[2] for other in beside if other.box[2] <= row.box[0]), default=-math.inf)
    behind = min((other.box[0] for other in beside if other.box[0] >= row.box[2]), default=math.inf)
    middle = row.middle
    side = [sheet.words[i] for i in row.side]
    level = [word.box for word in side if abs(word.at[1] - middle) <= BASELINE * max(word.size, row.size)]
    first = min((box[0] for box in level if before <= box[0] <= row.box[0]), default=row.box[0])
    last = max((box[2] for box in level if row.box[2] <= box[2] <= behind), default=row.box[2])
    left, right = first - SIDE, max(last + SIDE, longest + SIDE, row.region[2])
    if left > before:
        before = max(before, reaching(sheet.strokes, left, top, bottom)[0])
    if right < behind:
        behind = min(behind, reaching(sheet.strokes, right, top, bottom)[1])
    return before, behind


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
    lines = lines_of(sheet, row.region)
    known = row.side | set(row.words)
    return [
        other for other in lines
        if not set(other.words) & known and len(letters_of(other.text)) > 3 and not _is_label(other, lines)
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
    middles = [other.middle for other in column]
    above = max((at for at in middles if at < first - BASELINE * row.size), default=None)
    return above, min((at for at in middles if at > last + BASELINE * row.size), default=None)


def _is_wrapped(sheet: Sheet, row: Row) -> bool:
    """Is the description of two lines?"""
    middles = [sheet.words[i].at[1] for i in row.words]
    return max(middles) - min(middles) > BASELINE * row.size

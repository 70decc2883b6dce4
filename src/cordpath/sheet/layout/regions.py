"""Parts of the sheet that are not plan: legends, schedules, notes.

Terms: *heading*, the text over a part that says what it is.  *Frame*, the ruled box around it.  *Symbol column*,
the drawn signs left (or right) of a legend's rows.

A box that is too large would hide devices of the house, which is the worse mistake: without a frame a part reaches
no further than its own rows of text and the small signs beside them, and never over a line of the drawing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from cordpath.geometry import box_area, grown, hull, middle_in_box, overlap
from cordpath.model import Box, FloatArray, Region, Strokes, Word
from cordpath.sheet.layout.captioned import captioned
from cordpath.sheet.layout.even_rows import COLUMN, LEVEL, TALLEST_ROW, even_rows
from cordpath.sheet.layout.next_columns import with_next_columns
from cordpath.sheet.layout.parting import clear_of_drawing, long_lines, parted
from cordpath.sheet.layout.ruled import Rules, frame_around, table_below
from cordpath.sheet.layout.signs import short_strokes, with_signs
from cordpath.sheet.lettering.trust import WEAK
from cordpath.sheet.text.textlines import Run, matches

_KINDS = r"(?:[A-Z&/-]+\s+){0,3}?"
LEGEND = re.compile(
    r"(?:(?:ELECTRICAL|POWER|LIGHTING|DEVICE|DRAWING|PLAN|FLOOR|SITE|WALL|GENERAL|ELEC|SYSTEMS?|LOW VOLTAGE|"
    r"PLUMBING|MECHANICAL|TECHNOLOGY|FIXTURE|OUTLET|GRAPHIC|TYPICAL|&|AND|/|\s)*)"
    r"(?:LEGENDS?|SYMBOLS?(?:\s*(?:LEGEND|LIST|KEY|SCHEDULE|TABLE|&\s*ABBREVIATIONS))?|KEY|"
    r"(?:KEY TO|KEY OF|LEGEND OF) SYMBOLS|ABBREVIATIONS)(?:\s*[-:]\s*[A-Z\s]{1,30})?"
)
# PANEL A  120/240V, 1PH, 200A MCB: what follows the name is the panel's rating.
_RATED = r"(?:[\s,:(-]+(?=[^a-z]{0,50}\d+\s?(?:V|A|AMPS?|VOLTS?|PH|PHASE|W|WIRE|P)\b)[^a-z]{1,50})?"
SCHEDULE = re.compile(
    r"(?!.*\b(?:SEE|PER|REFER|FOR|AND|IN|ON)\b)(?![0-9]+[.)])(?:[^\s]+\s+){0,4}SCHEDULES?\b.{0,36}|"
    rf"PANEL(?:BOARD)?\s*[-:]?\s*[\"']?[A-Z0-9-]{{1,6}}[\"']?{_RATED}|LOAD CALCULATIONS?"
)
# PANEL A is also the tag of the panel on the plan: it heads a schedule only where a ruled table follows.
TAG = re.compile(rf"PANEL(?:BOARD)?\s*[-:]?\s*[\"']?[A-Z0-9-]{{1,6}}[\"']?{_RATED}")
NOTES = re.compile(rf"{_KINDS}(?:KEY\s?)?NOTES(?:\s*[-:]\s*[A-Z\s]{{1,30}})?")

_LENGTH = r"\d[\d\s./'\"-]*['\"]"
LENGTHS = re.compile(rf"(?:{_LENGTH}\s)?(?P<words>[A-Z].{{0,60}}?[A-Z:])(?:\s{_LENGTH})?")

LARGEST = (0.55, 0.85)  # of the page's width and height: a frame wider or taller is the sheet's own
LARGEST_AREA = 0.25  # of the page
LINE_STEP = 3.6  # of the text size: rows of one part are not further apart (two blank lines)
MARGIN = 1.5  # pt round the contents of a part without a frame
GUTTER = 36.0  # pt, 1/2 in.: between the columns of one legend
INDENT = 2.0  # of the text size: rows of notes begin no further left of their heading
HEADING_REACH = 30.0  # pt from a heading down to the table that it names
SIGN = 2  # letters at most: a drawn single or pair that is read with doubt may be a sign that looks like it
FEWEST_ROWS = 2
FEWEST_RULES = 5  # level rules across a table
FEWEST_CELLS = 10  # texts in a table

PartKind = Literal["legend", "schedule", "notes"]


@dataclass(frozen=True, eq=False)
class _Ink:
    """What is drawn: ruled lines, (n, 4) boxes of short strokes, (m, 4) long lines."""

    rules: Rules
    small: FloatArray
    long: FloatArray


def written(words: tuple[Word, ...]) -> tuple[Word, ...]:
    """The words that tell of parts: without drawn letters that may be signs of a legend.

    A circle with a bar, read as an E as tall as it, is no row of the legend and no heading that ends it.
    """
    return tuple(
        word for word in words
        if word.origin == "font" or word.confidence > WEAK or len(word.text) > SIGN
    )  # fmt: skip


def find(found: list[Run], rules: Rules, strokes: Strokes, size: tuple[float, float]) -> tuple[Region, ...]:
    """Legends, schedules and notes, largest claims first settled: no two of one kind overlap."""
    ink = _Ink(rules, short_strokes(strokes), long_lines(strokes))
    parts: list[Region] = []
    kinds: tuple[tuple[PartKind, re.Pattern[str]], ...] = (
        ("legend", LEGEND), ("schedule", SCHEDULE), ("notes", NOTES),
    )  # fmt: skip
    for kind, pattern in kinds:
        for run in map(_without_lengths, found):
            taken = any(overlap(run.box, part.box) for part in parts)
            if taken or len(run.text) > 60 or not matches(pattern, run):
                continue
            box = _part(kind, run, found, ink, size)
            if box is not None:
                parts.append(Region(kind, box, run.text.strip(" :")))
    return tuple(parts)


def _without_lengths(run: Run) -> Run:
    """A row without the figures of a dimension line on which it stands, before or after its words."""
    match = LENGTHS.fullmatch(run.said)
    if match is None or match["words"] == run.said:
        return run
    x0, y0, x1, y1 = run.box
    step = (x1 - x0) / len(run.said)
    start, stop = match.span("words")
    return replace(run, text=match["words"], box=(x0 + start * step, y0, x0 + stop * step, y1))


def _part(kind: PartKind, heading: Run, found: list[Run], ink: _Ink, size: tuple[float, float]) -> Box | None:
    width, height = size
    rules = ink.rules
    limit = (0.0, 0.0, LARGEST[0] * width, LARGEST[1] * height)
    frame = frame_around(rules, heading.box, limit)
    tag = matches(TAG, heading)
    if tag:
        table = table_below(rules, heading.box, HEADING_REACH)
        boxes = [box for box in (frame, table) if box is not None and _is_table(box, found, rules)]
        fitting = [box for box in boxes if box_area(box) <= LARGEST_AREA * width * height]
        return hull([heading.box, fitting[0]]) if fitting else None
    grid = captioned(heading, found, ink.small) if kind == "legend" else []
    if kind == "notes" and frame is not None and _heads_a_column(heading, found, frame):
        return None
    if frame is not None and _fits(frame, heading, found, size):
        return frame
    if grid:
        box = clear_of_drawing(hull([heading.box, *grid]), hull([heading.box, grid[0]]), ink.long)
        return grown(box, MARGIN) if box_area(box) <= LARGEST_AREA * width * height else None
    if kind == "schedule":
        table = table_below(rules, heading.box, HEADING_REACH)
        if table is not None and box_area(table) <= LARGEST_AREA * width * height:
            return hull([heading.box, table])
    reach = COLUMN if kind == "legend" else INDENT * heading.size
    under = _rows_below(heading, found, rules, reach)
    if kind == "legend":
        apart = (*_ruled_rows(heading, found, rules), *even_rows(heading, found, ink.small))
        under += [run for run in dict.fromkeys(apart) if run not in under]
    if len(under) < FEWEST_ROWS:
        return None
    box = hull([heading.box, *[row.box for row in under]])
    column = hull([heading.box, *[row.box for row in _right_under(under, heading)]])
    if kind == "legend":
        box = with_signs(box, under, ink.small)
        box = _with_tables(clear_of_drawing(box, column, ink.long), heading, under, found, rules)
        box = with_next_columns(box, under, found, ink.small, ink.long)
    else:
        box = clear_of_drawing(box, column, ink.long)
    return grown(box, MARGIN) if box_area(box) <= LARGEST_AREA * width * height else None


def _fits(frame: Box, heading: Run, found: list[Run], size: tuple[float, float]) -> bool:
    """Is the frame the part's own: not too large, its heading near its top, and text below the heading."""
    if box_area(frame) > LARGEST_AREA * size[0] * size[1]:
        return False
    near_top = heading.box[1] - frame[1] < max(4 * heading.size, 0.15 * (frame[3] - frame[1]))
    inner = [
        run for run in found
        if run is not heading and run.box[0] >= frame[0] - 2 and run.box[2] <= frame[2] + 2
        and heading.middle < run.middle <= frame[3]
    ]  # fmt: skip
    return near_top and len(inner) >= FEWEST_ROWS


def _heads_a_column(heading: Run, found: list[Run], frame: Box) -> bool:
    """Is it one of the headers of a table: as high as two texts before it in the frame that are no headings?"""
    before = [
        run for run in found
        if frame[0] <= run.box[0] and run.box[2] < heading.box[0]
        and abs(run.middle - heading.middle) <= LEVEL * heading.size and not _is_heading(run)
    ]  # fmt: skip
    return len(before) >= FEWEST_ROWS


def _is_table(box: Box, found: list[Run], rules: Rules) -> bool:
    """Is the box ruled and written like a table: level rules right across it, and many texts."""
    cells = [run for run in found if middle_in_box(run.box, box)]
    return len(_across(box, rules)) >= FEWEST_RULES and len(cells) >= FEWEST_CELLS


def _rows_below(heading: Run, found: list[Run], rules: Rules, reach: float) -> list[Run]:
    """The rows of text under a heading, down to the first gap, the next larger heading or a line of the drawing.

    ``reach``: pt that they may begin left of it.
    """
    rows: list[Run] = []
    column = heading.box
    bottom, step = heading.box[3], LINE_STEP * heading.size
    for run in sorted(found, key=lambda r: r.middle):
        if run.middle <= heading.middle or run.box[1] < heading.box[3] - heading.size:
            continue
        beside = run.box[0] < column[2] + 2 * run.size and run.box[2] > column[0] - reach
        if not beside:
            continue
        if run.box[1] - bottom > max(step, LINE_STEP * run.size) or run.size > 1.25 * heading.size:
            break
        if rows and (_is_heading(run) or parted(bottom, run, column, rules.level)):
            break
        rows.append(run)
        bottom = max(bottom, run.box[3])
        column = (min(column[0], run.box[0]), column[1], max(column[2], run.box[2]), run.box[3])
        step = LINE_STEP * run.size
    return _without_strays(rows, heading)


def _ruled_rows(heading: Run, found: list[Run], rules: Rules) -> list[Run]:
    """The texts of the ruled table below a legend's heading, however high its rows: in each there is one.

    A room below a heading is no such table: between the faces of its walls there is no text.
    """
    table = table_below(rules, heading.box, HEADING_REACH)
    if table is None:
        return []
    at = np.sort(_across(table, rules))
    held = [run for run in found if middle_in_box(run.box, table)]
    row = np.searchsorted(at, [run.middle for run in held])
    full = set(row.tolist()) == set(range(1, len(at)))
    return held if len(at) > FEWEST_ROWS and full and float(np.diff(at).max()) <= TALLEST_ROW else []


def _without_strays(rows: list[Run], heading: Run) -> list[Run]:
    """Without texts far left of those under the heading that stand beside none of them.

    The letters of a sign stand level with its row and near it. The label of an outlet of the plan, left of the
    legend, drew the legend's box over that outlet, and letters beyond that label over half the plan.
    """
    under = _right_under(rows, heading)
    if not under:
        return rows
    left = min(row.box[0] for row in under) - GUTTER
    return [
        row for row in rows
        if row.box[2] > left
        or any(abs(row.middle - other.middle) <= LEVEL * other.size and other.box[0] - row.box[2] <= COLUMN
               for other in under)
    ]  # fmt: skip


def _right_under(rows: list[Run], heading: Run) -> list[Run]:
    return [row for row in rows if row.box[2] > heading.box[0] and row.box[0] < heading.box[2]]


def _is_heading(run: Run) -> bool:
    return len(run.text) <= 60 and any(matches(p, run) for p in (LEGEND, SCHEDULE, NOTES))


def _with_tables(box: Box, heading: Run, rows: list[Run], found: list[Run], rules: Rules) -> Box:
    """Widen a legend to the ruled table below its heading, and to those that go on beside it at the same height:
    rows whose text was not read belong to it as well, and so do its next columns.

    A room under the heading is no table: a table has a rule between its rows, and the rows that were read in it."""
    table = table_below(rules, heading.box, HEADING_REACH)
    if table is None or (len(_across(table, rules)) < FEWEST_RULES and not _ruled_rows(heading, found, rules)):
        return box
    held = sum(middle_in_box(row.box, table) for row in rows)
    if held < FEWEST_ROWS or held < len(rows) - 1:
        return box
    tables = [table]
    while (beside := _table_beside(tables[-1], found, rules)) is not None:
        tables.append(beside)
    return hull([box, *tables])


def _table_beside(table: Box, found: list[Run], rules: Rules) -> Box | None:
    """The next column of a legend: a table as high up, close on the right, with no heading of its own."""
    level = rules.level
    tops = level[
        (np.abs(level[:, 0] - table[1]) <= 3) & (level[:, 1] > table[2]) & (level[:, 1] < table[2] + GUTTER)
    ]
    for y, x0, x1 in tops[np.argsort(tops[:, 1])][:2].tolist():
        beside = table_below(rules, (x0, y - 2, x1, y - 1), 3.0)
        if beside is None or len(_across(beside, rules)) < FEWEST_RULES:
            continue
        headed = any(_is_heading(run) and run.box[0] < x1 and run.box[2] > x0 and y - HEADING_REACH < run.middle < y
                     for run in found)  # fmt: skip
        if not headed and sum(middle_in_box(run.box, beside) for run in found) >= FEWEST_ROWS:
            return beside
    return None


def _across(table: Box, rules: Rules) -> FloatArray:
    """The heights of the level rules right across a table."""
    level = rules.level
    across = (level[:, 1] <= table[0] + 3) & (level[:, 2] >= table[2] - 3)
    return level[across & (level[:, 0] >= table[1] - 3) & (level[:, 0] <= table[3] + 3), 0]

"""Where a schedule without rulings ends at its sides: words beside it that are another table's or a list's.

Terms: *cluster*, phrases beside the outermost header whose extents along the text overlap, as the cells of one
column do.  A cluster is no column of the schedule where its phrases follow another pitch than the rows, or where
the header has a cluster of its own already.

A mark that begins only beyond the header of an outermost column may be either's, even in step with the rows: it
gives none of them a GFCI breaker, and makes of its row a question.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from cordpath.circuits.panels.headings import Column, column
from cordpath.circuits.panels.marks import PARTS, is_mark, is_no, is_tick, speaks_of_gfci
from cordpath.circuits.panels.words import Reading, Text, lines, phrases

if TYPE_CHECKING:
    from cordpath.circuits.panels.columns import Field
    from cordpath.circuits.panels.tables import Half

IN_STEP = 0.8  # mean of the phases of a column's cells; those of a list of another pitch go all round
SAME_LINE = 0.35  # font sizes by which headers of one line, set high, low or in the middle of it, differ
ENDS = 1.0  # pt to either side of a column's end in which its ruling stands: ends are rounded to points
DOUBTFUL = "?"  # before the text of a header that may be a list's: it heads no column, but its ticks ask
MOST_SIGNS = 2  # of a cell that may be a tick in signs that are not known, as a dot that is read as a letter
LEAST_ALIKE = 2  # words that end where another does; one may do so by chance where letters are equally wide
UNHEADED = 30.0  # font sizes from the last header's column into one without a header; as far as columns reach
HIGHEST = 4.0  # times the usual reach under the last number: a row of three heights; below it notes stand in frames
BESIDE = 6.0  # font sizes from the last column to a mark without a header; a column of numbers is as wide
OFF_LINE = 0.75  # font sizes by which such a mark may stand higher or lower than its row
RIVER = 1.0  # font sizes: cells of one column that do not overlap are nearer to each other


def limit(head: Text, side: int, end: float, body: list[Text], reading: Reading, rows: Sequence[float]) -> float:
    """How far an outermost column reaches, at most to ``end``.

    ``side``: 1 for the last column, -1 for the first; ``body``: words of the rows; ``rows``: heights of the circuit
    numbers, ascending.
    """
    clusters = _clusters(head, side, end, body, reading)
    edge = head.x1 if side > 0 else head.x0
    own = False
    for cluster in clusters:
        near, far = _reach(cluster, side)
        over = min(c.x0 for c in cluster) < head.x1 and max(c.x1 for c in cluster) > head.x0
        if (not over and _off_rows(cluster, rows)) or (own and side * (near - edge) > RIVER * head.size):
            return (edge + near) / 2
        own |= over
        edge = side * max(side * edge, side * far)
    return end


def without_lists(group: list[Text], anchors: Sequence[Text], body: list[Text], reading: Reading) -> list[Text]:
    """The headers of a half, an outermost one that may head a list beside the schedule as a doubtful one.

    Rulings between it and the next header, or between the rows under it, show a column.
    """
    rows = [anchor.y for anchor in anchors]
    found = list(group)
    for place, beside in ((0, 1), (-1, -2)):
        head, other = group[place], group[beside]
        ruled = reading.upright_between(min(head.x, other.x), max(head.x, other.x), rows[0])
        ruled |= reading.levels_between(head.x, rows[0], rows[-1]) > 0
        if not ruled and (_off_line(head, group) or _may_head_a_list(head, column(head.text), body, rows)):
            found[place] = replace(head, text=f"{DOUBTFUL}{head.text}")
    return found


def may_be_ticked(word: Text, head: Text) -> bool:
    """May a word under a doubtful header of GFCI be a tick, in whatever sign it is written?"""
    doubtful = head.text.startswith(DOUBTFUL) and column(head.text.removeprefix(DOUBTFUL)) == "gfci"
    short = len(word.text) <= MOST_SIGNS and not any(sign.isdigit() for sign in word.text)
    return doubtful and short and not is_no(word.text)


def _off_line(head: Text, group: list[Text]) -> bool:
    """Is a header that may hold marks on no line of the others: NOTES: over a list that begins higher or lower?"""
    if column(head.text) in (None, "circuit", "description"):
        return False
    others = [other for other in group if other is not head]
    lines_of = [(other.y, other.y0, other.y1) for other in others]
    mine = (head.y, head.y0, head.y1)
    return not any(
        abs(a - b) <= SAME_LINE * head.size for other in lines_of for a, b in zip(mine, other, strict=True)
    )


def _may_head_a_list(head: Text, kind: Column | None, cells: list[Text], rows: Sequence[float]) -> bool:
    """May a header at a side be the first line of a list: ``GFCI`` of a legend, ``NOTES:`` over some notes?

    A column has words on the rows below its header, and one for GFCI or AFCI has ticks.  ``cells``: words of the
    rows.
    """
    under = [cell for cell in cells if cell.x0 < head.x1 and cell.x1 > head.x0]
    if kind in ("gfci", "afci"):
        return not under or not all(is_tick(cell.text) for cell in under) or _off_rows(under, rows)
    return kind == "notes" and bool(under) and _off_rows(under, rows)


def marks_aside(half: Half, words: list[Text], reading: Reading) -> dict[int, str]:
    """Words of marks beside a half, by ``id``, with the phrase each is of; none where rulings show its columns."""
    rows = [anchor.y for anchor in half.anchors]
    found: dict[int, str] = {}
    for line in lines(words):
        for side, field, beside in zip((-1, 1), (half.fields[0], half.fields[-1]), half.open, strict=True):
            if not beside:
                continue
            edge = field.head.x1 if side > 0 else field.head.x0
            beyond = [w for w in line if side * (w.x - edge) > 0]
            for phrase in phrases(beyond, reading):
                near = _reach([phrase], side)[0]
                marked = speaks_of_gfci(phrase.text) or field.kind == "gfci"
                if not marked or side * (near - edge) <= 0 or _in_table(edge, phrase, field, rows, reading):
                    continue
                own = (w for w in beyond if phrase.x0 <= w.x <= phrase.x1)
                found |= {id(w): phrase.text for w in own}
    return found


def marks_beyond(half: Half, reading: Reading) -> list[Text]:
    """Marks of GFCI beside a half, in columns without a header that its rows are ruled on into, or, where they are
    not ruled, on a row's line and no farther off than a column."""
    rows = [anchor.y for anchor in half.anchors]
    bare = not reading.levels_between(half.anchors[0].x, rows[0], rows[-1])
    found = []
    for side, edge, beside in zip((-1, 1), (half.x0, half.x1), half.open, strict=True):
        for word in reading.words if beside else ():
            away = side * (word.x - edge)
            near = half.top < word.y < half.bottom and 0 < away <= UNHEADED * word.size
            if near and is_mark(word.text) and speaks_of_gfci(word.text):
                places = np.arange(min(edge, word.x) + 1.0, max(edge, word.x), word.size)
                on = all(reading.levels_between(x, rows[0], rows[-1]) for x in places.tolist())
                found += [word] if on or (bare and _ends_row(word, half, reading)) else []
    return found


def _ends_row(mark: Text, half: Half, reading: Reading) -> bool:
    """Does a mark stand by itself not far beside a half, on the line of one of its rows?"""
    gap = max(mark.x0 - half.x1, half.x0 - mark.x1)
    near = min(abs(anchor.y - mark.y) for anchor in half.anchors)
    line = sorted((w for w in reading.words if abs(w.y - mark.y) <= SAME_LINE * mark.size), key=lambda w: w.x0)
    alone = any(cell.text == mark.text and cell.x0 == mark.x0 for cell in phrases(line, reading))
    return alone and gap <= BESIDE * mark.size and near <= OFF_LINE * mark.size


def marks_below(half: Half, reading: Reading) -> list[Text]:
    """Marks of GFCI low in the cells of a last row that its ruling makes higher than the others."""
    last, others = half.anchors[-1], half.anchors[:-1]
    under = reading.level[(reading.level[:, 1] <= last.x) & (reading.level[:, 2] >= last.x), 0]
    floor = float(min(under[under > last.y], default=half.bottom))
    if not others or floor - last.y > HIGHEST * (half.bottom - last.y):
        return []
    low = [w for w in reading.words if half.bottom <= w.y < floor and half.x0 <= w.x < half.x1]
    cells = [cell for line in lines(low) for cell in phrases(line, reading)]
    ruled = [cell for cell in cells if reading.levels_between(cell.x, others[0].y, last.y)]
    return [cell for cell in ruled if is_mark(cell.text) and speaks_of_gfci(cell.text)]


def cut_marks(half: Half, words: list[Text], reading: Reading) -> dict[int, str]:
    """Marks, by ``id``, with a word beside them that the border of a column parts from them: GFCI | AT RECEPT.

    Cells of two columns may stand as near to each other: there the one begins, or the other ends, where cells of
    other rows do.
    """
    found: dict[int, str] = {}
    for line in lines(words):
        for one, two in pairwise(line):
            fields = _field_of(one, half), _field_of(two, half)
            marked = [w for w in (one, two) if speaks_of_gfci(w.text) or w.text in PARTS]
            if not marked or fields[0] is fields[1] or len(phrases([one, two], reading)) > 1:
                continue
            if not (_edges(words, "x1", one, fields[0], half) or _edges(words, "x0", two, fields[1], half)):
                found |= {id(w): f"{one.text} {two.text}" for w in marked}
    return found


def _field_of(word: Text, half: Half) -> Field | None:
    return next((field for field in half.fields if field.x0 <= word.x < field.x1), None)


def _edges(words: list[Text], side: str, word: Text, field: Field | None, half: Half) -> bool:
    """Do words of other rows in the same column begin, or end, where this one does?"""
    at = getattr(word, side)
    alike = (w for w in words if abs(getattr(w, side) - at) <= ENDS and _field_of(w, half) is field)
    return sum(1 for _ in alike) > LEAST_ALIKE


def _in_table(edge: float, phrase: Text, field: Field, rows: Sequence[float], reading: Reading) -> bool:
    """Does a ruling end the column beyond the phrase, or run between the rows from the header to the phrase?"""
    end = field.x1 if phrase.x > edge else field.x0
    if reading.upright_between(end - ENDS, end + ENDS, phrase.y):
        return True
    between = (edge + (phrase.x0 if phrase.x > edge else phrase.x1)) / 2
    return all(reading.levels_between(x, rows[0], rows[-1]) > 0 for x in (between, phrase.x))


def _clusters(head: Text, side: int, end: float, body: list[Text], reading: Reading) -> list[list[Text]]:
    """The clusters of the header's column and beyond it, outwards."""
    low, high = (head.x0, end) if side > 0 else (end, head.x1)
    cells = [p for line in lines([w for w in body if low <= w.x <= high]) for p in phrases(line, reading)]
    found: list[list[Text]] = []
    for cell in sorted(cells, key=lambda c: c.x0 if side > 0 else -c.x1):
        if found and side * (_reach([cell], side)[0] - _reach(found[-1], side)[1]) <= 0:
            found[-1].append(cell)
        else:
            found.append([cell])
    return found


def _reach(cluster: list[Text], side: int) -> tuple[float, float]:
    """The near and the far end of a cluster, seen from the schedule."""
    x0, x1 = min(c.x0 for c in cluster), max(c.x1 for c in cluster)
    return (x0, x1) if side > 0 else (x1, x0)


def _off_rows(cluster: list[Text], rows: Sequence[float]) -> bool:
    """Do the phrases follow another pitch than the rows?

    Cells stand in the middle of a row or of two, or all a little higher or lower: twice their phase is one.
    """
    at = np.asarray(rows, float)
    if len(at) < 2:
        return False
    y = np.array([cell.y for cell in cluster])
    nearest = at[np.abs(at[:, None] - y).argmin(axis=0)]
    phase = np.exp(4j * np.pi * (y - nearest) / float(np.median(np.diff(at))))
    return bool(np.abs(phase.mean()) < IN_STEP)

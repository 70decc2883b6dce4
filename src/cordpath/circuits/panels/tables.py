"""Panel schedules as tables: header bands, half tables, columns.

Terms
    *band*   the header of a schedule: one to three text lines whose phrases name columns.
    *half*   the columns that belong to one circuit column; most schedules have two halves side by side (odd
             circuits left, even right), often mirrored.
    *anchor* a circuit number in a half: every other word of the half belongs to the row of an anchor.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import combinations, islice, pairwise

from cordpath.circuits.panels.anchors import anchors_of, pitch
from cordpath.circuits.panels.columns import REACH, Field, extents
from cordpath.circuits.panels.frames import by_frames, in_frames
from cordpath.circuits.panels.halves import circuit_head, in_halves
from cordpath.circuits.panels.headings import column, is_rating, is_strong, panel_name
from cordpath.circuits.panels.level import parts_of, without_rows
from cordpath.circuits.panels.marks import circuits, is_code, is_mark, may_be_mark
from cordpath.circuits.panels.strangers import without_lists
from cordpath.circuits.panels.unheaded import with_numbers
from cordpath.circuits.panels.words import Reading, Text, joined, lines, phrases

BAND_PITCH = 2.0  # lines of one header follow each other within this many font sizes
ASIDE = 15.0  # font sizes: half of a wide description column, whose header stands in its middle
MOST_ABOVE = 4  # lines over a header that are looked at: two of its own, and as many of a list beside it
SPACE = 0.4  # font sizes; a space of usual faces is about 0.3 wide


@dataclass(frozen=True, eq=False)
class Half:
    """``fields`` left to right; ``anchors`` top to bottom; ``bottom`` where the body ends.

    ``open``: at its left, at its right: does no half of the same table stand there?  ``ticked``: is there a header
    of GFCI over it or beside it, whose ticks may stand among its words?  ``between``: ticks and marks under a
    header of GFCI or of notes that is of no half: they may be of any.
    """

    fields: tuple[Field, ...]
    anchors: tuple[Text, ...]
    top: float
    bottom: float
    strong: bool
    open: tuple[bool, bool] = (True, True)
    ticked: bool = False
    between: tuple[Text, ...] = ()

    @property
    def x0(self) -> float:
        return min(f.x0 for f in self.fields)

    @property
    def x1(self) -> float:
        return max(f.x1 for f in self.fields)


def bands(reading: Reading) -> list[list[Text]]:
    """Header bands as their column texts, left to right; top to bottom of the sheet."""
    ready = [_headers(line, reading) for line in lines(list(reading.words))]
    found: list[list[Text]] = []
    taken: set[int] = set()
    for i, line in enumerate(ready):
        if i in taken or not _may_head(line):
            continue
        members = [*_lines_above(ready, i), line]
        for j in range(i + 1, min(i + 8, len(ready))):
            size = max(p.size for p in line)
            if ready[j][0].y - members[-1][0].y > BAND_PITCH * size or _is_cell(ready, j, members[-1]):
                break
            heads_too = not any(circuits(p.text) for p in ready[j]) and 2 * len(_known(ready[j])) >= len(ready[j])
            if heads_too and any(_over(ready[j], above) for above in members):
                members.append(ready[j])
                taken.add(j)
        heads = [
            head for head in without_rows(_stacked(members)) if not (panel_name(head.text) or is_rating(head.text))
        ]
        parts = [_ready(part, reading) for part in parts_of(heads)]
        parts = parts if all(map(_is_band, parts)) else [_ready(heads, reading)]
        found += filter(_is_band, parts)
    return _parted(found)


def _ready(heads: list[Text], reading: Reading) -> list[Text]:
    """Headers with those of the circuit numbers, without the title of a table beside them."""
    return in_frames(with_numbers(heads, reading), reading) if heads else heads


def _headers(line: list[Text], reading: Reading) -> list[Text]:
    """The phrases of a line; headers that stand as close as words do, CKT NO beside DESCRIPTION, each by itself.

    CKT LOAD is one header, but where there is one more of loads than of circuits and the blank is no space.
    """
    found = phrases(line, reading)
    kinds = [column(part.text) for part in found]
    if not any(kinds):
        return found
    lacking = kinds.count("description") > kinds.count("circuit")
    return [each for part in found for each in _apart(part, line, lacking)]


def _apart(part: Text, line: list[Text], lacking: bool) -> list[Text]:
    """A phrase, or the headers that it is made of where circuits and loads are among them."""
    words = [word for word in line if part.x0 <= word.x <= part.x1]
    whole = column(part.text)
    spread = lacking and whole == "description" and _widest(words) > SPACE * part.size
    heads = _as_headers(words) if whole is None or spread else []
    return heads if {"circuit", "description"} <= {column(head.text) for head in heads} else [part]


def _as_headers(words: list[Text]) -> list[Text]:
    """The fewest known headers that the words make up in their order; none where they do not."""
    for k in range(len(words) - 1, 0, -1):
        rest = reduce(joined, words[k:])
        tail = [rest] if column(rest.text) is not None else _as_headers(words[k:])
        first = reduce(joined, words[:k])
        if tail and column(first.text) is not None:
            return [first, *tail]
    return []


def _widest(words: list[Text]) -> float:
    return max((b.x0 - a.x1 for a, b in pairwise(words)), default=0.0)


def _parted(found: list[list[Text]]) -> list[list[Text]]:
    """The bands, each header in its own: the upper of two lines may stand as high as another table's header.

    Its lower line stands then as high as a row of that table, and the two lines are not read as one header.
    """
    bands = list(found)
    for k, j in combinations(range(len(found)), 2):
        upper, lower = bands[k], bands[j]
        strays = [h for h in upper if lower[0].x0 <= h.x <= lower[-1].x1]
        if not all(0 < lower[0].y - stray.y <= BAND_PITCH * stray.size for stray in strays):
            continue
        rest = [head for head in upper if not any(head is one for one in strays)]
        whole = _stacked([strays, lower]) if strays else []
        if _is_band(rest) and _is_band(whole) and _circuits(whole) <= max(_circuits(strays), _circuits(lower)):
            bands[k], bands[j] = rest, whole
    return bands


def _is_cell(ready: list[list[Text]], j: int, above: list[Text]) -> bool:
    """Is a line of nothing but marks a cell of the first row, set a little higher than its circuit number?"""
    if not all(is_mark(p.text) for p in ready[j]):
        return False
    y = ready[j][0].y
    numbers = (line[0].y for line in ready[j + 1 :] if _over(line, above) and any(circuits(p.text) for p in line))
    return next(numbers, float("inf")) - y < y - above[0].y


def _lines_above(ready: list[list[Text]], i: int) -> list[list[Text]]:
    """Header lines with a single word over the first full one: ``CKT`` over ``NO.`` in a cell set in the middle."""
    found: list[list[Text]] = []
    below = ready[i]
    for line in reversed(ready[max(i - MOST_ABOVE, 0) : i]):
        near = below[0].y - line[0].y <= BAND_PITCH * line[0].size
        if near and all(p.x0 > ready[i][-1].x1 or p.x1 < ready[i][0].x0 for p in line) and not _known(line):
            continue  # a list beside the table
        header = _may_head(line)  # of a table beside
        line = _without_neighbours(line, ready[i])
        if not (near and line and not header and all(column(p.text) is not None for p in line)):
            break
        found.insert(0, line)
        below = line
    return found


def _known(line: list[Text]) -> list[Text]:
    return [part for part in line if column(part.text) is not None]


def _without_neighbours(line: list[Text], header: list[Text]) -> list[Text]:
    """A line over the header without the words at its ends that are no headers: they are a list's beside it."""
    margin = ASIDE * header[0].size
    beside = [p for p in line if p.x0 >= header[0].x0 - margin and p.x1 <= header[-1].x1 + margin]
    known = _known(beside)
    x0 = min((p.x0 for p in known), default=0.0)
    x1 = max((p.x1 for p in known), default=0.0)
    x0, x1 = min(x0, header[0].x0), max(x1, header[-1].x1)
    return [p for p in beside if p.x1 > x0 and p.x0 < x1] if known else []


def _may_head(line: list[Text]) -> bool:
    return len(_known(line)) >= 2


def _over(below: list[Text], above: list[Text]) -> bool:
    return below[0].x0 <= above[-1].x1 and below[-1].x1 >= above[0].x0


def _circuits(heads: list[Text]) -> int:
    return sum(column(head.text) == "circuit" for head in heads)


def _is_band(heads: list[Text]) -> bool:
    kinds = {column(head.text) for head in heads}
    return "circuit" in kinds and len(kinds & {"description", "poles", "amperes", "notes", "gfci"}) >= 2


def _stacked(members: list[list[Text]]) -> list[Text]:
    """One text a column: stacked words joined, and headers over several columns dropped."""
    columns = list(members[0])
    for line in members[1:]:
        for word in line:
            over = [c for c in columns if c.x0 < word.x1 and c.x1 > word.x0]
            wide = [c for c in over if sum(w.x0 < c.x1 and w.x1 > c.x0 for w in line) > 1]
            for c in wide:
                columns.remove(c)
            narrow = [c for c in over if c not in wide]
            if len(narrow) == 1 and (whole := joined(narrow[0], word)) and column(whole.text) is not None:
                columns[columns.index(narrow[0])] = whole
            elif not narrow or column(narrow[0].text) is None:
                columns = [c for c in columns if c not in narrow] + [word]
    return sorted(columns, key=lambda c: c.x0)


def halves(heads: list[Text], reading: Reading, floor: float) -> list[Half]:
    """The half tables under one band, left to right.  ``floor``: where the next band begins."""
    parts = (group for part in by_frames(heads, reading) for group in in_halves(part))
    groups = [(group, anchors_of(group, heads, reading, floor)) for group in parts]
    groups = [(group, anchors) for group, anchors in groups if anchors and len(group) > 1]
    if not groups:
        return []
    # Of tables side by side some may have headers of two lines.
    tops = [max(head.y1 for head in group) for group, _ in groups]
    ends = [(group[0].x0, group[-1].x1) for group, _ in groups]
    bottoms = [anchors[-1].y + 0.75 * pitch(anchors) for _, anchors in groups]
    body = [w for w in reading.words if tops[_nearest(w.x, ends)] - 0.2 * w.size < w.y < max(bottoms)]
    # All halves at once, so that no word between two of them is taken by both.
    at = [a.y for a in groups[0][1]], [a.y for a in groups[-1][1]]
    groups = [(without_lists(group, anchors, body, reading), anchors) for group, anchors in groups]
    owned = [head for group, _ in groups for head in group]
    fields = iter(extents(owned, body, reading, (max(tops), min(bottoms)), at))
    ticked = any(column(head.text) == "gfci" for head in heads)
    between = _between(heads, owned, body, at[0], reading)
    found = [
        Half(tuple(islice(fields, len(group))), tuple(anchors), top, bottom, is_strong(circuit_head(group).text),
             ticked=ticked, between=between)
        for (group, anchors), top, bottom in zip(groups, tops, bottoms, strict=True)
    ]  # fmt: skip
    return [replace(half, open=sides) for half, sides in zip(found, pairwise(_ends(found)), strict=True)]


def _between(
    heads: list[Text], owned: list[Text], body: list[Text], rows: Sequence[float], reading: Reading
) -> tuple[Text, ...]:
    """Ticks and marks under headers of GFCI or of notes that are of no half: between two, or of a ruled column.

    ``rows``: heights of the circuit numbers.
    """
    low, high = min(own.x0 for own in owned), max(own.x0 for own in owned)
    free = [
        head for head in heads
        if column(head.text) in ("gfci", "notes") and not any(head.x0 == own.x0 for own in owned)
        and (low < head.x0 < high or reading.levels_between(head.x, rows[0], rows[-1]) > 0)
    ]  # fmt: skip

    def marked(word: Text, head: Text) -> bool:
        ticked = column(head.text) == "gfci"
        if not may_be_mark(word.text, ticked=ticked) and (ticked or not is_code(word.text)):
            return False
        under = head.x0 - head.size <= word.x <= head.x1 + head.size
        x0, x1 = sorted((word.x, head.x))
        cell = reading.levels_between(word.x, rows[0], rows[-1]) > 0 and x1 - x0 <= REACH["notes"] * head.size
        return under or (cell and not reading.upright_between(x0, x1, word.y))

    return tuple(word for word in body if any(marked(word, head) for head in free))


def _nearest(x: float, ends: list[tuple[float, float]]) -> int:
    """Which of the headers of halves, with these ends, stand nearest to a place along the text."""
    return min(range(len(ends)), key=lambda k: max(ends[k][0] - x, x - ends[k][1], 0.0))


def _ends(found: list[Half]) -> list[bool]:
    """Before, between and after halves side by side: does a table end there, since the circuits begin anew?"""
    ends = [True]
    seen: set[str] = set()
    for half in found:
        numbers = {anchor.text for anchor in half.anchors}
        if seen:
            ends.append(bool(numbers & seen))
        seen = numbers if ends[-1] else seen | numbers
    return [*ends, True]

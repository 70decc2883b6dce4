"""Columns of circuit numbers that no known header names: it is empty, or its # or CIR was not read.

A column of numbers that run on by one or by two, under a heading of a panel and beside a header of loads, is one of
circuits: amperes, poles and volt-amperes do not run on.
"""

from __future__ import annotations

from itertools import pairwise

from cordpath.circuits.panels.headings import column, panel_name
from cordpath.circuits.panels.marks import circuits
from cordpath.circuits.panels.words import Reading, Text, columns_of, lines, phrases

LEAST = 4  # numbers of a column: fewer may be anything
ASIDE = 15.0  # font sizes beyond the outer headers: half of a wide description column with its header in the middle
TITLED = 14.0  # font sizes over the headers, as far as a panel's heading stands above its table
MOSTLY = 0.75  # of the steps are of one or two: some numbers may not have been read
FIRST = 4.0  # font sizes from the headers to the first number: two rows
RULED = 3.5  # usual steps down: where no number follows within as much, the column ends
OFF = 1.5  # font sizes from a header of circuits to the middles of its numbers
HEAD = "#"


def with_numbers(heads: list[Text], reading: Reading) -> list[Text]:
    """The headers of a band, with one over each column of circuit numbers that has none, left to right."""
    kinds = [column(head.text) for head in heads]
    if kinds.count("circuit") >= kinds.count("description") or not _titled(heads, reading):
        return heads
    found = [_header(numbers, heads) for numbers in _columns(heads, reading)]
    others = [head for head in heads if not any(head.x0 < one.x < head.x1 for one in found)]
    return sorted([*others, *found], key=lambda head: head.x0)


def _titled(heads: list[Text], reading: Reading) -> bool:
    """Does a heading of a panel stand over the headers?"""
    size, y = heads[0].size, min(head.y0 for head in heads)
    over = [w for w in reading.words if 0 <= y - w.y <= TITLED * size and w.x1 > heads[0].x0 - TITLED * size
            and w.x0 < heads[-1].x1]  # fmt: skip
    return any(panel_name(part.text) is not None for line in lines(over) for part in phrases(line, reading))


def _header(numbers: list[Text], heads: list[Text]) -> Text:
    """A header that stands over the numbers, as high as the others."""
    x0, x1 = min(word.x0 for word in numbers), max(word.x1 for word in numbers)
    low, high = min(head.y0 for head in heads), max(head.y1 for head in heads)
    return Text(HEAD, x0, low, x1, high, heads[0].size)


def _columns(heads: list[Text], reading: Reading) -> list[list[Text]]:
    """Columns of running numbers right under the headers, under none that is known; one of a table beside begins
    higher."""
    spare, known = ASIDE * heads[0].size, [head for head in heads if column(head.text) is not None]
    top, low = min(head.y0 for head in heads), max(head.y1 for head in heads)
    x0, x1 = known[0].x0 - spare, known[-1].x1 + spare
    under = [word for word in reading.words if word.y > top and x0 <= word.x <= x1 and circuits(word.text)]
    columns = [_down(each) for each in columns_of(under)]
    columns = [each for each in columns if low < each[0].y <= low + FIRST * heads[0].size and _runs_on(each)]
    # Numbers may stand at the side of the cell in whose middle their header is.
    spans = [(head, OFF * head.size if column(head.text) == "circuit" else 0.0) for head in known]
    return [
        each for each in columns
        if not any(head.x0 - off < word.x < head.x1 + off for head, off in spans for word in each)
    ]  # fmt: skip


def _down(words: list[Text]) -> list[Text]:
    """The words of a column down to where the table ends."""
    kept: list[Text] = []
    steps: list[float] = []
    for word in sorted(words, key=lambda each: each.y):
        step = word.y - kept[-1].y if kept else 0.0
        if steps and step > RULED * sorted(steps)[len(steps) // 2]:
            break
        steps += [step] if kept else []
        kept.append(word)
    return kept


def _runs_on(words: list[Text]) -> bool:
    numbers = [int(word.text) if word.text.isdigit() else 0 for word in words]
    steps = [after - before for before, after in pairwise(numbers)]
    return len(numbers) >= LEAST and sum(step in (1, 2) for step in steps) >= MOSTLY * len(steps)

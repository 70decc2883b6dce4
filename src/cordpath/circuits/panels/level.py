"""Panel schedules in a row, some of whose headers or rows stand level with the headers of others.

Level headers of two are one line of text, and so one band, and the title of a lower table between them stands over
that band too: it would name a table whose own title was not read.  A first row that is level with the headers of
the table beside it would lend that table its cells as headers, and its title.
"""

from __future__ import annotations

import math
from collections import Counter
from itertools import groupby, pairwise

from cordpath.circuits.panels.headings import Column, column
from cordpath.circuits.panels.marks import circuits
from cordpath.circuits.panels.words import Text

WIDEST = 30.0  # font sizes: a description of 60 letters, with its header at one end
LEAST_CELLS = 3  # words of no header side by side in a header's line: fewer are columns of an office's own


def parts_of(heads: list[Text]) -> list[list[Text]]:
    """Headers, parted where more is free between two of them than a column takes."""
    parts = [heads[:1]]
    for left, right in pairwise(heads):
        if right.x0 - left.x1 > WIDEST * left.size:
            parts.append([])
        parts[-1].append(right)
    return parts


def without_rows(heads: list[Text]) -> list[Text]:
    """Headers without the rows of tables beside them that stand as high: cells with a circuit's number in them."""
    kinds = [column(head.text) for head in heads]
    known = [_is_header(k, heads, kinds) for k in range(len(heads))]
    kept: list[Text] = []
    for header, run in groupby(zip(known, heads, strict=True), key=lambda each: each[0]):
        cells = [head for _, head in run]
        kept += cells if header or not _is_row(cells) else []
    return kept


def _is_row(cells: list[Text]) -> bool:
    """Are texts of no header a row of a table: enough of them, and a circuit's number among them?"""
    return len(cells) >= LEAST_CELLS and any(circuits(cell.text) for cell in cells)


def _is_header(k: int, heads: list[Text], kinds: list[Column | None]) -> bool:
    """Is a text a header?  One letter is where its neighbours are: A may be a phase in a row.  GFCI with cells on
    the side where its neighbour is nearer, a number among them, is one of them."""
    if kinds[k] is None:
        return False
    if len(heads[k].text) == 1:
        return all(kinds[max(k - 1, 0) : k + 2])
    if kinds[k] not in ("gfci", "afci"):
        return True
    left = heads[k].x0 - heads[k - 1].x1 if k else math.inf
    right = heads[k + 1].x0 - heads[k].x1 if k + 1 < len(heads) else math.inf
    side = slice(max(k - LEAST_CELLS, 0), k) if left <= right else slice(k + 1, k + 1 + LEAST_CELLS)
    return any(kinds[side]) or not _is_row(heads[side])


def lacks_numbers(heads: list[Text]) -> bool:
    """Has a header of loads come again without one of circuits of its own?  One of these was not read, and the
    numbers of the one half would be those of the other."""
    loads = Counter(head.text for head in heads if column(head.text) == "description")
    return max(loads.values(), default=0) > sum(column(head.text) == "circuit" for head in heads)

"""Panel schedules in a row, some of whose headers or rows stand level with the headers of others.

Level headers of two are one line of text, and so one band, and the title of a lower table between them stands over
that band too: it would name a table whose own title was not read.  A first row that is level with the headers of
the table beside it would lend that table its cells as headers, and its title.
"""

from __future__ import annotations

from itertools import pairwise

from cordpath.circuits.panels.headings import column
from cordpath.circuits.panels.marks import circuits
from cordpath.circuits.panels.words import Text

WIDEST = 30.0  # font sizes: a description of 60 letters, with its header at one end
LEAST_CELLS = 3  # words of no header at an end of a header's line: fewer are columns of an office's own


def parts_of(heads: list[Text]) -> list[list[Text]]:
    """Headers, parted where more is free between two of them than a column takes."""
    parts = [heads[:1]]
    for left, right in pairwise(heads):
        if right.x0 - left.x1 > WIDEST * left.size:
            parts.append([])
        parts[-1].append(right)
    return parts


def without_rows(heads: list[Text]) -> list[Text]:
    """Headers without a row of the table beside them, which stands as high: at an end, with a number in it."""
    found = heads
    for _ in range(2):
        known = next((k for k in range(len(found)) if _is_header(found[k : k + LEAST_CELLS + 1])), 0)
        beside = found[:known]
        row = len(beside) >= LEAST_CELLS and any(circuits(text.text) for text in beside)
        found = (found[known:] if row else found)[::-1]
    return found


def _is_header(some: list[Text]) -> bool:
    """Is the first of some texts a header?  One letter is where the next is one too: A may be a phase in a row.
    GFCI beside nothing but cells is one of them."""
    kinds = [column(text.text) for text in some]
    if len(some) > LEAST_CELLS and kinds[0] in ("gfci", "afci") and not any(kinds[1:]):
        return False
    return all(kinds[:2] if len(some[0].text) == 1 else kinds[:1])

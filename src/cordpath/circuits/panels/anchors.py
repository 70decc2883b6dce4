"""The circuit numbers of a half table: one column of them under the header, down to where the table ends.

Terms: *anchor*, *half* as in tables.py.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cordpath.circuits.panels.halves import circuit_head
from cordpath.circuits.panels.marks import circuits
from cordpath.circuits.panels.words import Reading, Text, columns_of, lines, phrases

WANDER = 4.0  # font sizes: numbers set at one side of a column whose header stands in the middle
NEW_LIST = 1.15  # row pitches between the last row and another list of numbers
LONGEST_GAP = 3.5  # a schedule ends where no circuit number follows within this many row pitches


def anchors_of(group: list[Text], others: list[Text], reading: Reading, floor: float) -> list[Text]:
    """Circuit numbers under the header, in one column, down to the first long gap.  ``others``: all headers."""
    head = circuit_head(group)
    slack = WANDER * head.size
    x0 = max([head.x0 - slack, *(h.x1 for h in others if h.x1 <= head.x0)])
    x1 = min([head.x1 + slack, *(h.x0 for h in others if h.x0 >= head.x1)])
    under = [
        w for w in reading.words
        if head.y1 < w.y < floor and x0 <= w.x <= x1 and circuits(w.text)
        and not reading.upright_between(min(w.x, head.x), max(w.x, head.x), w.y)
    ]  # fmt: skip
    return _unbroken(_one_column(under, head), head, reading)


def _one_column(words: list[Text], head: Text) -> list[Text]:
    """Of numbers in several columns those of the circuits: they do not repeat, and stand nearest to the header."""

    def rank(column: list[Text]) -> tuple[int, float]:
        distinct = len({w.text for w in column})
        return 2 * distinct - len(column), -min(abs(w.x - head.x) for w in column)

    return max(columns_of(words), key=rank, default=[])


def _unbroken(words: list[Text], head: Text, reading: Reading) -> list[Text]:
    kept: list[Text] = []
    for word in sorted(words, key=lambda w: (w.y, abs(w.x - head.x))):
        if kept and word.y - kept[-1].y < 0.5 * word.size:
            continue  # a second number on the same line is another column's, or of the same cell
        if len(kept) >= 2 and word.y - kept[-1].y > LONGEST_GAP * pitch(kept):
            break
        if len(kept) >= 2 and _begins_anew(word, kept, reading):
            break
        kept.append(word)
    return kept


def _begins_anew(word: Text, kept: list[Text], reading: Reading) -> bool:
    """After a gap the numbers go back, or stand among words: these are the notes below the table."""
    if word.y - kept[-1].y <= NEW_LIST * pitch(kept):
        return False
    near = [w for w in reading.words if abs(w.y - word.y) <= 0.5 * word.size]
    said = next(p for line in lines(near) for p in phrases(line, reading) if p.x0 <= word.x <= p.x1)
    return " " in said.text or _first_number(word) <= _first_number(kept[-1])


def _first_number(word: Text) -> int:
    return int("".join(ch for ch in circuits(word.text)[0] if ch.isdigit()))


def pitch(anchors: Sequence[Text]) -> float:
    """The usual distance between rows, in points."""
    steps = np.diff([a.y for a in anchors])
    return float(np.median(steps)) if len(steps) else 2.0 * anchors[0].size

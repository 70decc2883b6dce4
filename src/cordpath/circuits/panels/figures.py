"""Figures and words of a table with drawn lettering: few are read for sure by themselves; the table bears them out.

A circuit number is what it was read as where no other fits in its place: the numbers of a half go up, and each
stands once in a panel.  Whichever figures stand for a size, and whichever words for a load, none is a mark of GFCI.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from cordpath.circuits.panels import marks
from cordpath.circuits.panels.tables import Half
from cordpath.circuits.panels.words import Text

# Of breakers, of two figures: NEC 240.6(A).  A G behind a size that is read as a 0 or a 6 makes none of them.
RATINGS = frozenset({"15", "20", "25", "30", "35", "40", "45", "50", "60", "70", "80", "90"})
SIZES = {"amperes": RATINGS, "poles": frozenset("123")}  # by the kind of column
EVEN = 4  # rows at even steps: another number among them that was misread would hardly fall on its place
WIDEST = 3  # of such a step: a half has all numbers, or every other one


def counted(half: Half, beside: Sequence[Half]) -> list[bool]:
    """(r,) rows whose circuit number is sure however it was read: all others between those of the rows above and
    below it stand elsewhere in the half or in those ``beside`` it; or it is one of several rows at even steps."""
    known = Counter(n for each in (half, *beside) for anchor in each.anchors for n in _numbers(anchor))
    own = [_numbers(anchor) for anchor in half.anchors]
    out = []
    for above, here, below in zip([[0], *own], own, [*own[1:], []], strict=False):
        between = range(above[0] + 1, below[0]) if above and below else ()
        out.append(len(here) == 1 and [n for n in between if n == here[0] or not known[n]] == here)
    firsts = [here[0] if len(here) == 1 else -WIDEST for here in own]
    for k in range(len(own) - EVEN + 1):
        steps = {b - a for a, b in pairwise(firsts[k : k + EVEN])}
        if len(steps) == 1 and 0 < min(steps) < WIDEST:
            out[k : k + EVEN] = [True] * EVEN
    return [sure and known[here[0]] == 1 for sure, here in zip(out, own, strict=True)]


def _numbers(anchor: Text) -> list[int]:
    """The circuits of a cell; none where one of them has a letter."""
    found = marks.circuits(anchor.text)
    return [int(number) for number in found] if all(number.isdigit() for number in found) else []


def no_mark(word: Text) -> bool:
    """Is a word of a description that was read with doubt too unlike a mark of GFCI to be one?"""
    dash = not any(map(str.isalnum, word.text))
    plain = word.text.isalpha() and len(word.text) > 2 and not marks.may_head_ticks(word.text)
    return word.likely and (dash or plain)


def is_size(kind: str, cell: str) -> bool:
    """Is the cell of that kind of column nothing but a usual size of breakers?"""
    return cell in SIZES.get(kind, ())

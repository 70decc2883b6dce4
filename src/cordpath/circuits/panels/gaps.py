"""Circuits that a schedule leaves out between others: rows of it may not have been read.

A list of the circuits in use leaves some out as well; so it is a remark, and no row is doubted for it.
"""

from __future__ import annotations

from itertools import pairwise

from cordpath.circuits.panels.marks import MOST_POLES
from cordpath.model import PanelRow

FIRST = 2  # the highest number with which a half begins that tells all circuits: 1, or 2 where these are even
STEPS = 2  # from one row of a half to the next: all numbers, or the odd or even ones


def gaps(rows: list[PanelRow]) -> list[str]:
    """What to say of a half of a schedule whose numbers leave out more than the poles of a breaker explain."""
    if not all(number.isdigit() for row in rows for number in row.circuits):
        return []
    spans = sorted((int(row.circuits[0]), int(row.circuits[-1]), row.poles or MOST_POLES) for row in rows)
    apart = [after[0] - before[1] for before, after in pairwise(spans)]
    step = min((gap for gap in apart if gap > 0), default=STEPS)
    if not spans or spans[0][0] > FIRST or step > STEPS:
        return []
    told = {int(number) for row in rows for number in row.circuits}  # a row 2,4 stands before 3, and 4 after it
    wide = [
        f"{last} and {after}"
        for (first, _, poles), (after, _, _) in pairwise(spans)
        for last in (max(number for number in told if number < after or number == first),)
        if after > max(last + step, first + step * poles)
    ]
    return [f"rows may be missing: no circuit stands between {', nor between '.join(wide)}"] if wide else []

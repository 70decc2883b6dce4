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
    wide = [
        f"{last} and {after}"
        for (first, last, poles), (after, _, _) in pairwise(spans)
        if after > max(last + step, first + step * poles)
    ]
    return [f"rows may be missing: no circuit stands between {', nor between '.join(wide)}"] if wide else []

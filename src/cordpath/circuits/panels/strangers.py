"""Where a schedule without rulings ends at its sides: words beside it that are another table's or a list's.

Terms: *cluster*, phrases beside the outermost header whose extents along the text overlap, as the cells of one
column do.  A cluster is no column of the schedule where its phrases follow another pitch than the rows, or where
the header has a cluster of its own already.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cordpath.circuits.panels.headings import Column
from cordpath.circuits.panels.marks import is_tick
from cordpath.circuits.panels.words import Reading, Text, lines, phrases

IN_STEP = 0.8  # mean of the phases of a column's cells; those of a list of another pitch go all round
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


def may_head_a_list(head: Text, kind: Column | None, cells: list[Text], rows: Sequence[float]) -> bool:
    """May a header at a side be the first line of a list: ``GFCI`` of a legend, ``NOTES:`` over some notes?

    A column has words on the rows below its header, and one for GFCI or AFCI has ticks.  ``cells``: words of the
    rows.
    """
    under = [cell for cell in cells if cell.x0 < head.x1 and cell.x1 > head.x0]
    if kind in ("gfci", "afci"):
        return not under or not all(is_tick(cell.text) for cell in under) or _off_rows(under, rows)
    return kind == "notes" and bool(under) and _off_rows(under, rows)


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

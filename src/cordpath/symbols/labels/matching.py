"""Which text belongs to which symbol: the best one-to-one assignment, and how much worse the next best is.

Terms: *cost*, how far a text is from a symbol, in points (labels/nearness.py).  *Regret*, how much the total cost
grows where a symbol may not have the text it was given: small regret means that the drawing can be read otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import linear_sum_assignment

from cordpath.geometry import components
from cordpath.model import BoolArray, FloatArray, IntArray

UNMATCHED = 90.0  # pt: more than any pair costs within reach, so that a text near a symbol is always given to one
MARGIN = 8.0  # pt; on random rows of labels 4.5 gave twice the wrong protection, 9 many more doubts (measured)
MARGIN_SHARE = 0.35  # of the cost: far labels are less exact
PUSHED = 4.0  # pt, and MARGIN_SHARE of the nearest's cost: a text given to a dearer symbol was pushed there
MOST_TOGETHER = 120  # texts and symbols solved with a regret for each; larger crowds are all unsure


@dataclass(frozen=True)
class Match:
    """``rival``: the symbol that would have the text in the next best reading, where that is nearly as good."""

    run: int
    symbol: int
    unsure: bool
    rival: int | None


def matched(
    run: IntArray, symbol: IntArray, cost: FloatArray, says: IntArray, single: bool = False
) -> tuple[Match, ...]:
    """Assigns each text at most one symbol and each symbol at most one text.

    ``says`` (pairs,): texts with one number say the same, so that two of them changing places changes nothing.
    ``single``: no symbol has two such texts, as it has one circuit tag; else the one may be the other's second.
    """
    if not len(run):
        return ()
    runs, r = np.unique(run, return_inverse=True)
    symbols, s = np.unique(symbol, return_inverse=True)
    n = len(runs) + len(symbols)
    _, label = components(r, s + len(runs), n)
    order = np.argsort(label[r], kind="stable")
    found: list[Match] = []
    for part in np.split(order, np.flatnonzero(np.diff(label[r][order])) + 1):
        found += _part(run[part], symbol[part], cost[part], says[part], single)
    return tuple(sorted(found, key=lambda match: match.run))


def _part(run: IntArray, symbol: IntArray, cost: FloatArray, says: IntArray, single: bool) -> list[Match]:
    runs, first, r = np.unique(run, return_index=True, return_inverse=True)
    says = says[first]
    symbols, s = np.unique(symbol, return_inverse=True)
    table = np.full((len(runs), len(symbols) + len(runs)), 4 * UNMATCHED)
    table[r, s] = cost
    table[np.arange(len(runs)), len(symbols) + np.arange(len(runs))] = UNMATCHED
    rows, columns = linear_sum_assignment(table)
    total = float(table[rows, columns].sum())
    crowd = len(runs) + len(symbols) > MOST_TOGETHER
    found = []
    for row, column in zip(rows.tolist(), columns.tolist(), strict=True):
        if column >= len(symbols):
            continue
        own = float(table[row, column])
        margin = MARGIN + MARGIN_SHARE * own
        rival = None
        nearest = int(np.argmin(table[row, : len(symbols)]))
        least = float(table[row, nearest])
        if crowd:
            unsure = True
        elif own > (least + margin if single else least + MARGIN_SHARE * least + PUSHED):
            # Pushed away from the symbol beside it by another text: it may as well be a second text of that one.
            unsure, rival = True, nearest
        else:
            regret, rival = _regret(table, says == says[row], row, column, total, len(symbols))
            unsure = regret < margin
        name = None if rival is None or not unsure else int(symbols[rival])
        found.append(Match(int(runs[row]), int(symbols[column]), unsure, name))
    return found


def _regret(
    table: FloatArray, alike: BoolArray, row: int, column: int, total: float, width: int
) -> tuple[float, int | None]:
    """Extra cost of the best reading in which the symbol is not told the same, and who has the text in it."""
    other = table.copy()
    other[alike, column] = 4 * UNMATCHED
    rows, columns = linear_sum_assignment(other)
    instead = int(columns[row])
    return float(other[rows, columns].sum()) - total, instead if instead < width else None

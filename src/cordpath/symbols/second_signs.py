"""Signs of a legend that are drawn a second time beside it, level with its rows: behind the words, for one.

The legend was found as far as its words reach, and such signs were outlets of the plan.  Terms: *row*, a sample in
a legend; *column*, symbols outside it, one over the other, each level with a row of its own name and turned alike.
"""

from __future__ import annotations

import numpy as np

from cordpath.geometry import in_box
from cordpath.model import IntArray, Region, Sheet, Symbol

LEVEL = 1.5  # pt between the middles of two signs of one row: as drafted, rounded twice
TURNED = 2.0  # degrees, the same
IN_COLUMN = 6.0  # pt: signs of one column do not stand farther apart across it
REACH = 1.0  # of the legend's width: farther off it is another drawing
WHY = "it stands level with its sign in the legend, in a column with another: it may be a second sample"
ASKED, SURE = 2, 3  # rows that a column repeats: two outlets may stand so once, three of three kinds do not


def without_second_signs(symbols: tuple[Symbol, ...], sheet: Sheet) -> tuple[tuple[Symbol, ...], int]:
    """The symbols without the outlets that are second signs for sure, with those in doubt that may be such, and how
    many were put aside."""
    if not any(region.kind == "legend" for region in sheet.regions):
        return symbols, 0
    rows = _rows_repeated(symbols, sheet) * np.array([symbol.is_outlet for symbol in symbols], np.int64)
    kept = [(s, n) for s, n in zip(symbols, rows.tolist(), strict=True) if n < SURE]
    return tuple(s.doubted(WHY) if n >= ASKED else s for s, n in kept), len(symbols) - len(kept)


def _rows_repeated(symbols: tuple[Symbol, ...], sheet: Sheet) -> IntArray:
    """(n,) how many rows of a legend the column has that each symbol stands in; 0 for none and within legends."""
    rows = np.zeros(len(symbols), np.int64)
    outside = [k for k, s in enumerate(symbols) if not any(in_box(s.at, r.box) for r in sheet.regions)]
    for region in sheet.regions:
        samples = [s for s in symbols if in_box(s.at, region.box)] if region.kind == "legend" else []
        level = [k for k in outside if _near(symbols[k], region) and any(_repeats(symbols[k], s) for s in samples)]
        x = np.array([symbols[k].at[0] for k in level])
        for k in level:
            column = np.flatnonzero(np.abs(x - symbols[k].at[0]) <= IN_COLUMN)
            rows[k] = max(rows[k], len({symbols[level[each]].entry.name for each in column}))
    return rows


def _near(symbol: Symbol, region: Region) -> bool:
    x0, _, x1, _ = region.box
    return max(x0 - symbol.at[0], symbol.at[0] - x1) <= REACH * (x1 - x0)


def _repeats(symbol: Symbol, sample: Symbol) -> bool:
    """Is it level with a sample of its own name that is turned as it is?"""
    turn = abs((symbol.angle - sample.angle + 180.0) % 360.0 - 180.0)
    same = symbol.entry.name == sample.entry.name and turn <= TURNED
    return same and abs(symbol.at[1] - sample.at[1]) <= LEVEL

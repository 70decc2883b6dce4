"""The strokes of a sheet that may be wires, and the pens that tell one line of a drawing from others."""

from __future__ import annotations

import numpy as np

from cordpath.geometry import lengths
from cordpath.model import FloatArray, IntArray, Sheet, Symbol


def candidates(sheet: Sheet, symbols: tuple[Symbol, ...]) -> IntArray:
    """Strokes that may be wires: seen, of no symbol, in no legend or schedule, each once."""
    strokes = sheet.strokes
    free = strokes.ink() & (lengths(strokes.xy) > 0)
    for symbol in symbols:
        free[symbol.strokes] = False
    middle = (strokes.xy[:, :2] + strokes.xy[:, 2:]) / 2
    for region in sheet.regions:
        x0, y0, x1, y1 = region.box
        inside = (middle[:, 0] >= x0) & (middle[:, 0] <= x1) & (middle[:, 1] >= y0) & (middle[:, 1] <= y1)
        free &= ~inside
    which = np.flatnonzero(free)
    ends = np.round(strokes.xy[which] / 0.25).astype(np.int64).reshape(-1, 2, 2)
    swap = (ends[:, 0, 0] > ends[:, 1, 0]) | ((ends[:, 0, 0] == ends[:, 1, 0]) & (ends[:, 0, 1] > ends[:, 1, 1]))
    ends[swap] = ends[swap][:, ::-1]
    rows = ends.reshape(-1, 4)
    order = np.lexsort(rows.T)
    fresh = np.ones(len(rows), bool)
    fresh[1:] = (rows[order][1:] != rows[order][:-1]).any(axis=1)
    return np.sort(which[order[fresh]])


def pens_of(sheet: Sheet, which: IntArray) -> FloatArray:
    """(n, 5) width, colour and layer of the strokes, roughly: what tells one line of a drawing from others."""
    strokes = sheet.strokes
    return np.column_stack(
        [np.round(strokes.width[which], 1), np.round(strokes.colour[which], 1), strokes.layer[which]]
    )

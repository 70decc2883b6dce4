"""Texts read glyph by glyph, letters and figures kept together, for many stretches of glyphs at once.

Dynamic programming over the four kinds of a glyph (``glyph_table.KINDS``).  Stretches that begin at one glyph are
one run through the longest of them, and all runs take each step together.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cordpath.model import FloatArray, IntArray
from cordpath.sheet.lettering.glyph_table import KINDS, GlyphTable

CHANGE = 1.1  # nat: letter beside figure
MARK = 0.3  # nat: a mark inside a text
CHANGE_AT_MARK = 0.6  # nat: letter and figure with a mark between them
BEGIN = (0.0, 0.05, 0.1, 0.1)  # nat: a text begins with a letter rather than a figure or a mark
AFTER = (0, 1, 0, 1)  # letters or figures last
STEP = np.array([
    [
        (MARK if AFTER[src] == AFTER[to] else 9.0) if to >= 2
        else 0.0 if AFTER[src] == to else CHANGE_AT_MARK if src >= 2 else CHANGE
        for src in range(len(KINDS))
    ]
    for to in range(len(KINDS))
])  # fmt: skip


@dataclass(frozen=True, eq=False)
class FreeReadings:
    """The likeliest text of each of s stretches."""

    value: FloatArray  # (s,) nat
    _kind: IntArray  # (s,) of the last glyph
    _first: IntArray  # (s,) glyph
    _run: IntArray  # (s,) run of the stretch
    _length: IntArray  # (s,)
    _came: list[IntArray]  # step by step, (runs still under way, 4) kind of the glyph before
    _table: GlyphTable

    def columns(self, number: int) -> IntArray:
        """(n,) columns of the score table: the text of one stretch."""
        kind, run, length = int(self._kind[number]), int(self._run[number]), int(self._length[number])
        kinds = [kind]
        for step in range(length - 1, 0, -1):
            kind = int(self._came[step - 1][run, kind])
            kinds.append(kind)
        first = int(self._first[number])
        return self._table.pick[np.arange(first, first + length), kinds[::-1]]


def free_readings(table: GlyphTable, first: IntArray, last: IntArray) -> FreeReadings:
    """``first``, ``last`` (s,) glyphs of the stretches."""
    length = last - first + 1
    longest = np.zeros(len(table.best), np.int64)
    np.maximum.at(longest, first, length)
    start = np.flatnonzero(longest)
    start = start[np.argsort(-longest[start], kind="stable")]  # so that the runs under way are always the first
    longest = longest[start]
    run_of = np.zeros(len(table.best), np.int64)
    run_of[start] = np.arange(len(start))
    run = run_of[first]
    value, kind = np.zeros(len(first)), np.zeros(len(first), np.int64)
    best = table.worth[start] - BEGIN
    came: list[IntArray] = []
    for step in range(int(length.max(initial=0))):
        if step:
            alive = int(np.searchsorted(-longest, -step, "left"))  # longer than ``step``
            options = best[:alive, None, :] - STEP
            before = options.argmax(axis=2)
            best = (
                np.take_along_axis(options, before[:, :, None], axis=2)[:, :, 0] + table.worth[start[:alive] + step]
            )
            came.append(before)
        ends = np.flatnonzero(length == step + 1)
        value[ends], kind[ends] = best[run[ends]].max(axis=1), best[run[ends]].argmax(axis=1)
    return FreeReadings(value, kind, first, run, length, came, table)

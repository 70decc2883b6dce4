"""Readings without the data that no later step needs: quick to send, and small enough to hold a thousand sheets."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from cordpath.circuits import title_block_words
from cordpath.model import Fills, Reading, SheetResult, Spotting, Strokes


def without_ink(reading: Reading) -> Reading:
    """The reading without its strokes and fills: what judging and reporting need, light enough to send about."""
    bare = Strokes.of(reading.sheet.strokes.xy[:0])
    return replace(
        reading,
        sheet=replace(
            reading.sheet,
            strokes=bare,
            fills=Fills.none(),
            lettered=np.zeros(0, np.int64),
            painted_out=bare.xy,
            bars=bare.xy,
        ),
    )


def lendable(reading: Reading) -> Reading:
    """As much of a reading as :func:`cordpath.lending.lending` and ``wants_panels`` use, a tenth of its size."""
    sheet = replace(without_ink(reading).sheet, words=title_block_words(reading.sheet))
    return Reading(sheet, (), Spotting(()), (), reading.outlets, (), (), reading.panels, wiring=reading.wiring)


def for_tables(result: SheetResult) -> SheetResult:
    """The result without what no table, page or letter shows: other symbols than outlets and fixtures, the words
    outside the title block, the cord paths that no finding hangs on.  A batch holds this of every sheet to its end.
    """
    if result.reading is None:
        return result
    reading = result.reading
    sheet = replace(reading.sheet, words=title_block_words(reading.sheet))
    spotting = replace(reading.spotting, symbols=())
    return replace(result, reading=replace(reading, sheet=sheet, spotting=spotting, paths=()))

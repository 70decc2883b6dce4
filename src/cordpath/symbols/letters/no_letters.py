"""Strokes at the place of a symbol's letters that cannot be these: told by the whole of the thing they belong to.

Terms: *spot*, where a text mark of a template would have its middle; *row*, *tick* and *chain* as in ``hatch_rows``
and ``others_ink``.

A tick of a dimension, a row of hatch, a piece of a polyline is as long as a stroke of a letter; but the line with
ticks at both its ends, the hatch and the polyline are larger than any letters.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.letters.scribbles import GLYPH, SCRIBBLE
from cordpath.symbols.matching.hatch_rows import rows_in
from cordpath.symbols.matching.others_ink import chains, ticks_among

LEAST_CHAIN = 2  # letters as wide as the tallest is high, beyond which a chain of lines is none


def no_letters(ink: Ink, spots: FloatArray, letters: int) -> IntArray:
    """Segments about the spots (s, 2) that are parts of things too large for a text of so many letters."""
    found = [NOBODYS]
    for spot in spots:
        place = shapely.Point(spot).buffer(SCRIBBLE)
        found.append(rows_in(ink, place, spot, SCRIBBLE, NOBODYS))
        found.append(_ticks(ink, spot))
        found.append(_chained(ink, spot, GLYPH * max(LEAST_CHAIN, letters)))
    return np.unique(np.concatenate(found))


def ticks_at(ink: Ink, spots: FloatArray) -> IntArray:
    """Segments about the spots (s, 2) that are ticks of lines longer than a letter."""
    return np.unique(np.concatenate([NOBODYS, *(_ticks(ink, spot) for spot in spots)]))


def _ticks(ink: Ink, spot: FloatArray) -> IntArray:
    """Segments of runs that are ticks of lines longer than a letter, and of those lines."""
    _, near = ink.grid.near(spot[None], SCRIBBLE)
    near = near[near < ink.count]
    straight = near[~ink.curved[near]]
    ticks = ticks_among(ink, np.unique(ink.run_of[straight]))
    found = [run for tick, line, _ in ticks if ink.run_lengths[line] > GLYPH for run in (tick, line)]
    return straight[np.isin(ink.run_of[straight], found)]


def _chained(ink: Ink, spot: FloatArray, size: float) -> IntArray:
    """Segments of lines joined end to end that reach farther than ``size``, pt, across or up."""
    _, near = ink.grid.near(spot[None], SCRIBBLE + size)
    near = near[near < ink.count]
    near = near[~ink.hatch[near]]
    if not len(near):
        return near
    count, chain = chains(ink, near)
    low, high = np.full((count, 2), np.inf), np.full((count, 2), -np.inf)
    for ends in (ink.xy[near, :2], ink.xy[near, 2:]):
        np.minimum.at(low, chain, ends)
        np.maximum.at(high, chain, ends)
    large: BoolArray = (high - low).max(1) > size
    return near[large[chain]]

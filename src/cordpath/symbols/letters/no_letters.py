"""Strokes that stand where a symbol's letters would, but are a part of something larger than any letters.

Terms: *spot*, where a text mark of a template would have its middle; *row* as in ``hatch_rows``, *tick* and *chain*
as in ``others_ink``.

A tick of a dimension, a row of hatch, a piece of a polyline is as long as a stroke of a letter; but the line with
ticks at both its ends, the hatch and the polyline are larger than any letters.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import sorted_unique
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.letters.scribbles import GLYPH, SCRIBBLE
from cordpath.symbols.matching.bodies import Bodies, Pairs
from cordpath.symbols.matching.chained import chains
from cordpath.symbols.matching.hatch_rows import rows_in
from cordpath.symbols.matching.paint import QUARTER
from cordpath.symbols.matching.ticks import ticks_among

LEAST_CHAIN = 2  # letters as wide as the tallest is high, beyond which a chain of lines is none


def no_letters(ink: Ink, spots: FloatArray, letters: int, joined: bool = False) -> IntArray:
    """Segments about the spots (s, 2) that are parts of things too large for a text of so many letters.

    ``joined``: with all that is joined to a line longer than letters are high: read without it, what is left must
    spell the text; who asks whether anything may be letters had better not leave it out.
    """
    places = _places(ink, spots)
    chained = _chained(places, GLYPH * max(LEAST_CHAIN, letters), joined)
    parts = rows_in(places).item, ticks_at(ink, spots), chained
    return sorted_unique(np.concatenate(parts))


def _places(ink: Ink, spots: FloatArray) -> Bodies:
    shapes = shapely.buffer(shapely.points(spots), SCRIBBLE, quad_segs=QUARTER)
    return Bodies(ink, shapes, spots, np.full(len(spots), SCRIBBLE), Pairs.of([NOBODYS] * len(spots)))


def ticks_at(ink: Ink, spots: FloatArray) -> IntArray:
    """Segments about the spots (s, 2) that are of runs which are ticks of lines longer than a letter, or of those
    lines."""
    near = _places(ink, spots).near(np.full(len(spots), SCRIBBLE))
    straight = near.where(~ink.curved[near.item])
    runs = straight.by(ink.run_of)
    lines: dict[int, list[int]] = {}  # of each tick
    for tick, line, _ in ticks_among(ink, sorted_unique(runs.item)):
        if ink.run_lengths[line] > GLYPH:
            lines.setdefault(tick, []).append(line)
    once = runs.where(np.isin(runs.item, list(lines))).once()
    found = [(spot, run) for spot, tick in zip(once.body.tolist(), once.item.tolist(), strict=True)
             for run in (tick, *lines[tick])]  # fmt: skip
    body, run = np.array(found, np.int64).reshape(-1, 2).T
    return sorted_unique(straight.item[runs.among(Pairs(body, run))])


def _chained(places: Bodies, size: float, joined: bool) -> IntArray:
    """Segments of lines joined end to end that reach farther than ``size``, pt, across or up; or (``joined``) of
    which one is longer than any stroke of a letter."""
    ink = places.ink
    near = places.near(places.radii + size)
    near = near.where(~ink.hatch[near.item])
    count, chain = chains(ink, near)
    low, high = np.full((count, 2), np.inf), np.full((count, 2), -np.inf)
    for ends in (ink.xy[near.item, :2], ink.xy[near.item, 2:]):
        np.minimum.at(low, chain, ends)
        np.maximum.at(high, chain, ends)
    large: BoolArray = (high - low).max(1) > size
    large[chain[joined & (ink.run[near.item] > GLYPH) & ~ink.curved[near.item]]] = True
    return near.item[large[chain]]

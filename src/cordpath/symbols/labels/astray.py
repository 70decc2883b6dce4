"""Labels of protection from which a line leads away and ends by itself, at no device that was found.

What it points at may be an outlet that was lost or is drawn as no entry says; the outlet beside the label, that was
cleared by it, only stands there.  Terms: *side* of a text, its left or right end as it is read; *leader* and *end*
as in leaders.py.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, Symbol
from cordpath.symbols.labels.leaders import AIMED, JOINED, LEAST, Leaders, Loose, once
from cordpath.symbols.labels.texts import Text
from cordpath.symbols.letters.glyphs import turned

SIDE = 3.0  # pt from the side of a text to a leader's begin: less than half of a usual text's height
INTO = 0.5  # pt, about a pen, that it may begin inside
STEEPEST = 3.0  # times as far up or down as along: what is steeper passes by the side, as walls and wires do
GOES_ON = 9.0  # pt, 1/8 in: no farther are the dashes of one line apart
MARK = ("protection", "device")


def astray(texts: list[Text], symbols: tuple[Symbol, ...], loose: Loose) -> dict[int, FloatArray]:
    """By index of each label of protection with such lines, (n, 2) where they end."""
    marks = [index for index, text in enumerate(texts) if MARK in text.reading.sets]
    if not marks or not len(loose.which):
        return {}
    areas = np.array([texts[index].run.block_area for index in marks], dtype=object)
    lines = Leaders.of(areas, loose).off(np.array([symbol.footprint for symbol in symbols], dtype=object))
    found: dict[int, list[FloatArray]] = {}
    for start, text, end in zip(*lines.free_ends(), strict=True):
        index = marks[int(text)]
        begin, then = loose.ends[start], loose.ends[start ^ 1]
        if _leaves(texts[index], begin, then) and _is_alone(loose, start, end, texts[index]):
            found.setdefault(index, []).append(loose.ends[end])
    return {index: np.array(ends) for index, ends in found.items()}


def ends_at(ends: FloatArray, symbol: Symbol) -> bool:
    """Does one of the lines end at the symbol, or nearly?"""
    return bool(shapely.distance(shapely.points(ends), symbol.footprint).min() <= AIMED)


def _leaves(text: Text, begin: FloatArray, then: FloatArray) -> bool:
    """Does a stroke that begins here, and ends there, begin at a side of the label and lead away from it?"""
    frame = turned(text.run.turn)
    (x, y), (along, down) = begin @ frame, (then - begin) @ frame
    x0, y0, x1, y1 = text.run.block
    beside = max(x0 - x, x - x1)
    outward = along if x > (x0 + x1) / 2 else -along
    return bool(-INTO <= beside <= SIDE and y0 <= y <= y1 and outward > 0 and abs(down) <= STEEPEST * outward)


def _is_alone(loose: Loose, start: int, end: int, text: Text) -> bool:
    """Does nothing meet a line, which begins and ends at these ends, but an arrowhead at its far one, and does it
    not go on beyond the text or its end?"""
    wide = text.run.block[2] - text.run.block[0]
    for at, least, reach in ((start, 0.0, wide + GOES_ON), (end, LEAST, GOES_ON)):
        place, before = loose.ends[at], loose.ends[at ^ 1]
        near = _about(loose, place, reach)
        touched = shapely.distance(geometry.lines(near), shapely.Point(place)) <= JOINED
        if (touched & (geometry.lengths(near) >= least)).sum() > 1:  # itself
            return False
        if _goes_on(near, place, place - before, reach).any():
            return False
    return True


def _about(loose: Loose, place: FloatArray, reach: float) -> FloatArray:
    """(n, 4) loose lines about a place, each once."""
    near = loose.free & geometry.near_boxes(geometry.boxes_around(loose.xy), np.r_[place, place][None], reach)
    return loose.xy[once(loose.xy, np.flatnonzero(near))]


def _goes_on(lines: FloatArray, end: FloatArray, way: FloatArray, reach: float) -> BoolArray:
    """(n,) lines (n, 4) that begin straight on from an end, as the next dash does, and run on."""
    onward = way / max(1e-9, float(np.hypot(*way)))
    off = lines.reshape(-1, 2, 2) - end
    along, aside = off @ onward, np.abs(off @ np.array([-onward[1], onward[0]]))
    first = along.min(axis=1)
    return np.asarray((first > JOINED) & (first <= reach) & (aside <= JOINED).all(axis=1))

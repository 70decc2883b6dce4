"""Labels of protection from which a line leads away to something else than the outlet beside them.

It may be straight or bent, or a curve.  Where it ends at no device that was found, an outlet may be lost there or
drawn as no entry says; the outlet beside the label, that was cleared by it, only stands there.  Terms: *side* of a
text, its left or right end as it is read; *leader* and *end* as in leaders.py.
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import FloatArray, IntArray, Symbol
from cordpath.symbols.labels.leaders import AIMED, FROM, JOINED, LEAST, MOST, Leaders, Loose, once
from cordpath.symbols.labels.texts import Text
from cordpath.symbols.letters.glyphs import turned

SIDE = FROM  # pt from the side of a text to a leader's begin
INTO = 0.5  # pt, about a pen, that it may begin inside
STEEPEST = 3.0  # times as far up or down as along: what is steeper passes by the side, as walls and wires do
GOES_ON = 9.0  # pt, 1/8 in: no farther are the dashes of one line apart
LONGEST = 4  # strokes of such a line; what turns more often is the edge of something
HEAD = 12.0  # pt: a stroke of an arrowhead, 3/32 to 1/8 in long (common practice, no source)
SHARP = math.radians(60.0)  # between such a stroke and the line
SQUARE = math.radians(10.0)  # walls and counters meet others squarely or run on along them; most leaders do not
LEVEL, UNDERLINED = 0.1, 0.7  # slope of a line under a text, and the share of the text that it runs under
MARK = ("protection", "device")


def astray(texts: list[Text], symbols: tuple[Symbol, ...], loose: Loose, curve: IntArray) -> dict[int, FloatArray]:
    """By index of each label of protection with such lines, (n, 2) where they end.

    ``curve``: (n,) which curve each of the sheet's strokes is a chord of, -1 for straight ones.
    """
    marks = [index for index, text in enumerate(texts) if MARK in text.reading.sets]
    if not marks:
        return {}
    areas = np.array([texts[index].run.block_area for index in marks], dtype=object)
    loose = _bowed(loose, curve, shapely.bounds(areas))
    if not len(loose.which):
        return {}
    lines = Leaders.of(areas, loose).off(np.array([symbol.footprint for symbol in symbols], dtype=object))
    away = [
        k for k, (start, text) in enumerate(zip(lines.start.tolist(), lines.text.tolist(), strict=True))
        if _leaves(texts[marks[text]].run.block, texts[marks[text]].run.turn, loose, start)
    ]  # fmt: skip
    found: dict[int, list[FloatArray]] = {}
    for k in np.array(away, np.int64)[~lines.in_rows(lines.start[away] // 2)].tolist() if away else ():
        start, index = int(lines.start[k]), marks[int(lines.text[k])]
        block, end = texts[index].run.block, _far_end(loose, start)
        if end is not None and _is_alone(loose, start, end, block[2] - block[0]):
            found.setdefault(index, []).append(loose.ends[end])
    return {index: np.array(ends) for index, ends in found.items()}


def ends_at(ends: FloatArray, symbols: tuple[Symbol, ...]) -> int | None:
    """The outlet at which one of the lines ends, or nearly; the nearest."""
    outlets = [k for k, symbol in enumerate(symbols) if symbol.is_outlet]
    if not outlets:
        return None
    bodies = np.array([symbols[k].footprint for k in outlets], dtype=object)
    away = shapely.distance(shapely.multipoints(ends), bodies)
    nearest = int(np.argmin(away))
    return outlets[nearest] if away[nearest] <= AIMED else None


def _bowed(loose: Loose, curve: IntArray, boxes: FloatArray) -> Loose:
    """The strokes about the boxes, a curve as one from its begin to its end."""
    near = np.flatnonzero(loose.free)
    near = near[geometry.near_boxes(geometry.boxes_around(loose.xy[near]), boxes, MOST)]
    xy, curve = loose.xy[near], curve[near]
    chords = np.flatnonzero(curve >= 0)
    if len(chords):
        first = np.flatnonzero(np.r_[True, np.diff(curve[chords]) != 0])
        last = np.r_[first[1:], len(chords)] - 1
        ends = xy[chords[last], 2:]
        begins = xy[chords[first], :2]
        xy[chords] = np.tile(np.repeat(ends, last - first + 1, axis=0), 2)
        xy[chords[first]] = np.c_[begins, ends]
    length = geometry.lengths(xy)
    leading = once(xy, np.flatnonzero((length >= LEAST) & (length <= MOST)))
    return Loose(xy, np.ones(len(xy), bool), leading)


def _leaves(block: FloatArray | tuple[float, ...], turn: float, loose: Loose, start: int) -> bool:
    """Does a line begin at a side of a label and lead away from it, or run on from a line under it?"""
    frame = turned(turn)
    begin, then = loose.ends[start] @ frame, loose.ends[start ^ 1] @ frame
    (x, y), (along, down) = begin, then - begin
    x0, y0, x1, y1 = block
    beside = max(x0 - x, x - x1)
    outward = along if x > (x0 + x1) / 2 else -along
    if -INTO <= beside <= SIDE and y0 <= y <= y1 and outward > 0 and abs(down) <= STEEPEST * outward:
        return True
    under = min(x1, max(x, then[0])) - max(x0, min(x, then[0]))
    joined = len(loose.tree.query_ball_point(loose.ends[start ^ 1], JOINED)) == 2
    low = y0 + UNDERLINED * (y1 - y0) <= y <= y1 + SIDE and abs(down) <= LEVEL * abs(along)
    return bool(joined and low and under >= UNDERLINED * (x1 - x0))


def _far_end(loose: Loose, start: int) -> int | None:
    """The end at which a line that begins at another ends by itself or in an arrowhead; None where it branches."""
    end = start ^ 1
    for _ in range(LONGEST):
        met = [k for k in loose.tree.query_ball_point(loose.ends[end], JOINED) if k != end]
        if len(met) != 1:
            return end if all(_is_head(loose, end, k) for k in met) else None
        if _is_head(loose, end, met[0]):
            return end
        end = met[0] ^ 1
    return None


def _is_head(loose: Loose, end: int, other: int) -> bool:
    """Is the stroke of the other end one of an arrowhead at an end?"""
    back, stroke = loose.ends[end ^ 1] - loose.ends[end], loose.ends[other ^ 1] - loose.ends[other]
    sizes = math.hypot(*back), math.hypot(*stroke)
    return bool(sizes[1] <= min(HEAD, sizes[0]) and back @ stroke >= math.cos(SHARP) * sizes[0] * sizes[1])


def _is_alone(loose: Loose, start: int, end: int, wide: float) -> bool:
    """Does nothing meet a line where it begins, nothing but an arrowhead and what it points at where it ends, and
    does it not go on beyond the text, as ``wide`` in pt, or beyond its end?"""
    for at, reach in ((start, wide + GOES_ON), (end, GOES_ON)):
        place, way = loose.ends[at], loose.ends[at] - loose.ends[at ^ 1]
        near = _about(loose, place, reach)
        met = near[shapely.distance(geometry.lines(near), shapely.Point(place)) <= JOINED]
        if at == start and len(met) > 1:  # itself
            return False
        long = met[geometry.lengths(met) > HEAD]
        turn = np.abs(
            (geometry.directions(long) - math.atan2(way[1], way[0]) + math.pi / 4) % (math.pi / 2) - math.pi / 4
        )
        own = 1 if math.hypot(*way) > HEAD else 0
        if at == end and (turn < SQUARE).sum() > own:
            return False
        if _goes_on(near, place, way, reach):
            return False
    return True


def _about(loose: Loose, place: FloatArray, reach: float) -> FloatArray:
    """(n, 4) lines about a place, each once."""
    low, high = np.minimum(loose.xy[:, :2], loose.xy[:, 2:]), np.maximum(loose.xy[:, :2], loose.xy[:, 2:])
    near = ((low <= place + reach) & (high >= place - reach)).all(axis=1)
    return loose.xy[once(loose.xy, np.flatnonzero(near))]


def _goes_on(lines: FloatArray, end: FloatArray, way: FloatArray, reach: float) -> bool:
    """Does one of the lines (n, 4) begin straight on from an end, as the next dash does, and run on?"""
    onward = way / max(1e-9, float(np.hypot(*way)))
    off = lines.reshape(-1, 2, 2) - end
    along, aside = off @ onward, np.abs(off @ np.array([-onward[1], onward[0]]))
    first, last = along.min(axis=1), along.max(axis=1)
    return bool(((first > JOINED) & (first <= reach) & (last > first) & (aside <= JOINED).all(axis=1)).any())

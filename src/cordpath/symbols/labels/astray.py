"""Labels of protection from which a line leads away to something else than the outlet beside them.

It may be straight or bent, or a curve.  Where it ends at no device that was found, an outlet may be lost there or
drawn as no entry says; the outlet beside the label, that was cleared by it, only stands there.  Terms: *side* of a
text, its left and right end, top and bottom as it is read; *leader* and *end* as in leaders.py.
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import replace

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import FloatArray, IntArray, Symbol
from cordpath.symbols.labels.in_one import INTO, LONGEST, SHORTEST, lines_at
from cordpath.symbols.labels.leaders import AIMED, FROM, JOINED, Leaders, Loose, once
from cordpath.symbols.labels.matching import Match
from cordpath.symbols.labels.nearness import Pairs
from cordpath.symbols.labels.runs import Run
from cordpath.symbols.labels.texts import Text
from cordpath.symbols.letters.glyphs import turned

LEANS = math.cos(math.radians(72.0))  # from straight away: what runs along a side passes by, as walls and wires do
AWAY = 9.0  # pt, 1/8 in, from the text to where it ends at least: labels stand about so far from what they tell of
GOES_ON = 9.0  # pt, 1/8 in: no farther are the dashes of one line apart
FAN = 6  # lines that begin together, at most
HEAD = 12.0  # pt: a stroke of an arrowhead, 3/32 to 1/8 in long (common practice, no source)
DOT, QUARTERS = 4.5, 4  # pt, 1/16 in, from the end of a line to the strokes of a ring at it, and those at least
SHARP = math.radians(60.0)  # between such a stroke and the line
SQUARE = math.radians(10.0)  # walls and counters meet others squarely or run on along them; most leaders do not
PAST = 9.0  # pt, 1/8 in: extension lines end 1/16 to 1/8 in past the dimension line (common practice, no source)
SLANTED = math.sin(math.radians(40.0))  # of twice the angle between a tick and its line: 20 to 70 degrees
LEVEL, UNDERLINED = 0.1, 0.7  # slope of a line under a text, and the share of the text that it runs under
MARK = ("protection", "device")


def astray(texts: list[Text], symbols: tuple[Symbol, ...], loose: Loose, curve: IntArray) -> dict[int, FloatArray]:
    """By index of each label of protection with such lines, (n, 2) where they end.

    ``curve``: (n,) which curve each of the sheet's strokes is a chord of, -1 for straight ones.
    """
    marks = [index for index, text in enumerate(texts) if MARK in text.reading.sets and not text.reading.doubt]
    if not marks:
        return {}
    areas = np.array([texts[index].run.block_area for index in marks], dtype=object)
    areas, loose, onset, broken = lines_at(areas, loose, curve)
    if not len(loose.which):
        return {}
    lines = Leaders.of(areas, loose, fans=True, reach=AIMED).off(
        np.array([symbol.footprint for symbol in symbols], dtype=object)
    )
    away = [
        k for k, (start, text) in enumerate(zip(lines.start.tolist(), lines.text.tolist(), strict=True))
        if _all_leave(texts[marks[text]].run, areas[text], loose, start, onset)
    ]  # fmt: skip
    found: dict[int, list[FloatArray]] = {}
    sides = np.ascontiguousarray(geometry.boxes_around(loose.xy).T)
    for k in np.array(away, np.int64)[~lines.in_rows(lines.start[away] // 2)].tolist() if away else ():
        start, area, index = int(lines.start[k]), areas[int(lines.text[k])], marks[int(lines.text[k])]
        end = _far_end(loose, onset, start)
        if end is None:
            continue
        gap, far = shapely.distance(shapely.points(loose.ends[[start, end]]), area).tolist()
        if far < AWAY + max(0.0, gap - FROM):
            continue
        x0, y0, x1, y1 = shapely.bounds(area).tolist()
        # Hidden edges are broken lines too; those that end at an outlet or in an arrowhead point at something.
        aims = (
            not broken[start // 2] or _is_pointed(loose, end) or ends_at(loose.ends[end][None], symbols) is not None
        )
        if aims and not _is_measured(loose, end) and _is_alone(loose, sides, start, end, max(x1 - x0, y1 - y0)):
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


def pushed_off(match: Match, lost: Collection[int], pairs: Pairs) -> Match:
    """The match, in doubt where its text stands nearer to a symbol that is ``lost``: that one's own label, which
    leads away from it, had pushed the text off."""
    if match.unsure or match.symbol in lost:
        return match
    mine = pairs.run == match.run
    gap = dict(zip(pairs.symbol[mine].tolist(), pairs.gap[mine].tolist(), strict=True))
    nearest = min((k for k in lost if k in gap), key=gap.__getitem__, default=match.symbol)
    return replace(match, unsure=True, rival=nearest) if gap[nearest] < gap[match.symbol] else match


def _all_leave(run: Run, area: shapely.Geometry, loose: Loose, start: int, onset: FloatArray) -> bool:
    """Do a line that begins at an end and all that meet it there, as those of a fan do, lead away from a label?"""
    together = loose.tree.query_ball_point(loose.ends[start], JOINED)
    near = shapely.dwithin(area, shapely.Point(loose.ends[start]), FROM)
    if len(together) > (FAN if near else 1) or not all(_leaves(run, area, loose, k, onset[k]) for k in together):
        return False
    ways = onset[together] / np.maximum(np.hypot(*onset[together].T), JOINED)[:, None]
    square = bool((np.abs(ways @ ways.T) < math.sin(SQUARE)).any())  # the corner of a counter
    return not square or all(_is_pointed(loose, k ^ 1) for k in together)


def _leaves(run: Run, area: shapely.Geometry, loose: Loose, start: int, onset: FloatArray) -> bool:
    """Does a line begin at a side of a label, or of the ring around it, and lead away, or run on from a line under
    the label?  One that ends in an arrowhead may turn along the side; others, farther off, would come as near where
    they are drawn on backward."""
    begin, then = loose.ends[start], loose.ends[start ^ 1]
    nearest, _ = shapely.get_coordinates(shapely.shortest_line(area.buffer(-INTO), shapely.Point(begin)))
    off = begin - nearest
    gap = math.hypot(*off)
    if _is_pointed(loose, start ^ 1):
        return bool(off @ (then - begin) >= 0)
    for way in (then - begin, onset):
        leads = gap > 0 and off @ way >= LEANS * gap * math.hypot(*way)
        if leads and (gap <= FROM + INTO or _comes(begin, way, area)):
            return True
    return _runs_under(run, loose, start)


def _comes(begin: FloatArray, way: FloatArray, area: shapely.Geometry) -> bool:
    """Does a line that is drawn on backward from its begin come to a label?"""
    back = begin - way / math.hypot(*way) * AIMED
    return bool(shapely.dwithin(shapely.LineString([begin, back]), area, FROM))


def _runs_under(run: Run, loose: Loose, start: int) -> bool:
    """Is a line that begins at an end drawn under a label, and runs on?"""
    (x, y), (then, low) = loose.ends[[start, start ^ 1]] @ turned(run.turn)
    x0, y0, x1, y1 = run.block
    under = min(x1, max(x, then)) - max(x0, min(x, then))
    joined = len(loose.tree.query_ball_point(loose.ends[start ^ 1], JOINED)) == 2
    level = y0 + UNDERLINED * (y1 - y0) <= y <= y1 + FROM and abs(low - y) <= LEVEL * abs(then - x)
    return bool(joined and level and under >= UNDERLINED * (x1 - x0))


def _far_end(loose: Loose, onset: FloatArray, start: int) -> int | None:
    """The end at which a line that begins at another ends by itself or in an arrowhead; None where it branches."""
    end = start ^ 1
    for _ in range(LONGEST):
        met = [k for k in loose.tree.query_ball_point(loose.ends[end], JOINED) if k != end]
        if len(met) != 1:
            return end if all(_is_head(loose, onset, end, k) for k in met) else None
        if _is_head(loose, onset, end, met[0]):
            return end
        end = met[0] ^ 1
    return None


def _is_pointed(loose: Loose, end: int) -> bool:
    """Does a line end in an arrowhead, a dot, a small loop or a short slash through its end?"""
    away = np.hypot(*(loose.xy.reshape(-1, 2) - loose.ends[end]).T).reshape(-1, 2)
    length = geometry.lengths(loose.xy)
    head = (away <= JOINED).any(axis=1) & (length > JOINED) & (length <= HEAD)
    ring = (away <= DOT).all(axis=1) & (length > JOINED)
    middle = np.hypot(*((loose.xy[:, :2] + loose.xy[:, 2:]) / 2 - loose.ends[end]).T)
    slash = (middle <= JOINED) & (length > JOINED) & (length <= HEAD)
    return bool(head.sum() > 1 or ring.sum() >= QUARTERS or slash.any())


def _is_measured(loose: Loose, end: int) -> bool:
    """Does a line end a little past a line that crosses it squarely, with a tick through the crossing?  That is how
    extension lines meet the lines of their dimensions."""
    back = loose.ends[end ^ 1] - loose.ends[end]
    turn, length = geometry.directions(loose.xy) - math.atan2(back[1], back[0]), geometry.lengths(loose.xy)
    middle = geometry.midpoints(loose.xy)
    past = geometry.lines(np.r_[loose.ends[end], loose.ends[end] + back * (PAST / math.hypot(*back))][None])
    tick = (length > JOINED) & (length <= HEAD) & (np.abs(np.sin(2 * turn)) >= SLANTED)
    tick &= shapely.distance(shapely.points(middle), past) <= JOINED
    across = geometry.lines(loose.xy[(length > HEAD) & (np.abs(np.cos(turn)) <= math.sin(SQUARE))])
    return bool(shapely.dwithin(across[:, None], shapely.points(middle[tick]), JOINED).any())


def _is_head(loose: Loose, onset: FloatArray, end: int, other: int) -> bool:
    """Is the stroke of the other end one of an arrowhead at an end?"""
    back, stroke = onset[end], loose.ends[other ^ 1] - loose.ends[other]
    size = math.hypot(*stroke)
    long = math.dist(loose.ends[end ^ 1], loose.ends[end])
    return size <= min(HEAD, long) and bool(back @ stroke >= math.cos(SHARP) * math.hypot(*back) * size)


def _is_alone(loose: Loose, sides: FloatArray, start: int, end: int, wide: float) -> bool:
    """Does nothing meet a line where it begins, nothing but an arrowhead and what it points at where it ends, and
    does it not go on beyond the text, as ``wide`` in pt, or beyond its end?"""
    for at, reach in ((start, wide + GOES_ON), (end, GOES_ON)):
        place, way = loose.ends[at], loose.ends[at] - loose.ends[at ^ 1]
        near = _about(loose, sides, place, reach)
        met = near[shapely.distance(geometry.lines(near), shapely.Point(place)) <= JOINED]
        if at == start and len(met) > len(loose.tree.query_ball_point(place, JOINED)):  # those of a fan
            return False
        if at == end and _is_pointed(loose, end):
            continue
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


def _about(loose: Loose, sides: FloatArray, place: FloatArray, reach: float) -> FloatArray:
    """(n, 4) lines about a place, each once.  ``sides``: (4, n) of the boxes around all lines."""
    x, y = place.tolist()
    left, top, right, bottom = sides
    near = (left <= x + reach) & (right >= x - reach) & (top <= y + reach) & (bottom >= y - reach)
    return loose.xy[once(loose.xy, np.flatnonzero(near))]


def _goes_on(lines: FloatArray, end: FloatArray, way: FloatArray, reach: float) -> bool:
    """Does one of the lines (n, 4) begin straight on from an end, as the next dash does, and run on?"""
    onward = way / max(1e-9, float(np.hypot(*way)))
    off = lines.reshape(-1, 2, 2) - end
    along, aside = off @ onward, off @ np.array([-onward[1], onward[0]])
    first, last = along.min(axis=1), along.max(axis=1)
    straight = (np.abs(aside) <= JOINED).all(axis=1) & (last - first >= SHORTEST)
    ahead = np.flatnonzero((first > JOINED) & (first <= reach) & straight)
    # The chords of a dot or a loop that the line ends in meet each other.
    begins = off[ahead, along[ahead].argmin(axis=1)]
    met = np.hypot(*(off.reshape(-1, 1, 2) - begins).T) <= JOINED
    return bool((met.sum(axis=1) == 1).any())

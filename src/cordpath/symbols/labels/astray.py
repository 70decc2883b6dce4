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
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath import geometry
from cordpath.model import FloatArray, IntArray, Symbol
from cordpath.symbols.labels.doubts import SURE_READING
from cordpath.symbols.labels.leaders import AIMED, FROM, JOINED, LEAST, MOST, Leaders, Loose, once
from cordpath.symbols.labels.matching import Match
from cordpath.symbols.labels.nearness import Pairs
from cordpath.symbols.labels.runs import Run
from cordpath.symbols.labels.texts import Text
from cordpath.symbols.letters.glyphs import turned

SIDE = FROM  # pt from a side of a text to a leader's begin
BOXED = 4.5  # pt, half of a usual text's height, to a box around it
INTO = 0.5  # pt, about a pen, that it may begin inside
LEANS = math.cos(math.radians(72.0))  # from straight away: what runs along a side passes by, as walls and wires do
AWAY = 9.0  # pt, 1/8 in, from the text to where it ends at least: labels stand about so far from what they tell of
GOES_ON = 9.0  # pt, 1/8 in: no farther are the dashes of one line apart
FAN = 6  # lines that begin together, at most
LONGEST = 4  # strokes of such a line; what turns more often is the edge of something
HEAD = 12.0  # pt: a stroke of an arrowhead, 3/32 to 1/8 in long (common practice, no source)
CHORDS = 64  # of a curve; writers draw a whole circle with 12 to 72
CHORD_TURN = math.radians(35.0)  # between two of them: a circle of 12 turns by 30 degrees
SHARP = math.radians(60.0)  # between such a stroke and the line
SQUARE = math.radians(10.0)  # walls and counters meet others squarely or run on along them; most leaders do not
LEVEL, UNDERLINED = 0.1, 0.7  # slope of a line under a text, and the share of the text that it runs under
MARK = ("protection", "device")


def astray(texts: list[Text], symbols: tuple[Symbol, ...], loose: Loose, curve: IntArray) -> dict[int, FloatArray]:
    """By index of each label of protection with such lines, (n, 2) where they end.

    ``curve``: (n,) which curve each of the sheet's strokes is a chord of, -1 for straight ones.
    """
    marks = [index for index, text in enumerate(texts) if MARK in text.reading.sets and _is_sure(text)]
    if not marks:
        return {}
    areas = np.array([texts[index].run.block_area for index in marks], dtype=object)
    loose, onset = _bowed(_unboxed(loose, areas), curve, shapely.bounds(areas))
    if not len(loose.which):
        return {}
    lines = Leaders.of(areas, loose, fans=True).off(
        np.array([symbol.footprint for symbol in symbols], dtype=object)
    )
    away = [
        k for k, (start, text) in enumerate(zip(lines.start.tolist(), lines.text.tolist(), strict=True))
        if _all_leave(texts[marks[text]].run, loose, start, onset)
    ]  # fmt: skip
    found: dict[int, list[FloatArray]] = {}
    sides = np.ascontiguousarray(geometry.boxes_around(loose.xy).T)
    for k in np.array(away, np.int64)[~lines.in_rows(lines.start[away] // 2)].tolist() if away else ():
        start, index = int(lines.start[k]), marks[int(lines.text[k])]
        block, end = texts[index].run.block, _far_end(loose, start)
        if end is None or shapely.distance(shapely.Point(loose.ends[end]), areas[int(lines.text[k])]) < AWAY:
            continue
        if _is_alone(loose, sides, start, end, block[2] - block[0]):
            found.setdefault(index, []).append(loose.ends[end])
    return {index: np.array(ends) for index, ends in found.items()}


def _is_sure(text: Text) -> bool:
    """May a label clear an outlet?  Others are questions as they are."""
    return text.run.confidence >= SURE_READING and not text.reading.doubt


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


def _unboxed(loose: Loose, areas: NDArray[np.object_]) -> Loose:
    """Without the texts' letters, and boxes and rings around them: lines that begin there are the texts'."""
    near = np.flatnonzero(loose.free)
    near = near[geometry.near_boxes(geometry.boxes_around(loose.xy[near]), shapely.bounds(areas), BOXED)]
    around = shapely.buffer(areas, BOXED, join_style="mitre")
    line, text = shapely.STRtree(around).query(geometry.lines(loose.xy[near]), predicate="covered_by")
    gone = np.zeros(len(loose.xy), bool)
    for k in np.unique(text).tolist():
        own = near[line[text == k]]
        gone[own] |= shapely.covered_by(geometry.lines(loose.xy[own]), shapely.buffer(areas[k], INTO))
        own, inner = own[~gone[own]], shapely.buffer(areas[k], -INTO)
        for ring in _rings(loose.xy[own]):
            corners = shapely.MultiPoint(loose.xy[own[ring]].reshape(-1, 2))
            gone[own[ring]] |= corners.convex_hull.contains(inner)
    return loose.but(gone)


def _rings(xy: FloatArray) -> list[IntArray]:
    """Those of the lines (n, 4) that hang together with no end by itself."""
    node = geometry.nodes(xy.reshape(-1, 2), JOINED)
    of, alone = geometry.hanging_together(node), np.bincount(node)[node.reshape(-1, 2)].min(axis=1) < 2
    return [np.flatnonzero(of == each) for each in np.unique(of).tolist() if not alone[of == each].any()]


def _bowed(loose: Loose, curve: IntArray, boxes: FloatArray) -> tuple[Loose, FloatArray]:
    """The strokes about the boxes, a curve as one from its begin to its end; and (2m, 2) the ways in which those
    that may be leaders leave their ends: a curve as its first chord does."""
    near = np.flatnonzero(loose.free)
    around = geometry.boxes_around(loose.xy[near])
    near = near[geometry.near_boxes(around, boxes, MOST) | geometry.near_boxes(around, _beyond(loose, boxes), MOST)]
    xy, curve = loose.xy[near], curve[near]
    onset = np.c_[xy[:, 2:] - xy[:, :2], xy[:, :2] - xy[:, 2:]]
    chords = np.flatnonzero(curve >= 0)
    if len(chords):
        first = np.flatnonzero(np.r_[True, np.diff(curve[chords]) != 0])
        last = np.r_[first[1:], len(chords)] - 1
        onset[chords[first], 2:] = onset[chords[last], 2:]
        ends = xy[chords[last], 2:]
        begins = xy[chords[first], :2]
        xy[chords] = np.tile(np.repeat(ends, last - first + 1, axis=0), 2)
        xy[chords[first]] = np.c_[begins, ends]
    for chain in _chains(xy, boxes):
        end, way = xy.reshape(-1, 2)[chain[-1] ^ 1].copy(), onset.reshape(-1, 2)[chain[-1] ^ 1].copy()
        xy[[k // 2 for k in chain[1:]]] = np.r_[end, end]
        xy.reshape(-1, 2)[chain[0] ^ 1], onset.reshape(-1, 2)[chain[0] ^ 1] = end, way
    leading = once(xy, np.flatnonzero(geometry.lengths(xy) >= LEAST))
    return Loose(xy, np.ones(len(xy), bool), leading), onset[leading].reshape(-1, 2)


def _beyond(loose: Loose, boxes: FloatArray) -> FloatArray:
    """(n, 4) the other ends, as boxes, of strokes longer than MOST that begin at one of the boxes."""
    long = loose.xy[np.flatnonzero(loose.free & (geometry.lengths(loose.xy) > MOST))].reshape(-1, 2)
    other = np.flatnonzero(geometry.near_points(long, boxes, FROM)) ^ 1
    return np.tile(long[other], 2)


def _chains(xy: FloatArray, boxes: FloatArray) -> list[list[int]]:
    """Curves that begin freely at one of the boxes and were drawn as many strokes (n, 4): the ends at which a curve
    comes to each of them."""
    ends = xy.reshape(-1, 2)
    start = np.flatnonzero(geometry.near_points(ends, boxes, FROM))
    if not len(start):
        return []
    tree = cKDTree(ends, balanced_tree=False, compact_nodes=False)
    start = start[tree.query_ball_point(ends[start], JOINED, return_length=True) == 1]
    chains, growing = [[k] for k in start.tolist()], list(range(len(start)))
    for _ in range(CHORDS):
        last = [chains[n][-1] ^ 1 for n in growing]
        near = tree.query_ball_point(ends[last], JOINED) if growing else ()
        onward = {n: _straight_on(ends, end, met) for n, end, met in zip(growing, last, near, strict=True)}
        growing = [n for n, end in onward.items() if end is not None]
        for n in growing:
            chains[n].append(onward[n])
    return [chain for chain in chains if len({k // 2 for k in chain}) == len(chain) > LONGEST]


def _straight_on(ends: FloatArray, end: int, met: list[int]) -> int | None:
    """The one end that meets an end, where its stroke runs nearly straight on."""
    others = [k for k in met if k != end]
    if len(others) != 1 or others[0] == end ^ 1:
        return None
    way, onward = ends[end] - ends[end ^ 1], ends[others[0] ^ 1] - ends[others[0]]
    size = math.hypot(*way) * math.hypot(*onward)
    return others[0] if way @ onward >= math.cos(CHORD_TURN) * size else None


def _all_leave(run: Run, loose: Loose, start: int, onset: FloatArray) -> bool:
    """Do a line that begins at an end and all that meet it there, as those of a fan do, lead away from a label?"""
    together = loose.tree.query_ball_point(loose.ends[start], JOINED)
    if len(together) > FAN or not all(_leaves(run.block, run.turn, loose, k, onset[k]) for k in together):
        return False
    ways = onset[together] / np.maximum(np.hypot(*onset[together].T), JOINED)[:, None]
    return not (np.abs(ways @ ways.T) < math.sin(SQUARE)).any()  # the corner of a counter


def _leaves(
    block: FloatArray | tuple[float, ...], turn: float, loose: Loose, start: int, onset: FloatArray
) -> bool:
    """Does a line begin at a side of a label and lead away from it, or run on from a line under it?"""
    frame = turned(turn)
    begin, then = loose.ends[start] @ frame, loose.ends[start ^ 1] @ frame
    (x, y), (along, down) = begin, then - begin
    x0, y0, x1, y1 = block
    off = begin - np.clip(begin, (x0 + INTO, y0 + INTO), (x1 - INTO, y1 - INTO))
    for way in (then - begin, onset @ frame):
        if 0 < math.hypot(*off) <= SIDE + INTO and off @ way >= LEANS * math.hypot(*off) * math.hypot(*way):
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


def _is_alone(loose: Loose, sides: FloatArray, start: int, end: int, wide: float) -> bool:
    """Does nothing meet a line where it begins, nothing but an arrowhead and what it points at where it ends, and
    does it not go on beyond the text, as ``wide`` in pt, or beyond its end?"""
    for at, reach in ((start, wide + GOES_ON), (end, GOES_ON)):
        place, way = loose.ends[at], loose.ends[at] - loose.ends[at ^ 1]
        near = _about(loose, sides, place, reach)
        met = near[shapely.distance(geometry.lines(near), shapely.Point(place)) <= JOINED]
        if at == start and len(met) > len(loose.tree.query_ball_point(place, JOINED)):  # those of a fan
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
    along, aside = off @ onward, np.abs(off @ np.array([-onward[1], onward[0]]))
    first, last = along.min(axis=1), along.max(axis=1)
    return bool(((first > JOINED) & (first <= reach) & (last > first) & (aside <= JOINED).all(axis=1)).any())

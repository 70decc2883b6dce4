"""Strands of a sheet understood as lines of its wiring: wires, homeruns and loose lines, with their doubts.

Terms
    *wire*      a strand whose two ends lie at two symbols.
    *homerun*   a strand from a symbol to an arrow head with the circuit beside it: it leads to the panel.
    *loose*     a long strand that begins at a symbol and ends at nothing.

That homeruns are arrows with a circuit is common practice (no source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath.circuits.wiring.arrows import SAME_TIP, Heads
from cordpath.circuits.wiring.free_ink import candidates, pens_of
from cordpath.circuits.wiring.strands import GAP, TOUCH, Strands, strands
from cordpath.model import BoolArray, FloatArray, Point, Sheet, Symbol

REACH = 4.0  # pt, 1/18 in, from a symbol's outline to the end of a wire that is drawn to it
CORE = 0.3  # of a symbol's size, about its middle: a line with a corner there ends there
LEAST_WIRE = 8.0  # pt: shorter pieces are marks of the symbol itself
LEAST_LOOSE = 18.0  # pt, 1/4 in: shorter loose pieces are ticks and remains of marks
AIM = 80.0  # degrees between a line's last piece and the symbol that it ends at
LOOK_BACK = 6.0  # pt along a line to tell its direction: shorter pieces turn with rounding
OVER = 1.0  # pt by which a line must run inside an outline to run over a symbol
SWITCH_MARKS = frozenset({"S", "$"})
SHORT = 10.0  # pt from a symbol: a line that ends nearer may be meant to reach it
SHORT_AIM = 30.0  # degrees between such a line and the symbol
RUNS_ON = 30.0  # degrees between the ways of two lines that may be one, broken around a text
AT_TEXT = 5.0  # pt from a word: a line that ends there leads a text
ALONG_WALL = 30.0  # degrees from square to the direction of the wall
FORKED = "a broken line runs so close to another that either may go on as the other"
Shapes = NDArray[np.object_]


@dataclass(frozen=True, eq=False)
class Line:
    """A strand that ends at a symbol: ``a`` and ``b`` are symbols, ``b`` None for a homerun or a loose line.

    ``text``: it ends at this word of the sheet, as a leader does, or as a wire that is broken around a text.
    ``gap``: the widest between its dashes, pt.
    """

    a: int
    b: int | None
    points: FloatArray
    pen: tuple[float, ...]
    tip: Point | None = None
    doubt: str | None = None
    text: int | None = None
    gap: float = 0.0


def drawn_lines(sheet: Sheet, symbols: tuple[Symbol, ...], devices: tuple[Symbol, ...], heads: Heads) -> list[Line]:
    """Every strand that ends at a device, understood as wire, homerun or loose line, or one that ends at a text."""
    which = candidates(sheet, symbols)
    xy = sheet.strokes.xy[which]
    outline = np.array([symbol.footprint for symbol in devices], object)
    box = shapely.bounds(outline)
    middles = np.array([symbol.at for symbol in devices], float)
    size = np.maximum(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1])
    found = strands(xy, middles, CORE * size, _at_outlines(xy, outline))
    ends = _ends_at(found, outline, middles)
    words = shapely.STRtree([shapely.box(*word.box) for word in sheet.words])
    pens = pens_of(sheet, which)
    texts = [word.text for word in sheet.words]
    lines: list[Line] = []
    done: set[int] = set()
    gap = found.gap
    for end in sorted(ends):
        far = found.far(end)
        if found.strand[end // 2] in done:
            continue
        done.add(int(found.strand[end // 2]))
        points = found.walk(end)
        line = _line(ends[end], ends.get(far, []), points, _pen(pens, found, end), heads, words, texts)
        if line is not None:
            line = replace(_pointing(line, heads), gap=float(gap[found.strand[end // 2]]))
            lines.append(_doubted(line, FORKED) if found.forked[found.strand[end // 2]] else line)
    short = _short_of(found, set(ends), outline, middles, pens)
    stubs = _stubs(found, outline, middles, pens)
    return [*_judged(_broken_by_texts(lines), devices, outline), *short, *stubs]


def _at_outlines(xy: FloatArray, outline: Shapes) -> BoolArray:
    """(2n,) ends of strokes at or in the outline of a device: a corner there is two lines that end at it, as the
    homerun and the next wire do that begin at one point of it."""
    ends = xy.reshape(-1, 2)
    at = np.zeros(len(ends), bool)
    at[shapely.STRtree(outline).query(shapely.points(ends), predicate="dwithin", distance=TOUCH)[0]] = True
    return at


def _broken_by_texts(lines: list[Line]) -> list[Line]:
    """The lines, two that end at one text and run on from each other as loose ones: a wire broken around it."""
    led = [line for line in lines if line.text is not None]
    least = np.cos(np.radians(RUNS_ON))
    broken = {
        id(one) for one in led for two in led
        if one is not two and one.text == two.text and one.pen == two.pen
        and -float(np.dot(way_at_end(one.points), way_at_end(two.points))) >= least
    }  # fmt: skip
    return [replace(line, text=None) if id(line) in broken else line for line in lines]


def _pen(pens: FloatArray, found: Strands, end: int) -> tuple[float, ...]:
    """The pen of the stroke that ends there."""
    return tuple(pens[int(found.kept[end // 2])].tolist())


def _ends_at(found: Strands, outline: Shapes, middles: FloatArray) -> dict[int, list[int]]:
    """Loose ends of strands long enough, with the devices that they are drawn to."""
    loose = found.loose()
    loose = loose[found.length[found.strand[loose // 2]] >= LEAST_WIRE]
    if not len(loose):
        return {}
    points = shapely.points(found.ends[loose])
    k, device = shapely.STRtree(outline).query(points, predicate="dwithin", distance=REACH + GAP)
    gap = shapely.distance(points[k], outline[device])
    near = gap <= REACH + found.gap[found.strand[loose[k] // 2]]  # a broken line may end with a gap
    k, device, gap = k[near], device[near], gap[near]
    end = loose[k]
    way = found.ends[end] - found.ends[end ^ 1]
    aim = middles[device] - found.ends[end]
    cosine = (way * aim).sum(axis=1) / np.maximum(np.hypot(*way.T) * np.hypot(*aim.T), 1e-9)
    good = (gap <= TOUCH) | (cosine >= np.cos(np.radians(AIM)))
    at: dict[int, dict[int, float]] = {}
    for e, d, g in zip(end[good].tolist(), device[good].tolist(), gap[good].tolist(), strict=True):
        at.setdefault(e, {})[d] = g
    return {e: _meant(gaps) for e, gaps in at.items()}


def _short_of(
    found: Strands, reached: set[int], outline: Shapes, middles: FloatArray, pens: FloatArray
) -> list[Line]:
    """Lines that end a little short of a symbol: whether they reach it is a doubt of that symbol's wiring."""
    loose = np.array([e for e in found.loose().tolist() if e not in reached], np.int64)
    if not len(loose):
        return []
    loose = loose[found.length[found.strand[loose // 2]] >= LEAST_LOOSE]
    k, device = shapely.STRtree(outline).query(
        shapely.points(found.ends[loose]), predicate="dwithin", distance=SHORT
    )
    end = loose[k]
    way, aim = found.ends[end] - found.ends[end ^ 1], middles[device] - found.ends[end]
    cosine = (way * aim).sum(axis=1) / np.maximum(np.hypot(*way.T) * np.hypot(*aim.T), 1e-9)
    meant = cosine >= np.cos(np.radians(SHORT_AIM))
    return [
        Line(d, None, found.ends[[e ^ 1, e]], _pen(pens, found, e))
        for e, d in sorted(zip(end[meant].tolist(), device[meant].tolist(), strict=True))
    ]


def _stubs(found: Strands, outline: Shapes, middles: FloatArray, pens: FloatArray) -> list[Line]:
    """Pieces too short for a wire that begin at a symbol and are not followed on: a first dash, in a pen of broken
    lines, or one that ends at the end of another stroke.  Where the wire goes that begins with it was not found."""
    dashed = np.unique(pens[found.kept[found.gap[found.strand] > 0]], axis=0)
    loose = found.loose()
    loose = loose[found.length[found.strand[loose // 2]] < LEAST_LOOSE]
    k, device = shapely.STRtree(outline).query(
        shapely.points(found.ends[loose]), predicate="dwithin", distance=TOUCH
    )
    end = loose[k]
    far = np.array([found.far(e) for e in end.tolist()], np.int64)
    way = found.ends[end] - found.ends[far]
    aim = middles[device] - found.ends[end]
    length = np.maximum(np.hypot(*way.T) * np.hypot(*aim.T), 1e-9)
    begins = (way * aim).sum(axis=1) / length >= np.cos(np.radians(SHORT_AIM))
    pen = pens[found.kept[end // 2]]
    broken = (pen[:, None] == dashed[None]).all(axis=2).any(axis=1)
    met = cKDTree(found.ends).query_ball_point(found.ends[far], TOUCH, return_length=True) > 1
    long = found.length[found.strand[end // 2]] >= LEAST_WIRE
    meant = np.flatnonzero(begins & (broken | (met & long)))
    return [Line(int(device[j]), None, found.ends[[end[j], far[j]]], tuple(pen[j].tolist())) for j in meant]


def _meant(gaps: dict[int, float]) -> list[int]:
    """The nearest device, and those that lie hardly farther: less than twice as far, or within a point."""
    ranked = sorted(gaps, key=lambda d: (gaps[d], d))
    nearest = gaps[ranked[0]]
    return [ranked[0], *(d for d in ranked[1:] if gaps[d] < max(2 * nearest, nearest + 1.0))]


def _line(
    near: list[int],
    far: list[int],
    points: FloatArray,
    pen: tuple[float, ...],
    heads: Heads,
    words: shapely.STRtree,
    texts: list[str],
) -> Line | None:
    if (
        heads.at(as_point(points[0]), way_at_end(points[::-1])) is not None
    ):  # it points at the symbol, as leaders do
        leader = len(words.query(shapely.Point(points[-1]), predicate="dwithin", distance=AT_TEXT)) > 0
        return None if leader else Line(near[0], None, points, pen, None)
    doubt = "a wire ends between two symbols" if len(near) > 1 or len(far) > 1 else None
    if far:
        return None if far[0] == near[0] else Line(near[0], far[0], points, pen, None, doubt)
    tip = heads.at(as_point(points[-1]), way_at_end(points))
    if tip is not None:
        return Line(near[0], None, points, pen, tip, doubt)
    if float(np.hypot(*np.diff(points, axis=0).T).sum()) < LEAST_LOOSE:
        return None
    beside = words.query(shapely.Point(points[-1]), predicate="dwithin", distance=AT_TEXT)
    # It leads a text, or runs to a switch; any other single letter may be a device's.
    led = [k for k in sorted(beside.tolist()) if len(texts[k].strip()) > 1 or texts[k].strip() in SWITCH_MARKS]
    if led:
        return Line(near[0], None, points, pen, text=led[0])
    return Line(near[0], None, points, pen, None, doubt)


def _pointing(line: Line, heads: Heads) -> Line:
    """A wire with an arrow head at its second symbol, with the doubt: a homerun may end there by chance."""
    if line.b is None or heads.at(as_point(line.points[-1]), way_at_end(line.points)) is None:
        return line
    return _doubted(line, "a line with an arrow head ends at a symbol")


def as_point(point: FloatArray) -> Point:
    return (float(point[0]), float(point[1]))


def way_at_end(points: FloatArray) -> Point:
    """The unit vector in which a line leaves at its last point."""
    away = points[-1] - points
    far = np.hypot(*away.T)
    back = np.flatnonzero(far >= LOOK_BACK)
    k = int(back[-1]) if len(back) else 0
    return as_point(away[k] / max(float(far[k]), 1e-9))


def _judged(lines: list[Line], devices: tuple[Symbol, ...], outline: Shapes) -> list[Line]:
    """Lines with the doubts that come from what lies about them."""
    tips = [line.tip for line in lines if line.tip is not None]
    inner = shapely.buffer(outline, -OVER)
    tree = shapely.STRtree(inner)
    outlines = shapely.STRtree(outline)
    found = []
    for line in lines:
        if line.b is not None or line.tip is not None:
            over = set(tree.query(shapely.LineString(line.points), predicate="intersects").tolist())
            if over - {line.a, line.b}:
                line = _doubted(line, "a wire runs over a symbol and on")
            elif _in_passing(line, outlines):
                line = _doubted(line, "a wire has a joint at a symbol and runs on")
            elif line.tip is not None and sum(math.dist(line.tip, tip) <= SAME_TIP for tip in tips) > 1:
                line = _doubted(line, "more than one line leads to the homerun arrow")
            if _is_wall(line, devices):
                line = _doubted(line, "a line along the wall may be a wire or the wall's own")
            views = {devices[k].view for k in (line.a, line.b) if k is not None}
            if len(views) > 1:
                continue
        found.append(line)
    return found


def _in_passing(line: Line, outlines: shapely.STRtree) -> bool:
    """Does a point of a line lie at a device at which it does not end: two wires that meet there, or an arc?"""
    inner = shapely.points(line.points[1:-1])
    at = set(outlines.query(inner, predicate="dwithin", distance=TOUCH)[1].tolist())
    return bool(at - {line.a, line.b})


def _doubted(line: Line, why: str) -> Line:
    return replace(line, doubt=line.doubt or why)


def _is_wall(line: Line, devices: tuple[Symbol, ...]) -> bool:
    """Is it straight, square to the wall's direction, and on the wall's side of both symbols?"""
    chord = line.points[-1] - line.points[0]
    length = float(np.hypot(*chord))
    drawn = float(np.hypot(*np.diff(line.points, axis=0).T).sum())
    if length < 1e-6 or drawn > 1.002 * length:
        return False
    sides = []
    for k, point in ((line.a, line.points[0]), (line.b, line.points[-1])):
        wall = devices[k].wall_direction if k is not None else None
        if wall is None or k is None:
            continue
        square = abs(float(chord @ np.asarray(wall))) / length <= np.sin(np.radians(ALONG_WALL))
        sides.append(square and float((point - np.asarray(devices[k].at)) @ np.asarray(wall)) > 0.5)
    return bool(sides) and all(sides)

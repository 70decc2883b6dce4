"""Strands of a sheet understood as lines of its wiring: wires, homeruns and loose lines, with their doubts.

Terms
    *wire*      a strand whose two ends lie at two symbols.
    *homerun*   a strand from a symbol to an arrow head with the circuit beside it: it leads to the panel.
    *loose*     a long strand that begins at a symbol and ends at nothing.

That homeruns are arrows with a circuit is common practice (no source).
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import shapely

from cordpath.circuits.wiring.arrows import SAME_TIP, Heads
from cordpath.circuits.wiring.line import LEAST_LOOSE, LEAST_WIRE, Line, Shapes, as_point, pen_at, way_at_end
from cordpath.circuits.wiring.strands import GAP, TOUCH, Strands, strands
from cordpath.circuits.wiring.stubs import short_of, stubs
from cordpath.geometry import first_of_equal, forward, lengths, midpoints, points_in_box
from cordpath.model import BoolArray, FloatArray, IntArray, Sheet, Symbol

REACH = 4.0  # pt, 1/18 in, from a symbol's outline to the end of a wire that is drawn to it
CORE = 0.3  # of a symbol's size, about its middle: a line with a corner there ends there
AIM = 80.0  # degrees between a line's last piece and the symbol that it ends at
OVER = 1.0  # pt by which a line must run inside an outline to run over a symbol
SWITCH_MARKS = frozenset({"S", "$"})
RUNS_ON = 30.0  # degrees between the ways of two lines that may be one, broken around a text
AT_TEXT = 5.0  # pt from a word: a line that ends there leads a text
ALONG_WALL = 30.0  # degrees from square to the direction of the wall
FORKED = "a broken line runs so close to another that either may go on as the other"


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
    dashed = np.bincount(found.strand, sheet.strokes.dashed[which][found.kept], len(found.broken)) > 0
    gap, broken = found.gap, found.broken | dashed  # as strokes of their own, or by a pattern of the pen
    for end in sorted(ends):
        far = found.far(end)
        if found.strand[end // 2] in done:
            continue
        done.add(int(found.strand[end // 2]))
        points = found.walk(end)
        line = _line(ends[end], ends.get(far, []), points, pen_at(pens, found, end), heads, words, texts)
        if line is not None:
            k = int(found.strand[end // 2])
            line = replace(_pointing(line, heads), gap=float(gap[k]), broken=bool(broken[k]))
            lines.append(_doubted(line, FORKED) if found.forked[k] else line)
    short = short_of(found, set(ends), outline, middles, pens)
    return [
        *_judged(_broken_by_texts(lines), devices, outline),
        *short,
        *stubs(found, ends, outline, middles, pens),
    ]


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


def _ends_at(found: Strands, outline: Shapes, middles: FloatArray) -> dict[int, list[int]]:
    """Loose ends of strands long enough, with the devices that they are drawn to."""
    loose = found.loose()
    loose = loose[found.length[found.strand[loose // 2]] >= LEAST_WIRE]
    if not len(loose):
        return {}
    points = shapely.points(found.ends[loose])
    k, device = shapely.STRtree(outline).query(points, predicate="dwithin", distance=REACH + GAP)
    gap = shapely.distance(points[k], outline[device])
    # a broken line may end with a gap, one that jumps over another not
    own = np.where(found.broken, found.gap, 0.0)
    near = gap <= REACH + own[found.strand[loose[k] // 2]]
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


def candidates(sheet: Sheet, symbols: tuple[Symbol, ...]) -> IntArray:
    """Strokes that may be wires: seen, of no symbol, in no legend or schedule, each once."""
    strokes = sheet.strokes
    free = strokes.ink() & (lengths(strokes.xy) > 0)
    for symbol in symbols:
        free[symbol.strokes] = False
    for region in sheet.regions:
        free &= ~points_in_box(midpoints(strokes.xy), region.box)
    which = np.flatnonzero(free)
    rounded = np.round(strokes.xy[which] / 0.25).astype(np.int64)
    return which[first_of_equal(forward(rounded))]


def pens_of(sheet: Sheet, which: IntArray) -> FloatArray:
    """(n, 5) width, colour and layer of the strokes, roughly: what tells one line of a drawing from others."""
    strokes = sheet.strokes
    return np.column_stack(
        [np.round(strokes.width[which], 1), np.round(strokes.colour[which], 1), strokes.layer[which]]
    )

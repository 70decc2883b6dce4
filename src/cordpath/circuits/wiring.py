"""Drawn wiring, followed from symbol to symbol to the homerun arrow.

Terms
    *wire*      a strand whose two ends lie at two symbols.
    *homerun*   a strand from a symbol to an arrow head with the circuit beside it: it leads to the panel.
    *loose*     a long strand that begins at a symbol and ends at nothing.
    *group*     symbols that wires join.
    *leg*       a wire to a switch or a light: no feed of receptacles.

The order of feeding is sure only along a group that is a tree with one homerun, without loose ends, up to the first
outlet at which it branches.  Everything else keeps its doubt, in words.  That homeruns are arrows with a circuit,
and legs run to switches, is common practice (no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.circuits.arrows import Heads
from cordpath.circuits.homeruns import tag_at
from cordpath.circuits.strands import GAP, Strands, strands
from cordpath.geometry import lengths
from cordpath.model import (
    FIXTURE_KINDS,
    FloatArray,
    IntArray,
    Outlet,
    Point,
    Sheet,
    Symbol,
    Wiring,
)

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
AT_TEXT = 5.0  # pt from a word: a line that ends there leads a text
TEE = 1.5  # pt between a loose end and the line that it may join
ALONG_WALL = 30.0  # degrees from square to the direction of the wall
Shapes = NDArray[np.object_]


@dataclass(frozen=True, eq=False)
class _Line:
    """A strand that ends at a symbol: ``a`` and ``b`` are symbols, ``b`` None for a homerun or a loose line."""

    a: int
    b: int | None
    points: FloatArray
    pen: tuple[float, ...]
    tip: Point | None = None
    doubt: str | None = None


@dataclass
class _Group:
    members: list[int]
    wires: list[_Line] = field(default_factory=list)
    homeruns: list[_Line] = field(default_factory=list)
    loose: list[_Line] = field(default_factory=list)


def trace(sheet: Sheet, symbols: tuple[Symbol, ...], outlets: tuple[Outlet, ...]) -> tuple[Wiring, ...]:
    """The wiring of a sheet: one entry a group with an outlet that has a homerun or joins two outlets.

    ``outlets``: those of ``symbols`` that are outlets, under their ids.
    """
    devices = tuple(symbol for symbol in symbols if symbol.kind not in FIXTURE_KINDS)
    ids = {id(outlet.symbol): outlet.id for outlet in outlets}
    names = {k: ids[id(symbol)] for k, symbol in enumerate(devices) if id(symbol) in ids}
    if not names:
        return ()
    lines = _lines(sheet, symbols, devices)
    groups = _groups(lines, len(devices))
    loose = [line.points[-1] for line in lines if line.b is None and line.tip is None]
    ends = np.asarray(shapely.points(np.array(loose).reshape(-1, 2)), object)
    found = (_wiring(group, devices, names, sheet, ends) for group in groups)
    return tuple(wiring for wiring in found if wiring is not None)


# ------------------------------------------------------------------------------------------------- lines


def _lines(sheet: Sheet, symbols: tuple[Symbol, ...], devices: tuple[Symbol, ...]) -> list[_Line]:
    """Every strand that ends at a device, understood as wire, homerun or loose line."""
    which = _candidates(sheet, symbols)
    xy = sheet.strokes.xy[which]
    outline = np.array([symbol.footprint for symbol in devices], object)
    box = shapely.bounds(outline)
    middles = np.array([symbol.at for symbol in devices], float)
    size = np.maximum(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1])
    found = strands(xy, middles, CORE * size)
    ends = _ends_at(found, outline, middles)
    heads = Heads.of(sheet, sheet.strokes.xy[sheet.strokes.ink()])
    words = shapely.STRtree([shapely.box(*word.box) for word in sheet.words])
    pens = _pens(sheet, which)
    texts = [word.text for word in sheet.words]
    lines: list[_Line] = []
    done: set[int] = set()
    for end in sorted(ends):
        far = found.far(end)
        if found.strand[end // 2] in done:
            continue
        done.add(int(found.strand[end // 2]))
        points = found.walk(end)
        line = _line(ends[end], ends.get(far, []), points, _pen(pens, found, end), heads, words, texts)
        if line is not None:
            lines.append(line)
    short = _short_of(found, set(ends), outline, middles, pens)
    return [*_judged(lines, devices, outline), *short]


def _candidates(sheet: Sheet, symbols: tuple[Symbol, ...]) -> IntArray:
    """Strokes that may be wires: seen, of no symbol, in no legend or schedule, each once."""
    strokes = sheet.strokes
    free = strokes.ink() & (lengths(strokes.xy) > 0)
    for symbol in symbols:
        free[symbol.strokes] = False
    middle = (strokes.xy[:, :2] + strokes.xy[:, 2:]) / 2
    for region in sheet.regions:
        x0, y0, x1, y1 = region.box
        inside = (middle[:, 0] >= x0) & (middle[:, 0] <= x1) & (middle[:, 1] >= y0) & (middle[:, 1] <= y1)
        free &= ~inside
    which = np.flatnonzero(free)
    ends = np.round(strokes.xy[which] / 0.25).astype(np.int64).reshape(-1, 2, 2)
    swap = (ends[:, 0, 0] > ends[:, 1, 0]) | ((ends[:, 0, 0] == ends[:, 1, 0]) & (ends[:, 0, 1] > ends[:, 1, 1]))
    ends[swap] = ends[swap][:, ::-1]
    rows = ends.reshape(-1, 4)
    order = np.lexsort(rows.T)
    fresh = np.ones(len(rows), bool)
    fresh[1:] = (rows[order][1:] != rows[order][:-1]).any(axis=1)
    return np.sort(which[order[fresh]])


def _pens(sheet: Sheet, which: IntArray) -> FloatArray:
    """(n, 5) width, colour and layer of the strokes, roughly: what tells one line of a drawing from others."""
    strokes = sheet.strokes
    return np.column_stack(
        [np.round(strokes.width[which], 1), np.round(strokes.colour[which], 1), strokes.layer[which]]
    )


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
    good = (gap == 0) | (cosine >= np.cos(np.radians(AIM)))
    at: dict[int, dict[int, float]] = {}
    for e, d, g in zip(end[good].tolist(), device[good].tolist(), gap[good].tolist(), strict=True):
        at.setdefault(e, {})[d] = g
    return {e: _meant(gaps) for e, gaps in at.items()}


def _short_of(
    found: Strands, reached: set[int], outline: Shapes, middles: FloatArray, pens: FloatArray
) -> list[_Line]:
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
        _Line(d, None, found.ends[[e ^ 1, e]], _pen(pens, found, e))
        for e, d in sorted(zip(end[meant].tolist(), device[meant].tolist(), strict=True))
    ]


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
) -> _Line | None:
    if heads.at(_xy(points[0]), _way(points[::-1])) is not None:  # it points at the symbol, as leaders do
        led = len(words.query(shapely.Point(points[-1]), predicate="dwithin", distance=AT_TEXT)) > 0
        return None if led else _Line(near[0], None, points, pen, None)
    doubt = "a wire ends between two symbols" if len(near) > 1 or len(far) > 1 else None
    if far:
        return None if far[0] == near[0] else _Line(near[0], far[0], points, pen, None, doubt)
    tip = heads.at(_xy(points[-1]), _way(points))
    if tip is not None:
        return _Line(near[0], None, points, pen, tip, doubt)
    if float(np.hypot(*np.diff(points, axis=0).T).sum()) < LEAST_LOOSE:
        return None
    beside = words.query(shapely.Point(points[-1]), predicate="dwithin", distance=AT_TEXT)
    if any(len(texts[k].strip()) > 1 or texts[k].strip() in SWITCH_MARKS for k in beside.tolist()):
        return None  # it leads a text, or runs to a switch; any other single letter may be a device's
    return _Line(near[0], None, points, pen, None, doubt)


def _xy(point: FloatArray) -> Point:
    return (float(point[0]), float(point[1]))


def _way(points: FloatArray) -> Point:
    """The unit vector in which a line leaves at its last point."""
    away = points[-1] - points
    far = np.hypot(*away.T)
    back = np.flatnonzero(far >= LOOK_BACK)
    k = int(back[-1]) if len(back) else 0
    return _xy(away[k] / max(float(far[k]), 1e-9))


def _judged(lines: list[_Line], devices: tuple[Symbol, ...], outline: Shapes) -> list[_Line]:
    """Lines with the doubts that come from what lies about them."""
    inner = shapely.buffer(outline, -OVER)
    tree = shapely.STRtree(inner)
    found = []
    for line in lines:
        if line.b is not None or line.tip is not None:
            over = set(tree.query(shapely.LineString(line.points), predicate="intersects").tolist())
            if over - {line.a, line.b}:
                line = _doubted(line, "a wire runs over a symbol and on")
            if _is_wall(line, devices):
                line = _doubted(line, "a line along the wall may be a wire or the wall's own")
            views = {devices[k].view for k in (line.a, line.b) if k is not None}
            if len(views) > 1:
                continue
        found.append(line)
    return found


def _doubted(line: _Line, why: str) -> _Line:
    return _Line(line.a, line.b, line.points, line.pen, line.tip, line.doubt or why)


def _is_wall(line: _Line, devices: tuple[Symbol, ...]) -> bool:
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


# ------------------------------------------------------------------------------------------------ groups


def _groups(lines: list[_Line], count: int) -> list[_Group]:
    owner = list(range(count))

    def root(k: int) -> int:
        while owner[k] != k:
            owner[k] = owner[owner[k]]
            k = owner[k]
        return k

    for line in lines:
        if line.b is not None:
            a, b = sorted((root(line.a), root(line.b)))
            owner[b] = a
    groups: dict[int, _Group] = {}
    for k in range(count):
        groups.setdefault(root(k), _Group([])).members.append(k)
    for line in lines:
        group = groups[root(line.a)]
        kind = group.wires if line.b is not None else group.homeruns if line.tip is not None else group.loose
        kind.append(line)
    return [groups[k] for k in sorted(groups) if groups[k].wires or groups[k].homeruns]


def _wiring(
    group: _Group, devices: tuple[Symbol, ...], names: dict[int, str], sheet: Sheet, loose: Shapes
) -> Wiring | None:
    members = [k for k in group.members if k in names]
    if not members or not (group.homeruns or len(members) > 1):
        return None
    tag, unread, claimed = None, None, None
    if len(group.homeruns) == 1:
        home = group.homeruns[0]
        assert home.tip is not None
        others = [s for k, s in enumerate(devices) if k != home.a]
        tag, unread, claimed = tag_at(home.tip, _way(home.points), sheet, others)
    broken = next(_broken(group, loose), None)
    own = {devices[k].fact("circuit") for k in members} - {None}
    bare = len(own) == 1 and all(home.pen in {wire.pen for wire in group.wires} for home in group.homeruns)
    fed, doubts = _order(group, names, broken or (unread if tag is None and not bare else None))
    return Wiring(
        view=devices[members[0]].view,
        outlets=tuple(names[k] for k in members),
        tag=tag,
        fed=tuple((names[k], tuple(names[j] for j in path)) for k, path in sorted(fed.items())),
        doubts=tuple((names[k], doubts[k]) for k in members if k in doubts),
        whole=broken is None,
        claimed=claimed,
        lines=tuple(tuple(_xy(p) for p in line.points) for line in (*group.wires, *group.homeruns)),
    )


def _broken(group: _Group, loose: Shapes) -> Iterator[str]:
    """What makes the whole group doubtful.  ``loose``: the ends of the loose lines of all groups."""
    lines = (*group.wires, *group.homeruns)
    yield from (line.doubt for line in lines if line.doubt)
    if not group.homeruns:
        yield "the drawn wiring leads to no homerun arrow"
    if len(group.homeruns) > 1:
        yield "the drawn wiring leads to more than one homerun arrow"
    pens = {line.pen for line in lines}
    if any(line.pen in pens for line in group.loose):
        yield "a line like the wires ends at nothing, or short of an outlet"
    if _met(loose, lines):
        yield "a wire ends on another wire"
    if len(group.wires) >= len(group.members):
        yield "the drawn wiring closes a ring"


def _met(loose: Shapes, lines: Iterable[_Line]) -> bool:
    """Does one of the loose ends lie on one of the lines?"""
    drawn = shapely.STRtree([shapely.LineString(line.points) for line in lines])
    return len(drawn.query(loose, predicate="dwithin", distance=TEE)[0]) > 0


def _order(
    group: _Group, names: dict[int, str], broken: str | None
) -> tuple[dict[int, tuple[int, ...]], dict[int, str]]:
    """For outlets with a sure place those before them, and for the others the doubt."""
    outlets = [k for k in group.members if k in names]
    if broken is not None:
        return {}, dict.fromkeys(outlets, broken)
    start = group.homeruns[0].a
    if start not in names:
        return {}, dict.fromkeys(outlets, "the homerun begins at a switch or a light")
    beside: dict[int, list[int]] = {k: [] for k in outlets}
    for line in group.wires:
        if line.a in names and line.b in names:
            assert line.b is not None
            beside[line.a].append(line.b)
            beside[line.b].append(line.a)
    fed: dict[int, tuple[int, ...]] = {start: ()}
    doubts: dict[int, str] = {}
    waiting = [start]
    while waiting:
        k = waiting.pop()
        onward = [j for j in beside[k] if j not in fed and j not in doubts]
        for j in onward:
            if k in doubts:
                doubts[j] = doubts[k]
            elif len(onward) > 1:
                doubts[j] = f"the drawn wiring branches at outlet {names[k]}"
            else:
                fed[j] = (*fed[k], k)
            waiting.append(j)
    for k in outlets:
        if k not in fed and k not in doubts:
            doubts[k] = "the drawn wiring reaches it only through a switch or a light"
    return fed, doubts

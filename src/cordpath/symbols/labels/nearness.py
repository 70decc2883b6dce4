"""How near a text is to a symbol: the gap on paper, walls between, and leader lines.

Terms: *gap*, from the text's box to the symbol's outline.  *Leader*, a thin line of one to three strokes that
runs from the text to the symbol.  *Wall-weight stroke*, a long stroke of the heavier half of the sheet's pens.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath import geometry
from cordpath.model import FIXTURE_KINDS, BoolArray, FloatArray, IntArray, Sheet, Symbol
from cordpath.symbols.labels.runs import Run

REACH = 36.0  # pt, 1/2 in: labels stand up to 3/8 in from their symbol (common practice, no source)
LONG = 18.0  # pt: a stroke of a wall or a counter, longer than any stroke of a symbol or a letter
THROUGH = 6.0  # pt: a stroke long enough to be a box around an appliance's name
LEADER_FROM, LEADER_TO = 4.5, 4.5  # pt from the text's box, and from the symbol's outline
AIMED = 9.0  # pt, 1/8 in, from the outline where the line's last stroke points at the symbol
LEADER_LEAST, LEADER_MOST = 6.0, 144.0  # pt: a leader's stroke
JOINED = 0.6  # pt between the ends of two strokes of one leader
LEADER_STROKES = 3
ARROW = 2  # strokes of an arrowhead that may meet at a leader's far end
ROWS = 4  # parallels at least half as long beside a stroke: a floor or a hatch; labels seldom have so many leaders
ROW_GAP = 14.0  # pt to the farthest of them
ROW_TURN = np.radians(2.0)
SAME_TURN = 1e-6  # radians, .004 pt across the longest sheet: directions as near are one
LEADER_COST = 0.5  # pt: a leader outweighs every gap
BEHIND_WALL = 1.5, 12.0  # a wall-weight stroke between: the cost grows by this factor and so many points
NO_GAP = 1e-6  # pt: the rounding of numbers
CENTRE = 0.15  # share of the distance between middles that breaks ties between equal gaps


@dataclass(frozen=True)
class Pairs:
    """Texts and symbols that may belong together, one row a pair."""

    run: IntArray
    symbol: IntArray
    gap: FloatArray  # pt
    cost: FloatArray  # pt, what the assignment minimises
    leader: BoolArray
    parted: BoolArray  # a stroke longer than THROUGH runs between the two


def pairs_of(runs: tuple[Run, ...], symbols: tuple[Symbol, ...], sheet: Sheet) -> Pairs:
    """Every run whose label is within REACH of a symbol, or led to it by a line."""
    blocks = np.array([run.block for run in runs]).reshape(-1, 4)
    boxes = shapely.box(*blocks.T)
    outlines = np.array([symbol.footprint for symbol in symbols], dtype=object)
    near_symbol, near_run = shapely.STRtree(boxes).query(outlines, predicate="dwithin", distance=REACH)
    free = sheet.strokes.ink() & (owners(symbols, len(sheet.strokes)) < 0)
    length = geometry.lengths(sheet.strokes.xy)
    # A leader that ends over an appliance points at the outlet there.
    devices = np.array([symbol.kind not in FIXTURE_KINDS for symbol in symbols])
    led_run, led_symbol = leaders(boxes, outlines, devices, sheet, free)
    key = np.concatenate([near_run * len(symbols) + near_symbol, led_run * len(symbols) + led_symbol])
    led_key = np.unique(led_run * len(symbols) + led_symbol)
    key = np.unique(key).astype(np.int64)
    run, symbol = key // max(len(symbols), 1), key % max(len(symbols), 1)
    leader = np.isin(key, led_key)
    gap = shapely.distance(boxes[run], outlines[symbol])
    at = (blocks[:, :2] + blocks[:, 2:]) / 2
    place = np.array([s.at for s in symbols]).reshape(-1, 2)
    apart = np.hypot(*(at[run] - place[symbol]).T)
    parted, behind = _between(at[run], place[symbol], sheet, np.flatnonzero(free & (length > THROUGH)), length)
    cost = gap + CENTRE * apart
    cost = np.where(behind, cost * BEHIND_WALL[0] + BEHIND_WALL[1], cost)
    cost = np.where(leader, LEADER_COST + 0.01 * apart, cost)
    return Pairs(run, symbol, gap, cost, leader, parted & ~leader)


def owners(symbols: tuple[Symbol, ...], count: int) -> IntArray:
    """(count,) index of the symbol that explains each stroke of the sheet, -1 for none."""
    owner = np.full(count, -1, np.int64)
    for index, symbol in enumerate(symbols):
        owner[symbol.strokes] = index
    return owner


def _between(
    at: FloatArray, place: FloatArray, sheet: Sheet, kept: IntArray, length: FloatArray
) -> tuple[BoolArray, BoolArray]:
    """Which pairs have one of the ``kept`` strokes between them, and which one of wall weight."""
    parted, behind = np.zeros(len(at), bool), np.zeros(len(at), bool)
    if not len(kept) or not len(at):
        return parted, behind
    long = length[kept] > LONG
    heavy = long & (sheet.strokes.width[kept] >= (np.median(sheet.strokes.width[kept][long]) if long.any() else 0))
    sight = np.c_[at, place]
    near = geometry.near_boxes(geometry.boxes_around(sheet.strokes.xy[kept]), geometry.boxes_around(sight), NO_GAP)
    kept, heavy = kept[near], heavy[near]
    tree = shapely.STRtree(geometry.lines(sheet.strokes.xy[kept]))
    pair, stroke = tree.query(geometry.lines(sight), predicate="crosses")
    parted[pair] = True
    behind[pair[heavy[stroke]]] = True
    return parted, behind


def _within(
    shapes: NDArray[np.object_], points: FloatArray, distance: float
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """(point, shape) of every pair within the distance; most points are far from all shapes."""
    near = np.flatnonzero(geometry.near_boxes(np.c_[points, points], shapely.bounds(shapes), distance + NO_GAP))
    point, shape = shapely.STRtree(shapes).query(
        shapely.points(points[near]), predicate="dwithin", distance=distance
    )
    return near[point], shape


def leaders(
    boxes: NDArray[np.object_], outlines: NDArray[np.object_], pointed: BoolArray, sheet: Sheet, fit: BoolArray,
) -> tuple[IntArray, IntArray]:  # fmt: skip
    """(box, outline) of every text that a line of up to three of the ``fit`` strokes leads to exactly one outline.

    ``pointed`` (outlines,): those that leaders end at.
    """
    none = np.zeros(0, np.int64)
    length = geometry.lengths(sheet.strokes.xy)
    which = np.flatnonzero(fit & (length >= LEADER_LEAST) & (length <= LEADER_MOST))
    if not len(which) or not len(boxes) or not len(outlines):
        return none, none
    ends = sheet.strokes.xy[which].reshape(-1, 2)  # end 2k and 2k+1 belong to stroke k
    near_end, near_box = _within(boxes, ends, LEADER_FROM)
    far_end, far_outline = _within(outlines, ends, AIMED)
    far_end, far_outline = far_end[pointed[far_outline]], far_outline[pointed[far_outline]]
    meant = _aimed(ends, far_end, outlines[far_outline])
    far_end, far_outline = far_end[meant], far_outline[meant]
    if not len(near_end) or not len(far_end):
        return none, none
    arrives: dict[int, set[int]] = {}
    for end, outline in zip(far_end.tolist(), far_outline.tolist(), strict=True):
        arrives.setdefault(end, set()).add(outline)
    tree = cKDTree(ends, balanced_tree=False, compact_nodes=False)  # few places are asked about
    free = tree.query_ball_point(ends[near_end], JOINED, return_length=True) <= 1
    near_end, near_box = near_end[free], near_box[free]
    met = _followed(near_end, tree, ends, arrives)
    # A line that ends at several symbols is wiring or a wall, not a leader.
    found = [(int(near_box[k]), *there, int(which[near_end[k] // 2])) for k, there in met if len(there) == 1]
    if not found:
        return none, none
    led = np.array(sorted(found), np.int64)
    pairs = np.unique(led[~_in_rows(sheet.strokes.xy, led[:, 2]), :2], axis=0)
    return pairs[:, 0], pairs[:, 1]


def _in_rows(xy: FloatArray, which: IntArray) -> BoolArray:
    """(k,) True for strokes among many parallels: boards, tiles and hatch run from many a text and lead nowhere."""
    every, inverse = np.unique(which, return_inverse=True)
    found = np.zeros(len(every), bool)
    angle = geometry.directions(xy)
    order = np.argsort(angle)
    ordered = angle[order]
    turns, group = np.unique(np.round(angle[every] / SAME_TURN) * SAME_TURN, return_inverse=True)
    for number, turn in enumerate(turns.tolist()):  # most strokes have one of few directions
        around = turn + np.array([-np.pi, 0.0, np.pi])
        first = np.searchsorted(ordered, around - ROW_TURN, side="right").tolist()
        last = np.searchsorted(ordered, around + ROW_TURN).tolist()
        near = np.concatenate([order[a:b] for a, b in zip(first, last, strict=True)])
        mine = group == number
        found[mine] = _among_parallels(xy[every[mine]], xy[near], turn)
    return np.asarray(found[inverse], bool)


def _among_parallels(strokes: FloatArray, others: FloatArray, turn: float) -> BoolArray:
    """(k,) of strokes (k, 4) in the direction ``turn``: do many of the ``others``, which run in about the same, lie
    beside them for half their length?"""
    along, across = np.array([np.cos(turn), np.sin(turn)]), np.array([-np.sin(turn), np.cos(turn)])
    side = others[:, :2] @ across
    found = np.zeros(len(strokes), bool)
    for place, ends in enumerate(strokes.reshape(-1, 2, 2)):
        off = side - float(ends[0] @ across)
        beside = np.flatnonzero(np.abs(off) < ROW_GAP)
        beside = beside[np.abs(off[beside]) > JOINED]
        reach = others[beside].reshape(-1, 2, 2) @ along
        first, last = sorted((ends @ along).tolist())
        shared = np.minimum(reach.max(axis=1), last) - np.maximum(reach.min(axis=1), first)
        rows = np.rint(off[beside[shared > (last - first) / 2]] / JOINED)
        found[place] = len(np.unique(rows)) >= ROWS
    return found


def _aimed(ends: FloatArray, end: IntArray, outline: NDArray[np.object_]) -> BoolArray:
    """Which of the line ends touch their symbol's outline, or would where the stroke is drawn on."""
    way = ends[end] - ends[end ^ 1]
    onward = ends[end] + way / np.maximum(np.hypot(*way.T), 1e-9)[:, None] * (AIMED + 1)
    points_at = shapely.intersects(shapely.linestrings(np.stack([ends[end], onward], axis=1)), outline)
    near = shapely.distance(shapely.points(ends[end]), outline) <= LEADER_TO
    # One that the stroke has run through already is passed where it points at the next.
    through = shapely.intersects(geometry.lines(np.c_[ends[end ^ 1], ends[end]]), outline) & ~points_at
    aside = shapely.distance(shapely.points(ends[end]), outline) > JOINED  # of the one that it points at
    return np.asarray(points_at | (near & ~((through | aside) & np.isin(end, end[points_at]))), bool)


def _followed(
    start: IntArray, tree: cKDTree, ends: FloatArray, arrives: dict[int, set[int]]
) -> list[tuple[int, set[int]]]:
    """Symbols at the far ends of the lines that begin at ``start``, by its index; none where a line branches.

    The end at the text is free, as the caller has seen, and nothing but an arrowhead meets the other: walls join
    other walls there.
    """
    at_symbol = np.zeros(len(ends), bool)
    at_symbol[list(arrives)] = True
    met: list[tuple[int, set[int]]] = []
    which, end = np.arange(len(start)), start
    for _ in range(LEADER_STROKES):
        both = np.flatnonzero(at_symbol[end] & at_symbol[end ^ 1])
        # Both ends at one symbol: a stroke of a neighbour, or a leader on its way past the symbol.
        astray = [k for k in both.tolist() if arrives[int(end[k])] & arrives[int(end[k]) ^ 1]]
        other = end ^ 1
        joined = tree.query_ball_point(ends[other], JOINED, return_length=True) - 1
        there = at_symbol[other]
        there[astray] = False
        met += [(int(which[k]), arrives[int(other[k])]) for k in np.flatnonzero(there & (joined <= ARROW))]
        # A bend at a symbol may lie there by chance: followed on, the line leads to where it ends as well.
        on = np.flatnonzero(joined == 1)
        which, other = which[on], other[on]
        near = tree.query_ball_point(ends[other], JOINED)
        end = np.array([a if b == o else b for (a, b), o in zip(near, other.tolist(), strict=True)], np.int64)
    return sorted(met, key=lambda each: each[0])

"""How near a text is to a symbol: the gap on paper, walls between, and leader lines.

Terms: *gap*, from the text's box to the symbol's outline.  *Leader* as in leaders.py.  *Wall-weight stroke*, a long
stroke of the heavier half of the sheet's pens.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import FIXTURE_KINDS, BoolArray, FloatArray, IntArray, Sheet, Symbol
from cordpath.symbols.labels.leaders import Leaders, Loose
from cordpath.symbols.labels.runs import Run
from cordpath.symbols.labels.turns import on_page
from cordpath.symbols.letters.glyphs import CAP

REACH = 36.0  # pt, 1/2 in: labels stand up to 3/8 in from their symbol (common practice, no source)
LONG = 18.0  # pt: a stroke of a wall or a counter, longer than any stroke of a symbol or a letter
THROUGH = 6.0  # pt: a stroke long enough to be a box around an appliance's name
LEADER_COST = 0.5  # pt: a leader outweighs every gap
BEHIND_WALL = 1.5, 12.0  # a wall-weight stroke between: the cost grows by this factor and so many points
SINGLE_WALL = 1.5  # of the usual weight: a wall that is one line has a heavier one than counters (common practice)
UNDER = 0.2  # of the text size: the room for descenders in the box of a drawn word; CAP of it are its letters
PEN = 0.3  # pt: two roundings to the plotter's grid, by which strokes may reach out of their letters
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
    edge: BoolArray  # one line of usual weight is all that made it dearer: a wall has two lines, or a heavy one


def pairs_of(runs: tuple[Run, ...], symbols: tuple[Symbol, ...], sheet: Sheet, loose: Loose) -> Pairs:
    """Every run whose label is within REACH of a symbol, or led to it by some of the ``loose`` strokes."""
    boxes = on_page(np.array([run.block for run in runs]), np.array([run.turn for run in runs]))
    outlines = np.array([None if _phantom(s) else s.footprint for s in symbols], dtype=object)
    near_symbol, near_run = shapely.STRtree(boxes).query(outlines, predicate="dwithin", distance=REACH)
    length = geometry.lengths(sheet.strokes.xy)
    loose = loose.but(_of_letters(runs, sheet, length))
    # A leader that ends over an appliance points at the outlet there.
    devices = np.flatnonzero([symbol.kind not in FIXTURE_KINDS and not _phantom(symbol) for symbol in symbols])
    led_run, led_symbol = Leaders.of(boxes, loose.toward(outlines[devices])).to(outlines[devices])
    led_symbol = devices[led_symbol]
    key = np.concatenate([near_run * len(symbols) + near_symbol, led_run * len(symbols) + led_symbol])
    led_key = np.unique(led_run * len(symbols) + led_symbol)
    key = np.unique(key).astype(np.int64)
    run, symbol = key // max(len(symbols), 1), key % max(len(symbols), 1)
    leader = np.isin(key, led_key)
    gap = shapely.distance(boxes[run], outlines[symbol])
    at = shapely.get_coordinates(shapely.centroid(boxes))
    place = np.array([s.at for s in symbols]).reshape(-1, 2)
    apart = np.hypot(*(at[run] - place[symbol]).T)
    long = np.flatnonzero(loose.free & (length > THROUGH))
    parted, behind, edge = _between(at[run], place[symbol], sheet, long, length)
    cost = gap + CENTRE * apart
    cost = np.where(behind, cost * BEHIND_WALL[0] + BEHIND_WALL[1], cost)
    cost = np.where(leader, LEADER_COST + 0.01 * apart, cost)
    return Pairs(run, symbol, gap, cost, leader, parted & ~leader, edge & ~leader)


def _phantom(symbol: Symbol) -> bool:
    """Is it a doubtful panel?  Its plain box is made up of walls all over a plan, and the edge of a counter is its
    leader; no label of an outlet beside it is its own."""
    return symbol.kind == "panel" and not symbol.found


def _of_letters(runs: tuple[Run, ...], sheet: Sheet, length: FloatArray) -> BoolArray:
    """(n,) True for the longer strokes of the letters of drawn texts: the diagonal of an N lies between no text and
    its outlet, and the I of GFI is no leader.  An underline is none of them."""
    found = np.zeros(len(length), bool)
    drawn = [run for run in runs if sheet.words[run.words[0]].origin == "stroke"]
    long = np.flatnonzero((length > THROUGH) & (length <= LONG))
    if not drawn or not len(long):
        return found
    lines = np.array([run.line for run in drawn])
    spare = np.array([run.size for run in drawn])[:, None] * [0.0, 1 - CAP - UNDER, 0.0, -UNDER]
    areas = shapely.buffer(on_page(lines + spare, np.array([run.turn for run in drawn])), PEN)
    within, _ = shapely.STRtree(areas).query(geometry.lines(sheet.strokes.xy[long]), predicate="covered_by")
    found[long[within]] = True
    return found


def unowned(symbols: tuple[Symbol, ...], sheet: Sheet) -> BoolArray:
    """(n,) True for strokes of the sheet that no symbol explains."""
    return np.asarray(sheet.strokes.ink() & (owners(symbols, len(sheet.strokes)) < 0), bool)


def owners(symbols: tuple[Symbol, ...], count: int) -> IntArray:
    """(count,) index of the symbol that explains each stroke of the sheet, -1 for none."""
    owner = np.full(count, -1, np.int64)
    for index, symbol in enumerate(symbols):
        owner[symbol.strokes] = index
    return owner


def _between(
    at: FloatArray, place: FloatArray, sheet: Sheet, kept: IntArray, length: FloatArray
) -> tuple[BoolArray, BoolArray, BoolArray]:
    """Which pairs have one of the ``kept`` strokes between them, which one of wall weight, and which of these one
    alone, that may be a counter's edge."""
    none = np.zeros(len(at), bool)
    if not len(kept) or not len(at):
        return none, none, none
    long = length[kept] > LONG
    usual = np.median(sheet.strokes.width[kept][long]) if long.any() else 0
    heavy = long & (sheet.strokes.width[kept] >= usual)
    sight = np.c_[at, place]
    near = geometry.near_boxes(geometry.boxes_around(sheet.strokes.xy[kept]), geometry.boxes_around(sight), NO_GAP)
    kept, heavy = kept[near], heavy[near]
    tree = shapely.STRtree(geometry.lines(sheet.strokes.xy[kept]))
    pair, stroke = tree.query(geometry.lines(sight), predicate="crosses")
    parted = np.bincount(pair, minlength=len(at)) > 0
    weight = heavy * (
        1 + (sheet.strokes.width[kept] > SINGLE_WALL * usual)
    )  # both faces of a wall that is one line
    faces = np.bincount(pair, weight[stroke], len(at))
    return parted, faces > 0, faces == 1

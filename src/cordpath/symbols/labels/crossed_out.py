"""Marks of protection that an X takes back, drawn over the outlet or its label, as who marks up a print does; or a
slash through both.

A line through the label alone is told by its word (sheet/text/struck.py).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, IntArray, Label, Sheet, Symbol
from cordpath.symbols.labels.leaders import JOINED, in_rows
from cordpath.symbols.labels.nearness import unowned

MOST = 72.0  # pt, 1 in: longer lines are the drawing's
MIDDLE = 0.2  # of a line's length, by which its middle may miss the crossing
SLANT = np.radians(30.0)  # between the lines, at least
DEEP = 0.25  # of an outlet's size, by which a slash may miss its middle
AROUND = 1.0  # pt about outlet and label in which they cross
MARK = ("protection", "device")


def doubted_by_crosses(symbols: tuple[Symbol, ...], sheet: Sheet) -> tuple[Symbol, ...]:
    """The symbols; of outlets with an X over them, their label or between both, or with a slash through both, the
    mark is not sure."""
    outlets = [each for each in symbols if each.is_outlet]
    if not outlets:
        return symbols
    boxes = np.array([_area(each, each.labels).bounds for each in outlets])
    lines = sheet.strokes.xy[unowned(symbols, sheet) & (sheet.strokes.curve < 0)]
    lines = lines[geometry.near_boxes(geometry.boxes_around(lines), boxes, MOST)]  # with what meets those below
    near = np.flatnonzero(geometry.near_boxes(geometry.boxes_around(lines), boxes, AROUND))
    alone = lines[near[_by_themselves(lines, near)]]
    if not len(alone):
        return symbols
    words = shapely.box(*np.array([word.box for word in sheet.words]).reshape(-1, 4).T)
    crosses = (*_crossings(alone), alone, words)
    return tuple(_doubted(each, *crosses) if each.is_outlet else each for each in symbols)


def _doubted(
    symbol: Symbol, at: FloatArray, least: FloatArray, lines: FloatArray, words: NDArray[np.object_]
) -> Symbol:
    x0, y0, x1, y1 = symbol.footprint.bounds
    size = min(x1 - x0, y1 - y0)
    crosses = shapely.multipoints(at[least >= size])
    slashes = lines[_runs_through(symbol.footprint, lines)]
    slashes = slashes[shapely.distance(geometry.lines(slashes), shapely.Point(symbol.at)) <= DEEP * size]

    def is_struck(label: Label) -> bool:
        own = words[shapely.distance(words, shapely.Point(label.at)) == 0] if len(slashes) else ()
        slashed = MARK in label.sets and any(_runs_through(word, slashes).any() for word in own)
        return slashed or _is_over(crosses, symbol, label)

    labels = tuple(_unsure(each) if is_struck(each) else each for each in symbol.labels)
    if labels == symbol.labels:
        return symbol
    why = "lines cross each other over it or its label, or one runs through both: it may be crossed out"
    reasons = tuple(dict.fromkeys((*symbol.reasons, why)))
    return replace(symbol, labels=labels, reasons=reasons)


def _runs_through(area: shapely.Geometry, lines: FloatArray) -> BoolArray:
    """(n,) Which of the lines (n, 4) run through an area and end on either side of it?"""
    inside = shapely.contains_xy(area, lines.reshape(-1, 2)).reshape(-1, 2).any(axis=1)
    return np.asarray(shapely.intersects(geometry.lines(lines), area) & ~inside, bool)


def _by_themselves(xy: FloatArray, which: IntArray) -> BoolArray:
    """(k,) which of some lines (n, 4) meet no other at their ends, are no rows of hatch and no longer than MOST."""
    tree = cKDTree(xy.reshape(-1, 2), balanced_tree=False, compact_nodes=False)
    met = tree.query_ball_point(xy[which].reshape(-1, 2), JOINED, return_length=True).reshape(-1, 2)
    alone = np.asarray((met == 1).all(axis=1) & (geometry.lengths(xy[which]) <= MOST), bool)
    alone[alone] = ~in_rows(xy, xy[which[alone]])
    return alone


def _crossings(xy: FloatArray) -> tuple[FloatArray, FloatArray]:
    """(m, 2) where two of the lines cross about their middles, and (m,) the length of the shorter one."""
    lines = geometry.lines(xy)
    one, two = shapely.STRtree(lines).query(lines, predicate="crosses")
    one, two = one[one < two], two[one < two]
    turn = geometry.directions(xy)
    slant = np.abs((turn[one] - turn[two] + np.pi / 2) % np.pi - np.pi / 2)
    at = shapely.get_coordinates(shapely.intersection(lines[one], lines[two]))
    length = geometry.lengths(xy)
    middle = xy.reshape(-1, 2, 2).mean(axis=1)
    off = np.stack([np.hypot(*(at - middle[k]).T) / length[k] for k in (one, two)])
    cross = (slant >= SLANT) & (off <= MIDDLE).all(axis=0)
    return at[cross], np.minimum(length[one], length[two])[cross]


def _is_over(crosses: shapely.Geometry, symbol: Symbol, label: Label) -> bool:
    return MARK in label.sets and bool(shapely.distance(_area(symbol, (label,)), crosses) <= AROUND)


def _area(symbol: Symbol, labels: tuple[Label, ...]) -> shapely.Geometry:
    """The area from an outlet to those of the labels that are of protection."""
    at = [label.at for label in labels if MARK in label.sets]
    return shapely.union(symbol.footprint, shapely.MultiPoint(at)).convex_hull


def _unsure(label: Label) -> Label:
    return replace(label, sets=tuple(("protection_unsure" if n == "protection" else n, v) for n, v in label.sets))

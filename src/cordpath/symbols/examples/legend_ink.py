"""Which ink beside a row of a legend is its symbol's: whole shapes, without rules and leaders.

Rows stand as close as their texts allow, and a symbol is often higher than its row: the stems of an outlet reach up
beside the row above.  A symbol without its stems is another symbol, so a shape belongs whole to the row that holds
most of it.

Terms: *cell*, the box left or right of a row in which its symbol stands, see legend.py.  *Shape*, strokes that
touch, one after the other.  *Rule*, see legend_frame.py.  *Leader*, a line from a symbol to its
description.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import BoolArray, Box, FloatArray, Sheet
from cordpath.symbols.examples import legend
from cordpath.symbols.examples.doubts import TOUCHING
from cordpath.symbols.examples.legend_frame import COLUMN, CROWDED, LEVEL, TOUCH, reaches, rules, shapes
from cordpath.symbols.examples.legend_lines import Row, drawn_letters

LEADER_GAP = 10.0  # pt between a leader's end and the description
LEADER_END = 1.0  # pt: a leader may run so far into the symbol that it starts from
LEAST_PIECE = 4.0  # pt of a leader that slopes: shorter ones are chords of a curve
TWIN = 0.5  # pt: level lines that begin and end alike are the bars of a symbol
MOST = 0.5  # of a shape's ink: the row that holds more of it has it
LEADER = "a line to its text was taken for a leader"


@dataclass(frozen=True, eq=False)
class RowInk:
    """``strokes``: (n,) those of the row's symbol among the sheet's.  ``near``: (n,) those of any symbol in its
    column.  ``rules_at``: y of level rules and leaders there, pt.  ``said``: what is uncertain about the symbol."""

    strokes: BoolArray
    near: BoolArray
    rules_at: FloatArray
    said: tuple[str, ...] = ()


def row_ink(sheet: Sheet, cell: Box, row: Row) -> RowInk:
    """The strokes of the symbol in the cell, those that leave it above or below among them."""
    xy = sheet.strokes.xy
    wide = (cell[0], cell[1] - legend.TALLEST, cell[2], cell[3] + legend.TALLEST)
    near = np.flatnonzero(reaches(xy, wide) & sheet.strokes.ink())  # a table's rules run past the column
    near = near[~rules(xy[near], cell) & geometry.segments_in_box(xy[near], wide)]
    near = near[~_of_texts(sheet, xy[near], row)]
    leader = _leaders(xy[near], row, cell)
    said = (LEADER,) if (leader & geometry.segments_in_box(xy[near], cell)).any() else ()
    near = near[~leader]
    own, touching = _own(xy[near], cell, (row.box[1], row.box[3]), legend.neighbours(sheet, row))
    strokes = np.zeros(len(xy), bool)
    strokes[near[own]] = True
    about = np.zeros(len(xy), bool)
    about[near] = True
    return RowInk(strokes, about, _rules_at(xy[sheet.strokes.ink()], wide), (*said, TOUCHING) if touching else said)


def _of_texts(sheet: Sheet, xy: FloatArray, row: Row) -> BoolArray:
    """(n,) strokes of drawn letters of the texts that are neither signs nor descriptions."""
    inside = np.zeros(len(xy), bool)
    for box in drawn_letters(sheet, row.side):
        inside |= geometry.segments_in_box(xy, box)
    return inside


def _rules_at(xy: FloatArray, column: Box) -> FloatArray:
    """(k,) heights of the level rules through a column, and of leaders in it."""
    left, right = np.minimum(xy[:, 0], xy[:, 2]), np.maximum(xy[:, 0], xy[:, 2])
    within = np.minimum(right, column[2]) - np.maximum(left, column[0])
    level = (np.abs(xy[:, 3] - xy[:, 1]) <= LEVEL) & (within >= COLUMN)
    return np.asarray(xy[level & (xy[:, 1] >= column[1]) & (xy[:, 1] <= column[3]), 1])


def _own(
    xy: FloatArray, cell: Box, text: tuple[float, float], neighbours: tuple[float, float]
) -> tuple[BoolArray, bool]:
    """(n,) strokes of the shapes most of which lie in the cell, and whether one of them is also a neighbour's.

    ``text``: top and bottom of the row's text: a shape that reaches a neighbour's text and not this one is not its.
    """
    inside = geometry.segments_in_box(xy, cell)
    if not inside.any() or len(xy) > CROWDED:
        return inside, False
    shape = shapes(xy)
    length, top, bottom = geometry.lengths(xy), np.minimum(xy[:, 1], xy[:, 3]), np.maximum(xy[:, 1], xy[:, 3])
    ink = np.bincount(shape, length)
    here = np.bincount(shape, length * _share(top, bottom, cell))
    most = here > MOST * ink
    high, low = np.full(len(ink), np.inf), np.full(len(ink), -np.inf)
    np.minimum.at(high, shape, top)
    np.maximum.at(low, shape, bottom)
    shared = (high <= neighbours[0]) | (low >= neighbours[1])  # it reaches the text of another row
    part = inside | _mostly_here(xy, length * _share(top, bottom, cell), length)
    level = (high <= text[1]) & (low >= text[0])
    own = np.where(shared[shape], part & level[shape], most[shape])
    return np.asarray(own, bool), bool((shared[shape] & own).any())


def _mostly_here(xy: FloatArray, here: FloatArray, length: FloatArray) -> BoolArray:
    """(n,) strokes of lines and outlines most of which lies ``here``, pt of each stroke: what meets at its ends
    is of one symbol, and what crosses or touches it along the way may be of two."""
    piece = geometry.hanging_together(geometry.nodes(xy.reshape(-1, 2), TOUCH))
    return np.asarray((np.bincount(piece, here) > MOST * np.bincount(piece, length))[piece], bool)


def _share(top: FloatArray, bottom: FloatArray, cell: Box) -> FloatArray:
    """(n,) share of each stroke's height that lies in the cell's; of a level stroke all or nothing."""
    height = bottom - top
    within = np.clip(np.minimum(bottom, cell[3]) - np.maximum(top, cell[1]), 0.0, None)
    level = (top >= cell[1]) & (bottom <= cell[3])
    return np.where(height > LEVEL, within / np.maximum(height, LEVEL), level)


def _leaders(xy: FloatArray, row: Row, cell: Box) -> BoolArray:
    """(n,) True for level lines between a symbol and its description.

    A bar of a symbol that ends near the text is none: lines cross it at two places, or another bar in the cell is
    its like: leaders of the rows above and below, which begin and end where it does, are not.
    """
    right, left = np.maximum(xy[:, 0], xy[:, 2]), np.minimum(xy[:, 0], xy[:, 2])
    near = (np.abs(right - row.box[0]) <= LEADER_GAP) | (np.abs(left - row.box[2]) <= LEADER_GAP)
    level = (np.abs(xy[:, 3] - xy[:, 1]) <= LEVEL) & (right - left >= LEADER_GAP)
    beside = geometry.segments_in_box(xy, cell)
    leader = level & near & (np.abs(xy[:, 1] - row.middle) <= row.size / 2)
    for one in np.flatnonzero(leader):  # a row has one, or a few bars that look so
        like = level & beside & (np.abs(left - left[one]) <= TWIN) & (np.abs(right - right[one]) <= TWIN)
        like &= np.abs(xy[:, 1] - xy[one, 1]) > TWIN
        leader[one] = not like.any() and not _crossed(xy, int(one))
    return np.asarray(leader | _bent(xy, leader), bool)


def _bent(xy: FloatArray, leader: BoolArray) -> BoolArray:
    """(n,) the sloping pieces of leaders: they go on from the end of one, and the row above or below has the like
    at the same place, with a level piece as well."""
    steps = np.where((xy[:, 0] <= xy[:, 2])[:, None], xy, xy[:, [2, 3, 0, 1]])  # from left to right
    sloping = (np.abs(xy[:, 3] - xy[:, 1]) > LEVEL) & (geometry.lengths(xy) >= LEAST_PIECE)
    level = (np.abs(xy[:, 3] - xy[:, 1]) <= LEVEL) & (geometry.lengths(xy) >= LEADER_GAP)
    at = shapely.multipoints(xy[leader].reshape(-1, 2))
    ends = shapely.points(xy.reshape(-1, 2))
    bent = sloping & (shapely.distance(ends, at) <= TOUCH).reshape(-1, 2).any(axis=1)
    going_on = (shapely.distance(ends, shapely.multipoints(xy[level].reshape(-1, 2))) <= TOUCH).reshape(-1, 2)
    for one in np.flatnonzero(bent):
        apart = np.abs(steps - steps[one])
        down = np.abs((steps[:, 3] - steps[:, 1]) - (steps[one, 3] - steps[one, 1]))
        like = (apart[:, [0, 2]].max(axis=1) <= TWIN) & (down <= TWIN) & (apart[:, 1] > LEADER_GAP)
        bent[one] = bool((like & going_on.any(axis=1)).any())
    return np.asarray(bent, bool)


def _crossed(xy: FloatArray, one: int) -> bool:
    """Do others cross the line at two places away from its ends?"""
    others = np.delete(xy, one, axis=0)
    met = shapely.intersection(geometry.lines(others), geometry.lines(xy[one : one + 1])[0])
    at = shapely.get_coordinates(met)[:, 0]
    left, right = sorted((float(xy[one, 0]), float(xy[one, 2])))
    at = at[(at > left + LEADER_END) & (at < right - LEADER_END)]
    return bool(len(at) and np.ptp(at) > LEADER_END)

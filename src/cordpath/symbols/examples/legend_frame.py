"""The rules of the table that a legend is drawn in, and where they close a row's cell.

Terms: *cell*, the box left or right of a row in which its symbol stands, see legend.py.  *Rule*, a line of the
table around the rows.  *Frame*, the upright rule behind the column of symbols.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath import geometry
from cordpath.geometry import components
from cordpath.model import BoolArray, Box, FloatArray, IntArray, Strokes

RULE = 0.85  # of the cell's width: a level line so long is a rule
COLUMN, EDGE = 25.0, 0.25  # pt, and of the cell's height: a shorter level line is one where rows part
FULL = 0.97  # of the cell's height: an upright line so long is a rule; bars of symbols are shorter
ROWS = 2.0  # times the cell's height, from which an upright line is a rule whatever it touches
LEVEL = 0.3  # pt out of level or upright in a rule
REACH = 8.0  # times the cell's height above and below it: rules that run past more rows than that are the sheet's
CROWDED = 4000  # strokes about a cell: more are a hatch or a plan, in which shapes are not looked for
TOUCH = 0.3  # pt: ends of strokes are rounded to 1/600 in, and chords cut the corners of a circle


def rules(xy: FloatArray, cell: Box) -> BoolArray:
    """(n,) True for rules of the table."""
    across, down = np.abs(xy[:, 2] - xy[:, 0]), np.abs(xy[:, 3] - xy[:, 1])
    width, height = cell[2] - cell[0], cell[3] - cell[1]
    from_edge = np.minimum(np.abs(xy[:, 1] - cell[1]), np.abs(xy[:, 1] - cell[3]))
    level = (across >= RULE * width) | ((across >= COLUMN) & (from_edge <= EDGE * height))
    rule = ((down <= LEVEL) & level) | ((across <= LEVEL) & (down >= FULL * height))
    rule |= _closing(xy, rule & (down <= LEVEL))
    # In tight rows the stems of an outlet are as high as a row, but they hang on its circle.
    bars = np.flatnonzero(rule & (across <= LEVEL) & (down < ROWS * height))
    rule[bars[_touched(xy[bars], xy[~rule])]] = False
    return np.asarray(rule, bool)


def _closing(xy: FloatArray, level: BoolArray) -> BoolArray:
    """(n,) upright lines from one level rule to another: the sides of a frame about a sign, and the pieces of a
    table's upright rules that are drawn row by row."""
    upright = np.flatnonzero((np.abs(xy[:, 2] - xy[:, 0]) <= LEVEL) & (np.abs(xy[:, 3] - xy[:, 1]) > LEVEL))
    across = shapely.union_all(geometry.lines(xy[level]))
    ends = shapely.points(xy[upright].reshape(-1, 2))
    closing = np.zeros(len(xy), bool)
    closing[upright] = (shapely.distance(ends, across) <= TOUCH).reshape(-1, 2).all(axis=1)
    return closing


def reaching(strokes: Strokes, x: float, top: float, bottom: float) -> tuple[float, float]:
    """From where to where the shapes run that an upright line at ``x`` would cut: a sign that is taken in part is
    another sign."""
    near = (x - COLUMN, top, x + COLUMN, bottom)
    strokes = strokes.take(geometry.segments_in_box(strokes.xy, near))
    xy = strokes.xy[strokes.ink()]
    xy = xy[~rules(xy, near)]
    if not 0 < len(xy) <= CROWDED:
        return x, x
    shape = shapes(xy)
    low, high = np.full(shape.max() + 1, np.inf), np.full(shape.max() + 1, -np.inf)
    np.minimum.at(low, shape, np.minimum(xy[:, 0], xy[:, 2]))
    np.maximum.at(high, shape, np.maximum(xy[:, 0], xy[:, 2]))
    cut = (low < x) & (high > x)
    return float(low[cut].min(initial=x)), float(high[cut].max(initial=x))


def closed(strokes: Strokes, cell: Box, text: float) -> Box:
    """The cell as far as the frame of its column: what lies beyond is no part of the legend.

    ``text``: x of the side of the cell where the description begins or ends.  The frame is the first upright rule
    of a table, as seen from the text, behind which, towards the text, something is drawn: the column's other rule
    stands bare beside the text.
    """
    middle, height = (cell[1] + cell[3]) / 2, cell[3] - cell[1]
    wide = (-np.inf, cell[1] - REACH * height, np.inf, cell[3] + REACH * height)
    xy = strokes.xy[geometry.segments_in_box(strokes.xy, wide) & strokes.ink()]
    across, down = np.abs(xy[:, 2] - xy[:, 0]), np.abs(xy[:, 3] - xy[:, 1])
    at_it = xy[reaches(xy, cell)]  # what else is on the sheet touches nothing of the cell
    inner = at_it[geometry.segments_in_box(at_it, cell) & ~rules(at_it, cell)]
    table = xy[(across <= LEVEL) & (down >= FULL * height)]
    at = table[:, 0]
    table = table[
        (at > cell[0])
        & (at < cell[2])
        & (table[:, [1, 3]].min(axis=1) < middle)
        & (table[:, [1, 3]].max(axis=1) > middle)
    ]
    table = table[
        _of_a_table(table, xy[(down <= LEVEL) & (across >= COLUMN)], ROWS * height) & ~_touched(table, inner)
    ]
    if not len(table) or not len(inner):
        return cell
    left = abs(text - cell[2]) <= abs(text - cell[0])
    nearest = np.minimum(inner[:, 0], inner[:, 2]).max() if left else np.maximum(inner[:, 0], inner[:, 2]).min()
    at = table[:, [0, 2]].mean(axis=1)
    behind = at[at < nearest] if left else at[at > nearest]
    if not len(behind):
        return cell
    edge = float(behind.max() if left else behind.min())
    return (edge, cell[1], cell[2], cell[3]) if left else (cell[0], cell[1], edge, cell[3])


def shapes(xy: FloatArray) -> IntArray:
    """(n,) the number of each stroke's shape."""
    drawn = geometry.lines(xy)
    one, two = shapely.STRtree(drawn).query(drawn, predicate="dwithin", distance=TOUCH)
    return components(np.asarray(one, np.int64), np.asarray(two, np.int64), len(xy))[1]


def reaches(xy: FloatArray, box: Box) -> BoolArray:
    """(n,) Does the box around a stroke come as near to the other box as ends touch?"""
    low, high = np.minimum(xy[:, :2], xy[:, 2:]), np.maximum(xy[:, :2], xy[:, 2:])
    near = (low <= np.array(box[2:]) + TOUCH) & (high >= np.array(box[:2]) - TOUCH)
    return np.asarray(near.all(axis=1), bool)


def _of_a_table(upright: FloatArray, level: FloatArray, tall: float) -> BoolArray:
    """(n,) which upright lines run past several rows or meet a level rule: a bar of a symbol does neither."""
    return np.asarray(_touched(upright, level) | (geometry.lengths(upright) >= tall), bool)


def _touched(xy: FloatArray, others: FloatArray) -> BoolArray:
    """(n,) Is one of the others at the line?"""
    touched = np.zeros(len(xy), bool)
    tree = shapely.STRtree(geometry.lines(others))
    touched[tree.query(geometry.lines(xy), predicate="dwithin", distance=TOUCH)[0]] = True
    return touched

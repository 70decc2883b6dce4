"""Arrows that lead from a text to a symbol that was found: leaders with their heads, and no symbols of their own.

A short leader and its arrowhead hang together and are as large as a symbol.  Drawn three times it was a shape that
the mapping file does not name, and a starter file had it as one to be named.

Terms: *shaft*, the one stroke of a group that is about as long as the group; *tip*, the end of it with all the
other strokes; *tail*, the other end.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, Sheet, Symbol
from cordpath.symbols.labels.leaders import AIMED, FROM
from cordpath.symbols.unexplained.groups import Groups

SHAFT = 0.85  # of the diagonal of the group's box: a head at its end makes the box a little larger
HEAD = 9.0  # pt, 1/8 in: longer heads are none of leaders (common practice, no source)
LEAST_STROKES = 3  # a shaft and the two sides of an open head
EDGE = 0.3  # pt: rounding


def pointers(groups: Groups, xy: FloatArray, sheet: Sheet, symbols: tuple[Symbol, ...]) -> BoolArray:
    """(g,) True for groups of the strokes (n, 4) that are an arrow from a word of the sheet to one of the symbols.

    Both are asked for: a symbol may be drawn like an arrow, and then leads from no text to another symbol.
    """
    found = np.zeros(len(groups), bool)
    words = np.array([word.box for word in sheet.words if word.text.strip()]).reshape(-1, 4)
    if not len(groups) or not len(words) or not symbols:
        return found
    bodies = np.array([symbol.footprint for symbol in symbols], dtype=object)
    tree = shapely.STRtree(shapely.box(*words.T)), shapely.STRtree(bodies)
    boxes = shapely.box(*groups.box.T)
    at_word = tree[0].query(boxes, "dwithin", FROM)[0]
    at_body = tree[1].query(boxes, "dwithin", AIMED)[0]
    asked = sorted({*at_word.tolist()} & {*at_body.tolist()})
    xy = xy[geometry.near_boxes(geometry.boxes_around(xy), groups.box[asked], EDGE)]
    inside = shapely.STRtree(shapely.points(xy.reshape(-1, 2)))
    for k in asked:
        x0, y0, x1, y1 = groups.box[k]
        at = inside.query(shapely.box(x0 - EDGE, y0 - EDGE, x1 + EDGE, y1 + EDGE), predicate="covers")
        stroke, count = np.unique(at // 2, return_counts=True)
        arrow = _arrow(xy[stroke[count == 2]], float(np.hypot(x1 - x0, y1 - y0)))
        if arrow is not None:
            tail, tip = shapely.points(arrow)
            found[k] = bool(len(tree[0].query(tail, "dwithin", FROM)) and len(tree[1].query(tip, "dwithin", AIMED)))
    return found


def _arrow(strokes: FloatArray, across: float) -> FloatArray | None:
    """(2, 2) tail and tip of an arrow that the strokes (n, 4) of a group are; None where they are none."""
    if len(strokes) < LEAST_STROKES:
        return None
    length = geometry.lengths(strokes)
    shaft = int(np.argmax(length))
    if length[shaft] < SHAFT * across or length[shaft] < HEAD:
        return None
    line = strokes[shaft].reshape(2, 2)
    others = strokes[length < SHAFT * across].reshape(-1, 2)
    for tail, tip in (line, line[::-1]):
        if len(others) and (np.hypot(*(others - tip).T) <= HEAD).all():
            return np.array([tail, tip])
    return None

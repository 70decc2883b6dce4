"""Rows of a panel schedule that slanting lines cross out: a row, a part of the table, all of it, or a mark only.

A level line through a word is told in words.py.  Terms: *piece*, a stroke of a line that is drawn broken, or that a
writer cut.
"""

from __future__ import annotations

import numpy as np
from scipy.spatial import cKDTree

from cordpath.circuits.panels.marks import speaks_of_gfci
from cordpath.circuits.panels.tables import Half
from cordpath.circuits.panels.words import Reading, Text
from cordpath.geometry import OFF_SQUARE_PT, components
from cordpath.model import BoolArray, Box, FloatArray

CROSSED = 0.5  # of the width of a half, from its first header to its last: a leader or a dimension runs over less
LEAST_CROSS_PT = 36.0  # half an inch along the text: no line that crosses out a row of a table is shorter
LEAST_PIECE_PT = 1.0  # along the text: shorter strokes have no direction to speak of, and are letters or dots
LEAST_RISE_PT = 0.02  # a piece that is more level than pens round to is one of a ruling
OFF_LINE_PT = 4.0  # by which short pieces of one line miss each other at the sides of a half
GAP_PT = 12.0  # longest gap between pieces: common linetypes plot gaps up to 8 pt (common practice, no source)
DRAWN = 0.3  # of a broken line is pieces
OVER_MARK = 0.7  # of a mark's width that a line over it covers
NEAR_MIDDLE = 0.75  # font sizes from the middle of a mark to a line over it: the cross of a cell is not the word's
STEEPEST = 3.0  # rise over run of a line over a mark


def crossed(half: Half, reading: Reading) -> frozenset[int]:
    """Numbers of the rows, by anchor, that a slanting line crosses out, or the mark of which."""
    heads = [field.head for field in half.fields]
    x0, x1 = min(head.x0 for head in heads), max(head.x1 for head in heads)
    if x1 <= x0 or not len(reading.strokes):
        return frozenset()
    box = (x0, half.top, x1, half.bottom)
    order = np.argsort(reading.strokes[:, :, 0], axis=1)[:, :, None]
    strokes = np.take_along_axis(reading.strokes, order, axis=1)
    low, high = strokes[:, :, 1].min(axis=1), strokes[:, :, 1].max(axis=1)
    here = (strokes[:, 0, 0] < half.x1) & (strokes[:, 1, 0] > half.x0) & (low < half.bottom) & (high > half.top)
    strokes = strokes[here]
    run, rise = np.abs(strokes[:, 1] - strokes[:, 0]).T
    slanting = strokes[np.minimum(run, rise) >= OFF_SQUARE_PT]
    long = slanting[slanting[:, 1, 0] - slanting[:, 0, 0] >= LEAST_CROSS_PT]
    lines = np.concatenate([long, _broken(strokes[(run >= LEAST_PIECE_PT) & (rise >= LEAST_RISE_PT)], box)])
    return _rows(half, lines, x0, x1) | _marks(half, reading, slanting)


def _rows(half: Half, lines: FloatArray, x0: float, x1: float) -> frozenset[int]:
    """Rows whose height a line over most of the half's width passes."""
    (ax, ay), (bx, by) = lines.transpose(1, 2, 0)
    left, right = np.maximum(ax, x0), np.minimum(bx, x1)
    over = right - left >= CROSSED * (x1 - x0)
    rise = (by - ay) / (bx - ax)
    ends = np.stack([ay + rise * (left - ax), ay + rise * (right - ax)])[:, over]
    return frozenset(
        k for k, anchor in enumerate(half.anchors)
        if ((ends.min(axis=0) <= anchor.y1) & (ends.max(axis=0) >= anchor.y0)).any()
    )  # fmt: skip


def _broken(pieces: FloatArray, box: Box) -> FloatArray:
    """(k, 2, 2) lines that pieces in a box make up, over most of its width.

    Two pieces are of one line where they would meet the left and the right side of the box at the same heights.
    """
    x0, y0, x1, y1 = box
    (ax, ay), (bx, by) = pieces.transpose(1, 2, 0)
    slope = (by - ay) / (bx - ax)
    sides = np.stack([ay + slope * (x0 - ax), ay + slope * (x1 - ax)], axis=1)
    spare = (y1 - y0) * (1 / CROSSED - 1) + OFF_LINE_PT
    near = ((sides >= y0 - spare) & (sides <= y1 + spare)).all(axis=1)
    pieces, sides = pieces[near], sides[near]
    if len(pieces) < 2:
        return np.zeros((0, 2, 2))
    one, two = cKDTree(sides).query_pairs(OFF_LINE_PT, output_type="ndarray").T
    _, label = components(one, two, len(pieces))
    order = np.lexsort((pieces[:, 0, 0], label))
    parts = np.split(pieces[order], np.flatnonzero(np.diff(label[order])) + 1)
    return np.array([[p[0, 0], p[-1, 1]] for p in parts if _is_line(p, x1 - x0)]).reshape(-1, 2, 2)


def _is_line(pieces: FloatArray, width: float) -> bool:
    """Do pieces, from left to right, make up a slanting line over most of a width?"""
    start, end = pieces[:, 0, 0], np.maximum.accumulate(pieces[:, 1, 0])
    long, rise = end[-1] - start[0], abs(pieces[-1, 1, 1] - pieces[0, 0, 1])
    together = (start[1:] - end[:-1] <= GAP_PT).all() and (end - start).sum() >= DRAWN * long
    return bool(together and long >= CROSSED * width and rise >= OFF_SQUARE_PT)


def _marks(half: Half, reading: Reading, lines: FloatArray) -> frozenset[int]:
    """Rows with a mark of GFCI that a line runs over."""
    ticked = [field for field in half.fields if field.kind == "gfci"]
    marks = [
        word for word in reading.words
        if half.x0 <= word.x < half.x1 and half.top < word.y < half.bottom
        and (speaks_of_gfci(word.text) or any(field.x0 <= word.x < field.x1 for field in ticked))
    ]  # fmt: skip
    heights = np.array([anchor.y for anchor in half.anchors])
    return frozenset(int(np.abs(heights - w.y).argmin()) for w in marks if _over(w, lines).any())


def _over(word: Text, lines: FloatArray) -> BoolArray:
    """(n,) True for lines that run over a word, near its middle."""
    (ax, ay), (bx, by) = lines.transpose(1, 2, 0)
    slope = (by - ay) / (bx - ax)
    cover = np.minimum(bx, word.x1) - np.maximum(ax, word.x0)
    middle = np.abs(ay + slope * (word.x - ax) - word.y) <= NEAR_MIDDLE * word.size
    return np.asarray(middle & (cover >= OVER_MARK * (word.x1 - word.x0)) & (np.abs(slope) <= STEEPEST), bool)

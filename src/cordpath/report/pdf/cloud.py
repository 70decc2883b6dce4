"""The revision cloud: arcs that bulge outward along a rectangle, as it is drawn on plans.

Terms: *arc*, one bulge between two neighbouring points of the rectangle; *rise*, how far it stands out;
*unit*, the factor by which marks grow on large sheets.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import NDArray

from cordpath.geometry import grown, hull
from cordpath.model import Box, FloatArray, Point
from cordpath.report.pdf.canvas import Curve

ARC_CHORD = 6.5  # pt, about 1/11 in on paper: bulges that still read as a cloud on a half-size print
RISE = 0.36  # of the chord: a little flatter than a half circle (0.5), so that neighbours meet in a clear cusp
FEWEST = 2  # arcs a side
LEAST_SIDE = 20.0  # pt: a smaller cloud is a blot on a half-size print
TIGHT_SIDE = 2 * ARC_CHORD  # pt: two arcs a side, where a larger one would touch a neighbour
WORD_REACH = 26.0  # pt that a side may move out to take a word in: two lines of plan text, or one of a few letters
WORD_MARGIN = 1.5  # pt kept between a word and the arcs
WORD_ROUNDS = 3  # a word that is taken in may bring the edge onto the next one


def cloud_box(box: Box, margin: float, unit: float = 1.0, least: float = LEAST_SIDE) -> Box:
    """The rectangle that the arcs stand on: ``box`` grown by ``margin``, at least ``least`` x ``unit`` a side."""
    spread = []
    for low, high in ((box[0], box[2]), (box[1], box[3])):
        half = max((high - low) / 2 + margin, least * unit / 2)
        spread.append(((low + high) / 2 - half, (low + high) / 2 + half))
    (x0, x1), (y0, y1) = spread
    return (x0, y0, x1, y1)


def outer_box(box: Box, pen: float, unit: float = 1.0) -> Box:
    """All that the cloud on ``box`` inks."""
    rise_x, rise_y = (RISE * side / _arcs(side, unit) for side in (box[3] - box[1], box[2] - box[0]))
    return (box[0] - rise_x - pen, box[1] - rise_y - pen, box[2] + rise_x + pen, box[3] + rise_y + pen)


def around_words(
    box: Box, words: FloatArray, others: FloatArray, pen: float, unit: float = 1.0, rest: FloatArray | None = None
) -> Box:
    """The cloud's rectangle moved out around words that its arcs would strike through, such as the outlet's label.

    ``words``, ``others``, ``rest``: (n, 4) boxes; it never moves onto ``others``, and stays where fewer words of
    ``words`` and ``rest`` together are struck as it is.
    """
    reach = WORD_REACH * unit
    near = (words[:, :2] >= np.array(box[:2]) - reach).all(axis=1) & (
        words[:, 2:] <= np.array(box[2:]) + reach
    ).all(axis=1)
    others = others[~_meeting(others, outer_box(box, pen, unit))]  # two on one wall meet as they are
    best = box
    for _ in range(WORD_ROUNDS):
        struck = words[near & _struck(best, words, pen, unit)]
        before = best
        for word in struck[np.argsort(_gap(best, struck), kind="stable")]:
            grown = _with_word(best, word)
            if not _meeting(others, outer_box(grown, pen, unit)).any():
                best = grown
        if best == before:
            break
    every = words if rest is None else np.concatenate([words, rest])
    return best if _struck(best, every, pen, unit).sum() < _struck(box, every, pen, unit).sum() else box


def _with_word(box: Box, word: FloatArray) -> Box:
    x0, y0, x1, y1 = word.tolist()
    return hull((box, grown((x0, y0, x1, y1), WORD_MARGIN)))


def _gap(box: Box, words: FloatArray) -> FloatArray:
    """(n,) how far a side has to move out for each word."""
    out = np.concatenate([np.array(box[:2]) - words[:, :2], words[:, 2:] - np.array(box[2:])], axis=1)
    gap: FloatArray = out.max(axis=1, initial=0.0)
    return gap


def _struck(box: Box, words: FloatArray, pen: float, unit: float) -> NDArray[np.bool_]:
    """(n,) which words the arcs run through: they reach into the outer box and are not wholly inside."""
    met = _meeting(words, outer_box(box, pen, unit))
    within = (words[:, 0] >= box[0]) & (words[:, 2] <= box[2]) & (words[:, 1] >= box[1]) & (words[:, 3] <= box[3])
    return np.asarray(met & ~within, bool)


def _meeting(boxes: FloatArray, box: Box) -> NDArray[np.bool_]:
    low, high = np.array(box[:2]), np.array(box[2:])
    return np.asarray(((boxes[:, :2] < high) & (boxes[:, 2:] > low)).all(axis=1), bool)


def cloud_curves(box: Box, unit: float = 1.0) -> tuple[Point, list[Curve]]:
    """Start point and cubics, once around."""
    x0, y0, x1, y1 = box
    corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]
    curves: list[Curve] = []
    for start, end in itertools.pairwise(corners):
        count = _arcs(math.dist(start, end), unit)
        stops = [
            (start[0] + (end[0] - start[0]) * k / count, start[1] + (end[1] - start[1]) * k / count)
            for k in range(count + 1)
        ]
        curves += [_bulge(a, b) for a, b in itertools.pairwise(stops)]
    return corners[0], curves


def _arcs(side: float, unit: float) -> int:
    return max(FEWEST, round(side / (ARC_CHORD * unit)))


def _bulge(a: Point, b: Point) -> Curve:
    """One arc from a to b, to the left of the way when y runs down: outward for a rectangle run clockwise as seen.

    Half angle from rise over chord, tan(angle / 2) = 2 rise / chord; control length 4/3 r tan(angle / 2), the usual
    cubic for an arc of twice that angle (under 0.5 % off for these flat arcs).
    """
    chord = math.dist(a, b)
    tx, ty = (b[0] - a[0]) / chord, (b[1] - a[1]) / chord
    nx, ny = ty, -tx
    half = 2 * math.atan(2 * RISE)
    radius = chord / (2 * math.sin(half))
    reach = 4 / 3 * math.tan(half / 2) * radius
    along, out = reach * math.cos(half), reach * math.sin(half)
    return (
        (a[0] + along * tx + out * nx, a[1] + along * ty + out * ny),
        (b[0] - along * tx + out * nx, b[1] - along * ty + out * ny),
        b,
    )

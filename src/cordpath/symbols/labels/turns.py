"""Texts that run at any angle: the box of each as it is read, and the area that it covers on the page.

The sheet knows the upright box around each word.  That of a word at 45 degrees is a square many times as large as
its letters: words beside each other seemed to overlap, or to lie far apart, and a label covered its neighbours.

Terms: *turn*, the reading direction in degrees, rounded so that texts of one direction have one.  *Reading box*,
the box in the frame in which a text of its turn reads from left to right and lines follow downwards.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.model import Box, FloatArray, IntArray, Word

STEP = 2.0  # degrees: texts within so much of upright or vertical count as that
TELLS = 0.1  # share of the sides' difference that a box shows; nearer to 45 degrees it is a square of any text
# Heights of word boxes of fonts are 1.0 to 1.16 of the size (Nimbus Sans, DejaVu Sans); lettering's are the size.
HIGH, HIGH_FONT = 1.0, 1.08
LEAST, MOST = 0.5, 2.0  # of the size: other heights show that a box is none around a turned word


def turns(angle: FloatArray) -> FloatArray:
    """(n,) of reading directions (n,)."""
    right = np.rint(angle / 90.0) * 90.0
    return np.where(np.abs(angle - right) <= STEP, right, np.rint(angle)) % 360.0


def reading_boxes(words: tuple[Word, ...], which: IntArray) -> tuple[FloatArray, FloatArray]:
    """(n, 4) the reading boxes of the words, and (n,) their turns."""
    angle = np.array([words[i].angle for i in which], float)
    turn = turns(angle)
    box = np.array([words[i].box for i in which], float).reshape(-1, 4)
    middle, half = (box[:, :2] + box[:, 2:]) / 2, (box[:, 2:] - box[:, :2]) / 2
    at = np.c_[_along(middle, turn), _down(middle, turn)]
    upright, across = turn % 180 == 0, turn % 180 == 90
    size = np.array([words[i].size for i in which], float)
    usual = size * np.where([words[i].origin == "font" for i in which], HIGH_FONT, HIGH) / 2
    sides = np.where(across[:, None], half[:, ::-1], half)
    slanted = ~upright & ~across
    sides[slanted] = _sides(half[slanted], angle[slanted], usual[slanted], size[slanted])
    return np.c_[at - sides, at + sides], turn


def _sides(half: FloatArray, angle: FloatArray, usual: FloatArray, size: FloatArray) -> FloatArray:
    """(n, 2) half the length and half the height of turned words, of half the upright boxes (n, 2) around them."""
    c, s = np.abs(np.cos(np.radians(angle))), np.abs(np.sin(np.radians(angle)))
    differ = c * c - s * s
    exact = np.abs(differ) >= TELLS
    apart = np.where(exact, differ, 1.0)
    high = (half[:, 1] * c - half[:, 0] * s) / apart
    exact &= (high >= LEAST / 2 * size) & (high <= MOST / 2 * size)
    high = np.where(exact, high, usual)
    return np.c_[np.maximum(half.sum(axis=1) / (c + s) - high, 0.0), high]


def box_tells(turn: float) -> bool:
    """Does the upright box around a word tell its length?  Near 45 degrees it is a square of any text."""
    return abs(np.cos(np.radians(2 * turn))) >= TELLS


def on_page(boxes: FloatArray, turn: FloatArray) -> NDArray[np.object_]:
    """(n,) areas of the page of reading boxes (n, 4)."""
    x0, y0, x1, y1 = np.asarray(boxes, float).reshape(-1, 4).T
    corner = np.stack([np.c_[x1, y0], np.c_[x1, y1], np.c_[x0, y1], np.c_[x0, y0]], axis=1)
    back = -np.asarray(turn, float)[:, None]
    return np.asarray(shapely.polygons(np.stack([_along(corner, back), _down(corner, back)], axis=2)), object)


def ends(boxes: FloatArray, turn: FloatArray) -> tuple[FloatArray, FloatArray]:
    """(n, 2) each, on the page: the middles of the left and the right ends of reading boxes."""
    middle, back = (boxes[:, 1] + boxes[:, 3]) / 2, -turn
    left, right = np.c_[boxes[:, 0], middle], np.c_[boxes[:, 2], middle]
    return np.c_[_along(left, back), _down(left, back)], np.c_[_along(right, back), _down(right, back)]


def around(boxes: FloatArray) -> Box:
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    return (float(low[0]), float(low[1]), float(high[0]), float(high[1]))


def _along(points: FloatArray, turn: FloatArray) -> FloatArray:
    c, s = _ways(turn)
    return np.asarray(points[..., 0] * c - points[..., 1] * s)


def _down(points: FloatArray, turn: FloatArray) -> FloatArray:
    c, s = _ways(turn)
    return np.asarray(points[..., 0] * s + points[..., 1] * c)


def _ways(turn: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Cosine and sine, exact for right angles."""
    t = np.radians(turn)
    return np.asarray(np.round(np.cos(t), 12), float), np.asarray(np.round(np.sin(t), 12), float)

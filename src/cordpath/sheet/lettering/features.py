"""A glyph as numbers: what the classifier sees.

Terms: *glyph*, the strokes or the outline of one letter, figure or mark; *reading frame*, x along the line of text,
y downwards as read; *cap height*, the height of capitals of its line; *base*, the y on which they stand.

Strokes come in any order, cut anywhere and drawn twice, so a glyph is described by places and directions of points
sampled along it, never by the order of its strokes.  Directions of strokes in cells of a grid: for instance Liu,
Nakashima, Sako and Fujisawa, "Handwritten digit recognition: benchmarking of state-of-the-art techniques", Pattern
Recognition 36 (2003), from memory; so is their way to keep slim glyphs slim (:func:`_fit`).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from cordpath.model import BoolArray, FloatArray, IntArray

CELLS = 8  # cells a side for directions
DIRECTIONS = 4  # 0, 45, 90 and 135 degrees
PIXELS = 16  # pixels a side for ink
SAMPLE = 1 / 48  # of the glyph's larger side: distance of sampled points, a third of a pixel
MARGIN = 0.06  # of the frame, left free on every side
FLAT = 0.02  # of the larger side: a glyph slimmer than this is a line
CONTEXT = 7
BLOCK = 256  # glyphs described at a time
SIZE = DIRECTIONS * CELLS * CELLS + PIXELS * PIXELS + CONTEXT

Features = NDArray[np.float32]


def describe(
    xy: FloatArray, owner: IntArray, filled: BoolArray, base: FloatArray, cap: FloatArray, box: FloatArray
) -> Features:
    """(g, SIZE) features of g glyphs.  ``xy`` (n, 4) strokes in the reading frame, ``owner`` (n,) their glyphs,
    ascending.  ``filled`` (g,): the strokes are the edge of an area; ``base``, ``cap`` (g,) of the line, cap 0
    unknown."""
    count = len(filled)
    out = np.zeros((count, SIZE), np.float32)
    cut = np.searchsorted(owner, np.arange(0, count + BLOCK, BLOCK))
    for block, (start, end) in enumerate(pairwise(cut.tolist())):  # few at a time stay in the processor's cache
        low, high = block * BLOCK, min((block + 1) * BLOCK, count)
        out[low:high] = _described(
            xy[start:end], owner[start:end] - low, filled[low:high], base[low:high], cap[low:high], box[low:high]
        )
    return out


def _described(
    xy: FloatArray, owner: IntArray, filled: BoolArray, base: FloatArray, cap: FloatArray, box: FloatArray
) -> FloatArray:
    count = len(filled)
    unit = _fit(xy, owner, box)
    at, direction, weight, who = _samples(unit, owner)
    cells = _directions(at, direction, weight, who, count)
    ink = np.zeros((count, PIXELS * PIXELS)) if filled.all() else _lines(at, weight, who, count)
    if filled.any():
        ink = np.where(filled[:, None], _areas(unit, owner, filled, count), ink)
    return np.concatenate([cells, ink, _context(box, filled, base, cap)], axis=1)


def upside_down(features: Features) -> Features:
    """The features of the same glyphs, read from the other side of the page."""
    cells = DIRECTIONS * CELLS * CELLS
    direction = features[:, :cells].reshape(-1, DIRECTIONS, CELLS, CELLS)[:, :, ::-1, ::-1]
    ink = features[:, cells : cells + PIXELS * PIXELS].reshape(-1, PIXELS, PIXELS)[:, ::-1, ::-1]
    context = features[:, -CONTEXT:].copy()
    known = context[:, 1] > 0
    above, below = context[:, 4].copy(), context[:, 5].copy()
    context[known, 4] = np.clip(2.0 - below[known], -2, 4)
    context[known, 5] = np.clip(2.0 - above[known], -2, 4)
    n = len(features)
    return np.concatenate([direction.reshape(n, -1), ink.reshape(n, -1), context], axis=1)


def _fit(xy: FloatArray, owner: IntArray, box: FloatArray) -> FloatArray:
    """Strokes moved into the unit square: the larger side fills it, the smaller is stretched by a root of sines."""
    size = box[:, 2:] - box[:, :2]
    large = np.maximum(size.max(axis=1), 1e-9)
    slim = size / large[:, None]
    length = (1 - 2 * MARGIN) * np.sqrt(np.sin(np.pi / 2 * slim))
    scale = np.where(slim > FLAT, length / np.maximum(size, 1e-9), 0.0)
    middle = (box[:, :2] + box[:, 2:]) / 2
    shifted = xy.reshape(-1, 2, 2) - middle[owner][:, None, :]
    return (0.5 + shifted * scale[owner][:, None, :]).reshape(-1, 4)


def _samples(unit: FloatArray, owner: IntArray) -> tuple[FloatArray, FloatArray, FloatArray, IntArray]:
    """Points along the strokes: place (s, 2), direction (s,) in radians, share of length (s,), glyph (s,)."""
    run = unit[:, 2:] - unit[:, :2]
    length = np.hypot(run[:, 0], run[:, 1])
    count = np.ceil(length / SAMPLE).astype(np.int64) + 1
    stroke = np.repeat(np.arange(len(unit)), count)
    step = np.arange(len(stroke)) - np.repeat(np.cumsum(count) - count, count)
    share = (step + 0.5) / count[stroke]
    at = unit[stroke, :2] + run[stroke] * share[:, None]
    direction = np.arctan2(run[:, 1], run[:, 0]) % np.pi
    weight = np.maximum(length, SAMPLE / 2) / count
    return at, direction[stroke], weight[stroke], owner[stroke]


def _spread(
    at: FloatArray,
    side: int,
    who: IntArray,
    count: int,
    planes: int,
    weights: Sequence[tuple[IntArray | int, FloatArray]],
) -> FloatArray:
    """(count, planes x side x side) sums of weights, each shared among the four nearest cells.  ``weights``: planes
    of the samples, and (s,) weights there."""
    place = np.clip(at * side - 0.5, 0.0, side - 1.0)
    low = np.minimum(place.astype(np.int64), side - 2)
    right, under = (place - low).T
    left, over = 1 - right, 1 - under
    shares = ((left * over, 0), (left * under, side), (right * over, 1), (right * under, side + 1))
    corner = low[:, 1] * side + low[:, 0]
    total = np.zeros(count * planes * side * side)
    for plane, weight in weights:
        first = (who * planes + plane) * (side * side) + corner
        for share, step in shares:
            total += np.bincount(first + step, weight * share, len(total))
    return total.reshape(count, -1)


def _directions(at: FloatArray, direction: FloatArray, weight: FloatArray, who: IntArray, count: int) -> FloatArray:
    turn = direction / (np.pi / DIRECTIONS)
    low = np.floor(turn).astype(np.int64)
    part = turn - low
    both = (low % DIRECTIONS, weight * (1 - part)), ((low + 1) % DIRECTIONS, weight * part)
    flat = _spread(at, CELLS, who, count, DIRECTIONS, both)
    flat = 6.0 * flat / (np.linalg.norm(flat, axis=1, keepdims=True) + 1e-6)
    return np.sqrt(flat + 1e-6)


def _lines(at: FloatArray, weight: FloatArray, who: IntArray, count: int) -> FloatArray:
    """Ink of strokes: a pixel that a stroke crosses in full is black."""
    return np.minimum(_spread(at, PIXELS, who, count, 1, [(0, weight * PIXELS)]), 1.0)


def _areas(unit: FloatArray, owner: IntArray, filled: BoolArray, count: int) -> FloatArray:
    """Ink of filled areas by the even-odd rule, on rows and columns at twice the resolution of the pixels."""
    side = 2 * PIXELS
    edge = unit[filled[owner]] * side - 0.5
    who = owner[filled[owner]]
    low = np.ceil(np.minimum(edge[:, 1], edge[:, 3])).astype(np.int64)
    high = np.ceil(np.maximum(edge[:, 1], edge[:, 3])).astype(np.int64)  # rows low .. high - 1 are crossed
    low, high = np.clip(low, 0, side), np.clip(high, 0, side)
    crossed = np.maximum(high - low, 0)
    stroke = np.repeat(np.arange(len(edge)), crossed)
    row = np.arange(len(stroke)) - np.repeat(np.cumsum(crossed) - crossed, crossed) + low[stroke]
    rise = edge[stroke, 3] - edge[stroke, 1]
    x = edge[stroke, 0] + (row - edge[stroke, 1]) / np.where(rise == 0, 1.0, rise) * (
        edge[stroke, 2] - edge[stroke, 0]
    )
    column = np.clip(np.ceil(x), 0, side).astype(np.int64)
    flips = np.bincount((who[stroke] * side + row) * (side + 1) + column, minlength=count * side * (side + 1))
    inside = np.cumsum(flips.reshape(count, side, side + 1), axis=2)[:, :, :side] % 2
    return inside.reshape(count, PIXELS, 2, PIXELS, 2).mean(axis=(2, 4)).reshape(count, -1)


def _context(box: FloatArray, filled: BoolArray, base: FloatArray, cap: FloatArray) -> FloatArray:
    """Proportion, and size and place against the line's capitals."""
    wide, high = box[:, 2] - box[:, 0], box[:, 3] - box[:, 1]
    least = 0.02 * np.maximum(wide, high) + 1e-9
    known = cap > 0
    unit = np.where(known, cap, 1.0)
    place = np.column_stack([
        np.minimum(wide / unit, 2), np.minimum(high / unit, 2),
        np.clip((base - box[:, 1]) / unit, -1, 2), np.clip((base - box[:, 3]) / unit, -1, 2),
    ])  # fmt: skip
    place = np.where(known[:, None], place, 0.0)
    return np.column_stack([
        np.log2((wide + least) / (high + least)) / 2, 2.0 * known, 2.0 * place, 2.0 * filled
    ])  # fmt: skip

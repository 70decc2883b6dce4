"""Bubbles of which the key could not be read: rings, hexagons and boxes with ink in them and no word.

The 1 of many faces is a bar, which is believed to be no figure: in a bubble it is as likely the key of a note.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import shapely

from cordpath.geometry import group_boxes, hanging_together, lengths, nodes
from cordpath.model import WHITE, BoolArray, FloatArray, Sheet, Symbol, Word

UNREAD = "\ufffd"  # what a bubble says whose key was not read
SMALL, LARGE = 8.0, 30.0  # pt: sides of a bubble (1/8 to 3/8 in, common practice)
OBLONG = 1.6  # ratio of its sides
TOUCH = 0.35  # pt between the ends of its strokes: pens round to 1/600 in
LEAST_SIDES = 4
INSIDE = 0.8  # of the bubble's side: what is in it is smaller


def with_unread_bubbles(sheet: Sheet, symbols: Iterable[Symbol] = ()) -> Sheet:
    """The sheet with a word in each bubble of which nothing was read.  ``symbols``: others with ink in rings."""
    free = sheet.strokes.ink()
    for symbol in symbols:
        free[symbol.strokes] = False
    half = SMALL / 2
    words = [
        Word(UNREAD, (x - half, y - half, x + half, y + half), 0.0, SMALL, -1)
        for x, y in unread_bubbles(sheet, free).tolist()
    ]
    return replace(sheet, words=(*sheet.words, *words))


def unread_bubbles(sheet: Sheet, free: BoolArray) -> FloatArray:
    """(n, 2) middles of bubbles with ink in them and no word.  ``free``: strokes that may be theirs."""
    use = free & (lengths(sheet.strokes.xy) <= LARGE)
    xy = sheet.strokes.xy[use]
    if not len(xy):
        return np.zeros((0, 2))
    node = nodes(xy.reshape(-1, 2), TOUCH)
    group = hanging_together(node)
    box = group_boxes(xy, group, int(group.max()) + 1)
    sides = _sides(box)
    loose = np.bincount(group, (np.bincount(node)[node] == 1).reshape(-1, 2).any(axis=1))
    shape = (sides.min(axis=1) >= SMALL) & (sides.max(axis=1) <= np.minimum(LARGE, OBLONG * sides.min(axis=1)))
    frames = box[shape & (loose == 0) & (np.bincount(group) >= LEAST_SIDES)]
    if not len(frames):
        return frames[:, :2]
    dark = (sheet.fills.luminance < WHITE) & (sheet.fills.opacity > 0)
    ink = np.concatenate([box, shapely.bounds(sheet.fills.shape[dark]).reshape(-1, 4)])
    at = np.array([word.at for word in sheet.words], float).reshape(-1, 2)
    areas = shapely.STRtree(shapely.box(*frames.T))
    inside, frame = areas.query(shapely.points((ink[:, :2] + ink[:, 2:]) / 2), predicate="within")
    small = _sides(ink[inside]).max(axis=1) < INSIDE * _sides(frames[frame]).min(axis=1)
    read = areas.query(shapely.points(at), predicate="within")[1]
    found = frames[np.setdiff1d(frame[small], read)]
    return np.asarray((found[:, :2] + found[:, 2:]) / 2, float)


def _sides(box: FloatArray) -> FloatArray:
    return np.asarray(box[:, 2:] - box[:, :2], float)

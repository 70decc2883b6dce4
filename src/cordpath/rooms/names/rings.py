"""Words in a ring, in a symbol or right beside it: the letters of a device, which name no room.

Terms: *ring*, a circle or an even polygon of five sides or more drawn close around a short word, as a receptacle
with REC in it has; *half*, half the length of the word.  Four walls around a name are its room, or its box.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, Point, Sheet, Symbol, Word
from cordpath.rooms.names.vocabulary import meaning

CLOSE, WIDE = 0.8, 2.5  # of the half: radius of a ring around its word
BUBBLE = 4.0  # the most around a single letter, as at grid lines: 5/16 in about 1/8 in (common practice, no source)
OFF = 0.35  # of the text size: the middle of a word's box off the middle of the ring
ROUND = 0.06  # of the radius: the middles of a ring's strokes are as far away
TANGENT = 0.5  # cosine between a stroke of a ring and the way out from its middle, at most
SIDE = 75.0  # degrees that a stroke of a ring spans at most: a room with four walls around its name is none
CLOSED = 300.0  # degrees of a ring that are drawn: bars and walls break it
LETTER = 0.6  # of the text size: a letter's width, about
BESIDE = 1.0  # of the text size: a label stands as close to its device
SHORT = 4  # letters of a device
SPACE = 0.75  # of the text size: widest space between two words of one name
SMALLER = 0.85  # of the usual size of names: labels are written smaller
PLAIN = frozenset({"dining", "living", "bedroom", "hall", "closet", "other"})  # kinds that ask for nothing
EDGE = 1.0  # pt: the box of a word is wider than its letters


def without_letters(sheet: Sheet, symbols: tuple[Symbol, ...]) -> Sheet:
    """The sheet without the words that stand in its outlets, whatever is drawn around them, and without the short
    ones right beside them, smaller than the names of rooms: REC, CL, DR and BR are written to devices as well.

    Only names that ask for nothing are taken away: what is left without a name is a question.
    """
    outlets = [symbol.footprint for symbol in symbols if symbol.is_outlet]
    words = sheet.words
    if not outlets or not words:
        return sheet
    tree, boxes = shapely.STRtree(outlets), shapely.box(*np.array([word.box for word in words]).T)
    size = np.array([word.size for word in words])
    inside = np.zeros(len(words), bool)
    inside[shapely.STRtree([area.buffer(EDGE) for area in outlets]).query(boxes, predicate="within")[0]] = True
    beside = np.zeros(len(words), bool)
    beside[tree.query(boxes, predicate="dwithin", distance=BESIDE * size)[0]] = True
    means = [None if (found := meaning(word.text)) is None or not found.sure else found.kind for word in words]
    names = np.array([kind is not None for kind in means])
    if (names & ~beside).any():
        usual = float(np.median(size[names & ~beside]))
        short = np.array([len(word.text) <= SHORT for word in words])
        plain = np.array([kind in PLAIN for kind in means])
        inside |= beside & plain & short & ~_followed(words, boxes, size) & (size <= SMALLER * usual)
    return replace(sheet, words=tuple(word for word, drop in zip(words, inside.tolist(), strict=True) if not drop))


def _followed(words: tuple[Word, ...], boxes: NDArray[np.object_], size: FloatArray) -> BoolArray:
    """(n,) which words stand a space from another one of their line; a wider gap are letters that were not read."""
    line = np.array([word.line for word in words])
    first, second = shapely.STRtree(boxes).query(boxes, predicate="dwithin", distance=SPACE * size)
    pair = (line[first] == line[second]) & (first != second)
    return np.isin(np.arange(len(words)), first[pair])


def in_ring(at: Point, text: str, size: float, xy: FloatArray) -> bool:
    """Is a ring drawn around the word at ``at``?  ``xy``: (n, 4) visible strokes."""
    half = max(1.0, LETTER * len(text)) * size / 2
    wide = WIDE if len(text) > 1 else BUBBLE
    middle = geometry.midpoints(xy)
    away = np.hypot(*(middle - at).T)
    near = (away >= CLOSE * half - OFF * size) & (away <= wide * half + OFF * size)
    lines, middle, away = xy[near], middle[near], away[near]
    keep = _tangent(lines, np.array(at, float)) & (geometry.lengths(lines) <= 2 * wide * half)  # a wall is longer
    lines, middle, away = lines[keep], middle[keep], away[keep]
    turn = _subtended(lines, np.array(at, float))
    slim = turn <= SIDE
    lines, middle, away, turn = lines[slim], middle[slim], away[slim], turn[slim]
    if len(lines) < 3:
        return False
    order = np.argsort(away)
    total = np.r_[0.0, np.cumsum(turn[order])]
    last = np.searchsorted(away[order], away[order] + 2 * OFF * size, side="right")
    first = int(np.argmax(total[last] - total[: len(order)]))
    ring = order[first : last[first]]
    if len(ring) < 3:
        return False
    centre, radius, _ = geometry.circle(middle[ring])
    off = np.hypot(*(middle[ring] - centre).T)
    ring = ring[np.abs(off - np.median(off)) <= 2 * ROUND * radius]  # without rows of tiles or hatch beside it
    centre, radius, _ = geometry.circle(middle[ring])
    if not CLOSE * half <= radius <= wide * half or np.hypot(*(centre - at)) > 2 * OFF * size:
        return False
    on = np.abs(np.hypot(*(middle - centre).T) - radius) <= ROUND * radius
    return float(_subtended(lines[on], centre).sum()) >= CLOSED


def _tangent(lines: FloatArray, at: FloatArray) -> BoolArray:
    """(n,) Do strokes run across the way out from a point?"""
    along = lines[:, 2:] - lines[:, :2]
    out = geometry.midpoints(lines) - at
    size = np.hypot(*along.T) * np.hypot(*out.T)
    return np.asarray(np.abs((along * out).sum(axis=1)) <= TANGENT * np.maximum(size, 1e-9), bool)


def _subtended(lines: FloatArray, at: FloatArray) -> FloatArray:
    """(n,) degrees that strokes span as seen from a point."""
    a, b = (np.arctan2(p[:, 1] - at[1], p[:, 0] - at[0]) for p in (lines[:, :2], lines[:, 2:]))
    return np.asarray(np.degrees(np.abs((b - a + np.pi) % (2 * np.pi) - np.pi)))

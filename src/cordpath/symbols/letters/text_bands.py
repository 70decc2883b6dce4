"""Letters that were not read because they touch other ink, recognised by the letters of their row that were read.

Terms: *band*, of a row: what lies between its base and its top; *piece*, short strokes in a band that touch each
other there, whatever they touch outside it.  A letter fills its band from the base or the top; a mark of a symbol
that does so, beside letters of a text, is no accident that happens.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from cordpath.geometry import components
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import sorted_unique
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.letters.glyphs import (
    BOW,
    LEAST_HIGH,
    joined,
    letter_height,
    on_own_marks,
    short_strokes,
    turned,
)
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.templates.template import Template

EDGE = 0.3  # pt between a letter's end and its row's base or top: two roundings to the plotter's grid, and a little
JOINED = 0.2  # pt between strokes of one piece, as of one glyph
APART = 0.9  # of the row's height between neighbours, as between letters of one row
WIDEST = 1.3  # of the row's height that a piece is wide at most
BOWL = 0.8  # of a row's height: the ring in a 6 or a 9 is 0.5 to 0.65, a ring as high as the row may be a mark
LEAST = 2  # letters that tell a band
CENTRAL = 0.3  # of a body's reach: a text with its middle so near the body's may be its mark


@dataclass(frozen=True)
class Band:
    """Base and top of a row in its reading frame, and from where to where its known letters reach; pt."""

    top: float
    base: float
    left: float
    right: float

    @property
    def high(self) -> float:
        return self.base - self.top


def band_of(boxes: FloatArray) -> Band | None:
    """The band of letters with the boxes (n, 4); None where they do not agree on one."""
    if len(boxes) < LEAST:
        return None
    top, base = np.median(boxes[:, 1]), np.median(boxes[:, 3])
    level = (np.abs(boxes[:, 1] - top) < EDGE) & (np.abs(boxes[:, 3] - base) < EDGE)
    if level.sum() < LEAST:
        return None
    return Band(float(top), float(base), float(boxes[:, 0].min()), float(boxes[:, 2].max()))


def in_band(band: Band, xy: FloatArray, middle: FloatArray, near: float, whole: bool = False) -> BoolArray:
    """(n,) Which of the short strokes (n, 4), in the reading frame, are of letters of the band: pieces that fill it
    from its base or its top and follow its known letters, and what lies over or under such a piece.

    ``middle`` (2,) of a symbol: a piece that is ``near`` it (pt), and not between known letters, may be its mark.
    ``whole``: only pieces that reach from the base to the top.
    """
    ends = xy[:, [1, 3]]
    k = np.flatnonzero((ends > band.top - EDGE).all(1) & (ends < band.base + EDGE).all(1))
    out = np.zeros(len(xy), bool)
    if not len(k):
        return out
    piece = _pieces(xy[k])
    count = int(piece.max()) + 1
    low, high = np.full((count, 2), np.inf), np.full((count, 2), -np.inf)
    for column in (0, 2):
        np.minimum.at(low, piece, xy[k, column : column + 2])
        np.maximum.at(high, piece, xy[k, column : column + 2])
    at_top, at_base = low[:, 1] < band.top + EDGE, high[:, 1] > band.base - EDGE
    fills = at_top & at_base if whole else at_top | at_base
    fills &= high[:, 0] - low[:, 0] <= WIDEST * band.high
    at_middle = np.hypot(*((low + high) / 2 - middle).T) < near
    fills &= ~at_middle | ((low[:, 0] > band.left) & (high[:, 0] < band.right))
    follows = _following(low[:, 0], high[:, 0], fills, band)
    left, right = low[:, 0], high[:, 0]
    common = np.minimum(right[:, None], right[follows]) - np.maximum(left[:, None], left[follows])
    under = common >= 0.5 * np.maximum(right - left, EDGE)[:, None]
    of_letter = follows | under.any(1)
    out[k] = of_letter[piece]
    return out


def continued(
    template: Template, pose: FloatArray, ink: Ink, rows: Sequence[tuple[float, IntArray]], known: IntArray
) -> IntArray:
    """Segments of letters at a body that continue the rows, each with its direction of reading and its segments:
    what touches a symbol was not read with its word.  ``known``: segments that are letters already."""
    if not rows:
        return NOBODYS
    height, reach = letter_height(template, pose), template.radius * float(pose[SCALE])
    centre = place(pose[None], template.centre[None])[0, 0]
    k = short_strokes(template, pose, ink, centre, reach + height, height, known, bows=True)
    found = [NOBODYS]
    for angle, own in rows:
        letters = joined(ink, own, height)
        box = np.zeros((0, 4)) if letters is None else letters.seen(angle).box
        high = box[:, 3] - box[:, 1]
        band = band_of(box[high >= LEAST_HIGH * high.max(initial=0.0)])  # without dashes
        if band is not None:
            drawn = np.r_[k, _bowls(template, pose, ink, centre, reach + height, BOWL * band.high)]
            turn = turned(angle)
            seen = (ink.xy[drawn].reshape(-1, 2) @ turn).reshape(-1, 4)
            found.append(drawn[in_band(band, seen, centre @ turn, CENTRAL * reach, whole=True)])
    return sorted_unique(np.concatenate(found))


def _bowls(
    template: Template, pose: FloatArray, ink: Ink, centre: FloatArray, reach: float, wide: float
) -> IntArray:
    """Segments near the centre of whole circles, not larger than the bowl of a 6, on no mark of the template."""
    k = ink.grid.near(centre[None], reach)[1]
    k = k[(k < ink.count) & ink.curved[k]]
    circle = ink.arcs.circle_of(k)
    k, circle = k[circle >= 0], circle[circle >= 0]
    k = k[(ink.arcs.circles[circle, 3] >= BOW) & (2 * ink.arcs.circles[circle, 2] <= wide)]
    return k[~on_own_marks(template, pose[None], ink.xy[k], np.zeros(len(k), np.int64))]


def _pieces(xy: FloatArray) -> IntArray:
    lines = shapely.linestrings(xy.reshape(-1, 2, 2))
    one, two = shapely.STRtree(lines).query(lines, predicate="dwithin", distance=JOINED)
    return components(one[one < two], two[one < two], len(xy))[1]


def _following(left: FloatArray, right: FloatArray, fills: BoolArray, band: Band) -> BoolArray:
    """(n,) pieces that fill the band and follow its known letters, one after the other, on either side."""
    out = np.zeros(len(left), bool)
    first, last, apart = band.left, band.right, APART * band.high
    while True:
        more = fills & ~out & (left < last + apart) & (right > first - apart)
        if not more.any():
            return out
        out |= more
        first, last = min(first, float(left[more].min())), max(last, float(right[more].max()))

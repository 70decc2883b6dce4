"""Figures by themselves in the columns of tables: circuits, poles and amperes of a panel schedule.

One figure or two have the look of many a mark, and no vocabulary bears them out.  What stands under and over others
of its kind, and beside a word of its own height, is a cell.

Terms: *figures*, a token of figures alone; *words*, tokens of letters that are read for sure.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import compress

import numpy as np

from cordpath.model import BoolArray, FloatArray
from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.rows import Row

LONGEST = 3  # figures of a circuit or a rating
WORD = 4  # letters of a word that tells its row's height and base
SAME = 0.08  # relative: heights of one size of lettering; the cap height of a lone figure is its own
LEVEL = 0.15  # of the cap height: by which the bases of one line of a table differ
EDGE = 0.35  # of the cap height: by which left edges, middles or right edges of a column differ
FEWEST, FAR = 2, 12.0  # others of the column, within so many cap heights: rows are 1.5 to 4 of them apart
BAR = 0.2  # of the cap height: what is slimmer is a bar, which any ruling may leave; the 1 of most faces has a flag
PLAIN = frozenset("1I")


def in_columns(rows: Sequence[Row]) -> list[list[int]]:
    """For each row the numbers of its tokens of one or two figures that stand in a column of a table."""
    figures = [
        (i, k) for i, row in enumerate(rows) for k, token in enumerate(row.tokens)
        if token.hit and token.text.isdigit() and token.last - token.first < LONGEST
    ]  # fmt: skip
    words = [row for row in rows if row.like_text and any(map(_is_word, row.tokens))]
    out: list[list[int]] = [[] for _ in rows]
    if not figures or not words:
        return out
    own = np.array([_place(rows[i], rows[i].tokens[k]) for i, k in figures])
    base = np.array([(row.reading.angle, row.reading.cap, row.reading.base) for row in words])
    told = _alike(own, base) & (np.abs(own[:, None, 2] - base[None, :, 2]) < LEVEL * own[:, None, 1])
    for i, k in compress(figures, (told.any(axis=1) & _stacked(own)).tolist()):
        if _is_asked(rows[i], rows[i].tokens[k]):
            out[i].append(k)
    return out


def _is_word(token: Token) -> bool:
    return token.hit and token.seconded is not False and len(token.text) >= WORD and token.text.isalpha()


def _place(row: Row, token: Token) -> list[float]:
    """Angle, cap height, base, left edge, middle and right edge of a token."""
    box, reading = row.reading.box[token.first : token.last + 1], row.reading
    left, right = float(box[:, 0].min()), float(box[:, 2].max())
    return [reading.angle, reading.cap, reading.base, left, (left + right) / 2, right]


def _alike(a: FloatArray, b: FloatArray) -> BoolArray:
    """(n, m) of one direction and one size."""
    size = np.abs(a[:, None, 1] - b[None, :, 1]) < SAME * a[:, None, 1]
    return np.asarray((a[:, None, 0] == b[None, :, 0]) & size, bool)


def _stacked(own: FloatArray) -> BoolArray:
    """(n,) which have FEWEST others over and under them."""
    cap = own[:, None, 1]
    off = np.abs(own[:, None, 2] - own[None, :, 2])
    edges = np.abs(own[:, None, 3:] - own[None, :, 3:]).min(axis=2)
    others = _alike(own, own) & (off > cap) & (off < FAR * cap) & (edges < EDGE * cap)
    return np.asarray(others.sum(axis=1) >= FEWEST, bool)


def _is_asked(row: Row, token: Token) -> bool:
    """Is it short, and more than bars?"""
    box = row.reading.box[token.first : token.last + 1]
    wide = float((box[:, 2] - box[:, 0]).max()) >= BAR * row.reading.cap
    return len(token.text) < LONGEST and (wide or not set(token.text) <= PLAIN)

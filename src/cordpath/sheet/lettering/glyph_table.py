"""What every glyph of a page may be, side by side, so that all readings are judged at once.

Terms: *kind*, letters, figures, or marks after either: what a text is kept together by.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.sheet.lettering.classify import CLASSES, INDEX
from cordpath.sheet.lettering.glyphs import Reading
from cordpath.sheet.lettering.grammar import CAPITALS, CLASS, FIGURES, MARKS, NUMERIC, scores

SAME = ("Oo0", "I1l", "xX×", "sS", "cC", "vV", "wW", "zZ", "kK", "uU", "pP")  # one shape in many fonts
PLAIN = len(CLASSES) - 1  # columns of the score table that are letters, figures and marks
KINDS = (CAPITALS, FIGURES, MARKS, MARKS)  # letters, figures, marks after either


@dataclass(frozen=True, eq=False)
class GlyphTable:
    """g glyphs, reading by reading."""

    score: FloatArray  # (g, columns) see grammar.scores
    sure: FloatArray  # (g, columns) see _same
    pick: IntArray  # (g, 4) likeliest column of each of KINDS
    worth: FloatArray  # (g, 4) its score
    best: FloatArray  # (g,) greatest score of a letter, figure or mark
    numeric: FloatArray  # (g,) greatest score of a figure or its marks
    mark: BoolArray  # (g,) is the likeliest a mark
    top: list[int]  # (g,) likeliest class
    left: list[float]  # (g,) x of each glyph's box
    right: list[float]


def glyph_table(readings: Sequence[Reading]) -> GlyphTable:
    """The glyphs of one reading or more."""
    chance = np.concatenate([reading.chance for reading in readings])
    box = np.concatenate([reading.box for reading in readings])
    score = scores(chance)
    pick = np.column_stack([kind[score[:, kind].argmax(axis=1)] for kind in KINDS])
    plain = score[:, :PLAIN]
    return GlyphTable(
        score, _same(chance), pick, np.take_along_axis(score, pick, axis=1), plain.max(axis=1),
        score[:, NUMERIC].max(axis=1), np.isin(plain.argmax(axis=1), MARKS), chance.argmax(axis=1).tolist(),
        box[:, 0].tolist(), box[:, 2].tolist(),
    )  # fmt: skip


def _same(chance: FloatArray) -> FloatArray:
    """Log probabilities in which glyphs of one shape share theirs; last columns as in ``scores``."""
    p = np.exp(chance)
    for group in SAME:
        columns = [INDEX[c] for c in group]
        p[:, columns] = p[:, columns].sum(axis=1, keepdims=True)
    for capital in "ABCDEFGHIJKLMNOPQRSTUVWXYZ":
        upper, lower = INDEX[capital], INDEX[capital.lower()]
        p[:, upper] = np.maximum(p[:, upper], np.minimum(p[:, upper] + p[:, lower], 1.0))
    out = np.log(np.clip(p, 1e-9, 1.0))
    return np.column_stack([out, *(out[:, columns].max(axis=1) for columns in CLASS.values())])

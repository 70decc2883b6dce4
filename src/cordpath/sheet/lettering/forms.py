"""The best text of grammar and vocabulary for many stretches of glyphs at once."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from cordpath.model import FloatArray, IntArray
from cordpath.sheet.lettering.classify import CLASSES
from cordpath.sheet.lettering.glyph_table import GlyphTable
from cordpath.sheet.lettering.grammar import CLASS, PATTERNS, book, filled_in

WORD_GAIN = (0.45, 0.6)  # nat a glyph that a word is worth: to 3 glyphs, longer
FORM_GAIN = 0.35  # nat a glyph that a form (dimension, circuit) is worth
SPACED_GAIN = 0.7  # nat a glyph that a form with blanks is worth, for six glyphs at most
LESS = 0.01  # nat: what is written with blanks and without alike is taken without
SLACK = (1.6, 2.0)  # nat a glyph, and nat: how far below the free reading a hit may lie
POOREST = -2.2  # nat a glyph: no hit is less likely
NO_RIVAL = 9.0  # nat a glyph: margin of a text that has no other beside it
SAME = 1e-9  # nat: sums of the same letters
BLOCK = 200_000  # numbers looked at together


@dataclass(frozen=True, eq=False)
class Forms:
    """The best text of each of s stretches, all written with blanks or all without."""

    spaced: bool
    value: FloatArray  # (s,) nat, with what a text of its kind is worth; -inf where no text is that long
    plain: FloatArray  # (s,) nat, without
    top: IntArray  # (s,) text of the book
    margin: FloatArray  # (s,) nat a glyph to the next best

    def near(self, least: FloatArray, length: IntArray) -> FloatArray:
        """(s,) values of the texts that lie hardly under ``least`` (s,), -inf for the others."""
        hit = (self.plain >= least - SLACK[0] * length - SLACK[1]) & (self.plain >= POOREST * length)
        return np.where(hit, self.value, -np.inf)

    def text(self, table: GlyphTable, number: int, first: int, last: int) -> tuple[str, IntArray]:
        """The text of stretch ``number``, with its blanks, and its columns of the score table."""
        texts = book(last - first + 1, self.spaced)
        assert texts is not None
        top = int(self.top[number])
        return filled_in(texts.texts[top], table.score[first : last + 1], bool(texts.word[top])), texts.column[top]


@cache
def _gains(length: int, spaced: bool) -> tuple[IntArray, FloatArray] | None:
    """Of every text of a book: where its columns lie in a flat table of ``length`` rows, and what it is worth."""
    texts = book(length, spaced)
    if texts is None:
        return None
    form = np.full(len(texts.texts), SPACED_GAIN * min(length, 6) if spaced else FORM_GAIN * length)
    if spaced:  # 20 A is 20A: nothing tells them apart but the gap
        form[[text.replace(" ", "") in PATTERNS for text in texts.texts]] = FORM_GAIN * length - LESS
    columns = len(CLASSES) + len(CLASS)
    return texts.column + columns * np.arange(length), np.where(texts.word, WORD_GAIN[length > 3] * length, form)


def best_forms(table: GlyphTable, first: IntArray, last: IntArray, spaced: bool) -> Forms:
    """``first``, ``last`` (s,) glyphs of the stretches."""
    count, length = len(first), last - first + 1
    out = Forms(
        spaced, np.full(count, -np.inf), np.full(count, -np.inf), np.zeros(count, np.int64),
        np.full(count, NO_RIVAL),
    )  # fmt: skip
    most = np.concatenate([[0.0], np.cumsum(table.best)])
    hopeful = most[last + 1] - most[first] >= POOREST * length - 1e-6  # no text is likelier than the best of each
    flat, columns = table.score.reshape(-1), table.score.shape[1]
    for n in np.unique(length[hopeful]).tolist():
        gains = _gains(n, spaced)
        if gains is None:
            continue
        where, gain = gains
        asked = np.flatnonzero(hopeful & (length == n))
        for block in np.array_split(asked, -(-len(asked) * where.size // BLOCK)):
            plain = flat[first[block, None, None] * columns + where].sum(axis=2)
            _take_best(out, block, plain, plain + gain, n)
    return out


def _take_best(out: Forms, block: IntArray, plain: FloatArray, value: FloatArray, length: int) -> None:
    row = np.arange(len(block))
    top = value.argmax(axis=1)
    out.top[block], out.plain[block], out.value[block] = top, plain[row, top], value[row, top]
    if value.shape[1] > 1:
        # L1-1 is a circuit and a sheet: two patterns that say the same letters are as likely, and no rivals
        value[np.abs(plain - plain[row, top][:, None]) < SAME] = -np.inf
        out.margin[block] = np.minimum((out.value[block] - value.max(axis=1)) / length, NO_RIVAL)

"""The likeliest text of every stretch of glyphs without a blank: of the grammar, of the vocabulary, or free.

Terms: *hit*, a text of the grammar or the vocabulary; *free*, glyph by glyph, with letters and figures kept
together; *pieces*, words parted by marks: WASHER/DRYER, BATH:
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from cordpath.model import FloatArray, IntArray
from cordpath.sheet.lettering.classify import CLASSES
from cordpath.sheet.lettering.forms import NO_RIVAL, Forms, best_forms
from cordpath.sheet.lettering.free import FreeReadings, free_readings
from cordpath.sheet.lettering.glyph_table import GlyphTable

PARTED = 0.2  # nat: price of words parted by marks
SHORTEST = 2  # glyphs of a word that counts between marks
FREE, WHOLE, SPACED, PIECES = range(4)

Span = tuple[int, int]  # first and last glyph


@dataclass(frozen=True)
class Text:
    """``sure``: log probability of each glyph; ``margin``: nat a glyph by which a hit beats the next."""

    text: str
    hit: bool
    sure: list[float]
    margin: float = NO_RIVAL


class Choices:
    """What each of many stretches may say.  ``number``: the places of the stretches in ``value``, nat, the worth of
    the likeliest text, and ``form_value``, of the best text of grammar or vocabulary without and with blanks."""

    def __init__(self, table: GlyphTable, spans: Iterable[Span]) -> None:
        """``spans``: the stretches that are asked for."""
        self.table = table
        self.number: dict[Span, int] = {span: number for number, span in enumerate(dict.fromkeys(spans))}
        self.parts = self._parted(list(self.number))
        for parts in self.parts.values():
            for _, span in parts:
                self.number.setdefault(span, len(self.number))
        first, last = np.array(list(self.number), np.int64).reshape(-1, 2).T
        self.free: FreeReadings = free_readings(table, first, last)
        self.forms: tuple[Forms, ...] = tuple(best_forms(table, first, last, spaced) for spaced in (False, True))
        self._weigh(last - first + 1)
        best = np.concatenate([[0.0], np.cumsum(table.best)])
        self.form_value = [
            form.near(best[last + 1] - best[first], last - first + 1).tolist() for form in self.forms
        ]

    def _weigh(self, length: IntArray) -> None:
        whole, spaced = (form.near(self.free.value, length) for form in self.forms)
        self._whole: list[float] = whole.tolist()
        options = np.column_stack([self.free.value, whole, spaced, np.full(len(length), -np.inf)])
        for number, parts in self.parts.items():
            options[number, PIECES] = sum(self._piece(mark, span)[0] for mark, span in parts) - PARTED
        self._way: list[int] = options.argmax(axis=1).tolist()
        self.value: list[float] = options.max(axis=1).tolist()

    def _parted(self, spans: list[Span]) -> dict[int, list[tuple[bool, Span]]]:
        """Stretches that have marks and others: (is it marks, stretch) of each piece."""
        marks = np.concatenate([[0], np.cumsum(self.table.mark)]).tolist()
        out = {}
        for number, (first, last) in enumerate(spans):
            if last - first < 2 or not 0 < marks[last + 1] - marks[first] < last - first + 1:
                continue
            mark = self.table.mark[first : last + 1].tolist()
            edge = [0, *(k for k in range(1, len(mark)) if mark[k] != mark[k - 1]), len(mark)]
            out[number] = [(mark[a], (first + a, first + b - 1)) for a, b in pairwise(edge)]
        return out

    def _piece(self, mark: bool, span: Span) -> tuple[float, bool]:
        """What a piece is worth, and whether it is a hit."""
        number = self.number[span]
        free, whole = float(self.free.value[number]), self._whole[number]
        return (whole, True) if not mark and whole > free else (free, False)

    def text(self, span: Span) -> Text:
        """The likeliest text of a stretch."""
        number = self.number[span]
        way = self._way[number]
        if way == PIECES:
            return self._in_pieces(self.parts[number])
        return self._free(span) if way == FREE else self.form(span, way == SPACED)

    def form(self, span: Span, spaced: bool) -> Text:
        """The best text of the grammar or the vocabulary."""
        number, (first, last) = self.number[span], span
        text, columns = self.forms[spaced].text(self.table, number, first, last)
        return Text(text, True, self._sure(span, columns), float(self.forms[spaced].margin[number]))

    def _free(self, span: Span) -> Text:
        columns = self.free.columns(self.number[span])
        return Text("".join([CLASSES[c] for c in columns.tolist()]), False, self._sure(span, columns))

    def _sure(self, span: Span, columns: IntArray) -> list[float]:
        sure: FloatArray = self.table.sure[np.arange(span[0], span[1] + 1), columns]
        return [float(value) for value in sure]

    def _in_pieces(self, parts: list[tuple[bool, Span]]) -> Text:
        texts = [(mark, self.form(s, False) if self._piece(mark, s)[1] else self._free(s)) for mark, s in parts]
        words = [text for mark, text in texts if not mark]
        hit = all(word.hit for word in words) and all(len(word.sure) >= SHORTEST for word in words)
        return Text(
            "".join(text.text for _, text in texts), hit, [value for _, text in texts for value in text.sure],
            min(word.margin for word in words),
        )  # fmt: skip

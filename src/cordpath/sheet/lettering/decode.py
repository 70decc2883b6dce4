"""From what glyphs may be to what lines say.

Terms: *chunk*, glyphs with no blank between them; *stretch*, glyphs of a line without a reject among them; *way*,
units of a stretch taken together, as a chunk or as a form with blanks.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from cordpath.sheet.lettering.blanks import units
from cordpath.sheet.lettering.choices import Choices, Span, Text
from cordpath.sheet.lettering.classify import INDEX, REJECT
from cordpath.sheet.lettering.glyph_table import GlyphTable, glyph_table
from cordpath.sheet.lettering.glyphs import Reading

MOST_UNITS = 8  # pieces of a text with blanks: SCALE: 1 1/2" = 1'-0" has five
NUMBERS = -2.5  # nat a glyph: figures and their marks are no less likely in a form with blanks
ONE_CHUNK = -8.0  # nat: no chunk has gaps inside that are less likely to be no blanks
OUTSIDE = 3.0  # nat that a glyph costs which is read as nothing
SAYS, CLEAR = 2, 0.6  # characters, and least chance of one, of a text that bears out the blank beside it
REJECTED = INDEX[REJECT]


@dataclass(frozen=True)
class Token:
    """A text without blanks, of glyphs ``first`` to ``last`` of its reading.

    ``confidence``: geometric mean of the glyphs' probabilities; ``least``: the lowest of them; ``margin``: nat a
    glyph by which the text beats the next one of grammar or vocabulary; ``span``: characters of the hit it is in;
    ``parted``: chance that the gaps at its two ends are blanks; ``seconded``: does another reader say the same,
    None where none was asked or it has no clear opinion; ``column``: figures in a column of a table, which another
    reader says as well.
    """

    text: str
    first: int
    last: int
    hit: bool
    confidence: float
    least: float
    margin: float
    span: int
    parted: float = 1.0
    seconded: bool | None = None
    column: bool = False


class _Way(NamedTuple):
    begin: int  # unit
    span: Span
    before: float  # nat: the gap before is a blank
    joined: float | None  # nat: price of taking no gap inside for a blank; None: no chunk
    form: bool  # may it be a form with blanks


@dataclass(frozen=True)
class _Stretch:
    ways: list[list[_Way]]  # for each unit those that end with it, short ones first


def decode_all(readings: Sequence[Reading]) -> list[tuple[list[Token], float]]:
    """For each reading the tokens from left to right, and what they are worth, nat a glyph."""
    if not readings:
        return []
    table = glyph_table(readings)
    stretches: list[list[_Stretch]] = []
    start = 0
    for reading in readings:
        end = start + len(reading.chance)
        stretches.append([_stretch(table, first, last, reading.cap) for first, last in _sound(table, start, end)])
        start = end
    choices = Choices(table, (way.span for own in stretches for s in own for ways in s.ways for way in ways))
    out = []
    start = 0
    for reading, own in zip(readings, stretches, strict=True):
        out.append(_decoded(choices, own, start, len(reading.chance)))
        start += len(reading.chance)
    return out


def _decoded(choices: Choices, stretches: list[_Stretch], start: int, count: int) -> tuple[list[Token], float]:
    tokens: list[Token] = []
    value = 0.0
    for stretch in stretches:
        found, worth = _parse(choices, stretch, start)
        tokens += found
        value += worth
    outside = count - sum(t.last - t.first + 1 for t in tokens)
    return tokens, (value - OUTSIDE * outside) / max(1, count)


def _sound(table: GlyphTable, start: int, end: int) -> list[Span]:
    """Runs of glyphs that are no rejects."""
    bad = [start - 1, *(k for k in range(start, end) if table.top[k] == REJECTED), end]
    return [(a + 1, b - 1) for a, b in pairwise(bad) if b > a + 1]


def _stretch(table: GlyphTable, first: int, last: int, cap: float) -> _Stretch:
    own, blank = units(table, first, last, cap)
    return _Stretch([list(_ways(table, own, blank, end)) for end in range(1, len(own) + 1)])


def _ways(table: GlyphTable, own: list[Span], blank: list[float], end: int) -> Iterator[_Way]:
    """The ways to take the units before ``end`` together."""
    joined = 0.0
    for begin in range(end - 1, max(0, end - MOST_UNITS) - 1, -1):
        chunk = joined if joined > ONE_CHUNK else None
        last = own[end - 1][1]
        form = begin < end - 1 and _figures(table, own[begin + 1][0], last)  # SCALE may come first
        if form or chunk is not None:
            yield _Way(begin, (own[begin][0], last), math.log(blank[begin]), chunk, form)
        joined += math.log(max(1.0 - blank[begin], 1e-9))


def _figures(table: GlyphTable, first: int, last: int) -> bool:
    return bool(table.numeric[first : last + 1].mean() > NUMBERS)


def _parse(choices: Choices, stretch: _Stretch, start: int) -> tuple[list[Token], float]:
    """The best way to read a stretch (dynamic programming over its units)."""
    best: list[tuple[float, list[tuple[_Way, bool | None]]]] = [(0.0, [])]
    for ways in stretch.ways:
        top = -math.inf
        taken: tuple[_Way, bool | None] = (ways[0], None)
        for way in ways:
            number = choices.number[way.span]
            before = best[way.begin][0] + way.before
            options: list[tuple[float, bool | None]] = []
            if way.joined is not None:
                options.append((before + choices.value[number] + way.joined, None))
            if way.form:
                options += [(before + choices.form_value[spaced][number], spaced) for spaced in (True, False)]
            for value, spaced in options:
                if value > top:
                    top, taken = value, (way, spaced)
        best.append((top, [*best[taken[0].begin][1], taken]))
    texts = [choices.text(way.span) if spaced is None else choices.form(way.span, spaced)
             for way, spaced in best[-1][1]]  # fmt: skip
    blank = [1.0 if k and _says(texts[k - 1]) and _says(texts[k]) else math.exp(way.before)
             for k, (way, _) in enumerate(best[-1][1])] + [1.0]  # fmt: skip
    tokens: list[Token] = []
    for k, (way, _) in enumerate(best[-1][1]):
        tokens += _tokens(texts[k], way.span[0] - start, min(blank[k : k + 2]))
    return tokens, best[-1][0]


def _says(text: Text) -> bool:
    """Is it a word or form so long that it says something?  Two of them side by side have a blank between them,
    however narrow it is: GFCI BKR."""
    return text.hit and len(text.sure) >= SAYS and math.exp(min(text.sure)) >= CLEAR


def _tokens(whole: Text, first: int, parted: float) -> list[Token]:
    out = []
    at = 0
    for text in whole.text.split(" "):
        # A reading is only as good as the whole form that it stands in.
        sure = whole.sure if whole.hit else whole.sure[at : at + len(text)]
        out.append(Token(
            text, first + at, first + at + len(text) - 1, whole.hit, math.exp(sum(sure) / len(sure)),
            math.exp(min(sure)), whole.margin, len(whole.sure), parted,
        ))  # fmt: skip
        at += len(text)
    return out

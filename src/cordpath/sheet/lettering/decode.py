"""From what glyphs may be to what a line says.

Terms: *chunk*, glyphs with no blank between them; *reading of a chunk*, its likeliest text: of the grammar, of the
vocabulary, or free; *hit*, a text of the grammar or the vocabulary; *free*, glyph by glyph, with letters and
figures kept together.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import accumulate, pairwise

import numpy as np

from cordpath.model import FloatArray, IntArray
from cordpath.sheet.lettering.classify import CLASSES, INDEX, REJECT
from cordpath.sheet.lettering.glyphs import Reading
from cordpath.sheet.lettering.grammar import (
    CAPITALS,
    CLASS,
    FIGURES,
    MARKS,
    NUMERIC,
    PATTERNS,
    book,
    filled_in,
    scores,
)

NO_BLANK = (0.12, 0.25)  # of the cap height: a gap over the usual one by this, and this wide, may be a blank
BLANK = (0.4, 0.45, 0.8)  # of the cap height: over the usual one by this, at least, at most, it is one
SURELY = 0.05  # least chance that a gap between these is, or is not, a blank
MAYBE = 0.9  # greatest chance of a gap up to the widest that words have inside
NARROW, ROOM = 0.35, 0.6  # of the cap height: 1 and I are narrower than this, and may have as much room as this
UPRIGHT = frozenset(INDEX[c] for c in "1Iil")
EVENLY = 0.5  # greatest chance of a blank where the room of a narrow letter explains the gap as well
PITCHES, EVEN, MOSTLY = 4, 0.07, 0.9  # letters of one width: steps at least, how near to the pitch, and how many
GAPS = 0.6  # of the cap height: gaps that count for the usual one
WORD_GAIN = (0.45, 0.6)  # nat a glyph that a word is worth: to 3 glyphs, longer
FORM_GAIN = 0.35  # nat a glyph that a form (dimension, circuit) is worth
SPACED_GAIN = 0.7  # nat a glyph that a form with blanks is worth, for six glyphs at most
LESS = 0.01  # nat: what is written with blanks and without alike is taken without
SLACK = (1.6, 2.0)  # nat a glyph, and nat: how far below the free reading a hit may lie
CHANGE = 1.1  # nat: letter beside figure
MARK = 0.3  # nat: a mark inside a text
CHANGE_AT_MARK = 0.6  # nat: letter and figure with a mark between them
MOST_UNITS = 8  # pieces of a text with blanks: SCALE: 1 1/2" = 1'-0" has five
NUMBERS = -2.5  # nat a glyph: figures and their marks are no less likely in a form with blanks
STOPS = frozenset(INDEX[c] for c in ".,:")
REJECTED = INDEX[REJECT]
AFTER_STOP = 0.9
SAME = ("Oo0", "I1l", "xX×", "sS", "cC", "vV", "wW", "zZ", "kK", "uU", "pP")  # one shape in many fonts
PLAIN = len(CLASSES) - 1  # columns of the score table that are letters, figures and marks
KINDS = (CAPITALS, FIGURES, MARKS, MARKS)  # of the free reading: letters, figures, marks after either
AFTER = (0, 1, 0, 1)  # letters or figures last
STEP = tuple(
    tuple(
        (MARK if AFTER[src] == AFTER[to] else 9.0) if to >= 2
        else 0.0 if AFTER[src] == to else CHANGE_AT_MARK if src >= 2 else CHANGE
        for src in range(4)
    )
    for to in range(4)
)  # fmt: skip


@dataclass(frozen=True)
class Token:
    """A text without blanks, of glyphs ``first`` to ``last`` of its reading.

    ``confidence``: geometric mean of the glyphs' probabilities; ``least``: the lowest of them; ``margin``: nat a
    glyph by which the text beats the next one of grammar or vocabulary; ``span``: characters of the hit it is in;
    ``parted``: chance that the gaps at its two ends are blanks.
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


@dataclass(frozen=True)
class _Choice:
    text: str
    value: float
    hit: bool
    sure: FloatArray  # (n,) log probability of each glyph of the text
    margin: float = 9.0


@dataclass(frozen=True, eq=False)
class _Table:
    """What the glyphs of one reading may be; made for all readings of a page at once, because most have few glyphs
    and single numbers cost less than small arrays."""

    score: FloatArray  # (g, columns) see grammar.scores
    sure: FloatArray  # (g, columns) see _same
    pick: IntArray  # (g, 4) likeliest column of each of KINDS
    worth: list[list[float]]  # (g, 4) its score
    best: list[float]  # (g,) greatest score of a letter, figure or mark
    numeric: list[float]  # (g,) greatest score of a figure or its marks
    mark: list[bool]  # (g,) is the likeliest a mark
    top: list[int]  # (g,) likeliest class
    left: list[float]  # (g,) x of each glyph's box
    right: list[float]
    cap: float


def decode(reading: Reading) -> tuple[list[Token], float]:
    """The tokens of a line from left to right, and what they are worth, nat a glyph."""
    return decode_all([reading])[0]


def decode_all(readings: Sequence[Reading]) -> list[tuple[list[Token], float]]:
    """:func:`decode` of many readings."""
    return [_decoded(table) for table in _tables(readings)]


def _tables(readings: Sequence[Reading]) -> list[_Table]:
    if not readings:
        return []
    chance = np.concatenate([reading.chance for reading in readings])
    box = np.concatenate([reading.box for reading in readings])
    score, sure = scores(chance), _same(chance)
    pick = np.column_stack([kind[score[:, kind].argmax(axis=1)] for kind in KINDS])
    worth = np.take_along_axis(score, pick, axis=1).tolist()
    plain = score[:, :PLAIN]
    best, numeric = plain.max(axis=1).tolist(), score[:, NUMERIC].max(axis=1).tolist()
    mark = np.isin(plain.argmax(axis=1), MARKS).tolist()
    top, left, right = chance.argmax(axis=1).tolist(), box[:, 0].tolist(), box[:, 2].tolist()
    out, end = [], 0
    for reading in readings:
        start, end = end, end + len(reading.chance)
        cut = slice(start, end)
        out.append(_Table(
            score[cut], sure[cut], pick[cut], worth[cut], best[cut], numeric[cut], mark[cut], top[cut],
            left[cut], right[cut], reading.cap,
        ))  # fmt: skip
    return out


def _decoded(table: _Table) -> tuple[list[Token], float]:
    tokens: list[Token] = []
    value = 0.0
    for first, last in _sound(table):
        found, worth = _parse(table, *_units(table, first, last))
        tokens += found
        value += worth
    outside = len(table.top) - sum(t.last - t.first + 1 for t in tokens)
    return tokens, (value - 3.0 * outside) / max(1, len(table.top))


def _sound(table: _Table) -> list[tuple[int, int]]:
    """Runs of glyphs that are no rejects: (first, last)."""
    bad = [-1, *(k for k, top in enumerate(table.top) if top == REJECTED), len(table.top)]
    return [(a + 1, b - 1) for a, b in pairwise(bad) if b > a + 1]


def _median(values: list[float]) -> float:
    ranked, half = sorted(values), len(values) // 2
    return ranked[half] if len(values) % 2 else (ranked[half - 1] + ranked[half]) / 2


def _units(table: _Table, first: int, last: int) -> tuple[list[tuple[int, int]], list[float]]:
    """Glyphs between gaps that may be blanks: (first, last), and the chance that the gap before each is one."""
    if first == last:
        return [(first, last)], [1.0]
    left, right, cap = table.left[first : last + 1], table.right[first : last + 1], table.cap
    gap = [x - end for x, end in zip(left[1:], accumulate(right[:-1], max), strict=True)]
    close = [g for g in gap if g < GAPS * cap]
    usual = _median(close) if close else 0.15 * cap
    low = max(usual + NO_BLANK[0] * cap, NO_BLANK[1] * cap)
    high = min(max(usual + BLANK[0] * cap, BLANK[1] * cap), BLANK[2] * cap)
    chance = [(g - low) / max(high - low, 0.05 * cap) for g in gap]
    if len(gap) >= PITCHES:
        chance = _by_pitch(chance, [(a + b) / 2 for a, b in zip(left, right, strict=True)], cap)
    cuts = [k for k, c in enumerate(chance) if c > 0]
    edges = [first, *(k + first + 1 for k in cuts), last + 1]
    own = [_room(table, first + k) + _room(table, first + k + 1) for k in cuts]
    return [(a, b - 1) for a, b in pairwise(edges)], [
        1.0,
        *(
            min(EVENLY, chance[k])
            if less > 0 and gap[k] - less <= high
            else _blank(table, first + k, gap[k], chance[k])
            for k, less in zip(cuts, own, strict=True)
        ),
    ]


def _room(table: _Table, glyph: int) -> float:
    """White beside a narrow letter that is its own, where all letters have one width."""
    width = table.right[glyph] - table.left[glyph]
    if width > NARROW * table.cap or table.top[glyph] not in UPRIGHT:
        return 0.0
    return (ROOM * table.cap - width) / 2


def _by_pitch(chance: list[float], middle: list[float], cap: float) -> list[float]:
    """In letters of one width a blank is a place left out."""
    step = [b - a for a, b in pairwise(middle)]
    pitch = _median(step)
    if pitch <= 0.5 * cap:
        return chance
    places = [round(s / pitch) for s in step]
    even = [abs(s / pitch - p) < EVEN for s, p in zip(step, places, strict=True)]
    if sum(even) / len(even) < MOSTLY:
        return chance
    return [(1.0 if p > 1 else -1.0) if e else c for c, e, p in zip(chance, even, places, strict=True)]


def _blank(table: _Table, before: int, gap: float, chance: float) -> float:
    """Chance that the gap after glyph ``before`` is a blank; even a wide one may be inside a word: I in letters of
    one width."""
    blank = 1.0 if gap > BLANK[2] * table.cap else min(max(chance, SURELY), MAYBE)
    return max(blank, AFTER_STOP) if table.top[before] in STOPS else blank  # a wide gap after : is a blank


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


def _parse(table: _Table, units: list[tuple[int, int]], blank: list[float]) -> tuple[list[Token], float]:
    """The best way to read the units: as chunks of one or more, or joined to forms with blanks."""
    ends = [*blank, 1.0]
    best: list[tuple[float, list[Token]]] = [(0.0, [])]
    for end in range(1, len(units) + 1):
        options = []
        joined = 0.0  # nat: price of taking no gap inside for a blank
        for begin in range(end - 1, max(0, end - MOST_UNITS) - 1, -1):
            first, last = units[begin][0], units[end - 1][1]
            parted = min(blank[begin], ends[end])
            before = best[begin][0] + math.log(blank[begin])
            if joined > -8.0:
                choice = _chunk(table, first, last)
                options.append((before + choice.value + joined, begin, choice, first, parted))
            if begin < end - 1 and _figures(table, units[begin + 1][0], last):  # SCALE may come first
                for spaced in (True, False):
                    form = _form(table, first, last, spaced)
                    if form is not None:
                        options.append((before + form.value, begin, form, first, parted))
            joined += math.log(max(1.0 - blank[begin], 1e-9))
        value, begin, choice, first, parted = max(options, key=lambda option: option[0])
        best.append((value, best[begin][1] + _tokens(choice, first, parted)))
    return best[-1][1], best[-1][0]


def _figures(table: _Table, first: int, last: int) -> bool:
    part = table.numeric[first : last + 1]
    return sum(part) / len(part) > NUMBERS


def _tokens(choice: _Choice, first: int, parted: float) -> list[Token]:
    out = []
    at = 0
    for text in choice.text.split(" "):
        part = choice.sure[at : at + len(text)]
        # A reading is only as good as the whole form that it stands in.
        mean = float(np.exp(choice.sure.mean())) if choice.hit else float(np.exp(part.mean()))
        out.append(Token(
            text, first + at, first + at + len(text) - 1, choice.hit, mean,
            float(np.exp((choice.sure if choice.hit else part).min())), choice.margin, len(choice.sure), parted,
        ))  # fmt: skip
        at += len(text)
    return out


def _chunk(table: _Table, first: int, last: int) -> _Choice:
    free = _free(table, first, last)
    options = [free]
    whole = _form(table, first, last, spaced=False, free=free.value)
    if whole is not None:
        options.append(whole)
    spaced = _form(table, first, last, spaced=True, free=free.value)
    if spaced is not None:  # 4 1/4" is often drawn without a visible blank
        options.append(spaced)
    if last - first >= 2:
        pieces = _pieces(table, first, last)
        if pieces is not None:
            options.append(pieces)
    return max(options, key=lambda option: option.value)


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


def _form(table: _Table, first: int, last: int, spaced: bool, free: float | None = None) -> _Choice | None:
    """The best text of grammar and vocabulary for glyphs ``first`` to ``last``."""
    n = last - first + 1
    texts, gains = book(n, spaced), _gains(n, spaced)
    if texts is None or gains is None:
        return None
    score = table.score[first : last + 1]
    plain = score.reshape(-1)[gains[0]].sum(axis=1)
    value = plain + gains[1]
    top = int(value.argmax())
    least = sum(table.best[first : last + 1]) if free is None else free
    if plain[top] < least - SLACK[0] * n - SLACK[1] or plain[top] / n < -2.2:
        return None
    worth = float(value[top])
    value[top] = -np.inf
    margin = (worth - float(value.max())) / n if len(value) > 1 else 9.0
    text = filled_in(texts.texts[top], score, bool(texts.word[top]))
    return _Choice(text, worth, True, table.sure[np.arange(first, last + 1), texts.column[top]], margin)


def _pieces(table: _Table, first: int, last: int) -> _Choice | None:
    """Words parted by marks:  WASHER/DRYER,  BATH:"""
    mark = table.mark[first : last + 1]
    if not any(mark) or all(mark):
        return None
    edge = [0, *(k for k in range(1, len(mark)) if mark[k] != mark[k - 1]), len(mark)]
    parts = []
    for a, b in pairwise(edge):
        lo, hi = first + a, first + b - 1
        alone = _free(table, lo, hi)
        form = None if mark[a] else _form(table, lo, hi, spaced=False, free=alone.value)
        parts.append((mark[a], form if form is not None and form.value > alone.value else alone))
    words = [part for is_mark, part in parts if not is_mark]
    hit = all(part.hit for part in words) and all(len(part.sure) >= 2 for part in words)
    return _Choice(
        "".join(part.text for _, part in parts), sum(part.value for _, part in parts) - 0.2, hit,
        np.concatenate([part.sure for _, part in parts]), min(part.margin for part in words),
    )  # fmt: skip


def _free(table: _Table, first: int, last: int) -> _Choice:
    """Glyph by glyph; a price is paid where letters and figures change (dynamic programming over three kinds, and
    for marks the kind before them)."""
    rows = table.worth[first : last + 1]
    best = [worth - less for worth, less in zip(rows[0], (0.0, 0.05, 0.1, 0.1), strict=True)]
    back: list[list[int]] = []
    for row in rows[1:]:
        a, b, c, d = best
        step, came = [], []
        for to, (to_a, to_b, to_c, to_d) in enumerate(STEP):
            options = (a - to_a, b - to_b, c - to_c, d - to_d)
            top = max(options)
            step.append(top + row[to])
            came.append(options.index(top))
        best = step
        back.append(came)
    value = max(best)
    at = best.index(value)
    path = [at]
    for came in reversed(back):
        at = came[at]
        path.append(at)
    columns = table.pick[np.arange(first, last + 1), path[::-1]]
    text = "".join([CLASSES[c] for c in columns.tolist()])
    return _Choice(text, value, False, table.sure[np.arange(first, last + 1), columns])

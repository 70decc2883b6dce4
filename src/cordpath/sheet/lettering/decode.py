"""From what glyphs may be to what a line says.

Terms: *chunk*, glyphs with no blank between them; *reading of a chunk*, its likeliest text: of the grammar, of the
vocabulary, or free; *hit*, a text of the grammar or the vocabulary; *free*, glyph by glyph, with letters and
figures kept together.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from cordpath.model import FloatArray, IntArray
from cordpath.sheet.lettering.classify import CLASSES, INDEX, REJECT
from cordpath.sheet.lettering.glyphs import Reading
from cordpath.sheet.lettering.grammar import CAPITALS, CLASS, FIGURES, MARKS, NUMERIC, book, filled_in, scores

NO_BLANK = (0.12, 0.25)  # of the cap height: a gap over the usual one by this, and this wide, may be a blank
BLANK = (0.4, 0.45, 0.8)  # of the cap height: over the usual one by this, at least, at most, it is one
SURELY = 0.05  # least chance that a gap between these is, or is not, a blank
MAYBE = 0.9  # greatest chance of a gap up to the widest that words have inside
PITCHES, EVEN, MOSTLY = 4, 0.07, 0.9  # letters of one width: steps at least, how near to the pitch, and how many
GAPS = 0.6  # of the cap height: gaps that count for the usual one
WORD_GAIN = (0.45, 0.6)  # nat a glyph that a word is worth: to 3 glyphs, longer
FORM_GAIN = 0.35  # nat a glyph that a form (dimension, circuit) is worth
SPACED_GAIN = 0.7  # nat a glyph that a form with blanks is worth, for six glyphs at most
SLACK = (1.6, 2.0)  # nat a glyph, and nat: how far below the free reading a hit may lie
CHANGE = 1.1  # nat: letter beside figure
MARK = 0.3  # nat: a mark inside a text
CHANGE_AT_MARK = 0.6  # nat: letter and figure with a mark between them
MOST_UNITS = 8  # pieces of a text with blanks: SCALE: 1 1/2" = 1'-0" has five
NUMBERS = -2.5  # nat a glyph: figures and their marks are no less likely in a form with blanks
STOPS = np.array([INDEX[c] for c in ".,:"])
AFTER_STOP = 0.9
SAME = ("Oo0", "I1l", "xX×", "sS", "cC", "vV", "wW", "zZ", "kK", "uU", "pP")  # one shape in many fonts


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


def decode(reading: Reading) -> tuple[list[Token], float]:
    """The tokens of a line from left to right, and what they are worth, nat a glyph."""
    score = scores(reading.chance)
    sure = _same(reading.chance)
    tokens: list[Token] = []
    value = 0.0
    for first, last in _sound(reading):
        found, worth = _parse(score, sure, *_units(reading, first, last))
        tokens += found
        value += worth
    outside = len(reading.chance) - sum(t.last - t.first + 1 for t in tokens)
    return tokens, (value - 3.0 * outside) / max(1, len(reading.chance))


def _sound(reading: Reading) -> list[tuple[int, int]]:
    """Runs of glyphs that are no rejects: (first, last)."""
    good = reading.chance.argmax(axis=1) != INDEX[REJECT]
    edge = np.flatnonzero(np.diff(good.astype(int), prepend=0, append=0))
    return [(int(a), int(b) - 1) for a, b in edge.reshape(-1, 2)]


def _units(reading: Reading, first: int, last: int) -> tuple[list[tuple[int, int]], list[float]]:
    """Glyphs between gaps that may be blanks: (first, last), and the chance that the gap before each is one."""
    box, cap = reading.box[first : last + 1], reading.cap
    gap = box[1:, 0] - np.maximum.accumulate(box[:, 2])[:-1]
    close = gap[gap < GAPS * cap]
    usual = float(np.median(close)) if len(close) else 0.15 * cap
    low = max(usual + NO_BLANK[0] * cap, NO_BLANK[1] * cap)
    high = min(max(usual + BLANK[0] * cap, BLANK[1] * cap), BLANK[2] * cap)
    chance = (gap - low) / max(high - low, 0.05 * cap)
    middle = box[:, [0, 2]].mean(axis=1)
    step = np.diff(middle)
    pitch = float(np.median(step)) if len(step) >= PITCHES else 0.0
    if pitch > 0.5 * cap:
        places = np.round(step / pitch)
        even = np.abs(step / pitch - places) < EVEN
        if even.mean() >= MOSTLY:  # letters of one width: a blank is a place left out
            chance = np.where(even, np.where(places > 1, 1.0, -1.0), chance)
    cuts = np.flatnonzero(chance > 0)
    edges = [first, *(cuts + first + 1).tolist(), last + 1]
    # Even a wide gap may be inside a word: I in letters of one width.
    blank = np.where(gap[cuts] > BLANK[2] * cap, 1.0, np.clip(chance[cuts], SURELY, MAYBE))
    stop = np.isin(reading.chance[first + cuts].argmax(axis=1), STOPS)
    blank = np.where(stop, np.maximum(blank, AFTER_STOP), blank)  # a wide gap after : is a blank
    return [(a, b - 1) for a, b in pairwise(edges)], [1.0, *blank.tolist()]


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


def _parse(
    score: FloatArray, sure: FloatArray, units: list[tuple[int, int]], blank: list[float]
) -> tuple[list[Token], float]:
    """The best way to read the units: as chunks of one or more, or joined to forms with blanks."""
    numeric = score[:, NUMERIC].max(axis=1)
    ends = [*blank, 1.0]
    best: list[tuple[float, list[Token]]] = [(0.0, [])]
    for end in range(1, len(units) + 1):
        options = []
        joined = 0.0  # nat: price of taking no gap inside for a blank
        for begin in range(end - 1, max(0, end - MOST_UNITS) - 1, -1):
            first, last = units[begin][0], units[end - 1][1]
            parted = min(blank[begin], ends[end])
            before = best[begin][0] + float(np.log(blank[begin]))
            if joined > -8.0:
                choice = _chunk(score, sure, first, last)
                options.append((before + choice.value + joined, best[begin][1] + _tokens(choice, first, parted)))
            if begin < end - 1 and numeric[units[begin + 1][0] : last + 1].mean() > NUMBERS:  # SCALE may come first
                for spaced in (True, False):
                    form = _form(score, sure, first, last, spaced)
                    if form is None:
                        continue
                    options.append((before + form.value, best[begin][1] + _tokens(form, first, parted)))
            joined += float(np.log(max(1.0 - blank[begin], 1e-9)))
        best.append(max(options, key=lambda option: option[0]))
    return best[-1][1], best[-1][0]


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


def _chunk(score: FloatArray, sure: FloatArray, first: int, last: int) -> _Choice:
    free = _free(score[first : last + 1], sure[first : last + 1])
    options = [free]
    whole = _form(score, sure, first, last, spaced=False, free=free.value)
    if whole is not None:
        options.append(whole)
    spaced = _form(score, sure, first, last, spaced=True, free=free.value)
    if spaced is not None:  # 4 1/4" is often drawn without a visible blank
        options.append(spaced)
    if last - first >= 2:
        pieces = _pieces(score, sure, first, last)
        if pieces is not None:
            options.append(pieces)
    return max(options, key=lambda option: option.value)


def _form(
    score: FloatArray, sure: FloatArray, first: int, last: int, spaced: bool, free: float | None = None
) -> _Choice | None:
    """The best text of grammar and vocabulary for glyphs ``first`` to ``last``."""
    n = last - first + 1
    texts = book(n, spaced)
    if texts is None:
        return None
    rows = np.arange(first, last + 1)
    plain = score[rows, texts.column].sum(axis=1)
    gain = np.where(texts.word, WORD_GAIN[n > 3] * n, SPACED_GAIN * min(n, 6) if spaced else FORM_GAIN * n)
    value = plain + gain
    top = int(value.argmax())
    least = score[rows, : len(CLASSES) - 1].max(axis=1).sum() if free is None else free
    if plain[top] < least - SLACK[0] * n - SLACK[1] or plain[top] / n < -2.2:
        return None
    others = np.delete(value, top)
    margin = float(value[top] - others.max()) / n if len(others) else 9.0
    text = filled_in(texts.texts[top], score[first : last + 1], bool(texts.word[top]))
    return _Choice(text, float(value[top]), True, sure[rows, texts.column[top]], margin)


def _pieces(score: FloatArray, sure: FloatArray, first: int, last: int) -> _Choice | None:
    """Words parted by marks:  WASHER/DRYER,  BATH:"""
    row = score[first : last + 1, : len(CLASSES) - 1]
    mark = np.isin(row.argmax(axis=1), MARKS)
    if not mark.any() or mark.all():
        return None
    edge = np.flatnonzero(np.diff(mark.astype(int), prepend=2))
    ends = [*edge[1:].tolist(), len(mark)]
    parts = []
    for a, b in zip(edge.tolist(), ends, strict=True):
        lo, hi = first + a, first + b - 1
        alone = _free(score[lo : hi + 1], sure[lo : hi + 1])
        form = None if mark[a] else _form(score, sure, lo, hi, spaced=False, free=alone.value)
        parts.append((mark[a], form if form is not None and form.value > alone.value else alone))
    words = [part for is_mark, part in parts if not is_mark]
    hit = all(part.hit for part in words) and all(len(part.sure) >= 2 for part in words)
    return _Choice(
        "".join(part.text for _, part in parts), sum(part.value for _, part in parts) - 0.2, hit,
        np.concatenate([part.sure for _, part in parts]), min(part.margin for part in words),
    )  # fmt: skip


def _free(score: FloatArray, sure: FloatArray) -> _Choice:
    """Glyph by glyph; a price is paid where letters and figures change (dynamic programming over three kinds, and
    for marks the kind before them)."""
    kinds = (CAPITALS, FIGURES, MARKS, MARKS)
    after = (0, 1, 0, 1)  # letters or figures last
    pick: IntArray = np.column_stack([kind[score[:, kind].argmax(axis=1)] for kind in kinds])
    chance = np.take_along_axis(score, pick, axis=1)
    best = [float(v) for v in chance[0] - [0.0, 0.05, 0.1, 0.1]]
    back: list[list[int]] = []
    for row in chance[1:].tolist():
        step, came = [], []
        for to in range(4):
            options = [
                best[src] - (
                    (MARK if after[src] == after[to] else 9.0) if to >= 2
                    else 0.0 if after[src] == to else CHANGE_AT_MARK if src >= 2 else CHANGE
                )
                for src in range(4)
            ]  # fmt: skip
            k = int(np.argmax(options))
            step.append(options[k] + row[to])
            came.append(k)
        best, back = step, [*back, came]
    at = int(np.argmax(best))
    value = best[at]
    path = [at]
    for came in reversed(back):
        at = came[at]
        path.append(at)
    columns = pick[np.arange(len(pick)), path[::-1]]
    text = "".join(CLASSES[c] for c in columns)
    return _Choice(text, value, False, sure[np.arange(len(pick)), columns])

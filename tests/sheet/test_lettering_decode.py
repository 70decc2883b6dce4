"""Many stretches decoded at once say what each says alone, and what trying every text says."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.geometry import lines
from cordpath.sheet.lettering.classify import CLASSES
from cordpath.sheet.lettering.decode import decode_all
from cordpath.sheet.lettering.forms import (
    FORM_GAIN,
    LESS,
    NO_RIVAL,
    POOREST,
    SLACK,
    SPACED_GAIN,
    WORD_GAIN,
    best_forms,
)
from cordpath.sheet.lettering.free import BEGIN, STEP, free_readings
from cordpath.sheet.lettering.glyph_table import glyph_table
from cordpath.sheet.lettering.glyphs import Reading
from cordpath.sheet.lettering.grammar import PATTERNS, book
from cordpath.sheet.lettering.parts import touching
from cordpath.sheet.lettering.trust import MARGIN


def reading(rng: np.random.Generator, text: str, doubt: float) -> Reading:
    """Glyphs of a text (blanks are gaps), each with its own class the likelier the less the doubt."""
    letters = [letter for letter in text if letter != " "]
    chance = rng.gumbel(0.0, 1.0, (len(letters), len(CLASSES)))
    chance[np.arange(len(letters)), [CLASSES.index(letter) for letter in letters]] += 9.0 * (1 - doubt)
    chance -= np.log(np.exp(chance).sum(axis=1, keepdims=True))
    x = np.cumsum([0.9 if before != " " else 1.7 for before in (" " + text)[: len(text)]])
    left = np.array([at for at, letter in zip(x, text, strict=True) if letter != " "]) * 9.0
    box = np.column_stack([left, np.full(len(left), 91.0), left + 5.5, np.full(len(left), 100.0)])
    none = np.zeros((0, 0), np.float32)
    rows = np.zeros(len(letters), np.int64)
    return Reading(0.0, 100.0, 9.0, chance, box, ((0,),) * len(letters), False, none, rows, False)


TEXTS = ("KITCHEN", "A-12", "12'-6 1/2\"", 'SCALE: 1/4" = 1\'-0"', "WASHER/DRYER", "Q", "20A/1P", "M. BATH", "~A~")


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10_000), st.lists(st.sampled_from(TEXTS), min_size=1, max_size=6), st.floats(0, 1))
def test_a_line_says_the_same_among_others_and_alone(seed: int, texts: list[str], doubt: float) -> None:
    rng = np.random.default_rng(seed)
    readings = [reading(rng, text, doubt) for text in texts]
    together = decode_all(readings)
    for one, (tokens, value) in zip(readings, together, strict=True):
        [(own, worth)] = decode_all([one])
        assert [(t.text, t.first, t.last, t.hit) for t in own] == [(t.text, t.first, t.last, t.hit) for t in tokens]
        assert worth == pytest.approx(value)


@pytest.mark.parametrize("text", [text for text in TEXTS if "~" not in text])
def test_clear_glyphs_are_read_as_they_stand(text: str) -> None:
    [(tokens, _)] = decode_all([reading(np.random.default_rng(1), text, 0.0)])
    assert "".join(token.text for token in tokens) == text.replace(" ", "")
    assert all(token.confidence > 0.9 for token in tokens)


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 5))
def test_the_free_reading_is_the_best_of_all(seed: int, length: int) -> None:
    rng = np.random.default_rng(seed)
    table = glyph_table([reading(rng, "A1-B,2"[: length + 1], 1.0)])
    first = np.arange(2)
    last = np.minimum(first + rng.integers(0, length, 2), len(table.best) - 1)
    free = free_readings(table, first, last)
    for number, (a, b) in enumerate(zip(first.tolist(), last.tolist(), strict=True)):
        values = {}
        for kinds in itertools.product(range(4), repeat=b - a + 1):
            value = float(table.worth[a, kinds[0]]) - BEGIN[kinds[0]]
            for k, (before, kind) in enumerate(itertools.pairwise(kinds), a + 1):
                value += float(table.worth[k, kind] - STEP[kind, before])
            values[kinds] = value
        best = max(values, key=lambda kinds: values[kinds])
        assert free.value[number] == pytest.approx(values[best])
        columns = free.columns(number).tolist()
        same = [
            kinds for kinds in values if [int(table.pick[a + k, kind]) for k, kind in enumerate(kinds)] == columns
        ]
        assert max(values[kinds] for kinds in same) == pytest.approx(values[best])


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from(["GFI", "A-12", "KITCHEN", '11/2"', "1'-0\""]), st.booleans())
def test_the_best_form_is_the_best_text_of_the_book(seed: int, text: str, spaced: bool) -> None:
    table = glyph_table([reading(np.random.default_rng(seed), text, 0.7)])
    n = len(text)
    forms = best_forms(table, np.array([0]), np.array([n - 1]), spaced)
    texts = book(n, spaced)
    assert texts is not None
    if table.best.sum() < POOREST * n:
        assert forms.value[0] == -np.inf
        return
    values, plain = [], []
    for written, word, columns in zip(texts.texts, texts.word, texts.column, strict=True):
        gain = WORD_GAIN[n > 3] * n if word else FORM_GAIN * n
        if spaced:
            gain = gain - LESS if written.replace(" ", "") in PATTERNS else SPACED_GAIN * min(n, 6)
        plain.append(sum(float(table.score[k, column]) for k, column in enumerate(columns)))
        values.append(plain[-1] + gain)
    best = max(values)
    same = plain[values.index(best)]  # as likely to the last digit: the same letters by another pattern
    others = [value for value, each in zip(values, plain, strict=True) if abs(each - same) > 1e-9]
    margin = min(best - max(others, default=-np.inf), NO_RIVAL * n)
    assert forms.value[0] == pytest.approx(best) and forms.margin[0] == pytest.approx(margin / n, abs=1e-9)
    assert values[int(forms.top[0])] == pytest.approx(best)
    least = np.array([forms.plain[0] + SLACK[0] * n + SLACK[1]])
    assert forms.near(least + 0.01, np.array([n]))[0] == -np.inf  # too far under the free reading


@pytest.mark.parametrize("text", ["L1-1", "A1-9", "P-12", "8-12"])
def test_what_two_patterns_say_alike_is_in_no_doubt(text: str) -> None:
    """L1-1 is the form of a circuit of panel L1 and of a sheet: no tag of such a panel was ever read for sure."""
    [(tokens, _)] = decode_all([reading(np.random.default_rng(1), text, 0.0)])
    assert [token.text for token in tokens] == [text] and tokens[0].margin >= MARGIN


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.integers(2, 60), st.sampled_from([0.0, 0.27, 2.0]))
def test_strokes_touch_where_a_tree_of_shapes_says_so(seed: int, many: int, reach: float) -> None:
    rng = np.random.default_rng(seed)
    xy = np.round(rng.uniform(0, 30, (many, 4)))  # on whole points, so that ends often meet
    shapes = lines(xy)
    i, j = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=reach)
    wanted = {(a, b) for a, b in zip(i.tolist(), j.tolist(), strict=True) if a < b}
    first, second = touching(xy, reach)
    assert set(zip(first.tolist(), second.tolist(), strict=True)) == wanted

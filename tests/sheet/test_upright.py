"""Turning a sheet upright and back."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath.model import Strokes, Word
from cordpath.sheet.upright import Turn, upright

LENGTH = st.floats(1, 3000).map(lambda v: round(v, 3))


@given(st.integers(0, 3), LENGTH, LENGTH, st.lists(st.tuples(LENGTH, LENGTH), min_size=1, max_size=8))
def test_turning_back_undoes_a_turn(
    quarters: int, width: float, height: float, points: list[tuple[float, float]]
) -> None:
    turn = Turn(quarters, width, height)
    there = turn.points(np.array(points))
    assert np.allclose(turn.back.points(there), points, atol=1e-6)
    strokes = Strokes.of(np.hstack([points, points]))
    assert np.allclose(turn.back.strokes(turn.strokes(strokes)).xy, strokes.xy, atol=1e-6)


@pytest.mark.parametrize("angle", [0, 90, 180, 270])
def test_most_of_the_text_tells_how_a_sheet_lies(angle: int) -> None:
    words = tuple(Word("NOTE", (10, 20 * k, 40, 20 * k + 8), float(angle), 8.0, k) for k in range(10))
    turn = upright(words, (800, 600))
    assert turn.quarters == angle // 90
    assert {word.angle for word in turn.words(words)} == {0.0}
    x0, y0, x1, y1 = turn.words(words)[0].box
    assert 0 <= x0 < x1 <= turn.size[0] and 0 <= y0 < y1 <= turn.size[1]


def test_few_or_mixed_words_turn_nothing() -> None:
    few = tuple(Word("UP", (0, 0, 5, 5), 90.0, 8.0, k) for k in range(5))
    mixed = tuple(Word("UP", (0, 0, 5, 5), 90.0 * (k % 2), 8.0, k) for k in range(20))
    assert upright(few, (9, 9)).quarters == 0 and upright(mixed, (9, 9)).quarters == 0

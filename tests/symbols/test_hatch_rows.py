"""Hatch across a symbol, where several hatches overlap and no family of rows is evenly spaced."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.geometry import Similarity
from cordpath.model import LineMark
from cordpath.symbols import spot
from symbols.test_spot import DUPLEX, at, entry, names, rules, sheet_of, strokes_of

PLAIN = rules(entry("duplex", DUPLEX))


def rows(gap: float, start: float, x: tuple[float, float], count: int = 16) -> np.ndarray:
    """Rows of hatch along x about y = 100."""
    y = start + gap * np.arange(count)
    return np.c_[np.full(count, x[0]), y, np.full(count, x[1]), y]


def hatches() -> list[np.ndarray]:
    """Two that overlap, of rows shorter than lines in passing."""
    return [rows(2.5, 81.3, (88.0, 105.0)), rows(3.1, 78.0, (95.5, 117.0))]


@pytest.mark.parametrize("angle", [0.0, 90.0, 31.0])
def test_rows_of_overlapping_hatches_are_no_marks_of_a_symbol(angle: float) -> None:
    turn = Similarity(1.0, angle, False, (100.0, 100.0))
    xy = [strokes_of(DUPLEX, at(100, 100, 90.0)), *hatches()]
    turned = [turn.apply((part - 100).reshape(-1, 2)).reshape(-1, 4) for part in xy]
    assert names(spot(sheet_of(turned), PLAIN, ())) == ["duplex"]


def test_rows_along_the_bars_of_a_symbol_are_none_of_its_marks() -> None:
    assert names(spot(sheet_of([strokes_of(DUPLEX, at(100, 100)), *hatches()]), PLAIN, ())) == ["duplex"]


def test_a_third_bar_among_rows_of_hatch_stays_a_doubt() -> None:
    three = (*DUPLEX, LineMark((-0.1, 0.0), (0.1, 0.0)))
    assert not names(spot(sheet_of([strokes_of(three, at(100, 100)), *hatches()]), PLAIN, ()))


def test_a_tick_between_rows_of_hatch_stays_a_doubt() -> None:
    tick = (*DUPLEX, LineMark((-0.03, 0.0), (0.03, 0.0)))
    assert not names(spot(sheet_of([strokes_of(tick, at(100, 100)), *hatches()]), PLAIN, ()))


@pytest.mark.parametrize("past", [1.0, 3.0])
def test_rows_that_look_like_bars_make_no_symbol_of_a_circle(past: float) -> None:
    """Two rows go through it where the bars would be, and end elsewhere."""
    half = 7.2 + past
    bars = rows(3.6, 98.2, (100 - half, 100 + half), 2)
    xy = [strokes_of(DUPLEX[:1], at(100, 100)), bars, *hatches()]
    assert not names(spot(sheet_of(xy), PLAIN, ()))

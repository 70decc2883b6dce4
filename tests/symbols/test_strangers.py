"""Words in a symbol that are no mark of it: which make another symbol of it, and which lie over it."""

from __future__ import annotations

import pytest

from cordpath.model import CircleMark, LineMark, Mark, Spotting
from cordpath.symbols import spot
from symbols.test_spot import DUPLEX, R, at, entry, rules, sheet_of, strokes_of, word

TRIPLEX = (*DUPLEX, LineMark((-0.1, 0.0), (0.1, 0.0)))
BAR = (CircleMark((0, 0), R), LineMark((-0.1, 0.0), (0.1, 0.0)))
STEMMED = (CircleMark((0, 0), R), LineMark((0.0, -R), (0.0, -0.12)), LineMark((-0.05, -0.12), (0.05, -0.12)))
ASKED = ("the text 'WA' inside belongs to no mark of it",)


def with_word(marks: tuple[Mark, ...], turn: float, off: float, size: float = 6.0) -> Spotting:
    mapping = rules(entry("outlet", marks))
    return spot(
        sheet_of([strokes_of(marks, at(200, 200, turn))], (word("WA", 200 + off, 200 - off, size),)), mapping, ()
    )


@pytest.mark.parametrize("marks", [TRIPLEX, DUPLEX])
@pytest.mark.parametrize("turn", [0.0, 90.0])
def test_letters_that_a_symbols_own_lines_strike_through_lie_over_it(marks: tuple[Mark, ...], turn: float) -> None:
    (symbol,) = with_word(marks, turn, 1.5, 10.0).symbols
    assert symbol.found and not symbol.reasons


@pytest.mark.parametrize("turn", [0.0, 90.0])
def test_letters_in_a_body_without_lines_make_another_symbol_of_it(turn: float) -> None:
    (symbol,) = with_word(STEMMED, turn, 0.7, 7.0).symbols
    assert not symbol.found and set(ASKED) <= set(symbol.reasons)


def test_letters_on_both_sides_of_one_line_stay_a_question() -> None:
    (symbol,) = with_word(BAR, 90.0, 0.0).symbols
    assert not symbol.found and set(ASKED) <= set(symbol.reasons)

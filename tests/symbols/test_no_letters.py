"""Strokes where letters of a twin would stand that are parts of larger things are no question; letters are."""

from __future__ import annotations

import numpy as np
import pytest

from symbols.test_drawn_letters import GFI, lettered, reading
from symbols.test_others_ink import path
from symbols.test_spot import DUPLEX, at, strokes_of

SPOT = 12.24  # pt above the middle of the outlet at which GFI is written


def asked(*beside: np.ndarray) -> bool:
    """Is a duplex outlet asked about, for letters that may be GFI?"""
    (symbol,) = reading([strokes_of(DUPLEX, at(100, 100)), *beside], GFI).symbols
    assert symbol.entry.name in ("duplex", "gfi")
    return not (symbol.found and symbol.entry.name == "duplex")


ENDS = [(-3.0, -11.0, -1), (3.0, -13.0, 1), (0.5, -14.0, 1)]  # where dimensions end, and which way they go
DIMENSION = [
    part
    for x, y, way in ENDS
    for part in (
        path((x, y), (x + way * 37.0, y)),
        *(path((x + d - 2, y + 2), (x + d + 2, y - 2)) for d in (0.0, way * 37.0)),
    )
]
ZIGZAG = [path((1.0, -8.0), (-2.0, -14.0), (2.5, -15.0), (2.0, -21.0), (9.0, -26.0), (30.0, -28.0))]


@pytest.mark.parametrize(
    "beside", [DIMENSION, ZIGZAG, [path((-2.0, -10.0), (3.0, -14.0))]], ids=["ticks", "zigzag", "line"]
)
def test_parts_of_larger_things_and_one_line_are_no_letters(beside: list[np.ndarray]) -> None:
    assert not asked(*beside)


@pytest.mark.parametrize("over", [[], DIMENSION, ZIGZAG], ids=["alone", "ticks", "zigzag"])
def test_letters_are_a_question_whatever_lies_over_them(over: list[np.ndarray]) -> None:
    assert asked(lettered("GFI", 100.0, 100.0 - SPOT), *over)


def test_three_strokes_of_letters_that_nobody_reads_are_a_question() -> None:
    assert asked(path((-2.0, -10.0), (-2.0, -14.0), (0.5, -14.0)), path((-2.0, -12.0), (0.0, -12.0)))

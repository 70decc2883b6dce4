"""Outlets that letters beside them tell apart: which doubtful words may be those letters, and which may not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cordpath.model import CircleMark, LineMark, TextMark, Word
from cordpath.symbols import spot
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of, word
from symbols.test_twins import STEMS

TWINS = rules(entry("duplex", STEMS), entry("gfi", (*STEMS, TextMark("GFI", (0, 0.15))), protection="device"))


@pytest.mark.parametrize(
    ("text", "confidence", "found"), [("GWA", 0.6, False), ("GWA", 0.95, True), ("A-21", 0.6, True)]
)
def test_two_drawn_texts_read_as_one_with_doubt_may_hold_the_letters_of_a_twin(
    text: str, confidence: float, found: bool
) -> None:
    """WA over GFI was read as GWA: the outlet was its twin without protection, for certain."""
    read = replace(word(text, 101, 110.8), origin="outline", confidence=confidence)
    (symbol,) = spot(sheet_of(strokes_of(STEMS, at(100, 100)), [read]), TWINS, ()).symbols
    assert (symbol.entry.name, symbol.found) == ("duplex", found)


def unsure(text: str, x0: float, x1: float, y: float, turned: bool) -> Word:
    """A doubtful drawn word beside a duplex at (100, 100), the whole of it read from below or turned with it."""
    read = word(text, 0, 0)
    box = (100 + x0, 100 + y - 3, 100 + x1, 100 + y + 3)
    if turned:
        box = (100 + y - 3, 100 - x1, 100 + y + 3, 100 - x0)
    return replace(read, box=box, angle=90.0 * turned, origin="stroke", confidence=0.6)


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(
    ("text", "x0", "x1", "y", "found"),
    [
        ("AIIII", -5, 8, 2.5, True),  # on the body's side of the place, not at it
        ("GIG", 1, 10, 19, True),  # on the far side of it
        ("AIIII", 5, 14, 10.8, True),  # its I is beyond the place, where the mark would be no part of the word
        ("GIG", -13, -4, 10.8, True),  # its G is before it: so are the others
        ("GIG", -5, 5, 10.8, False),
        ("AIIII", -12, 5, 12, False),
        ("GWA", -4, 12, 9.5, False),  # GFI with WA to its right,
        ("WAI", -12, 4, 12, False),  # and to its left,
        ("GWA", -7, 3, 10.8, False),  # in a broad face
        ("GPRWASDNORTH", -5, 33, 10.8, False),  # its middle is far from the mark, its beginning is not
    ],
)
def test_a_doubtful_word_tells_of_a_twin_only_where_it_would_hold_its_letters(
    text: str, x0: float, x1: float, y: float, found: bool, turned: bool
) -> None:
    """A ladder read as AIIII near an outlet made it a question, though its last letter was nowhere near."""
    read = unsure(text, x0, x1, y, turned)
    body = strokes_of(STEMS, at(100, 100, 90.0 if turned else 0.0))
    (symbol,) = spot(sheet_of(body, [read]), TWINS, ()).symbols
    assert (symbol.entry.name, symbol.found) == ("duplex", found)


def test_letters_higher_than_a_symbol_are_no_mark_of_it() -> None:
    """The ends of a hatch's lines under an outlet, read as TTI 25 pt high, made it a question."""
    read = replace(word("TTI", 100, 122), box=(94, 108, 106, 140), angle=182.0, size=34.5, origin="stroke",
                   confidence=0.6)  # fmt: skip
    (symbol,) = spot(sheet_of(strokes_of(STEMS, at(100, 100)), [read]), TWINS, ()).symbols
    assert (symbol.entry.name, symbol.found) == ("duplex", True)


def test_a_stem_that_a_plotter_has_rounded_is_no_letter_in_the_circle() -> None:
    """A short stem .1 pt off its place, and as much too long, was strokes that may be a G."""
    shape = (CircleMark((0, 0), 0.06), LineMark((-0.027, -0.053), (-0.027, -0.134)),
             LineMark((0.027, -0.053), (0.027, -0.134)))  # fmt: skip
    lettered = entry("gfi", (*shape, TextMark("G", (0, 0))), protection="device")
    drawn = strokes_of(shape, at(100, 100), sides=12)
    drawn[-1] += [0.1, 0.0, 0.1, -0.18]
    (symbol,) = spot(sheet_of(drawn), rules(entry("duplex", shape), lettered), ()).symbols
    assert (symbol.entry.name, symbol.found) == ("duplex", True)

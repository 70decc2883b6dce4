"""Labels that go anywhere beside symbols are no marks of the one that they lie on; codes at one place may be."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from cordpath.model import LineMark, Sheet, Spotting, Strokes, Word
from cordpath.symbols import spot
from symbols.test_passing_lines import BOTH, WALL, along
from symbols.test_spot import DUPLEX, ONE_SIDED, QUAD, at, entry, rules, sheet_of, strokes_of, word
from symbols.test_twins import SINGLE

TAILED = (*ONE_SIDED, LineMark((0.02, 0.12), (0.05, 0.12)))
DESIGNS = {"duplex": DUPLEX, "quad": QUAD, "tailed": TAILED}
MAPPING = rules(*(entry(name, shape) for name, shape in DESIGNS.items()))
CODE = "XK"  # no abbreviation of the trade
LAID_ON = (450, 450)


def sheet(beside: int, *more: Word, way: float | None = None, designs: int = 3) -> Sheet:
    """Symbols at all angles with the code beside each, anywhere or ``way`` degrees from its middle; and a duplex
    with the code on it."""
    xy, words = [strokes_of(DUPLEX, at(*LAID_ON))], [word(CODE, 451, 451, 5, line=99)]
    for k in range(beside):
        x, y = 60.0 + 70 * (k % 6), 60.0 + 70 * (k // 6)
        xy.append(strokes_of(list(DESIGNS.values())[k % designs], at(x, y, 40.0 * k)))
        a = math.radians(137.5 * k if way is None else way)
        words.append(word(CODE, x + 13 * math.cos(a), y + 13 * math.sin(a), 5, line=k))
    return sheet_of(xy, [*words, *more])


def on_it(spotting: Spotting) -> tuple[str, ...]:
    """What is said of the duplex with the code on it."""
    return next(s.reasons for s in spotting.symbols if math.dist(s.at, LAID_ON) < 1)


STRANGER = (f"the text '{CODE}' inside belongs to no mark of it",)


def test_a_code_that_goes_anywhere_is_no_mark_of_the_symbol_that_it_lies_on() -> None:
    assert on_it(spot(sheet(9), MAPPING, ())) == ()


def test_a_code_that_is_written_nowhere_else_is_a_question() -> None:
    assert on_it(spot(sheet(0), MAPPING, ())) == STRANGER


def test_few_codes_tell_no_habit() -> None:
    assert on_it(spot(sheet(5), MAPPING, ())) == STRANGER


def test_a_code_beside_symbols_of_two_designs_alone_may_be_a_mark_of_theirs() -> None:
    assert on_it(spot(sheet(10, designs=2), MAPPING, ())) == STRANGER


def test_a_code_always_on_one_side_may_be_a_mark() -> None:
    assert on_it(spot(sheet(9, way=90.0), MAPPING, ())) == STRANGER


def test_a_code_at_one_place_of_two_symbols_of_a_design_may_be_a_mark_of_it() -> None:
    twin = strokes_of(DUPLEX, at(200, 520))
    page = sheet(9, word(CODE, 201, 521, 5, line=98))
    page = replace(page, strokes=Strokes.of(np.concatenate([page.strokes.xy, twin])))
    assert on_it(spot(page, MAPPING, ())) == STRANGER


def test_a_code_on_a_plain_outlet_on_its_wall_hides_nothing_from_its_rivals() -> None:
    """While the code was a doubt, two lines in passing had made a rival of the outlet, and it was asked about."""
    moved = [xy + np.tile([100.0, 420.0], 2) for xy in (strokes_of(SINGLE, at(100, 100)), WALL, along(40.0, 60.0))]
    page = sheet(9, word(CODE, 201, 522, 5, line=98))
    page = replace(page, strokes=Strokes.of(np.concatenate([page.strokes.xy, *moved])))
    mapping = rules(*MAPPING.symbols, *(replace(e, name=f"{e.name} on a wall") for e in BOTH.symbols))
    assert [
        (s.entry.name, s.found) for s in spot(page, mapping, ()).symbols if math.dist(s.at, (200, 520)) < 1
    ] == [("single on a wall", True)]

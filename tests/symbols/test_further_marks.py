"""Outlets with one mark more than their entry, drawn again at others of it: a design that no entry names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely

from cordpath.model import CircleMark, LineMark, Mark, PolylineMark, Spotting, TextMark, Word
from cordpath.symbols import spot
from symbols.test_spot import at, sheet_of, strokes_of
from symbols.test_twins import entry, painted, rules

R = 6 / 72
BARS: tuple[Mark, ...] = (
    CircleMark((0, 0), R),
    *(LineMark((x / 72, -9 / 72), (x / 72, 9 / 72)) for x in (-2, 2)),
)
STEM = (LineMark((R, 0), (1.8 * R, 0)),)
TICKS = (LineMark((R, 0), (1.6 * R, 0)), LineMark((-R, 0), (-1.6 * R, 0)))
RING = (CircleMark((1.3 * R, 0), 0.3 * R),)
FLAG = (LineMark((R, 0), (1.5 * R, -0.5 * R)), LineMark((1.5 * R, -0.5 * R), (1.5 * R, 0.5 * R)))
FACE = LineMark((-9 * R, -1.5 * R), (9 * R, -1.5 * R))  # of a wall, at which the bars end
ROW = LineMark((-0.4 * R, -1.5 * R), (0.5 * R, -2.1 * R))  # of the hatch in it
BEND = tuple((R + a * R, -a * a * R) for a in (0, 0.5, 1, 1.5, 2, 2.5))
WIRE = tuple(LineMark(*ends) for ends in pairwise(BEND))
APART = (LineMark((2 * R, 0), (3 * R, 0)),)
PLACES = ((100, 100, 0.0), (240, 100, 90.0), (100, 240, 180.0), (240, 240, 33.0), (380, 240, 250.0))


def spotted(marked: int, *more: Mark, body: Sequence[Mark] = BARS, letters: bool = False) -> Spotting:
    """Five outlets, the first ``marked`` of them with ``more`` drawn at them, as ``letters`` where that is asked
    for."""
    plain = [strokes_of(body, at(*place)) for place in PLACES]
    beside = [strokes_of(more, at(*place)) for place in PLACES[:marked]]
    areas = [
        shapely.Polygon(replace(at(*place), scale=72.0).apply(np.array(mark.points)))
        for mark in body if isinstance(mark, PolylineMark) and mark.filled for place in PLACES
    ]  # fmt: skip
    sheet = sheet_of([*plain, *beside], fills=painted(*areas) if areas else None)
    if letters:
        sheet = replace(sheet, lettered=np.repeat([-1, 0], [sum(map(len, plain)), sum(map(len, beside))]))
    return spot(sheet, rules(entry("duplex", body)), ())


def found(marked: int, *more: Mark, body: Sequence[Mark] = BARS, letters: bool = False) -> list[bool]:
    """Which of them are found for certain."""
    symbols = spotted(marked, *more, body=body, letters=letters).symbols
    by_place = {(round(s.at[0], -1), round(s.at[1], -1)): s.found for s in symbols if s.entry.name}
    return [by_place[x, y] for x, y, _ in PLACES]


@pytest.mark.parametrize("more", [STEM, TICKS, RING, FLAG])
@pytest.mark.parametrize("marked", [2, 4])
def test_a_mark_that_comes_again_makes_another_design(more: Sequence[Mark], marked: int) -> None:
    """Beyond the outline nothing was a mark: a duplex with a stem at its side was the plain one for certain."""
    assert found(marked, *more) == [False] * marked + [True] * (5 - marked)


def test_they_are_told_together() -> None:
    assert any(
        "3 symbols are drawn like 'duplex' with a line more" in note for note in spotted(3, *STEM).assumptions
    )
    assert not any("with a line more" in note for note in spotted(0).assumptions)


def test_what_looks_like_a_light_may_be_an_outlet() -> None:
    """It was a light for certain, and no outlet stood there."""
    xy = [strokes_of((*BARS, *(STEM if k < 2 else ())), at(*place)) for k, place in enumerate(PLACES)]
    symbols = spot(sheet_of(xy), rules(entry("light", BARS, "light")), ()).symbols
    assert sorted(symbol.found for symbol in symbols) == [False, False, True, True, True]


def test_what_is_at_one_of_them_or_at_all_of_them_tells_nothing() -> None:
    assert all(found(1, *STEM)), "clutter lies anywhere"
    assert all(found(5, *STEM)), "the office draws it so, and the mapping file leaves the stem out"


@pytest.mark.parametrize(
    ("more", "letters"),
    [((FACE,), False), ((FACE, ROW), False), (WIRE, False), (STEM, True), (APART, False)],
)
def test_walls_wires_letters_and_what_is_apart_are_no_marks(more: Sequence[Mark], letters: bool) -> None:
    assert all(found(3, *more, letters=letters))


def test_a_bar_along_the_edge_of_paint_is_a_mark_where_it_goes_on() -> None:
    """Most of it lies on the edge of the filled half, and so it was the half's own."""
    q = 6 / 72
    square = PolylineMark(((-q, -q), (q, -q), (q, q), (-q, q)), True)
    half = PolylineMark(((-q, -q), (0, -q), (0, q), (-q, q)), True, True)
    assert found(2, LineMark((0, -1.5 * q), (0, 1.4 * q)), body=(square, half)) == [False, False, True, True, True]


def test_letters_of_the_symbol_itself_are_no_marks() -> None:
    """They stand upright in boxes that are turned: three of five had an L at one place, and two at others."""
    q = 8 / 72
    corners = ((-q, -q), (q, -q), (q, q), (-q, q))
    marks = (PolylineMark(corners, True), LineMark((-q, -q), (0, -1.6 * q)), TextMark("L", (0, 0)))
    letter = (LineMark((-2 / 72, -3 / 72), (-2 / 72, 3 / 72)), LineMark((-2 / 72, 3 / 72), (2 / 72, 3 / 72)))
    places = [(x, y, 33.0 if k > 2 else 0.0) for k, (x, y, _) in enumerate(PLACES)]
    xy = [strokes_of(marks, at(*place)) for place in places] + [strokes_of(letter, at(x, y)) for x, y, _ in places]
    words = [
        Word("L", (x - 2, y - 3, x + 2, y + 3), 0.0, 8.3, k, origin="stroke") for k, (x, y, _) in enumerate(places)
    ]
    symbols = spot(sheet_of(xy, words), rules(entry("floor box", marks)), ()).symbols
    assert [symbol.found for symbol in symbols] == [True] * 5

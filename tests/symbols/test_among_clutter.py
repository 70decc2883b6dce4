"""Outlets among lines of others, as found on full sheets: what makes none of them another, and none of a circle."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.geometry import Similarity
from cordpath.model import CircleMark, LineMark, Mapping, PolylineMark, TextMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, names, rules, sheet_of, strokes_of, word
from symbols.test_twins import BEHIND, HALF, PLAIN, STEMS, UP, on_wall, painted

BARS = (CircleMark((0, 0), 6 / 72), *(LineMark((-9 / 72, y / 72), (9 / 72, y / 72)) for y in (-2, 2)))


def path(*points: tuple[float, float]) -> np.ndarray:
    """Lines from point to point, about (100, 100)."""
    xy = np.array(points) + 100.0
    return np.c_[xy[:-1], xy[1:]]


def rows(gap: float, start: float, x: tuple[float, float], count: int = 14) -> np.ndarray:
    y = start + gap * np.arange(count)
    return np.c_[np.full(count, x[0]), y, np.full(count, x[1]), y]


def found(xy: list[np.ndarray], mapping: Mapping, angle: float = 0.0) -> list[str]:
    turn = Similarity(1.0, angle, False, (100.0, 100.0))
    turned = [turn.apply((part - 100).reshape(-1, 2)).reshape(-1, 4) for part in xy]
    return names(spot(sheet_of(turned), mapping, ()))


@pytest.mark.parametrize("angle", [0.0, 90.0])
def test_the_face_of_a_wall_and_a_row_where_its_hatch_ends_are_no_bars(angle: float) -> None:
    """A false outlet was made of a circle: its one line went past both ends of the bar, and the other past one."""
    face = np.array([[8.0, 97.9, 124.0, 97.9]])
    hatch = [rows(2.5, 102.1, (66.0, 105.3)), rows(3.1, 104.9, (61.0, 104.6))]
    plain = rules(entry("duplex", BARS))
    assert not found([strokes_of(BARS[:1], at(100, 100)), face, *hatch], plain, angle)
    assert found([strokes_of(BARS, at(100, 100)), *hatch], plain, angle) == ["duplex"]


ROUND = CircleMark((0, 0), 6 / 72)
ONE = (ROUND, LineMark((0, -9 / 72), (0, 9 / 72)))
LIGHT = (ROUND, *(LineMark((x / 12, y / 12), (x / 8, y / 8)) for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1))))
TRIPLE = (*ONE, *(LineMark((x / 24, -9 / 72), (x / 24, 9 / 72)) for x in (-1, 1)))
SIMPLE = rules(
    entry("single", ONE, wall_side=UP, volts=120.0),
    entry("triplex", TRIPLE, wall_side=UP, volts=208.0),
    entry("light", LIGHT, "light"),
)


@pytest.mark.parametrize("end", [96.3, 103.4])
def test_a_wall_and_a_row_of_hatch_along_a_single_make_no_triplex_of_it(end: float) -> None:
    """Of the triplex a part of a bar is not there, and what is there of the bars is a wall's face and a row of
    hatch that goes on past one end."""
    x = np.arange(76.85, 130.0, 2.5)
    hatch = np.c_[x, np.full(len(x), 75.0), x, np.full(len(x), end)]
    face = np.array([[102.9, 70.0, 102.9, 150.0]])
    assert found([*on_wall(100, ONE), hatch, face], SIMPLE) == ["single"]


def test_bars_of_their_own_beside_the_line_of_a_single_are_a_question() -> None:
    for ends in ((109.0, 109.0), (109.0, 103.4)):
        bars = np.array([[x, 91.0, x, end] for x, end in zip((97.0, 103.0), ends, strict=True)])
        assert "single" not in found([*on_wall(100, ONE), bars], SIMPLE)


def test_rows_of_hatch_along_a_half_painted_symbol_make_no_other_of_it() -> None:
    """As found on a sheet: a quadruplex has no paint, and the paint is the half one's; but its stems drawn as marks
    are a question, whatever is painted."""
    half = (*BARS, PolylineMark(tuple((x * 6 / 4.5, y * 6 / 4.5) for x, y in HALF), closed=True, filled=True))
    stems = tuple(LineMark((x / 36, -1 / 8), (x / 36, 1 / 8)) for x in (-1, 1))
    both = rules(entry("half", half, protection="device"), entry("quad", (*BARS, *stems)))
    fill = painted(shapely.Polygon([(100 + 96 * x, 100 - 96 * y) for x, y in HALF]))
    x = 100.0 + np.arange(-18.0, 19.0, 2.0)
    rows = np.c_[x, np.full(len(x), 88.0), x, np.full(len(x), 121.0)]
    drawn = strokes_of(BARS, at(100, 100))
    assert names(spot(sheet_of([drawn, rows], fills=fill), both, ())) == ["half"]
    assert not names(spot(sheet_of([drawn, strokes_of(stems, at(100, 100))], fills=fill), both, ()))


WILD = {
    "in and out": path((2.6, 15.8), (-3.6, 1.8), (5.2, -5.8), (11.6, 6.6), (21.0, 12.0)),
}


@pytest.mark.parametrize("angle", [0.0, 90.0, 31.0])
@pytest.mark.parametrize("line", WILD)
def test_a_line_that_wanders_through_a_symbol_without_order_is_no_mark_of_it(line: str, angle: float) -> None:
    """It does not reach far from the symbol; marks that reach as far have an order."""
    assert found([strokes_of(BARS, at(100, 100)), WILD[line]], rules(entry("duplex", BARS)), angle) == ["duplex"]


@pytest.mark.parametrize(
    "mark",
    [
        path((-15, 5), (4, -4), (-4, 4), (15, -5)),  # a bolt
        path((-13, -13), (13, -13), (13, 13), (-13, 13), (-13, -13)),  # a frame
    ],
)
def test_a_mark_with_an_order_that_reaches_out_of_a_symbol_is_a_question(mark: np.ndarray) -> None:
    frame = mark if len(mark) < 4 else np.concatenate([mark, (mark - 100) * 0.35 + 100])
    assert not found([strokes_of(BARS, at(100, 100)), frame], rules(entry("duplex", BARS)))


def test_linesof_hatch_do_not_paint_the_bare_half_of_a_symbol_that_paint_fills() -> None:
    half = (*BARS, PolylineMark(tuple((x * 6 / 4.5, y * 6 / 4.5) for x, y in HALF), closed=True, filled=True))
    fill = painted(shapely.Polygon([(100 + 96 * x, 100 - 96 * y) for x, y in HALF]))
    hatch = [
        rows(2.5, 80.3, (93.0, 107.5), 16),
        rows(2.5, 78.9, (92.0, 109.0), 15),
        rows(3.1, 79.5, (91, 108.0), 13),
    ]
    both = rules(entry("duplex", BARS), entry("half", half, protection="device"))
    turned = [np.concatenate([h[:, [1, 0]], h[:, [3, 2]]], axis=1) for h in hatch]
    sheet = sheet_of([strokes_of(BARS, at(100, 100)), *turned], fills=fill)
    assert names(spot(sheet, both, ())) == ["half"]


GFI = rules(entry("duplex", STEMS), entry("gfi", (*STEMS, TextMark("GFI", (0, 0.15))), protection="device"))


def test_two_texts_of_one_line_of_which_one_stands_higher_are_taken_apart() -> None:
    """They hardly overlap, but no text is taller than its letters."""
    alone = [word(text, x, 300) for text, x in (("GFI", 200), ("WA", 300), ("WA", 340))]
    over = replace(word("GFIWA", 103.6, 110.8), box=(94.7, 107.0, 112.5, 114.6))
    level = replace(over, box=(94.7, 107.8, 112.5, 113.8))
    for run, what in ((over, ["gfi"]), (level, [])):
        assert names(spot(sheet_of(strokes_of(STEMS, at(100, 100)), [*alone, run]), GFI, ())) == what


def test_letters_in_the_midst_of_a_word_of_a_note_are_a_mark_at_the_place_of_the_mark_only() -> None:
    for x, what in ((90.0, ["duplex"]), (100.0, [])):
        note = word("JJRGSEGFIGEIR", x, 110.8)
        assert names(spot(sheet_of(strokes_of(STEMS, at(100, 100)), [note]), GFI, ())) == what


def test_many_outlets_of_a_plain_design_are_no_accident() -> None:
    """Their own lines were counted among those that may lie across circles by chance, and the more outlets of the
    design a sheet had, the more of them were questions."""
    places = [(x, y) for x in np.arange(60.0, 420.0, 30.0) for y in np.arange(200.0, 500.0, 25.0)]
    many = [part + np.tile([x - 100, y - 100], 2) for part in on_wall(100) for x, y in places]
    symbols = spot(sheet_of([*on_wall(100), BEHIND, *many]), PLAIN, ()).symbols
    assert [s.found for s in symbols if math.dist(s.at, (100, 100)) < 3] == [True]


TAILED = (*BARS, LineMark((0, -6 / 72), (0, -10 / 72)))
TICKED = (*TAILED, LineMark((-2.5 / 72, 8 / 72), (2.5 / 72, 8 / 72)))


@pytest.mark.parametrize("angle", [0.0, 90.0])
@pytest.mark.parametrize(("drawn", "least"), [(TICKED, {"plain", "GFCI"}), (TAILED, {"plain"})])
def test_a_tick_among_the_lines_of_a_water_closet_is_not_overlooked(
    drawn: tuple[CircleMark | LineMark, ...], least: set[str], angle: float
) -> None:
    """As found on a sheet: about the tick there was more of the seat, so that the outlet without it won, for
    certain, and lacked its protection."""
    turns = np.linspace(0, 2 * np.pi, 21)
    seat = path(*zip(10 * np.sin(turns) - 3.6, 14.3 * np.cos(turns) + 17.8, strict=True))
    tank = path((-18, -8.3), (10.8, -8.3), (10.8, 3.2), (-18, 3.2), (-18, -8.3))
    turn = Similarity(1.0, angle, False, (100.0, 100.0))
    xy = [
        turn.apply((part - 100).reshape(-1, 2)).reshape(-1, 4)
        for part in (strokes_of(drawn, at(100, 100)), seat, tank)
    ]
    mapping = rules(entry("plain", TAILED), entry("GFCI", TICKED, protection="device"))
    (symbol,) = spot(sheet_of(xy), mapping, ()).symbols
    assert {symbol.entry.name, *symbol.rivals} == least
    assert symbol.found == (least == {"plain"})


def test_lines_across_a_dark_half_are_no_bars_of_one_whose_letters_are_missing() -> None:
    """The paint that makes it what it is was no mark of the other, and yet the other spoke against it."""
    dark = tuple((math.cos(t) / 12, math.sin(t) / 12) for t in np.linspace(0, math.pi, 17))
    half = (*BARS, PolylineMark(dark, closed=True, filled=True))
    both = rules(entry("half", half), entry("gfi", (*BARS, TextMark("GFI", (0, -11 / 72)))))
    ring = [(100 + 6 * math.cos(t), 100 + 6 * math.sin(t)) for t in np.radians(np.linspace(143, 323, 17))]
    lines = np.array([[102.0, 75.8, 102.0, 114.4], [98.0, 80.3, 98.0, 109.1]])
    xy = [strokes_of(BARS, at(100, 100, 217)), lines]
    assert names(spot(sheet_of(xy, fills=painted(shapely.Polygon(ring))), both, ())) == ["half"]


@pytest.mark.parametrize("size", [1.0, 0.6])
@pytest.mark.parametrize(("shape", "degrees"), [(BARS, 35), (BARS, 45), (TRIPLE, 60), (TRIPLE, 30)])
def test_a_slash_from_rim_to_rim_is_a_mark_of_another_symbol(
    shape: tuple[CircleMark | LineMark, ...], degrees: float, size: float
) -> None:
    """A third of it lies near the bars that it crosses and the rim, so that it was no line of its own: of 162
    slashes in duplexes, triplexes and quads 81 were none, and the plain design was certain."""
    a = math.radians(degrees)
    slash = LineMark((-math.cos(a) / 12, -math.sin(a) / 12), (math.cos(a) / 12, math.sin(a) / 12))
    plain, drawn = (strokes_of(marks, at(100, 100, 13.0, scale=size)) for marks in (shape, (*shape, slash)))
    mapping = rules(entry("plain", shape, scales=(0.55, 1.05)))
    assert names(spot(sheet_of(plain), mapping, ())) == ["plain"]
    assert not names(spot(sheet_of(drawn), mapping, ()))

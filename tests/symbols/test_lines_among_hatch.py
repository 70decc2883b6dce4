"""Outlets among rows of hatch: their own lines end where the marks end, and rows where their hatch does."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.model import CircleMark, LineMark, Mapping, Mark, Spotting
from cordpath.symbols import spot
from symbols.test_spot import at, entry, names, rules, sheet_of, strokes_of

CIRCLE = CircleMark((0, 0), 6 / 72)


def bar(x: float) -> LineMark:
    return LineMark((x / 72, -9 / 72), (x / 72, 9 / 72))


SINGLE, TRIPLEX = (CIRCLE, bar(0.0)), (CIRCLE, *map(bar, (-3.0, 0.0, 3.0)))
STUBS = ((1, 0), (-1, 0), (0, 1), (0, -1))
LAMP = (CIRCLE, *(LineMark((a / 12, b / 12), (a / 8, b / 8)) for a, b in STUBS))
UP = (0.0, 1.0)
ALL = rules(*(entry(name, shape, wall_side=UP) for name, shape in
              (("single", SINGLE), ("triplex", TRIPLEX))), entry("lamp", LAMP, "light"))  # fmt: skip
WALL = np.array([[70.0, 91.0, 130.0, 91.0], [70.0, 87.0, 130.0, 87.0]])


def rows(first: float, count: int, top: float, bottom: float, gap: float = 2.5) -> np.ndarray:
    """Upright rows about (100, 100), the first so far right of it."""
    x = 100 + first + gap * np.arange(count)
    return np.c_[x, np.full(count, 100 + top), x, np.full(count, 100 + bottom)]


def level(xy: np.ndarray) -> np.ndarray:
    return np.asarray(xy[:, [1, 0, 3, 2]])


def found(shape: tuple[Mark, ...], *others: np.ndarray, mapping: Mapping = ALL) -> list[str]:
    return names(spot(sheet_of([strokes_of(shape, at(100, 100)), *others]), mapping, ()))


@pytest.mark.parametrize("bottom", [11.56, 17.0])
@pytest.mark.parametrize("first", [2.5, 2.68], ids=["as far as rows", "a little farther"])
def test_a_line_beside_a_hatch_that_ends_elsewhere_is_no_row_of_it(first: float, bottom: float) -> None:
    """As found on sheets: the line lies about where the next row would, and was taken for one."""
    assert found(SINGLE, WALL, rows(first, 10, -9.0, bottom)) == ["single"]
    both = np.r_[rows(first, 10, -9.0, bottom), rows(-first - 22.5, 10, -9.0, bottom)]
    assert found(SINGLE, WALL, both) == ["single"]


@pytest.mark.parametrize("bottom", [9.0, 9.4])
def test_a_line_that_ends_as_the_rows_beside_it_may_be_a_row(bottom: float) -> None:
    assert "single" not in found(SINGLE, WALL, rows(2.5, 10, -9.0, bottom))
    assert "single" not in found((CIRCLE,), WALL, rows(-25.0, 21, -9.0, bottom))


def test_a_line_that_ends_as_slanting_rows_tell_may_be_a_row() -> None:
    """A hatch with a slanting edge: each row ends farther down than the one before it."""
    slanting = rows(-25.0, 21, -9.0, 9.0)
    slanting[:, 3] += 0.4 * (slanting[:, 0] - 100)
    assert "single" not in found((CIRCLE,), WALL, slanting)


def test_a_line_in_rows_of_bricks_may_be_one_of_them() -> None:
    """Every other row is shifted by half a brick, so that the rows beside one end elsewhere."""
    bricks = np.concatenate([rows(-25.0 + 2.5 * odd, 10, 18 * k - 9 + 9 * odd, 18 * k + 9 + 9 * odd, 5.0)
                             for k in (-2, -1, 0, 1, 2) for odd in (0, 1)])  # fmt: skip
    assert "single" not in found((CIRCLE,), WALL, bricks)


def test_a_line_in_a_hatch_that_ends_anyhow_may_be_a_row() -> None:
    """Where rows of all lengths are drawn, chance makes some as long as the mark."""
    rng = np.random.default_rng(1)
    ragged = np.concatenate([rows(-60.0, 49, y - 9, y + 9) for y in np.arange(-60.0, 61.0, 24.0)])
    ragged[:, 1] += rng.uniform(-2, 2, len(ragged))
    ragged[:, 3] += rng.uniform(-2, 2, len(ragged))
    ragged[(np.abs(ragged[:, 0] - 100) < 1) & (np.abs(ragged[:, 1] - 91) < 3)] = (100.0, 91.0, 100.0, 109.0)
    others = [strokes_of((CIRCLE,), at(x, y)) for x in (40.0, 160.0) for y in (40.0, 70.0, 130.0, 160.0)]
    assert "single" not in found((CIRCLE,), WALL, ragged, *others)


HELD = np.array([[84.0, 91.03, 126.0, 91.03], [84.0, 87.0, 126.0, 87.0]])


def test_bars_that_end_on_rows_of_hatch_are_held_by_nobody() -> None:
    """Rows along the stubs of a lamp, and one where the bars end: between it and the wall they were nobody's."""
    across = level(rows(-0.22 - 15, 12, -9.5, 0.51))
    ends = level(rows(-9.07 + 18.1, 14, -24.1, 12.15))
    assert found(TRIPLEX, HELD, across, ends) == ["triplex"]


def test_a_line_between_its_wall_and_a_row_that_ends_there_is_its_own() -> None:
    """As found on sheets, where two hatches overlap: the line seemed to turn a corner into the row."""
    over = [level(rows(-first - 25.0, 11, -30.0, right)) for first, right in ((9.1, 0.0), (10.2, -8.0))]
    assert found(SINGLE, WALL, *over) == ["single"]
    corner = np.array([[70.0, 91.0, 100.0, 91.0]])  # where the row is one line of its own, it may turn into it
    assert found(SINGLE, WALL, corner) == []


def test_a_line_beside_a_long_one_that_is_a_row_elsewhere_is_no_row() -> None:
    """As found on a sheet: a dimension line ran through a hatch, as far from its rows as from the line."""
    elsewhere = level(rows(2.4 - 24.0, 11, -90.0, -40.0, 2.4))
    elsewhere[-1, 2] = 120.0
    line = strokes_of(SINGLE, at(100, 100, 90.0))
    assert names(spot(sheet_of([line, level(WALL), elsewhere]), ALL, ())) == ["single"]


def test_bars_between_a_wall_and_one_other_line_may_be_nobodys() -> None:
    across = level(rows(-0.22 - 15, 12, -9.5, 0.51))
    assert "triplex" not in found(TRIPLEX, HELD, across, np.array([[76.0, 109.0, 112.0, 109.0]]))


def test_a_line_between_two_stubs_of_a_lamp_makes_no_single_of_it() -> None:
    """As found on a sheet: with them it ended where the line of a single ends, and was one, for certain."""
    assert "single" not in found(LAMP, WALL, rows(0.0, 1, -3.8, 8.6))


DUPLEX = (CIRCLE, bar(-3.0), bar(3.0))
THREE = rules(*ALL.symbols, entry("duplex", DUPLEX, wall_side=UP))


def asked(result: Spotting) -> list[tuple[str, bool]]:
    return [(s.entry.name, s.found) for s in result.symbols]


@pytest.mark.parametrize(("gap", "count", "first"), [(1.5, 21, -15.0), (3.0, 21, -29.7), (3.0, 8, -3.0)],
                         ids=["dense", "a little aside", "at its edge"])  # fmt: skip
def test_a_circle_in_a_strip_of_hatch_as_wide_as_bars_are_long_is_a_question(
    gap: float, count: int, first: float
) -> None:
    """Three rows ended where the bars of a triplex end, and it was one for certain."""
    sheet = sheet_of([strokes_of((CIRCLE,), at(100, 100)), WALL, rows(first, count, -9.0, 9.0, gap)])
    assert asked(spot(sheet, THREE, ())) == [("triplex", False)]


@pytest.mark.parametrize(("shape", "gap", "first"),
                         [(DUPLEX, 2.5, -25.0), (SINGLE, 3.0, -29.7), (LAMP, 1.5, -14.7)],
                         ids=["duplex", "single", "lamp"])  # fmt: skip
def test_rows_beside_the_lines_of_another_symbol_make_no_triplex_of_it(
    shape: tuple[Mark, ...], gap: float, first: float
) -> None:
    assert found(shape, WALL, rows(first, 21, -9.0, 9.0, gap), mapping=THREE) == []


@pytest.mark.parametrize("bottom", [9.0, 60.0], ids=["as wide as the bars are long", "boards of a deck"])
@pytest.mark.parametrize("name", ["duplex", "triplex"])
def test_bars_that_do_not_fall_in_with_the_rows_about_them_are_its_own(name: str, bottom: float) -> None:
    shape = {"duplex": DUPLEX, "triplex": TRIPLEX}[name]
    assert found(shape, WALL, rows(-58.5, 21, -bottom, bottom, 6.0), mapping=THREE) == [name]


@pytest.mark.parametrize("apart", [12.0, 18.0], ids=["touching", "evenly, bars and all"])
@pytest.mark.parametrize("name", ["duplex", "triplex"])
def test_bars_of_like_outlets_side_by_side_are_no_hatch(name: str, apart: float) -> None:
    shape, wall = {"duplex": DUPLEX, "triplex": TRIPLEX}[name], WALL + np.array([-30.0, 0.0, 60.0, 0.0])
    side_by_side = [strokes_of(shape, at(100 + apart * k, 100)) for k in range(5)]
    assert names(spot(sheet_of([*side_by_side, wall]), THREE, ())) == [name] * 5


def test_a_symbol_of_many_bars_is_no_hatch() -> None:
    grate = (CIRCLE, *map(bar, np.arange(-6.0, 6.1, 1.5)))
    assert found(grate, WALL, mapping=rules(entry("grate", grate, wall_side=UP))) == ["grate"]


@pytest.mark.parametrize("top", [-60.0, -9.0], ids=["through it", "from the wall on"])
def test_a_board_of_a_deck_through_the_middle_of_a_duplex_is_no_third_bar(top: float) -> None:
    """It was a triplex by name, though to the rules the two are one: its own bars end where the marks end."""
    assert found(DUPLEX, WALL, rows(-59.9, 21, top, 60.0, 6.0), mapping=THREE) == ["duplex"]


@pytest.mark.parametrize(("gap", "top", "bottom"), [(8.0, -9.0, 9.0), (6.0, -10.0, 10.0)],
                         ids=["as wide as the bars are long", "a little wider"])  # fmt: skip
def test_a_board_between_the_bars_of_a_duplex_makes_no_protected_one_of_it(
    gap: float, top: float, bottom: float
) -> None:
    both = rules(entry("duplex", DUPLEX), entry("gfci", TRIPLEX, protection="device"))
    assert found(DUPLEX, rows(-10 * gap + 0.1, 21, top, bottom, gap), mapping=both) == []


def test_bars_between_close_rows_of_their_length_fall_in_with_no_fifth_row_of_them() -> None:
    """As found on a sheet: among rows 2.5 pt apart, some of every five lie about where a bar would have them."""
    narrow, hatch = (CIRCLE, bar(-2.0), bar(2.0)), rows(-59.3, 27, -9.42, 8.94, 65.04 / 26)
    plain = rules(entry("duplex", narrow), entry("single", SINGLE))
    assert found(narrow, hatch, mapping=plain) == ["duplex"]


PAIR = (CIRCLE, bar(-2.0), bar(2.0))
PAIRS = rules(entry("single", SINGLE), entry("pair", PAIR), entry("triplex", TRIPLEX))


def over(xy: np.ndarray, shape: tuple[Mark, ...]) -> list[str]:
    return names(spot(sheet_of([xy, strokes_of(shape, at(100, 100))]), PAIRS, ()))


@pytest.mark.parametrize(("top", "bottom"), [(-5.3, 11.78), (-14.0, 4.0), (-14.0, 14.0)])
def test_a_row_along_a_bar_does_not_take_the_bar_away(top: float, bottom: float) -> None:
    """As found on sheets: a row lay on a bar, and the bar seemed to end where the hatch does."""
    hatch = rows(-2.0 - 25.0, 21, top, bottom)
    assert over(hatch, PAIR) == ["pair"]
    assert over(hatch, (CIRCLE, bar(2.0))) == []
    assert over(rows(-25.0, 21, top, bottom), (CIRCLE, bar(-3.0), bar(3.0))) == []


def test_a_row_along_a_row_that_is_as_long_as_a_bar_makes_no_bar_of_it() -> None:
    strip = np.r_[rows(-2.0 - 25.0, 21, -5.3, 11.78), rows(-2.0 - 25.0, 11, -9.0, 9.0)]
    assert over(strip, (CIRCLE, bar(2.0))) == []

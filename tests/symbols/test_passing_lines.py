"""Walls and rows of hatch along a plain outlet make no other of it, where its own line is drawn in full."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.geometry import Similarity
from cordpath.model import LineMark, PolylineMark, TextMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, names, rules, sheet_of, strokes_of, word
from symbols.test_twins import CIRCLE, SINGLE, UP

BARS = (CIRCLE, *(LineMark((x, -0.125), (x, 0.125)) for x in (-0.028, 0.028)))
TRIPLE = (*BARS, LineMark((0, -0.125), (0, 0.125)))
BOTH = rules(entry("single", SINGLE, wall_side=UP), entry("duplex", BARS, wall_side=UP, volts=240.0))
ALL = rules(*BOTH.symbols, entry("triplex", TRIPLE, wall_side=UP, volts=208.0))
WALL = np.array([[70.0, 91.0, 130.0, 91.0], [70.0, 87.0, 130.0, 87.0]])


def along(below: float, above: float) -> np.ndarray:
    """Two lines where a duplex has its bars, from so far above its middle to so far below."""
    return np.array([[x, 100 - above, x, 100 + below] for x in (97.984, 102.016)])


def found(xy: list[np.ndarray], angle: float = 0.0, mapping=BOTH) -> list[str]:  # type: ignore[no-untyped-def]
    turn = Similarity(1.0, angle, False, (100.0, 100.0))
    turned = [turn.apply((part - 100).reshape(-1, 2)).reshape(-1, 4) for part in xy]
    return names(spot(sheet_of(turned), mapping, ()))


@pytest.mark.parametrize("angle", [0.0, 90.0, 217.0])
@pytest.mark.parametrize(("below", "above"), [(40.0, 60.0), (12.0, 30.0)])
def test_two_lines_in_passing_make_no_duplex_of_a_single(angle: float, below: float, above: float) -> None:
    """They go on beyond both ends of where its bars would be, and its own line ends where its mark ends."""
    assert found([strokes_of(SINGLE, at(100, 100)), WALL, along(below, above)], angle) == ["single"]


def test_rows_of_hatch_along_a_single_make_no_duplex_of_it() -> None:
    """They begin within the bars that they look like, as found on a sheet."""
    x = np.arange(-40.0, 41.0, 4.032) + 97.984
    rows = np.c_[x, np.full(len(x), 92.0), x, np.full(len(x), 122.0)]
    assert found([strokes_of(SINGLE, at(100, 100)), WALL, rows]) == ["single"]


@pytest.mark.parametrize("reach", [9.0, 9.3])
def test_bars_that_end_where_bars_end_are_a_question_beside_a_single_line(reach: float) -> None:
    assert "single" not in found([strokes_of(SINGLE, at(100, 100)), WALL, along(reach, reach)])


@pytest.mark.parametrize("end", [0.115, 0.14])
def test_a_line_of_another_length_between_two_in_passing_is_no_single(end: float) -> None:
    other = (CIRCLE, LineMark((0, -0.125), (0, end)))
    assert "single" not in found([strokes_of(other, at(100, 100)), WALL, along(40.0, 60.0)])


def test_two_lines_in_passing_and_the_bars_of_a_duplex_are_no_single() -> None:
    mark = strokes_of(BARS, at(100, 100))
    assert "single" not in found([mark, WALL, along(40.0, 60.0) + 0.3])


def test_what_may_be_a_triplex_with_walls_along_its_bars_is_a_question() -> None:
    """A triplex has the single's line too: nothing tells which of the two it is."""
    lines = along(40.0, 60.0)
    assert not found([strokes_of(SINGLE, at(100, 100)), WALL, lines], mapping=ALL)


@pytest.mark.parametrize("end", [9.0, 10.5])
def test_a_circle_over_a_wall_and_a_line_that_ends_in_it_is_no_duplex(end: float) -> None:
    """As found on a sheet: a wall's face went on beyond both ends of a bar, a dimension line beyond one."""
    lines = np.array([[97.9, 60.0, 97.9, 115.0], [102.1, 60.0, 102.1, 100.0 + end]])
    circle = strokes_of((CIRCLE,), at(100, 100))
    assert found([circle, WALL, lines]) == []
    own = np.array([[102.1, 91.0, 102.1, 109.0]])  # a bar that ends as bars do: the other may lie under the wall
    assert found([circle, WALL, lines[:1], own]) == ["duplex"]


LAMP = (CIRCLE, *(LineMark((s * 0.083, 0), (s * 0.125, 0)) for s in (-1, 1)))
BOX = (CIRCLE, TextMark("J", (0, 0)))


def beside_a_box(outer: float) -> list[str]:
    """What a circle with a J is found as, with rows of two hatches on either side of it, one of which lies where a
    lamp has its stubs, out to ``outer`` pt from its middle."""
    rows = [
        np.c_[np.full(16, near), y, np.full(16, outer), y]
        for near, y in ((6.2, 100 + 2.5 * np.arange(-6, 10)), (6.2, 101.2 + 3.1 * np.arange(-8, 8)))
    ]
    sides = [row * (s, 1, s, 1) + (100, 0, 100, 0) for row in rows for s in (-1, 1)]
    lettered = sheet_of([strokes_of((CIRCLE,), at(100, 100)), *sides], [word("J", 100, 100, 8)])
    mapping = rules(entry("lamp", LAMP, "light"), entry("box", BOX, "hardwired outlet"))
    return names(spot(lettered, mapping, ()))


def test_rows_of_hatch_that_end_at_a_lettered_circle_are_no_stubs_of_a_lamp() -> None:
    """Rows were looked for in the lettered circle only, and the stubs lie outside it."""
    assert beside_a_box(30.0) == ["box"]


def test_rows_that_end_where_the_stubs_of_a_lamp_end_are_a_question() -> None:
    assert beside_a_box(9.0) == []


TWO_HATCHES, STRIP = ((-3.3, 10.2, 0.0, 2.5), (-9.1, 7.2, 0.05, 3.1)), ((-9.0, 9.0, 0.0, 2.5),)


@pytest.mark.parametrize(("hatches", "names_found"), [(TWO_HATCHES, ["box"]), (STRIP, [])])
def test_rows_of_two_hatches_across_a_lettered_circle_are_no_line_of_it(
    hatches: tuple[tuple[float, float, float, float], ...], names_found: list[str]
) -> None:
    """As found on a sheet: together they covered a single's line, and neither ended where it ends; a strip of hatch
    as wide as the line is long remains a question."""
    k, n = np.arange(-8, 8), np.ones(16)
    rows = [100 + np.c_[a * n, y + gap * k, b * n, y + gap * k] for a, b, y, gap in hatches]
    lettered = sheet_of([strokes_of((CIRCLE,), at(100, 100)), *rows], [word("J", 100, 100, 8)])
    mapping = rules(entry("single", SINGLE, wall_side=UP), entry("box", BOX, "hardwired outlet"))
    assert names(spot(lettered, mapping, ())) == names_found


def test_a_plain_twin_gains_nothing_by_the_line_that_its_rival_borrows() -> None:
    """A receptacle as a triangle with a bar, its base on the wall's line, may have been a plain triangle: that one
    has the wall's line for its base as well, and neither the bar nor what leads to it."""
    corners = ((-0.075, -0.08), (0.075, -0.08), (0.0, 0.05))
    bar = (LineMark((0, 0.05), (0, 0.08)), LineMark((-0.06, 0.08), (0.06, 0.08)))
    receptacle = (PolylineMark(corners, closed=True), *bar)
    data = PolylineMark(((0, -0.065), (-0.08, 0.065), (0.08, 0.065)), closed=True)
    both = rules(entry("single", receptacle, wall_side=UP), entry("data", (data,), kind="other", wall_side=UP))
    wall = np.array([[70.0, 94.24, 130.0, 94.24]])
    assert found([strokes_of(receptacle, at(100, 100)), wall], mapping=both) == ["single"]

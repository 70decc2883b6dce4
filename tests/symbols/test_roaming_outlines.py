"""Labels of outlined letters that go anywhere beside symbols are no filled part of the one that they lie on."""

from __future__ import annotations

import math

import pytest
import shapely

from cordpath.sheet import read_glyphs
from cordpath.symbols import spot
from cordpath.symbols.matching.evidence import FILLED
from symbols.test_drawn_letters import outlined
from symbols.test_roaming import DESIGNS, LAID_ON, MAPPING, on_it
from symbols.test_spot import DUPLEX, at, sheet_of, strokes_of
from symbols.test_twins import painted


def said(beside: int, *more: shapely.Polygon, way: float | None = None) -> tuple[str, ...]:
    """What is said of a duplex with outlined letters, and ``more``, on it, where as many symbols have the letters
    beside them, anywhere or ``way`` degrees from the middle."""
    xy, fills = [strokes_of(DUPLEX, at(*LAID_ON))], [*outlined("WA", LAID_ON[0] + 1, LAID_ON[1] + 1), *more]
    for k in range(beside):
        x, y = 60.0 + 70 * (k % 6), 60.0 + 70 * (k // 6)
        xy.append(strokes_of(list(DESIGNS.values())[k % 3], at(x, y, 40.0 * k)))
        a = math.radians(137.5 * k if way is None else way)
        fills += outlined("WA", x + 15 * math.cos(a), y + 15 * math.sin(a))
    return on_it(spot(sheet_of(xy, fills=painted(*fills)), MAPPING, (), read=read_glyphs))


def test_outlined_letters_that_go_anywhere_are_no_fill_of_the_symbol_that_they_lie_on() -> None:
    assert said(9) == ()


@pytest.mark.parametrize(("beside", "way"), [(0, None), (5, None), (9, 90.0)])
def test_outlined_letters_that_are_no_habit_of_the_sheet_are_a_question(beside: int, way: float | None) -> None:
    assert FILLED in said(beside, way=way)


def test_paint_under_such_letters_is_a_question() -> None:
    """Half of the body is filled: another symbol, whatever is written over it."""
    half = shapely.Point(LAID_ON).buffer(72 * 0.08).intersection(shapely.box(400, 400, 500, 450))
    assert said(9, half)

"""A second column of a legend's signs behind its words, out of the part that was taken for the legend."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cordpath.model import CircleMark, LineMark, Region
from cordpath.symbols import spot
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of

PT = 1 / 72
BODY = CircleMark((0, 0), 5 * PT)
BARS = tuple(LineMark((x * PT, -10 * PT), (x * PT, 7 * PT)) for x in (-2, 2))
ACROSS = tuple(LineMark((-8 * PT, y * PT), (8 * PT, y * PT)) for y in (-2, 2))
DESIGNS = {"duplex": (BODY, *BARS), "quad": (BODY, *BARS, *ACROSS), "triple": (BODY, *BARS, ACROSS[0])}


@pytest.mark.parametrize(
    ("rows", "off", "kept", "certain"), [(3, 0.0, 0, 0), (2, 0.0, 2, 0), (1, 0.0, 1, 1), (3, 4.0, 3, 3)]
)
def test_a_second_column_of_a_legends_signs_is_no_outlets_of_the_plan(
    rows: int, off: float, kept: int, certain: int
) -> None:
    """They were outlets for certain.  Two may be outlets of the plan and are asked about; so may those that are not
    level with their rows, which nothing tells from outlets."""
    signs = [strokes_of(marks, at(220, 60 + 30 * k)) for k, marks in enumerate(DESIGNS.values())]
    second = [strokes_of(marks, at(380, 60 + off + 30 * k)) for k, marks in enumerate(DESIGNS.values())][:rows]
    page = replace(sheet_of(signs + second), regions=(Region("legend", (200.0, 30.0, 340.0, 150.0)),))
    found = spot(page, rules(*(entry(name, marks) for name, marks in DESIGNS.items())), ())
    outlets = [symbol for symbol in found.symbols if symbol.at[0] > 340]
    assert (len(outlets), sum(symbol.found for symbol in outlets)) == (kept, certain)
    assert any(said.startswith(f"{3 + rows - kept} symbol") for said in found.assumptions)

"""Twins of which the mapping file says the same need not be told apart."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from cordpath.model import (
    CircleMark,
    Drawing,
    LabelEntry,
    LineMark,
    Mapping,
    Mark,
    PolylineMark,
    Scale,
    SymbolEntry,
)
from cordpath.symbols import load_mapping, spot
from drawn_page import duplex, ring, sheet, words
from drawn_page import frame as box
from symbols.test_spot import at, sheet_of, strokes_of

SCALE = (Scale("v1", 48.0, "note", "", "single"),)
DUPLEX: tuple[Mark, ...] = (
    CircleMark((0, 0), 0.075), LineMark((-0.0278, -0.1389), (-0.0278, 0.1042)),
    LineMark((0.0278, -0.1389), (0.0278, 0.1042)),
)  # fmt: skip


def frame(x0: float, y0: float, x1: float, y1: float) -> Mark:
    return PolylineMark(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True)


@pytest.mark.parametrize(
    ("kind", "volts", "found"),
    [("receptacle", 125.0, True), ("receptacle", 240.0, False), ("switch", None, False), ("light", None, False)],
)
def test_only_twins_with_the_same_facts_are_settled(kind, volts: float | None, found: bool) -> None:
    one = SymbolEntry("duplex", "receptacle", DUPLEX, volts=125.0)
    two = SymbolEntry("quadruplex", kind, DUPLEX, volts=volts)
    mapping = Mapping("m.yaml", Drawing(), (one, two), (LabelEntry("GFI", (("protection", "device"),)),))
    page = sheet([duplex(100, 100), duplex(200, 100)], words("GFI", 112, 100))
    symbols = [s for s in spot(page, mapping, SCALE).symbols if s.is_outlet]
    assert len(symbols) == 2
    for symbol in symbols:
        assert symbol.found == found and {symbol.entry.name, *symbol.rivals} == {"duplex", "quadruplex"}
        assert bool(symbol.reasons) != found


@pytest.mark.parametrize(
    ("kind", "edge", "found"), [("bathtub", None, True), ("bathtub", "inner", False), ("sink", None, False)]
)
def test_two_drawings_of_one_tub_are_a_tub(kind, edge, found: bool) -> None:
    """The entries that learn proposes for a tub and its mirror image asked of each tub whether it is one."""
    tub = (frame(-30, -15, 30, 15), frame(-27, -12, 27, 12), CircleMark((23, 0), 1.5))
    entries = [SymbolEntry(f"tub {k}", kind, tub, size="real", edge=edge) for k in (1, 2)]
    inch = 72 / SCALE[0].ratio
    at = [(200 + inch * x, 200 + inch * y) for x, y in ((-30, -15), (30, 15), (-27, -12), (27, 12))]
    drawn = [box(*at[0], *at[1]), box(*at[2], *at[3]), ring(200 + 23 * inch, 200, 1.5 * inch)]
    (symbol,) = spot(sheet(drawn), Mapping("m.yaml", Drawing(), tuple(entries)), SCALE).symbols
    assert symbol.kind == kind and symbol.found is found


def test_a_line_that_runs_on_is_heard_though_two_sizes_of_a_design_are_drawn_alike() -> None:
    """Between the two sizes of a range's outlet the question was no question, and nothing else was asked: a duplex
    with a grid line between its stems was the outlet of 240 V for certain."""
    mapping = load_mapping(Path(__file__).parents[2] / "configs" / "receptacle-lines-to-wall.yaml")
    (shape,) = (entry.shape for entry in mapping.symbols if entry.name == "duplex receptacle, far lines")
    drawn = strokes_of(shape or (), at(100, 100))
    line = np.array([[100.0, 90.2, 100, 186]])
    for scale in (SCALE, ()):
        (symbol,) = spot(sheet_of([drawn, line]), mapping, scale).symbols
        assert not symbol.found and "duplex receptacle, far lines" in (symbol.entry.name, *symbol.rivals)

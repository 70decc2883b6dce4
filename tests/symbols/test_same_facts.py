"""Twins of which the mapping file says the same need not be told apart."""

from __future__ import annotations

import pytest

from cordpath.model import CircleMark, Drawing, LabelEntry, LineMark, Mapping, Mark, Scale, SymbolEntry
from cordpath.symbols import spot
from drawn_page import duplex, sheet, words

SCALE = (Scale("v1", 48.0, "note", "", "single"),)
DUPLEX: tuple[Mark, ...] = (
    CircleMark((0, 0), 0.075), LineMark((-0.0278, -0.1389), (-0.0278, 0.1042)),
    LineMark((0.0278, -0.1389), (0.0278, 0.1042)),
)  # fmt: skip


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

"""What is said of symbols that are drawn at another size than the mapping file's."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.model import CircleMark, Drawing, LineMark, Mapping, Scale, SymbolEntry
from cordpath.symbols import spot
from cordpath.symbols.examples.page_marks import scaled
from drawn_page import duplex, sheet

SCALE = (Scale("v1", 48.0, "note", "", "single"),)


@pytest.mark.parametrize(("size", "said"), [(1.35, "an enlarged print"), (0.5, "a reduced print")])
def test_a_print_of_another_size_is_told_as_what_it_is(size: float, said: str) -> None:
    """Symbols at 1.35 of their size were ``a reduced print?``"""
    inch = 72.0 * size
    lines = tuple(LineMark((x / inch, -10 / inch), (x / inch, 7.5 / inch)) for x in (-2, 2))
    entry = SymbolEntry("duplex", "receptacle", shape=(CircleMark((0.0, 0.0), 5.4 / inch), *lines))
    walls = np.array([[40.0, 90.0, 420.0, 90.0]])
    page = sheet([*(duplex(x, 100) for x in (80, 140, 200, 260, 320)), walls])
    notes = spot(page, Mapping("m", Drawing(), (entry,)), SCALE).assumptions
    assert any(said in note and "duplex" in note for note in notes)


def test_a_legend_in_another_size_than_the_plans_is_told_at_each_outlet() -> None:
    """Its samples have the size that was learnt from them, so that no other was tried: the outlets of the plan were
    unexplained, and solid ones lost in silence."""
    samples = [duplex(520, 100) * 1.5 - np.tile([260.0, 50.0], 2)]
    page = sheet([*samples, *(duplex(x, 100) for x in (80, 140, 200, 260, 320))], legend=True)
    lines = tuple(LineMark((x / 72, -10 / 72), (x / 72, 7.5 / 72)) for x in (-2.0, 2.0))
    entry = SymbolEntry("duplex", "receptacle", shape=scaled((CircleMark((0.0, 0.0), 5.4 / 72), *lines), 1.5))
    found = spot(page, Mapping("m", Drawing(), (entry,)), SCALE)
    assert len(found.symbols) == 5
    assert not any(each.found for each in found.symbols)
    assert any("is drawn at 0.6" in note for note in found.assumptions)

"""What is said of symbols that are drawn at another size than the mapping file's."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.model import CircleMark, Drawing, LineMark, Mapping, Scale, SymbolEntry
from cordpath.symbols import spot
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

"""A leader ends in a dot or an arrowhead on what it tells about, which is no mark of it."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from cordpath.model import CircleMark, LineMark, PolylineMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of
from symbols.test_twins import painted

PT = 1 / 72
DUPLEX = (CircleMark((0, 0), 4.5 * PT), *(LineMark((x * PT, -8 * PT), (x * PT, 4.1 * PT)) for x in (-1.8, 1.8)))
DOT = [(math.cos(t), math.sin(t)) for t in np.linspace(0, 2 * math.pi, 24, endpoint=False)]
HEAD = [(0.0, 4.6), (-1.2, 9.0), (1.2, 9.0)]
LINES = {"": [], "straight": [[0.0, 0.0, 22.0, 30.0]],
         "from the head": [[0.0, 9.0, 0.0, 40.0]], "to the circle": [[4.5, 0.0, 30.0, 20.0]]}  # fmt: skip


@pytest.mark.parametrize(
    ("mark", "line", "sure"),
    [(DOT, "straight", False), (HEAD, "from the head", False), (DOT, "", True), (HEAD, "", True),
     (DOT, "to the circle", True)],
)  # fmt: skip
def test_the_end_of_a_leader_is_no_mark_of_an_outlet(
    mark: list[tuple[float, float]], line: str, sure: bool
) -> None:
    """A plain outlet to which a note's leader runs was the GFCI one with a dot, for certain."""
    solid = PolylineMark(tuple((x * PT, y * PT) for x, y in mark), True, True)
    both = rules(entry("duplex", DUPLEX), entry("gfci", (*DUPLEX, solid), protection="device"))
    place = at(100, 100)
    leader = np.array(LINES[line]).reshape(-1, 4) + 100
    paint = painted(shapely.Polygon(np.array(mark) + 100))
    (symbol,) = spot(sheet_of([strokes_of(DUPLEX, place), leader], fills=paint), both, ()).symbols
    assert symbol.found is sure
    assert {symbol.entry.name, *symbol.rivals} >= ({"gfci"} if sure else {"duplex", "gfci"})

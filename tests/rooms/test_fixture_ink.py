"""Lines of fixtures are no walls, also where an outlet drawn over a fixture makes a question of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from room_symbols import symbol

from cordpath.model import Drawing, Fills, Sheet, Strokes, View
from cordpath.rooms.ink import gather

BURNER = np.array([[100, 100, 120, 100], [120, 100, 120, 120], [120, 120, 100, 120], [100, 120, 100, 100.0]])
WALL = np.array([[10, 10, 300, 10.0]])


@pytest.mark.parametrize(
    ("confidence", "reason", "left"),
    [(0.46, "'plug' explains lines here that 'range' does not", 1), (0.3, "80% of its lines are drawn", 5),
     (0.46, "weak shape: a few lines in one or two directions", 5)],
)  # fmt: skip
def test_a_fixture_drawn_in_full_keeps_its_lines_from_the_walls(confidence: float, reason: str, left: int) -> None:
    view = View("v1", "PLAN", (0, 0, 400, 400))
    strokes = Strokes.of(np.concatenate([BURNER, WALL]))
    sheet = Sheet("s.pdf", 1, "E1", None, 400, 400, strokes, Fills.none(), (), (), (view,), ())
    drawn = replace(
        symbol("range", (110, 110), 30.0, found=False),
        confidence=confidence,
        reasons=(reason,),
        strokes=np.arange(4),
    )
    assert len(gather(sheet, view, Drawing(), (drawn,), 1.5).ink) == left

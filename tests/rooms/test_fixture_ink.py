"""Lines of fixtures are no walls, also where an outlet drawn over a fixture makes a question of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
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


@pytest.mark.parametrize(
    ("kind", "found", "beside", "left"),
    [
        ("receptacle", True, 0.0, 1),
        ("receptacle", False, 0.0, 2),
        ("sink", True, 0.0, 2),
        ("receptacle", True, 4.0, 3),
    ],
)
def test_the_solid_disc_of_an_outlet_is_no_wall(kind: str, found: bool, beside: float, left: int) -> None:
    """Where walls are solid it is as dark and as thick as they are, and the outlet stood wholly inside one.

    ``beside``: pt of a second area that the disc touches, as pieces of a wall do that is painted in pieces.
    """
    view = View("v1", "PLAN", (0, 0, 400, 400))
    shapes = [shapely.box(0, 0, 400, 8), shapely.Point(100, 30).buffer(3.0)]
    shapes += [shapely.box(98, 33 - 1, 102, 33 - 1 + 10 * beside)] if beside else []
    many = len(shapes)
    fills = Fills(np.array(shapes, object), np.zeros((many, 3)), np.ones(many), np.full(many, -1), np.arange(many))
    strokes = Strokes.of(WALL)
    sheet = Sheet("s.pdf", 1, "E1", None, 400, 400, strokes, fills, (), (), (view,), ())
    drawn = symbol(kind, (100, 30), 14.0, found=found)
    assert len(gather(sheet, view, Drawing(), (drawn,), 1.5).fills) == left

"""White over paint: a letter in a solid disc, or the hole of a ring, is no ink, and still another symbol."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import Fills, PolylineMark, Sheet
from cordpath.symbols import spot
from symbols.test_painted_marks import polygon
from symbols.test_spot import at, entry, names, rules, sheet_of
from symbols.test_twins import painted

DISC = PolylineMark(polygon(24, 0.09), closed=True, filled=True)
FRAME = np.array([[20.0, 300, 580, 300], [20, 300, 20, 580], [580, 300, 580, 580]])
LETTER = np.array([[98.0, 103, 98, 97], [98, 97, 102, 97], [102, 97, 102, 100], [102, 100, 98, 100]])
HOLE = shapely.Point(100, 100).buffer(3)
PATCH = shapely.box(60, 90, 98, 110)  # behind a label beside the disc


def drawn(lines: np.ndarray, *areas: shapely.Polygon, first: bool = False) -> Sheet:
    """A disc at (100, 100) with white lines and areas over it; ``first``: drawn before the disc."""
    disc = shapely.Polygon(at(100, 100).apply(np.array(DISC.points) * 72))
    fills = painted(disc, *areas)
    colour = np.array([[0.0] * 3] + [[1.0] * 3] * len(areas))
    path = np.arange(len(fills)) if not first else -np.arange(len(fills))
    fills = Fills(fills.shape, colour, fills.opacity, fills.layer, path + 100)
    sheet = sheet_of([lines, FRAME], fills=fills)
    pen = sheet.strokes.colour.copy()
    pen[: len(lines)] = 1.0
    order = np.full(len(pen), 50 if first else 150)
    return replace(sheet, strokes=replace(sheet.strokes, colour=pen, path=order))


NONE = np.zeros((0, 4))
MAPPING = rules(entry("disc", (DISC,)))


@pytest.mark.parametrize("sheet", [drawn(LETTER), drawn(NONE, HOLE)], ids=["letter", "hole"])
def test_a_solid_disc_with_something_white_on_it_is_a_question(sheet: Sheet) -> None:
    """Common practice, no source: a white letter tells a solid disc from others."""
    result = spot(sheet, MAPPING, ())
    assert names(result, False) == ["disc"] and "in white" in result.symbols[0].reasons[0]


@pytest.mark.parametrize(
    "sheet",
    [drawn(NONE), drawn(LETTER, HOLE, first=True), drawn(NONE, PATCH)],
    ids=["plain", "white under it", "patch beside it"],
)
def test_white_that_is_not_seen_on_it_says_nothing(sheet: Sheet) -> None:
    assert names(spot(sheet, MAPPING, ()), True) == ["disc"]

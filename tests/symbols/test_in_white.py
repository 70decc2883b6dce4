"""Outlets in white on dark areas."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import CircleMark, LineMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of
from symbols.test_twins import painted

DUPLEX = (CircleMark((0, 0), 0.0625), LineMark((-0.025, -0.11), (-0.025, 0.0573)),
          LineMark((0.025, -0.11), (0.025, 0.0573)))  # fmt: skip


@pytest.mark.parametrize(
    ("y0", "y1", "dark"), [(60.0, 140.0, True), (96.0, 103.0, True), (106.0, 140.0, False), (0.0, 0.0, False)]
)
def test_outlets_in_white_on_a_dark_area_are_told(y0: float, y1: float, dark: bool) -> None:
    """They were lost in silence, for white lines are no ink: also those of which no more is seen than a wall is
    wide.  Without the area nobody sees them."""
    places = [(100.0, 100.0), (160.0, 100.0), (100.0, 300.0)]
    page = sheet_of([strokes_of(DUPLEX, at(*place)) for place in places])
    n = len(page.strokes)
    colour = np.where(np.arange(n)[:, None] < 2 * n // 3, 1.0, 0.0) * np.ones((n, 3))
    paint = painted(*([shapely.box(80, y0, 200, y1)] if y1 else []))
    page = replace(page, strokes=replace(page.strokes, colour=colour, path=page.strokes.path + 5), fills=paint)
    found = spot(page, rules(entry("duplex", DUPLEX)), ())
    assert [round(s.at[1]) for s in found.symbols] == [300]
    told = [rest for rest in found.unexplained if "in white on a dark area" in rest.what]
    assert [rest.count for rest in told] == ([2] if dark else [])

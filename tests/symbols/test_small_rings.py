"""A small ring across the edge of a symbol is a mark that the mapping file does not know."""

from __future__ import annotations

import math

import numpy as np
import pytest

from cordpath.model import CircleMark
from cordpath.symbols import spot
from symbols.test_spot import DUPLEX, GRID, R, at, entry, rules, sheet_of, strokes_of


@pytest.mark.parametrize("away", [1.0, 2.0])
@pytest.mark.parametrize("grid", [0.0, GRID])
@pytest.mark.parametrize(("radius", "angle"), [(1.0, 45.0), (1.5, 45.0), (1.0, 90.0), (1.5, 110.0)])
def test_a_small_ring_on_the_rim_is_asked_about_and_one_beside_it_is_not(
    radius: float, angle: float, grid: float, away: float
) -> None:
    """On the rim it was neither in the body nor enough to count, and the duplex was found for certain."""
    c, s = away * R * math.cos(math.radians(angle)), -away * R * math.sin(math.radians(angle))
    ring = strokes_of([CircleMark((c, s), radius / 72)], at(100, 100), sides=12, grid=grid)
    xy = np.r_[strokes_of(DUPLEX, at(100, 100), grid=grid), ring]
    (symbol,) = spot(sheet_of(xy), rules(entry("duplex", DUPLEX)), ()).symbols
    assert symbol.found is (away > 1)

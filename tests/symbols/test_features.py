"""By which corners a template is looked for."""

from __future__ import annotations

import math

import numpy as np
import pytest

from cordpath.model import FloatArray
from cordpath.symbols.templates.features import CORNERS, features

RADIUS = 6.0


def polygon(points: FloatArray) -> FloatArray:
    return np.c_[points, np.roll(points, -1, axis=0)]


def round_points(start: float, end: float, parts: int) -> FloatArray:
    angles = np.radians(np.linspace(start, end, parts + 1))
    return RADIUS * np.c_[np.cos(angles), np.sin(angles)]


@pytest.mark.parametrize("parts", [8, 16, 31])
def test_half_a_disc_is_looked_for_by_the_ends_of_its_diameter(parts: int) -> None:
    """Every bow of a sheet has corners like those between chords: 73,000 of 99,000 poses of a filled half on
    114,000 strokes came from them, and the same symbols were found without."""
    half = polygon(round_points(0.0, 180.0, parts))
    own = features(half, np.full(len(half), -1), 1.0, RADIUS, bent=False)
    sides = [sorted(float(own.ink.run[k % own.ink.count]) for k in corner) for corner in own.corners]
    assert len(sides) == 2
    assert all(long == pytest.approx(2 * RADIUS) for _, long in sides)
    assert all(short == pytest.approx(2 * RADIUS * math.sin(math.pi / 2 / parts)) for short, _ in sides)


def test_what_is_round_all_about_is_looked_for_by_its_chords() -> None:
    whole = polygon(round_points(0.0, 360.0, 12)[:-1])
    own = features(whole, np.full(len(whole), -1), 1.0, RADIUS, bent=False)
    assert len(own.corners) == CORNERS

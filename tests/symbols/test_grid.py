"""The grid of segments against looking at every segment."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath.symbols.ink import grid
from cordpath.symbols.ink.grid import Grid, undirected, within


@given(st.integers(0, 10_000), st.integers(0, 60), st.integers(0, 4), st.floats(0.1, 90.0), st.floats(1.0, 200.0))
def test_near_is_what_every_segment_tells(seed: int, count: int, places: int, radius: float, extent: float) -> None:
    rng = np.random.default_rng(seed)
    start = rng.uniform(-extent, extent, (count, 2))
    xy = np.c_[start, start + rng.normal(0, rng.choice([1.0, 20.0, 150.0]), (count, 2))]
    centres = rng.uniform(-1.5 * extent, 1.5 * extent, (places, 2))
    i, j = (k.ravel() for k in np.meshgrid(np.arange(places), np.arange(count), indexing="ij"))
    close = within(xy[j], centres[i], radius)
    centre, segment = Grid(xy).near(centres, radius)
    assert centre.tolist() == i[close].tolist()
    assert segment.tolist() == j[close].tolist()


def test_a_raster_drawn_a_little_at_a_time_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(11)
    start = rng.uniform(0, 200, (60, 2))
    xy = np.c_[start, start + rng.normal(0, 40, (60, 2))]
    whole = grid.Raster(xy)
    monkeypatch.setattr(grid, "SAMPLES", 50)
    assert (grid.Raster(xy).bits == whole.bits).all()
    assert whole.bits.any()


@given(st.integers(0, 10_000), st.floats(0.0, 50.0))
def test_angles_by_half_turns_are_what_numpy_tells_bit_for_bit(seed: int, most: float) -> None:
    angle = np.random.default_rng(seed).uniform(-most, most, 200).astype(np.float32)
    whole = np.float32(np.pi) * np.arange(-9, 10, dtype=np.float32)  # a half turn, and what rounds to one
    angle = np.r_[angle, whole, np.nextafter(whole, np.float32(0.0)), np.nextafter(whole, np.float32(99.0))]
    assert undirected(angle).tolist() == np.mod(angle, np.float32(np.pi)).tolist()

"""The grid of segments against looking at every segment."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from cordpath.symbols.ink import grid
from cordpath.symbols.ink.grid import Grid, among, undirected, within


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


@given(st.floats(0.0, np.pi), st.sampled_from([0.4, 0.7, 1.2, 30.0]))
def test_the_raster_takes_ink_for_ink_of_a_like_direction_only(way: float, length: float) -> None:
    """Hatch 16 degrees off passed for a panel's long sides, and letters, of short lines, for any shape."""
    across = length * np.array([np.cos(way), np.sin(way)]) / 2
    raster = grid.Raster(np.r_[50 - across, 50 + across][None])
    most = float(np.degrees(np.arcsin(grid.alike(np.array([length]))[0]))) if length < grid.LONG else 11.25
    for off in (*np.linspace(-most, most, 9) * 0.999, *(s * (most + 11.3) for s in (-1, 1))):
        pose = np.array([[50.0, 50.0, way + np.radians(off), 0.0, 1.0]])
        assert raster.share(pose, np.zeros((1, 2)), np.zeros(1)).tolist() == [float(abs(off) <= most)]


def test_a_raster_is_widened_alike_whatever_the_rows_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    xy = np.random.default_rng(5).uniform(0, 60, (40, 4))
    whole = grid.Raster(xy).bits
    for rows in (1, 2, 7):
        monkeypatch.setattr(grid, "ROWS", rows)
        assert (grid.Raster(xy).bits == whole).all()


@given(st.integers(0, 10_000), st.floats(0.0, 50.0))
def test_angles_by_half_turns_are_what_numpy_tells_bit_for_bit(seed: int, most: float) -> None:
    angle = np.random.default_rng(seed).uniform(-most, most, 200).astype(np.float32)
    whole = np.float32(np.pi) * np.arange(-9, 10, dtype=np.float32)  # a half turn, and what rounds to one
    angle = np.r_[angle, whole, np.nextafter(whole, np.float32(0.0)), np.nextafter(whole, np.float32(99.0))]
    assert undirected(angle).tolist() == np.mod(angle, np.float32(np.pi)).tolist()


@given(hnp.arrays(np.int64, st.integers(0, 9), elements=st.integers(-3, 9)),
       hnp.arrays(np.int64, st.integers(0, 9), elements=st.integers(-3, 9)))  # fmt: skip
def test_values_among_others_are_those_that_numpy_tells(values: np.ndarray, others: np.ndarray) -> None:
    assert among(values, others).tolist() == np.isin(values, others).tolist()

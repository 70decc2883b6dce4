"""The ratio on which strings agree, of a sheet with thousands of them."""

from __future__ import annotations

import tracemalloc

import pytest

from cordpath.scale.consensus import best
from cordpath.scale.dimensions import Reading
from cordpath.scale.written import String

MOST_MB = 20  # a table of all pairs of 4,500 readings takes 160


def test_thousands_of_readings_are_not_held_by_pairs() -> None:
    found = tuple(String(f"{feet}'-0\"", 12.0 * feet, (0.0, 0.0, 9.0, 9.0), 0.0, 9.0) for feet in range(2, 1502))
    read = tuple(
        Reading(k, string.length_in * 72 / 48 * stray, rank)
        for k, string in enumerate(found)
        for rank, stray in enumerate((1.0, 1.3, 0.6))
    )
    tracemalloc.start()
    told = best(found, read)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert told is not None
    assert told.ratio == pytest.approx(48.0)
    assert told.count == len(found)
    assert peak < MOST_MB * 1e6

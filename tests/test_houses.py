"""A few random houses through the whole chain; tests/benchmarks/house_bench.py runs as many as are asked for."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent / "benchmarks"))

from house_bench import try_house

# Seeds with what went wrong once: an outlet within a washer, one pen for everything, a low plan over a title strip.
HOUSES = [(6, "open", "reportlab"), (72, "hall", "fpdf2"), (20, "angled", "by hand"), (40, "open", "plotter")]


@pytest.mark.parametrize(("seed", "family", "writer"), HOUSES)
def test_a_house_is_read_whole(seed: int, family: str, writer: str, tmp_path: Path) -> None:
    _, tally = try_house(seed, family, writer, tmp_path)
    told = "\n".join(tally.said)
    assert tally.silent == 0, told
    assert tally.found == tally.outlets, told
    assert tally.kinds >= 0.9 * tally.rooms, told
    assert tally.scale_right == 1, told

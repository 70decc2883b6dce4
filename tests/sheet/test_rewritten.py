"""A small drawing, its PDF written in many ways: what is read is the same, or what is not read is told.

The ways are those of ``tests/benchmarks/rewritten.py``, which tries them on random houses.
"""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path
from random import Random

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from house_ink import Arc, Note, Paper, Pen, Poly
from rewritten_reading import difference
from rewritten_ways import WAYS, Way

from cordpath.model import Sheet
from cordpath.sheet import read_sheet


@cache
def drawing() -> Paper:
    """Two rooms, four outlets, one with a dark half, with labels and a title."""
    paper = Paper(420, 320)
    paper.box(40, 40, 380, 220, 1.4)
    paper.line([(200, 40), (200, 150)], 1.4)
    paper.items.append(Poly(((36, 36), (384, 36), (384, 40), (36, 40)), None, True, (0.3, 0.3, 0.3)))
    for k, (x, y) in enumerate(((80, 46), (160, 46), (260, 46), (340, 214))):
        block = paper.new_block()
        paper.add(Arc((x, y), 5.5, pen=Pen(0.6), block=block))
        for side in (-2, 2):
            paper.add(Poly(((x + side, y - 9), (x + side, y + 9)), Pen(0.6), block=block))
        if k == 2:
            half = Arc((x, y), 5.5, 180, 360).chords(12)
            paper.add(Poly(half, None, True, (0, 0, 0), block=block))
        paper.add(Note((x + 16, y + 18), ("GFI", "1", "WP", "22")[k], 6))
    for text, x, y in (("KITCHEN", 110, 120), ("BATH", 290, 120), ("12'-0\"", 120, 30), ("POWER PLAN", 120, 260)):
        paper.add(Note((x, y), text, 9))
    paper.add(Note((390, 130), "9'-6 1/2\"", 7, 90))
    paper.line([(40, 240), (200, 240)], 0.5, dash=(4, 2))
    return paper


def read(way: Way, path: Path) -> Sheet:
    way.write(drawing(), path, Random(1))
    return read_sheet(path, 1)


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Sheet:
    return read(WAYS[0], tmp_path_factory.mktemp("plain") / "plain.pdf")


@pytest.mark.parametrize("way", [way for way in WAYS[1:] if way.must_read], ids=lambda way: way.name)
def test_rewritten(way: Way, plain: Sheet, tmp_path: Path) -> None:
    its = difference(plain, read(way, tmp_path / "page.pdf"))
    if way.tells:
        assert any(way.tells in said for said in its.said), its
    else:
        assert not its.any, its

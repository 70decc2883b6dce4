"""What is looked up of the ink near a pose."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.model import CircleMark, LineMark, Mark, SymbolEntry
from cordpath.symbols.ink.normalise import Ink, normalise
from cordpath.symbols.matching.pieces import pieces, touching
from cordpath.symbols.templates.template import make

R = 0.0833
DUPLEX = (CircleMark((0, 0), R), LineMark((-0.12, -0.03), (0.12, -0.03)), LineMark((-0.12, 0.03), (0.12, 0.03)))
LONG = (LineMark((-0.2, 0), (0.2, 0)), LineMark((-0.2, 0.05), (0.2, 0.05)))
LARGE = (CircleMark((0, 0), 1.1), LineMark((-1.1, 0), (1.1, 0)))


def scattered(seed: int) -> Ink:
    rng = np.random.default_rng(seed)
    start = rng.uniform(0, 200, (400, 2))
    turn = rng.choice([0.0, 0.3, np.pi / 2, 2.0], 400)
    length = rng.choice([2.0, 12.0, 80.0], 400)
    xy = np.c_[start, start + np.c_[np.cos(turn), np.sin(turn)] * length[:, None]]
    return normalise(xy, np.full(400, -1), np.ones(400, bool), np.zeros((0, 4)))


@pytest.mark.parametrize("marks", [DUPLEX, LONG, LARGE])
@pytest.mark.parametrize("share", [0.5, 1.0])
def test_what_is_left_out_lies_on_no_mark(marks: tuple[Mark, ...], share: float) -> None:
    ink, rng = scattered(7), np.random.default_rng(3)
    template = make(SymbolEntry("x", "receptacle", shape=marks), marks, 72.0, 0.95, 1.05, None)
    poses = np.c_[
        rng.uniform(0, 200, (60, 2)), rng.uniform(0, 7, 60), np.arange(60) % 2, rng.uniform(0.95, 1.05, 60)
    ]
    whole = pieces(template, ink, poses, share * template.step)
    some = pieces(template, ink, poses, share * template.step, marks=True)
    fewer = False
    for (_, p), (_, q) in zip(whole, some, strict=True):
        k, j = touching(template, p, 0.7 * template.reach, 0.5)
        m, n = touching(template, q, 0.7 * template.reach, 0.5)
        assert len(k)
        assert np.array_equal(
            np.c_[p.of_pose[p.row[k]], j, p.x[k], p.y[k]], np.c_[q.of_pose[q.row[m]], n, q.x[m], q.y[m]]
        )
        named = [np.flatnonzero(each.on(template.maps) >= 0) for each in (p, q)]
        assert np.array_equal(p.x[named[0]], q.x[named[1]])
        fewer |= len(q.x) < len(p.x)
    assert fewer

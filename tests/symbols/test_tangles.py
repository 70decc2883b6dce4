"""Tangles of lines: the work on them has an end, and what was not looked at is told."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import CircleMark, Drawing, Fills, LineMark, Mapping, Sheet, Strokes, SymbolEntry, View
from cordpath.symbols import spot
from cordpath.symbols.ink.tangles import BLACK, CELL, MOST_WORK, WHAT, Crowding

DUPLEX = SymbolEntry(
    "duplex", "receptacle",
    shape=(CircleMark((0, 0), 6 / 72), LineMark((-9 / 72, -2 / 72), (9 / 72, -2 / 72)),
           LineMark((-9 / 72, 2 / 72), (9 / 72, 2 / 72))), scales=(0.95, 1.05),
)  # fmt: skip


def circle(x: float, y: float, r: float) -> np.ndarray:
    t = np.linspace(0, 2 * np.pi, 25)
    p = np.column_stack([x + r * np.cos(t), y + r * np.sin(t)])
    return np.column_stack([p[:-1], p[1:]])


def outlet(x: float, y: float) -> np.ndarray:
    return np.concatenate([circle(x, y, 6), [[x - 9, y - 2, x + 9, y - 2], [x - 9, y + 2, x + 9, y + 2]]])


def sheet_of(xy: np.ndarray) -> Sheet:
    view = View("v1", "PLAN", (0.0, 0.0, 800.0, 600.0))
    return Sheet("t.pdf", 1, "E-1", None, 800.0, 600.0, Strokes.of(xy), Fills.none(), (), (), (view,), ())


def test_a_scribble_is_told_and_the_rest_of_the_sheet_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("cordpath.symbols.ink.tangles.MOST_WORK", MOST_WORK // 10)  # and a tangle as much smaller
    rng = np.random.default_rng(8)
    circles = [circle(x, y, 6) for x, y in rng.uniform(500, 536, (50, 2))]
    tangle = rng.uniform(480, 556, (700, 4))
    spotting = spot(
        sheet_of(np.concatenate([outlet(100, 100), *circles, tangle])), Mapping("m", Drawing(), (DUPLEX,)), ()
    )
    assert [tuple(np.round(s.at)) for s in spotting.symbols if s.found] == [(100, 100)]
    told = [rest for rest in spotting.unexplained if rest.what == WHAT]
    assert len(told) == 1
    assert all(440 < x < 600 and 440 < y < 600 for x, y in told[0].at)


def test_nothing_is_passed_over_on_a_plain_sheet() -> None:
    rows = [outlet(60 + 40 * i, 60 + 40 * j) for i in range(15) for j in range(12)]
    spotting = spot(sheet_of(np.concatenate(rows)), Mapping("m", Drawing(), (DUPLEX,)), ())
    assert sum(s.found for s in spotting.symbols) == 180
    assert not [rest for rest in spotting.unexplained if rest.what == WHAT]


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 60))
def test_ink_around_a_place_is_all_the_ink_of_the_cells_there(seed: int, count: int) -> None:
    rng = np.random.default_rng(seed)
    start = rng.uniform(0, 90, (count, 2))
    xy = np.concatenate([start, start + rng.uniform(-0.4, 0.4, (count, 2))], axis=1)  # each in about one cell
    crowding = Crowding(xy)
    centres, radius = rng.uniform(-20, 120, (25, 2)), rng.uniform(1, 30, 25)
    ink, area = crowding.around(centres, radius)
    length, middle = np.hypot(*(xy[:, 2:] - xy[:, :2]).T), (xy[:, :2] + xy[:, 2:]) / 2
    for k, (centre, r) in enumerate(zip(centres, radius, strict=True)):
        away = np.abs(middle - centre).max(axis=1)
        assert length[away < r - 1e-6].sum() - 1e-6 <= ink[k] <= length[away < r + CELL + 1e-6].sum() + 1e-6
        assert (2 * r) ** 2 <= area[k] <= (2 * r + 2 * CELL) ** 2 + 1e-6


def test_the_most_crowded_poses_are_passed_over_first() -> None:
    rng = np.random.default_rng(3)
    light, heavy = rng.uniform(0, 60, (4000, 4)), rng.uniform(200, 260, (9000, 4))
    crowding = Crowding(np.concatenate([light, heavy]))
    centres = np.concatenate([np.full((300, 2), 30.0), np.full((300, 2), 230.0), [[600.0, 600.0]]])
    radius = np.full(len(centres), 12.0)
    ink, area = crowding.around(centres, radius)
    worth = crowding.worth(centres, radius, 0.5)
    assert (ink[:600] > BLACK * area[:600]).all() and worth[-1]
    assert not worth[300:600].any() and (~worth[:300]).sum() < 300
    assert (ink[worth][:-1] / 0.5).sum() <= MOST_WORK

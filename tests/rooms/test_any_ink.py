"""Whatever is drawn, a plan comes back: noise, specks, extreme scales, one wall, a single room."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from room_symbols import FT, PLAIN, SCALE, Drawer, symbol

from cordpath.model import Fills, Scale, Sheet, Strokes, View, Word
from cordpath.rooms import find_rooms, stand


def _noise(seed: int, count: int, kind: str) -> tuple[Sheet, View]:
    rng = np.random.default_rng(seed)
    start = rng.uniform(0, 600, (count, 2))
    if kind == "grid":
        start = np.round(start / 30) * 30
    step = rng.normal(0, {"specks": 0.5, "lines": 80, "grid": 60}[kind], (count, 2))
    if kind == "grid":
        step = np.round(step / 30) * 30 * np.eye(2)[rng.integers(0, 2, count)]
    strokes = Strokes.of(np.c_[start, start + step])
    width = rng.choice([0.0, 0.36, 1.4, 9.0], count)
    colour = np.repeat(rng.choice([0.0, 0.5, 1.0], (count, 1)), 3, 1)
    strokes = dataclasses.replace(strokes, width=width, colour=colour, dashed=rng.random(count) < 0.1)
    n = int(rng.integers(0, 12))
    boxes = shapely.buffer(shapely.points(rng.uniform(0, 600, (n, 2))), rng.uniform(0.1, 90, n), cap_style="square")
    tone = rng.choice([0.0, 0.6, 1.0], n)
    fills = Fills(
        np.asarray(boxes, object), np.repeat(tone[:, None], 3, 1), np.ones(n), np.full(n, -1), np.arange(n) * 9
    )
    text = ["KITCHEN", "BATH", "UP", '1/4" = 1\'-0"', "ZIMMER", "12'-0\""]
    words = tuple(
        Word(str(rng.choice(text)), (x, y, x + 30, y + 9), float(rng.choice([0, 90, 33])), 9.0, k)
        for k, (x, y) in enumerate(rng.uniform(0, 560, (5, 2)).tolist())
    )
    view = View("v1", "", (0.0, 0.0, 600.0, 600.0))
    return Sheet("n.pdf", 1, None, None, 600.0, 600.0, strokes, fills, words, (), (view,), ()), view


@settings(max_examples=12, deadline=None)
@given(
    seed=st.integers(0, 10**6),
    count=st.integers(0, 150),
    kind=st.sampled_from(["specks", "lines", "grid"]),
    ratio=st.sampled_from([1.0, 12.0, 48.0, 96.0, 1000.0]),
)
def test_noise_gives_a_plan_and_standings(seed: int, count: int, kind: str, ratio: float) -> None:
    sheet, view = _noise(seed, count, kind)
    signs = tuple(symbol("receptacle", (x, x), size=9) for x in (50.0, 300.0, 599.0))
    scale = Scale("v1", ratio, "note", "", "single")
    plan = find_rooms(sheet, view, scale, PLAIN, signs)
    assert plan.rooms or plan.why
    assert len({r.id for r in plan.rooms}) == len(plan.rooms)
    for room in plan.rooms:
        assert room.polygon.is_valid and not room.polygon.is_empty
        assert 0 < room.confidence <= 1
        assert all(plan.room(mate) for mate in room.open_to)
    for standing in stand(signs, plan, scale):
        assert standing.room is None or plan.room(standing.room) is not None
        assert standing.room is not None or standing.why
        assert np.isfinite(standing.anchor).all()


@pytest.mark.parametrize("size", [(6.0, 8.0), (9.0, 9.0), (30.0, 20.0)])
def test_a_view_of_a_single_room(size: tuple[float, float]) -> None:
    w, h = size
    sheet, view = Drawer().room(10, 10, 10 + w, 10 + h, "BATH").hole(12, 9, 14.5, 10.2).sheet()
    plan = find_rooms(sheet, view, SCALE, PLAIN, ())
    (bath,) = [r for r in plan.rooms if r.name == "BATH"]
    assert bath.kind == "bathroom"
    assert bath.polygon.area == pytest.approx(w * h * FT**2, rel=0.05)


def test_symbols_strokes_are_no_walls() -> None:
    """A mapped shape of wall weight in the middle of a room does not cut it."""
    d = Drawer().room(5, 5, 25, 20, "KITCHEN")
    d.line((12, 10), (12, 14)).line((12.4, 10), (12.4, 14))
    sheet, view = d.sheet()
    heavy = dataclasses.replace(sheet.strokes, width=np.full(len(sheet.strokes), 3.0))
    mark = symbol("other", (12.2 * FT, 12 * FT), size=4.2 * FT)
    mark = dataclasses.replace(mark, strokes=np.arange(len(heavy)))
    plan = find_rooms(dataclasses.replace(sheet, strokes=heavy), view, SCALE, PLAIN, (mark,))
    (kitchen,) = [r for r in plan.rooms if r.name == "KITCHEN"]
    assert kitchen.polygon.area == pytest.approx(300 * FT**2, rel=0.01)

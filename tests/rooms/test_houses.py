"""Whole houses with known rooms: every way of drawing walls, roughened as real plots are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from house_drawing import draw, truth_on_page
from house_marks import Marks, mark
from random_houses import build

from cordpath.model import Drawing, FloorPlan, Mapping, Strokes
from cordpath.rooms import find_rooms

PLAIN = Mapping("symbols.yaml", Drawing(), ())
CLEAR = (
    "double",
    "boxes",
    "fill",
    "fill outlined",
    "fill with white",
    "thick",
    "thick with white",
    "single",
    "layers",
)


def _read(
    style: str, seed: int, turn: int = 0, ratio: float = 48.0, mapping: Mapping = PLAIN, **rough
) -> tuple[Marks, FloorPlan]:
    house = build(seed)
    sheet, view, scale = draw(house, style, seed=seed, turn=turn, ratio=ratio, **rough)
    plan = find_rooms(sheet, view, scale, mapping, ())
    return mark(house, plan, turn, ratio), plan


@pytest.mark.parametrize("style", CLEAR)
@pytest.mark.parametrize("seed", [0, 3])
def test_every_room_is_found_with_its_kind(style: str, seed: int) -> None:
    marks, plan = _read(style, seed, turn=seed % 4)
    assert marks.right == marks.total
    assert marks.leaks == marks.silent == 0
    assert plan.why is None


@pytest.mark.parametrize("style", CLEAR)
def test_rough_plots_lose_next_to_nothing(style: str) -> None:
    """Ends moved by 0.12 pt, walls cut at random, strokes in any order."""
    marks, _ = _read(
        style, 5, turn=1, jitter=0.12, split=True, shuffle=style not in ("fill with white", "thick with white")
    )
    assert marks.right >= marks.total - 1
    assert marks.leaks == marks.silent == 0


@pytest.mark.parametrize("ratio", [24.0, 64.0, 96.0])
def test_any_scale(ratio: float) -> None:
    marks, _ = _read("double", 2, ratio=ratio)
    assert marks.right == marks.total


def test_one_pen_for_everything_makes_no_silent_error() -> None:
    total = sum((_read("one weight", seed)[0] for seed in (0, 5)), Marks())
    assert total.silent == 0
    assert total.right >= 0.9 * total.total


def test_the_users_wall_layers_win() -> None:
    named = Mapping("symbols.yaml", Drawing(wall_layers=("a-wa*",)), ())
    marks, plan = _read("layers", 1, mapping=named)
    assert marks.right == marks.total
    assert any("layers that the mapping file names" in a for a in plan.assumptions)


def test_missing_wall_layers_are_said() -> None:
    named = Mapping("symbols.yaml", Drawing(wall_layers=("NO-SUCH",)), ())
    marks, plan = _read("double", 1, mapping=named)
    assert marks.right == marks.total
    assert any("wall layers of the mapping file hold nothing" in a for a in plan.assumptions)


def test_ignored_layers_are_not_walls() -> None:
    ignoring = Mapping("symbols.yaml", Drawing(ignore_layers=("A-WALL",)), ())
    marks, _ = _read("layers", 0, mapping=ignoring)
    assert marks.right == 0


def test_same_input_same_output() -> None:
    first, second = (_read("fill", 4)[1] for _ in range(2))
    assert [r.id for r in first.rooms] == [r.id for r in second.rooms]
    assert all(a.polygon.equals_exact(b.polygon, 0) for a, b in zip(first.rooms, second.rooms, strict=True))


def test_rooms_keep_clear_of_each_other_and_of_walls() -> None:
    _, plan = _read("double", 3)
    rooms = plan.rooms
    for i, a in enumerate(rooms):
        for b in rooms[:i]:
            assert a.polygon.intersection(b.polygon).area < 1.0
        assert a.polygon.intersection(plan.walls).area < 0.02 * a.polygon.area + 1.0


def test_doors_are_where_they_were_drawn() -> None:
    house = build(2)
    sheet, view, scale = draw(house, "double", seed=2)
    plan = find_rooms(sheet, view, scale, PLAIN, ())
    x0, y0, _, _ = house.walls.bounds
    for opening in house.openings:
        middle = ((opening.a + opening.b) / 2 + [14 - x0, 14 - y0]) * 18
        box = (middle[0] - 3, middle[1] - 3, middle[0] + 3, middle[1] + 3)

        spot = shapely.box(*box)
        assert plan.walls.intersection(spot).area < 1.0
        if opening.kind == "door":
            assert any(d.intersects(spot) for d in plan.doors)
        if opening.kind == "window":
            assert plan.glazing.intersects(spot)
        if opening.kind == "cased":
            assert not plan.glazing.intersects(spot)


@pytest.mark.parametrize("seed", [0, 5])
def test_one_pen_for_walls_counters_and_dimensions_beside_a_lighter_one(seed: int) -> None:
    """A second pen for small things makes the first one no pen of walls: no counter or dimension becomes a room."""
    house = build(seed)
    sheet, view, scale = draw(house, "one weight", seed=seed, clutter=False)
    xy = sheet.strokes.xy
    rooms = truth_on_page(house, 0, 48.0)
    x0, y0, x1, _ = house.walls.bounds
    (x0, x1), (y0, _) = xy[:, [0, 2]].min() + np.array([0.0, (x1 - x0) * 18.0]), (xy[:, [1, 3]].min(), 0)
    rows = [(x, y0 - 4.0, x, y0 - 32.0) for x in np.linspace(x0, x1, 7)]
    rows += [(x0, y0 - 28.0, x1, y0 - 28.0), (x0, y0 - 50.0, x1, y0 - 50.0)]
    rows += [(x, y0 - 32.0, x, y0 - 54.0) for x in (x0, x1)]
    for a, b, c, d in (room.bounds for room in rooms if room.area > 60 * 18.0**2):
        rows += [(a, d - 37.5, c - 80, d - 37.5), (c - 80, d - 37.5, c - 80, d), (a + 3, b + 40, a + 3, d - 60)]
    light = [
        (a + 60 + 4 * k, b + 50, a + 60 + 4 * k, b + 62)
        for a, b, _, _ in (r.bounds for r in rooms)
        for k in range(9)
    ]
    pen = np.r_[np.full(len(xy) + len(rows), 0.5), np.full(len(light), 0.25)]
    strokes = replace(Strokes.of(np.concatenate([xy, np.array(rows), np.array(light)])), width=pen)
    plan = find_rooms(replace(sheet, strokes=strokes), view, scale, PLAIN, ())
    assert not [room for room in plan.rooms if room.name == "UNNAMED"]
    marks = mark(house, plan, 0, 48.0)
    assert marks.silent == 0 and marks.right >= 0.9 * marks.total

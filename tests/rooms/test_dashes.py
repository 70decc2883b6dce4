"""Dashes that a plot driver drew one by one: heads of doorways and soffits are no walls."""

from __future__ import annotations

import dataclasses
from dataclasses import replace

import numpy as np
import pytest
import shapely
from house_drawing import draw
from hypothesis import example, given, settings
from hypothesis import strategies as st
from random_houses import build
from room_symbols import FT, PLAIN, SCALE, Drawer

from cordpath.model import Sheet, Strokes
from cordpath.rooms import find_rooms
from cordpath.rooms.walls.dashes import in_rows


def _more(sheet: Sheet, rows: np.ndarray) -> Sheet:
    extra = replace(Strokes.of(rows), width=np.full(len(rows), 0.36))
    names = [f.name for f in dataclasses.fields(Strokes)]
    fields = {n: np.concatenate([getattr(sheet.strokes, n), getattr(extra, n)]) for n in names}
    return replace(sheet, strokes=replace(sheet.strokes, **fields))


@settings(max_examples=60, deadline=None)
@example(dash=3.0, gap=0.5, count=4, turn=91.0)  # some rounded to run up the sheet, others down
@given(dash=st.floats(2.5, 17), gap=st.floats(0.35, 0.9), count=st.integers(4, 12), turn=st.floats(0, 360))
def test_dashes_of_a_row_are_found_and_what_is_drawn_otherwise_is_not(
    dash: float, gap: float, count: int, turn: float
) -> None:
    along = np.array([np.cos(np.radians(turn)), np.sin(np.radians(turn))])
    step = dash * (1 + max(gap, 1.0 / dash))
    start = 200.0 + np.arange(count)[:, None] * step * along
    row = np.hstack([start, start + dash * along])
    aside = np.array([-along[1], along[0]]) * 0.4 * dash
    walls = np.array([[150.0, 90, 900, 90], [150, 100, 900, 100], [900, 90, 900, 100], [150, 90, 150, 100]])
    hatch = np.hstack([start + 300, start + 300 + dash * (along + 3 * aside / dash)])
    stacked = np.hstack([start + 600, start + 600 + 0.4 * dash * along])  # pieces with wide gaps between them
    xy = np.vstack([row, walls, hatch, stacked])
    xy = np.round(xy * 600 / 72) * 72 / 600
    found, joined = in_rows(xy)
    assert found[:count].all() and not found[count:].any()
    assert (joined[count:] == xy[count:]).all()
    line = shapely.union_all(shapely.linestrings(joined[:count].reshape(-1, 2, 2)))
    assert line.buffer(0.2).covers(shapely.LineString([xy[0, :2], xy[count - 1, 2:]]))


@pytest.mark.parametrize("style", ["double", "one weight"])
def test_the_head_of_a_doorway_in_dashes_drawn_one_by_one_makes_no_way_longer(style: str) -> None:
    """A dash that begins at a jamb was wall: ways around it were up to 6 in longer, and a longer way clears."""
    house = build(1)
    for opening in house.openings:
        opening.kind = "cased" if opening.kind == "door" else opening.kind
    sheet, view, scale = draw(house, style, clutter=False)
    rows = []
    for opening in (o for o in house.openings if o.kind == "cased"):
        size = np.hypot(*(opening.b - opening.a))
        u = (opening.b - opening.a) / size
        side = np.array([-u[1], u[0]]) * opening.thick / 2
        for x in np.arange(0, size, 0.5):
            rows += [(*(opening.a + u * x + s), *(opening.a + u * min(x + 0.3, size) + s)) for s in (side, -side)]
    x0, y0, _, _ = house.walls.bounds
    added = (np.array(rows) + [14 - x0, 14 - y0] * 2) * FT
    plan = find_rooms(_more(sheet, added), view, scale, PLAIN, ())
    for opening in (o for o in house.openings if o.kind == "cased"):
        clear = shapely.transform(opening.hole, lambda p: (p + np.array([14 - x0, 14 - y0])) * FT)
        assert plan.walls.intersection(clear).area < 0.1 * clear.area


@pytest.mark.parametrize("by_the_file", [True, False])
def test_a_garage_door_in_dashes_closes_its_wall(by_the_file: bool) -> None:
    """Drawn one by one they left holes: every receptacle of the garage was asked about, its walls not closed."""
    drawn = Drawer().room(2, 2, 26, 24, "GARAGE", (14.0, 13.0)).hole(1.4, 5, 2.1, 21)
    sheet, view = drawn.sheet()
    ends = [(x, y, x, min(y + 1 / 3, 21)) for x in (1.6, 1.75) for y in np.arange(5, 21, 0.5)]
    if by_the_file:
        ends = [(x, 5, x, 21) for x in (1.6, 1.75)]
    sheet = _more(sheet, np.array(ends) * FT)
    if by_the_file:
        dashed = np.arange(len(sheet.strokes)) >= len(sheet.strokes) - 2
        sheet = replace(sheet, strokes=replace(sheet.strokes, dashed=dashed))
    (garage,) = (room for room in find_rooms(sheet, view, SCALE, PLAIN, ()).rooms if room.name == "GARAGE")
    assert garage.confidence > 0.6

"""Where walls end, and which buildings stand on a sheet beside the house."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from room_symbols import FT, PLAIN, SCALE, Drawer

from cordpath.model import Fills, Strokes
from cordpath.rooms import find_rooms
from cordpath.rooms.walls.ends import wall_ends

INCH = 1.5  # pt, 1/4" = 1'-0"
HALF = 2.25 * INCH  # of a wall of 4.5 in


def ends_where_one_meets(tip: float) -> list[tuple[float, float]]:
    """Ends of a level wall and of one that comes down to it, as far as ``tip``: of both as bands of two faces."""
    through = shapely.box(0, -HALF, 240, HALF)
    stem = shapely.box(120 - HALF, -120, 120 + HALF, tip)
    bands = np.array([
        [[0, -HALF], [240, -HALF], [240, HALF], [0, HALF]],
        [[120 - HALF, -120], [120 - HALF, tip], [120 + HALF, tip], [120 + HALF, -120]],
    ])  # fmt: skip
    return [end.at for end in wall_ends(bands, shapely.union_all([through, stem]), INCH)]


@pytest.mark.parametrize("tip", [0.0, HALF, HALF + 0.5 * INCH, HALF + 1.2 * INCH])
def test_a_wall_drawn_as_one_stroke_does_not_end_in_the_wall_that_it_meets(tip: float) -> None:
    """Its end lies in the middle of that wall, in its far face, or a little beyond: it was drawn on across the
    corridor, which a false door then cut; a part of the hall was kitchen."""
    ends = ends_where_one_meets(tip)
    assert len(ends) == 3
    assert not any(abs(at[0] - 120) < 10 and abs(at[1]) < 10 for at in ends)


def test_a_thick_stroke_that_ends_in_the_far_face_of_another_leaves_no_end_there() -> None:
    """Both are walls with square ends, which stand out of the far face by half the thickness."""
    strokes = [[(0, 0), (240, 0)], [(120, -120), (120, HALF)]]
    walls = shapely.union_all(shapely.buffer(shapely.linestrings(strokes), HALF, cap_style="square"))
    ends = [end.at for end in wall_ends(np.zeros((0, 4, 2)), walls, INCH)]
    assert len(ends) == 3
    assert not any(abs(at[0] - 120) < 10 and abs(at[1]) < 10 for at in ends)


@pytest.mark.parametrize("length", [4.0, 12.0])
def test_the_stub_of_a_wall_beyond_another_is_an_end(length: float) -> None:
    """A doorway's jamb on the far side of a wall that goes through."""
    tip = HALF + length * INCH
    ends = ends_where_one_meets(tip)
    assert any(abs(at[0] - 120) < 1 and abs(at[1] - tip) < 1 for at in ends)


@pytest.mark.parametrize(("side", "found"), [(7.0, True), (3.0, False)])
def test_a_small_building_beside_the_house_is_a_building(side: float, found: bool) -> None:
    """A shed of 7 ft was outdoors, for it is smaller than a house; a box of 3 ft with a word in it is none."""
    drawer = Drawer().room(2, 2, 16, 16, "LIVING ROOM").room(16.4, 2, 30, 16, "BEDROOM")
    sheet, view = drawer.room(42, 4, 42 + side, 4 + side, "SHED").sheet()
    plan = find_rooms(sheet, view, SCALE, PLAIN, ())
    rooms = {room.name: room for room in plan.rooms}
    assert rooms["LIVING ROOM"].kind == "living"
    assert ("SHED" in rooms) == found
    if found:
        assert rooms["SHED"].kind == "accessory building"
        assert rooms["SHED"].polygon.area == pytest.approx(side**2 * FT**2, rel=0.03)


@pytest.mark.parametrize("deep", [6.5, 9.0])
def test_a_window_drawn_thicker_than_the_one_line_of_its_wall_closes_the_room(deep: float) -> None:
    """Its outer lines, outside of the wall's stroke on both sides, were a floor pattern: a bedroom was outdoors."""
    walls = [(2, 2, 30, 2), (30, 2, 30, 8), (30, 13, 30, 18), (30, 18, 2, 18), (2, 18, 2, 2), (16, 2, 16, 8)]
    walls += [(16, 10.5, 16, 18), (2, 18, 2, 34), (2, 34, 30, 34), (30, 34, 30, 18), (16, 18, 16, 34)]
    lines = [(30 + off * deep / 24, 8, 30 + off * deep / 24, 13) for off in (-1.0, -0.3, 0.3, 1.0)]
    pens = [2.8] * len(walls) + [0.35] * len(lines)
    sheet, view = Drawer().word("BEDROOM 1", (8, 10)).word("OFFICE", (8, 28)).room(50, 40, 51, 41).sheet()
    strokes = replace(Strokes.of(np.array(walls + lines, float) * FT), width=np.array(pens))
    plan = find_rooms(replace(sheet, strokes=strokes, fills=Fills.none()), view, SCALE, PLAIN, ())
    (room,) = [r for r in plan.rooms if r.polygon.intersects(shapely.Point(24 * FT, 10 * FT))]
    assert room.kind == "unknown"

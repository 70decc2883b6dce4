"""Names on leaders stand where the leader points."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from room_symbols import FT, PLAIN, SCALE, Drawer
from shapely.geometry import Point

from cordpath.model import FloatArray
from cordpath.rooms import find_rooms
from cordpath.rooms.names.leaders import Leaders

SIZE = 9.0
TEXT = ((80.0, 100.0), (120.0, 100.0))  # the ends of a text


def head(
    tip: tuple[float, float], back: tuple[float, float], long: float = 6.0, slant: float = 12.0
) -> list[tuple[float, ...]]:
    """The two sides of an arrowhead and its foot, on a line that comes from ``back``."""
    way = math.atan2(back[1] - tip[1], back[0] - tip[0])
    sides = [
        (tip[0] + long * math.cos(way + a), tip[1] + long * math.sin(way + a))
        for a in map(math.radians, (-slant, slant))
    ]
    return [(*tip, *sides[0]), (*sides[0], *sides[1]), (*sides[1], *tip)]


def tip_of(*strokes: tuple[float, ...]) -> tuple[float, float] | None:
    return Leaders(np.array(strokes, float)).tip(TEXT, SIZE)


@given(st.floats(0, 6.28), st.floats(20, 200), st.floats(4, 12), st.floats(6, 40), st.booleans())
def test_a_leader_leads_to_its_tip(way: float, far: float, long: float, slant: float, foot: bool) -> None:
    """Straight from either end of the text, to the tip or to the foot of the arrowhead."""
    start = (124.0, 101.0) if math.cos(way) >= 0 else (76.0, 99.0)
    tip = (start[0] + far * math.cos(way), start[1] + far * math.sin(way))
    back = long * math.cos(math.radians(slant)) if foot else 0.0
    end = (tip[0] - back * math.cos(way), tip[1] - back * math.sin(way))
    got = tip_of((*start, *end), *head(tip, start, long, slant))
    assert got is not None if back < SIZE - 0.5 else True
    assert got is None or np.allclose(got, tip, atol=0.01)


def test_a_bent_leader_leads_on() -> None:
    assert tip_of((123, 100, 140, 100), (140, 100, 180, 160), *head((180, 160), (140, 100))) == (180, 160)


@pytest.mark.parametrize(
    "strokes",
    [
        [(123, 100, 200, 160)],  # no arrowhead: a wall, a counter
        [(123, 100, 300, 100), *head((123, 100), (300, 100)), *head((300, 100), (123, 100))],  # a dimension
        [(150, 100, 200, 160), *head((200, 160), (150, 100))],  # of another text
        [(123, 100, 200, 160), (200, 160, 205, 165), (200, 160, 190, 170)],  # a corner of something small
        [(123, 100, 200, 160), *head((200, 160), (123, 100)), (77, 100, 20, 30), *head((20, 30), (77, 100))],  # two
    ],
)
def test_what_is_no_leader(strokes: list[tuple[float, ...]]) -> None:
    assert tip_of(*strokes) is None
    assert Leaders(np.zeros((0, 4))).tip(TEXT, SIZE) is None


@pytest.mark.parametrize("start", [(14 * FT + 28, 14 * FT), (14 * FT, 14 * FT - 9), (14 * FT, 14 * FT + 9)])
def test_a_small_room_is_named_by_a_leader_from_its_neighbour(start: tuple[float, float]) -> None:
    """BATH stood in the bedroom, whose outlets were all missing protection, and the bath had no name."""
    d = Drawer().room(5, 5, 20, 17, "BEDROOM", at=(11, 8)).room(20.375, 5, 25, 17).word("HALL BATH", (14, 14))
    strokes = [(*start, 22.5 * FT, 10 * FT), *head((22.5 * FT, 10 * FT), start)]
    for x0, y0, x1, y1 in strokes:
        d.line((x0 / FT, y0 / FT), (x1 / FT, y1 / FT))
    sheet, view = d.sheet()
    rooms = find_rooms(sheet, view, SCALE, PLAIN, ()).rooms
    there = [room for room in rooms if room.polygon.contains(Point(22.5 * FT, 12 * FT))]
    assert [(room.name, room.kind) for room in there] == [("HALL BATH", "bathroom")]
    assert any(room.name == "BEDROOM" and room.kind == "bedroom" and not room.reasons for room in rooms)


def ends(count: int) -> FloatArray:
    return np.random.default_rng(count).uniform(0, 300, (count, 4))


@given(st.integers(1, 60))
def test_strokes_anywhere_do_no_harm(count: int) -> None:
    got = Leaders(ends(count)).tip(TEXT, SIZE)
    assert got is None or len(got) == 2

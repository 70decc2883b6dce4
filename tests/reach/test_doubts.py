"""No path is an answer only where the plan is whole: sealed rooms, swallowed outlines, screens.  In feet."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely import transform
from shapely.geometry import box

from cordpath.model import Room
from cordpath.reach import cord_paths, reach_problems

ROOM = [box(0, 0, 20, 0.5), box(0, 9.5, 20, 10), box(0, 0, 0.5, 10), box(19.5, 0, 20, 10)]
PARTY = box(9.75, 0, 10.25, 10)
DOORED = [box(9.75, 0, 10.25, 6), box(9.75, 9, 10.25, 10)]


def doubts(tiny, outlets, fixtures, plan):
    return dict(reach_problems(tuple(outlets), plan, tuple(fixtures), tiny.scale()))


def test_a_room_without_a_door_raises_the_question_nearby_only(tiny):
    near, far = tiny.outlet(9.75, 5, (-1, 0), id="near"), tiny.outlet(0.5, 5, (1, 0), id="far")
    sink = tiny.fixture(box(11, 4, 12, 6))
    got = doubts(tiny, [near, far], [sink], tiny.plan([*ROOM, PARTY]))
    assert got.keys() == {"near"} and "no door or opening" in got["near"] and "1.3 ft" in got["near"]
    assert not doubts(tiny, [near, far], [sink], tiny.plan([*ROOM, *DOORED]))


def test_an_outlet_near_another_fixture_by_a_path_needs_no_question(tiny):
    near = tiny.outlet(9.75, 5, (-1, 0), id="near")
    sinks = tiny.fixture(box(11, 4, 12, 6)), tiny.fixture(box(7, 4, 8, 6), id="f2")
    assert not doubts(tiny, [near], sinks, tiny.plan([*ROOM, PARTY]))


def test_only_a_bowl_or_tub_surely_within_reach_settles_the_question(tiny):
    """A water closet beside the outlet, or a sink at the limit, says nothing of the tub behind the wall."""
    near, tub = tiny.outlet(9.75, 5, (-1, 0), id="near"), tiny.fixture(box(11, 4, 12, 6), kind="bathtub")
    plan = tiny.plan([*ROOM, PARTY])
    closet = tiny.fixture(box(7, 4, 8, 6), kind="water closet", id="f2")
    assert doubts(tiny, [near], [tub, closet], plan).keys() == {"near"}
    assert not doubts(tiny, [near], [tiny.fixture(box(11, 4, 12, 6), kind="water closet")], plan)
    sink = tiny.fixture(box(2.5, 4, 3.5, 6), id="f3")
    assert doubts(tiny, [near], [tub, sink], plan).keys() == {"near"}


def test_an_outline_inside_a_wall_raises_the_question(tiny):
    sink = tiny.fixture(box(5, 4, 6, 5))
    got = doubts(tiny, [tiny.outlet(2, 5)], [sink], tiny.plan([*ROOM, box(4.9, 3.9, 6.1, 5.1)]))
    assert "inside walls" in got["E.1"]


def test_an_outdoor_outlet_at_a_house_without_a_door(tiny):
    sink = tiny.fixture(box(1, 4, 2, 6))
    assert doubts(tiny, [tiny.outlet(0, 5, (-1, 0))], [sink], tiny.plan(ROOM)).keys() == {"E.1"}
    assert not doubts(tiny, [tiny.outlet(0, 5, (-1, 0))], [sink], tiny.plan([*ROOM[:3], box(19.5, 0, 20, 4)]))


def test_no_scale_or_no_fixtures_gives_placement_problems_only(tiny):
    near = tiny.outlet(9.75, 5, (-1, 0))
    plan = tiny.plan([*ROOM, PARTY])
    assert not reach_problems((near,), plan)
    assert not reach_problems((near,), plan, (tiny.fixture(box(11, 4, 12, 6)),), tiny.scale(status="conflict"))


STALL = box(16, 6, 19.5, 9.5)
SCREENS = [box(15.96, 5.96, 16.04, 9.5), box(15.96, 5.96, 19.5, 6.04)]  # glass an inch thick on two sides


@pytest.mark.parametrize("kind", ["walls", "glazing"])
def test_the_outer_face_of_a_screen_is_the_edge_of_the_stall(tiny, kind):
    shower = tiny.fixture(STALL, kind="shower")
    plan = tiny.plan([*ROOM, *SCREENS]) if kind == "walls" else tiny.plan(ROOM, glazing=SCREENS)
    way = cord_paths((tiny.outlet(12, 8),), (shower,), plan, tiny.scale(), "open")[0]
    assert way.length_ft == pytest.approx(3.96, abs=2e-3)
    assert not doubts(tiny, [tiny.outlet(12, 8)], [shower], plan)


def test_a_wall_beside_a_stall_is_no_screen(tiny):
    shower = tiny.fixture(STALL, kind="shower")
    wall = box(15.7, 0, 16.0, 10)
    assert not cord_paths((tiny.outlet(12, 8),), (shower,), tiny.plan([*ROOM, wall]), tiny.scale(), "open")


def test_a_thin_wall_to_another_room_is_no_screen(tiny):
    """One inner wall drawn as one line among walls of two; a stall that its screens close is no room by itself."""
    shower = tiny.fixture(STALL, kind="shower")
    line = box(15.96, 0, 16.04, 10)

    def rooms(*shapes):
        areas = (transform(shape, lambda xy: xy * tiny.foot) for shape in shapes)
        return tuple(Room(f"r{n}", "", "unknown", area, 1.0, "v1") for n, area in enumerate(areas, 1))

    walled = replace(tiny.plan([*ROOM, line]), rooms=rooms(box(16.04, 0, 19.5, 9.5), box(0.5, 0.5, 15.96, 9.5)))
    assert not cord_paths((tiny.outlet(12, 8),), (shower,), walled, tiny.scale(), "open")
    closed = replace(tiny.plan([*ROOM, *SCREENS]), rooms=rooms(STALL, box(0.5, 0.5, 19.5, 9.5).difference(STALL)))
    way = cord_paths((tiny.outlet(12, 8),), (shower,), closed, tiny.scale(), "open")[0]
    assert way.length_ft == pytest.approx(3.96, abs=2e-3)


@pytest.mark.parametrize(("x", "asked"), [(11, True), (8, True), (17, True), (18.5, False)])
def test_an_outlet_in_a_wall_on_a_side_not_known_is_a_question_of_what_is_near_either_side(tiny, x, asked):
    plan = tiny.plan([*ROOM, tiny.box(9.8, 0, 10.2, 10)])
    deep = tiny.outlet(10, 5, None)
    sink = tiny.fixture(tiny.box(x, 4.5, x + 1, 5.5))
    assert (doubts(tiny, [deep], [sink], plan).keys() == {"E.1"}) is asked
    assert doubts(tiny, [deep], [], plan).keys() == set()


def test_the_outline_of_a_wall_that_sticks_out_beside_a_stall_is_no_screen(tiny):
    """An end of a wall's line, 1 in wide and 4 in long, that goes on past its band at the corner of the stall."""
    shower = tiny.fixture(STALL, kind="shower")
    end = box(15.6, 5.92, 16, 6)
    way = cord_paths((tiny.outlet(12, 6.2),), (shower,), tiny.plan([*ROOM, end]), tiny.scale(), "open")[0]
    assert way.length_ft == pytest.approx(4.0, abs=2e-3)
    panels = [box(15.96, y, 16.04, y + 0.45) for y in (6, 6.5, 7, 7.5, 8, 8.5, 9)]  # one screen, with joints
    plan = tiny.plan([*ROOM, *panels])
    assert cord_paths((tiny.outlet(12, 8),), (shower,), plan, tiny.scale(), "open")[0].length_ft < 3.97


def test_where_all_walls_are_thin_none_is_a_screen(tiny):
    shower = tiny.fixture(STALL, kind="shower")
    lines = [
        box(0, 0, 20, 0.1),
        box(0, 9.5, 20, 9.6),
        box(0, 0, 0.1, 9.6),
        box(19.5, 0, 19.6, 9.6),
        box(15.9, 0, 16, 9.6),
    ]
    assert not cord_paths((tiny.outlet(12, 8),), (shower,), tiny.plan(lines), tiny.scale(), "open")


def test_an_outlet_of_another_view_is_no_question_of_this_one(tiny):
    plan = tiny.plan([tiny.box(0, 0, 1, 10)])
    deep = tiny.outlet(0.5, 5, None, view="v2")
    assert reach_problems((deep,), plan) == ()
    assert [name for name, _ in reach_problems((tiny.outlet(0.5, 5, None),), plan)] == ["E.1"]


HALL, DEN = box(0.5, 0.5, 19.5, 9.5), box(12, 0.5, 19.5, 9.5)
STUB = box(9.8, 0, 10.2, 7)  # a wall from the north wall into the room
RAIL = box(9.95, 0, 10.05, 7)
BLOCK = [box(9.5, 0, 11.5, 0.4), box(9.5, 0, 9.9, 7), box(11.1, 0, 11.5, 7), box(9.5, 6.6, 11.5, 7)]  # a counter


def _rooms(*areas, open_to=()):
    return tuple(
        Room(f"r{k}", "FAMILY", "living", transform(area, lambda xy: xy * 18.0), 0.9, "v1", open_to=open_to)
        for k, area in enumerate(areas, 1)
    )


@pytest.mark.parametrize(
    ("walls", "rooms", "at", "asked"),
    [
        ([RAIL], _rooms(HALL), "r1", True),
        (BLOCK, _rooms(HALL), "r1", True),
        ([RAIL], _rooms(box(0.5, 0.5, 10, 9.5), DEN, open_to=("r1", "r2")), "r2", True),
        ([STUB], _rooms(HALL), "r1", False),  # drawn as the walls of the building are, and joined to one
        ([RAIL], _rooms(box(0.5, 0.5, 10, 9.5), DEN), "r2", False),  # a wall with another room behind it
        ([box(9, 0, 11, 7)], _rooms(HALL), "r1", False),  # a chimney is no low wall
        ([box(9.8, 0, 10.2, 2)], _rooms(HALL), "r1", False),  # the way round it is short: it is within reach
    ],
)
def test_what_is_drawn_unlike_a_wall_of_the_building_may_be_a_low_one(tiny, walls, rooms, at, asked):
    near = tiny.outlet(7.5, 0.5, (0, 1))
    sink = replace(tiny.fixture(box(12, 1, 13, 2)), room=at)
    plan = replace(tiny.plan([*ROOM, *walls]), rooms=rooms)
    got = doubts(tiny, [near], [sink], plan)
    assert bool(got) is asked
    assert all("half wall" in why and "4.5 ft" in why for why in got.values())


@pytest.mark.parametrize(("bar", "asked"), [(box(1, 4.8, 19, 5.2), True), (box(0, 4.8, 19, 5.2), False)])
def test_a_wall_that_stands_alone_may_be_a_low_one(tiny, bar, asked):
    near, sink = tiny.outlet(10, 4.8, (0, -1)), replace(tiny.fixture(box(9.5, 6, 10.5, 7)), room="r1")
    plan = replace(tiny.plan([*ROOM, bar]), rooms=_rooms(HALL))
    assert bool(doubts(tiny, [near], [sink], plan)) is asked

"""Plans small enough to know the answer by hand.  Everything in feet."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point, box

from cordpath.reach import cord_paths, reach_problems, through_glass

ROOM = [box(0, 0, 20, 0.5), box(0, 9.5, 20, 10), box(0, 0, 0.5, 10), box(19.5, 0, 20, 10)]


def measure(tiny, outlets, fixtures, plan, doors="open", within=12.0, scale=None):
    outlets = outlets if isinstance(outlets, tuple) else (outlets,)
    fixtures = fixtures if isinstance(fixtures, tuple) else (fixtures,)
    return cord_paths(outlets, fixtures, plan, scale or tiny.scale(), doors, within)


def length(tiny, *args, **more):
    found = measure(tiny, *args, **more)
    return found[0].length_ft if found else None


def test_a_straight_line_in_an_open_room_ends_at_the_near_edge(tiny):
    way = measure(tiny, tiny.outlet(0.5, 5, (1, 0)), tiny.fixture(box(5, 4, 7, 6)), tiny.plan(ROOM))[0]
    assert way.length_ft == pytest.approx(4.5, abs=1e-3)
    assert way.points[0] == pytest.approx((9, 90), abs=0.02) and way.points[-1] == pytest.approx((90, 90), abs=0.01)
    assert (way.outlet, way.fixture, way.doors) == ("E.1", "f1", "open")


def test_through_a_wall_there_is_no_way(tiny):
    wall = box(9.75, 0, 10.25, 10)
    assert (
        length(tiny, tiny.outlet(9.75, 5, (-1, 0)), tiny.fixture(box(11, 4, 12, 6)), tiny.plan([*ROOM, wall]))
        is None
    )


def test_round_the_end_of_a_wall(tiny):
    plan = tiny.plan([*ROOM, box(9.75, 0, 10.25, 6)])
    got = length(tiny, tiny.outlet(9.75, 5, (-1, 0)), tiny.fixture(box(11, 4, 12, 6)), plan)
    # up the face to (9.75, 6), along the wall's end, down to the nearest point of the bowl at (11, 6)
    assert got == pytest.approx(1 + 0.5 + 0.75, abs=2e-3)


@pytest.mark.parametrize("thick", [0.5, 0.1, 0.01])
def test_a_thin_wall_does_not_leak(tiny, thick):
    plan = tiny.plan([*ROOM, box(10, 0, 10 + thick, 10)])
    sink = tiny.fixture(box(11, 4, 12, 6))
    for x, facing in ((10.0, (-1, 0)), (10 + thick / 2, (-1, 0)), (10 + thick, (-1, 0))):
        assert length(tiny, tiny.outlet(x, 5, facing), sink, plan) is None
        there = length(tiny, tiny.outlet(x, 5, (-facing[0], 0)), sink, plan)
        assert there == pytest.approx(1 - thick, abs=2e-3)


def test_a_wall_drawn_as_one_line_still_blocks(tiny):
    plan = tiny.plan([*ROOM, LineString([(10, 0), (10, 10)])])
    assert length(tiny, tiny.outlet(9.9, 5, (-1, 0)), tiny.fixture(box(11, 4, 12, 6)), plan) is None


DOORED = [*ROOM, box(9.75, 0, 10.25, 3), box(9.75, 6, 10.25, 10)]
LEAF = box(9.9, 3, 10.1, 6)


@pytest.mark.parametrize("leaf", [LEAF, LineString([(10, 3), (10, 6)]), box(9.9, 3.05, 10.1, 5.95)])
@pytest.mark.parametrize("kind", ["doors", "openings"])
def test_a_doorway_is_a_way_unless_doors_block(tiny, leaf, kind):
    plan = tiny.plan(DOORED, **{kind: [leaf]})
    ends = tiny.outlet(9.75, 2.5, (-1, 0)), tiny.fixture(box(10.25, 1, 12, 2.5))
    assert length(tiny, *ends, plan, "open") == pytest.approx(1.5, abs=2e-3)
    assert length(tiny, *ends, plan, "blocking") is None


def test_a_window_blocks(tiny):
    assert length(tiny, tiny.outlet(8, 4.5), tiny.fixture(box(12, 4, 13, 5)), tiny.plan(DOORED)) == pytest.approx(4)
    shut = tiny.plan(DOORED, glazing=[LEAF])
    assert length(tiny, tiny.outlet(8, 4.5), tiny.fixture(box(12, 4, 13, 5)), shut) is None
    line = tiny.plan(DOORED, glazing=[LineString([(10, 3), (10, 6)])])
    assert length(tiny, tiny.outlet(8, 4.5), tiny.fixture(box(12, 4, 13, 5)), line) is None


def glass(tiny, outlet, fixture, plan):
    known = measure(tiny, outlet, fixture, plan)
    return [(p.length_ft, p.glass) for p in through_glass((outlet,), (fixture,), plan, tiny.scale(), known)]


def test_a_way_through_one_window_is_told_apart(tiny):
    sink = tiny.fixture(box(12, 4, 13, 5))
    panes = [LEAF, LineString([(10, 3), (10, 6)]), shapely.union(box(9.8, 3, 9.82, 6), box(10.1, 3, 10.12, 6))]
    for pane in panes:
        ((length_ft, told),) = glass(tiny, tiny.outlet(8, 4.5), sink, tiny.plan(DOORED, glazing=[pane]))
        assert length_ft == pytest.approx(4) and told
    assert not glass(tiny, tiny.outlet(8, 4.5), sink, tiny.plan(DOORED))
    assert not glass(tiny, tiny.outlet(8, 4.5), sink, tiny.plan(DOORED, glazing=[LEAF], doors=[LEAF]))
    beside = tiny.fixture(box(12, 4, 13, 5), kind="washer")
    assert not glass(tiny, tiny.outlet(8, 4.5), beside, tiny.plan(DOORED, glazing=[LEAF]))
    assert not glass(tiny, tiny.outlet(5, 4.5), sink, tiny.plan(DOORED, glazing=[LEAF]))  # 7 ft


def test_what_is_reached_round_the_glass_as_well_or_through_two_windows_is_not_told(tiny):
    sink = tiny.fixture(box(12, 4, 13, 5))
    two = tiny.plan([*DOORED, box(11, 0, 11.2, 3), box(11, 6, 11.2, 10)], glazing=[LEAF, box(11, 3, 11.2, 6)])
    assert not glass(tiny, tiny.outlet(8, 4.5), sink, two)
    screen = tiny.plan(ROOM, glazing=[box(9.9, 5.5, 10.1, 9.5)])
    assert not glass(tiny, tiny.outlet(8, 4.5), sink, screen)
    behind = tiny.plan(ROOM, glazing=[box(9.9, 4, 10.1, 9.5)])  # round its end it is longer
    ((length_ft, _),) = glass(tiny, tiny.outlet(8, 8), tiny.fixture(box(12, 7.5, 13, 8.5)), behind)
    assert length_ft == pytest.approx(4)


def test_glass_in_a_door_is_a_door(tiny):
    plan = tiny.plan(DOORED, glazing=[LEAF], doors=[LEAF])
    assert length(tiny, tiny.outlet(8, 4.5), tiny.fixture(box(12, 4, 13, 5)), plan) == pytest.approx(4)
    assert length(tiny, tiny.outlet(8, 4.5), tiny.fixture(box(12, 4, 13, 5)), plan, "blocking") is None


def test_a_double_bowl_is_measured_to_the_nearer_bowl(tiny):
    double = tiny.fixture(box(5, 4, 6, 5), box(6.5, 4, 7.5, 5))
    assert length(tiny, tiny.outlet(9, 4.5), double, tiny.plan(ROOM)) == pytest.approx(1.5)
    assert length(tiny, tiny.outlet(2, 4.5), double, tiny.plan(ROOM)) == pytest.approx(3.0)


def test_the_hidden_near_bowl_does_not_count(tiny):
    double = tiny.fixture(box(8, 4, 9, 5), box(14, 4, 15, 5))
    plan = tiny.plan([*ROOM, box(9.75, 0, 10.25, 10)])
    assert length(tiny, tiny.outlet(10.5, 4.5), double, plan) == pytest.approx(3.5)


def test_an_outline_that_runs_into_the_wall_is_cut_at_its_face(tiny):
    tub = tiny.fixture(box(15, 8, 19.7, 9.8), kind="bathtub")
    assert length(tiny, tiny.outlet(12, 9.5, (0, -1)), tub, tiny.plan(ROOM)) == pytest.approx(3, abs=2e-3)
    assert length(tiny, tiny.outlet(17, 9.5, (0, -1)), tub, tiny.plan(ROOM)) == pytest.approx(0, abs=2e-3)


def test_a_slip_of_the_outline_through_a_wall_is_no_edge(tiny):
    plan = tiny.plan([*ROOM, box(9.75, 0, 10.0, 10)])
    tub = tiny.fixture(box(9.6, 3, 12.5, 8), kind="bathtub")
    assert length(tiny, tiny.outlet(8, 5), tub, plan) is None
    assert length(tiny, tiny.outlet(14, 5), tub, plan) == pytest.approx(1.5)


def test_an_outline_given_as_a_line_counts_as_its_area(tiny):
    ring = tiny.fixture(box(5, 4, 7, 6).exterior)
    assert length(tiny, tiny.outlet(10, 5), ring, tiny.plan(ROOM)) == pytest.approx(3)
    lines = tiny.fixture(shapely.MultiLineString([[(5, 4), (5, 6)], [(7, 4), (7, 6)]]))
    assert length(tiny, tiny.outlet(10, 5), lines, tiny.plan(ROOM)) == pytest.approx(3)


def test_round_a_corner_to_the_foot_on_an_edge_that_is_not_the_nearest_point(tiny):
    # The straight line to the nearest point is blocked by a free-standing wall; a farther foot is in sight.
    plan = tiny.plan([*ROOM, box(9, 2, 9.2, 5.2)])
    got = length(tiny, tiny.outlet(8, 5), tiny.fixture(box(10, 3, 11, 5)), plan)
    by_hand = math.hypot(1, 0.2) + 0.2 + math.hypot(0.8, 0.2)
    assert got == pytest.approx(by_hand, abs=2e-3)


def test_uncertainty_adds_scale_anchor_and_pen(tiny):
    outlet = tiny.outlet(2, 5, tolerance_ft=0.2)
    way = measure(tiny, outlet, tiny.fixture(box(6, 4, 7, 6)), tiny.plan(ROOM), scale=tiny.scale(0.01, "single"))[0]
    assert way.uncertainty_ft == pytest.approx(0.01 * 4 + 0.2 + 0.5 / 18)


def test_each_corner_on_the_way_adds_to_the_uncertainty(tiny):
    wall = box(4, 2, 4.4, 8)
    around = measure(tiny, tiny.outlet(2, 5), tiny.fixture(box(5, 4, 6, 6)), tiny.plan([*ROOM, wall]))[0]
    straight = measure(tiny, tiny.outlet(2, 5), tiny.fixture(box(5, 4, 6, 6)), tiny.plan(ROOM))[0]
    bends = len(around.points) - 2
    assert bends == 2
    scale = tiny.scale().tolerance
    assert around.uncertainty_ft - scale * around.length_ft == pytest.approx(
        straight.uncertainty_ft - scale * straight.length_ft + bends * 1.5 / 12
    )


def test_far_pairs_are_left_out(tiny):
    assert length(tiny, tiny.outlet(2, 5), tiny.fixture(box(9, 4, 10, 6)), tiny.plan(ROOM), within=6.9) is None
    assert length(tiny, tiny.outlet(2, 5), tiny.fixture(box(9, 4, 10, 6)), tiny.plan(ROOM), within=7.1) is not None


def test_views_are_never_connected(tiny):
    other = tiny.outlet(2, 5, view="v2"), tiny.fixture(box(5, 4, 6, 6), view="v2")
    assert not measure(tiny, other[0], tiny.fixture(box(5, 4, 6, 6)), tiny.plan(ROOM))
    assert not measure(tiny, tiny.outlet(2, 5), other[1], tiny.plan(ROOM))


def test_nothing_is_measured_without_a_scale(tiny):
    bad = tiny.scale(status="conflict")
    assert not measure(tiny, tiny.outlet(2, 5), tiny.fixture(box(5, 4, 6, 6)), tiny.plan(ROOM), scale=bad)


def test_a_hair_gap_between_two_walls_is_no_way(tiny):
    crack = 0.2 / tiny.foot
    plan = tiny.plan([*ROOM, box(9.75, 0, 10.25, 5), box(9.75, 5 + crack, 10.25, 10)])
    assert length(tiny, tiny.outlet(9, 5), tiny.fixture(box(11, 4, 12, 6)), plan) is None


def test_the_stalls_own_door_does_not_block_its_edge(tiny):
    stall = tiny.fixture(box(16, 6, 19.5, 9.5), kind="shower")
    leaf = LineString([(16, 7), (16, 9)])
    plan = tiny.plan(ROOM, doors=[leaf])
    assert length(tiny, tiny.outlet(12, 8), stall, plan, "blocking") == pytest.approx(4)


def test_problems_name_what_cannot_be_measured(tiny):
    plan = tiny.plan([*ROOM, box(8, 3, 12, 7)])
    fine = tiny.outlet(0.5, 5, (1, 0), id="fine")
    deep = tiny.outlet(10, 5, (1, 0), id="deep")
    sideless = tiny.outlet(0.25, 5, None, id="sideless")
    severed = tiny.outlet(8, 5, (-1, 0), id="severed", at=(12.5, 5))
    named = dict(reach_problems((fine, deep, sideless, severed), plan))
    assert set(named) == {"deep", "sideless", "severed"}
    assert "deep inside a wall" in named["deep"]
    bare = tiny.plan()
    assert (
        dict(reach_problems((fine,), bare)).keys() == {"fine"} and "no walls" in reach_problems((fine,), bare)[0][1]
    )
    assert not measure(tiny, fine, tiny.fixture(box(5, 4, 6, 6)), bare)


def test_the_body_tells_the_side_where_the_facing_does_not(tiny):
    plan = tiny.plan([*ROOM, box(9.75, 0, 10.25, 10)])
    got = length(tiny, tiny.outlet(10, 5, None, at=(10.5, 5)), tiny.fixture(box(12, 4, 13, 6)), plan)
    assert got == pytest.approx(1.75, abs=2e-3)


def test_an_outlet_inside_the_bowl_outline_is_at_no_distance(tiny):
    way = measure(tiny, tiny.outlet(5, 5), tiny.fixture(box(4, 4, 6, 6)), tiny.plan(ROOM))[0]
    assert way.length_ft == 0 and len(way.points) >= 1 and np.isfinite(way.points).all()
    assert Point(way.points[-1]).distance(Point(90, 90)) < 1e-9


def test_glass_in_a_door_drawn_as_a_line_is_a_door(tiny):
    plan = tiny.plan(DOORED, glazing=[LEAF], doors=[LineString([(10, 3), (10, 6)])])
    assert length(tiny, tiny.outlet(8, 4.5), tiny.fixture(box(12, 4, 13, 5)), plan) == pytest.approx(4)


def test_an_outlet_in_a_doorway_is_not_shut_in(tiny):
    plan = tiny.plan(DOORED, openings=[box(9.75, 3, 10.25, 6)])
    ends = tiny.outlet(10, 3, (0, 1)), tiny.fixture(box(11, 2.5, 12, 4))
    assert length(tiny, *ends, plan, "blocking") == pytest.approx(length(tiny, *ends, plan, "open"))

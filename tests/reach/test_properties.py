"""Random plans: what must hold for every shortest path among walls.  Everything in feet."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box

from cordpath.reach import cord_paths

SHELL = box(-0.5, -0.5, 24.5, 24.5).difference(box(0, 0, 24, 24))
HAIR_FT = 2e-3  # a bend may cut 0.01 pt, 0.0006 ft; three bends
FAR = 60.0

quarter = st.integers(1, 95).map(lambda n: n / 4)


@st.composite
def block(draw):
    """A wall stub or pillar: a turned rectangle."""
    x, y = draw(quarter), draw(quarter)
    long, thick = draw(st.integers(1, 28)) / 4, draw(st.sampled_from([0.1, 0.375, 0.5, 2.0]))
    turn = draw(st.sampled_from([0, 0, 90, 90, 30, 45, 71]))
    shape = box(x - long / 2, y - thick / 2, x + long / 2, y + thick / 2)
    return shapely.affinity.rotate(shape, turn, origin=(x, y))


walls = st.lists(block(), min_size=0, max_size=7)
spot = st.tuples(quarter, quarter)


def free(walls, *points):
    solid = shapely.union_all([SHELL, *walls])
    assume(all(solid.distance(Point(p)) > 0.05 for p in points))
    return solid


def bowl(at, r=0.02):
    """As good as a point: a diamond 0.02 ft from its middle to its corners."""
    x, y = at
    return Polygon([(x - r, y), (x, y - r), (x + r, y), (x, y + r)])


def ways(tiny, walls, starts, bowls, doors="open", leaves=()):
    outlets = tuple(tiny.outlet(*p, id=f"E.{i}") for i, p in enumerate(starts))
    fixtures = tuple(tiny.fixture(b, id=f"f{i}") for i, b in enumerate(bowls))
    found = cord_paths(outlets, fixtures, tiny.plan([SHELL, *walls], doors=leaves), tiny.scale(), doors, FAR)
    return {(w.outlet, w.fixture): w for w in found}


def between(tiny, walls, a, b, **more):
    found = ways(tiny, walls, [a], [bowl(b)], **more)
    return found["E.0", "f0"].length_ft if found else math.inf


@settings(max_examples=60, deadline=None)
@given(walls, spot, spot)
def test_a_path_is_a_free_line_no_shorter_than_straight_and_as_long_as_it_says(tiny, walls, a, b):
    solid = free(walls, a, b)
    found = ways(tiny, walls, [a], [bowl(b)])
    straight = Point(a).distance(bowl(b))
    line = LineString([a, b]) if a != b else None
    if line is None or not line.intersects(solid.buffer(1e-6)):
        assert found["E.0", "f0"].length_ft == pytest.approx(straight, abs=1e-6)
    for way in found.values():
        points = np.array(way.points) / tiny.foot
        assert way.length_ft >= straight - 1e-9
        assert way.length_ft == pytest.approx(np.hypot(*np.diff(points, axis=0).T).sum(), abs=1e-6)
        assert tuple(points[0]) == pytest.approx(a) and bowl(b).distance(Point(points[-1])) < 1e-6
        if len(points) > 1:
            assert LineString(points).intersection(solid.buffer(-0.002, join_style="mitre")).length == 0


@settings(max_examples=40, deadline=None)
@given(walls, spot, spot, spot)
def test_symmetry_and_the_triangle(tiny, walls, a, b, c):
    free(walls, a, b, c)
    ab, ba = between(tiny, walls, a, b), between(tiny, walls, b, a)
    size = 2 * 0.02  # the diamonds are not points
    assert ab == ba == math.inf or ab == pytest.approx(ba, abs=size + HAIR_FT)
    assert ab <= between(tiny, walls, a, c) + between(tiny, walls, c, b) + 2 * size + HAIR_FT


@settings(max_examples=40, deadline=None)
@given(walls, block(), spot, spot)
def test_one_wall_more_never_shortens(tiny, walls, more, a, b):
    free([*walls, more], a, b)
    assert between(tiny, [*walls, more], a, b) >= between(tiny, walls, a, b) - HAIR_FT


@settings(max_examples=40, deadline=None)
@given(walls, block(), spot, spot)
def test_blocking_doors_never_shorten_and_act_as_walls(tiny, walls, door, a, b):
    free([*walls, door], a, b)
    shut = between(tiny, walls, a, b, doors="blocking", leaves=[door])
    assert shut >= between(tiny, walls, a, b, leaves=[door]) - HAIR_FT
    assert between(tiny, walls, a, b, leaves=[door]) == between(tiny, walls, a, b)
    assert shut >= between(tiny, [*walls, door], a, b) - HAIR_FT


@settings(max_examples=25, deadline=None)
@given(walls, st.lists(spot, min_size=2, max_size=4), st.lists(spot, min_size=2, max_size=3))
def test_many_at_once_is_one_at_a_time(tiny, walls, starts, ends):
    free(walls, *starts, *ends)
    whole = ways(tiny, walls, starts, [bowl(e, 0.5) for e in ends])
    for i, a in enumerate(starts):
        for j, b in enumerate(ends):
            one = ways(tiny, walls, [a], [bowl(b, 0.5)]).get(("E.0", "f0"))
            both = whole.get((f"E.{i}", f"f{j}"))
            assert (one is None) == (both is None)
            assert one is None or one.length_ft == pytest.approx(both.length_ft, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(walls, spot, spot, st.floats(1.0, 40.0))
def test_reach_only_leaves_out(tiny, walls, a, b, within):
    free(walls, a, b)
    outlet, sink = tiny.outlet(*a), tiny.fixture(bowl(b))
    plan = tiny.plan([SHELL, *walls])
    near = cord_paths((outlet,), (sink,), plan, tiny.scale(), "open", within)
    far = cord_paths((outlet,), (sink,), plan, tiny.scale(), "open", FAR)
    for way in far:  # the tightest reach that still holds the path
        tight = cord_paths((outlet,), (sink,), plan, tiny.scale(), "open", way.length_ft + 1e-6)
        assert [w.length_ft for w in tight] == pytest.approx([way.length_ft], abs=1e-9)
    want = [w.length_ft for w in far if w.length_ft <= within]
    assert [w.length_ft for w in near] == pytest.approx(want, abs=1e-9)

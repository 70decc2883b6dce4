"""Cord paths against three measures that share nothing with them.

- The shortest path in a naive visibility graph, all vertices against all, by networkx' Dijkstra (E. W. Dijkstra,
  "A note on two problems in connexion with graphs", Numerische Mathematik 1 (1959) 269).
- The shortest path over a fine grid by scikit-image's ``MCP_Geometric`` (documentation of ``skimage.graph``: moves
  to eight neighbours, diagonal ones weighted by their length).  Such a path is never shorter than the true one and
  at most 1 / cos(22.5 degrees) = 1.0824 times as long (geometry of the eight directions), up to cells at both ends.
- The visibility graph and search of a published library, pyvisgraph (PyPI; D. T. Lee's rotating sweep), which
  shares no code with us or with networkx.
"""

from __future__ import annotations

import itertools
import math

import networkx
import numpy as np
import pytest
import pyvisgraph
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, box
from skimage.graph import MCP_Geometric

from cordpath.model import Fixture, FloorPlan, Outlet, Scale, Standing, Symbol, SymbolEntry
from cordpath.reach import cord_paths

FOOT = 18.0  # points a foot at 1/4 in. = 1 ft
SIDE = 16.0  # ft
SHELL = box(-1, -1, SIDE + 1, SIDE + 1).difference(box(0, 0, SIDE, SIDE))
HALF_SAMPLE = 0.025  # ft: goal outlines are sampled every 0.05 ft for the naive graph


def measured(walls, start, bowl):
    """Length in feet by the program, inf for no way."""
    solid = shapely.transform(shapely.union_all([SHELL, *walls]), lambda xy: xy * FOOT)
    edge = shapely.transform(bowl, lambda xy: xy * FOOT)
    at = (start[0] * FOOT, start[1] * FOOT)
    plan = FloorPlan("v", (), solid, shapely.Polygon(), (), (), None)
    device = Symbol(SymbolEntry("r", "receptacle"), at, 0, False, 1, 1, True, "v", Point(at), np.zeros(0, int))
    sink = Symbol(SymbolEntry("s", "sink"), at, 0, False, 1, 1, True, "v", edge, np.zeros(0, int), edge)
    scale = Scale("v", 48.0, "note", "", "proved")
    outlet = Outlet("o", device, Standing(at, None, "r", 0.0))
    found = cord_paths((outlet,), (Fixture("f", sink, "r"),), plan, scale, "open", 200.0)
    return found[0].length_ft if found else math.inf


def naive(walls, start, bowl):
    solid = shapely.union_all([SHELL, *walls])
    open_solid = solid.buffer(-1e-4)
    corners = [tuple(p) for p in shapely.get_coordinates(solid)]
    rims = shapely.get_rings(shapely.get_parts(bowl))
    ends = [rim.interpolate(d).coords[0] for rim in rims for d in np.arange(0, rim.length, 2 * HALF_SAMPLE)]
    nodes = list(dict.fromkeys([start, *corners]))
    graph = networkx.Graph()
    graph.add_nodes_from(["goal", *nodes])
    pairs = list(itertools.combinations(nodes, 2))
    clear = ~shapely.intersects([LineString(p) for p in pairs], open_solid)
    graph.add_weighted_edges_from((a, b, math.dist(a, b)) for (a, b), ok in zip(pairs, clear, strict=True) if ok)
    for node in nodes:
        sights = shapely.linestrings(np.array([[node, end] for end in ends]))
        seen = shapely.length(sights)[~shapely.intersects(sights, open_solid)]
        if len(seen):
            graph.add_edge(node, "goal", weight=float(seen.min()))
    try:
        return networkx.dijkstra_path_length(graph, start, "goal")
    except networkx.NetworkXNoPath:
        return math.inf


@st.composite
def block(draw, thin=0.4):
    x, y = draw(st.integers(2, 62)) / 4, draw(st.integers(2, 62)) / 4
    long, thick = draw(st.integers(4, 40)) / 4, draw(st.sampled_from([thin, 0.55, 1.5]))
    shape = box(x - long / 2, y - thick / 2, x + long / 2, y + thick / 2)
    if draw(st.booleans()):  # a wedge: corners that are not square
        shape = shapely.Polygon([(x - long / 2, y - thick / 2), (x + long / 2, y - thick / 2), (x, y + thick)])
    return shapely.affinity.rotate(shape, draw(st.sampled_from([0, 90, 0, 90, 37, 130])), origin=(x, y))


spot = st.tuples(st.integers(2, 62), st.integers(2, 62)).map(lambda p: (p[0] / 4 + 0.01, p[1] / 4 + 0.02))
rooms = st.tuples(st.lists(block(), min_size=1, max_size=6), spot, spot)


@settings(max_examples=120, deadline=None)
@given(rooms)
def test_as_long_as_the_naive_visibility_graph(room):
    walls, start, end = room
    left, right = (
        box(end[0] - 0.4, end[1] - 0.25, end[0] + 0.4, end[1] + 0.25),
        box(end[0] + 1, end[1], end[0] + 3, end[1] + 1),
    )
    bowl = shapely.MultiPolygon([left, right])
    solid = shapely.union_all([SHELL, *walls])
    assume(solid.distance(Point(start)) > 0.05 and solid.distance(bowl) > 0.05)
    assume(not bowl.intersects(Point(start)))
    ours, theirs = measured(walls, start, bowl), naive(walls, start, bowl)
    if math.isinf(ours) and not math.isinf(theirs):  # the naive graph slips through where walls touch in a point
        floor = shapely.get_parts(box(0, 0, SIDE, SIDE).difference(solid.buffer(1e-3)))
        assert not any(part.intersects(Point(start)) and part.intersects(bowl) for part in floor)
    elif math.isinf(theirs):
        assert ours == theirs
    else:
        assert theirs - HALF_SAMPLE - 2e-3 <= ours <= theirs + 1e-3


CELL = 1 / 8  # ft
GRID = np.arange(-0.5, SIDE + 0.5, CELL)


def over_the_grid(solid, start, end):
    x, y = np.meshgrid(GRID, GRID)
    cost = np.where(shapely.contains_xy(solid, x, y), -1.0, 1.0)

    def cell(point):
        return tuple(round((v - GRID[0]) / CELL) for v in reversed(point))

    costs, _ = MCP_Geometric(cost).find_costs([cell(start)], [cell(end)])
    return float(costs[cell(end)]) * CELL


@settings(max_examples=40, deadline=None)
@given(st.tuples(st.lists(block(thin=0.55), min_size=1, max_size=6), spot, spot))
def test_between_two_grid_measures(room):
    walls, start, end = room
    solid = shapely.union_all([SHELL, *walls])
    assume(min(solid.distance(Point(start)), solid.distance(Point(end))) > 2 * CELL and math.dist(start, end) > 1)
    ours = measured(walls, start, Point(end).buffer(0.02))
    # A grid way past thickened walls is a way for a cord too; a cord's way past thinned walls is one for the grid.
    assert ours <= over_the_grid(solid.buffer(CELL, join_style="mitre"), start, end) + 2 * CELL
    if math.isfinite(ours):
        thin = over_the_grid(solid.buffer(-CELL, join_style="mitre"), start, end)
        assert thin <= ours / math.cos(math.pi / 8) + 4 * CELL


def by_library(solid, start, end):
    """The library's path round the obstacles, which it takes as rings of corners without holes."""
    rings = [shapely.get_coordinates(block.exterior)[:-1] for block in shapely.get_parts(solid)]
    graph = pyvisgraph.VisGraph()
    graph.build([[pyvisgraph.Point(*xy) for xy in ring.tolist()] for ring in rings], status=False)
    path = graph.shortest_path(pyvisgraph.Point(*start), pyvisgraph.Point(*end))
    return LineString([(at.x, at.y) for at in path])


@settings(max_examples=25, deadline=None)
@given(rooms)
def test_as_long_as_a_published_library_says(room):
    walls, start, end = room
    solid = shapely.union_all(walls)
    blocks = shapely.get_parts(solid)
    assume(all(box(0.1, 0.1, SIDE - 0.1, SIDE - 0.1).covers(block) and not block.interiors for block in blocks))
    assume(min(solid.distance(Point(start)), solid.distance(Point(end))) > 0.05 and math.dist(start, end) > 0.5)
    theirs = by_library(solid, start, end)
    assume(not theirs.intersects(solid.buffer(-1e-3)))  # it cuts a corner of some blocks that are not convex
    ours = measured(walls, start, Point(end).buffer(0.01))
    assert ours == pytest.approx(theirs.length - 0.01, abs=3e-3)


def test_a_known_corner():
    """Pythagoras twice: 5 ft and 5 ft round the end of a thin wall (3-4-5 triangles)."""
    wall = box(7.999, 0, 8.001, 10)
    got = measured([wall], (4, 7), box(12, 6.5, 13, 7))
    assert got == pytest.approx(10, abs=5e-3)

"""Cord paths against a brute-force visibility graph: every corner of every wall joined with every other one.

Shortest ways among polygons turn at their corners only (de Berg et al., Computational Geometry, ch. 15).  Nothing
is shared with the stage: no tangents, no reach, no feet on edges, only shapely and Dijkstra.  Everything in feet.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.sparse.csgraph import dijkstra
from shapely.geometry import Point, box

from cordpath.reach import cord_paths

SHELL = box(-0.5, -0.5, 24.5, 24.5).difference(box(0, 0, 24, 24))

SLACK_FT = 0.006  # three bends of a hair each; the oracle's own walls are as much thinner
CLOSED_FT = 0.02  # gaps of 0.3 pt at 1/4 in = 1 ft are no ways: such plans are left out


quarter = st.integers(1, 95).map(lambda n: n / 4)
spot = st.tuples(quarter, quarter)


@st.composite
def block(draw):
    """An island, a low wall or a pillar: a turned rectangle."""
    x, y = draw(quarter), draw(quarter)
    long, thick = draw(st.integers(1, 28)) / 4, draw(st.sampled_from([0.1, 0.375, 2.0]))
    shape = box(x - long / 2, y - thick / 2, x + long / 2, y + thick / 2)
    return shapely.affinity.rotate(shape, draw(st.sampled_from([0, 90, 30, 71])), origin=(x, y))


@st.composite
def across(draw):
    """A wall from side to side with one or two openings, doors, panes or cased: (pieces, [(kind, strip)])."""
    at, thick = draw(st.integers(24, 72)) / 4, draw(st.sampled_from([0.375, 0.5]))
    every = st.integers(0, 4).flatmap(lambda cell: st.integers(16 * cell + 4, 16 * cell + 8))  # 4 ft apart
    cuts = sorted(draw(st.lists(every, min_size=1, max_size=2, unique_by=lambda v: v // 16)))
    kinds = [draw(st.sampled_from(["door", "cased", "pane"])) for _ in cuts]
    holes = [box(at, c / 4, at + thick, c / 4 + 2.75) for c in cuts]
    wall = box(at, 0, at + thick, 24).difference(shapely.union_all(holes))
    turned = draw(st.booleans())
    turn = (lambda g: shapely.transform(g, lambda xy: xy[:, ::-1])) if turned else (lambda g: g)
    return turn(wall), [(kind, turn(hole)) for kind, hole in zip(kinds, holes, strict=True)]


def shortest(solid, start, goal):
    """The length of the shortest way from a point to an area among solid ones; inf for none."""
    core = shapely.buffer(solid, -SLACK_FT / 3, join_style="mitre")
    shapely.prepare(core)
    corners = shapely.get_coordinates(solid)
    nodes = np.unique(np.vstack([[start], corners, shapely.get_coordinates(goal)]), axis=0)
    a, b = np.triu_indices(len(nodes), 1)
    free = ~shapely.intersects(core, shapely.linestrings(np.stack([nodes[a], nodes[b]], 1)))
    weight = np.zeros((len(nodes) + 1, len(nodes) + 1))
    weight[a[free], b[free]] = np.hypot(*(nodes[a] - nodes[b]).T)[free]
    for ring in shapely.get_parts(goal):  # the foot on every side of the goal
        line = shapely.get_coordinates(ring)
        for side in itertools.pairwise(line):
            last = shapely.shortest_line(shapely.points(nodes), shapely.LineString(side))
            seen = ~shapely.intersects(core, last)
            size = np.maximum(shapely.length(last), 1e-9)
            old = np.where(weight[:-1, -1] > 0, weight[:-1, -1], np.inf)
            best = np.minimum(old, np.where(seen, size, np.inf))
            weight[:-1, -1] = np.where(np.isfinite(best), best, 0)
    source = int(np.flatnonzero((nodes == start).all(1))[0])
    return float(dijkstra(weight, directed=False, indices=source)[-1])


@settings(max_examples=30, deadline=None)
@given(
    st.lists(block(), max_size=4),
    across(),
    *[st.tuples(quarter, quarter)] * 2,
    st.sampled_from(["open", "blocking"]),
)
def test_every_path_is_as_long_as_the_oracles(tiny, walls, wall, a, b, doors):
    whole, ways_through = wall
    panes = [strip for kind, strip in ways_through if kind == "pane"]
    leaves = [strip for kind, strip in ways_through if kind != "pane"]
    barred = [SHELL, whole, *walls, *panes, *(leaves if doors == "blocking" else [])]
    solid = shapely.union_all(barred)
    bowl = box(b[0] - 0.5, b[1] - 0.4, b[0] + 0.5, b[1] + 0.4)
    assume(not bowl.intersects(Point(a)))
    assume(all(shapely.union_all([solid, *leaves]).distance(g) > 0.05 for g in (Point(a), bowl)))
    closed = solid.buffer(CLOSED_FT, join_style="mitre").buffer(-CLOSED_FT, join_style="mitre")
    wanted = shortest(solid, a, bowl)
    assume(wanted == shortest(closed, a, bowl) == math.inf or abs(wanted - shortest(closed, a, bowl)) < SLACK_FT)
    plan = tiny.plan([SHELL, whole, *walls], glazing=panes, doors=leaves)
    found = cord_paths((tiny.outlet(*a),), (tiny.fixture(bowl),), plan, tiny.scale(), doors, 60.0)
    length = found[0].length_ft if found else math.inf
    assert length == wanted == math.inf or length == pytest.approx(wanted, abs=SLACK_FT)

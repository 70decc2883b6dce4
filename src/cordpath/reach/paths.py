"""All cord paths of a plan at once: one visibility graph, one shortest-path run from every outlet.

Exact in the plane: the graph holds every tangent between corners of the barrier that could lie on a path no
longer than asked, so its shortest chain is the shortest path (see barriers.py).  What is not exact, in points on
paper: faces may be cut by 0.01 pt a bend (the hair), gaps under 0.3 pt are closed, curves come as chords.

A plan path is a lower bound of the real one: heights only add to it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import dijkstra
from shapely.geometry.base import BaseGeometry

from cordpath.model import (
    INCHES_PER_FOOT,
    TUB_KINDS,
    CordPath,
    Doors,
    Fixture,
    FloatArray,
    FloorPlan,
    IntArray,
    Outlet,
    Point,
    Scale,
)
from cordpath.reach.barriers import Barrier, barrier, fixed_barrier
from cordpath.reach.goals import Goal, goal, last_pieces
from cordpath.reach.starts import free_start

# A fixture's outline is the middle of its stroke: half of a 0.35 mm pen (0.99 pt), common practice for fixtures.
OUTLINE_TOLERANCE_PT = 0.5
# For each corner that a path bends round: walls are half a pen too fat, and door frames may or may not be drawn.
# Measured on random houses: a path through one doorway was up to 4 in off where walls are one thick stroke.
CORNER_IN = 1.5
NEAR_FT = 6.5  # the limit of all editions of NEC 210.8 that name one (6 ft), with room for the uncertainty
ENCLOSURE_IN = 3.0  # a door that lies wholly this near to a tub or shower is a door of its own enclosure


def cord_paths(
    outlets: tuple[Outlet, ...],
    fixtures: tuple[Fixture, ...],
    plan: FloorPlan,
    scale: Scale,
    doors: Doors,
    within_ft: float = 12.0,
) -> tuple[CordPath, ...]:
    """The shortest cord path of every outlet to every fixture with an ``edge``, in order of outlets, then fixtures.

    Pairs that are farther than ``within_ft`` or have no way between them are left out, as are symbols of other
    views, everything under a scale that may not be measured with, and outlets that
    :func:`cordpath.reach.reach_problems` names.  ``uncertainty_ft`` is the scale's tolerance times the length,
    plus the anchor's tolerance, plus half a pen for the outline (``OUTLINE_TOLERANCE_PT``), plus ``CORNER_IN`` for
    each bend.
    """
    if not scale.measurable:
        return ()
    foot = scale.points_per_foot
    fixed = fixed_barrier(plan)
    origins = [(outlet, free_start(outlet, fixed)[0]) for outlet in outlets if in_view(outlet, plan)]
    starts = [(outlet, start) for outlet, start in origins if start is not None]
    goals = [(fixture, goal(fixture, fixed, plan, foot)) for fixture in fixtures if in_view(fixture, plan)]
    goals = [(fixture, target) for fixture, target in goals if not target.area.is_empty]
    if not starts or not goals:
        return ()
    places = np.array([start for _, start in starts])
    graph = Graph(
        fixed if doors == "open" else barrier(plan, doors, _stalls(goals, ENCLOSURE_IN / 12 * foot), places),
        places,
        [target for _, target in goals],
        within_ft * foot,
    )
    found = []
    for i, j in graph.pairs():
        outlet, fixture = starts[i][0], goals[j][0]
        length = float(graph.total[i, j]) / foot
        points = graph.points(i, j)
        slack = scale.tolerance * length + outlet.standing.anchor_tolerance_ft + OUTLINE_TOLERANCE_PT / foot
        slack += (len(points) - 2) * CORNER_IN / INCHES_PER_FOOT
        found.append(CordPath(outlet.id, fixture.id, doors, length, slack, points))
    return tuple(found)


def _stalls(goals: Sequence[tuple[Fixture, Goal]], near: float) -> BaseGeometry:
    """Tubs and showers with what lies right along them."""
    stalls = [target.area for fixture, target in goals if fixture.symbol.kind in TUB_KINDS]
    return shapely.union_all(shapely.buffer(stalls, near))


def in_view(thing: Outlet | Fixture, plan: FloorPlan) -> bool:
    """Does a symbol belong to the plan's view?  One outside every view is left to the caller."""
    return thing.symbol.view in (None, plan.view)


class Graph:
    """Starts, corners and goals of one barrier.  Lengths in points; ``total`` (outlets, goals), inf for none."""

    def __init__(self, barrier: Barrier, starts: FloatArray, goals: Sequence[Goal], reach: float) -> None:
        self._starts = starts
        to_goal = _distances(starts, goals)
        useful = _useful(barrier.corners, starts, goals, reach)
        self._corners = barrier.corners[useful]
        out, back = _bounds(self._corners, starts, goals)
        links = [_links_from_starts(barrier, useful, starts, back, reach)]
        links.append(_links_between(barrier, useful, out, back, reach, len(starts)))
        rows, columns, weights = (np.concatenate(part) for part in zip(*links, strict=True))
        size = len(starts) + len(useful)
        matrix = csr_matrix((weights, (rows, columns)), shape=(size, size))
        self._reached, self._before = dijkstra(
            matrix, indices=np.arange(len(starts)), return_predecessors=True, limit=reach
        )
        self._last, self._ends = self._last_pieces(barrier, goals, to_goal, reach)
        self._bend = np.full(to_goal.shape, -1, np.int64)
        self.total = np.full(to_goal.shape, np.inf)
        for j in range(len(goals)):
            whole = self._reached + self._last[:, j]
            # A start is no bend of another outlet's path: its own straight line, or a corner.
            bends = whole[:, len(starts) :]
            straight = self._last[: len(starts), j]
            rank = np.concatenate([straight[:, None], bends], axis=1).argmin(axis=1)
            row = np.arange(len(starts))
            self._bend[:, j] = np.where(rank == 0, row, rank - 1 + len(starts))
            self.total[:, j] = np.minimum(straight, bends.min(axis=1, initial=np.inf))
        self.total[self.total > reach] = np.inf

    def _last_pieces(
        self, barrier: Barrier, goals: Sequence[Goal], to_goal: FloatArray, reach: float
    ) -> tuple[FloatArray, FloatArray]:
        """(nodes, goals) length of the last straight piece, and (nodes, goals, 2) where it ends."""
        places = np.concatenate([self._starts, self._corners])
        first = self._reached.min(axis=0, initial=np.inf)
        last = np.full((len(places), len(goals)), np.inf)
        ends = np.full((len(places), len(goals), 2), np.nan)
        for j, target in enumerate(goals):
            lower = np.concatenate([to_goal[:, j], shapely.distance(shapely.points(self._corners), target.area)])
            near = np.flatnonzero(first + lower <= reach)
            last[near, j], ends[near, j] = last_pieces(places[near], target, barrier)
        return last, ends

    def pairs(self) -> list[tuple[int, int]]:
        """Outlet and goal of every path found, in order."""
        return [(int(i), int(j)) for i, j in np.argwhere(np.isfinite(self.total))]

    def points(self, i: int, j: int) -> tuple[Point, ...]:
        """The bends of one path, from the outlet to the goal."""
        n = len(self._starts)
        node = int(self._bend[i, j])
        chain = [self._ends[node, j]]
        while node >= n:
            chain.append(self._corners[node - n])
            node = int(self._before[i, node])
        chain.append(self._starts[i])
        return tuple((float(x), float(y)) for x, y in reversed(chain))


def _distances(points: FloatArray, goals: Sequence[Goal]) -> FloatArray:
    """(n, goals) straight distances: lower bounds of any path."""
    places = shapely.points(points)
    return np.stack([shapely.distance(places, target.area) for target in goals], axis=1)


def _bounds(points: FloatArray, starts: FloatArray, goals: Sequence[Goal]) -> tuple[FloatArray, FloatArray]:
    """(n,) straight distance of each point to the nearest start, and to the nearest goal."""
    if not len(points):
        return np.zeros(0), np.zeros(0)
    out = shapely.distance(shapely.points(points), shapely.multipoints(starts))
    return out, _distances(points, goals).min(axis=1)


def _useful(corners: FloatArray, starts: FloatArray, goals: Sequence[Goal], reach: float) -> IntArray:
    """Indices of corners that a path within reach may bend at."""
    out, back = _bounds(corners, starts, goals)
    return np.flatnonzero(out + back <= reach)


Links = tuple[IntArray, IntArray, FloatArray]


def _links_from_starts(
    barrier: Barrier, useful: IntArray, starts: FloatArray, back: FloatArray, reach: float
) -> Links:
    corners = barrier.corners[useful]
    gap = corners[None] - starts[:, None]
    length = np.hypot(gap[..., 0], gap[..., 1])
    i, c = np.nonzero(length + back <= reach)
    keep = barrier.tangent(useful[c], -gap[i, c])
    i, c = i[keep], c[keep]
    keep = ~barrier.blocked(starts[i], corners[c])
    i, c = i[keep], c[keep]
    return i, c + len(starts), _positive(length[i, c])


def _links_between(
    barrier: Barrier, useful: IntArray, out: FloatArray, back: FloatArray, reach: float, shift: int
) -> Links:
    corners = barrier.corners[useful]
    a, b = np.triu_indices(len(corners), 1)
    gap = corners[b] - corners[a]
    length = np.hypot(gap[:, 0], gap[:, 1])
    keep = length + np.minimum(out[a] + back[b], out[b] + back[a]) <= reach
    a, b, gap, length = a[keep], b[keep], gap[keep], length[keep]
    keep = barrier.tangent(useful[a], gap) & barrier.tangent(useful[b], -gap)
    a, b, length = a[keep], b[keep], length[keep]
    keep = ~barrier.blocked(corners[a], corners[b])
    a, b, length = a[keep] + shift, b[keep] + shift, _positive(length[keep])
    return np.concatenate([a, b]), np.concatenate([b, a]), np.concatenate([length, length])


def _positive(length: FloatArray) -> FloatArray:
    """A sparse matrix takes zero for no link; an outlet right at a corner is one all the same."""
    return np.maximum(length, 1e-9)

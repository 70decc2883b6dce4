"""Free space divided at its throats.

Terms: *seed*, the place of a room's name; OUT is the seed of the outdoors.  *Throat*, the widest way between two
parts.  *Open plan*, names whose parts join through a throat about as wide as the narrower part: nothing on the
drawing divides them, the line between them is a guess (*virtual*) and is told as such.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.rooms.ink import polygons_only
from cordpath.rooms.spaces.merging import Merge, State, neighbours
from cordpath.rooms.spaces.mesh import Mesh, triangulate
from cordpath.rooms.spaces.spaces import OPEN_FT, OUT, POCKET_FT, Space, Throats, collect, keeps

OPEN_RATIO = 0.8  # throat over width from which two names share a space (0.7 to 0.9 do the same)
CASED_FACTOR, STAIR_FACTOR = 0.55, 0.6  # how much narrower a doorway or a flight of stairs counts
FLAT = (0.72, 1.2)  # widths near the width at a name that belong to it at once (corridors)
POCKET_SF, POCKET_IN, POCKET_RATIO = 8.0, 22.0, 0.6  # a part that keeps apart without a name


@dataclass(frozen=True, eq=False)
class Cut:
    """Soft evidence: across ``area`` the throat counts ``factor`` of its length, if it is ``least`` points."""

    area: BaseGeometry
    factor: float
    least: float
    share: float


def divide(barrier: BaseGeometry, frame: BaseGeometry, seeds: FloatArray, cuts: list[Cut], inch: float,
           split: bool = True, reach: FloatArray | None = None) -> tuple[list[Space], BaseGeometry]:  # fmt: skip
    """Spaces between the barriers inside the frame, and the outdoors.

    ``seeds`` (s, 2) in page coordinates; ``reach`` (s,) how far each name reaches from its place in an open plan.
    """
    foot = 12 * inch
    parts = [p for p in shapely.get_parts(polygons_only(frame.difference(barrier))) if p.area > 0.2 * foot**2]
    owner = _owners(parts, seeds, foot)
    spaces: list[Space] = []
    outside: list[BaseGeometry] = []
    edge = frame.exterior
    for number, part in enumerate(parts):
        mine = [k for k, o in enumerate(owner) if o == number]
        outer = part.distance(edge) < 1e-6 * max(1.0, foot)
        plain = part.simplify(0.25 * inch)
        if not outer and len(mine) <= 1 and (not split or part.area < 60 * foot**2):
            if mine or keeps(plain, inch):
                spaces.append(Space(plain, tuple(mine)))
            continue
        found, out = _split(plain, edge if outer else None, mine, seeds, cuts, inch, split, reach)
        spaces += found
        outside += out
    return spaces, polygons_only(shapely.union_all(np.array(outside, object))) if outside else shapely.Polygon()


def _owners(parts: list[BaseGeometry], seeds: FloatArray, foot: float) -> list[int]:
    """The part that each seed lies in or is nearest to; names lie over thin lines and closets."""
    if not parts or not len(seeds):
        return [-1] * len(seeds)
    array = np.array(parts, object)
    large = np.flatnonzero(shapely.area(array) > 2 * foot**2)
    if not len(large):
        return [-1] * len(seeds)
    points = shapely.points(seeds)
    return [int(large[np.argmin(shapely.distance(array[large], p))]) for p in points]


def _split(
    part: BaseGeometry,
    edge: BaseGeometry | None,
    mine: list[int],
    seeds: FloatArray,
    cuts: list[Cut],
    inch: float,
    split: bool,
    reach: FloatArray | None,
) -> tuple[list[Space], list[BaseGeometry]]:
    mesh = triangulate(part, inch)
    if mesh is None:
        if edge is not None and not mine:
            return [], [part]
        return [Space(part, tuple(mine), reaches_frame=edge is not None)], []
    count = len(mesh.area)
    effective = _effective(mesh, cuts)
    width = mesh.width.tolist()
    merge = Merge(list(range(count)), [frozenset()] * count, mesh.area.tolist(), width, _ground(mesh, effective))
    state = State(mesh, inch, merge, near=neighbours(mesh))
    if reach is not None:
        state.reach = dict(enumerate(reach.tolist()))
    tree = shapely.STRtree(mesh.triangles)
    for k in mine:
        state.start[k] = int(tree.query_nearest(shapely.Point(seeds[k]))[0])
    if edge is not None:
        at_edge = shapely.distance(mesh.triangles, edge) < 1e-6 * max(1.0, inch)
        state.start[OUT] = int(np.argmax(np.where(at_edge, mesh.width, 0)))
    for k, triangle in state.start.items():
        merge.seeds[triangle] |= {k}
    if len(state.start) > 1:
        _claim_flat(state, seeds, effective)
    kept_apart = _join_by_width(state, effective, split)
    label = np.array([merge.find(i) for i in range(count)], np.int64)
    throats = _throats(state, kept_apart, label, effective)
    shared = _share_open(state, label, throats)
    return collect(state, label, throats, shared, edge)


def _claim_flat(state: State, seeds: FloatArray, throat: FloatArray) -> None:
    """From narrow to wide, every name takes the space of about its own width around it.

    Not through a doorway, however near its width to the name's corridor is: ``throat`` counts it as narrower.
    """
    mesh, merge = state.mesh, state.merge
    width: dict[int, float] = {}
    for k, triangle in state.start.items():
        if k == OUT:
            continue
        away = np.hypot(*(mesh.circum - seeds[k]).T)
        over = (away < 1.02 * mesh.radius) & (mesh.radius < 40 * state.foot)
        width[k] = float(max(mesh.width[over].max(initial=0.0), mesh.width[triangle]))
    for k in sorted(width, key=lambda k: (width[k], k)):
        w, first = width[k], state.start[k]
        seen, stack = {first}, [first]
        while stack:
            here = stack.pop()
            for there, x in state.near[here]:
                fits = FLAT[0] * w <= mesh.width[there] <= FLAT[1] * w and throat[x] >= FLAT[0] * w
                if there in seen or not fits:
                    continue
                other = merge.seeds[merge.find(there)]
                if other and not other <= merge.seeds[merge.find(first)]:
                    continue
                seen.add(there)
                stack.append(there)
                merge.join(first, there)


def _effective(mesh: Mesh, cuts: list[Cut]) -> FloatArray:
    """Throats, made narrower in doorways and across stairs."""
    throat = mesh.throat
    effective = throat.copy()
    shapes = mesh.edge_lines
    if not cuts or not len(shapes):
        return effective
    tree = shapely.STRtree(shapes)
    for cut in cuts:
        pick = np.sort(tree.query(cut.area, predicate="intersects"))
        inside = shapely.length(shapely.intersection(shapes[pick], cut.area))
        hit = pick[(inside > cut.share * throat[pick]) & (throat[pick] > cut.least)]
        effective[hit] = np.minimum(effective[hit], cut.factor * throat[hit])
    return effective


def _ground(mesh: Mesh, effective: FloatArray) -> list[float]:
    """Width of every triangle; of those at a doorway that of the ground before it: a hall is no wider there."""
    across = effective < mesh.throat
    other = np.zeros(len(mesh.width))
    for side in (mesh.left, mesh.right):
        np.maximum.at(other, side[~across], mesh.throat[~across])
    at = np.unique(np.concatenate([mesh.left[across], mesh.right[across]]))
    at = at[other[at] > 0]
    width = mesh.width.copy()
    width[at] = np.minimum(width[at], other[at])
    return list(width.tolist())


def _join_by_width(state: State, effective: FloatArray, split: bool) -> list[tuple[int, float]]:
    """Join over edges from wide to narrow, unless both sides have names or one is a pocket of its own."""
    mesh, merge, foot = state.mesh, state.merge, state.foot
    throat = mesh.throat
    left, right = mesh.left.tolist(), mesh.right.tolist()
    apart: list[tuple[int, float]] = []
    for x in np.lexsort((np.arange(len(effective)), -effective)).tolist():
        a, b = merge.find(left[x]), merge.find(right[x])
        if a == b:
            continue
        narrower = min(merge.width[a], merge.width[b])
        if merge.seeds[a] and merge.seeds[b]:
            apart.append((x, float(effective[x] / narrower)))
            continue
        pocket = min(merge.area[a], merge.area[b]) > POCKET_SF * foot**2 and narrower > POCKET_IN * state.inch
        ground = min(merge.ground[a], merge.ground[b])
        if split and pocket and throat[x] < POCKET_FT * foot and throat[x] < POCKET_RATIO * ground:
            apart.append((x, float(throat[x] / narrower)))
            continue
        merge.join(a, b)
    return apart


def _throats(state: State, apart: list[tuple[int, float]], label: IntArray, effective: FloatArray) -> Throats:
    """Widest edge between every two parts: its length, its ratio to the narrower width, and whether a recognised
    opening shows the line between them."""
    mesh, found = state.mesh, Throats()
    throat = mesh.throat
    for x, ratio in apart:
        a, b = int(label[mesh.left[x]]), int(label[mesh.right[x]])
        if a == b:
            continue
        key = (min(a, b), max(a, b))
        if key not in found or throat[x] > found[key][0]:
            found[key] = (float(throat[x]), ratio, bool(effective[x] < throat[x]))
    return found


def _share_open(state: State, label: IntArray, throats: Throats) -> dict[int, tuple[int, ...]]:
    """Name sets that share a space: the label array is divided anew by the way to the nearest name; for every
    label in a shared space, all the names in it."""
    seeds = state.merge.seeds
    root = {int(x): int(x) for x in np.unique(label)}

    def find(x: int) -> int:
        while root[x] != x:
            x = root[x]
        return x

    for (a, b), (length, ratio, _) in sorted(throats.items()):
        named = seeds[a] and seeds[b] and OUT not in seeds[a] | seeds[b]
        if named and ratio >= OPEN_RATIO and length > OPEN_FT * state.foot:
            root[find(b)] = find(a)
    members: dict[int, list[int]] = {}
    for x in root:
        members.setdefault(find(x), []).append(x)
    shared: dict[int, tuple[int, ...]] = {}
    for group in members.values():
        if len(group) < 2:
            continue
        names = tuple(sorted(k for x in group for k in seeds[x]))
        inside = np.isin(label, group)
        label[inside] = _nearest(state, inside, group)[inside]
        shared.update(dict.fromkeys(group, names))
    return shared


def _nearest(state: State, inside: BoolArray, group: list[int]) -> IntArray:
    """Label of the name that is nearest along the free space, triangle by triangle."""
    mesh = state.mesh
    distance = np.full(len(inside), np.inf)
    source = np.array([state.merge.find(i) for i in range(len(inside))], np.int64)
    middle = mesh.points[mesh.edge].mean(1)
    heap = [(0.0, state.start[k], x) for x in group for k in sorted(state.merge.seeds[x])]
    heapq.heapify(heap)
    limit = {x: max((state.reach.get(k, np.inf) for k in state.merge.seeds[x]), default=np.inf) for x in group}
    while heap:
        so_far, here, x = heapq.heappop(heap)
        if so_far >= distance[here] or so_far > limit[x]:
            continue
        distance[here], source[here] = so_far, x
        for there, e in state.near[here]:
            if inside[there]:
                step = np.hypot(*(mesh.centre[here] - middle[e])) + np.hypot(*(mesh.centre[there] - middle[e]))
                if so_far + step < distance[there]:
                    heapq.heappush(heap, (so_far + float(step), there, x))
    return source

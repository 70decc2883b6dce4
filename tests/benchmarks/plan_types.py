"""Random floor plans of many types, from maps of letters: a letter a room, rows and columns of random widths.

``house_plan.py`` has three families of detached houses; these are the plans that they are not: mirrored units, two
storeys on one sheet, basements, buildings beside each other, rooms without names, plans turned on the sheet.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from random import Random

import shapely
from house_plan import Plan, Room, open_between
from plan_type_maps import TYPES, Type
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

NAMELESS = 0.12  # of the rooms that have a name; many closets and halls have none besides
TRIES = 5
INNER_WINDOW = 0.12  # of the pairs of rooms: a window or a hatch between them
CURVED = 0.15  # of the plans of one building: a corner of it is round
TOLD = ("bathroom", "closet", "hall", "living", "bedroom", "dining")  # kinds that are plain, or that fixtures tell


@dataclass
class TypePlan(Plan):
    below: bool = False

    def settle(self) -> None:
        ring = self.outline.boundary.buffer(self.ext / 2, cap_style="flat", join_style="mitre")
        own = [line.buffer(self.int_ / 2, cap_style="square", join_style="mitre") for line in self.inner]
        whole = self.outline.buffer(self.ext / 2, join_style="mitre")
        self.walls = unary_union([ring, *own]).intersection(whole).buffer(0.02, join_style="mitre")
        self.faced(whole)


def make_type(name: str, r: Random) -> tuple[TypePlan, Type]:
    """A plan with every opening that its type has, as far as some tries find place for them."""
    tries = [_make(TYPES[name], name, r) for _ in range(TRIES)]
    return min(tries, key=lambda each: each[1])[0], TYPES[name]


def _make(t: Type, name: str, r: Random) -> tuple[TypePlan, int]:
    """A plan, and how many of its openings found no place."""
    xs = _marks(t.wide, r)
    ys = _marks(t.deep, r)
    cells: dict[str, list[BaseGeometry]] = {}
    for j, row in enumerate(t.rows):
        for i, letter in enumerate(row):
            cells.setdefault(letter, []).append(box(xs[i], ys[j], xs[i + 1], ys[j + 1]))
    areas = {letter: unary_union(each) for letter, each in cells.items() if letter != "."}
    covered = [letter for letter in areas if t.rooms[letter][1] == "outdoors"]
    outline = unary_union([area for letter, area in areas.items() if letter not in covered])
    joined = {frozenset(pair) for pair in t.open_}
    inner = []
    for a, b in itertools.combinations(sorted(areas), 2):
        if frozenset((a, b)) in joined or a in covered or b in covered:
            continue
        shared = shapely.line_merge(areas[a].intersection(areas[b]))
        inner += [line for line in shapely.get_parts(shared) if line.geom_type == "LineString"]
    inner = [LineString(p) for line in _straight(inner) for p in itertools.pairwise(line.coords)]
    rooms = []
    for letter, (names, kind) in t.rooms.items():
        name_ = names if isinstance(names, str) else r.choice(names)
        name_ = "" if kind in TOLD and r.random() < NAMELESS else name_
        area = areas[letter]
        seed = area.representative_point()
        shares = any(letter in pair for pair in joined)
        rooms.append(Room(name_, kind, (seed.x, seed.y), area.buffer(5, join_style="mitre") if shares else None,
                          number=letter))  # fmt: skip
    plan = TypePlan(name, outline, inner, r.choice((6.5, 8.0)), r.choice((4.5, 5.5)), rooms, below=t.below)
    if covered:
        plan.porch = areas[covered[0]].difference(outline.buffer(plan.ext / 2, join_style="mitre"))
    if outline.geom_type == "Polygon" and not covered and r.random() < CURVED:
        _round_a_corner(plan, r)
    _turn(plan, r.choice(t.turns), r)
    outdoors = [room for room in plan.rooms if room.kind == "outdoors"]
    plan.rooms = [room for room in plan.rooms if room.kind != "outdoors"]
    plan.settle()
    for room in outdoors:
        room.face = plan.porch  # type: ignore[assignment]
    plan.rooms += outdoors
    lost = _cut(plan, t, r)
    for room in plan.rooms:
        room.number = ""
    return plan, lost


def _round_a_corner(plan: TypePlan, r: Random) -> None:
    """A corner of the outer wall as a quarter of a circle, clear of inner walls."""
    ring = list(plan.outline.exterior.coords)[:-1]
    for k in r.sample(range(len(ring)), len(ring)):
        a, p, b = ring[k - 1], ring[k], ring[(k + 1) % len(ring)]
        clear = min((line.distance(Point(p)) for line in plan.inner), default=120.0)
        radius = min(0.8 * clear, 0.45 * math.dist(a, p), 0.45 * math.dist(p, b), 84.0)
        u, v = (((q[0] - p[0]) / math.dist(p, q), (q[1] - p[1]) / math.dist(p, q)) for q in (a, b))
        inside = Point(p[0] + u[0] + v[0], p[1] + u[1] + v[1])
        if radius < 40 or not plan.outline.contains(inside):
            continue
        chords = r.choice((8, 16, 30))
        turns = [math.pi / 2 * i / chords for i in range(chords + 1)]
        arc = [(p[0] + radius * (u[0] * (1 - math.sin(t)) + v[0] * (1 - math.cos(t))),
                p[1] + radius * (u[1] * (1 - math.sin(t)) + v[1] * (1 - math.cos(t)))) for t in turns]  # fmt: skip
        plan.outline = Polygon([*ring[:k], *arc, *ring[k + 1 :]])
        return


def _marks(spans: tuple[tuple[float, float], ...], r: Random) -> list[float]:
    out = [0.0]
    for low, high in spans:
        out.append(out[-1] + round(r.uniform(low, high) * 4) * 3.0)
    return out


def _straight(lines: list[LineString]) -> list[LineString]:
    """Runs of one direction as one line each."""
    runs: list[LineString] = []
    ways = ([], [])  # type: tuple[list[LineString], list[LineString]]
    for line in lines:
        for a, b in itertools.pairwise(line.coords):
            ways[abs(a[0] - b[0]) < 0.01].append(LineString([a, b]))
    for way in ways:
        whole = shapely.line_merge(shapely.union_all(way)) if way else None
        runs += [] if whole is None else [shapely.simplify(each, 0.01) for each in shapely.get_parts(whole)]
    return runs


def _turn(plan: TypePlan, angle: float, r: Random) -> None:
    mx, my = r.choice((1, -1)), r.choice((1, -1))

    def go(shape: BaseGeometry) -> BaseGeometry:
        return affinity.rotate(affinity.scale(shape, mx, my, origin=(0, 0)), angle, origin=(0, 0))

    plan.outline = go(plan.outline)
    plan.inner = [go(line) for line in plan.inner]
    plan.porch = go(plan.porch) if plan.porch is not None else None
    for room in plan.rooms:
        room.seed = go(Point(room.seed)).coords[0]
        room.zone = go(room.zone) if room.zone is not None else None


def _cut(plan: TypePlan, t: Type, r: Random) -> int:
    """Openings as the type has them, then windows; how many found no place."""
    lost = 0
    by = {room.number: room for room in plan.rooms}
    outer = plan.outside
    for text in t.doors:
        pair, *how = text.split()
        kind, width = _opening(how, r)
        a = by[pair[0]]
        if a.kind == "outdoors":
            continue
        other = outer if pair[1] == "*" or by[pair[1]].kind == "outdoors" else by[pair[1]].face
        if pair[1] != "*" and by[pair[1]].kind == "outdoors":
            other = outer.intersection(by[pair[1]].face.buffer(plan.ext + 2)).buffer(0)
        for thick in (plan.int_, plan.ext):
            margin = 12 if kind == "garage" else 4.0
            if open_between(plan, a.face, other, thick - 0.04, kind, width, r, margin):
                break
        else:
            lost += 1
    for room in {
        id(x.face): x for x in plan.rooms if x.kind not in ("closet", "hall", "garage", "outdoors")
    }.values():
        for _ in range(2 if room.kind in ("living", "bedroom") else 1):
            if r.random() < 0.75:
                open_between(
                    plan, room.face, outer, plan.ext - 0.04, "window", r.choice((24.0, 36.0, 48.0, 60.0)), r
                )
    inside = [x for x in plan.rooms if x.kind in ("kitchen", "dining", "living", "bathroom", "hall", "laundry")]
    for a, b in itertools.combinations(inside, 2):
        if r.random() < INNER_WINDOW and not a.face.equals(b.face):
            open_between(plan, a.face, b.face, plan.int_ - 0.04, "window", r.choice((24.0, 36.0, 48.0)), r)
    return lost


def _opening(how: list[str], r: Random) -> tuple[str, float]:
    kind = how[0] if how else "door"
    if len(how) > 1:
        return kind, float(how[1])
    usual = {"door": (28.0, 30.0, 32.0, 36.0), "cased": (36.0, 42.0, 48.0, 60.0), "slider": (60.0, 72.0),
             "bifold": (36.0, 48.0, 60.0), "pocket": (28.0, 30.0), "double": (48.0, 60.0),
             "garage": (108.0, 144.0, 192.0)}  # fmt: skip
    return kind, r.choice(usual[kind])


__all__ = ["TypePlan", "make_type"]

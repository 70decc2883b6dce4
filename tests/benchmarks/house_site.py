"""Fixtures, counters and outlets in a random plan, in inches of the building."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from random import Random

import shapely
from house_plan import FT, Plan, Pt, Room, edges
from house_symbols import Design
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union


@dataclass
class Fixture:
    design: Design
    at: Pt
    wall: Pt
    room: Room
    mirror: bool = False

    def place(self, shape: BaseGeometry) -> BaseGeometry:
        s, c = self.wall[0], -self.wall[1]
        m = -1.0 if self.mirror else 1.0
        return affinity.affine_transform(shape, [m * c, -s, m * s, c, *self.at])

    @property
    def body(self) -> BaseGeometry:
        return self.place(box(*self.design.body))

    @property
    def measured(self) -> BaseGeometry:
        return self.place(self.design.measured) if self.design.measured is not None else self.body


@dataclass
class Outlet:
    design: Design
    anchor: Pt
    normal: Pt  # out of the wall into the room
    room: Room | None  # None: outdoors, no tag
    counter: bool = False
    serves: str | None = None
    labels: list[str] = field(default_factory=list)
    circuit: str | None = None
    away: float = 0.0  # extra inches on paper between symbol and wall
    where: Pt = (0, 0)  # middle of the symbol on the page, set when drawn
    device: bool = False
    free: bool = False  # floor outlet: no wall


@dataclass
class Site:
    plan: Plan
    designs: dict[str, Design]
    fixtures: list[Fixture] = field(default_factory=list)
    counters: list[Polygon] = field(default_factory=list)
    outlets: list[Outlet] = field(default_factory=list)
    loose: list[tuple[str, BaseGeometry]] = field(default_factory=list)  # furniture

    def blocked(self) -> list[BaseGeometry]:
        return [o.swing for o in self.plan.openings] + [f.body for f in self.fixtures] + list(self.counters)


def _walls_of(site: Site, room: Room) -> list[tuple[Pt, Pt, Pt]]:
    """Sides of a room that are wall, longest first."""
    found = []
    for a, b, n in edges(room.area):
        mid = ((a[0] + b[0]) / 2 - 1.5 * n[0], (a[1] + b[1]) / 2 - 1.5 * n[1])
        if site.plan.walls.covers(Point(mid)):
            found.append((a, b, n))
    return sorted(found, key=lambda e: -math.dist(e[0], e[1]))


def _body(p: Pt, u: Pt, n: Pt, w: float, d: float) -> Polygon:
    h = w / 2
    return Polygon(
        [
            (p[0] + u[0] * a * h + n[0] * b, p[1] + u[1] * a * h + n[1] * b)
            for a, b in ((-1, 0.3), (1, 0.3), (1, d), (-1, d))
        ]
    )


def put(site: Site, room: Room, design: Design, r: Random, gap: float = 0.0, clear: float = 2.0) -> Fixture | None:
    """A fixture with its back to a wall of the room."""
    x0, y0, x1, y1 = design.body
    w, d = x1 - x0, y1 - y0
    sides = [s for s in _walls_of(site, room) if math.dist(s[0], s[1]) >= w + 1]
    taken = unary_union(site.blocked())
    for _ in range(60):
        if not sides:
            return None
        a, b, n = r.choice(sides)
        length = math.dist(a, b)
        u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        ends = (w / 2 + 0.5, length - w / 2 - 0.5)
        s = r.choice(ends) if r.random() < 0.5 else r.uniform(*ends)
        p = (a[0] + u[0] * s, a[1] + u[1] * s)
        body = _body(p, u, n, w, d + gap)
        roomy = _body(p, u, n, w + clear, d + gap + clear)
        if not room.area.buffer(0.5).covers(body) or taken.intersects(roomy):
            continue
        out = design.to_wall + gap
        new = Fixture(design, (p[0] + n[0] * out, p[1] + n[1] * out), (-n[0], -n[1]), room, r.random() < 0.3)
        site.fixtures.append(new)
        return new
    return None


def kitchen(site: Site, room: Room, r: Random) -> None:
    """A run of counter with sink, dishwasher and range, a refrigerator at its end; perhaps an island."""
    taken = unary_union([o.swing for o in site.plan.openings if o.kind != "window"])
    for a, b, n in _walls_of(site, room):
        length = math.dist(a, b)
        run = min(length - 2, FT * r.uniform(11, 15))
        if run < FT * 9:
            break
        u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        for _ in range(30):
            s0 = r.choice((1.0, length - run - 1, r.uniform(1.0, length - run - 1)))
            mid = (a[0] + u[0] * (s0 + run / 2), a[1] + u[1] * (s0 + run / 2))
            strip = _body(mid, u, n, run, 32)
            if not taken.intersects(strip) and room.area.buffer(0.5).covers(strip):
                _run(site, room, (a[0] + u[0] * s0, a[1] + u[1] * s0), u, n, run, r)
                break
        else:
            continue
        break
    if room.zone is not None and r.random() < 0.6:
        _island(site, room, r)


def _run(site: Site, room: Room, start: Pt, u: Pt, n: Pt, run: float, r: Random) -> None:
    d = site.designs
    depth = 25.0

    def at(s: float, out: float) -> Pt:
        return (start[0] + u[0] * s + n[0] * out, start[1] + u[1] * s + n[1] * out)

    def fix(key: str, s: float, out: float) -> Fixture:
        new = Fixture(d[key], at(s, out), (-n[0], -n[1]), room)
        site.fixtures.append(new)
        return new

    def counter(s0: float, s1: float) -> None:
        site.counters.append(Polygon([at(s0, 0.2), at(s1, 0.2), at(s1, depth), at(s0, depth)]))

    fix("fridge", 18.5, 15.5)
    s = 38.0
    first = r.uniform(18, 30)
    counter(s, s + first)
    outlets = [s + first / 2]
    s += first
    fix("range", s + 15, 13.5)
    range_at = s + 15
    s += 30
    counter(s, run)
    left = run - s
    sink_w = d["sink"].body[2] - d["sink"].body[0]
    sink_at = s + left / 2 + r.uniform(-4, 4)
    fix("sink", sink_at, 12.5)
    if run - sink_at - sink_w / 2 > 26 and r.random() < 0.8:
        fix("dw", sink_at + sink_w / 2 + 13, 12.8)
    for spot in (sink_at - sink_w / 2 - 9, sink_at + sink_w / 2 + 14):
        if s + 5 < spot < run - 5:
            outlets.append(spot)
    plug = d["duplex"]
    windows = shapely.union_all([o.slot for o in site.plan.openings]).buffer(5)
    for spot in outlets:
        if not windows.contains(Point(at(spot, -2))):
            site.outlets.append(Outlet(plug, at(spot, 0), n, room, counter=True))
    site.outlets.append(Outlet(d["heavy"], at(range_at, 0), n, room, serves="range"))
    site.outlets.append(Outlet(plug, at(18.5 + r.uniform(-5, 5), 0), n, room, serves="refrigerator"))


def _island(site: Site, room: Room, r: Random) -> None:
    x0, y0, x1, y1 = room.area.bounds
    w, h = r.choice(((84, 36), (96, 42), (36, 84)))
    cx, cy = (x0 + x1) / 2 + r.uniform(-12, 12), (y0 + y1) / 2 + r.uniform(-12, 12)
    isle = box(cx - w / 2, cy - h / 2, cx + w / 2, cy + h / 2)
    if unary_union(site.blocked()).buffer(34).intersects(isle) or not room.area.buffer(-30).covers(isle):
        return
    site.counters.append(isle)


def bath(site: Site, room: Room, r: Random) -> None:
    d = site.designs
    put(site, room, d[r.choice(("tub", "shower"))], r)
    put(site, room, d["wc"], r, gap=1.0, clear=6)
    basin = put(site, room, d["lav"], r, gap=r.uniform(1, 3), clear=4)
    if basin is None:
        return
    n = (-basin.wall[0], -basin.wall[1])
    u = (-n[1], n[0])
    for _ in range(20):
        s = r.choice((-1, 1)) * r.uniform(16, 26)
        foot = basin.design.to_wall
        p = (basin.at[0] - n[0] * foot + u[0] * s, basin.at[1] - n[1] * foot + u[1] * s)
        q = _on_wall(room, p)
        aside = abs((q[0] - p[0]) * u[0] + (q[1] - p[1]) * u[1])  # the nearest wall is the one beside, in a corner
        if aside < 0.1 and _free_wall(site, room, p, n):
            site.outlets.append(Outlet(site.designs["duplex"], q, n, room))
            break


def _on_wall(room: Room, p: Pt) -> Pt:
    line = room.face.boundary
    q = line.interpolate(line.project(Point(p)))
    return (q.x, q.y)


def _free_wall(site: Site, room: Room, p: Pt, n: Pt, clear: float = 6.0) -> bool:
    """Is there plain wall behind the point, away from openings, within the room's own zone?"""
    q = _on_wall(room, p)
    if not room.area.buffer(1).covers(Point(q)) or math.dist(p, q) > 12:
        return False
    spot = Point(q).buffer(clear)
    if any(spot.intersects(o.slot) for o in site.plan.openings):
        return False
    pad = (q[0] + n[0] * 6, q[1] + n[1] * 6)
    for o in site.plan.openings:
        if o.kind in ("door", "double") and o.swing.buffer(2).contains(Point(pad)):
            return False
    back = (q[0] - 2 * n[0], q[1] - 2 * n[1])
    return bool(site.plan.walls.covers(Point(back)))


def furnish(site: Site, r: Random) -> None:
    """Everything a room of its kind has, before the general outlets."""
    for room in site.plan.rooms:
        if room.kind == "kitchen":
            kitchen(site, room, r)
        elif room.kind == "bathroom":
            bath(site, room, r)
        elif room.kind == "laundry":
            _laundry(site, room, r)
        elif room.kind == "garage" and r.random() < 0.7:
            put(site, room, site.designs["wh"], r, gap=3)
        elif room.kind in ("bedroom", "living", "dining"):
            _furniture(site, room, r)


def _laundry(site: Site, room: Room, r: Random) -> None:
    for key in ("washer", "dryer"):
        new = put(site, room, site.designs[key], r, gap=3)
        if new is None:
            continue
        n = (-new.wall[0], -new.wall[1])
        foot = new.design.to_wall + 3
        p = _on_wall(room, (new.at[0] - n[0] * foot, new.at[1] - n[1] * foot))
        plug = site.designs["heavy" if key == "dryer" else "duplex"]
        site.outlets.append(Outlet(plug, p, n, room, serves=key))
    if r.random() < 0.4:
        put(site, room, site.designs["sink"], r)


def _furniture(site: Site, room: Room, r: Random) -> None:
    x0, y0, x1, y1 = room.area.bounds
    cx, cy = (x0 + x1) / 2 + r.uniform(-20, 20), (y0 + y1) / 2 + r.uniform(-20, 20)
    if room.kind == "bedroom":
        pieces = [
            ("bed", box(cx - 30, cy - 40, cx + 30, cy + 40)),
            ("pillow", box(cx - 26, cy - 38, cx - 3, cy - 26)),
            ("pillow", box(cx + 3, cy - 38, cx + 26, cy - 26)),
        ]
    elif room.kind == "dining":
        pieces = [("table", box(cx - 30, cy - 20, cx + 30, cy + 20))]
        pieces += [("chair", Point(cx + dx, cy + dy).buffer(7)) for dx in (-18, 18) for dy in (-29, 29)]
    else:
        pieces = [
            ("sofa", box(cx - 42, cy - 18, cx + 42, cy + 18)),
            ("seat", box(cx - 36, cy - 10, cx, cy + 18)),
            ("seat", box(cx, cy - 10, cx + 36, cy + 18)),
        ]
    taken = unary_union(site.blocked())
    for name, shape in pieces:
        if room.area.buffer(-8).covers(shape) and not taken.intersects(shape) and r.random() < 0.8:
            site.loose.append((name, shape))


def general_outlets(site: Site, r: Random, want: dict[str, int]) -> None:
    """Outlets along the walls of rooms, and outdoors."""
    for room in site.plan.rooms:
        if room.kind in ("closet", "outdoors"):
            continue
        sides = _walls_of(site, room)
        for _ in range(want.get(room.kind, 1)):
            for _ in range(25):
                if not sides:
                    break
                a, b, n = r.choices(sides, [math.dist(s[0], s[1]) for s in sides])[0]
                s = r.uniform(0.08, 0.92)
                p = (a[0] + (b[0] - a[0]) * s, a[1] + (b[1] - a[1]) * s)
                if not _free_wall(site, room, p, n) or _near_fixture(site, p) or _edge_of_zone(site, room, p):
                    continue
                if any(math.dist(p, o.anchor) < 30 for o in site.outlets):
                    continue
                site.outlets.append(Outlet(site.designs["duplex"], p, n, room))
                break
    living = [room for room in site.plan.rooms if room.kind in ("living", "garage")]
    if living and r.random() < 0.5:
        room = r.choice(living)
        p = room.area.representative_point()
        if not any(shape.buffer(12).contains(p) for _, shape in site.loose):
            site.outlets.append(Outlet(site.designs["floor"], (p.x, p.y), (0, 1), room, free=True))
    _outdoors(site, r)


def _edge_of_zone(site: Site, room: Room, p: Pt) -> bool:
    """Too near the border between two names of one open space to say whose it is."""
    if room.zone is None:
        return False
    others = [x.zone for x in site.plan.rooms if x.zone is not None and x is not room]
    return any(z.distance(Point(p)) < 42 for z in others)


def _near_fixture(site: Site, p: Pt) -> bool:
    """Away from what stands at the wall: those places are for outlets that serve it."""
    shapes = [*(f.body for f in site.fixtures), *site.counters]
    return any(shape.distance(Point(p)) < 10 for shape in shapes)


def _outdoors(site: Site, r: Random) -> None:
    outer = site.plan.outside
    wall = outer.boundary
    porch = next((room for room in site.plan.rooms if room.kind == "outdoors"), None)
    count = 0
    for _ in range(60):
        q = wall.interpolate(r.uniform(0, wall.length))
        for a, b, n in edges(outer):
            if LineString([a, b]).distance(q) < 0.01 and min(q.distance(Point(a)), q.distance(Point(b))) > 30:
                out = (-n[0], -n[1])
                p = (q.x, q.y)
                clear = all(o.slot.distance(q) > 10 for o in site.plan.openings)
                apart = all(math.dist(p, o.anchor) > 30 for o in site.outlets)
                on_porch = porch is not None and porch.face.buffer(1).covers(q)
                edge = porch is not None and not on_porch and porch.face.distance(q) < 40
                if on_porch and porch.face.buffer(-12).distance(q) > 18:
                    edge = True
                if clear and apart and not edge:
                    site.outlets.append(Outlet(site.designs["duplex"], p, out, porch if on_porch else None))
                    count += 1
                break
        if count == 2:
            return

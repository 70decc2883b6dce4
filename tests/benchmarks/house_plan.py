"""Random floor plans in inches of the building: walls, openings, rooms, in three families.

Glossary
    face      a room's clear area: inside of its walls with every opening closed
    slot      the piece of wall that an opening takes out
    stretch   a straight piece of a face along one wall, behind which lies the other room or the outdoors
    zone      the part of an open space that one name is meant for
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from random import Random

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

FT = 12.0
Pt = tuple[float, float]


@dataclass
class Room:
    name: str
    kind: str
    seed: Pt
    zone: BaseGeometry | None = None
    number: str = ""
    face: BaseGeometry = field(default_factory=Polygon)
    shared: bool = False  # one open space with other names

    @property
    def area(self) -> BaseGeometry:
        return self.face if self.zone is None else self.face.intersection(self.zone)


@dataclass
class Opening:
    kind: str  # door, double, slider, pocket, bifold, cased, garage, window
    at: Pt  # middle of the wall
    along: Pt  # unit vector
    normal: Pt  # unit vector, to the side a leaf swings to
    width: float
    thick: float
    hinge: int = 1

    @property
    def slot(self) -> BaseGeometry:
        half, t = self.width / 2, self.thick / 2 + 0.4
        (x, y), (u, v), (n, m) = self.at, self.along, self.normal
        pts = [
            (x + u * a * half + n * b * t, y + v * a * half + m * b * t)
            for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
        return Polygon(pts)

    @property
    def swing(self) -> BaseGeometry:
        """Where no furniture stands."""
        reach = self.width if self.kind == "door" else self.width / 2 if self.kind == "double" else 8.0
        if self.kind == "window":
            return self.slot
        return unary_union([self.slot.buffer(10, cap_style="flat"), self.leaf(reach)])

    def leaf(self, reach: float) -> BaseGeometry:
        (x, y), (u, v), (n, m) = self.at, self.along, self.normal
        half, t = self.width / 2, self.thick / 2 + reach
        quad = [
            (x - u * half, y - v * half),
            (x + u * half, y + v * half),
            (x + u * half + n * t, y + v * half + m * t),
            (x - u * half + n * t, y - v * half + m * t),
        ]
        return Polygon(quad)


@dataclass
class Plan:
    family: str
    outline: Polygon  # centre line of the outside walls
    inner: list[LineString]
    ext: float
    int_: float
    rooms: list[Room]
    openings: list[Opening] = field(default_factory=list)
    porch: Polygon | None = None
    walls: BaseGeometry = field(default_factory=Polygon)  # with every opening closed

    def settle(self) -> None:
        ring = self.outline.exterior.buffer(self.ext / 2, cap_style="flat", join_style="mitre")
        own = [line.buffer(self.int_ / 2, cap_style="flat") for line in self.inner]
        whole = self.outline.buffer(self.ext / 2, join_style="mitre")
        self.walls = unary_union([ring, *own]).intersection(whole).buffer(0.02, join_style="mitre")
        self.faced(whole)

    def faced(self, whole: shapely.Polygon) -> None:
        """Gives each room its face: what the walls leave of the ground around its seed."""
        faces = list(shapely.get_parts(whole.difference(self.walls)))
        for room in self.rooms:
            room.face = next(face for face in faces if face.contains(Point(room.seed)))
        for room in self.rooms:
            room.shared = sum(other.face is room.face or other.face.equals(room.face) for other in self.rooms) > 1

    @property
    def outside(self) -> BaseGeometry:
        return self.outline.buffer(self.ext / 2 + 0.02, join_style="mitre")

    def open_walls(self, kinds: tuple[str, ...]) -> BaseGeometry:
        """Walls less the openings of the given kinds."""
        return self.walls.difference(unary_union([o.slot for o in self.openings if o.kind in kinds]))

    def room(self, kind: str) -> Room | None:
        return next((room for room in self.rooms if room.kind == kind), None)

    def named(self, name: str) -> Room:
        return next(room for room in self.rooms if room.name == name)


def edges(face: BaseGeometry) -> Iterator[tuple[Pt, Pt, Pt]]:
    """Sides of a face with the unit normal into it."""
    rings = [p.exterior.coords for p in shapely.get_parts(shapely.normalize(shapely.orient_polygons(face)))]
    for a, b in itertools.chain.from_iterable(itertools.pairwise(ring) for ring in rings):
        length = math.dist(a, b)
        if length < 2:
            continue
        n = (-(b[1] - a[1]) / length, (b[0] - a[0]) / length)
        mid = ((a[0] + b[0]) / 2 + n[0], (a[1] + b[1]) / 2 + n[1])
        if not face.contains(Point(mid)):
            n = (-n[0], -n[1])
        yield a, b, n


def stretches(face: BaseGeometry, other: BaseGeometry, thick: float) -> list[tuple[Pt, Pt, Pt]]:
    """Pieces of the face's sides behind which, a wall's thickness on, lies the boundary of ``other``."""
    found = []
    rim = other.boundary.buffer(0.6)
    for a, b, n in edges(face):
        shifted = LineString(
            [(a[0] - n[0] * thick, a[1] - n[1] * thick), (b[0] - n[0] * thick, b[1] - n[1] * thick)]
        )
        for part in shapely.get_parts(shifted.intersection(rim)):
            if part.geom_type != "LineString" or part.length < 20:
                continue
            (p, q) = part.coords[0], part.coords[-1]
            found.append(
                ((p[0] + n[0] * thick, p[1] + n[1] * thick), (q[0] + n[0] * thick, q[1] + n[1] * thick), n)
            )
    return sorted(found, key=lambda s: -math.dist(s[0], s[1]))


def open_between(
    plan: Plan,
    face: BaseGeometry,
    other: BaseGeometry,
    thick: float,
    kind: str,
    width: float,
    r: Random,
    margin: float = 6.0,
    swing_in: bool = True,
) -> bool:
    """Cut an opening where two faces meet; False where there is no place."""
    for a, b, n in stretches(face, other, thick):
        length = math.dist(a, b)
        if length < width + 2 * margin:
            continue
        u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
        for _ in range(12):
            ends = [margin + width / 2, length - margin - width / 2]
            s = r.choice(ends) if kind in ("door", "pocket") and r.random() < 0.6 else r.uniform(*ends)
            at = (a[0] + u[0] * s - n[0] * thick / 2, a[1] + u[1] * s - n[1] * thick / 2)
            side = n if swing_in else (-n[0], -n[1])
            new = Opening(kind, at, u, side, width, thick, r.choice((-1, 1)))
            zone = new.slot.buffer(5)
            if any(zone.intersects(old.slot) for old in plan.openings):
                continue
            if kind in ("door", "double") and (
                new.leaf(width if kind == "door" else width / 2).difference(zone).intersection(plan.walls).area > 20
            ):
                continue
            if kind in ("door", "double") and any(
                new.swing.intersection(old.swing).area > 60 for old in plan.openings if old.kind != "window"
            ):
                continue
            plan.openings.append(new)
            return True
    return False


def _names(r: Random) -> dict[str, str]:
    return {
        "bed1": r.choice(("PRIMARY BEDROOM", "MASTER BEDROOM", "OWNER'S SUITE", "M. BEDROOM", "BEDROOM 1")),
        "bath1": r.choice(("PRIMARY BATH", "M. BATH", "MASTER BATH", "OWNER'S BATH", "ENSUITE")),
        "bed2": r.choice(("BEDROOM 2", "BR 2", "BDRM. 2", "BED RM #2", "GUEST ROOM")),
        "bath2": r.choice(("BATH 2", "HALL BATH", "BATH", "GUEST BATH", "BATHROOM")),
        "laundry": r.choice(("LAUNDRY", "LAUN.", "LNDRY", "LAUNDRY ROOM", "LAUNDRY RM")),
        "kitchen": r.choice(("KITCHEN", "KIT.", "KITCHEN", "KITCHEN")),
        "dining": r.choice(("DINING", "DINING ROOM", "NOOK", "DINING RM", "BREAKFAST NOOK")),
        "living": r.choice(("LIVING ROOM", "GREAT ROOM", "FAMILY ROOM", "LIVING", "FAMILY RM", "GREAT RM")),
        "garage": r.choice(("GARAGE", "2-CAR GARAGE", "GAR.", "TWO CAR GARAGE")),
        "hall": r.choice(("HALL", "HALLWAY", "GALLERY", "HALL")),
        "closet": r.choice(("CL.", "CLOSET", "CLO.", "CL")),
        "pantry": r.choice(("PANTRY", "PAN.", "PANTRY")),
        "porch": r.choice(("COVERED PATIO", "COV. PORCH", "DECK", "PATIO", "PORCH")),
        "office": r.choice(("STUDY", "DEN", "OFFICE", "LIBRARY")),
    }


def _scaled(widths: list[float], total: float) -> list[float]:
    k = total / sum(widths)
    marks = np.cumsum([0.0, *[w * k for w in widths]])
    return [float(round(m / 3) * 3) for m in marks[:-1]] + [total]


def hall_house(r: Random) -> Plan:
    """Rooms on both sides of a hall, garage at the end."""
    names = _names(r)
    w, d1, h, d2 = (FT * r.randint(*span) for span in ((44, 52), (11, 14), (4, 4), (13, 16)))
    h += r.choice((-6, 0, 6))
    g, d = FT * r.randint(20, 24), d1 + h + d2
    top = _scaled([14, 9, 7, 12, 8], w)
    low = _scaled([15, 12, 10, 14], w)
    inner = [LineString([(0, d1), (w, d1)]), LineString([(0, d1 + h), (w, d1 + h)]), LineString([(w, 0), (w, d)])]
    inner += [LineString([(x, 0), (x, d1)]) for x in top[1:-1]]
    inner += [LineString([(x, d1 + h), (x, d)]) for x in low[1:-1]]
    cw = FT * 6  # closet of the second bedroom, in its corner at the outer wall
    x3, x4 = top[3], top[4]
    inner += [LineString([(x3, 27), (x3 + cw, 27)]), LineString([(x3 + cw, 0), (x3 + cw, 27)])]

    def mid(a: float, b: float) -> float:
        return (a + b) / 2

    rooms = [
        Room(names["bed1"], "bedroom", (mid(top[0], top[1]), d1 / 2)),
        Room(names["bath1"], "bathroom", (mid(top[1], top[2]), d1 / 2)),
        Room(names["laundry"], "laundry", (mid(top[2], top[3]), d1 / 2)),
        Room(names["bed2"], "bedroom", (mid(x3, x4), d1 * 0.7)),
        Room(names["closet"], "closet", (x3 + cw / 2, 14)),
        Room(names["bath2"], "bathroom", (mid(top[4], top[5]), d1 / 2)),
        Room(names["hall"], "hall", (w / 2, d1 + h / 2)),
        Room(names["kitchen"], "kitchen", (mid(low[0], low[1]), d1 + h + d2 / 2)),
        Room(names["dining"], "dining", (mid(low[1], low[2]), d1 + h + d2 / 2)),
        Room(names["office"], "living", (mid(low[2], low[3]), d1 + h + d2 / 2)),
        Room(names["living"], "living", (mid(low[3], low[4]), d1 + h + d2 / 2)),
        Room(names["garage"], "garage", (w + g / 2, d / 2)),
    ]
    return Plan("hall", box(0, 0, w + g, d), inner, r.choice((6.5, 8.0)), 4.5, rooms)


def open_house(r: Random) -> Plan:
    """Kitchen, dining and living in one space; small rooms behind; a porch."""
    names = _names(r)
    w, d1, d2, g = (FT * r.randint(*span) for span in ((44, 52), (12, 14), (16, 19), (20, 24)))
    d = d1 + d2
    top = _scaled([14, 9, 5.5, 8, 8, 12], w)
    inner = [LineString([(0, d1), (w, d1)]), LineString([(w, 0), (w, d)])]
    inner += [LineString([(x, 0), (x, d1)]) for x in top[1:-1]]
    a, b = w - FT * r.randint(14, 16), w - FT * r.randint(27, 29)
    low = d1 - 5
    zones = {"kitchen": box(a, low, w, d), "dining": box(b, low, a, d), "living": box(0, low, b, d)}

    def mid(k: int) -> float:
        return (top[k] + top[k + 1]) / 2

    rooms = [
        Room(names["bed1"], "bedroom", (mid(0), d1 / 2)),
        Room(names["bath1"], "bathroom", (mid(1), d1 / 2)),
        Room(names["hall"], "hall", (mid(2), d1 / 2)),
        Room(names["bath2"], "bathroom", (mid(3), d1 / 2)),
        Room(names["laundry"], "laundry", (mid(4), d1 / 2)),
        Room(names["bed2"], "bedroom", (mid(5), d1 / 2)),
        Room(names["kitchen"], "kitchen", ((a + w) / 2, (d1 + d) / 2), zones["kitchen"]),
        Room(names["dining"], "dining", ((a + b) / 2, (d1 + d) / 2), zones["dining"]),
        Room(names["living"], "living", (b / 2, (d1 + d) / 2), zones["living"]),
        Room(names["garage"], "garage", (w + g / 2, d / 2)),
    ]
    plan = Plan("open", box(0, 0, w + g, d), inner, r.choice((6.5, 8.0)), 4.5, rooms)
    plan.porch = box(b - FT * 14, d + plan.ext / 2, b, d + plan.ext / 2 + FT * r.randint(8, 11))
    rooms.append(Room(names["porch"], "outdoors", plan.porch.centroid.coords[0]))
    return plan


def angled_house(r: Random) -> Plan:
    """A block with a wing at an angle (or square to it: an L), and a slanted pantry wall."""
    names = _names(r)
    w, d1, h, d2 = (FT * r.randint(*span) for span in ((34, 40), (12, 13), (4, 4), (14, 17)))
    d = d1 + h + d2
    angle = r.choice((0.0, 30.0, 45.0, 22.5, -30.0, -45.0))
    wide, long = FT * r.randint(18, 20), FT * r.randint(22, 26)
    middle = d / 2 if angle else d - wide / 2 + FT * r.randint(4, 8)
    wing = affinity.rotate(box(w - FT * 9, middle - wide / 2, w + long, middle + wide / 2), angle, (w, middle))
    main = box(0, 0, w, d)
    part = max(shapely.get_parts(wing.difference(main)), key=lambda p: p.area)
    part = max(shapely.get_parts(wing.difference(box(-9999, -9999, w, 9999))), key=lambda p: p.area)
    whole = unary_union([main, part.buffer(0.001, join_style="mitre")]).simplify(0.01)
    top, low = _scaled([13, 9, 7.5, 9], w), _scaled([16, 18], w)
    cut = LineString([(w, -9999), (w, 9999)]).intersection(part.buffer(0.01)).intersection(main)
    inner = [LineString([(0, d1), (w, d1)]), LineString([(0, d1 + h), (w, d1 + h)]), cut]
    inner += [LineString([(x, 0), (x, d1)]) for x in top[1:-1]]
    inner += [LineString([(x, d1 + h), (x, d)]) for x in low[1:-1]]
    s = FT * r.uniform(5.5, 6.5)
    inner.append(LineString([(0, d - s), (s, d)]))
    wing_kind = r.choice(("garage", "living"))

    def mid(xs: list[float], k: int) -> float:
        return (xs[k] + xs[k + 1]) / 2

    rooms = [
        Room(names["bed1"], "bedroom", (mid(top, 0), d1 / 2)),
        Room(names["bath1"], "bathroom", (mid(top, 1), d1 / 2)),
        Room(names["laundry"], "laundry", (mid(top, 2), d1 / 2)),
        Room(names["bath2"], "bathroom", (mid(top, 3), d1 / 2)),
        Room(names["hall"], "hall", (w / 2, d1 + h / 2)),
        Room(names["kitchen"], "kitchen", (mid(low, 0), d1 + h + d2 * 0.4)),
        Room(names["dining"], "dining", (mid(low, 1), d1 + h + d2 / 2)),
        Room(names["pantry"], "closet", (s * 0.3, d - s * 0.3)),
        Room(names["garage"] if wing_kind == "garage" else names["living"], wing_kind, part.centroid.coords[0]),
    ]
    return Plan("angled", Polygon(whole.exterior), inner, r.choice((6.5, 8.0)), 4.5, rooms)


def cut_openings(plan: Plan, r: Random) -> None:
    """Doors, cased openings, garage doors and windows that suit the rooms."""
    rooms = {id(room.face): room for room in plan.rooms}
    outer = plan.outside
    halls = [room for room in plan.rooms if room.kind == "hall"]
    done: list[tuple[Room, Room]] = []

    def join(a: Room, b: Room, kind: str, width: float) -> bool:
        for thick in (plan.int_, plan.ext):
            if open_between(plan, a.face, b.face, thick - 0.04, kind, width, r):
                done.append((a, b))
                return True
        return False

    for room in plan.rooms:
        if room.kind in ("hall", "outdoors") or (room.shared and room.kind != "living"):
            continue
        if room.shared:  # the way into the hall of an open house
            if not any(join(hall, room, "cased", width) for hall in halls for width in (48.0, 42.0, 36.0, 30.0)):
                raise ValueError("a hall without a way in")
            continue
        others = [x for x in plan.rooms if x is not room and x.kind in ("bedroom", "living", "kitchen", "dining")]
        kind, width = _door_for(room, r)
        if room.kind == "closet":
            others = [x for x in others if x.face.distance(room.face) < 9]
            halls_first: list[Room] = others
        else:
            halls_first = [*halls, *others]
        for target in halls_first:
            if join(room, target, kind, width):
                break
    pairs = [("kitchen", "dining"), ("dining", "living"), ("living", "living")]
    for a, b in pairs:
        for x in plan.rooms:
            for y in plan.rooms:
                if x is not y and x.kind == a and y.kind == b and not x.shared and r.random() < 0.8:
                    join(x, y, "cased", r.choice((42.0, 48.0, 60.0)))
    outside = [room for room in plan.rooms if room.kind != "outdoors"]
    for room in outside:
        if room.kind == "garage":
            open_between(plan, room.face, outer, plan.ext - 0.04, "garage", r.choice((108.0, 144.0, 192.0)), r, 12)
    entry = plan.room("living") or plan.room("dining")
    if entry is not None:
        open_between(plan, entry.face, outer, plan.ext - 0.04, "door", 36.0, r)
    side = plan.room("dining")
    if side is not None:
        open_between(plan, side.face, outer, plan.ext - 0.04, r.choice(("slider", "double")), 72.0, r)
    for room in {id(x.face): x for x in outside if x.kind not in ("closet", "hall", "garage")}.values():
        for _ in range(2 if room.kind in ("living", "bedroom") else 1):
            open_between(plan, room.face, outer, plan.ext - 0.04, "window", r.choice((24.0, 36.0, 48.0, 60.0)), r)
    del rooms


def _door_for(room: Room, r: Random) -> tuple[str, float]:
    if room.kind == "closet":
        return r.choice((("bifold", 48.0), ("slider", 60.0), ("door", 28.0), ("double", 48.0)))
    if room.kind == "bathroom":
        return r.choice((("door", 28.0), ("door", 30.0), ("pocket", 30.0)))
    if room.kind in ("dining", "living", "kitchen"):
        return r.choice((("cased", 48.0), ("cased", 60.0), ("cased", 42.0), ("double", 60.0), ("door", 32.0)))
    return ("door", r.choice((30.0, 32.0, 36.0)))


FAMILIES = {"hall": hall_house, "open": open_house, "angled": angled_house}


def turned(plan: Plan, r: Random) -> Plan:
    """Mirror the plan, or turn it by a quarter: reverse lots and other streets."""
    mx, my = r.choice((1, -1)), r.choice((1, -1))
    matrix = [mx, 0, 0, my, 0, 0]
    if r.random() < 0.25:
        matrix = [0, mx, my, 0, 0, 0]

    def go(shape: BaseGeometry) -> BaseGeometry:
        return affinity.affine_transform(shape, matrix)

    plan.outline = go(plan.outline)
    plan.inner = [go(line) for line in plan.inner]
    if plan.porch is not None:
        plan.porch = go(plan.porch)
    for room in plan.rooms:
        room.seed = go(Point(room.seed)).coords[0]
        if room.zone is not None:
            room.zone = go(room.zone)
    return plan


def make_plan(family: str, r: Random, reshape: Callable[[Plan], None] | None = None) -> Plan:
    plan = turned(FAMILIES[family](r), r)
    if reshape is not None:
        reshape(plan)
    porch = [room for room in plan.rooms if room.kind == "outdoors"]
    inside = [room for room in plan.rooms if room.kind != "outdoors"]
    plan.rooms = inside
    plan.settle()
    for room in porch:
        assert plan.porch is not None
        room.face = plan.porch
    plan.rooms = [*inside, *porch]
    if r.random() < 0.6:
        for k, room in enumerate(plan.rooms, 101):
            room.number = str(k)
    cut_openings(plan, r)
    return plan

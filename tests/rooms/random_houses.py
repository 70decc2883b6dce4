"""Random houses with known rooms: a rectangle cut again and again (feet), with walls, doors and windows."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry import LineString, box
from shapely.geometry.base import BaseGeometry

NAMES = [
    ("KITCHEN", "kitchen"),
    ("BATH", "bathroom"),
    ("BEDROOM 2", "bedroom"),
    ("LIVING RM", "living"),
    ("GARAGE", "garage"),
    ("LAUNDRY", "laundry"),
    ("MASTER BEDROOM", "bedroom"),
    ("DINING", "dining"),
    ("HALL", "hall"),
    ("W.I.C.", "closet"),
    ("HALL BATH", "bathroom"),
    ("STUDY", "living"),
    ("MECH.", "utility"),
    ("BEDROOM #3", "bedroom"),
    ("FOYER", "hall"),
    ("UNFIN. BSMT", "basement"),
    ("MUD RM", "hall"),
    ("OFFICE", "living"),
    ("GAME ROOM", "living"),
    ("PRIMARY BATH", "bathroom"),
]


@dataclass
class Opening:
    kind: str  # door, cased, window, slider
    a: np.ndarray
    b: np.ndarray
    rooms: tuple[int, int]  # -1 for the outdoors
    thick: float

    @property
    def hole(self) -> BaseGeometry:
        return LineString([self.a, self.b]).buffer(self.thick / 2 + 0.02, cap_style="flat")


@dataclass
class House:
    rooms: list[BaseGeometry]  # clear of the walls, feet
    names: list[tuple[str, str]]
    tags: list[tuple[float, float]]
    walls: BaseGeometry
    openings: list[Opening]
    pieces: list[BaseGeometry] = field(default_factory=list)  # single walls, uncut


def _cut(rect, rng, least, out):
    x0, y0, x1, y1 = rect
    w, h = x1 - x0, y1 - y0
    if w * h < rng.uniform(70, 200) or max(w, h) < 2 * least + 1:
        out.append(rect)
        return
    if w > h:
        c = round(rng.uniform(x0 + least, x1 - least) * 12) / 12
        _cut((x0, y0, c, y1), rng, least, out)
        _cut((c, y0, x1, y1), rng, least, out)
    else:
        c = round(rng.uniform(y0 + least, y1 - least) * 12) / 12
        _cut((x0, y0, x1, c), rng, least, out)
        _cut((x0, c, x1, y1), rng, least, out)


def _shared(a, b):
    """Common stretch of two rectangles as (p, q), or None."""
    line = box(*a).intersection(box(*b))
    if line.geom_type != "LineString" or line.length < 3.2:
        return None
    return np.array(line.coords)[[0, -1]]


def build(seed: int, width: float | None = None, depth: float | None = None, inner: float = 4.5 / 12,
          outer: float = 6.5 / 12) -> House:  # fmt: skip
    rng = np.random.default_rng(seed)
    width = width or round(rng.uniform(26, 52))
    depth = depth or round(rng.uniform(22, 36))
    rects: list[tuple[float, float, float, float]] = []
    _cut((0, 0, width, depth), rng, 5.0, rects)
    clear = [box(*r).buffer(-inner / 2, join_style="mitre") for r in rects]
    shell = box(0, 0, width, depth).buffer(outer - inner / 2, join_style="mitre")
    walls = shell.difference(shapely.union_all(clear))
    openings: list[Opening] = []
    joined, pairs = {0}, []
    for i in range(len(rects)):
        for j in range(i):
            s = _shared(rects[i], rects[j])
            if s is not None:
                pairs.append((i, j, s))
    rng.shuffle(pairs)
    grew = True
    while grew:
        grew = False
        for i, j, s in pairs:
            if (i in joined) == (j in joined):
                continue
            kind = "door" if rng.random() < 0.8 else ("cased" if rng.random() < 0.5 else "slider")
            openings.append(_place(s, rng, kind, (i, j), inner))
            joined |= {i, j}
            grew = True
    for i, r in enumerate(rects):
        for side in (
            [r[0], r[1], r[2], r[1]],
            [r[0], r[3], r[2], r[3]],
            [r[0], r[1], r[0], r[3]],
            [r[2], r[1], r[2], r[3]],
        ):
            on_edge = (side[0] == side[2] and side[0] in (0, width)) or (
                side[1] == side[3] and side[1] in (0, depth)
            )
            if not on_edge or rng.random() < 0.35:
                continue
            s = np.array(side, float).reshape(2, 2)
            if np.hypot(*(s[1] - s[0])) < 5.5:
                continue
            out = (
                np.array([0, np.sign(s[0, 1] - depth / 2)])
                if side[1] == side[3]
                else np.array([np.sign(s[0, 0] - width / 2), 0])
            )
            s = s + out * (outer - inner) / 2
            entry = i == 0 and not any(-1 in o.rooms and o.kind == "door" for o in openings)
            openings.append(_place(s, rng, "door" if entry else "window", (i, -1), outer))
    order = rng.permutation(len(NAMES))
    names = [NAMES[order[k % len(NAMES)]] for k in range(len(rects))]
    tags = [tuple(np.array(c.centroid.coords[0]) + rng.uniform(-0.8, 0.8, 2)) for c in clear]
    pieces = _pieces(rects, width, depth, inner, outer)
    return House(clear, names, tags, walls, openings, pieces)


def _pieces(rects, width, depth, inner, outer):
    """Every wall as its own rectangle (they overlap at junctions)."""
    lines = shapely.union_all([box(*r).boundary for r in rects])
    edge = box(0, 0, width, depth).boundary
    inside = shapely.line_merge(lines.difference(edge.buffer(0.01)))
    out = [g.buffer(inner / 2, cap_style="square") for g in shapely.get_parts(inside)]
    ring = box(0, 0, width, depth).buffer(outer - inner / 2, join_style="mitre")
    hole = box(0, 0, width, depth).buffer(-inner / 2, join_style="mitre")
    return [*out, ring.difference(hole)]


def _place(s, rng, kind, rooms, thick):
    length = float(np.hypot(*(s[1] - s[0])))
    u = (s[1] - s[0]) / length
    size = {
        "door": rng.choice([2.33, 2.5, 2.67, 3.0]),
        "cased": rng.uniform(2.7, 4),
        "slider": rng.uniform(2.6, 5),
    }.get(kind, rng.uniform(2.5, 4.5))
    size = min(size, length - 1.2)
    at = rng.uniform(0.6, length - size - 0.6)
    return Opening(kind, s[0] + u * at, s[0] + u * (at + size), rooms, thick)

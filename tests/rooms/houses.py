"""Random houses with known rooms, drawn in the ways that offices draw them.

A house is a rectangle cut again and again into rooms (feet), with walls, doors, windows, furniture, dimension
and grid lines; ``draw`` turns it into a Sheet in one of several styles, at any scale and page rotation.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from cordpath.model import Fills, Region, Scale, Sheet, Strokes, View, Word

NAMES = [
    ("KITCHEN", "kitchen"), ("BATH", "bathroom"), ("BEDROOM 2", "bedroom"), ("LIVING RM", "living"), ("GARAGE", "garage"),
    ("LAUNDRY", "laundry"), ("MASTER BEDROOM", "bedroom"), ("DINING", "dining"), ("HALL", "hall"), ("W.I.C.", "closet"),
    ("HALL BATH", "bathroom"), ("STUDY", "living"), ("MECH.", "utility"), ("BEDROOM #3", "bedroom"), ("FOYER", "hall"),
    ("UNFIN. BSMT", "basement"), ("MUD RM", "hall"), ("OFFICE", "living"), ("GAME ROOM", "living"), ("PRIMARY BATH", "bathroom"),
]  # fmt: skip
STYLES = ("double", "boxes", "fill", "fill outlined", "fill with white", "thick", "thick with white", "one weight",
          "single", "layers")  # fmt: skip


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
        for side in ([r[0], r[1], r[2], r[1]], [r[0], r[3], r[2], r[3]], [r[0], r[1], r[0], r[3]], [r[2], r[1], r[2], r[3]]):
            on_edge = (side[0] == side[2] and side[0] in (0, width)) or (side[1] == side[3] and side[1] in (0, depth))
            if not on_edge or rng.random() < 0.35:
                continue
            s = np.array(side, float).reshape(2, 2)
            if np.hypot(*(s[1] - s[0])) < 5.5:
                continue
            out = np.array([0, np.sign(s[0, 1] - depth / 2)]) if side[1] == side[3] else np.array([np.sign(s[0, 0] - width / 2), 0])
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
    size = {"door": rng.choice([2.33, 2.5, 2.67, 3.0]), "cased": rng.uniform(2.7, 4), "slider": rng.uniform(2.6, 5)}.get(
        kind, rng.uniform(2.5, 4.5)
    )
    size = min(size, length - 1.2)
    at = rng.uniform(0.6, length - size - 0.6)
    return Opening(kind, s[0] + u * at, s[0] + u * (at + size), rooms, thick)


@dataclass
class Pen:
    """Collects strokes and fills in paint order, feet to points."""

    lines: list = field(default_factory=list)
    widths: list = field(default_factory=list)
    greys: list = field(default_factory=list)
    paths: list = field(default_factory=list)
    layer: list = field(default_factory=list)
    fills: list = field(default_factory=list)
    fill_grey: list = field(default_factory=list)
    fill_path: list = field(default_factory=list)
    path: int = 0

    def line(self, points, width, grey=0.0, layer=-1):
        p = np.asarray(points, float)
        for a, b in zip(p[:-1], p[1:], strict=True):
            self.lines.append((*a, *b))
            self.widths.append(width)
            self.greys.append(grey)
            self.paths.append(self.path)
            self.layer.append(layer)
            self.path += 1

    def outline(self, shape, width, grey=0.0, layer=-1):
        for part in shapely.get_parts(shape):
            for ring in [part.exterior, *part.interiors]:
                self.line(ring.coords, width, grey, layer)

    def fill(self, shape, grey):
        for part in shapely.get_parts(shape):
            self.fills.append(part)
            self.fill_grey.append(grey)
            self.fill_path.append(self.path)
            self.path += 1


def _walls(house: House, style: str, pen: Pen, heavy: float, ppf: float) -> None:
    holes = shapely.union_all([o.hole for o in house.openings])
    solid = house.walls.difference(holes)
    if style in ("double", "one weight"):
        pen.outline(solid, heavy)
    elif style == "layers":
        pen.outline(solid, heavy, layer=0)
    elif style == "boxes":
        for piece in house.pieces[:-1]:
            pen.outline(piece.difference(holes), heavy)
        pen.outline(house.pieces[-1].difference(holes), heavy)
    elif style in ("fill", "fill outlined"):
        pen.fill(solid, 0.2)
        if style == "fill outlined":
            pen.outline(solid, heavy)
    elif style == "fill with white":
        pen.fill(house.walls, 0.0)
        for o in house.openings:
            pen.fill(o.hole, 1.0)
    elif style in ("thick", "thick with white", "single"):
        _stroked(house, style, pen, ppf, holes)
    else:
        raise ValueError(style)


def _stroked(house, style, pen, ppf, holes):
    for piece in house.pieces:
        hollow = any(True for p in shapely.get_parts(piece) for _ in p.interiors)
        if hollow:
            middle = shapely.union_all([piece.exterior, piece.interiors[0]])
            x = [c for c in shapely.bounds(piece.exterior)]
            y = [c for c in shapely.bounds(piece.interiors[0])]
            centre = box(*[(a + b) / 2 for a, b in zip(x, y, strict=True)]).exterior
            del middle
        else:
            x0, y0, x1, y1 = piece.bounds
            w = min(x1 - x0, y1 - y0)
            centre = LineString([(x0 + w / 2, (y0 + y1) / 2), (x1 - w / 2, (y0 + y1) / 2)]) if x1 - x0 > y1 - y0 else (
                LineString([((x0 + x1) / 2, y0 + w / 2), ((x0 + x1) / 2, y1 - w / 2)])
            )
        thick = 6.5 / 12 if hollow else 4.5 / 12
        width = 1.8 if style == "single" else thick * ppf
        left = centre if style == "thick with white" else centre.difference(holes)
        for part in shapely.get_parts(shapely.line_merge(left) if left.geom_type == "MultiLineString" else left):
            pen.line(part.coords, width)
    if style == "thick with white":
        for o in house.openings:
            pen.line([o.a, o.b], o.thick * ppf * 1.1, grey=1.0)


def _opening(o: Opening, pen: Pen, light: float, rng) -> None:
    u = (o.b - o.a) / np.hypot(*(o.b - o.a))
    n = np.array([-u[1], u[0]])
    size = float(np.hypot(*(o.b - o.a)))
    if o.kind == "window":
        for side in (-0.4, 0.0, 0.4):
            pen.line([o.a + n * side * o.thick, o.b + n * side * o.thick], light)
        for end in (o.a, o.b):
            pen.line([end - n * 0.4 * o.thick, end + n * 0.4 * o.thick], light)
    elif o.kind == "slider":
        middle = (o.a + o.b) / 2
        pen.line([o.a + n * 0.06, middle + u * 0.1 + n * 0.06], light)
        pen.line([middle - u * 0.1 - n * 0.06, o.b - n * 0.06], light)
    elif o.kind == "door":
        hinge, swing = (o.a, u) if rng.random() < 0.5 else (o.b, -u)
        side = n if rng.random() < 0.5 else -n
        hinge = hinge + side * o.thick / 2
        t = np.linspace(0, np.pi / 2, int(rng.integers(7, 16)))
        arc = hinge + size * (np.cos(t)[:, None] * swing + np.sin(t)[:, None] * side)
        pen.line(arc, light)
        if rng.random() < 0.5:
            pen.line([hinge, hinge + side * size], light)
        else:
            leaf = [hinge, hinge + side * size, hinge + side * size + swing * 0.14, hinge + swing * 0.14, hinge]
            pen.line(leaf, light)


def _clutter(house: House, pen: Pen, light: float, rng) -> None:
    """Furniture, counters, a floor pattern, dimension and grid lines."""
    for k, room in enumerate(house.rooms):
        x0, y0, x1, y1 = room.bounds
        if rng.random() < 0.6 and x1 - x0 > 7 and y1 - y0 > 7:
            a = rng.uniform(x0 + 1, x1 - 6), rng.uniform(y0 + 1, y1 - 6)
            pen.outline(box(a[0], a[1], a[0] + rng.uniform(3, 5), a[1] + rng.uniform(3, 5)), light)
            pen.outline(box(a[0] + 0.5, a[1] + 0.3, a[0] + 2.2, a[1] + 1.4), light)
        if rng.random() < 0.25:
            pen.line([(x0, y0 + 2.08), (x1, y0 + 2.08)], light)
        if k % 7 == 3:
            for y in np.arange(y0 + 0.5, y1, 0.5):
                pen.line([(x0, y), (x1, y)], light, 0.4)
    x0, y0, x1, y1 = house.walls.bounds
    for y in (y0 - 3, y0 - 5):
        pen.line([(x0, y), (x1, y)], light)
    for x in (x0, (x0 + x1) / 2, x1):
        pen.line([(x, y0 - 5.5), (x, y0 - 0.5)], light)
        pen.line([(x + 3, y0 - 8), (x + 3, y1 + 8)], light, 0.3)


def draw(house: House, style: str, seed: int = 0, ratio: float = 48.0, turn: int = 0, jitter: float = 0.0,
         split: bool = False, clutter: bool = True, shuffle: bool = False) -> tuple[Sheet, View, Scale]:  # fmt: skip
    rng = np.random.default_rng(seed + 1000)
    ppf = 864.0 / ratio
    pen = Pen()
    light = 0.36
    heavy = 0.36 if style == "one weight" else 1.0
    if style == "layers":
        heavy = 0.36
    _walls(house, style, pen, heavy, ppf)
    for o in house.openings:
        _opening(o, pen, light, rng)
    if clutter:
        _clutter(house, pen, light, rng)
    x0, y0, x1, y1 = house.walls.bounds
    margin = 14.0
    size = np.array([(x1 - x0 + 2 * margin) * ppf, (y1 - y0 + 2 * margin) * ppf])
    shift = np.array([margin - x0, margin - y0])

    def place(points):
        p = (np.asarray(points, float).reshape(-1, 2) + shift) * ppf
        w, h = size
        return {0: p, 1: np.c_[p[:, 1], w - p[:, 0]], 2: np.c_[w - p[:, 0], h - p[:, 1]], 3: np.c_[h - p[:, 1], p[:, 0]]}[turn]

    xy = place(np.array(pen.lines).reshape(-1, 2)).reshape(-1, 4)
    width, grey = np.array(pen.widths, float), np.array(pen.greys, float)
    path, layer = np.array(pen.paths, np.int64), np.array(pen.layer, np.int64)
    if split:
        xy, index = _split(xy, rng)
        width, grey, path, layer = width[index], grey[index], path[index], layer[index]
    if shuffle:
        order = rng.permutation(len(xy))
        xy, width, grey, path, layer = xy[order], width[order], grey[order], path[order], layer[order]
    xy = xy + rng.uniform(-jitter, jitter, xy.shape) if jitter else xy
    n = len(xy)
    strokes = Strokes(xy, width, np.repeat(grey[:, None], 3, 1), layer, path, np.full(n, -1, np.int64),
                      np.zeros(n, bool), np.zeros(n, bool))  # fmt: skip
    shapes = np.array([shapely.transform(f, place) for f in pen.fills], object)
    tone = np.array(pen.fill_grey, float)
    fills = Fills(shapes, np.repeat(tone[:, None], 3, 1), np.ones(len(shapes)), np.full(len(shapes), -1, np.int64),
                  np.array(pen.fill_path, np.int64)) if len(shapes) else Fills.none()  # fmt: skip
    words = _words(house, place, turn)
    w, h = (size[1], size[0]) if turn % 2 else (size[0], size[1])
    view = View("v1", "FLOOR PLAN", (0.0, 0.0, float(w), float(h)))
    sheet = Sheet("house.pdf", 1, "A-101", None, float(w), float(h), strokes, fills, words,
                  ("A-WALL", "A-FURN") if style == "layers" else (), (view,), (Region("notes", (0, 0, 5, 5)),))  # fmt: skip
    return sheet, view, Scale("v1", ratio, "note", "", "proved")


def _split(xy, rng):
    out, index = [], []
    for k, s in enumerate(xy):
        length = np.hypot(*(s[2:] - s[:2]))
        cuts = np.sort(rng.uniform(0.1, 0.9, int(min(5, length // 40))))
        p = s[:2] + (s[2:] - s[:2]) * np.r_[0, cuts, 1][:, None]
        for a, b in zip(p[:-1], p[1:], strict=True):
            out.append((*a, *b))
            index.append(k)
    return np.array(out), np.array(index)


def _words(house: House, place, turn: int) -> tuple[Word, ...]:
    words = []
    angle = {0: 0.0, 1: 90.0, 2: 180.0, 3: 270.0}[turn]
    for line, ((name, _), at) in enumerate(zip(house.names, house.tags, strict=True)):
        p = place([at])[0]
        c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        along, down = np.array([c, -s]), np.array([s, c])
        total = len(name) * 5.0
        cursor = -total / 2
        for word in name.split(" "):
            length = len(word) * 5.0
            corners = np.array([p + along * x + down * y for x in (cursor, cursor + length) for y in (-4, 4)])
            words.append(Word(word, (*corners.min(0), *corners.max(0)), angle, 9.0, line, "Helv"))
            cursor += length + 5.0
    return tuple(words)


def truth_on_page(house: House, turn: int, ratio: float) -> list[Polygon]:
    """Clear room outlines in page coordinates."""
    ppf = 864.0 / ratio
    x0, y0, x1, y1 = house.walls.bounds
    w, h = (x1 - x0 + 28) * ppf, (y1 - y0 + 28) * ppf

    def place(p):
        p = (p + np.array([14 - x0, 14 - y0])) * ppf
        return {0: p, 1: np.c_[p[:, 1], w - p[:, 0]], 2: np.c_[w - p[:, 0], h - p[:, 1]], 3: np.c_[h - p[:, 1], p[:, 0]]}[turn]

    return [shapely.transform(r, place) for r in house.rooms]


@dataclass
class Marks:
    right: int = 0
    total: int = 0
    leaks: int = 0
    silent: int = 0
    extra: int = 0

    def __add__(self, other: Marks) -> Marks:
        return Marks(self.right + other.right, self.total + other.total, self.leaks + other.leaks,
                     self.silent + other.silent, self.extra + other.extra)  # fmt: skip


def mark(house: House, plan, turn: int, ratio: float) -> Marks:
    """Right: a room of the same kind with IoU over 0.85.  Silent: at the middle of a true room the plan tells
    another kind, with no reason given and confidence 0.85 or more.  Leak: a room that holds much of two."""
    truth = truth_on_page(house, turn, ratio)
    found = [r for r in plan.rooms if not r.id.endswith(".out")]
    marks = Marks(total=len(truth))
    for shape, (_, kind) in zip(truth, house.names, strict=True):
        best = max((r.polygon.intersection(shape).area / r.polygon.union(shape).area for r in found if r.kind == kind),
                   default=0.0)  # fmt: skip
        marks.right += best > 0.85
        middle = shape.centroid
        at = [r for r in plan.rooms if r.polygon.intersects(middle)]
        sure_wrong = [r for r in at if r.kind != kind and r.kind != "unknown" and r.confidence >= 0.85 and not r.reasons]
        marks.silent += bool(sure_wrong)
    for room in found:
        marks.leaks += sum(room.polygon.intersection(t).area > 0.3 * t.area for t in truth) > 1
    if plan.outside is not None:
        marks.leaks += sum(plan.outside.intersection(t).area > 0.3 * t.area for t in truth)
    marks.extra = len(found) - len(truth)
    return marks

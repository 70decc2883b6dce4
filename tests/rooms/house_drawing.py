"""Random houses drawn as sheets in the ways that offices draw them, at any scale and page rotation."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field

import numpy as np
import shapely
from random_houses import House, Opening
from shapely.geometry import LineString, Polygon, box

from cordpath.model import Fills, Region, Scale, Sheet, Strokes, View, Word

STYLES = ("double", "boxes", "fill", "fill outlined", "fill with white", "thick", "thick with white", "one weight",
          "single", "layers")  # fmt: skip


def turned(p: np.ndarray, w: float, h: float, turn: int) -> np.ndarray:
    """Points of a w x h page after ``turn`` quarter turns."""
    if turn % 2:
        p, (w, h) = np.c_[p[:, 1], w - p[:, 0]], (h, w)
    return np.c_[w - p[:, 0], h - p[:, 1]] if turn >= 2 else p


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
        for a, b in itertools.pairwise(p):
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
    elif style == "three lines":  # brick, 4 5/8 in with its air space, before the studs of the outer walls
        pen.outline(solid, heavy)
        face = Polygon(house.walls.exterior).buffer(-4.625 / 12, join_style="mitre").exterior
        for part in shapely.get_parts(shapely.line_merge(face.difference(holes))):
            pen.line(part.coords, heavy)
    elif style == "heavy shell":
        pen.outline(house.pieces[-1].difference(holes), heavy)
        pen.outline(solid.difference(house.pieces[-1]), 0.6 * heavy)
    elif " in " in style:  # inner walls drawn otherwise than outer ones
        inner, outer = style.split(" in ")
        ring = house.pieces[-1]
        _one_way(solid.difference(ring), inner, pen)
        _one_way(ring.difference(holes), outer, pen)
    elif style == "one filled":
        one = max(house.pieces[:-1], key=lambda piece: piece.area).difference(house.pieces[-1])
        _one_way(solid.difference(one), "heavy", pen)
        _one_way(one.intersection(solid), "fill", pen)
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
    elif style == "hatch":
        _hatched(solid, pen)
    elif style in ("thick", "thick with white", "single"):
        _stroked(house, style, pen, ppf, holes)
    else:
        raise ValueError(style)


def _one_way(solid, way, pen):
    if way == "fill":
        pen.fill(solid, 0.2)
    elif way == "coarse":
        _hatched(solid, pen, pitch=0.5)
    else:
        pen.outline(solid, {"light": 0.36, "heavy": 1.0}[way])


def _hatched(solid, pen, pitch=0.1, width=0.25):
    """Lines at 45 degrees, ``pitch`` feet apart, and no outline."""
    x0, y0, x1, y1 = solid.bounds
    high, step = y1 - y0, pitch * np.sqrt(2)
    rows = [LineString([(x, y0), (x + high, y1)]) for x in np.arange(x0 - high, x1, step)]
    for part in shapely.get_parts(shapely.intersection(shapely.multilinestrings(rows), solid)):
        pen.line(part.coords, width)


def _stroked(house, style, pen, ppf, holes):
    for piece in house.pieces:
        hollow = any(True for p in shapely.get_parts(piece) for _ in p.interiors)
        if hollow:
            middle = shapely.union_all([piece.exterior, piece.interiors[0]])
            x = list(shapely.bounds(piece.exterior))
            y = list(shapely.bounds(piece.interiors[0]))
            centre = box(*[(a + b) / 2 for a, b in zip(x, y, strict=True)]).exterior
            del middle
        else:
            x0, y0, x1, y1 = piece.bounds
            w = min(x1 - x0, y1 - y0)
            centre = (
                LineString([(x0 + w / 2, (y0 + y1) / 2), (x1 - w / 2, (y0 + y1) / 2)])
                if x1 - x0 > y1 - y0
                else (LineString([((x0 + x1) / 2, y0 + w / 2), ((x0 + x1) / 2, y1 - w / 2)]))
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


def draw(
    house: House,
    style: str,
    seed: int = 0,
    ratio: float = 48.0,
    turn: int = 0,
    jitter: float = 0.0,
    split: bool = False,
    clutter: bool = True,
    shuffle: bool = False,
) -> tuple[Sheet, View, Scale]:
    """The house on a page, its only view, and the scale of it (``ratio``); ``turn`` quarter turns of the page."""
    rng = np.random.default_rng(seed + 1000)
    ppf = 864.0 / ratio
    pen = Pen()
    light = 0.36
    heavy = 0.36 if style in ("one weight", "three lines") else 1.0
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
        return turned(p, w, h, turn)

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
    layers = ("A-WALL", "A-FURN") if style == "layers" else ()
    regions = (Region("notes", (0, 0, 5, 5)),)
    sheet = Sheet(
        "house.pdf", 1, "A-101", None, float(w), float(h), strokes, fills, words, layers, (view,), regions
    )
    return sheet, view, Scale("v1", ratio, "note", "", "proved")


def _split(xy, rng):
    out, index = [], []
    for k, s in enumerate(xy):
        length = np.hypot(*(s[2:] - s[:2]))
        cuts = np.sort(rng.uniform(0.1, 0.9, int(min(5, length // 40))))
        p = s[:2] + (s[2:] - s[:2]) * np.r_[0, cuts, 1][:, None]
        for a, b in itertools.pairwise(p):
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
        return turned(p, w, h, turn)

    return [shapely.transform(r, place) for r in house.rooms]

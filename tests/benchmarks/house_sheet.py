"""A random house on its sheet: plan, devices, tags, dimensions, legend, schedule, title block; and its truth."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random
from typing import Any

import numpy as np
import shapely
from house_ink import Arc, Note, Paper, Pen, Poly, Pt
from house_plan import Opening, Plan, Room, make_plan
from house_site import Outlet, Site, furnish, general_outlets
from house_symbols import FAMILIES, Design, device_family, draw, fixtures, lookalikes
from house_truth import DOORS, reach, verdicts
from shapely import affinity
from shapely.geometry import LineString, box
from shapely.geometry.base import BaseGeometry

NOTES = {48: '1/4" = 1\'-0"', 64: '3/16" = 1\'-0"', 96: '1/8" = 1\'-0"', 50: "1:50"}
PAGES = {"ARCH D": (2592, 1728), "ANSI D": (2448, 1584), "A1": (2384, 1684), "ARCH E1": (3024, 2160)}


@dataclass
class Style:
    seed: int
    family: str
    ratio: int
    page: str
    walls: str
    devices: str
    door: str
    window: str
    cased: str
    ticks: str
    layers: bool
    one_pen: bool
    print_: str  # full, half, nts
    frame: bool
    bottom: bool
    circuits: str | None
    tables: str
    grey: float
    letter: float


def make_style(seed: int, family: str) -> Style:
    r = Random(seed * 7919 + 13)
    return Style(
        seed,
        family,
        r.choice((48, 48, 48, 64, 96, 50)),
        r.choice(("ARCH D", "ANSI D", "A1")),
        r.choice(("heavy", "thin", "poche", "poche edge", "hatched", "single")),
        r.choice(FAMILIES),
        r.choice(("quarter", "quarter", "leaf", "45", "centre")),
        r.choice(("three", "two", "sill", "four")),
        r.choice(("dashed", "none", "none", "header")),
        r.choice(("tick", "arrow", "dot")),
        r.random() < 0.5,
        r.random() < 0.3,
        r.choices(("full", "half", "nts"), (10, 1, 1))[0],
        r.random() < 0.6,
        r.random() < 0.5,
        r.choice(("A-{}", "A-{}", "{}", "A{}", None)),
        r.choice(("right", "left", "below")),
        r.choice((0.0, 0.3, 0.55, 0.75)),
        r.choice((6.0, 6.75, 7.5)),
    )


@dataclass
class Sheet:
    """The drawing in the making: ``k`` points an inch of the building, ``o`` origin on the page."""

    paper: Paper
    style: Style
    site: Site
    k: float
    o: Pt
    r: Random
    taken: list[BaseGeometry] = field(default_factory=list)
    walls: BaseGeometry | None = None

    def to(self, p: Pt) -> Pt:
        return (self.o[0] + p[0] * self.k, self.o[1] + p[1] * self.k)

    def shape(self, s: BaseGeometry) -> BaseGeometry:
        return shapely.transform(s, lambda xy: xy * self.k + self.o)

    def layer(self, name: str) -> str:
        return name if self.style.layers else "0"

    def thin(self) -> float:
        return 0.5 if self.style.one_pen else self.r.choice((0.25, 0.3, 0.35))

    def free(self, area: BaseGeometry, walls: bool = True) -> bool:
        if any(area.intersects(t) for t in self.taken):
            return False
        return not (walls and self.walls is not None and area.intersects(self.walls))


# ------------------------------------------------------------------------------------------------- building


def draw_walls(sheet: Sheet) -> None:
    plan, style, paper = sheet.site.plan, sheet.style, sheet.paper
    cut = plan.open_walls((*DOORS, "window"))
    layer = sheet.layer("A-WALL")
    if style.walls == "single":
        slots = shapely.union_all([o.slot for o in plan.openings])
        lines = [(LineString(plan.outline.exterior.coords), plan.ext), *((s, plan.int_) for s in plan.inner)]
        for line, thick in lines:
            for part in shapely.get_parts(shapely.line_merge(line.difference(slots))):
                pts = tuple(sheet.to(p) for p in part.coords)
                paper.add(Poly(pts, Pen(thick * sheet.k), closed=False, layer=layer))
        return
    width = {"heavy": 1.1, "thin": 0.4, "poche": 0.0, "poche edge": 0.6, "hatched": 0.8}[style.walls]
    width = 0.5 if style.one_pen and width else width
    fill = (style.grey,) * 3 if style.walls.startswith("poche") else None
    for part in shapely.get_parts(sheet.shape(cut)):
        part = part.simplify(0.01)
        holes = tuple(tuple(ring.coords[:-1]) for ring in part.interiors)
        pen = Pen(width) if width else None
        paper.add(Poly(tuple(part.exterior.coords[:-1]), pen, True, fill, holes, layer))
    if style.walls == "hatched":
        _hatch(sheet, sheet.shape(cut), 5.0, sheet.layer("A-WALL-PATT"))


def _hatch(sheet: Sheet, area: BaseGeometry, step: float, layer: str) -> None:
    x0, y0, x1, y1 = area.bounds
    span = (x1 - x0) + (y1 - y0)
    lines = [LineString([(x0 + s, y0), (x0 + s - (y1 - y0), y1)]) for s in _steps(0, span, step)]
    for part in shapely.get_parts(shapely.intersection(shapely.multilinestrings(lines), area)):
        sheet.paper.line(part.coords, 0.18, layer)


def _steps(a: float, b: float, step: float) -> list[float]:
    return [a + k * step for k in range(int((b - a) / step) + 1)]


def seen_angle(a: Pt, b: Pt) -> float:
    return math.degrees(math.atan2(-(b[1] - a[1]), b[0] - a[0]))


def arc_between(sheet: Sheet, c: Pt, radius: float, a: float, b: float, layer: str, width: float) -> None:
    sweep = (b - a) % 360
    start, end = (a, a + sweep) if sweep < 180 else (b, b + 360 - sweep)
    sheet.paper.add(Arc(c, radius, start, end, Pen(width), layer))


def draw_opening(sheet: Sheet, o: Opening) -> None:
    t = o.thick / 2
    half = o.width / 2
    layer = sheet.layer("A-GLAZ" if o.kind == "window" else "A-DOOR")
    pen = sheet.thin()

    def at(s: float, out: float) -> Pt:
        return sheet.to(
            (o.at[0] + o.along[0] * s + o.normal[0] * out, o.at[1] + o.along[1] * s + o.normal[1] * out)
        )

    def line(*pts: tuple[float, float], closed: bool = False, dash: Pt | None = None) -> None:
        sheet.paper.line([at(*p) for p in pts], pen, layer, closed=closed, dash=dash)

    if sheet.style.walls == "single" and o.kind != "window":
        for end in (-half, half):
            line((end, -t), (end, t))
    if o.kind == "window":
        offs = {"three": (-t, 0, t), "two": (-t, t, -1, 1), "sill": (-t, 0, t + 2), "four": (-t, -1.2, 1.2, t)}
        for out in offs[sheet.style.window]:
            line((-half, out), (half, out))
        if sheet.style.window == "sill":
            line((-half, t), (-half - 2, t), (-half - 2, t + 2), (half + 2, t + 2), (half + 2, t), (half, t))
        for end in (-half, half):
            line((end, -t), (end, t))
    elif o.kind == "door":
        _leaf(sheet, o, at, line, -o.hinge * half, o.width, o.hinge)
    elif o.kind == "double":
        _leaf(sheet, o, at, line, -half, half, 1)
        _leaf(sheet, o, at, line, half, half, -1)
    elif o.kind == "slider":
        for s0, s1, out in ((-half, 2, -1.5), (-2, half, 0.0)):
            line((s0, out), (s1, out), (s1, out + 1.5), (s0, out + 1.5), closed=True)
    elif o.kind == "pocket":
        line((-half, -0.75), (half * 0.4, -0.75), (half * 0.4, 0.75), (-half, 0.75), closed=True)
    elif o.kind == "bifold":
        q = half / 2
        line((-half, t), (-half + q * 0.7, t + q * 0.7), (-half + q * 1.4, t))
        line((half, t), (half - q * 0.7, t + q * 0.7), (half - q * 1.4, t))
    elif o.kind == "cased":
        if sheet.style.cased == "dashed":
            line((-half, -t), (half, -t), dash=(4, 3))
            line((-half, t), (half, t), dash=(4, 3))
        elif sheet.style.cased == "header":
            line((-half, 0), (half, 0), dash=(6, 3))
    elif o.kind == "garage":
        line((-half, -t * 0.2), (half, -t * 0.2), (half, t * 0.4), (-half, t * 0.4), closed=True)
        line((-half, t), (-half, t + 90), (half, t + 90), (half, t), dash=(6, 4))


def _leaf(sheet: Sheet, o: Opening, at: Any, line: Any, hinge: float, width: float, to: int) -> None:
    out = 0.0 if sheet.style.door == "centre" else o.thick / 2
    turn = math.radians(45 if sheet.style.door == "45" else 90)
    tip = (hinge + to * width * math.cos(turn), out + width * math.sin(turn))
    if sheet.style.door == "leaf":
        line((hinge, out), tip, (tip[0] + to * 1.5, tip[1]), (hinge + to * 1.5, out), closed=True)
    else:
        line((hinge, out), tip)
    c, p, q = at(hinge, out), at(*tip), at(hinge + to * width, out)
    layer = sheet.layer("A-DOOR")
    arc_between(sheet, c, width * sheet.k, seen_angle(c, p), seen_angle(c, q), layer, sheet.thin())


def draw_building(
    sheet: Sheet,
    walls: Callable[[Sheet], None] | None = None,
    opening: Callable[[Sheet, Opening], None] = draw_opening,
) -> None:
    (walls or draw_walls)(sheet)
    plan = sheet.site.plan
    for each in plan.openings:
        opening(sheet, each)
    if plan.porch is not None:
        ring = sheet.shape(plan.porch).exterior.coords[:-1]
        sheet.paper.line(ring, sheet.thin(), sheet.layer("A-FLOR"), closed=True)
    for counter in sheet.site.counters:
        ring = sheet.shape(counter).exterior.coords[:-1]
        sheet.paper.line(ring, sheet.thin(), sheet.layer("A-FLOR-CASE"), closed=True)
    for name, shape in sheet.site.loose:
        dash = (3.0, 2.0) if name == "rug" else None
        ring = sheet.shape(shape).exterior.coords[:-1]
        if name == "chair":
            c = sheet.shape(shape.centroid)
            sheet.paper.add(Arc((c.x, c.y), 7 * sheet.k, pen=Pen(0.3), layer=sheet.layer("A-FURN")))
        else:
            sheet.paper.line(ring, 0.3, sheet.layer("A-FURN"), closed=True, dash=dash)


# -------------------------------------------------------------------------------------------------- symbols


def draw_fixtures(sheet: Sheet) -> None:
    for f in sheet.site.fixtures:
        block = sheet.paper.new_block()
        pen = Pen(0.5 if sheet.style.one_pen else 0.4)
        for item in draw(
            f.design, sheet.to(f.at), f.wall, sheet.k, pen, sheet.layer("P-FIXT"), block, 6.0, f.mirror
        ):
            sheet.paper.add(item)


def symbol_place(sheet: Sheet, o: Outlet) -> Pt:
    x, y = sheet.to(o.anchor)
    if o.free:
        return (x, y)
    out = (o.design.to_wall + o.away) * 72
    return (x + o.normal[0] * out, y + o.normal[1] * out)


def settle_outlets(sheet: Sheet) -> None:
    """Choose designs, keep the outlets that have room on paper."""
    r, designs, kept = sheet.r, sheet.site.designs, []
    for o in sheet.site.outlets:
        o.away = r.choice((0.0, 0.0, -0.006, 0.01, 0.03))
        wet = o.room is None or o.room.kind in ("bathroom", "kitchen", "laundry", "garage", "outdoors")
        if o.design is designs["duplex"] and o.serves is None:
            roll = r.random()
            if roll < (0.3 if wet else 0.04):
                o.design, o.device = designs["gfci"], True
            elif roll > 0.93:
                o.design = designs["quad"]
        o.where = symbol_place(sheet, o)
        hull = shapely.Point(o.where).buffer(11.5)
        if sheet.free(hull, walls=False):
            sheet.taken.append(shapely.Point(o.where).buffer(10))
            kept.append(o)
    sheet.site.outlets = kept


def draw_outlets(sheet: Sheet) -> None:
    pen = Pen(0.5 if sheet.style.one_pen else sheet.r.choice((0.5, 0.6, 0.75)))
    for o in sheet.site.outlets:
        wall = (0.0, -1.0) if o.free else (-o.normal[0], -o.normal[1])
        block = sheet.paper.new_block()
        mirror = sheet.r.random() < 0.2
        for item in draw(o.design, o.where, wall, 72.0, pen, sheet.layer("E-POWR"), block, 5.5, mirror):
            sheet.paper.add(item)


def label(sheet: Sheet, o: Outlet, text: str) -> bool:
    """Write a label near an outlet, where there is room; False where there is none."""
    size = sheet.style.letter
    n = o.normal
    u = (-n[1], n[0])
    sides = [(1.0, 0.0), (0.2, 1.0), (0.2, -1.0), (0.8, 0.8), (0.8, -0.8), (-0.9, 0.9), (-0.9, -0.9)]
    first = sides[:3]
    sheet.r.shuffle(first)
    ways = [*first, *sides[3:]]
    things = [sheet.shape(f.body) for f in sheet.site.fixtures if math.dist(sheet.to(f.at), o.where) < 90]
    for a, b, clear in [(*w, True) for w in ways] + [(*w, False) for w in ways]:
        d = (n[0] * a + u[0] * b, n[1] * a + u[1] * b)
        norm = math.hypot(*d)
        d = (d[0] / norm, d[1] / norm)
        note = Note((0, 0), text, size)
        half = abs(d[0]) * note.width / 2 + abs(d[1]) * size * 0.5
        away = 9.5 + half + sheet.r.uniform(0.5, 3)
        note = Note(
            (o.where[0] + d[0] * away, o.where[1] + d[1] * away), text, size, layer=sheet.layer("E-POWR-TEXT")
        )
        area = box(*note.box).buffer(1.0)
        if sheet.free(area) and not (clear and any(area.intersects(t) for t in things)):
            sheet.taken.append(area)
            sheet.paper.add(note)
            return True
    return False


def write_labels(sheet: Sheet) -> dict[str, Any]:
    """Labels of all outlets; the panel's circuits."""
    r, style, site = sheet.r, sheet.style, sheet.site
    gfi = r.choice(("GFI", "GFCI", "GFI", "GF"))
    serve = {
        "refrigerator": r.choice(("REF", "REFR.", "FRIG")),
        "range": r.choice(("RANGE", "RNG")),
        "washer": r.choice(("WASH", "CW")),
        "dryer": r.choice(("DRY", "DRYER")),
    }
    words: dict[str, Any] = {
        gfi: {"protection": "device"},
        "WP": {"weatherproof": True},
        f"WP/{gfi}": {"weatherproof": True, "protection": "device"},
    }
    words |= {text: {"serves": what} for what, text in serve.items()}
    panel = Panelboard(r)
    for o in list(site.outlets):
        outside = o.room is None or o.room.kind == "outdoors"
        if o.serves is not None and not label(sheet, o, serve[o.serves]):
            o.serves = None
            if "volts" not in o.design.facts:
                site.outlets.remove(o)
                continue
        wet = outside or (o.room is not None and o.room.kind in ("bathroom", "kitchen", "laundry", "garage"))
        said = o.device or o.serves is not None
        if not said and r.random() < (0.45 if wet else 0.05):
            text = f"WP/{gfi}" if outside and r.random() < 0.5 else gfi
            o.device = label(sheet, o, text)
        elif outside and r.random() < 0.5:
            label(sheet, o, "WP")
        if style.circuits and r.random() < 0.9:
            number, tag = panel.circuit(o)
            if label(sheet, o, style.circuits.format(tag)):
                o.circuit = number
    return {"words": words, "panel": panel if style.circuits else None}


class Panelboard:
    """Circuits of one house."""

    def __init__(self, r: Random) -> None:
        self.r = r
        self.rows: dict[str, tuple[str, str]] = {}  # numbers -> description, mark
        self.of: dict[str, str] = {}

    def circuit(self, o: Outlet) -> tuple[str, str]:
        area = o.room.name if o.room is not None else "EXTERIOR"
        key = f"{o.serves} RECEPT" if o.serves else f"{area} RECEPTS"
        heavy = o.design.facts.get("volts") == 240
        if key not in self.of:
            n = 2 * len(self.rows) + 1
            numbers = f"{n},{n + 2}" if heavy else str(n + 1)
            while any(set(numbers.split(",")) & set(old.split(",")) for old in self.rows):
                n += 2
                numbers = f"{n},{n + 2}" if heavy else str(n + 1)
            mark = "" if heavy else self.r.choice(("GFCI", "AFCI", "", "AFCI"))
            self.rows[numbers] = (key.upper(), mark)
            self.of[key] = numbers
        return self.of[key], self.of[key]

    @property
    def marks(self) -> dict[str, str]:
        return {numbers: mark for numbers, (_, mark) in self.rows.items()}


def draw_others(sheet: Sheet, others: dict[str, Design]) -> dict[str, int]:
    """Lights, switches and detectors in every room, where there is room for them."""
    r, paper = sheet.r, sheet.paper
    layer = sheet.layer("E-LITE")
    counts: dict[str, int] = {}

    def spot(name: str, at: Pt, wall: Pt = (0.0, -1.0)) -> bool:
        hull = shapely.Point(at).buffer(10)
        if not sheet.free(hull, walls=False):
            return False
        sheet.taken.append(hull)
        for item in draw(others[name], at, wall, 72.0, Pen(0.5), layer, paper.new_block(), 5.5, False):
            paper.add(item)
        counts[name] = counts.get(name, 0) + 1
        return True

    for room in sheet.site.plan.rooms:
        area = sheet.shape(room.area.buffer(-14))
        if area.is_empty or room.kind == "outdoors":
            continue
        c = area.representative_point()
        lit: list[Pt] = []
        for dx, dy in ((0, 0), (r.uniform(30, 60), 0), (0, r.uniform(30, 60)), (-40, -30)):
            at = (c.x + dx + r.uniform(-8, 8), c.y + dy + r.uniform(-8, 8))
            if area.contains(shapely.Point(at)) and len(lit) < 2:
                name = r.choice(
                    (
                        "light",
                        "can",
                        "can",
                        "smoke" if room.kind in ("bedroom", "hall") else "light",
                        "fan" if room.kind == "bathroom" else "light",
                    )
                )
                if spot(name, at):
                    lit.append(at)
        for o in sheet.site.plan.openings:
            if o.kind == "door" and room.face.distance(shapely.Point(o.at)) < 6 and r.random() < 0.5:
                s = o.width / 2 + 8
                at = sheet.to(
                    (
                        o.at[0] + o.along[0] * s * o.hinge + o.normal[0] * (o.thick / 2 + 5),
                        o.at[1] + o.along[1] * s * o.hinge + o.normal[1] * (o.thick / 2 + 5),
                    )
                )
                note = Note(at, r.choice(("$", "$", "S", "$3")), 7.5, layer=layer)
                if sheet.free(box(*note.box)):
                    sheet.taken.append(box(*note.box))
                    paper.add(note)
                    if lit and r.random() < 0.6:
                        _leg(sheet, at, lit[0])
    return counts


def _leg(sheet: Sheet, a: Pt, b: Pt) -> None:
    """A switch leg: a dashed bow."""
    d = math.dist(a, b)
    if d < 20:
        return
    mid = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    n = (-(b[1] - a[1]) / d, (b[0] - a[0]) / d)
    c = (mid[0] + n[0] * d, mid[1] + n[1] * d)
    radius = math.dist(c, a)
    p, q = seen_angle(c, a), seen_angle(c, b)
    sweep = (q - p) % 360
    start, end = (p, p + sweep) if sweep < 180 else (q, q + 360 - sweep)
    pts = Arc(c, radius, start, end).chords(14)
    sheet.paper.line(pts, 0.35, sheet.layer("E-LITE"), dash=(4, 3))


# --------------------------------------------------------------------------------------------------- words


def tag_rooms(sheet: Sheet) -> None:
    r = sheet.r
    base = r.choice((9.0, 10.0, 11.0))
    boxed, sized = r.random() < 0.4, r.random() < 0.25
    things = [f.body for f in sheet.site.fixtures] + [s for _, s in sheet.site.loose] + list(sheet.site.counters)
    for room in sheet.site.plan.rooms:
        area = sheet.shape(room.area)
        busy = sheet.shape(shapely.union_all(things)) if things else shapely.Polygon()
        for size, wrap in ((base, False), (base, True), (base * 0.75, True), (5.5, True), (4.5, True)):
            lines = _wrapped(room.name, wrap)
            if room.number:
                lines = [*lines, room.number]
            elif sized and room.kind in ("bedroom", "living") and not room.shared:
                lines = [*lines, _size_along_walls(room.face)]
            spot = _tag_spot(area, busy, lines, size, sheet)
            if spot is not None:
                break
        else:
            spot = (area.representative_point().x, area.representative_point().y)
        pitch = size * 1.25
        top = spot[1] - pitch * (len(lines) - 1) / 2
        for k, text in enumerate(lines):
            note = Note((spot[0], top + k * pitch), text, size, layer=sheet.layer("A-AREA-IDEN"), bold=False)
            sheet.paper.add(note)
            sheet.taken.append(box(*note.box).buffer(1.5))
            if boxed and text == room.number:
                x0, y0, x1, y1 = note.box
                sheet.paper.box(x0 - 2, y0 - 0.5, x1 + 2, y1 + 0.5, 0.35, sheet.layer("A-AREA-IDEN"))


def _size_along_walls(face: BaseGeometry) -> str:
    """Width x depth along the walls, not of the sheet: plans are turned on sheets."""
    ring = np.asarray(face.exterior.coords)
    walls = np.diff(ring, axis=0)
    x, y = walls[int(np.argmax(np.hypot(*walls.T)))]
    off = (math.degrees(math.atan2(y, x)) + 45) % 90 - 45
    x0, y0, x1, y1 = affinity.rotate(face, -off, origin=(0, 0)).bounds
    return f"{feet(x1 - x0)} x {feet(y1 - y0)}"


def _wrapped(name: str, wrap: bool) -> list[str]:
    """One word a line; a number stays with its word."""
    return re.sub(r" (?!#?\d)", "\n", name).split("\n") if wrap else [name]


def _tag_spot(area: BaseGeometry, busy: BaseGeometry, lines: list[str], size: float, sheet: Sheet) -> Pt | None:
    w = max(Note((0, 0), t, size).width for t in lines) + 4
    h = size * 1.25 * len(lines) + 2
    x0, y0, x1, y1 = area.bounds
    c = area.centroid
    spots = [(c.x, c.y)] + [(sheet.r.uniform(x0, x1), sheet.r.uniform(y0, y1)) for _ in range(60)]
    for strict in (True, False):
        for x, y in spots:
            b = box(x - w / 2, y - h / 2, x + w / 2, y + h / 2)
            clear = sheet.free(b, walls=False)
            if area.covers(b.buffer(2)) and clear and (not strict or not b.intersects(busy)):
                return (x, y)
    return None


def feet(inches: float) -> str:
    """14'-6 1/2" to the nearest half inch."""
    halves = round(inches * 2)
    f, rest = divmod(halves, 24)
    whole, half = divmod(rest, 2)
    return f"{f}'-{whole}{' 1/2' if half else ''}\""


def dimensions(sheet: Sheet) -> None:
    plan = sheet.site.plan
    x0, y0, x1, y1 = plan.outline.bounds
    xs = {x0, x1}
    ys = {y0, y1}
    for line in plan.inner:
        (ax, ay), (bx, by) = line.coords[0], line.coords[-1]
        if abs(ax - bx) < 0.01 and abs(ay - by) > 40:
            xs.add(ax)
        if abs(ay - by) < 0.01 and abs(ax - bx) > 40:
            ys.add(ay)
    sheet_top = y0 - 30 / sheet.k - plan.ext
    sheet_left = x0 - 34 / sheet.k - plan.ext
    _string(sheet, _spread(xs), sheet_top, y0 - plan.ext, True)
    _string(sheet, [x0, x1], sheet_top - 26 / sheet.k, y0 - plan.ext, True)
    _string(sheet, _spread(ys), sheet_left, x0 - plan.ext, False)


def _spread(values: set[float]) -> list[float]:
    out: list[float] = []
    for v in sorted(values):
        if not out or v - out[-1] > 30:
            out.append(v)
    return out


def _string(sheet: Sheet, marks: list[float], level: float, foot: float, across: bool) -> None:
    layer = sheet.layer("A-ANNO-DIMS")
    pen = sheet.thin()

    def at(v: float, w: float) -> Pt:
        return sheet.to((v, w) if across else (w, v))

    for v in marks:
        a, b = at(v, foot), at(v, level)
        d = (0, -1) if across else (-1, 0)
        sheet.paper.line([(a[0] + d[0] * 4, a[1] + d[1] * 4), (b[0] + d[0] * 4, b[1] + d[1] * 4)], pen, layer)
        _tick(sheet, b, across, layer)
    for a, b in itertools.pairwise(marks):
        p, q = at(a, level), at(b, level)
        sheet.paper.line([p, q], pen, layer)
        mid = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
        text = str(round((b - a) * 25.4)) if sheet.style.ratio == 50 else feet(b - a)
        size = sheet.style.letter
        note = Note(
            (mid[0], mid[1] - size * 0.8) if across else (mid[0] - size * 0.8, mid[1]),
            text,
            size,
            0 if across else 90,
            layer,
        )
        sheet.paper.add(note)


def _tick(sheet: Sheet, p: Pt, across: bool, layer: str) -> None:
    x, y = p
    if sheet.style.ticks == "tick":
        sheet.paper.line([(x - 3, y + 3), (x + 3, y - 3)], 0.8, layer)
    elif sheet.style.ticks == "dot":
        pts = Arc(p, 1.6).chords(12)[:-1]
        sheet.paper.add(Poly(pts, None, True, (0, 0, 0), layer=layer))
    else:
        for s in (-1, 1):
            d = (s * 7, 0) if across else (0, s * 7)
            w = (0, 1.3) if across else (1.3, 0)
            pts = (p, (x + d[0] + w[0], y + d[1] + w[1]), (x + d[0] - w[0], y + d[1] - w[1]))
            sheet.paper.add(Poly(pts, None, True, (0, 0, 0), layer=layer))


# -------------------------------------------------------------------------------------------- sheet furniture


def legend(sheet: Sheet, designs: list[Design], at: Pt) -> float:
    """A table of symbols; returns its height."""
    x, y = at
    title = sheet.r.choice(("ELECTRICAL LEGEND", "LEGEND", "SYMBOL LEGEND", "ELECTRICAL SYMBOLS"))
    sheet.paper.add(Note((x + 115, y + 12), title, 10, layer=sheet.layer("G-ANNO"), bold=True))
    row = 27.0
    for k, design in enumerate(designs):
        cy = y + 38 + k * row
        for item in draw(
            design,
            (x + 24, cy),
            (0, -1),
            72.0,
            Pen(0.5),
            sheet.layer("G-ANNO"),
            sheet.paper.new_block(),
            5.5,
            False,
        ):
            sheet.paper.add(item)
        note = Note((0, 0), design.name.upper(), 7.5)
        sheet.paper.add(Note((x + 52 + note.width / 2, cy), note.text, 7.5, layer=sheet.layer("G-ANNO")))
        if sheet.style.frame and k:
            sheet.paper.line([(x, cy - row / 2), (x + 230, cy - row / 2)], 0.3, sheet.layer("G-ANNO"))
    height = 38 + row * len(designs)
    if sheet.style.frame:
        sheet.paper.box(x, y, x + 230, y + height, 0.6, sheet.layer("G-ANNO"))
        sheet.paper.line([(x, y + 22), (x + 230, y + 22)], 0.5, sheet.layer("G-ANNO"))
    return height


def schedule(sheet: Sheet, panel: Panelboard, at: Pt) -> float:
    x, y = at
    r = sheet.r
    head = r.choice(
        (
            ("CKT", "DESCRIPTION", "BKR", "NOTES"),
            ("CIRCUIT", "LOAD", "AMPS", "REMARKS"),
            ("NO.", "DESCRIPTION", "BREAKER", "TYPE"),
        )
    )
    cols = (0, 42, 170, 212, 262)
    row = 13.0
    paper, layer = sheet.paper, sheet.layer("G-ANNO")
    paper.add(
        Note((x + 131, y + 8), r.choice(("PANEL A", 'PANEL "A" SCHEDULE', "PANEL A SCHEDULE")), 9, layer=layer)
    )
    rows = [head]
    for numbers, (text, mark) in panel.rows.items():
        amps = "40/2" if "," in numbers else r.choice(("20/1", "15/1"))
        rows.append((numbers, text[:24], amps, mark))
    for k, cells in enumerate(rows):
        cy = y + 26 + k * row
        for c, text in enumerate(cells):
            if text:
                paper.add(Note((x + (cols[c] + cols[c + 1]) / 2, cy), text, 6.5, layer=layer))
        paper.line([(x, cy + row / 2), (x + 262, cy + row / 2)], 0.3, layer)
    bottom = y + 26 + (len(rows) - 0.5) * row
    paper.box(x, y + 19, x + 262, bottom, 0.6, layer)
    for c in cols[1:-1]:
        paper.line([(x + c, y + 19), (x + c, bottom)], 0.3, layer)
    return bottom - y


def notes(sheet: Sheet, at: Pt) -> float:
    x, y = at
    lines = [
        "GENERAL NOTES",
        "1. VERIFY ALL DIMENSIONS IN FIELD.",
        "2. MOUNT SMOKE ALARMS PER CODE.",
        "3. ALL WORK SHALL COMPLY WITH THE ADOPTED CODE.",
        '4. RECEPTACLES AT 18" A.F.F. U.N.O.',
    ]
    for k, text in enumerate(lines):
        size = 9 if k == 0 else 7
        width = Note((0, 0), text, size).width
        sheet.paper.add(Note((x + width / 2, y + 8 + 14 * k), text, size, layer=sheet.layer("G-ANNO"), bold=k == 0))
    return 14.0 * len(lines) + 10


def title_block(sheet: Sheet, number: str, scale: str) -> None:
    p, w, h = sheet.paper, sheet.paper.width, sheet.paper.height
    layer = sheet.layer("G-TTLB")
    p.box(30, 30, w - 30, h - 30, 1.4, layer)
    cells = ["WILLOW LANE HOUSE", "POWER PLAN", f"SCALE: {scale}", "DATE: 03/14", f"{number}"]
    if sheet.style.bottom:
        p.line([(30, h - 130), (w - 30, h - 130)], 1.0, layer)
        step = (w - 60) / len(cells)
        for k, text in enumerate(cells):
            p.line([(30 + step * k, h - 130), (30 + step * k, h - 30)], 0.5, layer)
            size = 26 if k == 4 else 13
            p.add(Note((30 + step * (k + 0.5), h - 80), text, size, layer=layer))
    else:
        x = w - 200
        p.line([(x, 30), (x, h - 30)], 1.0, layer)
        step = (h - 60) / len(cells)
        for k, text in enumerate(cells):
            p.line([(x, 30 + step * k), (w - 30, 30 + step * k)], 0.5, layer)
            size = 26 if k == 4 else 12
            p.add(Note(((x + w - 30) / 2, 30 + step * (k + 0.5)), text, size, layer=layer))


def view_title(sheet: Sheet, at: Pt, scale: str) -> str:
    x, y = at
    r, p = sheet.r, sheet.paper
    layer = sheet.layer("G-ANNO")
    title = r.choice(("MAIN FLOOR POWER PLAN", "FIRST FLOOR POWER PLAN", "POWER PLAN", "ELECTRICAL PLAN"))
    if r.random() < 0.5:
        p.add(Arc((x, y + 6), 14, pen=Pen(0.7), layer=layer))
        p.add(Note((x, y + 6), "1", 11, layer=layer))
    note = Note((0, 0), title, 14, bold=True)
    p.add(Note((x + 24 + note.width / 2, y), title, 14, layer=layer, bold=True))
    p.line([(x + 20, y + 10), (x + 30 + note.width, y + 10)], 1.0, layer)
    text = scale if scale.startswith("N") else r.choice(("SCALE: {}", "{}", "SCALE {}")).format(scale)
    small = Note((0, 0), text, 8)
    p.add(Note((x + 24 + small.width / 2, y + 18), text, 8, layer=layer))
    return title


# ---------------------------------------------------------------------------------------------------- a house


@dataclass
class House:
    style: Style
    paper: Paper
    mapping: dict[str, Any]
    truth: dict[str, Any]


def make_house(
    seed: int,
    family: str,
    style: Style | None = None,
    building: Callable[[Sheet], None] = draw_building,
    reshape: Callable[[Plan], None] | None = None,
) -> House:
    """A house on its sheet; ``style``, ``building`` and ``reshape`` make it another than its seed would."""
    style = style or make_style(seed, family)
    r = Random(seed)
    plan: Plan = make_plan(family, r, reshape)
    devices, others = device_family(style.devices, r), lookalikes(r)
    site = Site(plan, {**devices, **fixtures(r)})
    furnish(site, r)
    general_outlets(
        site,
        r,
        {"living": 4, "bedroom": 3, "garage": 2, "dining": 2, "hall": 1, "bathroom": 1, "kitchen": 1, "laundry": 1},
    )
    k = 72.0 / style.ratio
    sheet = _lay_out(site, style, r, k)
    sheet.walls = sheet.shape(plan.walls)
    building(sheet)
    draw_fixtures(sheet)
    tag_rooms(sheet)
    settle_outlets(sheet)
    told = write_labels(sheet)
    draw_outlets(sheet)
    counts = draw_others(sheet, others)
    dimensions(sheet)
    scale = "NOT TO SCALE" if style.print_ == "nts" else NOTES[style.ratio]
    number = r.choice(("E-101", "E1.1", "E-1", "E2.0"))
    title_block(sheet, number, r.choice(("AS NOTED", scale)))
    x0, _y0, _x1, y1 = sheet.shape(plan.outline).bounds
    low = y1 if plan.porch is None else max(y1, sheet.shape(plan.porch).bounds[3])
    title = view_title(sheet, (x0 + r.uniform(20, 120), low + 40), scale)
    used = [d for d in devices.values() if any(o.design is d for o in site.outlets)]
    used += [d for name, d in others.items() if name in counts]
    _tables(sheet, used, told["panel"])
    truth = _truth(sheet, told, number, title, scale, counts, others)
    paper = sheet.paper
    return House(style, paper, _mapping(site, devices, others, told["words"], style, r), truth)


def _lay_out(site: Site, style: Style, r: Random, k: float) -> Sheet:
    plan = site.plan
    shape = plan.outline if plan.porch is None else plan.outline.union(plan.porch)
    x0, y0, x1, y1 = shape.bounds
    w, h = (x1 - x0) * k, (y1 - y0) * k
    for name in (style.page, "ARCH D", "ARCH E1"):
        pw, ph = PAGES[name]
        room_w = pw - 60 - (0 if style.bottom else 170) - 300
        room_h = ph - 60 - (100 if style.bottom else 0)
        if w + 130 <= room_w and h + 190 <= room_h:
            break
    style.page = name
    left = 30 + 100 + (300 if style.tables == "left" else 0)
    ox = left + r.uniform(0, max(0.0, room_w - w - 130)) - x0 * k
    oy = 30 + 90 + r.uniform(0, max(0.0, room_h - h - 190)) - y0 * k
    paper = Paper(pw, ph)
    return Sheet(paper, style, site, k, (ox, oy), r)


def _tables(sheet: Sheet, used: list[Design], panel: Panelboard | None) -> None:
    style, p = sheet.style, sheet.paper
    x = 45.0 if style.tables == "left" else p.width - (200 if not style.bottom else 30) - 285
    y = 60.0
    jobs: list[Any] = [lambda at: legend(sheet, used, at), lambda at: notes(sheet, at)]
    if panel is not None:
        jobs.append(lambda at: schedule(sheet, panel, at))
    sheet.r.shuffle(jobs)
    for job in jobs:
        y += job((x, y)) + sheet.r.uniform(30, 60)


def _mapping(
    site: Site,
    devices: dict[str, Design],
    others: dict[str, Design],
    words: dict[str, Any],
    style: Style,
    r: Random,
) -> dict[str, Any]:
    scales = (0.45, 1.1) if style.print_ == "half" else None
    entries = [d.entry(scales) for d in devices.values()]
    entries += [d.entry(scales) for d in others.values() if d.mapped]
    entries += [d.entry() for key, d in site.designs.items() if key not in devices]
    entries.append({"name": "switch", "kind": "switch", "shape": [{"text": {"value": "$", "at": [0, 0]}}]})
    labels = [{"text": _escaped(text), "sets": sets} for text, sets in words.items()]
    out: dict[str, Any] = {"cordpath": 1, "drawing": {"scale": "auto"}, "symbols": entries, "labels": labels}
    out["rooms"] = [{"text": "GALLERY", "kind": "hall"}]
    return out


def _escaped(text: str) -> str:
    return text.replace(".", r"\.?")


def _truth(
    sheet: Sheet,
    told: dict[str, Any],
    number: str,
    title: str,
    scale: str,
    counts: dict[str, int],
    others: dict[str, Design],
) -> dict[str, Any]:
    site, style = sheet.site, sheet.style
    measurable = style.print_ != "nts"
    lengths = reach(site)
    panel = told["panel"]
    judged = verdicts(site, lengths, panel.marks if panel is not None else {}, style.print_)
    by = 0.5 if style.print_ == "half" else 1.0
    ratio = style.ratio / by if measurable else None

    def pt(p: Pt) -> list[float]:
        return [round(p[0] * by, 2), round(p[1] * by, 2)]

    def ring(shape: BaseGeometry) -> list[list[float]]:
        return [pt(p) for p in sheet.shape(shape).exterior.coords[:-1]]

    outlets = []
    for i, (o, (verdict, also)) in enumerate(zip(site.outlets, judged, strict=True)):
        near = [{"fixture": k, "open_in": round(v, 2)} for (j, k), v in lengths.open.items() if j == i and v < 120]
        outlets.append(
            {
                "symbol": o.design.name,
                "at": pt(o.where),
                "room": o.room.name if o.room is not None else None,
                "device": o.device,
                "circuit": o.circuit,
                "serves": o.serves,
                "counter": o.counter,
                "verdict": verdict,
                "also": also,
                "near": near,
            }
        )
    fixtures_ = [
        {
            "symbol": f.design.name,
            "kind": f.design.kind,
            "at": pt(sheet.to(f.at)),
            "room": f.room.name,
            "edge": [ring(part) for part in shapely.get_parts(f.measured)],
        }
        for f in site.fixtures
    ]
    rooms = [
        {"name": x.name, "number": x.number, "kind": x.kind, "shared": x.shared, "polygon": ring(x.area)}
        for x in site.plan.rooms
    ]
    view = {
        "title": title,
        "scale": {"ratio": ratio, "text": scale, "false": style.print_ == "half"},
        "rooms": rooms,
        "fixtures": fixtures_,
        "outlets": outlets,
        "look-alikes": {others[name].name: n for name, n in counts.items()},
    }
    view["openings"] = [{"kind": o.kind, "polygon": ring(o.slot)} for o in site.plan.openings]
    return {"page": 1, "sheet": number, "print": style.print_, "views": [view]}


__all__ = ["House", "Room", "Style", "make_house", "make_style"]

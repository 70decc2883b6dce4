"""Random houses drawn in the ways that make rooms hard to find: one pen, loose walls, odd doors, curves.

Every variant changes one thing of a house of ``house_sheet.py`` and leaves the rest to the house's own style.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from random import Random

import shapely
from house_ink import Arc, Pen, Poly, Pt
from house_plan import Opening, Plan
from house_sheet import House, Sheet, arc_between, draw_building, draw_opening, make_house, make_style, seen_angle
from house_truth import DOORS
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

ONE_PEN = 0.5  # pt


@dataclass(frozen=True)
class Variant:
    walls: str = "style"  # style, or how the outlines of the walls are drawn
    doors: str = "style"
    pen: float | None = None  # every stroke of the sheet with this pen
    look: str | None = None  # style of the walls (heavy, thin, poche, poche edge, hatched, single)
    grey: float | None = None
    curved: int = 0  # chords of a quarter circle
    columns: bool = False
    print_: str = "full"


VARIANTS: dict[str, Variant] = {
    "plain": Variant(),
    "one pen": Variant(look="thin", pen=ONE_PEN),
    "one pen hatched": Variant(look="hatched", pen=ONE_PEN),
    "hatched": Variant(look="hatched"),
    "grey": Variant(look="poche", grey=0.8),
    "thick line": Variant(look="single"),
    "centre line": Variant(walls="centre"),
    "faces through windows": Variant(walls="through", look="heavy"),
    "loose": Variant(walls="loose", look="heavy"),
    "unjoined": Variant(walls="unjoined", look="heavy"),
    "overshoot": Variant(walls="overshoot", look="heavy"),
    "no jambs": Variant(walls="no jambs", look="heavy"),
    "one pen no jambs": Variant(walls="no jambs", look="heavy", pen=ONE_PEN),
    "curved coarse": Variant(curved=6, look="heavy"),
    "curved fine": Variant(curved=40, look="heavy"),
    "curved poche": Variant(curved=24, look="poche"),
    "curved one pen": Variant(curved=24, look="thin", pen=ONE_PEN),
    "columns": Variant(columns=True, look="heavy"),
    "doors 30": Variant(doors="30", look="heavy"),
    "doors 45": Variant(doors="45", look="heavy"),
    "doors no arc": Variant(doors="no arc", look="heavy"),
    "doors no leaf": Variant(doors="no leaf", look="heavy"),
    "doors dashed arc": Variant(doors="dashed", look="heavy"),
    "doors straight swing": Variant(doors="straight", look="heavy"),
    "one pen no arc": Variant(doors="no arc", look="thin", pen=ONE_PEN),
    "folding": Variant(doors="folding", look="heavy"),
    "one pen folding": Variant(doors="folding", look="thin", pen=ONE_PEN),
    "nts": Variant(print_="nts"),
    "nts one pen": Variant(print_="nts", look="thin", pen=ONE_PEN),
}


def hard_house(seed: int, family: str, name: str) -> House:
    v = VARIANTS[name]
    style = replace(make_style(seed, family), print_=v.print_)
    style = replace(style, walls=v.look or style.walls, one_pen=False if v.look else style.one_pen)
    if v.grey is not None:
        style = replace(style, grey=v.grey)
    reshape = (lambda plan: curve(plan, v.curved)) if v.curved else None
    house = make_house(seed, family, style, lambda sheet: build(sheet, v), reshape)
    if v.pen is not None:
        house.paper.items = [_with_pen(item, v.pen) for item in house.paper.items]
    return house


def _with_pen(item: object, width: float) -> object:
    if isinstance(item, Poly | Arc) and item.pen is not None:
        return replace(item, pen=replace(item.pen, width=width))
    return item


def curve(plan: Plan, chords: int) -> None:
    """Round one outer corner of the house and the slanted or straight wall of its smallest corner closet."""
    ring = list(plan.outline.exterior.coords)[:-1]
    best: tuple[float, int] | None = None
    for k, p in enumerate(ring):
        a, b = ring[k - 1], ring[(k + 1) % len(ring)]
        room = min(math.dist(p, a), math.dist(p, b))
        flat = abs((a[0] - p[0]) * (b[0] - p[0]) + (a[1] - p[1]) * (b[1] - p[1])) < 1
        clear = min((line.distance(shapely.Point(p)) for line in plan.inner), default=999.0)
        convex = plan.outline.contains(shapely.Point(p).buffer(1).intersection(plan.outline).centroid)
        if flat and convex and room > 110 and clear > 90 and (best is None or clear > best[0]):
            best = (clear, k)
    if best is not None:
        k, radius = best[1], min(0.8 * best[0], 96.0)
        corner = _fillet(ring[k - 1], ring[k], ring[(k + 1) % len(ring)], radius, chords)
        plan.outline = Polygon([*ring[:k], *corner, *ring[k + 1 :]])
    plan.inner = [_bowed(line, chords) if _slanted(line) else line for line in plan.inner]


def _slanted(line: LineString) -> bool:
    (a, b), (c, d) = line.coords[0], line.coords[-1]
    return min(abs(a - c), abs(b - d)) > 12


def _fillet(a: Pt, p: Pt, b: Pt, radius: float, chords: int) -> Iterator[Pt]:
    u = ((a[0] - p[0]) / math.dist(a, p), (a[1] - p[1]) / math.dist(a, p))
    v = ((b[0] - p[0]) / math.dist(b, p), (b[1] - p[1]) / math.dist(b, p))
    for k in range(chords + 1):
        t = math.pi / 2 * k / chords
        s, c = 1 - math.sin(t), 1 - math.cos(t)
        yield (p[0] + radius * (u[0] * s + v[0] * c), p[1] + radius * (u[1] * s + v[1] * c))


def _bowed(line: LineString, chords: int) -> LineString:
    (ax, ay), (bx, by) = line.coords[0], line.coords[-1]
    nx, ny = -(by - ay), bx - ax
    points = []
    for k in range(chords + 1):
        t = k / chords
        rise = 0.25 * 4 * t * (1 - t) * 0.5
        points.append((ax + (bx - ax) * t + nx * rise, ay + (by - ay) * t + ny * rise))
    return LineString(points)


def build(sheet: Sheet, v: Variant) -> None:
    if v.walls == "style" and v.doors == "style":
        draw_building(sheet)
    else:
        door = draw_opening if v.doors == "style" else partial(_door, how=v.doors)
        draw_building(sheet, WALLS.get(v.walls), door)
    if v.columns:
        _columns(sheet)


def _columns(sheet: Sheet) -> None:
    """Posts in the two largest rooms, square and round, and a pier on a wall."""
    rooms = sorted({id(r.face): r for r in sheet.site.plan.rooms if r.kind != "outdoors"}.values(),
                   key=lambda r: -r.face.area)[:2]  # fmt: skip
    for n, room in enumerate(rooms):
        x0, y0, x1, y1 = room.face.bounds
        for fx, fy in ((0.3, 0.3), (0.7, 0.3), (0.7, 0.7)):
            p = (x0 + fx * (x1 - x0), y0 + fy * (y1 - y0))
            if not room.face.buffer(-20).contains(shapely.Point(p)):
                continue
            if n:
                sheet.paper.add(Arc(sheet.to(p), 5 * sheet.k, pen=Pen(1.1), layer=sheet.layer("A-COLS")))
            else:
                a, b = sheet.to((p[0] - 5, p[1] - 5)), sheet.to((p[0] + 5, p[1] + 5))
                sheet.paper.box(*a, *b, 1.1, sheet.layer("A-COLS"))


# ------------------------------------------------------------------------------------------------------ walls


def _edges(shape: BaseGeometry) -> Iterator[tuple[Pt, Pt]]:
    for part in shapely.get_parts(shape):
        part = part.simplify(0.01)
        for ring in (part.exterior, *part.interiors):
            yield from itertools.pairwise(ring.coords)


def _outlines(sheet: Sheet, open_: tuple[str, ...] = (*DOORS, "window")) -> list[tuple[Pt, Pt]]:
    return list(_edges(sheet.shape(sheet.site.plan.open_walls(open_))))


def _moved(a: Pt, b: Pt, at_a: float, at_b: float) -> tuple[Pt, Pt]:
    """The line made longer at either end (shorter for less than nothing)."""
    n = math.dist(a, b)
    u = ((b[0] - a[0]) / n, (b[1] - a[1]) / n)
    return (a[0] - u[0] * at_a, a[1] - u[1] * at_a), (b[0] + u[0] * at_b, b[1] + u[1] * at_b)


def _stroked(sheet: Sheet, lines: list[tuple[Pt, Pt]], width: float = 1.1) -> None:
    for a, b in lines:
        sheet.paper.line([a, b], width, sheet.layer("A-WALL"))


def _on_grid(p: Pt) -> Pt:
    return (round(p[0] / 0.12) * 0.12, round(p[1] / 0.12) * 0.12)


def _loose(sheet: Sheet) -> None:
    """Single strokes cut at random, on the grid of 1/600 in, in any order, with gaps up to 0.3 pt."""
    r, lines = Random(sheet.style.seed), []
    for a, b in _outlines(sheet):
        cuts = sorted({0.0, 1.0, *(r.uniform(0.1, 0.9) for _ in range(int(math.dist(a, b) / 60)))})
        for s, t in itertools.pairwise(cuts):
            p = (a[0] + (b[0] - a[0]) * s, a[1] + (b[1] - a[1]) * s)
            q = (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
            if math.dist(p, q) > 1:
                p, q = _moved(p, q, -r.uniform(0, 0.3), -r.uniform(0, 0.3))
            lines.append((_on_grid(p), _on_grid(q)))
    r.shuffle(lines)
    _stroked(sheet, lines)


def _unjoined(sheet: Sheet) -> None:
    """Corners that miss each other by up to 1/16 in on paper."""
    r = Random(sheet.style.seed)
    lines = [(a, b) for a, b in _outlines(sheet)]
    _stroked(sheet, [_moved(a, b, -r.uniform(0, most), -r.uniform(0, most))
                     for a, b in lines for most in [min(4.5, 0.2 * math.dist(a, b))]])  # fmt: skip


def _overshoot(sheet: Sheet) -> None:
    r = Random(sheet.style.seed)
    _stroked(sheet, [_moved(a, b, r.uniform(0, 4), r.uniform(0, 4)) for a, b in _outlines(sheet)])


def _no_jambs(sheet: Sheet) -> None:
    """Wall faces stop at an opening, and nothing closes the end of the wall."""
    slots = shapely.union_all([sheet.shape(o.slot).buffer(0.1) for o in sheet.site.plan.openings])
    width = 0.4 if sheet.style.walls == "thin" else 1.1
    _stroked(sheet, [(a, b) for a, b in _outlines(sheet) if not slots.covers(LineString([a, b]))], width)


def _through(sheet: Sheet) -> None:
    """The faces of the walls go through at windows, in the pen of the walls."""
    _stroked(sheet, _outlines(sheet, DOORS))


def _centre(sheet: Sheet) -> None:
    """One line of 1.4 pt a wall, in its middle."""
    plan = sheet.site.plan
    slots = shapely.union_all([o.slot for o in plan.openings])
    for line in (LineString(plan.outline.exterior.coords), *plan.inner):
        for part in shapely.get_parts(shapely.line_merge(line.difference(slots))):
            sheet.paper.add(Poly(tuple(sheet.to(p) for p in part.coords), Pen(1.4), layer=sheet.layer("A-WALL")))


WALLS: dict[str, Callable[[Sheet], None]] = {
    "loose": _loose,
    "unjoined": _unjoined,
    "overshoot": _overshoot,
    "no jambs": _no_jambs,
    "through": _through,
    "centre": _centre,
}


# ------------------------------------------------------------------------------------------------------ doors


def _door(sheet: Sheet, o: Opening, how: str) -> None:
    if o.kind in ("pocket", "bifold", "slider") and how == "folding":
        _folding(sheet, o)
    elif o.kind == "door" and how != "folding":
        _leaf(sheet, o, -o.hinge * o.width / 2, o.width, o.hinge, how)
    elif o.kind == "double" and how != "folding":
        for side in (1, -1):
            _leaf(sheet, o, -side * o.width / 2, o.width / 2, side, how)
    else:
        draw_opening(sheet, o)


def _place(sheet: Sheet, o: Opening) -> Callable[[float, float], Pt]:
    def at(s: float, out: float) -> Pt:
        return sheet.to(
            (o.at[0] + o.along[0] * s + o.normal[0] * out, o.at[1] + o.along[1] * s + o.normal[1] * out)
        )

    return at


def _leaf(sheet: Sheet, o: Opening, hinge: float, width: float, to: int, how: str) -> None:
    at, layer, pen = _place(sheet, o), sheet.layer("A-DOOR"), sheet.thin()
    out = o.thick / 2
    turn = math.radians({"30": 30, "45": 45}.get(how, 90))
    tip = (hinge + to * width * math.cos(turn), out + width * math.sin(turn))
    c, p, q = at(hinge, out), at(*tip), at(hinge + to * width, out)
    if how != "no leaf":
        sheet.paper.line([c, p], pen, layer)
    if how == "straight":
        sheet.paper.line([p, q], pen, layer)
    elif how == "dashed":
        a, b = seen_angle(c, p), seen_angle(c, q)
        start, sweep = (a, (b - a) % 360) if (b - a) % 360 < 180 else (b, (a - b) % 360)
        sheet.paper.add(Arc(c, width * sheet.k, start, start + sweep, Pen(pen, dash=(3.0, 2.0)), layer))
    elif how != "no arc":
        arc_between(sheet, c, width * sheet.k, seen_angle(c, p), seen_angle(c, q), layer, pen)


def _folding(sheet: Sheet, o: Opening) -> None:
    """Pocket doors half open with the pocket dashed in the wall, bifolds nearly closed, bypass panels as lines."""
    at, layer, pen, half, t = _place(sheet, o), sheet.layer("A-DOOR"), sheet.thin(), o.width / 2, o.thick / 2
    if o.kind == "pocket":
        sheet.paper.line([at(-half, 0), at(0, 0)], pen, layer)
        away = [at(-half, -0.8), at(-half - o.width * 0.9, -0.8), at(-half - o.width * 0.9, 0.8), at(-half, 0.8)]
        sheet.paper.line(away, pen, layer, dash=(3.0, 2.0))
    elif o.kind == "bifold":
        q = half / 2
        for side in (-1, 1):
            zig = [at(side * half, 0), at(side * (half - q * 0.97), q * 0.24), at(side * (half - q * 1.94), 0)]
            sheet.paper.line(zig, pen, layer)
    else:
        sheet.paper.line([at(-half, -0.8), at(2, -0.8)], pen, layer)
        sheet.paper.line([at(-2, 0.8), at(half, 0.8)], pen, layer)
    del t

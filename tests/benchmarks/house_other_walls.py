"""Walls as other offices draw them: brick in a third line, batting, hatch, pieces, tags, two kinds of walls."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from random import Random

import shapely
from house_hard import _edges, _outlines, _stroked
from house_ink import Arc, Note, Pen, Poly, Pt
from house_plan import Plan
from house_sheet import Sheet
from house_truth import DOORS
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

OPEN = (*DOORS, "window")


def _shell(sheet: Sheet) -> BaseGeometry:
    """The outer walls as drawn, openings cut out."""
    plan = sheet.site.plan
    ring = plan.outline.exterior.buffer(plan.ext / 2, cap_style="flat", join_style="mitre")
    return ring.difference(shapely.union_all([o.slot for o in plan.openings]))


def thick_outer(plan: Plan) -> None:
    plan.ext = 10.5


def veneer(sheet: Sheet, width: float) -> None:
    """Brick veneer: a third line in the outer walls, 4 5/8 in behind the outer face."""
    _stroked(sheet, _outlines(sheet))
    plan = sheet.site.plan
    line = plan.outline.buffer(plan.ext / 2 - 4.625, join_style="mitre").exterior
    cut = line.difference(shapely.union_all([o.slot for o in plan.openings]))
    for part in shapely.get_parts(shapely.line_merge(sheet.shape(cut))):
        sheet.paper.line(part.coords, width, sheet.layer("A-WALL"))


def batting(sheet: Sheet) -> None:
    """Insulation: half circles to and fro between the faces of the outer walls."""
    _stroked(sheet, _outlines(sheet))
    plan = sheet.site.plan
    r = plan.ext / 2 - 0.6
    cut = LineString(plan.outline.exterior.coords).difference(
        shapely.union_all([o.slot.buffer(1) for o in plan.openings])
    )
    for part in shapely.get_parts(shapely.line_merge(cut)):
        for a, b in itertools.pairwise(part.coords):
            n = math.dist(a, b)
            u = ((b[0] - a[0]) / n, (b[1] - a[1]) / n)
            points: list[Pt] = []
            s, way = r, 1.0
            while s < n - r:
                for k in range(9):
                    t = math.pi * k / 8
                    along, aside = s - r / 2 * math.cos(t), way * (r * 0.4 + r * 0.55 * math.sin(t))
                    points.append((a[0] + u[0] * along - u[1] * aside, a[1] + u[1] * along + u[0] * aside))
                s, way = s + r, -way
            if len(points) > 1:
                sheet.paper.line([sheet.to(p) for p in points], 0.18, sheet.layer("A-WALL-PATT"))


def _hatched(sheet: Sheet, area: BaseGeometry, step: float, angle: float, width: float) -> None:
    x, y = area.centroid.coords[0]
    turned = shapely.affinity.rotate(area, -angle, (x, y))
    x0, y0, x1, y1 = turned.bounds
    rows = shapely.multilinestrings(
        [LineString([(x0, y0 + k * step), (x1, y0 + k * step)]) for k in range(int((y1 - y0) / step) + 1)]
    )
    for part in shapely.get_parts(shapely.intersection(shapely.affinity.rotate(rows, angle, (x, y)), area)):
        if part.length > 0.2:
            sheet.paper.line(part.coords, width, sheet.layer("A-WALL-PATT"))


def hatch_only(sheet: Sheet, step: float, crossed: bool = False) -> None:
    """Walls as hatch without an outline; narrow steps make them look black."""
    area = sheet.shape(sheet.site.plan.open_walls(OPEN))
    for angle in (45.0, -45.0) if crossed else (45.0,):
        _hatched(sheet, area, step, angle, 0.25)


def pieces(sheet: Sheet, filled: bool) -> None:
    """Each wall a rectangle of its own that laps over those it meets, not cleaned up."""
    plan = sheet.site.plan
    slots = shapely.union_all([o.slot for o in plan.openings])
    ring = list(plan.outline.exterior.coords)
    walls = [(LineString(p), plan.ext) for p in itertools.pairwise(ring)] + [(s, plan.int_) for s in plan.inner]
    for line, thick in walls:
        for part in shapely.get_parts(line.difference(slots)):
            for p in itertools.pairwise(part.coords):
                body = sheet.shape(LineString(p).buffer(thick / 2, cap_style="flat"))
                fill = (0.6,) * 3 if filled else None
                sheet.paper.add(Poly(tuple(body.exterior.coords[:-1]), Pen(0.9), True, fill,
                                     layer=sheet.layer("A-WALL")))  # fmt: skip


def party(sheet: Sheet) -> None:
    """Inner walls that are long stand double, with an air gap of an inch."""
    _stroked(sheet, _outlines(sheet))
    plan = sheet.site.plan
    slots = shapely.union_all([o.slot for o in plan.openings]).buffer(0.5)
    for line in plan.inner:
        if line.length < 120:
            continue
        inside = line.buffer(0.5, cap_style="flat").difference(slots)
        for part in shapely.get_parts(inside):
            ring = sheet.shape(part).exterior.coords[:-1]
            sheet.paper.line(ring, 1.1, sheet.layer("A-WALL"), closed=True)


def thick_party(plan: Plan) -> None:
    plan.int_ = 9.0


def wet_wall(plan: Plan) -> None:
    """One inner wall is 2 in thicker than the others, for pipes."""
    long = [line for line in plan.inner if 90 < line.length < 200]
    if long:
        (ax, ay), (bx, by) = long[0].coords[0], long[0].coords[-1]
        n = math.dist((ax, ay), (bx, by))
        dx, dy = -(by - ay) / n * 2.0, (bx - ax) / n * 2.0
        plan.inner.append(LineString([(ax + dx, ay + dy), (bx + dx, by + dy)]))


def tagged(sheet: Sheet, masked: bool) -> None:
    """Walls broken by tags: a letter in a circle stands in a gap of 9 to 14 in."""
    r, plan = Random(sheet.style.seed), sheet.site.plan
    slots = shapely.union_all([o.slot for o in plan.openings])
    holes: list[tuple[Pt, float, BaseGeometry]] = []
    for line in (LineString(plan.outline.exterior.coords), *plan.inner):
        for _ in range(max(1, int(line.length / 150))):
            p = line.interpolate(r.uniform(0.15, 0.85) * line.length)
            half = r.uniform(4.5, 7.0)
            if p.distance(slots) < half + 8 or any(math.dist(p.coords[0], q) < 40 for q, *_ in holes):
                continue
            if sum(other.distance(p) < half + 8 for other in (plan.outline.exterior, *plan.inner)) > 1:
                continue
            holes.append((p.coords[0], half, p.buffer(half)))
    gaps = sheet.shape(shapely.union_all([h for *_, h in holes]))
    lines = _outlines(sheet)
    if masked:
        _stroked(sheet, lines)
    else:
        for a, b in lines:
            for part in shapely.get_parts(LineString([a, b]).difference(gaps)):
                if part.length > 0.2:
                    sheet.paper.line(part.coords, 1.1, sheet.layer("A-WALL"))
    for p, half, _ in holes:
        c = sheet.to(p)
        if masked:
            disc = Arc(c, half * sheet.k).chords(32)[:-1]
            sheet.paper.add(Poly(disc, None, True, (1, 1, 1), layer=sheet.layer("A-WALL-IDEN")))
        sheet.paper.add(Arc(c, half * sheet.k * 0.95, pen=Pen(0.35), layer=sheet.layer("A-WALL-IDEN")))
        size = min(6.0, 1.2 * half * sheet.k)
        sheet.paper.add(Note(c, r.choice("ABCDE"), size, layer=sheet.layer("A-WALL-IDEN")))


def remodel(sheet: Sheet, new: str, old: str) -> None:
    """New walls drawn otherwise than those that stay: about half of the inner walls are new.

    ``new`` and ``old``: a pen's width in points, ``fill``, or both (``1.1 fill``).
    """
    plan = sheet.site.plan
    slots = shapely.union_all([o.slot for o in plan.openings])
    fresh = [line for k, line in enumerate(sorted(plan.inner, key=lambda x: x.wkt)) if k % 2]
    whole = plan.open_walls(OPEN)
    ring = plan.outline.exterior.buffer(plan.ext / 2, cap_style="flat", join_style="mitre")
    added = shapely.union_all([line.buffer(plan.int_ / 2, cap_style="flat") for line in fresh]).difference(slots)
    added = added.difference(ring).intersection(whole)
    for area, how in ((whole.difference(added.buffer(0.1)), old), (added, new)):
        width = next((float(word) for word in how.split() if word[0].isdigit()), 0.0)
        fill = (0.35,) * 3 if "fill" in how else None
        for part in shapely.get_parts(sheet.shape(area)):
            if part.area < 1:
                continue
            part = part.simplify(0.01)
            holes = tuple(tuple(hole.coords[:-1]) for hole in part.interiors)
            pen = Pen(width) if width else None
            sheet.paper.add(Poly(tuple(part.exterior.coords[:-1]), pen, True, fill, holes, sheet.layer("A-WALL")))


def two_pens(sheet: Sheet, outer: float, inner: float) -> None:
    """Outer walls with a heavier pen than inner ones."""
    shell = shapely.union_all(list(_edges_of(sheet, _shell(sheet))))
    for a, b in _outlines(sheet):
        on_shell = LineString([a, b]).difference(shell.buffer(0.05)).length < 0.5
        sheet.paper.line([a, b], outer if on_shell else inner, sheet.layer("A-WALL"))


def _edges_of(sheet: Sheet, area: BaseGeometry) -> Iterator[LineString]:
    for a, b in _edges(sheet.shape(area)):
        yield LineString([a, b])


def footings(sheet: Sheet, one_by_one: bool) -> None:
    """Dashed edges of the footing 6 in off both faces of the outer walls, in the pen of the walls."""
    plan = sheet.site.plan
    for off in (plan.ext / 2 + 6, -plan.ext / 2 - 6):
        ring = list(sheet.shape(plan.outline.buffer(off, join_style="mitre")).exterior.coords)
        if not one_by_one:
            sheet.paper.line(ring, 1.1, sheet.layer("S-FNDN"), dash=(6.0, 3.0))
            continue
        line = LineString(ring)
        for k in range(int(line.length / 9)):
            part = shapely.ops.substring(line, 9 * k, 9 * k + 6)
            sheet.paper.line(part.coords, 1.1, sheet.layer("S-FNDN"))


def railing(sheet: Sheet) -> None:
    """A porch has a railing of two lines 3 in apart, with posts, in the pen of the walls."""
    porch = sheet.site.plan.porch
    if porch is None:
        return
    for off in (-1.0, -4.0):
        ring = sheet.shape(porch.buffer(off, join_style="mitre")).exterior.coords
        sheet.paper.line(ring, 1.1, sheet.layer("A-FLOR-HRAL"))
    for p in porch.exterior.coords[:-1]:
        a, b = sheet.to((p[0] - 3, p[1] - 3)), sheet.to((p[0] + 3, p[1] + 3))
        sheet.paper.box(*a, *b, 1.1, sheet.layer("A-COLS"))


def stairs(sheet: Sheet) -> None:
    """A flight of stairs along a wall of the largest room, with a cut line and an arrow."""
    room = max((r for r in sheet.site.plan.rooms if r.kind in ("living", "garage")), key=lambda r: r.face.area)
    x0, y0, x1, y1 = room.face.bounds
    layer, taken = sheet.layer("A-FLOR-STRS"), [f.body for f in sheet.site.fixtures]
    taken += [s for _, s in sheet.site.loose] + [o.swing for o in sheet.site.plan.openings] + sheet.site.counters
    for x, y in ((x0, y0), (x1 - 110, y0), (x0, y1 - 38), (x1 - 110, y1 - 38)):
        flight = shapely.box(x, y, x + 110, y + 38)
        if room.face.buffer(1).covers(flight) and not flight.intersects(shapely.union_all(taken)):
            for k in range(12):
                sheet.paper.line([sheet.to((x + 10 * k, y)), sheet.to((x + 10 * k, y + 38))], 0.35, layer)
            for s in (0, 38):
                sheet.paper.line([sheet.to((x, y + s)), sheet.to((x + 110, y + s))], 0.35, layer)
            sheet.paper.line([sheet.to((x + 4, y + 19)), sheet.to((x + 100, y + 19))], 0.35, layer)
            return


def low_walls(sheet: Sheet) -> None:
    """Nothing but furniture: a half wall of two thin lines stands free in the largest room."""
    room = max((r for r in sheet.site.plan.rooms if r.kind == "living"), key=lambda r: r.face.area)
    x0, y0, x1, y1 = room.area.bounds
    a, b = (x0 + x1) / 2 - 30, (y0 + y1) / 2
    for s in (0, 4.5):
        sheet.paper.line([sheet.to((a, b + s)), sheet.to((a + 60, b + s))], 0.35, sheet.layer("A-WALL-PRHT"))


def bay(plan: Plan) -> None:
    """A bay with sides at 45 degrees on the longest outer wall of a living room or bedroom, where it has place."""
    ring = list(plan.outline.exterior.coords)[:-1]
    sides = sorted(range(len(ring)), key=lambda k: -math.dist(ring[k - 1], ring[k]))
    for k in sides:
        a, b = ring[k - 1], ring[k]
        n = math.dist(a, b)
        u = ((b[0] - a[0]) / n, (b[1] - a[1]) / n)
        out = (u[1], -u[0])
        if plan.outline.contains(shapely.Point((a[0] + b[0]) / 2 + out[0], (a[1] + b[1]) / 2 + out[1])):
            out = (-out[0], -out[1])
        for room in plan.rooms:
            s = (room.seed[0] - a[0]) * u[0] + (room.seed[1] - a[1]) * u[1]
            away = abs((room.seed[0] - a[0]) * out[0] + (room.seed[1] - a[1]) * out[1])
            foot = (a[0] + u[0] * s, a[1] + u[1] * s)
            clear = min((line.distance(shapely.Point(foot)) for line in plan.inner), default=999.0)
            if room.kind not in ("living", "bedroom", "dining") or not 60 < s < n - 60 or away > 140 or clear < 56:
                continue
            if plan.porch is not None and plan.porch.distance(shapely.Point(foot)) < 80:
                continue
            shape = ((-48, 0), (-24, 24), (24, 24), (48, 0))
            new = [(foot[0] + u[0] * x + out[0] * y, foot[1] + u[1] * x + out[1] * y) for x, y in shape]
            plan.outline = Polygon([*ring[:k], *new, *ring[k:]])
            return

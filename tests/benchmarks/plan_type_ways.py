"""Ways in which a plan of ``plan_types.py`` is drawn: walls, doors, and what looks like walls and is none."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from random import Random

import shapely
from house_hard import WALLS as HARD_WALLS
from house_hard import _door, _outlines
from house_ink import Arc, Pen, Poly
from house_offices import other_door
from house_other_walls import hatch_only, pieces, remodel, two_pens, veneer
from house_plan import Opening, Room, edges
from house_sheet import Sheet, draw_building, draw_opening, draw_walls
from shapely.geometry import LineString

Walls = Callable[[Sheet], None]


def _lines(sheet: Sheet) -> list[tuple[LineString, float]]:
    """Middle lines of the walls less the openings, and their thickness."""
    plan = sheet.site.plan
    slots = shapely.union_all([o.slot for o in plan.openings])
    rings = [(LineString(part.exterior.coords), plan.ext) for part in shapely.get_parts(plan.outline)]
    out = []
    for line, thick in [*rings, *((s, plan.int_) for s in plan.inner)]:
        cut = line.difference(slots)
        merged = shapely.line_merge(cut) if cut.geom_type == "MultiLineString" else cut
        out += [(part, thick) for part in shapely.get_parts(merged)]
    return out


def thick_strokes(sheet: Sheet, loose: bool) -> None:
    """One stroke as wide as the wall; ``loose``: straight pieces whose corners stay open."""
    for line, thick in _lines(sheet):
        runs = [LineString(p) for p in itertools.pairwise(line.coords)] if loose else [line]
        for run in runs:
            points = tuple(sheet.to(p) for p in run.coords)
            sheet.paper.add(Poly(points, Pen(thick * sheet.k), layer=sheet.layer("A-WALL")))


def centre(sheet: Sheet, width: float) -> None:
    for line, _ in _lines(sheet):
        points = tuple(sheet.to(p) for p in line.coords)
        sheet.paper.add(Poly(points, Pen(width), layer=sheet.layer("A-WALL")))


def one_odd(sheet: Sheet, width: float, faces: bool = False) -> None:
    """Heavy walls, but one inner wall is a single line, or (``faces``) two, of a thin pen."""
    plan, r = sheet.site.plan, Random(sheet.style.seed)
    chosen = r.choice([line for line in plan.inner if line.length > 60] or plan.inner)
    body = chosen.buffer(plan.int_ / 2 + 0.3, cap_style="flat")
    rest = [line for line in plan.inner if line is not chosen]
    others = shapely.union_all([line.buffer(plan.int_ / 2 + 0.1, cap_style="square") for line in rest])
    shell = plan.outline.boundary.buffer(plan.ext / 2 + 0.1, join_style="mitre")
    gone = sheet.shape(body.difference(shapely.union_all([others, shell])))
    for a, b in _outlines(sheet):
        for part in shapely.get_parts(LineString([a, b]).difference(gone)):
            if part.length > 0.2:
                sheet.paper.line(part.coords, 1.1, sheet.layer("A-WALL"))
    slots = shapely.union_all([o.slot for o in plan.openings])
    lines = [chosen.parallel_offset(plan.int_ / 2, side) for side in ("left", "right")] if faces else [chosen]
    for part in shapely.get_parts(shapely.union_all(lines).difference(slots)):
        sheet.paper.line([sheet.to(p) for p in part.coords], width, sheet.layer("A-WALL"))


WAYS: dict[str, tuple[str, Walls | None]] = {
    "heavy": ("heavy", None),
    "thin": ("thin", None),
    "poche": ("poche", None),
    "poche edge": ("poche edge", None),
    "hatched": ("hatched", None),
    "grey": ("grey", None),
    "thick": ("single", partial(thick_strokes, loose=False)),
    "thick loose": ("single", partial(thick_strokes, loose=True)),
    "centre": ("heavy", partial(centre, width=1.4)),
    "centre thick": ("heavy", partial(centre, width=2.8)),
    "one odd": ("heavy", partial(one_odd, width=0.35)),
    "one odd heavy": ("heavy", partial(one_odd, width=1.1)),
    "one odd double": ("heavy", partial(one_odd, width=0.25, faces=True)),
    "loose": ("heavy", HARD_WALLS["loose"]),
    "unjoined": ("heavy", HARD_WALLS["unjoined"]),
    "overshoot": ("heavy", HARD_WALLS["overshoot"]),
    "no jambs": ("heavy", HARD_WALLS["no jambs"]),
    "through": ("heavy", HARD_WALLS["through"]),
    "hatch only": ("heavy", partial(hatch_only, step=2.5)),
    "hatch crossed": ("heavy", partial(hatch_only, step=2.0, crossed=True)),
    "pieces": ("heavy", partial(pieces, filled=False)),
    "pieces filled": ("heavy", partial(pieces, filled=True)),
    "remodel fill": ("heavy", partial(remodel, new="fill", old="0.8")),
    "remodel heavy": ("heavy", partial(remodel, new="1.4", old="0.5")),
    "remodel old fill": ("heavy", partial(remodel, new="0.8", old="fill")),
    "two pens": ("heavy", partial(two_pens, outer=1.4, inner=0.7)),
    "veneer": ("heavy", partial(veneer, width=1.1)),
}
HARD = (
    "one odd",
    "one odd heavy",
    "one odd double",
    "thick loose",
    "centre",
    "hatch only",
    "no jambs",
    "unjoined",
    "thick",
)
ONE_OUTLINE = ("pieces", "pieces filled", "remodel fill", "remodel heavy", "remodel old fill", "two pens", "veneer")
DOORS = ("style", "style", "style", "30", "45", "no arc", "no leaf", "dashed", "straight", "folding", "closed",
         "pie", "barn", "frames", "threshold")  # fmt: skip
EXTRAS = ("columns", "stairs", "half wall", "wall pen counters", "demolition", "shower glass", "beam", "rug")


@dataclass(frozen=True)
class Drawn:
    """How one plan is drawn."""

    walls: str
    doors: str
    extras: tuple[str, ...]
    one_pen: bool


def choose(r: Random, several: bool) -> Drawn:
    names = [name for name in WAYS if not (several and name in ONE_OUTLINE)]
    extras = tuple(extra for extra in EXTRAS if r.random() < 0.2)
    hard = [name for name in names if name in HARD]
    return Drawn(r.choice(hard if r.random() < 0.4 else names), r.choice(DOORS), extras, r.random() < 0.2)


def build(sheet: Sheet, drawn: Drawn) -> None:
    walls = WAYS[drawn.walls][1] or draw_walls
    draw_building(sheet, walls, _opening(drawn.doors))
    for extra in drawn.extras:
        MORE[extra](sheet)


def _opening(how: str) -> Callable[[Sheet, Opening], None]:
    if how == "style":
        return draw_opening
    if how in ("closed", "pie", "barn", "frames", "threshold"):
        return partial(other_door, how=how)
    return partial(_door, how=how)


# ------------------------------------------------------------------------------------ what is no wall


def _blocked(sheet: Sheet) -> shapely.Geometry:
    site = sheet.site
    return shapely.union_all([*site.blocked(), *(s for _, s in site.loose)])


def _roomy(sheet: Sheet) -> list[Room]:
    return sorted((r for r in sheet.site.plan.rooms if r.kind in ("living", "garage", "basement", "dining")),
                  key=lambda r: -r.area.area)  # fmt: skip


def columns(sheet: Sheet) -> None:
    taken = _blocked(sheet)
    for n, room in enumerate(_roomy(sheet)[:2]):
        x0, y0, x1, y1 = room.area.bounds
        for fx, fy in ((0.35, 0.4), (0.65, 0.4)):
            p = shapely.Point(x0 + fx * (x1 - x0), y0 + fy * (y1 - y0))
            if not room.area.buffer(-24).contains(p) or taken.distance(p) < 10:
                continue
            if n:
                sheet.paper.add(Arc(sheet.to((p.x, p.y)), 5 * sheet.k, pen=Pen(1.1), layer=sheet.layer("A-COLS")))
            else:
                a, b = sheet.to((p.x - 5, p.y - 5)), sheet.to((p.x + 5, p.y + 5))
                sheet.paper.box(*a, *b, 1.1, sheet.layer("A-COLS"))


def stairs(sheet: Sheet) -> None:
    taken = _blocked(sheet)
    for room in _roomy(sheet):
        for a, b, n in edges(room.area):
            length = math.dist(a, b)
            if length < 130:
                continue
            u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)

            def at(s: float, t: float, a: tuple[float, float] = a, u: tuple[float, float] = u,
                   n: tuple[float, float] = n) -> tuple[float, float]:  # fmt: skip
                return (a[0] + u[0] * s + n[0] * t, a[1] + u[1] * s + n[1] * t)

            flight = shapely.Polygon([at(8, 0.5), at(118, 0.5), at(118, 38), at(8, 38)])
            if flight.intersects(taken) or not room.area.buffer(1).covers(flight):
                continue
            for k in range(12):
                sheet.paper.line([sheet.to(at(8 + 10 * k, 0)), sheet.to(at(8 + 10 * k, 38))], 0.35,
                                 sheet.layer("A-STRS"))  # fmt: skip
            sheet.paper.line([sheet.to(at(8, 38)), sheet.to(at(118, 38))], 0.35, sheet.layer("A-STRS"))
            sheet.site.loose.append(("stairs", flight))
            return


def half_wall(sheet: Sheet) -> None:
    """A low wall in the pen of the walls, from a wall a third of the way into the largest room."""
    taken = _blocked(sheet)
    for room in _roomy(sheet):
        for a, b, n in edges(room.area):
            length = math.dist(a, b)
            u = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
            deep = 0.3 * math.sqrt(room.area.area)
            for share in (0.5, 0.3, 0.7):
                foot = (a[0] + u[0] * length * share, a[1] + u[1] * length * share)
                end = (foot[0] + n[0] * deep, foot[1] + n[1] * deep)
                body = LineString([foot, end]).buffer(2.25, cap_style="flat")
                wall = shapely.Point(foot[0] - n[0], foot[1] - n[1])
                if body.buffer(20).intersects(taken) or not sheet.site.plan.walls.contains(wall):
                    continue
                ring = sheet.shape(body).exterior.coords[:-1]
                sheet.paper.line(ring, 1.1, sheet.layer("A-WALL-PRHT"), closed=True)
                return


def counters_in_wall_pen(sheet: Sheet) -> None:
    for counter in sheet.site.counters:
        sheet.paper.line(sheet.shape(counter).exterior.coords[:-1], 1.1, sheet.layer("A-FLOR-CASE"), closed=True)


def demolition(sheet: Sheet) -> None:
    """Walls that come down: dashed pairs of lines across rooms."""
    for room in _roomy(sheet)[:2]:
        x0, y0, x1, y1 = room.area.bounds
        x = x0 + 0.6 * (x1 - x0)
        for off in (0.0, 4.5):
            part = LineString([(x + off, y0 - 5), (x + off, y1 + 5)]).intersection(room.area)
            for run in shapely.get_parts(part):
                if run.geom_type == "LineString" and run.length > 12:
                    sheet.paper.line(
                        [sheet.to(p) for p in run.coords], 0.7, sheet.layer("A-WALL-DEMO"), dash=(6.0, 3.0)
                    )


def shower_glass(sheet: Sheet) -> None:
    """A screen of one line, across a bath from wall to wall or nearly, 32 in off a wall."""
    for room in sheet.site.plan.rooms:
        if room.kind != "bathroom" or room.area.area < 40 * 144:
            continue
        a, b, n = max(edges(room.area), key=lambda e: -math.dist(e[0], e[1]))
        off = 32.0
        p, q = ((c[0] + n[0] * off, c[1] + n[1] * off) for c in (a, b))
        end = (p[0] + (q[0] - p[0]) * 0.65, p[1] + (q[1] - p[1]) * 0.65)
        sheet.paper.line([sheet.to(p), sheet.to(end)], 0.9, sheet.layer("A-GLAZ"))


def beam(sheet: Sheet) -> None:
    """A dropped beam: two dashed lines right across the largest room."""
    for room in _roomy(sheet)[:1]:
        x0, y0, x1, y1 = room.face.bounds
        y = y0 + 0.45 * (y1 - y0)
        for off in (0.0, 5.5):
            for run in shapely.get_parts(LineString([(x0, y + off), (x1, y + off)]).intersection(room.face)):
                if run.geom_type == "LineString":
                    sheet.paper.line(
                        [sheet.to(c) for c in run.coords], 0.35, sheet.layer("A-BEAM"), dash=(8.0, 4.0)
                    )


def rug(sheet: Sheet) -> None:
    """The edge of another floor, around the largest room 18 in off the walls."""
    for room in _roomy(sheet)[:1]:
        ring = room.area.buffer(-18, join_style="mitre")
        for part in shapely.get_parts(ring):
            sheet.paper.line(sheet.shape(part).exterior.coords[:-1], 0.35, sheet.layer("A-FLOR"), closed=True)


MORE: dict[str, Walls] = {
    "columns": columns, "stairs": stairs, "half wall": half_wall, "wall pen counters": counters_in_wall_pen,
    "demolition": demolition, "shower glass": shower_glass, "beam": beam, "rug": rug,
}  # fmt: skip

__all__ = ["EXTRAS", "WAYS", "Drawn", "build", "choose"]

"""Symbol designs of invented offices, as shapes of the mapping file: inches, wall above (wall_side [0, -1])."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from random import Random
from typing import Any

import shapely
from house_ink import Arc, Item, Note, Pen, Poly, Pt
from shapely.geometry.base import BaseGeometry

Shape = list[dict[str, Any]]


@dataclass(frozen=True)
class Design:
    name: str
    kind: str
    shape: Shape
    real: bool = False
    wall: bool = True
    to_wall: float = 0.0  # inches from origin to the wall, in the design's own measure
    edge: str | None = None
    facts: dict[str, Any] = field(default_factory=dict)
    mapped: bool = True
    measured: BaseGeometry | None = None  # outline that distances run to, design inches
    body: tuple[float, float, float, float] = (0, 0, 0, 0)
    dashed: bool = False

    def entry(self, scales: tuple[float, float] | None = None) -> dict[str, Any]:
        out: dict[str, Any] = {"name": self.name, "kind": self.kind, **self.facts}
        out["shape"] = self.shape
        if self.real:
            out["size"] = "real"
        elif scales:
            out["scales"] = list(scales)
        if self.edge:
            out["edge"] = self.edge
        if self.wall:
            out["wall_side"] = [0, -1]
        return out


def circle(r: float, x: float = 0, y: float = 0) -> dict[str, Any]:
    return {"circle": {"center": [x, y], "radius": r}}


def line(x0: float, y0: float, x1: float, y1: float) -> dict[str, Any]:
    return {"line": {"from": [x0, y0], "to": [x1, y1]}}


def ring(*points: Pt, closed: bool = True, filled: bool = False) -> dict[str, Any]:
    pts = [[round(x, 4), round(y, 4)] for x, y in points]
    return {"polyline": {"points": pts, "closed": closed, "filled": filled}}


def rect(x0: float, y0: float, x1: float, y1: float) -> dict[str, Any]:
    return ring((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def oval(rx: float, ry: float, x: float = 0, y: float = 0, count: int = 20) -> dict[str, Any]:
    return ring(
        *(
            (x + rx * math.cos(2 * math.pi * k / count), y + ry * math.sin(2 * math.pi * k / count))
            for k in range(count)
        )
    )


def soft(x0: float, y0: float, x1: float, y1: float, c: float) -> dict[str, Any]:
    """A rectangle with cut corners."""
    return ring(
        (x0 + c, y0),
        (x1 - c, y0),
        (x1, y0 + c),
        (x1, y1 - c),
        (x1 - c, y1),
        (x0 + c, y1),
        (x0, y1 - c),
        (x0, y0 + c),
    )


def text(value: str, x: float = 0, y: float = 0) -> dict[str, Any]:
    return {"text": {"value": value, "at": [x, y]}}


def poly_of(mark: dict[str, Any]) -> BaseGeometry:
    if "circle" in mark:
        c = mark["circle"]
        return shapely.Point(c["center"]).buffer(c["radius"], quad_segs=32)
    return shapely.Polygon(mark["polyline"]["points"])


# ------------------------------------------------------------------------------------------------ devices


def device_family(name: str, r: Random) -> dict[str, Design]:
    """duplex, gfci, quad, heavy (240 V) and floor receptacle of one office."""
    k = r.uniform(0.9, 1.15)
    make = {"through": _through, "stems": _stems, "half": _half, "letters": _letters}[name]
    return make(lambda v: round(v * k, 4))


def _through(s: Any) -> dict[str, Design]:
    """Circle with two lines through it along the wall, and a stem."""
    rad, out, tip = s(0.066), s(0.1), s(0.125)
    base = [circle(rad), line(-out, -s(0.022), out, -s(0.022)), line(-out, s(0.022), out, s(0.022))]
    stem = line(0, -rad, 0, -tip)
    return {
        "duplex": Design("convenience receptacle", "receptacle", [*base, stem], to_wall=tip),
        "gfci": Design(
            "receptacle with ground fault device",
            "receptacle",
            [*base, stem, line(-s(0.03), s(0.095), s(0.03), s(0.095))],
            to_wall=tip,
            facts={"protection": "device"},
        ),
        "quad": Design(
            "double duplex",
            "receptacle",
            [*base, stem, line(-s(0.022), -rad, -s(0.022), s(0.1)), line(s(0.022), -rad, s(0.022), s(0.1))],
            to_wall=tip,
        ),
        "heavy": Design(
            "240 volt receptacle",
            "receptacle",
            [*base, line(-out, 0, out, 0), stem],
            to_wall=tip,
            facts={"volts": 240},
        ),
        "floor": Design("floor box", "receptacle", [*base, rect(-out, -out, out, out)], wall=False),
    }


def _stems(s: Any) -> dict[str, Design]:
    """Circle off the wall, joined to it by two stems."""
    rad, x, tip = s(0.062), s(0.028), s(0.14)
    y = -round(math.sqrt(rad * rad - x * x), 4)
    base = [circle(rad), line(-x, y, -x, -tip), line(x, y, x, -tip)]
    return {
        "duplex": Design("DUPLEX RECEPT.", "receptacle", base, to_wall=tip),
        "gfci": Design(
            "GFI RECEPT.", "receptacle", [*base, text("G")], to_wall=tip, facts={"protection": "device"}
        ),
        "quad": Design(
            "FOURPLEX RECEPT.", "receptacle", [*base, line(-rad, 0, rad, 0), line(0, -rad, 0, rad)], to_wall=tip
        ),
        "heavy": Design(
            "RANGE/DRYER RECEPT.", "receptacle", [*base, line(0, -rad, 0, -tip)], to_wall=tip, facts={"volts": 240}
        ),
        "floor": Design(
            "FLOOR RECEPT.",
            "receptacle",
            [circle(rad), rect(-s(0.085), -s(0.085), s(0.085), s(0.085)), line(-x, y, -x, -y), line(x, y, x, -y)],
            wall=False,
        ),
    }


def _half(s: Any) -> dict[str, Design]:
    """Circle, lower half filled for protected ones, one bar and one stem."""
    rad, tip = s(0.07), s(0.13)
    base = [circle(rad), line(-rad, 0, rad, 0), line(0, -rad, 0, -tip)]
    bowl = ring(
        *((rad * math.cos(math.pi * k / 12), rad * math.sin(math.pi * k / 12)) for k in range(13)), filled=True
    )
    return {
        "duplex": Design("outlet, duplex", "receptacle", base, to_wall=tip),
        "gfci": Design(
            "outlet, GFCI type", "receptacle", [*base, bowl], to_wall=tip, facts={"protection": "device"}
        ),
        "quad": Design("outlet, quadruplex", "receptacle", [*base, circle(s(0.1))], to_wall=tip),
        "heavy": Design(
            "outlet, 240 V",
            "receptacle",
            [*base, ring((0, s(0.07)), (s(0.05), s(0.15)), (-s(0.05), s(0.15)))],
            to_wall=tip,
            facts={"volts": 240},
        ),
        "floor": Design(
            "outlet in floor",
            "receptacle",
            [circle(rad), line(-rad, 0, rad, 0), rect(-rad, -rad, rad, rad)],
            wall=False,
        ),
    }


def _letters(s: Any) -> dict[str, Design]:
    """Circle with ticks to the wall and letters inside for everything special."""
    rad, tip, x = s(0.085), s(0.15), s(0.035)
    y = -round(math.sqrt(rad * rad - x * x), 4)
    base = [circle(rad), line(-x, y, -x, -tip), line(x, y, x, -tip)]
    return {
        "duplex": Design("Receptacle", "receptacle", [*base, line(-x, y, -x, -y), line(x, y, x, -y)], to_wall=tip),
        "gfci": Design(
            "Receptacle GFCI", "receptacle", [*base, text("GF")], to_wall=tip, facts={"protection": "device"}
        ),
        "quad": Design("Receptacle, 4-gang", "receptacle", [*base, text("4")], to_wall=tip),
        "heavy": Design("Receptacle 240 V", "receptacle", [*base, text("R")], to_wall=tip, facts={"volts": 240}),
        "floor": Design("Receptacle in floor", "receptacle", [circle(rad), text("F")], wall=False),
    }


FAMILIES = ("through", "stems", "half", "letters")


def lookalikes(r: Random) -> dict[str, Design]:
    """Lights, switches and the like; some offices leave some of them out of the mapping file."""
    k = r.uniform(0.9, 1.1)
    light = [
        circle(round(0.1 * k, 4)),
        line(-0.071 * k, -0.071 * k, 0.071 * k, 0.071 * k),
        line(-0.071 * k, 0.071 * k, 0.071 * k, -0.071 * k),
    ]
    return {
        "light": Design("ceiling fixture", "light", light, wall=False),
        "can": Design("can light", "light", [circle(round(0.055 * k, 4))], wall=False, mapped=r.random() < 0.7),
        "smoke": Design(
            "smoke alarm", "other", [circle(round(0.09 * k, 4)), text("SD")], wall=False, mapped=r.random() < 0.8
        ),
        "fan": Design(
            "exhaust fan",
            "other",
            [rect(-0.1, -0.1, 0.1, 0.1), line(-0.1, -0.1, 0.1, 0.1), line(-0.1, 0.1, 0.1, -0.1)],
            wall=False,
            mapped=r.random() < 0.8,
        ),
        "panel": Design(
            "panelboard",
            "panel",
            [rect(-0.18, -0.04, 0.18, 0.04), line(-0.18, -0.04, 0.18, 0.04)],
            to_wall=0.04,
            mapped=r.random() < 0.8,
        ),
        "data": Design(
            "data jack",
            "other",
            [ring((0, -0.1), (0.06, 0.02), (-0.06, 0.02))],
            to_wall=0.1,
            mapped=r.random() < 0.8,
        ),
    }


# ----------------------------------------------------------------------------------------------- fixtures


def fixtures(r: Random) -> dict[str, Design]:
    """Plumbing and appliances drawn to scale, in inches of the building; origin in the middle of the body."""

    def one(key: str, kind: str, w: float, d: float, shape: Shape, **more: Any) -> Design:
        return Design(
            more.pop("name", kind), kind, shape, True, True, d / 2, body=(-w / 2, -d / 2, w / 2, d / 2), **more
        )

    out = {}
    if r.random() < 0.5:
        left, right = soft(-15, -8, -1, 9, 2), soft(1, -8, 15, 9, 2)
        shape = [rect(-16.5, -11, 16.5, 11), left, right, circle(1.5, -8, 0), circle(1.5, 8, 0)]
        bowl = shapely.union_all([poly_of(left), poly_of(right)])
        out["sink"] = one("sink", "sink", 33, 22, shape, name="double bowl sink", edge="inner", measured=bowl)
    else:
        inner = soft(-11, -7, 11, 8.5, 2.5)
        shape = [rect(-12.5, -11, 12.5, 11), inner, circle(1.75, 0, 1), line(0, -9.5, 0, -3)]
        out["sink"] = one("sink", "sink", 25, 22, shape, name="sink", edge="inner", measured=poly_of(inner))
    pick = r.randrange(3)
    if pick == 0:
        inner = oval(7, 5, 0, 1)
        shape = [oval(9.5, 8), inner, circle(1, 0, 1)]
        out["lav"] = one("lav", "lavatory", 19, 16, shape, edge="inner", measured=poly_of(inner))
    elif pick == 1:
        inner = circle(6.5, 0, 1)
        shape = [rect(-10, -8.5, 10, 8.5), inner, circle(1, 0, 1), line(0, -8, 0, -4)]
        out["lav"] = one("lav", "lavatory", 20, 17, shape, edge="inner", measured=poly_of(inner))
    else:
        inner = circle(7)
        shape = [circle(8.5), inner, line(-1.5, -8, -1.5, -4), line(1.5, -8, 1.5, -4)]
        out["lav"] = one("lav", "lavatory", 17, 17, shape, edge="inner", measured=poly_of(inner))
    if r.random() < 0.5:
        shape = [rect(-30, -16, 30, 16), soft(-27, -13, 27, 13, 6), circle(1.5, 22, 0)]
    else:
        arc = {"arc": {"center": [-16, 0], "radius": 12, "start": 90, "end": 270}}
        shape = [
            rect(-30, -16, 30, 16),
            arc,
            line(-16, -12, 25, -12),
            line(-16, 12, 25, 12),
            line(25, -12, 25, 12),
            circle(1.5, 20, 0),
        ]
    out["tub"] = one("tub", "bathtub", 60, 32, shape, edge="outer", measured=shapely.box(-30, -16, 30, 16))
    if r.random() < 0.5:
        shape = [rect(-18, -18, 18, 18), line(-18, -18, 18, 18), line(-18, 18, 18, -18), circle(2)]
        out["shower"] = one("shower", "shower", 36, 36, shape, edge="outer", measured=shapely.box(-18, -18, 18, 18))
    else:
        shape = [rect(-21, -18, 21, 18), rect(-19, -16, 19, 16), circle(2.5), line(-19, -16, 19, 16)]
        out["shower"] = one("shower", "shower", 42, 36, shape, edge="outer", measured=shapely.box(-21, -18, 21, 18))
    out["wc"] = one("wc", "water closet", 20, 28, [rect(-10, -14, 10, -6), oval(7, 10, 0, 4)])
    if r.random() < 0.5:
        rings = [circle(3.5, -7, -6), circle(4, 7, -6), circle(4, -7, 7), circle(3.5, 7, 7)]
    else:
        rings = [soft(x - 4, y - 4, x + 4, y + 4, 2) for x in (-7, 7) for y in (-5, 7)]
    out["range"] = one("range", "range", 30, 26, [rect(-15, -13, 15, 13), *rings, line(-15, -11, 15, -11)])
    if r.random() < 0.5:
        out["fridge"] = one("fridge", "refrigerator", 36, 30, [rect(-18, -15, 18, 15), text("REF", 0, 0)])
    else:
        shape = [rect(-17, -15, 17, 15), line(-17, -15, 17, 15), line(-17, 15, 17, -15)]
        out["fridge"] = one("fridge", "refrigerator", 34, 30, shape)
    out["dw"] = one("dw", "dishwasher", 24, 24, [rect(-12, -12, 12, 12), text("DW")], dashed=r.random() < 0.5)
    out["washer"] = one("washer", "washer", 27, 27, [rect(-13.5, -13.5, 13.5, 13.5), circle(9), text("W")])
    out["dryer"] = one("dryer", "dryer", 27, 27, [rect(-13.5, -13.5, 13.5, 13.5), soft(-9, -9, 9, 9, 3), text("D")])
    out["wh"] = Design(
        "water heater", "water heater", [circle(10), text("WH")], True, True, 10, body=(-10, -10, 10, 10)
    )
    return out


# ------------------------------------------------------------------------------------------------ drawing


def draw(
    design: Design, at: Pt, wall: Pt, unit: float, pen: Pen, layer: str, block: int, letter: float, mirror: bool
) -> list[Item]:
    """A design on the page: ``unit`` points an inch of the design, ``wall`` unit direction to its wall."""
    s, c = wall[0], -wall[1]
    m = -1.0 if mirror else 1.0

    def to(p: Pt) -> Pt:
        x, y = p[0] * m, p[1]
        return (at[0] + unit * (x * c - y * s), at[1] + unit * (x * s + y * c))

    turn = math.degrees(math.atan2(s, c))
    pen = Pen(pen.width, pen.colour, (4, 2.5)) if design.dashed else pen
    out: list[Item] = []
    for mark in design.shape:
        ((what, v),) = mark.items()
        if what == "circle":
            out.append(Arc(to(v["center"]), v["radius"] * unit, pen=pen, layer=layer, block=block))
        elif what == "arc":
            a, b = v["start"], v["end"]
            if mirror:
                a, b = 180 - b, 180 - a
            out.append(Arc(to(v["center"]), v["radius"] * unit, a - turn, b - turn, pen, layer, block))
        elif what == "line":
            out.append(Poly((to(v["from"]), to(v["to"])), pen, layer=layer, block=block))
        elif what == "polyline":
            pts = tuple(to(tuple(p)) for p in v["points"])
            fill = pen.colour if v["filled"] else None
            out.append(Poly(pts, pen, v["closed"], fill, layer=layer, block=block))
        else:
            out.append(Note(to(tuple(v["at"])), v["value"], letter, 0, layer, block))
    return out

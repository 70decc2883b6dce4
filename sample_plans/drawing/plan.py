"""A floor as a plan: walls, openings, fixtures, furniture, devices, tags, dimensions."""

from __future__ import annotations

import math

from shapely.affinity import affine_transform
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from .building import Building, Placed
from .dimensions import draw_dims
from .frame import Frame
from .furniture import draw_piece
from .house import XY, House, View
from .lettering import Letterer
from .marks import Arc, Pen, Picture, Text
from .openings import draw_opening
from .symbols import DEVICE_PEN, Symbols

WALL = Pen(1.7)
POCHE = 0.62  # grey of filled walls
COUNTER = Pen(0.5)
FIXTURE = Pen(0.45)
SLAB = Pen(0.6)
CIRCUIT_LINE = Pen(0.4)
LEG = Pen(0.45, 0.0, (4.0, 2.5))
TAG = Pen(0.5)
DEMOLISHED = "E-DEMO"  # layer that is off when the file is opened
HATCH = Pen(0.2, 0.45)
HATCH_STEP = 6.0  # pt
UNDER_COUNTER = Pen(0.45, 0.0, (4.0, 2.5))


def frame_of(view: View) -> Frame:
    return Frame(view.origin, view.ratio)


def centre(placed: Placed, frame: Frame, symbols: Symbols) -> XY:
    """Middle of a device's symbol on the sheet, pt."""
    x, y = frame.at(placed.anchor)
    stem = symbols.stem(placed.device.symbol) * 72
    return (x + placed.out[0] * stem, y + placed.out[1] * stem)


def draw_view(picture: Picture, house: House, view: View, symbols: Symbols) -> None:
    """Everything of a view but its title."""
    floor, frame = view.floor, frame_of(view)
    building = Building(floor)
    layers = house.writer == "layered"

    def layer(name: str) -> None:
        picture.layer = name if layers else ""

    layer("A-FLOR")
    for area in house.hatch if view is house.views[0] else ():
        _hatch(picture, frame, Polygon(area))
    for slab in floor.slabs:
        picture.path([frame.at(p) for p in slab], SLAB, closed=True)
    layer("A-WALL")
    _walls(picture, frame, building.walls, POCHE if house.poche else None)
    layer("A-DOOR")
    for opening in floor.openings:
        draw_opening(picture, frame, opening, building.thickness(opening))
    layer("A-FURN")
    for counter in floor.counters:
        picture.path([frame.at(p) for p in counter], COUNTER)
    for piece in floor.pieces:
        draw_piece(picture, frame, piece)
    layer("P-FIXT")
    for f in floor.fixtures:
        symbols.draw(picture, f.symbol, frame.at(f.at), f.turn, frame.per_foot / 12, fixture_pen(f.symbol))
    layer("E-POWR")
    placed = [building.place(d) for d in floor.devices]
    for p in placed:
        symbols.draw(picture, p.device.symbol, centre(p, frame, symbols), p.turn, 72.0, DEVICE_PEN)
    for a, b, bulge in floor.legs:
        bow(picture, frame.at(a), frame.at(b), bulge, LEG)
    layer("A-ANNO")
    for room in floor.rooms:
        _tag(picture, frame.at(room.tag), room.name, room.number)
    for dims in floor.dims:
        draw_dims(picture, frame, dims, house.metric)
    layer("E-POWR")
    for a, b, text in floor.homeruns:
        _homerun(picture, frame.at(a), frame.at(b), text)
    k, (x0, y0) = frame.per_foot, view.origin
    letterer = Letterer(picture, affine_transform(building.full_walls, [k, 0, 0, k, x0, y0]))
    for p in placed:
        lines = tuple(x for x in (p.device.circuit, *p.device.labels) if x)
        if lines:
            reach = symbols.reach(p.device.symbol) * 72
            letterer.place(lines, centre(p, frame, symbols), reach, p.out)
    layer("")
    _demolished(picture, building, frame, symbols)


def fixture_pen(symbol: str) -> Pen:
    """What lies under a counter is dashed."""
    return UNDER_COUNTER if symbol == "dishwasher" else FIXTURE


def _walls(picture: Picture, frame: Frame, walls: BaseGeometry, fill: float | None) -> None:
    for part in getattr(walls, "geoms", [walls]):
        if fill is not None:
            for piece in _simple_pieces(part):
                picture.path([frame.at((x, y)) for x, y in piece], Pen(0.1, fill), closed=True, fill=fill)
        for ring in (part.exterior, *part.interiors):
            picture.path([frame.at((x, y)) for x, y in list(ring.coords)[:-1]], WALL, closed=True)


def _simple_pieces(part: Polygon) -> list[list[XY]]:
    """A polygon with holes as outlines without holes (each hole joined to the outside by a slit)."""
    if not part.interiors:
        return [list(part.exterior.coords)[:-1]]
    hole = part.interiors[0]
    x = hole.centroid.x
    _x0, y0, _x1, y1 = part.bounds
    cut = LineString([(x, y0 - 1), (x, y1 + 1)]).buffer(1e-6, cap_style="flat")
    pieces = part.difference(cut)
    return [ring for p in getattr(pieces, "geoms", [pieces]) for ring in _simple_pieces(p)]


def _demolished(picture: Picture, building: Building, frame: Frame, symbols: Symbols) -> None:
    pen = Pen(0.85, layer=DEMOLISHED)
    for device in building.floor.demolished:
        p = building.place(device)
        symbols.draw(picture, device.symbol, centre(p, frame, symbols), p.turn, 72.0, pen)


def _tag(picture: Picture, at: XY, name: str, number: str) -> None:
    picture.text(Text(at, name, 9.5, bold=True), TAG)
    if number:
        box = (at[0] - 13, at[1] + 8, at[0] + 13, at[1] + 20)
        picture.rect(box, Pen(0.4))
        picture.text(Text((at[0], at[1] + 14), number, 7.5), TAG)


def bow(picture: Picture, a: XY, b: XY, bulge: float, pen: Pen) -> Arc:
    """An arc from a to b whose rise is ``bulge`` times their distance; the sign chooses the side."""
    length = math.dist(a, b)
    rise = abs(bulge) * length
    radius = (length**2 / 4 + rise**2) / (2 * rise)
    d = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    n = (-d[1], d[0]) if bulge > 0 else (d[1], -d[0])
    mid = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    c = (mid[0] - n[0] * (radius - rise), mid[1] - n[1] * (radius - rise))
    t0 = math.degrees(math.atan2(-(a[1] - c[1]), a[0] - c[0]))
    t1 = math.degrees(math.atan2(-(b[1] - c[1]), b[0] - c[0]))
    sweep = (t1 - t0 + 180) % 360 - 180
    arc = Arc(c, radius, t0, sweep) if sweep > 0 else Arc(c, radius, t1, -sweep)
    picture.add(arc, pen)
    return arc


def _homerun(picture: Picture, a: XY, b: XY, text: str) -> None:
    """A curved line that ends in an arrow head; the circuit stands at the head."""
    bow(picture, a, b, 0.12, CIRCUIT_LINE)
    length = math.dist(a, b)
    d = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    n = (-d[1], d[0])
    tail = (b[0] - d[0] * 7, b[1] - d[1] * 7)
    corners = [b, (tail[0] + n[0] * 2.2, tail[1] + n[1] * 2.2), (tail[0] - n[0] * 2.2, tail[1] - n[1] * 2.2)]
    picture.path(corners, CIRCUIT_LINE, closed=True, fill=0.0)
    picture.text(Text((b[0] + d[0] * 14, b[1] + d[1] * 8), text, 7), TAG)


def _hatch(picture: Picture, frame: Frame, area: Polygon) -> None:
    """Lines at 45 degrees, evenly spaced on paper."""
    shape = Polygon([frame.at((x, y)) for x, y in area.exterior.coords])
    x0, y0, x1, y1 = shape.bounds
    step = HATCH_STEP * math.sqrt(2)
    count = int((x1 - x0 + y1 - y0) / step) + 1
    for i in range(count):
        c = x0 + y0 + i * step
        line = LineString([(x0 - 1, c - x0 + 1), (x1 + 1, c - x1 - 1)]).intersection(shape)
        for part in getattr(line, "geoms", [line]):
            if part.geom_type == "LineString" and len(part.coords) == 2:
                (a, b) = part.coords
                picture.line(a, b, HATCH)

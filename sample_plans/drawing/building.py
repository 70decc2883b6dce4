"""The geometry of a floor, in feet: wall solids, rooms, openings, and where devices stand."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from shapely import unary_union
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from .house import EXTERIOR, XY, Device, Floor, Opening, Room

CUT_WIDTH = 0.002  # ft; thickness given to a cut so that it divides a room
SEAM = 0.01  # ft
DOORLIKE = ("door", "cased", "garage", "slider", "bifold")


@dataclass(frozen=True)
class Placed:
    """A device on its wall face: ``anchor`` in feet, ``out`` the unit vector away from the wall."""

    device: Device
    anchor: XY
    out: XY

    @property
    def turn(self) -> float:
        """Degrees counter-clockwise as seen that turn the symbol (wall above) onto this wall."""
        return math.degrees(math.atan2(self.out[0], self.out[1])) % 360


class Building:
    """Derived geometry of a floor."""

    def __init__(self, floor: Floor) -> None:
        self.floor = floor

    @cached_property
    def footprint(self) -> Polygon:
        return Polygon(self.floor.ring)

    @cached_property
    def full_walls(self) -> BaseGeometry:
        """Walls as if they had no openings."""
        band = self.footprint.difference(self.footprint.buffer(-EXTERIOR, join_style="mitre"))
        bars = [LineString([w.a, w.b]).buffer(w.thick / 2, cap_style="square") for w in self.floor.walls]
        return unary_union([band, *bars]).intersection(self.footprint)

    def thickness(self, opening: Opening) -> float:
        """Thickness of the wall that the opening is in."""
        middle = Point((opening.a[0] + opening.b[0]) / 2, (opening.a[1] + opening.b[1]) / 2)
        for wall in self.floor.walls:
            if LineString([wall.a, wall.b]).distance(middle) < 0.02:
                return wall.thick
        return EXTERIOR

    def hole(self, opening: Opening, more: float = 0.0) -> Polygon:
        """The part of the wall that the opening takes away."""
        half = self.thickness(opening) / 2 + more
        return LineString([opening.a, opening.b]).buffer(half, cap_style="flat")

    @cached_property
    def walls(self) -> BaseGeometry:
        """Walls with their openings cut out."""
        holes = [self.hole(o, 0.01) for o in self.floor.openings]
        return self.full_walls.difference(unary_union(holes)) if holes else self.full_walls

    @cached_property
    def rooms(self) -> dict[str, Polygon]:
        """Outline of each room, keyed by name and number."""
        inside = self.footprint.difference(self.full_walls)
        if self.floor.cuts:
            inside = inside.difference(unary_union([LineString(c).buffer(CUT_WIDTH) for c in self.floor.cuts]))
        pieces = list(getattr(inside, "geoms", [inside]))
        found: dict[str, Polygon] = {}
        for room in self.floor.rooms:
            if room.outline:
                shape = Polygon(room.outline).difference(self.footprint)
            else:
                shape = next(p for p in pieces if p.contains(Point(room.tag)))
            found[key(room)] = shape
        return found

    def polygon(self, name: str) -> Polygon:
        """Outline of the room with that key or that name."""
        for room in self.floor.rooms:
            if name in (key(room), room.name):
                return self.rooms[key(room)]
        raise KeyError(name)

    def room(self, name: str) -> Room:
        return next(r for r in self.floor.rooms if name in (key(r), r.name))

    def place(self, device: Device) -> Placed:
        """Set a device on the nearest wall face of its room."""
        if device.facing is not None:
            return Placed(device, device.near, device.facing)
        area = self.polygon(device.room)
        outdoors = bool(self.room(device.room).outline)
        edge = self.footprint.exterior if outdoors else area.exterior
        near = Point(device.near)
        pieces = [LineString(p) for p in pairwise(edge.coords)]
        cuts = [LineString(c) for c in self.floor.cuts]
        pieces = [p for p in pieces if p.length > 0.02 and not any(c.distance(p.centroid) < 0.02 for c in cuts)]
        side = min(pieces, key=near.distance)
        at = side.interpolate(side.project(near))
        (x0, y0), (x1, y1) = side.coords
        n = ((y0 - y1) / side.length, (x1 - x0) / side.length)
        probe = Point(at.x + n[0] * 0.05, at.y + n[1] * 0.05)
        good = not self.footprint.contains(probe) if outdoors else area.contains(probe)
        out = n if good else (-n[0], -n[1])
        return Placed(device, (at.x, at.y), out)

    @cached_property
    def glazing(self) -> BaseGeometry:
        return self._sealed(("window",))

    @cached_property
    def closures(self) -> BaseGeometry:
        """Doors and doorways, closed; a little larger than the hole, so that nothing slips through a seam."""
        return self._sealed(DOORLIKE)

    def _sealed(self, kinds: tuple[str, ...]) -> BaseGeometry:
        return unary_union(
            [self.hole(o).buffer(SEAM, join_style="mitre") for o in self.floor.openings if o.kind in kinds]
        )


def key(room: Room) -> str:
    return f"{room.name} {room.number}".strip()

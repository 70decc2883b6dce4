"""Finding room for lettering: labels go where they cover nothing, as near to their symbol as they can."""

from __future__ import annotations

import math

import numpy as np
from shapely import STRtree, box, prepare
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from .marks import XY, Arc, Box, Line, Path, Pen, Picture, Text

SIZE = 7.0  # label size, pt
LEADING = 7.6  # pt between baselines of a stacked label
CLEAR = 1.2  # pt kept free around lettering
INK = Pen(0.5)
LIGHT_INK = 0.25  # furniture and hatching may lie under a label sooner than the rest
LEADER = Pen(0.3)
FAR = 16.0  # pt between symbol and label from which a leader is drawn


def shapes_of(picture: Picture) -> list[BaseGeometry]:
    """The ink so far, as lines; texts as boxes."""
    found: list[BaseGeometry] = []
    for mark, _pen in picture.marks:
        if isinstance(mark, Line):
            found.append(LineString([mark.a, mark.b]))
        elif isinstance(mark, Arc):
            found.append(LineString(mark.chords(24)))
        elif isinstance(mark, Path):
            solid = mark.fill is not None and mark.fill < 0.95 and len(mark.points) > 3
            ring = [*mark.points, mark.points[0]] if mark.closed else mark.points
            found.append(Polygon(mark.points) if solid else LineString(ring))
        else:
            found.append(box(*mark.box()))
    return found


class Letterer:
    """Places stacked labels; remembers what it has placed."""

    def __init__(self, picture: Picture, walls: BaseGeometry) -> None:
        self.picture = picture
        self.walls = walls  # points on the sheet; no label goes to the other side of a wall
        prepare(walls)
        self.ink = shapes_of(picture)
        self.weight = [LIGHT_INK if pen.grey > 0.2 else 1.0 for _, pen in picture.marks]
        self.tree = STRtree(self.ink)
        self.hard = [i for i, (m, _) in enumerate(picture.marks) if isinstance(m, Text)]
        self.taken: list[Box] = []

    def cost(self, area: Box) -> float:
        """How much a label there would cover: other lettering weighs most, then ink, by its length."""
        padded = (area[0] - CLEAR, area[1] - CLEAR, area[2] + CLEAR, area[3] + CLEAR)
        shape = box(*padded)
        total = 0.0
        for other in self.taken:
            if shape.intersects(box(*other)):
                total += 2000.0
        hard = set(self.hard)
        for i in self.tree.query(shape, predicate="intersects"):
            if int(i) in hard:
                total += 2000.0
            else:
                total += self.weight[i] * (20.0 + self.ink[i].intersection(shape).length * 4)
        if self.walls.intersects(shape):
            total += 1000.0
        return total

    def place(self, lines: tuple[str, ...], at: XY, reach: float, out: XY) -> None:
        """Write the lines near ``at``, clear of a symbol of that ``reach`` (pt); best side first: ``out``."""
        width = max(Text((0, 0), line, SIZE).width for line in lines)
        height = LEADING * (len(lines) - 1) + SIZE * 0.72
        base = math.degrees(math.atan2(-out[1], out[0]))
        best: tuple[float, XY] | None = None
        for ring in (0.0, 3.0, 6.0, 10.0, 15.0, 20.0, 26.0, 34.0, 44.0):
            for step in np.arange(0, 360, 15):
                t = math.radians(base + (step if (step // 15) % 2 else -step))
                d = (math.cos(t), -math.sin(t))
                far = reach + 2.0 + ring
                c = (
                    at[0] + d[0] * (far + abs(d[0]) * width / 2),
                    at[1] + d[1] * (far + abs(d[1]) * height / 2),
                )
                area = (c[0] - width / 2, c[1] - height / 2, c[0] + width / 2, c[1] + height / 2)
                away = 1 - (d[0] * out[0] + d[1] * out[1])
                cost = self.cost(area) + ring * 2.5 + away * 6
                if self.walls.intersects(LineString([(at[0] + out[0], at[1] + out[1]), c])):
                    cost += 4000.0
                if best is None or cost < best[0] - 1e-9:
                    best = (cost, c)
        assert best is not None
        self._write(lines, best[1], width, height)
        self._leader(at, reach, self.taken[-1])

    def _write(self, lines: tuple[str, ...], c: XY, width: float, height: float) -> None:
        top = c[1] - height / 2 + SIZE * 0.36
        for i, line in enumerate(lines):
            self.picture.text(Text((c[0], top + i * LEADING), line, SIZE), INK)
        self.taken.append((c[0] - width / 2, c[1] - height / 2, c[0] + width / 2, c[1] + height / 2))

    def _leader(self, at: XY, reach: float, area: Box) -> None:
        """A thin line from the symbol to a label that had to go far."""
        label = box(*area)
        if label.distance(Point(at)) < reach + FAR:
            return
        near = nearest_points(label.buffer(1.5, join_style="mitre"), Point(at))[0]
        d = math.dist((near.x, near.y), at)
        start = (at[0] + (near.x - at[0]) * reach / d, at[1] + (near.y - at[1]) * reach / d)
        self.picture.line(start, (near.x, near.y), LEADER)

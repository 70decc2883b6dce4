"""Finding room for lettering: labels go where they cover nothing, as near to their symbol as they can."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import STRtree, box, prepare
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from .marks import XY, Arc, Box, Line, Path, Pen, Picture, Text

SIZE = 7.0  # label size, pt
LEADING = 7.6  # pt between baselines of a stacked label
CLEAR = 1.2  # pt kept free around lettering
INK = Pen(0.5)
COVERED = 2000.0  # what covering other lettering costs
LIGHT_INK = 0.25  # furniture and hatching may lie under a label sooner than the rest
LEADER = Pen(0.3)
RINGS = (0.0, 3.0, 6.0, 10.0, 15.0, 20.0, 26.0, 34.0, 44.0)  # pt out from the symbol, tried in turn
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
        self.ink = np.array(shapes_of(picture), dtype=object)
        self.weight = np.array([LIGHT_INK if pen.grey > 0.2 else 1.0 for _, pen in picture.marks])
        self.tree = STRtree(self.ink)
        self.hard = np.array([isinstance(mark, Text) for mark, _ in picture.marks], dtype=bool)
        self.taken: list[Box] = []

    def costs(self, areas: np.ndarray) -> np.ndarray:
        """(n,) how much labels on the (n, 4) areas would cover: other lettering weighs most, then ink by length."""
        padded = areas + np.array([-CLEAR, -CLEAR, CLEAR, CLEAR])
        shapes = shapely.box(*padded.T)
        taken = np.array(self.taken, dtype=float).reshape(-1, 4)
        beside = (padded[:, None, :2] > taken[:, 2:]).any(axis=2) | (padded[:, None, 2:] < taken[:, :2]).any(axis=2)
        which, ink = self.tree.query(shapes, predicate="intersects")
        covered = shapely.length(shapely.intersection(self.ink[ink], shapes[which]))
        each = np.where(self.hard[ink], COVERED, self.weight[ink] * (20.0 + covered * 4))
        return (
            COVERED * (~beside).sum(axis=1)
            + np.bincount(which, each, len(areas))
            + 1000.0 * shapely.intersects(self.walls, shapes)
        )

    def place(self, lines: tuple[str, ...], at: XY, reach: float, out: XY) -> None:
        """Write the lines near ``at``, clear of a symbol of that ``reach`` (pt); best side first: ``out``."""
        width = max(Text((0, 0), line, SIZE).width for line in lines)
        height = LEADING * (len(lines) - 1) + SIZE * 0.72
        base = math.degrees(math.atan2(-out[1], out[0]))
        middles, efforts = [], []
        for ring in RINGS:
            for step in range(0, 360, 15):
                t = math.radians(base + (step if (step // 15) % 2 else -step))
                d = (math.cos(t), -math.sin(t))
                far = reach + 2.0 + ring
                x = at[0] + d[0] * (far + abs(d[0]) * width / 2)
                y = at[1] + d[1] * (far + abs(d[1]) * height / 2)
                middles.append((x, y))
                efforts.append(ring * 2.5 + (1 - (d[0] * out[0] + d[1] * out[1])) * 6)
        c = middles[self._cheapest(np.array(middles), np.array(efforts), (width / 2, height / 2), at, out)]
        self._write(lines, c, width, height)
        self._leader(at, reach, self.taken[-1])

    def _cheapest(self, middles: np.ndarray, efforts: np.ndarray, half: XY, at: XY, out: XY) -> int:
        """The first of the places that costs the least."""
        costs = self.costs(np.hstack([middles - half, middles + half])) + efforts
        start = np.broadcast_to((at[0] + out[0], at[1] + out[1]), middles.shape)
        ways = shapely.linestrings(np.stack([start, middles], axis=1))
        costs += 4000.0 * shapely.intersects(self.walls, ways)
        best = 0
        for k, cost in enumerate(costs.tolist()):
            if cost < costs[best] - 1e-9:
                best = k
        return best

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

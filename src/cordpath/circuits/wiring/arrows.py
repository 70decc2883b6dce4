"""Arrow heads at the ends of lines: filled ones, and ones of two strokes.

Terms: *way*, the direction in which a line leaves at its end.  *Tip*, the point of an arrow head.  *Barb*, one of
the two strokes of an open head, running back from the tip.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath.geometry import lengths
from cordpath.model import WHITE, FloatArray, IntArray, Point, Sheet, Symbol

HEAD_LEAST, HEAD_MOST = 2.5, 18.0  # pt: arrow heads plot at 1/16 to 1/8 in and little more (common practice)
TOUCH = 2.5  # pt between a line's end and its filled head
AHEAD = 14.0  # pt from a line's end to the tip, where the line stops at the head's base
ASIDE = 2.0  # pt of the tip from the line's axis
BARB = (8.0, 60.0)  # degrees of a barb from the line: narrow and open heads
AIM = 40.0  # degrees between the line's way and a filled head: curved lines turn under their head
SAME_TIP = 1.2  # pt between the tips of two barbs
TRIANGLE = (0.4, 0.64)  # area of a head over its bounding rectangle: 1/2 for a triangle


@dataclass(frozen=True, eq=False)
class Heads:
    """What may be an arrow head on a sheet: dark filled triangles (``tip``, ``way``), and short strokes."""

    shapes: shapely.STRtree
    tip: FloatArray  # (f, 2)
    way: FloatArray  # (f, 2) unit vectors towards the tip
    barbs: FloatArray  # (b, 4)
    barb_ends: cKDTree  # of 2b points

    @staticmethod
    def of(sheet: Sheet, xy: FloatArray, devices: Sequence[Symbol]) -> Heads:
        """``xy`` (n, 4): the strokes to take barbs from.  ``devices``: symbols, whose solid parts are no heads of
        the lines that end at them."""
        shapes, tip, way = _filled(sheet)
        own = _own(shapes, devices)
        shapes, tip, way = np.delete(shapes, own), np.delete(tip, own, axis=0), np.delete(way, own, axis=0)
        length = lengths(xy)
        barbs = xy[(length >= HEAD_LEAST) & (length <= HEAD_MOST)]
        return Heads(shapely.STRtree(shapes), tip, way, barbs, cKDTree(barbs.reshape(-1, 2)))

    def at(self, end: Point, way: Point) -> Point | None:
        """The tip of an arrow head that continues a line which ends at ``end`` running along ``way``."""
        return self._closed(end, way) or self._open(end, way)

    def around(self, point: Point, reach: float) -> tuple[FloatArray, FloatArray]:
        """(k, 2) tips of all heads in reach of a point, whatever line they end, and (k, 2) the ways they point."""
        closed = np.flatnonzero(np.hypot(*(self.tip - point).T) <= reach)
        near = np.sort(np.array(self.barb_ends.query_ball_point(point, reach), np.int64))
        ends = self.barbs.reshape(-1, 2)
        i, j = np.triu_indices(len(near), 1)
        one, two = near[i], near[j]
        met = (np.hypot(*(ends[one] - ends[two]).T) <= SAME_TIP) & (one // 2 != two // 2)
        one, two = one[met], two[met]
        back = [ends[k ^ 1] - ends[k] for k in (one, two)]
        back = [each / np.hypot(*each.T)[:, None] for each in back]
        open_ = np.degrees(np.arccos(np.clip((back[0] * back[1]).sum(axis=1), -1, 1)))
        head = (open_ >= 2 * BARB[0]) & (open_ <= 2 * BARB[1])
        way = -(back[0] + back[1])[head]
        tip = ((ends[one] + ends[two]) / 2)[head]
        way = way / np.maximum(np.hypot(*way.T), 1e-9)[:, None]
        return np.concatenate([self.tip[closed], tip]), np.concatenate([self.way[closed], way])

    def _closed(self, end: Point, way: Point) -> Point | None:
        if not len(self.tip):
            return None
        near = self.shapes.query(shapely.Point(end), predicate="dwithin", distance=TOUCH)
        aimed = self.way[near] @ np.asarray(way) >= np.cos(np.radians(AIM))
        tips = self.tip[np.sort(near[aimed])]
        return (float(tips[0, 0]), float(tips[0, 1])) if len(tips) else None

    def _open(self, end: Point, way: Point) -> Point | None:
        near = np.sort(np.array(self.barb_ends.query_ball_point(end, AHEAD + ASIDE), np.int64))
        if len(near) < 2:
            return None
        ends = self.barbs.reshape(-1, 2)
        tip, back = ends[near], ends[near ^ 1] - ends[near]
        away = tip - np.asarray(end)
        along, across = away @ np.asarray(way), away @ np.array([-way[1], way[0]])
        turn = np.degrees(np.arctan2(way[0] * back[:, 1] - way[1] * back[:, 0], -(back @ np.asarray(way))))
        good = (np.abs(across) <= ASIDE) & (along >= -ASIDE) & (along <= AHEAD)
        left, right = tip[good & _between(turn)], tip[good & _between(-turn)]
        if not len(left) or not len(right):
            return None
        gap = np.hypot(*(left[:, None] - right[None]).transpose(2, 0, 1))
        i, j = np.unravel_index(int(gap.argmin()), gap.shape)
        if gap[i, j] > SAME_TIP:
            return None
        middle = (left[i] + right[j]) / 2
        return (float(middle[0]), float(middle[1]))


def _own(shapes: NDArray[np.object_], devices: Sequence[Symbol]) -> IntArray:
    """The triangles that are parts of symbols: they stand in one, and in most of those that are drawn as it is.

    One that the others of its kind lack is the head of a homerun that ends in a symbol by chance.
    """
    outline = shapely.STRtree([device.footprint for device in devices])
    which, at = outline.query(shapely.centroid(shapes), predicate="within")
    names = [device.entry.name for device in devices]
    solid = Counter(names[k] for k in set(at.tolist()))
    most = {name for name, count in Counter(names).items() if 2 * solid[name] > count}
    return np.unique(which[np.array([names[k] in most for k in at.tolist()], bool)])


def _between(turn: FloatArray) -> NDArray[np.bool_]:
    return (turn >= BARB[0]) & (turn <= BARB[1])


def _filled(sheet: Sheet) -> tuple[NDArray[np.object_], FloatArray, FloatArray]:
    """Dark filled triangles of a head's size."""
    fills = sheet.fills
    nothing = np.zeros(0, object), np.zeros((0, 2)), np.zeros((0, 2))
    if not len(fills):
        return nothing
    box = shapely.bounds(fills.shape)
    size = np.hypot(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1])
    fit = (size >= HEAD_LEAST) & (size <= HEAD_MOST) & (fills.luminance < WHITE) & (fills.opacity > 0)
    hull = shapely.convex_hull(fills.shape[fit])
    frame = shapely.area(shapely.oriented_envelope(hull))
    share = shapely.area(hull) / np.maximum(frame, 1e-9)
    hull = hull[(share >= TRIANGLE[0]) & (share <= TRIANGLE[1])]
    if not len(hull):
        return nothing
    middle = np.stack([shapely.get_x(shapely.centroid(hull)), shapely.get_y(shapely.centroid(hull))], axis=1)
    corner, owner = shapely.get_coordinates(shapely.get_exterior_ring(hull), return_index=True)
    away = np.hypot(*(corner - middle[owner]).T)
    order = np.lexsort((-away, owner))
    first = np.concatenate([[True], owner[order][1:] != owner[order][:-1]])
    tip = corner[order[first]]
    way = tip - middle
    return hull, tip, way / np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-9)[:, None]

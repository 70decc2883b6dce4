"""Filled marks: is the paint where the template has it, and nowhere else in its body?

Only fills up to a few times the body count: room, floor and page backgrounds are fills too.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import STRtree

from cordpath.model import WHITE, BoolArray, Fills, FloatArray, IntArray
from cordpath.symbols.normalise import Ink
from cordpath.symbols.pose import SCALE, place
from cordpath.symbols.template import Template

LARGEST = 2.5  # areas of the body; larger fills are backgrounds (measured on plans)
FAINTEST = 0.02  # opacity
PAINTED = 0.8  # share of a filled mark that must be painted
SPILLED = 0.55  # share of the bare body from which it counts as painted
UNEXPECTED = 0.15  # share of the body that a fill of nobody's may cover
BEYOND = 0.25  # share of a piece of paint that may lie outside the body whose mark it fills
LONGER = 1.1  # times the body: longer strokes paint something else
STROKE_GAP = 0.45  # pt; strokes this close paint an area (fills exploded to strokes)


class Paint:
    """The sheet's dark fills that are small enough to be marks of a symbol, each piece by itself."""

    def __init__(self, fills: Fills, largest_body: float) -> None:
        self.shapes = np.zeros(0, object)
        if len(fills):
            dark = (fills.luminance < WHITE) & (fills.opacity > FAINTEST)
            self.shapes = np.asarray(shapely.get_parts(fills.shape[dark]))
            self.shapes = self.shapes[shapely.area(self.shapes) <= LARGEST * largest_body]
        self.area = shapely.area(self.shapes)
        self.tree = STRtree(self.shapes)

    def marks(self, template: Template, pose: FloatArray, ink: Ink) -> float:
        """Least painted share of the template's filled marks; 0 where bare parts of the body are painted too.

        Only paint that ends with the body fills a mark: a solid wall that reaches into a circle does not.
        """
        own = self._own(template, pose)
        reach = template.radius * float(pose[SCALE])
        least = min(
            float(self._painted(place(pose[None], p)[0], ink, own, 2 * LONGER * reach).mean())
            for p in template.fill_points
        )
        bare = template.bare_points
        if len(bare):
            points = place(pose[None], bare)[0]
            spilled = self._painted(points, ink, self.tree.query(shapely.MultiPoint(points).envelope), math.inf)
            if float(spilled.mean()) > SPILLED:
                return 0.0
        return least

    def _own(self, template: Template, pose: FloatArray) -> IntArray:
        """The pieces of paint that lie in the body, but for a little."""
        if not len(self.shapes) or len(template.outline) < 4:
            return np.zeros(0, np.int64)
        body = shapely.Polygon(place(pose[None], template.outline)[0]).buffer(template.clear)
        near = np.asarray(self.tree.query(body), np.int64)
        inside = shapely.area(shapely.intersection(self.shapes[near], body))
        return near[inside >= (1 - BEYOND) * self.area[near]]

    def _painted(self, points: FloatArray, ink: Ink, shapes: IntArray, longest: float) -> BoolArray:
        """(n,) points on one of the shapes, or between strokes of at most ``longest`` pt that paint an area."""
        painted = np.zeros(len(points), bool)
        for k in shapes:
            painted |= shapely.intersects_xy(self.shapes[k], points[:, 0], points[:, 1])
        if painted.all():
            return painted
        centre = points.mean(0)
        _, k = ink.grid.near(centre[None], float(np.hypot(*(points - centre).T).max()) + 0.5)
        k = k[~ink.standin[k] & ~ink.hatch[k] & (ink.run[k] <= longest)]
        if len(k):
            q = ink.xy[k]
            d = q[:, 2:] - q[:, :2]
            a = points[:, None] - q[None, :, :2]
            t = np.clip((a * d).sum(2) / np.maximum(1e-9, (d * d).sum(1)), 0, 1)
            painted |= (((a - d * t[..., None]) ** 2).sum(2) < STROKE_GAP**2).any(1)
        return painted

    def unexpected(self, template: Template, pose: FloatArray) -> float:
        """Share of the body under fills, for a template without filled marks."""
        if not len(self.shapes) or len(template.outline) < 4:
            return 0.0
        body = shapely.Polygon(place(pose[None], template.outline)[0])
        near = self.tree.query(body)
        near = near[self.area[near] <= LARGEST * body.area]
        if not len(near) or body.area <= 0:
            return 0.0
        return float(shapely.area(shapely.intersection(self.shapes[near], body)).sum() / body.area)

"""Filled marks: is the paint where the template has it, and nowhere else in its body?

Only fills up to a few times the body count: room, floor and page backgrounds are fills too.
"""

from __future__ import annotations

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
NOBODYS: IntArray = np.zeros(0, np.int64)
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
        _, strokes = ink.grid.near(place(pose[None], template.centre[None])[0], reach + 0.5)
        strokes = strokes[~ink.standin[strokes] & ~ink.hatch[strokes]]
        short = strokes[ink.run[strokes] <= 2 * LONGER * reach]
        least = min(
            float(self._painted(place(pose[None], p)[0], own, ink.xy[short]).mean()) for p in template.fill_points
        )
        bare = _clear_of_lines(template, float(pose[SCALE]))
        if len(bare):
            points = place(pose[None], bare)[0]
            near = self.tree.query(shapely.MultiPoint(points).envelope)
            if float(self._painted(points, near, ink.xy[short]).mean()) > SPILLED:
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

    def _painted(self, points: FloatArray, shapes: IntArray, strokes: FloatArray) -> BoolArray:
        """(n,) points on one of the shapes, or close to a stroke (k, 4): strokes side by side paint an area."""
        painted = np.zeros(len(points), bool)
        for k in shapes:
            painted |= shapely.intersects_xy(self.shapes[k], points[:, 0], points[:, 1])
        if painted.all() or not len(strokes):
            return painted
        x, y = points[:, :1] - strokes[:, 0], points[:, 1:] - strokes[:, 1]
        dx, dy = strokes[:, 2] - strokes[:, 0], strokes[:, 3] - strokes[:, 1]
        t = np.clip((x * dx + y * dy) / np.maximum(1e-9, dx * dx + dy * dy), 0, 1)
        return np.asarray(painted | (((x - dx * t) ** 2 + (y - dy * t) ** 2) < STROKE_GAP**2).any(1), bool)

    def unexpected(self, template: Template, pose: FloatArray, others: IntArray = NOBODYS) -> float:
        """Share of the body under fills, for a template without filled marks; not under the fills ``others``."""
        if not len(self.shapes) or len(template.outline) < 4:
            return 0.0
        body = shapely.Polygon(place(pose[None], template.outline)[0])
        near = self.tree.query(body)
        near = near[(self.area[near] <= LARGEST * body.area) & ~np.isin(near, others)]
        if not len(near) or body.area <= 0:
            return 0.0
        return float(shapely.area(shapely.intersection(self.shapes[near], body)).sum() / body.area)


def _clear_of_lines(template: Template, scale: float) -> FloatArray:
    """Bare points of the template that its own lines do not paint: in a tiny symbol they paint all of it."""
    bare, lines = template.bare_points, template.points
    if not len(bare) or not len(lines):
        return bare
    gap = np.hypot(*(bare[:, None] - lines[None]).transpose(2, 0, 1)).min(axis=1) * scale
    return bare[gap > STROKE_GAP]

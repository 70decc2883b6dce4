"""Plain geometry that several stages use.

Terms: *similarity*, a map of the plane that keeps shapes: scale, rotation, optional mirror, shift.
*Collinear run*, strokes on one line that touch or overlap, merged to one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.model import BoolArray, Box, FloatArray, Point

OFF_SQUARE_PT = 0.5  # by which the ends of a table's line may differ across it


@dataclass(frozen=True)
class Similarity:
    """``p -> scale * R(angle) * M * p + shift`` in page coordinates (y down), where M mirrors x if asked.

    ``angle`` is counter-clockwise as seen on the page, in degrees.
    """

    scale: float
    angle: float
    mirrored: bool
    shift: Point

    @property
    def matrix(self) -> FloatArray:
        """(2, 2) linear part."""
        c, s = np.cos(np.radians(self.angle)), np.sin(np.radians(self.angle))
        rotate = np.array([[c, s], [-s, c]])  # y down: counter-clockwise as seen
        mirror = np.diag([-1.0, 1.0]) if self.mirrored else np.eye(2)
        return self.scale * rotate @ mirror

    def apply(self, points: FloatArray) -> FloatArray:
        """(n, 2) points to (n, 2) points."""
        return np.asarray(points, float) @ self.matrix.T + np.asarray(self.shift, float)

    def direction(self, vector: Point) -> Point:
        """A direction of the template as a unit vector on the page."""
        turned = self.matrix @ np.asarray(vector, float)
        length = float(np.hypot(*turned)) or 1.0
        return (float(turned[0] / length), float(turned[1] / length))

    def shape(self, geometry: BaseGeometry) -> BaseGeometry:
        return shapely.transform(geometry, self.apply)


def lengths(xy: FloatArray) -> FloatArray:
    """(n,) lengths of (n, 4) segments."""
    return np.hypot(xy[:, 2] - xy[:, 0], xy[:, 3] - xy[:, 1])


def midpoints(xy: FloatArray) -> FloatArray:
    """(n, 2) middles of (n, 4) segments."""
    return (xy[:, :2] + xy[:, 2:]) / 2


def directions(xy: FloatArray) -> FloatArray:
    """(n,) undirected angles of (n, 4) segments in radians, 0 <= angle < pi, in the y-down frame."""
    angle = np.arctan2(xy[:, 3] - xy[:, 1], xy[:, 2] - xy[:, 0]) % np.pi
    return np.where(angle >= np.pi, 0.0, angle)


def segments_in_box(xy: FloatArray, box: Box) -> BoolArray:
    """(n,) True where both ends of a (n, 4) segment lie inside the box."""
    x0, y0, x1, y1 = box
    xs, ys = xy[:, [0, 2]], xy[:, [1, 3]]
    inside = (xs >= x0) & (xs <= x1) & (ys >= y0) & (ys <= y1)
    return np.asarray(inside.all(axis=1), bool)


def in_box(point: Point, box: Box) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]


def rulings(ends: FloatArray, least: float) -> tuple[FloatArray, FloatArray]:
    """Lines of a table among strokes (n, 2, 2): upright ones (k, 3) as x, top, bottom, and level ones (m, 3) as y,
    left, right.  ``least``: pt; shorter strokes are dashes and letters."""
    low, high = ends.min(axis=1), ends.max(axis=1)
    run = high - low
    upright = (run[:, 0] < OFF_SQUARE_PT) & (run[:, 1] >= least)
    level = (run[:, 1] < OFF_SQUARE_PT) & (run[:, 0] >= least)
    return (
        np.stack([low[upright, 0], low[upright, 1], high[upright, 1]], axis=1),
        np.stack([low[level, 1], low[level, 0], high[level, 0]], axis=1),
    )


def lines(xy: FloatArray) -> NDArray[np.object_]:
    """(n,) shapely linestrings of (n, 4) segments."""
    return shapely.linestrings(np.asarray(xy, float).reshape(-1, 2, 2))

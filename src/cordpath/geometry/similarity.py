"""*Similarity*: a map of the plane that keeps shapes: scale, rotation, optional mirror, shift."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import FloatArray, Point


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

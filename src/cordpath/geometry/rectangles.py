"""The smallest rectangle around a shape, however it is turned: its sides and its long middle line."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import FloatArray


def middle_line(shape: BaseGeometry) -> tuple[FloatArray, float]:
    """(2, 2) the long middle line of the smallest rectangle around a shape, and the rectangle's short side.

    Of a straight line the line itself and 0; of a point the point twice; an empty shape has none: (0, 2).
    """
    c = shapely.get_coordinates(shapely.oriented_envelope(shape))
    if len(c) < 4:
        return c[[0, -1]] if len(c) else c, 0.0
    a, b = (float(np.hypot(*(c[k + 1] - c[k]))) for k in (0, 1))
    if a >= b:
        return np.stack([(c[0] + c[3]) / 2, (c[1] + c[2]) / 2]), b
    return np.stack([(c[0] + c[1]) / 2, (c[2] + c[3]) / 2]), a


def sides_around(shape: BaseGeometry) -> tuple[float, float]:
    """The smallest rectangle's long and short side; 0 where a shape has none."""
    line, short = middle_line(shape)
    return (float(np.hypot(*(line[1] - line[0]))) if len(line) else 0.0), short

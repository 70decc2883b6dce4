"""Boxes on the page: what is around, inside, beside each other."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from cordpath.model import Box, FloatArray, Point


def from_the_top(points: Iterable[Iterable[float]]) -> tuple[Point, ...]:
    """The points of a page from top to bottom, and from left to right where they are level."""
    return tuple(sorted(((float(x), float(y)) for x, y in points), key=lambda at: (at[1], at[0])))


def in_box(point: Point, box: Box) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]


def middle_in_box(inner: Box, outer: Box) -> bool:
    return in_box(((inner[0] + inner[2]) / 2, (inner[1] + inner[3]) / 2), outer)


def overlap(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def misaligned(a: Box, b: Box) -> float:
    """How far boxes one over the other are from having one left edge, one right edge or one middle line."""
    left, right = a[0] - b[0], a[2] - b[2]
    return min(abs(left), abs(right), abs(left + right) / 2)


def hull(boxes: Iterable[Box]) -> Box:
    """The smallest box around boxes; raises ValueError where there are none."""
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return (min(x0), min(y0), max(x1), max(y1))


def box_around(points: FloatArray) -> Box:
    """The smallest box around points (n, 2)."""
    (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return (x0, y0, x1, y1)


def grown(box: Box, by: float) -> Box:
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def box_area(box: Box) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])


def box_gap(a: Box, b: Box) -> float:
    """The distance of two boxes; 0 where they touch."""
    return float(np.hypot(max(a[0] - b[2], b[0] - a[2], 0.0), max(a[1] - b[3], b[1] - a[3], 0.0)))

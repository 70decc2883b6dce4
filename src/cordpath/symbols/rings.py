"""Closed outlines of strokes that touch: rings, their sides, and which of them are bowls and rims.

Terms: *ring*, a closed outline of strokes that touch; *bowl*, the ring of a basin; *rim*, a ring close around it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath import geometry
from cordpath.model import FloatArray
from cordpath.symbols.arcs import components
from cordpath.symbols.normalise import nodes

Sides = tuple[float, float]

SOFT = 0.985  # share of its rectangle that a bowl with rounded or cut corners covers at most
HOLLOW = 0.55  # and at least
CORNER = 1.4  # inches: radius of a bowl's corners at least (common practice, no source)
RIM = 18.0  # inches by which the rim may be longer or wider than the bowl (common practice, no source)
GRID = 0.25  # pt: two steps of a plotter's rounding to 1/600 in
SAME = 0.02  # of its size by which a rim may not be told from the bowl


def rings(xy: FloatArray) -> list[BaseGeometry]:
    """Closed outlines of strokes that touch: their faces, and what all faces of a group cover."""
    out: list[BaseGeometry] = []
    for parts in touching_faces(xy):
        whole = shapely.get_parts(shapely.unary_union(parts)) if len(parts) > 1 else []
        out += [shapely.Polygon(part.exterior) for part in (*parts, *whole)]
    return out


def touching_faces(xy: FloatArray) -> Iterator[NDArray[np.object_]]:
    """The faces that strokes (n, 4) enclose, one group after the other; ends that touch are one point."""
    if len(xy) < 3:
        return
    node = nodes(np.r_[xy[:, :2], xy[:, 2:]])
    n, count = len(xy), int(node.max()) + 1
    size = np.maximum(np.bincount(node, minlength=count), 1)
    middle = np.stack([np.bincount(node, np.r_[xy[:, k], xy[:, k + 2]], count) / size for k in (0, 1)], 1)
    lines = shapely.linestrings(np.stack([middle[node[:n]], middle[node[n:]]], 1))
    _, group = components(node[:n], node[n:], count)
    mine = group[node[:n]]
    for number in np.flatnonzero(np.bincount(mine) >= 3):
        yield shapely.get_parts(shapely.polygonize([shapely.unary_union(lines[mine == number])]))


def faces(xy: FloatArray) -> list[BaseGeometry]:
    """The faces that strokes enclose wherever they meet or cross, and what all faces that touch cover.

    Ends that miss a line by less than the grid meet it.
    """
    if not len(xy):
        return []
    parts = shapely.get_parts(shapely.polygonize([shapely.unary_union(geometry.lines(xy), grid_size=GRID)]))
    whole = shapely.get_parts(shapely.unary_union(parts)) if len(parts) > 1 else []
    return [shapely.Polygon(part.exterior) for part in (*parts, *whole)]


def sides_of(ring: BaseGeometry, unit: float) -> Sides:
    """Sides of the smallest rectangle around a ring, inches, longer first."""
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(ring))
    if len(corners) < 4:
        return 0.0, 0.0
    a, b = (float(np.hypot(*(corners[k + 1] - corners[k]))) / unit for k in (0, 1))
    return max(a, b), min(a, b)


def is_rim(bowl: BaseGeometry, sides: tuple[float, float], ring: BaseGeometry, around: tuple[float, float]) -> bool:
    if ring.area < (1 + SAME) * bowl.area or not ring.covers(bowl):
        return False
    return around[0] - sides[0] <= RIM and around[1] - sides[1] <= RIM


def is_rounded(ring: BaseGeometry, inch: float) -> bool:
    """Has it rounded or cut corners of a bowl's size, however large it is; ``inch``: points of one."""
    cut = shapely.minimum_rotated_rectangle(ring).area - ring.area
    hollow = ring.area < HOLLOW * shapely.minimum_rotated_rectangle(ring).area
    return not hollow and cut >= (4 - math.pi) * (CORNER * inch) ** 2


def is_soft(ring: BaseGeometry) -> bool:
    """Has it rounded or cut corners, as a bowl has?"""
    return HOLLOW <= share_of(ring) <= SOFT


def share_of(ring: BaseGeometry) -> float:
    """Of its smallest rectangle that a ring covers."""
    return float(ring.area) / max(1e-9, float(shapely.minimum_rotated_rectangle(ring).area))


def within(sides: Sides, size: tuple[Sides, Sides]) -> bool:
    """Are the longer and the shorter side between least and most of ``size``?"""
    return size[0][0] <= sides[0] <= size[0][1] and size[1][0] <= sides[1] <= size[1][1]

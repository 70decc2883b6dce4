"""Free space as triangles.

Terms: *free space*, what is neither wall nor closed opening.  Its constrained Delaunay triangulation has all its
corners on the boundary, so the length of an edge inside is the local throat, and twice the radius of a triangle's
circumscribed circle the local width (P. Chew, "Constrained Delaunay triangulations", 1989, for the mesh; that
throats are short edges is common practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.model import FloatArray, IntArray

STEP_IN = 9.0  # boundary points at most this far apart; 4 and 18 in do measurably worse
MOST_POINTS = 8000  # along one boundary; a large house needs 4000, a wrong scale would ask for millions


@dataclass(frozen=True, eq=False)
class Mesh:
    triangles: NDArray[np.object_]
    centre: FloatArray  # (t, 2) centroids
    area: FloatArray
    width: FloatArray  # local width, capped at 1.16 x the longest side
    circum: FloatArray  # (t, 2) circumcentres
    radius: FloatArray  # circumradii
    points: FloatArray  # (p, 2)
    edge: IntArray  # (e, 2) points of the inner edges
    left: IntArray  # (e,) the two triangles at an inner edge
    right: IntArray

    @property
    def throat(self) -> FloatArray:
        return np.hypot(*(self.points[self.edge[:, 0]] - self.points[self.edge[:, 1]]).T)

    @property
    def edge_lines(self) -> NDArray[np.object_]:
        return np.asarray(shapely.linestrings(self.points[self.edge]), object)


def _pieces(space: BaseGeometry, inch: float) -> NDArray[np.object_] | None:
    """Triangles, or None where the outline is too tangled for GEOS in every form that is tried."""
    step = max(STEP_IN * inch, space.length / MOST_POINTS)
    forms: tuple[Callable[[], BaseGeometry], ...] = (
        lambda: space,
        lambda: shapely.set_precision(space, 0.02),
        lambda: space.buffer(-0.1 * inch),
        lambda: space.buffer(-0.5 * inch).simplify(0.25 * inch),
    )
    for make in forms:
        try:
            form = make()
            found = shapely.get_parts(shapely.constrained_delaunay_triangles(shapely.segmentize(form, step)))
        except shapely.errors.GEOSException:
            continue
        if len(found) and abs(float(shapely.area(found).sum()) / form.area - 1) < 1e-3:
            return np.asarray(found, object)
    return None


def triangulate(space: BaseGeometry, inch: float) -> Mesh | None:
    """Mesh of one connected polygon; None where it cannot be made."""
    triangles = _pieces(space, inch)
    if triangles is None:
        return None
    corners = shapely.get_coordinates(triangles).reshape(-1, 4, 2)[:, :3]
    points, number = np.unique(np.round(corners, 4).reshape(-1, 2), axis=0, return_inverse=True)
    number = number.reshape(-1, 3)
    edge = np.concatenate([number[:, [0, 1]], number[:, [1, 2]], number[:, [2, 0]]])
    edge = np.sort(edge, axis=1)
    owner = np.tile(np.arange(len(triangles)), 3)
    order = np.lexsort((owner, edge[:, 1], edge[:, 0]))
    edge, owner = edge[order], owner[order]
    twin = np.flatnonzero((edge[1:] == edge[:-1]).all(1))
    area = shapely.area(triangles)
    side = np.stack([np.hypot(*(corners[:, i] - corners[:, (i + 1) % 3]).T) for i in range(3)], 1)
    radius = side.prod(1) / (4 * np.maximum(area, 1e-9))
    width = np.minimum(2 * radius, 1.16 * side.max(1))
    return Mesh(
        triangles, corners.mean(1), area, width, _circumcentres(corners), radius, points,
        edge[twin].astype(np.int64), owner[twin].astype(np.int64), owner[twin + 1].astype(np.int64),
    )  # fmt: skip


def _circumcentres(c: FloatArray) -> FloatArray:
    a, b, d = c[:, 0], c[:, 1], c[:, 2]
    twice = 2 * (a[:, 0] * (b[:, 1] - d[:, 1]) + b[:, 0] * (d[:, 1] - a[:, 1]) + d[:, 0] * (a[:, 1] - b[:, 1]))
    twice = np.where(np.abs(twice) < 1e-9, 1e-9, twice)
    sa, sb, sd = (a**2).sum(1), (b**2).sum(1), (d**2).sum(1)
    x = (sa * (b[:, 1] - d[:, 1]) + sb * (d[:, 1] - a[:, 1]) + sd * (a[:, 1] - b[:, 1])) / twice
    y = (sa * (d[:, 0] - b[:, 0]) + sb * (a[:, 0] - d[:, 0]) + sd * (b[:, 0] - a[:, 0])) / twice
    return np.stack([x, y], 1)

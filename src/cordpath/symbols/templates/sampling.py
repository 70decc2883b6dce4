"""Samples of a template's marks: points with a tangent, the element they are on and the length they stand for; and
points in its fills."""

from __future__ import annotations

import math

import numpy as np
import shapely
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import directions, lengths
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.templates.marks import Drawn

TWIN_GAP = 0.18  # pt between marks that are one line, drawn twice and rounded to neighbouring steps of 0.12 pt
LEAST_INSIDE = 0.05  # of a filled mark, that lies well inside it if it is no thin one
TWIN_TURN = math.sin(math.radians(8))  # a chord of a circle of 24 sides is off its arc by 7.5 degrees


def sampled(drawn: Drawn, step: float) -> tuple[FloatArray, FloatArray, IntArray, FloatArray]:
    """Samples of lines and arcs: points, tangents, elements, weights."""
    length = lengths(drawn.lines)
    parts = np.maximum(1, np.ceil(length / step).astype(np.int64))
    i, t = _parts(parts)
    points = drawn.lines[i, :2] + (drawn.lines[i, 2:] - drawn.lines[i, :2]) * t[:, None]
    tangents, weight = directions(drawn.lines)[i], (length / parts)[i]
    arcs = drawn.arcs
    length = (arcs[:, 4] - arcs[:, 3]) * arcs[:, 2]
    fine = np.minimum(step, np.maximum(0.05, 0.1 * arcs[:, 2]))  # small circles need fine sampling
    parts = np.maximum(2, np.ceil(length / fine).astype(np.int64))
    k, t = _parts(parts)
    angle = arcs[k, 3] + (arcs[k, 4] - arcs[k, 3]) * t
    on = arcs[k, :2] + arcs[k, 2:3] * np.c_[np.cos(angle), np.sin(angle)]
    return (np.r_[points, on], np.r_[tangents, angle + np.pi / 2],
            np.r_[i, k + len(drawn.lines)], np.r_[weight, (length / parts)[k]])  # fmt: skip


def _parts(parts: IntArray) -> tuple[IntArray, FloatArray]:
    i = np.repeat(np.arange(len(parts)), parts)
    t = (np.arange(len(i)) - np.repeat(np.cumsum(parts) - parts, parts) + 0.5) / parts[i]
    return i, t


def drawn_once(
    points: FloatArray, tangents: FloatArray, element: IntArray, weight: FloatArray, step: float
) -> BoolArray:
    """(n,) False for samples of a mark that lies on another mark: ink can only be given to one of them.

    The edge of a fill yields to a line with a pen, a later mark to an earlier one.
    """
    kept = np.ones(len(points), bool)
    i, j = (
        cKDTree(points).query_pairs(0.55 * step, output_type="ndarray").T if len(points) else np.zeros((2, 0), int)
    )
    turn = np.abs(np.sin(tangents[i] - tangents[j]))
    d = points[j] - points[i]
    across = np.abs(d[:, 1] * np.cos(tangents[i]) - d[:, 0] * np.sin(tangents[i]))
    twin = (element[i] != element[j]) & (turn < TWIN_TURN) & (across < TWIN_GAP)
    i, j = i[twin], j[twin]
    first = np.where((weight[i] > 0) == (weight[j] > 0), element[i] < element[j], weight[i] > 0)
    kept[np.where(first, j, i)] = False
    return kept


def inner_points(ring: FloatArray, small: float) -> FloatArray:
    """(n, 2) points of a filled mark, well inside it; ``small``: 1 for a symbol of full size, less for others.

    Of a mark that the pen of a letter draws nothing is as far inside: there the points keep half of half its width
    from its edges, and are as close.  A point or two are on an R where they are on a G.
    """
    shape = shapely.make_valid(shapely.Polygon(ring))
    inside = shape.buffer(-0.5 * small)
    if inside.area >= LEAST_INSIDE * shape.area:
        return points_in(inside, 0.53 * small, shape)
    inset = 0.5 * shape.area / max(shape.length, 1e-9)
    return points_in(shape.buffer(-inset), 2 * inset, shape)


def points_in(shape: BaseGeometry, step: float, fallback: BaseGeometry) -> FloatArray:
    """(n, 2) points of a grid of ``step`` in a shape, at least one; one in ``fallback`` where it is empty."""
    if shape.is_empty:
        point = fallback.representative_point()
        return np.array([[point.x, point.y]])
    x0, y0, x1, y1 = shape.bounds
    step = max(step, math.sqrt(max((x1 - x0) * (y1 - y0), 1e-9) / 2000))  # at most about 2000 points
    x, y = np.meshgrid(np.arange(x0 + step / 2, x1, step), np.arange(y0 + step / 2, y1, step))
    grid = np.c_[x.ravel(), y.ravel()]
    grid = grid[shapely.contains_xy(shape, grid[:, 0], grid[:, 1])]
    if not len(grid):
        point = shape.representative_point()
        grid = np.array([[point.x, point.y]])
    return grid

"""Clips that are no upright rectangles: what lies in the rectangle around such a clip may still be cut away.

Terms: *odd clip*, a clip path that is more or less than one upright rectangle: the border of a viewport that a
drafter drew around corners, the area that a hatch is drawn through, a mark that is painted by a rectangle through
its outline.  *Scissor*, the rectangle around a clip.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.frame import Affine, apply
from cordpath.geometry import cubic, lines
from cordpath.model import BoolArray, FloatArray, IntArray

CHORDS = 16  # of a Bezier piece of a clip: within 0.1 pt up to a radius of 80 pt
RIM = 0.1  # pt by which a stroke may lie beyond: an outline drawn along its own clip is seen, half of its pen
UPRIGHT = 0.999  # of its box that a clip fills from which it is a rectangle
POINT = 1e-6  # pt; shorter remains are points

Shapes = dict[int, BaseGeometry]
Clip = tuple[int, list[Any] | None, bool]  # the clip around it, its pieces if it may be odd, the even-odd rule


def clip_shapes(clips: tuple[Clip, ...], to_page: Affine) -> Shapes:
    """The areas of odd clips, and of all within one, in page coordinates; others are their scissor."""
    out: Shapes = {}
    for number, (around, items, even_odd) in enumerate(clips):
        own = _area(items, even_odd) if items else None
        if own is not None:
            own = shapely.transform(own, lambda points: apply(to_page, points))
        outer = out.get(around)
        if own is not None and outer is not None:
            own = shapely.intersection(own, outer)
        shape = own if own is not None else outer
        if shape is not None:
            out[number] = only_areas(np.array([shape], object))[0]
    return out


def _area(items: list[Any], even_odd: bool) -> BaseGeometry | None:
    """The area of a path; None for an upright rectangle, and for what is no area that can be told."""
    try:
        rings = [shapely.LinearRing(ring) for ring in _rings(items) if len(ring) >= 3 and np.isfinite(ring).all()]
        if not rings:
            return None
        path = np.zeros(len(rings), np.int64)
        rings = list(
            np.array(rings, object)[uncancelled(np.array(rings, object), path, np.full(len(rings), even_odd))]
        )
        if not rings:
            return shapely.Polygon()
        turns = {bool(shapely.is_ccw(ring)) for ring in rings}
        if len(rings) > 1 and (even_odd or len(turns) > 1):
            shape = shapely.build_area(shapely.node(shapely.MultiLineString(rings)))
        else:
            shape = shapely.union_all([shapely.make_valid(shapely.Polygon(ring)) for ring in rings])
        if shape.is_empty:
            return shapely.Polygon()
        box = shapely.box(*shape.bounds)
        return None if shape.area >= UPRIGHT * box.area else shape
    except (shapely.errors.GEOSException, ValueError):
        return None


def uncancelled(rings: NDArray[np.object_], path: IntArray, even_odd: BoolArray) -> BoolArray:
    """(r,) rings, in the order of their paths, that enclose something: an outline that is drawn twice encloses
    nothing by the even-odd rule, and one that is drawn there and back nothing by the other (ISO 32000-2, 8.5.3.3).
    """
    keep = np.ones(len(rings), bool)
    long = shapely.length(rings)
    order = np.lexsort((long, path))
    twin = (np.diff(path[order]) == 0) & (np.diff(long[order]) <= POINT)
    some = np.unique(np.concatenate([order[:-1][twin], order[1:][twin]]))
    alike: dict[tuple[int, bytes], list[int]] = {}
    outlines = shapely.to_wkb(shapely.normalize(shapely.polygons(rings[some])))
    for k, outline in zip(some.tolist(), outlines, strict=True):
        alike.setdefault((int(path[k]), outline), []).append(k)
    for members in alike.values():
        turn = np.where(shapely.is_ccw(rings[members]), 1, -1)
        if even_odd[members[0]]:
            keep[members[len(members) % 2 :]] = False
        elif not turn.sum():
            keep[members] = False
    return keep


def _rings(items: list[Any]) -> Iterator[list[tuple[float, float]]]:
    """The closed parts of a path."""
    ring: list[tuple[float, float]] = []
    for item in items:
        points = _points(item)
        if ring and (points[0] != ring[-1] or (len(ring) > 3 and ring[0] == ring[-1])):
            yield ring
            ring = []
        ring.extend(points[1:] if ring else points)
    if ring:
        yield ring


def _points(item: tuple[Any, ...]) -> list[tuple[float, float]]:
    kind = item[0]
    if kind == "l":
        return [item[1], item[2]]
    if kind == "c":
        curve = cubic(np.array([item[1:5]], float), np.linspace(0.0, 1.0, CHORDS + 1))
        return [item[1], *map(tuple, curve[1:-1].tolist()), item[4]]
    if kind == "re":
        x0, y0, x1, y1 = item[1]
        corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        if item[2] > 0:
            corners.reverse()
        return [*corners, corners[0]]
    upper_left, upper_right, lower_left, lower_right = item[1]
    return [upper_left, upper_right, lower_right, lower_left, upper_left]


def cut_strokes(xy: FloatArray, clip: IntArray, shapes: Shapes) -> tuple[FloatArray, IntArray]:
    """What odd clips leave of (n, 4) segments that lie in them, and the segment that each piece is of; in order."""
    piece, owner = [], []
    keep = np.ones(len(xy), bool)
    for number, members in _by_clip(clip, shapes):
        shape = shapely.buffer(shapes[number], RIM)
        shapely.prepare(shape)
        drawn = lines(xy[members])
        out = members[~shapely.contains(shape, drawn)]
        keep[out] = False
        left, of = shapely.get_parts(shapely.intersection(lines(xy[out]), shape), return_index=True)
        whole = shapely.length(left) > POINT
        if whole.any():
            ends = shapely.get_coordinates([shapely.get_point(left[whole], k) for k in (0, -1)])
            piece.append(ends.reshape(2, -1, 2).transpose(1, 0, 2).reshape(-1, 4))
            owner.append(out[of[whole]])
    kept = np.flatnonzero(keep)
    every = np.concatenate([xy[kept], *piece])
    source = np.concatenate([kept, *owner])
    order = np.argsort(source, kind="stable")
    return every[order], source[order]


def cut_areas(shape: NDArray[np.object_], clip: IntArray, shapes: Shapes) -> NDArray[np.object_]:
    """Areas without what odd clips cut away."""
    shape = shape.copy()
    for number, members in _by_clip(clip, shapes):
        shape[members] = shapely.intersection(shape[members], shapes[number])
    return shape


def only_areas(shape: NDArray[np.object_]) -> NDArray[np.object_]:
    """Without the lines that are left of a spike, or of what touches its clip: they paint nothing."""
    mixed = shapely.get_type_id(shape) == shapely.GeometryType.GEOMETRYCOLLECTION
    shape[mixed] = shapely.buffer(shape[mixed], 0.0)
    return shape


def seen_points(xy: FloatArray, clip: IntArray, shapes: Shapes) -> BoolArray:
    """(n,) False for (n, 2) points that an odd clip cuts away."""
    seen = np.ones(len(xy), bool)
    for number, members in _by_clip(clip, shapes):
        seen[members] = shapely.intersects_xy(shapes[number], *xy[members].T)
    return seen


def _by_clip(clip: IntArray, shapes: Shapes) -> Iterator[tuple[int, IntArray]]:
    """Each odd clip in which something lies, and what."""
    if not shapes or not len(clip):
        return
    order = np.argsort(clip, kind="stable")
    first = np.flatnonzero(np.r_[True, np.diff(clip[order]) > 0])
    for a, b in zip(first, np.r_[first[1:], len(order)], strict=True):
        number = int(clip[order[a]])
        if number in shapes:
            yield number, order[a:b]

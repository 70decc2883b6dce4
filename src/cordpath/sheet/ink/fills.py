"""Filled areas, and what they hide.

Terms: *even-odd* and *nonzero*, the two rules by which a PDF decides what lies inside a path that crosses itself or
has several parts (ISO 32000-2, 8.5.3.3).
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import boxes_around, lines, near_boxes
from cordpath.model import WHITE, BoolArray, Fills, FloatArray, IntArray, Strokes
from cordpath.sheet.ink.blends import OPAQUE
from cordpath.sheet.ink.clip_shapes import Shapes, cut_areas, only_areas, uncancelled
from cordpath.sheet.ink.paths import Paths

SMALLEST = 1e-6  # pt2; smaller areas are degenerate
RIM = 0.45  # pt: of broader pens (walls) what shows beyond a fill this narrowly is no line any more
MOST_COVERS, AT_ONCE = 20_000, 64  # white areas that are asked what lies under them; more are no drawing
MOST_WOUND = 5_000  # areas of a page that cross themselves and are taken face by face; more are no drawing
MOST_CORNERS = 1_000  # of such an area, and faces that its parts leave between them; more is a scribble
Tracks = tuple[NDArray[np.object_], IntArray]  # areas, and the path of each
WIDE = 0.02  # of the page: a fill this large is compared only with the strokes painted before it


def fills(
    paths: Paths, rings: NDArray[np.object_], path: IntArray, pens: Tracks, scissors: FloatArray, shapes: Shapes
) -> tuple[Fills, FloatArray]:
    """One fill a path, valid polygons, cut to its clip and the page, and (n, 4) outlines of dark ones that white
    ones hide; ``pens``: what else is painted as areas are, by a pen, and its paths."""
    shape, owner = _areas(paths, rings, path)
    shape, owner = np.concatenate([shape, pens[0]]), np.concatenate([owner, pens[1]])
    of_pen = np.arange(len(owner)) >= len(owner) - len(pens[1])
    shape = only_areas(cut_areas(_cut(shape, scissors[owner]), paths.clip[owner], shapes))
    keep = np.flatnonzero(shapely.area(shape) > SMALLEST)
    keep = keep[np.argsort(owner[keep], kind="stable")]
    owner, of_pen = owner[keep], of_pen[keep]
    colour = np.where(of_pen[:, None], paths.pen[owner], paths.paint[owner])
    opacity = np.where(of_pen & ~paths.veiling[owner], 1.0, paths.opacity[owner])
    shape = shape[keep]
    seen = ~_buried(shape, opacity, colour, owner, paths.since)
    gone = _outlines(shape[~seen & (colour.min(axis=1, initial=1.0) < WHITE)])
    owner = owner[seen]
    return Fills(shape[seen], colour[seen], opacity[seen], paths.layer[owner], owner), gone


def _outlines(shape: NDArray[np.object_]) -> FloatArray:
    """(n, 4) pieces of the outlines of areas."""
    xy, ring = shapely.get_coordinates(shapely.get_parts(shapely.boundary(shape)), return_index=True)
    return np.concatenate([xy[:-1], xy[1:]], axis=1)[ring[1:] == ring[:-1]]


def dots_and_tracks(paths: Paths, dots: FloatArray, tracks: Tracks) -> Tracks:
    """``dots`` (d, 3) of a wide pen, x, y and path, as areas, and the tracks of others."""
    mine = dots[:, 2].astype(np.int64)
    discs = shapely.buffer(shapely.points(dots[:, :2]), paths.width[mine] / 2, quad_segs=6)
    return np.concatenate([discs, tracks[0]]), np.concatenate([mine, tracks[1]])


def _buried(
    shape: NDArray[np.object_], opacity: FloatArray, colour: FloatArray, path: IntArray, since: IntArray
) -> BoolArray:
    """(f,) areas that lie wholly under a later opaque white one: what somebody painted out."""
    gone = np.zeros(len(shape), bool)
    covers = np.flatnonzero((opacity >= OPAQUE) & (colour.min(axis=1, initial=1.0) >= WHITE))
    if not len(covers) or len(covers) > MOST_COVERS:
        return gone
    tree = shapely.STRtree(shape)
    for first in range(0, len(covers), AT_ONCE):
        some = covers[first : first + AT_ONCE]
        over, under = tree.query(shape[some], predicate="covers")
        over = path[some[over]]
        gone[under[(over > path[under]) & (since[over] <= path[under])]] = True
    return gone


def _areas(paths: Paths, rings: NDArray[np.object_], path: IntArray) -> tuple[NDArray[np.object_], IntArray]:
    kept = uncancelled(rings, path, paths.even_odd[path])
    rings, path = rings[kept], path[kept]
    if not len(rings):
        return np.zeros(0, object), np.zeros(0, np.int64)
    owner, start, count = np.unique(path, return_index=True, return_counts=True)
    shape = np.empty(len(owner), object)
    single = count == 1
    shape[single] = shapely.polygons(rings[start[single]])
    clockwise = np.add.reduceat(shapely.is_ccw(rings).astype(int), start)
    one_way = (clockwise == 0) | (clockwise == count)
    union = ~single & ~paths.even_odd[owner] & one_way
    for group, builder in ((union, _union), (~single & ~union, _alternate)):
        member = np.flatnonzero(group[np.repeat(np.arange(len(owner)), count)])
        if len(member):
            index = np.repeat(np.arange(int(group.sum())), count[group])
            shape[group] = builder(rings[member], index)
    corners = np.add.reduceat(shapely.get_num_coordinates(rings), start)
    crossed = np.logical_or.reduceat(~shapely.is_simple(rings), start) & ~paths.even_odd[owner]
    for k in np.flatnonzero(crossed & (corners <= MOST_CORNERS))[:MOST_WOUND]:
        shape[k] = _wound(rings[start[k] : start[k] + count[k]], shape[k])
    broken = ~shapely.is_valid(shape)
    shape[broken] = shapely.make_valid(shape[broken])
    return shape, owner


def _wound(rings: NDArray[np.object_], otherwise: shapely.Geometry) -> shapely.Geometry:
    """Nonzero rule of parts that cross themselves, as the inner border of a stroked line does at its corners: the
    faces between all parts that these go round more often one way than the other; ``otherwise`` for scribbles."""
    sides = shapely.get_parts(shapely.node(shapely.multilinestrings(rings)))
    face = shapely.get_parts(shapely.polygonize(sides))
    corner, owner = shapely.get_coordinates(rings, return_index=True)
    if len(face) > MOST_CORNERS:
        return otherwise
    at = shapely.get_coordinates(shapely.point_on_surface(face))[:, None]
    inside = owner[1:] == owner[:-1]
    a, b = corner[:-1][inside] - at, corner[1:][inside] - at
    left = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0] > 0
    up = (a[..., 1] <= 0) & (b[..., 1] > 0) & left
    down = (a[..., 1] > 0) & (b[..., 1] <= 0) & ~left
    return shapely.unary_union(face[up.sum(axis=1) != down.sum(axis=1)])


def _union(rings: NDArray[np.object_], index: IntArray) -> NDArray[np.object_]:
    """Nonzero rule where all parts run the same way: everything that any part encloses."""
    parts = shapely.make_valid(shapely.polygons(rings))
    return shapely.unary_union(shapely.geometrycollections(parts, indices=index)[:, None], axis=1)


def _alternate(rings: NDArray[np.object_], index: IntArray) -> NDArray[np.object_]:
    """Even-odd rule; also the nonzero rule where a hole runs against its outline, as writers draw it."""
    return shapely.build_area(shapely.node(shapely.multilinestrings(rings, indices=index)))


def _cut(shape: NDArray[np.object_], box: FloatArray) -> NDArray[np.object_]:
    if not len(shape):
        return shape
    bounds = shapely.bounds(shape)
    over = (bounds[:, :2] < box[:, :2]).any(axis=1) | (bounds[:, 2:] > box[:, 2:]).any(axis=1)
    shape = shape.copy()
    void = over & ((box[:, 0] >= box[:, 2]) | (box[:, 1] >= box[:, 3]))
    shape[void] = shapely.Polygon()
    over &= ~void
    shape[over] = shapely.intersection(shape[over], shapely.box(*box[over].T))
    return shape


def covered(strokes: Strokes, fills: Fills, since: IntArray, page_area: float) -> BoolArray:
    """(n,) True where a later opaque fill hides the stroke: its centre line is inside, and so far off the edge that
    the pen does not show beyond it (the rim of a half-filled circle does).  ``since`` is ``Paths.since``."""
    hidden = np.zeros(len(strokes), bool)
    opaque = np.flatnonzero(fills.opacity >= OPAQUE)
    if not len(opaque) or not len(strokes):
        return hidden
    bounds = shapely.bounds(fills.shape[opaque])
    span = (bounds[:, 2] - bounds[:, 0]) * (bounds[:, 3] - bounds[:, 1])
    small, wide = opaque[span < WIDE * page_area], opaque[span >= WIDE * page_area]
    near = np.flatnonzero(near_boxes(boxes_around(strokes.xy), shapely.bounds(fills.shape[small]), 0.0))
    if len(near):
        drawn = lines(strokes.xy[near])
        fill, stroke = shapely.STRtree(drawn).query(fills.shape[small], predicate="contains_properly")
        over, under = fills.path[small[fill]], strokes.path[near[stroke]]
        later = (over > under) & (since[over] <= under)
        drawn, stroke = drawn[stroke[later]], near[stroke[later]]
        used, which = np.unique(small[fill[later]], return_inverse=True)
        hidden[stroke[_wholly(fills.shape[used], which, drawn, strokes.width[stroke])]] = True
    for one in wide:
        over = fills.path[one]
        before = np.flatnonzero((strokes.path < over) & (strokes.path >= since[over]) & ~hidden)
        drawn = lines(strokes.xy[before])
        shapely.prepare(fills.shape[one])
        inside = shapely.contains_properly(fills.shape[one], drawn)
        before, drawn = before[inside], drawn[inside]
        alone = np.zeros(len(before), np.int64)
        hidden[before[_wholly(fills.shape[[one]], alone, drawn, strokes.width[before])]] = True
    return hidden


def _wholly(
    shape: NDArray[np.object_], which: IntArray, drawn: NDArray[np.object_], width: FloatArray
) -> BoolArray:
    """(n,) Are the lines, line i inside ``shape[which[i]]``, inside with their pen's width too?"""
    edge = shapely.boundary(shape)
    shapely.prepare(edge)
    return np.asarray(~shapely.dwithin(edge[which], drawn, np.minimum(0.9 * width / 2, RIM)), bool)

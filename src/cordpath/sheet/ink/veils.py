"""Paint that may hide what was painted before it: a shading, of which it is not known how far it goes, a
picture that is no upright rectangle, what is painted through a soft mask or printed over, large letters, and the
dashes of a broad white line, between which something shows.

What lies under it is no longer sure: words and marks settle nothing.

Terms: *veil*, the area of such paint.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.frame import Affine, apply
from cordpath.geometry import lines
from cordpath.model import BoolArray, Fills, FloatArray, IntArray, Strokes
from cordpath.sheet.ink.clip_shapes import Shapes
from cordpath.sheet.ink.overlays import Corners
from cordpath.sheet.ink.paths import Paths

SHARE = 0.25  # of what a path paints, under a veil: less leaves a mark what it was, as a line across it does
MARK = 108.0  # pt, 1 1/2 in: what a smaller shading covers is told as a picture that was not read, with its place


@dataclass(frozen=True, eq=False)
class Veils:
    """``shape`` (v,) areas in page coordinates; ``order`` (v,) when they are painted, as ``Paths.order``."""

    shape: NDArray[np.object_]
    order: IntArray

    def __len__(self) -> int:
        return len(self.shape)

    def __add__(self, other: Veils) -> Veils:
        return Veils(np.concatenate([self.shape, other.shape]), np.concatenate([self.order, other.order]))


def shades(paths: Paths, to_page: Affine, shapes: Shapes) -> Veils:
    """The opaque shadings of the page and its pictures that may hide something; ``shapes`` the odd clips."""
    box = apply(to_page, np.array([box for _, box in paths.shadings], float).reshape(-1, 4))
    number = [number for number, _ in paths.shadings] + [each.number for each in paths.overlays]
    over = [_seen(each.corners, each.clip, paths, to_page, shapes) for each in paths.overlays]
    return Veils(np.array([*shapely.box(*box.T), *over], object), np.array(number, np.int64))


def _seen(corners: Corners, clip: int, paths: Paths, to_page: Affine, shapes: Shapes) -> BaseGeometry:
    """What its clips leave of a picture."""
    shape = shapely.convex_hull(shapely.multipoints(apply(to_page, np.array(corners, float))))
    return within_clip(shape, clip, paths, to_page, shapes)


def within_clip(shape: BaseGeometry, clip: int, paths: Paths, to_page: Affine, shapes: Shapes) -> BaseGeometry:
    """What its clips leave of an area in page coordinates."""
    if 0 <= clip < len(paths.scissors):
        scissor = shapely.box(*apply(to_page, paths.scissors[[clip]])[0])
        shape = shapely.intersection(shapely.intersection(shape, scissor), shapes.get(clip, scissor))
    return shape


def veiling(paths: Paths, areas: Fills) -> Veils:
    """The areas that are seen and of which it is not sure that they hide anything."""
    own = np.flatnonzero(paths.veiling[areas.path])
    return Veils(areas.shape[own], paths.order[areas.path[own]])


def veiled(paths: Paths, over: Veils, more: Veils, marks: Strokes, areas: Fills) -> BoolArray:
    """(p,) paths of which a part lies under a large shading, a picture, one of ``more`` or broad white dashes."""
    bounds = shapely.bounds(over.shape).reshape(-1, 4)
    large = (bounds[:, 2:] - bounds[:, :2]).max(axis=1, initial=0.0) > MARK
    large[len(paths.shadings) :] |= np.array([not each.told for each in paths.overlays], bool)
    dashes = np.flatnonzero(np.isin(areas.path, list(paths.dashes)) & paths.stroked[areas.path])
    shape = np.concatenate([over.shape[large], more.shape, areas.shape[dashes]])
    order = np.concatenate([over.order[large], more.order, paths.order[areas.path[dashes]]])
    out = np.zeros(len(paths), bool)
    if len(shape):
        for drawn, path, size in (
            (lines(marks.xy), marks.path, shapely.length),
            (areas.shape, areas.path, shapely.area),
        ):
            under = _under(Veils(shape, order), drawn, paths.order[path], size)
            all_of = np.bincount(path, size(drawn), len(paths))
            out |= (np.bincount(path, under, len(paths)) >= SHARE * all_of) & (all_of > 0)
    return out


def _under(
    veils: Veils, drawn: NDArray[np.object_], order: IntArray, size: Callable[..., FloatArray]
) -> FloatArray:
    """(n,) how much (``size``: length or area) of each thing is under veils that are painted later."""
    out, whole = np.zeros(len(drawn)), size(drawn)
    tree = shapely.STRtree(drawn)
    for shape, when in zip(veils.shape, veils.order, strict=True):
        shapely.prepare(shape)
        near = tree.query(shape, predicate="intersects")
        near = near[order[near] < when]
        within = shapely.covers(shape, drawn[near])
        out[near[within]] = whole[near[within]]
        out[near[~within]] += size(shapely.intersection(drawn[near[~within]], shape))
    return np.minimum(out, whole)

"""The ground in doorways without a leaf belongs half to the room on either side.

Terms: *threshold*, the ground between the jambs of a cased opening.  *Middle*, the line across it in the middle of
the wall.

Spaces grow over triangles, so a threshold falls to the one side or the other by chance: undivided, it would give
a plan and its mirrored twin rooms of different sizes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.rooms.ink import polygons_only
from cordpath.rooms.openings.openings import Closer
from cordpath.rooms.spaces.spaces import Space

BESIDE_IN = 3.0  # beyond a wall's face, where the spaces on either side are looked up
FACE_IN = 1.0  # faces are drawn as lines with a body of their own: a threshold is that much deeper than its strip
CRUMB_IN = 2.0  # parts of a space that are narrower than this are what rounding leaves along a middle


def halve_thresholds(spaces: Sequence[Space], closers: Sequence[Closer], inch: float) -> list[Space]:
    """The spaces, with the ground in every cased opening between two of them divided at its middle."""
    shapes = np.array([space.polygon for space in spaces], object)
    for closer in closers:
        if closer.kind != "cased" or closer.width <= 0:
            continue
        sides = _sides(shapes, closer, inch)
        if sides is not None:
            i, j = sides
            shapes[i], shapes[j] = _halved(shapes[i], shapes[j], closer, inch)
    return [
        space if space.polygon is shape else replace(space, polygon=shape)
        for space, shape in zip(spaces, shapes, strict=True)
    ]


def _across(closer: Closer) -> tuple[np.ndarray, float]:
    """Unit vector across the wall, and half of the strip's depth in points."""
    u = (closer.chord[1] - closer.chord[0]) / closer.width
    normal = np.array([-u[1], u[0]])
    away = (shapely.get_coordinates(closer.strip) - closer.chord.mean(0)) @ normal
    return normal, float(np.abs(away).max(initial=0.0))


def _sides(shapes: np.ndarray, closer: Closer, inch: float) -> tuple[int, int] | None:
    """The two spaces that an opening joins, on the side of its normal and on the other; None where it is one."""
    normal, half = _across(closer)
    off = normal * (half + BESIDE_IN * inch)
    points = [closer.chord.mean(0) + off, closer.chord.mean(0) - off]
    found = [np.flatnonzero(shapely.intersects_xy(shapes, *point)) for point in points]
    if not all(len(f) == 1 for f in found) or found[0][0] == found[1][0]:
        return None
    return int(found[0][0]), int(found[1][0])


def _halved(
    one: BaseGeometry, other: BaseGeometry, closer: Closer, inch: float
) -> tuple[BaseGeometry, BaseGeometry]:
    normal, half = _across(closer)
    a, b = closer.chord
    deep = normal * (half + FACE_IN * inch)
    along = (b - a) / closer.width * FACE_IN * inch
    a, b = a - along, b + along
    halves = [shapely.Polygon([a, b, b + way, a + way]) for way in (deep, -deep)]
    ground = polygons_only(shapely.union_all([one, other]).intersection(shapely.union_all(halves)))
    made = [
        shapely.union_all([shape.difference(ground), ground.intersection(part)])
        for shape, part in zip((one, other), halves, strict=True)
    ]
    return _without_crumbs(made[0], inch), _without_crumbs(made[1], inch)


def _without_crumbs(shape: BaseGeometry, inch: float) -> BaseGeometry:
    parts = shapely.get_parts(polygons_only(shape))
    kept = [part for part in parts if not part.buffer(-CRUMB_IN / 2 * inch).is_empty]
    return polygons_only(shapely.multipolygons(kept)) if kept else shape

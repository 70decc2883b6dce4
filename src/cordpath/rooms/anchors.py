"""Where a symbol meets the wall.

Terms: *anchor*, the point on the wall's face where the device is; *facing*, the unit vector out of the wall at
the anchor, on the side where the body of the symbol is drawn; *body*, the footprint outside the walls.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import FloatArray, Symbol

REACH_IN, REACH_PT = 4.0, 14.4  # beyond its footprint a symbol may stop this short of its wall (real, or on paper)
TOUCH_IN, TOUCH_PT = 4.0, 5.0  # the same for symbols whose wall side is not known
EVEN = 0.65  # share of the body from which a side is told
CORNER_IN = 2.5  # a symbol's middle this deep in a wall beside it, in a corner, is not mounted in that wall
OFF_IN = 0.05  # off that wall's face
ASIDE = 0.5  # cosine: the way out of that wall is not the way that the symbol faces
FACED = 0.5  # cosine: a face that is more oblique to the way ahead is that of a wall beside the symbol
WHOLLY_INSIDE = "the symbol lies wholly inside a wall: the side that it faces is not drawn"
ACROSS = "the symbol lies across a wall, about as much on either side"
EXACT_IN, EXACT_PT = 1.0, 0.6  # least doubt of an anchor: wall finish, and half a stroke on paper


@dataclass(frozen=True, eq=False)
class Anchor:
    """``why``: the side of the wall is not settled, and ``facing`` is no more than the likelier one."""

    at: FloatArray
    facing: FloatArray | None
    tolerance: float  # pt
    why: str | None = None


def find_anchor(symbol: Symbol, walls: BaseGeometry, inch: float) -> Anchor:
    """The anchor of a symbol; away from walls its own place.  ``walls`` must be prepared by the caller."""
    at = np.array(symbol.at, float)
    least = max(EXACT_IN * inch, EXACT_PT)
    if walls.is_empty:
        return Anchor(at, None, least)
    body = symbol.footprint if not symbol.footprint.is_empty else shapely.Point(at).buffer(1.0)
    if walls.intersects(shapely.Point(at)):
        return _inside_wall(symbol, at, body, walls, inch, least)
    if symbol.wall_direction is not None:
        ahead = np.array(symbol.wall_direction, float)
        hit = _ahead_or_behind(at, ahead, body, walls, inch)
    else:
        hit = _nearest(at, body, walls, inch)
    if hit is None and symbol.wall_direction is not None:
        # No wall ahead: an island or a pedestal, which the far end of the symbol's bars touches.
        ahead = np.array(symbol.wall_direction, float)
        reach = _support(body, at, ahead)
        return Anchor(at + ahead * reach, None, least + 0.3 * reach)
    if hit is None:
        x0, y0, x1, y1 = body.bounds
        return Anchor(at, None, least + 0.15 * max(x1 - x0, y1 - y0))
    gap = max(0.0, body.distance(shapely.Point(hit)))
    facing = _normal(hit, at, walls, inch)
    return Anchor(hit, facing, least + 0.25 * gap)


def _support(body: BaseGeometry, at: FloatArray, direction: FloatArray) -> float:
    return float(((shapely.get_coordinates(body) - at) @ direction).max(initial=0.0))


def _shoot(at: FloatArray, direction: FloatArray, body: BaseGeometry, walls: BaseGeometry,
           inch: float) -> FloatArray | None:  # fmt: skip
    """First wall face in the given direction; a narrow fan forgives hand-placed symbols."""
    far = _support(body, at, direction) + max(REACH_IN * inch, REACH_PT)
    for turn in (0.0, 0.12, -0.12, 0.3, -0.3):
        c, s = np.cos(turn), np.sin(turn)
        ray = np.array([direction[0] * c - direction[1] * s, direction[0] * s + direction[1] * c])
        hit = shapely.LineString([at, at + ray * far]).intersection(walls)
        if hit.is_empty:
            continue
        points = shapely.get_coordinates(hit)
        face = np.asarray(points[np.argmin(np.hypot(*(points - at).T))], float)
        if abs(float(_normal(face, at, walls, inch) @ direction)) >= FACED:
            return face
    return None


def _ahead_or_behind(
    at: FloatArray, direction: FloatArray, body: BaseGeometry, walls: BaseGeometry, inch: float
) -> FloatArray | None:
    """The face ahead; where there is none, the one behind that the body touches.  In a corner the line of the wall
    beside a symbol may pass for its stem, on the wrong side of it."""
    hit = _shoot(at, direction, body, walls, inch)
    if hit is not None:
        return hit
    behind = _shoot(at, -direction, body, walls, inch)
    if behind is None:
        return None
    gap = float(np.hypot(*(behind - at))) - _support(body, at, -direction)
    return behind if gap <= max(TOUCH_IN * inch, TOUCH_PT) else None


def _nearest(at: FloatArray, body: BaseGeometry, walls: BaseGeometry, inch: float) -> FloatArray | None:
    if body.distance(walls) > max(TOUCH_IN * inch, TOUCH_PT):
        return None
    line = shapely.shortest_line(shapely.Point(at), walls)
    return np.asarray(shapely.get_coordinates(line)[1], float)


def _normal(face: FloatArray, at: FloatArray, walls: BaseGeometry, inch: float) -> FloatArray:
    """Normal of the wall's face at a point, towards the symbol."""
    toward = at - face
    size = float(np.hypot(*toward))
    toward = toward / size if size > 1e-9 else np.array([0.0, -1.0])
    around = shapely.Point(face).buffer(0.5 * inch + 0.2)
    near = shapely.get_parts(walls.boundary.intersection(around))  # far from any face: one line without points
    pieces = [p for p in near if p.geom_type == "LineString" and not p.is_empty]
    if not pieces:
        return toward
    best, unit = -1.0, toward
    for piece in pieces:
        c = shapely.get_coordinates(piece)
        span = np.diff(c, axis=0)
        length = np.hypot(*span.T)
        normals = np.stack([-span[:, 1], span[:, 0]], 1) / np.maximum(length, 1e-9)[:, None]
        lean = normals @ toward
        weight = np.abs(lean) * np.minimum(length / inch, 1.0)
        k = int(np.argmax(weight))
        if weight[k] > best:
            best, unit = float(weight[k]), normals[k] * (1.0 if lean[k] >= 0 else -1.0)
    return np.asarray(unit, float)


def _inside_wall(symbol: Symbol, at: FloatArray, body: BaseGeometry, walls: BaseGeometry, inch: float,
                 least: float) -> Anchor:  # fmt: skip
    """A symbol centred in its wall: the side with most of its body is the side it faces.

    The stems of a device that lies in the wall itself do not settle its side alone: a drafter turns them either
    way, and those of a symmetric symbol say nothing.
    """
    if symbol.wall_direction is not None:
        toward = np.array(symbol.wall_direction, float)
        corner = _in_corner(at, toward, body, walls, inch)
        if corner is not None:
            gap = max(0.0, body.distance(shapely.Point(corner)))
            ahead = toward if float((corner - at) @ toward) > 0 else -toward
            return Anchor(corner, _normal(corner, corner - ahead, walls, inch), least + 0.25 * gap)
        out = -toward
        face = _leave(at, out, walls, inch)
        if face is not None:
            doubt = least + 0.25 * float(np.hypot(*(face - at)))
            return Anchor(face, _normal(face, face + out, walls, inch), doubt, _against(at, out, body, walls))
    parts = [p for p in shapely.get_parts(body.difference(walls)) if p.area > 0.02 * body.area]
    nearest = np.asarray(
        shapely.get_coordinates(shapely.shortest_line(shapely.Point(at), walls.boundary))[1], float
    )
    if not parts:
        out = nearest - at
        size = float(np.hypot(*out))
        facing = out / size if size > 1e-9 else np.array([0.0, -1.0])
        doubt = least + 2 * size + 3 * inch
        return Anchor(nearest, facing, doubt, WHOLLY_INSIDE)
    parts.sort(key=lambda p: -p.area)
    best = parts[0]
    face = np.asarray(shapely.get_coordinates(shapely.shortest_line(shapely.Point(at), best))[1], float)
    middle = np.array(best.centroid.coords[0])
    share = best.area / sum(p.area for p in parts)
    why = None if share >= EVEN else ACROSS
    if not best.intersects(walls):  # a shape that is told from its place on the wall, off which its body is drawn
        out = (middle - at) / max(float(np.hypot(*(middle - at))), 1e-9)
        met = _leave(at, out, walls, inch)
        face = face if met is None else met
    return Anchor(face, _normal(face, middle, walls, inch), least + 0.25 * float(np.hypot(*(face - at))), why)


def _against(at: FloatArray, out: FloatArray, body: BaseGeometry, walls: BaseGeometry) -> str | None:
    """Why the way out of a wall that the stems tell is not settled: the body does not lie on that side."""
    parts = np.array([p for p in shapely.get_parts(body.difference(walls)) if p.area > 0.02 * body.area], object)
    if not len(parts):
        return WHOLLY_INSIDE
    area = shapely.area(parts)
    ahead = (shapely.get_coordinates(shapely.centroid(parts)) - at) @ out > 0
    return None if area[ahead].sum() >= EVEN * area.sum() else ACROSS


def _in_corner(
    at: FloatArray, toward: FloatArray, body: BaseGeometry, walls: BaseGeometry, inch: float
) -> FloatArray | None:
    """The face ahead of a symbol in a corner that overlaps the wall beside it: one that stands across a wall, and
    not along its own direction, is pushed out of that wall and looks ahead."""
    beside = np.asarray(shapely.get_coordinates(shapely.shortest_line(shapely.Point(at), walls.boundary))[1], float)
    push = beside - at
    size = float(np.hypot(*push))
    if size > CORNER_IN * inch or (size > 1e-9 and abs(float(push @ toward)) > ASIDE * size):
        return None
    aside = np.array([-toward[1], toward[0]])
    ways = [push / size] if size > 1e-9 else [aside, -aside]
    free = [at for way in ways if not walls.intersects(shapely.Point(at := beside + way * OFF_IN * inch))]
    return _ahead_or_behind(free[0], toward, body, walls, inch) if free else None


def _leave(at: FloatArray, out: FloatArray, walls: BaseGeometry, inch: float) -> FloatArray | None:
    """Where a ray from inside the wall leaves it, within 14 in."""
    ray = shapely.LineString([at, at + out * 14 * inch])
    free = ray.difference(walls)
    if free.is_empty:
        return None
    points = shapely.get_coordinates(free)
    return np.asarray(points[np.argmin(np.hypot(*(points - at).T))], float)

"""Open plans whose guessed border lies far on one side of the way from one room to the other.

Where nothing divides two rooms, the guessed border between their names follows the triangles of the free space.  It
may run deep inside a kitchen whose way out is narrow, so that ground of the kitchen is given to the living room; or
beyond a half wall, so that ground of the living room is given to the kitchen.  So does a narrow kitchen or bath
that an opening wider than itself leads to: the part beyond the opening goes to the hall before it.

Term: *throat*, the shortest way across from wall end to wall end that has one name on either side.  Of two
rooms of which one has rules of its own, ground that lies with the neighbour's name beyond the throat may well be
the neighbour's.  It is told as disputed: nothing is taken away, outlets there ask.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient
from shapely.ops import split

from cordpath.model import Disputed, FloatArray, Room
from cordpath.rooms.ink import polygons_only
from cordpath.rooms.names.kinds import Draft
from cordpath.rooms.undivided import PLAIN_KINDS

EVEN_IN = 3.0  # smaller steps of a wall are no ends of one
MOST_ENDS = 40  # wall ends of one space: more are a pattern, and no way between two of them tells
JOIN_IN = 0.1  # between two rooms of one space
LEAST_SQFT = 4.0  # of disputed ground: less holds no outlet that the guessed border does not ask about


def beyond_throats(drafts: list[Draft], rooms: tuple[Room, ...], inch: float) -> tuple[Disputed, ...]:
    """Ground of rooms that a neighbour may have beyond a throat, where one of the two has rules of its own.

    ``rooms`` have the drafts' polygons; ``inch``: page points of a real one.
    """
    ids = {id(room.polygon): room.id for room in rooms}
    by_seed = {draft.seed: draft for draft in drafts if draft.seed is not None}
    found: list[Disputed] = []
    for draft in drafts:
        mates = [by_seed[k] for k in (*draft.open_with, *draft.wide_with) if k in by_seed]
        wanted = [m for m in mates if m.tag is not None and _differ(draft, m)]
        if draft.tag is None or not wanted or id(draft.polygon) not in ids:
            continue
        space = polygons_only(shapely.union_all([d.polygon.buffer(JOIN_IN * inch) for d in (draft, *mates)]))
        own = np.array(draft.tag.at, float)
        for mate in wanted:
            assert mate.tag is not None
            other = np.array(mate.tag.at, float)
            ground = _beyond_throat(draft.polygon, space, own, other, inch)
            if holds_outlets(ground, inch) and id(mate.polygon) in ids:
                found.append(Disputed((ids[id(draft.polygon)], ids[id(mate.polygon)]), ground))
    return tuple(found)


def holds_outlets(ground: BaseGeometry, inch: float) -> bool:
    """Is disputed ground large enough for outlets to stand on it?"""
    return bool(ground.area > LEAST_SQFT * (12 * inch) ** 2)


def _differ(one: Draft, other: Draft) -> bool:
    """Has one of two rooms rules of its own?  The name of a bar reaches a few feet only: it is a corner of the
    other room, not half of it."""
    if "food area" in (one.kind, other.kind):
        return False
    return (one.kind in PLAIN_KINDS) != (other.kind in PLAIN_KINDS)


def _beyond_throat(
    polygon: BaseGeometry, space: BaseGeometry, own: FloatArray, other: FloatArray, inch: float
) -> BaseGeometry:
    """Of the polygon, what lies with the other name beyond the throat."""
    whole = space.simplify(EVEN_IN * inch)
    name, theirs = shapely.Point(own), shapely.Point(other)
    ends = [at for at, *_ in corners(whole)]
    if len(ends) > MOST_ENDS:
        return shapely.Polygon()
    ways = [shapely.LineString(pair) for pair in combinations(ends, 2)]
    inner = whole.buffer(JOIN_IN * inch)
    for way in sorted((way for way in ways if inner.covers(way)), key=lambda way: way.length):
        x, y = (way.coords[1][k] - way.coords[0][k] for k in (0, 1))
        past = JOIN_IN * inch / max(way.length, 1e-9)
        across = shapely.LineString([(px + k * past * x, py + k * past * y)
                                     for (px, py), k in zip(way.coords, (-1, 1), strict=True)])  # fmt: skip
        beyond = [part for part in split(whole, across).geoms if part.covers(theirs) and not part.covers(name)]
        if beyond:
            return polygons_only(polygon.intersection(beyond[0]))
    return shapely.Polygon()


def corners(space: BaseGeometry) -> list[tuple[FloatArray, FloatArray, FloatArray]]:
    """Corners round which the space goes, and both ways on along their walls, as unit vectors."""
    found: list[tuple[FloatArray, FloatArray, FloatArray]] = []
    for part in shapely.get_parts(space):
        part = orient(part)  # the space lies on the left of every ring
        for ring in (part.exterior, *part.interiors):
            xy = shapely.get_coordinates(ring)[:-1]
            into = xy - np.roll(xy, 1, 0)
            into /= np.maximum(np.hypot(*into.T), 1e-9)[:, None]
            out = np.roll(into, -1, 0)
            turn = into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0]
            found += [(xy[k], into[k], -out[k]) for k in np.flatnonzero(turn < 0)]
    return found

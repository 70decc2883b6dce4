"""Where a cord starts: the outlet's anchor, brought out of the wall to the side that the outlet faces.

Terms
    *anchor*    the point where the outlet meets its wall, as placed by whoever found the rooms; it may lie on
                the face or a little inside the wall.
    *freed*     moved along the facing to the first point outside the wall.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import LineString

from cordpath.model import Outlet, Point
from cordpath.reach.barriers import HAIR_PT, Barrier

# An anchor farther inside a wall than a plotted device symbol is long (3/16 to 5/16 in. with its stems, common
# practice) does not belong to the face that it would come out of.
DEEPEST_PT = 22.5

NO_WALLS = "no walls were found in its view, so no way along a cord can be measured"
DEEP = "its anchor lies deep inside a wall"
NO_SIDE = "its anchor lies inside a wall and the drawing does not tell which side it faces"
WRONG_SIDE = "a wall runs between its anchor and its symbol"


def free_start(outlet: Outlet, fixed: Barrier) -> tuple[Point | None, str | None]:
    """The start of the cord in page coordinates, or None with the reason."""
    anchor = outlet.standing.anchor
    if not np.isfinite(anchor).all():
        return None, "its anchor has no place"
    if fixed.solid.is_empty:
        return None, NO_WALLS
    facing = _facing(outlet)
    here = shapely.points(anchor)
    if not shapely.dwithin(fixed.solid, here, HAIR_PT):
        start: Point | None = anchor
        why: str | None = None
    elif facing is None:
        start, why = _nearest(anchor, fixed)
    else:
        start, why = _along(anchor, facing, fixed)
    if start is not None and _severed(start, outlet, fixed):
        return None, WRONG_SIDE
    return start, why


def _facing(outlet: Outlet) -> Point | None:
    """Out of the wall: the facing found with the rooms, else from the anchor to the body of the symbol."""
    if outlet.standing.facing is not None:
        return outlet.standing.facing
    anchor, at = outlet.standing.anchor, outlet.symbol.at
    away = np.subtract(at, anchor)
    length = float(np.hypot(*away))
    return (float(away[0] / length), float(away[1] / length)) if length > 1.0 else None


def _along(anchor: Point, facing: Point, fixed: Barrier) -> tuple[Point | None, str | None]:
    """The first point outside the solid on the ray from the anchor, a hair off the face."""
    reach = DEEPEST_PT + 1.0
    ray = LineString([anchor, (anchor[0] + facing[0] * reach, anchor[1] + facing[1] * reach)])
    free = shapely.get_parts(shapely.difference(ray, shapely.buffer(fixed.solid, HAIR_PT / 2, join_style="mitre")))
    free = free[~shapely.is_empty(free)]
    if not len(free):
        return None, DEEP
    starts = shapely.get_coordinates(shapely.get_point(free, 0))
    distance = np.hypot(*(starts - np.asarray(anchor)).T)
    first = int(np.argmin(distance))
    if distance[first] > DEEPEST_PT:
        return None, DEEP
    return (float(starts[first, 0]), float(starts[first, 1])), None


def _nearest(anchor: Point, fixed: Barrier) -> tuple[Point | None, str | None]:
    """Without a side: only an anchor that touches the face from outside is certain."""
    if fixed.inside(np.array([anchor]))[0]:
        return None, NO_SIDE
    return anchor, None


def _severed(start: Point, outlet: Outlet, fixed: Barrier) -> bool:
    """Is there a wall between the start and the middle of the symbol, where that is free too?"""
    at = np.array([outlet.symbol.at], float)
    if shapely.dwithin(fixed.solid, shapely.points(at[0]), HAIR_PT):
        return False
    return bool(fixed.blocked(np.array([start]), at)[0])

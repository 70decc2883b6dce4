"""Rooms whose walls are not closed towards the outdoors keep their ground, in doubt, rather than lose it silently.

Terms: *leak*, a way from a named room to the outdoors that no opening explains.  *Bay*, what a building's outline
goes round: outdoors that a gap in a wall may have cut out of a room.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.rooms.ink import polygons_only, union
from cordpath.rooms.kinds import Draft

OPEN_WALLS = "its walls are not closed towards the outside"
REACH_FT = 10.0  # half the widest gap (two garage doors) that a bay is seen behind
LEAST_FT = 1.5  # half the least width of what is taken back: slivers along walls stay outdoors


def take_back(drafts: list[Draft], outside: BaseGeometry, barrier: BaseGeometry, inch: float) -> BaseGeometry:
    """Bays beside leaking rooms become part of them, in place; returns what is left of the outdoors."""
    leaking = [d for d in drafts if OPEN_WALLS in d.reasons and not d.polygon.is_empty]
    if not leaking or outside.is_empty:
        return outside
    foot = 12 * inch
    solid = union([barrier, *(d.polygon for d in drafts)]).simplify(inch)
    round_it = solid.buffer(REACH_FT * foot, quad_segs=4).buffer(-REACH_FT * foot, quad_segs=4)
    bays = round_it.intersection(outside)
    bays = bays.buffer(-LEAST_FT * foot, join_style="mitre").buffer(LEAST_FT * foot, join_style="mitre")
    shapes = np.array([d.polygon for d in leaking], object)
    taken: list[BaseGeometry] = []
    for bay in shapely.get_parts(polygons_only(bays.intersection(outside))):
        away = shapely.distance(shapes, bay)
        if away.min() > LEAST_FT * foot:
            continue
        draft = leaking[int(np.argmin(away))]
        draft.polygon = polygons_only(shapely.union_all([draft.polygon, bay]))
        taken.append(bay)
    return polygons_only(outside.difference(union(taken))) if taken else outside

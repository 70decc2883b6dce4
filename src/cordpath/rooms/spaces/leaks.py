"""Rooms whose walls are not closed towards the outdoors keep their ground, in doubt, rather than lose it silently.

Terms: *leak*, a way from a named room to the outdoors that no opening explains.  *Bay*, what a building's outline
goes round: outdoors that a gap in a wall may have cut out of a room.  *Stranded*, a room's name that lies in what
would be the outdoors.
"""

from __future__ import annotations

import re

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.rooms.ink import polygons_only, union
from cordpath.rooms.names.kinds import Draft
from cordpath.rooms.names.tags import Tag

OPEN_WALLS = "its walls are not closed towards the outside"
REACH_FT = 10.0  # half the widest gap (two garage doors) that a bay is seen behind
# Stranded names from which the outdoors are in doubt: one alone may belong to a note or a title, and few names
# stand beside a plan whose rooms are closed.
STRANDED, STRANDED_SHARE = 2, 0.3
LEAKING_SHARE = 0.5  # of the rooms with names: porches and car ports leave one or two of a house open
# titles of drawings that stop in the middle of a building (common practice, no source)
CROPPED = re.compile(r"\b(?:ENLARGED?|ENLARGEMENT|BLOW[- ]?UP|LARGE[- ]SCALE|PARTIAL|PART PLAN)\b")
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


def stranded(tags: list[Tag], drafts: list[Draft], outside: BaseGeometry, title: str | None = None) -> str | None:
    """Why the outdoors cannot be believed: many names of rooms lie there, so that their walls were not found, or
    the view's ``title`` says that it shows a part of the building, whose other rooms begin behind its walls."""
    if CROPPED.search((title or "").upper()):
        return "the drawing shows a part of the building, and other rooms may lie around it"
    indoor = [t for t in tags if t.meaning is None or t.meaning.kind != "outdoors"]
    points = shapely.points(np.array([t.at for t in indoor], float).reshape(-1, 2))
    lost = shapely.intersects(outside, points) & ~shapely.intersects(union([d.polygon for d in drafts]), points)
    leaking = [d for d in drafts if OPEN_WALLS in d.reasons]
    rooms = sum(d.tag is not None for d in drafts)
    if len(leaking) >= max(STRANDED, LEAKING_SHARE * rooms):
        names = ", ".join(d.name for d in leaking)
        return f"rooms are open to it ({names}): their walls were not recognised"
    if lost.sum() < max(STRANDED, 0 if leaking else STRANDED_SHARE * len(indoor)):
        return None
    names = ", ".join(t.text for t, away in zip(indoor, lost, strict=True) if away)
    return f"names of rooms lie in it ({names}): their walls were not recognised"

"""Open plans: the kitchen is where its counters, sink and cooking are, and the line that divides it is told.

Terms: *works*, sink, cooking and counters that were found as symbols.  *Ground*, the floor that they are used from.
*Border*, the line between two rooms that no wall divides: a guess, with a confidence.

Nothing on the drawing divides such rooms, so their border first runs half way between their names.  Where works
stand across it, near the kitchen, their ground belongs to the kitchen.  Every rule for the kitchen asks for as much
as those for the rooms beside it or more, so a border that is moved away from the works clears nothing.
"""

from __future__ import annotations

from itertools import combinations

import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import Border, Room, Symbol
from cordpath.rooms.ink import polygons_only
from cordpath.rooms.names.kinds import Draft

WORKS = frozenset({"sink", "range", "cooktop", "wall oven", "dishwasher", "disposer", "countertop"})
NEAR_IN = 48.0  # works this near to the kitchen are its own: an aisle between counters (common practice, no source)
STAND_IN = 30.0  # depth of the floor in front of works: clear floor to stand on (common practice, no source)
MOST = 0.5  # of a neighbour's area: works that would take more make no border
TOUCH_PT = 0.1  # pt: rooms this close have a border
SHORTEST_IN = 6.0  # of a border: less is a corner that two rooms share
YIELDS = frozenset({"dining", "living", "hall", "other", "unknown"})  # rooms that a kitchen is open to
UNTOLD = 0.7  # confidence of a border that is half way between two names
WORKED = 0.85  # of one that runs along the ground of the kitchen's works


def follow_works(drafts: list[Draft], symbols: tuple[Symbol, ...], inch: float) -> set[int]:
    """Move the borders of kitchens, in place; the seeds of those that were moved."""
    by_seed = {draft.seed: draft for draft in drafts if draft.seed is not None}
    works = [symbol.footprint for symbol in symbols if symbol.kind in WORKS and symbol.found]
    moved: set[int] = set()
    for draft in drafts:
        mates = [by_seed[k] for k in draft.open_with if k in by_seed]
        if _kind(draft) != "kitchen" or not mates or any(_kind(mate) in ("kitchen", "food area") for mate in mates):
            continue
        near = draft.polygon.buffer(NEAR_IN * inch)
        for mate in mates:
            mine = [shape for shape in works if _stands(shape, mate) and near.intersects(shape)]
            if mine and _kind(mate) in YIELDS and _give(draft, mate, mine, inch) and draft.seed is not None:
                moved.add(draft.seed)
    return moved


def _kind(draft: Draft) -> str:
    return draft.tag.meaning.kind if draft.tag is not None and draft.tag.meaning is not None else "unknown"


def _stands(shape: BaseGeometry, draft: Draft) -> bool:
    return bool(draft.polygon.intersection(shape).area >= 0.5 * shape.area > 0)


def _give(kitchen: Draft, mate: Draft, works: list[BaseGeometry], inch: float) -> bool:
    """Give the ground of works that stand in a neighbour to the kitchen; False where that cannot be meant."""
    joined = shapely.union_all(
        [*works, kitchen.polygon.intersection(shapely.union_all(works).buffer(NEAR_IN * inch))]
    )
    ground = shapely.union_all(works).buffer(STAND_IN * inch, join_style="mitre")
    ground = shapely.union_all([ground, joined.convex_hull]).intersection(mate.polygon)
    whole = polygons_only(shapely.union_all([kitchen.polygon, ground.buffer(TOUCH_PT)]))
    pieces = shapely.get_parts(whole)
    # Only ground that joins on: what a third room lies between is another kitchen's.
    mine = max(pieces, key=lambda piece: piece.intersection(kitchen.polygon).area)
    rest = polygons_only(mate.polygon.difference(mine))
    if rest.area < (1 - MOST) * mate.polygon.area or mate.tag is None or mine.covers(shapely.Point(mate.tag.at)):
        return False
    kitchen.polygon, mate.polygon = mine, rest
    return True


def borders(rooms: tuple[Room, ...], moved: set[str], walls: BaseGeometry, inch: float) -> tuple[Border, ...]:
    """The borders of rooms that no wall divides; ``moved``: ids of kitchens whose borders follow their works."""
    found = []
    for a, b in combinations(rooms, 2):
        if b.id not in a.open_to and a.id not in b.open_to:
            continue
        line = a.polygon.boundary.intersection(b.polygon.buffer(TOUCH_PT)).difference(walls.buffer(TOUCH_PT))
        line = shapely.line_merge(
            shapely.union_all([p for p in shapely.get_parts(line) if p.geom_type == "LineString"])
        )
        if line.length >= SHORTEST_IN * inch:
            sure = WORKED if {a.id, b.id} & moved else UNTOLD
            found.append(Border((a.id, b.id), line, min(sure, a.confidence, b.confidence)))
    return tuple(found)

"""Outlets from which nothing certain can be measured, with the reason: never to be read as "nothing is near".

Terms
    *space*     a connected part of the plan that no barrier crosses, doors and openings taken as open.
    *sealed*    a space with no way out: as a rule a door was missed, or a screen or outline was taken for a wall.
    *wing*      what is drawn as a wall with the same room on both sides.  One that stands alone, is thin or closes
                round something may be a half wall, a railing or a counter, over which a cord goes.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.model import (
    BASIN_KINDS,
    TUB_KINDS,
    Fixture,
    FloorPlan,
    Outlet,
    Point,
    Scale,
    Symbol,
    SymbolEntry,
)  # fmt: skip
from cordpath.reach.barriers import HAIR_PT, Barrier, fixed_barrier
from cordpath.reach.goals import Goal, goal
from cordpath.reach.paths import NEAR_FT, cord_paths, in_view
from cordpath.reach.starts import NO_SIDE, free_start

REACH_FT = 6.0  # the limit itself
# From the middle of a wall to its face at most: stone, or brick on blocks (common practice, no source)
THICK_FT = 1.25
# Half walls are as thick as walls: of studs or of blocks, with a bar's top on them (common practice, no source).
LOW_IN = 10.0
OVER_WING = "over what is drawn as a wall within the room, and may be a half wall, a railing or a counter"
SLENDER = 0.5  # of the walls' mean thickness: railings and lines of counters are thinner
LONE = 0.9  # of its smallest rectangle: a piece of wall that fills as much is one bar, and joins no other
ISLAND_SQFT = 20.0  # a room has more; what lines close round within a room is a counter, an island or a machine


def reach_problems(
    outlets: tuple[Outlet, ...], plan: FloorPlan, fixtures: tuple[Fixture, ...] = (), scale: Scale | None = None
) -> tuple[tuple[str, str], ...]:
    """(outlet id, why) of every outlet of this plan's view whose lack of a cord path proves nothing.

    Always: outlets that have no place to start from, unless it is only that the side of their wall is not known
    and nothing measured stands near either side.  With ``fixtures`` and ``scale`` also outlets within
    ``NEAR_FT`` in a straight line of a bowl, tub or shower to which no path was found because either stands in a
    sealed space or the fixture's outline lies inside walls, unless another one is surely within reach under every
    edition: by a path through no door, and not longer than ``REACH_FT``.  And outlets from which a cord reaches a
    match line, since what stands beyond it is not on this sheet.
    """
    fixed = fixed_barrier(plan)
    found: list[tuple[str, str]] = []
    placed: list[tuple[Outlet, Point]] = []
    for outlet in outlets:
        if not in_view(outlet, plan):
            continue
        start, why = free_start(outlet, fixed)
        if why == NO_SIDE and _far_from_all(outlet, fixtures, plan, scale):
            continue
        if start is None:
            found.append((outlet.id, why or "its anchor has no place"))
        else:
            placed.append((outlet, start))
    if fixtures and scale is not None and scale.measurable:
        found += _doubtful(placed, _measured(fixtures, plan), plan, scale, fixed)
        told = {outlet_id for outlet_id, _ in found}
        found += [each for each in _over_wings(placed, _measured(fixtures, plan), plan, scale, fixed)
                  if each[0] not in told]  # fmt: skip
    if scale is not None and scale.measurable and plan.match_lines is not None:
        told = {outlet_id for outlet_id, _ in found} | _reached(placed, _measured(fixtures, plan), plan, scale)
        found += [problem for problem in _cut_off(placed, plan, scale) if problem[0] not in told]
    order = {outlet.id: i for i, outlet in enumerate(outlets)}
    return tuple(sorted(found, key=lambda problem: order[problem[0]]))


def _far_from_all(outlet: Outlet, fixtures: tuple[Fixture, ...], plan: FloorPlan, scale: Scale | None) -> bool:
    """Is whatever rules measure to farther than a cord from both sides of the outlet's wall?"""
    if scale is None or not scale.measurable or plan.match_lines is not None:
        return False
    far = (NEAR_FT + THICK_FT + outlet.standing.anchor_tolerance_ft) * scale.points_per_foot
    shapes = [f.symbol.edge or f.symbol.footprint for f in _measured(fixtures, plan)]
    return not shapely.dwithin(shapely.points(outlet.standing.anchor), np.array(shapes, object), far).any()


def _measured(fixtures: tuple[Fixture, ...], plan: FloorPlan) -> tuple[Fixture, ...]:
    """The fixtures of the plan's view that rules measure to."""
    return tuple(f for f in fixtures if in_view(f, plan) and f.symbol.kind in BASIN_KINDS | TUB_KINDS)


def _reached(
    placed: list[tuple[Outlet, Point]], fixtures: tuple[Fixture, ...], plan: FloorPlan, scale: Scale
) -> set[str]:
    """Outlets that are surely within reach of a fixture under every edition."""
    paths = cord_paths(tuple(outlet for outlet, _ in placed), fixtures, plan, scale, "blocking", NEAR_FT)
    return {path.outlet for path in paths if path.length_ft + path.uncertainty_ft <= REACH_FT}


def _doubtful(
    placed: list[tuple[Outlet, Point]], fixtures: tuple[Fixture, ...], plan: FloorPlan, scale: Scale, fixed: Barrier
) -> list[tuple[str, str]]:
    foot = scale.points_per_foot
    reached = _reached(placed, fixtures, plan, scale)
    rest = [(outlet, start) for outlet, start in placed if outlet.id not in reached]
    if not rest:
        return []
    spaces = _spaces(fixed)
    found: dict[str, tuple[float, str]] = {}
    for fixture in fixtures:
        edge = fixture.symbol.edge
        if edge is None or edge.is_empty:
            continue
        target = goal(fixture, fixed, plan, foot)
        away = shapely.distance(shapely.points([start for _, start in rest]), edge) / foot
        for i in np.flatnonzero(away <= NEAR_FT):
            outlet, start = rest[i]
            why = _why(start, target, spaces)
            if why is not None and away[i] < found.get(outlet.id, (np.inf, ""))[0]:
                text = f"{away[i]:.1f} ft in a straight line from the {fixture.symbol.kind} {fixture.id}, {why}"
                found[outlet.id] = (float(away[i]), text)
    return [(outlet_id, text) for outlet_id, (_, text) in found.items()]


def _over_wings(
    placed: list[tuple[Outlet, Point]], fixtures: tuple[Fixture, ...], plan: FloorPlan, scale: Scale, fixed: Barrier
) -> list[tuple[str, str]]:
    """Outlets within reach in a straight line that crosses wings, unless a path is surely within reach."""
    foot = scale.points_per_foot
    near = [(o, at, f) for o, at in placed for f in fixtures if f.symbol.edge is not None
            and f.symbol.edge.distance(shapely.Point(at)) <= NEAR_FT * foot]  # fmt: skip
    if not near or fixed.solid.is_empty:
        return []
    reached = _reached([(outlet, at) for outlet, at, _ in near], fixtures, plan, scale)
    thick = shapely.buffer(fixed.solid, -LOW_IN / 2 / 12 * foot, join_style="mitre")
    usual = 2 * fixed.solid.area / fixed.solid.length  # the mean thickness of strips much longer than thick
    broad = shapely.buffer(fixed.solid, -SLENDER * usual / 2, join_style="mitre")
    shapely.prepare((thick, broad))
    found: dict[str, tuple[float, str]] = {}
    for outlet, at, fixture in near:
        area = goal(fixture, fixed, plan, foot).area
        if outlet.id in reached or area.is_empty:
            continue
        way = shapely.shortest_line(shapely.Point(at), area)
        length = way.length / foot
        slack = scale.tolerance * length + outlet.standing.anchor_tolerance_ft
        free = way.difference(fixed.core)
        if length - slack > REACH_FT or way.intersects(thick) or not _may_be_low(way, fixed, broad):
            continue
        others = _other_ground(outlet, fixture, plan, foot)
        if others is not None and not free.intersects(others) and length < found.get(outlet.id, (np.inf, ""))[0]:
            name = f"{fixture.symbol.kind} {fixture.id}"
            found[outlet.id] = length, f"{length:.1f} ft in a straight line from the {name}, {OVER_WING}"
    return [(outlet_id, text) for outlet_id, (_, text) in found.items()]


def _may_be_low(way: BaseGeometry, fixed: Barrier, broad: BaseGeometry) -> bool:
    """Is what a line crosses drawn otherwise than a wall of the building?  That is one strip, as thick as the walls
    are and joined to another; a low wall that is drawn so, and that no note calls low, is taken for a wall.
    ``broad``: what walls have more than SLENDER of their thickness."""
    crossed = [part for part in shapely.get_parts(way.intersection(fixed.core)) if part.length > 0]
    if len(crossed) != 1:
        return len(crossed) > 1
    if not way.intersects(broad):
        return True
    piece = next(part for part in shapely.get_parts(fixed.solid) if part.intersects(crossed[0]))
    return bool(piece.area >= LONE * piece.minimum_rotated_rectangle.area)


def _other_ground(outlet: Outlet, fixture: Fixture, plan: FloorPlan, foot: float) -> BaseGeometry | None:
    """The rooms in which neither stands; None where those two are not open to one another."""
    room, other = plan.room(outlet.standing.room), plan.room(fixture.room)
    if room is None or other is None or not (room is other or other.id in room.open_to or room.id in other.open_to):
        return None
    doors = shapely.union_all(list(plan.doors))
    rooms = [each.polygon for each in plan.rooms if each.id not in (room.id, other.id)
             and (each.polygon.area >= ISLAND_SQFT * foot**2
             or each.polygon.dwithin(doors, THICK_FT * foot))]  # fmt: skip
    return shapely.union_all(rooms)


def _cut_off(placed: list[tuple[Outlet, Point]], plan: FloorPlan, scale: Scale) -> list[tuple[str, str]]:
    """Outlets from which a cord reaches a match line: what stands beyond it is drawn on another sheet."""
    entry = SymbolEntry("match line", "sink")
    nothing = np.zeros(0, np.int64)
    beyond = tuple(
        Fixture(
            f"m{k}",
            Symbol(entry, line.coords[0], 0.0, False, 1.0, 1.0, True, plan.view, line, nothing, line),
            None,
        )
        for k, line in enumerate(shapely.get_parts(plan.match_lines))
    )
    near: dict[str, float] = {}
    for path in cord_paths(tuple(outlet for outlet, _ in placed), beyond, plan, scale, "open", NEAR_FT):
        near[path.outlet] = min(near.get(path.outlet, np.inf), path.length_ft)
    return [
        (
            outlet,
            f"{length:.1f} ft from a match line: a sink, tub or shower may stand beyond it, on another sheet",
        )
        for outlet, length in near.items()
    ]


def _spaces(fixed: Barrier) -> NDArray[np.object_]:
    """The spaces of the plan; the first is the open outside."""
    x0, y0, x1, y1 = fixed.solid.bounds
    # The frame leaves a margin of 1 pt all around, so that the outside is one space.
    frame = shapely.box(x0, y0, x1, y1).buffer(1.0, join_style="mitre")
    parts = shapely.get_parts(shapely.difference(frame, fixed.core))
    outside = shapely.intersects(parts, frame.exterior)
    return np.concatenate([parts[outside], parts[~outside]])


def _why(start: Point, target: Goal, spaces: NDArray[np.object_]) -> str | None:
    """Why the lack of a path proves nothing; None where there is a way that is merely too long."""
    if target.area.is_empty:
        return "whose outline lies wholly inside walls"
    mine, other = _at(shapely.points(start), spaces), _at(target.area, spaces)
    if mine & other:
        return None
    return "but no door or opening was found that joins its space to the outlet's"


def _at(place: BaseGeometry, spaces: NDArray[np.object_]) -> set[int]:
    """Spaces that a place lies in or touches; 0 is the outside, also for places beyond the frame."""
    found = {int(i) for i in np.flatnonzero(shapely.dwithin(spaces, place, HAIR_PT / 2))}
    return found or {0}

"""The distance rules: is an outlet within the edition's reach of a sink, tub or shower?

Glossary
    reach        the limit of the edition, 6 ft
    length       of the cord path in the plan: a lower bound of the real one, since heights only add
    doorway      a door, or an opening no wider than one
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import sides_around
from cordpath.model import BASIN_KINDS, Answer, CordPath, Fixture, FloorPlan, Symbol
from cordpath.rules.facts import CONFIDENCE_FLOOR, Facts
from cordpath.rules.told import Told, no, unknown
from cordpath.rules.undrawn import KINDS, loose_fixture, over_low_wall, target_name, undrawn, unsearched

# A sink's outer edge is up to 3 in beyond its bowl, and so is a tub's beyond its inner edge; common practice.
RIM_FT = 0.25
# A pair of 3 ft doors, the widest that rooms of a house are commonly closed with (common practice, no source):
# a wider opening without a leaf is perhaps not a doorway that ends the path.
DOORWAY_FT = 6.0
OVER_FT = 0.25  # of a path on either side of a line that it crosses: less is the face that the outlet stands at


def within(target: str, facts: Facts) -> Told:
    """Within reach of a ``sink`` or a ``tub`` (tub or shower)."""
    kinds = KINDS[target]
    doubts = unmeasured(target, facts)
    if doubts is not None:
        return doubts
    paths = _to(kinds, facts, facts.scene.paths)
    told = [_if_no_wall_ends_it(path, fixture, facts) for path, fixture in paths]
    perhaps = [_if_it_counts(*each, facts) for each in _to(kinds, facts, facts.scene.through_doors)]
    told += [each for each in perhaps if each is not None]
    told += [_if_windows_count(*each, facts) for each in _to(kinds, facts, facts.scene.through_glass)]
    for answer in (Answer.YES, Answer.UNKNOWN):
        for each in told:
            if each.answer is answer:
                return each
    measured = {fixture.id for _, fixture in paths}
    loose = loose_fixture(target, facts, measured) or undrawn(target, facts) or unsearched(target, facts, measured)
    loose = loose or over_low_wall(target, facts)
    if loose is not None:
        return loose
    return told[0] if told else no(f"no {target_name(target)} is within reach of a cord")


def _to(kinds: frozenset[str], facts: Facts, paths: dict[str, list[CordPath]]) -> list[tuple[CordPath, Fixture]]:
    """The outlet's paths to fixtures of these kinds, nearest first."""
    found = [
        (path, fixture)
        for path in paths.get(facts.outlet.id, ())
        if (fixture := facts.scene.fixtures.get(path.fixture)) is not None and fixture.symbol.kind in kinds
    ]
    return sorted(found, key=lambda pair: (pair[0].length_ft, pair[1].id))


def _if_it_counts(path: CordPath, fixture: Fixture, facts: Facts) -> Told | None:
    """By a path that counts only if doors, or what may be a doorway, do not end it; None where they do."""
    told, because = by_path(path, fixture, facts), "by way of a door or doorway"
    question = f"Does a door or doorway end the path? The {facts.scene.edition.year} edition does not say."
    if facts.scene.edition.measure.doors == "blocking":
        width = _wide_way(path, facts)
        if width is None or told.answer is Answer.NO:
            return None
        because = f"by way of an opening {width:.1f} ft wide"
        question = f"Is the opening, {width:.1f} ft wide, a doorway? One would end the path."
    if told.answer is Answer.NO:
        return told
    return replace(told, answer=Answer.UNKNOWN, because=(*told.because, because), question=question)


def _if_no_wall_ends_it(path: CordPath, fixture: Fixture, facts: Facts) -> Told:
    """By a path; unknown where it leads over a line that may be a wall, into nameless ground or out of it, or
    through what is a door or a window between two rooms."""
    told, plan, per_foot = by_path(path, fixture, facts), facts.plan, facts.points_per_foot
    if told.answer is not Answer.YES or plan is None or per_foot is None or len(path.points) < 2:
        return told
    # a shower and an outlet lie at the faces of the very wall: their middles lie on either side of it
    way = shapely.LineString([facts.symbol.at, *path.points, fixture.symbol.at])
    least = OVER_FT * per_foot
    if any(all(way.intersection(side).length > least for side in sides) for sides in _sides(plan, way)):
        question = f"Is there a wall between it and the {fixture.symbol.entry.name} {fixture.id}?"
        because = "over a line that may be a wall"
    elif facts.scene.edition.measure.doors != "open" and _between_rooms(plan, way, least):
        question = f"Does a doorway lie between it and the {fixture.symbol.entry.name} {fixture.id}?"
        because = "from room to room by an opening that may be a doorway"
    elif any(way.intersection(pane).length > least for pane in plan.panes):
        question = f"Is it a door or a window, between it and the {fixture.symbol.entry.name} {fixture.id}?"
        because = "by way of what may be a window between two rooms"
    else:
        return told
    return replace(told, answer=Answer.UNKNOWN, because=(*told.because, because), question=question)


def _between_rooms(plan: FloorPlan, way: BaseGeometry, least: float) -> bool:
    """Does a way on which no door or opening was found lead from one room to another that is not open to it?"""
    passed = [room for room in plan.rooms if way.intersection(room.polygon).length > least]
    return any(
        other.id not in (*room.open_to, room.part_of) and room.id not in (*other.open_to, other.part_of)
        for room, other in combinations(passed, 2)
    )


def _sides(plan: FloorPlan, way: BaseGeometry) -> list[tuple[BaseGeometry, BaseGeometry]]:
    """What lies on either side of each line that may be a wall: nameless ground and all else, or ground that the
    line gives to another room, with that room, and the rest of the room that has it."""
    areas = {room.id: room.polygon for room in plan.rooms}
    found = []
    for each in (each for each in plan.disputed if each.works is None):
        room, other = (areas.get(key or "") for key in each.rooms)
        rest = way if room is None or other is None else room
        here = each.area if other is None else shapely.union_all([each.area, other])
        found.append((here, rest.difference(each.area)))
    return found


def _if_windows_count(path: CordPath, fixture: Fixture, facts: Facts) -> Told:
    """By a path that goes through a window or a fixed pane, which ends it in some editions only."""
    told = by_path(path, fixture, facts)
    if told.answer is Answer.NO:
        return told
    question = f"Can a cord pass the window or pane on the way? The {facts.scene.edition.year} edition names none."
    because = (*told.because, "by way of a window or pane")
    return replace(told, answer=Answer.UNKNOWN, because=because, question=question)


def _wide_way(path: CordPath, facts: Facts) -> float | None:
    """Width, ft, of the narrowest opening on the way; None if a door or a doorway is on it, or nothing at all."""
    plan, per_foot = facts.plan, facts.points_per_foot
    if plan is None or per_foot is None or len(path.points) < 2:
        return None
    way = shapely.LineString(path.points)
    if any(way.intersects(door) for door in plan.doors):
        return None
    widths = [sides_around(opening)[0] / per_foot for opening in plan.openings if way.intersects(opening)]
    return min(widths) if widths and min(widths) > DOORWAY_FT else None


def edge_slack(fixture: Fixture, facts: Facts) -> tuple[float, float]:
    """How much shorter and longer the path may be, ft, because another edge was measured than the edition's."""
    measure, symbol = facts.scene.edition.measure, fixture.symbol
    basin = symbol.kind in BASIN_KINDS
    wanted = measure.sink_edge if basin else measure.tub_edge
    had = symbol.entry.edge or ("inner" if basin else "outer")
    if wanted == had:
        return 0.0, 0.0
    return (RIM_FT, 0.0) if wanted == "outer" else (0.0, RIM_FT)


def unmeasured(target: str, facts: Facts) -> Told | None:
    """The answer where nothing can be measured; None where it can."""
    view = facts.view
    if view is None:
        return unknown("it stands outside every drawing view", "Which drawing does it belong to?")
    why = facts.scene.problems.get(facts.outlet.id)
    if why is not None:
        return unknown(
            f"its cord paths could not be measured: {why}", f"How far is it from the next {target_name(target)}?"
        )
    if facts.points_per_foot is None:
        # What has its real size was looked for at no scale, or at a wrong one: that none was found is no proof.
        scale = facts.scale
        reason = (scale.why if scale is not None else None) or "no scale was found for it"
        return unknown(
            f"the drawing cannot be measured: {reason}",
            f"What is the scale of the drawing, or is a {target_name(target)} within 6 ft?",
        )
    if facts.plan is None:
        return unknown("no floor plan was read in its view", f"How far is it from the next {target_name(target)}?")
    return None


def by_path(path: CordPath, fixture: Fixture, facts: Facts) -> Told:
    """Length against the limit, with the uncertainty of the length on both sides."""
    limit = facts.scene.edition.measure.limit_ft
    shorter, longer = edge_slack(fixture, facts)
    length = path.length_ft if path.length_3d_ft is None else path.length_3d_ft
    loose = path.uncertainty_ft
    feet = shown_feet(length, limit)
    text = f"{feet} ft along the cord path from {edge_name(fixture)}{_how(path)}"
    if length - loose - shorter > limit:
        return Told(Answer.NO, (), (text,), None, length, fixture.id, path.points)
    if length + loose + longer > limit:
        loose += max(shorter, longer)
        because = f"{text}, which is within its uncertainty ({loose:.2f} ft) of the {limit:g} ft limit"
        ask, by = ("Confirm the dimension", "figured") if path.figured else ("Give a dimension", "scaled")
        question = f"{ask}: {feet} ft {by}, within {loose:.2f} ft of the {limit:g} ft limit."
        return Told(Answer.UNKNOWN, (because,), (), question, length, fixture.id, path.points)
    doubt = fixture_doubt(fixture.symbol)
    if doubt:
        question = f"Is {fixture.id} a {fixture.symbol.kind}?"
        return Told(Answer.UNKNOWN, (f"{text}, {doubt}",), (), question, length, fixture.id, path.points)
    because = text if path.length_3d_ft is not None else f"{text}, unless an elevation shows a longer way"
    return Told(Answer.YES, (because,), (), None, length, fixture.id, path.points)


def _how(path: CordPath) -> str:
    """What a length rests on besides the scale."""
    figured = ", by a dimension on the drawing" if path.figured else ""
    return figured + (", heights counted" if path.length_3d_ft is not None else "")


def shown_feet(length: float, limit: float) -> str:
    """Feet to a tenth; to a hundredth where a tenth would round onto the limit."""
    return f"{length:.2f}" if abs(length - limit) < 0.1 else f"{length:.1f}"


def edge_name(fixture: Fixture) -> str:
    part = "bowl" if fixture.symbol.kind in BASIN_KINDS else "edge"
    return f"the {part} of the {fixture.symbol.kind} {fixture.id}"


def fixture_doubt(symbol: Symbol) -> str | None:
    """Why a fixture is not sure to be one; None if it is."""
    if not symbol.found:
        names = " or ".join((symbol.entry.name, *symbol.rivals))
        return f"if it is what it looks like ({names})"
    if symbol.confidence < CONFIDENCE_FLOOR:
        return f"if the {symbol.entry.name} is read rightly"
    return None

"""Fixtures to which no cord path leads: doubtful ones, and those that a room must have but that were not found.

Glossary
    undrawn      a bowl or tub that a room of its kind must have but that was not found on the sheet
    least way    the least that any way to a place can measure, told without walls: straight, or by way of a portal
    portal       a door or a cased opening of a room
    compartment  a space with a tub or shower and no basin, part of the bathroom beside it
"""

from __future__ import annotations

import re

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import BASIN_KINDS, TUB_KINDS, FloorPlan, Room, Symbol
from cordpath.rules.facts import Facts, room_name
from cordpath.rules.told import Told, unknown

KINDS: dict[str, frozenset[str]] = {"sink": BASIN_KINDS, "tub": TUB_KINDS}
# A kitchen, a food area and a bathroom have a sink by their definitions (Article 100; EC&M and NFPA paraphrases).
HAVE_A_SINK = frozenset({"kitchen", "food area", "bathroom"})
NO_TUB = re.compile(r"POWDER|PWDR|\bPWD\b|\bPDR\b|HALF|1/2|½|TOILET|W\.?\s?C\b|\bLAV\b", re.IGNORECASE)
# A basin and a water closet take 18 to 30 square feet, and with a tub or a stall 33 and more; common practice.
FULL_BATH_SQFT = 33.0
SEARCHED_FT = 6.0  # the limit of every edition: as far as the reach stage tells why a way may be missing
NOTE_FT = 4.0  # from a way to a note of a low wall: beside the wall, or at the end of a leader; common practice
PORTAL_REACH_FT = 1.0  # a door's closed line lies within a wall, at most this far from the rooms it joins


def target_name(target: str) -> str:
    return "sink" if target == "sink" else "tub or shower"


def fixture_symbols(facts: Facts) -> list[Symbol]:
    """Every fixture symbol of the outlet's view, settled or not, once."""
    reading = facts.scene.reading
    found = {id(fixture.symbol): fixture.symbol for fixture in reading.fixtures}
    found |= {id(symbol): symbol for symbol in reading.spotting.symbols if symbol.is_fixture}
    return [symbol for symbol in found.values() if symbol.view == facts.view]


def loose_fixture(target: str, facts: Facts, measured: set[str]) -> Told | None:
    """An uncertain fixture, or one without an edge to measure to, that may be within reach."""
    by_symbol = {id(fixture.symbol): fixture for fixture in facts.scene.reading.fixtures}
    limit = facts.scene.edition.measure.limit_ft
    for symbol in fixture_symbols(facts):
        fixture = by_symbol.get(id(symbol))
        if symbol.kind not in KINDS[target] or (fixture is not None and fixture.id in measured):
            continue
        if fixture is not None and symbol.edge is not None:
            continue  # measured by the reach stage, which found no way within its limit
        room = fixture.room if fixture is not None else _room_at(symbol, facts.plan)
        least = least_way(facts, symbol.footprint, room)
        if least is not None and least <= limit:
            name = f"{symbol.entry.name} {fixture.id}" if fixture is not None else symbol.entry.name
            why = "which is not settled" if not symbol.found else "whose edge could not be told"
            return unknown(
                f"perhaps within {limit:g} ft of a {name}, {why}", f"How far is it from the {symbol.entry.name}?"
            )
    return None


def unsearched(target: str, facts: Facts, measured: set[str]) -> Told | None:
    """A fixture beyond the limit of every edition but within an amendment's: that no way to it was found, or none
    through glass, proves nothing.
    """
    measure, per_foot = facts.scene.edition.measure, facts.points_per_foot
    if measure.limit_ft <= SEARCHED_FT or per_foot is None:
        return None
    for fixture in facts.scene.reading.fixtures:
        symbol = fixture.symbol
        if symbol.kind not in KINDS[target] or symbol.view != facts.view or symbol.edge is None:
            continue
        away = shapely.distance(facts.anchor, symbol.edge) / per_foot - facts.outlet.standing.anchor_tolerance_ft
        silent = fixture.id not in measured or measure.windows == "unsettled"
        if silent and SEARCHED_FT < away <= measure.limit_ft:
            name = f"{symbol.entry.name} {fixture.id}"
            doubt = f"doubts of ways beyond {SEARCHED_FT:g} ft are not told"
            return unknown(
                f"perhaps within {measure.limit_ft:g} ft of the {name}: {doubt}", f"How far is it from the {name}?"
            )
    return None


def over_low_wall(target: str, facts: Facts) -> Told | None:
    """Unknown where a fixture is within reach in a straight line that passes by such a note; None elsewhere."""
    per_foot, notes = facts.points_per_foot, facts.scene.low_walls
    if per_foot is None or not notes:
        return None
    limit, slack = facts.scene.edition.measure.limit_ft, facts.outlet.standing.anchor_tolerance_ft
    spots = shapely.points(np.array(notes))
    for fixture in facts.scene.reading.fixtures:
        symbol = fixture.symbol
        if symbol.kind not in KINDS[target] or symbol.view != facts.view:
            continue
        way = shapely.shortest_line(facts.anchor, symbol.footprint if symbol.edge is None else symbol.edge)
        if way.length / per_foot - slack > limit or shapely.distance(spots, way).min() > NOTE_FT * per_foot:
            continue
        name = f"{symbol.entry.name} {fixture.id}"
        return unknown(
            f"{way.length / per_foot:.1f} ft straight from the {name}, by a note of a low wall or an opening",
            f"Can a cord go over the low wall or through the opening that is noted near it, to the {name}?",
        )
    return None


def _room_at(symbol: Symbol, plan: FloorPlan | None) -> str | None:
    point = symbol.footprint.centroid
    rooms = plan.rooms if plan is not None else ()
    return next((room.id for room in rooms if room.polygon.covers(point)), None)


def lacking(target: str, facts: Facts) -> list[Room]:
    """Rooms of the view that must have such a fixture but in which none was found."""
    plan = facts.plan
    if plan is None:
        return []
    there = [
        symbol for symbol in fixture_symbols(facts) if not symbol.unnamed
    ]  # what may be a sink fills no room's need
    any_tub = any(s.kind in TUB_KINDS for s in facts.scene.reading.spotting.symbols) or any(
        fixture.symbol.kind in TUB_KINDS for fixture in facts.scene.reading.fixtures
    )
    foot = facts.points_per_foot
    return [room for room in plan.rooms if _lacks(target, room, there, any_tub, plan.rooms, foot)]


def _lacks(
    target: str, room: Room, there: list[Symbol], any_tub: bool, rooms: tuple[Room, ...], foot: float | None
) -> bool:
    inside = _kinds_in(room, there)
    if target == "sink":
        return room.kind in HAVE_A_SINK and room.part_of is None and not inside & BASIN_KINDS
    if room.kind != "bathroom" or inside & TUB_KINDS or NO_TUB.search(room.name):
        return False
    if not any_tub or not inside & BASIN_KINDS:
        return True
    if foot is None or room.polygon.area < FULL_BATH_SQFT * foot**2:
        return False
    near = [r for r in rooms if r is not room and r.polygon.distance(room.polygon) < PORTAL_REACH_FT * foot]
    return not any(_is_compartment(each, there) for each in near)


def _kinds_in(room: Room, there: list[Symbol]) -> set[str]:
    return {symbol.kind for symbol in there if room.polygon.intersects(symbol.footprint)}


def _is_compartment(room: Room, there: list[Symbol]) -> bool:
    """A space with a tub or shower and no basin: the basin is in the room that it belongs to."""
    inside = _kinds_in(room, there)
    return bool(inside & TUB_KINDS) and not inside & BASIN_KINDS


def undrawn(target: str, facts: Facts) -> Told | None:
    """Unknown where a room that must have a sink, tub or shower shows none and may be within reach.

    A bowl that is not drawn, or that the mapping file does not name, has no path; what can be told is the least
    way into its room.  Only outlets of that room, of rooms open to it, or near its door are asked about.
    """
    limit = facts.scene.edition.measure.limit_ft
    for room in lacking(target, facts):
        least = least_way(facts, room.polygon, room.id)
        if least is not None and least <= limit:
            name = room_name(room)
            return unknown(
                f"no {target_name(target)} was found in {name}, though it must have one",
                f"How far is it from the {target_name(target)} of {name}? Is that fixture in the mapping file?",
            )
    return None


def least_way(facts: Facts, to: BaseGeometry, room_id: str | None) -> float | None:
    """Least possible way, ft, from the outlet to ``to`` in a room; None if there is no way at all.

    Straight within a room, between rooms open to each other, and where a room is not known; through a portal
    of the target's room otherwise (doors count only if the edition lets a path through them).
    """
    per_foot, plan = facts.points_per_foot, facts.plan
    if per_foot is None or plan is None:
        return None
    slack = facts.outlet.standing.anchor_tolerance_ft
    straight = shapely.distance(facts.anchor, to) / per_foot - slack
    target, rooms = plan.room(room_id), facts.place.rooms
    if target is None or not facts.place.settled or not rooms:
        return straight
    if any(room.id == target.id or target.id in room.open_to or room.id in target.open_to for room in rooms):
        return straight
    doors = () if facts.scene.edition.measure.doors == "blocking" else plan.doors
    reach = PORTAL_REACH_FT * per_foot
    ways = [(shapely.distance(facts.anchor, portal) + shapely.distance(portal, to)) / per_foot - slack
            for portal in (*doors, *plan.openings)
            if shapely.distance(portal, target.polygon) <= reach]  # fmt: skip
    return min(ways, default=None)

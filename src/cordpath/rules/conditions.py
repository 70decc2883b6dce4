"""Each condition of the rule language, asked of one outlet in one candidate room: yes, no or unknown.

A condition about the room is unknown without a room.  Where silence means something it is said here: a receptacle
serves nothing in particular unless the drawing says so, while fixed wiring always serves something.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import replace
from fnmatch import fnmatchcase

import shapely

from cordpath.model import BASEMENT, LOWER_LEVEL, OTHER_STOREY, Answer, Fixture, Room
from cordpath.rules.appliances import OFF_COUNTER
from cordpath.rules.distance import within
from cordpath.rules.edition import Clause, Condition
from cordpath.rules.facts import Facts, room_name
from cordpath.rules.served import serves
from cordpath.rules.told import WHICH_ROOM, Told, all_of, any_of, no, unknown, yes

# A bar or a coffee station is one run of counter with its sink, of 12 ft at most; common practice, no source.
AROUND_FT = 12.0
# Their sinks have areas with rules of their own, which a border that no wall makes does not widen.
OWN_AREA = frozenset({"kitchen", "food area", "bathroom", "laundry"})
# What is plugged in at a counter is of 120 V or of 20 A; ranges ask for more of both (common practice, no source).
COUNTER_VOLTS, COUNTER_AMPERES = 130.0, 20.0
BESIDE_FT = 0.5  # an outlet behind an appliance is drawn within its outline, or at its back
LARGEST_PER_FOOT = 36.0  # pt, 1/2" = 1'-0": the largest usual scale of a plan of rooms; common practice
IN_PLACE = {
    "outdoors": "outdoors", "damp or wet": "in a damp or wet place", "food area": "in an area for food and drink",
    "laundry": "in a laundry area", "living": "in a living room", "dining": "in a dining room",
    "utility": "in a utility room", "other": "in a room of another kind", "attic": "in an attic",
}  # fmt: skip
FACT_WORDS = {
    "single_receptacle": "a single receptacle", "dedicated_circuit": "on a circuit of its own",
    "hard_wired": "wired without a plug",
}  # fmt: skip
LONGEST_NAME = 200  # characters of a name that are matched; a room's name is far shorter
OTHER_LEVEL = re.compile(OTHER_STOREY, re.IGNORECASE)
ANY_LEVEL = re.compile(rf"{OTHER_LEVEL.pattern}|\b(?:LEVEL|FLOOR) ?[1-9]\b", re.IGNORECASE)
# Titles in other spellings and words, without their dots and apostrophes; common practice, no source.
_SPELT = tuple(
    (re.compile(pattern), word)
    for pattern, word in (
        (rf"\b{BASEMENT}\b", "BASEMENT"), (r"\bLVL\b", "LEVEL"), (r"\bFLR?\b", "FLOOR"),
        (r"\bWALK OUT\b", "WALKOUT"), (r"\bGARDEN FLOOR\b", "GARDEN LEVEL"),
        (r"\bDET(?= GAR)", "DETACHED"), (r"\bGAR\b", "GARAGE"), (r"^GARAGE(?: FLOOR| LEVEL|$)", "GARAGE PLAN"),
        (r"\b(?:(?:STORAGE|UTILITY) BUILDING|(?:POOL|PUMP|GREEN) ?HOUSE|CABANA|STABLE|SHOP)\b", "OUTBUILDING"),
        (LOWER_LEVEL, "LOWER LEVEL"),
    )
)  # fmt: skip


def in_kind(room: Room) -> str:
    """``in a bathroom (BATH 2)``."""
    article = "an" if room.kind[0] in "aeiou" else "a"
    place = IN_PLACE.get(room.kind, f"in {article} {room.kind}")
    return f"{place} ({room.name})" if room.name else place


def ask(condition: Condition, facts: Facts, room: Room | None) -> Told:
    """One condition."""
    if condition.name == "view":
        return _view(condition, facts, room)
    if condition.name not in _OF_ROOM:
        return _OF_OUTLET[condition.name](condition, facts)
    if room is None:
        return unknown("its room is not settled", WHICH_ROOM)
    return _OF_ROOM[condition.name](condition, facts, room)


def clause(found: Clause, facts: Facts, room: Room | None) -> Told:
    """All conditions of a clause; with ``ask`` a yes becomes a question."""
    told = all_of(ask(condition, facts, room) for condition in found.conditions)
    if found.takes and told.answer is not Answer.NO:
        told = all_of((told, yes(found.takes)))
    if found.ask and told.answer is not Answer.NO:
        told = all_of((unknown("", found.ask), told))
    return told


# ------------------------------------------------------------------------------------------- conditions


def _room(condition: Condition, facts: Facts, room: Room) -> Told:
    if room.kind == "unknown":
        name = room_name(room)
        return unknown(f"what kind of room {name} is could not be told", f"What kind of room is {name}?")
    if room.kind in condition.value:
        return yes(in_kind(room))
    told = next((kind for kind in room.also if kind in condition.value), None)
    if told == "basement":
        return yes(in_kind(replace(room, kind=told)))
    if told is not None:
        return unknown(f"{room.name} names a place of several uses", f"Is it in the {told} of {room.name}?")
    return no(f"it is {in_kind(room)}")


def _named(condition: Condition, facts: Facts, room: Room) -> Told:
    held = _matches(room.name, condition.value)
    return yes(f"in {room.name}") if held else no()


def _matches(text: str, patterns: tuple[str, ...]) -> bool:
    plain = " ".join(text.upper().split())[:LONGEST_NAME]
    return any(fnmatchcase(plain, pattern.upper()) for pattern in patterns)


def _titled(title: str, patterns: tuple[str, ...]) -> bool:
    """Does a title match, as written or with its words spelt out: BSM'T, LWR. LVL., LEVEL B1?"""
    spelt = re.sub(r"[.'’]", "", title.upper())
    for word, plain in _SPELT:
        spelt = word.sub(plain, spelt)
    return _matches(title, patterns) or _matches(spelt, patterns)


def _view(condition: Condition, facts: Facts, room: Room | None) -> Told:
    title, sheet = facts.scene.titles.get(facts.view or "", ""), facts.scene.sheet_title
    what, sure = "drawing", True
    if not _titled(title, condition.value):
        # FLOOR PLAN on a sheet titled BASEMENT: the sheet tells the level of a drawing that names none.
        if ANY_LEVEL.search(title) or not _titled(sheet, condition.value):
            return no()
        title, what, sure = sheet, "sheet", len(facts.scene.titles) == 1
    if room is not None and room.kind in ("outdoors", "crawl space"):
        return no()  # a basement plan also shows what is beside the basement
    if OTHER_LEVEL.search(title):
        return unknown(f"the title {title} names several levels", "On which level is it?")
    if not sure:
        return unknown(f"on the sheet titled {title}, which has several drawings", "On which level is it?")
    return yes(f"on the {what} titled {title}")


def _finished(condition: Condition, facts: Facts, room: Room) -> Told:
    (wanted,) = condition.value
    word = "finished" if wanted else "unfinished"
    if room.finished is None:
        if room.kind in ("bedroom", "living", "dining", "bathroom", "kitchen"):
            return no(f"{room_name(room)} is a room for living") if not wanted else yes("a room for living")
        name = room_name(room)
        return unknown(f"{name} may be {word}", f"Is {name} finished as a room for living, or unfinished?")
    return yes(word) if room.finished is wanted else no(f"{room_name(room)} is not {word}")


def _holds(condition: Condition, facts: Facts, room: Room) -> Told:
    told = any_of(_held(fixture, room) for fixture in _fixtures(condition, facts))
    return told if told.answer is not Answer.NO else no()


def _fixtures(condition: Condition, facts: Facts) -> list[Fixture]:
    """Those of the outlet's view that a condition names."""
    found = facts.scene.reading.fixtures
    return [each for each in found if each.symbol.kind in condition.value and each.symbol.view == facts.view]


def _held(fixture: Fixture, room: Room) -> Told:
    """Does a fixture stand in a room?  One whose room is not settled may stand in every room that it touches."""
    kind, name = fixture.symbol.kind, room_name(room)
    if fixture.room is None and shapely.intersects(fixture.symbol.footprint, room.polygon):
        return unknown(f"perhaps with a {kind} ({fixture.id}) in {name}", f"Is {fixture.id} in {name}?")
    if fixture.room != room.id:
        return no()
    text = f"with a {kind} ({fixture.id}) in {name}"
    return yes(text) if fixture.symbol.found else unknown(text, f"Is {fixture.id} a {kind}?")


def _around(condition: Condition, facts: Facts, room: Room) -> Told:
    """Is there such a fixture not far off, in the same room or in one that no wall divides from it?"""
    mates = (facts.plan.room(each) for each in room.open_to) if facts.plan is not None else ()
    places = (room, *(mate for mate in mates if mate is not None and mate.kind not in OWN_AREA))
    return any_of(_near_one(each, place, facts) for each in _fixtures(condition, facts) for place in places)


def _near_one(fixture: Fixture, place: Room, facts: Facts) -> Told:
    """A fixture that stands in a place, as far as it is within ``AROUND_FT`` in a straight line."""
    held, per_foot = _held(fixture, place), facts.points_per_foot
    if held.answer is Answer.NO or per_foot is None:
        return held
    away = shapely.distance(fixture.symbol.footprint, facts.anchor) / per_foot
    if away - facts.outlet.standing.anchor_tolerance_ft <= AROUND_FT:
        return held
    return no(
        f"the {fixture.symbol.kind} {fixture.id} is {away:.0f} ft away, farther than an area about it reaches"
    )


def _beside(condition: Condition, facts: Facts) -> Told:
    return any_of(_at(fixture, facts) for fixture in _fixtures(condition, facts))


def _at(fixture: Fixture, facts: Facts) -> Told:
    """Does an outlet stand at a fixture?"""
    kind, per_foot = fixture.symbol.kind, facts.points_per_foot
    text, question = f"at a {kind} ({fixture.id})", f"Does the outlet stand at the {kind} {fixture.id}?"
    if _behind_a_wall(fixture, facts):
        return no()
    away = float(shapely.distance(fixture.symbol.footprint, facts.anchor))
    reach = BESIDE_FT + facts.outlet.standing.anchor_tolerance_ft
    if away > 0 and per_foot is None:
        close = away <= reach * LARGEST_PER_FOOT
        return unknown(f"perhaps {text}: the drawing has no scale", question) if close else no()
    if away > reach * (per_foot or 0.0):
        return no()
    return yes(text) if fixture.symbol.found else unknown(text, f"Is {fixture.id} a {kind}?")


def _behind_a_wall(fixture: Fixture, facts: Facts) -> bool:
    """Does the outlet open into another room than the fixture stands in, from a wall that divides the two?"""
    standing = facts.outlet.standing
    if fixture.room is None or standing.room is None or standing.facing is None or standing.why is not None:
        return False  # while its own room is in doubt it may stand in the fixture's
    room = facts.plan.room(standing.room) if facts.plan is not None else None
    mates = room.open_to if room is not None else ()  # no wall divides these from it
    return fixture.room not in (standing.room, *standing.perhaps, *mates)


def _serves(condition: Condition, facts: Facts) -> Told:
    return serves(tuple(str(word) for word in condition.value), facts)


def _at_counter(condition: Condition, facts: Facts) -> Told:
    (wanted,) = condition.value
    served = facts.serves
    answer = Answer.NO if served in OFF_COUNTER else facts.outlet.standing.at_counter
    cooking = (facts.volts or 0.0) > COUNTER_VOLTS and (facts.amperes or math.inf) > COUNTER_AMPERES
    if answer is Answer.UNKNOWN or (answer is Answer.YES and cooking):  # perhaps a range's, between counters
        return unknown("it may serve a countertop", "Does it serve a countertop?")
    against = f"it serves: {served}" if served in OFF_COUNTER else "it is not at a countertop"
    if answer is Answer.YES:
        return yes("at a countertop") if wanted else no("it is at a countertop")
    return no(against) if wanted else yes(against)


def _told_fact(condition: Condition, facts: Facts) -> Told:
    """Facts that only a label or the mapping file can tell."""
    words = FACT_WORDS.get(condition.name, condition.name.replace("_", " "))
    (wanted,) = condition.value
    value = facts.fact(condition.name)
    if condition.name == "hard_wired":
        value = facts.kind == "hardwired outlet"
    if not isinstance(value, bool):
        if condition.name == "weatherproof":
            return no() if wanted else yes()  # what is not marked weatherproof is not claimed to be
        return unknown(f"whether it is {words} is not shown", f"Is it {words}?")
    text = words if value else f"not {words}"
    return yes(text) if value is wanted else no(text)


def _higher(condition: Condition, facts: Facts) -> Told:
    (inches,) = condition.value
    height = facts.number("height_in")
    if height is None:
        return unknown("its height is not shown", "How high above the floor is it?")
    return yes(f"{height:g} in above the floor") if height > inches else no()


def _status(condition: Condition, facts: Facts) -> Told:
    status = str(facts.fact("status") or "new").lower()
    return yes(f"its status is {status}") if status in (str(v).lower() for v in condition.value) else no()


def _within(condition: Condition, facts: Facts) -> Told:
    return within(condition.value[0], facts)


_OF_ROOM: dict[str, Callable[[Condition, Facts, Room], Told]] = {
    "room": _room, "named": _named, "finished": _finished, "holds": _holds, "around": _around,
}  # fmt: skip
ROOM_CONDITIONS = frozenset(_OF_ROOM)
_OF_OUTLET: dict[str, Callable[[Condition, Facts], Told]] = {
    "beside": _beside,
    "serves": _serves,
    "at_counter": _at_counter,
    "status": _status,
    "within": _within,
    "weatherproof": _told_fact,
    "readily_accessible": _told_fact,
    "dedicated_circuit": _told_fact,
    "single_receptacle": _told_fact,
    "hard_wired": _told_fact,
    "higher_than_in": _higher,
}

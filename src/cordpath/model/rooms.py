"""Nouns of the floor plan: rooms, walls, openings, and where a symbol stands."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from cordpath.model.basic import Answer, Point
from cordpath.model.mapping import RoomKind

UNNAMED = "UNNAMED"  # the name of a room of which the drawing gives none


@dataclass(frozen=True, eq=False)
class Room:
    id: str
    name: str
    kind: RoomKind
    polygon: BaseGeometry  # page coordinates
    confidence: float
    view: str
    finished: bool | None = None
    number: str | None = None
    open_to: tuple[str, ...] = ()  # ids of rooms that share the space without a wall between
    reasons: tuple[str, ...] = ()  # why kind or extent is not sure
    named_by: str | None = None  # the schedule that names it, where the plan shows its number only
    also: tuple[
        RoomKind, ...
    ] = ()  # what else its name tells (KITCHEN/LAUNDRY), where not every rule follows ``kind``
    part_of: str | None = None  # of a compartment of a bathroom: the id of the room that has its basin


@dataclass(frozen=True)
class ScheduledRoom:
    """A row of a room schedule.  ``names``: more than one where rows of one mark disagree; ``source``: the table's
    heading and sheet; ``confidence``: of its least certain word."""

    mark: str
    names: tuple[str, ...]
    source: str
    confidence: float = 1.0


@dataclass(frozen=True, eq=False)
class Border:
    """The line between two rooms of an open plan, by id: a guess with its confidence."""

    rooms: tuple[str, str]
    line: BaseGeometry  # page coordinates
    confidence: float


@dataclass(frozen=True, eq=False)
class Disputed:
    """Ground of the first room, by id, that a drawn line gives to the second one, with which it shares a space.

    No second room: the line is a wall that was not recognised, and what lies beyond it has no name.  ``works``, of
    ground round a corner, where no line is drawn: what the first room is worked at; an aisle of theirs is its own.
    """

    rooms: tuple[str, str | None]
    area: BaseGeometry  # page coordinates
    works: BaseGeometry | None = None


@dataclass(frozen=True, eq=False)
class FloorPlan:
    """The building in one view, in page coordinates.  Typed polygons; never healed, closed or simplified for
    rooms' sake: cord paths are measured against them.

    ``walls`` includes low walls and heavy glass screens; ``glazing`` windows and fixed glass; ``doors`` the
    closed position of every leaf, one geometry each; ``openings`` cased openings.  ``outside``: what is
    outdoors, as far as the view reaches.  ``counters``: areas of countertop along walls and islands.
    """

    view: str
    rooms: tuple[Room, ...]
    walls: BaseGeometry
    glazing: BaseGeometry
    doors: tuple[BaseGeometry, ...]
    openings: tuple[BaseGeometry, ...]
    outside: BaseGeometry | None
    counters: BaseGeometry | None = None
    why: str | None = None  # why there are no rooms, or what is not sure about the plan as a whole
    assumptions: tuple[str, ...] = ()
    counters_doubtful: BaseGeometry | None = None  # lines that may be a counter's edge: they keep an answer open
    guessed_ratio: float | None = None  # the ratio its rooms were found at, where the view has none
    borders: tuple[Border, ...] = ()  # between rooms that no wall divides
    match_lines: BaseGeometry | None = None  # where another sheet goes on: what lies beyond is not known
    disputed: tuple[Disputed, ...] = ()
    panes: tuple[BaseGeometry, ...] = ()  # those of ``doors`` that are drawn as a window between two rooms would be

    def room(self, room_id: str | None) -> Room | None:
        return next((room for room in self.rooms if room.id == room_id), None)


@dataclass(frozen=True)
class Standing:
    """Where a symbol stands: the point where it meets the wall, and the room that it faces.

    ``anchor_tolerance_ft``: how far the true place may be from ``anchor``.  ``room`` None with ``why``.
    ``perhaps``: ids of the rooms that it may stand in as well, where no wall divides them from its own.
    """

    anchor: Point
    facing: Point | None  # unit vector out of the wall, None for a symbol away from walls
    room: str | None
    anchor_tolerance_ft: float
    at_counter: Answer = Answer.UNKNOWN  # does it serve a countertop, as far as the drawing shows
    why: str | None = None
    perhaps: tuple[str, ...] = ()

"""What is known of one outlet, gathered once so that conditions can ask in one place.

Glossary
    place      the rooms in which an outlet may stand: one if it is settled, several or none if it is not
    portal     a door or a cased opening of a room
    nominal    the class of a voltage: 110 to 130 V is the 120 V class, as trade usage has it
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
import shapely
from shapely.geometry import Point as GeoPoint
from shapely.geometry.base import BaseGeometry

from cordpath.model import (
    OUTLET_KINDS,
    CordPath,
    Fixture,
    FloorPlan,
    Outlet,
    Panel,
    Point,
    Protection,
    Reading,
    Room,
    Scale,
    Symbol,
)
from cordpath.rules.appliances import named
from cordpath.rules.edition import Edition
from cordpath.rules.low_walls import low_wall_notes

# Below this a symbol is more likely misread than read: its verdict is a question, not an answer.
CONFIDENCE_FLOOR = 0.5
# A room whose kind its name and its fixtures do not agree on, or whose walls are not closed, comes with 0.6; one
# whose border in an open plan is guessed with 0.7, and what stands at that border is told by its standing.
ROOM_FLOOR = 0.65
# How the doubt of an outlet at the border within an open plan begins.  Another wording only means more questions.
OPEN_PLAN = "no wall divides"
# Half of a thick wall, ft: rooms whose edge is as near as this to an outlet without a room may be its room.
HALF_WALL_FT = 0.75
OUTDOORS = "outdoors"


@dataclass(frozen=True, eq=False)
class Place:
    """``rooms`` are the candidates; ``doubt`` says why the place is not settled, empty if it is."""

    rooms: tuple[Room, ...]
    doubt: str = ""
    whole: bool = True  # the candidates are all there are, so that their agreement on *no* counts

    @property
    def settled(self) -> bool:
        return not self.doubt

    @property
    def names(self) -> str:
        return " or ".join(dict.fromkeys(room_name(room) for room in self.rooms))


def room_name(room: Room) -> str:
    return room.name or f"room {room.id}"


@dataclass(frozen=True, eq=False)
class Scene:
    """A reading, indexed for the conditions.  ``problems`` are (outlet id, why) of paths that failed."""

    reading: Reading
    edition: Edition
    panels: tuple[Panel, ...]
    scales: dict[str, Scale]
    plans: dict[str, FloorPlan]
    titles: dict[str, str]
    sheet_title: str
    paths: dict[str, list[CordPath]]  # those that count under the edition
    # Those that may count: where the edition is silent on doors, and by way of an opening that may be no doorway.
    through_doors: dict[str, list[CordPath]]
    through_glass: dict[str, list[CordPath]]  # those that may count, where the edition is silent on windows
    fixtures: dict[str, Fixture]
    problems: dict[str, str] = field(default_factory=dict)
    low_walls: tuple[Point, ...] = ()  # where notes of the sheet speak of low walls

    @staticmethod
    def of(
        reading: Reading, edition: Edition, panels: tuple[Panel, ...], problems: tuple[tuple[str, str], ...]
    ) -> Scene:
        doors = edition.measure.doors
        paths: dict[str, list[CordPath]] = {}
        through_doors: dict[str, list[CordPath]] = {}
        through_glass: dict[str, list[CordPath]] = {}
        for path in reading.paths:
            if path.glass:
                if edition.measure.windows == "unsettled":
                    through_glass.setdefault(path.outlet, []).append(path)
            elif path.doors == ("blocking" if doors == "unsettled" else doors):
                paths.setdefault(path.outlet, []).append(path)
            elif doors != "open":
                through_doors.setdefault(path.outlet, []).append(path)
        return Scene(
            reading=reading,
            edition=edition,
            panels=panels,
            scales={scale.view: scale for scale in reading.scales},
            plans={plan.view: plan for plan in reading.plans},
            titles={view.id: view.title or reading.sheet.title or "" for view in reading.sheet.views},
            sheet_title=reading.sheet.title or "",
            paths=paths,
            through_doors=through_doors,
            through_glass=through_glass,
            fixtures={fixture.id: fixture for fixture in reading.fixtures},
            problems=dict(problems),
            low_walls=low_wall_notes(reading.sheet),
        )


@dataclass(frozen=True, eq=False)
class Facts:
    """One outlet in its scene."""

    scene: Scene
    outlet: Outlet
    protection: Protection
    place: Place

    @staticmethod
    def of(scene: Scene, outlet: Outlet, protection: Protection) -> Facts:
        return Facts(scene, outlet, protection, find_place(scene, outlet))

    @property
    def symbol(self) -> Symbol:
        return self.outlet.symbol

    @property
    def kind(self) -> str:
        """Its kind, as a label may correct it: a receptacle's symbol may stand for fixed wiring, or the reverse."""
        kind, wired = self.symbol.kind, self.symbol.fact("hard_wired")
        if kind in OUTLET_KINDS and isinstance(wired, bool):
            return "hardwired outlet" if wired else "receptacle"
        return kind

    @property
    def view(self) -> str | None:
        return self.symbol.view

    @property
    def plan(self) -> FloorPlan | None:
        return self.scene.plans.get(self.view or "")

    @property
    def scale(self) -> Scale | None:
        return self.scene.scales.get(self.view or "")

    @property
    def points_per_foot(self) -> float | None:
        """None where nothing may be measured."""
        scale = self.scale
        return scale.points_per_foot if scale is not None and scale.measurable else None

    @property
    def anchor(self) -> BaseGeometry:
        return GeoPoint(self.outlet.standing.anchor)

    def fact(self, name: str) -> Any:
        return self.symbol.fact(name)

    def number(self, name: str) -> float | None:
        """A fact that is a number; None where it is absent or no number."""
        value = self.fact(name)
        try:
            found = float(value)
        except (TypeError, ValueError):
            return None
        return found if np.isfinite(found) and found > 0 else None

    @property
    def serves(self) -> str | None:
        value = self.fact("serves")
        if value is None:
            return "lighting" if self.kind == "light" else None
        return named(str(value))

    @property
    def volts(self) -> float | None:
        """Volts; 125 for a receptacle of which nothing is said, as the mapping file's default has it."""
        told = self.number("volts")
        if told is None and self.fact("volts") is None and self.kind == "receptacle":
            return 125.0
        return told

    @property
    def amperes(self) -> float | None:
        """Amperes from the label or the mapping file; for fixed wiring also from its row of the panel schedule."""
        told = self.number("amperes")
        if told is not None or self.kind == "receptacle" or self.protection.circuit is None:
            return told
        return circuit_amperes(self.protection.circuit, self.scene.panels)


def circuit_amperes(circuit: str, panels: tuple[Panel, ...]) -> float | None:
    """Amperes of the rows that a circuit such as ``A-12`` (``12`` with one panel) names; None if they differ."""
    wanted = circuit.strip().upper()
    found = {
        row.amperes
        for panel in panels
        for row in panel.rows
        for number in row.circuits
        if wanted in (f"{panel.name}-{number}".upper(), f"{panel.name}{number}".upper(), *_bare(number, panels))
    }
    return found.pop() if len(found) == 1 else None


def _bare(number: str, panels: tuple[Panel, ...]) -> tuple[str, ...]:
    return (number.upper(),) if len(panels) == 1 else ()


# --------------------------------------------------------------------------------------------- the place


def find_place(scene: Scene, outlet: Outlet) -> Place:
    """The room of an outlet, or the rooms it may be in and why that is not settled."""
    symbol, standing = outlet.symbol, outlet.standing
    if symbol.view is None:
        return Place((), "it stands outside every drawing view of the sheet", False)
    plan = scene.plans.get(symbol.view)
    if plan is None:
        return Place((), "no floor plan was read in its drawing view", False)
    room = plan.room(standing.room)
    near = _near(scene, outlet, plan)
    if room is None:
        if plan.outside is not None and plan.outside.covers(_in_front(outlet)):
            # far off the building it may be in the yard, or in no place of this plan
            return Place((), standing.why, False) if standing.why else Place((_outdoors(plan),))
        return Place(near, standing.why or plan.why or "no room was found round it", False)
    if standing.why:
        open_to = tuple(
            other for each in standing.perhaps or room.open_to if (other := plan.room(each)) is not None
        )
        if standing.why.startswith(OPEN_PLAN) and not open_to:  # ground without a name in one space with the room
            open_to = (replace(room, id="", name="UNNAMED", kind="living", also=()),)
        # Of an open plan the rooms are all known; otherwise the doubt may be the side of the wall, or anything.
        open_plan = standing.why.startswith(OPEN_PLAN) and bool(open_to)
        others = (*open_to, *_nameless(room, outlet, plan), *(() if open_plan else near))
        rooms = tuple({r.id: r for r in (room, *others)}.values())
        return Place(rooms, standing.why, open_plan)
    if room.kind == OUTDOORS and is_unenclosed(plan):
        return Place((room,), plan.why or "", False)
    if room.confidence < ROOM_FLOOR:
        return Place((room,), _weak(room), False)
    return Place((room,))


def _nameless(room: Room, outlet: Outlet, plan: FloorPlan) -> tuple[Room, ...]:
    """What a line that may be a wall shuts off from a room's name is perhaps a room of its own, of any kind."""
    ground = _in_front(outlet)
    lines = (each for each in plan.disputed if each.rooms == (room.id, None) and each.works is None)
    cut = any(each.area.intersects(ground) for each in lines)
    return (replace(room, id="", name="UNNAMED", kind="unknown", also=()),) if cut else ()


def is_unenclosed(plan: FloorPlan) -> bool:
    """Was the building not found: then what is in it seems to be outdoors."""
    return plan.why is not None and all(room.kind == OUTDOORS for room in plan.rooms)


def _weak(room: Room) -> str:
    why = f": {'; '.join(room.reasons)}" if room.reasons else ""
    return f"the room {room_name(room)} is read with little confidence{why}"


def _outdoors(plan: FloorPlan) -> Room:
    assert plan.outside is not None
    return Room(OUTDOORS, "", "outdoors", plan.outside, 1.0, plan.view)


def _in_front(outlet: Outlet) -> BaseGeometry:
    """A point just before the outlet, 3 pt out of its wall: the anchor itself lies on the wall's face."""
    x, y = outlet.standing.anchor
    dx, dy = outlet.standing.facing or (0.0, 0.0)
    return GeoPoint(x + 3.0 * dx, y + 3.0 * dy)


def _near(scene: Scene, outlet: Outlet, plan: FloorPlan) -> tuple[Room, ...]:
    """Rooms, and the outside, whose edge is within the anchor's tolerance and half a wall of the outlet."""
    scale = scene.scales.get(plan.view)
    if scale is None or not scale.measurable:
        return ()
    reach = (outlet.standing.anchor_tolerance_ft + HALF_WALL_FT) * scale.points_per_foot
    anchor = GeoPoint(outlet.standing.anchor)
    rooms = [room for room in plan.rooms if shapely.distance(room.polygon, anchor) <= reach]
    if plan.outside is not None and shapely.distance(plan.outside, anchor) <= reach:
        rooms.append(_outdoors(plan))
    return tuple(rooms)

"""Small invented readings for the tests of the rules: one outlet, its room, and fixtures with their paths.

Everything is at 1/4" = 1'-0" (18 points a foot), the outlet at (100, 100) on the wall y = 100, facing down.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
from shapely.geometry import MultiPolygon, Point, box
from shapely.geometry.base import BaseGeometry

from cordpath.model import (
    Answer,
    CordPath,
    Fills,
    Finding,
    Fixture,
    FloorPlan,
    Label,
    Outlet,
    Panel,
    Protection,
    Reading,
    Room,
    Scale,
    Sheet,
    Spotting,
    Standing,
    Strokes,
    Symbol,
    SymbolEntry,
    View,
)
from cordpath.rules import dated, judge, load_edition
from cordpath.rules.edition import Edition

PER_FOOT = 18.0
HERE = (100.0, 100.0)
NOT_SHOWN = Protection(Answer.NO, None, None)
SHOWN = Protection(Answer.YES, "device", "GFCI receptacle")
CANNOT_TELL = Protection(Answer.UNKNOWN, None, None)
PROVED = Scale("v1", 48.0, "note", '1/4" = 1\'-0"', "proved")
NO_SCALE = Scale("v1", None, "none", "", "unknown", why="no scale note was found")
OUTLETS = ("receptacle", "hardwired outlet")
OWN = ("volts", "amperes", "serves", "status", "weatherproof", "height_in", "protection")


def symbol(
    kind: str,
    at: tuple[float, float] = HERE,
    *,
    size: float = 4.0,
    found: bool = True,
    confidence: float = 0.99,
    rivals: tuple[str, ...] = (),
    edge: bool = True,
    view: str | None = "v1",
    **facts: Any,
) -> Symbol:
    """A symbol; facts that a mapping entry can hold go there, all others come by a label."""
    entry = SymbolEntry(name=f"a {kind}", kind=kind, **{k: v for k, v in facts.items() if k in OWN})  # type: ignore[arg-type]
    others = tuple((key, value) for key, value in facts.items() if key not in OWN)
    shape = Point(at).buffer(size)
    return Symbol(
        entry=entry,
        at=at,
        angle=0.0,
        mirrored=False,
        drawn_size=1.0,
        confidence=confidence,
        found=found,
        view=view,
        footprint=shape,
        strokes=np.zeros(0, np.int64),
        edge=shape if edge and kind not in OUTLETS else None,
        labels=(Label("label", at, others),) if others else (),
        rivals=rivals,
    )


def room(
    kind: str = "bedroom",
    name: str | None = None,
    *,
    id: str = "r1",
    finished: bool | None = None,
    confidence: float = 0.95,
    open_to: tuple[str, ...] = (),
    polygon: BaseGeometry | None = None,
) -> Room:
    polygon = box(0, 100, 400, 400) if polygon is None else polygon
    return Room(
        id, kind.upper() if name is None else name, kind, polygon, confidence, "v1", finished, None, open_to
    )  # type: ignore[arg-type]


def fixture(
    kind: str,
    feet: float | None = None,
    *,
    id: str = "f1",
    at: tuple[float, float] = (380.0, 390.0),
    room: str | None = "r1",
    **more: Any,
) -> tuple[Fixture, float | None]:
    """A fixture and the length of the cord path to it, None for no path."""
    return Fixture(id, symbol(kind, at, **more), room), feet


def reading(
    *,
    kind: str = "receptacle",
    rooms: tuple[Room, ...] | Room | None = None,
    standing_room: str | None = "r1",
    why: str | None = None,
    perhaps: tuple[str, ...] = (),
    at_counter: Answer = Answer.NO,
    fixtures: tuple[tuple[Fixture, float | None], ...] = (),
    loose: float = 0.1,
    doors: str = "open",
    scale: Scale = PROVED,
    title: str = "FIRST FLOOR POWER PLAN",
    outside: BaseGeometry | None = None,
    door_lines: tuple[BaseGeometry, ...] = (),
    openings: tuple[BaseGeometry, ...] = (),
    spotted: tuple[Symbol, ...] = (),
    facing: tuple[float, float] | None = (0.0, 1.0),
    **facts: Any,
) -> Reading:
    """A reading of one sheet with one outlet, ``E1.1``."""
    rooms = room() if rooms is None else rooms
    rooms = (rooms,) if isinstance(rooms, Room) else rooms
    standing = Standing(HERE, facing, standing_room, 0.1, at_counter, why, perhaps)
    outlet = Outlet("E1.1", symbol(kind, **facts), standing)
    plan = FloorPlan("v1", rooms, MultiPolygon(), MultiPolygon(), door_lines, openings, outside)
    empty = np.zeros((0, 4))
    view = View("v1", title, (0, 0, 800, 600))
    sheet = Sheet("plan.pdf", 1, "E1", "POWER PLAN", 800, 600, Strokes.of(empty), Fills.none(), (), (), (view,), ())
    paths = tuple(
        CordPath("E1.1", each.id, doors, feet, loose, (HERE, each.symbol.at))  # type: ignore[arg-type]
        for each, feet in fixtures
        if feet is not None
    )
    found = (outlet.symbol, *(each.symbol for each, _ in fixtures), *spotted)
    return Reading(sheet, (scale,), Spotting(found), (plan,), (outlet,), tuple(f for f, _ in fixtures), paths, ())


def finding(
    edition: str | Edition = "2023",
    protection: Protection = NOT_SHOWN,
    *,
    day: dt.date | None = None,
    panels: tuple[Panel, ...] = (),
    problems: tuple[tuple[str, str], ...] = (),
    **record: Any,
) -> Finding:
    """The finding of a record under an edition."""
    code = load_edition(edition) if isinstance(edition, str) else edition
    code = dated(code, day) if day is not None else code
    record.setdefault("doors", "open" if code.measure.doors == "open" else "blocking")
    (found,) = judge(reading(**record), panels, (protection,), code, problems)
    return found


def cites(found: Finding, holds: Answer = Answer.YES) -> list[str]:
    return [each.cite for each in found.requirements if each.holds is holds]

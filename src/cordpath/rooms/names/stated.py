"""Rooms that the user states by hand: they win over what was found.

Terms: *entry*, a room of the mapping file with a place.  *Outline*, its polygon.  *Extent*, how far a room reaches:
a word about the kind of a place settles its kind, not whether a wall was missed.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import UNNAMED, FloorPlan, Mapping, Room, RoomEntry, RoomKind, Sheet, View
from cordpath.rooms.ink import polygons_only
from cordpath.rooms.names.kinds import DOUBT, VOCABULARY_HINT
from cordpath.rooms.names.vocabulary import meaning

STATED = 0.99  # confidence of what a person states
REPLACES = 0.5  # of a found room's area under an outline: the outline is that room
COVERED = 0.9  # of a found room's area: it is nothing of its own any more
PIECE = 0.05  # of an outline's area: smaller pieces that a wall cuts off lie beyond it
# Reasons for doubt that a stated kind does not settle: they concern how far the space reaches.
EXTENT = ("in the same space", "not closed", "the line between them is a guess")


def apply_stated(plan: FloorPlan, sheet: Sheet, view: View, mapping: Mapping) -> FloorPlan:
    """The plan with the entries for this view of this sheet applied in the file's order; each is told among the
    plan's assumptions, those that could not be used too."""
    entries = [e for e in mapping.rooms if e.stated and e.meant(sheet) and _view_of(e, sheet) == view.id]
    rooms, said = plan.rooms, list(plan.assumptions)
    for entry in entries:
        rooms, told = (
            _outlined(rooms, entry, plan, sheet, mapping) if entry.polygon else _named(rooms, entry, mapping)
        )
        said.append(f"line {entry.line} of the mapping file {told}")
    return replace(plan, rooms=rooms, assumptions=tuple(said)) if entries else plan


def told_of_unmet(mapping: Mapping, sheets: Iterable[Sheet]) -> list[str]:
    """Entries for one sheet (rooms stated by hand, scales by sheet number) that none of the sheets read is, which
    would else be lost without a word; a sheet without a drawing has no place for a room."""
    read = tuple(sheets)
    drawn = tuple(sheet for sheet in read if sheet.views)
    said = [
        f"line {entry.line} of the mapping file states a room of {_whose(entry)}, which is none of the sheets that "
        "were read: it was not used"
        for entry in mapping.rooms
        if entry.stated and not any(entry.meant(sheet) for sheet in drawn)
    ]
    numbers = {(sheet.number or "").upper() for sheet in read}
    lost = [number for number, _ in mapping.drawing.sheet_scales if number.upper() not in numbers]
    if lost:
        said.append(
            f"the mapping file states a scale for {', '.join(lost)}, which none of the sheets read is called"
        )
    return said


def _whose(entry: RoomEntry) -> str:
    """The sheet that an entry names, for messages."""
    page = f"page {entry.page}" if entry.page is not None else ""
    names = [f"sheet {entry.sheet}" if entry.sheet is not None else "", page, entry.file or ""]
    return " of ".join(name for name in names if name) or "any sheet with a drawing"


def _place(entry: RoomEntry) -> BaseGeometry:
    return shapely.Polygon(entry.polygon) if entry.polygon else shapely.Point(entry.at)


def _view_of(entry: RoomEntry, sheet: Sheet) -> str | None:
    """The view in which an entry lies, else the nearest one: no entry goes unused without a word."""
    if not sheet.views:
        return None
    spot = _place(entry).representative_point()
    return min(sheet.views, key=lambda view: (shapely.box(*view.box).distance(spot), view.id)).id


def _kind(entry: RoomEntry, mapping: Mapping) -> RoomKind | None:
    """The kind stated, else what the stated name means; None where neither tells."""
    if entry.kind != "unknown":
        return entry.kind
    known = meaning(entry.name, tuple(e for e in mapping.rooms if not e.stated)) if entry.name else None
    return known.kind if known is not None else None


# ------------------------------------------------------------------------------------------------ by point


def _named(rooms: tuple[Room, ...], entry: RoomEntry, mapping: Mapping) -> tuple[tuple[Room, ...], str]:
    """The room that holds the point, with what is stated about it."""
    spot = _place(entry)
    here = [room for room in rooms if room.polygon.covers(spot)]
    if not here or entry.at is None:
        where = f"({entry.at[0]:g}, {entry.at[1]:g})" if entry.at else ""
        return rooms, f"states a room at {where}, where none was found: it was not used"
    found = min(here, key=lambda room: (_is_outdoors(room), room.polygon.area))
    kind = _kind(entry, mapping)
    room = replace(found, name=entry.name or found.name)
    if entry.finished is not None:
        room = replace(room, finished=entry.finished)
    if kind is not None:
        loose = tuple(reason for reason in found.reasons if any(words in reason for words in EXTENT))
        room = replace(room, kind=kind, also=(), reasons=loose, confidence=found.confidence if loose else STATED)
    changed = tuple(room if each is found else each for each in rooms)
    return changed, f"states the room {found.name}: {_said(room)}"


def _said(room: Room) -> str:
    finished = {True: ", finished", False: ", unfinished", None: ""}[room.finished]
    return f"{room.name}, {room.kind}{finished}"


# ---------------------------------------------------------------------------------------------- by outline


def _outlined(
    rooms: tuple[Room, ...], entry: RoomEntry, plan: FloorPlan, sheet: Sheet, mapping: Mapping
) -> tuple[tuple[Room, ...], str]:
    """The rooms with a stated outline among them; it replaces the room that it covers most, and cuts the others."""
    shape = _without_walls(_place(entry), plan.walls)
    under = np.array([room.polygon.intersection(shape).area / max(room.polygon.area, 1e-9) for room in rooms])
    held = [k for k, room in enumerate(rooms) if under[k] >= REPLACES and not _is_outdoors(room)]
    old = rooms[max(held, key=lambda k: float(under[k] * rooms[k].polygon.area))] if held else None
    room = _stated_room(entry, shape, old, _new_id(rooms, plan.view, sheet), plan.view, _kind(entry, mapping))
    gone = {r.id for r, share in zip(rooms, under, strict=True) if share >= COVERED and r is not old}
    kept = [_cut(r, shape, gone | {room.id}) for r in rooms if r is not old and r.id not in gone]
    place = rooms.index(old) if old is not None else len(rooms) - sum(map(_is_outdoors, rooms))
    place -= sum(r.id in gone for r in rooms[:place])
    return (*kept[:place], room, *kept[place:]), f"states the outline of a room: {_said(room)}"


def _stated_room(
    entry: RoomEntry, shape: BaseGeometry, old: Room | None, new_id: str, view: str, kind: RoomKind | None
) -> Room:
    """The room of an entry; what it does not state is as in the ``old`` one that it replaces."""
    name = entry.name or (old.name if old is not None else UNNAMED)
    finished = entry.finished if entry.finished is not None or old is None else old.finished
    room = Room(new_id, name, "unknown", shape, DOUBT, view, finished, None, (), (VOCABULARY_HINT.format(name),))
    if old is not None:
        room = replace(room, id=old.id, number=old.number)
    return room if kind is None else replace(room, kind=kind, confidence=STATED, reasons=())


def _is_outdoors(room: Room) -> bool:
    """Is it what lies around the house?"""
    return room.id.endswith(".out")


def _without_walls(outline: BaseGeometry, walls: BaseGeometry) -> BaseGeometry:
    """An outline is drawn along walls or over them: what lies in walls, and slips beyond them, is no room."""
    free = polygons_only(outline.difference(walls)) if not walls.is_empty else outline
    parts = [part for part in shapely.get_parts(free) if part.area >= PIECE * outline.area]
    return shapely.union_all(parts) if parts else outline


def _new_id(rooms: tuple[Room, ...], view: str, sheet: Sheet) -> str:
    prefix = f"{view}." if len(sheet.views) > 1 else ""
    taken = {room.id for room in rooms}
    return next(name for k in range(1, len(rooms) + 2) if (name := f"{prefix}r{k}") not in taken)


def _cut(room: Room, shape: BaseGeometry, closed: set[str]) -> Room:
    """A room without what a stated one takes; stated outlines are open to nothing."""
    open_to = tuple(other for other in room.open_to if other not in closed)
    if not room.polygon.intersects(shape):
        return replace(room, open_to=open_to)
    rest = polygons_only(room.polygon.difference(shape))
    return replace(room, polygon=room.polygon if rest.is_empty else rest, open_to=open_to)

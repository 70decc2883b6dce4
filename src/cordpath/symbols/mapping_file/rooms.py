"""The ``rooms:`` of a mapping file: names and what they mean, and rooms stated by hand at a place on a sheet."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath
from typing import cast, get_args

import shapely

from cordpath.model import Point, RoomEntry, RoomKind
from cordpath.symbols.mapping_file.desk import Desk, Table
from cordpath.symbols.mapping_file.yaml_tree import Node

ROOM_KINDS: tuple[str, ...] = get_args(RoomKind)
KEYS = ("text", "kind", "finished", "name", "at", "polygon", "sheet", "file", "page")
PLACES = ("at", "polygon")
STATED_ONLY = ("name", "sheet", "file", "page")
TOLD = ("name", "kind", "finished")
MOST_POINTS = 1000  # in one outline
MOST_PT = 1.0e6  # as for boxes; no page is larger

ReadPattern = Callable[[Desk, Node, str, dict[str, int]], str | None]


def read_rooms(desk: Desk, node: Node, most: int, pattern: ReadPattern) -> tuple[RoomEntry, ...]:
    """The entries without faults; ``pattern`` reads a name's regular expression."""
    entries: list[RoomEntry] = []
    seen: dict[str, int] = {}
    for item in desk.items(node, "rooms", most) or ():
        table = desk.table(item, "a room", KEYS)
        if table is None:
            continue
        stated = any(key in table for key in PLACES)
        entry = _stated(desk, item, table) if stated else _named(desk, item, table, seen, pattern)
        if entry is not None:
            entries.append(entry)
    return tuple(entries)


def _named(desk: Desk, item: Node, table: Table, seen: dict[str, int], pattern: ReadPattern) -> RoomEntry | None:
    for key in STATED_ONLY:
        if key in table:
            desk.fault(table[key][0], f"{key} without a place, and 'at:' or 'polygon:' was expected with it")
    for key in ("text", "kind"):
        if key not in table:
            desk.fault(item, f"a room without {key}, and '{key}:' was expected")
    text = pattern(desk, table["text"][1], "a room", seen) if "text" in table else None
    kind, finished = _kind(desk, table), _finished(desk, table)
    return RoomEntry(text, kind, finished, line=item.line) if text is not None and kind is not None else None


def _stated(desk: Desk, item: Node, table: Table) -> RoomEntry | None:
    """A room at a point, or with an outline, in page coordinates of the sheets that are named."""
    before = len(desk.faults)
    _refuse_what_is_amiss(desk, item, table)
    name = desk.text(table["name"][1], "name", 80) if "name" in table else None
    sheet = desk.text(table["sheet"][1], "sheet", 40) if "sheet" in table else None
    file = desk.text(table["file"][1], "file", 500) if "file" in table else None
    page = desk.whole(table["page"][1], "page") if "page" in table else None
    at = desk.point(table["at"][1], "at", MOST_PT) if "at" in table else None
    outline = _outline(desk, table["polygon"][1]) if "polygon" in table else None
    kind, finished = _kind(desk, table), _finished(desk, table)
    if len(desk.faults) > before:
        return None
    return RoomEntry(
        "", kind or "unknown", finished, name, at, outline, sheet, PurePath(file).name if file else None, page,
        item.line,
    )  # fmt: skip


def _refuse_what_is_amiss(desk: Desk, item: Node, table: Table) -> None:
    """Faults of a room stated by hand: keys that do not go together, or that are missing."""
    if "text" in table:
        desk.fault(table["text"][0], "text with a place, and 'name:' was expected for a room stated by hand")
    if all(key in table for key in PLACES):
        desk.fault(table["polygon"][0], "both at and polygon, and one of them was expected")
    if not any(key in table for key in TOLD):
        desk.fault(item, "a place of which nothing is said, and one of name, kind, finished was expected")
    if "polygon" in table and not any(key in table for key in ("name", "kind")):
        desk.fault(item, "an outline without name and kind, and one of them was expected")
    if not any(key in table for key in ("sheet", "file")):
        desk.fault(item, "a place without a sheet, and 'sheet:' or 'file:' with 'page:' was expected")
    if ("file" in table) != ("page" in table) and "sheet" not in table:
        given = "file" if "file" in table else "page"
        desk.fault(table[given][0], f"{given} alone, and file and page together were expected")


def _kind(desk: Desk, table: Table) -> RoomKind | None:
    return cast(RoomKind | None, desk.choice(table["kind"][1], "kind", ROOM_KINDS)) if "kind" in table else None


def _finished(desk: Desk, table: Table) -> bool | None:
    given = "finished" in table and not table["finished"][1].empty
    return desk.truth(table["finished"][1], "finished") if given else None


def _outline(desk: Desk, node: Node) -> tuple[Point, ...] | None:
    items = desk.items(node, "polygon", MOST_POINTS)
    if items is None:
        return None
    read = [desk.point(item, "a point", MOST_PT) for item in items]
    points = tuple(point for point in read if point is not None)
    if len(points) < len(read):
        return None
    if len(points) < 3:
        desk.fault(node, f"polygon has {len(points)} points, and at least 3 were expected")
        return None
    shape = shapely.Polygon(points)
    if not shape.is_valid or shape.area < 1.0:
        desk.fault(node, "polygon crosses itself or has no area, and the corners of a room in turn were expected")
        return None
    return points

"""The ``shape:`` of a mapping file's entry: marks in inches, y down, origin wherever the user likes."""

from __future__ import annotations

import math

from cordpath.model import ArcMark, CircleMark, LineMark, Mark, Point, PolylineMark, TextMark
from cordpath.symbols.mapping_file.desk import Desk, Table
from cordpath.symbols.mapping_file.yaml_tree import Node

MOST_MARKS = 400  # in one shape; the richest symbol of the trade has some 40
MOST_POINTS = 2000  # in one polyline
MOST_INCHES = 1200.0  # 100 ft: no symbol and no fixture is larger
FILLED_SIDES = 32  # of a filled circle: its rim is nowhere off by 0.5 % of the radius
LEAST_INCHES = 0.001  # a mark smaller than this is under the thinnest pen


def read_shape(desk: Desk, node: Node) -> tuple[Mark, ...] | None:
    """The marks of a shape; None, with a fault laid down, where there are none to use."""
    items = desk.items(node, "shape", MOST_MARKS)
    if items is None:
        return None
    marks = tuple(mark for mark in (_mark(desk, item) for item in items) if mark is not None)
    return marks or None


def _mark(desk: Desk, node: Node) -> Mark | None:
    table = desk.table(node, "a mark", tuple(MARKS))
    if table is None:
        return None
    if len(table) != 1:
        if len(node.pairs) != 1:
            desk.fault(node, f"a mark with {len(node.pairs)} keys, and one of {', '.join(MARKS)} was expected")
        return None
    ((key, (_, value)),) = table.items()
    keys, needed, read = MARKS[key]
    inner = desk.table(value, key, keys)
    if inner is None:
        return None
    missing = [name for name in needed if name not in inner]
    if missing and len(inner) == len(value.pairs):  # otherwise a slip in a key is the fault, told already
        desk.fault(value, f"{key} without {' and '.join(missing)}, and {', '.join(needed)} were expected")
    return None if missing else read(desk, value, inner)


def _at(desk: Desk, table: Table, key: str) -> Point | None:
    return desk.point(table[key][1], key, MOST_INCHES)


def _radius(desk: Desk, table: Table) -> float | None:
    return desk.positive(table["radius"][1], "radius", MOST_INCHES)


def _circle(desk: Desk, node: Node, table: Table) -> CircleMark | PolylineMark | None:
    """A filled one is the area in it."""
    center, radius = _at(desk, table, "center"), _radius(desk, table)
    filled = "filled" in table and desk.truth(table["filled"][1], "filled")
    if center is None or radius is None:
        return None
    if not filled:
        return CircleMark(center, radius)
    turns = [2 * math.pi * k / FILLED_SIDES for k in range(FILLED_SIDES)]
    rim = tuple((center[0] + radius * math.cos(turn), center[1] + radius * math.sin(turn)) for turn in turns)
    return PolylineMark(rim, True, True)


def _line(desk: Desk, node: Node, table: Table) -> LineMark | None:
    start, end = _at(desk, table, "from"), _at(desk, table, "to")
    if start is None or end is None:
        return None
    if math.dist(start, end) < LEAST_INCHES:
        desk.fault(node, "a line without length, and two different points were expected")
        return None
    return LineMark(start, end)


def _arc(desk: Desk, node: Node, table: Table) -> ArcMark | None:
    center, radius = _at(desk, table, "center"), _radius(desk, table)
    start = desk.number(table["start"][1], "start", -720, 720)
    end = desk.number(table["end"][1], "end", -720, 720)
    if center is None or radius is None or start is None or end is None:
        return None
    if start == end:
        desk.fault(node, "an arc whose start is its end, and two different angles in degrees were expected")
        return None
    return ArcMark(center, radius, start, end)


def _polyline(desk: Desk, node: Node, table: Table) -> PolylineMark | None:
    flags = {key: desk.truth(table[key][1], key) for key in ("closed", "filled") if key in table}
    items = desk.items(table["points"][1], "points", MOST_POINTS)
    if items is None:
        return None
    points = [desk.point(item, "a point", MOST_INCHES) for item in items]
    closed, filled = bool(flags.get("closed")), bool(flags.get("filled"))
    least = 3 if closed or filled else 2
    if len(points) < least:
        desk.fault(table["points"][1], f"points has {len(points)}, and at least {least} were expected")
        return None
    if any(point is None for point in points):
        return None
    found = tuple(point for point in points if point is not None)
    if max(math.dist(found[0], point) for point in found) < LEAST_INCHES:
        desk.fault(node, "a polyline without length, and different points were expected")
        return None
    return PolylineMark(found, closed, filled)


def _text(desk: Desk, node: Node, table: Table) -> TextMark | None:
    value, at = desk.text(table["value"][1], "value", 24), _at(desk, table, "at")
    return None if value is None or at is None else TextMark(value, at)


MARKS = {
    "circle": (("center", "radius", "filled"), ("center", "radius"), _circle),
    "line": (("from", "to"), ("from", "to"), _line),
    "arc": (("center", "radius", "start", "end"), ("center", "radius", "start", "end"), _arc),
    "polyline": (("points", "closed", "filled"), ("points",), _polyline),
    "text": (("value", "at"), ("value", "at"), _text),
}

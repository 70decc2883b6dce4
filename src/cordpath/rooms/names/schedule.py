"""Room schedules: which number is which room.

Terms: *mark*, the number that a schedule lists and the plan shows in the room; *head*, a text of the row that names
the columns; *cell*, neighbouring words of one row with no ruling and no wide gap between; *ruling*, a level or
upright stroke.

Sheets number their rooms and name them in a table (ROOM SCHEDULE, ROOM FINISH SCHEDULE; common practice, no
source).  A row is used only where its mark and its name are beyond doubt: one mark, and the name in the same ruled
row, or on the same line.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, replace

import numpy as np

from cordpath.geometry import in_box, rulings
from cordpath.model import FloatArray, Region, ScheduledRoom, Sheet
from cordpath.rooms.names.turning import turned
from cordpath.units import plain

HEADING = re.compile(
    r"(?!.*\b(?:DOOR|WINDOW|HARDWARE|LIGHTING|EQUIPMENT|PANEL)).*\b(?:ROOM|SPACE|FINISH)\b.*SCHEDULES?\b.*"
)
TITLES = ("ROOM SCHEDULE", "SPACE SCHEDULE", "FINISH SCHEDULE", "ROOM NAME SCHEDULE")  # what such pages say
OF_ROOMS = re.compile(r".*\b(?:ROOM|SPACE)S?\b.*")
_PLACE = r"(?:ROOM|RM|SPACE|AREA)"
MARK_HEAD = re.compile(rf"(?:{_PLACE}\.? ?)?(?:NO|NUM|NUMBER|#|MARK|TAG|KEY|ID)\.?")
NAME_HEAD = re.compile(rf"(?:{_PLACE}[./ ]*)?(?:NAMES?)|{_PLACE}\.?|ROOM ?/ ?SPACE")
USE_HEAD = re.compile(r"DESCRIPTION|USE|FUNCTION")  # tables of paints and floors have them too
BARE = re.compile(rf"{_PLACE}\.?")
MARK = re.compile(r"[A-Z]{0,2}-?\d{1,4}[A-Z]?")
GAP = 0.9  # of the size: a wider gap parts two cells
LINE = 0.5  # of the size: words this close across stand on one line
STACKED = 1.9  # of the size: lines of one head follow each other within this
SLACK = 2.0  # of the size: marks of an unruled column stand this far beside their head at most
SHORTEST = 3.0  # pt: shorter strokes are no rulings


@dataclass(frozen=True)
class Cell:
    """Text in the reading frame: x along it, y downwards."""

    text: str
    x0: float
    x1: float
    y: float
    size: float
    confidence: float

    def over(self, other: Cell) -> bool:
        return self.x0 < other.x1 and other.x0 < self.x1


@dataclass(frozen=True, eq=False)
class _Table:
    """``lines``: cells by line, top to bottom, left to right.  Rulings: ``upright`` (n, 3) x, y0, y1; ``level``
    (m, 3) y, x0, x1."""

    lines: list[list[Cell]]
    upright: FloatArray
    level: FloatArray

    def column(self, head: Cell) -> tuple[float, float] | None:
        """Between which upright rulings a head stands."""
        x = self.upright[(self.upright[:, 1] <= head.y) & (self.upright[:, 2] >= head.y), 0]
        left, right = x[x <= head.x0 + 0.5], x[x >= head.x1 - 0.5]
        return (float(left.max()), float(right.min())) if len(left) and len(right) else None

    def row(self, at: Cell) -> tuple[float, float] | None:
        """Between which level rulings a cell stands."""
        y = self.level[(self.level[:, 1] <= at.x0) & (self.level[:, 2] >= at.x1), 0]
        above, below = y[y < at.y], y[y > at.y]
        return (float(above.max()), float(below.min())) if len(above) and len(below) else None


def read_schedule(sheet: Sheet) -> tuple[ScheduledRoom, ...]:
    """The rooms that the sheet's room schedules list, each mark once.

    A mark with several names has them all; it names no room.
    """
    found: dict[str, ScheduledRoom] = {}
    for region in sheet.regions:
        if region.kind == "schedule" and HEADING.fullmatch(plain(region.title)):
            for room in _rooms(sheet, region):
                known = found.get(room.mark)
                found[room.mark] = room if known is None else _both(known, room)
    return tuple(found.values())


def merged(*schedules: tuple[ScheduledRoom, ...]) -> tuple[ScheduledRoom, ...]:
    """Schedules of several sheets as one."""
    found: dict[str, ScheduledRoom] = {}
    for room in (room for schedule in schedules for room in schedule):
        known = found.get(room.mark)
        found[room.mark] = room if known is None else _both(known, room)
    return tuple(found.values())


def _both(a: ScheduledRoom, b: ScheduledRoom) -> ScheduledRoom:
    names = tuple(dict.fromkeys((*a.names, *b.names)))
    return replace(a, names=names, confidence=min(a.confidence, b.confidence))


def _rooms(sheet: Sheet, region: Region) -> list[ScheduledRoom]:
    table = _table(sheet, region)
    source = plain(region.title) + (f" of sheet {sheet.number}" if sheet.number else "")
    for i in range(len(table.lines)):
        for heads, last in ((table.lines[i], i), (_stacked(table.lines, i), i + 1)):
            pairs = _pairs(heads, OF_ROOMS.fullmatch(plain(region.title)) is not None)
            if pairs:
                return [room for mark, name in pairs for room in _under(table, heads, mark, name, last, source)]
    return []


def _stacked(lines: list[list[Cell]], i: int) -> list[Cell]:
    """The heads of a line, each with the one that stands right under it (ROOM over NAME)."""
    if i + 1 >= len(lines) or lines[i + 1][0].y - lines[i][0].y > STACKED * lines[i][0].size:
        return []
    return [
        next((replace(head, text=f"{head.text} {low.text}", x0=min(head.x0, low.x0), x1=max(head.x1, low.x1))
              for low in lines[i + 1] if head.over(low)), head)
        for head in lines[i]
    ]  # fmt: skip


def _pairs(heads: list[Cell], of_rooms: bool) -> list[tuple[Cell, Cell]]:
    """(head of marks, head of names) of every half of the table."""
    marks, names = _marks_and_names(heads, of_rooms)
    pairs = []
    for k, mark in enumerate(marks):
        until = marks[k + 1].x0 if k + 1 < len(marks) else np.inf
        right = [name for name in names if mark.x1 <= name.x0 < until]
        left = [name for name in names if name.x1 <= mark.x0]
        if right or (left and len(marks) == 1):
            pairs.append((mark, right[0] if right else left[-1]))
    return pairs


def _marks_and_names(heads: list[Cell], of_rooms: bool) -> tuple[list[Cell], list[Cell]]:
    """The heads of marks, and those of names: NAME, where no head says so ROOM, and in a schedule of rooms USE."""
    marks = [head for head in heads if MARK_HEAD.fullmatch(head.text)]
    names = [head for head in heads if NAME_HEAD.fullmatch(head.text)]
    if called := [head for head in names if "NAME" in head.text]:
        return marks or [head for head in names if BARE.fullmatch(head.text)], called  # ROOM | NAME
    if not names and of_rooms:
        names = [head for head in heads if USE_HEAD.fullmatch(head.text)]
    return marks, names


def _under(table: _Table, heads: list[Cell], mark: Cell, name: Cell, last: int, source: str) -> list[ScheduledRoom]:
    """The rooms listed under two heads that end in line number ``last``."""
    body = [cell for line in table.lines[last + 1 :] for cell in line]
    mark_column, name_column = table.column(mark), table.column(name)
    if mark_column is None:
        slack = SLACK * mark.size
        mark_column = (mark.x0 - slack, mark.x1 + slack)
    marks = [cell for cell in body if mark_column[0] <= (cell.x0 + cell.x1) / 2 <= mark_column[1]]
    beside = heads.index(name) - heads.index(mark) if mark in heads and name in heads else 0
    rooms = []
    for at in marks:
        text = at.text.strip(".#")
        if not MARK.fullmatch(text):
            continue
        cells = _in_row(table, body, at, name_column) if name_column else _next(body, at) if beside == 1 else []
        said = " ".join(cell.text for cell in cells)
        if re.search(r"[A-Z]", said):
            sure = min(at.confidence, *(cell.confidence for cell in cells))
            rooms.append(ScheduledRoom(text, (said,), source, sure))
    return rooms


def _in_row(table: _Table, body: list[Cell], at: Cell, column: tuple[float, float]) -> list[Cell]:
    """The cells of a ruled column in the row of a mark; without level rulings, those on its line."""
    row = table.row(at) or (at.y - LINE * at.size, at.y + LINE * at.size)
    marks_in_row = [cell for cell in body if row[0] < cell.y < row[1] and abs(cell.x0 - at.x0) < 2 * at.size]
    if len(marks_in_row) > 1:  # rows without rulings between: the line decides
        row = (at.y - LINE * at.size, at.y + LINE * at.size)
    return [cell for cell in body if row[0] < cell.y < row[1] and column[0] <= (cell.x0 + cell.x1) / 2 <= column[1]]


def _next(body: list[Cell], at: Cell) -> list[Cell]:
    right = [cell for cell in body if abs(cell.y - at.y) <= LINE * at.size and cell.x0 >= at.x1]
    return sorted(right, key=lambda cell: cell.x0)[:1]


def _table(sheet: Sheet, region: Region) -> _Table:
    words = [w for w in sheet.words if in_box(w.at, region.box) and w.text.strip() and w.origin != "hidden"]
    turns = Counter(round(word.angle / 90.0) % 4 * 90 for word in words)
    angle = float(turns.most_common(1)[0][0]) if turns else 0.0
    cells = []
    for word in words:
        if abs((word.angle - angle + 180) % 360 - 180) < 3.0:
            corners = turned(np.array(word.box).reshape(2, 2), angle)
            (x0, y0), (x1, y1) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
            cells.append(Cell(plain(word.text), x0, x1, (y0 + y1) / 2, word.size, word.confidence))
    upright, level = _rulings(sheet, region, angle)
    return _Table([_joined(line, upright) for line in _lines(cells)], upright, level)


def _rulings(sheet: Sheet, region: Region, angle: float) -> tuple[FloatArray, FloatArray]:
    xy = sheet.strokes.xy[sheet.strokes.ink()]
    x0, y0, x1, y1 = region.box
    low, high = np.minimum(xy[:, :2], xy[:, 2:]), np.maximum(xy[:, :2], xy[:, 2:])
    xy = xy[(low <= [x1 + 1, y1 + 1]).all(axis=1) & (high >= [x0 - 1, y0 - 1]).all(axis=1)]
    return rulings(turned(xy.reshape(-1, 2), angle).reshape(-1, 2, 2), SHORTEST)


def _lines(cells: list[Cell]) -> list[list[Cell]]:
    lines: list[list[Cell]] = []
    for cell in sorted(cells, key=lambda c: (c.y, c.x0)):
        if lines and abs(lines[-1][0].y - cell.y) <= LINE * cell.size:
            lines[-1].append(cell)
        else:
            lines.append([cell])
    return [sorted(line, key=lambda c: c.x0) for line in lines]


def _joined(line: list[Cell], upright: FloatArray) -> list[Cell]:
    found: list[Cell] = []
    for word in line:
        last = found[-1] if found else None
        if last is not None and word.x0 - last.x1 <= GAP * word.size and not _ruled(upright, last, word):
            found[-1] = replace(last, text=f"{last.text} {word.text}", x1=max(last.x1, word.x1),
                                confidence=min(last.confidence, word.confidence))  # fmt: skip
        else:
            found.append(word)
    return found


def _ruled(upright: FloatArray, left: Cell, right: Cell) -> bool:
    between = (upright[:, 0] >= left.x1 - 0.5) & (upright[:, 0] <= right.x0 + 0.5)
    return bool((between & (upright[:, 1] <= left.y) & (upright[:, 2] >= left.y)).any())

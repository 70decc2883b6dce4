"""Symbols and simple rectangular plans for tests of kinds, standing and counters (points at 1/4" = 1'-0")."""

from __future__ import annotations

import itertools

import numpy as np
import shapely
from shapely.geometry import box

from cordpath.model import (
    Drawing,
    Fills,
    FloorPlan,
    Kind,
    Label,
    Mapping,
    Point,
    Room,
    RoomKind,
    Scale,
    Sheet,
    Strokes,
    Symbol,
    SymbolEntry,
    View,
    Word,
)  # fmt: skip

FT = 18.0
SCALE = Scale("v1", 48.0, "note", "", "proved")
PLAIN = Mapping("symbols.yaml", Drawing(), ())


def symbol(
    kind: Kind, at: Point, size: float = 9.0, wall: Point | None = None, found: bool = True, sets=()
) -> Symbol:
    shape = shapely.Point(at).buffer(size / 2)
    labels = (Label("label", at, tuple(sets)),) if sets else ()
    return Symbol(SymbolEntry(kind, kind), at, 0.0, False, 1.0, 0.95, found, "v1", shape, np.zeros(0, np.int64),
                  edge=shape, wall_direction=wall, labels=labels)  # fmt: skip


def two_rooms(left: RoomKind = "bedroom", right: RoomKind = "bathroom", wall_in: float = 4.5, **more) -> FloorPlan:
    """Two rooms of 10 x 10 ft side by side; the wall between lies right of x = 180."""
    t = wall_in * 1.5
    a, b = box(0, 0, 180, 180), box(180 + t, 0, 360 + t, 180)
    walls = box(-t, -t, 360 + 2 * t, 180 + t).difference(shapely.union_all([a, b]))
    rooms = (Room("r1", "LEFT", left, a, 0.97, "v1"), Room("r2", "RIGHT", right, b, 0.97, "v1"))
    empty = shapely.Polygon()
    return FloorPlan("v1", rooms, walls, empty, (), (), None, **more)


class Drawer:
    """Walls as filled areas, lines and names on a page of 60 x 50 ft."""

    def __init__(self) -> None:
        self.walls: list = []
        self.holes: list = []
        self.lines: list = []
        self.words: list[Word] = []
        self.areas: list = []  # painted over the walls

    def room(self, x0: float, y0: float, x1: float, y1: float, name: str = "", at: Point | None = None) -> Drawer:
        """A room with walls 4.5 in thick around it, feet; ``name`` goes to its middle."""
        clear = box(x0, y0, x1, y1)
        self.walls.append((clear.buffer(4.5 / 12, join_style="mitre"), clear))
        if name:
            self.word(name, at or ((x0 + x1) / 2, (y0 + y1) / 2))
        return self

    def word(self, text: str, at: Point, size: float = 9.0, angle: float = 0.0) -> Drawer:
        line = len(self.words)
        cursor = at[0] * FT - len(text) * 2.5
        for part in text.split(" "):
            y = at[1] * FT
            self.words.append(Word(part, (cursor, y - 4, cursor + 5 * len(part), y + 4), angle, size, line, "Helv"))
            cursor += 5 * len(part) + 5
        return self

    def hole(self, x0: float, y0: float, x1: float, y1: float) -> Drawer:
        self.holes.append(box(x0, y0, x1, y1))
        return self

    def line(self, *points: Point) -> Drawer:
        self.lines += [(*a, *b) for a, b in itertools.pairwise(points)]
        return self

    def sheet(self) -> tuple[Sheet, View]:
        clear = shapely.union_all([c for _, c in self.walls])
        body = shapely.union_all([w for w, _ in self.walls]).difference(clear)
        body = body.difference(shapely.union_all(self.holes)) if self.holes else body
        place = lambda p: p * FT  # noqa: E731
        shapes = np.array([shapely.transform(p, place) for p in [*shapely.get_parts(body), *self.areas]], object)
        n = len(shapes)
        fills = Fills(shapes, np.zeros((n, 3)), np.ones(n), np.full(n, -1, np.int64), np.arange(n, dtype=np.int64))
        strokes = Strokes.of(np.array(self.lines, float).reshape(-1, 4) * FT, width=0.36)
        view = View("v1", "PLAN", (0.0, 0.0, 60 * FT, 50 * FT))
        sheet = Sheet(
            "plan.pdf", 1, None, None, 60 * FT, 50 * FT, strokes, fills, tuple(self.words), (), (view,), ()
        )
        return sheet, view

"""Rooms that a file shows twice, on a plan and enlarged: their outlets are judged in both, and the two may differ.

A room and its enlarged plan have one name and, where both are measured, one size; an enlarged plan whose title says
so may also show a part of the room.  A device that only the enlarged plan shows was "missing" on the plan, and
nothing said that its outlets were counted twice.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from cordpath.circuits import asked
from cordpath.model import UNNAMED, Finding, Point, Room, SheetResult
from cordpath.sheet import ENLARGED

LARGER = 1.4  # times the scale of the plan: 1/4" is enlarged to 3/8" or 1/2" (common practice, no source)
SAME_SIZE_FT = 1.0  # between the sides of one room in both: its walls are drawn to other faces, or as lines
SAME_PLACE_FT = 1.0  # between the places of one outlet in both: symbols are drawn where there is paper for them
# Titles of drawings that show a part of a plan again (common practice, no source)

Corner = tuple[float, float]  # of the box around a room: 0 west or north, 1 east or south


@dataclass(frozen=True)
class _Placed:
    """A room of a measured view, with feet and words to say it by; ``sheet``: which of the results."""

    sheet: int
    room: Room
    ratio: float
    foot: float  # pt
    title: str

    def sides_ft(self) -> tuple[float, float]:
        west, north, east, south = self.room.polygon.bounds
        return (east - west) / self.foot, (south - north) / self.foot

    def at_ft(self, at: Point, corner: Corner) -> Point:
        west, north, east, south = self.room.polygon.bounds
        x, y = west + corner[0] * (east - west), north + corner[1] * (south - north)
        return (at[0] - x) / self.foot, (at[1] - y) / self.foot


def drawn_twice(results: Sequence[SheetResult]) -> tuple[SheetResult, ...]:
    """The sheets of a file, with missing protection a question where the other drawing of the outlet shows it, a
    note on each room that two views show, and one on each enlarged plan of which nothing else is in the file."""
    out = [list(result.findings) for result in results]
    notes: list[list[str]] = [[] for _ in results]
    rooms = [room for k, result in enumerate(results) for room in _rooms(k, result)]
    named = defaultdict(list)
    for each in rooms:
        named[each.room.name.upper()].append(each)
    pairs = [
        (small, large) for small in rooms for large in named[small.room.name.upper()] if _one_room(small, large)
    ]
    for small, large in pairs:
        here, there = _title(small, large, results), _title(large, small, results)
        drawn = "is drawn" if _as_large(small, large) else "is perhaps drawn"
        for sheet in {small.sheet, large.sheet}:
            notes[sheet].append(
                f"{large.room.name} {drawn} in {here} and larger in {there}: what both show is counted in each"
            )
        for one, two in _same(small, large, results):
            plan, part = results[small.sheet].findings[one], results[large.sheet].findings[two]
            out[small.sheet][one] = _asked(out[small.sheet][one], part, there)
            out[large.sheet][two] = _asked(out[large.sheet][two], plan, here)
    mates = {(large.sheet, large.room.view) for _, large in pairs}
    for sheet, result in enumerate(results):
        notes[sheet] += _alone(result, {view for k, view in mates if k == sheet})
    return tuple(
        replace(result, findings=tuple(found), assumptions=tuple(dict.fromkeys((*result.assumptions, *told))))
        if told
        else result
        for result, found, told in zip(results, out, notes, strict=True)
    )


def _alone(result: SheetResult, mates: set[str]) -> Iterator[str]:
    """Notes on the enlarged plans whose outlets are perhaps counted in another file."""
    views = {finding.outlet.symbol.view for finding in result.findings}
    for view in result.reading.sheet.views if result.reading is not None else ():
        if view.id in views - mates and ENLARGED.search((view.title or "").upper()):
            yield f"{view.title} shows a part of a plan larger: what that plan shows as well is counted in each"


def _rooms(sheet: int, result: SheetResult) -> Iterator[_Placed]:
    reading = result.reading
    if reading is None:
        return
    for view, plan, scale in zip(reading.sheet.views, reading.plans, reading.scales, strict=True):
        if scale.measurable and scale.ratio is not None:
            for room in plan.rooms:
                if room.name and room.kind != "outdoors" and not room.polygon.is_empty:
                    yield _Placed(sheet, room, scale.ratio, scale.points_per_foot, view.title or view.id)


def _title(placed: _Placed, other: _Placed, results: Sequence[SheetResult]) -> str:
    if placed.sheet == other.sheet:
        return placed.title
    result = results[placed.sheet]
    number = result.reading.sheet.number if result.reading is not None else None
    return f"{placed.title} ({f'sheet {number}' if number else f'page {result.page}'})"


def _one_room(small: _Placed, large: _Placed) -> bool:
    """Are two rooms of one name one room and the larger drawing of it, or of a part of it?  What has no name is
    told by its size, on one sheet."""
    if small.ratio < LARGER * large.ratio:
        return False
    if small.room.name == UNNAMED:
        return small.sheet == large.sheet and _as_large(small, large)
    part = ENLARGED.search(large.title.upper()) is not None and max(_more(small, large)) <= SAME_SIZE_FT
    return part or _as_large(small, large)


def _as_large(small: _Placed, large: _Placed) -> bool:
    return max(map(abs, _more(small, large))) <= SAME_SIZE_FT


def _more(small: _Placed, large: _Placed) -> list[float]:
    """By how much, ft, the sides of the larger drawing are longer than those of the room."""
    return [b - a for a, b in zip(small.sides_ft(), large.sides_ft(), strict=True)]


def _same(small: _Placed, large: _Placed, results: Sequence[SheetResult]) -> list[tuple[int, int]]:
    """Indices of findings at one place of the room; only where each is the other's one.

    A part of a room keeps some of its corners: the one from which most of the outlets agree.
    """

    def within(placed: _Placed) -> list[tuple[int, Point]]:
        return [
            (k, finding.outlet.standing.anchor)
            for k, finding in enumerate(results[placed.sheet].findings)
            if finding.room is not None
            and (finding.room.view, finding.room.id) == (placed.room.view, placed.room.id)
        ]

    ones, twos = within(small), within(large)
    found: list[list[tuple[int, int]]] = []
    for corner in ((0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (1.0, 1.0)):
        near = [
            (one, two)
            for one, at in ones
            for two, there in twos
            if math.dist(small.at_ft(at, corner), large.at_ft(there, corner)) <= SAME_PLACE_FT
        ]
        found.append([(a, b) for a, b in near if sum(p[0] == a for p in near) == 1 == sum(p[1] == b for p in near)])
    return max(found, key=len)


def _asked(finding: Finding, other: Finding, title: str) -> Finding:
    if finding.verdict != "missing" or other.verdict != "protected":
        return finding
    said = (
        f"{title} shows protection at this place ({other.outlet.id}), this drawing does not: which of them holds?"
    )
    return asked(finding, said, said)

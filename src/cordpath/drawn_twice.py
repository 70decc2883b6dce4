"""Rooms that a sheet shows twice, on a plan and enlarged: their outlets are judged in both, and the two may differ.

A room and its enlarged plan have one name and, where both are measured, one size.  A device that only the enlarged
plan shows was "missing" on the plan, and nothing said that its outlets were counted twice.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from cordpath.circuits import asked
from cordpath.model import Finding, Point, Reading, Room

LARGER = 1.4  # times the scale of the plan: 1/4" is enlarged to 3/8" or 1/2" (common practice, no source)
SAME_SIZE_FT = 1.0  # between the sides of one room in both: its walls are drawn to other faces, or as lines
SAME_PLACE_FT = 1.0  # between the places of one outlet in both: symbols are drawn where there is paper for them


@dataclass(frozen=True)
class _Placed:
    """A room of a measured view, with feet and words to say it by."""

    room: Room
    ratio: float
    foot: float  # pt
    title: str

    def sides_ft(self) -> tuple[float, float]:
        west, north, east, south = self.room.polygon.bounds
        return (east - west) / self.foot, (south - north) / self.foot

    def at_ft(self, at: Point) -> Point:
        west, north, _, _ = self.room.polygon.bounds
        return (at[0] - west) / self.foot, (at[1] - north) / self.foot


def drawn_twice(reading: Reading, findings: tuple[Finding, ...]) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
    """The findings, with missing protection a question where the other drawing of the outlet shows it, and a note
    on each room that two views show."""
    out = list(findings)
    notes = []
    for small, large in _pairs(reading):
        drawn = f"{large.room.name} is drawn in {small.title} and larger in {large.title}"
        notes.append(f"{drawn}: what both show is counted in each")
        for one, two in _same(small, large, findings):
            out[one] = _asked(findings[one], findings[two], large.title)
            out[two] = _asked(findings[two], findings[one], small.title)
    return tuple(out), tuple(dict.fromkeys(notes))


def _pairs(reading: Reading) -> Iterator[tuple[_Placed, _Placed]]:
    """Each room and the larger drawing of it, of the same sheet."""
    rooms = [
        _Placed(room, scale.ratio, scale.points_per_foot, view.title or view.id)
        for view, plan, scale in zip(reading.sheet.views, reading.plans, reading.scales, strict=True)
        if scale.measurable and scale.ratio is not None
        for room in plan.rooms
        if room.name and room.kind != "outdoors" and not room.polygon.is_empty
    ]
    for small in rooms:
        for large in rooms:
            if small.room.name == large.room.name and small.ratio >= LARGER * large.ratio:
                gaps = (abs(a - b) for a, b in zip(small.sides_ft(), large.sides_ft(), strict=True))
                if max(gaps) <= SAME_SIZE_FT:
                    yield small, large


def _same(small: _Placed, large: _Placed, findings: tuple[Finding, ...]) -> Iterator[tuple[int, int]]:
    """Indices of findings at one place of the room; only where each is the other's one."""

    def within(placed: _Placed) -> list[tuple[int, Point]]:
        return [
            (k, placed.at_ft(finding.outlet.standing.anchor))
            for k, finding in enumerate(findings)
            if finding.room is not None and finding.room.id == placed.room.id
        ]

    near = [
        (one, two)
        for one, at in within(small)
        for two, there in within(large)
        if math.dist(at, there) <= SAME_PLACE_FT
    ]
    for one, two in near:
        if sum(pair[0] == one for pair in near) == 1 == sum(pair[1] == two for pair in near):
            yield one, two


def _asked(finding: Finding, other: Finding, title: str) -> Finding:
    if finding.verdict != "missing" or other.verdict != "protected":
        return finding
    said = (
        f"{title} shows protection at this place ({other.outlet.id}), this drawing does not: which of them holds?"
    )
    return asked(finding, said, said)

"""Rooms that the plan shows by their numbers, and a schedule by their names.

Terms: *mark*, the number of a room, in the schedule and on the plan; *short*, a mark of one or two figures, which
circuits, notes and doors have as well; *frame*, what is drawn around a mark (a box, a circle, a hexagon).

A number is a room's mark where the schedule lists it and it stands once on the plan.  What is short must have a
frame.  A number in a frame like theirs that no row lists names no room, and that is told.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import shapely

from cordpath.geometry import boxes_around
from cordpath.model import FloatArray, RoomEntry, ScheduledRoom, Sheet, Strokes, View
from cordpath.rooms.names.schedule import MARK
from cordpath.rooms.names.tags import Run, Tag, find_tags, plan_runs
from cordpath.rooms.names.turning import turned
from cordpath.rooms.names.vocabulary import meaning

BEFORE = re.compile(r"(?:ROOM|RM)\.? ?|#")  # RM 101
LONG = 3  # figures from which a number is hardly a circuit's or a note's
FRAME = 2.0  # of the text size: how far a frame stands from its text
SAME_SIZE = 0.2  # marks of one plan are lettered alike
BESIDE = 4.0  # of the text size: a number this close to a name is that room's
EVEN = 0.5  # of the text size: a frame stands as far on both sides, walls and fixtures around a number hardly
MOSTLY = 0.5  # share of the marks in frames from which only what has one is a mark
LEAST_MARKS = 2  # marks that the plan and the schedule share


def room_tags(
    sheet: Sheet, view: View, entries: tuple[RoomEntry, ...], schedule: tuple[ScheduledRoom, ...]
) -> tuple[list[Tag], list[Tag]]:
    """(strong, odd) tags of the view, as :func:`find_tags`, with those that the schedule names."""
    strong, odd = find_tags(sheet, view, entries)
    if not schedule:
        return strong, odd
    named, nameless = numbered(plan_runs(sheet, view), schedule, strong, sheet.strokes, entries)
    marks = {tag.at for tag in (*named, *nameless)}
    odd = [tag for tag in odd if tag.at not in marks]
    return [*(_against(tag, schedule, entries) for tag in strong), *named], [*odd, *nameless]


def shows_marks(sheet: Sheet) -> bool:
    """Does a drawing of the sheet show what may be rooms' numbers."""
    for view in sheet.views:
        runs = [(run, mark) for run in plan_runs(sheet, view) if (mark := _mark(run)) is not None]
        long = sum(_is_long(mark) for _, mark in runs)
        if long >= LEAST_MARKS or sum(_framed([run for run, _ in runs], sheet.strokes)) >= LEAST_MARKS:
            return True
    return False


def told(tags: Iterable[Tag]) -> list[str]:
    """Which rooms a schedule named."""
    marks: dict[str, list[str]] = {}
    for tag in tags:
        if tag.source is not None and tag.number is not None:
            marks.setdefault(tag.source, []).append(tag.number)
    return [
        f"{'rooms' if len(own) > 1 else 'room'} {', '.join(sorted(own))}: shown by number, named by the {source}"
        for source, own in marks.items()
    ]


def numbered(
    runs: list[Run],
    schedule: tuple[ScheduledRoom, ...],
    named: Iterable[Tag],
    strokes: Strokes,
    entries: tuple[RoomEntry, ...],
) -> tuple[list[Tag], list[Tag]]:
    """(tags whose rooms the schedule names, marks that name no room) among the ``runs`` of a plan.

    ``named``: tags that the plan itself names; a number under a name belongs to it.
    """
    listed = {room.mark: room for room in schedule}
    if not listed:
        return [], []
    asked = _without_names(runs, list(named))
    framed = [each for each, frame in zip(asked, _framed([run for run, _ in asked], strokes), strict=True) if frame]
    in_frames = [(run, mark) for run, mark in framed if mark in listed]
    shown = [each for each in asked if each[1] in listed and (_is_long(each[1]) or each in in_frames)]
    # the same number without a frame is a dimension, a voltage or a door
    shown = in_frames if len(in_frames) > MOSTLY * len(shown) else shown
    count = Counter(mark for _, mark in shown)
    if len(count) < LEAST_MARKS:
        return [], []
    size = float(np.median([run.size for run, _ in shown]))
    found = [_tag(run, listed[mark], count[mark], entries) for run, mark in shown]
    strange = [
        _without_name(run, mark, f"room number {mark} is not in the room schedule")
        for run, mark in framed if mark not in listed and abs(run.size / size - 1) <= SAME_SIZE
    ]  # fmt: skip
    sure = [tag for tag in found if tag.meaning is not None]
    return sure, [tag for tag in found if tag.meaning is None] + strange


def _without_names(runs: list[Run], named: list[Tag]) -> list[tuple[Run, str]]:
    """The runs that may be marks, each with its mark, that stand with no name."""
    marks = [(run, mark) for run in runs if (mark := _mark(run)) is not None]
    return [(run, mark) for run, mark in marks if not any(_belongs(run, mark, tag) for tag in named)]


def _is_long(mark: str) -> bool:
    return sum(map(str.isdigit, mark)) >= LONG


def _belongs(run: Run, mark: str, tag: Tag) -> bool:
    """Does the number stand with a name."""
    return math.dist(run.at, tag.at) <= BESIDE * tag.size and tag.number in (mark, None)


def _against(tag: Tag, schedule: tuple[ScheduledRoom, ...], entries: tuple[RoomEntry, ...]) -> Tag:
    """A name of the plan whose number the schedule gives to a room of another kind."""
    room = next((room for room in schedule if room.mark == tag.number), None)
    if room is None or tag.meaning is None:
        return tag
    other = next((name for name in room.names if (found := meaning(name, entries)) is not None
                  and found.kind != tag.meaning.kind), None)  # fmt: skip
    why = f"the plan calls room {tag.number} {tag.text}, the {room.source} {other}"
    return replace(tag, against=why) if other is not None else tag


def _mark(run: Run) -> str | None:
    said = BEFORE.sub("", run.text.strip().upper(), count=1).strip(".")
    return said if MARK.fullmatch(said) else None


def _tag(run: Run, room: ScheduledRoom, places: int, entries: tuple[RoomEntry, ...]) -> Tag:
    if len(room.names) > 1:
        return _without_name(run, room.mark, f"the {room.source} gives number {room.mark} several names "
                                             f"({', '.join(room.names)})")  # fmt: skip
    if places > 1:
        return _without_name(run, room.mark, f"room number {room.mark} stands at {places} places of the plan")
    name = room.names[0]
    return Tag(name, run.at, run.size, run.style, room.mark, meaning(name, entries), False,
               min(run.figures, room.confidence), room.source)  # fmt: skip


def _without_name(run: Run, mark: str, why: str) -> Tag:
    return Tag(mark, run.at, run.size, run.style, mark, None, False, run.figures, None, why)


def _framed(runs: list[Run], strokes: Strokes) -> list[bool]:
    """Is there ink close above, below, left and right of each run, and none between."""
    xy = strokes.xy[strokes.ink()]
    if not runs:
        return []
    at = np.array([run.at for run in runs])
    reach = np.array([FRAME * run.size + (run.along[1] - run.along[0]) / 2 for run in runs])[:, None]
    around = shapely.box(*np.hstack([at - reach, at + reach]).T)
    of, near = shapely.STRtree(shapely.box(*boxes_around(xy).T)).query(around)
    cut = np.searchsorted(of, np.arange(len(runs) + 1)).tolist()
    return [_in_frame(run, xy[near[a:b]]) for run, a, b in zip(runs, cut, cut[1:], strict=False)]


def _in_frame(run: Run, near: FloatArray) -> bool:
    """``near``: (n, 4) the strokes about the run."""
    ends = turned(near.reshape(-1, 2), run.angle).reshape(-1, 4) - [run.middle, run.across] * 2
    half = (run.along[1] - run.along[0]) / 2
    reach = FRAME * run.size
    return _both_sides(ends, half, half + reach, EVEN * run.size) and _both_sides(
        ends[:, [1, 0, 3, 2]], 0.4 * run.size, 0.5 * run.size + reach, EVEN * run.size
    )


def _both_sides(ends: FloatArray, least: float, most: float, even: float) -> bool:
    """Do strokes cross the first axis on both sides of its origin, first as far away (to ``even``) on either,
    between ``least`` and ``most``."""
    a = ends[(ends[:, 1] <= 0) != (ends[:, 3] <= 0)]
    at = a[:, 0] - a[:, 1] * (a[:, 2] - a[:, 0]) / (a[:, 3] - a[:, 1])
    right, left = at[at >= least], -at[at <= -least]
    if not len(right) or not len(left):
        return False
    return bool(max(right.min(), left.min()) <= most and abs(right.min() - left.min()) <= even)

"""Rulings of an earlier review carried onto a sheet that was plotted anew: renumbered, turned, scaled, shifted.

A ruling names the sheet and a place in the box of a room, and so one outlet of the earlier review.  The old sheet
is laid over the new one (``overlay.py``), and the outlet is followed as the recheck follows it: one that is gone
takes its ruling along, so that a neighbour never inherits it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from cordpath.decisions import NEAR, Spot, Unused, meant, plain
from cordpath.geometry import box_around
from cordpath.model import Box, Decision, Point, SheetResult
from cordpath.report import sheet_of
from cordpath.resubmittal.overlay import Laying
from cordpath.resubmittal.recheck import matched
from cordpath.resubmittal.sheets import SURE, Json, ReviewSheet, paired, sheets_of

GONE = "the outlet that it was on is no longer there"
MOVED = "the outlet that it was on has moved"
NOT_LAID = "no sheet of this file could be laid over the one that it was on"
WRITTEN = 0.0015  # of the room's box: places are written to thousandths
Followed: TypeAlias = tuple[Decision, Decision | None, str]  # as written, as it reads now or None, and why none


@dataclass(frozen=True)
class Carried:
    """``pairs``: rulings as they were written, and as they read on the new sheets; those that mean no outlet of the
    old review, or were written for the new sheets, are as they were.  ``lost``: those whose outlet is gone or
    elsewhere, or whose sheet lies on none of the new ones: by its number alone a sheet that was mirrored would give
    them to other outlets."""

    pairs: tuple[tuple[Decision, Decision], ...]
    lost: Unused


def carried(decisions: Sequence[Decision], earlier: Json, results: Sequence[SheetResult]) -> Carried:
    """``results``: of one file."""
    ruled_on = {plain(decision.sheet) for decision in decisions}
    before = [sheet for sheet in sheets_of(earlier) if plain(sheet.name) in ruled_on and sheet.places]
    after = sheets_of({"sheets": [sheet_of(each) for each in results if each.status == "checked"]})
    partner = paired(before, [sheet for sheet in after if sheet.places])
    files: dict[str, list[ReviewSheet]] = {}
    for sheet in before:
        files.setdefault(sheet.data["file"], []).append(sheet)
    followed: dict[int, list[Followed]] = {id(decision): [] for decision in decisions}
    anew = _written_for(after, decisions) - _written_for(before, decisions)
    for sheets in files.values():
        for each in _followed(sheets, partner, [each for each in decisions if id(each) not in anew]):
            followed[id(each[0])].append(each)
    pairs, lost = [], []
    for decision in decisions:
        told = followed[id(decision)]
        found = [new for _, new, _ in told if new is not None]
        if told and not found:
            lost.append((decision, min((why for _, _, why in told), key=(GONE, MOVED, NOT_LAID).index)))
        else:
            pairs.append((decision, found[0] if len(found) == 1 else decision))
    return Carried(tuple(pairs), tuple(lost))


def _spots(sheets: Sequence[ReviewSheet]) -> list[Spot]:
    return [
        Spot(k, j, (plain(place.sheet), plain(place.room), plain(place.symbol)), plain(place.circuit),
             _share(_box(sheet, j), place.at), place.file)
        for k, sheet in enumerate(sheets)
        for j, place in enumerate(sheet.places)
    ]  # fmt: skip


def _written_for(sheets: Sequence[ReviewSheet], decisions: Sequence[Decision]) -> set[int]:
    """Rulings whose place is that of an outlet there to the last figure that is written."""
    spots = _spots(sheets)
    return {
        id(decision) for decision in decisions for spot in spots
        if spot.key == (plain(decision.sheet), plain(decision.room), plain(decision.symbol))
        and max(abs(decision.place[0] - spot.place[0]), abs(decision.place[1] - spot.place[1])) <= WRITTEN
    }  # fmt: skip


def _followed(
    sheets: list[ReviewSheet], partner: dict[int, tuple[ReviewSheet, Laying]], decisions: Sequence[Decision]
) -> Iterator[Followed]:
    """The rulings on outlets of one old file."""
    ruled: dict[int, list[tuple[int, Decision]]] = {}
    for (k, j), decision in meant(_spots(sheets), decisions)[0].items():
        ruled.setdefault(k, []).append((j, decision))
    for k, on_sheet in ruled.items():
        other = partner.get(id(sheets[k]))
        if other is None or other[1].support < SURE:
            yield from ((decision, None, NOT_LAID) for _, decision in on_sheet)
        else:
            yield from _followed_onto(sheets[k], *other, on_sheet)


def _followed_onto(
    old: ReviewSheet, new: ReviewSheet, laying: Laying, ruled: Sequence[tuple[int, Decision]]
) -> Iterator[Followed]:
    """The rulings on outlets of one old sheet, by index, that lies on a new one."""
    moved = laying.map([place.at for place in old.places])
    pairs = matched(old, new, moved)
    for j, decision in ruled:
        now = pairs.get(j)
        if now is None:
            yield decision, None, GONE
            continue
        box = _box(new, now)
        place, there = _share(box, (float(moved[j, 0]), float(moved[j, 1]))), _share(box, new.places[now].at)
        if np.hypot(place[0] - there[0], place[1] - there[1]) > NEAR:
            yield decision, None, MOVED
        else:
            file = new.data["file"] if decision.file else None
            yield decision, replace(decision, sheet=new.name, place=there, file=file), ""


def _share(box: Box, at: Point) -> Point:
    return (at[0] - box[0]) / max(box[2] - box[0], 1e-6), (at[1] - box[1]) / max(box[3] - box[1], 1e-6)


def _box(sheet: ReviewSheet, outlet: int) -> Box:
    """Of the room of an outlet, or of the sheet where it is in none."""
    named = sheet.data["outlets"][outlet]["room"]
    room = next((each for each in sheet.data["rooms"] if named and each["id"] == named), None)
    if room is None or len(room["polygon"]) < 3:
        return (0.0, 0.0, float(sheet.data["width"] or 1.0), float(sheet.data["height"] or 1.0))
    return box_around(np.asarray(room["polygon"], float))

"""Rulings of an earlier review carried onto a sheet that was plotted anew: renumbered, turned, scaled, shifted.

A ruling names the sheet and a place in the box of a room.  The old sheet is laid over the new one (``overlay.py``),
the point that the ruling means is taken along, and its place is told anew in the room of the same name there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import PurePath

import numpy as np

from cordpath.decisions import plain
from cordpath.model import Box, Decision, Point, SheetResult
from cordpath.report import sheet_of
from cordpath.resubmittal.overlay import Laying
from cordpath.resubmittal.sheets import SURE, Json, ReviewSheet, paired, sheets_of


def carried(
    decisions: Sequence[Decision], earlier: Json, results: Sequence[SheetResult]
) -> dict[int, tuple[Decision, Decision]]:
    """Rulings by their index: as they were written, and as they read on the new sheets of one file.

    Those on sheets that lie on none of the new ones are as they were.
    """
    ruled_on = {plain(decision.sheet) for decision in decisions}
    before = [sheet for sheet in sheets_of(earlier) if plain(sheet.name) in ruled_on and sheet.places]
    after = sheets_of({"sheets": [sheet_of(each) for each in results if each.status == "checked"]})
    partner = paired(before, [sheet for sheet in after if sheet.places])
    found: dict[int, tuple[Decision, Decision]] = {}
    for k, decision in enumerate(decisions):
        told = [
            new for sheet in before if _meant(decision, sheet) and id(sheet) in partner
            if (new := _told_anew(decision, sheet, *partner[id(sheet)])) is not None
        ]  # fmt: skip
        found[k] = (decision, told[0] if len(told) == 1 else decision)
    return found


def _meant(decision: Decision, sheet: ReviewSheet) -> bool:
    file = (decision.file or "").casefold()
    return plain(sheet.name) == plain(decision.sheet) and file in ("", _stem(sheet))


def _stem(sheet: ReviewSheet) -> str:
    return PurePath(sheet.data["file"].replace("\\", "/")).stem.casefold()


def _told_anew(decision: Decision, old: ReviewSheet, new: ReviewSheet, laying: Laying) -> Decision | None:
    here, there = _box(old, decision.room), _box(new, decision.room)
    if laying.support < SURE or here is None or there is None:
        return None
    point = [here[axis] + decision.place[axis] * (here[axis + 2] - here[axis]) for axis in (0, 1)]
    x, y = laying.map([(point[0], point[1])])[0]
    place: Point = (
        (float(x) - there[0]) / max(there[2] - there[0], 1e-6),
        (float(y) - there[1]) / max(there[3] - there[1], 1e-6),
    )
    return replace(decision, sheet=new.name, place=place, file=_stem(new) if decision.file else None)


def _box(sheet: ReviewSheet, room: str) -> Box | None:
    """Of the one room of that name, or of the sheet where none is named."""
    if not room:
        return (0.0, 0.0, float(sheet.data["width"] or 1.0), float(sheet.data["height"] or 1.0))
    boxes = []
    for each in sheet.data["rooms"]:
        if plain(each["name"] or each["kind"] or "") == plain(room) and len(each["polygon"]) > 2:
            ring = np.asarray(each["polygon"], float)
            boxes.append((*map(float, ring.min(axis=0)), *map(float, ring.max(axis=0))))
    if len(boxes) != 1:
        return None
    x0, y0, x1, y1 = boxes[0]
    return (x0, y0, x1, y1)

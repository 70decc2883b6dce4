"""An old review against a new one: what became of every finding, and what changed without being clouded.

Both are results documents (plain JSON), so that the old one may come from an earlier version of the program.

Terms: *item*, one outlet in the old review, the new one, or both; *open*, missing or unresolved; *laying*, how an
old sheet lies on a new one (``overlay.py``); *clouded*, within half an inch of a revision cloud of the new sheet.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal, TypeAlias

import numpy as np
from scipy.optimize import linear_sum_assignment

from cordpath.decisions import plain
from cordpath.geometry import grown, in_box
from cordpath.model import POINTS_PER_INCH, FloatArray, Point
from cordpath.resubmittal.overlay import CLOSE_PT, Laying
from cordpath.resubmittal.sheets import Json, Place, ReviewSheet, paired, sheets_of

MOVED_FT = 0.5  # a device that moved less was drawn anew at its place
WITHIN_FT = 10.0  # a device of the same room that moved farther counts as another one
WITHIN_PT = 72.0  # where there is no scale
OTHER_SYMBOL, OTHER_CIRCUIT = 6.0, 3.0  # pt that a difference weighs among outlets at one place
CLOUD_NEAR = 36.0  # pt around a cloud that count as within it

Status = Literal["resolved", "unresolved", "moved", "new", "gone", "not checked"]
STATUSES: tuple[Status, ...] = ("unresolved", "moved", "new", "not checked", "gone", "resolved")


@dataclass(frozen=True)
class Item:
    """``status`` None: it was not open and is not open now, and is told for its ``changes`` only.

    ``clouded`` None: nothing changed, or no sheet to see it on.  ``comment``: the number of the comment that the
    outlet was in, ``comment_now``: of the one that it is in; a number serves a cause, so others may join it.
    """

    status: Status | None
    old: Place | None
    new: Place | None
    changes: tuple[str, ...] = ()
    clouded: bool | None = None
    why: str = ""
    comment: int | None = None
    comment_now: int | None = None


@dataclass(frozen=True)
class Rechecked:
    items: tuple[Item, ...]
    sheets: tuple[tuple[str, str, float], ...]  # old sheet, new sheet, support
    notes: tuple[str, ...] = ()

    def count(self, status: Status) -> int:
        return sum(item.status == status for item in self.items)

    @property
    def unclouded(self) -> tuple[Item, ...]:
        """Outlets that changed outside every revision cloud."""
        return tuple(item for item in self.items if item.clouded is False)


@dataclass
class _Work:
    items: list[Item] = field(default_factory=list)
    pairs: list[tuple[str, str, float]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


Numbers: TypeAlias = Mapping[tuple[str, int, str], int]


def recheck(old: Json, new: Json, numbers: Numbers | None = None, numbers_now: Numbers | None = None) -> Rechecked:
    """Compare two results documents.  ``numbers``: of comments by file, page and outlet, in the old letter;
    ``numbers_now``: in the new one.

    Raises KeyError, TypeError or ValueError where a document is not one of results.
    """
    before, after = sheets_of(old), sheets_of(new)
    work = _Work()
    partner = paired([s for s in before if s.places], [s for s in after if s.checked and s.places])
    met: set[int] = set()
    for sheet in before:
        found = partner.get(id(sheet))
        if found is None:
            _without_partner(sheet, after, work)
            continue
        other, laying = found
        met.add(id(other))
        work.pairs.append((sheet.name, other.name, round(laying.support, 2)))
        _compare(sheet, other, laying, work)
    for sheet in after:
        if id(sheet) not in met:
            work.items += [Item("new", None, place, ("added",)) for place in sheet.places if place.open]
        if sheet.data["status"] == "failed":
            work.notes.append(f"{sheet.name} ({sheet.data['file']}) could not be checked: {sheet.data['why']}")
    items = [
        replace(item, comment=_number(item.old, numbers or {}), comment_now=_number(item.new, numbers_now or {}))
        for item in work.items
    ]
    return Rechecked(tuple(sorted(items, key=_order)), tuple(work.pairs), tuple(work.notes))


def _number(place: Place | None, numbers: Numbers) -> int | None:
    return numbers.get((place.file, place.page, place.outlet)) if place and place.open else None


def _order(item: Item) -> tuple[int, str, int, str]:
    place = item.old or item.new
    assert place is not None
    rank = STATUSES.index(item.status) if item.status else len(STATUSES)
    head, _, tail = place.outlet.rpartition(".")
    return rank, place.sheet, int(tail) if tail.isdecimal() else 0, head


def _without_partner(sheet: ReviewSheet, after: Sequence[ReviewSheet], work: _Work) -> None:
    same = [s for s in after if plain(s.name) == plain(sheet.name)]
    why = "no sheet of the new set could be laid over this one"
    if same and not same[0].checked:
        why = f"the new sheet was not checked: {same[0].data['why']}"
    items = [Item("not checked", place, None, why=why) for place in sheet.places if place.open]
    if (sheet.places and not items) or (sheet.data["status"] == "failed" and not same):
        held = (
            f"held {len(sheet.places)} outlets and no finding" if sheet.checked else "could not be checked before"
        )
        work.notes.append(f"{sheet.name} ({sheet.data['file']}) {held}: {why}")
    work.items += items


# ------------------------------------------------------------------------------------------------ outlets


def _compare(old: ReviewSheet, new: ReviewSheet, laying: Laying, work: _Work) -> None:
    moved = laying.map([place.at for place in old.places])
    pairs = matched(old, new, moved)
    for k, place in enumerate(old.places):
        j = pairs.get(k)
        at = (float(moved[k, 0]), float(moved[k, 1]))
        if j is None:
            clouded = _clouded(at, new)
            status: Status | None = "gone" if place.open else None
            work.items.append(Item(status, place, None, ("removed",), clouded))
            continue
        other = new.places[j]
        changes = tuple(_changes(place, other, at, new))
        told = _status(place, other, any(change.startswith("moved") for change in changes))
        if told or changes:
            work.items.append(Item(told, place, other, changes, _clouded(other.at, new) if changes else None))
    for j in sorted(set(range(len(new.places))) - set(pairs.values())):
        place = new.places[j]
        work.items.append(Item("new" if place.open else None, None, place, ("added",), _clouded(place.at, new)))


def _status(old: Place, new: Place, moved: bool) -> Status | None:
    if old.open:
        return ("moved" if moved else "unresolved") if new.open else "resolved"
    return "new" if new.open else None


def matched(old: ReviewSheet, new: ReviewSheet, moved: FloatArray) -> dict[int, int]:
    """Old to new outlets, one to one: first those at one place, then those that moved within their room."""
    there = np.array([place.at for place in new.places]).reshape(-1, 2)
    away = np.hypot(*(moved[:, None, :] - there[None, :, :]).transpose(2, 0, 1))
    symbol = _differ([p.symbol for p in old.places], [p.symbol for p in new.places])
    circuit = _differ([p.circuit for p in old.places], [p.circuit for p in new.places])
    rooms = [[plain(p.room) for p in sheet.places] for sheet in (old, new)]
    room = _differ(*rooms)
    both = np.array(list(set(rooms[0]) & set(rooms[1])), object)  # others may have been given another name
    beyond = room & np.isin(rooms[0], both)[:, None] & np.isin(rooms[1], both)[None, :]
    near = np.where(beyond, CLOSE_PT / 2, 2 * CLOSE_PT)  # across a wall stands another outlet
    pairs = _assigned(away + OTHER_SYMBOL * symbol + OTHER_CIRCUIT * circuit, away <= near)
    left = np.array([k not in pairs for k in range(len(old.places))])[:, None]
    free = np.array([j not in pairs.values() for j in range(len(new.places))])[None, :]
    reach = WITHIN_FT * new.points_per_foot if new.points_per_foot else WITHIN_PT
    pairs |= _assigned(away + reach * circuit, left & free & ~room & ~symbol & (away <= reach))
    return pairs


def _differ(old: list[str], new: list[str]) -> np.ndarray[Any, np.dtype[np.bool_]]:
    return np.array(old)[:, None] != np.array(new)[None, :]


def _assigned(cost: FloatArray, allowed: np.ndarray[Any, np.dtype[np.bool_]]) -> dict[int, int]:
    rows, columns = linear_sum_assignment(np.where(allowed, cost, 1e6))
    return {int(k): int(j) for k, j in zip(rows, columns, strict=True) if allowed[k, j]}


def _changes(old: Place, new: Place, at: Point, sheet: ReviewSheet) -> Iterable[str]:
    away = float(np.hypot(new.at[0] - at[0], new.at[1] - at[1]))
    if sheet.points_per_foot and away / sheet.points_per_foot > MOVED_FT:
        yield f"moved {away / sheet.points_per_foot:.1f} ft"
    elif not sheet.points_per_foot and away > CLOSE_PT:
        yield f"moved {away / POINTS_PER_INCH:.2f} in on paper"
    for what, a, b in (("room", old.room, new.room), ("symbol", old.symbol, new.symbol),
                       ("circuit", old.circuit, new.circuit), ("labels", _said(old), _said(new))):  # fmt: skip
        if a != b and not (what == "room" and plain(a) == plain(b)):
            yield f"{what}: {a or 'none'} to {b or 'none'}"


def _said(place: Place) -> str:
    """Labels but the circuit's, which is told by itself.  Single letters are switch legs and device letters that
    stand beside many things: they are no change."""
    return " ".join(label for label in place.labels if len(label) > 1 and label != place.circuit)


def _clouded(at: Point, sheet: ReviewSheet) -> bool:
    return any(in_box(at, grown(cloud, CLOUD_NEAR)) for cloud in sheet.clouds)

"""The sheets of two reviews as far as a recheck needs them, and which old one lies on which new one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import linear_sum_assignment

from cordpath.decisions import plain
from cordpath.model import POINTS_PER_INCH, Box, Point
from cordpath.resubmittal.overlay import Anchors, Laying, lay_over

Json = dict[str, Any]
OPEN = ("missing", "unresolved")
SURE = 0.5  # support from which equal sheet numbers are believed
PERHAPS = 0.3  # support from which sheets with other numbers are taken for the same


@dataclass(frozen=True)
class Place:
    """An outlet of a results document."""

    file: str
    page: int
    sheet: str
    outlet: str
    room: str
    symbol: str
    verdict: str
    at: Point
    labels: tuple[str, ...]
    circuit: str
    why: str
    ruling: str = ""  # the reviewer's, which closes the comment and changes no verdict

    @property
    def open(self) -> bool:
        return self.verdict in OPEN


@dataclass
class ReviewSheet:
    """A sheet of a results document, as far as it is needed here."""

    data: Json
    name: str
    places: list[Place]
    anchors: Anchors
    points_per_foot: float | None
    clouds: tuple[Box, ...]

    @property
    def checked(self) -> bool:
        return bool(self.data["status"] == "checked")


def sheets_of(document: Json) -> list[ReviewSheet]:
    return [_sheet(data) for data in document["sheets"]]


def _sheet(data: Json) -> ReviewSheet:
    rooms = {room["id"]: room for room in data["rooms"]}
    name = data["sheet"] or f"p{data['page']}"
    places = [_place(data, name, outlet, rooms) for outlet in data["outlets"]]
    labels = [(place.at, f"outlet {place.symbol}") for place in places]
    labels += [(_pair(f["at"]), f"fixture {f['symbol']}") for f in data["fixtures"]]
    for room in data["rooms"]:
        if room["name"] and len(room["polygon"]) > 2:
            ring = np.asarray(room["polygon"], float)
            middle = (ring.min(axis=0) + ring.max(axis=0)) / 2
            labels.append(((float(middle[0]), float(middle[1])), f"room {plain(room['name'])}"))
    scale = data["scale"] or {}
    ratio = scale.get("ratio")
    foot = POINTS_PER_INCH * 12.0 / ratio if ratio and scale.get("status") in ("proved", "single") else None
    clouds = tuple((float(a), float(b), float(c), float(d)) for a, b, c, d in data.get("revision_clouds") or ())
    anchors = Anchors(tuple(point for point, _ in labels), tuple(label for _, label in labels))
    return ReviewSheet(data, name, places, anchors, foot, clouds)


def _place(data: Json, name: str, outlet: Json, rooms: dict[str, Json]) -> Place:
    room = rooms.get(outlet["room"]) or {}
    return Place(
        data["file"], data["page"], name, outlet["id"], room.get("name") or room.get("kind") or "",
        outlet["symbol"], outlet["verdict"], _pair(outlet["at"]), tuple(sorted(outlet["labels"])),
        outlet["circuit"] or "", " ".join(outlet["reasons"][:2]),
        str((outlet.get("decision") or {}).get("ruling") or ""),
    )  # fmt: skip


def _pair(values: Sequence[float]) -> Point:
    x, y = values
    return float(x), float(y)


def paired(before: list[ReviewSheet], after: list[ReviewSheet]) -> dict[int, tuple[ReviewSheet, Laying]]:
    """Equal numbers first, where the drawings agree; then, among the rest, the drawings alone."""
    found: dict[int, tuple[ReviewSheet, Laying]] = {}
    free = {id(sheet): sheet for sheet in after}
    for sheet in before:
        for other in [s for s in free.values() if plain(s.name) == plain(sheet.name)]:
            laying = lay_over(sheet.anchors, other.anchors)
            if laying is not None and laying.support >= SURE:
                found[id(sheet)] = (other, laying)
                del free[id(other)]
                break
    left, rest = [s for s in before if id(s) not in found], list(free.values())
    if left and rest:
        layings = [[lay_over(sheet.anchors, other.anchors) for other in rest] for sheet in left]
        worth = np.array([[laying.support if laying else 0.0 for laying in row] for row in layings])
        for k, j in zip(*linear_sum_assignment(-worth), strict=True):
            laying = layings[k][j]
            if laying is not None and laying.support >= PERHAPS:
                found[id(left[k])] = (rest[j], laying)
    return found

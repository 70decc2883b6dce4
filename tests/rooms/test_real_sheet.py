"""A real plot (see tests/data/README.md): thirty thousand loose strokes, two views, furniture and grid lines."""

from __future__ import annotations

import pytest

from cordpath.model import Drawing, FloorPlan, Mapping, Scale
from cordpath.rooms import find_rooms
from read_once import real_plan

ROOMS = {
    "GARAGE": "garage", "LAUNDRY": "laundry", "FOYER - GARAGE": "hall", "ENTRY FOYER": "hall",
    "BATH - FOYER": "bathroom", "KITCHEN": "kitchen", "LIVING ROOM": "living", "FRONT PATIO": "outdoors",
    "DEN STORAGE": "closet", "DEN": "living", "BATH - UPSTAIRS": "bathroom", "UPSTAIRS FOYER": "hall",
    "BEDROOM - WEST": "bedroom", "BEDROOM - EAST": "bedroom", "CLOSET - WALK-IN": "closet",
    "BATH - MASTER": "bathroom", "MASTER": "bedroom",
}  # fmt: skip
# Clear widths in feet that dimension strings on the sheet tell: (room, box side 0 across or 1 down, length).
WIDTHS = [
    ("LAUNDRY", 0, 8 + 1.625 / 12),
    ("LAUNDRY", 1, 10 + 5.375 / 12),
    ("CLOSET - WALK-IN", 0, 8.0),
]


@pytest.fixture(scope="module")
def plans() -> list[FloorPlan]:
    sheet = real_plan()
    mapping = Mapping("symbols.yaml", Drawing(), ())
    return [find_rooms(sheet, v, Scale(v.id, 48.0, "note", "", "proved"), mapping, ()) for v in sheet.views]


def test_all_seventeen_rooms_have_their_kind(plans: list[FloorPlan]) -> None:
    found = {r.name: r.kind for plan in plans for r in plan.rooms if r.name in ROOMS}
    assert found == ROOMS


def test_the_open_plan_is_told(plans: list[FloorPlan]) -> None:
    rooms = {r.name: r for plan in plans for r in plan.rooms}
    for name in ("ENTRY FOYER", "LIVING ROOM", "KITCHEN"):
        assert rooms[name].open_to, name
        assert rooms[name].reasons, name
    assert rooms["ENTRY FOYER"].confidence < 0.85


def test_closed_rooms_are_sure_and_numbered(plans: list[FloorPlan]) -> None:
    rooms = {r.name: r for plan in plans for r in plan.rooms}
    for name in ("GARAGE", "LAUNDRY", "BATH - FOYER", "BEDROOM - WEST", "BATH - MASTER", "MASTER"):
        assert not rooms[name].reasons, name
        assert rooms[name].confidence > 0.9, name
    assert rooms["GARAGE"].number == "303" and rooms["MASTER"].number == "401"


@pytest.mark.parametrize(("name", "side", "feet"), WIDTHS)
def test_widths_are_those_of_the_dimension_strings(
    plans: list[FloorPlan], name: str, side: int, feet: float
) -> None:
    (room,) = [r for plan in plans for r in plan.rooms if r.name == name]
    x0, y0, x1, y1 = room.polygon.bounds
    assert (x1 - x0, y1 - y0)[side] / 18 == pytest.approx(feet, abs=2.5 / 12)  # two pen widths and rounding

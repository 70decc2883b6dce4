"""Rooms stated by hand win over what was found, and each is told."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
import shapely
from house_drawing import draw
from random_houses import build
from shapely.geometry import Point, box

from cordpath.model import Drawing, FloorPlan, Mapping, Room, RoomEntry, Scale, Sheet, View
from cordpath.rooms import find_rooms, stand, told_of_unmet
from cordpath.rooms.names.stated import apply_stated

PLAIN = Mapping("m.yaml", Drawing(), ())


def house() -> tuple[Sheet, View, Scale]:
    sheet, view, scale = draw(build(0), "double", seed=0, turn=0, ratio=48.0)
    return replace(sheet, number="E-101"), view, scale


def entry(**more: object) -> RoomEntry:
    facts: dict[str, object] = {"pattern": "", "kind": "unknown", "sheet": "e-101", "line": 9}
    return RoomEntry(**{**facts, **more})  # type: ignore[arg-type]


@cache
def with_rooms(*entries: RoomEntry) -> FloorPlan:
    sheet, view, scale = house()
    return find_rooms(sheet, view, scale, replace(PLAIN, rooms=entries), ())


def inner(plan: FloorPlan) -> list[Room]:
    return [room for room in plan.rooms if room.kind != "outdoors"]


def middle(room: Room) -> tuple[float, float]:
    spot = room.polygon.representative_point()
    return (spot.x, spot.y)


def test_a_point_names_the_room_that_holds_it() -> None:
    before = with_rooms()
    target = inner(before)[0]
    after = with_rooms(entry(at=middle(target), name="SPA", kind="damp or wet", finished=True))
    room = after.room(target.id)
    assert room is not None
    assert (room.name, room.kind, room.finished, room.reasons) == ("SPA", "damp or wet", True, ())
    assert room.confidence > 0.95
    assert room.polygon.equals(target.polygon)
    assert [r.kind for r in after.rooms if r.id != target.id] == [r.kind for r in before.rooms if r.id != target.id]
    assert any("line 9" in said and "SPA" in said for said in after.assumptions)


@pytest.mark.parametrize(("name", "kind"), [("POWDER", "bathroom"), ("ZORBLE", None)])
def test_a_name_alone_tells_its_kind_where_it_is_known(name: str, kind: str | None) -> None:
    target = next(room for room in inner(with_rooms()) if room.kind not in ("bathroom", "unknown"))
    room = with_rooms(entry(at=middle(target), name=name)).room(target.id)
    assert room is not None
    assert (room.name, room.kind) == (name, kind or target.kind)


def test_a_point_in_no_room_and_another_sheets_entry() -> None:
    before = with_rooms()
    after = with_rooms(entry(at=(-500.0, -500.0), kind="hall"))
    assert [room.kind for room in after.rooms] == [room.kind for room in before.rooms]
    assert any("not used" in said for said in after.assumptions)
    at = middle(inner(before)[0])
    for other in (
        entry(at=at, kind="garage", sheet="E-102"),
        entry(at=at, kind="garage", sheet=None, file="x.pdf", page=1),
    ):
        assert with_rooms(other).assumptions == before.assumptions


def test_an_outline_replaces_the_room_that_it_covers() -> None:
    before = with_rooms()
    target = max(inner(before), key=lambda room: room.polygon.area)
    outline = tuple(target.polygon.envelope.buffer(2.0, join_style="mitre").exterior.coords)[:-1]
    after = with_rooms(entry(polygon=outline, kind="boathouse"))
    room = after.room(target.id)
    assert room is not None
    assert (room.kind, room.name, room.open_to) == ("boathouse", target.name, ())
    assert room.polygon.area == pytest.approx(target.polygon.area, rel=0.05)
    assert room.polygon.intersection(after.walls).area < 0.01 * room.polygon.area
    others = [r for r in after.rooms if r.id != target.id]
    assert all(r.polygon.intersection(room.polygon).area < 1.0 for r in others)
    assert all(target.id not in r.open_to for r in others)


def test_an_outline_cuts_a_room_in_two() -> None:
    whole = Room(
        "r1", "GREAT ROOM", "living", box(0, 0, 400, 200), 0.6, "v1", open_to=("r2",), reasons=("open plan",)
    )
    other = Room("r2", "HALL", "hall", box(400, 0, 500, 200), 0.9, "v1", open_to=("r1",))
    out = Room("v1.out", "OUTDOORS", "outdoors", box(-100, -100, 600, 400), 0.95, "v1")
    empty = shapely.Polygon()
    plan = FloorPlan("v1", (whole, other, out), empty, empty, (), (), None)
    sheet, view, _ = house()
    mapping = replace(PLAIN, rooms=(entry(polygon=((0, 0), (150, 0), (150, 200), (0, 200)), name="KITCHEN"),))
    after = apply_stated(replace(plan, view=view.id), sheet, view, mapping)
    assert [room.id for room in after.rooms] == ["r1", "r2", "r3", "v1.out"]
    assert after.rooms[2].kind == "kitchen"
    assert after.rooms[0].polygon.equals(box(150, 0, 400, 200))
    assert after.rooms[0].open_to == ("r2",)


def test_an_outline_keeps_the_number_and_the_finish_of_the_room_that_it_replaces() -> None:
    old = Room("r1", "DEN", "other", box(0, 0, 200, 200), 0.6, "v1", True, "104")
    empty = shapely.Polygon()
    sheet, view, _ = house()
    around = ((-5, -5), (205, -5), (205, 205), (-5, 205))
    mapping = replace(PLAIN, rooms=(entry(polygon=around, kind="damp or wet"),))
    plan = FloorPlan(view.id, (old,), empty, empty, (), (), None)
    (room,) = apply_stated(plan, sheet, view, mapping).rooms
    assert (room.id, room.name, room.number, room.finished) == ("r1", "DEN", "104", True)
    unfinished = replace(mapping, rooms=(replace(mapping.rooms[0], finished=False),))
    assert apply_stated(plan, sheet, view, unfinished).rooms[0].finished is False


def test_doubts_about_the_extent_of_a_room_outlive_a_word_about_its_kind() -> None:
    loose = "the names BATH stand in the same space"
    room = Room(
        "r1", "BED", "bedroom", box(0, 0, 400, 200), 0.6, "v1", reasons=(loose, "'BED' is only partly known")
    )
    empty = shapely.Polygon()
    sheet, view, _ = house()
    plan = FloorPlan(view.id, (room,), empty, empty, (), (), None)
    after = apply_stated(plan, sheet, view, replace(PLAIN, rooms=(entry(at=(9, 9), kind="bedroom"),)))
    assert (after.rooms[0].confidence, after.rooms[0].reasons) == (0.6, (loose,))


def test_a_sheet_without_walls_has_the_rooms_that_are_stated() -> None:
    sheet, view, scale = house()
    bare = replace(sheet, strokes=sheet.strokes.take(sheet.strokes.layer < -5), fills=type(sheet.fills).none())
    x0, y0, x1, y1 = view.box
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    mapping = replace(PLAIN, rooms=(entry(polygon=corners, kind="garage", name="SHOP"),))
    plan = find_rooms(bare, view, scale, mapping, ())
    assert [(room.name, room.kind) for room in plan.rooms] == [("SHOP", "garage")]
    assert plan.rooms[0].polygon.covers(Point((x0 + x1) / 2, (y0 + y1) / 2))
    assert stand((), plan, scale) == ()


def test_an_entry_for_no_sheet_of_the_batch_is_told() -> None:
    sheet, _, _ = house()
    mine, other = entry(at=(9, 9), kind="hall"), entry(at=(9, 9), kind="hall", sheet="E-109", line=12)
    filed = entry(at=(9, 9), kind="hall", sheet=None, file="annex.pdf", page=2, line=15)
    mapping = replace(
        PLAIN, rooms=(mine, other, filed), drawing=Drawing(sheet_scales=(("e-101", 48.0), ("A1", 50.0)))
    )
    told = told_of_unmet(mapping, [sheet])
    assert len(told) == 3
    assert "line 12" in told[0]
    assert "E-109" in told[0]
    assert "line 15" in told[1]
    assert "page 2 of annex.pdf" in told[1]
    assert "A1" in told[2]
    assert "e-101" not in told[2]
    nothing_drawn = told_of_unmet(replace(PLAIN, rooms=(mine,)), [replace(sheet, views=())])
    assert len(nothing_drawn) == 1
    assert told_of_unmet(PLAIN, [sheet]) == []

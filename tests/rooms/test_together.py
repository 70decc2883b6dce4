"""Walls of several ways of drawing on one sheet, and rooms that walls shut off."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from house_drawing import draw
from house_marks import mark
from random_houses import build
from room_symbols import FT, PLAIN, SCALE, Drawer, symbol
from shapely import get_coordinates, get_parts, get_rings, union_all
from shapely.geometry import LineString, Point, box

from cordpath.model import Fills, FloorPlan, Room, RoomKind, Sheet, Strokes, View, Word
from cordpath.rooms import find_rooms, stand
from cordpath.rooms.names.kinds import DOUBT, Draft
from cordpath.rooms.names.tags import Tag
from cordpath.rooms.names.vocabulary import meaning
from cordpath.rooms.open_plans import tell_open_plans
from cordpath.rooms.spaces.leaks import OPEN_WALLS, stranded

VIEW_ALL = View("v1", "PLAN", (0.0, 0.0, 800.0, 800.0), None)


@pytest.mark.parametrize(
    ("seed", "style"), [(1, "fill in light"), (2, "light in fill"), (6, "heavy in light"), (3, "coarse in fill")]
)
def test_walls_drawn_in_two_ways_shut_off_every_room(seed: int, style: str) -> None:
    """One way alone was taken for the walls: bathrooms were open to bedrooms, or rooms outdoors."""
    house = build(seed, width=32, depth=24)
    sheet, view, scale = draw(house, style, seed=seed)
    plan = find_rooms(sheet, view, scale, PLAIN, ())
    marks = mark(house, plan, 0, 48.0)
    assert marks.right >= marks.total - 1 and marks.silent == marks.leaks == 0


def test_one_straight_wall_drawn_otherwise_than_all_others_is_a_wall() -> None:
    """It is no network of its own, and the rooms on either side of it were one."""
    house = build(10, width=30, depth=22)
    sheet, view, scale = draw(house, "one filled", seed=10)
    plan = find_rooms(sheet, view, scale, PLAIN, ())
    marks = mark(house, plan, 0, 48.0)
    assert marks.right >= marks.total - 1 and marks.silent == marks.leaks == 0
    assert "walls taken together that are drawn in several ways" in plan.assumptions


def test_thick_walls_of_a_thinner_pen_shut_off_a_bath_without_a_name() -> None:
    """The names are apart without them, and the cord from the kitchen went through the wall to the shower."""
    words = tuple(Word(text, (x, y, x + 40, y + 8), 0.0, 8.0, n) for n, (text, x, y) in
                  enumerate([("KITCHEN", 250.0, 200.0), ("STUDIO", 250.0, 500.0)]))  # fmt: skip
    shower = symbol("shower", (110.0, 390.0), 30.0)
    plan = find_rooms(_studio(words), VIEW_ALL, SCALE, PLAIN, (shower,))
    kitchen = next(room for room in plan.rooms if room.name == "KITCHEN")
    (bath,) = [room for room in plan.rooms if room.polygon.contains(Point(110.0, 390.0))]
    assert bath.name == "UNNAMED"
    assert plan.walls.intersects(LineString([(150.0, 270.0), (150.0, 320.0)]))
    assert not kitchen.polygon.intersects(Point(110.0, 390.0))


def _studio(words: tuple[Word, ...]) -> Sheet:
    """27 x 33 ft: outer walls of one stroke of 8 in, a kitchen open to the studio, a bath behind ones of 4.5 in."""
    k = 18.0  # pt a foot
    outer = [(0, 0, 27, 0), (27, 0, 27, 33), (27, 33, 0, 33), (0, 33, 0, 0)]
    inner = [(0, 15, 1, 15), (3.5, 15, 9, 15), (9, 15, 9, 24), (9, 24, 0, 24)]
    leaf = [(1, 15, 1, 17.5), *_quarter(1, 15, 2.5)]
    xy = 20.0 + k * np.array([*outer, *inner, *leaf], float)
    width = np.array([12.0] * 4 + [6.75] * 4 + [0.5] * len(leaf))
    drawn = replace(Strokes.of(xy), width=width)
    return Sheet("t.pdf", 1, "E-1", None, 800.0, 800.0, drawn, Fills.none(), words, (), (VIEW_ALL,), ())


def _quarter(x: float, y: float, r: float) -> list[tuple[float, float, float, float]]:
    t = np.linspace(0, np.pi / 2, 13)
    points = np.c_[x + r * np.cos(t), y + r * np.sin(t)]
    return [(a, b, c, d) for a, b, c, d in np.c_[points[:-1], points[1:]].tolist()]


@pytest.mark.parametrize("out_in", [1.2, 2.1])
def test_no_slit_beside_a_column_in_the_corner_of_two_walls_lets_a_cord_through(out_in: float) -> None:
    """The faces of a column that stand out of a wall are too short to pair: a sink behind it was 6.5 ft away."""
    house = box(0, 0, 24, 12).buffer(6.5 / 24, join_style="mitre")
    rooms = [box(6.5 / 24, 6.5 / 24, 12 - 4.5 / 24, 11.7), box(12 + 4.5 / 24, 6.5 / 24, 24 - 6.5 / 24, 11.7)]
    out = (6.5 / 2 + out_in) / 12
    columns = [box(x - 0.45, y - out, x + 0.45, y + out) for x in (0, 12, 24) for y in (0, 12)]
    walls = house.difference(union_all(rooms)).union(union_all(columns))
    xy = [np.c_[get_coordinates(ring)[:-1], get_coordinates(ring)[1:]] for ring in get_rings(walls)]
    rugs = [[x, y, x + 4, y] for x in (4, 16) for y in np.arange(2, 10, 0.5)]
    drawn = Strokes.of(60.0 + 18.0 * np.concatenate([*xy, rugs]))
    drawn = replace(drawn, width=np.r_[np.ones(len(drawn.xy) - len(rugs)), np.full(len(rugs), 0.36)])
    words = tuple(Word(text, (x, 170.0, x + 40, 178.0), 0.0, 8.0, n) for n, (text, x) in
                  enumerate([("BEDROOM", 150.0), ("BATH", 370.0)]))  # fmt: skip
    sheet = Sheet("t.pdf", 1, "E-1", None, 800.0, 800.0, drawn, Fills.none(), words, (), (VIEW_ALL,), ())
    plan = find_rooms(sheet, VIEW_ALL, SCALE, PLAIN, ())
    assert {room.name for room in plan.rooms if room.kind != "outdoors"} == {"BEDROOM", "BATH"}
    sides = [LineString([(x, 65.1), (x, 270.0)]) for x in (60 + 18 * 11.7, 60 + 18 * 12.3)]
    free = box(60, 60, 492, 276).difference(plan.walls.buffer(0.01))
    assert not any(part.intersects(sides[0]) and part.intersects(sides[1]) for part in get_parts(free))


def test_rooms_between_walls_of_coarse_hatch_are_found() -> None:
    """Lines 6 in apart at 45 degrees: coarser than the walls are thick, and the rooms were outdoors in silence."""
    house = build(4, width=32, depth=24)
    sheet, view, scale = draw(house, "coarse in coarse", seed=4)
    plan = find_rooms(sheet, view, scale, PLAIN, ())
    marks = mark(house, plan, 0, 48.0)
    assert marks.right >= marks.total - 1 and marks.silent == marks.leaks == 0


def test_a_window_in_a_wall_of_one_line_leaves_the_face_in_doubt() -> None:
    """Its glass is as thin as the line, and the wall's face half a wall off: paths were up to 3 in too long."""
    room = Room("r1", "BEDROOM", "bedroom", box(0, 0, 180, 180), 0.97, "v1")
    glass = box(60, -1.0, 120, 1.0)
    line = box(-0.75, -0.75, 180.75, 180.75).difference(box(0.75, 0.75, 179.25, 179.25)).difference(glass)
    plan = FloorPlan("v1", (room,), line, glass, (), (), None)
    at_wall, at_glass = (symbol("receptacle", (x, 6.0), wall=(0, -1)) for x in (30.0, 90.0))
    wall, window = stand((at_wall, at_glass), plan, SCALE)
    assert window.anchor_tolerance_ft == pytest.approx(wall.anchor_tolerance_ft, abs=0.5 / 12)
    assert window.anchor_tolerance_ft > 3.0 / 12


def _draft(name: str, kind: RoomKind, seed: int, *mates: int) -> Draft:
    tag = Tag(name, (seed, 0.0), 9.0, ("Helv", 9.0), None, meaning(name))
    return Draft(box(10 * seed, 0, 10 * seed + 10, 10), tag, seed, name, kind, open_with=mates)


@pytest.mark.parametrize(
    ("name", "kind", "doubted"),
    [("KITCHEN", "kitchen", False), ("BATH", "bathroom", True), ("GARAGE", "garage", True)],
)
def test_a_bath_or_garage_in_one_space_with_a_living_room_settles_nothing(
    name: str, kind: RoomKind, doubted: bool
) -> None:
    """Both passed for an open plan, whose rooms are believed but near the line between them."""
    drafts = [
        _draft("LIVING ROOM", "living", 0, 1, 2),
        _draft(name, kind, 1, 0, 2),
        _draft("HALL", "hall", 2, 0, 1),
    ]
    tell_open_plans(drafts, LineString(), SimpleNamespace(closers=(), inch=1.5))
    assert [draft.confidence <= DOUBT for draft in drafts] == [doubted] * 3


@pytest.mark.parametrize(("leaking", "doubted"), [(1, False), (2, False), (3, True)])
def test_the_outdoors_of_a_house_half_of_whose_rooms_are_open_to_it_are_in_doubt(
    leaking: int, doubted: bool
) -> None:
    """Outlets of such rooms stood outdoors in silence."""
    drafts = [
        _draft(name, "bedroom", k) for k, name in enumerate(("BEDROOM 1", "BEDROOM 2", "DEN", "OFFICE", "HALL"))
    ]
    for draft in drafts[:leaking]:
        draft.doubt(OPEN_WALLS, DOUBT)
    tags = [draft.tag for draft in drafts if draft.tag is not None]
    assert (stranded(tags, drafts, box(100, 0, 200, 10)) is not None) == doubted


@pytest.mark.parametrize("name", ["BA", "TOILET"])
def test_a_short_name_of_a_bath_that_is_open_to_a_bedroom_is_no_part_of_the_bedroom(name: str) -> None:
    """It was dropped as a label beside a name, and the bath's outlets stood in the bedroom for certain."""
    drawn = Drawer().room(1, 1, 11, 17, name).room(11.375, 1, 20, 17, "BEDROOM").room(20.375, 1, 30, 17, "DEN")
    sheet, view = drawn.hole(10.9, 5, 11.5, 14).sheet()
    outlet = symbol("receptacle", (1.2 * FT, 9 * FT), wall=(-1.0, 0.0))
    plan = find_rooms(sheet, view, SCALE, PLAIN, (outlet, symbol("lavatory", (3 * FT, 2 * FT), 20.0)))
    (standing,) = stand((outlet,), plan, SCALE)
    room = next(room for room in plan.rooms if room.id == standing.room)
    assert room.kind == "bathroom" or standing.why is not None or room.confidence <= DOUBT


def test_a_short_name_of_a_bath_in_a_bath_is_a_part_of_it() -> None:
    drawn = Drawer().room(1, 1, 15, 17, "BATH").word("TOILET", (4, 4)).room(15.375, 1, 30, 17, "BEDROOM")
    sheet, view = drawn.sheet()
    rooms = [room.name for room in find_rooms(sheet, view, SCALE, PLAIN, ()).rooms if room.kind != "outdoors"]
    assert sorted(rooms) == ["BATH", "BEDROOM"]


def test_few_inner_walls_of_a_thinner_stroke_divide_rooms_as_the_outer_ones_do() -> None:
    """A mud room beside a laundry: the strokes of both pens are as wide as walls, and those of the inner ones too
    few to be walls by themselves.  The mud room was a laundry for certain, and missing protection."""
    outer = [(100, 100, 700, 100), (700, 100, 700, 500), (700, 500, 100, 500), (100, 500, 100, 100)]
    inner = [(100, 300, 160, 300), (220, 300, 700, 300), (300, 100, 300, 180), (300, 230, 300, 300)]
    width = np.r_[np.full(len(outer), 9.75), np.full(len(inner), 6.75)]
    strokes = replace(Strokes.of(np.array([*outer, *inner], float)), width=width)
    named = [("MUD ROOM", 180.0, 200.0), ("LAUNDRY", 500.0, 200.0), ("FAMILY ROOM", 400.0, 400.0)]
    words = tuple(
        Word(part, (x + 30 * k, y, x + 30 * k + 25, y + 8), 0.0, 8.0, n)
        for n, (text, x, y) in enumerate(named) for k, part in enumerate(text.split())
    )  # fmt: skip
    sheet = replace(_studio(words), strokes=strokes, fills=Fills.none())
    plan = find_rooms(sheet, VIEW_ALL, SCALE, PLAIN, ())
    (mud,) = [room for room in plan.rooms if room.polygon.intersects(Point(250.0, 130.0))]
    assert (mud.name, mud.kind, mud.open_to) == ("MUD ROOM", "hall", ())

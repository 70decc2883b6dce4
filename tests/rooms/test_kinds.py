"""What kind of place a room is: name and fixtures together, open plans, unknown names."""

from __future__ import annotations

import dataclasses

import pytest
from room_symbols import FT, PLAIN, SCALE, Drawer, symbol

from cordpath.model import FloorPlan, Region, Room, RoomEntry, Symbol
from cordpath.rooms import find_rooms
from cordpath.rooms.names.tags import find_tags


def _plan(drawer: Drawer, symbols: tuple[Symbol, ...] = (), mapping=PLAIN) -> FloorPlan:
    sheet, view = drawer.sheet()
    return find_rooms(sheet, view, SCALE, mapping, symbols)


def _at(plan: FloorPlan, x: float, y: float) -> Room:
    import shapely

    found = [r for r in plan.rooms if r.polygon.intersects(shapely.Point(x * FT, y * FT))]
    assert len(found) == 1
    return found[0]


def _house(name: str = "", **at) -> Drawer:
    """Three rooms in a row, 10 x 12 ft, with doorways of 2.5 ft between them; the middle one gets the name."""
    d = (
        Drawer()
        .room(5, 5, 15, 17, "BEDROOM")
        .room(15.375, 5, 25, 17, name, **at)
        .room(25.375, 5, 40, 17, "LIVING RM")
    )
    return d.hole(14.9, 14, 15.5, 16.5).hole(24.9, 14, 25.5, 16.5)


def test_names_make_kinds() -> None:
    plan = _plan(_house("LAUNDRY"))
    assert _at(plan, 7, 7).kind == "bedroom"
    assert _at(plan, 20, 7).kind == "laundry"
    assert _at(plan, 30, 7).kind == "living"
    assert _at(plan, 45, 30).kind == "outdoors"
    assert _at(plan, 45, 30).id == "v1.out"


def test_basin_and_water_closet_make_a_bathroom_whatever_the_name() -> None:
    fixtures = (symbol("lavatory", (20 * FT, 6 * FT)), symbol("water closet", (22 * FT, 6 * FT)))
    room = _at(_plan(_house("STUDY"), fixtures), 20, 8)
    assert room.kind == "bathroom"
    assert any("basin" in r for r in room.reasons)


def test_an_unnamed_space_is_kept_and_said() -> None:
    room = _at(_plan(_house()), 20, 8)
    assert room.kind == "unknown"
    assert room.reasons
    assert room.confidence < 0.85


def test_an_unknown_name_is_kept_and_says_what_to_do() -> None:
    room = _at(_plan(_house("ZWINGLI")), 20, 8)
    assert (room.kind, room.name) == ("unknown", "ZWINGLI")
    assert "room name 'ZWINGLI' is not in the vocabulary: add it under rooms: in the mapping file" in room.reasons


def test_the_users_names_come_first() -> None:
    entry = RoomEntry("ZWING.*", "garage", None)
    own = dataclasses.replace(PLAIN, rooms=(entry, RoomEntry("BEDROOM", "basement", True)))
    plan = _plan(_house("ZWINGLI"), mapping=own)
    assert _at(plan, 20, 8).kind == "garage"
    assert (_at(plan, 7, 7).kind, _at(plan, 7, 7).finished) == ("basement", True)


@pytest.mark.parametrize(("name", "finished"), [("UNFIN. BSMT", False), ("FIN. BSMT", True), ("BASEMENT", None)])
def test_finished_and_unfinished(name: str, finished: bool | None) -> None:
    room = _at(_plan(_house(name)), 20, 8)
    assert (room.kind, room.finished) == ("basement", finished)


def test_a_compartment_belongs_to_the_room_with_the_basin() -> None:
    d = _house("WC").hole(19, 16.8, 21.5, 17.6)
    fixtures = (symbol("water closet", (20 * FT, 7 * FT)), symbol("lavatory", (10 * FT, 7 * FT)))
    plan = _plan(d, fixtures)
    assert _at(plan, 20, 9).kind == "bathroom"
    assert any("compartment of BEDROOM" in r for r in _at(plan, 20, 9).reasons)
    bedroom = _at(plan, 7, 9)
    assert bedroom.kind == "bedroom"
    assert any("may be a bathroom" in r for r in bedroom.reasons)


def test_a_powder_room_without_a_basin_is_told() -> None:
    room = _at(_plan(_house("POWDER")), 20, 9)
    assert room.kind == "bathroom"
    assert any("only with a basin" in r for r in room.reasons)
    sure = _at(_plan(_house("POWDER"), (symbol("lavatory", (20 * FT, 7 * FT)),)), 20, 9)
    assert sure.kind == "bathroom" and not sure.reasons


def test_a_washer_makes_a_laundry_of_a_nameless_space() -> None:
    assert _at(_plan(_house(), (symbol("washer", (20 * FT, 7 * FT)),)), 20, 9).kind == "laundry"


@pytest.mark.parametrize("wide, told", [(4.5, 0.8), (12.0, 0.6)])
def test_a_nameless_closet_is_laundry_for_sure_where_machines_stand_and_a_large_room_is_not(
    wide: float, told: float
) -> None:
    """5.5 and 12 ft deep: closets of laundries often bear no name, but a large room may be two."""
    d = Drawer().room(5, 5, 30, 17, "HALL").room(10, 17.375, 10 + wide, 17.375 + max(5.5, wide))
    plan = _plan(d.hole(11, 16.9, 13.5, 17.5), (symbol("washer", (12 * FT, 21 * FT)),))
    room = _at(plan, 13, 20)
    assert (room.name, room.kind, room.confidence) == ("UNNAMED", "laundry", told)


@pytest.mark.parametrize("name, part", [("W.C.", True), ("TOILET RM", True), ("POWDER", False), ("HALL", False)])
def test_a_compartment_needs_no_basin_of_its_own(name: str, part: bool) -> None:
    """POWDER tells of a basin, which was not found; in a hall none stands: its wall was not recognised."""
    d = Drawer().room(5, 5, 15, 17, "BATH").room(15.375, 5, 20, 17, name).hole(14.9, 14, 15.5, 16.5)
    fixtures = (symbol("lavatory", (10 * FT, 7 * FT)), symbol("water closet", (17 * FT, 7 * FT)))
    plan = _plan(d, fixtures)
    room, bath = _at(plan, 17, 11), _at(plan, 7, 9)
    assert room.kind == "bathroom" and room.part_of == (bath.id if part else None)
    assert (room.confidence > 0.65) is (name != "HALL")


@pytest.mark.parametrize(
    "name, sure", [("HALL", False), ("MUD RM", True), ("W.I.C.", False), ("WALK-IN CLOSET", False), ("CLO.", True)]
)
def test_a_washer_in_a_hall_or_walk_in_closet_leaves_open_where_its_closet_ends(name: str, sure: bool) -> None:
    room = _at(_plan(_house(name), (symbol("washer", (20 * FT, 7 * FT)),)), 20, 9)
    assert room.kind == "laundry" and (room.confidence > 0.65) is sure


@pytest.mark.parametrize("name, sure", [("BEDROOM 1", False), ("STORAGE", True), ("", True)])
def test_a_bath_in_a_bedroom_may_be_one_beside_it(name: str, sure: bool) -> None:
    """The wall of the bath was not recognised, and all outlets of the bedroom were a bathroom's, for certain."""
    fixtures = (symbol("lavatory", (20 * FT, 7 * FT)), symbol("water closet", (23 * FT, 7 * FT)))
    room = _at(_plan(_house(name), fixtures), 20, 9)
    assert room.kind == "bathroom" and (room.confidence > 0.65) is sure


def test_sink_and_range_make_a_kitchen() -> None:
    fixtures = (symbol("sink", (20 * FT, 6 * FT)), symbol("range", (23 * FT, 6 * FT)))
    assert _at(_plan(_house(), fixtures), 20, 9).kind == "kitchen"


@pytest.mark.parametrize(("name", "basin", "asked"), [
    ("BREAKFAST", "sink", True), ("LIVING", "sink", True), ("LIVING", "lavatory", False),
    ("BEDROOM", "sink", False),
])  # fmt: skip
def test_where_no_kitchen_is_named_a_sink_in_a_living_space_may_be_its(name: str, basin: str, asked: bool) -> None:
    """The counters of a kitchen without a name and without a range were cleared as a dining room's."""
    room = _at(_plan(_house(name), (symbol(basin, (20 * FT, 6 * FT)),)), 20, 9)
    assert (room.kind == "kitchen" and room.confidence < 0.65) is asked


def test_a_pantry_with_a_sink_is_a_food_area() -> None:
    assert _at(_plan(_house("PANTRY")), 20, 9).kind == "closet"
    assert _at(_plan(_house("PANTRY"), (symbol("sink", (20 * FT, 6 * FT)),)), 20, 9).kind == "food area"


def test_an_open_plan_is_shared_and_told() -> None:
    d = Drawer().room(5, 5, 40, 20).word("KITCHEN", (12, 12)).word("LIVING RM", (32, 12))
    plan = _plan(d)
    kitchen, living = _at(plan, 8, 8), _at(plan, 38, 8)
    assert (kitchen.kind, living.kind) == ("kitchen", "living")
    assert kitchen.open_to == (living.id,) and living.open_to == (kitchen.id,)
    assert kitchen.confidence < 0.85 and living.confidence < 0.85
    assert any("no wall divides" in r for r in kitchen.reasons)


def test_a_label_of_a_part_is_no_room_of_its_own() -> None:
    d = _house("BATH").word("SHOWER", (18, 7))
    room = _at(_plan(d), 20, 9)
    assert (room.name, room.kind, room.open_to) == ("BATH", "bathroom", ())


def test_names_in_legends_name_nothing() -> None:
    d = _house().word("GARAGE", (20, 11))
    sheet, view = d.sheet()
    legend = Region("legend", (18 * FT, 10 * FT, 24 * FT, 12 * FT))
    plan = find_rooms(dataclasses.replace(sheet, regions=(legend,)), view, SCALE, PLAIN, ())
    assert _at(plan, 20, 8).kind == "unknown"


def test_numbers_and_sizes_below_are_facts_not_names() -> None:
    d = _house("BATH", at=(20, 9)).word("203", (20, 9.7)).word("9'-6\" X 12'-0\"", (20, 10.4))
    room = _at(_plan(d), 20, 7)
    assert (room.name, room.number) == ("BATH", "203")


def test_wrapped_names_are_joined() -> None:
    room = _at(_plan(_house("WALK-IN", at=(20, 9)).word("CLOSET", (20, 9.7))), 20, 7)
    assert (room.name, room.kind) == ("WALK-IN CLOSET", "closet")


def test_ids_carry_the_view_where_there_are_several() -> None:
    sheet, view = _house("BATH").sheet()
    other = dataclasses.replace(view, id="v2", box=(0.0, 900.0, 900.0, 901.0))
    plan = find_rooms(dataclasses.replace(sheet, views=(view, other)), view, SCALE, PLAIN, ())
    assert all(r.id.startswith("v1.") for r in plan.rooms)
    empty = find_rooms(dataclasses.replace(sheet, views=(view, other)), other, SCALE, PLAIN, ())
    assert empty.rooms == () and empty.why


def test_rooms_of_a_basement_plan_are_basement() -> None:
    sheet, view = _house("BATH").sheet()
    below = dataclasses.replace(view, title="BASEMENT POWER PLAN")
    plan = find_rooms(dataclasses.replace(sheet, views=(below,)), below, SCALE, PLAIN, ())
    assert (_at(plan, 30, 7).kind, _at(plan, 30, 7).finished) == ("basement", True)
    assert _at(plan, 20, 7).kind == "bathroom"


def test_rooms_of_a_lower_level_are_what_they_are_named() -> None:
    """GARAGE - LOWER LEVEL is no basement: whether a lower level is one is asked by the rules, not taken."""
    plan = _titled(_house("BATH"), "GARAGE - LOWER LEVEL")
    assert _at(plan, 30, 7).kind not in ("basement", "unknown")


@pytest.mark.parametrize(
    ("title", "drawn"),
    [(title, title) for title in ("GARAGE - LOWER LEVEL", "LIVING LEVEL", "BASEMENT")]
    + [("FLOOR PLAN ELECTRICAL", "ELECTRICAL"), ("GARAGE PLAN", "GARAGE")],  # a part of it that stands apart
)
def test_the_title_of_a_drawing_names_no_room(title: str, drawn: str) -> None:
    """What stood outdoors below a plan was in a garage by the plan's title, though with little confidence."""
    sheet, view = _house("BATH").word(drawn, (22, 26), 12.0).sheet()
    view = dataclasses.replace(view, title=title, note_box=(18 * FT, 27 * FT, 26 * FT, 27.5 * FT))
    strong, odd = find_tags(dataclasses.replace(sheet, views=(view,)), view, ())
    assert sorted(tag.text for tag in strong + odd) == ["BATH", "BEDROOM", "LIVING RM"]


def test_a_room_of_the_same_name_as_its_drawing_keeps_it() -> None:
    sheet, view = _house("LAUNDRY").word("LAUNDRY", (22, 26), 12.0).sheet()
    view = dataclasses.replace(view, title="LAUNDRY", note_box=(18 * FT, 27 * FT, 26 * FT, 27.5 * FT))
    assert (
        _at(find_rooms(dataclasses.replace(sheet, views=(view,)), view, SCALE, PLAIN, ()), 20, 7).kind == "laundry"
    )


def _titled(d: Drawer, title: str) -> FloorPlan:
    sheet, view = d.sheet()
    view = dataclasses.replace(view, title=title)
    return find_rooms(dataclasses.replace(sheet, views=(view,)), view, SCALE, PLAIN, ())


@pytest.mark.parametrize(
    ("title", "kind"),
    [("CRAWL SPACE PLAN", "crawl space"), ("CRAWLSPACE", "crawl space"), ("BASEMENT POWER PLAN", "basement"),
     ("FIRST FLOOR PLAN", "unknown"), ("BASEMENT AND FIRST FLOOR PLANS", "unknown"),
     ("BASEMENT / CRAWL SPACE PLAN", "unknown")],
)  # fmt: skip
def test_a_space_without_a_name_is_what_the_title_of_its_plan_says(title: str, kind: str) -> None:
    plan = _titled(Drawer().room(5, 5, 25, 20), title)
    assert _at(plan, 15, 12).kind == kind


@pytest.mark.parametrize(
    ("title", "doubted"), [("POWER PLAN", True), ("", True), ("FIRST FLOOR PLAN", False), ("MAIN LEVEL", False)]
)
def test_rooms_beside_one_named_basement_may_be_basement_where_no_title_tells_the_floor(
    title: str, doubted: bool
) -> None:
    """The plans of a first floor and of a basement side by side, taken for one drawing."""
    d = Drawer().room(2, 2, 12, 12, "BEDROOM").room(30, 2, 42, 12, "UNFIN. BSMT").room(42.375, 2, 55, 12, "STORAGE")
    plan = _titled(d.room(12.375, 2, 22, 12, "DINING"), title)
    assert (_at(plan, 48, 7).confidence < 0.65) == doubted
    assert _at(plan, 7, 7).confidence > 0.9 and _at(plan, 17, 7).confidence > 0.9


def test_a_title_of_two_floors_leaves_open_which_rooms_are_basement() -> None:
    plan = _titled(_house("STORAGE"), "BASEMENT & FIRST FLOOR PLANS")
    assert _at(plan, 20, 7).confidence < 0.65


def test_a_bar_takes_a_corner_of_an_open_plan() -> None:
    d = Drawer().room(5, 5, 45, 20).word("GREAT ROOM", (15, 12)).word("WET BAR", (40, 12))
    plan = _plan(d)
    assert _at(plan, 42, 12).kind == "food area"
    assert _at(plan, 28, 12).kind == "living"


def test_wall_strokes_that_a_symbol_borrowed_stay_walls() -> None:
    import numpy as np

    from cordpath.model import Fills

    d = _house("BATH")
    sheet, view = d.sheet()
    rings = [np.array(r.coords) for p in sheet.fills.shape for r in (p.exterior, *p.interiors)]
    walls = np.concatenate([np.concatenate([r[:-1], r[1:]], 1) for r in rings])
    thin = np.array([[290, 100, 330, 100], [330, 100, 330, 140], [290, 140, 290, 100]], float)
    from cordpath.model import Strokes

    strokes = Strokes.of(np.concatenate([walls, thin]), width=1.4)
    width = np.r_[np.full(len(walls), 1.4), np.full(len(thin), 0.36)]
    strokes = dataclasses.replace(strokes, width=width)
    sheet = dataclasses.replace(sheet, strokes=strokes, fills=Fills.none())
    plain = find_rooms(sheet, view, SCALE, PLAIN, ())
    touching = np.flatnonzero(np.hypot(walls[:, 2] - walls[:, 0], walls[:, 3] - walls[:, 1]) < 60)
    tub = symbol("bathtub", (18 * FT, 7 * FT), size=60)
    greedy = dataclasses.replace(tub, strokes=np.r_[touching[:2], len(walls) + np.arange(3)])
    assert find_rooms(sheet, view, SCALE, PLAIN, (greedy,)).walls.equals(plain.walls)


def test_names_side_by_side_are_two_names() -> None:
    d = Drawer().room(5, 5, 10, 12).room(10.375, 5, 16, 12).hole(9.9, 9, 10.5, 11.5)
    d.word("KITCHEN", (8.6, 7)).word("BATH", (8.6 + 35 / 18 + 0.36, 7))
    kinds = {r.kind for r in _plan(d).rooms}
    assert {"kitchen", "bathroom"} <= kinds


def test_words_shown_one_by_one_are_joined() -> None:
    d = _house()
    d.word("HALL", (19.3, 9)).word("BATH", (19.3 + 22.5 / 18, 9))
    assert _at(_plan(d), 20, 7).name == "HALL BATH"


@pytest.mark.parametrize(("confidence", "sure"), [(0.6, False), (1.0, True)])
def test_a_name_read_with_doubt_in_a_room_with_a_name_may_name_a_part_of_it(confidence: float, sure: bool) -> None:
    """Half of a drawn BREAKFAST was read: the space is not all kitchen."""
    drawer = _house("KITCHEN", at=(18, 8)).room(5, 20, 15, 30, "BATH").word("FAST", (22, 14))
    sheet, view = drawer.sheet()
    words = tuple(
        dataclasses.replace(word, confidence=confidence, origin="stroke") if word.text == "FAST" else word
        for word in sheet.words
    )
    plan = find_rooms(dataclasses.replace(sheet, words=words), view, SCALE, PLAIN, ())
    kitchen = _at(plan, 18, 8)
    assert kitchen.kind == "kitchen"
    assert "'FAST' stands in the same space and is not in the vocabulary" in kitchen.reasons
    assert (kitchen.confidence > 0.65) is sure  # under it a room settles nothing (rules)


def _with_unsure(drawer: Drawer, text: str, size: float = 1.0) -> FloorPlan:
    """The plan where ``text`` is drawn lettering, ``size`` as large as written, that was not read for sure."""
    sheet, view = drawer.sheet()
    words = tuple(
        dataclasses.replace(word, confidence=0.6, origin="outline", font="", size=size * word.size)
        if word.text == text
        else word
        for word in sheet.words
    )
    return find_rooms(dataclasses.replace(sheet, words=words), view, SCALE, PLAIN, ())


@pytest.mark.parametrize(
    "at", [(20, 8 - 13 / FT), (22, 14)], ids=["a line above the name", "in a part of the space"]
)
@pytest.mark.parametrize("size", [0.9, 1.1])
def test_lettering_as_large_as_the_name_that_was_not_read_for_sure_may_be_a_name(
    at: tuple[float, float], size: float
) -> None:
    """IKITCHEN (0.6) in one space with a hall named GALLERY: the hall would have cleared the kitchen."""
    room = _at(_with_unsure(_house("DINING", at=(20, 8)).word("IKITCHEN", at), "IKITCHEN", size), 20, 8)
    assert room.name == "DINING" and room.confidence < 0.65  # under it a room settles nothing (rules)
    assert "'IKITCHEN' in it was not read for sure and may name a part of it" in room.reasons


@pytest.mark.parametrize(
    ("name", "text", "size"),
    [
        ("DINING", "RANGF", 0.6),
        ("DINING", "12'-6Q", 1.0),
        ("DINING", "WP", 1.0),
        ("DINING", "IOI", 1.0),
        ("GARAGE", "STORAGF", 1.0),
    ],
    ids=["a label's size", "figures", "too short", "a number", "a room that is protected whatever else it is"],
)
def test_other_lettering_that_was_not_read_for_sure_leaves_a_room_its_name(
    name: str, text: str, size: float
) -> None:
    room = _at(_with_unsure(_house(name, at=(20, 8)).word(text, (22, 14)), text, size), 20, 8)
    assert room.name == name and room.confidence > 0.65


@pytest.mark.parametrize(("name", "sure"), [("DINING", False), ("BEDROOM", False), ("BATH", True)])
def test_unread_lettering_in_a_room_may_name_a_part_of_it(name: str, sure: bool) -> None:
    sheet, view = _house(name, at=(20, 8)).sheet()
    plan = find_rooms(dataclasses.replace(sheet, unread_at=((20 * FT, 9 * FT),)), view, SCALE, PLAIN, ())
    room = _at(plan, 20, 8)
    assert (room.confidence > 0.65) is sure
    assert ("lettering in it that could not be read may name a part of it" in room.reasons) is not sure
    assert _at(plan, 30, 7).confidence > 0.65


@pytest.mark.parametrize(
    ("line", "sure"), [((22, 14), True), ((20, 8.7), False)], ids=["a label", "below the name"]
)
def test_unread_lettering_beside_an_outlet_is_its_label(line: tuple[float, float], sure: bool) -> None:
    sheet, view = _house("DINING", at=(20, 8)).sheet()
    outlet = symbol("receptacle", ((line[0] + 1) * FT, line[1] * FT))
    sheet = dataclasses.replace(sheet, unread_at=((line[0] * FT, line[1] * FT),))
    assert (_at(find_rooms(sheet, view, SCALE, PLAIN, (outlet,)), 20, 8).confidence > 0.65) is sure


@pytest.mark.parametrize("letter", ["S", "S3", "$"])
@pytest.mark.parametrize("confidence", [0.6, 1.0])
def test_the_letter_of_a_switch_names_no_part_of_a_room(letter: str, confidence: float) -> None:
    """Where letters are drawn, all are of one style: every switch put its room in doubt."""
    drawer = _house("KITCHEN", at=(18, 8)).room(5, 20, 15, 30, "BATH").word(letter, (22, 14))
    sheet, view = drawer.sheet()
    words = tuple(
        dataclasses.replace(word, confidence=confidence, origin="stroke") if word.text == letter else word
        for word in sheet.words
    )
    kitchen = _at(find_rooms(dataclasses.replace(sheet, words=words), view, SCALE, PLAIN, ()), 18, 8)
    assert (kitchen.name, kitchen.kind) == ("KITCHEN", "kitchen")
    assert not any("vocabulary" in reason for reason in kitchen.reasons)


@pytest.mark.parametrize("names", [("UTILITY", "LAUNDRY"), ("LAUNDRY", "UTILITY")])
def test_utility_and_laundry_in_one_room_are_laundry_where_a_washer_stands(names: tuple[str, str]) -> None:
    """The stroke between two drawn words was not read."""
    drawer = _house()
    drawer.word(names[0], (18.3, 9)).word(names[1], (18.3 + 38 / 18 + 1.6, 9))
    with_washer = _at(_plan(drawer, (symbol("washer", (20 * FT, 7 * FT)),)), 20, 7)
    assert with_washer.kind == "laundry" and with_washer.confidence > 0.65  # under it a room settles nothing
    bare = _at(_plan(drawer), 20, 7)
    assert f"the name {names[1]} stands in the same space" in bare.reasons and bare.confidence < 0.65


@pytest.mark.parametrize("second, sure", [("FOYER", True), ("KITCHEN", False), ("BEDROOM", False)])
def test_names_that_no_rule_tells_apart_share_a_room_without_a_doubt(second: str, sure: bool) -> None:
    """DINING and FAMILY ROOM of an open plan, between which nothing was to divide: all of their outlets asked."""
    drawer = _house()
    drawer.word("LIVING", (18.3, 9)).word(second, (18.3 + 30 / 18 + 1.6, 9))
    room = _at(_plan(drawer), 20, 7)
    assert f"the name {second} stands in the same space" in room.reasons
    assert (room.confidence > 0.65) is sure


def test_other_names_in_one_room_stay_a_doubt_whatever_stands_there() -> None:
    drawer = _house()
    drawer.word("BEDROOM 3", (18.3, 9)).word("LAUNDRY", (18.3 + 48 / 18 + 1.6, 9))
    room = _at(_plan(drawer, (symbol("washer", (20 * FT, 7 * FT)),)), 20, 7)
    assert room.confidence < 0.85 and any("same space" in why or "no wall" in why for why in room.reasons)


@pytest.mark.parametrize(("odd", "sure"), [("KJØKKEN", False), ("DOG WASH", False), ("W2", True)])
def test_an_unknown_name_in_a_room_for_living_may_be_that_of_a_kitchen(odd: str, sure: bool) -> None:
    """KJØKKEN in a GREAT ROOM: all outlets of the space were cleared.  One or two letters are marks."""
    drawer = Drawer().room(5, 5, 40, 20, "GREAT ROOM", at=(12, 12)).room(5, 20.375, 40, 30, "BATH")
    room = _at(_plan(drawer.word(odd, (32, 12))), 8, 8)
    assert room.kind == "living" and (room.confidence > 0.65) is sure  # under it a room settles nothing (rules)

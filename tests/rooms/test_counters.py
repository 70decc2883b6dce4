"""Countertops found along walls and on islands."""

from __future__ import annotations

import pytest
import shapely
from room_symbols import FT, PLAIN, SCALE, Drawer, symbol

from cordpath.model import Answer, FloorPlan, Kind, Symbol
from cordpath.rooms import find_rooms, stand

DEEP = 25 / 12


def _kitchen(name: str = "KITCHEN") -> Drawer:
    return Drawer().room(5, 5, 21, 19, name, at=(16, 16))


def _read(d: Drawer, symbols: tuple[Symbol, ...] = ()) -> FloorPlan:
    sheet, view = d.sheet()
    return find_rooms(sheet, view, SCALE, PLAIN, symbols)


def test_a_line_25_in_off_the_wall_is_a_counter() -> None:
    plan = _read(_kitchen().line((7, 5 + DEEP), (15, 5 + DEEP)))
    assert plan.counters is not None
    assert plan.counters.area == pytest.approx(8 * DEEP * FT**2, rel=0.02)
    signs = tuple(symbol("receptacle", (x * FT, 5.4 * FT), wall=(0.0, -1.0)) for x in (10, 14.9, 19))
    answers = [s.at_counter for s in stand(signs, plan, SCALE)]
    assert answers == [Answer.YES, Answer.YES, Answer.NO]


def test_the_same_line_in_a_bedroom_is_none() -> None:
    assert _read(_kitchen("BEDROOM").line((7, 5 + DEEP), (15, 5 + DEEP))).counters is None


def test_a_line_36_in_off_is_none_and_one_30_in_off_is_doubtful() -> None:
    far = _read(_kitchen().line((7, 8), (15, 8)))
    assert far.counters is None and far.counters_doubtful is None
    near = _read(_kitchen().line((7, 7.5), (15, 7.5)))
    assert near.counters is None
    assert near.counters_doubtful is not None
    sign = symbol("receptacle", (10 * FT, 5.4 * FT), wall=(0.0, -1.0))
    assert stand((sign,), near, SCALE)[0].at_counter is Answer.UNKNOWN


def test_an_island_is_a_counter() -> None:
    d = _kitchen().line((10, 10), (16, 10), (16, 13), (10, 13), (10, 10))
    plan = _read(d)
    assert plan.counters is not None
    assert plan.counters.area == pytest.approx(18 * FT**2, rel=0.02)


def test_a_range_interrupts_the_counter() -> None:
    d = _kitchen().line((7, 5 + DEEP), (15, 5 + DEEP))
    stove = symbol("range", (10 * FT, 6 * FT), size=2.2 * FT)
    plan = _read(d, (stove,))
    assert plan.counters is not None
    assert not plan.counters.intersects(shapely.Point(10 * FT, 6 * FT))


def test_a_floor_pattern_makes_no_counters() -> None:
    d = _kitchen()
    for k in range(26):
        d.line((5, 5.5 + k / 2), (21, 5.5 + k / 2))
    assert _read(d).counters is None


@pytest.mark.parametrize(("past", "apart", "sure"), [(3.0, 1.0, False), (0.0, 1.0, True), (3.0, 4.0, True)])
def test_a_line_that_tiles_of_the_floor_cross_is_no_front_for_sure(past: float, apart: float, sure: bool) -> None:
    """Feet: how far lines square to it go on beyond, and from line to line.  The second line of 12 in tiles lies
    24 in off the wall; by a range and an island its neighbours were too short to make a pattern of them."""
    d = _kitchen().line((7, 7), (15, 7))
    for k in range(2):
        d = d.line((9 + apart * k, 5.1), (9 + apart * k, 7 + past))
    plan = _read(d)
    assert (plan.counters is not None) is sure
    assert plan.counters is not None or plan.counters_doubtful is not None


def test_mapped_countertops_count() -> None:
    top = symbol("countertop", (10 * FT, 6 * FT), size=2 * FT)
    plan = _read(_kitchen(), (top,))
    assert plan.counters is not None and plan.counters.intersects(shapely.Point(10 * FT, 6 * FT))


def test_an_outlet_on_an_island_is_anchored_where_its_bars_end() -> None:
    d = _kitchen().line((10, 10), (16, 10), (16, 13), (10, 13), (10, 10)).line((7, 5 + DEEP), (15, 5 + DEEP))
    sign = symbol("receptacle", (12 * FT, 13 * FT + 8), size=16, wall=(0.0, -1.0))
    plan = _read(d, (sign,))
    (standing,) = stand((sign,), plan, SCALE)
    assert standing.anchor == pytest.approx((12 * FT, 13 * FT), abs=0.2)
    assert standing.at_counter is Answer.YES
    away = symbol("receptacle", (12 * FT, 16 * FT), size=9)
    assert stand((away,), plan, SCALE)[0].at_counter is Answer.UNKNOWN


def test_the_box_of_a_room_number_is_no_counter() -> None:
    d = _kitchen().word("101", (12, 6.6))
    d.line((11.2, 6.1), (12.8, 6.1), (12.8, 5 + DEEP), (11.2, 5 + DEEP), (11.2, 6.1))
    assert _read(d).counters is None


def test_a_short_counter_round_a_label_is_no_box_of_the_label_for_sure() -> None:
    """Its front was taken for the box of the word GFI, and the outlet there was told to serve no countertop."""
    d = _kitchen().line((10, 5), (10, 5 + DEEP), (11.8, 5 + DEEP), (11.8, 5)).word("GFI", (10.9, 6.5))
    plan = _read(d.line((7, 5 + DEEP), (9, 5 + DEEP)))
    signs = tuple(symbol("receptacle", (x * FT, 5.4 * FT), wall=(0.0, -1.0)) for x in (8, 10.9, 19))
    answers = [s.at_counter for s in stand(signs, plan, SCALE)]
    assert answers == [Answer.YES, Answer.UNKNOWN, Answer.NO]


@pytest.mark.parametrize("cut", [0.0, 1.4])
def test_the_corner_between_two_counters_is_a_countertop(cut: float) -> None:
    """Fronts stop where they meet, 25 in off both walls, or at a face across: an outlet in the corner was off the
    counter for certain."""
    inner = 21 - DEEP
    d = _kitchen().line((7, 5 + DEEP), (inner - cut, 5 + DEEP), (inner, 5 + DEEP + cut), (inner, 15))
    signs = (
        symbol("receptacle", (20.3 * FT, 5.4 * FT), wall=(0.0, -1.0)),
        symbol("receptacle", (20.6 * FT, 5.7 * FT), wall=(1.0, 0.0)),
        symbol("receptacle", (20.6 * FT, 17 * FT), wall=(1.0, 0.0)),
    )
    answers = [s.at_counter for s in stand(signs, _read(d), SCALE)]
    assert answers == [Answer.YES, Answer.YES, Answer.NO]


def test_the_end_of_a_counter_is_no_front_of_one_for_sure() -> None:
    """A gap for an appliance between it and the wall is as deep as a counter."""
    d = _kitchen().line((5 + DEEP, 5), (5 + DEEP, 5 + DEEP), (15, 5 + DEEP))
    sign = symbol("receptacle", (5.4 * FT, 6.5 * FT), wall=(-1.0, 0.0))
    assert stand((sign,), _read(d), SCALE)[0].at_counter is Answer.UNKNOWN


@pytest.mark.parametrize(("deep", "bowl", "joined"), [(25, True, True), (42, True, False), (25, False, False)])
def test_a_counter_that_a_line_in_the_walls_pen_closes_off_is_part_of_its_kitchen(deep, bowl, joined) -> None:
    d = Drawer().room(5, 5, 21, 19, "KITCHEN", at=(16, 16)).room(5, 19.375, 21, 30, "LIVING")
    front, end, line = 5 + deep / 12, 11, 1.5 / 12
    around, clear = d.walls[0]
    lines = shapely.box(5, 5, end + line, front + line).difference(shapely.box(5, 5, end, front))
    d.walls[0] = around, clear.difference(lines)
    plan = _read(d, (symbol("sink", (8 * FT, 6 * FT), size=18.0),) if bowl else ())
    names = {room.name for room in plan.rooms if room.polygon.intersects(shapely.Point(8 * FT, 6 * FT))}
    assert names == ({"KITCHEN"} if joined else {"UNNAMED"})
    way = shapely.LineString([(8 * FT, 6 * FT), (8 * FT, (front + 3) * FT)])
    assert way.intersects(plan.walls) is not joined


@pytest.mark.parametrize(("deep", "kind", "joined"), [
    (25, "range", True), (25, "refrigerator", True),
    (36, "range", False), (12, "range", False), (25, "washer", False),
])  # fmt: skip
def test_a_small_counter_that_the_walls_pen_closes_off_beside_an_appliance_is_no_wall(deep, kind, joined) -> None:
    """18 in between a range and a refrigerator; a cord went round it, 12 in longer than it is."""
    d = Drawer().room(5, 5, 21, 19, "KITCHEN", at=(16, 16)).room(5, 19.375, 21, 30, "LIVING")
    front, line, ends = 5 + deep / 12, 1.5 / 12, (9.0, 10.5)
    around, clear = d.walls[0]
    lines = shapely.box(ends[0] - line, 5, ends[1] + line, front + line).difference(shapely.box(9, 5, 10.5, front))
    d.walls[0] = around, clear.difference(lines)
    beside = symbol(kind, ((ends[0] - 0.2 - 1.25) * FT, 6.2 * FT), size=2.5 * FT)
    plan = _read(d, (beside,))
    names = {room.name for room in plan.rooms if room.polygon.intersects(shapely.Point(9.75 * FT, 5.5 * FT))}
    assert ("KITCHEN" in names) is joined
    way = shapely.LineString([(8.5 * FT, 5.5 * FT), (11 * FT, 5.5 * FT)])
    assert way.intersects(plan.walls) is not joined


def test_a_counter_that_the_walls_pen_closes_off_before_a_wall_of_one_line_is_part_of_the_kitchen() -> None:
    """The room behind the line was as near to it: an outlet over it stood in no room, and a cord went round it."""
    d = Drawer().room(5, 1, 21, 19, "KITCHEN", at=(16, 16)).word("BEDROOM", (13, 3))
    line = 1.5 / 12
    around, clear = d.walls[0]
    lines = shapely.box(9 - line, 5, 10.5 + line, 5 + DEEP + line).difference(shapely.box(9, 5, 10.5, 5 + DEEP))
    d.walls[0] = around, clear.difference(shapely.union_all([lines, shapely.box(5, 5 - line, 21, 5)]))
    plan = _read(d, (symbol("range", (7.55 * FT, 6.2 * FT), size=2.5 * FT),))
    assert {r.name for r in plan.rooms if r.polygon.intersects(shapely.Point(9.75 * FT, 5.5 * FT))} == {"KITCHEN"}
    assert not shapely.LineString([(8.5 * FT, 5.5 * FT), (11 * FT, 5.5 * FT)]).intersects(plan.walls)


def test_walls_that_close_round_no_room_are_told() -> None:
    """Three sides of a rectangle, as a detail beside the plan: the sheet failed."""
    plan = _read(Drawer().room(5, 5, 21, 19).hole(4, 4, 26, 6))
    assert plan.why == "walls were found, but no closed space"


@pytest.mark.parametrize(("deep", "kind", "crossed"), [
    (25, "sink", True), (18, "lavatory", True), (42, "sink", False), (25, "water closet", False),
])  # fmt: skip
def test_a_front_in_the_walls_pen_with_a_bowl_behind_it_is_no_wall(deep: int, kind: Kind, crossed: bool) -> None:
    """Where one pen draws all: a front and an end that closed nothing off were walls, and a cord went 20 to 85 in
    round them."""
    d = Drawer().room(5, 5, 21, 19, "KITCHEN", at=(16, 16)).room(5, 19.375, 21, 30, "LIVING")
    front, line = 5 + deep / 12, 1.5 / 12
    around, clear = d.walls[0]
    top = shapely.union_all([shapely.box(8, front, 14, front + line), shapely.box(14 - line, 5, 14, front + line)])
    d.walls[0] = around, clear.difference(top)
    plan = _read(d, (symbol(kind, (11 * FT, (5 + deep / 24) * FT), size=12.0),))
    way = shapely.LineString([(11 * FT, (5 + deep / 24) * FT), (11 * FT, (front + 2) * FT)])
    assert way.intersects(plan.walls) is not crossed
    assert plan.walls.contains(shapely.Point(4.8 * FT, 12 * FT))

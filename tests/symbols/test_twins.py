"""Near twins: a stroke, a letter or a paint of something else does not make one outlet of another."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import CircleMark, Fills, LineMark, Mark, PolylineMark, Scale, Spotting, TextMark, Word
from cordpath.symbols import spot
from symbols.test_spot import at, entry, names, rules, sheet_of, strokes_of, word

R = 0.0625  # in
Y = -math.sqrt(R * R - 0.035**2)
CIRCLE = CircleMark((0, 0), R)
STEMS = (CIRCLE, LineMark((-0.035, Y), (-0.035, -0.135)), LineMark((0.035, Y), (0.035, -0.135)))
THREE = (*STEMS, LineMark((0, -R), (0, -0.135)))
THROUGH = (CIRCLE, LineMark((-0.03, -0.12), (-0.03, 0.1)), LineMark((0.03, -0.12), (0.03, 0.1)))
ONE = (CIRCLE, LineMark((0, -0.135), (0, 0.1)))
CROSS = (CIRCLE, LineMark((-0.11, 0), (0.11, 0)), LineMark((0, -0.11), (0, 0.11)))
HALF = tuple((R * math.cos(t), R * math.sin(t)) for t in np.linspace(0, math.pi, 17))
UP = (0.0, -1.0)
TWINS = rules(entry("duplex", STEMS, wall_side=UP), entry("range", THREE, wall_side=UP, volts=240.0))
WALL = np.array([[40.0, 90.28, 160.0, 90.28]])  # where the stems of a symbol at (100, 100) end


def corners(half: float, low: float, high: float) -> tuple[tuple[float, float], ...]:
    return ((half, low), (-half, low), (-half, high), (half, high))


def box(x0: float, y0: float, x1: float, y1: float) -> np.ndarray:
    return np.array([(x0, y0, x1, y0), (x1, y0, x1, y1), (x1, y1, x0, y1), (x0, y1, x0, y0)])


def painted(*shapes: shapely.Polygon) -> Fills:
    n = len(shapes)
    array = np.empty(n, object)
    array[:] = shapes
    return Fills(array, np.zeros((n, 3)), np.ones(n), np.full(n, -1), np.arange(n))


@pytest.mark.parametrize("angle", [0.0, 90.0, 217.0])
@pytest.mark.parametrize("beside", ["tank", "counter", "partition"])
def test_an_edge_of_something_is_no_third_bar(beside: str, angle: float) -> None:
    """An edge just as long as the bar, where the bar would be: it turns a corner, or ends between two lines."""
    rows = {
        "tank": box(100, 90.28, 122, 95.5),
        "counter": np.array([[100, 90.28, 100, 95.5], [100, 95.5, 140, 95.5], [140, 95.5, 140, 90.28]]),
        "partition": np.array([[100, 90.28, 100, 95.5], [100, 95.5, 150, 95.5]]),
    }[beside]
    c, s = math.cos(math.radians(angle)), -math.sin(math.radians(angle))
    turned = (rows.reshape(-1, 2) - 100) @ np.array([[c, s], [-s, c]]) + 100
    xy = [strokes_of(STEMS, at(100, 100, angle)), turned.reshape(-1, 4)]
    (symbol,) = spot(sheet_of(xy), TWINS, ()).symbols
    assert not symbol.found and {symbol.entry.name, *symbol.rivals} == {"duplex", "range"}


def test_own_bars_that_end_on_a_wall_are_no_edges() -> None:
    xy = [strokes_of(THREE, at(100, 100)), strokes_of(STEMS, at(140, 100)), WALL, WALL - [0, 4, 0, 4]]
    assert names(spot(sheet_of(xy), TWINS, ())) == ["duplex", "range"]


def test_the_simpler_twin_may_be_a_weak_shape() -> None:
    both = rules(entry("single", ONE), entry("light", CROSS, "light"))
    crossing = np.array([[20.0, 100.0, 180.0, 100.0]])
    (symbol,) = spot(sheet_of([strokes_of(ONE, at(100, 100)), crossing]), both, ()).symbols
    assert not symbol.found and {symbol.entry.name, *symbol.rivals} == {"single", "light"}


def test_twins_that_are_the_same_to_the_rules_are_told_and_found() -> None:
    same = rules(entry("duplex", STEMS), entry("triplex", THREE))
    xy = [strokes_of(STEMS, at(100, 100)), box(100, 90.28, 122, 95.5)]
    (symbol,) = spot(sheet_of(xy), same, ()).symbols
    assert symbol.found and {symbol.entry.name, *symbol.rivals} == {"duplex", "triplex"}


def test_a_solid_wall_does_not_fill_half_of_a_circle() -> None:
    half = (*STEMS, PolylineMark(HALF, closed=True, filled=True))
    table = entry("table", [PolylineMark(((0, 0), (2, 0), (2, 1), (0, 1)), closed=True), CIRCLE], "other")
    both = rules(entry("duplex", STEMS), entry("gfci", half, protection="device"), table)
    wall = painted(shapely.box(60, 100, 150, 109))
    assert "gfci" not in names(spot(sheet_of(strokes_of(STEMS, at(100, 100)), fills=wall), both, ()))
    own = painted(shapely.Polygon([(100 + 72 * x, 100 + 72 * y) for x, y in HALF]))
    assert names(spot(sheet_of(strokes_of(STEMS, at(100, 100)), fills=own), both, ())) == ["gfci"]


def test_the_face_of_a_wall_does_not_fill_half_of_a_tiny_circle() -> None:
    """On a small print its lines were near to all of the half, and the wall was taken for the rest of the paint."""
    k = 1.5 / 72
    bars = [LineMark((x * k, -1.33 * k), (x * k, 1.33 * k)) for x in (-0.38, 0.38)]
    tiny = (CircleMark((0, 0), k), *bars)
    half = PolylineMark(tuple((k * math.cos(t), k * math.sin(t)) for t in np.linspace(0, math.pi, 17)), True, True)
    both = rules(entry("duplex", tiny), entry("gfci", (*tiny, half), protection="device"))
    wall = np.array([(98.9, 100.0, 102.5, 100.0), (98.9, 100.0, 98.9, 130.0), (102.5, 100.0, 102.5, 130.0)])
    assert "gfci" not in names(spot(sheet_of([strokes_of(tiny, at(100, 100)), wall]), both, ()))


def test_fills_of_many_symbols_in_one_path_are_taken_apart() -> None:
    half = (*STEMS, PolylineMark(HALF, closed=True, filled=True))
    both = rules(entry("duplex", STEMS), entry("gfci", half, protection="device"))
    places = [(100 + 40 * k, 100) for k in range(9)]
    each = [shapely.Polygon([(x + 72 * u, y + 72 * v) for u, v in HALF]) for x, y in places]
    fills = painted(shapely.MultiPolygon(each))
    result = spot(sheet_of([strokes_of(STEMS, at(x, y)) for x, y in places], fills=fills), both, ())
    assert names(result) == ["gfci"] * 9


def test_a_filled_mark_without_a_pen_is_no_hindrance() -> None:
    triangle = ((0.0, -0.055), (0.048, 0.028), (-0.048, 0.028))
    special = rules(entry("special", (*STEMS, PolylineMark(triangle, closed=True, filled=True))))
    own = painted(shapely.Polygon([(100 + 72 * x, 100 + 72 * y) for x, y in triangle]))
    assert names(spot(sheet_of(strokes_of(STEMS, at(100, 100)), fills=own), special, ())) == ["special"]


DOT = np.linspace(0, 6.2, 13)
PLATE = (
    PolylineMark(((-0.0275, -0.05), (0.0275, -0.05), (0.0275, 0.05), (-0.0275, 0.05)), closed=True),
    *(PolylineMark(tuple((0.0154 * math.cos(t), y + 0.0154 * math.sin(t)) for t in DOT), True, True)
      for y in (-0.025, 0.025)),
)  # fmt: skip
LINED = np.array([(90.0, 97.6 + k, 116.0, 97.6 + k) for k in range(4)])  # the outlines of appliances beside it


@pytest.mark.parametrize("lines", [np.zeros((0, 4)), LINED])
def test_lines_of_a_tiny_symbol_do_not_paint_what_is_bare_in_it(lines: np.ndarray) -> None:
    """A plate of 4 x 7 pt with two dots: a pen's width beside each of its lines is most of it."""
    dots = [shapely.Polygon([(100 + 72 * u, 100 + 72 * v) for u, v in mark.points]) for mark in PLATE[1:]]
    sheet = sheet_of([strokes_of(PLATE, at(100, 100)), lines], fills=painted(*dots))
    found = spot(sheet, rules(entry("duplex", PLATE)), ()).symbols
    assert [symbol.entry.name for symbol in found] == ["duplex"]
    assert not any("not filled" in reason for reason in found[0].reasons)
    bare = spot(sheet_of(strokes_of(PLATE, at(100, 100))), rules(entry("duplex", PLATE)), ()).symbols
    assert not any(symbol.found for symbol in bare)


def test_a_letter_in_the_circle_of_a_larger_symbol_makes_no_smaller_one() -> None:
    floor = (PolylineMark(((-0.1, -0.1), (0.1, -0.1), (0.1, 0.1), (-0.1, 0.1)), closed=True), CIRCLE)
    both = rules(entry("floor", floor), entry("junction box", (CIRCLE, TextMark("J", (0, 0))), "hardwired outlet"))
    result = spot(sheet_of(strokes_of(floor, at(100, 100)), [word("J", 100, 100)]), both, ())
    (symbol,) = result.symbols
    assert not symbol.found and {symbol.entry.name, *symbol.rivals} == {"floor", "junction box"}


def test_a_letter_in_a_circle_with_stems_is_no_junction_box() -> None:
    both = rules(entry("duplex", STEMS), entry("junction box", (CIRCLE, TextMark("J", (0, 0))), "hardwired outlet"))
    (symbol,) = spot(sheet_of(strokes_of(STEMS, at(100, 100)), [word("J", 100, 100)]), both, ()).symbols
    assert not symbol.found and {symbol.entry.name, *symbol.rivals} == {"duplex", "junction box"}


# ------------------------------------------------------------------------------------------ weak shapes

LIGHT = (CIRCLE, *(LineMark((R * c, R * s), (0.125 * c, 0.125 * s)) for c, s in ((1, 0), (0, 1), (-1, 0), (0, -1))))
SINGLE = (CIRCLE, LineMark((0, -0.125), (0, 0.125)))
PLAIN = rules(
    entry("single", SINGLE, wall_side=UP, scales=(0.75, 1.6)), entry("duplex", STEMS, wall_side=UP),
    entry("light", LIGHT, "light"),
)  # fmt: skip


def on_wall(x: float, shape: tuple = SINGLE, scale: float = 1.0) -> list[np.ndarray]:
    """A shape at (x, 100) with its end on the face of a wall."""
    y = 100 - 72 * 0.125 * scale
    return [
        strokes_of(shape, at(x, 100, scale=scale)),
        np.array([[x - 30, y, x + 30, y], [x - 30, y - 4, x + 30, y - 4]]),
    ]


def test_a_plain_shape_on_a_wall_is_settled_though_a_light_with_lines_missing_is_like_it() -> None:
    assert names(spot(sheet_of(on_wall(100)), PLAIN, ())) == ["single"]


@pytest.mark.parametrize("extra", [[60.0, 100.0, 140.0, 100.4], [97.5, 60.0, 97.5, 140.0]], ids=["light", "duplex"])
def test_a_line_in_passing_beside_the_line_of_a_plain_shape_on_a_wall_makes_no_question_of_it(
    extra: list[float],
) -> None:
    """What the line makes complete leaves the symbol's own line unexplained, or a line of its own missing."""
    assert names(spot(sheet_of([*on_wall(100), np.array([extra])]), PLAIN, ())) == ["single"]


def through(degrees: float, half: float) -> np.ndarray:
    d = half * np.array([math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])
    return np.array([[*(100 - d), *(100 + d)]])


@pytest.mark.parametrize("degrees", [20.0, 50.0, 110.0, 160.0])
def test_a_wall_through_the_middle_of_a_plain_shape_is_not_its_line(degrees: float) -> None:
    assert names(spot(sheet_of([through(degrees, 60.0), *on_wall(100)]), PLAIN, ())) == ["single"]


@pytest.mark.parametrize("degrees", [20.0, 50.0])
def test_a_second_line_of_its_own_makes_a_plain_shape_another(degrees: float) -> None:
    for order in (1, -1):
        xy = [through(degrees, 9.0), *on_wall(100)][::order]
        assert not names(spot(sheet_of(xy), PLAIN, ()))


BEHIND = np.array([[40.0, 109.0, 160.0, 109.0], [40.0, 113.0, 160.0, 113.0]])  # another wall, at its free end


def test_a_plain_shape_on_a_wall_that_ends_on_another_is_settled_where_chance_does_not_make_such_shapes() -> None:
    assert names(spot(sheet_of([*on_wall(100), BEHIND]), PLAIN, ())) == ["single"]


def among_many(*behind: np.ndarray, words: tuple[Word, ...] = ()) -> Spotting:
    """A plain shape on a wall and what is at its free end, on a sheet full of circles and lines of its length."""
    rng = np.random.default_rng(1)
    xy = rng.uniform(20, 480, (4000, 2))
    lines = np.c_[xy, xy + np.array([18.0, 0.0])]
    circles = [strokes_of((CIRCLE,), at(x, 300.0)) for x in np.arange(60, 440, 12.0)]
    clear = (np.abs(lines[:, 1] - 100) > 45) | (np.abs(lines[:, 0] - 91) > 80)
    return spot(sheet_of([*on_wall(100), *behind, lines[clear], *circles], words), PLAIN, ())


def test_a_plain_shape_between_walls_is_a_question_where_lines_of_its_length_and_circles_abound() -> None:
    (symbol,) = (s for s in among_many(BEHIND).symbols if math.dist(s.at, (100, 100)) < 3)
    assert not symbol.found and "something else" in " ".join(symbol.reasons)


def test_a_row_of_hatch_at_the_end_of_a_plain_shape_is_no_wall() -> None:
    """Two hatches over each other, of which no row is evenly spaced to both sides."""
    y = np.arange(91.5, 130.0, 2.5)
    rows = np.c_[np.full(len(y), 85.0), y, np.full(len(y), 118.0), y]
    more = rows[::2] + np.array([-1.0, 0.9, -1.0, 0.9])
    (symbol,) = (s for s in among_many(rows, more).symbols if math.dist(s.at, (100, 100)) < 3)
    assert symbol.found and symbol.entry.name == "single"


def test_a_letter_at_the_end_of_a_plain_shape_is_no_wall() -> None:
    """The leg of an A of its tag, which was read from strokes."""
    legs = np.array([[97.0, 112.0, 100.2, 105.0], [100.2, 105.0, 103.4, 112.0], [98.4, 109.1, 102.0, 109.1]])
    tag = Word("A", (97.0, 105.0, 103.4, 112.0), 0.0, 9.7, 1, "", (0, 0, 0), "stroke", 0.6)
    for read, found in (((), False), ((tag,), True)):
        (symbol,) = (s for s in among_many(legs, words=read).symbols if math.dist(s.at, (100, 100)) < 3)
        assert symbol.found == found


def test_a_shorter_line_between_walls_makes_no_plain_shape_of_a_circle() -> None:
    short = (CIRCLE, LineMark((0, -0.125), (0, 0.115)))
    wall = np.array([[40.0, 108.28, 160.0, 108.28]])
    assert "single" not in names(spot(sheet_of([*on_wall(100, short), wall]), PLAIN, ()))


def test_a_wall_that_ends_in_a_light_makes_no_outlet_of_it() -> None:
    wall = np.array([[100.0, 90.0, 100.0, 300.0], [105.0, 90.0, 105.0, 300.0], [100.0, 90.0, 300.0, 90.0]])
    xy = [strokes_of(LIGHT, at(100, 100, 28)), wall]
    assert "single" not in names(spot(sheet_of(xy), PLAIN, ()))


@pytest.mark.parametrize(("stem", "tail"), [(0.125, 0.095), (0.125, 0.15), (0.145, 0.125)])
def test_a_line_of_another_length_is_not_settled_by_its_wall(stem: float, tail: float) -> None:
    lamp = (CIRCLE, LineMark((0, -stem), (0, tail)))
    y = 100 - 72 * stem
    xy = [strokes_of(lamp, at(100, 100)), np.array([[70, y, 130, y], [70, y - 4, 130, y - 4]])]
    assert names(spot(sheet_of(xy), PLAIN, ())) == []


def test_a_plain_shape_of_another_size_than_the_other_outlets_is_a_question() -> None:
    others = [strokes_of(STEMS, at(x, 300)) for x in (100, 160, 220)]
    alone, among = (spot(sheet_of([*on_wall(100, scale=1.3), *more]), PLAIN, ()) for more in ([], others))
    assert names(alone) == ["single"]
    assert names(among) == ["duplex"] * 3
    assert any("size" in reason for s in among.symbols if s.entry.name == "single" for reason in s.reasons)


def test_a_large_circle_with_a_line_is_no_less_plain() -> None:
    large = rules(entry("single", SINGLE, scales=(2.0, 2.0)))
    (symbol,) = spot(sheet_of(strokes_of(SINGLE, at(100, 100, scale=2.0))), large, ()).symbols
    assert not symbol.found and any("weak shape" in reason for reason in symbol.reasons)


# --------------------------------------------------------------------------- letters that nobody could read

BOXES = rules(
    entry("junction box", (CIRCLE, TextMark("J", (0, 0))), "hardwired outlet"),
    entry("smoke alarm", (CIRCLE, TextMark("SD", (0, 0))), "other"),
    entry("single", SINGLE, wall_side=UP),
)  # fmt: skip
STROKED_J = np.array([[101.3, 97.2, 101.3, 101.5], [101.3, 101.5, 100.2, 102.6], [100.2, 102.6, 99.0, 101.5]])


def is_a_question_about_a_junction_box(result: Spotting) -> bool:
    (symbol,) = result.symbols
    return symbol.entry.name == "junction box" and not symbol.found


@pytest.mark.parametrize("scale", [1.0, 0.75])
def test_a_stroked_letter_in_a_circle_is_a_question(scale: float) -> None:
    wanted = replace(BOXES, symbols=tuple(replace(e, scales=(0.7, 1.1)) for e in BOXES.symbols))
    xy = [strokes_of((CIRCLE,), at(100, 100, scale=scale)), (STROKED_J - 100) * scale + 100]
    assert is_a_question_about_a_junction_box(spot(sheet_of(xy), wanted, ()))


def test_a_painted_letter_in_a_circle_is_a_question() -> None:
    hook = [(100.6, 97.5), (101.5, 97.5), (101.5, 102.4), (99, 102.4), (99, 101.6), (100.6, 101.6)]
    sheet = sheet_of(strokes_of((CIRCLE,), at(100, 100)), fills=painted(shapely.Polygon(hook)))
    assert is_a_question_about_a_junction_box(spot(sheet, BOXES, ()))


def test_a_place_of_unread_lettering_in_a_circle_is_a_question() -> None:
    sheet = replace(sheet_of(strokes_of((CIRCLE,), at(100, 100))), unread_at=((100.5, 99.8),))
    assert is_a_question_about_a_junction_box(spot(sheet, BOXES, ()))


def test_a_bare_circle_or_one_with_another_in_it_is_no_junction_box() -> None:
    xy = [strokes_of((CIRCLE,), at(100, 100)), strokes_of((CIRCLE, CircleMark((0, 0), 0.04)), at(200, 100))]
    assert not spot(sheet_of(xy), BOXES, ()).symbols


def test_the_strokes_of_a_letter_that_was_read_are_no_lines_of_nobodys() -> None:
    read = replace(word("J", 100.2, 99.9, 5.5), origin="stroke", confidence=0.9)
    xy = [strokes_of((CIRCLE,), at(100, 100)), STROKED_J]
    assert names(spot(sheet_of(xy, [read]), BOXES, ())) == ["junction box"]


# --------------------------------------------------------------------------------------- reduced prints


def test_lettered_circles_of_a_reduced_print_are_questions_as_the_other_outlets_are() -> None:
    gfci = entry("gfci", (*SINGLE, TextMark("G", (0, 0))), protection="device")
    two = rules(entry("duplex", STEMS), gfci)
    half = [strokes_of(STEMS, at(x, 100, scale=0.5)) for x in (100, 140, 180)]
    half += [strokes_of(SINGLE, at(240, 100, scale=0.5))]
    result = spot(sheet_of(half, [word("G", 240, 100, 3.0)]), two, ())
    assert names(result, found=False) == ["duplex"] * 3 + ["gfci"]
    alone = spot(sheet_of(half[3:], [word("G", 240, 100, 3.0)]), two, ())
    assert not alone.symbols  # one plain shape of another size is no sign of a reduced print


def test_letters_that_run_into_another_word_still_tell_of_a_twin() -> None:
    gfi = entry("gfi", (*STEMS, TextMark("GFI", (0, 0.15))), protection="device")
    both = rules(entry("duplex", STEMS), gfi)
    (symbol,) = spot(sheet_of(strokes_of(STEMS, at(100, 100)), [word("GFIWA", 101, 110.8)]), both, ()).symbols
    assert not symbol.found and {symbol.entry.name, *symbol.rivals} == {"duplex", "gfi"}


@pytest.mark.parametrize("angle", [0.0, 90.0, 217.0])
def test_own_short_stems_are_no_letters_and_a_scribble_is_a_doubt(angle: float) -> None:
    """Stems that end near the middle were taken for an unread G: every outlet of a pen plot was a question."""
    both = rules(
        entry("duplex", STEMS, wall_side=UP),
        entry("gfci", (*STEMS, TextMark("G", (0, 0))), wall_side=UP, protection="device"),
    )
    bare = strokes_of(STEMS, at(100, 100, angle))
    assert names(spot(sheet_of(bare), both, ())) == ["duplex"]
    letter = np.array([(101, 98, 99, 98), (99, 98, 98.6, 101), (98.6, 101, 101, 101.5), (101, 101.5, 101, 100)])
    (symbol,) = spot(sheet_of([bare, letter]), both, ()).symbols
    assert not symbol.found or symbol.entry.name == "gfci"


@pytest.mark.parametrize(("low", "high"), [(-2.0, 2.0), (-2.24, 1.76)])
def test_two_faces_of_walls_that_pass_through_a_circle_are_no_bars(low: float, high: float) -> None:
    """A little off its middle, as found on a sheet: where lines go on was looked for close to the ends only."""
    circle = CircleMark((0, 0), 6 / 72)
    bars = (circle, *(LineMark((-9 / 72, y / 72), (9 / 72, y / 72)) for y in (-2, 2)))
    faces = np.array([[40.0, 100.0 + low, 160.0, 100.0 + low], [30.0, 100.0 + high, 170.0, 100.0 + high]])
    plain = rules(entry("duplex", bars))
    (symbol,) = spot(sheet_of([strokes_of((circle,), at(100, 100)), faces]), plain, ()).symbols
    assert not symbol.found and "run on" in " ".join(symbol.reasons)
    assert names(spot(sheet_of([strokes_of(bars, at(100, 100)), faces + 30.0]), plain, ())) == ["duplex"]


@pytest.mark.parametrize("marks", [STEMS, THROUGH], ids=["stems", "lines through"])
@pytest.mark.parametrize("angle", [0.0, 90.0, 180.0])
@pytest.mark.parametrize("apart", [(2.4, 0.0), (0.0, 2.4), (0.0, 5.0)])
def test_two_outlets_over_each_other_are_both_told(
    marks: tuple[Mark, ...], angle: float, apart: tuple[float, float]
) -> None:
    """Back to back in a thin wall of a small drawing: each has a circle of its own, whatever lines they share."""
    xy = [strokes_of(marks, at(100, 100)), strokes_of(marks, at(100 + apart[0], 100 + apart[1], angle))]
    assert len(spot(sheet_of(xy), rules(entry("duplex", marks)), ()).symbols) == 2


@pytest.mark.parametrize("apart", [0.0, 0.3])
def test_an_outlet_drawn_twice_to_look_bold_is_one(apart: float) -> None:
    xy = [strokes_of(STEMS, at(100, 100)), strokes_of(STEMS, at(100 + apart, 100))]
    (symbol,) = spot(sheet_of(xy), rules(entry("duplex", STEMS)), ()).symbols
    assert symbol.found


@pytest.mark.parametrize("over", [0.0, 1.2, -2.0, 3.0])
def test_an_outlet_of_a_small_print_is_no_part_of_the_washer_it_is_drawn_over(over: float) -> None:
    """Found on a print at 1:141: its tiny circle lies near the lines of the washer's panel, and it was lost."""
    plate = tuple(PolylineMark(c, closed=True) for c in (corners(13.5, -14, 14), corners(11, -13, -9)))
    washer = entry("washer", (*plate, CircleMark((0, 2), 8)), "washer", size="real")
    ratio = 141.2
    bars = (LineMark((x / 72, -2.4 / 72), (x / 72, 2.4 / 72)) for x in (-0.7, 0.7))
    small = (CircleMark((0, 0), 1.85 / 72), *bars)
    outlet = entry("duplex", small)
    xy = [strokes_of(washer.shape or (), at(300, 300), unit=72 / ratio), strokes_of(small, at(300 + over, 294.8))]
    found = spot(sheet_of(xy), rules(washer, outlet), (Scale("v1", ratio, "note", "", "single"),))
    assert sorted(symbol.entry.name for symbol in found.symbols) == ["duplex", "washer"]


def test_an_outlet_over_a_fixture_is_told_once() -> None:
    """Other poses of its shape lose to the fixture as well."""
    plate = tuple(PolylineMark(c, closed=True) for c in (corners(13.5, -14, 14), corners(11, -13, -9)))
    washer = entry("washer", (*plate, CircleMark((0, 2), 8)), "washer", size="real")
    r = 2.25 / 72
    stems = (LineMark((x * r, -0.92 * r), (x * r, -2 * r)) for x in (-0.38, 0.38))
    outlet = entry("duplex", (CircleMark((0, 0), r), *stems))
    xy = [
        strokes_of(washer.shape or (), at(300, 300), unit=72 / 128),
        strokes_of(outlet.shape or (), at(307.06, 294.34)),
    ]
    found = spot(sheet_of(xy), rules(washer, outlet), (Scale("v1", 128.0, "note", "", "single"),))
    assert sorted(symbol.entry.name for symbol in found.symbols) == ["duplex", "washer"]


def test_a_shorter_line_is_not_the_line_of_a_lettered_twin_whose_letter_nobody_can_read() -> None:
    ring = PolylineMark(((R, 0.0), (-R / 2, 0.87 * R), (-R / 2, -0.87 * R)), closed=True)
    short, long = (LineMark((-a * R, 0.0), (a * R, 0.0)) for a in (0.95, 1.5))
    plain, lettered = entry("plain", (ring, short)), entry("lettered", (ring, long, TextMark("C", (0.0, -1.9 * R))))
    xy = np.concatenate([strokes_of(lettered.shape, at(150, 150)), strokes_of(plain.shape, at(300, 300))])
    result = spot(sheet_of(xy), rules(plain, lettered), ())
    assert {round(s.at[0]): (s.entry.name, s.found) for s in result.symbols} == {
        150: ("plain", False), 300: ("plain", True)}  # fmt: skip
    (doubted,) = (s for s in result.symbols if not s.found)
    assert "'lettered' without its text explains lines" in doubted.reasons[0]


def test_a_symbol_with_its_own_letters_needs_none_of_a_twin_that_lacks_them() -> None:
    box, gfi = entry("box", (CIRCLE, TextMark("J", (0, 0)))), entry("gfi", (*THROUGH, TextMark("GFI", (0, 0.15))))
    edges = np.array([[97.84, 91.36, 97.84, 107.2], [102.16, 91.36, 102.16, 107.2]])
    xy = [strokes_of((CIRCLE,), at(100, 100)), edges]
    (symbol,) = spot(sheet_of(xy, [word("J", 100, 100, 5.0)]), rules(box, gfi), ()).symbols
    assert symbol.entry.name == "box" and "without its text" not in " ".join(symbol.reasons)


def test_a_row_of_hatch_as_long_as_the_line_of_a_plain_shape_makes_none_of_a_circle() -> None:
    """A circle in a hatch, one of whose rows runs through its middle, was found as an outlet, for certain."""
    x = np.arange(70.0, 131.0, 2.5)
    rows = np.c_[x, np.full(len(x), 90.28), x, np.full(len(x), 107.2)]
    circle = strokes_of((CIRCLE,), at(100, 100))
    outlet = entry("single", ONE, wall_side=UP)
    assert names(spot(sheet_of([circle, rows, WALL]), rules(outlet), ())) == []
    alone = spot(sheet_of([strokes_of(ONE, at(100, 100)), WALL]), rules(outlet), ())
    assert names(alone) == ["single"]


def test_an_arc_of_chords_more_than_its_twin_has_ends_where_it_ends() -> None:
    """Each chord was a line that ends elsewhere, as somebody else's does: all that have such a mark were asked."""
    turns = np.radians(np.linspace(20.0, 160.0, 26))
    at_arc = 1.5 * R * np.column_stack([np.cos(turns), np.sin(turns)])
    arc = tuple(
        LineMark(tuple(a), tuple(b)) for a, b in zip(at_arc[:-1].tolist(), at_arc[1:].tolist(), strict=True)
    )
    stem = (CIRCLE, LineMark((0, -0.125), (0, -R)), LineMark((-R, 0), (R, 0)))
    both = rules(
        entry("duplex", stem, wall_side=UP), entry("gfci", (*stem, *arc), wall_side=UP, protection="device")
    )
    for turn in (0.0, 37.0):
        sheet = sheet_of([strokes_of((*stem, *arc), at(100, 100, turn)), strokes_of(stem, at(200, 100, turn))])
        assert names(spot(sheet, both, ())) == ["duplex", "gfci"]

"""Shapes that the drawing repeats and nothing explains."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import (
    CircleMark,
    Drawing,
    Fills,
    FloatArray,
    LineMark,
    Mapping,
    PolylineMark,
    Region,
    Sheet,
    Strokes,
    Symbol,
    SymbolEntry,
    Unexplained,
    Word,
)  # fmt: skip
from cordpath.symbols.unexplained.unexplained import leftovers
from read_once import real_plan

NOTHING = Mapping("m", Drawing(), ())


def ring(radius: float, pieces: int = 16) -> FloatArray:
    angle = np.linspace(0, 2 * math.pi, pieces + 1)
    points = radius * np.c_[np.cos(angle), np.sin(angle)]
    return np.c_[points[:-1], points[1:]]


DUPLEX = np.r_[ring(5.4), [[-2, -10, -2, 7.5], [2, -10, 2, 7.5]]]
TRIANGLE = np.array([[0, -6, 5, 4], [5, 4, -5, 4], [-5, 4, 0, -6.0]])


def placed(shape: FloatArray, at: list[tuple[float, float]], turn: bool = True) -> FloatArray:
    """The shape at each place, each turned and mirrored another way and rounded to a plotter's grid."""
    out = []
    for k, (x, y) in enumerate(at):
        angle = 0.5 * k if turn else 0.0
        rotate = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
        mirror = np.array([-1.0 if turn and k % 2 else 1.0, 1.0])
        ends = (shape.reshape(-1, 2) * mirror) @ rotate.T + (x, y)
        out.append(np.round(ends / 0.12).reshape(-1, 4) * 0.12)
    return np.concatenate(out)


def sheet(xy: FloatArray, words: tuple[Word, ...] = (), regions: tuple[Region, ...] = (), layer: int = -1) -> Sheet:
    layers = ("A-WALL", "E-POWR")
    return Sheet(
        "f", 1, None, None, 2000, 2000, Strokes.of(xy, layer=layer), Fills.none(), words, layers, (), regions
    )


def told(xy: FloatArray, mapping: Mapping = NOTHING, symbols: tuple[Symbol, ...] = ()) -> tuple[Unexplained, ...]:
    return leftovers(sheet(xy), symbols, mapping)


PLACES = [(100.0 + 97 * k, 100.0 + 61 * (k % 5)) for k in range(9)]


@pytest.mark.parametrize("shape", [DUPLEX, TRIANGLE, ring(6)], ids=["duplex", "triangle", "circle"])
def test_a_repeated_shape_is_told_once_with_all_its_places(shape: FloatArray) -> None:
    (group,) = told(placed(shape, PLACES))
    assert group.what == "a shape drawn 9 times that the mapping file does not name"
    ends = shape.reshape(-1, 2)
    for x, y in PLACES:
        assert min(math.dist((x, y), at) for at in group.at) < np.abs(ends).max() / 2
    assert [at[1] for at in group.at] == sorted(at[1] for at in group.at)


def test_two_shapes_are_two_groups() -> None:
    xy = np.r_[placed(DUPLEX, PLACES), placed(TRIANGLE, [(x, y + 500) for x, y in PLACES[:4]])]
    assert [group.count for group in told(xy)] == [9, 4]


def test_loose_and_doubled_strokes_are_the_same_shape() -> None:
    halves = np.concatenate([np.c_[DUPLEX[:, :2], (DUPLEX[:, :2] + DUPLEX[:, 2:]) / 2],
                             np.c_[(DUPLEX[:, :2] + DUPLEX[:, 2:]) / 2, DUPLEX[:, 2:]]])  # fmt: skip
    xy = np.r_[placed(DUPLEX, PLACES[:3]), placed(halves, PLACES[3:6]), placed(np.r_[DUPLEX, DUPLEX], PLACES[6:])]
    assert [group.count for group in told(xy)] == [9]


def test_twice_is_no_pattern() -> None:
    assert told(placed(DUPLEX, PLACES[:2])) == ()


def test_what_symbols_explain_is_not_told() -> None:
    xy = placed(DUPLEX, PLACES)
    entry = SymbolEntry("duplex", "receptacle")
    n = len(DUPLEX)
    symbols = tuple(
        Symbol(entry, at, 0, False, 1, 1, True, None, shapely.Point(at).buffer(8), np.arange(k * n, k * n + n))
        for k, at in enumerate(PLACES)
    )
    assert told(xy, symbols=symbols) == ()
    assert [group.count for group in told(xy, symbols=symbols[:5])] == [4]


@pytest.mark.parametrize(
    "shape",
    [
        np.array([[-3.0, 3, 3, -3]]),  # tick of a dimension
        np.array([[-6.0, -4, 6, -4], [6, -4, 6, 4], [6, 4, -6, 4], [-6, 4, -6, -4]]),  # a plain rectangle
        np.array([[-9.0, 0, 9, 0], [0, -9, 0, 9]]),  # a plain cross
        ring(40, 64),  # too large for a symbol
        ring(1.2, 8),  # too small
    ],
    ids=["tick", "rectangle", "cross", "large", "small"],
)
def test_what_is_no_symbol_is_not_told(shape: FloatArray) -> None:
    assert told(placed(shape, PLACES, turn=False)) == ()


def test_arrowheads_are_not_told() -> None:
    head = np.array([[0.0, 0, -6, 2], [-6, 2, -6, -2], [-6, -2, 0, 0]])
    shaft = np.array([[-6.0, 0, -60, 0]])
    assert told(placed(np.r_[head, shaft], PLACES, turn=False)) == ()
    assert [group.count for group in told(placed(head, PLACES, turn=False))] == [9]


def test_arrowheads_tip_to_tip_are_not_told() -> None:
    """Where two dimensions of a chain meet, both on the end of a witness line."""
    head = np.array([[0.0, 0, -8, 1.6], [-8, 1.6, -8, -1.6], [-8, -1.6, 0, 0]])
    shafts = np.array([[-60.0, 0, 0, 0], [0, 0, 60, 0], [0, -8, 0, 60]])
    assert told(placed(np.r_[head, -head, shafts], PLACES, turn=False)) == ()


def test_letters_drawn_as_strokes_are_not_told() -> None:
    letter_e = np.array([[0.0, 0, 0, 7], [0, 0, 4, 0], [0, 3.5, 3, 3.5], [0, 7, 4, 7]])
    letter_a = np.array([[0.0, 7, 2.2, 0], [2.2, 0, 4.4, 7], [1, 4.5, 3.4, 4.5]])
    row = np.concatenate([(letter_e if k % 2 else letter_a) + np.tile((6.0 * k, 0.0), 2) for k in range(6)])
    assert told(placed(row, PLACES, turn=False)) == ()


def test_words_drawn_as_strokes_are_not_told() -> None:
    xy = placed(DUPLEX, PLACES, turn=False)
    words = tuple(
        Word("Q", (x - 6, y - 11, x + 6, y + 8), 0, 12, k, origin="stroke") for k, (x, y) in enumerate(PLACES)
    )
    assert leftovers(sheet(xy, words), (), NOTHING) == ()


def test_numbered_bubbles_are_not_told() -> None:
    xy = placed(ring(8), PLACES)
    words = tuple(Word(str(k), (x - 2, y - 3, x + 2, y + 3), 0, 6, k) for k, (x, y) in enumerate(PLACES))
    assert leftovers(sheet(xy, words), (), NOTHING) == ()


def test_legends_and_other_layers_are_left_alone() -> None:
    xy = placed(DUPLEX, PLACES)
    everything = (Region("legend", (0, 0, 2000, 2000)),)
    assert leftovers(sheet(xy, regions=everything), (), NOTHING) == ()
    for drawing, count in (
        (Drawing(ignore_layers=("E-*",)), 0),
        (Drawing(wall_layers=("e-powr",)), 0),
        (Drawing(device_layers=("E-POWR",)), 1),
        (Drawing(device_layers=("A-*",)), 0),
    ):
        assert len(leftovers(sheet(xy, layer=1), (), Mapping("m", drawing, ()))) == count


def test_frames_in_walls_take_one_line() -> None:
    frame = np.r_[DUPLEX, [[-60, -3, 60, -3], [-60, 0, 60, 0], [-60, 3, 60, 3]]]
    groups = told(placed(frame, [(200.0 * k + 100, 300.0) for k in range(5)], turn=False))
    assert [group.count for group in groups] == [5]
    assert groups[0].what.startswith("1 shape within walls, windows or other lines, drawn 3 times or more,")


def test_a_wall_face_or_a_floor_line_does_not_hide_a_shape() -> None:
    on_wall = np.r_[DUPLEX, [[-60, -10, 60, -10], [-60, 0, 60, 0]]]
    groups = told(placed(on_wall, [(200.0 * k + 100, 300.0) for k in range(5)], turn=False))
    assert [group.what for group in groups] == ["a shape drawn 5 times that the mapping file does not name"]


def test_many_shapes_do_not_flood() -> None:
    parts = []
    for n in range(30):
        spokes = np.array([[0, 0, 9 * math.cos(k), 9 * math.sin(k)] for k in np.linspace(0.1, 3, n + 3)])
        parts.append(placed(np.r_[ring(4 + 0.15 * n), spokes], [(60.0 * n + 40, 100.0 * k + 50) for k in range(3)]))
    groups = told(np.concatenate(parts))
    assert len(groups) <= 22
    assert sum(group.count for group in groups) == 90


def test_an_empty_sheet() -> None:
    assert told(np.zeros((0, 4))) == ()
    assert told(np.array([[5.0, 5, 5, 5]])) == ()


def test_a_real_sheet_is_searched_without_a_flood() -> None:
    real = real_plan()
    assert len(leftovers(real, (), NOTHING)) <= 8


def test_a_circle_with_two_bars_is_no_plain_figure_however_finely_its_circle_is_cut() -> None:
    (group,) = told(placed(np.r_[ring(4.5, 64), [[-1.7, 4.2, -1.7, 12.2], [1.7, 4.2, 1.7, 12.2]]], PLACES[:4]))
    assert group.count == 4 and group.box is not None
    assert sum(type(mark).__name__ == "CircleMark" for mark in group.marks) == 1


def test_a_single_shape_much_like_an_outlet_is_told_by_its_name() -> None:
    marks = (CircleMark((0.0, 0.0), 0.075), LineMark((-0.028, -0.139), (-0.028, 0.104)),
             LineMark((0.028, -0.139), (0.028, 0.104)))  # fmt: skip
    page = sheet(np.r_[placed(DUPLEX, PLACES[:1]), placed(TRIANGLE, PLACES[3:4])])
    assert leftovers(page, (), NOTHING) == ()
    (only,) = leftovers(page, (), NOTHING, (("duplex", marks),))
    assert only.what == "a shape drawn much like 'duplex' that could not be matched" and only.count == 1
    assert math.dist(only.at[0], PLACES[0]) < 3
    often = leftovers(sheet(placed(DUPLEX, PLACES)), (), NOTHING, (("duplex", marks),))
    assert [rest.count for rest in often] == [9], "told once"


@pytest.mark.parametrize(("text", "body"), [(True, True), (True, False), (False, True)])
def test_a_short_arrow_from_a_text_to_a_symbol_is_no_shape(text: bool, body: bool) -> None:
    """A leader and its head hang together, and were a shape to be named."""
    arrow = np.array([[0.0, 0, 22, 0], [22, 0, 17, 2], [17, 2, 17, -2], [17, -2, 22, 0]])
    xy = placed(arrow, PLACES, turn=False)
    words = tuple(Word("GFI", (x - 16, y - 4, x - 2, y + 4), 0, 7, k) for k, (x, y) in enumerate(PLACES))
    entry = SymbolEntry("duplex", "receptacle")
    symbols = tuple(
        Symbol(entry, (x + 30, y), 0, False, 1, 1, True, None, shapely.Point(x + 30, y).buffer(5), np.zeros(0, int))
        for x, y in PLACES
    )
    found = leftovers(sheet(xy, words if text else ()), symbols if body else (), NOTHING)
    assert [each.count for each in found] == ([] if text and body else [9])


def test_the_end_of_a_hatched_wall_is_no_shape_and_a_symbol_in_hatch_is_one() -> None:
    """The cap of a wall and the rows that begin at it hung together, nineteen times on a sheet."""
    rows = np.array([[max(0.0, k - 18.0), min(k, 18.0), min(k, 200.0), max(0.0, k - 200.0)] for k in
                     np.arange(2.4, 218, 2.4)])  # fmt: skip
    faces = np.array([[0.0, 0, 200, 0], [0, 18, 200, 18], [0, 0, 0, 18], [200, 0, 200, 18]])
    walls = [(100.0, 100 + 90.0 * k) for k in range(5)]
    assert told(placed(np.r_[rows, faces], walls, turn=False)) == ()
    inside = placed(ring(5), [(x + 60, y + 9) for x, y in walls], turn=False)
    (found,) = told(np.r_[placed(np.r_[rows, faces], walls, turn=False), inside])
    assert found.count == 5


@pytest.mark.parametrize("turned", [False, True])
def test_a_box_with_stems_is_no_plain_rectangle_and_the_end_of_a_wall_no_shape(turned: bool) -> None:
    """Receptacles that are drawn as a box with two stems were passed over, 30 on a sheet."""
    box = np.array([[-3.6, -3, 3.6, -3], [3.6, -3, 3.6, 3], [3.6, 3, -3.6, 3], [-3.6, 3, -3.6, -3]])
    stems = np.array([[-1.5, -3, -1.5, -7.2], [1.5, -3, 1.5, -7.2]])
    (found,) = told(placed(np.r_[box, stems], PLACES, turn=turned))
    assert found.count == len(PLACES)
    wall = np.array(
        [[0, 5.0, 0, 22], [0, 22, 12, 22], [12, 22, 12, 17], [12, 17, 5, 17], [5, 17, 5, 0], [5, 0, 0, 0]]
    )
    assert told(placed(wall, PLACES, turn=turned)) == ()


@pytest.mark.parametrize("panes", [1, 2])
def test_a_window_in_a_slanting_wall_that_is_painted_is_no_shape(panes: int) -> None:
    """It was one, and GFCI beside an outlet near it was asked about (house 32001)."""
    across = [[20.0 * k / panes, 0, 20.0 * k / panes, 6] for k in range(panes + 1)]
    window = np.array([[0, 0, 20, 0], [0, 3, 20, 3], [0, 6, 20, 6], *across]).reshape(-1, 2)
    turn = np.radians(30.0)
    slanting = window @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    assert told(placed(slanting.reshape(-1, 4), PLACES, turn=False)) == ()


def lettered(text: str, at: tuple[float, float], size: float = 8.0) -> Word:
    x, y = at
    return Word(text, (x - 2.5, y - 3, x + 2.5, y + 3), 0.0, size, 1)


@pytest.mark.parametrize("dash", [200.0, 12.0])
def test_bubbles_of_grid_lines_are_not_told_and_circles_on_stems_are(dash: float) -> None:
    """Of the letters of a grid; numbers were none before."""
    places = [(100.0 + 150 * k, 60.0) for k in range(4)]
    line = np.array([[0.0, y, 0, min(y + dash, 209)] for y in np.arange(7, 200, dash + 3)])
    bubbles = np.r_[placed(ring(7, 32), places, turn=False), placed(line, places, turn=False)]
    names = tuple(lettered(text, at) for text, at in zip("ABCD", places, strict=True))
    assert leftovers(sheet(bubbles, names), (), NOTHING) == ()
    same = tuple(lettered("J", at) for at in places)
    assert [group.count for group in leftovers(sheet(bubbles, same), (), NOTHING)] == [4], "a device's letter"
    stems = np.r_[placed(ring(7, 32), places, turn=False), placed(np.array([[0.0, 7, 0, 19]]), places, turn=False)]
    assert [group.count for group in leftovers(sheet(stems, names), (), NOTHING)] == [4], "stems to a wall"


def test_what_is_larger_than_devices_is_told_together_and_last_and_is_no_finding() -> None:
    seats = [(x, y + 400) for x, y in PLACES]
    chair = np.array([[-9.0, -11, 11, -11], [11, -11, 9, 11], [9, 11, -11, 11], [-11, 11, -9, -11], [-9, 8, 9, 8]])
    device, furniture = told(np.r_[placed(chair, seats, turn=False), placed(DUPLEX, PLACES)])
    assert device.count == len(PLACES) and not device.minor
    assert furniture.count == len(seats) and furniture.minor
    assert furniture.what.startswith("1 shape larger than devices are drawn, as furniture is,")


@pytest.mark.parametrize(("texts", "tags"), [("ABCDEFGHA", True), ("JJJJJJJJJ", False), ("TTTTTABTT", False)])
def test_tags_have_another_letter_at_each_place_and_devices_have_one(texts: str, tags: bool) -> None:
    hexagon = ring(8, 6)
    words = tuple(lettered(text, at) for text, at in zip(texts, PLACES, strict=True))
    (group,) = leftovers(sheet(placed(hexagon, PLACES, turn=False), words), (), NOTHING)
    assert group.count == len(PLACES)
    assert group.minor == tags


def test_a_repeated_shape_that_reads_like_a_letter_is_told() -> None:
    """A disconnect, a box with a stem and a stroke across, was read as a P that stands on its head."""
    box = np.array(
        [[-6, -8, 6, -8], [6, -8, 6, 8], [6, 8, -6, 8], [-6, 8, -6, -8], [-6, 8, 6, -8], [0, -8, 0, -14.0]]
    )
    words = tuple(
        Word("P", (x - 6, y - 14, x + 6, y + 8), 180.0, 30.0, 1, origin="stroke", confidence=0.5) for x, y in PLACES
    )
    (group,) = leftovers(sheet(placed(box, PLACES, turn=False), words), (), NOTHING)
    assert group.count == len(PLACES)


def test_a_letter_makes_a_plain_box_a_device() -> None:
    """Junction boxes and chimes that are drawn square were passed over as plain rectangles."""
    box = np.array([[-5.5, -5.5, 5.5, -5.5], [5.5, -5.5, 5.5, 5.5], [5.5, 5.5, -5.5, 5.5], [-5.5, 5.5, -5.5, -5.5]])
    words = tuple(lettered("J", at) for at in PLACES)
    (group,) = leftovers(sheet(placed(box, PLACES, turn=False), words), (), NOTHING)
    assert group.count == len(PLACES) and not group.minor
    assert leftovers(sheet(placed(box, PLACES, turn=False)), (), NOTHING) == ()
    rooms = tuple(lettered(f"G{k}", at) for k, at in enumerate(PLACES))
    assert leftovers(sheet(placed(box, PLACES, turn=False), rooms), (), NOTHING) == (), "numbers of rooms"


def test_a_solid_shape_is_not_told_as_its_plain_like() -> None:
    """Solid and plain outlets were one shape, its places the solid ones first: who named it after those had every
    plain outlet protected."""
    at = [(100.0 + 60 * k, 200.0) for k in range(8)]
    solid = [shapely.Polygon(ring(5.4)[:, :2] + place) for place in at[:2]]
    fills = Fills(np.array(solid, object), np.zeros((2, 3)), np.ones(2), np.full(2, -1), np.arange(2))
    told = leftovers(replace(sheet(placed(DUPLEX, at, turn=False)), fills=fills), (), NOTHING)
    assert [(item.count, any(isinstance(mark, PolylineMark) for mark in item.marks)) for item in told] == [
        (6, False), (2, True)
    ]  # fmt: skip
    assert [round(x) for x, _ in told[1].at] == [100, 160]

"""Circles with a letter, a line or a mark that no entry names: told, though they repeat nothing."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import Drawing, Fills, FloatArray, Mapping, SymbolEntry, TextOrigin, Unexplained, Word
from cordpath.symbols import spot
from drawn_page import duplex, ring, sheet
from symbols.test_unmapped import PLAIN, SCALE

R = 5.4
AT = (200.0, 200.0)
SHAPES = {
    "a line through it": [(-1.5, 0, 1.5, 0)],
    "a short stem": [(1, 0, 2, 0)],
    "a wedge": [(0, 0, 1, 0), (0, 0, 0, 1)],
    "a cross": [(-1, 0, 1, 0), (0, -1, 0, 1)],
    "a triangle": [(0.8, 0, -0.4, 0.7), (-0.4, 0.7, -0.4, -0.7), (-0.4, -0.7, 0.8, 0)],
}


def told(xy: FloatArray, texts: list[Word] | None = None, fills: Fills | None = None) -> list[Unexplained]:
    done = spot(sheet([xy, duplex(100, 100)], texts, fills), Mapping("m.yaml", Drawing(), (PLAIN,)), SCALE)
    return [item for item in done.unexplained if not item.is_label]


def inside(text: str, at: tuple[float, float], origin: TextOrigin = "font", confidence: float = 1.0) -> Word:
    x, y = at
    return Word(text, (x - 2, y - 3, x + 2, y + 3), 0.0, 7.0, 1, origin=origin, confidence=confidence)


def drawn(
    shape: list[tuple[float, ...]], turn: float, radius: float, pieces: int, at: tuple[float, float] = AT
) -> FloatArray:
    xy = np.r_[ring(0, 0, 1.0, pieces), np.array(shape, float).reshape(-1, 4)] * radius
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return (xy.reshape(-1, 2) @ np.array([[c, s], [-s, c]]) + at).reshape(-1, 4)


@pytest.mark.parametrize("name", SHAPES)
@settings(max_examples=5, deadline=None)
@given(turn=st.floats(0, 360), radius=st.floats(1.8, 9.0), pieces=st.integers(12, 36))
def test_a_circle_with_a_line_or_a_mark_is_told_however_it_is_turned(
    name: str, turn: float, radius: float, pieces: int
) -> None:
    """It was lost in silence: one of it is no repeated shape, and it is drawn like no entry."""
    xy = np.round(drawn(SHAPES[name], turn, radius, pieces) / 0.12) * 0.12
    (item,) = told(xy)
    assert item.at == (pytest.approx(AT, abs=0.3),)


def test_a_circle_that_is_drawn_twice_is_told_once() -> None:
    """Ink drawn again a hair beside itself: two circles, and one device."""
    once = drawn(SHAPES["a wedge"], 0.0, R, 24)
    (item,) = told(np.r_[once, drawn(SHAPES["a wedge"], 0.0, R + 0.5, 24)])
    assert item.count == 1


def test_smallest_prints_are_told_as_well() -> None:
    (item,) = told(drawn(SHAPES["a short stem"], 30.0, 1.25, 24))
    assert item.at == (pytest.approx(AT, abs=0.3),)


def test_a_marked_circle_in_the_box_of_an_appliance_is_told() -> None:
    """All ink in the box that a `usual: true` entry found was the washer's own: the outlet drawn behind the washer,
    as a circle with a G on a stem, was lost in silence.  The drum about the box's letters is the washer's."""
    x, y = AT
    box = [(x - 21, y - 21, x + 21, y - 21), (x + 21, y - 21, x + 21, y + 21), (x + 21, y + 21, x - 21, y + 21),
           (x - 21, y + 21, x - 21, y - 21)]  # fmt: skip
    outlet = (x + 10.0, y + 12.0)
    xy = np.r_[box, ring(x, y, 7.0), ring(*outlet, 4.5), [(outlet[0], outlet[1] + 4.5, outlet[0], y + 21)]]
    washer = SymbolEntry("washer", "washer", usual=True, size="real")
    found = spot(sheet([xy, duplex(100, 100)], [inside("W", AT), inside("G", outlet)]),
                 Mapping("m.yaml", Drawing(), (PLAIN, washer)), SCALE)  # fmt: skip
    assert any(symbol.entry.name == "washer" for symbol in found.symbols)
    (item,) = found.unexplained
    assert item.what.startswith("a circle with the letters 'G', drawn once")
    assert item.at == (pytest.approx(outlet, abs=0.3),)


def test_circles_with_letters_are_told_by_their_letters() -> None:
    circles = {(200.0, 200.0): ("DW", 5.4), (300.0, 200.0): ("J", 4.5), (200.0, 300.0): ("J", 7.0)}  # none repeats
    texts = [inside(text, at) for at, (text, _) in circles.items()]
    items = told(np.concatenate([ring(*at, radius) for at, (_, radius) in circles.items()]), texts)
    assert [item.what for item in items] == [
        "a circle with the letters 'DW', drawn once, that the mapping file does not name",
        "a circle with the letters 'J', drawn twice, that the mapping file does not name",
    ]
    assert sorted(items[1].at) == [pytest.approx(at, abs=0.3) for at in ((200, 300), (300, 200))]


def test_letters_that_stand_once_are_told_in_one_line() -> None:
    """Tags and marks of elevations were a line each."""
    at = [(200.0, 200.0), (300.0, 200.0), (200.0, 300.0)]
    xy = np.concatenate([ring(*place, 4.0 + k) for k, place in enumerate(at)])
    (item,) = told(xy, [inside(text, place) for text, place in zip("EAB", at, strict=True)])
    assert item.what.startswith("a circle with the letters 'A' or 'B' or 'E', drawn 3 times, each of them once,")
    assert item.count == 3


def test_letters_drawn_as_lines_are_a_mark() -> None:
    letter = [(-0.3, -0.5, -0.3, 0.5), (-0.3, -0.5, 0.4, -0.5), (-0.3, 0, 0.2, 0)]
    for texts in ([], [inside("F", AT, "stroke", 0.5)]):
        (item,) = told(drawn(letter, 0, R, 24), texts)
        assert item.at == (pytest.approx(AT, abs=0.3),)


@pytest.mark.parametrize("width", [0.5, 1.5])
def test_a_ring_that_is_an_area_is_a_circle(width: float) -> None:
    """Nothing of it is a line, and no pen of the sheet draws as broad."""
    disc = shapely.Point(AT).buffer(R + width / 2).difference(shapely.Point(AT).buffer(R - width / 2))
    shapes = np.empty(1, object)
    shapes[0] = disc
    paint = Fills(shapes, np.zeros((1, 3)), np.ones(1), np.full(1, -1), np.zeros(1, np.int64))
    stem = np.array([[AT[0] + R, AT[1], AT[0] + 2 * R, AT[1]]])
    (item,) = told(stem, fills=paint)
    assert item.at == (pytest.approx(AT, abs=0.3),)


@pytest.mark.parametrize(
    ("xy", "text"),
    [
        (ring(*AT, R), ""),  # a column, a burner
        (ring(*AT, R), "7"),  # a keynote
        (np.r_[ring(*AT, R), [[200, 205.4, 200, 220]]], ""),  # a bubble on its leader
        (np.r_[ring(*AT, R), [[190, 203, 240, 203], [150, 200, 250, 200]]], ""),  # lines of something else
        (np.r_[ring(*AT, R), [[203, 203, 215, 215]]], ""),  # the end of a line
        (drawn(SHAPES["a line through it"], 0, 15.0, 36), ""),  # larger than any device: a section, a north arrow
    ],
    ids=["bare", "number", "leader", "passing lines", "an end", "large"],
)
def test_other_circles_are_not_told(xy: FloatArray, text: str) -> None:
    assert not told(xy, [inside(text, AT)] if text else [])


def test_the_round_letters_of_a_drawn_word_are_none() -> None:
    word = replace(inside("QTY", AT, "stroke", 0.9), box=(196, 196, 214, 204), size=10.0)
    tail = np.array([[202.5, 202.5, 205, 205]])
    assert not told(np.r_[ring(*AT, 3.6), tail], [word])


def of_area(ring_: FloatArray) -> Fills:
    area = np.array([shapely.Polygon(ring_ + np.array(AT))])
    return Fills(area, np.zeros((1, 3)), np.ones(1), np.full(1, -1), np.zeros(1, np.int64))


def test_a_letter_that_is_an_area_is_a_mark() -> None:
    """It was lost in silence: only strokes were marks."""
    j = np.array([[0.3, -2.5], [1, -2.5], [1, 1.6], [0, 2.5], [-1.4, 1.6], [-0.9, 1.2], [0, 1.8], [0.3, 1.4]])
    (item,) = told(ring(*AT, R), fills=of_area(j))
    assert item.at == (pytest.approx(AT, abs=0.3),)
    broad = np.array([[-2.6, -2.6], [-1.2, -2.6], [1.2, 1], [1.2, -2.6], [2.6, -2.6], [2.6, 2.6], [1.2, 2.6],
                      [-1.2, -1], [-1.2, 2.6], [-2.6, 2.6]]) * R / 4.2  # fmt: skip
    assert len(told(ring(*AT, R), fills=of_area(broad))) == 1  # its corners reach the rim
    whole = np.array([(math.cos(a), math.sin(a)) for a in np.linspace(0, 2 * math.pi, 30)]) * R
    assert not told(ring(*AT, R), fills=of_area(whole))  # a solid column


BARS = [(-1.6, 0.4, 1.6, 0.4), (-1.6, -0.4, 1.6, -0.4)]


@pytest.mark.parametrize("radius", [10.5, 19.0, 39.0])
@pytest.mark.parametrize("shape", [BARS, SHAPES["a line through it"]])
def test_large_circles_are_told_in_a_note(shape: list[tuple[float, ...]], radius: float) -> None:
    """Basins and marks of sections, as a rule; the outlets of a print of twice the size were lost in silence."""
    xy = np.r_[drawn(shape, 30, radius, 36), drawn(shape, 60, radius, 36, (300.0, 300.0)), duplex(100, 100)]
    done = spot(sheet([xy], None, None), Mapping("m.yaml", Drawing(), (PLAIN,)), SCALE)
    assert [note[:10] for note in done.assumptions if "larger than devices" in note] == ["2 circles "]
    assert not done.unexplained


NORTH = np.array([[0, -2.1, -0.6, 1], [-0.6, 1, 0, 0.5], [0, 0.5, 0, -2.1], [0, -0.2, 0, 0.5], [-0.5, 0, 0.5, 0]])


def noted(xy: FloatArray, texts: list[Word]) -> list[str]:
    done = spot(sheet([xy, duplex(100, 100)], texts), Mapping("m.yaml", Drawing(), (PLAIN,)), SCALE)
    assert not any("circle" in item.what for item in done.unexplained)
    return [note for note in done.assumptions if "larger than devices" in note]


def with_title(radius: float, line: FloatArray, said: str) -> tuple[FloatArray, list[Word]]:
    """A letter in a circle, and a line that runs from it under a text."""
    xy = np.r_[ring(*AT, radius, 36), line * radius + np.r_[AT, AT]]
    return xy, [inside("A", AT), inside(said, (AT[0] + 4 * radius, AT[1] - 6))]


def test_the_north_arrow_is_no_circle_to_be_told_of() -> None:
    """It was told of on every sheet; not so a circle with another letter, two of them, or a device's label."""
    x, y = AT
    xy, letter = drawn([tuple(each) for each in NORTH], 0, 22.0, 36), inside("N", (x, y - 40))
    again = drawn([tuple(each) for each in NORTH], 0, 22.0, 36, (x + 120, y))
    assert noted(xy, [letter]) == []
    assert len(noted(xy, [])) == len(noted(xy, [inside("M", (x, y - 40))])) == 1
    assert noted(np.r_[xy, again], [letter, inside("N", (x + 120, y - 40))])[0].startswith("2 circles")
    assert len(noted(xy, [letter, inside("A-3", (x + 30, y))])) == 1


@pytest.mark.parametrize("said", ["PLAN", "SCALE:"])
def test_the_bubble_of_a_title_is_no_circle_to_be_told_of(said: str) -> None:
    assert noted(*with_title(17.0, np.array([[1.0, 0, 9, 0]]), said)) == []


@pytest.mark.parametrize(
    ("line", "said"),
    [([1.0, 0, 9, 0], "KITCHEN"), ([1.0, 0, 3, 0], "PLAN"), ([-9.0, 1, 9, 1], "PLAN"), ([-9.0, 0, 9, 0], "PLAN")],
    ids=["no title", "a stem", "on a wall", "a wall through it"],
)
def test_a_large_circle_with_a_mark_at_another_line_is_told(line: list[float], said: str) -> None:
    assert len(noted(*with_title(17.0, np.array([line]), said))) == 1


def test_too_many_circles_are_told_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("cordpath.symbols.unexplained.circles.MOST", 3)
    many = np.concatenate([drawn(SHAPES["a cross"], 0, R, 24, (200.0 + 20 * k, 200.0)) for k in range(4)])
    assert any("4 circles" in item.what and "too many" in item.what for item in told(many))


@pytest.mark.parametrize("stubs", [[(0.94, 0.33, 1.5, 0.33), (0.94, -0.33, 1.5, -0.33)],
                                   [(s * 0.94, y, s * 1.4, y) for s in (-1, 1) for y in (-0.33, 0.33)]],
                         ids=["at one side", "at both"])  # fmt: skip
@pytest.mark.parametrize("turn", [0.0, 217.0])
def test_a_circle_with_two_short_stubs_is_told_though_it_is_drawn_once(
    stubs: list[tuple[float, ...]], turn: float
) -> None:
    """Stubs of half a radius were too short for bars: the outlet was lost in silence."""
    (item,) = told(np.round(drawn(stubs, turn, R, 24) / 0.12) * 0.12)
    assert item.at == (pytest.approx(AT, abs=0.3),) and "with bars" in item.what


@pytest.mark.parametrize("sides", [4, 6])
@pytest.mark.parametrize("turn", [0.0, 30.0])
def test_a_square_or_a_hexagon_with_two_bars_is_told_though_it_is_drawn_once(sides: int, turn: float) -> None:
    """Receptacles of another office that are no circle were lost in silence until they were drawn three times."""
    body = [tuple(row) for row in ring(0, 0, 1.0, sides).tolist()]
    bars = [(x, -1.6, x, 1.6) for x in (-0.35, 0.35)]
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    xy = np.array([*body, *bars]) * 6.0
    (item,) = told((xy.reshape(-1, 2) @ np.array([[c, s], [-s, c]]) + AT).reshape(-1, 4))
    assert item.what == "a shape with a line or a mark, drawn once, that the mapping file does not name"
    assert item.at == (pytest.approx(AT, abs=0.5),)


def test_a_small_window_is_no_body_with_bars() -> None:
    frame = [(-13.5, y, 13.5, y) for y in (-4.5, -1.4, 1.4, 4.5)] + [(x, -4.5, x, 4.5) for x in (-13.5, 13.5)]
    assert told(np.array(frame) + np.tile(AT, 2)) == []

"""Boxes and other closed outlines with a letter, a line or a mark that no entry names: told; bare ones are not."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely

from cordpath.model import Fills, FloatArray, Point, Unexplained
from symbols.test_marked_circles import inside, told

PLACES: list[Point] = [(200.0, 200.0), (300.0, 260.0), (400.0, 230.0)]
Lines = list[tuple[float, float, float, float]]
SLASH: Lines = [(-3, 3, 2, -4)]


def box(half: float, high: float) -> Lines:
    return [
        (-half, -high, half, -high),
        (half, -high, half, high),
        (half, high, -half, high),
        (-half, high, -half, -high),
    ]


def drawn(shape: Lines, times: int, turn: float = 0.0) -> FloatArray:
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    ends = np.array(shape, float).reshape(-1, 2) @ np.array([[c, s], [-s, c]])
    return np.concatenate([(ends + at).reshape(-1, 4) for at in PLACES[:times]])


def places(items: list[Unexplained]) -> list[Point]:
    return sorted((round(x), round(y)) for item in items for x, y in item.at)


@pytest.mark.parametrize("turn", [0.0, 30.0])
@pytest.mark.parametrize("times", [1, 2, 3])
def test_a_box_with_a_loose_slash_is_told(times: int, turn: float) -> None:
    """Switches that cut off a circuit were plain rectangles, and lost in silence however often they were drawn."""
    items = told(drawn([*box(5, 7), *SLASH], times, turn))
    assert places(items) == PLACES[:times]
    assert ("with a line or a mark" in items[0].what) == (times < 3)


@pytest.mark.parametrize("stem", [(0, -5, 0, -11), (5, 0.5, 10, 0.5)])
def test_a_box_on_a_stem_that_is_repeated_is_told(stem: tuple[float, ...]) -> None:
    """It was taken for the end of a wall, of which a line runs on."""
    (item,) = told(drawn([*box(5, 5), stem], 3))
    assert item.count == 3


@pytest.mark.parametrize("shape", [
    box(5, 5),
    [*box(5, 7), (-3, 0, 3, 0)],  # a pane
    [*box(5, 7), (-3, 3, -1, 0), (0, 0, 2, -4)],  # a broken line
    [*box(5, 5), (-5, -5, -11, -5)],  # a side that runs on
    [*box(5, 5), (4, -5, 4, -11)],  # at its corner
])  # fmt: skip
def test_other_boxes_are_not_told(shape: Lines) -> None:
    assert told(drawn(shape, 3)) == []


@pytest.mark.parametrize("times", [1, 2])
def test_a_box_with_a_letter_is_told_though_it_is_drawn_once(times: int) -> None:
    (item,) = told(drawn(box(5.5, 5.5), times), [inside("J", at) for at in PLACES[:times]])
    assert "a shape with the letters 'J', drawn" in item.what and item.count == times and not item.minor


def test_boxes_with_letters_that_differ_are_tags_and_those_with_a_number_nothing() -> None:
    shapes = np.concatenate([drawn(box(5 + k, 5 + k), 3)[4 * k : 4 * k + 4] for k in range(3)])
    (item,) = told(shapes, [inside(letter, at) for letter, at in zip("ABC", PLACES, strict=True)])
    assert item.minor and item.count == 3
    assert told(shapes, [inside(digit, at) for digit, at in zip("123", PLACES, strict=True)]) == []


SIX = [(6 * math.cos(k * math.pi / 3), 6 * math.sin(k * math.pi / 3)) for k in range(7)]
HEXAGON: Lines = [(*one, *two) for one, two in pairwise(SIX)]
WIRE: Lines = [(3 + 4 * k, 5.2 + k * k / 3, 7 + 4 * k, 5.2 + (k + 1) ** 2 / 3) for k in range(12)]
STEM: Lines = [(0, -5, 0, -10)]
DIAGONAL: Lines = [(-5, -5, 5, 5)]


@pytest.mark.parametrize("wired", [False, True])
@pytest.mark.parametrize("times", [1, 2])
@pytest.mark.parametrize("shape", [
    [*box(5, 5), *DIAGONAL, *STEM],
    [*box(5, 5), *DIAGONAL, (-5, 5, 5, -5)],
    [*box(5, 5), *STEM],
    [*box(5, 5), *box(3, 3)],
    [*HEXAGON, (0, -9, 0, 9)],
    [*HEXAGON, (-2, -9, -2, 9), (2, -9, 2, 9)],
])  # fmt: skip
def test_a_closed_outline_with_a_line_or_a_mark_is_told_though_it_is_drawn_once(
    shape: Lines, times: int, wired: bool
) -> None:
    """A wire that ended on it made a larger thing of both, and of what was drawn once or twice nothing was said."""
    (item,) = told(drawn([*shape, *(WIRE if wired else [])], times))
    assert item.count == times and not item.minor
    assert all(math.dist(one, two) < 1 for one, two in zip(sorted(item.at), PLACES, strict=False))


@pytest.mark.parametrize(("corners", "count"), [
    ([(195, 195), (205, 205), (195, 205)], 1),
    ([(195, 195), (205, 195), (205, 205), (195, 205)], 0),  # a post
])  # fmt: skip
def test_a_half_filled_box_is_told(corners: list[Point], count: int) -> None:
    shapes = np.array([shapely.Polygon(corners)], object)
    fills = Fills(shapes, np.zeros((1, 3)), np.ones(1), np.full(1, -1), np.zeros(1, np.int64))
    items = told(drawn(box(5, 5), 1), fills=fills)
    assert ["a shape with a line or a mark, drawn once" in item.what for item in items] == [True] * count


@pytest.mark.parametrize("shape", [
    [(-4, 0, 4, -3), (4, -3, 4, 3), (4, 3, -4, 0), *((4 + 4 * k, 0, 8 + 4 * k, k) for k in range(9))],  # a head
    [*box(3, 3), *((-x, y, x, y) for x, y in ((40, -3), (40, 3), (40, 0)))],  # the post of a window
    [*box(9, 4), (0, -4, 0, 4)],  # a sash
])  # fmt: skip
def test_what_other_closed_outlines_are_is_not_told(shape: Lines) -> None:
    assert told(drawn(shape, 1)) == []


HALF: Lines = [
    (5 * math.cos(a), 2 - 5 * math.sin(a), 5 * math.cos(b), 2 - 5 * math.sin(b))
    for a, b in pairwise([k * math.pi / 12 for k in range(13)])
]
FLAT: Lines = [(1.4 * x0, 0.8 * y0, 1.4 * x1, 0.8 * y1) for x0, y0, x1, y1 in HALF]
FIVE: Lines = [
    (6 * math.sin(a), -6 * math.cos(a), 6 * math.sin(b), -6 * math.cos(b))
    for a, b in pairwise([k * 2 * math.pi / 5 for k in range(6)])
]
DIAMOND: Lines = [(0, -5, 9, 0), (9, 0, 0, 5), (0, 5, -9, 0), (-9, 0, 0, -5)]
TICKS: Lines = [(0, -5, 0, -8), (0, 5, 0, 8), (9, 0, 12, 0), (-9, 0, -12, 0)]


@pytest.mark.parametrize("turn", [0.0, 33.0, 90.0])
@pytest.mark.parametrize("shape", [
    [*HALF, (-5, 2, 5, 2), (0, -3, 0, -8)],
    [*FLAT, (-7, 1.6, 7, 1.6), (0, -2.4, 0, -8)],
    [*HALF, (-5, 2, 5, 2), (-1.5, -2.77, -1.5, -9), (1.5, -2.77, 1.5, -9)],
    [*FIVE, (0, -6, 0, -11)],
    [*FIVE, (-2, 1, 2, -2)],
    [*DIAMOND, (0, -5, 0, -10)],
    [*DIAMOND, *TICKS],
    [*HEXAGON, (-2, -4, 2, 4)],
    [*HEXAGON, (-4, -3.46, 4, 3.46)],
    [*box(5, 5), (0, 5, 0, 1.5)],
])  # fmt: skip
def test_a_body_of_any_form_is_told_where_something_is_in_or_at_it(shape: Lines, turn: float) -> None:
    """Only what lies about the middle of its box, as far out as its narrower side, was told: half circles
    and boxes on a corner were lost in silence."""
    (item,) = told(drawn(shape, 1, turn))
    assert item.count == 1 and math.dist(item.at[0], PLACES[0]) < 3


@pytest.mark.parametrize("shape", [
    [*HALF, (-5, 2, 5, 2)],
    FIVE,
    [*DIAMOND, (9, 0, 30, 20)],  # a leader
    [*box(5, 5), (5, -5, 5, -9)],  # a side that runs on
])  # fmt: skip
def test_a_bare_body_of_any_form_is_not_told(shape: Lines) -> None:
    assert told(drawn(shape, 1, 33.0)) == []


def test_a_small_triangle_with_a_letter_is_told() -> None:
    (item,) = told(drawn([(0, -5, 4.5, 3), (4.5, 3, -4.5, 3), (-4.5, 3, 0, -5)], 1), [inside("T", (200, 200))])
    assert "'T'" in item.what


def test_shapes_with_letters_that_differ_are_tags() -> None:
    """A row for each letter that stood twice."""
    shapes = np.concatenate([drawn(HEXAGON, 3), drawn(HEXAGON, 3) + 60])
    at = [*PLACES, *((x + 60, y + 60) for x, y in PLACES)]
    (item,) = told(shapes, [inside(letter, place) for letter, place in zip("ABCABC", at, strict=True)])
    assert item.minor and item.count == 6

"""Boxes with a letter or a loose slash, and boxes on a stem, that no entry names: told, and bare ones are not."""

from __future__ import annotations

import math

import numpy as np
import pytest

from cordpath.model import FloatArray, Point, Unexplained
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
    assert ("a box with a slash" in items[0].what) == (times < 3)


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
    assert "a box with the letters 'J', drawn" in item.what and item.count == times and not item.minor


def test_boxes_with_letters_that_differ_are_tags_and_those_with_a_number_nothing() -> None:
    shapes = np.concatenate([drawn(box(5 + k, 5 + k), 3)[4 * k : 4 * k + 4] for k in range(3)])
    (item,) = told(shapes, [inside(letter, at) for letter, at in zip("ABC", PLACES, strict=True)])
    assert item.minor and item.count == 3
    assert told(shapes, [inside(digit, at) for digit, at in zip("123", PLACES, strict=True)]) == []

"""Small circles in a row that a sheet draws over and over are a texture, and no marks of the symbols they cross."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.geometry import Similarity
from cordpath.model import CircleMark
from cordpath.symbols import spot
from cordpath.symbols.ink.normalise import normalise
from symbols.test_spot import DUPLEX, at, entry, names, rules, sheet_of, strokes_of

PLAIN = rules(entry("duplex", DUPLEX))
RADIUS = 2.0  # pt


def string(
    x: float, y: float, beads: int = 3, gap: float = 4.0, angle: float = 0.0, grid: float = 0.0
) -> np.ndarray:
    """Beads in a row about (x, y), as strokes."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    along = gap * (np.arange(beads) - (beads - 1) / 2)
    circle = (CircleMark((0, 0), RADIUS / 72),)
    each = [strokes_of(circle, at(x + c * a, y + s * a), sides=16, grid=grid) for a in along]
    return np.concatenate(each)


def elsewhere(count: int) -> list[np.ndarray]:
    return [string(300.0, 40.0 + 20.0 * k) for k in range(count)]


def found(xy: list[np.ndarray]) -> list[str]:
    return names(spot(sheet_of([strokes_of(DUPLEX, at(100, 100)), *xy]), PLAIN, ()))


@pytest.mark.parametrize("angle", [0.0, 40.0, 90.0])
@pytest.mark.parametrize("place", [(97.0, 103.0), (103.5, 97.5), (95.5, 99.0), (101.44, 100.94)])
def test_a_texture_over_an_outlet_is_no_mark_of_it(place: tuple[float, float], angle: float) -> None:
    assert found([string(*place, angle=angle), *elsewhere(4)]) == ["duplex"]


@pytest.mark.parametrize("count", [0, 2])
def test_beads_that_are_hardly_drawn_elsewhere_may_be_a_mark(count: int) -> None:
    assert not found([string(97.0, 103.0), *elsewhere(count)])


def test_beads_of_another_form_are_no_sign_of_a_texture() -> None:
    other = [string(300.0, 40.0 + 20.0 * k, beads=4) for k in range(5)]
    assert not found([string(97.0, 103.0), *other])


def test_beads_about_the_middle_may_be_a_mark_whatever_is_drawn_elsewhere() -> None:
    assert not found([string(100.0, 100.0), *elsewhere(5)])


@pytest.mark.parametrize("turn", [0.0, 90.0, 200.0])
def test_beads_at_the_same_place_of_two_outlets_are_a_mark(turn: float) -> None:
    """Though the same are drawn alone as well: another outlet, that the mapping file does not name."""
    mark = string(97.0, 103.0)
    again = Similarity(1.0, turn, False, (200.0, 100.0)).apply((mark - 100).reshape(-1, 2)).reshape(-1, 4)
    xy = [mark, strokes_of(DUPLEX, at(200, 100, turn)), again, *elsewhere(5)]
    assert not found(xy)


def test_beads_that_lie_otherwise_on_another_outlet_are_no_mark_of_it() -> None:
    """Their middle is as far from that one's circle, by chance, and their ends are not."""
    xy = [string(97.0, 103.0), strokes_of(DUPLEX, at(200, 100)), string(203.0, 97.0, angle=-45.0), *elsewhere(5)]
    assert found(xy) == ["duplex", "duplex"]


@given(
    beads=st.integers(3, 6), gap=st.floats(2.5, 4.0), angle=st.floats(0, 180), x=st.floats(0, 9), y=st.floats(0, 9)
)
@settings(max_examples=30, deadline=None)
def test_strings_are_found_at_any_angle_on_a_plotters_grid(
    beads: int, gap: float, angle: float, x: float, y: float
) -> None:
    xy = string(50 + x, 50 + y, beads, gap, angle, grid=0.12)
    ink = normalise(xy, np.full(len(xy), -1), np.ones(len(xy), bool), np.zeros((0, 4)))
    assert len(ink.beads.form) <= 1
    if len(ink.beads.form):  # circles that share corners on the grid may not be told apart
        count, radius, step = ink.beads.form[0]
        assert count <= beads and abs(radius - RADIUS) < 0.15 and abs(step - gap) < 0.2
        assert ink.beads.alone.all()


def test_a_string_on_a_larger_circle_is_not_alone() -> None:
    body = strokes_of((CircleMark((0, 0), 6 / 72),), at(52, 53))
    xy = np.concatenate([string(50, 50), body, string(90, 50)])
    ink = normalise(xy, np.full(len(xy), -1), np.ones(len(xy), bool), np.zeros((0, 4)))
    assert ink.beads.alone.tolist() == [bool(x > 70) for x, _ in ink.beads.middle] and len(ink.beads.form) == 2

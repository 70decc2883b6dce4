"""Drawings that are the same, whichever way they are turned."""

from __future__ import annotations

import math
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import CircleMark, LineMark, Mark, PolylineMark, TextMark
from cordpath.symbols.examples.likeness import alike, pairs_alike, same_lines

SIZES = st.sampled_from([0.05, 0.0505, 0.06, 0.075, 0.1])
DRAWINGS = st.lists(
    st.one_of(
        SIZES.map(lambda r: (CircleMark((0, 0), r),)),
        SIZES.map(lambda r: (CircleMark((0, 0), r), TextMark("J", (0, 0)))),
        SIZES.map(lambda r: (CircleMark((0, 0), r), LineMark((-2 * r, 0), (2 * r, 0)))),
        st.just((TextMark("S", (0, 0)),)),
    ),
    max_size=12,
)


@settings(max_examples=50, deadline=None)
@given(drawings=DRAWINGS)
def test_pairs_are_those_that_comparing_each_with_each_finds(drawings: list[tuple[Mark, ...]]) -> None:
    each = [pair for pair in combinations(range(len(drawings)), 2) if alike(*(drawings[k] for k in pair))]
    assert pairs_alike(drawings) == each


def test_what_is_filled_is_not_like_what_is_not() -> None:
    """A circle with a cross and one with a filled triangle have about the same ink about the same middle."""
    circle = CircleMark((0, 0), 0.07)
    triangle = ((0.0, -0.055), (0.048, 0.028), (-0.048, 0.028))
    hollow, filled = PolylineMark(triangle, True), PolylineMark(triangle, True, True)
    assert alike((circle, hollow), (circle, hollow)) and not alike((circle, hollow), (circle, filled))
    assert pairs_alike([(circle, hollow), (circle, filled), (circle, filled)]) == [(1, 2)]


def square(*more: tuple[float, float, float, float]) -> tuple[LineMark, ...]:
    """With two stems that lead out of it, and more lines."""
    w = 0.07
    lines = [(-w, -w, w, -w), (w, -w, w, w), (w, w, -w, w), (-w, w, -w, -w)]
    lines += [(-0.025, -0.13, -0.025, w), (0.025, -0.13, 0.025, w), *more]
    return tuple(LineMark(line[:2], line[2:]) for line in lines)


def posed(marks: tuple[LineMark, ...], degrees: float, mirror: int) -> tuple[LineMark, ...]:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def at(x: float, y: float) -> tuple[float, float]:
        return (c * mirror * x - s * y + 0.3, s * mirror * x + c * y)

    return tuple(LineMark(at(*mark.start), at(*mark.end)) for mark in marks)


@pytest.mark.parametrize(("degrees", "mirror"), [(0.0, 1), (90.0, 1), (37.5, -1), (218.0, 1)])
def test_drawings_of_one_profile_are_one_only_if_their_lines_are(degrees: float, mirror: int) -> None:
    """Of a bar across and a third stem it was said that nothing can tell the two apart."""
    across, along = square((-0.07, 0.03, 0.07, 0.03)), square((0.0, -0.13, 0.0, 0.07))
    assert alike(across, along) and not same_lines(across, posed(along, degrees, mirror))
    assert same_lines(across, posed(across, degrees, mirror)) and same_lines(along, posed(along, degrees, mirror))

"""Drawings that are the same, whichever way they are turned."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import CircleMark, LineMark, Mark, PolylineMark, TextMark
from cordpath.symbols.examples.likeness import alike, pairs_alike

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

"""Outlets with something drawn across or all around them that the mapping file does not draw: another design."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from cordpath.model import CircleMark, FloatArray, LineMark
from cordpath.symbols import spot
from symbols.test_spot import at, sheet_of, strokes_of
from symbols.test_twins import entry, rules

R = 6 / 72
BARS = (CircleMark((0, 0), R), *(LineMark((x / 72, -9 / 72), (x / 72, 9 / 72)) for x in (-2, 2)))
RING = (CircleMark((0, 0), 1.35 * R),)


def box(half: float, x: float = 0.0) -> tuple[LineMark, ...]:
    corners = [(x + a * half * R, b * half * R) for a, b in ((-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1))]
    return tuple(LineMark(a, b) for a, b in pairwise(corners))


def hexagon(half: float) -> tuple[LineMark, ...]:
    turns = [k * math.pi / 3 for k in range(7)]
    corners = [(half * R * math.cos(a), half * R * math.sin(a)) for a in turns]
    return tuple(LineMark(a, b) for a, b in pairwise(corners))


def found(*more: LineMark | CircleMark, turn: float = 0.0, others: FloatArray | None = None) -> bool:
    xy = [strokes_of((*BARS, *more), at(100, 100, turn))]
    (symbol,) = spot(
        sheet_of([*xy, *([] if others is None else [others])]), rules(entry("duplex", BARS)), ()
    ).symbols
    return symbol.found


@pytest.mark.parametrize("turn", [0.0, 90.0, 33.0])
@pytest.mark.parametrize("frame", [RING, box(1.6), hexagon(1.8)])
def test_a_frame_around_an_outlet_makes_another_of_it(frame: tuple[LineMark, ...], turn: float) -> None:
    """A floor outlet in its box was the plain one for certain, as nothing lay in the body."""
    assert found(turn=turn) and not found(*frame, turn=turn)
    both = rules(entry("duplex", BARS), entry("floor", (*BARS, *frame)))
    (symbol,) = spot(sheet_of([strokes_of((*BARS, *frame), at(100, 100, turn))]), both, ()).symbols
    assert symbol.found and symbol.entry.name == "floor", "its frame is its own where the mapping file has it"


def test_what_is_open_or_far_or_beside_it_is_no_frame() -> None:
    assert found(*box(1.6)[:3]), "a niche that is open on one side"
    assert found(*box(3.0)), "a cupboard"
    assert found(*box(1.6, 2.5 * R)), "a box beside it"
    assert found(others=strokes_of(box(20), at(100, 95))), "a room"


@pytest.mark.parametrize("angle", [90.0, 45.0, -45.0])
def test_a_bar_or_a_slash_across_the_bars_makes_another_of_it(angle: float) -> None:
    """It reaches out of the body, which is narrower than the bars are long, and so was no mark in it: an outlet
    with a third bar across its two was the plain one for certain."""
    way = (1.5 * R * math.cos(math.radians(angle)), 1.5 * R * math.sin(math.radians(angle)))
    assert not found(LineMark((-way[0], -way[1]), way))
    assert found(LineMark((-9 * way[0], -9 * way[1]), (9 * way[0], 9 * way[1]))), "a wall or a wire that passes"
    assert found(others=np.array([[92.0, 104.5, 118, 104.5]])), "the end of a counter"


@pytest.mark.parametrize("half", [1.0, 1.4])
def test_a_line_wholly_inside_makes_another_of_a_large_outlet_as_well(half: float) -> None:
    """In a body of more than ten points and five lines it was taken for somebody's note: a box crossed twice was
    the box crossed once for certain."""
    q = half * R
    slashed = (*box(half), LineMark((-q, -q), (q, q)), LineMark((0, -q), (0, -1.9 * q)))
    crossed = (*slashed, LineMark((-q, q), (q, -q)))
    for drawn, sure in ((slashed, True), (crossed, False)):
        (symbol,) = spot(sheet_of([strokes_of(drawn, at(100, 100))]), rules(entry("slashed", slashed)), ()).symbols
        assert symbol.found == sure

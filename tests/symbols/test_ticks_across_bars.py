"""Outlets that a tick across one of their bars tells apart, and ticks of dimension lines in its place."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from cordpath.model import CircleMark, LineMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, names, rules, sheet_of, strokes_of

PT = 1 / 72
BARS = (CircleMark((0, 0), 6 * PT), *(LineMark((-9 * PT, y * PT), (9 * PT, y * PT)) for y in (-2, 2)))
TICK = 3.4  # pt


def tick(x: float, y: float, angle: float) -> LineMark:
    dx, dy = (TICK / 2 * f(math.radians(angle)) for f in (math.cos, math.sin))
    return LineMark(((x - dx) * PT, (y - dy) * PT), ((x + dx) * PT, (y + dy) * PT))


@pytest.mark.parametrize("angle", [45.0, 90.0])
def test_a_tick_across_a_bar_is_a_mark_however_short(angle: float) -> None:
    """All of it lies within a hair of the bar, so that the plain outlet was as good a name."""
    ticked = (*BARS, tick(7.5, 2.0, angle))
    both = rules(entry("duplex", BARS), entry("ticked", ticked, protection="device"))
    xy = [strokes_of(ticked, at(100, 100, 30)), strokes_of(BARS, at(150, 100, 30))]
    assert names(spot(sheet_of(xy), both, ())) == ["duplex", "ticked"]


@pytest.mark.parametrize("place", [(9.0, 3.5), (10.5, 3.5), (10.5, 2.0)])
def test_the_tick_of_a_dimension_line_is_no_mark_of_an_outlet(place: tuple[float, float]) -> None:
    x, y = place
    both = rules(entry("duplex", BARS), entry("ticked", (*BARS, tick(x, y, 45.0)), protection="device"))
    line = LineMark((x * PT, y * PT), ((x + 40) * PT, y * PT))
    dimension = strokes_of((tick(x, y, 45.0), tick(x + 40, y, 45.0), line), at(100, 100))
    (symbol,) = spot(sheet_of([strokes_of(BARS, at(100, 100)), np.asarray(dimension)]), both, ()).symbols
    assert not symbol.found and {symbol.entry.name, *symbol.rivals} == {"duplex", "ticked"}


def test_a_tick_in_a_chain_of_dimensions_is_no_mark_of_an_outlet() -> None:
    """Only those at its ends were known: a plain outlet that a chain measures to was the ticked one for certain."""
    slash = LineMark((-3 * PT, -3 * PT), (3 * PT, 3 * PT))
    both = rules(entry("duplex", BARS), entry("ticked", (*BARS, slash), protection="device"))
    ends = [LineMark(((x - 3) * PT, -3 * PT), ((x + 3) * PT, 3 * PT)) for x in (-80, 0, 60)]
    chain = strokes_of((*ends, LineMark((-80 * PT, 0), (0, 0)), LineMark((0, 0), (60 * PT, 0))), at(100, 100))
    (symbol,) = spot(sheet_of([strokes_of(BARS, at(100, 100)), chain]), both, ()).symbols
    assert not symbol.found and {symbol.entry.name, *symbol.rivals} == {"duplex", "ticked"}


@pytest.mark.parametrize(("start", "end"), [(0.0, 40.0), (-30.0, 35.0)])
def test_a_single_tick_of_a_line_that_ends_on_it_or_in_the_air_is_asked_about(start: float, end: float) -> None:
    """A dimension line that is broken at its figure has one tick: a plain outlet was the slashed one, for sure."""
    slash = LineMark((-3 * PT, -3 * PT), (3 * PT, 3 * PT))
    both = rules(entry("duplex", BARS), entry("slashed", (*BARS, slash), protection="device"))
    dimension = strokes_of((slash, LineMark((start * PT, 0), (end * PT, 0))), at(100, 100))
    (symbol,) = spot(sheet_of([strokes_of(BARS, at(100, 100)), dimension]), both, ()).symbols
    assert not symbol.found and {symbol.entry.name, *symbol.rivals} == {"duplex", "slashed"}


def test_a_slash_through_which_the_face_of_a_wall_passes_is_the_symbols_own() -> None:
    slashed = (*BARS, LineMark((-3 * PT, -3 * PT), (3 * PT, 3 * PT)))
    both = rules(entry("duplex", BARS), entry("slashed", slashed, protection="device"))
    corners = [(-80, 0), (90, 0), (90, 9), (-80, 9), (-80, 0)]
    wall = tuple(LineMark((a * PT, b * PT), (e * PT, g * PT)) for (a, b), (e, g) in pairwise(corners))
    sheet = sheet_of([strokes_of(slashed, at(100, 100)), strokes_of(wall, at(100, 100))])
    (symbol,) = spot(sheet, both, ()).symbols
    assert symbol.found and symbol.entry.name == "slashed" and not symbol.rivals


def test_stems_side_by_side_on_one_line_are_no_ticks_of_it() -> None:
    """A line has one tick at a place: the stems of a range outlet over a cabinet's edge made a light of it."""
    circle = CircleMark((0, 0), 4 * PT)
    stems = (circle, *(LineMark((4 * PT, y * PT), (9.5 * PT, y * PT)) for y in (-1.8, 0, 1.8)))
    both = rules(entry("range", stems, volts=240), entry("light", (circle,), kind="light"))
    edge = strokes_of((LineMark((6.8 * PT, -60 * PT), (6.8 * PT, 50 * PT)),), at(100, 100))
    (symbol,) = spot(sheet_of([strokes_of(stems, at(100, 100)), edge]), both, ()).symbols
    assert symbol.found and symbol.entry.name == "range" and not symbol.rivals

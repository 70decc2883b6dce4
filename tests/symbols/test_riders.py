"""Outlets over an appliance are no part of its design in a starter file.  Drawings: common practice, no source.

Taken into it, they are explained by the appliance wherever it is drawn, and lost in silence.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import (
    CircleMark,
    Drawing,
    FloatArray,
    LineMark,
    Mapping,
    Mark,
    PolylineMark,
    Scale,
    SymbolEntry,
    TextMark,
    Word,
)
from cordpath.symbols import spot
from cordpath.symbols.learning.samples import plan_samples
from drawn_page import frame, ring, sheet, words
from symbols.test_twins import painted

INCH = 72.0 / 48.0
SCALE = (Scale("v1", 48.0, "note", "", "single"),)
BLANK = Mapping("", Drawing(), ())


def box(wide: float, deep: float) -> FloatArray:
    """Sides in inches of the building, its back at y = 200."""
    return frame(200 - wide * INCH / 2, 200.0, 200 + wide * INCH / 2, 200 + deep * INCH)


def outlet(x: float, stems: tuple[float, ...] = (-2.0, 2.0)) -> FloatArray:
    """A circle off the wall, with lines to the wall behind the appliance."""
    return np.r_[ring(x, 207.7, 4.5), [[x + dx, 198.0, x + dx, 207.7 - np.sqrt(20.25 - dx * dx)] for dx in stems]]


def burners(radius: float = 4.0) -> list[FloatArray]:
    spots = [(188.75, 209.0), (211.25, 209.0), (188.75, 227.0), (211.25, 227.0)]
    return [ring(x, y, radius * INCH) for x, y in spots]


def marks_of(kind: str, *drawings: FloatArray, texts: list[Word] | None = None) -> tuple[Mark, ...]:
    page = sheet(list(drawings), texts)
    samples, _ = plan_samples(page, spot(page, BLANK, SCALE), SCALE)
    return next((each.marks for each in samples if each.fixture == kind), ())


def circles(marks: tuple[Mark, ...]) -> int:
    return sum(isinstance(mark, CircleMark) for mark in marks)


@pytest.mark.parametrize("stems", [(-2.0, 2.0), (0.0,), (-2.5, 0.0, 2.5)])
@pytest.mark.parametrize("x", [200.0, 207.0])
def test_an_outlet_over_a_dryer_is_no_part_of_it(stems: tuple[float, ...], x: float) -> None:
    marks = marks_of("dryer", box(27, 27), outlet(x, stems), texts=words("D", 198, 222))
    assert circles(marks) == 0
    assert [mark.value for mark in marks if isinstance(mark, TextMark)] == ["D"]


def test_a_letter_in_the_outlet_is_none_of_the_appliance() -> None:
    marks = marks_of("range", box(30, 25), *burners(), outlet(200, (0.0,)), texts=words("R", 198, 207.7))
    assert circles(marks) == 4
    assert not any(isinstance(mark, TextMark) for mark in marks)


def test_the_burners_remain() -> None:
    assert circles(marks_of("range", box(30, 25), *burners(), outlet(200))) == 4


def test_what_all_burners_have_is_the_ranges_own() -> None:
    grates = [np.array([[x - 8, y, x + 8, y]]) for x in (188.75, 211.25) for y in (209.0, 227.0)]
    assert circles(marks_of("range", box(30, 25), *burners(), *grates)) == 4


def test_a_drum_is_the_washers_own() -> None:
    assert circles(marks_of("washer", box(27, 27), ring(200, 220, 9 * INCH), texts=words("W", 198, 220))) == 1


def test_a_label_over_the_letters_is_none_of_them() -> None:
    texts = [*words("W", 198, 222), *words("GFI", 194, 223)]
    marks = marks_of("washer", box(27, 27), outlet(200), texts=texts)
    assert [mark.value for mark in marks if isinstance(mark, TextMark)] == ["W"]


def test_what_is_painted_in_the_outlet_is_no_mark_of_the_dryer() -> None:
    wedge = shapely.Polygon([(197.5, 209.5), (202.5, 209.5), (200.0, 205.0)])
    page = sheet([box(27, 27), outlet(200)], words("D", 198, 222), fills=painted(wedge))
    samples, _ = plan_samples(page, spot(page, BLANK, SCALE), SCALE)
    (dryer,) = (each for each in samples if each.fixture == "dryer")
    assert not any(isinstance(mark, PolylineMark) for mark in dryer.marks)


def tub(*drawings: FloatArray) -> tuple[Mark, ...]:
    bowl = frame(200 - 26 * INCH, 200 + 4 * INCH, 200 + 26 * INCH, 200 + 28 * INCH)
    return marks_of("bathtub", box(60, 32), bowl, ring(200 - 20 * INCH, 200 + 16 * INCH, 1.5 * INCH), *drawings)


@pytest.mark.parametrize("x", [180.0, 205.0])
def test_an_outlet_that_reaches_over_a_tubs_rim_is_no_part_of_it(x: float) -> None:
    assert circles(tub(outlet(x))) == 1  # the drain


def test_a_tap_at_the_drain_is_the_tubs_own() -> None:
    drain = 200 - 20 * INCH, 200 + 16 * INCH
    tap = np.array([[drain[0] - 4 * INCH, drain[1], drain[0] - 1.5 * INCH, drain[1]]])
    assert circles(tub(tap)) == 1


def test_an_outlet_that_is_only_asked_about_is_no_part_of_an_appliance() -> None:
    """A refrigerator learnt with a square outlet's lines explained them, and the outlet was lost in silence."""
    square = (LineMark((-0.07, -0.07), (0.07, -0.07)), LineMark((0.07, -0.07), (0.07, 0.07)),
              LineMark((0.07, 0.07), (-0.07, 0.07)), LineMark((-0.07, 0.07), (-0.07, -0.07)),
              LineMark((-0.025, -0.13), (-0.025, 0.07)), LineMark((0.025, -0.13), (0.025, 0.07)))  # fmt: skip
    drawn = 72 * np.array([[*mark.start, *mark.end] for mark in square]) + [200.0, 213.0, 200.0, 213.0]
    known = Mapping("m.yaml", Drawing(), (SymbolEntry("wall outlet", "receptacle", square),))
    page = sheet([box(40, 36), drawn], words("REF", 194, 240, 5))
    spotting = spot(page, known, SCALE)
    asked = tuple(replace(symbol, found=False) for symbol in spotting.symbols if symbol.is_outlet)
    assert len(asked) == 1
    spotting = replace(spotting, symbols=asked)
    (sample,) = [each for each in plan_samples(page, spotting, SCALE)[0] if each.fixture == "refrigerator"]
    assert Counter(type(mark).__name__ for mark in sample.marks)["LineMark"] == len(box(40, 36))


@pytest.mark.parametrize("corner", [214.0, 218.0])
def test_a_label_over_the_corner_of_an_appliance_leaves_it_its_four_sides(corner: float) -> None:
    """A tag in the corner cut sides of a dishwasher off, and the rest was found in 76 corners of one sheet."""
    wide, high, y = 9.0, 4.5, 200 + 24 * INCH - 1.0
    tag = [(corner - wide, y), (corner - 7, y - high), (corner + 7, y - high), (corner + wide, y)]
    tag += [(corner + 7, y + high), (corner - 7, y + high)]
    sides = np.array([[*a, *b] for a, b in zip(tag, [*tag[1:], tag[0]], strict=True)])
    marks = marks_of("dishwasher", box(24, 24), sides, texts=words("DW", 195, 220))
    long = [mark for mark in marks if isinstance(mark, LineMark) and math.dist(mark.start, mark.end) > 20]
    assert len(long) == 4


def test_a_door_that_swings_over_a_dryer_is_no_part_of_it() -> None:
    """Learnt with the arc and two of its four sides, a dryer was asked about in 97 corners of one sheet."""
    hinge, reach = (200 + 18 * INCH, 200 + 12 * INCH), 30 * INCH
    turn = np.radians(np.linspace(90, 180, 13))
    arc = np.c_[hinge[0] + reach * np.cos(turn), hinge[1] + reach * np.sin(turn)]
    swing = np.r_[np.c_[arc[:-1], arc[1:]], [[*hinge, *arc[-1]]]]
    marks = marks_of("dryer", box(27, 27), swing, texts=words("D", 194, 208))
    long = [mark for mark in marks if isinstance(mark, LineMark) and math.dist(mark.start, mark.end) > 20]
    assert len(long) == 4 and len(marks) == 5  # the letter


def test_a_washer_under_the_edge_of_a_counter_is_not_learnt_from_one_of_its_sides() -> None:
    """Its box is cut by the counter's edge, of the rest one side is its own: that was found in 22 places."""
    y = 200 + 5 * INCH
    counter = frame(150.0, y, 260.0, 200 + 28 * INCH)
    assert not marks_of("washer", box(27, 28), counter, texts=words("W", 194, 222))

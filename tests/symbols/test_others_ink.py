"""Ink of other things across a symbol: told by the whole of the thing, and never where it may be a mark."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.geometry import Similarity
from cordpath.model import CircleMark, LineMark, PolylineMark, TextMark
from cordpath.symbols import spot
from symbols.test_spot import DUPLEX, QUAD, R, at, entry, names, rules, sheet_of, strokes_of, word

PLAIN = rules(entry("duplex", DUPLEX))
ONE_LINE = (CircleMark((0, 0), R), LineMark((-0.125, 0.0), (0.125, 0.0)))
BOX = entry("junction box", (CircleMark((0, 0), R), TextMark("J", (0, 0))), "hardwired outlet")


def path(*points: tuple[float, float], closed: bool = False) -> np.ndarray:
    """Lines from point to point, about (100, 100)."""
    xy = np.array([*points, points[0]] if closed else points) + 100.0
    return np.c_[xy[:-1], xy[1:]]


def ticked(end: float, length: float, y: float = -0.6) -> list[np.ndarray]:
    """A dimension line that ends at ``end`` inside the body, with ticks at both its ends."""
    ticks = [path((x - 2, y + 2), (x + 2, y - 2)) for x in (end, end + length)]
    return [path((end, y), (end + length, y)), *ticks]


def found(xy: list[np.ndarray], words: tuple = (), angle: float = 0.0, mapping=PLAIN, shape=DUPLEX) -> list[str]:  # type: ignore[no-untyped-def]
    turn = Similarity(1.0, angle, False, (100.0, 100.0))
    xy = [strokes_of(shape, at(100, 100)), *xy]
    turned = [turn.apply((part - 100).reshape(-1, 2)).reshape(-1, 4) for part in xy]
    return names(spot(sheet_of(turned, words), mapping, ()))


RECTANGLE = path((-5.0, 0.6), (12.4, 0.6), (12.4, 24.0), (-5.0, 24.0), closed=True)
ASTRIDE = path((-0.1, -4.4), (-0.1, 4.0), (-13.5, 4.0), (-13.5, -4.4), closed=True)  # a side through the middle
ZIGZAG = path((2.2, 1.2), (-4.9, 0.9), (-4.6, 6.7), (-9.5, 12.9), (-4.0, 22.0), (3.0, 30.0), (11.0, 26.0))
PAST_MIDDLE = path((6.8, -3.0), (6.0, -0.2), (-3.9, 1.2), (-10.0, -1.4), (-12.7, -8.7), (-22.0, -1.8))
WITHIN = ((-3.6, -1.7), (3.0, -2.0), (-1.0, 3.0), (0.6, 0.4))  # from a bar, and ends in the circle
# One line of each lies along a mark, which is drawn without it; there the chain was cut.
RIM = path(
    (-20.7, 16.9), (-15.4, 5.9), (-11.2, 2.0), (-3.3, 2.8), (-4.2, 1.2), (6.2, -5.7), (-3.4, 4.5), (-5.5, 4.5)
)
BAR = path((3.0, -30.0), (-9.0, -20.0), (-2.0, -12.0), *WITHIN)


def beside(off: float) -> np.ndarray:
    """A rectangle with a side along the bars, so far off their axis."""
    left, right = off - 10.0, off + 10.0
    return path((left, 2.6), (right, 2.6), (right, -25.0), (left, -25.0), closed=True)


@pytest.mark.parametrize("angle", [0.0, 90.0, 31.0])
@pytest.mark.parametrize(
    "other",
    [[RECTANGLE], [ASTRIDE], [ZIGZAG], [PAST_MIDDLE], ticked(-1.3, 20.0), [RIM], [BAR], [beside(1.2)]],
    ids=["rectangle", "astride", "zigzag", "past the middle", "ticks", "along the rim", "along a bar", "beside"],
)
def test_what_leads_out_of_a_symbol_is_no_mark_of_it(other: list[np.ndarray], angle: float) -> None:
    assert found(other, angle=angle) == ["duplex"]


ARC = path((-7.0, -8.2), (-5.0, -6.6), (-1.6, -4.4), (2.2, -2.6), (6.2, -1.5), (10.2, -1.1), (14.6, -1.5))


@pytest.mark.parametrize("angle", [0.0, 90.0, 31.0])
def test_an_arc_that_begins_just_outside_the_rim_is_no_mark(angle: float) -> None:
    """As found on a sheet: about half of it lies in the circle, and both its ends do not."""
    big = entry("junction box", (CircleMark((0, 0), 6 / 72), TextMark("J", (0, 0))), "hardwired outlet")
    letter = (word("J", 100, 100, 7.0),)
    assert found([ARC], letter, angle, rules(big), big.shape) == ["junction box"]  # type: ignore[arg-type]


@pytest.mark.parametrize("shape", ["ends inside", "a slash", "a bow", "a bolt"])
def test_what_ends_in_a_lettered_circle_or_is_placed_as_a_mark_stays_a_doubt(shape: str) -> None:
    other = {
        "ends inside": ARC[2:],
        "a slash": path((-8.0, 8.0), (10.0, -10.0)),
        "a bolt": path((-3.0, -14.0), (3.5, -1.5), (-3.5, 1.5), (3.0, 14.0)),
        "a bow": path((-9.0, 0.0), (-4.0, -3.0), (0.0, -3.6), (4.0, -3.0), (9.0, 0.0)),
    }[shape]
    big = entry("junction box", (CircleMark((0, 0), 6 / 72), TextMark("J", (0, 0))), "hardwired outlet")
    assert not found([other], (word("J", 100, 100, 7.0),), 0.0, rules(big), big.shape)  # type: ignore[arg-type]


def test_a_tick_without_a_second_one_at_its_line_stays_a_doubt() -> None:
    line, inside, _ = ticked(-1.3, 20.0)
    assert not found([inside])
    assert not found([line, inside])


WIRE = path((7.2, -1.8), (20.0, -9.0), (38.0, -30.0))


@pytest.mark.parametrize(
    "others", [[path(*WITHIN)], [path((-7.2, -1.8), (-1.0, 3.0), (0.6, 0.4), (3.5, 3.0)), WIRE], [beside(0.0)]]
)
def test_marks_on_a_bar_and_what_lies_about_the_axis_stay_a_doubt(others: list[np.ndarray]) -> None:
    """Not even where a wire goes on from the bar's other end: the bar is the symbol's own."""
    assert not found(others)


def test_a_third_bar_that_goes_on_as_a_wire_stays_a_doubt() -> None:
    bar = path((-7.2, 0.0), (7.2, 0.0), (12.0, 9.0), (22.0, 25.0), (40.0, 40.0))
    assert not found([bar])


def test_a_slash_that_goes_on_as_a_wire_stays_a_doubt() -> None:
    assert not found([path((-3.0, 3.0), (3.0, -3.0), (9.0, -16.0), (20.0, -30.0))])
    assert not found([path((0.0, 0.0), (3.0, -3.0), (9.0, -16.0), (20.0, -30.0))])


BESIDE_BAR = [(-24.0, -2.0), (-12.0, 2.2), (-2.64, 5.5), (-2.88, -6.0), (-6.4, -13.3), (-12.0, -25.0)]
THROUGH = [(-5.5, 0.7), (6.5, -0.6), (12.0, -13.3), (22.0, -25.0), (30.0, -22.0)]
MIDDLE = [(-6.0, 0.7), (6.0, -0.6), *THROUGH[2:]]
THIRD_BAR = [(-24.0, -9.0), (-20.0, 9.0), (-7.2, 0.0), (7.2, 0.0), (12.0, 9.0), (22.0, 30.0)]


@pytest.mark.parametrize("angle", [0.0, 31.0])
@pytest.mark.parametrize(
    ("by", "settled"),
    [
        (BESIDE_BAR, True),
        (THROUGH, True),
        ([*THROUGH[:2], (22.0, -25.0)], False),
        (MIDDLE, False),
        (THIRD_BAR, False),
    ],
    ids=["beside a bar", "nearly through the middle", "with one wire", "through the middle", "as a third bar"],
)
def test_a_line_of_a_polyline_is_a_mark_only_where_it_is_placed_exactly(
    by: list[tuple[float, float]], settled: bool, angle: float
) -> None:
    """At 100,000 strokes outlets were asked for a line that has about its mirror image, or about the middle."""
    mapping = rules(entry("quad", QUAD))
    assert found([path(*by)], angle=angle, mapping=mapping, shape=QUAD) == ["quad"] * settled


def test_a_frame_around_a_symbol_stays_a_doubt() -> None:
    """As a box in the floor is drawn."""
    squares = [path((-a, -a), (a, -a), (a, a), (-a, a), closed=True) for a in (4.5, 5.1, 5.7)]
    assert not found(squares, mapping=rules(entry("quad", QUAD)), shape=QUAD)


def test_a_shape_wholly_inside_stays_a_doubt() -> None:
    assert not found([path((-1.5, 0.9), (2.8, 1.2), (0.4, -1.4), closed=True)])


@pytest.mark.parametrize("dimension", [True, False])
def test_the_figure_of_a_dimension_is_no_mark(dimension: bool) -> None:
    lines = ticked(-40.0, 80.5, 5.0) if dimension else [path((-40.0, 5.0), (40.5, 5.0))]
    assert found(lines, (word("23", 100.2, 100.0, 4.0),)) == (["duplex"] if dimension else [])


def test_a_strip_of_hatch_narrower_than_the_symbol_has_no_marks_of_it() -> None:
    y = np.arange(-30.0, 31.0, 2.5) + 100.6
    strip = np.c_[np.full(len(y), 96.0), y, np.full(len(y), 103.0), y]
    assert found([strip, strip[::2] + np.array([0, 0.9, 0, 0.9])]) == ["duplex"]  # uneven as a whole: no family


def test_a_row_of_hatch_through_a_letter_makes_no_line_of_another_symbol() -> None:
    y = np.arange(-15.0, 26.0, 2.5) + 100
    rows = np.c_[np.full(len(y), 90.0), y, np.full(len(y), 113.0), y]
    both = rules(BOX, entry("single", ONE_LINE))
    letter = (word("J", 100, 100, 7.0),)
    assert found([rows], letter, mapping=both, shape=BOX.shape) == ["junction box"]
    own = np.array([[91.0, 100.0, 109.0, 100.0]])
    assert not found([own], letter, mapping=both, shape=BOX.shape)  # a line of its very own beside the letter


def test_a_light_that_lacks_a_stub_and_has_rows_of_hatch_for_the_others_is_none() -> None:
    """Nor does it make a question of a lettered circle."""
    tip = 0.0875  # in
    stubs = [LineMark((R * c, R * s), (tip * c, tip * s)) for c, s in ((1, 0), (-1, 0), (0, 1), (0, -1))]
    both = rules(BOX, entry("light", (CircleMark((0, 0), R), *stubs), "light"))
    steps = np.arange(-20.0, 21.0, 2.5)
    level = np.concatenate([path((-20.0, y), (20.0, y)) for y in steps])
    upright = np.concatenate([path((x, -30.0), (x, 1.0)) for x in steps])
    assert found([level, upright], (word("J", 100, 100, 5.0),), mapping=both, shape=BOX.shape) == ["junction box"]


def ring(x: float, y: float, radius: float) -> np.ndarray:
    a = np.linspace(0.0, 2 * np.pi, 25)
    return path(*zip((x + radius * np.cos(a)).tolist(), (y + radius * np.sin(a)).tolist(), strict=True))


@pytest.mark.parametrize("angle", [0.0, 31.0])
@pytest.mark.parametrize("circle", [(1.9, -2.0, 4.5), (1.9, -2.0, 5.4), (2.2, 1.5, 5.4)])
def test_a_circle_that_lies_over_a_symbol_without_any_order_is_no_mark_of_it(
    circle: tuple[float, float, float], angle: float
) -> None:
    assert found([ring(*circle)], angle=angle) == ["duplex"]


@pytest.mark.parametrize(("place", "settled"), [((1.2, 0.7), True), ((1.5, 0.0), False), ((1.1, 1.1), False)])
def test_a_circle_across_the_rim_and_off_every_axis_is_no_mark(place: tuple[float, float], settled: bool) -> None:
    """As found on a sheet: as large as the symbol's own, and wholly within the reach of its bars."""
    bars = (LineMark((x, y), (-x, y)) for x, y in ((1 / 8, 1 / 36), (1 / 8, -1 / 36)))
    stems = (LineMark((x, y), (x, -y)) for x, y in ((1 / 36, 1 / 8), (-1 / 36, 1 / 8)))
    quad = (CircleMark((0, 0), 6 / 72), *bars, *stems)
    mapping = rules(entry("quad", quad))
    assert found([ring(*place, 6.0)], mapping=mapping, shape=quad) == (["quad"] if settled else [])


@pytest.mark.parametrize("circle", [(0.0, 2.2, 4.5), (0.6, 0.5, 3.0), (0.0, 0.0, 3.4)])
def test_a_circle_on_the_axis_of_a_symbol_or_wholly_inside_it_stays_a_doubt(
    circle: tuple[float, float, float],
) -> None:
    """Two circles that reach into each other are a transformer; a ring in a circle is another outlet."""
    assert not found([ring(*circle)])


EIGHT = 0.045 * np.c_[np.cos(np.arange(8) * np.pi / 4), np.sin(np.arange(8) * np.pi / 4)]
BURNERS = [tuple(map(tuple, np.add(EIGHT, (x, y)))) for x in (-0.075, 0.075) for y in (-0.075, 0.075)]
STOVE = (
    PolylineMark(((-0.2, -0.18), (0.2, -0.18), (0.2, 0.18), (-0.2, 0.18)), closed=True),
    *(PolylineMark(each, closed=True) for each in BURNERS),
)
SPLIT = (CircleMark((0, 0), R), LineMark((-0.02, 0.0), (-0.02, 0.15)), LineMark((0.02, 0.0), (0.02, 0.15)))


@pytest.mark.parametrize("named", [True, False], ids=["found", "not named"])
def test_burners_of_a_range_across_an_outlet_are_the_ranges(named: bool) -> None:
    """They end in the outlet's ring, and it was a question although the range under it was found."""
    outlet, stove = entry("outlet", SPLIT), entry("range", STOVE, "range")
    drawn = [strokes_of(SPLIT, at(100, 100)), strokes_of(STOVE, at(100, 101))]
    result = spot(sheet_of(drawn), rules(outlet, stove) if named else rules(outlet), ())
    assert ("outlet" in [s.entry.name for s in result.symbols if s.found]) is named


def dashed(radius: float, off: float, turn: float, dash: float = 4.0, gap: float = 2.4) -> np.ndarray:
    """Loose dashes, rounded to a plotter's grid, of an arc that passes (100, 100) at ``off`` pt."""
    start = np.arange(-8.5, 8.5) * (dash + gap) / radius
    angle = turn + np.c_[start, start + dash / radius]
    at = radius * np.stack([np.cos(angle) - np.cos(turn), np.sin(angle) - np.sin(turn)], axis=2)
    at += 100.0 + off * np.array([np.cos(turn), np.sin(turn)])
    return np.round(at.reshape(-1, 4) / 0.12) * 0.12


@pytest.mark.parametrize("turn", [0.3, 1.1, 2.5, 4.0])
@pytest.mark.parametrize(("radius", "off"), [(40.0, 1.0), (90.0, -2.0), (200.0, 2.5)])
def test_loose_dashes_of_a_switch_leg_across_an_outlet_are_no_marks(radius: float, off: float, turn: float) -> None:
    assert found([dashed(radius, off, turn)]) == ["duplex"]


def test_a_short_line_beside_another_is_no_dash() -> None:
    """Two strokes in a row, of which one stands in the circle, may be a mark of it."""
    assert found([dashed(90.0, -2.0, 1.1)[8:10]]) == []

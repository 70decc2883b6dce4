"""Lines that are drawn as the areas that pens cover, bent and closed ones too."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import shapely

from cordpath.geometry import lengths
from cordpath.sheet import read_sheet

Maker = Callable[..., Path]
PEN = 0.5


def ops(ring: list[tuple[float, float]]) -> str:
    first, *rest = [f"{x:.4f} {y:.4f}" for x, y in ring]
    return f"{first} m " + " ".join(f"{at} l" for at in rest) + " h "


def covered(line: list[tuple[float, float]], closed: bool = False) -> str:
    """What the pen covers along a line with flat ends, as operators."""
    path = shapely.LinearRing(line) if closed else shapely.LineString(line)
    area = path.buffer(PEN / 2, cap_style="flat", join_style="mitre")
    return "".join(ops(list(ring.coords)[:-1]) for ring in (area.exterior, *area.interiors)) + "f* "


def circle(x: float, y: float) -> str:
    return covered(
        [(x + 5 * math.cos(k / 20 * math.pi), y + 5 * math.sin(k / 20 * math.pi)) for k in range(40)], True
    )


SYMBOLS = "".join(circle(20 + 20 * k, 80) + covered([(25 + 20 * k, 80), (30 + 20 * k, 80)]) for k in range(3))


@pytest.mark.parametrize(
    ("line", "closed", "length"),
    [
        ([(100, 20), (120, 20), (120, 40), (100, 40)], True, 80),
        ([(100, 20), (120, 20), (120, 30), (140, 30)], False, 50),
        ([(100 + 20 * math.cos(k / 20), 20 + 20 * math.sin(k / 20)) for k in range(21)], False, 20),
        ([(100, 20), (140, 20)], False, 40),
    ],
    ids=["a basin", "a bent line", "the arc of a door", "a straight line"],
)
def test_a_page_that_draws_its_lines_as_areas_has_lines(
    make: Maker, line: list[tuple[float, float]], closed: bool, length: float
) -> None:
    """Circles and bars of symbols were lines, but no basin was one: an outlet beside a lavatory was cleared."""
    sheet = read_sheet(make(SYMBOLS + covered(line, closed)), 1)
    drawn = sheet.strokes.xy[sheet.strokes.xy[:, 0] > 95]
    assert len(sheet.fills) == 0
    assert lengths(drawn).sum() == pytest.approx(length, abs=2 * PEN)
    seen = shapely.LinearRing(line) if closed else shapely.LineString(line)
    seen = shapely.transform(seen, lambda at: np.column_stack([at[:, 0], 100 - at[:, 1]]))
    assert shapely.distance(shapely.points(drawn.reshape(-1, 2)), seen).max() < 0.1
    assert not sheet.strokes.dashed.any()


@pytest.mark.parametrize(
    "painted",
    ["100 20 20 20 re f ", "100 20 m 106 20 l 103 26 l h f ", "0.6 w 100 20 m 140 20 l S 100 24 m 140 24 l S " * 5],
    ids=["a square", "an arrowhead", "strokes"],
)
def test_other_areas_stay_areas(make: Maker, painted: str) -> None:
    sheet = read_sheet(make(SYMBOLS + painted), 1)
    assert len(sheet.fills) == int("f" in painted)


def test_a_page_of_strokes_keeps_its_areas(make: Maker) -> None:
    strokes = "0.5 w " + "".join(f"10 {10 + 2 * k} m 60 {10 + 2 * k} l S " for k in range(20))
    frame = covered([(100, 20), (120, 20), (120, 40), (100, 40)], closed=True)
    assert len(read_sheet(make(strokes + circle(80, 80) + frame), 1).fills) == 1


def test_the_inner_border_of_a_stroked_line_may_cross_itself(make: Maker) -> None:
    """Writers that outline strokes lead the inner border through the corners of the line; under the nonzero rule
    the little squares that it cuts off there are covered twice, and what it goes round is not."""
    outer = ops([(39, 19), (39, 61), (81, 61), (81, 19)])
    inner = "41 20 m 40 20 l 40 21 l 80 21 l 80 20 l 79 20 l 79 60 l 80 60 l 80 59 l 40 59 l 40 60 l 41 60 l h "
    sheet = read_sheet(make(outer + inner + "f "), 1)
    assert shapely.area(sheet.fills.shape).sum() == pytest.approx(42**2 - 38**2)


def test_the_middle_of_a_star_is_no_hole_under_the_nonzero_rule(make: Maker) -> None:
    star = ops(
        [(150 + 20 * math.sin(k * 4 * math.pi / 5), 50 + 20 * math.cos(k * 4 * math.pi / 5)) for k in range(5)]
    )
    sheet = read_sheet(make(star + "f "), 1)
    middle = shapely.Point(150, 50)
    assert any(shape.contains(middle) for shape in sheet.fills.shape)


def test_a_lone_bar_that_is_longer_than_the_dashes_of_its_pen_is_solid(make: Maker) -> None:
    """On a page that draws every line as an area, windows were dashed lines, and rooms open to the outside."""
    dashes = "".join(f"{10 + 8 * k} 95 5 0.5 re " for k in range(8)) + "f "
    sheet = read_sheet(make(SYMBOLS + dashes + "100 30 60 0.5 re f 100 40 4 0.5 re f "), 1)
    long = lengths(sheet.strokes.xy)
    bar = (sheet.strokes.xy[:, 0] > 95) & (sheet.strokes.xy[:, [1, 3]].mean(axis=1) > 55)
    assert sheet.strokes.dashed[bar & (long > 50)].tolist() == [False]
    assert sheet.strokes.dashed[bar & (long < 5)].tolist() == [True]


@pytest.mark.parametrize(("gap", "areas"), [(0.0, 0), (1.0, 3)], ids=["on their bars", "letters beside bars"])
def test_closed_lines_on_bars_that_are_areas_are_lines_on_a_page_of_strokes(
    make: Maker, gap: float, areas: int
) -> None:
    """Symbols whose triangles are outlined by a broad pen were lost in silence, and only their bars were lines."""
    walls = "0.5 w " + "".join(f"10 {46.5 + 4 * k} m 190 {46.5 + 4 * k} l S " for k in range(9))
    symbols = ""
    for x in (100, 130, 160):
        symbols += covered([(x - 4, 30 - gap), (x + 4, 30 - gap), (x, 40.5 - gap)], closed=True)
        symbols += covered([(x, 41.0), (x, 46.0)]) + covered([(x - 4, 46.0), (x + 4, 46.0)])
    sheet = read_sheet(make(walls + symbols), 1)
    assert len(sheet.fills) == areas


@pytest.mark.parametrize(("count", "pen", "areas"), [(3, "0 g ", 0), (2, "0 g ", 4), (3, "1 g ", 6)])
def test_marks_of_bars_and_closed_lines_of_one_pen_are_lines(make: Maker, count: int, pen: str, areas: int) -> None:
    """No line of this pen is a stroke, or touches one; two such marks may be anything, and white ones cover."""
    strokes = "1.2 w " + "".join(f"10 {60 + 4 * k} m 190 {60 + 4 * k} l S " for k in range(9))
    symbols = ""
    for x in (100, 130, 160)[:count]:
        symbols += covered([(x - 4, 30), (x + 4, 30), (x + 4, 38), (x - 4, 38)], closed=True)
        symbols += covered([(x, 38.25), (x, 46.0)])
    assert len(read_sheet(make(strokes + pen + symbols), 1).fills) == areas


@pytest.mark.parametrize(("pen", "areas"), [("0 g ", 0), ("0.6 g ", 3)])
def test_a_mark_that_is_drawn_once_is_of_lines_where_its_pen_draws_others_as_areas(
    make: Maker, pen: str, areas: int
) -> None:
    """The floor box of a plan, drawn once, stood on no line that was read, and was lost in silence; of a pen that
    draws nothing else it may be anything."""
    walls = "1.2 w " + "".join(f"10 {100 + 2 * k} m 190 {100 + 2 * k} l S " for k in range(40))
    box = [(140.0, 20.0), (150.0, 22.0), (148.0, 32.0), (138.0, 30.0)]
    crossed = covered(box, closed=True) + covered([box[0], box[2]]) + covered([box[1], box[3]])
    page = make(walls + SYMBOLS + pen + crossed, media="[0 0 200 200]")
    assert len(read_sheet(page, 1).fills) == areas

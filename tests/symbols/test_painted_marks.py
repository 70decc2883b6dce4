"""Symbols whose marks are painted without a pen: dots, wedges and solid halves in or at plain outlines."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from cordpath.model import CircleMark, LineMark, Mark, PolylineMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, names, rules, sheet_of, strokes_of
from symbols.test_twins import painted

R = 0.08
Ring = tuple[tuple[float, float], ...]


def polygon(sides: int, radius: float, first: float = 0.0, last: float = 360.0) -> Ring:
    step = (last - first) / (sides if last - first >= 360 else sides - 1)
    angles = [math.radians(first + k * step) for k in range(sides)]
    return tuple((radius * math.cos(a), radius * math.sin(a)) for a in angles)


OUTLINES: dict[str, Mark] = {
    "square": PolylineMark(((-R, -R), (R, -R), (R, R), (-R, R)), closed=True),
    "diamond": PolylineMark(polygon(4, R), closed=True),
    "triangle": PolylineMark(polygon(3, R), closed=True),
    "hexagon": PolylineMark(polygon(6, R), closed=True),
    "circle": CircleMark((0, 0), R),
    "stem": LineMark((0, 0), (0.15, 0)),
}
PAINT: dict[str, Ring] = {
    "dot": polygon(16, 0.35 * R),
    "half": polygon(17, 0.95 * R, 0, 180),
    "wedge": ((R, -0.04), (R + 0.07, 0.0), (R, 0.04)),
}


@pytest.mark.parametrize("paint", list(PAINT))
@pytest.mark.parametrize("outline", list(OUTLINES))
def test_marks_that_are_painted_without_a_pen_hide_no_symbol(outline: str, paint: str) -> None:
    """Common practice, no source: floor boxes and special outlets are outlines with solid marks in them."""
    marks = (OUTLINES[outline], PolylineMark(PAINT[paint], closed=True, filled=True))
    poses = [
        at(120.0 + 90 * k, 150.0, angle, mirrored=k % 2 > 0) for k, angle in enumerate((0.0, 33.0, 180.0, 250.0))
    ]
    strokes = np.concatenate([strokes_of(marks[:1], pose) for pose in poses])
    areas = [shapely.Polygon(pose.apply(np.array(PAINT[paint]) * 72)) for pose in poses]
    result = spot(sheet_of(strokes, fills=painted(*areas)), rules(entry("floor box", marks)), ())
    assert names(result, None if outline == "stem" else True) == ["floor box"] * len(
        poses
    )  # a lone line may be chance


def test_the_short_stem_of_a_solid_symbol_is_not_looked_for_alone() -> None:
    """A solid hexagon on a stem of 0.015 in: every line of a pt was asked about, hundreds on a sheet with hatch."""
    stem = LineMark((R, 0), (R + 0.015, 0))
    marks = (PolylineMark(polygon(6, R), closed=True, filled=True), stem)
    poses = [at(100.0 + 31.7 * k, 150.0 + 17.3 * (k % 5), 37.0 * k) for k in range(12)]
    lines = np.concatenate([strokes_of((stem,), pose) for pose in poses])
    area = shapely.Polygon(poses[0].apply(np.array(polygon(6, R)) * 72))
    result = spot(sheet_of(lines, fills=painted(area)), rules(entry("range receptacle", marks)), ())
    assert [symbol.at for symbol in result.symbols] == [pytest.approx((100.0, 150.0), abs=0.5)]

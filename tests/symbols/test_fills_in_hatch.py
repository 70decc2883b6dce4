"""Fills drawn as strokes, which lie as evenly as rows of hatch do, alone and among such rows."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from cordpath.model import CircleMark, LineMark, Mapping, Mark, PolylineMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, names, rules, sheet_of, strokes_of
from symbols.test_twins import painted

R = 6.0  # pt
CIRCLE = CircleMark((0, 0), R / 72)
BARS = tuple(LineMark((-9 / 72, y / 72), (9 / 72, y / 72)) for y in (-2, 2))
PLAIN: tuple[Mark, ...] = (CIRCLE, *BARS)


def disc(first: int, last: int) -> np.ndarray:
    """(n, 2) pt of a part of the circle, from one angle to the other."""
    angles = np.radians(np.linspace(first, last, 25))
    return R * np.c_[np.cos(angles), np.sin(angles)]


HALF, WHOLE = (PolylineMark(tuple(map(tuple, ring / 72)), True, True) for ring in (disc(0, 180), disc(0, 360)))
ALL = rules(entry("plain", PLAIN), entry("GFCI", (*PLAIN, HALF), protection="device"))
SOLID = rules(entry("plain", PLAIN), entry("GFCI", (*PLAIN, WHOLE), protection="device"))
POSE = at(100.0, 100.0)


def filled(ring: np.ndarray, gap: float, angle: float = 0.0) -> np.ndarray:
    """(n, 4) pt about (100, 100): rows of that gap from edge to edge of a ring."""
    area, (x, y) = shapely.Polygon(ring), (math.cos(math.radians(angle)), math.sin(math.radians(angle)))
    asides = np.arange(-2 * R + gap / 2, 2 * R, gap)
    cut = [area.intersection(shapely.LineString([(-9 * x - d * y, -9 * y + d * x), (9 * x - d * y, 9 * y + d * x)]))
           for d in asides]  # fmt: skip
    return np.array([100 + np.array(row.coords).ravel() for row in cut if row.length > 0.1])


def rows(gap: float, count: int, wide: float, x: float = 0.0, y: float = 0.0) -> np.ndarray:
    """Level rows about (100 + x, 100 + y)."""
    level = 100 + y + gap * (np.arange(count) - (count - 1) / 2)
    return np.c_[np.full(count, 100 + x - wide / 2), level, np.full(count, 100 + x + wide / 2), level]


def upright(xy: np.ndarray) -> np.ndarray:
    return np.asarray(xy[:, [1, 0, 3, 2]])


def with_mark(ring: np.ndarray) -> Mapping:
    """The plain outlet, and one with a filled mark more."""
    mark = PolylineMark(tuple(map(tuple, ring / 72)), True, True)
    return rules(entry("plain", PLAIN), entry("GFCI", (*PLAIN, mark), protection="device"))


HATCHES = {
    "no hatch": np.zeros((0, 4)),
    "one hatch": rows(2.5, 25, 34.0, 3.0, 0.7),
    "two hatches": np.r_[rows(2.5, 25, 34.0, 3.0, 0.5), rows(2.5, 25, 40.0, -1.0, 1.1)],
    "crossed hatches": np.r_[rows(2.5, 25, 34.0, 3.0, 0.5), upright(rows(2.5, 25, 30.0, -1.0, 0.9))],
    "a hatch in step with the fill": rows(2.52, 25, 34.0, 3.0),
}


@pytest.mark.parametrize("hatch", list(HATCHES))
@pytest.mark.parametrize(("gap", "angle"), [(0.5, 0), (0.36, 90), (0.84, 0), (0.84, 45), (0.84, 90)])
def test_a_half_that_strokes_fill_is_never_the_plain_one(gap: float, angle: float, hatch: str) -> None:
    """The rows of the fill were rows of hatch, of which none is a mark, and the plain outlet was there for certain:
    with a hatch behind them, and with none where the fill has enough rows itself."""
    drawn = [strokes_of(PLAIN, POSE), filled(disc(0, 180), gap, angle), HATCHES[hatch]]
    result = spot(sheet_of(drawn), ALL, ())
    assert names(result, None) and "plain" not in names(result, True)
    if hatch in ("no hatch", "one hatch"):
        assert names(result, True) == ["GFCI"]


@pytest.mark.parametrize("gap", [0.5, 1.5])
def test_rows_from_rim_to_rim_of_a_circle_are_marks_of_it_however_far_they_lie_apart(gap: float) -> None:
    drawn = [strokes_of(PLAIN, POSE), filled(disc(0, 360), gap, 90)]
    assert names(spot(sheet_of(drawn), SOLID, ()), True) == (["GFCI"] if gap < 1 else [])


@pytest.mark.parametrize("wide", [10.0, 11.3, 13.3])
@pytest.mark.parametrize("count", [10, 25])
def test_a_dense_hatch_as_wide_as_a_plain_outlet_fills_no_half_of_it(wide: float, count: int) -> None:
    """Its rows end beside the half, not with it."""
    drawn = [strokes_of(PLAIN, POSE), rows(0.5, count, wide, 0.0, 0.25 * count)]
    assert "GFCI" not in names(spot(sheet_of(drawn), ALL, ()), True)


def test_beads_over_the_bare_half_do_not_fill_it() -> None:
    """Paint fills the one half, and beads lie over most of the other: a solid outlet for certain."""
    entries = rules(entry("half", (*PLAIN, HALF)), entry("solid", (*PLAIN, WHOLE), protection="device"))
    beads = [strokes_of((CircleMark((0, 0), 1 / 72),), at(100.0 + x, 100.0 - y))
             for x in np.arange(-18.0, 19.0, 4.0) for y in (1.0, 3.0, 5.0)]  # fmt: skip
    half = painted(shapely.Polygon(POSE.apply(disc(0, 180))))
    result = spot(sheet_of([strokes_of(PLAIN, POSE), *beads], fills=half), entries, ())
    assert names(result, None) and "solid" not in names(result, True)


@pytest.mark.parametrize(("gap", "angle"), [(0.2, 0), (0.5, 0), (0.5, 90), (0.4, 45)])
def test_a_small_triangle_beyond_the_circle_is_seen_or_asked_about_however_strokes_fill_it(
    gap: float, angle: float
) -> None:
    ring = np.array([(-2.0, 6.1), (2.0, 6.1), (0.0, 9.5)])
    entries = with_mark(ring)
    result = spot(sheet_of([strokes_of(PLAIN, POSE), filled(ring, gap, angle)]), entries, ())
    assert [s.entry.name for s in result.symbols] == ["GFCI"]


def test_a_triangle_whose_rows_end_short_of_its_edges_is_asked_about() -> None:
    """It is not bare, so that the outlet is not the plain one for certain."""
    ring, inner = (np.array([(-x, y), (x, y), (0.0, tip)]) for x, y, tip in ((2.0, 6.1, 9.5), (1.2, 6.4, 8.6)))
    entries = with_mark(ring)
    result = spot(sheet_of([strokes_of(PLAIN, POSE), filled(inner, 0.3)]), entries, ())
    assert not names(result, True) and len(result.symbols) == 1


@pytest.mark.parametrize("turn", [0.0, 20.0, 45.0])
def test_the_corner_of_a_hatch_in_a_plain_outlet_is_no_mark(turn: float) -> None:
    """Its short rows begin and end in the body, like those of a fill: outlets among hatch were asked about."""
    corner = shapely.Polygon([(-3.0, -2.0), (80.0, -2.0), (80.0, 70.0), (-3.0, 70.0)])
    diagonal = [
        corner.intersection(shapely.LineString([(d, -90), (d - 180, 90)])) for d in np.arange(-94, 150, 2.6)
    ]
    xy = np.array([np.array(row.coords).ravel() for row in diagonal if row.length > 0.1]).reshape(-1, 2)
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    hatch = 100.0 + (xy @ np.array([[c, s], [-s, c]])).reshape(-1, 4)
    (symbol,) = spot(sheet_of([strokes_of(PLAIN, POSE), hatch]), ALL, ()).symbols
    assert symbol.found and symbol.entry.name == "plain"

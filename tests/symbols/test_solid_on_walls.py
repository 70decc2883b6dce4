"""Solid symbols that stand on the lines of walls: paint has no pen, and a wall is no stem of it."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from cordpath.geometry import Similarity
from cordpath.model import LineMark, Mark, PolylineMark
from cordpath.symbols import spot
from symbols.test_painted_marks import polygon
from symbols.test_spot import at, entry, names, rules, sheet_of, strokes_of
from symbols.test_twins import painted

R = 0.125  # inch
DISC = PolylineMark(polygon(24, 0.7 * R), closed=True, filled=True)
STEM = (DISC, LineMark((0.95 * R, 0), (1.6 * R, 0)))
WEDGE = PolylineMark(((1.05 * R, -0.4 * R), (1.7 * R, 0), (1.05 * R, 0.4 * R)), closed=True, filled=True)
WALL = np.array([[100.0, 40.0, 100.0, 160.0], [95.0, 40.0, 95.0, 160.0]])


def areas(marks: tuple[Mark, ...], pose: Similarity) -> list[shapely.Polygon]:
    return [shapely.Polygon(pose.apply(np.array(m.points) * 72)) for m in marks if isinstance(m, PolylineMark)]


def test_the_wall_under_a_solid_disc_is_no_stem_of_it() -> None:
    """The mapping file knows the disc with a stem alone: what stands on the wall is asked about, since the wall
    goes on beyond both ends of the stem."""
    sheet = sheet_of(WALL, fills=painted(*areas((DISC,), at(100, 100))))
    result = spot(sheet, rules(entry("GFCI", STEM, protection="device")), ())
    assert names(result, True) == [] and names(result, False) == ["GFCI"]


@pytest.mark.parametrize("kind", ["receptacle", "light"])
def test_one_solid_disc_is_one_symbol_whatever_else_the_wall_under_it_may_be(kind: str) -> None:
    """With a pointer beside it and a wall under it, it was found twice, for certain both times."""
    pointed = (DISC, WEDGE)
    sheet = sheet_of(WALL, fills=painted(*areas(pointed, at(100, 100))))
    result = spot(sheet, rules(entry("stem", STEM), entry("pointer", pointed, kind=kind)), ())
    assert [(s.entry.name, s.found) for s in result.symbols] == [("pointer", True)]


def test_the_stem_of_a_solid_disc_is_its_own_where_it_ends() -> None:
    strokes = np.r_[WALL, strokes_of(STEM[1:], at(100, 100))]
    result = spot(sheet_of(strokes, fills=painted(*areas((DISC,), at(100, 100)))), rules(entry("stem", STEM)), ())
    assert names(result, True) == ["stem"]


@pytest.mark.parametrize(("size", "scales"), [(1.0, (0.95, 1.05)), (1.3, (0.7, 1.4))])
def test_a_solid_disc_is_found_where_the_mapping_file_has_nothing_larger(
    size: float, scales: tuple[float, float]
) -> None:
    """Paint larger than every body was no mark: the hull of the disc's own samples is smaller than the disc."""
    corners = at(100, 100).apply(np.array(DISC.points) * 72 * size)
    mapping = rules(entry("disc", (DISC,), scales=scales))
    assert names(spot(sheet_of(WALL - 60, fills=painted(shapely.Polygon(corners))), mapping, ()), True) == ["disc"]


def test_an_outlet_is_asked_about_where_a_passing_line_makes_another_plain_shape_of_its_disc() -> None:
    """The shape of no interest won by a line that passes, was in doubt by it, and was dropped with the outlet."""
    disc = PolylineMark(polygon(24, 0.068), closed=True, filled=True)
    wedge = PolylineMark(((0.102, -0.039), (0.165, 0.0), (0.102, 0.039)), closed=True, filled=True)
    tick = (disc, LineMark((-0.0194, -0.1264), (0.0194, -0.0778)))
    line = [[67.96, 48.64, 139.96, 144.64]]
    wire = [[112.0, 41.68, 106.96, 51.28], [106.96, 51.28, 103.24, 61.48], [103.24, 61.48, 101.08, 72.16],
            [101.08, 72.16, 100.36, 83.08], [100.36, 83.08, 101.2, 93.88]]  # fmt: skip
    drawn = [np.array(area.exterior.coords) for area in areas((disc, wedge), at(99.88, 99.76, 270))]
    plotted = [shapely.Polygon(np.round(corners / 0.12) * 0.12) for corners in drawn]  # pt, 1/600 in
    sheet = sheet_of(np.array(line + wire), fills=painted(*plotted))
    result = spot(sheet, rules(entry("pointer", (disc, wedge)), entry("tick", tick, kind="other")), ())
    assert [s.entry.name for s in result.symbols] == ["pointer"]


@pytest.mark.parametrize("turn", [0.0, 90.0, 37.0])
@pytest.mark.parametrize("solid", ["box", "triangle"])
def test_a_solid_shape_on_a_stem_is_found_where_rows_of_strokes_paint_it(turn: float, solid: str) -> None:
    """Nothing draws two of its sides, and its stem alone tells nothing: it was nowhere, and nothing said so."""
    half = 5.5 / 72
    corners = ((-half, -half), (half, -half), (half, half), (-half, half))
    if solid == "triangle":
        corners = ((-half, half), (half, half), (0.0, -half))
    marks = (PolylineMark(corners, True, True), LineMark((0.0, -1.9 * half), (0.0, -half)))
    pose = at(150.0, 100.0, turn)
    area = shapely.Polygon(pose.apply(np.array(corners) * 72))
    low, high = area.bounds[1], area.bounds[3]
    rows = shapely.linestrings([[(100.0, y), (200.0, y)] for y in np.arange(low + 0.15, high, 0.4)])
    rows = shapely.intersection(rows, area.buffer(-0.15))
    rows = shapely.get_coordinates(rows[~shapely.is_empty(rows)]).reshape(-1, 4)
    strokes = np.r_[np.round(rows / 0.12) * 0.12, strokes_of(marks[1:], pose, grid=0.12)]
    result = spot(sheet_of(strokes), rules(entry("solid", marks)), ())
    assert names(result, True) == ["solid"]

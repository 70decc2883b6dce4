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

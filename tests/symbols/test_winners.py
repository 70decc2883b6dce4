"""Which candidate is meant: plain shapes among others' lines are counted, and no outlet or fixture among them."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely

from cordpath.model import ArcMark, CircleMark, LineMark, PolylineMark, Scale, TextMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, names, rectangle, rules, sheet_of, strokes_of, word
from symbols.test_twins import painted

CORNERS = ((-0.08, -0.08), (0.08, -0.08), (0.08, 0.08), (-0.08, 0.08), (-0.08, -0.08))
SQUARE = tuple(LineMark(a, b) for a, b in pairwise(CORNERS))  # a few lines in two directions: weak by its shape
ACROSS = np.array([[290, 300, 310, 303], [291, 297, 309, 304], [296, 290, 304, 310], [299, 280, 301, 320.0]])
DROPPED = (
    "where lines like those of square are drawn among others: too plain a shape to tell, nothing was made of it"
)


@pytest.mark.parametrize("kind", ["receptacle", "sink", "bathtub"])
def test_a_plain_outlet_or_fixture_among_other_lines_is_a_question(kind: str) -> None:
    crossed = sheet_of([strokes_of(SQUARE, at(300, 300)), ACROSS])
    spotting = spot(crossed, rules(entry("square", SQUARE, kind)), ())
    assert names(spotting, False) == ["square"]
    assert spotting.assumptions == ()


@pytest.mark.parametrize("kind", ["light", "switch", "other"])
def test_another_plain_shape_among_other_lines_is_counted_and_dropped(kind: str) -> None:
    places = [(300, 300), (150, 420)]
    xy = [
        np.concatenate([strokes_of(SQUARE, at(x, y)), ACROSS + np.tile([x - 300, y - 300], 2)]) for x, y in places
    ]
    mapping = rules(entry("square", SQUARE, kind))
    assert spot(sheet_of(xy[:1]), mapping, ()).assumptions == (f"1 place {DROPPED}",)
    both = spot(sheet_of(xy), mapping, ())
    assert both.assumptions == (f"2 places {DROPPED}",)
    assert both.symbols == ()


@pytest.mark.parametrize("kind", ["light", "switch", "other"])
def test_a_plain_shape_that_nothing_crosses_is_kept(kind: str) -> None:
    spotting = spot(sheet_of(strokes_of(SQUARE, at(300, 300))), rules(entry("square", SQUARE, kind)), ())
    assert names(spotting, None) == ["square"]
    assert spotting.assumptions == ()


def test_a_shower_whose_side_runs_on_in_a_wall_is_not_asked_for_the_circle_of_its_drain() -> None:
    """Where a side of it ends says nothing against its other lines, and a circle nothing of where lines end."""
    shape = (rectangle(42, 36), rectangle(38, 32), CircleMark((0, 0), 2.5), LineMark((-19, -16), (19, 16)))
    shower = entry("shower", shape, "shower", size="real", edge="outer")
    can = entry("can light", (CircleMark((0, 0), 3.5 / 72),), "light")
    strokes = strokes_of(shape, at(200, 200), unit=1.5)
    side = np.array([[231.5, 172.3, 231.5, 330.0]])  # the wall's line is drawn in place of its own
    strokes[np.isclose(strokes[:, [0, 2]], 231.5).all(1)] = side
    result = spot(sheet_of(strokes), rules(shower, can), (Scale("v1", 48, "note", "", "proved"),))
    assert names(result) == ["shower"]


@pytest.mark.parametrize("away", [20.0, 30.0, 60.0])
def test_a_letter_beside_a_large_fixture_is_still_a_symbol(away: float) -> None:
    """It has no strokes to compare, and was taken for a part of whatever stood within its reach: a switch was lost
    in silence."""
    tub = (rectangle(60, 30), rectangle(54, 24), CircleMark((22, 0), 1.5))
    shapes = (
        entry("tub", tub, "bathtub", scales=(1 / 72, 1 / 72)),
        entry("switch", (TextMark("S", (0, 0)),), "switch"),
    )
    sheet = sheet_of([strokes_of(tub, at(200, 200), unit=1.0)], [word("S", 200, 200 - away, 10.0)])
    assert names(spot(sheet, rules(*shapes), ()), None) == ["switch", "tub"]


@pytest.mark.parametrize("corners", [9, 17])
def test_a_stem_at_a_half_disc_is_no_bar_along_its_flat_side(corners: int) -> None:
    """The flat side and the stem drew all of the bar but one end of it (random design 2816, five of them)."""
    bow = tuple((0.1 * float(np.cos(a)), 0.1 * float(np.sin(a))) for a in np.linspace(0, np.pi, corners))
    half = (ArcMark((0, 0), 0.1, 180, 360), PolylineMark(bow, closed=True, filled=True))
    stem = LineMark((0.095, 0), (0.16, 0))
    designs = (entry("stem", (*half, stem)), entry("bar", (*half, LineMark((-0.15, 0), (0.15, 0)))))
    paint = painted(shapely.Polygon([(300 + 72 * x, 300 - 72 * y) for x, y in bow]))
    sheet = sheet_of(strokes_of((half[0], stem), at(300, 300)), fills=paint)
    assert names(spot(sheet, rules(*designs), ())) == ["stem"]


def test_paint_beside_an_outlet_tells_its_name_where_a_text_lies_over_it() -> None:
    """Of two designs of which the rules say the same, the plain one was named (random design 2809)."""
    pointer = PolylineMark(((0.09, -0.03), (0.15, 0.0), (0.09, 0.03)), closed=True, filled=True)
    plain = (CircleMark((0, 0), 0.08), *(LineMark((-0.12, y), (0.08, y)) for y in (-0.03, 0.03)))
    paint = painted(shapely.Polygon([(300 + 72 * x, 300 - 72 * y) for x, y in pointer.points]))
    sheet = sheet_of(strokes_of(plain, at(300, 300)), [word("WA", 304, 300)], fills=paint)
    (symbol,) = spot(sheet, rules(entry("plain", plain), entry("pointed", (*plain, pointer))), ()).symbols
    assert (symbol.entry.name, symbol.found, symbol.rivals) == ("pointed", True, ("plain",))


def test_paint_beside_an_outlet_tells_its_name_where_a_piece_of_it_is_missing() -> None:
    """Of a tiny body a tenth of the lines may be lost in rounding (random design 2811, a dot on a D of 2 pt)."""
    pointer = PolylineMark(((0.09, -0.03), (0.15, 0.0), (0.09, 0.03)), closed=True, filled=True)
    plain = (CircleMark((0, 0), 0.08), *(LineMark((-0.12, y), (0.08, y)) for y in (-0.03, 0.03)))
    stem = LineMark((0.15, 0.0), (0.25, 0.0))
    paint = painted(shapely.Polygon([(300 + 72 * x, 300 - 72 * y) for x, y in pointer.points]))
    sheet = sheet_of(strokes_of(plain, at(300, 300)), fills=paint)
    (symbol,) = spot(sheet, rules(entry("plain", plain), entry("pointed", (*plain, pointer, stem))), ()).symbols
    assert (symbol.entry.name, symbol.found, symbol.rivals) == ("pointed", True, ("plain",))

"""Fixtures drawn to scale: under outlets, in views without a scale, and of a design that nobody has named."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import (
    CircleMark,
    Drawing,
    LineMark,
    Mapping,
    Mark,
    PolylineMark,
    Scale,
    ScaleEvidence,
    Sheet,
    Spotting,
    SymbolEntry,
    TextMark,
    View,
    Word,
)  # fmt: skip
from cordpath.sheet import read_glyphs
from cordpath.symbols import spot
from symbols.test_drawn_letters import outlined
from symbols.test_spot import at, sheet_of, strokes_of, word
from symbols.test_twins import painted

UNIT = 72 / 48  # pt an inch at 1/4" = 1'-0"
PROVED = (Scale("v1", 48.0, "note", '1/4" = 1\'-0"', "proved"),)
UNKNOWN = (Scale("v1", None, "none", "", "not to scale", why="the drawing says NOT TO SCALE"),)
R = 0.0625
DUPLEX = (CircleMark((0, 0), R), LineMark((-0.1, 0.025), (0.1, 0.025)), LineMark((-0.1, -0.025), (0.1, -0.025)))


def box(w: float, h: float, x: float = 0.0, y: float = 0.0) -> PolylineMark:
    x0, x1, y0, y1 = x - w / 2, x + w / 2, y - h / 2, y + h / 2
    return PolylineMark(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True)


def oval(rx: float, ry: float, x: float = 0.0, y: float = 0.0) -> PolylineMark:
    turn = np.linspace(0, 2 * math.pi, 20, endpoint=False)
    return PolylineMark(tuple((x + rx * math.cos(a), y + ry * math.sin(a)) for a in turn), closed=True)


SINK = (box(33, 22), box(14, 16, -8, 1), box(14, 16, 8, 1), CircleMark((-8, 1), 1.75), CircleMark((8, 1), 1.75))
TUB = (box(60, 32), box(54, 26), CircleMark((22, 0), 1.5))
CLOSET = (box(20, 8, 0, -10), oval(7, 10, 0, 4))
RANGE = (box(30, 25), *(CircleMark((x, y), 4) for x in (-7, 7) for y in (-6, 6)))
DRYER = (box(27, 27), box(18, 18), TextMark("D", (0, 0)))


def drawn(marks: Sequence[Mark], x: float, y: float, unit: float = UNIT, angle: float = 0.0) -> np.ndarray:
    """(n, 4) strokes of marks about a place; texts are left to the words."""
    return strokes_of(marks, at(x, y, angle), unit)


def sheet(rows: Sequence[np.ndarray], words: Sequence[Word] = (), views: tuple[View, ...] = ()) -> Sheet:
    return sheet_of(rows, words, views=views, side=900)


def fixture(name: str, kind: str, shape: Sequence[Mark]) -> SymbolEntry:
    return SymbolEntry(name, kind, shape=tuple(shape), size="real")  # type: ignore[arg-type]


def told(result: Spotting) -> dict[str, bool]:
    return {s.entry.name: s.found for s in result.symbols}


ALL = (
    fixture("sink", "sink", SINK),
    fixture("tub", "bathtub", TUB),
    fixture("closet", "water closet", CLOSET),
    fixture("dryer", "dryer", DRYER),
)
PLUG = SymbolEntry("duplex", "receptacle", shape=DUPLEX)
LETTERED = SymbolEntry("dryer plug", "receptacle", shape=(*DUPLEX, TextMark("R", (0, 0))), volts=240)


# --------------------------------------------------------------------------------------- at every scale


@pytest.mark.parametrize("ratio", [12.0, 16.0, 24.0, 36.0, 48.0, 64.0, 96.0])
@pytest.mark.parametrize("angle", [0.0, 33.0])
def test_fixtures_are_found_at_every_scale_of_a_plan(ratio: float, angle: float) -> None:
    """Enlarged plans of baths and kitchens are drawn at 1/2 in = 1 ft and more: a tub is a hand long there."""
    for each in ALL[:3]:
        rows = [drawn(each.shape or (), 450, 450, 72 / ratio, angle)]
        result = spot(sheet(rows), Mapping("m", Drawing(), (each,)), (replace(PROVED[0], ratio=ratio),))
        assert told(result) == {each.name: True}
        assert result.symbols[0].confidence > 0.95


# ------------------------------------------------------------------------------------------- drawn over


def test_the_letter_of_an_outlet_on_a_dryer_says_nothing_against_the_dryer() -> None:
    rows = [drawn(DRYER, 300, 300), drawn(DUPLEX, 306, 300, 72)]
    words = [word("D", 297, 300), word("R", 306, 300)]
    result = spot(sheet(rows, words), Mapping("m", Drawing(), (*ALL, LETTERED)), PROVED)
    assert told(result) == {"dryer": True, "dryer plug": True}


def test_a_letter_of_nobodys_in_a_dryer_is_a_question() -> None:
    """The outlet that would own the letter is not there: the letter may make the shape something else."""
    words = [word("D", 297, 300), word("R", 306, 300)]
    result = spot(sheet([drawn(DRYER, 300, 300)], words), Mapping("m", Drawing(), (*ALL, LETTERED)), PROVED)
    assert told(result) == {"dryer": False}


def test_outlets_over_a_small_water_closet_are_not_its_own_lines() -> None:
    """At 1/8 in = 1 ft an outlet is as large as the bowl that it is drawn over."""
    scale = (replace(PROVED[0], ratio=96.0),)
    rows = [drawn(CLOSET, 300, 300, UNIT / 2), drawn(DUPLEX, 300, 302, 72)]
    result = spot(sheet(rows), Mapping("m", Drawing(), (*ALL, PLUG)), scale)
    assert told(result)["closet"]


def test_the_letter_of_a_small_dryer_says_nothing_against_the_outlet_on_it() -> None:
    scale = (replace(PROVED[0], ratio=96.0),)
    rows = [drawn(DRYER, 300, 300, UNIT / 2), drawn(DUPLEX, 303, 302, 72)]
    result = spot(sheet(rows, [word("D", 300, 300, 4)]), Mapping("m", Drawing(), (*ALL, PLUG)), scale)
    assert told(result) == {"dryer": True, "duplex": True}


@pytest.mark.parametrize("words", [[word("D", 303, 302, 4)], [word("D", 300, 300, 4), word("K", 304, 302, 3)]])
def test_a_letter_in_an_outlet_that_no_fixture_owns_is_a_question(words: list[Word]) -> None:
    """In the middle of the outlet, or another letter beside the dryer's own."""
    scale = (replace(PROVED[0], ratio=96.0),)
    rows = [drawn(DRYER, 300, 300, UNIT / 2), drawn(DUPLEX, 303, 302, 72)]
    result = spot(sheet(rows, words), Mapping("m", Drawing(), (*ALL, PLUG)), scale)
    assert told(result)["duplex"] is False


def test_an_outlet_on_a_dryer_that_may_be_another_stays_a_question() -> None:
    """Its twin was only noted while the dryer's letter kept it in doubt."""
    scale = (replace(PROVED[0], ratio=96.0),)
    rows = [drawn(DRYER, 300, 300, UNIT / 2), drawn(DUPLEX, 303, 302, 72)]
    twin = SymbolEntry("range plug", "receptacle", shape=DUPLEX, volts=240)
    result = spot(sheet(rows, [word("D", 300, 300, 4)]), Mapping("m", Drawing(), (*ALL, PLUG, twin)), scale)
    (outlet,) = [s for s in result.symbols if s.is_outlet]
    assert not outlet.found and {outlet.entry.name, *outlet.rivals} == {"duplex", "range plug"}


def test_the_letter_of_a_dryer_leaves_the_richer_outlet_on_it() -> None:
    """While the dryer's letter kept it in doubt, the plainer outlet that it contains had won."""
    arrow = PolylineMark(((0.0625, 0.0), (0.12, 0.04), (0.12, -0.04)), closed=True)
    rich = SymbolEntry("range plug", "receptacle", shape=(*DUPLEX, arrow), volts=240)
    rows = [drawn(DRYER, 308, 300), drawn((*DUPLEX, arrow), 303, 302, 72)]
    result = spot(sheet(rows, [word("D", 308, 300, 4)]), Mapping("m", Drawing(), (*ALL, PLUG, rich)), PROVED)
    assert told(result) == {"dryer": True, "range plug": True}


def test_a_circuit_number_on_a_small_refrigerator_is_the_outlets() -> None:
    scale = (replace(PROVED[0], ratio=96.0),)
    cold = fixture("cold", "refrigerator", (box(36, 30), box(30, 24), TextMark("REF", (0, 0))))
    rows = [drawn(cold.shape or (), 300, 300, UNIT / 2), drawn(DUPLEX, 300, 282, 72)]
    words = [word("REF", 300, 300, 4), word("14", 304, 293, 5)]
    result = spot(sheet(rows, words), Mapping("m", Drawing(), (cold, PLUG)), scale)
    assert told(result) == {"cold": True, "duplex": True}


# ------------------------------------------------------------------------------- views without a scale


BATH = [(SINK, 200, 200), (TUB, 400, 200), (CLOSET, 200, 400), (DRYER, 400, 400)]


@pytest.mark.parametrize("ratio", [96.0, 61.0, 48.0, 24.0])
def test_fixtures_of_a_view_without_a_scale_agree_on_one(ratio: float) -> None:
    rows = [drawn(marks, x, y, 72 / ratio) for marks, x, y in BATH]
    result = spot(sheet(rows, [word("D", 400, 400)]), Mapping("m", Drawing(), ALL), UNKNOWN)
    assert told(result) == {"sink": True, "tub": True, "closet": True, "dryer": True}
    (said,) = [note for note in result.assumptions if "nothing proves the scale" in note]
    assert f"1:{ratio:.0f}" in said
    assert not [note for note in result.assumptions if "was looked for" in note]


def test_fixtures_that_agree_on_no_ratio_are_not_found() -> None:
    """Pictures of a catalogue, each of another size."""
    rows = [drawn(SINK, 200, 200, 1.5), drawn(TUB, 400, 200, 1.0), drawn(CLOSET, 200, 400, 2.1)]
    result = spot(sheet(rows), Mapping("m", Drawing(), ALL), UNKNOWN)
    assert told(result) == {}
    assert [note for note in result.assumptions if "nothing drawn in its real size was looked for: " in note]


def test_a_ratio_that_fixtures_agree_on_serves_its_own_view_only() -> None:
    views = (View("v1", "PLAN", (0, 0, 300, 900)), View("v2", "DETAIL", (300, 0, 900, 900)))
    scales = (PROVED[0], replace(UNKNOWN[0], view="v2"))
    rows = [drawn(CLOSET, 150, 600, 2.0)]  # of a wrong size in the view with a scale
    rows += [drawn(marks, x + 200, y, 2.0) for marks, x, y in BATH]
    result = spot(sheet(rows, [word("D", 600, 400)], views), Mapping("m", Drawing(), ALL), scales)
    assert sorted((s.entry.name, s.view) for s in result.symbols) == [
        (name, "v2") for name in ("closet", "dryer", "sink", "tub")
    ]


SAID = Scale("v1", 50.0, "note", "1:50", "single", (ScaleEvidence("note", 50.0, "1:50"),), 0.03)


def test_fixtures_speak_against_a_note_that_nothing_measures() -> None:
    """A half-size print that still says 1:50: house 29033 found none of its 16 fixtures, and did not say so."""
    rows = [drawn(marks, x, y, 72 / 100) for marks, x, y in BATH]
    result = spot(sheet(rows, [word("D", 400, 400)]), Mapping("m", Drawing(), ALL), (SAID,))
    assert told(result) == {"sink": True, "tub": True, "closet": True, "dryer": True}
    ((view, against),) = result.against
    assert view == "v1" and against.ratio == pytest.approx(100, rel=0.01) and against.count >= 2
    assert [note for note in result.assumptions if "nothing measures the scale" in note and "1:100" in note]


@pytest.mark.parametrize(
    ("ratio", "scale"),
    [
        (50.0, SAID),  # the note holds
        (51.2, SAID),  # a print fitted to its margins
        (100.0, replace(SAID, evidence=(*SAID.evidence, ScaleEvidence("dimension", 50.0, "12'-0\"", 6)))),
    ],
)
def test_fixtures_say_nothing_against_a_scale_that_fits_or_is_measured(ratio: float, scale: Scale) -> None:
    rows = [drawn(marks, x, y, 72 / ratio) for marks, x, y in BATH]
    assert spot(sheet(rows), Mapping("m", Drawing(), ALL), (scale,)).against == ()


# ------------------------------------------------------------------------------------ drawn by others


def test_a_bowl_joined_to_its_rim_by_mitred_corners_is_measured_to() -> None:
    """Distances to a sink run to its bowl, also where lines join the corners of bowl and rim."""
    mitres = tuple(LineMark((12.5 * a, 11 * b), (10 * a, 8.5 * b)) for a in (-1, 1) for b in (-1, 1))
    tray = (box(25, 22), box(20, 17), *mitres, CircleMark((4, 0), 1.5))
    result = spot(sheet([drawn(tray, 300, 300)]), Mapping("m", Drawing(), (fixture("t", "sink", tray),)), PROVED)
    (symbol,) = result.symbols
    assert symbol.found and not symbol.reasons and symbol.edge is not None
    assert abs(symbol.edge.area / UNIT**2 - 20 * 17) < 2


def test_an_outline_drawn_twice_on_a_plotters_grid_is_one_outline() -> None:
    """Two copies of a rim, rounded to neighbouring steps of 1/600 in, are one line to the ink that lies between."""
    grid = 0.12 / UNIT
    twice = (box(26, 36), box(26 + 2 * grid, 36 + 2 * grid), box(23, 32), CircleMark((6, 0), 1.2))
    once = (box(26 + grid, 36 + grid), box(23, 32), CircleMark((6, 0), 1.2))
    result = spot(sheet([drawn(once, 300, 300)]), Mapping("m", Drawing(), (fixture("t", "sink", twice),)), PROVED)
    assert told(result) == {"t": True}


def test_a_tub_whose_rim_is_drawn_on_three_sides_is_measured_to_its_hull() -> None:
    """The wall is the fourth side.  The largest closed outline is a part of the basin, too far inside."""
    rim = tuple(LineMark(a, b) for a, b in (((-30, -16), (30, -16)), ((30, -16), (30, 16)), ((30, 16), (-30, 16))))
    tub = fixture("tub", "bathtub", (*rim, oval(24, 12, 2, 0), box(5, 22, -27, 0)))
    (symbol,) = spot(sheet([drawn(tub.shape or (), 300, 300)]), Mapping("m", Drawing(), (tub,)), PROVED).symbols
    assert symbol.edge is not None and abs(symbol.edge.area / UNIT**2 - 60 * 32) < 20
    assert any("not closed" in reason for reason in symbol.reasons)


def test_both_bowls_count_where_their_rim_is_not_closed() -> None:
    rim = tuple(LineMark(a, b) for a, b in (((-17, -11), (17, -11)), ((17, -11), (17, 11)), ((-17, 11), (17, 11))))
    sink = fixture("sink", "sink", (*rim, box(14, 16, -8, 1), box(13, 15, 8, 1)))
    (symbol,) = spot(sheet([drawn(sink.shape or (), 300, 300)]), Mapping("m", Drawing(), (sink,)), PROVED).symbols
    assert symbol.edge is not None and abs(symbol.edge.area / UNIT**2 - (14 * 16 + 13 * 15)) < 5


@pytest.mark.parametrize("ratio", [48.0, 64.0])
def test_a_round_bowl_of_the_size_of_an_outlet_is_still_told_as_a_sink(ratio: float) -> None:
    """A bar sink whose bowl may be the circle of a range outlet: the doubt about the outlet hid the sink."""
    bar = (box(15, 15), CircleMark((0, 0), 5.5), CircleMark((0, 0), 1.0))
    plug = SymbolEntry("range plug", "receptacle", shape=(CircleMark((0, 0), 5.6 / ratio), TextMark("R", (0, 0))))
    page = sheet([drawn(bar, 400, 400, 72 / ratio)])
    result = spot(page, Mapping("m", Drawing(), (plug,)), (replace(PROVED[0], ratio=ratio),))
    assert told(result).get("sink by its shape") is False


@pytest.mark.parametrize("burner", [False, True])
def test_outlined_letters_that_make_no_word_are_no_filled_part_of_a_rich_fixture(burner: bool) -> None:
    """The reader of lettering drops two letters that are no word of a plan; a solid burner is somebody's mark."""
    paint = [shapely.Point(305, 304).buffer(3)] if burner else outlined("WA", 302, 299)
    plan = sheet_of([drawn(RANGE, 300, 300, UNIT / 2)], fills=painted(*paint))
    mapping = Mapping("m", Drawing(), (fixture("range", "range", RANGE),))
    result = spot(plan, mapping, (replace(PROVED[0], ratio=96.0),), read=read_glyphs)
    assert told(result) == {"range": not burner}

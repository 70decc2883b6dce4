"""Outlets whose entry the mapping file lacks: told by the legend, as repeated shapes, as circles with bars."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import (
    CircleMark,
    Drawing,
    FloatArray,
    LineMark,
    Mapping,
    Reading,
    Scale,
    Spotting,
    SymbolEntry,
    Unexplained,
    Word,
)  # fmt: skip
from cordpath.no_outlets import without_outlets
from cordpath.symbols import spot
from cordpath.symbols.ink.normalise import normalise
from cordpath.symbols.matching import hypothesise
from cordpath.symbols.templates.template import make
from cordpath.symbols.unexplained import unmapped
from drawn_page import duplex, frame, ring, sheet, words

SCALE = (Scale("v1", 48.0, "note", "", "single"),)
INCH = 72.0
PLAIN = SymbolEntry(
    "duplex receptacle", "receptacle",
    (CircleMark((0, 0), 5.4 / INCH), LineMark((-2 / INCH, -10 / INCH), (-2 / INCH, 7.5 / INCH)),
     LineMark((2 / INCH, -10 / INCH), (2 / INCH, 7.5 / INCH))),
    wall_side=(0, -1), volts=125.0,
)  # fmt: skip
LIGHT = SymbolEntry(
    "ceiling light", "light",
    (CircleMark((0, 0), 6.5 / INCH), *(LineMark((-x, -y), (x, y)) for x, y in ((9 / INCH, 0), (0, 9 / INCH)))),
)  # fmt: skip

FLOOR = SymbolEntry(
    "floor outlet", "receptacle",
    tuple(LineMark((x0 / INCH, y0 / INCH), (x1 / INCH, y1 / INCH)) for x0, y0, x1, y1 in
          ((-6, -6, 6, -6), (6, -6, 6, 6), (6, 6, -6, 6), (-6, 6, -6, -6), (-6, -6, 6, 6), (-6, 6, 6, -6))),
)  # fmt: skip


def heavy(x: float, y: float) -> FloatArray:
    """Three bars: the 240 V outlet that no entry names."""
    return np.r_[ring(x, y, 5.4), [[x + u, y - 10, x + u, y + 7.5] for u in (-3, 0, 3)]]


def light(x: float, y: float) -> FloatArray:
    return np.r_[ring(x, y, 6.5), [[x - 9, y, x + 9, y], [x, y - 9, x, y + 9]]]


def over_lines(x: float, y: float) -> FloatArray:
    """The edges of an appliance, one of which runs through the outlet."""
    return np.r_[frame(x - 40, y - 3, x + 40, y + 60), [[x - 40, y + 4, x + 40, y + 4]]]


def spotted(drawings: list[FloatArray], texts: list[Word], legend: bool, *entries: SymbolEntry) -> Spotting:
    return spot(
        sheet(drawings, texts, legend=legend), Mapping("m.yaml", Drawing(), entries or (PLAIN, LIGHT)), SCALE
    )


def shapes(done: Spotting) -> list[Unexplained]:
    return [item for item in done.unexplained if not item.is_label]


LEGEND = [duplex(530, 90), heavy(530, 130), light(530, 170)]
ROWS = (words("ELECTRICAL LEGEND", 580, 55, 0) + words("DUPLEX RECEPTACLE", 560, 90, 1)
        + words("240 V RECEPTACLE", 560, 130, 2) + words("CEILING LIGHT", 560, 170, 3))  # fmt: skip


def test_one_outlet_that_only_the_legend_names_is_told() -> None:
    done = spotted([*LEGEND, duplex(100, 100), heavy(200, 200), over_lines(200, 200)], ROWS, True)
    (item,) = shapes(done)
    assert item.what.startswith("a symbol that the legend calls '240 V RECEPTACLE', drawn once")
    assert item.at == (pytest.approx((200, 198.75), abs=2.0),)
    assert item.marks and item.box is not None


def test_what_the_mapping_file_names_is_not_told() -> None:
    whole = SymbolEntry(
        "240 V receptacle", "receptacle",
        (PLAIN.shape[0], *(LineMark((u / INCH, -10 / INCH), (u / INCH, 7.5 / INCH)) for u in (-3, 0, 3))),
        volts=240.0,
    )  # fmt: skip
    drawings = [*LEGEND, duplex(100, 100), heavy(200, 200), over_lines(200, 200), light(300, 300)]
    done = spotted(drawings, ROWS, True, PLAIN, LIGHT, whole)
    assert not shapes(done)
    assert sorted(s.entry.name for s in done.symbols) == ["240 V receptacle", "ceiling light", "duplex receptacle"]


def test_few_lights_that_only_the_legend_names_are_of_no_interest() -> None:
    drawings = [*LEGEND, duplex(100, 100), light(300, 300), over_lines(300, 300)]
    assert not shapes(spotted(drawings, ROWS, True, PLAIN))


def test_an_unknown_row_of_the_legend_is_told() -> None:
    rows = [*ROWS[:4], *words("SPECIAL THING", 560, 130, 2)]
    (item,) = shapes(spotted([*LEGEND[:2], heavy(200, 200)], rows, True))
    assert "'SPECIAL THING'" in item.what


def test_a_tag_of_an_outlet_that_the_legend_names_is_not_its_neighbours() -> None:
    """The dryer's outlet was lost, and the light nearby was on its circuit."""
    tag = words("A-6,8", 192, 214, 9)
    done = spotted([*LEGEND, duplex(212, 246), heavy(200, 200)], [*ROWS, *tag], True)
    (outlet,) = [s for s in done.symbols if s.is_outlet]
    assert outlet.fact("circuit") is None


@pytest.mark.parametrize("number", [1, 2])
def test_a_circle_with_bars_is_told_without_a_legend(number: int) -> None:
    places = [(200.0, 200.0), (320.0, 300.0)][:number]
    drawings = [*(heavy(*at) for at in places), *(over_lines(*at) for at in places), duplex(100, 100)]
    (item,) = shapes(spotted(drawings, [], False))
    assert item.count == number
    assert "like an outlet," in item.what or "2 circles with bars, like outlets," in item.what
    assert sorted(item.at) == [pytest.approx(at, abs=0.5) for at in places]


TRIANGLE = np.array([[0, -6, 5, 4], [5, 4, -5, 4], [-5, 4, 0, -6.0]])
TRIANGLES = [(60.0, 160.0), (160, 180), (260, 170), (200, 50)]  # the last one hangs together with a ring


def triangles() -> Unexplained:
    drawings = [TRIANGLE + np.tile(at, 2) for at in TRIANGLES]
    return shapes(spotted([*drawings, ring(*TRIANGLES[3], 5.4), duplex(350, 350)], [], False))[0]


def test_places_of_a_repeated_shape_that_lines_cross_are_told_with_it() -> None:
    """After the others: what crosses it, or fills it, may make another device of it."""
    item = triangles()
    assert item.what == "a shape drawn 4 times that the mapping file does not name"
    assert item.at[3] == pytest.approx((200, 50), abs=2.0)


def test_a_shape_that_may_stand_in_too_many_places_says_that_not_all_are_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(unmapped, "MOST_POSES", 3)
    item = triangles()
    assert item.what.startswith("a shape drawn 3 times")
    assert item.what.endswith("does not name; places that lines cross are not all among them")


def test_a_shape_that_is_no_evidence_by_its_lines_says_that_not_all_are_told() -> None:
    """The halves of discs were told where nothing crosses them, and those that an arc meets were not."""
    half = ring(0.0, 0.0, 6.0)
    half = half[half[:, [1, 3]].mean(1) < 0]
    drawings = [half + np.tile(at, 2) for at in [*TRIANGLES, (320.0, 90.0)]]
    (item,) = shapes(spotted([*drawings, ring(320.0, 81.0, 3.0), duplex(350, 350)], [], False))
    assert item.what.endswith("does not name; places that lines cross are not all among them")


@pytest.mark.parametrize("spare", [-100, -1, 0, 1, 1000])
def test_the_first_circles_tell_too_many_places_as_all_of_them_do(
    monkeypatch: pytest.MonkeyPatch, spare: int
) -> None:
    monkeypatch.setattr(hypothesise, "TRIED", 7)
    drawings = [duplex(40.0 * (k % 10), 40.0 * (k // 10)) for k in range(60)]
    xy = np.concatenate([*drawings, *(ring(-40.0, 40.0 * k, 5.4) for k in range(40))])
    ink = normalise(xy, np.full(len(xy), -1, np.int64), np.ones(len(xy), bool), np.zeros((0, 4)))
    template = make(PLAIN, PLAIN.shape or (), INCH, 0.95, 1.05, None)
    every = hypothesise.Places(ink).poses(template)
    few = hypothesise.Places(ink).few_poses(template, len(every) + spare)
    assert len(every) > 100
    assert (few is None) == (spare < 0)
    assert few is None or np.array_equal(few, every)


def test_hatch_is_no_shape_with_an_outline_and_a_square_with_bars_is() -> None:
    hatch = tuple(LineMark((0.0, k / 20), (0.4, k / 20)) for k in range(6))
    assert not unmapped._encloses((*hatch, LineMark((0, 0), (0.1, 0.1))))
    sides = (((0, 0), (0.2, 0)), ((0.2, 0), (0.2, 0.2)), ((0.2, 0.2), (0, 0.2)), ((0, 0.2), (0, 0)))
    bars = tuple(LineMark((0.0, y), (0.3, y)) for y in (0.07, 0.13))
    assert unmapped._encloses((*(LineMark(a, b) for a, b in sides), *bars))


@pytest.mark.parametrize(
    "drawing",
    [
        ring(200, 200, 5.4),
        np.r_[ring(200, 200, 5.4), [[150, 200, 250, 200], [200, 150, 200, 250]]],  # a column with its centre lines
        np.r_[ring(200, 200, 5.4), [[196, 100, 196, 400], [204, 100, 204, 400]]],  # in a wall
        np.r_[ring(200, 200, 5.4), [[200, 205.4, 200, 220]]],  # a bubble on its leader
        np.r_[ring(200, 200, 20), [[195, 170, 195, 230], [205, 170, 205, 230]]],  # a basin, a wheel
    ],
)
def test_circles_that_are_no_outlets(drawing: FloatArray) -> None:
    assert not shapes(spotted([drawing, duplex(100, 100)], [], False))


@pytest.mark.parametrize(("tag", "told"), [("A-12", "with bars, like an outlet"), ("TYP", "with a line or a mark")])
def test_a_circle_on_a_stem_to_a_wall_is_told_and_as_an_outlet_where_it_has_a_tag(tag: str, told: str) -> None:
    drawing = [np.r_[ring(200, 200, 5.4), [[200, 194.6, 200, 185], [120, 185, 280, 185]]], duplex(100, 100)]
    (item,) = shapes(spotted(drawing, words(tag, 207, 203), False))
    assert told in item.what
    assert item.at == (pytest.approx((200, 200), abs=0.5),)


@settings(max_examples=25, deadline=None)
@given(
    turn=st.floats(0, 360), size=st.floats(0.6, 1.4), apart=st.floats(0.15, 0.75), x=st.floats(80, 350),
    y=st.floats(80, 350),
)  # fmt: skip
def test_a_circle_with_two_bars_is_told_however_it_is_turned(
    turn: float, size: float, apart: float, x: float, y: float
) -> None:
    u = 5.4 * apart
    shape = np.r_[ring(0, 0, 5.4), [[-u, -10, -u, 7.5], [u, -10, u, 7.5]]] * size
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    turned = (shape.reshape(-1, 2) @ np.array([[c, s], [-s, c]]) + (x, y)).reshape(-1, 4)
    items = shapes(spotted([np.round(turned / 0.12) * 0.12, frame(20, 20, 420, 420)], [], False, LIGHT))
    assert [item.count for item in items] == [1]
    assert items[0].at[0] == pytest.approx((x, y), abs=0.5)


@pytest.mark.parametrize("turn", [0.0, 33.0, 90.0])
@pytest.mark.parametrize(("radius", "chords"), [(4.5, 10), (2.7, 12), (7.0, 16), (1.8, 12)])
def test_a_circle_on_two_stems_is_told_however_few_its_chords_and_small_the_print(
    radius: float, chords: int, turn: float
) -> None:
    """The stems began at the circle, a little off the chords that cut its corners: it was lost without a word."""
    a = np.linspace(0, 2 * np.pi, chords + 1) + 0.1
    rim = np.c_[np.cos(a), np.sin(a)]
    stems = [(x, -np.sqrt(1 - 0.38**2), x, -2) for x in (-0.38, 0.38)]
    shape = np.r_[np.c_[rim[:-1], rim[1:]], stems] * radius
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    turned = (shape.reshape(-1, 2) @ np.array([[c, s], [-s, c]]) + (200, 200)).reshape(-1, 4)
    (item,) = shapes(spotted([turned, duplex(100, 100)], [], False))
    assert item.at[0] == pytest.approx((200, 200), abs=0.5)


def reading_of(done: Spotting) -> Reading:
    return Reading(sheet([]), (), done, (), (), (), (), (), done.unexplained)


def test_a_plan_of_outlets_that_only_the_legend_names_fails() -> None:
    """Its labels have their symbols, so that they do not tell any more that outlets must have been missed."""
    drawings = [*LEGEND, heavy(200, 200), duplex(300, 100), light(100, 300)]
    tags = [*words("A-1", 206, 214, 8), *words("A-3", 306, 114, 9)]
    done = spotted(drawings, [*ROWS, *tags], True, LIGHT, FLOOR)
    assert not [item for item in done.unexplained if item.is_label]
    result = without_outlets("f.pdf", 1, reading_of(done), ())
    assert result.status == "failed"
    assert "the legend calls '240 V RECEPTACLE'" in (result.why or "")
    assert "another mapping file" in (result.why or "")


def test_a_plan_of_lights_is_passed_over() -> None:
    done = spotted([*LEGEND, *(light(100 * k, 300) for k in range(1, 5))], ROWS, True, PLAIN)
    assert shapes(done)[0].count == 4
    assert without_outlets("f.pdf", 1, reading_of(done), ()).status == "skipped"


def test_what_stands_at_a_told_place_alone_is_not_looked_at_again() -> None:
    marks = (CircleMark((0, 0), 0.08), LineMark((-0.11, 0), (0.11, 0)), LineMark((0, -0.11), (0, 0.11)))
    template = make(SymbolEntry("x", "receptacle", shape=marks), marks, 72.0, 0.95, 1.05, None)
    at = [(50, 50), (100, 50), (160, 50), (166, 50), (200, 50)]  # the fourth is told and beside one that is not
    poses = np.array([(x, y, 0, 0, 1) for x, y in at], float)
    told = np.array([(51, 50), (100, 52), (168, 50)], float)
    ((_, likely),) = unmapped._untold([(template, poses)], told, fitted=False)
    ((_, untold),) = unmapped._untold([(template, poses)], told)
    assert likely[:, 0].tolist() == [160, 166, 200]  # the fit may yet bring two of them to one place
    assert untold[:, 0].tolist() == [160, 200]

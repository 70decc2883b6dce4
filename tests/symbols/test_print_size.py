"""What is said of symbols that are drawn at another size than the mapping file's."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from cordpath.model import (
    CircleMark,
    Drawing,
    LineMark,
    Mapping,
    PolylineMark,
    Region,
    Scale,
    SymbolEntry,
    TextMark,
    View,
)
from cordpath.sheet import read_glyphs
from cordpath.symbols import spot
from cordpath.symbols.examples.page_marks import scaled
from drawn_page import duplex, sheet
from symbols.test_drawn_letters import lettered
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of
from symbols.test_twins import painted

SCALE = (Scale("v1", 48.0, "note", "", "single"),)


@pytest.mark.parametrize(("size", "said"), [(1.35, "an enlarged print"), (0.5, "a reduced print")])
def test_a_print_of_another_size_is_told_as_what_it_is(size: float, said: str) -> None:
    """Symbols at 1.35 of their size were ``a reduced print?``"""
    inch = 72.0 * size
    lines = tuple(LineMark((x / inch, -10 / inch), (x / inch, 7.5 / inch)) for x in (-2, 2))
    known = SymbolEntry("duplex", "receptacle", shape=(CircleMark((0.0, 0.0), 5.4 / inch), *lines))
    walls = np.array([[40.0, 90.0, 420.0, 90.0]])
    page = sheet([*(duplex(x, 100) for x in (80, 140, 200, 260, 320)), walls])
    notes = spot(page, Mapping("m", Drawing(), (known,)), SCALE).assumptions
    assert any(said in note and "duplex" in note for note in notes)


@pytest.mark.parametrize(
    ("size", "found", "usual"), [(1.0, True, 1.0), (2.0, False, 1.0), (1.5, False, 1.0), (2.0, False, 0.5)]
)
def test_outlets_that_were_enlarged_with_their_view_are_asked_about(size: float, found: bool, usual: float) -> None:
    """The outlets of the plan had the size of the mapping file, so that no other was looked for: those of an
    enlarged kitchen that no circle tells were lost in silence.  The size is that of the entry's ``scales``, half of
    a shape that was written too large."""
    corners = ((-0.09, -0.06), (0.09, -0.06), (0.09, 0.06), (-0.09, 0.06))
    box = (PolylineMark(corners, True), LineMark((-0.09, -0.06), (0.09, 0.06)), LineMark((0.0, 0.06), (0.0, 0.12)))
    views = (View("v1", "FLOOR PLAN", (0, 0, 300, 600)), View("v2", "ENLARGED KITCHEN", (300, 0, 600, 600)))
    plan = [strokes_of(box, at(60.0 + 60 * k, 100.0, 40.0 * k)) for k in range(4)]
    kitchen = [strokes_of(box, at(400.0 + 90 * k, 150.0, 70.0 * k, scale=size)) for k in range(2)]
    alone = strokes_of(box, at(450.0, 400.0))  # or what only looks like one of the usual size
    scales = tuple(
        Scale(name, ratio, "note", "", "single") for name, ratio in (("v1", 48.0), ("v2", 48.0 / max(size, 1.5)))
    )
    known = entry("floor box", scaled(box, 1 / usual), scales=(0.95 * usual, 1.05 * usual))
    result = spot(sheet_of([*plan, *kitchen, alone], views=views), rules(known), scales)
    assert [s.found for s in result.symbols if s.at[0] < 300] == [True] * 4
    assert sorted(s.found for s in result.symbols if s.at[0] > 300) == [found, found, True]
    assert all(f"drawn at {size * usual:.2f}" in s.reasons[0] for s in result.symbols if not s.found)


@pytest.mark.parametrize(("size", "count"), [(1.4, 2), (0.7, 2), (1.4, 1)])
def test_outlets_of_another_size_among_those_of_the_usual_one_are_told(size: float, count: int) -> None:
    """They were lost in silence where no circle and no third of their like told them: one that stands by itself
    tells the size, by which the one on a wire is found.  One alone may be something else, and is told as such."""
    corners = ((-0.09, -0.06), (0.09, -0.06), (0.09, 0.06), (-0.09, 0.06))
    box = (PolylineMark(corners, True), LineMark((-0.09, -0.06), (0.09, 0.06)), LineMark((0.0, 0.06), (0.0, 0.12)))
    usual = [strokes_of(box, at(60.0 + 60 * k, 100.0, 40.0 * k)) for k in range(4)]
    other = [strokes_of(box, at(100.0 + 150 * k, 300.0, 70.0 * k, scale=size)) for k in range(count)]
    wire = np.array([[252.0, 300.0, 390.0, 320.0]])
    found = spot(sheet_of([*usual, *other, wire]), rules(entry("floor box", box)), ())
    assert [s.found for s in found.symbols] == [True] * 4
    told = {round(x, -1): rest.what for rest in found.unexplained for x, y in rest.at if abs(y - 300) < 3}
    assert set(told) == ({100, 250} if count == 2 else {100})
    what = f"'floor box' at {size:.2f} of its size" if count == 2 else "a shape with a line or a mark, drawn once"
    assert all(what in each for each in told.values())


def test_outlets_of_two_other_sizes_are_told_at_each() -> None:
    """Only the more frequent of the sizes was looked at: those of the other were lost in silence."""
    corners = ((-0.09, -0.06), (0.09, -0.06), (0.09, 0.06), (-0.09, 0.06))
    box = (PolylineMark(corners, True), LineMark((-0.09, -0.06), (0.09, 0.06)), LineMark((0.0, 0.06), (0.0, 0.12)))
    sizes = (*[1.0] * 3, *[1.4] * 2, *[0.7] * 2)
    drawn = [strokes_of(box, at(60.0 + 60 * k, 100.0, 40.0 * k, scale=size)) for k, size in enumerate(sizes)]
    found = spot(sheet_of(drawn), rules(entry("floor box", box)), ())
    assert [s.found for s in found.symbols] == [True] * 3
    told = {rest.what[-19:]: rest.count for rest in found.unexplained if "of its size" in rest.what}
    assert told == {"at 1.40 of its size": 2, "at 0.70 of its size": 2}


@pytest.mark.parametrize("square", [True, False])
def test_plain_outlets_that_were_enlarged_with_their_view_are_asked_about(square: bool) -> None:
    """Only shapes that are evidence by themselves were looked for: on a wall of the plan these are outlets."""
    corners = ((-0.06, -0.06), (0.06, -0.06), (0.06, 0.06), (-0.06, 0.06))
    plain = (PolylineMark(corners, True) if square else CircleMark((0.0, 0.0), 0.06),)
    views = (View("v1", "FLOOR PLAN", (0, 0, 300, 600)), View("v2", "ENLARGED KITCHEN", (300, 0, 600, 600)))
    plan = [strokes_of(plain, at(60.0 + 60 * k, 104.32)) for k in range(4)]
    kitchen = [strokes_of(plain, at(400.0 + 90 * k, 158.64, scale=2.0)) for k in range(2)]
    walls = np.array([[20.0, y, 580.0, y] for y in (92.0, 100.0)])
    page = sheet_of([*plan, *kitchen, walls, walls + np.array([300.0, 50.0, 0.0, 50.0])], views=views)
    scales = tuple(Scale(name, ratio, "note", "", "single") for name, ratio in (("v1", 48.0), ("v2", 24.0)))
    found = spot(page, rules(entry("floor box", plain, wall_side=(0.0, -1.0))), scales).symbols
    assert sum(s.found for s in found if s.at[0] < 300) >= 3
    assert [s.found for s in found if s.at[0] > 300] == [False, False]


def test_solid_outlets_that_were_enlarged_with_their_view_are_asked_about() -> None:
    """Paint of more than a few times the largest body of the mapping file is a background's."""
    solid = PolylineMark(((-0.06, -0.06), (0.06, -0.06), (0.06, 0.06), (-0.06, 0.06)), True, True)
    stem = LineMark((0.06, 0.0), (0.12, 0.0))
    places = [at(60.0 + 60 * k, 100.0, 40.0 * k) for k in range(4)] + [at(450.0, 150.0, 70.0, scale=2.0)]
    areas = painted(*(shapely.Polygon(pose.apply(np.array(solid.points) * 72)) for pose in places))
    views = (View("v1", "FLOOR PLAN", (0, 0, 300, 600)), View("v2", "ENLARGED KITCHEN", (300, 0, 600, 600)))
    page = sheet_of([strokes_of((stem,), pose) for pose in places], fills=areas, views=views)
    scales = (Scale("v1", 48.0, "note", "", "single"), Scale("v2", 24.0, "note", "", "single"))
    found = spot(page, rules(entry("dryer", (solid, stem))), scales).symbols
    assert sorted((s.found, s.at[0] > 300) for s in found) == [(False, True), *[(True, False)] * 4]


def test_a_legend_in_another_size_than_the_plans_is_told_at_each_outlet() -> None:
    """Its samples have the size that was learnt from them, so that no other was tried: the outlets of the plan were
    unexplained, and solid ones lost in silence."""
    samples = [duplex(520, 100) * 1.5 - np.tile([260.0, 50.0], 2)]
    page = sheet([*samples, *(duplex(x, 100) for x in (80, 140, 200, 260, 320))], legend=True)
    lines = tuple(LineMark((x / 72, -10 / 72), (x / 72, 7.5 / 72)) for x in (-2.0, 2.0))
    known = SymbolEntry("duplex", "receptacle", shape=scaled((CircleMark((0.0, 0.0), 5.4 / 72), *lines), 1.5))
    found = spot(page, Mapping("m", Drawing(), (known,)), SCALE)
    assert len(found.symbols) == 5
    assert not any(each.found for each in found.symbols)
    assert any("is drawn at 0.6" in note for note in found.assumptions)


@pytest.mark.parametrize("letters", [True, False])
def test_a_plain_outlet_of_a_reduced_print_whose_drawn_letters_were_not_read_is_asked_about(letters: bool) -> None:
    """Letters of symbols were read at the mapping file's size only: without them a square with a bar is none."""
    corners = ((-0.075, -0.075), (0.075, -0.075), (0.075, 0.075), (-0.075, 0.075))
    square = (PolylineMark(corners, True), LineMark((-0.125, 0), (0.125, 0)), TextMark("IG", (0, -0.158)))
    ring = (
        CircleMark((0, 0), 0.08),
        LineMark((-0.12, 0.03), (0.12, 0.03)),
        LineMark((-0.12, -0.03), (0.12, -0.03)),
    )
    rows = [strokes_of(ring, at(60.0 + 60 * k, 100.0, 40.0 * k, scale=0.6)) for k in range(4)]
    rows.append(strokes_of(square, at(300.0, 300.0, scale=0.6)))
    rows += [lettered("IG", 300.0, 300.0 + 72 * 0.158 * 0.6, 3.6)] if letters else []
    result = spot(sheet_of(rows), rules(entry("duplex", ring), entry("isolated", square)), (), read=read_glyphs)
    assert [s.found for s in result.symbols if s.entry.name == "isolated"] == ([False] if letters else [])


@pytest.mark.parametrize("largest", [1.4, 2.0])
def test_outlets_a_little_smaller_than_their_entries_may_be_are_asked_about(largest: float) -> None:
    """Those of which enough is covered at the least size were found there, and the others lost in silence: that
    sizes of the sheet were within the mapping file's was held to be proved by them (design 2816)."""
    corners = ((-0.13, -0.08), (0.13, -0.08), (0.13, 0.08), (-0.13, 0.08))
    box = (PolylineMark(corners, True), LineMark((-0.13, -0.08), (0.13, 0.08)), LineMark((0.0, 0.08), (0.0, 0.2)))
    rings = (CircleMark((0, 0), 0.2), CircleMark((0, 0), 0.11), LineMark((0.2, 0), (0.32, 0)))
    drawn = [strokes_of(box, at(60.0 + 80 * k, 100.0, 40.0 * k, scale=0.68)) for k in range(4)]
    drawn += [strokes_of(rings, at(60.0 + 80 * k, 250.0, 70.0 * k, scale=0.68)) for k in range(4)]
    drawn += [strokes_of(box, at(500.0, 100.0)), strokes_of(rings, at(500.0, 200.0))]
    legend = (Region("legend", (450.0, 50.0, 550.0, 250.0)),)
    scales = (0.7, largest)
    known = rules(entry("special", box, scales=scales), entry("dedicated", rings, scales=scales))
    found = spot(sheet_of(drawn, regions=legend), known, ()).symbols
    assert [s.found for s in found if s.entry.name == "special"] == [True] * 4
    assert [s.found for s in found if s.entry.name == "dedicated"] == [False] * 4


def test_a_plain_circle_of_the_usual_size_tells_nothing_of_plain_outlets_of_a_reduced_print() -> None:
    """A circle of a tree was held to be the outlet, and none sought at the print's size (design 3274)."""
    circle = (CircleMark((0, 0), 0.1),)
    bars = (CircleMark((0, 0), 0.1), LineMark((-0.15, 0.03), (0.15, 0.03)), LineMark((-0.15, -0.03), (0.15, -0.03)))
    drawn = [strokes_of(bars, at(60.0 + 60 * k, 100.0, 40.0 * k, scale=0.6)) for k in range(4)]
    drawn += [strokes_of(circle, at(300.0, 300.0, scale=0.6)), strokes_of(circle, at(400.0, 400.0))]
    found = spot(sheet_of(drawn), rules(entry("duplex", bars), entry("floor box", circle)), ()).symbols
    assert sorted((round(s.at[0]), s.found) for s in found if s.entry.name == "floor box")[0] == (300, False)

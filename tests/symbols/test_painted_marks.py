"""Symbols whose marks are painted without a pen: dots, wedges and solid halves in or at plain outlines."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import ArcMark, CircleMark, LineMark, Mark, PolylineMark, TextMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, names, rules, sheet_of, strokes_of, word
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


@pytest.mark.parametrize("mark", ["stem", "tick"])
def test_a_solid_disc_is_not_taken_for_the_plain_one_where_a_stem_or_a_tick_is_drawn_at_it(mark: str) -> None:
    """Paint without a pen has no strokes to share, and its edges counted twice: the plain disc won for certain, or
    stood as a second outlet at its own place."""
    lines: dict[str, tuple[Mark, ...]] = {
        "stem": tuple(LineMark((0.95 * R, y), (1.6 * R, y)) for y in (-0.5 * R, 0.0, 0.5 * R)),
        "tick": (LineMark((0.5 * R, 0.6 * R), (0.9 * R, 1.2 * R)),),
    }
    disc = polygon(24, 0.7 * R)
    plain, more = PolylineMark(disc, closed=True, filled=True), lines[mark]
    poses = [at(120.0 + 90 * k, 150.0, angle) for k, angle in enumerate((0.0, 33.0, 180.0, 250.0))]
    strokes = np.concatenate([strokes_of(more, pose) for pose in poses])
    areas = [shapely.Polygon(pose.apply(np.array(disc) * 72)) for pose in (*poses, at(480.0, 150.0))]
    entries = rules(entry("plain", (plain,)), entry("GFCI", (plain, *more), protection="device"))
    result = spot(sheet_of(strokes, fills=painted(*areas)), entries, ())
    assert sorted(names(result, True)) == ["GFCI"] * len(poses) + ["plain"]
    assert not names(result, False)


@pytest.mark.parametrize("bar", [False, True])
def test_the_leg_of_an_outlined_letter_is_no_tick_of_a_solid_disc(bar: bool) -> None:
    """The A of a note stood so that its leg lay where the tick of another design is: that one won for certain.  A
    tick that is painted as a thin bar is one."""
    disc, tick = polygon(24, 0.7 * R), ((0.5 * R, 0.6 * R), (0.9 * R, 1.2 * R))
    foot, top = at(100.0, 100.0).apply(np.array(tick) * 72)
    way = (top - foot) / np.hypot(*(top - foot))
    wide, across = 0.3, np.array([-way[1], way[0]])
    leg = np.array([foot, top, top + wide * across, foot + wide * across])
    away = [top, top + 6 * across - 4 * way, top + 7 * across - 4 * way, top + wide * across]
    letter = shapely.union_all([shapely.Polygon(leg), *([] if bar else [shapely.Polygon(away)])])
    body = shapely.Polygon(at(100.0, 100.0).apply(np.array(disc) * 72))
    plain = PolylineMark(disc, closed=True, filled=True)
    entries = rules(entry("plain", (plain,)), entry("GFCI", (plain, LineMark(*tick)), protection="device"))
    result = spot(sheet_of(np.array([[300.0, 300, 400, 300]]), fills=painted(body, letter)), entries, ())
    assert ("GFCI" in names(result, True)) == bar


@pytest.mark.parametrize("line", [True, False])
def test_a_richer_body_whose_letters_alone_are_not_there_puts_the_plain_one_in_doubt(line: bool) -> None:
    """A disc on a line with a D beside it that was read as .1 was the bare disc of another entry, for certain."""
    disc, through = polygon(24, 0.7 * R), LineMark((-0.125, 0), (0.125, 0))
    plain = PolylineMark(disc, closed=True, filled=True)
    pose = at(100.0, 100.0, 30.0)
    lines = strokes_of((through,), pose) if line else np.array([[300.0, 300, 400, 300]])
    area = shapely.Polygon(pose.apply(np.array(disc) * 72))
    entries = rules(entry("plain", (plain,)), entry("dimmer", (plain, through, TextMark("D", (0, -0.16))), "light"))
    result = spot(sheet_of(lines, fills=painted(area)), entries, ())
    assert names(result, True) == ([] if line else ["plain"])
    assert names(result, False) == (["plain"] if line else [])


Q = 2.2 / 72  # inch: a symbol of 6 pt from end to end
PILL: tuple[Mark, ...] = (
    LineMark((-0.6 * Q, -0.5 * Q), (0.6 * Q, -0.5 * Q)),
    LineMark((-0.6 * Q, 0.5 * Q), (0.6 * Q, 0.5 * Q)),
    ArcMark((0.6 * Q, 0), 0.5 * Q, 270, 90),
    ArcMark((-0.6 * Q, 0), 0.5 * Q, 90, 270),
)
POINTER: Ring = ((1.05 * Q, -0.4 * Q), (1.7 * Q, 0.0), (1.05 * Q, 0.4 * Q))


@pytest.mark.parametrize("exploded", [False, True])
def test_a_small_solid_pointer_at_one_end_is_seen_or_asked_about(exploded: bool) -> None:
    """The lines alone look the same either way round, and on a plotter's grid one way fits a little better: the
    pointer was looked for at the other end, and the outlet named as its plain twin for certain.  Strokes that fill
    so small a pointer are told by its outline alone."""
    poses = [
        at(60.0 + 40 * k, 150.0 + 20.31 * (k % 7), 17.0 * k, mirrored=k % 2 > 0, scale=(1.0, 1.06, 0.93)[k % 3])
        for k in range(13)
    ]
    edges = tuple(LineMark(a, b) for a, b in zip(POINTER, (*POINTER[1:], POINTER[0]), strict=True))
    rows = tuple(LineMark((1.1 * Q, y * Q), (1.55 * Q, y * Q)) for y in (-0.2, 0.0, 0.2))
    drawn = (*PILL, *edges, *rows) if exploded else PILL
    strokes = np.concatenate([strokes_of(drawn, pose, grid=0.12) for pose in poses])
    areas = [] if exploded else [shapely.Polygon(pose.apply(np.array(POINTER) * 72)) for pose in poses]
    scales = (0.8, 1.25)
    pointed = entry("GFCI", (*PILL, PolylineMark(POINTER, True, True)), protection="device", scales=scales)
    entries = rules(entry("plain", PILL, scales=scales), pointed)
    result = spot(sheet_of(strokes, fills=painted(*areas) if areas else None), entries, ())
    assert "plain" not in names(result, True)
    assert len(result.symbols) == len(poses)


def test_a_text_over_a_symbol_with_a_solid_corner_does_not_make_it_the_plain_one() -> None:
    """WA of a note over it was against the design with the corner, and the plain one was there for certain."""
    half = (LineMark((0.0, -R), (0.0, R)), ArcMark((0.0, 0.0), R, -90, 90))
    stems = tuple(LineMark((1.15 * R, y), (1.6 * R, y)) for y in (-0.4 * R, 0.0, 0.4 * R))
    corner = PolylineMark(((-0.5 * R, -R), (-0.5 * R, 0.0), (0.3 * R, -0.6 * R)), True, True)
    pose = at(200.0, 150.0)
    area = shapely.Polygon(pose.apply(np.array(corner.points) * 72))
    entries = rules(entry("plain", (*half, *stems)), entry("GFCI", (*half, *stems, corner), protection="device"))
    sheet = sheet_of(strokes_of((*half, *stems), pose), fills=painted(area))
    assert names(spot(sheet, entries, ()), True) == ["GFCI"]
    over = replace(sheet, words=(word("WA", 201.0, 151.0),))
    (asked,) = spot(over, entries, ()).symbols
    assert not asked.found and "GFCI" in {asked.entry.name, *asked.rivals}


@pytest.mark.parametrize("across", ["wire", "wire and note"])
def test_a_solid_half_with_a_solid_pointer_is_not_the_half_alone_whatever_runs_over_it(across: str) -> None:
    """A wire and a note over it were against the larger of the two; its pointer was compared together with its
    half, most of which is the plain one's, and the plain one was there for certain."""
    radius = 7.0 / 72
    half = PolylineMark(polygon(17, radius, 0, 180), True, True)
    rim = ArcMark((0.0, 0.0), radius, 180, 360)
    pointer = PolylineMark(((1.05 * radius, -0.039), (1.7 * radius, 0.0), (1.05 * radius, 0.039)), True, True)
    pose = at(200.0, 150.0, 90.0)
    areas = [shapely.Polygon(pose.apply(np.array(mark.points) * 72)) for mark in (half, pointer)]
    wire = np.array([[190.0, 100.0, 197.5, 143.3], [200.6, 157.5, 208.0, 200.0]])
    note = np.array([[198.0, 143.0, 200.0, 149.0], [200.0, 149.0, 202.0, 143.0], [202.0, 143.0, 204.0, 149.0],
                     [206.0, 149.0, 208.0, 143.0], [208.0, 143.0, 210.0, 149.0]])  # fmt: skip
    ink = [strokes_of((rim,), pose), wire, *([note] if "note" in across else [])]
    entries = rules(entry("plain", (rim, half)), entry("GFCI", (rim, half, pointer), protection="device"))
    result = spot(sheet_of(np.concatenate(ink), fills=painted(*areas)), entries, ())
    assert "plain" not in names(result, True) and len(result.symbols) == 1


@pytest.mark.parametrize("mirrored", [False, True])
def test_a_hook_beside_a_small_solid_square_is_seen_however_a_plotter_rounds_the_square(mirrored: bool) -> None:
    """Rounded to 1/600 in, the square was 2 % larger and the hook 1 % smaller than written: the edges of paint held
    the hook a tenth of a pt off its place, and the square was the plain one for certain."""
    solid = PolylineMark(polygon(4, 3 / 72, 45, 405), closed=True, filled=True)
    hook = (LineMark((3 / 72, 0), (5.1 / 72, 0)), LineMark((5.1 / 72, 0), (5.1 / 72, 1.5 / 72)))
    pose = at(120.0, 240.0, mirrored=mirrored)
    strokes = pose.apply(np.array([[3.0, 0.0], [5.04, 0.0], [5.04, 0.0], [5.04, 1.44]])).reshape(-1, 4)
    area = shapely.Polygon(pose.apply(2.16 * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])))
    entries = rules(entry("plain", (solid,)), entry("GFCI", (solid, *hook), protection="device"))
    assert names(spot(sheet_of(strokes, fills=painted(area)), entries, ()), True) == ["GFCI"]


@pytest.mark.parametrize("turn", [0.0, 6.0])
def test_a_curved_wire_that_runs_into_a_solid_half_is_no_stem_of_it(turn: float) -> None:
    """A wire drawn as an arc has no straight run that could go on beyond the stem: the half was the one with the
    stem that protects, for certain."""
    r, wide, tilt = 0.125, 100.0, math.radians(turn)
    half = (ArcMark((0, 0), r, 180, 360), PolylineMark(polygon(17, r, 0, 180), closed=True, filled=True))
    pose, way = at(200.0, 150.0), tilt + np.linspace(0.0, 0.6, 4)
    x, y = 208.5 + wide * (np.sin(way) - math.sin(tilt)), 150.0 - wide * (math.cos(tilt) - np.cos(way))
    ink = [strokes_of(half[:1], pose), np.c_[x[:-1], y[:-1], x[1:], y[1:]]]
    stemmed = entry("GFCI", (*half, LineMark((0.95 * r, 0), (1.6 * r, 0))), protection="device")
    fills = painted(shapely.Polygon(pose.apply(np.array(half[1].points) * 72)))
    result = spot(sheet_of(np.concatenate(ink), fills=fills), rules(stemmed, entry("plain", half)), ())
    assert len(result.symbols) == 1 and "GFCI" not in names(result, True)


@pytest.mark.parametrize("hidden", ["half", "dot", "beside", "wall"])
def test_a_mark_that_was_not_read_makes_the_plain_symbol_a_question(hidden: str) -> None:
    """The dark half of the GFCI receptacle painted as a shading: a certain plain one stood there."""
    plain = (CircleMark((0, 0), R), LineMark((-0.03, -0.12), (-0.03, 0.12)), LineMark((0.03, -0.12), (0.03, 0.12)))
    pose, other = at(200.0, 150.0), at(300.0, 150.0)
    sheet = sheet_of(np.concatenate([strokes_of(plain, pose), strokes_of(plain, other)]))
    box = {
        "half": (194.24, 150.0, 205.76, 155.76),
        "dot": (198.2, 147.0, 201.4, 150.2),
        "beside": (207.0, 146.0, 219.0, 154.0),
        "wall": (150.0, 157.0, 250.0, 160.0),
    }[hidden]
    entries = rules(entry("duplex", plain))
    found = spot(replace(sheet, unread_areas=(box,)), entries, ()).symbols
    certain = sorted(round(symbol.at[0]) for symbol in found if symbol.found)
    assert len(found) == 2 and certain == ([200, 300] if hidden == "wall" else [300])
    assert all(symbol.found or any("was not read" in why for why in symbol.reasons) for symbol in found)


def test_one_line_through_the_places_of_two_small_dots_is_no_paint() -> None:
    """A line of 4.5 pt lies within half a pt of all that is looked at in two dots of 0.8 pt: the open box with a
    line in it was the one with the dots, for certain."""
    box = PolylineMark(((-0.0625, -0.044), (-0.0625, 0.044), (0.0625, 0.044), (0.0625, -0.044)))
    ring = polygon(12, 0.01125)
    dots = tuple(
        PolylineMark(tuple((x + right, y) for x, y in ring), closed=True, filled=True) for right in (0.0, 0.03125)
    )
    line = LineMark((-0.03125, 0), (0.03125, 0))
    strokes = strokes_of((box, line), at(200.0, 150.0, 33.0))
    result = spot(sheet_of(strokes), rules(entry("dotted", (box, *dots)), entry("barred", (box, line))), ())
    assert "dotted" not in names(result, True)
    assert "barred" in {symbol.entry.name for symbol in result.symbols}


@pytest.mark.parametrize("angle", [33.0, 90.0, 270.0])
def test_a_solid_half_on_a_line_whose_letters_could_not_be_read_is_no_plain_one(angle: float) -> None:
    """Its lines are the same turned half round: without the letters, which lay on the one side or the other, the
    paint was looked for on the wrong one, and the plain outlet was certain."""
    r = 0.0972
    paint = PolylineMark(polygon(17, r, 180, 360), closed=True, filled=True)
    half, line = (ArcMark((0, 0), r, 180, 360), paint), LineMark((-1.5 * r, 0), (1.5 * r, 0))
    gfci = entry("gfci", (*half, line, TextMark("GFI", (0, 1.9 * r))), protection="device")
    pose = at(100, 100, angle)
    strokes = strokes_of((half[0], line, replace(paint, filled=False)), pose)
    fills = painted(shapely.Polygon(pose.apply(np.array(paint.points) * 72)))
    (symbol,) = spot(sheet_of(strokes, fills=fills), rules(entry("half", half), gfci), ()).symbols
    assert not symbol.found and "gfci" in (symbol.entry.name, *symbol.rivals)


@pytest.mark.parametrize("angle", [0.0, 40.0, 90.0, 135.0])
def test_a_disc_is_no_square_that_it_fills_but_for_the_corners(angle: float) -> None:
    """The larger of the two stood for more paint: where the edges of both were within what they may be off, a solid
    disc was named the solid square, or asked about (random designs 3215, 3267)."""
    q = 4.5 / 72
    tail = PolylineMark(((q, 0.0), (1.3 * q, 0.3 * q), (1.6 * q, -0.3 * q), (1.9 * q, 0.0)))
    disc, square = (
        tuple((r * np.cos(a), r * np.sin(a)) for a in np.linspace(0, 2 * np.pi, n + 1)[:-1] + np.pi / n)
        for n, r in ((24, 0.7 * q), (4, q))
    )
    known = rules(*(entry(name, (PolylineMark(ring, True, filled=True), tail))
                    for name, ring in (("disc", disc), ("square", square))))  # fmt: skip
    for name, ring in (("disc", disc), ("square", square)):
        pose = at(100.0, 100.0, angle)
        fills = painted(shapely.Polygon(pose.apply(72 * np.array(ring))))
        xy = [strokes_of((PolylineMark(ring, True), tail), pose)]
        assert names(spot(sheet_of(xy, fills=fills), known, ())) == [name]

"""Polygons and the circles that they look like, in lines and in paint."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from cordpath.model import ArcMark, CircleMark, LineMark, Mark, PolylineMark, Word
from cordpath.symbols import spot
from symbols.test_painted_marks import polygon
from symbols.test_spot import at, entry, names, rules, sheet_of, strokes_of
from symbols.test_twins import painted

Q = 9.0 / 72  # inch
OCTAGON = PolylineMark(polygon(8, Q, 22.5, 382.5), closed=True)
BARS = tuple(LineMark((-0.5 * Q, y), (0.5 * Q, y)) for y in (-0.3 * Q, 0.3 * Q))
POSES = [at(100.0 + 70.03 * k, 150.0 + 20.31 * (k % 3), 33.0 * k) for k in range(6)]


def test_an_octagon_is_not_named_as_the_circle_that_it_is_taken_for() -> None:
    """The chords of a coarse circle are filled up to the circle, so that an octagon covered it in full: with the
    lines of a known circle in it, it was that circle for certain."""
    strokes = np.concatenate([strokes_of((OCTAGON, *BARS), pose) for pose in POSES])
    circle = entry("circle", (CircleMark((0, 0), Q), *BARS))
    both = spot(sheet_of(strokes), rules(circle, entry("octagon", (OCTAGON, *BARS), protection="device")), ())
    assert names(both, True) == ["octagon"] * len(POSES)
    assert not names(both, False)


def test_a_coarse_circle_is_no_octagon_for_certain() -> None:
    """Of 6 pt, an octagon and a circle of chords lie within what ink may stray from a mark: plain circles of the
    clutter were octagonal outlets for certain."""
    octagon = PolylineMark(polygon(8, 6.0 / 72, 22.5, 382.5), closed=True)
    poses = [
        at(60.0 + 40.03 * (k % 12), 150.0 + 40.31 * (k // 12), 13.0 * k, scale=0.94 + 0.004 * k) for k in range(36)
    ]
    circle = PolylineMark(polygon(16, 6.0 / 72), closed=True)
    strokes = np.concatenate([strokes_of((circle,), pose, grid=0.12) for pose in poses])
    assert not names(spot(sheet_of(strokes), rules(entry("octagon", (octagon,))), ()), True)


@pytest.mark.parametrize("grid", [None, 0.12])
def test_octagons_are_octagons_in_whatever_pieces_they_are_drawn(grid: float | None) -> None:
    octagon = polygon(8, 6.0 / 72, 22.5, 382.5)
    halves = [
        ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in zip(octagon, octagon[1:] + octagon[:1], strict=True)
    ]
    drawn = PolylineMark(tuple(p for pair in zip(octagon, halves, strict=True) for p in pair), closed=True)
    marks = (PolylineMark(octagon, closed=True), *BARS)
    for outline in (marks[0], drawn):
        strokes = np.concatenate([strokes_of((outline, *BARS), pose, grid=grid) for pose in POSES])
        assert names(spot(sheet_of(strokes), rules(entry("octagon", marks)), ()), True) == ["octagon"] * len(POSES)


def test_rounded_corners_are_corners_whatever_radius_rounding_gives_them() -> None:
    """A quarter of 1 pt in radius is drawn with 0.8 to 1.3 pt on a plotter's grid: boxes with rounded corners were
    looked for by their circles alone, and lost in silence."""
    x, y, r = 6.0 / 144, 3.9 / 144, 1.05 / 72  # half its sides and the corners' radius, inches
    sides = ((-x + r, -y, x - r, -y), (x, -y + r, x, y - r), (x - r, y, -x + r, y), (-x, y - r, -x, -y + r))
    middles = ((x - r, -y + r, 270.0), (x - r, y - r, 0.0), (-x + r, y - r, 90.0), (-x + r, -y + r, 180.0))
    box = (*(LineMark((a, b), (c, d)) for a, b, c, d in sides),
           *(ArcMark((a, b), r, turn, turn + 90) for a, b, turn in middles))  # fmt: skip
    marks = (*box, *(LineMark((x, k), (x + 0.03, k)) for k in (-0.01, 0.01)))
    poses = [at(60.07 + 40.03 * k, 150.05 + 20.31 * (k % 5), 90.0 * k) for k in range(12)]
    strokes = np.concatenate([strokes_of(marks, pose, grid=0.12) for pose in poses])
    assert len(spot(sheet_of(strokes), rules(entry("box", marks)), ()).symbols) == len(poses)


TAIL = PolylineMark(((Q, 0), (1.3 * Q, 0.3 * Q), (1.6 * Q, -0.3 * Q), (1.9 * Q, 0)))
SOLIDS = {"disc": polygon(24, 0.7 * Q), "square": polygon(4, Q, 45, 405)}


@pytest.mark.parametrize("drawn", ["disc", "square"])
def test_solid_marks_are_told_by_their_edges(drawn: str) -> None:
    """Nine tenths of what lies well inside a solid square are painted where a disc fills it: the disc with a tail
    was the square with the same tail for certain; and without a square in the mapping file, it was the disc."""
    strokes = np.concatenate([strokes_of((TAIL,), pose) for pose in POSES])
    areas = [shapely.Polygon(pose.apply(np.array(SOLIDS[drawn]) * 72)) for pose in POSES]
    entries = {
        name: entry(name, (PolylineMark(ring, closed=True, filled=True), TAIL)) for name, ring in SOLIDS.items()
    }
    sheet = sheet_of(strokes, fills=painted(*areas))
    assert names(spot(sheet, rules(*entries.values()), ()), True) == [drawn] * len(POSES)
    (other,) = (each for name, each in entries.items() if name != drawn)
    alone = spot(sheet, rules(other), ())
    assert not names(alone, True)
    assert len(alone.symbols) == len(POSES)


def test_stems_at_a_solid_disc_are_found_at_any_turn() -> None:
    """Nothing but the stems tells how a disc is turned, and it was tried in steps of 10 degrees: between two of
    them the stems' ends were beyond what the fit looks at, and the outlet was lost."""
    stems = tuple(LineMark((0.95 * Q, y), (1.6 * Q, y)) for y in (0.0, 0.6 * Q))
    marks = (PolylineMark(SOLIDS["disc"], closed=True, filled=True), *stems)
    poses = [at(60.0 + 50.03 * (k % 11), 150.0 + 60.31 * (k // 11), 3.7 * k) for k in range(33)]
    strokes = np.concatenate([strokes_of(stems, pose) for pose in poses])
    areas = [shapely.Polygon(pose.apply(np.array(SOLIDS["disc"]) * 72)) for pose in poses]
    sheet = sheet_of(strokes, fills=painted(*areas))
    result = spot(sheet, rules(entry("range outlet", marks)), ())
    assert names(result, True) == ["range outlet"] * len(poses)


def test_a_small_octagon_is_found_in_the_pieces_of_a_plotter() -> None:
    """Of 3 pt, even the halves of its sides passed for chords of a circle: in pieces of less than 1 pt, which make
    no circle, it was looked for as one alone and lost."""
    small = 3.0 / 72
    corners = polygon(8, small, 22.5, 382.5)
    cuts = (0.0, 0.21, 0.63)
    sides = list(zip(corners, corners[1:] + corners[:1], strict=True))
    split = tuple((a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for a, b in sides for t in cuts)
    bars = tuple(LineMark((-1.5 * small, y), (1.5 * small, y)) for y in (-0.3 * small, 0.3 * small))
    marks = (PolylineMark(corners, closed=True), *bars)
    poses = [at(60.0 + 40.03 * (k % 12), 150.0 + 40.31 * (k // 12), 13.0 * k) for k in range(24)]
    strokes = np.concatenate([strokes_of((PolylineMark(split, closed=True), *bars), p, grid=0.12) for p in poses])
    result = spot(sheet_of(strokes), rules(entry("floor box", marks)), ())
    assert names(result) == ["floor box"] * len(poses)


POINTER = ((1.05 * Q, -0.4 * Q), (1.7 * Q, 0.0), (1.05 * Q, 0.4 * Q))
BODIES: dict[str, tuple[Mark, ...]] = {
    "solid square": (PolylineMark(SOLIDS["square"], closed=True, filled=True),),
    "circle": (CircleMark((0, 0), Q),),
}


@pytest.mark.parametrize("known", [True, False])
@pytest.mark.parametrize("body", list(BODIES))
def test_a_solid_pointer_is_not_the_open_one(body: str, known: bool) -> None:
    """The edges of paint are drawn where the open pointer has its lines: it had more ink than the solid one."""
    pen = BODIES[body] if body == "circle" else ()
    strokes = np.concatenate([strokes_of((*pen, LineMark((3, 3), (3.1, 3))), pose) for pose in POSES])
    areas = [shapely.Polygon(pose.apply(np.array(POINTER) * 72)) for pose in POSES]
    if body != "circle":
        areas += [shapely.Polygon(pose.apply(np.array(SOLIDS["square"]) * 72)) for pose in POSES]
    entries = [entry("open", (*BODIES[body], PolylineMark(POINTER, closed=True)))]
    solid = entry("solid", (*BODIES[body], PolylineMark(POINTER, True, True)), protection="device")
    result = spot(sheet_of(strokes, fills=painted(*areas)), rules(*entries, *([solid] if known else [])), ())
    assert names(result, True) == (["solid"] * len(POSES) if known else [])
    assert len(result.symbols) == len(POSES) or result.unexplained


@pytest.mark.parametrize("misread", [False, True])
@pytest.mark.parametrize("size", [0.25, 0.35])
def test_a_dot_that_no_entry_has_is_not_overlooked(size: float, misread: bool) -> None:
    """A line of a tenth of the ink is seen to be no mark of the symbol; paint was overlooked up to a seventh of the
    body, and the outlet with a dot was the plain one for certain.  Outlined letters are no dots, but what a symbol
    was taken for by the reader of lettering is no such letter."""
    marks = (CircleMark((0, 0), Q), *(LineMark((-1.2 * Q, y), (1.2 * Q, y)) for y in (-0.5 * Q, 0.5 * Q)))
    strokes = np.concatenate([strokes_of(marks, pose) for pose in POSES])
    areas = [shapely.Polygon(pose.apply(np.array(polygon(16, size * Q)) * 72)) for pose in POSES[:3]]
    around = [(x - 12, y - 12, x + 12, y + 12) for x, y in (pose.shift for pose in POSES[:3])]
    words = [Word("8", box, 0.0, 30.0, k, origin="stroke", confidence=0.5) for k, box in enumerate(around)]
    sheet = sheet_of(strokes, words if misread else (), fills=painted(*areas))
    result = spot(sheet, rules(entry("duplex", marks)), ())
    assert (len(names(result, True)), len(names(result, False))) == (3, 3)


@pytest.mark.parametrize("at_letter", [(0, -8), (-2, -4), (2, -6), (5, -4)])
def test_a_letter_within_a_mark_leaves_the_symbol_without_it_in_doubt(at_letter: tuple[int, int]) -> None:
    """A tick makes the plain outlet another.  A letter of somebody's between the two was no mark of the outlet with
    the tick, which was in doubt, and beyond the plain one, which was found for certain."""
    plain = (PolylineMark(polygon(3, Q, 90, 450), closed=True), TAIL)
    ticked = (*plain, LineMark((-0.2 * Q, -1.3 * Q), (0.2 * Q, -0.8 * Q)))
    x, y = 200.0 + at_letter[0], 200.0 + at_letter[1]
    sheet = sheet_of(strokes_of(ticked, at(200.0, 200.0)), [Word("A", (x - 2, y - 3, x + 2, y + 3), 0.0, 6.0, 0)])
    result = spot(sheet, rules(entry("plain", plain), entry("GFCI", ticked, protection="device")), ())
    (found,) = result.symbols
    assert not found.found
    assert {found.entry.name, *found.rivals} == {"plain", "GFCI"}


@pytest.mark.parametrize("radius", [2.6, 4.5])
def test_an_octagon_with_dots_is_no_circle_with_them_for_certain(radius: float) -> None:
    """The dots were counted as further circles, so that no sides were looked for."""
    q = radius / 72
    dots = tuple(
        PolylineMark(tuple((x + dx, y) for x, y in polygon(12, 0.2 * q)), True, True) for dx in (0.0, 0.5 * q)
    )
    octagon = PolylineMark(polygon(8, q, 22.5, 382.5), closed=True)
    marks = (octagon, *dots)
    poses = [at(100.0 + 40.03 * k, 150.0, 33.0 * k) for k in range(4)]
    rings = [
        shapely.Polygon([pose.apply(point) for point in np.array(dot.points) * 72])
        for pose in poses
        for dot in dots
    ]
    sheet = sheet_of(np.concatenate([strokes_of(marks, pose) for pose in poses]), fills=painted(*rings))
    both = rules(entry("circle", (CircleMark((0, 0), q), *dots)), entry("octagon", marks, protection="device"))
    found = spot(sheet, both, ())
    assert "circle" not in names(found, True)
    assert len({s.at for s in found.symbols}) == len(poses)
    if radius > 4:
        assert names(found, True) == ["octagon"] * len(poses)


@pytest.mark.parametrize("first", [0, 1, 2])
def test_a_solid_hexagon_is_found_at_whatever_corner_its_area_begins(first: int) -> None:
    """Three sides of one passed for half a circle, and those of the sheet's, which began at another corner, did
    not: each was lost in silence."""
    hexagon = polygon(6, 4.0 / 72)
    mark = PolylineMark(hexagon, closed=True, filled=True)
    poses = [at(100.0 + 40.03 * k, 150.0, 33.0 * k + 60 * first) for k in range(4)]
    areas = [shapely.Polygon(np.roll(pose.apply(np.array(hexagon) * 72), first, axis=0)) for pose in poses]
    lines = strokes_of((LineMark((0.0, 0.0), (9.0, 0.0)),), at(100.0, 300.0))  # of something else
    sheet = sheet_of(lines, fills=painted(*areas))
    assert names(spot(sheet, rules(entry("solid", (mark,))), ()), True) == ["solid"] * len(poses)

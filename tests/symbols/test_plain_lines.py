"""The line of a plain outlet: in pieces on a plotter's grid, and where a letter touches its end."""

from __future__ import annotations

import math

import numpy as np
import pytest

from cordpath.model import CircleMark, Kind, LineMark, Word
from cordpath.symbols import spot
from symbols.test_spot import at, entry, names, rules, sheet_of, strokes_of
from symbols.test_twins import BEHIND, CIRCLE, PLAIN, UP, among_many, on_wall

WALL = np.array([[70.0, 91.0, 130.0, 91.0], [70.0, 87.0, 130.0, 87.0]])


def test_a_short_piece_at_the_end_of_a_line_in_pieces_is_a_part_of_it() -> None:
    """Drawn in three pieces and rounded to 1/600 in, so that the one in the middle is off the line's direction."""
    joints = np.array([[99.58, 109.01], [100.18, 95.57], [100.18, 94.73], [100.42, 91.01]])
    line = np.c_[joints[:-1], joints[1:]]
    assert names(spot(sheet_of([strokes_of((CIRCLE,), at(100, 100)), line, WALL]), PLAIN, ())) == ["single"]


def test_a_short_piece_that_leads_off_the_line_makes_it_no_longer() -> None:
    """Too short a line, and another that crosses where it should have ended."""
    short = (CIRCLE, LineMark((0, -0.125), (0, 0.1)))
    across = np.array([[98.0, 100 + 72 * 0.118, 102.0, 100 + 72 * 0.132]])
    xy = [strokes_of(short, at(100, 100)), across, WALL]
    assert "single" not in names(spot(sheet_of(xy), PLAIN, ()))


def test_a_letter_that_touches_the_end_of_a_plain_shape_is_no_corner() -> None:
    """The 6 of its tag begins where the line ends; strokes that nobody read may be a line that turns there."""
    bow = np.array([[100.0, 109.0], [98.0, 112.0], [98.5, 115.0], [101.0, 115.5], [102.0, 113.0], [98.2, 112.2]])
    tag = Word("6", (97.8, 108.8, 102.2, 115.7), 0.0, 9.2, 1, "", (0, 0, 0), "stroke", 0.6)
    for read, found in (((), False), ((tag,), True)):
        sheet = among_many(np.c_[bow[:-1], bow[1:]], words=read)
        (symbol,) = (s for s in sheet.symbols if math.dist(s.at, (100, 100)) < 3)
        assert symbol.found == found


def test_a_row_of_hatch_along_the_line_of_a_plain_shape_makes_it_no_longer() -> None:
    line = np.array([[100.0, 91.0, 100.0, 109.0]])
    row = np.array([[100.0, 99.5, 100.24, 111.5]])
    xy = [strokes_of((CIRCLE,), at(100, 100)), line, row, WALL]
    assert names(spot(sheet_of(xy), PLAIN, ())) == ["single"]


def test_what_chance_may_draw_across_a_circle_is_no_hatch_and_as_square_as_the_line() -> None:
    """A line that ends between the wall and another line is the outlet's if chance draws none like it.  Hatch as
    wide as the line is long was counted among what chance may draw, and lines of any direction were for one that
    stands square on its wall."""
    row = np.array([0.0, 0.0, 18.0, 0.0])
    hatch = np.array([row + np.tile([x, y], 2) for x in np.arange(20, 560, 24) for y in np.arange(300, 560, 2.5)])
    rng = np.random.default_rng(1)
    start, angle = rng.uniform((20.0, 300.0), (560.0, 560.0), (700, 2)), rng.uniform(0, 2 * math.pi, 700)
    strewn, square = (np.c_[start, start + 18.0 * np.c_[np.cos(a), np.sin(a)]]
                      for a in (angle, np.round(angle / math.pi) * math.pi / 2))  # fmt: skip
    circles = [strokes_of((CIRCLE,), at(x, y)) for x in np.arange(30.0, 580.0, 20.0) for y in (180.0, 210.0, 240.0)]
    for others, found in ((hatch, True), (strewn, True), (square, False)):
        symbols = spot(sheet_of([*on_wall(100), BEHIND, *circles, others]), PLAIN, ()).symbols
        assert [s.found for s in symbols if math.dist(s.at, (100, 100)) < 3] == [found]


@pytest.mark.parametrize(("shift", "line", "found"), [(0.1, True, True), (0.1, False, False), (1.25, True, True)])
def test_a_hatch_along_the_line_of_a_plain_shape_takes_nothing_from_it(
    shift: float, line: bool, found: bool
) -> None:
    """As found on sheets: a row lay along the line for a half of it and went on, or two lay beside it, level with
    its end on the wall; without the line the rows make none."""
    x = 100.0 + shift + 2.5 * np.arange(-9, 9)
    low, high = (100.0, 134.0) if shift < 1 else (91.0, 105.0)
    rows = np.c_[x, np.full(len(x), low), x, np.full(len(x), high)]
    own = on_wall(100) if line else [strokes_of((CIRCLE,), at(100, 100)), WALL]
    assert names(spot(sheet_of([*own, rows]), PLAIN, ())) == (["single"] if found else [])


@pytest.mark.parametrize("angle", [0.0, 200.0])
@pytest.mark.parametrize(("top", "sides"), [(-0.0625, 0.05), (0.125, 0.055)])
def test_a_line_that_two_like_it_flank_is_no_single_receptacle(top: float, sides: float, angle: float) -> None:
    """The three lines of a receptacle for 240 V, farther apart than the mapping file has them: the one in the
    middle made a single one of it, for certain and at 120 V.  ``top``: in, where they end in or past the circle."""
    lines = {x: LineMark((x, -0.125), (x, top if x == 0 or top > 0 else -0.0375)) for x in (-sides, 0.0, sides)}
    near = tuple(LineMark((0.6 * x, -0.125), (0.6 * x, line.end[1])) for x, line in lines.items())
    entries = rules(
        entry("single", (CIRCLE, lines[0.0]), wall_side=UP),
        entry("240 V", (CIRCLE, *near), wall_side=UP, volts=240.0),
    )
    pose = at(200.0, 200.0, angle)
    wall = pose.apply(np.array([[-40.0, -9.0], [40.0, -9.0], [-40.0, -14.0], [40.0, -14.0]])).reshape(-1, 4)
    drawn = strokes_of((CIRCLE, lines[0.0]), pose), strokes_of((lines[-sides], lines[sides]), pose)
    assert names(spot(sheet_of([drawn[0], wall]), entries, ())) == ["single"]
    assert names(spot(sheet_of([*drawn, wall]), entries, ())) == []
    x = np.arange(-20.0, 21.0, 2.5)
    hatch = pose.apply(np.c_[x, np.full(17, -9.0), x, np.full(17, 14.0)].reshape(-1, 2)).reshape(-1, 4)
    assert "single" not in names(spot(sheet_of([*drawn, wall, hatch]), entries, ()))


@pytest.mark.parametrize("count", [1, 6])
def test_an_entry_of_one_line_is_no_failure_of_the_sheet(count: int) -> None:
    """The box of an example holds one line alone where its letter is of a font that the file does not bring."""
    one = (LineMark((0, -0.1), (0, 0.1)),)
    xy = [WALL, *(strokes_of(one, at(100 + 30 * k, 100)) for k in range(count))]
    assert names(spot(sheet_of(xy), rules(entry("switch", one, "switch")), ())) == []


@pytest.mark.parametrize("radius", [0.05, 0.0625])
@pytest.mark.parametrize("kind", ["receptacle", "light"])
def test_a_circle_does_not_flank_the_line_across_it(radius: float, kind: Kind) -> None:
    """The steps of a small circle beside the ends of its own line were lines like it on both sides: a
    receptacle of one bar was asked about, and a downlight told as a shape that the mapping file does not name."""
    shape = (CircleMark((0, 0), radius), LineMark((-radius, 0), (radius, 0)))
    if kind == "light":
        entries, places = rules(entry("downlight", shape, kind)), [at(x, 300, 45) for x in (100, 200, 300)]
    else:
        entries, places = rules(entry("single", shape, wall_side=UP)), [at(100, 91 + 72 * radius)]
    spotting = spot(sheet_of([*(strokes_of(shape, pose, sides=32) for pose in places), WALL]), entries, ())
    assert len(spotting.symbols) == len(places)
    assert kind == "light" or spotting.symbols[0].found
    assert not spotting.unexplained

"""The line of a plain outlet: in pieces on a plotter's grid, and where a letter touches its end."""

from __future__ import annotations

import math

import numpy as np

from cordpath.model import LineMark, Word
from cordpath.symbols import spot
from symbols.test_spot import at, names, sheet_of, strokes_of
from symbols.test_twins import BEHIND, CIRCLE, PLAIN, among_many, on_wall

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


def test_rows_of_hatch_are_no_lines_that_may_lie_across_a_circle_by_chance() -> None:
    """A line that ends between the wall and another line is the outlet's if chance draws none like it, and hatch
    as wide as the line is long was counted among what chance may draw."""
    row = np.array([0.0, 0.0, 18.0, 0.0])
    hatch = np.array([row + np.tile([x, y], 2) for x in np.arange(20, 560, 24) for y in np.arange(300, 560, 2.5)])
    rng = np.random.default_rng(1)
    start, angle = rng.uniform((20.0, 300.0), (560.0, 560.0), (700, 2)), rng.uniform(0, 2 * math.pi, 700)
    strewn = np.c_[start, start + 18.0 * np.c_[np.cos(angle), np.sin(angle)]]
    circles = [strokes_of((CIRCLE,), at(x, y)) for x in np.arange(30.0, 580.0, 20.0) for y in (180.0, 210.0, 240.0)]
    for others, found in ((hatch, True), (strewn, False)):
        symbols = spot(sheet_of([*on_wall(100), BEHIND, *circles, others]), PLAIN, ()).symbols
        assert [s.found for s in symbols if math.dist(s.at, (100, 100)) < 3] == [found]

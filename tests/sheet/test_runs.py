"""Lines of lettering: letters that are outlines, and what is drawn as strokes about them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from cordpath.model import FloatArray
from cordpath.sheet.lettering.parts import Band, Parts
from cordpath.sheet.lettering.runs import text_lines

BAND: Band = (4.0, 20.0)
Box = tuple[float, float, float, float]
LETTERS: list[Box] = [(100, 94, 104, 100), (105, 94, 109, 100), (110, 94, 114, 100), (115, 94, 119, 100)]


def drawn(boxes: Sequence[Box], filled: bool, sides: int = 4) -> Parts:
    """Parts that are boxes, or so many of their sides and diagonals."""
    every: list[FloatArray] = []
    for x0, y0, x1, y1 in boxes:
        corners = np.array([(x0, y0), (x1, y1), (x1, y0), (x0, y1), (x0, y0)])
        every.append(np.hstack([corners[:-1], corners[1:]])[:sides])
    return Parts.of(np.concatenate(every), np.repeat(np.arange(len(boxes)), sides), filled)


def together(outlines: Sequence[Box], strokes: Sequence[Box], sides: int = 4) -> list[set[int]]:
    """The parts of each level line that has an outline, which are numbered before the strokes."""
    ink = Parts.both(drawn(outlines, True), drawn(strokes, False, sides))
    found = [lines for lines in text_lines(ink, BAND, np.zeros((0, 4))) if lines.angle == 0.0]
    every = [set(lines.member[lines.line == k].tolist()) for lines in found for k in range(len(lines.base))]
    return [line for line in every if min(line) < len(outlines)]


def test_outlined_letters_beside_a_taller_symbol_of_strokes_are_a_line_of_their_own() -> None:
    """WA over the bars of an outlet: both were marks of a line whose one letter was the outlet, and the A that was
    left stood inside it alone."""
    assert together(LETTERS[:2], [(103, 92, 115, 110)]) == [{0, 1}]


def test_a_dash_of_outlines_is_a_mark_of_outlined_letters_and_of_no_row_of_hatch() -> None:
    """A-38 was A38, where a stroke of hatch stood over its dash."""
    dash = (105.5, 97, 108, 97.7)
    assert together([LETTERS[0], dash, *LETTERS[2:]], [(105, 82, 115, 102)], sides=1) == [{0, 1, 2, 3}]


@pytest.mark.parametrize("filled", [True, False])
def test_a_dot_may_be_filled_in_lettering_of_strokes(filled: bool) -> None:
    ink = Parts.both(drawn(LETTERS, False), drawn([(121, 99, 122, 100)], filled))
    (lines,) = [lines for lines in text_lines(ink, BAND, np.zeros((0, 4))) if lines.angle == 0.0]
    assert lines.member.tolist() == [0, 1, 2, 3, 4]


def test_a_slim_letter_of_an_outlined_word_may_be_one_stroke() -> None:
    """A page whose pens are areas: I is no broader than they are."""
    assert together([LETTERS[0], *LETTERS[2:]], [(107, 94, 107, 100)], sides=1) == [{0, 1, 2, 3}]


@pytest.mark.parametrize(("off", "apart"), [(0.0, False), (0.9, False), (1.5, True)])
@pytest.mark.parametrize("side", [1, -1])
def test_words_beside_each_other_on_no_common_line_are_two(off: float, apart: bool, side: int) -> None:
    """A tag A-36 and a WA of something else, 1/4 of its height lower, were one label that nobody understood."""
    beside = [(x0 + 23, y0 + side * off, x1 + 23, y1 + side * off) for x0, y0, x1, y1 in LETTERS]
    first, second = set(range(4)), set(range(4, 8))
    assert together([*LETTERS, *beside], [(300, 92, 310, 110)]) == ([first, second] if apart else [first | second])


def test_a_column_of_one_rating_is_read_row_by_row() -> None:
    """Under each other, the As of 15A-1P with their dashes were a line down the sheet: the rows were 15 and 1P."""
    row: list[Box] = [(100, 94, 103, 100), (104, 94, 108, 100), (109, 94, 114, 100), (114.5, 97, 116.5, 97.6),
                      (117, 94, 119, 100), (121, 94, 125, 100)]  # fmt: skip
    boxes = [(x0, y0 + 12 * k, x1, y1 + 12 * k) for k in range(7) for x0, y0, x1, y1 in row]
    found = [lines for lines in text_lines(drawn(boxes, True), BAND, np.zeros((0, 4))) if lines.angle == 0.0]
    rows = [sorted(lines.member[lines.line == k].tolist()) for lines in found for k in range(len(lines.base))]
    assert sorted(rows) == [list(range(6 * k, 6 * k + 6)) for k in range(7)]

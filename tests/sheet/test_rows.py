"""Words of lines of glyphs: their sizes and boxes."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.model import Strokes, Word
from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.exclusive import exclusive
from cordpath.sheet.lettering.glyphs import Reading
from cordpath.sheet.lettering.parts import Parts
from cordpath.sheet.lettering.rows import CAP, Row, _best, as_word, believed
from cordpath.sheet.lettering.trust import Trust


def word_of(text: str, boxes: list[tuple[float, float, float, float]], base: float, cap: float) -> Word:
    """The word of a token of a level row whose first glyph is an I before it."""
    box = np.array([(0.0, base - cap, 0.5, base), *boxes])
    none = np.zeros((len(box), 1))
    parts = tuple((k,) for k in range(len(box)))
    reading = Reading(0.0, base, cap, none, box, parts, True, none, np.arange(len(box)), False)
    token = Token(text, 1, len(boxes), False, 0.9, 0.9, 1.0, len(text))
    return as_word(reading, token, Trust(True, 0.6), cap, 0)


@pytest.mark.parametrize("low", [0.0, 9.0])
def test_letters_beside_a_counters_edge_are_of_their_own_size(low: float) -> None:
    """The edge, 22 pt high, was taken for an I: the tag beside it was 30 pt high and no line of its label's stack,
    so the GFI under it went to the outlet on the other side."""
    word = word_of("A-3", [(22.0, 80.0 - low, 26.0, 85.0 - low), (27.0, 82.0 - low, 29.0, 82.5 - low),
                           (30.0, 80.0 - low, 33.0, 85.0 - low)], 85.0, 22.0)  # fmt: skip
    assert word.size == pytest.approx(5.0 / CAP)
    assert word.box[1] > 78.0 - low and word.box[3] < 87.0 - low


def test_small_letters_and_marks_keep_the_size_of_their_row() -> None:
    small = word_of("oz", [(22.0, 81.5, 26.0, 85.0), (27.0, 81.5, 30.0, 85.0)], 85.0, 5.0)
    dash = word_of("-", [(22.0, 82.0, 25.0, 82.5)], 85.0, 5.0)
    assert small.size == dash.size == pytest.approx(5.0 / CAP)


@pytest.mark.parametrize(("away", "sure"), [(3.3, False), (4.5, True)])
def test_ink_after_a_slim_figure_may_be_the_next_one(away: float, sure: bool) -> None:
    """L-1 of an L-11 whose last figure was crossed: figures of one width stand 0.7 of the height from a slim 1."""
    box = np.array([(0.0, 95.0, 3.0, 100.0), (4.0, 97.0, 7.0, 97.5), (8.4, 95.0, 9.4, 100.0)])
    xy = np.array([(0.0, 95.0, 3.0, 100.0), (4.0, 97.0, 7.0, 97.0), (8.4, 96.0, 9.4, 100.0)])
    beside = np.array([[9.4 + away, 95.0, 9.4 + away + 2.0, 100.0]])
    parts = Parts.of(xy, np.arange(3), False)
    assert is_sure(tag(box, False), parts, np.concatenate([xy, beside])) == sure


def tag(box: np.ndarray, filled: bool) -> Row:
    """L-1 in boxes (3, 4)."""
    none = np.zeros((3, 1))
    reading = Reading(0.0, 100.0, 5.0, none, box, ((0,), (1,), (2,)), filled, none, np.arange(3), False)
    return Row(reading, [Token("L-1", 0, 2, True, 0.97, 0.95, 1.0, 3)], 0.0, True, frozenset((0, 1, 2)))


def is_sure(row: Row, parts: Parts, strokes: np.ndarray) -> bool:
    (said,) = believed([row], parts, Strokes.of(strokes))
    return said.kept[0][1].confidence >= 0.8


@pytest.mark.parametrize(("area", "sure"), [(None, True), (12.0, False), (30.0, True)])
def test_the_ring_around_an_outlined_circuit_is_no_letter_of_it_but_an_area_may_be(
    area: float | None, sure: bool
) -> None:
    """``area``: where the next letter in outlines begins."""
    box = np.array([(0.0, 95.0, 3.0, 100.0), (4.0, 97.0, 7.0, 97.5), (8.4, 95.0, 10.4, 100.0)])
    ring = np.array([[12.0, 90.0, 12.0, 105.0], [-1.0, 90.0, -1.0, 105.0]])
    drawn = box if area is None else np.r_[box, [[area, 95.0, area + 2.0, 100.0]]]
    assert is_sure(tag(box, True), Parts.of(drawn, np.arange(len(drawn)), True), ring) == sure


@pytest.mark.parametrize(("slanted", "said"), [(0.27, "G"), (0.9, "0")])
def test_a_letter_alone_is_read_level_before_aslant(slanted: float, said: str) -> None:
    """The G in the circle of a device was a 0 that stood at 150 degrees, since figures are worth more."""
    rows = []
    for text, angle, value in (("G", 0.0, 0.0), ("0", 150.0, slanted)):
        none = np.zeros((1, 1))
        box = np.array([(10.0, 95.0, 15.0, 100.0)])
        reading = Reading(angle, 100.0, 5.0, none, box, ((0,),), True, none, np.arange(1), False)
        token = Token(text, 0, 0, text == "0", 0.95, 0.95, 1.0, 1)
        row = _best([(reading, [token], value)], False)
        assert row is not None
        rows.append(row)
    assert [row.tokens[0].text for row in exclusive(rows)] == [said]


@pytest.mark.parametrize(("side", "said"), [(-0.7, ["G", "G", "G"]), (-0.1, ["OOO"])])
def test_a_column_of_letters_is_read_row_by_row_where_that_reads_better(side: float, said: list[str]) -> None:
    """The Gs of a schedule's column said OOO from the side, and nothing said which breakers are GFCI."""

    def row(text: str, value: float, parts: range) -> Row:
        none = np.zeros((len(text), 1))
        reading = Reading(0.0, 100.0, 5.0, none, np.zeros((len(text), 4)), (), True, none, np.arange(1), False)
        token = Token(text, 0, len(text) - 1, False, 1.0, 1.0, 1.0, 1)
        return Row(reading, [token], value, False, frozenset(parts))

    rows = [row("OOO", side, range(3)), *(row("G", -0.05, range(k, k + 1)) for k in range(3))]
    assert [each.tokens[0].text for each in exclusive(rows)] == said

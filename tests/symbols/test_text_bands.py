"""Letters that run into other ink, told by the base and the top of the row that they stand in."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath.sheet import read_glyphs
from cordpath.symbols import spot
from cordpath.symbols.letters.text_bands import Band, band_of, in_band
from symbols.test_drawn_letters import CAP, lettered, with_known
from symbols.test_spot import DUPLEX, at, entry, names, rules, sheet_of, strokes_of

BAND = Band(0.0, 6.0, 0.0, 10.0)
FAR = np.array([1000.0, 1000.0])
NEAR = 2.7


def test_a_letter_of_a_word_across_a_symbol_that_touches_its_mark_is_no_line_inside_it() -> None:
    """H lies on the circle and a bar: a stroke of it is the symbol's as well, and the rest is no letter."""
    sheet = sheet_of([strokes_of(DUPLEX, at(100, 100)), lettered("NAFEH", 92.0, 103.0)])
    assert names(spot(sheet, rules(entry("duplex", DUPLEX)), (), read=read_glyphs)) == ["duplex"]


@pytest.mark.parametrize(("text", "what"), [("NAKEWEH", ["duplex"]), ("NAK", [])])
def test_a_long_text_over_the_middle_of_a_symbol_is_no_mark_and_a_short_one_may_be(
    text: str, what: list[str]
) -> None:
    sheet = sheet_of([strokes_of(DUPLEX, at(100, 100)), lettered(text, 99.5, 100.0)])
    assert names(spot(sheet, rules(entry("duplex", DUPLEX)), (), read=read_glyphs)) == what


@pytest.mark.parametrize("high", [2.0, 3.4])
def test_lines_beside_a_word_that_keep_to_no_row_stay_a_doubt(high: float) -> None:
    mark = np.array([[99.0, 100.6, 101.0, 100.6 - high], [101.0, 100.6 - high, 102.8, 100.6 - 0.4 * high]])
    sheet = sheet_of([strokes_of(DUPLEX, at(100, 100)), lettered("NAFE", 90.0, 103.0), mark])
    assert not names(spot(sheet, rules(entry("duplex", DUPLEX)), (), read=read_glyphs))


@pytest.mark.parametrize(
    ("stroke", "inside"),
    [
        ((11.0, 0.0, 11.0, 6.0), True),  # fills the band beside the last letter
        ((12.0, 6.1, 13.0, 3.0), True),  # stands on its base
        ((12.0, 2.0, 13.0, 4.0), False),  # neither
        ((11.0, -1.0, 11.0, 6.0), False),  # reaches out of it
        ((17.0, 0.0, 17.0, 6.0), False),  # too far from its letters
        ((4.0, 2.0, 7.0, 2.0), False),  # alone between letters
        ((10.5, 6.0, 20.0, 6.0), False),  # too wide for a letter
    ],
)
def test_what_fills_the_band_of_a_row_is_a_letter_of_it(
    stroke: tuple[float, float, float, float], inside: bool
) -> None:
    assert in_band(BAND, np.array([stroke]), FAR, NEAR).tolist() == [inside]


def test_letters_follow_one_another_and_what_lies_over_one_is_a_part_of_it() -> None:
    row = np.array([[11.0, 0.0, 14.0, 6.0], [17.0, 6.0, 20.0, 0.0], [17.5, 3.0, 19.5, 3.0], [30.0, 0.0, 30.0, 6.0]])
    assert in_band(BAND, row, FAR, NEAR).tolist() == [True, True, True, False]


def test_a_piece_in_the_middle_of_a_symbol_is_a_letter_only_between_known_letters() -> None:
    """A tag stands on the base of the letter in the circle beside it."""
    beside, between = np.array([[11.0, 0.0, 13.0, 6.0]]), np.array([[4.0, 0.0, 6.0, 6.0]])
    assert not in_band(BAND, beside, np.array([12.0, 3.0]), NEAR).any()
    assert in_band(BAND, between, np.array([5.0, 3.0]), NEAR).all()


def test_letters_that_agree_on_no_base_tell_no_band() -> None:
    assert band_of(np.array([[0.0, 0.0, 4.0, 6.0]])) is None
    assert band_of(np.array([[0.0, 0.0, 4.0, 6.0], [5.0, 1.0, 9.0, 7.0]])) is None
    assert band_of(np.array([[0.0, 0.0, 4.0, 6.0], [5.0, 0.1, 9.0, 6.1]])) == Band(0.05, 6.05, 0.0, 9.0)


@given(
    st.lists(st.tuples(*[st.floats(-20, 40)] * 4), min_size=1, max_size=12),
    st.floats(-500, 500),
    st.floats(-500, 500),
)
def test_a_band_holds_the_same_strokes_wherever_it_lies_and_none_outside_it(
    strokes: list[tuple[float, ...]], x: float, y: float
) -> None:
    xy = np.round(np.array(strokes), 1)
    shift = np.round([x, y], 0)
    here = in_band(BAND, xy, FAR, NEAR)
    moved = Band(BAND.top + shift[1], BAND.base + shift[1], BAND.left + shift[0], BAND.right + shift[0])
    there = in_band(moved, xy + np.tile(shift, 2), FAR + shift, NEAR)
    assert here.tolist() == there.tolist()
    assert ((xy[here][:, [1, 3]] > -0.31) & (xy[here][:, [1, 3]] < 6.31)).all()


def six(x: float, y: float, high: float) -> np.ndarray:
    """A figure 6 with its middle at a point: a round bowl on its base, and a neck to its top."""
    a, b = np.linspace(0, 2 * np.pi, 17), np.linspace(np.pi, 1.5 * np.pi, 6)
    r = 0.3 * high
    bowl = np.c_[x + r * np.cos(a), y + 0.2 * high + r * np.sin(a)]
    neck = np.c_[x + 0.2 * high * (1 + 0.5 * np.cos(b)) - 0.1 * high, y + 0.2 * high + 0.7 * high * np.sin(b)]
    neck[:, 0] += x - r - neck[0, 0]
    return np.concatenate([np.c_[p[:-1], p[1:]] for p in (bowl, neck)])


TAG = ("A-1", 87.0, 100.0)


@pytest.mark.parametrize(
    ("more", "what"),
    [
        (lettered("E", 96.5, 100.0), ["duplex"]),
        (six(96.5, 100.0, CAP), ["duplex"]),
        (np.array([[96.0, 98.0, 96.0, 102.0], [96.0, 102.0, 98.0, 99.0], [98.0, 99.0, 96.0, 98.0]]), []),
    ],
)
def test_a_letter_that_continues_a_word_which_is_known_is_no_line_inside(more: np.ndarray, what: list[str]) -> None:
    """The reader of lettering knows the letters before it stroke by stroke, and lost the one in the symbol."""
    sheet = with_known(strokes_of(DUPLEX, at(100, 100)), TAG)
    line = np.r_[sheet.lettered, np.full(len(more), -1)]
    sheet = replace(sheet_of([sheet.strokes.xy, more], sheet.words), lettered=line)
    assert names(spot(sheet, rules(entry("duplex", DUPLEX)), (), read=read_glyphs)) == what

"""A word that is crossed out settles nothing; other lines of the drawing that pass by a word change nothing."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cordpath.model import Fills, Strokes, Word
from cordpath.sheet.text.struck import doubt_struck
from sheet.stroke_face import strokes

BOX = (100.0, 100.0, 115.0, 107.0)


def word(text: str = "GFI", turn: int = 0) -> Word:
    return Word(text, BOX if turn % 180 == 0 else (100.0, 100.0, 107.0, 115.0), float(turn), 7.0, 1)


def sure(lines: list[tuple[float, ...]], of: Word, fills: Fills | None = None) -> float:
    (found,), _ = doubt_struck((of,), Strokes.of(np.array(lines, float).reshape(-1, 4)), fills or Fills.none())
    return found.confidence


STRIKE = (99.0, 103.8, 116.0, 103.8)
SLASH = (99.0, 107.0, 116.0, 100.0)


@pytest.mark.parametrize(
    "line", [STRIKE, STRIKE[2:] + STRIKE[:2], SLASH, (98.0, 103.5, 109.0, 103.5), (100.0, 103.5, 115.0, 103.5)]
)
def test_a_line_through_a_word_takes_its_confidence(line: tuple[float, ...]) -> None:
    (found,), told = doubt_struck((word(),), Strokes.of(np.array([line])), Fills.none())
    assert found.confidence == 0.0
    assert told == ("a line runs through the word 'GFI' in one place: what it says is in doubt",)


@pytest.mark.parametrize(
    "line",
    [
        (99.0, 107.5, 116.0, 107.5),  # underlined
        (60.0, 103.5, 160.0, 103.5),  # the edge of a counter
        (107.5, 95.0, 107.5, 112.0),  # across
        (99.0, 103.5, 106.0, 103.5),  # the end of a leader
        (90.0, 90.0, 125.0, 117.0),  # a long slope
        (102.0, 103.5, 104.0, 103.5),  # a bar of a letter
    ],
)
def test_other_lines_leave_a_word_alone(line: tuple[float, ...]) -> None:
    assert sure([line], word()) == 1.0


def test_a_chord_of_a_doors_swing_over_half_of_a_word_crosses_nothing_out() -> None:
    chord = (98.0, 103.5, 109.0, 103.5)
    assert sure([chord, (109.0, 103.5, 119.0, 104.6), (98.0, 103.5, 88.0, 104.6)], word()) == 1.0
    assert sure([chord, (119.0, 104.6, 129.0, 106.6)], word()) == 0.0


@pytest.mark.parametrize("text", ["3/4", "A", "12", "-", "1 1/2", "UP", "DN."])
def test_figures_single_letters_and_words_on_stairs_have_lines_of_their_own(text: str) -> None:
    assert sure([STRIKE], word(text)) == 1.0


@pytest.mark.parametrize(("colour", "confidence"), [(0.0, 0.0), (1.0, 1.0)])
def test_a_thin_fill_is_a_line_unless_it_is_white(colour: float, confidence: float) -> None:
    bar = shapely.box(99.5, 103.2, 115.5, 103.9)
    fills = Fills(np.array([bar, None], object)[:1], np.full((1, 3), colour), np.ones(1), np.zeros(1, np.int64),
                  np.zeros(1, np.int64))  # fmt: skip
    assert sure([], word(), fills) == confidence


FRAME = [STRIKE, (116.0, 103.8, 116.0, 140.0), (99.1, 140.0, 99.1, 103.9), (99.0, 140.0, 116.0, 140.0)]


@pytest.mark.parametrize("turn", [0, 90])
def test_the_side_of_a_rectangle_over_a_word_crosses_nothing_out(turn: int) -> None:
    of = word(turn=turn)
    lines = np.array(FRAME).reshape(-1, 2, 2) - word().at
    lines = (lines[..., ::-1] if turn else lines) + of.at
    assert sure([tuple(line) for line in lines.reshape(-1, 4)], of) == 1.0


@pytest.mark.parametrize(
    "others",
    [
        [],
        FRAME[1:2],  # one end is a corner: a leader to a remark begins there
        [FRAME[1], (99.0, 103.8, 99.0, 70.0)],  # the ends turn to two sides, as in a zigzag
        [(116.0, 103.8, 116.0, 108.0), (99.0, 103.8, 99.0, 108.0)],  # a bracket over the word itself
        [(116.0, 60.0, 116.0, 140.0), (99.0, 60.0, 99.0, 140.0)],  # from rule to rule of a table
    ],
)
def test_a_strike_that_is_no_side_of_a_rectangle_stays_one(others: list[tuple[float, ...]]) -> None:
    assert sure([STRIKE, *others], word()) == 0.0


def rows(gap: float, low: int, high: int, turn: int = 0) -> list[tuple[float, ...]]:
    """Lines as long as a strike from so many gaps above the middle of a word to so many below."""
    steps = 0.3 + gap * np.arange(-low, high + 1)
    xy = np.stack([np.full(len(steps), -8.5), steps, np.full(len(steps), 8.5), steps], axis=1).reshape(-1, 2, 2)
    at = word(turn=turn).at
    return [tuple(row) for row in ((xy[..., ::-1] if turn else xy) + at).reshape(-1, 4)]


@pytest.mark.parametrize("turn", [0, 90])
@pytest.mark.parametrize(("low", "high"), [(0, 8), (10, 12), (9, 0)])
def test_hatch_over_a_word_crosses_nothing_out(turn: int, low: int, high: int) -> None:
    assert sure(rows(2.5, low, high, turn), word(turn=turn)) == 1.0


@pytest.mark.parametrize(
    "lines",
    [
        rows(0.8, 4, 4),  # over the word alone
        rows(2.5, 3, 3),  # few
        rows(10.0, 12, 12),  # a struck paragraph
        [*rows(2.5, 0, 3), *rows(2.5, -6, 16)],  # a few lines over the word, and hatch farther down
        [*rows(2.5, 10, 12), SLASH],
    ],
)
def test_lines_over_a_word_that_are_no_hatch_cross_it_out(lines: list[tuple[float, ...]]) -> None:
    assert sure(lines, word()) == 0.0


def test_a_strike_beside_the_side_of_a_rectangle_counts() -> None:
    assert sure([*FRAME, SLASH], word()) == 0.0


def test_a_white_or_hidden_line_strikes_nothing() -> None:
    seen = Strokes.of(np.array([STRIKE]))
    for hidden in (np.ones(1, bool), np.zeros(1, bool)):
        lines = Strokes(seen.xy, seen.width, np.full((1, 3), 0.0 if hidden[0] else 1.0), seen.layer, seen.path,
                        seen.curve, seen.dashed, hidden)  # fmt: skip
        (found,), _ = doubt_struck((word(),), lines, Fills.none())
        assert found.confidence == 1.0


@given(st.sampled_from([0, 90, 180, 270]), st.floats(-0.2, 0.2), st.floats(-8, 8), st.floats(0, 6))
def test_any_turn(turn: int, off: float, slope: float, over: float) -> None:
    """The same strike turned with its word; a hand is not level."""
    half = 7.5 + over
    tan = math.tan(math.radians(slope))
    ends = np.array([[-half, 7 * off - half * tan], [half, 7 * off + half * tan]])
    angle = math.radians(-turn)  # counter-clockwise as seen, y down
    c, s = math.cos(angle), math.sin(angle)
    of = word(turn=turn)
    line = ends @ np.array([[c, s], [-s, c]]) + of.at
    assert sure([tuple(line.ravel())], of) == 0.0
    assert sure([tuple((line + np.array([0.0, 40.0])).ravel())], of) == 1.0


def test_a_page_without_words_or_lines() -> None:
    assert doubt_struck((), Strokes.of(np.array([STRIKE])), Fills.none()) == ((), ())
    assert doubt_struck((word(),), Strokes.of(np.zeros((0, 4))), Fills.none()) == ((word(),), ())


def slopes(first: float, last: float, rise: float = 8.0) -> list[tuple[float, ...]]:
    return [(x - 2.0, 103.5 + rise / 2, x + 2.0, 103.5 - rise / 2) for x in np.arange(first, last, 3.0).tolist()]


@pytest.mark.parametrize("turn", [0, 90])
def test_slopes_over_each_letter_cross_a_label_out(turn: int) -> None:
    """They struck nothing, and the GFI protected its outlet for certain."""
    of = word(turn=turn)
    lines = np.array(slopes(100, 117)).reshape(-1, 2, 2) - word().at
    lines = (lines[..., ::-1] if turn else lines) + of.at
    assert sure([tuple(line) for line in lines.reshape(-1, 4)], of) == 0.0


@pytest.mark.parametrize(
    "lines",
    [
        slopes(70, 147),
        slopes(100, 108),
        [(x, 99.0, x, 108.0) for x in (101.0, 106.0, 111.0)],
        slopes(100, 117, 4.0),
    ],
    ids=["a hatched strip", "over one letter", "posts", "letters' own"],
)
def test_other_short_lines_over_a_label_cross_nothing_out(lines: list[tuple[float, ...]]) -> None:
    assert sure(lines, word()) == 1.0


ALONG = np.linspace(0.0, 1.0, 49)
WAVES = {
    "low": 103.5 + 1.0 * np.sin(ALONG * 8 * math.pi),
    "high": 103.5 + 3.0 * np.sin(ALONG * 6 * math.pi),
    "zigzag": 103.5 + 2.0 * (np.arange(49) % 4 - 1.5),
    "straight, in pieces": np.full(49, 103.5),
}


def wave(name: str, first: float = 99.0, last: float = 116.0, lower: float = 0.0) -> np.ndarray:
    points = np.c_[first + ALONG * (last - first), WAVES[name] + lower]
    return np.c_[points[:-1], points[1:]]


@pytest.mark.parametrize("drawn", [False, True])
@pytest.mark.parametrize("turn", [0, 90])
@pytest.mark.parametrize("name", WAVES)
def test_a_wave_of_short_strokes_along_a_word_crosses_it_out(name: str, turn: int, drawn: bool) -> None:
    """Strokes under 3 pt were taken for parts of letters: GFI under a wave protected its outlet for certain."""
    of = replace(word(turn=turn), origin="stroke") if drawn else word(turn=turn)
    letters = strokes("GFI", (100.0, 106.0), 5.0) if drawn else np.zeros((0, 4))
    lines = np.concatenate([wave(name), letters]).reshape(-1, 2, 2) - word().at
    lines = (lines[..., ::-1] if turn else lines) + of.at
    assert sure([tuple(line) for line in lines.reshape(-1, 4)], of) == 0.0


RING = np.c_[107.5 + 10 * np.cos(ALONG * math.tau), 103.5 + 5.5 * np.sin(ALONG * math.tau)]


@pytest.mark.parametrize(
    "lines",
    [
        wave("low", 40.0, 180.0),  # a break line
        wave("low", lower=6.0),
        wave("low", 99.0, 106.0),
        np.c_[RING[:-1], RING[1:]],
        strokes("GFI", (100.0, 106.0), 5.0),  # its own letters
    ],
    ids=["runs on", "under it", "at its begin", "a ring", "letters"],
)
def test_other_waves_leave_a_word_alone(lines: np.ndarray) -> None:
    assert sure([tuple(line) for line in lines], word()) == 1.0


def test_a_script_that_joins_its_letters_crosses_nothing_out() -> None:
    script = wave("high", 100.0, 115.0)
    assert sure([tuple(line) for line in script], replace(word(), origin="stroke")) == 1.0

"""Labels at angles between upright and vertical: read together as the same words upright would be."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from cordpath.model import Word
from cordpath.symbols.labels.runs import runs_of
from cordpath.symbols.labels.words import read
from symbols.test_labels import given_to, sheet, symbol

SIZE, LETTER, SPACE = 8.0, 0.62, 0.3  # of the size: Helvetica's capitals and its space, about


def line(
    text: str,
    at: tuple[float, float],
    angle: float,
    down: float = 0.0,
    letter: float = LETTER,
    space: float = SPACE,
) -> list[Word]:
    """The words of a line centred at a place, ``down`` lines lower, with the upright boxes around them."""
    a = math.radians(angle)
    along, below = np.array([math.cos(a), -math.sin(a)]), np.array([math.sin(a), math.cos(a)])
    wide = [letter * SIZE * len(part) for part in text.split()]
    x = -(sum(wide) + space * SIZE * (len(wide) - 1)) / 2
    words = []
    for part, w in zip(text.split(), wide, strict=True):
        middle = np.array(at) + along * (x + w / 2) + below * 1.2 * SIZE * down
        half = (np.abs(along) * w + np.abs(below) * SIZE) / 2
        box = (*(middle - half).tolist(), *(middle + half).tolist())
        words.append(Word(part, box, angle, SIZE, 0))
        x += w + space * SIZE
    return words


@pytest.mark.parametrize("angle", [30.0, 45.0, 135.0, 298.0])
@pytest.mark.parametrize("text", ["DELETE GFI", "NO GFI", '42" A.F.F.', 'GFI +42"', "RELOCATED WP GFI"])
def test_words_of_a_slanted_line_are_one_text_with_its_spaces(text: str, angle: float) -> None:
    assert [run.text for run in runs_of(sheet(line(text, (500, 500), angle)), ())] == [text]


def test_words_of_narrow_letters_at_45_degrees_keep_their_space() -> None:
    """GFIA-12 was no label of anything: the boxes of narrow letters at 45 degrees seemed to meet."""
    words = [
        Word("GFI", (224.9, 145.8, 243.7, 164.6), 315.0, 9.0, 13),
        Word("A-12", (236.8, 157.7, 258.3, 179.2), 315.0, 9.0, 13),
    ]
    assert [run.text for run in runs_of(sheet(words), ())] == ["GFI A-12"]


@pytest.mark.parametrize("angle", [45.0, 60.0, 225.0])
def test_a_word_before_or_over_a_slanted_mark_takes_it_back(angle: float) -> None:
    for words in (line("DELETE GFI", (515, 485), angle),
                  [*line("DELETE", (512, 488), angle, -0.5), *line("GFI", (512, 488), angle, 0.5)]):  # fmt: skip
        labels, _, _ = given_to([symbol(500, 500)], words)
        assert not any(name == "protection" for sets in labels[0].values() for name, _ in sets)


def test_lines_of_a_slanted_label_go_to_one_outlet() -> None:
    words = [*line("A-9", (514, 486), 45.0, -0.5), *line("GFI", (514, 486), 45.0, 0.5)]
    labels, _, _ = given_to([symbol(500, 500), symbol(530, 515)], words)
    assert [sorted(each) for each in labels] == [["A-9", "GFI"], []]


@pytest.mark.parametrize("angle", [0.0, 45.0, 90.0])
def test_words_of_a_monospaced_font_are_one_text(angle: float) -> None:
    """Courier's space is as wide as its letters, 0.6 of the size: GFI stood alone, and was believed."""
    words = line("DELETE GFI", (520, 480), angle, letter=0.6, space=0.6)
    assert [run.text for run in runs_of(sheet(words), ())] == ["DELETE GFI"]
    labels, _, _ = given_to([symbol(500, 500)], words)
    assert not any(name == "protection" for sets in labels[0].values() for name, _ in sets)


@pytest.mark.parametrize(
    ("said", "size", "gap", "rise"),
    [("NO", 8.0, 7.0, 0.0), ("NO", 8.0, 11.0, 0.0), ("DELETE", 4.5, 3.0, 0.0), ("NO", 4.5, 1.0, 3.5),
     ("N O", 8.0, 9.0, 0.0)],
)  # fmt: skip
def test_a_word_in_the_line_of_a_mark_takes_it_back_however_it_is_set(
    said: str, size: float, gap: float, rise: float
) -> None:
    """Spaces, small letters and raised ones made NO a text of its own, beside a GFI that was believed."""
    mark = Word("GFI", (540.0, 496.0, 554.0, 504.0), 0.0, 8.0, 0)
    wide = 0.62 * size * len(said)
    other = Word(said, (540.0 - gap - wide, 504.0 - rise - size, 540.0 - gap, 504.0 - rise), 0.0, size, 0)
    labels, _, _ = given_to([symbol(560.5, 500)], [other, mark])
    assert ("protection_unsure", "device") in labels[0]["GFI"]


def test_a_small_word_under_a_mark_takes_it_back() -> None:
    mark = Word("GFI", (540.0, 492.0, 554.0, 500.0), 0.0, 8.0, 0)
    words = [mark, Word("REMOVE", (540.0, 500.5, 556.0, 505.5), 0.0, 5.0, 1)]
    labels, _, _ = given_to([symbol(562, 500)], words)
    assert ("protection_unsure", "device") in labels[0]["GFI"]


@pytest.mark.parametrize(
    ("text", "doubt"), [("G F I", False), ("G F C I", False), ("N O G F I", True), ("G F I X", True)]
)
def test_letters_that_are_spaced_out_are_a_word(text: str, doubt: bool) -> None:
    reading = read(text, ())
    assert reading is not None and reading.sets == (("protection", "device"),) and bool(reading.doubt) == doubt


def test_small_capitals_are_one_word() -> None:
    """N and O in two sizes were two letters, which say nothing, beside GFI."""
    large = Word("N", (500.0, 492.0, 505.8, 500.0), 0.0, 8.0, 0)
    words = [large, Word("O", (505.8, 494.5, 510.0, 500.0), 0.0, 5.5, 0)]
    assert [run.text for run in runs_of(sheet(words), ())] == ["NO"]


def test_the_wide_space_of_plotted_lettering_is_a_space() -> None:
    """Hershey's: 42" and A.F.F. were two texts, and a leader from the one led nowhere."""
    first = Word('42"', (500.0, 492.0, 513.4, 500.0), 0.0, 8.0, 3, origin="stroke")
    second = replace(first, text="A.F.F.", box=(519.6, 492.0, 541.0, 500.0))
    assert [run.text for run in runs_of(sheet([first, second]), ())] == ['42" A.F.F.']


@pytest.mark.parametrize("step", [(0.0, 9.0, 0.0), (7.0, -2.0, -25.0)], ids=["one under the other", "along an arc"])
def test_letters_of_a_mark_that_stand_one_by_one_ask(step: tuple[float, float, float]) -> None:
    dx, dy, turn = step
    words = [Word(letter, (515 + dx * k, 490 + dy * k, 520 + dx * k, 498 + dy * k), turn * k % 360, 8.0, k)
             for k, letter in enumerate("GFI")]  # fmt: skip
    _, done, _ = given_to([symbol(500, 500), symbol(580, 500)], words)
    assert done[0].fact("protection") is None and done[0].fact("protection_unsure")
    assert done[1].fact("protection_unsure") is None

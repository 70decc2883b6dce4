"""Labels at angles between upright and vertical: read together as the same words upright would be."""

from __future__ import annotations

import math

import numpy as np
import pytest

from cordpath.model import Word
from cordpath.symbols.labels.runs import runs_of
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

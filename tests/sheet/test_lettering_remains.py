"""Labels of which nothing could be read are told at their place, and the drawing's own shapes are not."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest

from cordpath.model import Fills, FloatArray, Strokes
from cordpath.sheet.lettering import Lettering, lettering

sys.path[:0] = [str(Path(__file__).parent)]

from stroke_face import strokes  # noqa: E402

TEXTS = (
    "KITCHEN",
    "GARAGE",
    "BEDROOM 2",
    "LAUNDRY",
    "12'-6\"",
    "10'-0\"",
    "GFCI",
    "A-12",
    "PANEL SCHEDULE",
    "UTILITY",
)
CAP = 9.0
PLACE = (2000.0, 500.0)


def scribble(at: tuple[float, float], cap: float) -> FloatArray:
    """Strokes as high as a letter that are none: a letter with other ink across it."""
    points = np.array(
        [[0, 0], [0.7, -1], [0.05, -0.7], [0.75, -0.3], [0.1, -0.95], [0.65, 0], [0.3, -0.98], [0, -0.4]]
    )
    return np.column_stack([points[:-1], points[1:]]) * cap + np.tile(at, 2)


def sheet(label: FloatArray) -> Lettering:
    rows = [strokes(text, (300.0, 300.0 + 40 * k), CAP, 0.0) for k, text in enumerate(TEXTS)]
    return lettering(Strokes.of(np.round(np.concatenate([*rows, label]) / 0.12) * 0.12), Fills.none(), ())


def told(found: Lettering) -> bool:
    return any(np.hypot(x - PLACE[0], y - PLACE[1]) < 2 * CAP for x, y in found.unread)


def label(cap: float) -> FloatArray:
    """An O, as DW and CO leave it, beside a letter that nobody can read."""
    return np.concatenate([strokes("O", PLACE, cap, 0.0), scribble((PLACE[0] + cap, PLACE[1]), cap)])


def test_a_label_of_which_one_letter_is_left_is_told() -> None:
    found = sheet(label(CAP))
    assert not any(np.hypot(w.at[0] - PLACE[0], w.at[1] - PLACE[1]) < 3 * CAP for w in found.words)
    assert told(found)


def test_letters_that_are_dropped_beside_a_word_are_told() -> None:
    """Of GFI WP the WP was read, and nothing was said of the rest."""
    word = strokes("KITCHEN", (PLACE[0] - 7.8 * CAP, PLACE[1]), CAP, 0.0)
    found = sheet(np.concatenate([word, label(CAP)]))
    assert "KITCHEN" in [each.text for each in found.words if each.at[1] > PLACE[1] - 2 * CAP]
    assert told(found)


def test_a_label_is_told_once() -> None:
    found = sheet(label(CAP))
    assert sum(np.hypot(x - PLACE[0], y - PLACE[1]) < 4 * CAP for x, y in found.unread) == 1


@pytest.mark.parametrize("cap", [0.5 * CAP, 2.0 * CAP])
def test_shapes_of_another_size_than_the_lettering_are_no_labels(cap: float) -> None:
    assert not told(sheet(label(cap)))


def test_a_circle_alone_is_no_label() -> None:
    assert not told(sheet(strokes("O", PLACE, CAP, 0.0)))

"""Drawn letters around a drawn mark of protection: those that nobody read, and those that only look like lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from cordpath.model import FloatArray, Spotting, Word
from cordpath.symbols import spot
from sheet.stroke_face import strokes
from symbols.test_spot import DUPLEX, at, entry, rules, sheet_of, strokes_of, word

SIZE = 7.0
CAP = 0.72 * SIZE


def lettered(text: str, x: float, base: float, size: float = SIZE, angle: float = 0.0) -> tuple[FloatArray, Word]:
    """A drawn text that begins at a place, and the word that a reader of lettering makes of it."""
    xy = strokes(text, (x, base), 0.72 * size, angle)
    points = xy.reshape(-1, 2)
    (x0, y0), (x1, y1) = points.min(0).tolist(), points.max(0).tolist()
    box = (x0, y0 - 0.08 * size, x1, y1 + 0.2 * size) if angle == 0.0 else (x0, y0, x1, y1)
    return xy, Word(text, box, angle, size, 7, "", (0.0, 0.0, 0.0), "stroke", 0.97)


def spotted(mark: tuple[FloatArray, Word], *more: FloatArray, also: Sequence[tuple[float, float]] = ()) -> Spotting:
    bodies = [strokes_of(DUPLEX, at(x, y)) for x, y in ((100.0, 100.0), *also)]
    title = word("GENERAL NOTES", 330, 380)
    return spot(sheet_of([*bodies, mark[0], *more], [title, mark[1]]), rules(entry("duplex", DUPLEX)), ())


def says(result: Spotting, name: str) -> list[bool]:
    return [any(name == n for label in each.labels for n, _ in label.sets) for each in result.symbols]


GFI = lettered("GFI", 112.0, 104.0)
NOTHING = np.zeros((0, 4))


def test_a_drawn_mark_by_itself_protects() -> None:
    assert says(spotted(GFI), "protection") == [True]


@pytest.mark.parametrize(
    "letters",
    [
        strokes("NO", (98.0 + 28.0, 104.0), CAP),
        strokes("KEN", (112.0, 114.0), CAP),
        strokes("NEH", (112.0, 94.5), CAP),
    ],
    ids=["in its line", "under it", "over it"],
)
def test_letters_that_nobody_read_make_a_question_of_it(letters: FloatArray) -> None:
    """Of NO GFI and of GFI over N.I.C., drawn on a sheet of typed notes, only the GFI is read: it cleared them."""
    found = spotted(GFI, letters)
    assert says(found, "protection") == [False]
    assert says(found, "protection_unsure") == [True]
    assert any("could not be read" in reason for reason in found.symbols[0].reasons)


BRACKET = np.array([(1.3, -1.25), (0.75, -1.0), (0.4, -0.6), (0.4, 0.0), (0.75, 0.4), (1.3, 0.65)]) * 0.8
SIGNS = {
    "bracket": np.c_[BRACKET[:-1], BRACKET[1:]] * CAP + [0, -1.3, 0, -1.3],
    "query": np.array([(0, -4, 0, -5), (0, -5, 1, -6), (1, -6, 2.5, -6), (2.5, -6, 3.5, -5), (3.5, -5, 3.5, -4),
                       (3.5, -4, 1.7, -2.5), (1.7, -2.5, 1.7, -1.5)]) * CAP / 6,
    "cross": strokes("X", (0.0, 0.0), CAP),
    "letter": strokes("R", (0.0, 0.0), CAP),
    "star": np.array([(0, -3, 3, -3), (0.6, -4.5, 2.4, -1.5), (0.6, -1.5, 2.4, -4.5)]) * CAP / 6,
}  # fmt: skip


@pytest.mark.parametrize("at", [(126.5, 104.0), (116.0, 112.0), (116.0, 97.0)], ids=["beside", "under", "over"])
@pytest.mark.parametrize("sign", SIGNS)
def test_one_sign_that_nobody_read_close_to_a_mark_makes_a_question_of_it(
    sign: str, at: tuple[float, float]
) -> None:
    """GFI?, GFI X, GFI (R), GFI*: of signs that stand by themselves nothing was said, and GFI cleared."""
    assert says(spotted(GFI, SIGNS[sign] + np.tile(at, 2)), "protection_unsure") == [True]


@pytest.mark.parametrize("sign", SIGNS)
def test_a_sign_drawn_beside_a_typed_mark_makes_a_question_of_it(sign: str) -> None:
    """Only those beside drawn marks were looked for: the outlet was protected for certain."""
    typed = NOTHING, replace(GFI[1], origin="font", confidence=1.0)
    assert says(spotted(typed), "protection") == [True]
    assert says(spotted(typed, SIGNS[sign] + [126.5, 104.0] * 2), "protection_unsure") == [True]


@pytest.mark.parametrize(
    "other",
    [
        np.concatenate([SIGNS["cross"] + [129.0, 104.0] * 2, np.array([[120.0, 97.0, 160.0, 107.0]])]),
        np.array([[129.0, 104.0, 129.0, 99.0]]),
        np.array([[129.0, 101.0, 132.0, 101.0]]),
        SIGNS["letter"] + [142.0, 104.0] * 2,
    ],
    ids=["a tick on a line", "an upright line", "a dash", "farther off"],
)
def test_what_is_no_sign_or_farther_off_makes_none(other: FloatArray) -> None:
    assert says(spotted(GFI, other), "protection") == [True]


@pytest.mark.parametrize(
    "other",
    [
        np.array([[112.0, 108.0, 118.0, 112.0], [120.0, 108.0, 126.0, 112.0]]),
        strokes("KEN", (112.0, 130.0), CAP),
    ],
    ids=["ticks", "far"],
)
def test_other_ink_beside_it_makes_none(other: FloatArray) -> None:
    assert says(spotted(GFI, other), "protection") == [True]


def test_a_letter_is_no_leader() -> None:
    """The I of a drawn GFI, midway between two outlets and under them, pointed at one of them: that was cleared."""
    xy, _ = lettered("GFI", 0.0, 0.0, 10.0)
    two = spotted(lettered("GFI", 117.0 - float(xy[:, 2].max()), 119.6, 10.0), also=[(120.0, 100.0)])
    assert says(two, "protection") == [False, False]


def test_letters_part_no_text_from_its_outlet() -> None:
    """The long diagonal of a drawn N counted as a line between NOT and its outlet, which had no such label then."""
    xy, gfi = lettered("GFI", 112.0, 108.0)
    more, no = lettered("NOT", 112.0, 97.0)
    title = word("GENERAL NOTES", 330, 380)
    sheet = sheet_of([strokes_of(DUPLEX, at(100, 100)), xy, more], [title, gfi, replace(no, line=8)])
    (outlet,) = spot(sheet, rules(entry("duplex", DUPLEX)), ()).symbols
    assert "NOT" in [label.text for label in outlet.labels]


@pytest.mark.parametrize(("text", "asked"), [("GFIA-12", True), ("GFGIFWWP", True), ("CEILING", False)])
def test_a_mark_that_runs_into_another_text_is_a_question(text: str, asked: bool) -> None:
    """GFI A-12, drawn narrow, and GFCI/WR over GFI/WP were read as one text that no entry explains: missing, with
    nothing said."""
    xy, read = lettered(text, 112.0, 104.0)
    found = spotted((xy, replace(read, confidence=0.6)))
    assert says(found, "protection_unsure") == [asked]

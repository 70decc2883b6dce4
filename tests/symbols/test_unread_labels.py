"""Labels that are drawn in an odd face beside an outlet: what nobody read may be its GFI."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import CircleMark, Fills, LabelEntry, Mapping, Spotting, Word
from cordpath.symbols import spot
from sheet.stroke_face import strokes
from symbols.test_spot import DUPLEX, at, entry, rules, sheet_of, strokes_of, word

TITLE = word("GENERAL NOTES", 330, 380)
BODY = strokes_of(DUPLEX, at(100, 100))


def spotted(*xy: np.ndarray, fills: Fills | None = None) -> Spotting:
    return spot(sheet_of([BODY, *xy], [TITLE], fills=fills), rules(entry("duplex", DUPLEX)), ())


def asked(result: Spotting) -> bool:
    (outlet,) = result.symbols
    return any(name == "protection_unsure" for label in outlet.labels for name, _ in label.sets)


@pytest.mark.parametrize("angle", [0.0, 90.0, 270.0])
@pytest.mark.parametrize("text", ["GFI", "WP", "GFCI"])
def test_letters_that_nobody_read_are_a_question(text: str, angle: float) -> None:
    """The outlet was plainly unprotected."""
    xy = strokes(text, (0, 0), 5.0, angle).reshape(-1, 2)
    xy += np.array([100.0, 116.0]) - (xy.min(0) + xy.max(0)) / 2 + (0, 4 if angle else 0)
    assert asked(spotted(xy.reshape(-1, 4)))


@pytest.mark.parametrize("angle", [30.0, 45.0, 117.0, 315.0])
@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("text", ["GFI", "GFCI"])
def test_letters_at_any_turn_are_a_question(text: str, turned: bool, angle: float) -> None:
    """They were looked at upright only, and no outlet at 30 or 45 degrees was asked."""
    xy = strokes(text, (0, 0), 5.0, angle).reshape(-1, 2)
    xy += np.array([100.0, 100.0 - 9.0 - np.ptp(xy[:, 1]) / 2]) - (xy.min(0) + xy.max(0)) / 2
    body = strokes_of(DUPLEX, at(100, 100, angle if turned else 0.0))
    done = spot(sheet_of([body, xy.reshape(-1, 4)], [TITLE]), rules(entry("duplex", DUPLEX)), ())
    assert asked(done)


def test_letters_of_a_pen_that_is_lifted_at_their_corners_are_a_question() -> None:
    xy = strokes("GFCI", (91, 121), 5.0).reshape(-1, 2, 2)
    along = xy[:, 1] - xy[:, 0]
    short = 0.3 * along / np.maximum(np.hypot(*along.T), 1e-9)[:, None]
    lifted = np.stack([xy[:, 0] + short, xy[:, 1] - short], axis=1).reshape(-1, 4)
    assert asked(spotted(lifted))


def column(text: str, x: float = 98.0) -> np.ndarray:
    return np.concatenate([strokes(letter, (x, 117.0 + 8.5 * n), 5.0) for n, letter in enumerate(text)])


@pytest.mark.parametrize("read", [False, True])
@pytest.mark.parametrize("text", ["GFI", "GFCI"])
def test_letters_one_under_the_other_are_a_question(text: str, read: bool) -> None:
    """They are no row: nothing was said, also where the reader of lettering took the F for one by itself."""
    words = [TITLE, replace(word("F", 100, 123), origin="stroke", confidence=0.5)] if read else [TITLE]
    assert asked(spot(sheet_of([BODY, column(text)], words), rules(entry("duplex", DUPLEX)), ()))


@pytest.mark.parametrize(("said", "asks"), [("OU", True), ("OUUI", False), ("OK", False)])
def test_letters_one_under_the_other_of_which_some_are_read_turned_are_a_question(said: str, asks: bool) -> None:
    """G over F over C over I was read as an O and, from the side of the C, a U: nothing was said."""
    words = [replace(word(text, 101, 114 + 8.5 * n), origin="outline") for n, text in enumerate(said)]
    found = spot(sheet_of([BODY, column("GFCI")], [TITLE, *words]), rules(entry("duplex", DUPLEX)), ())
    assert asked(found) is asks


@pytest.mark.parametrize("text", ["GF", "III", "KKK"])
def test_other_marks_one_under_the_other_are_none(text: str) -> None:
    assert not asked(spotted(column(text)))


def test_lines_of_text_one_under_the_other_are_no_column() -> None:
    rows = [strokes(text, (96.0, 117.0 + 8.5 * n), 5.0) for n, text in enumerate(("KE", "AN", "ME"))]
    words = [
        TITLE,
        *(replace(word(text, 101, 114 + 8.5 * n), origin="stroke") for n, text in enumerate(("KE", "AN", "ME"))),
    ]
    assert not asked(spot(sheet_of([BODY, *rows], words), rules(entry("duplex", DUPLEX)), ()))


def test_letters_that_overlap_in_a_slanted_face_are_a_question() -> None:
    """The I stood in the white paper around G and F, and parted them from nothing but itself."""
    xy = strokes("GFI", (92, 121), 5.0).reshape(-1, 2)
    xy[:, 0] += 0.7 * (121.0 - xy[:, 1])
    xy[:, 0] = 92.0 + 0.72 * (xy[:, 0] - 92.0)
    assert asked(spotted(xy.reshape(-1, 4)))


def test_large_letters_with_flat_bows_are_a_question() -> None:
    """The back of a G of 12 pt text is a bow of a larger circle than any letter was thought to have."""
    turn = np.radians(np.linspace(45.0, 315.0, 19))
    back = np.c_[92.0 + 3.0 + 5.3 * np.cos(turn), 116.0 + 5.3 * np.sin(turn) * 0.8]
    letter = np.concatenate([np.c_[back[:-1], back[1:]], [[98.7, 119.0, 98.7, 116.0], [98.7, 116.0, 96.0, 116.0]]])
    assert asked(spotted(letter, strokes("F", (102, 120), 8.0)))


def test_outlines_of_an_unknown_face_are_a_question() -> None:
    letter = np.array([[0, 0], [3, 0], [3, 1], [1, 1], [1, 2], [2.5, 2], [2.5, 3], [1, 3], [1, 5], [0, 5]])
    pair = np.array([shapely.Polygon(letter * scale + move) for scale, move in (
        ((1.0, 1.0), (94, 110)), ((0.7, 1.0), (99, 110)))])  # fmt: skip
    fills = Fills(pair, np.zeros((2, 3)), np.ones(2), np.full(2, -1), np.zeros(2, np.int64))
    assert asked(spotted(fills=fills))


LEADER = np.array([[100.0, 107.0, 100.0, 134.0]])
NEAR = {
    "led": np.concatenate([LEADER, strokes("GFI", (92, 143), 5.0)]),
    "under a wall": np.concatenate([strokes("GFI", (92, 121), 5.0), [[20.0, 122.0, 180.0, 122.0]]]),
}  # fmt: skip


@pytest.mark.parametrize("name", NEAR)
def test_letters_are_a_question_wherever_drafters_put_them(name: str) -> None:
    """Letters at the end of a leader, and closely along a wall, were not seen."""
    assert asked(spotted(NEAR[name]))


def test_letters_at_a_leader_are_no_question_where_they_are_read() -> None:
    words = [TITLE, replace(word("KEY", 96, 138), origin="stroke", confidence=0.97)]
    assert not asked(spot(sheet_of([BODY, NEAR["led"]], words), rules(entry("duplex", DUPLEX)), ()))


def test_letters_of_which_one_is_read_are_a_question() -> None:
    """A C was read of GFI, and nothing was said of the rest."""
    words = [TITLE, replace(word("C", 94, 118), origin="outline", confidence=0.5)]
    sheet = sheet_of([BODY, strokes("GFI", (92, 121), 5.0)], words)
    assert asked(spot(sheet, rules(entry("duplex", DUPLEX)), ()))


@pytest.mark.parametrize(
    ("text", "words"), [("GFIA12", ["GA-12"]), ("GFI+42", ["G"]), ("GFI+42", []), ("GFCI", ["G", "C1"])]
)
def test_letters_that_a_longer_label_lost_are_a_question(text: str, words: list[str]) -> None:
    """Of GFI A-12 the reader of lettering kept GA-12, of GFI +42" a G or nothing, of GFCI a G and C1."""
    drawn = [
        replace(word(each, 92 + 10 * n, 118), origin="stroke", confidence=0.75) for n, each in enumerate(words)
    ]
    sheet = sheet_of([BODY, strokes(text, (90, 121), 5.0)], [TITLE, *drawn])
    assert asked(spot(sheet, rules(entry("duplex", DUPLEX)), ()))


@pytest.mark.parametrize("words", [["GA-12"], ["GFIA12"]])
def test_letters_of_which_hardly_one_is_lost_are_none(words: list[str]) -> None:
    drawn = [replace(word(each, 92, 118), origin="stroke", confidence=0.75) for each in words]
    sheet = sheet_of([BODY, strokes("GKA12", (90, 121), 5.0)], [TITLE, *drawn])
    assert not asked(spot(sheet, rules(entry("duplex", DUPLEX)), ()))


def test_letters_in_the_box_around_a_slanted_word_are_a_question() -> None:
    """The upright box around +42" at 60 degrees covered the GFCI in the line before it."""
    text = Word('+42"', (94.0, 114.0, 110.0, 130.0), 45.0, 5.0, 0, origin="stroke")
    sheet = sheet_of([BODY, strokes("GFI", (91, 117.5), 5.0, 45.0)], [TITLE, text])
    assert asked(spot(sheet, rules(entry("duplex", DUPLEX)), ()))


THINGS = {
    "one letter": strokes("G", (98, 119), 5.0),
    "two marks alike": np.concatenate([strokes("K", (x, 119), 5.0) for x in (92.0, 100.0)]),
    "ticks": np.array([[94.0, 110, 98, 116], [100, 110, 104, 116]]),
    "a burner and a knob": np.concatenate([strokes_of((CircleMark((0, 0), r),), at(x, 115)) for x, r in (
        (94, 0.04), (102, 0.05))]),
    "on a line": np.concatenate([strokes("GFI", (92, 119), 5.0), [[60.0, 119.5, 140, 119.5]]]),
    "far": strokes("GFI", (92, 145), 5.0),
}  # fmt: skip


@pytest.mark.parametrize("name", THINGS)
def test_other_marks_beside_an_outlet_are_none(name: str) -> None:
    assert not asked(spotted(THINGS[name]))


def test_an_outlet_that_has_its_label_is_not_asked_again() -> None:
    sheet = sheet_of([BODY, strokes("WX", (92, 119), 5.0)], [TITLE, word("GFI", 100, 86)])
    labels = (LabelEntry("GFI", (("protection", "device"),)),)
    mapping = Mapping("m.yaml", rules(entry("duplex", DUPLEX)).drawing, (entry("duplex", DUPLEX),), labels)
    assert not asked(spot(sheet, mapping, ()))


@pytest.mark.parametrize(("y", "asks"), [(131.0, True), (160.0, False)])
def test_lettering_that_could_not_be_read_at_a_brace_is_a_question_at_each_of_its_outlets(
    y: float, asks: bool
) -> None:
    """They were missing protection for certain."""
    row = [strokes_of(DUPLEX, at(x, 100)) for x in (60, 100, 140)]
    bracket = np.array([(50, 118, 50, 122), (50, 122, 150, 122), (150, 122, 150, 118), (100, 122, 100, 127)], float)
    sheet = replace(sheet_of([*row, bracket], [TITLE]), unread_at=((100.0, y),))
    symbols = spot(sheet, rules(entry("duplex", DUPLEX)), ()).symbols
    assert [any(n == "protection_unsure" for n, _ in label.sets) for s in symbols for label in s.labels] == [
        True
    ] * 3 * asks

"""Sheets with typed words whose labels are drawn: letters that nobody read may be those of a lettered twin."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from cordpath.model import CircleMark, Fills, LineMark, TextMark, Word
from cordpath.sheet import read_glyphs
from cordpath.symbols import spot
from cordpath.symbols.letters.turned_letters import _angles
from symbols.test_drawn_letters import lettered, reading
from symbols.test_spot import DUPLEX, at, entry, names, rules, sheet_of, strokes_of, word

WASHER = (0.0, 0.17)  # in, where its letter stands
W_TWIN = rules(entry("duplex", DUPLEX), entry("washer", (*DUPLEX, TextMark("W", WASHER))))
TITLE = word("GENERAL NOTES", 330, 380)
DRAWN = replace(word("A-12", 300, 300), origin="stroke", confidence=0.95)
UNREADABLE = np.array([[-3.0, -2.5, 3, 2.5], [3, 2.5, -2, 3], [-2, 3, 1, -3], [1, -3, -3, 0.5]])


def beside(xy: np.ndarray, angle: float) -> np.ndarray:
    """Strokes (n, 4) about the origin, at the place of a turned symbol's letter and turned with it."""
    t = np.radians(angle)
    turn = np.array([[np.cos(t), -np.sin(t)], [np.sin(t), np.cos(t)]])
    away = 72 * np.array(WASHER)
    return ((xy.reshape(-1, 2) + away) @ turn + 100.0).reshape(-1, 4)


def seen(letter: np.ndarray, angle: float, *words: Word, mapping=W_TWIN) -> list[str]:  # type: ignore[no-untyped-def]
    body = strokes_of(DUPLEX, at(100, 100, angle))
    return names(reading([body, beside(letter, angle)], mapping, words=[TITLE, *words]))


@pytest.mark.parametrize("angle", [0.0, 90.0, 217.0])
@pytest.mark.parametrize("sign", ["a drawn word", "an unread place", "all is typed"])
def test_one_typed_word_does_not_settle_that_strokes_are_no_letters(angle: float, sign: str) -> None:
    words = [TITLE, DRAWN] if sign == "a drawn word" else [TITLE]
    sheet = sheet_of([strokes_of(DUPLEX, at(100, 100, angle)), beside(UNREADABLE, angle)], words)
    if sign == "an unread place":
        sheet = replace(sheet, unread_at=((300.0, 300.0),))
    result = spot(sheet, W_TWIN, (), read=read_glyphs)
    assert names(result) == []


@pytest.mark.parametrize("angle", [33.0, 123.0, 180.0, 250.0, 318.0])
@pytest.mark.parametrize("letter", ["W", "M"])
def test_a_letter_turned_with_its_symbol_is_asked_about(letter: str, angle: float) -> None:
    mapping = rules(entry("duplex", DUPLEX), entry("other", (*DUPLEX, TextMark(letter, WASHER))))
    assert "duplex" not in seen(lettered(letter, 0, 0), angle, mapping=mapping)


@pytest.mark.parametrize("angle", [0.0, 33.0, 123.0])
@pytest.mark.parametrize("letter", ["T", "E"])
def test_another_letter_at_its_place_on_a_typed_sheet_is_no_question(letter: str, angle: float) -> None:
    assert seen(lettered(letter, 0, 0), angle) == ["duplex"]


def test_the_letters_of_a_twin_with_another_origin_are_looked_for_at_their_own_place() -> None:
    """The lettered one has its origin on the wall: the strokes were looked for 0.2 in away."""
    low = 0.2
    moved = tuple(
        replace(mark, center=(mark.center[0], mark.center[1] + low)) if isinstance(mark, CircleMark)
        else replace(mark, start=(mark.start[0], mark.start[1] + low), end=(mark.end[0], mark.end[1] + low))
        for mark in DUPLEX if isinstance(mark, CircleMark | LineMark)
    )  # fmt: skip
    mapping = rules(entry("duplex", DUPLEX), entry("washer", (*moved, TextMark("W", (0.0, 0.17 + low)))))
    assert seen(UNREADABLE, 0.0, DRAWN, mapping=mapping) == []


def test_letters_at_a_turn_are_read_upright_at_that_turn_and_readable() -> None:
    own = np.array([0.0, 0.0, np.radians(-135.0), 0.0, 1.0])
    assert np.allclose(_angles(own), (0.0, 90.0, 270.0, 135.0, -45.0))


def bows() -> np.ndarray:
    """Two letters of nothing but bows, as a script has."""
    a = np.radians(np.linspace(40, 300, 14))
    bow = 2.2 * np.c_[np.cos(a), np.sin(a)]
    lines = [np.c_[p[:-1], p[1:]] for p in (bow + side for side in ([-3.0, 0.0], [3.0, 0.0]))]
    return np.concatenate(lines)


@pytest.mark.parametrize("angle", [0.0, 90.0, 217.0])
def test_letters_that_are_bows_alone_may_be_the_mark(angle: float) -> None:
    mapping = rules(entry("duplex", DUPLEX), entry("gfi", (*DUPLEX, TextMark("GC", WASHER))))
    assert seen(bows(), angle, mapping=mapping) == []


def test_a_circle_and_a_door_beside_an_outlet_are_no_letters() -> None:
    ring = strokes_of((CircleMark((0, 0), 0.04),), at(0, 0))
    a = np.radians(np.linspace(0, 90, 16))
    swing = 30 * np.c_[np.cos(a), np.sin(a)] - (30, 2)
    for lines in (ring, np.c_[swing[:-1], swing[1:]]):
        assert seen(lines, 0.0) == ["duplex"]


W_ASLANT = np.array([[-6, -4], [-4.4, -4], [-3, 2], [-0.4, -4], [0.6, -4], [2, 2], [5, -4], [6.2, -4], [2.2, 4],
                     [0.8, 4], [-0.4, -1.4], [-3, 4], [-4.4, 4]])  # fmt: skip


@pytest.mark.parametrize("shape", ["a broad W", "an arrowhead", "a dot"])
def test_outlines_of_an_unknown_face_are_asked_about(shape: str) -> None:
    """On a sheet whose words are typed; what is no letter in any face is no question."""
    ring = {"a broad W": W_ASLANT, "an arrowhead": np.array([[-3.0, 0], [3, 1.5], [3, -1.5]]),
            "a dot": shapely.Point(0, 0).buffer(1.5).exterior.coords}[shape]  # fmt: skip
    area = np.array([shapely.Polygon(np.asarray(ring) + 72 * np.array([0, -WASHER[1]]) + 100.0)])
    fills = Fills(area, np.zeros((1, 3)), np.ones(1), np.full(1, -1), np.zeros(1, np.int64))
    sheet = sheet_of([strokes_of(DUPLEX, at(100, 100))], [TITLE], fills=fills)
    assert names(spot(sheet, W_TWIN, (), read=lambda glyphs, filled: [{} for _ in glyphs])) == (
        [] if shape == "a broad W" else ["duplex"]
    )

"""Words in the ring of a sign are letters of a device and name no room."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from room_symbols import symbol

from cordpath.model import Fills, Sheet, Strokes, View, Word
from cordpath.rooms import without_letters
from cordpath.rooms.names.rings import in_ring
from cordpath.rooms.names.tags import find_tags


def _ring(at: tuple[float, float], radius: float, sides: int, turn: float = 0.1) -> np.ndarray:
    a = np.linspace(0, 2 * np.pi, sides + 1) + turn
    points = np.array(at) + radius * np.c_[np.cos(a), np.sin(a)]
    return np.c_[points[:-1], points[1:]]


def _box(x0: float, y0: float, x1: float, y1: float) -> np.ndarray:
    p = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1], [x0, y0]])
    return np.c_[p[:-1], p[1:]]


def _word(text: str, x: float, y: float, size: float) -> Word:
    half = 0.3 * size * len(text)
    return Word(text, (x - half, y - size / 2, x + half, y + size / 2), 0.0, size, 0)


def _names(xy: np.ndarray, *words: Word) -> list[str]:
    sheet = Sheet("s.pdf", 1, "E1", None, 400.0, 400.0, Strokes.of(xy), Fills.none(), words, (),
                  (View("v1", "PLAN", (0.0, 0.0, 400.0, 400.0)),), ())  # fmt: skip
    return sorted(tag.text for tag in find_tags(sheet, sheet.views[0], ())[0])


def test_the_letters_of_receptacles_name_no_recreation_rooms() -> None:
    """REC in twenty circles made twenty rooms, and cleared a kitchen's receptacle as one of a living room."""
    rings = [_ring((60.0 * k, 80.0), 7.9, 24) for k in range(1, 6)]
    devices = [_word("REC", 60.0 * k, 80.0, 5.0) for k in range(1, 6)]
    assert _names(np.concatenate(rings), _word("KITCHEN", 200, 250, 8.0), *devices) == ["KITCHEN"]


@pytest.mark.parametrize("sides", [6, 32])
def test_the_letter_of_a_grid_line_or_a_window_names_no_bath(sides: int) -> None:
    """B in the bubble of a grid line made a bathroom of a part of the laundry or bedroom that it stood in."""
    bubbles = np.r_[_ring((100.0, 80.0), 11.5, sides), _ring((300.0, 80.0), 11.5, sides)]
    letters = _word("B", 100, 80, 8.0), _word("K", 300, 80, 8.0)
    rooms = _word("LAUNDRY", 200, 250, 8.0), _word("BEDROOM", 200, 350, 8.0)
    tiles = np.array([[113.5 + 3.6 * k, 78.0, 113.5 + 3.6 * k, 82.0] for k in range(5)])
    assert _names(np.r_[bubbles, tiles], *rooms, *letters) == ["BEDROOM", "LAUNDRY"]
    assert _names(bubbles + 150.0, *rooms, *letters) == ["B", "BEDROOM", "K", "LAUNDRY"]


@pytest.mark.parametrize("name", ["PRIMARY BEDROOM", "BATH", "KIT.", "STUDY"])
def test_the_walls_of_an_even_room_are_no_ring_around_its_name(name: str) -> None:
    """Ten of sixteen rooms of a plan lost their names, and two outlets were cleared."""
    half = max(1.0, 0.6 * len(name)) * 10.0 / 2
    walls = _box(200 - 1.5 * half, 200 - 1.5 * half, 200 + 1.5 * half, 200 + 1.5 * half)
    assert not in_ring((200.0, 200.0), name, 10.0, walls)
    assert _names(walls, _word(name, 200, 200, 10.0)) == [name]


@pytest.mark.parametrize("sides", [6, 8, 24])
@given(off=st.tuples(st.floats(-1, 1), st.floats(-1, 1)), turn=st.floats(0, 6))
def test_a_ring_is_even_however_many_sides_it_has(sides: int, off: tuple[float, float], turn: float) -> None:
    bar = np.array([[92.0, 100.0, 80.0, 100.0], [0.0, 92.0, 200.0, 92.0]])
    xy = np.concatenate([_ring((100.0, 100.0), 9.0, sides, turn), bar])
    assert in_ring((100.0 + off[0], 100.0 + off[1]), "REC", 5.0, xy)


@pytest.mark.parametrize(
    "xy",
    [_box(88.0, 95.0, 112.0, 105.0), _box(20.0, 20.0, 180.0, 180.0), _ring((100.0, 100.0), 90.0, 36),
     _box(90.0, 90.0, 110.0, 110.0), _ring((100.0, 100.0), 9.0, 24)[:14], _ring((112.0, 100.0), 5.0, 24),
     np.zeros((0, 4))],
    ids=["a box of its length", "its room", "a round room", "a square room", "half a ring", "a ring beside it",
         "nothing"],
)  # fmt: skip
def test_what_is_no_ring(xy: np.ndarray) -> None:
    assert not in_ring((100.0, 100.0), "REC", 5.0, xy)


def test_a_word_in_an_outlet_is_its_own_whatever_is_drawn_around_it() -> None:
    """REC in a box is a receptacle where the mapping file says so; beside it, or in a fixture, it is a word."""
    words = (_word("REC", 100, 100, 3.0), _word("REC", 130, 100, 3.0), _word("BATH", 200, 100, 3.0))
    sheet = Sheet(
        "s.pdf", 1, "E1", None, 400.0, 400.0, Strokes.of(np.zeros((0, 4))), Fills.none(), words, (), (), ()
    )
    kept = without_letters(sheet, (symbol("receptacle", (100, 100)), symbol("shower", (200, 100), size=40.0)))
    assert [word.text for word in kept.words] == ["REC", "BATH"]


@pytest.mark.parametrize(
    ("text", "size", "x", "kept"),
    [("REC", 5.0, 111.0, False), ("CL", 5.0, 111.0, False), ("DR", 5.0, 111.0, False), ("DEN", 5.0, 111.0, False),
     ("REC", 8.0, 114.0, True), ("REC", 5.0, 125.0, True), ("BATH", 5.0, 111.0, True), ("GFI", 5.0, 111.0, True)],
)  # fmt: skip
def test_a_short_word_right_beside_an_outlet_is_its_label(text: str, size: float, x: float, kept: bool) -> None:
    """LR beside a kitchen's receptacle cleared it as one of a living room: it was no smaller name of a room."""
    words = tuple(
        replace(_word(said, at, y, high), line=k)
        for k, (said, at, y, high) in enumerate(
            [(text, x, 100, size), ("KITCHEN", 200, 200, 8), ("BEDROOM", 200, 300, 8), ("WC", 300, 300, 8)]
        )
    )
    nothing = Strokes.of(np.zeros((0, 4)))
    sheet = Sheet("s.pdf", 1, "E1", None, 400.0, 400.0, nothing, Fills.none(), words, (), (), ())
    found = without_letters(sheet, (symbol("receptacle", (100, 100)),)).words
    assert len(found) == 3 + kept and (found[0].text == text) is kept


@pytest.mark.parametrize(("next_x", "kept"), [(131.0, False), (118.5, True)])
def test_the_rest_of_a_word_that_was_not_read_is_a_label(next_x: float, kept: bool) -> None:
    """Of DRYER in strokes, lines through it, D, R and a last R were read: DR split the laundry as a dining room."""
    words = (
        replace(_word("DR", 111, 100, 5.0), line=0),
        replace(_word("R", next_x, 100, 5.0), line=0),
        *(replace(_word("LAUNDRY", 200, y, 8.0), line=k) for k, y in ((1, 200), (2, 300))),
    )
    nothing = Strokes.of(np.zeros((0, 4)))
    sheet = Sheet("s.pdf", 1, "E1", None, 400.0, 400.0, nothing, Fills.none(), words, (), (), ())
    found = without_letters(sheet, (symbol("receptacle", (100, 100)),)).words
    assert ("DR" in [word.text for word in found]) is kept

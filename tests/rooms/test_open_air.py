"""Porches within parapets drawn as walls, or within screens: what tells them from rooms with a plain name."""

from __future__ import annotations

import pytest
from room_symbols import PLAIN, SCALE, Drawer

from cordpath.model import Room
from cordpath.rooms import find_rooms

SLIDER = ((10, 19.65), (15.2, 19.65)), ((14.8, 19.75), (20, 19.75))  # two panels, one before the other


def _porch(drawn: Drawer, kept: str) -> Room:
    """The room of that name before a house of two rooms; a slider leads out to it."""
    house = drawn.room(5, 5, 25, 19.5, "LIVING").room(25.375, 5, 45, 19.5, "BEDROOM").hole(10, 19.4, 20, 20)
    for panel in SLIDER:
        house = house.line(*panel)
    sheet, view = house.sheet()
    return next(r for r in find_rooms(sheet, view, SCALE, PLAIN, ()).rooms if r.name == kept)


@pytest.mark.parametrize("name", ["SITTING", "DINING", "ENTRY"])
def test_a_room_with_a_gap_to_the_outdoors_and_no_window_may_be_a_porch(name: str) -> None:
    """SITTING within parapets, with a gap of 4 ft to the garden, was a living room for certain."""
    porch = _porch(Drawer().room(5, 19.875, 45, 28, name).hole(20, 27.9, 24, 28.5), name)
    assert porch.confidence <= 0.6 and any("porch" in reason for reason in porch.reasons)


@pytest.mark.parametrize("what", ["window", "no gap", "door"])
def test_windows_or_a_door_tell_that_it_is_a_room(what: str) -> None:
    drawn = Drawer().room(5, 19.875, 45, 28, "SITTING")
    drawn = drawn if what == "no gap" else drawn.hole(20, 27.9, 23, 28.5)
    if what == "window":
        drawn = drawn.hole(35, 27.9, 40, 28.5).line((35, 28.1), (40, 28.1)).line((35, 28.25), (40, 28.25))
    if what == "door":
        drawn = drawn.line((20, 28), (23, 28)).line((20, 28.35), (23, 28.35))
    assert _porch(drawn, "SITTING").confidence > 0.8


def test_a_name_that_is_outdoors_needs_no_doubt() -> None:
    assert _porch(Drawer().room(5, 19.875, 45, 28, "PORCH").hole(20, 27.9, 24, 28.5), "PORCH").confidence > 0.8


@pytest.mark.parametrize(("lines", "windows", "screened"), [(1, 3, True), (3, 3, False), (1, 1, False)])
def test_one_line_where_windows_have_more_may_be_a_screen(lines: int, windows: int, screened: bool) -> None:
    """SITTING behind screens from post to post was a living room for certain, and its outlets not required."""
    drawn = Drawer().room(5, 19.875, 45, 28, "SITTING").hole(30, 4.5, 35, 5.1)
    for west, east, south, count in ((30, 35, 4.7, windows), (6, 15, 28.1, lines), (16, 25, 28.1, lines)):
        drawn = drawn if south < 5 else drawn.hole(west, 27.9, east, 28.5)
        for k in range(count):
            drawn = drawn.line((west, south + 0.1 * k), (east, south + 0.1 * k))
    porch = _porch(drawn, "SITTING")
    assert (porch.confidence <= 0.6) is screened
    assert any("screens" in reason for reason in porch.reasons) is screened


def _lined(name: str, inner: str = "") -> Drawer:
    """A place before the house, within two thin lines where the house's walls are filled.

    ``inner``: the name of a second one beside it, or ``window`` or ``gate``.
    """
    south, drawn = 29.0, Drawer()
    opening = {"window": (22.0, 27.0), "gate": (17.0, 20.0)}.get(inner, (20.0, 20.0))
    for off in (-1 / 6, 1 / 6):
        west, east, end = 12 - off, 30 + off, south + off
        drawn = drawn.line((west, 19.875), (west, end), (opening[0], end))
        drawn = drawn.line((opening[1], end), (east, end), (east, 19.875))
    if inner == "gate":
        drawn = drawn.line((17, 29), (17, 26), (18.5, 26.4), (19.6, 27.5), (20, 29))
    elif inner == "window":
        for x in opening:
            drawn = drawn.line((x, south - 1 / 6), (x, south + 1 / 6))
        for off in (-0.06, 0.06):
            drawn = drawn.line((opening[0], south + off), (opening[1], south + off))
    elif inner:
        for off in (-1 / 6, 1 / 6):
            drawn = drawn.line((20 + off, 19.875), (20 + off, south - 1 / 6))
        return drawn.word(name, (16, 25)).word(inner, (25, 25))
    return drawn.word(name, (21, 25))


@pytest.mark.parametrize("inner", ["", "gate"])
@pytest.mark.parametrize("name", ["SITTING", "STORAGE"])
def test_a_room_within_lines_that_are_no_walls_of_the_house_may_be_a_porch(name: str, inner: str) -> None:
    """SITTING within railings of two lines, with a gate, was a living room for certain."""
    porch = _porch(_lined(name, inner=inner), name)
    assert porch.confidence <= 0.6 and any("railings" in reason for reason in porch.reasons)


@pytest.mark.parametrize("inner", ["window", "STUDY"])
def test_a_window_or_more_rooms_tell_an_addition_however_its_walls_are_drawn(inner: str) -> None:
    assert _porch(_lined("SITTING", inner=inner), "SITTING").confidence > 0.8

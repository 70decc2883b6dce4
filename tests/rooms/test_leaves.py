"""Lines in and beside a gap of a wall that show a door: leaves on hinges, panels in the wall, sliding panels."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.rooms.ink import Ink
from cordpath.rooms.openings.leaves import Leaves
from cordpath.rooms.walls.ends import End, Gap

INCH = 1.5  # pt, 1/4" = 1'-0"
Line = tuple[float, float, float, float]


def shown(*lines: Line, turn: float = 0.0) -> Leaves:
    """Leaves among these lines; inches from the end of a wall, its gap to the right."""
    cos, sin = np.cos(turn), np.sin(turn)
    xy = (np.array(lines).reshape(-1, 2) @ [[cos, sin], [-sin, cos]] * INCH).reshape(-1, 4)
    run = xy[:, 2:] - xy[:, :2]
    length, n = np.hypot(*run.T), len(xy)
    zero = np.zeros(n)
    ink = Ink(xy, length, run / length[:, None], zero, zero, zero.astype(int), np.arange(n), zero.astype(bool))
    return Leaves(ink, INCH)


def gap(wide: float, turn: float = 0.0) -> Gap:
    return Gap(End(np.zeros(2), np.array([np.cos(turn), np.sin(turn)]), 6 * INCH), wide * INCH, 0.0)


SLIDING: tuple[Line, Line] = ((0, 1, 38, 1), (34, -1, 72, -1))


@pytest.mark.parametrize("turn", [0.0, 0.7, np.pi / 2, 3.0])
@pytest.mark.parametrize(
    ("lines", "slides"),
    [
        (SLIDING, True),
        (SLIDING[:1], False),  # one panel
        (((0, 1, 38, 1), (34, 1, 72, 1)), False),  # both in one plane
        (((0, 1, 38, 1), (0, -1, 38, -1)), False),  # both from the same side
        (((8, 1, 46, 1), (34, -1, 72, -1)), False),  # one that touches no side
        (((0, 1, 38, 1), (20, -1, 58, -1)), False),
        (((0, 1, 28, 1), (44, -1, 72, -1)), False),  # too short to close it
        (((0, 1, 60, 1), (12, -1, 72, -1)), False),  # the lines of a window run through
        (((0, 1, 38, 6), (34, -1, 72, -6)), False),  # askew
        (((0, 9, 38, 9), (34, 7, 72, 7)), False),  # in the room, not in the wall
    ],
)
def test_two_panels_one_before_the_other_slide(lines: tuple[Line, ...], slides: bool, turn: float) -> None:
    assert shown(*lines, turn=turn).slides(gap(72, turn)) is slides


@pytest.mark.parametrize(
    ("lines", "wide", "told"),
    [
        (((0, 0, 0, 32),), 32, "leaf"),  # open at a right angle
        (((32, 0, 10, -23),), 32, "leaf"),  # and hung at the other end
        (((0, 0, 0, 20),), 32, None),  # shorter than the gap
        (((0, 0, 0, 30), (60, 0, 60, 30)), 60, "leaf"),  # a pair
        (((0, 0, 0, 30),), 60, None),  # half of one
        (((16, 0, 16, 32),), 32, None),  # hung in the middle
        (((0, 1, 20, 1),), 32, "panel"),  # a pocket door half way
        (((0, 1, 32, 1),), 32, None),  # a threshold, or glass
        (((8, 1, 24, 1),), 32, None),  # it touches no side
    ],
)
def test_what_shows_a_door_in_a_gap(lines: tuple[Line, ...], wide: float, told: str | None) -> None:
    assert shown(*lines).close(gap(wide)) == told

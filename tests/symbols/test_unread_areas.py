"""Pictures and shadings in or at outlets."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cordpath.model import CircleMark, LineMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of

DUPLEX = (CircleMark((0, 0), 0.0625), LineMark((-0.025, -0.11), (-0.025, 0.0573)),
          LineMark((0.025, -0.11), (0.025, 0.0573)))  # fmt: skip


@pytest.mark.parametrize(
    ("area", "asked"),
    [
        ((99.0, 99.0, 101.0, 101.0), True),  # the dot in it
        ((98.0, 104.6, 102.0, 108.0), True),  # the pointer below the circle
        ((98.0, 107.0, 102.0, 110.4), False),  # a label
        ((60.0, 104.6, 140.0, 112.0), False),  # a floor's
    ],
)
def test_a_picture_where_a_mark_would_stand_is_asked_about(
    area: tuple[float, float, float, float], asked: bool
) -> None:
    """A pointer that is a picture was none: the plain design was certain, which is the GFCI one of some offices."""
    page = replace(sheet_of([strokes_of(DUPLEX, at(100, 100))]), unread_areas=(area,))
    (symbol,) = spot(page, rules(entry("duplex", DUPLEX, protection="device")), ()).symbols
    assert symbol.found is not asked

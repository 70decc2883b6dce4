"""An outlet that an X is drawn over, as who marks up a print deletes it, is a question whatever its label says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cordpath.model import Label
from cordpath.symbols.labels.crossed_out import doubted_by_crosses
from symbols.test_labels import PROTECTED, sheet, symbol, word

OUTLET = replace(symbol(100, 100), labels=(Label("GFI", (100.0, 112.0), PROTECTED),))


def cross(x: float, y: float, half: float) -> list[tuple[float, ...]]:
    return [(x - half, y - half, x + half, y + half), (x + half, y - half, x - half, y + half)]


@pytest.mark.parametrize("y", [100.0, 107.5])
def test_an_x_over_an_outlet_or_its_label_leaves_open_what_is_meant(y: float) -> None:
    """The outlet was protected for certain by a label that is crossed out with it."""
    (done,) = doubted_by_crosses((OUTLET,), sheet([], cross(100, y, 12)))
    assert done.fact("protection") is None and done.fact("protection_unsure") == "device"
    assert "crossed out" in done.reasons[-1]


@pytest.mark.parametrize(
    "lines",
    [
        cross(130, 100, 12),  # beside it
        cross(100, 100, 3),  # a mark within it
        cross(100, 100, 60),  # lines of the drawing
        cross(100, 100, 12)[:1],  # a slash
        [each for k in range(-6, 7) for each in cross(100 + 5 * k, 100, 12)],  # hatch
        [*cross(100, 107, 12), (112.0, 119.0, 112.0, 95.0)],  # a corner of something
        [(88.0, 107.0, 112.0, 107.0), (110.0, 90.0, 110.0, 118.0)],  # lines that cross near their ends
    ],
)
def test_other_lines_about_an_outlet_cross_nothing_out(lines: list[tuple[float, ...]]) -> None:
    assert doubted_by_crosses((OUTLET,), sheet([], lines)) == (OUTLET,)
    assert doubted_by_crosses((OUTLET,), sheet([], np.zeros((0, 4)).tolist())) == (OUTLET,)


@pytest.mark.parametrize(
    ("line", "open_"),
    [
        ((92.0, 124.0, 104.0, 90.0), True),
        ((92.0, 116.0, 104.0, 94.0), True),  # through the first letter
        ((98.0, 110.0, 100.0, 105.0), False),  # a leader
        ((97.0, 124.0, 99.0, 105.0), False),  # past the label to the outlet
        ((100.0, 110.0, 100.0, 60.0), False),  # from the label, past the outlet
        ((92.0, 130.0, 112.0, 40.0), False),  # a line of the drawing
    ],
)
def test_one_slash_over_an_outlet_and_its_label_crosses_both_out(line: tuple[float, ...], open_: bool) -> None:
    """It stands across them as one who marks up a print draws it: the outlet was protected for certain."""
    (done,) = doubted_by_crosses((OUTLET,), sheet([word("GFI", 100, 112)], [line]))
    assert (done.fact("protection") is None) is open_

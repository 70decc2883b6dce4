"""A label of protection from which a line leads away to no device that was found clears no outlet beside it."""

from __future__ import annotations

import pytest

from symbols.test_labels import given_to, symbol, word

LABEL = (100.0, 116.0)  # its sides are at 94.1 and 105.9
AWAY = [
    [(107.0, 116.0, 130.0, 132.0)],
    [(93.0, 117.0, 84.0, 117.0), (84.0, 117.0, 70.0, 140.0)],  # with a landing
    [(107.0, 116.0, 130.0, 116.0), (130.0, 116.0, 127.0, 114.0), (130.0, 116.0, 127.0, 118.0)],  # with an arrowhead
]
OTHERS = {
    "to its outlet": [(107.0, 116.0, 112.0, 116.0 - 8), (112.0, 108.0, 105.0, 102.0)],
    "a wall below": [(80.0, 124.0, 140.0, 124.0)],
    "joined to more": [(107.0, 116.0, 130.0, 132.0), (130.0, 132.0, 130.0, 180.0), (130.0, 180.0, 90.0, 180.0),
                       (90.0, 180.0, 90.0, 240.0)],
    "dashes": [(107.0 + 12 * k, 117.0, 115.0 + 12 * k, 117.0) for k in range(4)],
    "a line that the text breaks": [(60.0, 116.0, 93.0, 116.0), (107.0, 116.0, 140.0, 116.0)],
    "upright beside it": [(107.5, 117.0, 107.5, 160.0)],
    "a wall that ends on a longer one": [(107.0, 116.0, 130.0, 116.0), (130.0, 20.0, 130.0, 300.0)],
}  # fmt: skip


@pytest.mark.parametrize("lines", AWAY, ids=["straight", "landing", "arrow"])
def test_a_label_with_a_line_that_leads_away_is_a_question(lines: list[tuple[float, ...]]) -> None:
    """The outlet beside the label was protected for certain."""
    _, (done,), _ = given_to([symbol(100, 100)], [word("GFI", *LABEL)], lines)
    assert done.fact("protection") is None and done.fact("protection_unsure") == "device"


@pytest.mark.parametrize("lines", OTHERS.values(), ids=OTHERS)
def test_other_lines_beside_a_label_leave_it_its_outlet(lines: list[tuple[float, ...]]) -> None:
    _, (done,), _ = given_to([symbol(100, 100)], [word("GFI", *LABEL)], lines)
    assert done.fact("protection") == "device"

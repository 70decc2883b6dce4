"""A letter that was read from strokes with little confidence makes no protected outlet of a plain one."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cordpath.model import TextMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of, word
from symbols.test_twins import STEMS, UP, WALL

GFCI = entry("gfci", (*STEMS, TextMark("G", (0, 0))), wall_side=UP, protection="device")
LAMP = entry("lamp", (*STEMS, TextMark("G", (0, 0))), wall_side=UP)


@pytest.mark.parametrize("confidence", [0.5, 0.75, 0.85, 1.0])
def test_an_unsure_letter_protects_nothing(confidence: float) -> None:
    read = replace(word("G", 100, 100, 5.5), origin="stroke", confidence=confidence)
    sheet = sheet_of([strokes_of(STEMS, at(100, 100)), WALL], [read])
    (symbol,) = spot(sheet, rules(GFCI, entry("duplex", STEMS, wall_side=UP)), ()).symbols
    assert symbol.found == (confidence >= 0.8)
    if not symbol.found:
        assert any(f"confidence {confidence:.2f} only" in reason for reason in symbol.reasons)


def test_a_letter_that_clears_nothing_may_be_unsure() -> None:
    read = replace(word("G", 100, 100, 5.5), origin="stroke", confidence=0.5)
    (symbol,) = spot(sheet_of([strokes_of(STEMS, at(100, 100)), WALL], [read]), rules(LAMP), ()).symbols
    assert symbol.found and symbol.entry.name == "lamp"

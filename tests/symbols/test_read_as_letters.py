"""Symbols that were read as letters: what is drawn much like an outlet is told all the same."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cordpath.model import ArcMark, LineMark, Mark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of, word

R = 5 / 72
PLUG: tuple[Mark, ...] = (
    ArcMark((0, 0), R, 0, 180),
    LineMark((-R, 0), (R, 0)),
    *(LineMark((x, -R), (x, 0)) for x in (-R / 3, R / 3)),
)


@pytest.mark.parametrize("confidence", [0.5, 0.95])
def test_an_outlet_of_another_width_that_reads_like_a_letter_is_told(confidence: float) -> None:
    """Drawn 1.12 times as wide for its height it matched nothing, and a G that was read from it explained it."""
    drawn = (strokes_of(PLUG, at(0.0, 0.0)).reshape(-1, 2) * [1.06, 0.95] + 200.0).reshape(-1, 4)
    letter = replace(
        word("G", 200.0, 197.6), box=(194.0, 195.0, 206.0, 200.2), origin="stroke", confidence=confidence
    )
    sheet = replace(sheet_of([np.asarray(drawn)]), words=(letter,))
    told = [what for what in spot(sheet, rules(entry("plug", PLUG)), ()).unexplained if "'plug'" in what.what]
    assert len(told) == (confidence < 0.8)

"""A word that was made of a symbol, with its letters, by a reader that took them all for one large letter."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from cordpath.model import Sheet, Word
from cordpath.sheet import read_glyphs
from cordpath.symbols import spot
from symbols.test_drawn_letters import GFI, lettered
from symbols.test_spot import DUPLEX, at, names, sheet_of, strokes_of


def taken_for(text: str, confidence: float) -> Sheet:
    """A duplex receptacle and the GFI on its rim, all of them one word."""
    xy = np.concatenate([strokes_of(DUPLEX, at(100, 100)), lettered("GFI", 100, 110.0)])
    ends = xy.reshape(-1, 2)
    (x0, y0), (x1, y1) = ends.min(0).tolist(), ends.max(0).tolist()
    read = Word(text, (x0, y0, x1, y1), 270.0, (y1 - y0) / 0.72, 7, "", (0, 0, 0), "stroke", confidence)
    return replace(sheet_of(xy, [read]), lettered=np.full(len(xy), 7))


@pytest.mark.parametrize("text", ["5", "H", "41"])
def test_letters_that_protect_are_not_lost_to_a_word_made_of_the_whole_symbol(text: str) -> None:
    """A receptacle marked GFI was found, for certain, as the one without the letters."""
    assert names(spot(taken_for(text, 0.5), GFI, (), read=read_glyphs)) == ["gfi"]
    assert not names(spot(taken_for(text, 0.5), GFI, ()))

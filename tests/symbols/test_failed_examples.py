"""Examples that took in what is no part of the symbol: their plain twins do not win its places for certain."""

from __future__ import annotations

import math

import numpy as np

from cordpath.model import LineMark, PolylineMark, Spotting, SymbolEntry
from cordpath.symbols import Examples, spot
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of

TIPS = zip((0.083, 0.038) * 5, range(10), strict=True)
STAR = PolylineMark(
    tuple((r * math.cos(0.2 * math.pi * k), r * math.sin(0.2 * math.pi * k)) for r, k in TIPS), closed=True
)
PLAIN = (STAR, LineMark((-0.125, 0.0), (0.125, 0.0)))
TICKED = (*PLAIN, LineMark((-0.017, -0.110), (0.017, -0.070)))
STRAY = LineMark((0.06, -0.112), (0.075, -0.072))  # of something else that stood beside the example


def spotted(*rows: np.ndarray, protection: str | None = "device") -> Spotting:
    learnt = Examples({"ticked": (*TICKED, STRAY)})
    ticked = SymbolEntry("ticked", "receptacle", protection=protection)  # type: ignore[arg-type]
    return spot(sheet_of(list(rows)), rules(entry("plain", PLAIN), ticked), (), learnt)


def test_a_mark_of_an_example_that_failed_is_asked_about_wherever_it_is_drawn() -> None:
    """Three with the tick, one without: the tick and the stray line are less than a tenth of the example."""
    rows = [strokes_of(TICKED, at(100 + 60 * k, 100, 20.0 * k)) for k in range(3)]
    found = spotted(*rows, strokes_of(PLAIN, at(300, 100))).symbols
    told = {round(s.at[0]): (s.found, set(s.rivals)) for s in found if s.entry.name == "plain"}
    assert sorted(told) == [100, 160, 220, 300]
    assert told.pop(300) == (True, set()) and all(each == (False, {"ticked"}) for each in told.values())


def test_one_that_differs_in_nothing_that_is_judged_and_a_line_in_passing_are_no_questions() -> None:
    same = spotted(strokes_of(TICKED, at(100, 100)), protection=None).symbols
    assert [s.found for s in same if s.entry.name == "plain"] == [True]
    end = np.array([TICKED[-1].start, TICKED[-1].end]) * 72 + 100  # type: ignore[union-attr]
    crossing = np.r_[end[0] + 6 * (end[0] - end[1]), end[1] + 6 * (end[1] - end[0])][None]
    assert [s.found for s in spotted(strokes_of(PLAIN, at(100, 100)), crossing).symbols] == [True]

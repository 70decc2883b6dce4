"""Tags of two poles: no light hangs on them, and a homerun of several circuits is no lost label."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
import shapely

from cordpath.model import Drawing, Fills, Mapping, Sheet, Strokes, Symbol, SymbolEntry, Unexplained, Word
from cordpath.symbols.labels.labels import attach

DUPLEX, LIGHT, SWITCH = SymbolEntry("duplex", "receptacle"), SymbolEntry("l", "light"), SymbolEntry("s", "switch")


def symbol(x: float, y: float, entry: SymbolEntry) -> Symbol:
    outline = shapely.Point(x, y).buffer(5.4)
    return Symbol(entry, (x, y), 0.0, False, 1.0, 0.99, True, "v1", outline, np.zeros(0, np.int64))


def word(text: str, x: float, y: float) -> Word:
    half = 1.96 * len(text)
    return Word(text, (x - half, y - 3.5, x + half, y + 3.5), 0.0, 7.0, -1)


def attached(
    symbols: list[Symbol], words: list[Word], strokes: Sequence[tuple[float, ...]] = ()
) -> tuple[list[list[str]], tuple[Unexplained, ...]]:
    xy = np.array(strokes, float).reshape(-1, 4)
    page = Sheet("f.pdf", 1, None, None, 2000, 2000, Strokes.of(xy), Fills.none(), tuple(words), (), (), ())
    done, lost = attach(tuple(symbols), page, Mapping("m", Drawing(), (DUPLEX,)))
    return [[label.text for label in s.labels] for s in done], lost


@pytest.mark.parametrize("entry", [LIGHT, SWITCH])
def test_a_tag_of_two_poles_is_no_lights_and_is_told(entry: SymbolEntry) -> None:
    """The outlet of a dryer was lost, and its tag went to the ceiling light beside it."""
    (labels,), lost = attached([symbol(100, 100, entry)], [word("A-6,8", 100, 112)])
    assert labels == []
    assert [item.what.split(" label")[0] for item in lost] == ["an A-6,8"]


@pytest.mark.parametrize("tag", ["A-6", "A-5,6", "A-6,8,10", "A-6,12"])
def test_other_tags_may_be_a_lights(tag: str) -> None:
    (labels,), _ = attached([symbol(100, 100, LIGHT)], [word(tag, 100, 112)])
    assert labels == [tag]


def test_an_outlet_takes_a_tag_of_two_poles() -> None:
    labels, lost = attached([symbol(100, 100, LIGHT), symbol(118, 118, DUPLEX)], [word("A-6,8", 100, 112)])
    assert labels == [[], ["A-6,8"]] and not lost


def test_a_leader_tells_that_a_light_is_meant() -> None:
    (labels,), _ = attached([symbol(100, 100, LIGHT)], [word("A-6,8", 100, 130)], [(100, 126, 100, 105.5)])
    assert labels == ["A-6,8"]


def test_a_homerun_of_circuits_that_outlets_have_is_not_told() -> None:
    symbols = [symbol(100, 100, DUPLEX), symbol(200, 100, DUPLEX), symbol(150, 200, LIGHT)]
    words = [word("A-1", 100, 112), word("A-3", 200, 112), word("A-1,3", 150, 212)]
    labels, lost = attached(symbols, words)
    assert labels == [["A-1"], ["A-3"], []] and not lost


def test_a_tag_with_more_to_say_than_a_homerun_is_told() -> None:
    labels, lost = attached([symbol(100, 100, DUPLEX)], [word("A-1", 100, 112), word("A-1 WP", 300, 300)])
    assert labels == [["A-1"]]
    assert [item.what for item in lost] == ["an A-1 WP label with no symbol near"]

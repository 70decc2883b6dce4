"""Lines that lead from texts to symbols."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from cordpath.model import Fills, FloatArray, Sheet, Strokes
from cordpath.symbols.labels.leaders import Leaders, Loose

TEXT = shapely.box(0, 0, 20, 6)
SYMBOL, NEXT = shapely.box(60, 0, 72, 6), shapely.box(110, 0, 122, 6)


def _led(xy: FloatArray, texts: list[shapely.Geometry], outlines: list[shapely.Geometry]) -> list[tuple[int, int]]:
    sheet = Sheet("a.pdf", 1, None, None, 200.0, 100.0, Strokes.of(xy), Fills.none(), (), (), (), ())
    text, outline = Leaders.of(_shapes(texts), Loose.of(sheet, np.ones(len(xy), bool))).to(_shapes(outlines))
    return list(zip(text.tolist(), outline.tolist(), strict=True))


def _shapes(shapes: list[shapely.Geometry]) -> NDArray[np.object_]:
    return np.array(shapes, dtype=object)


@pytest.mark.parametrize("strokes", [np.zeros((0, 4)), np.array([[22.0, 3, 59, 3]])])
@pytest.mark.parametrize(("texts", "outlines"), [([], []), ([TEXT], []), ([], [SYMBOL])])
def test_where_something_is_missing_nothing_is_led(
    strokes: FloatArray, texts: list[shapely.Geometry], outlines: list[shapely.Geometry]
) -> None:
    assert _led(strokes, texts, outlines) == []


def test_a_line_with_a_bend_leads_on_to_where_it_ends() -> None:
    bent = np.array([[22.0, 3, 40, 20], [40, 20, 90, 20], [90, 20, 109, 4]])
    assert _led(bent, [TEXT], [SYMBOL, NEXT]) == [(0, 1)]
    assert _led(bent[::-1], [TEXT], [SYMBOL, NEXT]) == [(0, 1)]


def test_a_line_that_is_drawn_there_and_back_leads_as_one_does() -> None:
    """Writers that close their paths draw it so: it had no free end, and the label cleared the outlet beside it."""
    bent = np.array([[22.0, 3, 40, 20], [40, 20, 90, 20], [90, 20, 109, 4]])
    back = bent[:, [2, 3, 0, 1]]
    assert _led(np.r_[bent, back], [TEXT], [SYMBOL, NEXT]) == [(0, 1)]
    assert _led(np.r_[bent, bent], [TEXT], [SYMBOL, NEXT]) == [(0, 1)]


def test_a_line_of_more_strokes_than_a_leader_has_leads_nowhere() -> None:
    longer = np.array([[22.0, 3, 40, 20], [40, 20, 65, 30], [65, 30, 90, 20], [90, 20, 109, 4]])
    assert _led(longer, [TEXT], [NEXT]) == []


def test_a_line_that_branches_leads_nowhere() -> None:
    branched = np.array([[22.0, 3, 40, 20], [40, 20, 59, 4], [40, 20, 40, 60]])
    assert _led(branched, [TEXT], [SYMBOL]) == []


@pytest.mark.parametrize("seed", range(8))
def test_strokes_from_which_no_line_comes_to_an_outline_change_no_leader(seed: int) -> None:
    random = np.random.default_rng(seed)
    start = random.uniform(0, 200, (90, 2))
    xy = np.c_[start, start + random.uniform(-60, 60, (90, 2))]
    xy[40:70, :2] = xy[:30, 2:]  # lines of two strokes and, of some, three
    xy[70:85, :2] = xy[40:55, 2:]
    begin, end = xy[:12, :2], xy[[*range(6), *range(40, 46), *range(70, 76)], 2:]
    texts, outlines = (
        _shapes([shapely.box(x - 4, y - 4, x + 4, y + 4) for x, y in each.tolist()]) for each in (begin, end)
    )
    sheet = Sheet("a.pdf", 1, None, None, 200.0, 100.0, Strokes.of(xy), Fills.none(), (), (), (), ())
    loose = Loose.of(sheet, np.ones(len(xy), bool))
    one, two = (Leaders.of(texts, each).to(outlines) for each in (loose, loose.toward(outlines)))
    assert [each.tolist() for each in one] == [each.tolist() for each in two]
    assert len(one[0])

"""Legends that are a grid of signs with their descriptions under them, or over them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from shapely import box

from cordpath.model import Drawing, Mapping, Sheet, SymbolEntry
from cordpath.symbols import gather_examples, spot
from cordpath.symbols.examples.legend_turned import ways
from cordpath.symbols.learning.samples import legend_samples
from cordpath.symbols.unexplained.unmapped import unmapped_rows
from drawn_page import duplex, frame, from_legend, kinds, sheet, words
from symbols.test_legend_layouts import NAMES, PLAIN, sign
from symbols.test_twins import painted

UNDER, OVER = 20.0, -20.0  # pt from a sign down to its caption


def place(k: int) -> tuple[float, float]:
    """Three signs in the first row, two in the second."""
    return 530 + 75.0 * (k % 3), 90 + 60.0 * (k // 3)


def grid(below: float, *more: np.ndarray, boxes: bool = False) -> Sheet:
    """Five signs with centred captions of two lines."""
    drawings, texts = [*more], []
    for k, name in enumerate(NAMES):
        x, y = place(k)
        drawings.append(sign(k, x, y))
        for n, text in enumerate(name.split()):
            texts += words(text, x - 1.6 * len(text), y + below + 7 * n, 2 * k + n, 5.0)
        if boxes:
            drawings.append(frame(x - 37.5, y - 30, x + 37.5, y + 35))
    page = sheet(drawings, texts, legend=True)
    wide = replace(page.regions[0], box=(480.0, 40.0, 740.0, 260.0))
    return replace(page, regions=(wide,))


@pytest.mark.parametrize("below", [UNDER, OVER])
@pytest.mark.parametrize("boxes", [False, True])
def test_a_grid_of_captions_is_read_as_rows_are(below: float, boxes: bool) -> None:
    page = grid(below, boxes=boxes)
    assert [(s.text, kinds(s.marks)) for s in legend_samples(page)] == list(zip(NAMES, PLAIN, strict=True))
    assert [kinds(from_legend(page, name)) for name in NAMES] == list(PLAIN)


@pytest.mark.parametrize("below", [UNDER, OVER])
@pytest.mark.parametrize("boxes", [False, True])
def test_with_a_sign_too_many_none_is_named_by_the_next_caption(below: float, boxes: bool) -> None:
    """With signs over the first captions and under the last ones nothing tells which way the captions go."""
    more = [duplex(530 + 75.0 * k, 210 if below == UNDER else 42) for k in range(3)]
    page = grid(below, *more, boxes=boxes)
    assert not any(sample.marks for sample in legend_samples(page))
    assert from_legend(page, "FLOOR BOX") is None


@pytest.mark.parametrize(("k", "missing"), [(0, True), (4, True), (2, False)])
def test_a_caption_without_a_sign_leaves_all_of_them_open(k: int, missing: bool) -> None:
    page = grid(UNDER)
    x, y = place(k)
    here = (page.strokes.xy[:, 0] > x - 20) & (page.strokes.xy[:, 0] < x + 20)
    here &= (page.strokes.xy[:, 1] > y - 12) & (page.strokes.xy[:, 1] < y + 12)
    page = replace(page, strokes=page.strokes.take(~here)) if missing else page
    assert bool(from_legend(page, "JUNCTION BOX" if k != 3 else "FLOOR BOX")) != missing


def test_letters_and_paint_of_a_sign_are_its_own() -> None:
    page = grid(UNDER)
    letters = [*words("GFCI", 542, 90, 90, 5.0), *words("SD", 677, 90, 91, 5.0)]
    x, y = place(1)
    page = replace(page, words=(*page.words, *letters), fills=painted(box(x - 3, y - 3, x + 3, y + 3)))
    found = {s.text: kinds(s.marks) for s in legend_samples(page)}
    assert found["DUPLEX RECEPTACLE"] == {**PLAIN[0], "TextMark": 1}
    assert found["FLOOR BOX"] == {**PLAIN[1], "PolylineMark": 1}
    assert found["CEILING LIGHT"] == {**PLAIN[2], "TextMark": 1}


def test_the_place_of_a_sign_is_told_on_the_page() -> None:
    page = grid(UNDER)
    mapping = Mapping("m.yaml", Drawing(), (SymbolEntry("row", "receptacle", legend="FLOOR BOX"),))
    learnt = gather_examples(mapping, {}, sheet=page).learnt[0]
    x, y = place(1)
    assert learnt.box == pytest.approx((x - 8, y - 8, x + 8, y + 8))


def test_signs_of_a_grid_are_no_outlets_of_the_plan_and_rows_without_an_entry_are_known() -> None:
    page = grid(UNDER)
    mapping = Mapping("m.yaml", Drawing(), tuple(SymbolEntry(n, "receptacle", legend=n) for n in NAMES[:2]))
    spotting = spot(page, mapping, (), gather_examples(mapping, {}, sheet=page))
    assert not spotting.symbols
    assert [row.text for row in unmapped_rows(page, ())][:3] == list(NAMES[:3])


def test_a_grid_on_end_is_turned_and_laid_out() -> None:
    page = grid(UNDER)
    at = [(word.box[1], 800 - word.box[2], word.box[3], 800 - word.box[0]) for word in page.words]
    texts = tuple(replace(w, box=b, angle=90.0) for w, b in zip(page.words, at, strict=True))
    xy = page.strokes.xy
    strokes = replace(page.strokes, xy=np.c_[xy[:, 1], 800 - xy[:, 0], xy[:, 3], 800 - xy[:, 2]])
    x0, y0, x1, y1 = page.regions[0].box
    region = replace(page.regions[0], box=(y0, 800 - x1, y1, 800 - x0))
    turned = replace(page, words=texts, strokes=strokes, regions=(region,))
    assert [kinds(from_legend(turned, name)) for name in NAMES] == list(PLAIN)
    assert not any(len(way.sheet.regions) and way.quarters and not way.cells for way in ways(turned))

"""Graphic scale bars of many styles, and what is no bar."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from dimension_chain import LENGTHS_FT, NOTE, Plan, feet_and_inches, imperial
from hypothesis import given, settings
from hypothesis import strategies as st

from cordpath.model import Drawing, Fills, Sheet, Strokes, Word
from cordpath.scale import prove_scales
from cordpath.scale.bars import find_bars
from cordpath.scale.originals import find_original
from cordpath.units import INCHES_PER_METRE

METRE_FT = 3.280839895


def with_bar(
    sheet: Sheet, values: list[float], labels: list[str], point: float, *, style: str = "boxes", under: bool = True,
    unit: str = "", lean: float = 0.0, noise: float = 0.0,
) -> Sheet:  # fmt: skip
    """The sheet with a bar of its own added; ``point`` is points for one unit of the bar."""
    rng = np.random.default_rng(1)
    x0, y, high, size = 200.0, 1500.0, 6.0, 6.0
    marks = [x0 + value * point + float(rng.uniform(-noise, noise)) for value in values]
    strokes: list[tuple[float, float, float, float]] = []
    boxes: list[shapely.Polygon] = []
    for number, (a, b) in enumerate(pairwise(marks)):
        if style == "boxes":
            if number % 2 == 0:
                boxes.append(shapely.box(a, y, b, y + high))
            strokes += [(a, y, b, y), (b, y, b, y + high), (b, y + high, a, y + high), (a, y + high, a, y)]
        elif style == "filled only":
            boxes.append(shapely.box(a, y + (number % 2) * 3, b, y + 3 + (number % 2) * 3))
    if style == "ticks":
        strokes.append((marks[0], y + high, marks[-1], y + high))
        strokes += [(x, y + 2, x, y + high) for x in marks]
    words = []
    row = y + high + 5 if under else y - 5
    for mark, label in zip(marks, labels, strict=True):
        digits = "".join(c for c in label if c.isdigit() or c == ".")
        half = 0.27 * size * len(digits)
        right = half + 0.54 * size * (len(label) - len(digits))
        box = (mark - half + lean, row - size / 2, mark + right + lean, row + size / 2)
        words.append(Word(label, box, 0.0, size, 900))
    if unit:
        x = words[-1].box[2] + 4
        words.append(Word(unit, (x, row - 3, x + 3.2 * len(unit), row + 3), 0.0, size, 900))
    fills = sheet.fills
    if boxes:
        n = len(boxes)
        fills = Fills(np.array(boxes, object), np.zeros((n, 3)), np.ones(n), np.full(n, -1, np.int64),
                      np.arange(n, dtype=np.int64))  # fmt: skip
    xy = np.concatenate([sheet.strokes.xy, np.array(strokes).reshape(-1, 4)])
    return replace(sheet, strokes=Strokes.of(xy), fills=fills, words=(*sheet.words, *words))


def silent(ratio: float, note: str | None = NOTE) -> Sheet:
    return replace(imperial(ratio).sheet(note), words=())


@pytest.mark.parametrize("under", [True, False])
@pytest.mark.parametrize("style", ["boxes", "filled only", "ticks"])
@pytest.mark.parametrize(
    ("values", "labels", "unit", "feet"),
    [
        ([0, 2, 4, 8], ["0", "2", "4", "8"], "FT", 1.0),
        ([0, 2, 4, 8], ["0", "2", "4", "8'"], "", 1.0),
        ([0, 4, 8, 16], ["0", "4'", "8'", "16'"], "", 1.0),
        ([0, 1, 2, 5], ["0", "1", "2", "5m"], "", METRE_FT),
        ([0, 1, 2, 3, 4, 5], ["0", "1", "2", "3", "4", "5"], "METERS", METRE_FT),
        ([0, 5, 10], ["0", "5", "10"], "FEET", 1.0),
    ],
)
def test_bars_are_read(
    values: list[float], labels: list[str], unit: str, feet: float, style: str, under: bool
) -> None:
    sheet = with_bar(silent(48), values, labels, 18.0 * feet, style=style, under=under, unit=unit)
    (bar,) = find_bars(sheet)
    assert bar.ratio == pytest.approx(48, rel=0.003)
    (scale,) = prove_scales(sheet, Drawing())
    assert (scale.status, scale.ratio, scale.agrees) == ("proved", 48, ("bar",))


@settings(deadline=None, max_examples=40)
@given(
    st.sampled_from([24.0, 48.0, 64.0, 96.0, 100.0]), st.sampled_from(["boxes", "ticks"]), st.floats(-3, 3),
    st.floats(0, 0.12),
)  # fmt: skip
def test_the_ratio_of_any_bar(ratio: float, style: str, lean: float, noise: float) -> None:
    """Figures may stand beside their marks, and a plot rounds."""
    sheet = with_bar(silent(ratio), [0, 2, 4, 8], ["0", "2", "4", "8"], 864 / ratio, style=style, unit="FT",
                     lean=lean, noise=noise)  # fmt: skip
    (bar,) = find_bars(sheet)
    assert bar.ratio == pytest.approx(ratio, rel=0.25 / bar.drawn + 1e-9)


def test_a_turned_bar() -> None:
    sheet = with_bar(silent(48), [0, 2, 4, 8], ["0", "2", "4", "8"], 18.0, unit="FT")
    size = 2000.0
    xy = sheet.strokes.xy
    turned = np.column_stack([xy[:, 1], size - xy[:, 0], xy[:, 3], size - xy[:, 2]])
    words = tuple(
        replace(w, box=(w.box[1], size - w.box[2], w.box[3], size - w.box[0]), angle=90.0) for w in sheet.words
    )
    (bar,) = find_bars(replace(sheet, strokes=Strokes.of(turned), words=words, fills=Fills.none()))
    assert bar.ratio == pytest.approx(48, rel=0.003)


@pytest.mark.parametrize(
    ("values", "labels", "unit"),
    [
        ([0, 8], ["0", "8"], ""),  # neither unit nor divisions
        ([0, 2, 4, 8], ["0", "2'", "4 M", "8"], ""),  # two units
        ([0, 2, 5, 8], ["0", "2", "4", "8"], "FT"),  # marks do not fit the figures
        ([0, 2, 4, 8], ["1", "2", "4", "8"], "FT"),  # it does not begin at 0
        ([0, 8], ["0", "8"], "FT"),  # undivided: any line between two numbers
    ],
)
def test_what_is_no_bar(values: list[float], labels: list[str], unit: str) -> None:
    assert find_bars(with_bar(silent(48), values, labels, 18.0, unit=unit, style="ticks")) == ()


def test_numbers_without_a_bar_are_none() -> None:
    sheet = with_bar(silent(48), [0, 2, 4, 8], ["0", "2", "4", "8"], 18.0, unit="FT", style="none")
    assert find_bars(sheet) == ()


def test_a_bar_against_the_note_alone_is_a_conflict() -> None:
    sheet = with_bar(silent(96), [0, 4, 8, 16], ["0", "4", "8", "16"], 9.0, unit="FT")
    (scale,) = prove_scales(sheet, Drawing())
    assert scale.status == "conflict"
    assert scale.why is not None
    assert "the scale bar says" in scale.why


def test_bar_and_dimensions_together_prove_what_the_note_denies() -> None:
    for count in (2, 5):
        texts = [feet_and_inches(length) for length in LENGTHS_FT[:count]]
        plan = Plan(96.0).chain(texts, LENGTHS_FT[:count]).sheet(NOTE)
        sheet = with_bar(plan, [0, 4, 8, 16], ["0", "4", "8", "16"], 9.0, unit="FT")
        (scale,) = prove_scales(sheet, Drawing())
        assert scale.status == "proved"
        assert scale.ratio == pytest.approx(96, rel=0.004)
        assert scale.why is not None
        assert "is false on this print, drawn at 50 % of it" in scale.why
        assert [e.source for e in scale.evidence] == ["note", "dimension", "bar"]


def test_bar_and_dimensions_that_contradict_each_other_are_a_conflict() -> None:
    sheet = with_bar(imperial(48).sheet(NOTE), [0, 4, 8, 16], ["0", "4", "8", "16"], 9.0, unit="FT")
    (scale,) = prove_scales(sheet, Drawing())
    assert scale.status == "conflict"


def test_a_bar_alone_is_single_and_with_dimensions_proved() -> None:
    bar = ([0, 2, 4, 8], ["0", "2", "4", "8"], 18.0)
    (scale,) = prove_scales(with_bar(silent(48, None), *bar, unit="FT"), Drawing())
    assert (scale.status, scale.source) == ("single", "bar")
    (scale,) = prove_scales(with_bar(imperial(48).sheet(None), *bar, unit="FT"), Drawing())
    assert (scale.status, scale.source) == ("proved", "dimension")


@pytest.mark.parametrize(
    ("drawn", "note", "status", "ratio"),
    [
        (48.0, NOTE, "proved", 48.0),  # feet, as the note says
        (96.0, NOTE, "conflict", None),  # a print at half size
        (50.0 * 12 / INCHES_PER_METRE, "1:50", "proved", 50.0),  # metres, as the note says
        (48.0, None, "unknown", None),  # nothing tells the unit
        (48.0 * 9, NOTE, "single", 48.0),  # a ruler of something else
    ],
)
def test_a_bar_without_a_unit_is_read_in_that_of_the_note(
    drawn: float, note: str | None, status: str, ratio: float | None
) -> None:
    """``drawn``: the ratio that the bar would have if its figures were feet."""
    sheet = with_bar(silent(48, note), [0, 4, 8, 16], ["0", "4", "8", "16"], 864.0 / drawn)
    (scale,) = prove_scales(sheet, Drawing())
    assert (scale.status, scale.ratio) == (status, pytest.approx(ratio) if ratio else None)


ORIGINALS = (
    ["BAR IS ONE INCH ON ORIGINAL DRAWING"],
    ["VERIFY SCALES", "BAR IS ONE INCH ON", "ORIGINAL DRAWING", "IF NOT ONE INCH ON THIS SHEET", "ADJUST SCALES"],
    ['THIS LINE MEASURES 1" WHEN PLOTTED AT FULL SIZE'],
    ["IF THIS BAR IS NOT 1 INCH LONG, THE PRINT IS NOT THE ORIGINAL SIZE"],
)


def with_mark(sheet: Sheet, lines: list[str], long: float, *, ticks: bool, turned: bool = False) -> Sheet:
    """The sheet with a bar of ``long`` points under a sentence of several lines."""
    x, y, size = 700.0, 1600.0, 6.0
    words = [
        Word(text, (x, y + 8 * k, x + 3.2 * len(text), y + 8 * k + size), 0.0, size, 950 + k)
        for k, text in enumerate(lines)
    ]
    low = y + 8 * len(lines) + 6
    strokes = [(x, low, x + long, low)]
    strokes += [(at, low - 4, at, low + 4) for at in (x, x + long)] if ticks else []
    boxes = [] if ticks else [shapely.box(x, low, x + long, low + 4)]
    whole, paper = sheet, 2000.0
    if turned:  # a quarter turn counter-clockwise
        strokes = [(b, paper - a, d, paper - c) for a, b, c, d in strokes]
        boxes = [shapely.transform(box, lambda xy: np.column_stack([xy[:, 1], paper - xy[:, 0]])) for box in boxes]
        words = [
            replace(w, box=(w.box[1], paper - w.box[2], w.box[3], paper - w.box[0]), angle=90.0) for w in words
        ]
    n = len(boxes)
    fills = Fills(np.array(boxes, object), np.zeros((n, 3)), np.ones(n), np.full(n, -1, np.int64),
                  np.arange(n, dtype=np.int64)) if n else Fills.none()  # fmt: skip
    xy = np.concatenate([whole.strokes.xy, np.array(strokes)])
    return replace(whole, strokes=Strokes.of(xy), fills=fills, words=(*whole.words, *words))


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("ticks", [False, True])
@pytest.mark.parametrize("lines", ORIGINALS, ids=[" ".join(lines)[:20] for lines in ORIGINALS])
@pytest.mark.parametrize("size", [1.0, 0.5, 0.647])
def test_a_bar_that_was_an_inch_tells_the_size_of_the_print(
    lines: list[str], ticks: bool, turned: bool, size: float
) -> None:
    sheet = with_mark(silent(48 / size), lines, 72 * size, ticks=ticks, turned=turned)
    (scale,) = prove_scales(sheet, Drawing())
    assert scale.ratio == pytest.approx(48 / size, rel=1e-3)
    assert scale.status == ("proved" if size == 1.0 else "single")
    assert [e.source for e in scale.evidence] == ["note", "bar"]
    if size != 1.0:
        assert scale.why is not None
        assert "is false on this print" in scale.why
        assert "INCH" in scale.why or '1"' in scale.why


def test_a_mark_whose_words_are_drawn_twice() -> None:
    sheet = with_mark(silent(96), ORIGINALS[1], 36, ticks=True)
    twice = tuple(replace(word, line=word.line + 100) for word in sheet.words)
    found = find_original(replace(sheet, words=(*sheet.words, *twice)))
    assert found is not None
    assert found.size == pytest.approx(0.5)


def test_marks_that_tell_nothing() -> None:
    for sheet in (
        with_mark(silent(48), ["FINISH FLOOR LINE"], 36, ticks=True),
        with_mark(silent(48), ["THE LINE OF ORIGINAL WALL IF MOVED 1 INCH"], 36, ticks=True),
        with_mark(silent(48, None), ORIGINALS[0], 36, ticks=True),
    ):
        (scale,) = prove_scales(sheet, Drawing())
        assert "bar" not in [e.source for e in scale.evidence]


def test_two_bars_of_different_length_at_the_sentence_tell_nothing() -> None:
    sheet = with_mark(with_mark(silent(48), ORIGINALS[0], 36, ticks=True), ORIGINALS[1], 60, ticks=True)
    assert find_original(sheet) is None

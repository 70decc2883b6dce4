"""What a new office's sheets show of its symbols: the rows of its legends, and shapes that its plans repeat.

Terms: *sample*, a symbol as drawn at one place, with the text that describes it if there is one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from cordpath import geometry
from cordpath.model import (
    Box,
    CircleMark,
    FloatArray,
    LineMark,
    Mark,
    Point,
    PolylineMark,
    Sheet,
    Spotting,
    TextMark,
)  # fmt: skip
from cordpath.symbols import legend
from cordpath.symbols.examples import in_cell, letters_in_cell
from cordpath.symbols.likeness import alike

LONGEST_TEXT = 3  # letters inside a symbol; longer ones are labels beside it
AROUND = 14.0  # pt of the surroundings that a picture shows
PLAIN = 2  # lines; a symbol of so few and nothing else cannot be told from other lines


@dataclass(frozen=True, eq=False)
class Sample:
    """``text``: the legend's description, empty for a shape of the plans.  ``around``: (n, 4) strokes about it in
    page coordinates, for its picture.  ``at``: where a shape is drawn, in page coordinates of its page."""

    text: str
    file: str
    page: int
    box: Box
    marks: tuple[Mark, ...]
    around: FloatArray
    at: tuple[Point, ...] = ()
    also: tuple[tuple[str, int, int], ...] = ()  # (file, page, times): other pages that draw the same

    @property
    def times(self) -> int:
        return len(self.at) + sum(times for _, _, times in self.also)

    @property
    def plain(self) -> bool:
        lines = sum(isinstance(mark, LineMark) for mark in self.marks)
        more = any(isinstance(mark, (CircleMark, PolylineMark, TextMark)) for mark in self.marks)
        return not more and lines <= PLAIN


def legend_samples(sheet: Sheet) -> tuple[Sample, ...]:
    """Every row of the sheet's legends beside which something is drawn: on the side where most rows have it."""
    rows = legend.descriptions(sheet)
    drawn = [[_beside(sheet, row, side) for side in (0, 1)] for row in rows]
    left = sum(bool(sides[0][0]) for sides in drawn) >= sum(bool(sides[1][0]) for sides in drawn)
    return tuple(
        _sample(sheet, row.text, *sides[0 if left else 1])
        for row, sides in zip(rows, drawn, strict=True)
        if sides[0 if left else 1][0]
    )


def _beside(sheet: Sheet, row: legend.Row, side: int) -> tuple[tuple[Mark, ...], Box]:
    cell = legend.cells_of(sheet, row)[side]
    return in_cell(sheet, cell, row) or letters_in_cell(sheet, cell, row), cell


def _sample(sheet: Sheet, text: str, marks: tuple[Mark, ...], box: Box) -> Sample:
    near = geometry.segments_in_box(sheet.strokes.xy, box) & sheet.strokes.ink()
    return Sample(text, sheet.file, sheet.page, box, marks, sheet.strokes.xy[near])


def shape_samples(sheet: Sheet, spotting: Spotting) -> tuple[Sample, ...]:
    """The shapes that the sheet repeats and that no symbol of ``spotting`` explains, most frequent first."""
    found = []
    for rest in spotting.unexplained:
        if rest.is_label or rest.box is None:
            continue
        x0, y0, x1, y1 = rest.box
        marks = tuple(mark for mark in rest.marks if not isinstance(mark, TextMark) or _inside(mark))
        if marks:
            sample = _sample(sheet, "", marks, (x0 - AROUND, y0 - AROUND, x1 + AROUND, y1 + AROUND))
            found.append(replace(sample, at=rest.at))
    return tuple(found)


def _inside(mark: TextMark) -> bool:
    return len(mark.value) <= LONGEST_TEXT and mark.value.isalpha()


def merged(samples: tuple[Sample, ...]) -> tuple[Sample, ...]:
    """Each drawing once: rows of the same description and shape, and shapes alike, over all pages."""
    kept: list[Sample] = []
    for sample in samples:
        twin = next((k for k, old in enumerate(kept) if _same(old, sample)), None)
        if twin is None:
            kept.append(sample)
        else:
            place = (sample.file, sample.page, len(sample.at))
            kept[twin] = replace(kept[twin], also=(*kept[twin].also, place))
    return tuple(kept)


def _same(one: Sample, other: Sample) -> bool:
    return one.text.upper() == other.text.upper() and alike(one.marks, other.marks)

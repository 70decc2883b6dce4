"""What a new office's sheets show of its symbols: the rows of its legends, and shapes that its plans repeat.

Terms: *sample*, a symbol as drawn at one place, with the text that describes it if there is one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath import geometry
from cordpath.geometry import hanging_together, in_box, nodes
from cordpath.model import (
    BoolArray,
    Box,
    CircleMark,
    Fills,
    FloatArray,
    Kind,
    LineMark,
    Mark,
    Pen,
    Point,
    PolylineMark,
    Scale,
    Sheet,
    Spotting,
    TextMark,
    Unexplained,
    Word,
)  # fmt: skip
from cordpath.symbols.examples import legend
from cordpath.symbols.examples.example_pens import pen_of
from cordpath.symbols.examples.legend_lines import Row
from cordpath.symbols.examples.legend_marks import in_cell, letters_in_cell
from cordpath.symbols.examples.legend_turned import ways
from cordpath.symbols.examples.likeness import alike, unlike
from cordpath.symbols.examples.outlined_letters import read_as_text
from cordpath.symbols.examples.page_marks import from_box, scaled
from cordpath.symbols.examples.stroked_letters import strokes_as_text
from cordpath.symbols.fixtures.appliance_shapes import SIZES, appliances
from cordpath.symbols.ink.normalise import TOUCH
from cordpath.symbols.learning.riders import Riders, riders_over
from cordpath.symbols.learning.trade_words import is_told
from cordpath.symbols.letters.glyphs import GlyphReader
from cordpath.symbols.letters.letters import SURE

LONGEST_TEXT = 3  # letters inside a symbol; longer ones are labels beside it
AROUND = 14.0  # pt of the surroundings that a picture shows
EDGE = 0.7  # pt: ends of strokes lie on the rim's box
WIDE = ("bathtub", "shower")  # basins over which outlets are drawn; none fits into a sink beside its drain
NOTCHED = 0.8  # of its rectangle: a box into whose corner or side a label beside it reaches
OUTLINED = 0.7  # of its outline is drawn: of three sides, or of four with gaps; two lines are found in every corner
COMPLETE = 0.95  # of its outline is drawn: a box whatever else runs through it, such as the swing of a door
UNSURE_WORDS = "not all of its words were read for sure: its name, kind, volts and protection may be others"
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
    fixture: Kind | None = None  # what a thing drawn to scale looks like; its marks are inches of the building
    said: tuple[str, ...] = ()  # what is uncertain about the marks
    why: str = ""  # what tells the fixture
    pen: Pen | None = None  # with which a legend's sign is drawn, where it is one
    size: float = 1.0  # of the marks, times that of the legend's sign

    @property
    def times(self) -> int:
        return len(self.at) + sum(times for _, _, times in self.also)

    @property
    def plain(self) -> bool:
        lines = sum(isinstance(mark, LineMark) for mark in self.marks)
        more = any(isinstance(mark, (CircleMark, PolylineMark, TextMark)) for mark in self.marks)
        return not more and lines <= PLAIN


def legend_samples(sheet: Sheet, read: GlyphReader | None = None) -> tuple[Sample, ...]:
    """Every row of the sheet's legends beside which something is drawn: on the side where more differs from row to
    row."""
    found: list[Sample] = []
    for page in (way.sheet for way in ways(sheet)):
        rows = [[sample_beside(page, row, side, read) for side in (0, 1)] for row in legend.descriptions(page)]
        left, right = (unlike([sides[side].marks for sides in rows]) for side in (0, 1))
        found += [_said_empty(sides[int(right > left)]) for sides in rows]
    return tuple(sample for sample in found if sample.marks or sample.said)


def _said_empty(sample: Sample) -> Sample:
    """A row that names a symbol and shows none is no heading: that nothing was taken is told."""
    empty = not sample.marks and not sample.said and is_told(sample.text)
    return replace(sample, said=("nothing was found drawn beside its words",)) if empty else sample


def sample_beside(sheet: Sheet, row: Row, side: int, read: GlyphReader | None = None) -> Sample:
    """What is drawn left (0) or right (1) of a legend's row; ``read`` tells letters from their outlines."""
    cell = legend.cells_of(sheet, row)[side]
    marks, said = in_cell(sheet, cell, row)
    if not marks and not said:
        marks, said = letters_in_cell(sheet, cell, row)
    pen = pen_of(marks, sheet, cell) if marks else None
    marks = marks if read is None else strokes_as_text(read_as_text(marks, read), read)
    xy = sheet.strokes.xy
    wide = (cell[0], cell[1] - legend.TALLEST, cell[2], cell[3] + legend.TALLEST)
    middle = geometry.midpoints(xy)[:, 1]  # stems reach out of a tight row
    near = geometry.segments_in_box(xy, wide) & (middle >= cell[1]) & (middle <= cell[3]) & sheet.strokes.ink()
    if marks and any(sheet.words[i].confidence < SURE for i in row.words):
        said = (*said, UNSURE_WORDS)
    return Sample(row.text, sheet.file, sheet.page, cell, marks, xy[near], said=said, pen=pen)


def _sample(sheet: Sheet, marks: tuple[Mark, ...], box: Box) -> Sample:
    near = geometry.segments_in_box(sheet.strokes.xy, box) & sheet.strokes.ink()
    return Sample("", sheet.file, sheet.page, box, marks, sheet.strokes.xy[near])


def plan_samples(
    sheet: Sheet, spotting: Spotting, scales: tuple[Scale, ...]
) -> tuple[tuple[Sample, ...], tuple[str, ...]]:
    """What the plans draw and ``spotting`` does not name: fixtures and appliances, one sample for each place, then
    the shapes that are repeated, most frequent first; and what was not looked for."""
    basins = [symbol for symbol in spotting.symbols if symbol.unnamed]
    told, said = appliances(sheet, spotting.symbols, scales)
    wide = [basin.footprint for basin in basins if basin.kind in WIDE]
    riders = riders_over(sheet, [each.footprint for each in told if each.kind in SIZES], wide)
    drawn = _Drawn(sheet, spotting, scales, riders)
    found = [drawn.sample(s.kind, s.footprint, s.view, "it has a drain in a bowl", s.at) for s in basins]
    found += [
        drawn.sample(p.kind, p.footprint, p.view, p.why, p.footprint.centroid.coords[0], p.letters) for p in told
    ]
    within = shapely.union_all([*(s.footprint for s in basins), *(p.footprint for p in told)])
    within = shapely.difference(within, riders.discs())
    fixtures = tuple(sample for sample in found if sample is not None)
    return (*fixtures, *_shape_samples(sheet, spotting, within)), said


class _Drawn:
    """Takes what is drawn to scale from a sheet, without the strokes of symbols that were found and of outlets that
    stand over an appliance, those that are only asked about as well: with an outlet's lines in it the appliance
    would explain them, and the outlet be lost."""

    def __init__(self, sheet: Sheet, spotting: Spotting, scales: tuple[Scale, ...], riders: Riders) -> None:
        self.sheet, self.riders = sheet, riders
        outlets = [s.footprint.buffer(EDGE) for s in spotting.symbols if s.is_outlet]
        self.fills = _without(sheet.fills, shapely.union_all([riders.discs(), *outlets]))
        self.ratios = {scale.view: scale.ratio for scale in scales if scale.measurable}
        self.free = ~riders.strokes
        for symbol in spotting.symbols:
            self.free[symbol.strokes] &= not (symbol.found or symbol.is_outlet)

    def sample(
        self, kind: Kind, footprint: BaseGeometry, view: str | None, why: str, at: Point, letters: Box | None = None
    ) -> Sample | None:
        """Marks in inches of the building, no words but those in ``letters``; None where nothing can be taken."""
        ratio = self.ratios.get(view or "")
        if ratio is None:
            return None
        if letters is not None:
            box = shapely.minimum_rotated_rectangle(footprint)
            least = OUTLINED if footprint.area >= NOTCHED * box.area else COMPLETE
            ways = [each for each, part in ((box, least), (footprint, OUTLINED)) if self._outlined(each, part)]
            if not ways:
                return None
            footprint = ways[0]
        x0, y0, x1, y1 = footprint.bounds
        own = tuple(word for word in self.sheet.words if letters is not None and self._is_of(word, letters))
        box = (x0 - EDGE, y0 - EDGE, x1 + EDGE, y1 + EDGE)
        page = replace(self.sheet, words=own, fills=self.fills)
        marks = scaled(from_box(page, box, self._inside(footprint, letters is not None)), ratio)
        if not any(not isinstance(mark, TextMark) for mark in marks):
            return None
        around = (x0 - AROUND, y0 - AROUND, x1 + AROUND, y1 + AROUND)
        return replace(_sample(self.sheet, marks, around), at=(at,), fixture=kind, why=why)

    def _inside(self, footprint: BaseGeometry, lettered: bool) -> BoolArray:
        """(strokes,) which are its own; of a lettered box none that passes through it."""
        inside = np.asarray(shapely.covers(footprint.buffer(EDGE), geometry.lines(self.sheet.strokes.xy)), bool)
        return self.free & inside & ~self._passing(footprint, inside) if lettered else self.free & inside

    def _passing(self, box: BaseGeometry, inside: BoolArray) -> BoolArray:
        """(strokes,) which of those in a box hang together with what runs on out of it, as the swing of a door."""
        xy, free = self.sheet.strokes.xy, self.free & self.sheet.strokes.ink()
        rows = geometry.lines(xy)
        near = np.flatnonzero(
            free & shapely.intersects(rows, box) & ~shapely.covered_by(rows, box.boundary.buffer(EDGE))
        )
        group = hanging_together(nodes(xy[near].reshape(-1, 2), TOUCH))
        out = np.zeros(len(xy), bool)
        out[near] = np.isin(group, group[~inside[near]])
        return out

    def _outlined(self, footprint: BaseGeometry, part: float) -> bool:
        """Do lines of its own go all around a box?  Two of them and a word would be found in many corners."""
        rows = geometry.lines(
            self.sheet.strokes.xy[self._inside(footprint, lettered=True) & self.sheet.strokes.ink()]
        )
        rim = footprint.boundary.buffer(EDGE)
        on = shapely.union_all(shapely.intersection(rows[shapely.intersects(rows, rim)], rim))
        drawn = footprint.boundary.intersection(on.buffer(EDGE)).length
        return bool(drawn >= part * footprint.length)

    def _is_of(self, word: Word, letters: Box) -> bool:
        """Is it one of the letters, and neither an outlet's nor a longer label over them?"""
        wide = word.box[2] - word.box[0] > letters[2] - letters[0] + EDGE
        return in_box(word.at, letters) and not wide and not self.riders.holds(word.at)


def _without(fills: Fills, discs: BaseGeometry) -> Fills:
    """Without the marks that are painted in the bodies of outlets."""
    return fills.take(~shapely.covered_by(fills.shape, discs))


def _shape_samples(sheet: Sheet, spotting: Spotting, fixtures: BaseGeometry) -> tuple[Sample, ...]:
    """The shapes that the sheet repeats and that no symbol of ``spotting`` explains, most frequent first."""
    found = []
    for rest in spotting.unexplained:
        if rest.is_label or rest.box is None or _mostly_in(rest, fixtures):
            continue
        x0, y0, x1, y1 = rest.box
        marks = tuple(mark for mark in rest.marks if not isinstance(mark, TextMark) or _inside(mark))
        if marks:
            sample = _sample(sheet, marks, (x0 - AROUND, y0 - AROUND, x1 + AROUND, y1 + AROUND))
            found.append(replace(sample, at=rest.at))
    return tuple(sorted(found, key=lambda sample: -sample.times))


def _mostly_in(rest: Unexplained, fixtures: BaseGeometry) -> bool:
    """Drains, taps and bowls of fixtures are told with them."""
    return 2 * sum(bool(fixtures.covers(shapely.Point(at))) for at in rest.at) > rest.count


def _inside(mark: TextMark) -> bool:
    return len(mark.value) <= LONGEST_TEXT and mark.value.isalpha()


def resized(sample: Sample, size: float) -> Sample:
    """A legend's sign in another size, that of the plans, which is said."""
    said = f"the plans draw it at {size:.2f} of its size in the legend, which is the size here"
    return replace(sample, marks=scaled(sample.marks, size), said=(*sample.said, said), size=size * sample.size)


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
    same = one.text.upper() == other.text.upper() and one.fixture == other.fixture
    return same and alike(one.marks, other.marks)

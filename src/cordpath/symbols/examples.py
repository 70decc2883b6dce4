"""Shapes taken from a drawing instead of written down: ``picked:`` and ``legend:`` entries of the mapping file.

Terms: *example*, strokes and words of a sheet that show how a symbol is drawn.  *Middle*, the middle of the box
around an example's strokes and fills: the origin of its marks.  The legend's rows are legend.py's.
"""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field

import numpy as np
import shapely

from cordpath import geometry, units
from cordpath.model import (
    POINTS_PER_INCH,
    BoolArray,
    Box,
    CircleMark,
    FloatArray,
    IntArray,
    LineMark,
    Mapping,
    Mark,
    Point,
    PolylineMark,
    Sheet,
    SymbolEntry,
    TextMark,
)  # fmt: skip
from cordpath.symbols import legend
from cordpath.symbols.normalise import normalise

WHOLE_CIRCLE = 330.0  # degrees of chords from which a circle is whole: a bar may hide a chord or two
MOST_MARKS = 2000  # marks of an example; a box with more has taken in a part of the plan
LEAST_INK = 3.0  # pt of stroke length, under which a box holds nothing that could be told
PAINTED = 0.9  # luminance under which a fill is a mark and not a white patch behind one
OPAQUE = 0.02
BACKGROUND = 2.5  # times the area of the strokes' box: larger fills are rooms and floors


@dataclass(frozen=True)
class Examples:
    """What each ``picked:`` or ``legend:`` entry looks like, by the entry's name.

    ``shapes``: marks about the middle, in inches on paper (in the building for ``size: real``).  ``notes`` says
    what was taken, and what could not be.
    """

    shapes: MappingABC[str, tuple[Mark, ...]] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    def marks(self, name: str) -> tuple[Mark, ...]:
        """The marks of the entry of that name; empty where there is no example of it."""
        return self.shapes.get(name, ())


NO_EXAMPLES = Examples()


def gather_examples(
    mapping: Mapping,
    sheets: MappingABC[tuple[str, int], Sheet],
    known: Examples = NO_EXAMPLES,
    sheet: Sheet | None = None,
) -> Examples:
    """Adds to ``known`` the examples of ``picked:`` entries whose (file, page) is among ``sheets``, and those of
    ``legend:`` entries that the legend of ``sheet`` shows.  What cannot be used becomes a note, never a guess."""
    shapes = dict(known.shapes)
    notes = list(known.notes)
    for entry in mapping.symbols:
        if entry.picked is not None and (entry.picked.file, entry.picked.page) in sheets:
            page = sheets[entry.picked.file, entry.picked.page]
            said = _take(entry, page, from_box(page, entry.picked.box), entry.picked.box, mapping, shapes)
        elif entry.legend is not None and sheet is not None:
            found, box, why = _row(sheet, entry.legend)
            if not found and entry.name in shapes:
                continue  # this sheet has no such row, another one had
            said = _take(entry, sheet, found, box, mapping, shapes) if found else f"{entry.name}: {why}"
        else:
            continue
        notes.append(said)
    return Examples(shapes, tuple(dict.fromkeys(notes)))


def _take(
    entry: SymbolEntry, page: Sheet, marks: tuple[Mark, ...], box: Box | None, mapping: Mapping,
    shapes: dict[str, tuple[Mark, ...]],
) -> str:  # fmt: skip
    """Puts the marks among the shapes; says what was done."""
    where = f"{page.file} page {page.page}"
    if not marks:
        return f"{entry.name}: nothing is drawn wholly inside its box on {where}, so it was not looked for"
    if len(marks) > MOST_MARKS:
        return f"{entry.name}: its box on {where} holds {len(marks)} marks; draw it tighter around one symbol"
    if entry.size == "real":
        ratio = _ratio(page, box, mapping)
        if ratio is None:
            return f"{entry.name}: the scale of its example on {where} is not stated, so it was not looked for"
        marks = scaled(marks, ratio)
    shapes[entry.name] = marks
    return f"{entry.name} is looked for as drawn on {where} ({_counted(marks)})"


def _ratio(page: Sheet, box: Box | None, mapping: Mapping) -> float | None:
    """Real over drawn length where the example stands: the mapping file's own, else the note of its view."""
    drawing = mapping.drawing
    for number, ratio in drawing.sheet_scales:
        if page.number is not None and page.number.upper() == number.upper():
            return ratio
    if drawing.scale is not None:
        return drawing.scale
    at = None if box is None else ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    notes = [view.note for view in page.views if view.note and (at is None or geometry.in_box(at, view.box))]
    notes = notes or [view.note for view in page.views if view.note]
    ratios = {units.scale_ratio(note) for note in notes if note}
    return ratios.pop() if len(ratios) == 1 else None


def _counted(marks: tuple[Mark, ...]) -> str:
    names = {LineMark: "line", CircleMark: "circle", PolylineMark: "filled shape", TextMark: "text"}
    counts = [(sum(isinstance(mark, kind) for mark in marks), name) for kind, name in names.items()]
    return ", ".join(f"{count} {name}{'s' if count > 1 else ''}" for count, name in counts if count)


def scaled(marks: tuple[Mark, ...], factor: float) -> tuple[Mark, ...]:
    """The marks of an example, ``factor`` times as large."""

    def at(point: Point) -> Point:
        return (point[0] * factor, point[1] * factor)

    out: list[Mark] = []
    for mark in marks:
        if isinstance(mark, LineMark):
            out.append(LineMark(at(mark.start), at(mark.end)))
        elif isinstance(mark, CircleMark):
            out.append(CircleMark(at(mark.center), mark.radius * factor))
        elif isinstance(mark, PolylineMark):
            out.append(PolylineMark(tuple(at(point) for point in mark.points), mark.closed, mark.filled))
        elif isinstance(mark, TextMark):
            out.append(TextMark(mark.value, at(mark.at)))
        else:
            raise TypeError(f"no example holds a {type(mark).__name__}")
    return tuple(out)


# --------------------------------------------------------------------------------------- from the page


def from_box(sheet: Sheet, box: Box) -> tuple[Mark, ...]:
    """Marks of everything that is drawn wholly inside the box: inches on paper about the middle of the strokes.

    Walls and hatch that go through the box drop out, because they are not wholly inside.  Empty where nothing is.
    """
    return _marks(sheet, box, frozenset())


def from_legend(sheet: Sheet, description: str) -> tuple[Mark, ...] | None:
    """Marks of the legend's row with that description (case and spaces ignored), or None where there is none."""
    return _row(sheet, description)[0] or None


def _row(sheet: Sheet, description: str) -> tuple[tuple[Mark, ...], Box | None, str]:
    """Marks, their box, and why there are none."""
    rows = legend.rows_of(sheet, description)
    if not rows:
        has = any(region.kind == "legend" for region in sheet.regions)
        why = f"the legend has no row '{description}'" if has else "the sheet has no legend"
        return (), None, f"{why}, so it was not looked for"
    for row in rows:
        for cell in legend.cells_of(sheet, row):
            marks = _marks(sheet, cell, frozenset(row.words), legend.without_rules(sheet, cell, row))
            if marks:
                return marks, cell, ""
    for row in rows:
        for cell in legend.cells_of(sheet, row):
            letters = _letters(sheet, cell, row)
            if letters:
                return letters, cell, ""
    return (), None, f"nothing is drawn beside the legend's row '{description}', so it was not looked for"


def _letters(sheet: Sheet, cell: Box, row: legend.Row) -> tuple[Mark, ...]:
    """The one short text of a cell without strokes: symbols such as ``S`` are letters alone."""
    words = [word for i, word in enumerate(sheet.words) if geometry.in_box(word.at, cell) and i not in row.words]
    return (TextMark(words[0].text.strip(), (0.0, 0.0)),) if len(words) == 1 and len(words[0].text) <= 3 else ()


def _marks(sheet: Sheet, box: Box, not_words: frozenset[int], usable: BoolArray | None = None) -> tuple[Mark, ...]:
    inside = geometry.segments_in_box(sheet.strokes.xy, box) & sheet.strokes.ink()
    if usable is not None:
        inside &= usable
    xy, curve = sheet.strokes.xy[inside], sheet.strokes.curve[inside]
    painted = [ring for ring in _painted(sheet, box) if _small(ring, xy)]
    if float(geometry.lengths(xy).sum()) < LEAST_INK and not painted:
        return ()
    middle = _middle(xy, painted)
    marks: list[Mark] = [*_strokes(xy, curve, middle)]
    marks += [PolylineMark(tuple(_inches(at, middle) for at in ring[:-1]), True, True) for ring in painted]
    for index, word in enumerate(sheet.words):
        if index not in not_words and geometry.in_box(word.at, box) and word.text.strip() and word.origin == "font":
            marks.append(TextMark(word.text.strip(), _inches(word.at, middle)))
    return tuple(marks)


def _inches(at: FloatArray | Point, middle: Point) -> Point:
    return (float(at[0] - middle[0]) / POINTS_PER_INCH, float(at[1] - middle[1]) / POINTS_PER_INCH)


def _middle(xy: FloatArray, painted: list[FloatArray]) -> Point:
    points = np.concatenate([xy.reshape(-1, 2), *painted])
    low, high = points.min(axis=0), points.max(axis=0)
    return (float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2)


def _strokes(xy: FloatArray, curve: IntArray, middle: Point) -> list[Mark]:
    """Whole circles as circles, everything else as the chords that were drawn, each once."""
    ink = normalise(xy, curve, np.ones(len(xy), bool), np.zeros((0, 4)))
    whole = ink.arcs.circles[:, 3] >= WHOLE_CIRCLE
    marks: list[Mark] = [
        CircleMark(_inches(circle[:2], middle), float(circle[2]) / POINTS_PER_INCH)
        for circle in ink.arcs.circles[whole]
    ]
    loose = np.ones(ink.count, bool)
    loose[ink.arcs.stroke[whole[ink.arcs.circle]]] = False
    marks += [LineMark(_inches(row[:2], middle), _inches(row[2:], middle)) for row in ink.xy[: ink.count][loose]]
    return marks


def _painted(sheet: Sheet, box: Box) -> list[FloatArray]:
    """Outlines of dark fills wholly inside the box, each a (p, 2) closed ring."""
    fills = sheet.fills
    if not len(fills):
        return []
    dark = (fills.luminance < PAINTED) & (fills.opacity > OPAQUE)
    bounds = shapely.bounds(fills.shape)
    dark &= (
        (bounds[:, 0] >= box[0]) & (bounds[:, 1] >= box[1]) & (bounds[:, 2] <= box[2]) & (bounds[:, 3] <= box[3])
    )
    parts = shapely.get_parts(fills.shape[dark]) if dark.any() else []
    return [np.asarray(part.exterior.coords)[:, :2] for part in parts if part.geom_type == "Polygon"]


def _small(ring: FloatArray, xy: FloatArray) -> bool:
    if not len(xy):
        return True
    size = np.ptp(xy.reshape(-1, 2), axis=0)
    return float(shapely.Polygon(ring).area) <= BACKGROUND * max(float(size[0] * size[1]), 1.0)

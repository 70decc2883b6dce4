"""Shapes taken from a drawing instead of written down: ``picked:`` and ``legend:`` entries of the mapping file.

Terms: *example*, strokes and words of a sheet that show how a symbol is drawn.  *Middle*, the middle of the box
around an example's strokes and fills: the origin of its marks.  The legend's rows are legend.py's.
"""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import shapely

from cordpath import geometry, units
from cordpath.model import (
    OUTLET_KINDS,
    Box,
    Learnt,
    Mapping,
    Mark,
    Sheet,
    Symbol,
    SymbolEntry,
    Unexplained,
)  # fmt: skip
from cordpath.symbols.examples import legend
from cordpath.symbols.examples.box_edges import cut_off, of_the_box, widened
from cordpath.symbols.examples.doubts import doubt_of
from cordpath.symbols.examples.example_pens import learnt_alike, pen_of, told_by_pen
from cordpath.symbols.examples.legend_marks import in_cell, letters_in_cell, stand_right
from cordpath.symbols.examples.legend_turned import Way, texts_like, ways
from cordpath.symbols.examples.likeness import alike, counted
from cordpath.symbols.examples.outlined_letters import UNREAD, read_as_text, unread_letters
from cordpath.symbols.examples.page_marks import from_box, scaled
from cordpath.symbols.examples.stroked_letters import perhaps_text, strokes_as_text
from cordpath.symbols.examples.wall_lines import told, wall_lines, without
from cordpath.symbols.letters.glyphs import GlyphReader

MOST_MARKS = 2000  # marks of an example; a box with more has taken in a part of the plan
MOST_NAMES = 5  # told one by one


@dataclass(frozen=True)
class Examples:
    """What each ``picked:`` or ``legend:`` entry looks like, by the entry's name.

    ``shapes``: marks about the middle, in inches on paper (in the building for ``size: real``).  ``notes`` says
    what was taken, and what could not be.  ``learnt``: where each shape is from.  ``legends``: what the legends of
    all sheets of the set show, for sheets without a legend of their own.  ``astray``: the ``picked:`` entries that
    do not find the example that they were picked from.  ``lettered``: the shapes of entries some strokes of which
    may be letters, with those as letters.  ``missed``: outlets that the sheet names, and none of whose drawings
    could be taken.
    """

    shapes: MappingABC[str, tuple[Mark, ...]] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    learnt: tuple[Learnt, ...] = ()
    legends: tuple[Learnt, ...] = ()
    astray: tuple[str, ...] = ()
    lettered: MappingABC[str, tuple[Mark, ...]] = field(default_factory=dict)
    missed: tuple[Unexplained, ...] = ()

    def marks(self, name: str) -> tuple[Mark, ...]:
        """The marks of the entry of that name; empty where there is no example of it."""
        return self.shapes.get(name, ())


NO_EXAMPLES = Examples()


def gather_examples(
    mapping: Mapping,
    sheets: MappingABC[tuple[str, int], Sheet],
    known: Examples = NO_EXAMPLES,
    sheet: Sheet | None = None,
    read: GlyphReader | None = None,
) -> Examples:
    """Adds to ``known`` the examples of ``picked:`` entries whose (file, page) is among ``sheets``, and those of
    ``legend:`` entries: from the legend of ``sheet``, else from one of its file, else from any of the set.
    ``read`` tells letters from their outlines.

    What cannot be used becomes a note, never a guess.
    """
    learnt_before = {each.name: each for each in known.learnt}
    pages = tuple(ways(sheet)) if sheet is not None else ()
    taken = _Taken(mapping, dict(known.shapes), list(known.notes), learnt_before, read, dict(known.lettered))
    others_of: dict[str, tuple[Learnt, ...]] = {}
    for entry in mapping.symbols:
        if entry.picked is not None and (entry.picked.file, entry.picked.page) in sheets:
            page = sheets[entry.picked.file, entry.picked.page]
            box = entry.picked.box
            taken.take(entry, page, from_box(page, widened(box), of_the_box(page.strokes.xy, box)), box)
            taken.notes += cut_off(entry.name, page, widened(box))
        elif entry.legend is not None and sheet is not None:
            found, row, said = _row(pages, entry.legend)
            others = tuple(each for each in known.legends if each.name == entry.name)
            if found:
                taken.take(entry, sheet, found, row, *said)
                taken.notes += [f"{entry.name}: {each}" for each in said]
                others_of[entry.name] = others
            elif others:
                taken.borrow(sheet, others)
            elif entry.name not in taken.shapes:  # else another sheet had the row
                taken.notes += [f"{entry.name}: {each}" for each in said]
                taken.missed += _missed(sheet, entry, row, said)
    walls = wall_lines(mapping.symbols, taken.shapes)
    shapes, lettered = without(taken.shapes, walls), without(taken.lettered, walls)
    learnt = tuple(replace(taken.learnt[name], marks=shapes[name]) for name in sorted(taken.learnt))
    against = [note for name, others in others_of.items() for note in _against(name, shapes.get(name, ()), others)]
    notes = tuple(dict.fromkeys((*taken.notes, *told(walls), *against, *_learnt_alike(learnt, mapping))))
    return Examples(shapes, notes, learnt, known.legends, known.astray, lettered, tuple(taken.missed))


def _learnt_alike(learnt: tuple[Learnt, ...], mapping: Mapping) -> list[str]:
    """Entries that were learnt as one and the same drawing, in like pens: nothing on a plan can tell them apart."""
    pairs = [(one, other) for one, other in learnt_alike(learnt) if not told_by_pen(one, other, mapping)]
    return [
        f"{one.name} and {other.name} were learnt alike ({_source(one)}; {_source(other)}): which of the two is "
        "meant cannot be told from the drawing; check what was learnt"
        for one, other in pairs
    ]


def _source(one: Learnt) -> str:
    what = "the legend" if one.source == "legend" else "a picked box"
    return f"{one.name} from {what} of {one.file} page {one.page}"


@dataclass
class _Taken:
    """Examples being gathered."""

    mapping: Mapping
    shapes: dict[str, tuple[Mark, ...]]
    notes: list[str]
    learnt: dict[str, Learnt]
    read: GlyphReader | None
    lettered: dict[str, tuple[Mark, ...]]
    missed: list[Unexplained] = field(default_factory=list)

    def take(self, entry: SymbolEntry, page: Sheet, marks: tuple[Mark, ...], box: Box | None, *said: str) -> None:
        """Puts the marks among the shapes; notes what was done.  ``said``: what is uncertain about them."""
        where = f"{page.file} page {page.page}"
        if not marks:
            why = f"nothing is drawn wholly inside its box on {where}, so it was not looked for"
            self.notes.append(f"{entry.name}: {why}")
            return
        if len(marks) > MOST_MARKS:
            why = f"its box on {where} holds {len(marks)} marks; draw it tighter around one symbol"
            self.notes.append(f"{entry.name}: {why}")
            return
        pen = pen_of(marks, page, box) if box is not None else None
        if self.read is not None:
            marks = strokes_as_text(read_as_text(marks, self.read), self.read)
        if entry.legend is not None and unread_letters(marks):
            why = f"{UNREAD}, so it was not looked for"
            self.notes.append(f"{entry.name}: {why}")
            self.missed += _missed(page, entry, box, (why,))
            return
        if entry.size == "real":
            ratio = _ratio(page, box, self.mapping)
            if ratio is None:
                why = f"the scale of its example on {where} is not stated, so it was not looked for"
                self.notes.append(f"{entry.name}: {why}")
                return
            marks = scaled(marks, ratio)
        one = Learnt(entry.name, "picked" if entry.picked else "legend", page.file, page.page, box, marks)
        self._use(replace(one, doubt=doubt_of(said), pen=pen))

    def borrow(self, sheet: Sheet, legends: tuple[Learnt, ...]) -> None:
        """Takes the row of another sheet's legend, of the same file before any other."""
        chosen = min(legends, key=lambda each: each.file != sheet.file)
        self._use(chosen)
        self.notes += _against(chosen.name, chosen.marks, legends)

    def _use(self, one: Learnt) -> None:
        self.shapes[one.name] = one.marks
        self.learnt[one.name] = one
        self.lettered.pop(one.name, None)
        lettered = perhaps_text(one.marks, self.read) if self.read is not None else ()
        if lettered:
            self.lettered[one.name] = lettered
        self.notes.append(f"{one.name} is looked for as drawn on {one.file} page {one.page} ({counted(one.marks)})")


def _missed(sheet: Sheet, entry: SymbolEntry, row: Box | None, said: tuple[str, ...]) -> list[Unexplained]:
    """An outlet whose words stand on the sheet, in its legend or elsewhere, while no drawing of it could be taken:
    the plan may draw it, and nothing looks for it."""
    if entry.kind not in OUTLET_KINDS:
        return []
    boxes = [row] if row is not None else texts_like(sheet, entry.legend or "")
    what = f"'{entry.name}' of the mapping file: {'; '.join(said)}, though its words '{entry.legend}' stand here"
    at = tuple(((x0 + x1) / 2, (y0 + y1) / 2) for x0, y0, x1, y1 in boxes)
    return [Unexplained(what, at, boxes[0], is_outlet=True)] if boxes else []


def _against(name: str, marks: tuple[Mark, ...], others: tuple[Learnt, ...]) -> list[str]:
    """Where legends of the set draw the same name otherwise."""
    if not marks:
        return []
    where = list(dict.fromkeys(f"{o.file} page {o.page}" for o in others if not alike(marks, o.marks)))
    return [f"{name}: the legend on {', '.join(where)} draws it otherwise; that way of drawing was not looked for "
            "here"] if where else []  # fmt: skip


def picked_on(mapping: Mapping, file: str, page: int) -> Mapping:
    """The mapping file with those entries alone that were picked from a page."""
    here = tuple(e for e in mapping.symbols if e.picked and (e.picked.file, e.picked.page) == (file, page))
    return replace(mapping, symbols=here)


def not_found_again(mapping: Mapping, examples: Examples, found: tuple[Symbol, ...]) -> list[str]:
    """The entries, all picked from one page, that are not among the symbols found on it where they were picked."""
    said = []
    for entry in mapping.symbols:
        if entry.picked is None:
            continue
        drawn = shapely.box(*entry.picked.box)
        names = {name for s in found if drawn.intersects(s.footprint) for name in (s.entry.name, *s.rivals)}
        box = ", ".join(f"{value:g}" for value in entry.picked.box)
        where = f"on page {entry.picked.page} of {entry.picked.file} in [{box}]"
        if not examples.marks(entry.name):
            said.append(f"{mapping.file}:{entry.line}: nothing could be taken for '{entry.name}' {where}")
        elif entry.name not in names:
            said.append(
                f"{mapping.file}:{entry.line}: '{entry.name}' is not found again where it was picked, {where}: "
                "look at what was learnt, and draw the box round one whole symbol and nothing else"
            )
    return said


def unlearnt(mapping: Mapping, examples: Examples) -> str | None:
    """Why outlets cannot be found: the mapping file has none, or no drawing shows those that it leaves to one.

    A row that a legend lacks while it shows others is taken for a symbol that the set does not use: a note.
    """
    if not any(entry.kind in OUTLET_KINDS for entry in mapping.symbols):
        return "the mapping file has no entry of kind receptacle or hardwired outlet, so no outlet can be found"
    left = [entry for entry in mapping.symbols if entry.kind in OUTLET_KINDS and entry.shape is None]
    lost = [entry.name for entry in left if not examples.marks(entry.name)]
    if not left or len(lost) < len(left):
        return None
    return f"no drawing shows how these are drawn: {listed(lost)}; so their outlets cannot be found"


def listed(names: list[str]) -> str:
    """Names one by one, but not a hundred of them."""
    more = f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
    return ", ".join(names[:MOST_NAMES]) + more


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


def _row(pages: Sequence[Way], description: str) -> tuple[tuple[Mark, ...], Box | None, tuple[str, ...]]:
    """Marks of the legend's row with that description (case and spaces ignored), their box, and what is uncertain
    about them or why there are none.  ``pages``: the ways to read the sheet."""
    rows = [(way, row) for way in pages for row in legend.rows_of(way.sheet, description)]
    if not rows:
        has = any(region.kind == "legend" for way in pages for region in way.sheet.regions)
        why = f"the legend has no row '{description}'" if has else "the sheet has no legend"
        return (), None, (f"{why}, so it was not looked for",)
    refused = ""
    for drawn in (in_cell, letters_in_cell):
        for way, row in rows:
            beside = [(drawn(way.sheet, cell, row), cell) for cell in legend.cells_of(way.sheet, row)]
            signs = [(marks, way.back(cell), said) for (marks, said), cell in beside if marks]
            refused = next(
                (f"{said[0]} ('{description}')" for (marks, said), _ in beside if said and not marks), ""
            )
            if signs:
                return signs[-1 if len(signs) > 1 and stand_right(way.sheet) else 0]
            if refused:
                break
        if refused:
            break
    why = refused or f"nothing is drawn beside the legend's row '{description}'"
    return (), rows[0][0].back(rows[0][1].box), (f"{why}, so it was not looked for",)

"""What of a sheet nothing accounts for, once its symbols are known: told, and never left out."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from cordpath.model import OUTLET_KINDS, Mapping, Mark, Point, Symbol, Unexplained
from cordpath.symbols.candidates import Candidates, Sought
from cordpath.symbols.devices import Devices, Labelled
from cordpath.symbols.examples.doubts import told_by_example
from cordpath.symbols.examples.examples import Examples
from cordpath.symbols.examples.page_marks import scaled
from cordpath.symbols.labels.stray import doubted_by_shapes
from cordpath.symbols.learning.proposals import untitled
from cordpath.symbols.matching.print_size import print_sizes
from cordpath.symbols.templates.templates import marks_of
from cordpath.symbols.unexplained import unexplained
from cordpath.symbols.unexplained.bare import untold
from cordpath.symbols.unexplained.barred_circles import barred_circles, told_barred
from cordpath.symbols.unexplained.circles import boxes_of, free_circles, told_pattern
from cordpath.symbols.unexplained.in_white import told_in_white
from cordpath.symbols.unexplained.marked_circles import larger_note, marked_bodies, marked_circles, told_marked
from cordpath.symbols.unexplained.misfits import misfits
from cordpath.symbols.unexplained.painted_over import told_painted_over
from cordpath.symbols.unexplained.resized import told_resized
from cordpath.symbols.unexplained.solid_bodies import told_solid
from cordpath.symbols.unexplained.tagged import told_tagged
from cordpath.symbols.unexplained.unfed import unfed
from cordpath.symbols.unexplained.unmapped import told_of_rows, with_hidden
from cordpath.symbols.unexplained.unread_pictures import told_bars, told_pictures
from cordpath.symbols.winners import Winners


@dataclass(frozen=True, eq=False)
class Remainder:
    """The symbols, less the labels that unnamed shapes beside them put in doubt; and what is told of the rest."""

    symbols: tuple[Symbol, ...]
    told: tuple[Unexplained, ...]
    notes: tuple[str, ...]


def remainder_of(
    labelled: Labelled, devices: Devices, winners: Winners, candidates: Candidates, sought: Sought
) -> Remainder:
    """What is drawn on the sheet that neither its symbols nor its texts account for, each thing told once."""
    sheet, mapping, search = sought.sheet, sought.mapping, sought.search
    drawn = labelled.symbols + devices.nameless + devices.lacking
    left = unexplained.left_over(sheet, drawn, mapping)
    ink = search.everywhere.ink
    free = free_circles(ink, search.paint, sheet, drawn)
    circles = barred_circles(free.devices, ink, sheet, search.walls, mapping.labels)
    marked = marked_circles(free.devices, ink, search.paint, sheet, search.walls)
    bodies = boxes_of(np.r_[circles, marked.circles])
    if left is not None:
        bodies = np.r_[left.bodies, bodies]
    symbols = doubted_by_shapes(labelled.symbols, sheet, bodies)
    outlets = _outlet_shapes(mapping, sought.examples, print_sizes(winners.other_size))
    shapes = unexplained.leftovers(sheet, drawn, mapping, outlets, left)
    told = devices.elsewhere + untitled(devices.nameless) + told_of_rows(devices.lacking)
    told += sought.examples.missed + told_by_example(symbols)
    told += with_hidden(shapes, search, drawn, sheet)
    told += told_barred(circles, _places(told))
    told += untold(candidates.bare, symbols, sheet, search.walls, mapping.labels)
    told += told_tagged(left, drawn, sheet, mapping.labels, _places(told))
    usual = _outlet_shapes(mapping, sought.examples, None)
    told += tuple(told_in_white(sheet, usual, mapping))
    told += told_resized(left, usual, sought, drawn, _places(told))
    told += told_marked(marked, _places(told))
    if left is not None:
        known = [at for item in told for at in item.at]
        told += told_marked(marked_bodies(left.closed, ink, search.paint, sheet), known, "shape")
        told += told_solid(left, ink, search.paint, sheet, drawn, _places(told))
    told += told_pattern(free.pattern)
    larger = larger_note(free.larger, ink, search.paint, sheet, search.walls, mapping.labels)
    told += told_pictures(sheet, drawn) + told_bars(sheet, drawn) + told_painted_over(sheet, drawn, mapping)
    told += unfed(symbols, sought.scales, (*labelled.astray, *told))
    for places in (search.everywhere, search.devices):
        told += places.ink.crowding.told() if places is not None else ()
    return Remainder(symbols, (*labelled.astray, *told), (*larger, *misfits(symbols)))


def _places(told: tuple[Unexplained, ...]) -> list[Point]:
    """Where something is told by itself: what is told among furniture and tags may be more."""
    return [at for item in told if not item.minor for at in item.at]


def _outlet_shapes(
    mapping: Mapping, examples: Examples, sizes: tuple[float, float] | None
) -> tuple[tuple[str, tuple[Mark, ...]], ...]:
    """Name and marks of the plotted outlets, for what was drawn like them and not matched: as large as the mapping
    file has them, and as a reduced print does; ``sizes``: least and greatest of that print."""
    outlets = [e for e in mapping.symbols if e.kind in OUTLET_KINDS and e.size == "plotted"]
    shapes = tuple((entry.name, marks) for entry in outlets if (marks := marks_of(entry, examples)))
    if sizes is None:
        return shapes
    return shapes + tuple((name, scaled(marks, math.sqrt(sizes[0] * sizes[1]))) for name, marks in shapes)

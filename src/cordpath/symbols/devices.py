"""Which of the winners are devices of the plan, and what the labels beside them say.

Terms: *nameless*, of an entry that ``cordpath learn`` proposed and nobody has named; *lacking*, drawn on a plan as
in a row of the legend that the mapping file lacks.  Neither is a symbol of the mapping file, but its ink is known,
and a label beside it is no neighbour's.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import shapely

from cordpath.model import Sheet, Symbol, Unexplained
from cordpath.symbols.candidates import Sought
from cordpath.symbols.context import oriented, wall_direction
from cordpath.symbols.examples.doubts import doubted_by_example
from cordpath.symbols.fixtures.edges import edge_of
from cordpath.symbols.fixtures.fixture_shapes import unnamed_fixtures
from cordpath.symbols.fixtures.usual_symbols import usual_basins, usual_boxes
from cordpath.symbols.labels import labels
from cordpath.symbols.labels.crossed_out import doubted_by_crosses
from cordpath.symbols.labels.unread import unread_beside
from cordpath.symbols.labels.unread_lines import doubted_by_unread
from cordpath.symbols.learning.proposals import held_back
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.matching.overlaid import settled_by_labels
from cordpath.symbols.matching.print_size import drawn_size, view_around
from cordpath.symbols.matching.same_facts import settled_alike
from cordpath.symbols.matching.unread_areas import doubted_in_part
from cordpath.symbols.on_plan import on_plan
from cordpath.symbols.pose import MIRROR, place, similarity
from cordpath.symbols.search import Search
from cordpath.symbols.unexplained.unmapped import NO_VIEW, drawn_of_rows, lacking, unmapped_rows
from cordpath.symbols.winners import Winners


@dataclass(frozen=True, eq=False)
class Devices:
    """What the plans of a sheet show of the mapping file, without labels yet."""

    symbols: tuple[Symbol, ...]
    nameless: tuple[Symbol, ...]
    lacking: tuple[Symbol, ...]
    elsewhere: tuple[Unexplained, ...]  # outlets in drawings that are no plans
    notes: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class Labelled:
    """The symbols with their labels."""

    symbols: tuple[Symbol, ...]
    astray: tuple[Unexplained, ...]  # labels that belong to none
    notes: tuple[str, ...]


def devices_of(winners: Winners, sought: Sought) -> Devices:
    """The winners as symbols, without samples in legends and what other parts of the sheet than plans show."""
    sheet, search = sought.sheet, sought.search
    drawn = tuple(_symbol(c, sheet, search) for c in winners.meant)
    rows = unmapped_rows(sheet, drawn)
    on_plans, samples, elsewhere = on_plan(drawn, sheet)
    on_plans = doubted_in_part(settled_alike(on_plans, sought.mapping), sheet)
    symbols, nameless = held_back(doubted_by_example(on_plans, sought.examples.learnt, sought.mapping))
    symbols += usual_boxes(sheet, search.everywhere.ink, symbols, sought.scales, sought.mapping)
    of_rows = tuple(_symbol(c, sheet, search) for c in drawn_of_rows(search, rows, symbols))
    return Devices(symbols, nameless, lacking(of_rows, sheet), elsewhere, tuple(samples))


def labelled(devices: Devices, sought: Sought) -> Labelled:
    """The symbols with their labels and what these settle; fixtures drawn in the usual way or named by no entry."""
    sheet, ink = sought.sheet, sought.search.everywhere.ink
    both, astray = labels.attach(devices.symbols + devices.lacking, sheet, sought.mapping)
    symbols = both[: len(devices.symbols)]  # the label of a lacking one goes with it
    symbols = settled_by_labels(tuple(_settled_by_label(symbol) for symbol in symbols))
    symbols = unread_beside(symbols, sheet, ink, sought.search.paint)
    symbols = doubted_by_unread(symbols, sheet, ink, sought.search.paint)
    symbols = doubted_by_crosses(symbols, sheet)
    symbols = usual_basins(sheet, ink, symbols, sought.scales, sought.mapping)
    unnamed, notes = unnamed_fixtures(sheet, ink, symbols, sought.scales)
    return Labelled(symbols + unnamed, astray, tuple(notes))


def _symbol(c: Candidate, sheet: Sheet, search: Search) -> Symbol:
    template = c.template
    pose, touches = oriented(template, c.poses, search.walls)
    doubts = c.doubts
    if doubts and all(d.weak for d in doubts) and not c.rivals and (touches or search.on_device_layer(c)):
        doubts = ()  # its wall or its layer tells what the shape alone does not
    view = view_around(pose, sheet)
    edge, remark = edge_of(template)
    reasons = [d.what for d in doubts] + ([remark] if remark else [])
    if view is None:
        reasons.append(NO_VIEW)
    map_ = similarity(pose)
    confidence = c.coverage * (1 - 0.5 * min(c.clutter, 0.4)) * (0.5 if doubts else 1.0)
    return Symbol(
        entry=template.entry,
        at=map_.shift,
        angle=map_.angle,
        mirrored=bool(pose[MIRROR]),
        drawn_size=drawn_size(c),
        confidence=round(confidence, 4),
        found=not doubts and view is not None,
        view=view.id if view else None,
        footprint=_hull(c),
        strokes=c.ink.strokes_of(c.whole),
        edge=None if edge is None else map_.shape(edge),
        wall_direction=wall_direction(template, pose),
        reasons=tuple(reasons),
        rivals=c.rivals,
        letters=tuple(value for value, _, _ in template.drawn.texts),
    )


def _settled_by_label(symbol: Symbol) -> Symbol:
    """A weak shape with a label that tells something is what the label says it belongs to."""
    weak = [r for r in symbol.reasons if r.startswith("weak shape")]
    if symbol.found or symbol.rivals or symbol.view is None or not weak:
        return symbol
    if len(weak) != len(symbol.reasons) or not any(label.sets for label in symbol.labels):
        return symbol
    return replace(symbol, found=True, reasons=(), confidence=min(1.0, 2 * symbol.confidence))


def _hull(c: Candidate) -> shapely.Geometry:
    """Convex hull of the candidate's marks on the page."""
    if c.template.text_only:
        return shapely.box(*(c.centre - c.radius), *(c.centre + c.radius))
    return shapely.convex_hull(shapely.multipoints(place(c.pose[None], c.template.outline)[0]))

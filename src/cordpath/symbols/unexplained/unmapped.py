"""Symbols that a sheet draws and the mapping file lacks: looked for like others, and told wherever they stand.

A shape that the drawing repeats is told by groups of loose ink (unexplained.py), but a symbol over a counter's
line, an appliance or a wall is no group of its own, and three of them are never three.  How such a symbol is drawn
is known all the same: from a row of the sheet's legend that no entry explains, or from a place where nothing
crosses it.  Once it is known it can be looked for, and one occurrence is enough.

Terms: *row*, *cell* as in legend.py.  *Lacking*, said of a symbol that no entry of the mapping file explains.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath.geometry import components, in_box
from cordpath.model import (
    OUTLET_KINDS,
    Box,
    FloatArray,
    Mark,
    Point,
    Sheet,
    Symbol,
    SymbolEntry,
    TextMark,
    Unexplained,
)
from cordpath.symbols.context import on_plan
from cordpath.symbols.examples import legend
from cordpath.symbols.examples.legend_turned import ways
from cordpath.symbols.examples.likeness import outline, profile_of
from cordpath.symbols.learning.samples import Sample, sample_beside
from cordpath.symbols.learning.trade_words import guess, is_told
from cordpath.symbols.matching.evidence import CERTAIN, Candidate, weighed
from cordpath.symbols.matching.fit import SHARES
from cordpath.symbols.matching.verify import best_fits, plausible
from cordpath.symbols.pose import place
from cordpath.symbols.search import Search
from cordpath.symbols.templates.template import Template
from cordpath.symbols.templates.templates import sized
from cordpath.symbols.unexplained.likely import LARGEST, SMALLEST
from cordpath.symbols.unexplained.unexplained import ENCLOSES, LEAST_TIMES, times_drawn

NO_VIEW = "it stands in no view of the sheet"
SCALES = 0.95, 1.05  # of drawn size about the one that is known: that of an entry that names none
ONE_DIRECTION = np.radians(5.0)
ONE_PLACE = 0.5  # of a symbol's radius: middles as near are one symbol
# Hatch, which lies wherever there is hatch; half of a square's lines run in one direction.
STRIPED = 0.8  # of a shape's lines in one direction
MOST_POSES = 10_000  # at which a shape may stand by its telling lines: one of more has none, as letters and hatch
NEAR_TOLD = LARGEST / 4  # pt: a shape whose middle is so near a place that is told is what is told there
# A symmetric pose of a symbol may be covered better by so much than the one that was found.
TURNED = 0.05  # of coverage
SLACK = 0.05  # pt: rounding of middles that are worked out twice
MOST_FIT = sum(SHARES)  # of its reach, by which a template moves while it is fitted: what lies beyond does not pull
MOST_ROWS = 40  # of a legend that are looked for: a list of more is no legend of symbols


Posed = tuple[Template, FloatArray]  # a template and (n, 5) poses of it


def unmapped_rows(sheet: Sheet, symbols: tuple[Symbol, ...]) -> tuple[Sample, ...]:
    """What the sheet's legends draw and no entry explains, with the words beside it.

    ``symbols``: all that was found on the sheet, the samples in its legends among them.
    """
    found = [symbol.at for symbol in symbols if set(symbol.reasons) <= {NO_VIEW}]  # legends stand beside the views
    samples: list[Sample] = []
    for way in ways(sheet):
        rows = legend.descriptions(way.sheet)[:MOST_ROWS]
        cells = [legend.cells_of(way.sheet, row) for row in rows]
        known = [[_holds(way.back(cell), found) for cell in pair] for pair in cells]
        has = np.array(known, bool).reshape(-1, 2)
        side = int(has[:, 1].sum() > has[:, 0].sum())
        samples += [sample_beside(way.sheet, row, side) for row, is_known in zip(rows, has[:, side], strict=True)
                    if not is_known]  # fmt: skip
    return tuple(sample for sample in samples if sample.marks and not sample.plain)


def _holds(cell: Box, places: list[Point]) -> bool:
    return any(in_box(at, cell) for at in places)


def drawn_of_rows(search: Search, rows: tuple[Sample, ...], symbols: tuple[Symbol, ...]) -> list[Candidate]:
    """Where the plans draw what the legend's ``rows`` do, away from ``symbols``."""
    entries = [_entry(row) for row in rows]
    return _once([c for entry in entries for c in _drawn(search, entry)], symbols)


def _entry(row: Sample) -> SymbolEntry:
    """An entry for a row of the legend: an outlet, unless its words tell another kind."""
    kind = guess(row.text).kind
    return SymbolEntry(row.text, kind if is_told(row.text) else "receptacle", row.marks)


def _drawn(search: Search, entry: SymbolEntry) -> list[Candidate]:
    posed = [(template, search.places(template).poses(template)) for template in _templates(entry)]
    fitted = _fitted(search, _plausible(search, posed))
    return [c for template, poses in fitted for c in _placed(search, template, poses)]


def _templates(entry: SymbolEntry) -> list[Template]:
    return [t for t in sized(entry, entry.shape or (), None, SCALES) if _looked_for(t)]


def _looked_for(template: Template) -> bool:
    """A shape that lies anywhere by chance is not looked for, nor one that is no symbol by its size."""
    across = 2 * template.radius
    return not template.text_only and not template.weak_body and SMALLEST <= across <= 1.5 * LARGEST


def _fitted(search: Search, posed: list[Posed]) -> list[Posed]:
    """The poses, of those at which templates plausibly stand, at which their lines are drawn in full or nearly so:
    what is weighed takes long among letters."""
    out = []
    for template, poses in posed:
        poses, covered = best_fits(template, search.places(template).ink, poses)
        out.append((template, poses[covered >= CERTAIN - TURNED]))
    return out


def _plausible(search: Search, posed: list[Posed]) -> list[Posed]:
    return [(template, plausible(template, search.places(template).ink, poses)) for template, poses in posed]


def _placed(search: Search, template: Template, poses: FloatArray) -> list[Candidate]:
    """Where, of the fitted poses, the lines of a template are drawn in full."""
    found = weighed(template, search.places(template).ink, poses, search.letters, search.paint)[0]
    return [c for c in found if c.coverage >= CERTAIN and not any(d.weak or d.grave for d in c.doubts)]


def _once(found: list[Candidate], symbols: tuple[Symbol, ...]) -> list[Candidate]:
    """The likeliest at each place, none where ``symbols`` has one of a device's size."""
    if not found:
        return []
    devices = shapely.STRtree([s.footprint for s in symbols if s.entry.size == "plotted"])
    near_all = [ONE_PLACE * c.radius for c in found]
    taken, _ = devices.query(shapely.points([c.centre for c in found]), predicate="dwithin", distance=near_all)
    free = [c for k, c in enumerate(found) if k not in set(taken.tolist())]
    kept: list[Candidate] = []
    middles = np.empty((len(free), 2))
    for c in sorted(free, key=lambda c: (not c.found, -c.score)):
        apart = np.hypot(*(middles[: len(kept)] - c.centre).T)
        if (apart >= ONE_PLACE * c.radius).all():
            middles[len(kept)] = c.centre
            kept.append(c)
    return kept


def lacking(symbols: tuple[Symbol, ...], sheet: Sheet) -> tuple[Symbol, ...]:
    """Those of the plans: samples in legends and tables are none, and neither is what no view holds."""
    return tuple(s for s in symbols if s.view and not any(in_box(s.at, region.box) for region in sheet.regions))


def told_of_rows(symbols: tuple[Symbol, ...]) -> tuple[Unexplained, ...]:
    """What the legend names and the mapping file does not.

    One outlet is enough, and so is one of what its words leave open; of lights and alarms as many as of any shape.
    """
    by_name: dict[str, list[Symbol]] = {}
    for symbol in symbols:
        by_name.setdefault(symbol.entry.name, []).append(symbol)
    return tuple(
        Unexplained(
            f"a symbol that the legend calls '{name}', drawn {times_drawn(len(drawn))}, that the mapping file does "
            "not name",
            tuple(sorted((s.at for s in drawn), key=lambda at: (at[1], at[0]))),
            _box(drawn[0]),
            marks=drawn[0].entry.shape or (),
            is_outlet=is_told(name) and drawn[0].kind in OUTLET_KINDS,
        )
        for name, drawn in sorted(by_name.items())
        if drawn[0].kind in OUTLET_KINDS or len(drawn) >= LEAST_TIMES
    )


def _box(symbol: Symbol) -> Box:
    x0, y0, x1, y1 = symbol.footprint.bounds
    return (float(x0), float(y0), float(x1), float(y1))


def with_hidden(
    rest: Sequence[Unexplained], search: Search, symbols: tuple[Symbol, ...], sheet: Sheet
) -> tuple[Unexplained, ...]:
    """Shapes that the drawing repeats, with the places where something crosses them."""
    known = [at for item in rest for at in item.at]
    out: list[Unexplained] = []
    for item in rest:
        more: list[Point] = []
        if item.box is not None:
            told = np.array(known)
            places = _hidden(item, search, symbols, told) if _encloses(item.marks) else None
            if places is None:
                out.append(replace(item, what=f"{item.what}; places that lines cross are not all among them"))
                continue
            for c in places:
                at = (float(c.centre[0]), float(c.centre[1]))
                if float(np.hypot(*(told - at).T).min()) > NEAR_TOLD and on_plan(at, sheet):
                    more.append(at)
        known += more
        out.append(_counted(item, more) if more else item)
    return tuple(out)


def _hidden(
    item: Unexplained, search: Search, symbols: tuple[Symbol, ...], told: FloatArray
) -> list[Candidate] | None:
    """Where the shape is drawn, whatever crosses it, apart from most places that are (n, 2) ``told`` already; None
    where too many places would have to be looked at, or its lines, such as a bare arc, are no evidence by
    themselves."""
    posed: list[Posed] = []
    left = MOST_POSES
    templates = _templates(SymbolEntry(item.what, "receptacle", item.marks))
    if not templates:
        return None
    for template in templates:
        poses = search.places(template).few_poses(template, left)
        if poses is None:
            return None
        posed.append((template, poses))
        left -= len(poses)
    likely = _untold(_plausible(search, posed), told, fitted=False)
    untold = _untold(_fitted(search, likely), told)
    return _once([c for template, poses in untold for c in _placed(search, template, poses)], symbols)


def _untold(posed: list[Posed], told: FloatArray, *, fitted: bool = True) -> list[Posed]:
    """The poses without those that stand at places already told, and apart from any that does not: looked at
    closer, they could only be left out again.  ``fitted``: they move no more."""
    middle = np.concatenate([place(poses, template.centre[None])[:, 0] for template, poses in posed] or [told[:0]])
    if not len(middle):
        return []
    reach = max(template.radius * template.highest for template, _ in posed)
    slack = SLACK if fitted else SLACK + max(MOST_FIT * template.reach * template.highest for template, _ in posed)
    together = cKDTree(middle).query_pairs(ONE_PLACE * reach + 2 * slack, output_type="ndarray")
    count, group = components(together[:, 0], together[:, 1], len(middle))
    away = cKDTree(told).query(middle)[0] > NEAR_TOLD - slack
    kept = np.split(
        np.bincount(group[away], minlength=count)[group] > 0, np.cumsum([len(poses) for _, poses in posed])[:-1]
    )
    return [(template, poses[mine]) for (template, poses), mine in zip(posed, kept, strict=True)]


def _encloses(marks: tuple[Mark, ...]) -> bool:
    """Has the shape ink enough for an outline?  Dashes and crosses are found wherever lines meet, pieces of hatch
    wherever there is hatch."""
    lines = [outline(mark) for mark in marks if not isinstance(mark, TextMark)]
    if not lines or _striped(lines):
        return False
    around = 2 * float(np.ptp(np.concatenate(lines), axis=0).sum())
    return profile_of(marks)[0] >= ENCLOSES * around


def _striped(lines: Sequence[FloatArray]) -> bool:
    """Do nearly all the (n, 2) lines run in one direction?"""
    way = np.concatenate([np.diff(line, axis=0) for line in lines])
    long = np.hypot(*way.T)
    around = (np.arctan2(way[:, 1], way[:, 0])[:, None] - np.arctan2(way[:, 1], way[:, 0])[None]) % np.pi
    along = np.minimum(around, np.pi - around) < ONE_DIRECTION
    return bool((along @ long).max() > STRIPED * long.sum())


def _counted(item: Unexplained, more: list[Point]) -> Unexplained:
    """The plain places first: what crosses the shape elsewhere, or fills it, may make another device of it."""
    places = (*item.at, *sorted(more, key=lambda at: (at[1], at[0])))
    what = item.what.replace(times_drawn(len(item.at)), times_drawn(len(places)), 1)
    return replace(item, what=what, at=places)

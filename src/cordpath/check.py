"""One sheet through all the stages: the table of contents of the program.

``understand`` reads a page into a :class:`Reading` that holds for every edition of the code; ``judge_file`` applies
one edition to the readings of a file.  Nothing here decides anything: it only hands the nouns from stage to stage.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import repeat
from pathlib import Path

from cordpath.circuits import (
    Claim,
    KeyedNote,
    across_parts,
    by_keyed_notes,
    claimed,
    conflicts,
    devices_beside,
    file_claims,
    keyed_notes,
    plan_claims,
    propose,
    protect,
    read_panels,
    spelt_out,
    trace,
    unserved,
)
from cordpath.drawn_twice import drawn_twice
from cordpath.errors import CordpathError
from cordpath.lending import Readings
from cordpath.model import (
    CordPath,
    Dimension,
    Doors,
    Fixture,
    FloorPlan,
    Learnt,
    Mapping,
    Outlet,
    Panel,
    Protection,
    Reading,
    Scale,
    ScheduledRoom,
    Sheet,
    SheetResult,
    Standing,
    Symbol,
    View,
)
from cordpath.no_outlets import without_outlets
from cordpath.reach import cord_paths, figured, in_space, reach_problems, through_glass
from cordpath.revisions import revision_clouds
from cordpath.room_schedules import schedule_for
from cordpath.rooms import find_rooms, stand, without_letters, without_plants
from cordpath.rules import Edition, edition_cautions, is_judged_light, judge
from cordpath.scale import enlarged_parts, prove_scales, read_dimensions, weigh
from cordpath.sheet import may_say, read_glyphs, read_sheet, without_layers
from cordpath.symbols import NO_EXAMPLES, Examples, gather_examples, load_mapping, spot
from cordpath.symbols.examples.examples import not_found_again, picked_on

__all__ = ["examples_from_files", "judge_file", "legends_of", "load_mapping", "propose", "understand"]

OUTSIDE_VIEWS = "it lies in no drawing of the sheet that has a title or a scale"
DOOR_READINGS: tuple[Doors, ...] = ("open", "blocking")  # editions differ on whether a door ends a cord path


def examples_from_files(mapping: Mapping, password: str | None = None) -> Examples:
    """The strokes of every ``picked:`` entry, from the files that the mapping names, and which of these entries do
    not find the very example that they were picked from."""
    places = {(entry.picked.file, entry.picked.page) for entry in mapping.symbols if entry.picked is not None}
    sheets = {(file, page): read_sheet(_beside(mapping, file), page, password) for file, page in sorted(places)}
    examples = gather_examples(mapping, sheets, NO_EXAMPLES, read=read_glyphs)
    astray: list[str] = []
    for (file, page), sheet in sheets.items():
        alone = picked_on(mapping, file, page)
        sheet = replace(sheet, regions=())  # an example may be picked from a legend, whose samples are no symbols
        found = spot(sheet, alone, prove_scales(sheet, mapping.drawing), examples, read_glyphs).symbols
        astray += not_found_again(alone, examples, found)
    return replace(examples, astray=tuple(astray), notes=(*examples.notes, *astray))


def legends_of(path: Path, page: int, mapping: Mapping, password: str | None = None) -> tuple[Learnt, ...]:
    """What the legend of a page shows of the mapping file's ``legend:`` entries.

    Raises UnreadableFile, LockedFile, UnreadablePage.
    """
    wanted = [entry for entry in mapping.symbols if entry.legend is not None]
    if not may_say(path, page, [entry.legend for entry in wanted if entry.legend is not None], password):
        return ()
    alone = replace(mapping, symbols=tuple(wanted))
    return gather_examples(alone, {}, NO_EXAMPLES, read_sheet(path, page, password), read_glyphs).learnt


def _beside(mapping: Mapping, file: str) -> Path:
    """A file named in the mapping file is looked for beside it."""
    return Path(mapping.file).parent / file


def understand(
    path: Path, page: int, mapping: Mapping, examples: Examples = NO_EXAMPLES, password: str | None = None
) -> Reading:
    """Read one page as far as it can be understood without an edition of the code.

    Raises UnreadableFile, LockedFile, UnreadablePage.
    """
    sheet = without_layers(read_sheet(path, page, password), mapping.drawing.ignore_layers)
    scales = prove_scales(sheet, mapping.drawing)
    drawn = gather_examples(mapping, {}, examples, sheet, read_glyphs)
    spotting = spot(sheet, mapping, scales, drawn, read_glyphs)
    panels = read_panels(sheet)
    schedule = schedule_for(sheet, path, password)
    plans = tuple(
        _plan(sheet, view, scale, mapping, spotting.symbols, schedule)
        for view, scale in zip(sheet.views, scales, strict=True)
    )
    standings = _standings(spotting.symbols, plans, scales)
    spotted, spotting = spotting, without_plants(spotting, standings, plans)
    if spotting is not spotted:
        standings = _standings(spotting.symbols, plans, scales)
    others = map(dict(spotting.against).get, (view.id for view in sheet.views))
    scales = tuple(weigh(*each) for each in zip(scales, repeat(sheet), sheet.views, plans, others, strict=False))
    outlets = _outlets(sheet, spotting.symbols, standings, plans)
    fixtures = _fixtures(spotting.symbols, standings)
    paths = tuple(
        path
        for view, plan, scale in zip(sheet.views, plans, scales, strict=True)
        for path in _paths(outlets, fixtures, plan, scale, read_dimensions(sheet, view, scale))
    )
    problems = tuple(
        problem
        for plan, scale in zip(plans, scales, strict=True)
        for problem in _problems(outlets, fixtures, plan, scale)
    ) + enlarged_parts(sheet, plans, scales, outlets)
    return Reading(
        sheet, scales, spotting, plans, outlets, fixtures, paths, panels, spotting.unexplained,
        reach_problems=problems, wiring=trace(sheet, spotting.symbols, outlets),
        revision_clouds=revision_clouds(sheet),
    )  # fmt: skip


def _plan(
    sheet: Sheet, view: View, scale: Scale, mapping: Mapping, symbols: tuple[Symbol, ...],
    schedule: tuple[ScheduledRoom, ...],
) -> FloorPlan:  # fmt: skip
    mine = tuple(s for s in symbols if s.view == view.id)
    return find_rooms(without_letters(sheet, mine), view, scale, mapping, mine, schedule)


def _standings(
    symbols: tuple[Symbol, ...], plans: tuple[FloorPlan, ...], scales: tuple[Scale, ...]
) -> dict[int, Standing]:
    """Where each outlet and fixture stands, by its index in ``symbols``."""
    placed: dict[int, Standing] = {}
    for plan, scale in zip(plans, scales, strict=True):
        here = [i for i, symbol in enumerate(symbols) if symbol.view == plan.view]
        placed.update(zip(here, stand(tuple(symbols[i] for i in here), plan, scale), strict=True))
    for i, symbol in enumerate(symbols):
        if i not in placed:
            placed[i] = Standing(symbol.at, None, None, 0.0, why=OUTSIDE_VIEWS)
    return placed


def _outlets(
    sheet: Sheet, symbols: tuple[Symbol, ...], standings: dict[int, Standing], plans: tuple[FloorPlan, ...]
) -> tuple[Outlet, ...]:
    """Outlets and the lights of crawl spaces, numbered in reading order: view by view, in rows of an inch from the
    top, then from the left.
    """
    order = {view.id: k for k, view in enumerate(sheet.views)}

    def light(symbol: Symbol, standing: Standing) -> bool:
        plan = next((plan for plan in plans if plan.view == symbol.view), None)
        view = next((view for view in sheet.views if view.id == symbol.view), None)
        return is_judged_light(symbol, standing, plan, view)

    row_height = 72.0  # pt: outlets within an inch of height read as one row
    chosen = sorted(
        (i for i, symbol in enumerate(symbols) if symbol.is_outlet or light(symbol, standings[i])),
        key=lambda i: (
            order.get(symbols[i].view or "", len(order)),
            symbols[i].at[1] // row_height,
            symbols[i].at,
        ),
    )
    prefix = sheet.number or f"p{sheet.page}"
    return tuple(Outlet(f"{prefix}.{k}", symbols[i], standings[i]) for k, i in enumerate(chosen, 1))


def _fixtures(symbols: tuple[Symbol, ...], standings: dict[int, Standing]) -> tuple[Fixture, ...]:
    chosen = [i for i, symbol in enumerate(symbols) if symbol.is_fixture]
    return tuple(Fixture(f"f{k}", symbols[i], standings[i].room) for k, i in enumerate(chosen, 1))


def _paths(
    outlets: tuple[Outlet, ...],
    fixtures: tuple[Fixture, ...],
    plan: FloorPlan,
    scale: Scale,
    dimensions: tuple[Dimension, ...],
) -> Iterator[CordPath]:
    """Paths as scaled, then as figured on the drawing, then in space."""
    if not scale.measurable:
        return
    here, bowls = _in_view(outlets, fixtures, plan)
    scaled = tuple(path for doors in DOOR_READINGS for path in cord_paths(here, bowls, plan, scale, doors))
    for found in (scaled, through_glass(here, bowls, plan, scale, scaled)):
        yield from in_space(figured(found, dimensions, here, bowls, scale), here, bowls)


def _problems(
    outlets: tuple[Outlet, ...], fixtures: tuple[Fixture, ...], plan: FloorPlan, scale: Scale
) -> tuple[tuple[str, str], ...]:
    """Outlets for which the lack of a cord path proves nothing."""
    here, bowls = _in_view(outlets, fixtures, plan)
    return reach_problems(here, plan, bowls, scale)


def _in_view(
    outlets: tuple[Outlet, ...], fixtures: tuple[Fixture, ...], plan: FloorPlan
) -> tuple[tuple[Outlet, ...], tuple[Fixture, ...]]:
    """Nothing is measured across views."""
    here = tuple(outlet for outlet in outlets if outlet.symbol.view == plan.view)
    return here, tuple(fixture for fixture in fixtures if fixture.symbol.view == plan.view)


def judge_file(
    file: str, readings: Readings, edition: Edition, elsewhere: tuple[Panel, ...] = ()
) -> tuple[SheetResult, ...]:
    """One edition over all pages of a file.  Panel schedules and general notes serve the whole file.

    ``elsewhere``: panels of other files, see :func:`cordpath.lending.panels_elsewhere`.
    """
    pages = {page: each for page, each in sorted(readings.items()) if isinstance(each, Reading)}
    panels = across_parts(tuple(panel for reading in pages.values() for panel in reading.panels))
    pages = spelt_out(pages, panels)
    read = tuple(pages.values())
    told = file_claims(read), keyed_notes(reading.sheet for reading in read)
    devices = devices_beside(pages, panels, elsewhere)
    results = tuple(
        _failed(file, page, reading)
        if isinstance(reading, CordpathError)
        else _judged(file, page, pages[page], panels, edition, elsewhere, told, devices.get(page, {}))
        for page, reading in sorted(readings.items())
    )
    return _with_unserved(drawn_twice(results), read, panels)


def _with_unserved(
    results: tuple[SheetResult, ...], read: tuple[Reading, ...], panels: tuple[Panel, ...]
) -> tuple[SheetResult, ...]:
    """The results, with what the schedules list and no outlet carries told once, on the first sheet."""
    outlets = tuple(outlet for reading in read for outlet in reading.outlets)
    remarks = unserved(outlets, panels, (item for reading in read for item in reading.unexplained))
    first = next((k for k, result in enumerate(results) if result.findings), None)
    if not remarks or first is None:
        return results
    told = replace(results[first], conflicts=(*results[first].conflicts, *remarks))
    return (*results[:first], told, *results[first + 1 :])


def _failed(file: str, page: int, error: CordpathError) -> SheetResult:
    why = f"{error.what}; {error.cure}" if error.cure else error.what
    return SheetResult(file, page, "failed", why)


def _judged(
    file: str, page: int, reading: Reading, panels: tuple[Panel, ...], edition: Edition,
    elsewhere: tuple[Panel, ...], told: tuple[tuple[Claim, ...], tuple[KeyedNote, ...]],
    others: dict[str, Protection],
) -> SheetResult:  # fmt: skip
    said = (*reading.sheet.assumptions, *reading.spotting.assumptions, *_plan_notes(reading))
    said = tuple(dict.fromkeys((*said, *edition_cautions(edition))))
    if not reading.outlets:
        return without_outlets(file, page, reading, said)
    blind = reading.spotting.blind
    reading, shown = protect(reading, panels, edition.policy, elsewhere, others)
    findings = by_keyed_notes(judge(reading, panels, shown, edition), told[1], reading.sheet)
    findings = claimed(findings, (*plan_claims(reading), *told[0]), edition.policy)
    against = conflicts(reading.outlets, panels, shown, reading.wiring, elsewhere)
    # Some outlets were found and judged, but those of a kind that no drawing shows would be missed.
    return SheetResult(file, page, "failed" if blind else "checked", blind, reading, findings, said, against)


def _plan_notes(reading: Reading) -> Iterator[str]:
    names = {view.id: view.title or view.id for view in reading.sheet.views}
    for plan in reading.plans:
        if plan.why:
            yield f"{names.get(plan.view, plan.view)}: {plan.why}"
        yield from plan.assumptions
    for panel in reading.panels:
        yield from (f"panel {panel.name}: {problem}" for problem in panel.problems)

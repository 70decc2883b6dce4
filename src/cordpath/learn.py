"""A starter mapping file for a new office's drawings: rows of its legends, fixtures, and shapes its plans repeat.

Pages are read in workers, twice: for the legends first, and then for the shapes that the legends do not explain.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from PIL import Image

from cordpath.batch import tasks
from cordpath.batch.child import Limits
from cordpath.batch.order import SHEET_MEMORY_MB, SHEET_SECONDS, find_sheets, not_there, shown_name
from cordpath.batch.progress import Progress, Silent
from cordpath.batch.workers import Workers, local_workers, map_calls
from cordpath.errors import CordpathError, OutputRefused, UsageRefused, unreadable
from cordpath.model import Drawing, Mapping, Scale, Sheet
from cordpath.report import Tile, contact_sheet, write_whole
from cordpath.scale import prove_scales
from cordpath.sheet import read_glyphs, read_sheet
from cordpath.symbols import spot
from cordpath.symbols.learning.samples import Sample, legend_samples, merged, plan_samples, resized
from cordpath.symbols.learning.sides import Contacts, contacts, wall_sides
from cordpath.symbols.learning.sizes import Size, plan_sizes, sizes_of
from cordpath.symbols.learning.starter import Entry, entries, shown, starter_text
from cordpath.symbols.mapping_file.entries import MOST_SYMBOLS
from cordpath.symbols.mapping_file.mapping import mapping_of

MAPPING, CONTACTS = "symbols.yaml", "contact-sheet.png"
USUAL = Limits(SHEET_SECONDS, SHEET_MEMORY_MB)
MOST_PAGES = 5000  # of a file: a page tree may claim any number
NOTHING = Mapping("", Drawing(), ())
Page = tuple[Path, int]
Taught = TypeVar("Taught")


@dataclass(frozen=True, eq=False)
class Lesson:
    """What was learnt.  ``notes``: what was not looked at or for; ``lost``: pages that could not be read."""

    text: str
    entries: tuple[Entry, ...]
    contacts: Image.Image
    notes: tuple[str, ...]
    lost: tuple[str, ...]


def learn(
    sheets: tuple[str, ...], out: Path, jobs: int, pages: frozenset[int] | None = None, password: str | None = None,
    limits: Limits = USUAL, told: Progress | None = None,
) -> Lesson:  # fmt: skip
    """Raises UsageRefused where no sheet is named, or where nothing on them can be learnt."""
    told = told or Silent()
    paths = find_sheets(sheets, out)
    with local_workers(jobs) as workers:
        wanted, notes, shut = _pages(workers, paths, pages, password, limits)
        calls = [(*page, password) for page in wanted]
        legends, lost = _gathered(workers, legend_page, calls, limits, told, "legends")
        rows = merged(tuple(row for legend in legends for row in legend))
        known = _mapping(entries(rows, ())[:MOST_SYMBOLS])
        again = [(*page, known, password) for page in wanted]
        plans, lost_again = _gathered(workers, plan_page, again, limits, told, "shapes")
    lost = tuple(dict.fromkeys((*shut, *lost, *lost_again)))
    shapes = merged(tuple(sample for plan in plans for sample in plan.shapes))
    rows = _as_on_the_plans(rows, tuple(each for plan in plans for each in plan.sizes))
    sides = wall_sides(tuple(each for plan in plans for each in plan.contacts))
    made = entries(rows, _frequent(shapes), sides)
    if len(made) > MOST_SYMBOLS:
        notes = (*notes, f"of {len(made)} symbols that are drawn the mapping file has the first {MOST_SYMBOLS}")
    made = made[:MOST_SYMBOLS]
    notes = tuple(dict.fromkeys((*notes, *(note for plan in plans for note in plan.notes))))
    try:
        text = starter_text(made)
    except ValueError:
        why = f" ({'; '.join((*lost, *notes)[:3])})" if lost or notes else ""
        raise UsageRefused(
            f"no legend, no fixture and no repeated shape was found on these sheets{why}",
            cure="name plan sheets, or write the mapping file by hand; configs/ has some to begin with",
        ) from None
    return Lesson(text, made, _contacts(made), notes, lost)


def refuse_what_is_there(out: Path) -> None:
    """Raises OutputRefused where one of the two files exists: before any sheet is read."""
    there = [target for target in (out / MAPPING, out / CONTACTS) if target.exists()]
    if there:
        raise OutputRefused(f"{there[0]} exists", cure="name another folder with --out, or add --force")


def write_lesson(lesson: Lesson, out: Path) -> tuple[Path, ...]:
    """The mapping file and the contact sheet.  Raises OutputRefused."""
    targets = (out / MAPPING, out / CONTACTS)
    write_whole(targets[0], lambda part: part.write_text(lesson.text, encoding="utf-8"))
    write_whole(targets[1], lambda part: lesson.contacts.save(part, "PNG"))
    return targets


# ------------------------------------------------------------------------------------------- in a worker


def legend_page(path: Path, page: int, password: str | None = None) -> tuple[Sample, ...] | CordpathError:
    """The rows of a page's legends."""
    try:
        return legend_samples(read_sheet(path, page, password), read_glyphs)
    except Exception as error:
        return unreadable(error)


@dataclass(frozen=True, eq=False)
class PlanPage:
    """What the plans of a page teach: shapes and fixtures that nothing names, and where symbols touch walls.

    ``sizes``: of the symbols that the legends name.  ``notes``: what was not looked for.
    """

    shapes: tuple[Sample, ...]
    contacts: tuple[Contacts, ...]
    notes: tuple[str, ...] = ()
    sizes: tuple[Size, ...] = ()


def plan_page(path: Path, page: int, known: Mapping, password: str | None = None) -> PlanPage | CordpathError:
    """The shapes that a page repeats and the fixtures that it draws and ``known`` does not name."""
    try:
        sheet = read_sheet(path, page, password)
        scales = prove_scales(sheet, known.drawing)
        spotting = spot(sheet, known, scales, read=read_glyphs)
        shapes, notes = plan_samples(sheet, spotting, scales)
        said = (*notes, *_without_scale(sheet, scales))
        told = tuple(f"{shown_name(path)} page {page}: {each}" for each in said)
        return PlanPage(shapes, contacts(sheet, spotting, known), told, sizes_of(spotting))
    except Exception as error:
        return unreadable(error)


def _without_scale(sheet: Sheet, scales: tuple[Scale, ...]) -> Iterator[str]:
    for view, scale in zip(sheet.views, scales, strict=True):
        if not scale.measurable:
            yield f"{view.title or view.id} has no sure scale: no fixture is proposed from it"


# ------------------------------------------------------------------------------------------ put together


def _pages(
    workers: Workers, paths: tuple[Path, ...], asked: frozenset[int] | None, password: str | None, limits: Limits
) -> tuple[list[Page], tuple[str, ...], tuple[str, ...]]:
    """The pages to look at, what is said about them, and the files that could not be opened."""
    counts = list(map_calls(workers, tasks.count_pages, [(path, password) for path in paths], limits))
    wanted: list[Page] = []
    notes: list[str] = []
    shut = []
    for path, count in zip(paths, counts, strict=True):
        if isinstance(count, CordpathError):
            shut.append(_lost(path, count))
        else:
            there = (
                sorted(page for page in asked if page <= count) if asked else range(1, min(count, MOST_PAGES) + 1)
            )
            wanted += [(path, page) for page in there]
            notes += not_there(path, count, asked or ())
            if asked is None and count > MOST_PAGES:
                notes.append(
                    f"{shown_name(path)} has {count} pages: only the first {MOST_PAGES} were looked at; "
                    "name others with --pages"
                )
    return wanted, tuple(notes), tuple(shut)


def _lost(path: Path, error: CordpathError, page: int | None = None) -> str:
    """The file once, whether or not the error names it too."""
    place = shown_name(path) if page is None else f"{shown_name(path)} page {page}"
    named = error.where in ("", str(path), path.name)
    return f"{place}: {type(error)(error.what, cure=error.cure) if named else error}"


def _gathered(
    workers: Workers,
    task: Callable[..., Taught | CordpathError],
    calls: list[tuple[Any, ...]],
    limits: Limits,
    told: Progress,
    stage: str,
) -> tuple[tuple[Taught, ...], tuple[str, ...]]:
    """What the task taught of each page, and the pages that could not be read.  Calls begin with file and page."""
    found: list[Taught] = []
    notes = []
    told.begin(stage, len(calls))
    for call, done in zip(calls, map_calls(workers, task, calls, limits), strict=True):
        told.step(stage, call[0].name, call[1], str(done) if isinstance(done, CordpathError) else "")
        if isinstance(done, CordpathError):
            notes.append(_lost(call[0], done, call[1]))
        else:
            found.append(done)
    return tuple(found), tuple(notes)


def _as_on_the_plans(rows: tuple[Sample, ...], sizes: tuple[Size, ...]) -> tuple[Sample, ...]:
    """The rows of the legends, each sign in the size in which the plans draw it."""
    names = [entry.name for entry in entries(rows, ())]
    told = plan_sizes(sizes, names)
    return tuple(resized(row, told[name]) if name in told else row for row, name in zip(rows, names, strict=True))


def _mapping(made: tuple[Entry, ...]) -> Mapping:
    """The entries by their shapes, in whatever pen."""
    try:
        text = starter_text(tuple(replace(entry, by_row=False) for entry in made))
    except ValueError:
        return NOTHING
    return mapping_of(text.encode("utf-8"), MAPPING)


def _frequent(shapes: tuple[Sample, ...]) -> tuple[Sample, ...]:
    return tuple(sorted(shapes, key=lambda shape: (-shape.times, shape.file, shape.page, shape.at)))


def _contacts(made: tuple[Entry, ...]) -> Image.Image:
    parts = (
        (
            "Rows of the legends: symbol as learnt, as drawn, and what is guessed",
            [e for e in made if e.sample.text],
        ),
        ("Fixtures and appliances, as proposed: to be confirmed", [e for e in made if e.sample.fixture]),
        (
            "Shapes that the plans repeat: to be named",
            [e for e in made if not e.sample.text and not e.sample.fixture],
        ),
    )
    return contact_sheet(tuple((heading, tuple(map(_tile, part))) for heading, part in parts if part))


def _tile(entry: Entry) -> Tile:
    return Tile(entry.sample.marks, tuple(_lines(entry)), entry.sample.around)


def _lines(entry: Entry) -> Iterator[str]:
    yield entry.name
    yield f"left out: {entry.refused}" if entry.refused else f"kind: {entry.kind}"
    if entry.proposed:
        yield "proposed: true"
    if entry.wall_side is not None:
        yield f"wall_side: [{entry.wall_side[0]:g}, {entry.wall_side[1]:g}]"
    yield from (f"{key}: {shown(value)}" for key, value in entry.guess.facts)
    yield from (remark for remark in entry.remarks if remark != entry.refused)

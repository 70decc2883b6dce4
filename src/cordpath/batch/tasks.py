"""What a worker process does: plain functions of plain arguments, so that they run in this process, in a pool of
spawned processes, or on any other scheduler.  Only workers open PDFs; a worker writes no output of its own accord.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path

from cordpath.batch.bare import lendable, without_ink
from cordpath.batch.keep import Stored, content_digest, put_by, take_up, taken_out
from cordpath.check import judge_file, legends_of, propose, understand
from cordpath.errors import CordpathError, unreadable
from cordpath.model import Box, Learnt, Mapping, Panel, Proposal, Reading, Run, SheetResult
from cordpath.report import (
    Seal,
    finding_pictures,
    read_seals,
    schedule_beside,
    sheet_pictures,
    show,
    write_marked,
    write_xfdf,
)
from cordpath.rules import Edition
from cordpath.sheet import needs_password, page_count
from cordpath.symbols import Examples


@dataclass(frozen=True)
class PageTask:
    """One sheet to read.  ``kept``: where its reading goes, None to keep it in memory; ``resume``: take up what
    lies there from an earlier run.
    """

    path: Path
    page: int
    mapping: Mapping
    examples: Examples
    password: str | None = field(default=None, repr=False)
    kept: Path | None = None
    resume: bool = False


@dataclass(frozen=True, eq=False)
class PageDone:
    """What came of it: a reading put by or the error, never an exception, and the seconds of processor time.

    ``bare``: as much of the reading as the choice of panel schedules hangs on; ``fresh`` False: it was taken up
    from an earlier run; ``problem``: why it could not be kept on the disk.
    """

    outcome: Stored | CordpathError
    seconds: float
    bare: Reading | None = None
    fresh: bool = True
    problem: str | None = None


def count_pages(path: Path, password: str | None = None) -> int | CordpathError:
    """Pages of a PDF, or why it cannot be opened."""
    try:
        return page_count(path, password)
    except Exception as error:
        return unreadable(error)


@dataclass(frozen=True)
class Opened:
    """A PDF that can be opened.  ``content``: fingerprint of its bytes."""

    pages: int
    content: str | None


def open_file(path: Path, password: str | None = None) -> Opened | CordpathError:
    """How many pages a PDF has and what is in it, or why it cannot be opened."""
    try:
        return Opened(page_count(path, password), content_digest(path))
    except Exception as error:
        return unreadable(error)


def read_legends(
    path: Path, page: int, mapping: Mapping, password: str | None = None
) -> tuple[Learnt, ...] | CordpathError:
    """What a page's legend shows of the mapping file's ``legend:`` entries."""
    try:
        return legends_of(path, page, mapping, password)
    except Exception as error:
        return unreadable(error)


def read_page(task: PageTask) -> PageDone:
    """Readings of files that a password locks are never written to the disk, where anybody could open them."""
    began = time.process_time()
    try:
        locked = task.password is not None and needs_password(task.path)
        kept = None if locked else task.kept
        if task.resume and kept is not None and (reading := take_up(kept)) is not None:
            return PageDone(Stored(kept), time.process_time() - began, lendable(reading), fresh=False)
        reading = without_ink(understand(task.path, task.page, task.mapping, task.examples, task.password))
        stored, problem = put_by(reading, kept)
        return PageDone(stored, time.process_time() - began, lendable(reading), problem=problem)
    except Exception as error:
        return PageDone(unreadable(error), time.process_time() - began)


def show_page(task: PageTask, dpi: float, crop: Box | None) -> bytes | CordpathError:
    """PNG of what was understood of a page."""
    try:
        reading = understand(task.path, task.page, task.mapping, task.examples, task.password)
        out = BytesIO()
        show(reading, dpi=dpi, crop=crop).save(out, "PNG")
        return out.getvalue()
    except Exception as error:
        return unreadable(error)


def judge_pages(
    file: str, pages: dict[int, Stored | CordpathError], editions: tuple[Edition, ...], elsewhere: tuple[Panel, ...]
) -> tuple[tuple[SheetResult, ...], ...] | CordpathError:
    """All pages of a file under each of the editions; ``elsewhere``: panel schedules of other files."""
    try:
        readings = {page: taken_out(each) if isinstance(each, Stored) else each for page, each in pages.items()}
        return tuple(judge_file(file, readings, edition, elsewhere) for edition in editions)
    except Exception as error:
        return unreadable(error)


def propose_for(results: tuple[SheetResult, ...]) -> Proposal | CordpathError | None:
    """The fewest devices and breakers for one set of sheets."""
    try:
        return propose(results)
    except Exception as error:
        return unreadable(error)


@dataclass(frozen=True)
class Marked:
    """A marked copy that was written: notes for the user, and a PNG of each checked sheet by (file, page).

    ``beside``: more files that were written with it: a schedule that it must not hold, its marks as XFDF.
    """

    notes: tuple[str, ...]
    pictures: dict[tuple[str, int], bytes]
    seals: tuple[Seal, ...] = ()
    beside: tuple[Path, ...] = ()
    crops: dict[tuple[str, int, str], bytes] = field(default_factory=dict)


def mark_file(
    source: Path, target: Path, results: tuple[SheetResult, ...], run: Run, password: str | None = None,
    keep_clear: tuple[Box, ...] = (), xfdf: bool = False,
) -> Marked | CordpathError:  # fmt: skip
    """Write the marked copy of ``source`` to ``target``, a name that the caller chose, and its XFDF beside it."""
    try:
        notes = write_marked(source, target, results, run, password, keep_clear)
        schedule = schedule_beside(source, target, results, run, password)
        sidecar = _sidecar(source, target, password) if xfdf else None
        return Marked(
            notes,
            sheet_pictures(target, results, password),
            read_seals(source, password),
            tuple(each for each in (schedule, sidecar) if each is not None),
            finding_pictures(target, results, password),
        )
    except Exception as error:
        return unreadable(error)


def _sidecar(source: Path, target: Path, password: str | None) -> Path:
    sidecar = target.with_suffix(".xfdf")
    write_xfdf(target, sidecar, source.name, password)
    return sidecar

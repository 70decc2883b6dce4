"""What a worker process does: plain functions of plain arguments, so that they run in this process, in a pool of
spawned processes, or on any other scheduler.  Only workers open PDFs; a worker writes no output of its own accord.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, field
from pathlib import Path

from cordpath.check import legends_of, understand, unreadable, without_ink
from cordpath.errors import CordpathError
from cordpath.model import Box, Learnt, Mapping, Reading, Run, SheetResult
from cordpath.report import Seal, finding_pictures, read_seals, sheet_pictures, write_marked, write_xfdf
from cordpath.sheet import page_count
from cordpath.symbols import Examples


@dataclass(frozen=True)
class PageTask:
    """One sheet to read."""

    path: Path
    page: int
    mapping: Mapping
    examples: Examples
    password: str | None = field(default=None, repr=False)


@dataclass(frozen=True, eq=False)
class PageDone:
    """What came of it: a reading or the error, never an exception, and the seconds of processor time it took."""

    outcome: Reading | CordpathError
    seconds: float


def count_pages(path: Path, password: str | None = None) -> int | CordpathError:
    """Pages of a PDF, or why it cannot be opened."""
    try:
        return page_count(path, password)
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
    began = time.process_time()
    outcome: Reading | CordpathError
    try:
        outcome = without_ink(understand(task.path, task.page, task.mapping, task.examples, task.password))
    except Exception as error:
        outcome = unreadable(error)
    return PageDone(outcome, time.process_time() - began)


@dataclass(frozen=True)
class Marked:
    """A marked copy that was written: notes for the user, and a PNG of each checked sheet by (file, page)."""

    notes: tuple[str, ...]
    pictures: dict[tuple[str, int], bytes]
    seals: tuple[Seal, ...] = ()
    sidecar: Path | None = None
    crops: dict[tuple[str, int, str], bytes] = field(default_factory=dict)


def mark_file(
    source: Path, target: Path, results: tuple[SheetResult, ...], run: Run, password: str | None = None,
    keep_clear: tuple[Box, ...] = (), xfdf: bool = False,
) -> Marked | CordpathError:  # fmt: skip
    """Write the marked copy of ``source`` to ``target``, a name that the caller chose, and its XFDF beside it."""
    try:
        return Marked(
            write_marked(source, target, results, run, password, keep_clear),
            sheet_pictures(target, results, password),
            read_seals(source, password),
            _sidecar(source, target, password) if xfdf else None,
            finding_pictures(target, results, password),
        )
    except Exception as error:
        return unreadable(error)


def _sidecar(source: Path, target: Path, password: str | None) -> Path:
    sidecar = target.with_suffix(".xfdf")
    write_xfdf(target, sidecar, source.name, password)
    return sidecar

"""Many sheets: worker processes, deadlines, progress; owns every output.

The parent opens no untrusted PDF.  A worker that dies, hangs or runs out of time is the failure of its own sheet;
the rest of the batch goes on.  With one job the same task functions run in this process, one after the other.
"""

from __future__ import annotations

import glob
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import TimeoutError as DeadlinePassed
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Protocol, TypeVar

from pebble import ProcessExpired, ProcessPool

from cordpath import report, tasks
from cordpath.check import judge_file, unreadable
from cordpath.errors import CordpathError, OutputRefused, UnreadableFile, UnreadablePage, UsageRefused
from cordpath.model import Box, Mapping, Reading, Run, SheetResult
from cordpath.rules import Edition
from cordpath.symbols import Examples

T = TypeVar("T")

SHEET_SECONDS = 600.0  # a large sheet takes seconds; ten minutes means that it will not come back
OPENING_SECONDS = 60.0  # counting pages reads a file's index only
MARKING_SECONDS = 600.0
RESULTS = "results.json"


@dataclass(frozen=True)
class Order:
    """What was asked for."""

    sheets: tuple[str, ...]
    mapping: Mapping
    examples: Examples
    edition: Edition
    run: Run
    out: Path
    jobs: int
    pages: frozenset[int] | None = None
    force: bool = False
    sheet_seconds: float = SHEET_SECONDS


@dataclass(frozen=True, eq=False)
class Outcome:
    """What came of a batch.  ``notes``: for the user; ``seconds``: processor time of reading, by file and page."""

    results: tuple[SheetResult, ...]
    written: tuple[Path, ...]
    notes: tuple[str, ...]
    seconds: dict[tuple[str, int], float]

    @property
    def status(self) -> int:
        """Exit status: 3 a sheet failed, 1 something missing or unresolved, 0 nothing."""
        if any(result.status == "failed" for result in self.results):
            return 3
        verdicts = {finding.verdict for result in self.results for finding in result.findings}
        return 1 if verdicts & {"missing", "unresolved"} else 0


class Progress(Protocol):
    """Where the batch tells how far it is."""

    def begin(self, what: str, total: int) -> None: ...
    def step(self, name: str) -> None: ...


class Silent:
    """No progress shown."""

    def begin(self, what: str, total: int) -> None:
        pass

    def step(self, name: str) -> None:
        pass


def pages_wanted(text: str) -> frozenset[int]:
    """``1,3-5`` as a set of page numbers; raises UsageRefused."""
    wanted: set[int] = set()
    for part in text.split(","):
        first, dash, last = part.strip().partition("-")
        if not first.isdigit() or (dash and not last.isdigit()) or len(part) > 12:
            raise UsageRefused(f"--pages {text!r} is no list of pages", cure="write it like 1,3-5")
        low, high = int(first), int(last) if dash else int(first)
        if not 1 <= low <= high <= 100_000:
            raise UsageRefused(
                f"--pages {part.strip()!r} runs backwards or is out of range", cure="pages count from 1"
            )
        wanted.update(range(low, high + 1))
    return frozenset(wanted)


def box_wanted(text: str | None) -> Box | None:
    """``100,200,400,500`` as a box in points; raises UsageRefused."""
    if text is None:
        return None
    try:
        x0, y0, x1, y1 = (float(part) for part in text.split(","))
    except ValueError:
        raise UsageRefused(f"--box {text!r} is no box", cure="write it like 100,200,400,500") from None
    if not (x0 < x1 and y0 < y1):
        raise UsageRefused(f"--box {text!r} is empty", cure="the first corner is the upper left one")
    return (x0, y0, x1, y1)


def find_sheets(named: Iterable[str], out: Path) -> tuple[Path, ...]:
    """The PDF files that were named: files, folders (searched for ``*.pdf``) and patterns, each once, sorted.

    Files under ``out`` are outputs of an earlier run and are left out unless named one by one.
    Raises UsageRefused where a name fits nothing.
    """
    found: dict[Path, None] = {}
    for name in named:
        for path in _files_of(name, out.resolve()):
            found.setdefault(path, None)
    return tuple(sorted(found, key=lambda path: str(path)))


def _files_of(name: str, out: Path) -> list[Path]:
    path = Path(name)
    if path.is_file():
        return [path]
    if path.is_dir():
        candidates = [p for p in path.rglob("*") if p.suffix.lower() == ".pdf" and p.is_file()]
    else:
        candidates = [Path(p) for p in glob.glob(name, recursive=True)]  # noqa: PTH207 (may be absolute)
        candidates = [p for p in candidates if p.suffix.lower() == ".pdf" and p.is_file()]
    kept = [p for p in candidates if not p.resolve().is_relative_to(out) and not p.name.endswith(".marked.pdf")]
    if not kept:
        raise UsageRefused(f"no PDF file found for {name!r}", cure="name a PDF file, a folder, or a pattern")
    return kept


def run_batch(order: Order, progress: Progress | None = None) -> Outcome:
    """Read, judge and report every sheet of the order.  Raises UsageRefused or OutputRefused before any reading."""
    progress = progress or Silent()
    paths = find_sheets(order.sheets, order.out)
    targets = _targets(paths, order)
    with _workers(order.jobs) as workers:
        pages = _pages(paths, workers, order, progress)
        readings, seconds = _readings(pages, workers, order, progress)
        by_file = {path: judge_file(str(path), readings[path], order.edition) for path in paths}
        results = tuple(result for path in paths for result in by_file[path])
        written, marked = _marked_copies(by_file, targets, workers, order, progress)
    written += _write_tables(results, marked.pictures, order)
    return Outcome(results, tuple(written), marked.notes, seconds)


def _targets(paths: tuple[Path, ...], order: Order) -> dict[Path, Path]:
    """Where each marked copy goes; equal stems get a running number.  Refuses to spoil inputs or strange files."""
    taken: dict[str, int] = {}
    targets: dict[Path, Path] = {}
    for path in paths:
        count = taken[path.stem] = taken.get(path.stem, 0) + 1
        targets[path] = order.out / (f"{path.stem}.marked.pdf" if count == 1 else f"{path.stem}-{count}.marked.pdf")
    if order.out.exists() and not order.out.is_dir():
        raise OutputRefused(f"{order.out} is a file", cure="name another folder with --out")
    inputs = {path.resolve() for path in paths}
    clash = [target for target in targets.values() if target.resolve() in inputs]
    if clash:
        raise OutputRefused(f"{clash[0]} is an input", cure="name another folder with --out")
    strange = [target for target in (*targets.values(), order.out / RESULTS) if target.exists()]
    if strange and not order.force and not _is_ours(order.out):
        raise OutputRefused(
            f"{strange[0]} exists and is not from an earlier run of cordpath",
            cure="name another folder with --out, or add --force to write over it",
        )
    return targets


def _is_ours(out: Path) -> bool:
    try:
        with (out / RESULTS).open("rb") as file:
            return b"cordpath-results/" in file.read(200)
    except OSError:
        return False


# ------------------------------------------------------------------------------------------------ workers


class Workers(Protocol):
    def map(
        self, function: Callable[..., T], calls: list[tuple[Any, ...]], seconds: float
    ) -> Iterator[T | CordpathError]:
        """Results in the order of the calls; a call that is lost gives the error that says why."""
        ...


class Here:
    """The serial twin: no process, no deadline."""

    def map(
        self, function: Callable[..., T], calls: list[tuple[Any, ...]], seconds: float
    ) -> Iterator[T | CordpathError]:
        for call in calls:
            yield function(*call)


class Pool:
    """Spawned processes (a PDF opened before a fork gives wrong data), each task with a deadline."""

    def __init__(self, pool: ProcessPool) -> None:
        self._pool = pool

    def map(
        self, function: Callable[..., T], calls: list[tuple[Any, ...]], seconds: float
    ) -> Iterator[T | CordpathError]:
        futures = [self._pool.schedule(function, args=call, timeout=seconds) for call in calls]
        for future in futures:
            try:
                yield future.result()
            except DeadlinePassed:
                yield UnreadablePage(
                    f"not done within {seconds:g} s", cure="raise --sheet-timeout, or split the sheet"
                )
            except ProcessExpired as error:
                yield UnreadablePage(
                    f"the worker process died (exit code {error.exitcode})",
                    cure="the page content may be damaged; print it to a new PDF and try again",
                )
            except Exception as error:
                yield unreadable(error)


@contextmanager
def _workers(jobs: int) -> Iterator[Workers]:
    if jobs == 1:
        yield Here()
        return
    pool = ProcessPool(max_workers=jobs, context=get_context("spawn"))
    try:
        yield Pool(pool)
        pool.close()
    except BaseException:
        pool.stop()
        raise
    finally:
        pool.join()


# ------------------------------------------------------------------------------------------------- stages


def _pages(
    paths: tuple[Path, ...], workers: Workers, order: Order, progress: Progress
) -> dict[Path, tuple[int, ...] | CordpathError]:
    """Page numbers to check in each file."""
    progress.begin("opening", len(paths))
    pages: dict[Path, tuple[int, ...] | CordpathError] = {}
    for path, count in zip(
        paths, workers.map(tasks.count_pages, [(p,) for p in paths], OPENING_SECONDS), strict=True
    ):
        progress.step(path.name)
        if isinstance(count, CordpathError):
            pages[path] = count
            continue
        chosen = tuple(n for n in range(1, count + 1) if order.pages is None or n in order.pages)
        pages[path] = chosen or UnreadableFile(f"it has {count} pages, none of those asked for", cure="see --pages")
    return pages


def _readings(
    pages: dict[Path, tuple[int, ...] | CordpathError], workers: Workers, order: Order, progress: Progress
) -> tuple[dict[Path, dict[int, Reading | CordpathError]], dict[tuple[str, int], float]]:
    readings: dict[Path, dict[int, Reading | CordpathError]] = {path: {} for path in pages}
    seconds: dict[tuple[str, int], float] = {}
    calls: list[tuple[tasks.PageTask]] = []
    for path, chosen in pages.items():
        if isinstance(chosen, CordpathError):
            readings[path][1] = chosen
        else:
            calls += [(tasks.PageTask(path, page, order.mapping, order.examples),) for page in chosen]
    progress.begin("reading", len(calls))
    for (task,), done in zip(calls, workers.map(tasks.read_page, calls, order.sheet_seconds), strict=True):
        progress.step(f"{task.path.name} page {task.page}")
        readings[task.path][task.page] = done if isinstance(done, CordpathError) else done.outcome
        seconds[str(task.path), task.page] = 0.0 if isinstance(done, CordpathError) else done.seconds
    return readings, seconds


def _marked_copies(
    by_file: dict[Path, tuple[SheetResult, ...]],
    targets: dict[Path, Path],
    workers: Workers,
    order: Order,
    progress: Progress,
) -> tuple[list[Path], tasks.Marked]:
    """Marked copies of all files of which at least one sheet was checked; notes and pictures of all of them."""
    marked = [path for path, results in by_file.items() if any(result.status == "checked" for result in results)]
    calls = [(path, targets[path], by_file[path], order.run) for path in marked]
    progress.begin("marking", len(calls))
    written: list[Path] = []
    notes: list[str] = []
    pictures: dict[tuple[str, int], bytes] = {}
    for path, done in zip(marked, workers.map(tasks.mark_file, calls, MARKING_SECONDS), strict=True):
        progress.step(path.name)
        if isinstance(done, CordpathError):
            notes.append(f"{path}: no marked copy: {done}")
            continue
        written.append(targets[path])
        notes += [f"{path}: {note}" for note in done.notes]
        pictures.update(done.pictures)
    return written, tasks.Marked(tuple(notes), pictures)


def _write_tables(
    results: tuple[SheetResult, ...], pictures: dict[tuple[str, int], bytes], order: Order
) -> list[Path]:
    out, run = order.out, order.run
    report.write_results(out / RESULTS, report.results_document(results, run))
    report.write_schedule_csv(out / "schedule.csv", results, run)
    report.write_schedule_xlsx(out / "schedule.xlsx", results, run)
    report.write_html(out / "report.html", results, run, pictures)
    return [out / RESULTS, out / "schedule.csv", out / "schedule.xlsx", out / "report.html"]

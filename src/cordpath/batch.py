"""Many sheets: the tasks that an order takes, and every output.

The parent opens no untrusted PDF.  Every task runs in a worker (``workers.py``); what a worker loses is the failure
of its own sheet, and the rest of the batch goes on.  A file is judged and marked as soon as its pages are read, so
that a batch that is stopped has everything for what was done.
"""

from __future__ import annotations

import signal
import threading
from collections import Counter, deque
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, wait
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import Any

from cordpath import report, tasks
from cordpath.check import (
    Lending,
    examples_from_files,
    judge_file,
    lending,
    panels_elsewhere,
    proposals,
    unreadable,
    wants_panels,
)
from cordpath.cluster import cluster_workers
from cordpath.decisions import Unused, blank, lay, told_of_unused
from cordpath.errors import CordpathError, UnreadableFile
from cordpath.keep import Readings, locked
from cordpath.model import Learnt, Mapping, Panel, Proposal, Reading, SheetResult
from cordpath.order import (
    RESULTS,
    SHEET_MEMORY_MB,
    SHEET_SECONDS,
    STOPPED,
    Order,
    Outcome,
    box_wanted,
    copy_targets,
    find_sheets,
    pages_wanted,
    shown_name,
)
from cordpath.progress import Progress, Silent
from cordpath.rooms import told_of_unmet
from cordpath.symbols import NO_EXAMPLES, Examples
from cordpath.workers import Limits, Workers, local_workers, map_calls, outcome, stopped

__all__ = [
    "SHEET_MEMORY_MB", "SHEET_SECONDS", "STOPPED", "Order", "Outcome", "box_wanted", "find_sheets", "pages_wanted",
    "picked_examples", "run_batch", "stop_on_interrupt",
]  # fmt: skip

OPENING_SECONDS = 60.0  # counting pages reads a file's index only
MARKING_SECONDS = 600.0
MOST_PAGES = 5000  # of a file without --pages: a page tree may claim any number
LOOK_SECONDS = 0.2  # between looks whether the user wants to stop


def picked_examples(mapping: Mapping) -> Examples:
    """The strokes of the mapping file's ``picked:`` entries; their PDFs are opened in a worker.

    Raises CordpathError where one cannot be read.
    """
    if not any(entry.picked for entry in mapping.symbols):
        return NO_EXAMPLES
    with local_workers(1) as workers:
        limits = Limits(SHEET_SECONDS, SHEET_MEMORY_MB)
        (examples,) = map_calls(workers, examples_from_files, [(mapping,)], limits)
    if isinstance(examples, CordpathError):
        raise examples
    return examples


def examples_for(mapping: Mapping, path: Path) -> Examples:
    """The ``picked:`` entries, and what the legends on all pages of one file show.  Raises CordpathError."""
    examples = picked_examples(mapping)
    if not any(entry.legend for entry in mapping.symbols):
        return examples
    with local_workers(1) as workers:
        (count,) = map_calls(workers, tasks.count_pages, [(path,)], Limits(OPENING_SECONDS, SHEET_MEMORY_MB))
        if isinstance(count, CordpathError):
            raise count
        calls = [(path, page, mapping) for page in range(1, min(count, MOST_PAGES) + 1)]
        rows = list(map_calls(workers, tasks.read_legends, calls, Limits(SHEET_SECONDS, SHEET_MEMORY_MB)))
    read = [row for row in rows if not isinstance(row, CordpathError)]
    return replace(examples, legends=tuple(one for row in read for one in row))


def run_batch(order: Order, progress: Progress | None = None, stop: threading.Event | None = None) -> Outcome:
    """Read, judge and report every sheet of the order.  Raises UsageRefused or OutputRefused before any reading.

    Once ``stop`` is set, no task is begun any more, those under way are given up, and what is done is reported.
    """
    stop = stop or threading.Event()
    paths = find_sheets(order.sheets, order.out)
    targets = copy_targets(paths, order)
    with locked(order.out), workers_of(order) as workers:
        register = report.load_register(order.out / report.REGISTER)
        work = Work(order, workers, progress or Silent(), stop, targets)
        results = work.done(paths)
        proposed = proposals(results)
        written = [*work.written, *_write_tables(results, proposed, work, order)]
        if not stop.is_set():  # a letter numbers its comments for good, and what was stopped is none
            written += _write_letter(results, order, register)
            work.kept.forget_others()
    notes = (*work.notes, work.kept.problem) if work.kept.problem else tuple(work.notes)
    return Outcome(
        results, tuple(written), notes, work.seconds, stop.is_set(), work.unmarked, proposed, work.resumed
    )


def workers_of(order: Order) -> AbstractContextManager[Workers]:
    return cluster_workers(order.cluster) if order.cluster else local_workers(order.jobs)


@contextmanager
def stop_on_interrupt(say: Callable[[], None]) -> Iterator[threading.Event]:
    """An event that the first Ctrl-C sets, after ``say()``; the second one is a KeyboardInterrupt as usual."""
    stop = threading.Event()

    def heard(number: int, frame: object) -> None:
        if stop.is_set():
            raise KeyboardInterrupt
        stop.set()
        say()

    if threading.current_thread() is not threading.main_thread():
        yield stop
        return
    before = signal.signal(signal.SIGINT, heard)
    try:
        yield stop
    finally:
        signal.signal(signal.SIGINT, before)


# --------------------------------------------------------------------------------------------------- tasks


@dataclass(frozen=True)
class _Job:
    """A task, and what to do with its outcome."""

    function: Callable[..., Any]
    call: tuple[Any, ...]
    limits: Limits
    then: Callable[[Any], None]


@dataclass
class Work:
    """The state of a batch that is under way."""

    order: Order
    workers: Workers
    progress: Progress
    stop: threading.Event
    targets: dict[Path, Path]
    queue: deque[_Job] = field(default_factory=deque)
    readings: dict[Path, dict[int, Reading | CordpathError]] = field(default_factory=dict)
    results: dict[Path, tuple[SheetResult, ...]] = field(default_factory=dict)
    copies: dict[Path, tasks.Marked] = field(default_factory=dict)
    seconds: dict[tuple[str, int], float] = field(default_factory=dict)
    problems: dict[Path, str] = field(default_factory=dict)
    unused: dict[Path, Unused] = field(default_factory=dict)
    lent: dict[Path, dict[Path, Lending]] = field(default_factory=dict)  # by folder, then by file
    waiting: dict[Path, list[Path]] = field(default_factory=dict)  # by folder: files that need panels of others
    resumed: int = 0

    def __post_init__(self) -> None:
        self.folders = Counter(path.parent for path in self.targets)
        self.examples = self.order.examples
        self.kept = Readings(self.order.out, self.order.mapping, self.examples, self.order.resume)

    def done(self, paths: tuple[Path, ...]) -> tuple[SheetResult, ...]:
        """All results, in the order of ``paths``."""
        pages: dict[Path, int | CordpathError] = {}
        self.progress.begin("opening", len(paths))
        for path in paths:
            call = (self._seen(path), self.order.password)
            self._add(tasks.count_pages, call, OPENING_SECONDS, partial(self._opened, path, pages))
        self._pump()
        wanted = {path: self._pages(pages[path]) for path in paths}
        self._learn(wanted)
        self.progress.begin("reading", sum(len(each) for each in wanted.values()))
        self.progress.begin("marking", len(paths))
        for path, each in wanted.items():
            self._read(path, each)
        self._pump()
        return tuple(result for path in paths for result in self.results[path])

    def _learn(self, wanted: dict[Path, dict[int, CordpathError | None]]) -> None:
        """A first pass for the rows of legends, which serve all sheets of the batch."""
        if any(entry.legend for entry in self.order.mapping.symbols):
            found: dict[tuple[Path, int], tuple[Learnt, ...]] = {}

            def keep(place: tuple[Path, int], done: tuple[Learnt, ...] | CordpathError) -> None:
                found[place] = () if isinstance(done, CordpathError) else done  # reading the sheet tells the error

            for path, each in wanted.items():
                for page, error in each.items():
                    if error is None:
                        call = (self._seen(path), page, self.order.mapping, self.order.password)
                        self._add(tasks.read_legends, call, self.order.sheet_seconds, partial(keep, (path, page)))
            self._pump()
            legends = tuple(one for place in sorted(found) for one in found[place])
            self.examples = replace(self.order.examples, legends=legends)
        self.kept = Readings(self.order.out, self.order.mapping, self.examples, self.order.resume)

    @property
    def lost_symbols(self) -> list[str]:
        """``legend:`` entries that no legend of the batch shows."""
        shown = {one.name for one in self.examples.legends}
        lost = [e.name for e in self.order.mapping.symbols if e.legend is not None and e.name not in shown]
        return [f"no legend of these sheets shows: {', '.join(lost)}; nothing was looked for under these names"
                ] if lost else []  # fmt: skip

    @property
    def written(self) -> list[Path]:
        copies = [(target, self.copies[path]) for path, target in self.targets.items() if path in self.copies]
        sidecars = [target.with_suffix(".xfdf") for target, copy in copies if copy.sidecar]
        return [*(target for target, _ in copies), *sidecars]

    @property
    def crops(self) -> dict[tuple[str, int, str], bytes]:
        return {key: data for path in self.targets if path in self.copies
                for key, data in self.copies[path].crops.items()}  # fmt: skip

    @property
    def seals(self) -> dict[str, tuple[report.Seal, ...]]:
        """Who signed, by file."""
        signed = [path for path in self.targets if path in self.copies and self.copies[path].seals]
        return {shown_name(path): self.copies[path].seals for path in signed}

    @property
    def pictures(self) -> dict[tuple[str, int], bytes]:
        return {key: data for path in self.targets if path in self.copies
                for key, data in self.copies[path].pictures.items()}  # fmt: skip

    @property
    def notes(self) -> list[str]:
        said = self.lost_symbols
        for path in self.targets:
            if path in self.problems:
                said.append(f"{shown_name(path)}: {self.problems[path]}")
            said += (
                [f"{shown_name(path)}: {note}" for note in self.copies[path].notes] if path in self.copies else []
            )
        sheets = (r.reading.sheet for results in self.results.values() for r in results if r.reading is not None)
        said += told_of_unmet(self.order.mapping, sheets)
        return [*said, *told_of_unused(self.order.decisions, self.unused.values())]

    @property
    def unmarked(self) -> int:
        return sum(path not in self.copies and _any_checked(results) for path, results in self.results.items())

    def _add(
        self, function: Callable[..., Any], call: tuple[Any, ...], seconds: float, then: Callable[[Any], None],
        first: bool = False,
    ) -> None:  # fmt: skip
        job = _Job(function, call, Limits(seconds, self.order.sheet_memory_mb), then)
        (self.queue.appendleft if first else self.queue.append)(job)

    def _seen(self, path: Path) -> Path:
        """A path as a worker sees it, which on another machine has another folder to start from."""
        return path.absolute() if self.order.cluster else path

    def _pump(self) -> None:
        """Do everything in the queue, and what it brings up."""
        under_way: dict[Future[Any], _Job] = {}
        given_up = False
        while self.queue or under_way:
            if self.stop.is_set():
                if not given_up:
                    self.workers.stop()
                    given_up = True
                while self.queue:
                    self.queue.popleft().then(stopped())
            while self.queue and len(under_way) < self.workers.window and not self.stop.is_set():
                job = self.queue.popleft()
                under_way[self.workers.submit(job.function, job.call, job.limits)] = job
            for future in wait(under_way, LOOK_SECONDS, FIRST_COMPLETED).done:
                under_way.pop(future).then(outcome(future))

    def _opened(self, path: Path, pages: dict[Path, int | CordpathError], count: int | CordpathError) -> None:
        self.progress.step("opening", path.name, None, str(count) if isinstance(count, CordpathError) else "")
        pages[path] = count

    def _pages(self, count: int | CordpathError) -> dict[int, CordpathError | None]:
        """Pages to read, or the one page that stands for a file that cannot be read."""
        if isinstance(count, CordpathError):
            return {1: count}
        if self.order.pages is not None:
            chosen = sorted(page for page in self.order.pages if page <= count)
            why = f"it has {count} pages, none of those asked for"
        else:
            chosen = list(range(1, count + 1)) if count <= MOST_PAGES else []
            why = f"it claims {count} pages"
        return dict.fromkeys(chosen) or {1: UnreadableFile(why, cure="see --pages")}

    def _read(self, path: Path, pages: dict[int, CordpathError | None]) -> None:
        self.readings[path] = {}
        for page, error in pages.items():
            kept = self.kept.find(path, page) if error is None and not self.stop.is_set() else None
            if error is not None:
                self._was_read(path, page, len(pages), error)
            elif kept is not None:
                self.resumed += 1
                self._was_read(path, page, len(pages), tasks.PageDone(kept, 0.0), fresh=False)
            else:
                order = self.order
                task = tasks.PageTask(self._seen(path), page, order.mapping, self.examples, order.password)
                then = partial(self._was_read, path, page, len(pages))
                self._add(tasks.read_page, (task,), self.order.sheet_seconds, then)

    def _was_read(
        self, path: Path, page: int, of: int, done: tasks.PageDone | CordpathError, fresh: bool = True
    ) -> None:
        read = done if isinstance(done, CordpathError) else done.outcome
        if isinstance(read, Reading) and fresh:
            self.kept.keep(path, page, read)
        self.readings[path][page] = read
        self.seconds[shown_name(path), page] = done.seconds if isinstance(done, tasks.PageDone) else 0.0
        said = str(read) if isinstance(read, CordpathError) else ("read" if fresh else "kept")
        self.progress.step("reading", path.name, page, said)
        if len(self.readings[path]) == of:
            self._file_read(path)

    def _file_read(self, path: Path) -> None:
        """Judges a file at once, unless it needs panel schedules of files of its folder that are still to come."""
        folder = path.parent
        lent = self.lent.setdefault(folder, {})
        lent[path] = lending(self.readings[path])
        if self.folders[folder] > 1 and wants_panels(self.readings[path]):
            self.waiting.setdefault(folder, []).append(path)
        else:
            self._judge(path)
        if len(lent) == self.folders[folder]:
            files = {shown_name(each): what for each, what in lent.items()}
            for each in self.waiting.pop(folder, []):
                self._judge(each, panels_elsewhere(shown_name(each), files))

    def _judge(self, path: Path, elsewhere: tuple[Panel, ...] = ()) -> None:
        name, readings = shown_name(path), self.readings.pop(path)
        try:
            results = judge_file(name, readings, self.order.edition, elsewhere)
        except Exception as error:
            results = judge_file(name, dict.fromkeys(readings, unreadable(error)), self.order.edition)
        laid = lay(results, self.order.decisions)
        results = self.results[path] = laid.results
        self.unused[path] = laid.unused
        if not _any_checked(results):
            if self.targets[path].exists():
                self.problems[path] = f"{self.targets[path].name} is from an earlier run"
            self.progress.step("marking", path.name, None, "nothing to mark")
            return
        order = self.order
        call = (self._seen(path), self._seen(self.targets[path]), results, order.run, order.password,
                order.mapping.drawing.keep_clear, order.xfdf)  # fmt: skip
        self._add(tasks.mark_file, call, MARKING_SECONDS, partial(self._was_marked, path), first=True)

    def _was_marked(self, path: Path, done: tasks.Marked | CordpathError) -> None:
        if isinstance(done, CordpathError):
            self.problems[path] = f"no marked copy: {done}"
        else:
            self.copies[path] = done
        self.progress.step("marking", path.name, None, str(done) if isinstance(done, CordpathError) else "")


def _any_checked(results: tuple[SheetResult, ...]) -> bool:
    return any(result.status == "checked" for result in results)


def _write_tables(
    results: tuple[SheetResult, ...],
    proposed: tuple[Proposal, ...],
    work: Work,
    order: Order,
) -> list[Path]:
    out, run = order.out, order.run
    report.write_results(out / RESULTS, report.results_document(results, run, proposed, work.seals))
    report.write_schedule_csv(out / "schedule.csv", results, run)
    report.write_schedule_xlsx(out / "schedule.xlsx", results, run)
    report.write_html(out / "report.html", results, run, work.pictures, proposed, work.crops)
    return [out / RESULTS, out / "schedule.csv", out / "schedule.xlsx", out / "report.html"]


def _write_letter(results: tuple[SheetResult, ...], order: Order, register: report.Register) -> list[Path]:
    """The comment letter, the numbers that it keeps, and what can be ruled on."""
    letter, kept = report.write_letter(order.out, results, order.run, register)
    report.write_register(order.out / report.REGISTER, kept)
    to_rule = order.out / "decisions.blank.yaml"
    report.write_text_whole(to_rule, blank(results))
    return [*letter, order.out / report.REGISTER, to_rule]

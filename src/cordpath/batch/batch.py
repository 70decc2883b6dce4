"""Many sheets: the tasks that an order takes, and every output.

The parent opens no untrusted PDF.  Every task runs in a worker (``workers.py``); what a worker loses is the failure
of its own sheet, and the rest of the batch goes on.  A file is judged and marked as soon as its pages are read, so
that a batch that is stopped has everything for what was done.
"""

from __future__ import annotations

import signal
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager, suppress
from dataclasses import replace
from pathlib import Path

from cordpath import report
from cordpath.batch import tasks
from cordpath.batch.child import Limits
from cordpath.batch.cluster import cluster_workers
from cordpath.batch.keep import claim_copies, locked, remember, set_aside_changed
from cordpath.batch.order import (
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
)
from cordpath.batch.progress import Progress, Silent
from cordpath.batch.spool import Chosen
from cordpath.batch.work import MOST_PAGES, Work
from cordpath.batch.workers import Workers, local_workers, map_calls
from cordpath.check import examples_from_files
from cordpath.decisions import blank
from cordpath.errors import CordpathError
from cordpath.lending import sets_of
from cordpath.model import Box, Mapping, Proposal, SheetResult
from cordpath.report.page.sheets import worst_first
from cordpath.symbols import NO_EXAMPLES, Examples

__all__ = [
    "SHEET_MEMORY_MB", "SHEET_SECONDS", "STOPPED", "Order", "Outcome", "box_wanted", "find_sheets", "pages_wanted",
    "picked_examples", "run_batch", "stop_on_interrupt",
]  # fmt: skip

MOST_LOST = 5  # pages told one by one
ECHO_SECONDS = 1.0  # between two signals of one request on a busy machine; a person takes longer to send another
LETTERS = ("comments.md", "comments.docx", "decisions.blank.yaml")  # of an earlier run, where this one was stopped
REPORT_PICTURES = 100_000_000  # bytes in report.html: what a browser opens within seconds; some 250 sheets


def picked_examples(mapping: Mapping, password: str | None = None) -> Examples:
    """The strokes of the mapping file's ``picked:`` entries; their PDFs are opened in a worker.

    Raises CordpathError where one cannot be read.
    """
    if not any(entry.picked for entry in mapping.symbols):
        return NO_EXAMPLES
    with local_workers(1) as workers:
        limits = Limits(SHEET_SECONDS, SHEET_MEMORY_MB)
        (examples,) = map_calls(workers, examples_from_files, [(mapping, password)], limits)
    if isinstance(examples, CordpathError):
        raise examples
    return examples


def picture_of(
    path: Path, page: int, mapping: Mapping, dpi: float, crop: Box | None, password: str | None, limits: Limits,
    told: Progress | None = None,
) -> tuple[bytes, tuple[str, ...]]:  # fmt: skip
    """PNG of what was understood of one page, drawn in a worker, and what was left out.

    The ``picked:`` entries and the legends on all pages of the file serve it.  Raises CordpathError.
    """
    told = told or Silent()
    examples = picked_examples(mapping, password)
    notes = [*examples.astray]
    with local_workers(1) as workers:
        if any(entry.legend for entry in mapping.symbols):
            (count,) = map_calls(workers, tasks.count_pages, [(path, password)], limits)
            if isinstance(count, CordpathError):
                raise count
            calls = [(path, each, mapping, password) for each in range(1, min(count, MOST_PAGES) + 1)]
            told.begin("legends", len(calls))
            rows = []
            for each, row in enumerate(map_calls(workers, tasks.read_legends, calls, limits), 1):
                rows.append(row)
                told.step("legends", path.name, each)
            read = [row for row in rows if not isinstance(row, CordpathError)]
            if count > MOST_PAGES:
                notes.append(f"it has {count} pages: legends were looked for on the first {MOST_PAGES} only")
            lost = [str(number) for number, row in enumerate(rows, 1) if isinstance(row, CordpathError)]
            if lost:
                notes.append(f"legends on pages that could not be read: {', '.join(lost[:MOST_LOST])}")
            examples = replace(examples, legends=tuple(one for row in read for one in row))
        task = tasks.PageTask(path, page, mapping, examples, password)
        told.begin("drawing", 1)
        (picture,) = map_calls(workers, tasks.show_page, [(task, dpi, crop)], limits)
    if isinstance(picture, CordpathError):
        raise picture
    return picture, tuple(notes)


def run_batch(
    order: Order, progress: Progress | None = None, stop: threading.Event | None = None, earlier: Path | None = None
) -> Outcome:
    """Read, judge and report every sheet of the order.  Raises UsageRefused or OutputRefused before any reading.

    Once ``stop`` is set, no task is begun any more, those under way are given up, and what is done is reported.
    ``earlier``: the folder of another review, whose numbers of comments go on where the output folder has none.
    """
    stop = stop or threading.Event()
    paths = find_sheets(order.sheets, order.out)
    targets = copy_targets(paths, order)
    with locked(order.out), workers_of(order) as workers:
        claim_copies(order.out, targets.values())
        aside = set_aside_changed(order.out)
        numbers = order.out / report.REGISTER
        if earlier is not None and not numbers.exists():
            numbers = earlier / report.REGISTER
        register = report.load_register(numbers)
        with closing(Work(order, workers, progress or Silent(), stop, targets)) as work:
            results = work.done(paths)
            proposed = work.propose()
            written = [*work.written, *_write_tables(results, proposed, work, order)]
            if not stop.is_set():  # a letter numbers its comments for good, and what was stopped is none
                written += _write_letters(results, order, register)
                work.kept.forget_others()
            # The numbers of the comments may be put back by hand: they go on from what stands there.
            mine = {*written, *(order.out / name for name in LETTERS)} - {order.out / report.REGISTER}
            remember(order.out, sorted(mine))
    notes = (*aside, *work.notes)
    return Outcome(
        results, tuple(written), notes, work.seconds, stop.is_set(), work.unmarked, proposed, work.resumed
    )


def workers_of(order: Order) -> AbstractContextManager[Workers]:
    return cluster_workers(order.cluster) if order.cluster else local_workers(order.jobs)


@contextmanager
def stop_on_interrupt(say: Callable[[], None]) -> Iterator[threading.Event]:
    """An event that the first Ctrl-C or SIGTERM sets, calling ``say()``; the second one is a KeyboardInterrupt.

    A SIGTERM on the heels of the first is the same request: ``timeout`` sends it to a process and to its group.
    """
    stop, before_this = threading.Event(), threading.Lock()
    first: list[float] = []

    def heard(number: int, frame: object) -> None:
        if not before_this.acquire(blocking=False):  # not asked of the event, which it may have been setting
            if number == signal.SIGTERM and (not first or time.monotonic() - first[0] < ECHO_SECONDS):
                return
            raise KeyboardInterrupt
        first.append(time.monotonic())
        stop.set()
        with suppress(OSError, RuntimeError):  # it broke in where something was being printed: stopping goes first
            say()

    if threading.current_thread() is not threading.main_thread():
        yield stop
        return
    before = {number: signal.signal(number, heard) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield stop
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _write_tables(
    results: tuple[SheetResult, ...],
    proposed: tuple[Proposal, ...],
    work: Work,
    order: Order,
) -> list[Path]:
    out, run = order.out, order.run
    report.write_results(out / RESULTS, report.results_document(results, run, proposed, work.seals))
    report.write_schedule_csv(out / "schedule.csv", results)
    report.write_schedule_xlsx(out / "schedule.xlsx", results, run)
    shown = _pictured(results, work)
    crops = frozenset(key for key in work.crops if key[:2] in shown)
    report.write_html(
        out / "report.html", results, run, Chosen(work.pictures, shown), proposed, Chosen(work.crops, crops)
    )
    return [out / RESULTS, out / "schedule.csv", out / "schedule.xlsx", out / "report.html"]


def _pictured(results: tuple[SheetResult, ...], work: Work) -> frozenset[tuple[str, int]]:
    """Sheets with pictures in the report: the worst first, as many as a page can carry."""
    size: Counter[tuple[str, int]] = Counter({key: work.pictures.size(key) for key in work.pictures})
    for crop in work.crops:
        size[crop[:2]] += work.crops.size(crop)
    chosen, room = set(), REPORT_PICTURES
    for result in worst_first(results):
        key = (result.file, result.page)
        if key in size and size[key] <= room:
            chosen.add(key)
            room -= size[key]
    if len(chosen) < len(size):
        work.told.append(
            f"report.html has pictures of {len(chosen)} of {len(size)} sheets, the worst first: more would be too "
            "large to open; the marked copies have all"
        )
    return frozenset(chosen)


def _write_letters(results: tuple[SheetResult, ...], order: Order, register: report.Register) -> list[Path]:
    """A comment letter for each set of sheets, the numbers that they keep, and what can be ruled on."""
    letter, kept = report.write_letters(order.out, sets_of(results), order.run, register)
    report.write_register(order.out / report.REGISTER, kept)
    to_rule = order.out / "decisions.blank.yaml"
    report.write_text_whole(to_rule, blank(results))
    return [*letter, order.out / report.REGISTER, to_rule]

"""Editions side by side: every sheet is read once and judged under each of them."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field
from pathlib import Path

from cordpath import report
from cordpath.batch.bare import for_tables
from cordpath.batch.batch import workers_of
from cordpath.batch.keep import locked
from cordpath.batch.order import STOPPED, Order, find_sheets, shown_name, unchecked
from cordpath.batch.progress import Progress, Silent
from cordpath.batch.work import Work
from cordpath.errors import CordpathError, OutputRefused
from cordpath.model import SheetResult
from cordpath.rules import Edition

FAILED, CHANGED, SAME = 3, 1, 0  # exit statuses


@dataclass
class _Comparing(Work):
    """A batch that marks nothing: its files are judged under several editions."""

    compared: tuple[Edition, ...] = ()
    judged: dict[Path, dict[str, tuple[SheetResult, ...]]] = field(default_factory=dict)

    @property
    def editions(self) -> tuple[Edition, ...]:
        return self.compared

    def _was_judged(
        self, path: Path, pages: tuple[int, ...], done: tuple[tuple[SheetResult, ...], ...] | CordpathError
    ) -> None:
        under_each = self._under_each(path, pages, done)
        self.judged[path] = {
            edition.name: tuple(map(for_tables, results))
            for edition, results in zip(self.compared, under_each, strict=True)
        }
        self.results[path] = self.judged[path][self.compared[0].name]
        self.progress.step("marking", shown_name(path), None, "")


@dataclass(frozen=True, eq=False)
class Comparison:
    """``results`` by edition, in the order asked for; the sheets are in the same order under each."""

    results: dict[str, tuple[SheetResult, ...]]
    written: tuple[Path, ...]
    stopped: bool
    notes: tuple[str, ...] = ()  # for the user

    @property
    def status(self) -> int:
        """Exit status: 130 stopped, 3 a sheet failed or none was checked, 1 a verdict changes, 0 none does."""
        if self.stopped:
            return STOPPED
        if unchecked(result for results in self.results.values() for result in results):
            return FAILED
        return CHANGED if any(line.changes for line in report.comparison_lines(self.results)) else SAME


def run_comparison(
    order: Order,
    editions: tuple[Edition, ...],
    progress: Progress | None = None,
    stop: threading.Event | None = None,
) -> Comparison:
    """Read every sheet once and judge it under each edition.  Raises UsageRefused or OutputRefused."""
    stop = stop or threading.Event()
    paths = find_sheets(order.sheets, order.out)
    _refuse_strange(order)
    with locked(order.out), workers_of(order) as workers:
        work = _Comparing(
            order, workers, progress or Silent(), stop, {path: path for path in paths}, compared=editions
        )
        work.done(paths)
        results = {e.name: tuple(r for path in paths for r in work.judged[path][e.name]) for e in editions}
        run = order.run
        written = report.write_comparison(order.out, results, run.symbols, run.version, run.amendments)
    return Comparison(results, tuple(written), stop.is_set(), tuple(work.notes))


def _refuse_strange(order: Order) -> None:
    """Refuses to write over files that are no comparison of ours."""
    if order.out.exists() and not order.out.is_dir():
        raise OutputRefused(f"{order.out} is a file", cure="name another folder with --out")
    target = order.out / "compare.json"
    if order.force or not target.exists():
        return
    try:
        with target.open("rb") as file:
            ours = b"cordpath-comparison/" in file.read(200)
    except OSError:
        ours = False
    if not ours:
        raise OutputRefused(
            f"{target} exists and is not from an earlier run of cordpath",
            cure="name another folder with --out, or add --force to write over it",
        )

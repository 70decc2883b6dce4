"""The state of a batch under way: which task comes next, and what each outcome leads to.

The parent holds of a sheet what the tables show of it, and nothing else: readings lie on the disk (``keep.py``),
pictures too (``spool.py``), and whatever opens, unpacks or judges what a stranger drew is a task with limits.
"""

from __future__ import annotations

import threading
from collections import Counter
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

from cordpath import report
from cordpath.batch import tasks
from cordpath.batch.bare import for_tables
from cordpath.batch.keep import FOLDER, Readings, Stored
from cordpath.batch.order import Order, not_there, shown_name
from cordpath.batch.progress import Progress
from cordpath.batch.proposing import PAGE_SECONDS, proposals
from cordpath.batch.spool import Spool
from cordpath.batch.task_queue import Queue
from cordpath.batch.workers import Workers
from cordpath.check import judge_file
from cordpath.decisions import Laid, Unused, lay, told_of_unused
from cordpath.errors import CordpathError, UnreadableFile
from cordpath.lending import Lending, lending, panels_elsewhere, wants_panels
from cordpath.model import Learnt, Panel, Proposal, Reading, SheetResult
from cordpath.resubmittal.carried import carried
from cordpath.rooms import told_of_unmet
from cordpath.rules import Edition
from cordpath.units import plain

OPENING_SECONDS = 120.0  # counting pages reads a file's index, its fingerprint all of it: 120 MB at 1 MB/s
MARKING_SECONDS = 600.0
MOST_PAGES = 5000  # of a file without --pages: a page tree may claim any number
Pages = dict[int, Stored | CordpathError]


@dataclass
class Work:
    """The state of a batch that is under way."""

    order: Order
    workers: Workers
    progress: Progress
    stop: threading.Event
    targets: dict[Path, Path]
    opened: dict[Path, tasks.Opened] = field(default_factory=dict)
    pages: dict[Path, Pages] = field(default_factory=dict)  # as far as they are read
    bare: dict[Path, dict[int, Reading]] = field(default_factory=dict)
    results: dict[Path, tuple[SheetResult, ...]] = field(default_factory=dict)
    copies: dict[Path, tasks.Marked] = field(default_factory=dict)
    seconds: dict[tuple[str, int], float] = field(default_factory=dict)
    problems: dict[Path, str] = field(default_factory=dict)
    unused: dict[Path, Unused] = field(default_factory=dict)
    lent: dict[Path, dict[Path, Lending]] = field(default_factory=dict)  # by folder, then by file
    waiting: dict[Path, list[Path]] = field(default_factory=dict)  # by folder: files that need panels of others
    resumed: int = 0
    unkept: str | None = None  # why readings could not be kept
    told: list[str] = field(default_factory=list)  # more notes for the user

    def __post_init__(self) -> None:
        self.queue = Queue(self.workers, self.stop, self.order.sheet_memory_mb)
        self.folders = Counter(path.parent for path in self.targets)
        self.examples = self.order.examples
        self.kept = Readings(self.order.out, self.order.mapping, self.examples)
        self.pictures = Spool[tuple[str, int]](self.order.out / FOLDER)
        self.crops = Spool[tuple[str, int, str]](self.order.out / FOLDER)

    @property
    def editions(self) -> tuple[Edition, ...]:
        """What every file is judged under."""
        return (self.order.edition,)

    def done(self, paths: tuple[Path, ...]) -> tuple[SheetResult, ...]:
        """All results, in the order of ``paths``."""
        pages: dict[Path, tasks.Opened | CordpathError] = {}
        self.progress.begin("opening", len(paths))
        for path in paths:
            call = (self._seen(path), self.order.password)
            self.queue.add(tasks.open_file, call, OPENING_SECONDS, partial(self._opened, path, pages))
        self.queue.work_off()
        wanted = {path: self._pages(path, pages[path]) for path in paths}
        self._learn(wanted)
        self.progress.begin("reading", sum(len(each) for each in wanted.values()))
        self.progress.begin("marking", len(paths))
        for path, each in wanted.items():
            self._read(path, each)
        self.queue.work_off()
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
                        self.queue.add(
                            tasks.read_legends, call, self.order.sheet_seconds, partial(keep, (path, page))
                        )
            self.queue.work_off()
            legends = tuple(one for place in sorted(found) for one in found[place])
            self.examples = replace(self.order.examples, legends=legends)
            self.kept = Readings(self.order.out, self.order.mapping, self.examples)

    @property
    def lost_symbols(self) -> list[str]:
        """``legend:`` entries that no legend of the batch shows."""
        shown = {one.name for one in self.examples.legends}
        entries = [e for e in self.order.mapping.symbols if e.legend is not None and e.name not in shown]
        lost = [e.name if plain(e.name) in plain(e.legend or "") else f"{e.name} ({e.legend})" for e in entries]
        return [f"no legend of these sheets shows: {', '.join(lost)}; nothing was looked for under these names"
                ] if lost else []  # fmt: skip

    @property
    def written(self) -> list[Path]:
        copies = [(target, self.copies[path]) for path, target in self.targets.items() if path in self.copies]
        beside = [target.parent / file.name for target, copy in copies for file in copy.beside]
        return [*(target for target, _ in copies), *beside]

    @property
    def seals(self) -> dict[str, tuple[report.Seal, ...]]:
        """Who signed, by file."""
        signed = [path for path in self.targets if path in self.copies and self.copies[path].seals]
        return {shown_name(path): self.copies[path].seals for path in signed}

    @property
    def notes(self) -> list[str]:
        said = self.lost_symbols
        for path in self.targets:
            problem = (self.problems[path],) if path in self.problems else ()
            notes = self.copies[path].notes if path in self.copies else ()
            said += [f"{shown_name(path)}: {note}" for note in (*problem, *notes)]
        sheets = (r.reading.sheet for results in self.results.values() for r in results if r.reading is not None)
        said += told_of_unmet(self.order.mapping, sheets)
        kept = (self.unkept, self.pictures.problem or self.crops.problem)
        return [
            *said, *told_of_unused(self.order.decisions, self.unused.values()), *self.told, *filter(None, kept)
        ]  # fmt: skip

    @property
    def unmarked(self) -> int:
        return sum(path not in self.copies and _any_judged(results) for path, results in self.results.items())

    def _seen(self, path: Path) -> Path:
        """A path as a worker sees it, which on another machine has another folder to start from."""
        return path.absolute() if self.order.cluster else path

    def _opened(
        self, path: Path, pages: dict[Path, tasks.Opened | CordpathError], done: tasks.Opened | CordpathError
    ) -> None:
        self.progress.step("opening", shown_name(path), None, str(done) if isinstance(done, CordpathError) else "")
        pages[path] = done
        if isinstance(done, tasks.Opened):
            self.opened[path] = done

    def _pages(self, path: Path, done: tasks.Opened | CordpathError) -> dict[int, CordpathError | None]:
        """Pages to read, or the one page that stands for a file that cannot be read."""
        if isinstance(done, CordpathError):
            return {1: done}
        count = done.pages
        if self.order.pages is not None:
            chosen = sorted(page for page in self.order.pages if page <= count)
            self.told += not_there(path, count, self.order.pages) if chosen else ()  # else the file fails for it
            why = f"it has {count} page{'' if count == 1 else 's'}, none of those asked for"
        else:
            chosen = list(range(1, count + 1)) if count <= MOST_PAGES else []
            why = f"it claims {count} pages"
        return dict.fromkeys(chosen) or {1: UnreadableFile(why, cure="see --pages")}

    def _read(self, path: Path, pages: dict[int, CordpathError | None]) -> None:
        self.pages[path], self.bare[path] = {}, {}
        order = self.order
        for page, error in pages.items():
            if error is not None:
                self._was_read(path, page, len(pages), error)
                continue
            place = self.kept.place(path.name, self.opened[path].content, page)
            task = tasks.PageTask(self._seen(path), page, order.mapping, self.examples, order.password,
                                  self._seen(place) if place else None, order.resume)  # fmt: skip
            self.queue.add(tasks.read_page, (task,), order.sheet_seconds,
                      partial(self._was_read, path, page, len(pages)))  # fmt: skip

    def _was_read(self, path: Path, page: int, of: int, done: tasks.PageDone | CordpathError) -> None:
        done = tasks.PageDone(done, 0.0) if isinstance(done, CordpathError) else done
        self.pages[path][page] = done.outcome
        if done.bare is not None:
            self.bare[path][page] = done.bare
        self.unkept = self.unkept or done.problem
        self.resumed += not done.fresh
        self.seconds[shown_name(path), page] = done.seconds
        failed = isinstance(done.outcome, CordpathError)
        said = str(done.outcome) if failed else ("read" if done.fresh else "kept")
        self.progress.step("reading", shown_name(path), page, said)
        if len(self.pages[path]) == of:
            self._file_read(path)

    def _file_read(self, path: Path) -> None:
        """Judges a file at once, unless it needs panel schedules of files of its folder that are still to come."""
        folder = path.parent
        lent = self.lent.setdefault(folder, {})
        bare: dict[int, Reading | CordpathError] = {
            page: each for page, each in self.pages[path].items() if isinstance(each, CordpathError)
        }
        bare.update(self.bare.pop(path))
        lent[path] = lending(bare)
        if self.folders[folder] > 1 and wants_panels(bare):
            self.waiting.setdefault(folder, []).append(path)
        else:
            self._judge(path)
        if len(lent) == self.folders[folder]:
            files = {shown_name(each): what for each, what in lent.items()}
            for each in self.waiting.pop(folder, []):
                self._judge(each, panels_elsewhere(shown_name(each), files))
            self.lent.pop(folder)

    def _judge(self, path: Path, elsewhere: tuple[Panel, ...] = ()) -> None:
        name, pages = shown_name(path), self.pages.pop(path)
        numbers = tuple(pages)
        if all(isinstance(each, CordpathError) for each in pages.values()):
            self._was_judged(path, numbers, tasks.judge_pages(name, pages, self.editions, elsewhere))
            return
        seconds = self.order.sheet_seconds + PAGE_SECONDS * len(pages)
        self.queue.add(tasks.judge_pages, (name, pages, self.editions, elsewhere), seconds,
                  partial(self._was_judged, path, numbers), first=True)  # fmt: skip

    def _under_each(
        self, path: Path, pages: tuple[int, ...], done: tuple[tuple[SheetResult, ...], ...] | CordpathError
    ) -> tuple[tuple[SheetResult, ...], ...]:
        """Results under each edition; where judging was lost, every page failed for that reason."""
        if not isinstance(done, CordpathError):
            return done
        return tuple(judge_file(shown_name(path), dict.fromkeys(pages, done), each) for each in self.editions)

    def _ruled(self, results: tuple[SheetResult, ...]) -> Laid:
        """The reviewer's rulings beside the verdicts; those of an earlier review carried onto its new sheets."""
        rulings = self.order.decisions
        if self.order.earlier is None or not rulings:
            return lay(results, rulings)
        found = carried(rulings, self.order.earlier, results)
        written = {id(new): old for old, new in found.pairs}
        laid = lay(results, [new for _, new in found.pairs])
        return replace(laid, unused=found.lost + tuple((written[id(new)], why) for new, why in laid.unused))

    def _was_judged(
        self, path: Path, pages: tuple[int, ...], done: tuple[tuple[SheetResult, ...], ...] | CordpathError
    ) -> None:
        laid = self._ruled(self._under_each(path, pages, done)[0])
        self.unused[path] = laid.unused
        self.results[path] = tuple(map(for_tables, laid.results))
        if not _any_judged(laid.results):
            if self.targets[path].exists():
                self.problems[path] = f"{self.targets[path].name} is from an earlier run"
            self.progress.step("marking", shown_name(path), None, "nothing to mark")
            return
        order = self.order
        call = (self._seen(path), self._seen(self.targets[path]), laid.results, order.run, order.password,
                order.mapping.drawing.keep_clear, order.xfdf)  # fmt: skip
        seconds = MARKING_SECONDS + PAGE_SECONDS * len(pages)
        self.queue.add(tasks.mark_file, call, seconds, partial(self._was_marked, path), first=True)

    def _was_marked(self, path: Path, done: tasks.Marked | CordpathError) -> None:
        if isinstance(done, CordpathError):
            self.problems[path] = f"no marked copy: {done}"
        else:
            for key, data in done.pictures.items():
                self.pictures.put(key, data)
            for crop, data in done.crops.items():
                self.crops.put(crop, data)
            self.copies[path] = replace(done, pictures={}, crops={})
            marks = self.targets[path].with_suffix(".xfdf")
            if marks.exists() and marks not in done.beside:
                self.told.append(f"{marks.name} is from an earlier run: its marks are not those of this one")
        self.progress.step("marking", shown_name(path), None, str(done) if isinstance(done, CordpathError) else "")

    def close(self) -> None:
        """Give the disk space of the pictures back."""
        self.pictures.close()
        self.crops.close()

    def propose(self) -> tuple[Proposal, ...]:
        """The fewest devices and breakers for each set of sheets; nothing for a batch that was stopped."""
        results = tuple(result for path in self.targets for result in self.results.get(path, ()))
        found, lost = proposals(results, self.queue)
        self.told += lost if not self.stop.is_set() else []
        return found


def _any_judged(results: tuple[SheetResult, ...]) -> bool:
    return any(result.judged for result in results)

"""A resubmittal from end to end: the old review read back, the new sheets checked, both compared."""

from __future__ import annotations

import shutil
import threading
from dataclasses import dataclass
from pathlib import Path

from cordpath import batch
from cordpath.errors import CordpathError, UnreadableFile
from cordpath.progress import Progress
from cordpath.recheck import Rechecked, recheck
from cordpath.recheck_report import load_old, recheck_table, unclouded_lines, write_recheck
from cordpath.report import REGISTER, Answer, read_answers, results_document
from cordpath.workers import Limits, local_workers, map_calls

__all__ = ["Again", "recheck_table", "run", "unclouded_lines"]

ANSWERS_SECONDS = 120.0


@dataclass(frozen=True)
class Again:
    outcome: batch.Outcome
    done: Rechecked
    answers: tuple[Answer, ...]
    written: tuple[Path, ...]


def run(
    old: Path, marked: Path | None, order: batch.Order, progress: Progress | None, stop: threading.Event | None
) -> Again:
    """Raises UnreadableFile where the old results or the annotated copy cannot be read, before any sheet is."""
    before, numbers = load_old(old)
    answers = _answers(marked, order) if marked else ()
    _keep_numbers(old if old.is_dir() else old.parent, order.out)
    outcome = batch.run_batch(order, progress, stop)
    try:
        done = recheck(before, results_document(outcome.results, order.run), numbers)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        cure = "name the results.json of an earlier run, or its folder"
        raise UnreadableFile(f"the old results are damaged ({error})", where=str(old), cure=cure) from error
    return Again(outcome, done, answers, tuple(write_recheck(order.out, done, answers)))


def _keep_numbers(old: Path, out: Path) -> None:
    """Comments of the new letter go on from the numbers of the old one."""
    if (old / REGISTER).is_file() and not (out / REGISTER).exists():
        out.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(old / REGISTER, out / REGISTER)


def _answers(marked: Path, order: batch.Order) -> tuple[Answer, ...]:
    """Read in a worker: the copy went through other hands."""
    with local_workers(1) as workers:
        limits = Limits(ANSWERS_SECONDS, order.sheet_memory_mb)
        (answers,) = map_calls(workers, read_answers, [(marked, order.password)], limits)
    if isinstance(answers, CordpathError):
        raise answers
    return answers

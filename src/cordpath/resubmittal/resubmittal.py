"""A resubmittal from end to end: the old review read back, the new sheets checked, both compared."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePath

from shapely.errors import ShapelyError

from cordpath.batch import batch
from cordpath.batch.child import Limits
from cordpath.batch.progress import Progress
from cordpath.batch.workers import local_workers, map_calls
from cordpath.errors import CordpathError, OutputRefused, UnreadableFile
from cordpath.report import Answer, marked_stem, read_answers, results_document
from cordpath.resubmittal.recheck import Numbers, Rechecked, recheck
from cordpath.resubmittal.report import load_old, numbers_in, recheck_table, unclouded_lines, write_recheck
from cordpath.resubmittal.sheets import Json, sheets_of

__all__ = ["Again", "recheck_table", "run", "unclouded_lines"]

ANSWERS_SECONDS = 120.0
HELD = "amendments_sha256"  # of a run: digests of its files
DAMAGE = (KeyError, IndexError, TypeError, ValueError, AttributeError, OverflowError, RecursionError, ShapelyError)
OUTLET = re.compile(r".+\.\d+")  # other marks (unnamed shapes, what was not checked) are answered in words only


@dataclass(frozen=True)
class Again:
    outcome: batch.Outcome
    done: Rechecked
    answers: tuple[Answer, ...]
    written: tuple[Path, ...]
    notes: tuple[str, ...]  # another code than the old review's; marked copies that are of no drawing of it


def run(
    old: Path, marked: Sequence[Path], order: batch.Order, progress: Progress | None, stop: threading.Event | None
) -> Again:
    """Raises UnreadableFile where the old results or the annotated copy cannot be read, and OutputRefused where the
    new review would be written over the old one, before any sheet is read."""
    before, numbers = load_old(old)
    folder = old if old.is_dir() else old.parent
    if folder.resolve() == order.out.resolve() and not order.force:
        raise OutputRefused(
            "the earlier review lies there, and would be written over", where=str(order.out),
            cure="name another folder with --out, or add --force",
        )  # fmt: skip
    compared(before, before, numbers, old)  # damage is found now, not when all sheets are read
    answers, astray = of_drawings(zip(marked, _answers(marked, order), strict=True), before)
    order = replace(order, earlier=before)
    outcome = batch.run_batch(order, progress, stop, earlier=folder)
    numbers_now = {} if outcome.stopped else numbers_in(order.out)  # a batch that was stopped wrote no letter
    after = results_document(outcome.results, order.run)
    notes = (*other_code(before, after), *astray)
    done = compared(before, after, numbers, old, numbers_now)
    done = replace(done, notes=(*done.notes, *notes))
    return Again(outcome, done, answers, tuple(write_recheck(order.out, done, answers)), notes)


def compared(
    before: Json, after: Json, numbers: Numbers, old: Path, numbers_now: Numbers | None = None
) -> Rechecked:
    """``recheck`` of what went through other hands.  Raises UnreadableFile where ``before`` is damaged."""
    try:
        return recheck(before, after, numbers, numbers_now)
    except DAMAGE as error:
        why = f"{type(error).__name__}: {error}"
        cure = "name the results.json of an earlier run, or its folder"
        raise UnreadableFile(f"the old results are damaged ({why})", where=str(old), cure=cure) from error


def other_code(before: Json, after: Json) -> tuple[str, ...]:
    """A finding that another edition, amendment or permit date does not ask for was not resolved by the drawing.

    Amendments are known by what their files hold; by name where the old review does not say that.
    """
    old, new = (document.get("run") or {} for document in (before, after))
    if not old.get("code"):
        return ()
    codes, held = [_code(run["code"]) for run in (old, new)], [run.get(HELD) for run in (old, new)]
    same = _rest(old) == _rest(new) and held[0] == held[1]
    if codes[0] == codes[1] if None in held else same:
        return ()
    told = f"the old review was made under {codes[0]}, this one under {codes[1]}"
    if codes[0] == codes[1]:
        told = f"the amendments of the old review have changed since, under the same names ({codes[0]})"
    return (f"{told}: what is resolved or new may be so by the code alone",)


def _rest(run: Json) -> Json:
    return {**run["code"], "amendments": None}


def _code(run: Json) -> str:
    words = [f"the {run.get('edition')} edition", *(str(each) for each in run.get("amendments") or ())]
    return " with ".join(words) + (f" on {run['permit_date']}" if run.get("permit_date") else "")


def _answers(marked: Sequence[Path], order: batch.Order) -> list[tuple[Answer, ...]]:
    """Read in a worker: the copies went through other hands."""
    if not marked:
        return []
    with local_workers(1) as workers:
        limits = Limits(ANSWERS_SECONDS, order.sheet_memory_mb)
        read = list(map_calls(workers, read_answers, [(path, order.password) for path in marked], limits))
    answers: list[tuple[Answer, ...]] = []
    for each in read:
        if isinstance(each, CordpathError):
            raise each
        answers.append(each)
    return answers


def of_drawings(
    copies: Iterable[tuple[Path, Sequence[Answer]]], before: Json
) -> tuple[tuple[Answer, ...], tuple[str, ...]]:
    """Answers with the file of the old review that they are about, and notes of copies without one.

    A copy goes through mail and viewers and comes back under another name; its marks bear page and outlet.  It is
    known by its name, or else by being the only drawing with all the outlets that were answered.
    """
    outlets: dict[str, set[tuple[int, str]]] = {}
    for sheet in sheets_of(before):
        outlets.setdefault(sheet.data["file"], set()).update((place.page, place.outlet) for place in sheet.places)
    answers: list[Answer] = []
    notes: list[str] = []
    for path, said in copies:
        asked = {(answer.page, answer.outlet) for answer in said if OUTLET.fullmatch(answer.outlet)}
        named = [file for file in outlets if marked_stem(path.name) in _names(file)]
        fits = [file for file in named or outlets if asked <= outlets[file]]
        if len(fits) == 1:
            answers += [replace(answer, file=fits[0]) for answer in said]
            continue
        answers += said
        if asked:
            fit = f"fit {len(fits)} drawings" if fits else "fit no drawing"
            notes.append(f"the states in {path.name} {fit} of the old review and stand beside no finding; give the "
                         "copy that lies beside the old results, under its name there")  # fmt: skip
    return tuple(answers), tuple(notes)


def _names(file: str) -> tuple[str, str]:
    """Of its marked copy: its own, or with the folder in front where files are named alike."""
    stem, folder = marked_stem(file), PurePath(file.replace("\\", "/")).parent.name
    return stem, f"{folder.casefold()} {stem}"

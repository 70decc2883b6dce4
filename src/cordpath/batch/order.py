"""What is asked for and what comes of it: the order of a batch, its sheets, and the names of its outputs."""

from __future__ import annotations

import glob
import os
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from cordpath import report
from cordpath.batch.keep import own_copies
from cordpath.errors import OutputRefused, UsageRefused, printable
from cordpath.model import Box, Decision, Mapping, Proposal, Run, SheetResult
from cordpath.rules import Edition
from cordpath.symbols import Examples

SHEET_SECONDS = 600.0  # a large sheet takes seconds; ten minutes means that it will not come back
SHEET_MEMORY_MB = 4000.0  # a real sheet of 37,000 strokes peaks at 320 MB (measured): ten times that is no drawing
MOST_PASSWORD = 1000  # bytes; ISO 32000-2 takes 127 of them
NAME_BYTES = 200  # of an output's name; file systems take 255 with what is added while writing
OUR_COPIES = (".marked.pdf", ".marked.schedule.pdf")  # how the names of PDFs that we write end
RESULTS = "results.json"
TABLES = (
    RESULTS,
    "schedule.csv",
    "schedule.xlsx",
    "report.html",
    "comments.md",
    "comments.docx",
)  # written in turn
NAME_SHEETS = "name a PDF file, a folder, or a pattern"
NO_BYTE = re.compile("[\ud800-\udc7f\udd00-\udfff]")  # surrogates that stand for no byte of a file name
MOST_PAGES_TOLD = 5  # one by one, of those that were asked for and are not there
STOPPED = 130  # exit status after Ctrl-C, by the shells' custom


@dataclass(frozen=True)
class Order:
    """What was asked for.  ``jobs``: worker processes, 0 for this one; ``cluster``: a Dask scheduler."""

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
    sheet_memory_mb: float = SHEET_MEMORY_MB
    resume: bool = False
    cluster: str | None = None
    decisions: tuple[Decision, ...] = ()  # the reviewer's rulings
    password: str | None = field(default=None, repr=False)  # for encrypted files
    xfdf: bool = False  # the marks as XFDF files too
    earlier: dict[str, Any] | None = field(default=None, repr=False)  # results of the review that is gone on from


@dataclass(frozen=True, eq=False)
class Outcome:
    """What came of a batch.  ``notes``: for the user; ``seconds``: processor time of reading, by file and page."""

    results: tuple[SheetResult, ...]
    written: tuple[Path, ...]
    notes: tuple[str, ...]
    seconds: dict[tuple[str, int], float]
    stopped: bool = False
    unmarked: int = 0  # files that were checked and have no marked copy
    proposals: tuple[Proposal, ...] = ()
    resumed: int = 0  # sheets whose reading was kept from an earlier run

    @property
    def status(self) -> int:
        """Exit status: 130 stopped, 3 a sheet or a copy failed, or no sheet was checked at all, 1 something missing
        or unresolved, 0 nothing.

        An outlet that only the sheet's legend names is unresolved as to everything: it got no verdict.
        """
        if self.stopped:
            return STOPPED
        if self.unmarked or unchecked(self.results):
            return 3
        verdicts = {finding.verdict for result in self.results for finding in result.findings}
        unjudged = any(item.is_outlet for result in self.results for item in report.unexplained_of(result))
        return 1 if verdicts & {"missing", "unresolved"} or unjudged else 0


def unchecked(results: Iterable[SheetResult]) -> bool:
    """A sheet failed, or all were skipped: a script would take an exit status of 0 for a clean set."""
    found = {result.status for result in results}
    return "failed" in found or "checked" not in found


def pages_wanted(text: str) -> frozenset[int]:
    """``1,3-5`` as a set of page numbers; raises UsageRefused."""
    wanted: set[int] = set()
    for part in text.split(","):
        first, dash, last = part.strip().partition("-")
        if not first.isdecimal() or (dash and not last.isdecimal()) or len(part) > 12:
            raise UsageRefused(f"--pages {text!r} is no list of pages", cure="write it like 1,3-5")
        low, high = int(first), int(last) if dash else int(first)
        if not 1 <= low <= high <= 100_000:
            raise UsageRefused(
                f"--pages {part.strip()!r} runs backwards or is out of range", cure="pages count from 1"
            )
        wanted.update(range(low, high + 1))
    return frozenset(wanted)


def not_there(path: Path, count: int, asked: Iterable[int]) -> Iterator[str]:
    """What is said of pages that were asked for of a file of ``count`` pages, and that it does not have."""
    beyond = sorted(page for page in asked if page > count)
    if beyond:
        pages = f"{count} page{'' if count == 1 else 's'}"
        more = f" and {len(beyond) - MOST_PAGES_TOLD} more" if len(beyond) > MOST_PAGES_TOLD else ""
        listed = ", ".join(map(str, beyond[:MOST_PAGES_TOLD]))
        yield f"{shown_name(path)} has {pages}: there is no page {listed}{more}"


def password_in(path: str | None) -> str | None:
    """The first line of a password file, without its line end; raises UsageRefused."""
    if path is None:
        return None
    try:
        with Path(path).open("rb") as file:
            line = file.readline(MOST_PASSWORD).decode("utf-8-sig").rstrip("\r\n")
    except (OSError, UnicodeDecodeError) as error:
        why = getattr(error, "strerror", None) or "it is not UTF-8 text"
        cure = "name a text file whose first line is the password"
        raise UsageRefused(f"--password-file {path!r} cannot be read ({why})", cure=cure) from None
    if not line:
        raise UsageRefused(f"--password-file {path!r} is empty", cure="its first line has to be the password")
    return line


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

    Copies that cordpath wrote, and what else lies in the output folder of an earlier run, are left out unless named
    one by one.  Raises UsageRefused where a name fits nothing, and where sheets lie in a folder that is to become
    the output folder: left out, they would be passed over.
    """
    found: dict[tuple[str, str], Path] = {}
    for name in named:
        for path in _files_of(name, Path(os.path.realpath(out))):
            # However it is spelt.  A link has a name and a submittal of its own: it is a sheet of each.
            found.setdefault((os.path.realpath(path.parent), path.name), path)
    return tuple(sorted(found.values(), key=lambda path: str(path)))


def _files_of(name: str, out: Path) -> list[Path]:
    path = Path(name)
    if path.is_file():
        return [path]
    named = glob.glob(name, recursive=True)  # noqa: PTH207 (may be absolute)
    candidates = _everything_in(path) if path.is_dir() else [Path(p) for p in named]
    # Links to nowhere, pipes and the like stay in: they fail with a reason instead of being passed over.
    candidates = [p for p in candidates if p.suffix.lower() == ".pdf" and not p.is_dir()]
    kept = [p for p in candidates if not p.name.endswith(OUR_COPIES)]
    within = [p for p in kept if _is_under(p, out)]
    if within and not (out / RESULTS).exists():
        raise UsageRefused(
            f"{within[0]} is in the output folder, where only copies that cordpath writes belong",
            cure="name another folder with --out, or move the sheet",
        )
    kept = [p for p in kept if p not in within]
    if not kept:
        raise UsageRefused(_nothing_for(name, path.is_dir(), bool(candidates)), cure=NAME_SHEETS)
    return kept


def _nothing_for(name: str, folder: bool, outputs: bool) -> str:
    """Why a name stands for no sheet.  ``outputs``: PDF files were found, and cordpath wrote all of them."""
    if outputs:
        return f"no PDF file found for {name!r} but copies that cordpath has written"
    if folder:
        return f"no PDF file found for {name!r}, which is a folder without any"
    return f"no PDF file found for {name!r}" + ("" if glob.has_magic(name) else ": there is no such file or folder")


def _everything_in(folder: Path) -> list[Path]:
    """All files under a folder, also behind links to folders, each folder once, so that a link back ends.

    Raises UsageRefused for a folder that cannot be looked into: its sheets would be passed over.
    """
    seen, files = set(), []
    for place, folders, names in os.walk(folder, onerror=_refuse_to_pass_over, followlinks=True):
        real = Path(place).resolve()
        if real in seen:
            folders.clear()
            continue
        seen.add(real)
        folders.sort()  # which of two ways to a folder is taken is the same in every run
        files += [Path(place, name) for name in names]
    return files


def _refuse_to_pass_over(error: OSError) -> None:
    raise UsageRefused(
        f"{error.filename}: the folder cannot be searched ({error.strerror})",
        cure="have yourself given the right to read it, or name the files one by one",
    ) from error


def _is_under(path: Path, folder: Path) -> bool:
    return Path(os.path.realpath(path)).is_relative_to(folder)  # Path.resolve raises for a link to itself


def shown_name(path: Path) -> str:
    """The path as text for every output: without what is no text, steers a terminal, or breaks a line."""
    text = NO_BYTE.sub("\ufffd", str(path))
    return printable(text.encode("utf-8", "surrogateescape").decode("utf-8", "replace"))


def copy_targets(paths: tuple[Path, ...], order: Order) -> dict[Path, Path]:
    """Where each marked copy goes; see :func:`copy_names`.  Refuses to spoil inputs or strange files.

    Files are ours where results of an earlier run lie, and copies that a run which was killed had set out to write.
    """
    targets = dict(zip(paths, copy_names(paths, order.out), strict=True))
    try:
        if order.out.exists() and not order.out.is_dir():
            raise OutputRefused(f"{order.out} is a file", cure="name another folder with --out")
    except OSError as error:  # a folder above it may not be looked into
        what = f"cannot be written to ({error.strerror})"
        raise OutputRefused(what, where=str(order.out), cure="choose another folder with --out") from error
    inputs = {os.path.realpath(path) for path in paths}
    clash = [target for target in targets.values() if os.path.realpath(target) in inputs]
    if clash:
        raise OutputRefused(f"{clash[0]} is an input", cure="name another folder with --out")
    tables = [order.out / name for name in TABLES]
    ours = own_copies(order.out)
    strange = [each for each in (*targets.values(), *tables) if each.name not in ours and each.exists()]
    if strange and not order.force and not _is_ours(order.out):
        raise OutputRefused(
            f"{strange[0]} exists and is not from an earlier run of cordpath",
            cure="name another folder with --out, or add --force to write over it",
        )
    return targets


def copy_names(paths: tuple[Path, ...], out: Path) -> Iterator[Path]:
    """Names that are no longer than a file system takes, without control characters, none twice in any case.

    Files that are named alike, as in a folder a submittal, bear the name of their folder in front, which stays the
    same when a submittal is added; those that are alike in this too get a running number.
    """
    alike = Counter(path.stem.casefold() for path in paths)
    taken: set[str] = set()
    counts: dict[str, int] = {}  # of equal stems, so that thousands of them are numbered in one go
    for path in paths:
        stem = path.stem
        if alike[stem.casefold()] > 1:
            stem = f"{path.absolute().parent.name} {stem}"
        stem = shown_name(Path(stem)).replace("\N{REPLACEMENT CHARACTER}", "_")
        stem = stem.encode()[:NAME_BYTES].decode("utf-8", "ignore")
        name, count = f"{stem}.marked.pdf", counts.get(stem.casefold(), 1)
        while name.casefold() in taken:
            count += 1
            name = f"{stem}-{count}.marked.pdf"
        counts[stem.casefold()] = count
        taken.add(name.casefold())
        yield out / name


def _is_ours(out: Path) -> bool:
    try:
        with (out / RESULTS).open("rb") as file:
            return b"cordpath-results/" in file.read(200)
    except OSError:
        return False

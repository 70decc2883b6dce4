"""What a run keeps in its output folder: the lock, and the readings that ``--resume`` takes up again.

``OUT/.cordpath/lock`` is held by one run at a time; ``OUT/.cordpath/readings/`` has one file a sheet, named by all
that the reading hangs on: the file's content and name, the page, the mapping file with its examples, the program
and the libraries.  Reading is over nine tenths of the time (measured); judging and reporting are done anew.
Workers write and read these files, so that the parent holds no reading; see ``tasks.py``.
``OUT/.cordpath/copies.json`` names every marked copy that a run set out to write, from before it is written: a run
that was killed leaves no ``results.json`` to know its copies by.
``OUT/.cordpath/written.json`` has a digest of every output: one that differs was changed by a person, whose work is
copied to ``OUT/changed-1`` before the next run writes over it.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import cache
from importlib import metadata
from importlib.resources import files
from importlib.resources.abc import Traversable
from importlib.util import find_spec
from pathlib import Path, PurePath

from cordpath import __version__
from cordpath.batch.archive import NotArchived, digest, pack, unpack
from cordpath.errors import CordpathError, OutputRefused, UnreadablePage
from cordpath.model import Mapping, Reading
from cordpath.report import PART_NAME, write_bytes_whole, write_text_whole
from cordpath.symbols import Examples

FOLDER = ".cordpath"
COPIES = "copies.json"
WRITTEN = "written.json"
LIBRARIES = ("pymupdf", "numpy", "scipy", "shapely")  # what a reading may differ by
SECOND_READER = ("onnxruntime", "rapidocr")  # of drawn lettering, where they are installed
CHUNK = 1 << 20
NAMED = re.compile(r"[0-9a-f]{64}\.json\.gz")
LEFT_OVER = re.compile(
    rf"\.(.+\.(pdf|json|csv|xlsx|html|md|docx|xfdf|yaml|gz)|.{{{PART_NAME}}})\.[a-z0-9_]{{8}}\.part"
)  # what ``write_whole`` was filling when its process was killed; of a long name it keeps the beginning only


def library_versions() -> dict[str, str]:
    there = [name for name in SECOND_READER if find_spec(name) is not None]
    return {name: _version(name) for name in (*LIBRARIES, *there)}


def _version(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:  # of a distribution with another name, as onnxruntime-gpu
        return "unknown"


@cache
def program_digest() -> str:
    """Fingerprint of the program itself: two processes with the same one read a sheet alike."""
    sha = hashlib.sha256(repr((__version__, library_versions())).encode())
    for name, data in sorted(_contents(files("cordpath"), "")):
        sha.update(f"{name}\0{len(data)}\0".encode() + data)
    return sha.hexdigest()


def _contents(folder: Traversable, prefix: str) -> Iterator[tuple[str, bytes]]:
    for entry in folder.iterdir():
        if entry.is_dir():
            if entry.name != "__pycache__":
                yield from _contents(entry, f"{prefix}{entry.name}/")
        else:
            yield prefix + entry.name, entry.read_bytes()


# ------------------------------------------------------------------------------------------------- readings


@dataclass(frozen=True)
class Stored:
    """A reading that was put by: its file, or its packed bytes where it must not or cannot be written."""

    where: Path | bytes = field(repr=False)


def put_by(reading: Reading, target: Path | None) -> tuple[Stored, str | None]:
    """The reading in ``target``; packed in memory where there is none, or, with the reason, where writing fails."""
    data = pack(reading)
    if target is None:
        return Stored(data), None
    try:
        write_bytes_whole(target, data)
    except OutputRefused as error:
        return Stored(data), f"readings cannot be kept for --resume: {error}"
    return Stored(target), None


def take_up(target: Path) -> Reading | None:
    """The reading that lies there from an earlier run, None where none does, or one that is damaged."""
    try:
        kept = unpack(target.read_bytes())
    except (OSError, NotArchived):
        return None
    return kept if isinstance(kept, Reading) else None


def taken_out(stored: Stored) -> Reading | CordpathError:
    """The reading that was put by in this run, or why it is lost."""
    where = stored.where
    kept = take_up(where) if isinstance(where, Path) else unpack(where)
    if isinstance(kept, Reading):
        return kept
    return UnreadablePage("its reading was taken away before it was judged", cure="run the same command again")


class Readings:
    """Where the readings of an output folder lie."""

    def __init__(self, out: Path, mapping: Mapping, examples: Examples) -> None:
        self._folder = out / FOLDER / "readings"
        self._setup = digest(mapping, examples) + program_digest()
        self._wanted: set[str] = set()

    def place(self, name: str, content: str | None, page: int) -> Path | None:
        """Where a sheet's reading lies, named by all that it hangs on; None for a file that could not be read.

        ``name`` of the file; ``content``: its :func:`content_digest`, from before the sheet is read.
        """
        if content is None:
            return None
        whole = repr((content, name, page, self._setup)).encode()
        kept = f"{hashlib.sha256(whole).hexdigest()}.json.gz"
        self._wanted.add(kept)
        return self._folder / kept

    def forget_others(self) -> None:
        """Take away the readings of sheets that were no part of this run."""
        with suppress(OSError):
            for path in self._folder.iterdir():
                if NAMED.fullmatch(path.name) and path.name not in self._wanted:
                    path.unlink()


def content_digest(path: Path) -> str | None:
    """SHA-256 of a file; None where it cannot be read."""
    sha = hashlib.sha256()
    if not path.is_file():  # a pipe would never end
        return None
    try:
        with path.open("rb") as file:
            while chunk := file.read(CHUNK):
                sha.update(chunk)
    except OSError:
        return None
    return sha.hexdigest()


# --------------------------------------------------------------------------------------------------- copies


def own_copies(out: Path) -> frozenset[str]:
    """Names of the marked copies that runs into this folder set out to write; none where that cannot be told."""
    try:
        names = json.loads((out / FOLDER / COPIES).read_bytes())
    except (OSError, ValueError, RecursionError):
        return frozenset()
    listed = names if isinstance(names, list) else []
    return frozenset(name for name in listed if isinstance(name, str) and name.endswith(".marked.pdf"))


def claim_copies(out: Path, targets: Iterable[Path]) -> None:
    """Before anything is written: these copies are ours.  Without room for that, a run goes on all the same."""
    names = own_copies(out) | {target.name for target in targets}
    with suppress(OutputRefused):
        write_text_whole(out / FOLDER / COPIES, json.dumps(sorted(names), indent=0) + "\n")


# ------------------------------------------------------------------------------------ what people wrote in


def remember(out: Path, outputs: Iterable[Path]) -> None:
    """A run is done with these files of its folder, as they are.  Without room for that, it ends all the same."""
    digests = {path.name: content_digest(path) for path in outputs if path.exists()}
    with suppress(OutputRefused):
        write_text_whole(out / FOLDER / WRITTEN, json.dumps(digests, indent=0) + "\n")


def set_aside_changed(out: Path) -> tuple[str, ...]:
    """Copies outputs that were changed since they were written: the states and replies in a marked copy, the
    responses in a letter, rulings written into the blank.  Returns what to tell; raises OutputRefused where there
    is no room for them, before anything is written over.
    """
    record = out / FOLDER / WRITTEN
    try:
        listed = json.loads(record.read_bytes())
    except (OSError, ValueError, RecursionError):
        return ()
    digests = (
        {name: kept for name, kept in listed.items() if PurePath(name).name == name}
        if isinstance(listed, dict)
        else {}
    )
    changed = [name for name, kept in digests.items() if content_digest(out / name) not in (None, kept)]
    try:
        if changed:
            numbers = (k for k in range(1, len(list(out.iterdir())) + 2) if not (out / f"changed-{k}").exists())
            folder = out / f"changed-{next(numbers)}"
            folder.mkdir()
            for name in changed:
                shutil.copy2(out / name, folder / name)
        record.unlink()  # should this run be killed, its own half of the outputs is no person's change
    except OSError as error:
        what = f"{changed[0] if changed else WRITTEN} was changed by hand and cannot be kept ({error.strerror})"
        raise OutputRefused(what, where=str(out), cure="choose another folder with --out") from error
    return (f"changed since they were written, and kept in {folder}: {', '.join(changed)}",) if changed else ()


# ----------------------------------------------------------------------------------------------------- lock


@contextmanager
def locked(out: Path) -> Iterator[None]:
    """Hold the output folder.  The system gives the lock back when its process ends, however it ends.

    Parts of files that a killed run left are taken away.  Raises OutputRefused where another run holds the folder,
    or where it cannot be written to.
    """
    folder = out / FOLDER
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle = os.open(folder / "lock", os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as error:
        raise OutputRefused(
            f"cannot be written to ({error.strerror or error})",
            where=str(out),
            cure="choose another folder with --out",
        ) from error
    try:
        if not _taken(handle):
            holder = os.read(handle, 40).decode("ascii", "replace").strip()
            raise OutputRefused(
                f"another run (process {holder or 'unknown'}) is writing to this folder", where=str(out),
                cure="wait for it, or choose another folder with --out",
            )  # fmt: skip
        os.ftruncate(handle, 0)
        os.write(handle, f"{os.getpid()}\n".encode())
        sweep(out)
        try:
            yield
        finally:
            sweep(out)
    finally:
        os.close(handle)


def _taken(handle: int) -> bool:
    try:
        import fcntl
    except ImportError:  # Windows
        import msvcrt

        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        except OSError:
            return False
        return True
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def sweep(out: Path) -> None:
    """Take away half-written parts; only the holder of the lock may."""
    for folder in (out, out / FOLDER, out / FOLDER / "readings"):
        with suppress(OSError):
            for path in folder.iterdir():
                if LEFT_OVER.fullmatch(path.name) and path.is_file():
                    path.unlink()

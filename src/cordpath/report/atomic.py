"""Outputs are written whole or not at all: the only place of the report that opens an output path."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path

from cordpath.errors import OutputRefused

PLAIN_MODE = 0o666  # what a newly created file asks for; the user's mask takes its share
PART_NAME = 60  # characters of a file's name that its temporary file begins with: file systems take 255 bytes


def write_whole(path: Path, writer: Callable[[Path], object], *, inputs: Iterable[Path] = ()) -> None:
    """Let ``writer`` fill a temporary file in the folder of ``path``, then put it in the place of ``path``.

    A reader sees the old file or the new one, never a part of one; after any exception, an interrupt from the
    keyboard included, the temporary file is gone.  ``inputs`` are files that must never be written to.
    Raises OutputRefused where ``path`` is one of them, or where it cannot be written.
    """
    refuse_inputs(path, inputs)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{path.name[:PART_NAME]}.", suffix=".part", dir=path.parent)
        os.close(handle)
    except OSError as error:
        raise _refused(path, error) from error
    part = Path(name)
    try:
        writer(part)
        _open_to_readers(part)
        part.replace(path)
    except OSError as error:
        raise _refused(path, error) from error
    finally:
        part.unlink(missing_ok=True)


def write_text_whole(path: Path, text: str) -> None:
    """UTF-8 text, line ends as they stand in ``text``."""
    write_bytes_whole(path, text.encode("utf-8"))


def write_bytes_whole(path: Path, data: bytes, *, inputs: Iterable[Path] = ()) -> None:
    """These bytes, whole or not at all."""
    write_whole(path, lambda part: part.write_bytes(data), inputs=inputs)


def refuse_inputs(path: Path, inputs: Iterable[Path]) -> None:
    """Raise OutputRefused where ``path`` is one of ``inputs``, by name, by symbolic link or by hard link."""
    for source in inputs:
        same = path.resolve() == source.resolve()
        if same or (path.exists() and source.exists() and path.samefile(source)):
            raise OutputRefused(
                "this output would overwrite an input", where=str(path), cure="choose another folder with --out"
            )


def _open_to_readers(part: Path) -> None:
    """A temporary file is private to its owner; the output gets the rights of any new file."""
    mask = os.umask(0)
    os.umask(mask)
    part.chmod(PLAIN_MODE & ~mask)


def _refused(path: Path, error: OSError) -> OutputRefused:
    return OutputRefused(
        f"cannot be written ({error.strerror or error})", where=str(path), cure="choose another folder with --out"
    )

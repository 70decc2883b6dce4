"""How far a batch is: bars for people, lines for logs, JSON for programs; all on standard error."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import PurePath
from typing import Literal, Protocol, TextIO

from rich.console import Console
from rich.markup import escape
from rich.progress import BarColumn, MofNCompleteColumn, TaskID, TextColumn, TimeElapsedColumn
from rich.progress import Progress as RichBars

from cordpath.errors import printable

Style = Literal["auto", "json", "none"]


class Progress(Protocol):
    """Where the batch tells how far it is.  Stages: opening, reading, marking; they may overlap."""

    def begin(self, stage: str, total: int) -> None: ...

    def step(self, stage: str, name: str, page: int | None = None, said: str = "") -> None:
        """One file or sheet is done.  ``name``: its path as the results write it, for files of one name stand in
        many folders; ``said``: its outcome in a few words."""
        ...


class Silent:
    """No progress shown."""

    def begin(self, stage: str, total: int) -> None:
        pass

    def step(self, stage: str, name: str, page: int | None = None, said: str = "") -> None:
        pass


class Lines:
    """One line an event; as JSON objects, or as plain text with the sheet's name."""

    def __init__(self, stream: TextIO, as_json: bool) -> None:
        self._stream, self._json = stream, as_json
        self._total: dict[str, int] = {}
        self._done: dict[str, int] = {}

    def begin(self, stage: str, total: int) -> None:
        self._total[stage], self._done[stage] = total, 0
        if self._json:
            self._write({"event": "begin", "stage": stage, "total": total})

    def step(self, stage: str, name: str, page: int | None = None, said: str = "") -> None:
        self._done[stage] += 1
        done, total = self._done[stage], self._total[stage]
        if self._json:
            self._write(
                {
                    "event": "step",
                    "stage": stage,
                    "file": name,
                    "page": page,
                    "done": done,
                    "total": total,
                    "said": said,
                }
            )
        else:
            where = printable(name) if page is None else f"{printable(name)} page {page}"
            self._stream.write(f"{stage} {done}/{total}: {where}{': ' + printable(said) if said else ''}\n")
            self._stream.flush()

    def _write(self, event: dict[str, object]) -> None:
        self._stream.write(json.dumps(event) + "\n")
        self._stream.flush()


class Bars:
    """Progress bars of a terminal."""

    def __init__(self, bars: RichBars) -> None:
        self._bars = bars
        self._task: dict[str, TaskID] = {}

    def begin(self, stage: str, total: int) -> None:
        self._task[stage] = self._bars.add_task(stage, total=total, name="")

    def step(self, stage: str, name: str, page: int | None = None, said: str = "") -> None:
        short = printable(PurePath(name).name)  # a bar has one line
        where = short if page is None else f"{short} page {page}"
        self._bars.update(self._task[stage], advance=1, name=escape(where))


@contextmanager
def shown(style: Style, verbose: bool) -> Iterator[Progress]:
    """The progress that was asked for; ``auto`` is bars on a terminal and nothing in a pipe."""
    if style == "json" or (verbose and style == "auto"):
        yield Lines(sys.stderr, as_json=style == "json")
        return
    console = Console(stderr=True)
    if style == "none" or not console.is_terminal:
        yield Silent()
        return
    columns = (
        TextColumn("{task.description:>8}"), BarColumn(), MofNCompleteColumn(), TimeElapsedColumn(),
        TextColumn("{task.fields[name]}"),
    )  # fmt: skip
    with RichBars(*columns, console=console, transient=True) as bars:
        yield Bars(bars)

"""What commands print: tables on standard output, notes and complaints on standard error."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click
from rich.console import Console

from cordpath import report
from cordpath.batch.order import Order, Outcome
from cordpath.errors import printable
from cordpath.symbols.learning.proposals import open_proposals

PIPE_WIDTH = 500  # columns where no terminal limits a table: as wide as what stands in it


A_SUBMITTAL = (".marked.pdf", ".marked.schedule.pdf", ".marked.xfdf")  # how files end of which each input has one
MOST_NAMED = 4  # of these, named one by one


class Tables(Console):
    """Standard output; in a pipe or a file, lines are as long as what they say."""

    def __init__(self) -> None:
        if sys.stdout.isatty():
            super().__init__(highlight=False)
        else:
            super().__init__(highlight=False, soft_wrap=True, width=PIPE_WIDTH)

    def on_broken_pipe(self) -> None:
        """Whoever read along has enough; everything is written, and the exit status says what was found."""
        self.quiet = True
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def say_stopping() -> None:
    click.echo("cordpath: stopping; what is done will be written (Ctrl-C again: at once)", err=True)


def complain(text: str) -> None:
    """Lines on standard error, in which texts of files steer no terminal."""
    for line in text.split("\n"):
        click.echo(printable(line), err=True)


def tell_notes(notes: tuple[str, ...]) -> None:
    for note in notes:
        click.echo(f"note: {printable(note)}", err=True)


def tell(outcome: Outcome, order: Order) -> None:
    """What came of a batch."""
    console = Tables()
    for part in report.console_tables(outcome.results, outcome.proposals, outcome.stopped):
        console.print(part)
    tell_notes((*open_proposals(order.mapping), *order.examples.astray, *outcome.notes))
    console.print(f"Written to {printable(str(order.out))}/: {files_written(outcome.written)}", markup=False)


def files_written(paths: tuple[Path, ...]) -> str:
    """Their names; of many of a kind, one a submittal, how many."""
    told: dict[str, list[str]] = {}
    for path in paths:
        ending = next((end for end in A_SUBMITTAL if path.name.endswith(end)), path.name)
        told.setdefault(ending, []).append(printable(path.name))
    return ", ".join(
        ", ".join(names) if len(names) <= MOST_NAMED else f"{len(names)} files *{ending}"
        for ending, names in told.items()
    )

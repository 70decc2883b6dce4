"""The commands: parse, call, print; nothing else."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, TaskID, TextColumn, TimeElapsedColumn
from rich.progress import Progress as Bars

from cordpath import __version__, batch, report
from cordpath.check import examples_from_files, load_mapping, understand
from cordpath.errors import ConfigurationRefused, CordpathError
from cordpath.model import Mapping, Run
from cordpath.rules import Edition, amend, default_edition, editions, load_amendment, load_edition
from cordpath.symbols import NO_EXAMPLES, Examples

WRONG_CALL = 2  # exit status: the call or a configuration file is wrong
STOPPED = 130  # exit status after Ctrl-C, by the shells' custom

CHECK_EPILOG = """\b
Examples:
  cordpath check plans/E-101.pdf --symbols symbols.yaml
  cordpath check submittals/ --symbols symbols.yaml --code 2020 --out review
  cordpath check "in/*.pdf" --symbols symbols.yaml --amend county.yaml --jobs 4
  cordpath check set.pdf --symbols symbols.yaml --pages 1,3-5

\b
Exit status:
  0  all sheets checked, nothing missing or unresolved
  1  something is missing or unresolved
  2  the call or a configuration file is wrong
  3  at least one sheet could not be checked (all the others were)

A drawing check only: the adopted code, the authority having jurisdiction and licensed practice decide.
"""


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="cordpath")
def main() -> None:
    """Find the outlets of house plans whose GFCI protection the code asks for and the drawing does not show."""


@main.command(epilog=CHECK_EPILOG)
@click.argument("sheets", nargs=-1, required=True, metavar="SHEETS...")
@click.option(
    "--symbols", "symbols", required=True, metavar="FILE", help="The mapping file: how symbols are drawn."
)
@click.option(
    "--code",
    "code",
    metavar="EDITION",
    type=click.Choice(editions()),
    default=default_edition(),
    show_default=True,
    help=f"Edition of the National Electrical Code: {', '.join(editions())}.",
)
@click.option(
    "--amend", "amendments", multiple=True, metavar="FILE", help="Local amendments; may be given several times."
)
@click.option("--out", default="review", show_default=True, metavar="DIR", help="Where the outputs go.")
@click.option(
    "--jobs", type=click.IntRange(1, 256), default=None, metavar="N", help="Worker processes [default: one a core]."
)
@click.option("--pages", default=None, metavar="LIST", help="Pages to check, such as 1,3-5 [default: all].")
@click.option(
    "--sheet-timeout",
    type=click.FloatRange(1),
    default=batch.SHEET_SECONDS,
    show_default=True,
    metavar="SECONDS",
    help="Give a sheet up after this time (with two jobs or more).",
)
@click.option(
    "--force", is_flag=True, help="Write over files of the output folder that are not from an earlier run."
)
def check(
    sheets: tuple[str, ...], symbols: str, code: str, amendments: tuple[str, ...], out: str, jobs: int | None,
    pages: str | None, sheet_timeout: float, force: bool,
) -> None:  # fmt: skip
    """Check plan sheets: PDF files, folders that hold some, or patterns."""
    with _one_clear_error():
        mapping, edition = _configuration(symbols, code, amendments)
        order = batch.Order(
            sheets, mapping, _examples(mapping), edition,
            Run(__version__, code, tuple(amendments), symbols),
            Path(out), jobs or os.cpu_count() or 1,
            batch.pages_wanted(pages) if pages else None, force, sheet_timeout,
        )  # fmt: skip
        with _bars() as progress:
            outcome = batch.run_batch(order, progress)
    _tell(outcome, order)
    sys.exit(outcome.status)


SHOW_EPILOG = """\b
Examples:
  cordpath show plans/E-101.pdf --symbols symbols.yaml
  cordpath show set.pdf --symbols symbols.yaml --page 3 --box 400,300,900,700 --dpi 300 --out kitchen.png
"""


@main.command(epilog=SHOW_EPILOG)
@click.argument("sheet", metavar="SHEET")
@click.option(
    "--symbols", "symbols", required=True, metavar="FILE", help="The mapping file: how symbols are drawn."
)
@click.option("--page", type=click.IntRange(1), default=1, show_default=True, help="Page of the file.")
@click.option("--out", default="understood.png", show_default=True, metavar="PNG", help="Where the picture goes.")
@click.option("--dpi", type=click.FloatRange(20, 600), default=100.0, show_default=True, help="Resolution.")
@click.option(
    "--box", default=None, metavar="X0,Y0,X1,Y1", help="Part of the page, in points from its top left corner."
)
def show(sheet: str, symbols: str, page: int, out: str, dpi: float, box: str | None) -> None:
    """Draw what was understood of a sheet: strokes, walls, rooms, symbols, words and cord paths."""
    with _one_clear_error():
        mapping = load_mapping(Path(symbols))
        picture = report.show(
            understand(Path(sheet), page, mapping, _examples(mapping)), dpi=dpi, crop=batch.box_wanted(box)
        )
        report.write_whole(Path(out), lambda path: picture.save(path, "PNG"))
    click.echo(f"Written: {out}")


def _configuration(symbols: str, code: str, amendments: tuple[str, ...]) -> tuple[Mapping, Edition]:
    """Mapping and edition in force; the faults of all files are told at once."""
    faults: list[CordpathError] = []
    mapping: Mapping | None = None
    edition = load_edition(code)
    try:
        mapping = load_mapping(Path(symbols))
    except CordpathError as error:
        faults.append(error)
    for file in amendments:
        try:
            edition = amend(edition, load_amendment(Path(file)))
        except CordpathError as error:
            faults.append(error)
    if mapping is None or faults:
        for fault in faults[:-1]:
            click.echo(str(fault), err=True)
        raise faults[-1]
    return mapping, edition


def _examples(mapping: Mapping) -> Examples:
    return examples_from_files(mapping) if any(entry.picked for entry in mapping.symbols) else NO_EXAMPLES


@contextmanager
def _one_clear_error() -> Iterator[None]:
    try:
        yield
    except ConfigurationRefused as error:
        click.echo(str(error), err=True)
        sys.exit(WRONG_CALL)
    except CordpathError as error:
        click.echo(f"cordpath: {error}", err=True)
        sys.exit(WRONG_CALL)
    except KeyboardInterrupt:
        click.echo("cordpath: stopped; nothing half-written was left behind", err=True)
        sys.exit(STOPPED)


class _RichProgress:
    """Progress bars on standard error; nothing when that is no terminal."""

    def __init__(self, bars: Bars) -> None:
        self._bars = bars
        self._task: TaskID | None = None

    def begin(self, what: str, total: int) -> None:
        self._task = self._bars.add_task(what, total=total, name="")

    def step(self, name: str) -> None:
        if self._task is not None:
            self._bars.update(self._task, advance=1, name=name)


@contextmanager
def _bars() -> Iterator[batch.Progress]:
    console = Console(stderr=True)
    if not console.is_terminal:
        yield batch.Silent()
        return
    columns = (
        TextColumn("{task.description:>8}"), BarColumn(), MofNCompleteColumn(), TimeElapsedColumn(),
        TextColumn("{task.fields[name]}"),
    )  # fmt: skip
    with Bars(*columns, console=console, transient=True) as bars:
        yield _RichProgress(bars)


def _tell(outcome: batch.Outcome, order: batch.Order) -> None:
    console = Console(highlight=False, soft_wrap=not sys.stdout.isatty())
    for part in report.console_tables(outcome.results, order.run):
        console.print(part)
    for note in outcome.notes:
        click.echo(f"note: {note}", err=True)
    console.print(f"Written to {order.out}/: " + ", ".join(path.name for path in outcome.written), markup=False)

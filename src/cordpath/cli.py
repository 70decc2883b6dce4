"""The commands: parse, call, print; nothing else."""

from __future__ import annotations

import os
import platform
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import click
from rich.console import Console

from cordpath import __version__, batch, learn, report, resubmittal, rulebook
from cordpath.check import load_mapping
from cordpath.cli_options import (
    REVIEW_OPTIONS,
    Asked,
    amend_option,
    code_option,
    day_of,
    jobs_option,
    memory_option,
    pages_option,
    password_option,
    permit_date_option,
    processes,
    put_on,
    quiet_option,
    run_options,
    symbols_option,
    timeout_option,
)
from cordpath.compare import run_comparison
from cordpath.errors import ConfigurationRefused, CordpathError, UsageRefused
from cordpath.keep import library_versions
from cordpath.model import Mapping, Run
from cordpath.order import password_in
from cordpath.progress import printable, shown
from cordpath.rules import (
    Edition,
    amend,
    dated,
    edition_cautions,
    editions,
    explain,
    find_lines,
    load_amendment,
    load_edition,
    rule_lines,
)
from cordpath.workers import Limits

PIPE_WIDTH = 500  # columns where no terminal limits a table: as wide as what stands in it
WRONG_CALL = 2  # exit status: the call or a configuration file is wrong

CHECK_EPILOG = """\b
Examples:
  cordpath check plans/E-101.pdf --symbols symbols.yaml
  cordpath check submittals/ --symbols symbols.yaml --code 2020 --out review
  cordpath check "in/*.pdf" --symbols symbols.yaml --amend county.yaml --jobs 4
  cordpath check set.pdf --symbols symbols.yaml --pages 1,3-5
  cordpath check plans/ --symbols symbols.yaml --code 2023 --permit-date 2026-10-15
  cordpath check submittals/ --symbols symbols.yaml --jobs 4 --sheet-memory 2000 --resume
  cordpath check submittals/ --symbols symbols.yaml --cluster tcp://10.0.0.5:8786

\b
Exit status:
  0  all sheets checked, nothing missing or unresolved
  1  something is missing or unresolved
  2  the call or a configuration file is wrong
  3  at least one sheet could not be checked or marked (all the others were)
  130  stopped by Ctrl-C or SIGTERM; what was done is written, --resume does the rest

A drawing check only: the adopted code, the authority having jurisdiction and licensed practice decide.
"""


def _versions(context: click.Context, _: click.Parameter, asked: bool) -> None:
    if asked:
        libraries = ", ".join(f"{name} {version}" for name, version in library_versions().items())
        click.echo(f"cordpath {__version__}\n{libraries}, Python {platform.python_version()}")
        context.exit()


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--version",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_versions,
    help="Show the version of cordpath and of the libraries that it reads with.",
)
def main() -> None:
    """Find the outlets of house plans whose GFCI protection the code asks for and the drawing does not show."""


@main.command(epilog=CHECK_EPILOG)
@click.argument("sheets", nargs=-1, required=True, metavar="SHEETS...")
@put_on(symbols_option, code_option, amend_option, permit_date_option, *REVIEW_OPTIONS)
@click.option("--out", default="review", show_default=True, metavar="DIR", help="Where the outputs go.")
@run_options
def check(
    sheets: tuple[str, ...], symbols: str, code: str, amendments: tuple[str, ...], permit_date: datetime | None,
    decisions: str | None, xfdf: bool, out: str, ask: Callable[[], Asked],
) -> None:  # fmt: skip
    """Check plan sheets: PDF files, folders that hold some, or patterns."""
    with _one_clear_error():
        mapping, (edition,) = _configuration(symbols, (code,), amendments, permit_date)
        asked = ask()
        run = _run(code, amendments, symbols, permit_date)
        order = asked.order(sheets, mapping, edition, run, out, decisions, xfdf)
        with batch.stop_on_interrupt(_say_stopping) as stop, shown(asked.style, asked.verbose) as told:
            outcome = batch.run_batch(order, told, stop)
    if not asked.quiet:
        _tell(outcome, order)
    sys.exit(outcome.status)


COMPARE_EPILOG = """\b
Examples:
  cordpath compare plans/ --symbols symbols.yaml --code 2020 --code 2023
  cordpath compare set.pdf --symbols symbols.yaml --code 2017 --code 2020 --code 2023 --out moved

\b
Exit status:
  0  no outlet changes its verdict        1  at least one does
  2  the call or a configuration file is wrong
  3  at least one sheet could not be read (all the others were)
"""


@main.command(epilog=COMPARE_EPILOG)
@click.argument("sheets", nargs=-1, required=True, metavar="SHEETS...")
@symbols_option
@click.option(
    "--code", "codes", multiple=True, required=True, metavar="EDITION", type=click.Choice(editions()),
    help=f"Give it for every edition to compare: {', '.join(editions())}.",
)  # fmt: skip
@put_on(amend_option, permit_date_option)
@click.option("--out", default="comparison", show_default=True, metavar="DIR", help="Where the outputs go.")
@run_options
def compare(
    sheets: tuple[str, ...], symbols: str, codes: tuple[str, ...], amendments: tuple[str, ...],
    permit_date: datetime | None, out: str, ask: Callable[[], Asked],
) -> None:  # fmt: skip
    """Tell what changes from edition to edition, outlet by outlet, in one reading of the sheets."""
    with _one_clear_error():
        years = tuple(dict.fromkeys(codes))
        if len(years) < 2:
            raise UsageRefused("one edition cannot be compared", cure="give --code twice or more")
        mapping, in_force = _configuration(symbols, years, amendments, permit_date)
        asked = ask()
        order = asked.order(sheets, mapping, in_force[0], _run(years[0], amendments, symbols, permit_date), out)
        with batch.stop_on_interrupt(_say_stopping) as stop, shown(asked.style, asked.verbose) as told:
            done = run_comparison(order, in_force, told, stop)
    if not asked.quiet:
        for part in report.comparison_tables(done.results):
            _console().print(part)
        for note in done.notes:
            click.echo(f"note: {printable(note)}", err=True)
        _console().print(f"Written to {out}/: {', '.join(path.name for path in done.written)}", markup=False)
    sys.exit(done.status)


SHOW_EPILOG = """\b
Examples:
  cordpath show plans/E-101.pdf --symbols symbols.yaml
  cordpath show set.pdf --symbols symbols.yaml --page 3 --box 400,300,900,700 --dpi 300 --out kitchen.png
"""


@main.command(epilog=SHOW_EPILOG)
@click.argument("sheet", metavar="SHEET")
@symbols_option
@click.option("--page", type=click.IntRange(1), default=1, show_default=True, help="Page of the file.")
@click.option("--out", default="understood.png", show_default=True, metavar="PNG", help="Where the picture goes.")
@click.option("--dpi", type=click.FloatRange(20, 600), default=100.0, show_default=True, help="Resolution.")
@click.option(
    "--box", default=None, metavar="X0,Y0,X1,Y1", help="Part of the page, in points from its top left corner."
)
@put_on(password_option, timeout_option, memory_option)
def show(
    sheet: str, symbols: str, page: int, out: str, dpi: float, box: str | None, password_file: str | None,
    sheet_timeout: float | None, sheet_memory: float | None,
) -> None:  # fmt: skip
    """Draw what was understood of a sheet: strokes, walls, rooms, symbols, words and cord paths."""
    with _one_clear_error():
        limits = Limits(sheet_timeout or batch.SHEET_SECONDS, sheet_memory or batch.SHEET_MEMORY_MB)
        mapping = load_mapping(Path(symbols))
        picture = batch.picture_of(
            Path(sheet), page, mapping, dpi, batch.box_wanted(box), password_in(password_file), limits
        )
        report.write_bytes_whole(Path(out), picture, inputs=(Path(sheet), Path(symbols)))
    click.echo(f"Written: {printable(out)}")


RULES_EPILOG = """\b
Examples:
  cordpath rules --code 2020
  cordpath rules --code 2023 --amend configs/amendments/utah-2023.yaml
  cordpath rules --code 2023 --permit-date 2026-10-15 | grep -i outdoor

Entries that an amendment changed, added or dropped are marked. Piped, the table is tab-separated.
"""
EXPLAIN_EPILOG = """\b
Examples:
  cordpath explain "210.8(A)(8)"
  cordpath explain "210.8(F)" --code 2020 --permit-date 2026-10-15
  cordpath explain E3902.6 --code 2017 --amend configs/amendments/residential-numbering.yaml
"""


_code_options = put_on(code_option, amend_option, permit_date_option)


@main.command("rules", epilog=RULES_EPILOG)
@_code_options
def rules_command(code: str, amendments: tuple[str, ...], permit_date: datetime | None) -> None:
    """Print the rules in force, with their citations."""
    with _one_clear_error():
        edition = _in_force(code, amendments, permit_date)
    lines = rule_lines(edition, load_edition(code))
    if sys.stdout.isatty():
        Console(highlight=False).print(rulebook.table(lines, edition, edition_cautions(edition)))
        return
    for line in rulebook.plain_table(lines):
        click.echo(line)
    for caution in edition_cautions(edition):
        click.echo(f"note: {caution}", err=True)


@main.command("explain", epilog=EXPLAIN_EPILOG)
@click.argument("citation")
@_code_options
def explain_command(citation: str, code: str, amendments: tuple[str, ...], permit_date: datetime | None) -> None:
    """Tell one rule: when it holds, its exceptions, how it is decided, and what the program cannot see."""
    with _one_clear_error():
        edition = _in_force(code, amendments, permit_date)
        lines = find_lines(citation, rule_lines(edition, load_edition(code)))
    for line in lines:
        told = explain(line, edition)
        if sys.stdout.isatty():
            Console(highlight=False).print(rulebook.entry(line, told, edition))
        else:
            click.echo("\n".join(rulebook.plain_entry(line, told, edition)))


LEARN_EPILOG = """\b
Examples:
  cordpath learn plans/E-101.pdf
  cordpath learn submittals/new-office/ --out new-office

\b
Then look over new-office/symbols.yaml with new-office/contact-sheet.png beside it, name what has no name, and:
  cordpath check submittals/new-office/ --symbols new-office/symbols.yaml
"""


@main.command("learn", epilog=LEARN_EPILOG)
@click.argument("sheets", nargs=-1, required=True, metavar="SHEETS...")
@click.option("--out", default="learnt", show_default=True, metavar="DIR", help="Where the two files go.")
@put_on(password_option, jobs_option, pages_option, timeout_option, memory_option, quiet_option)
@click.option("--force", is_flag=True, help="Write over a mapping file that is there.")
def learn_command(
    sheets: tuple[str, ...], out: str, password_file: str | None, jobs: int | None, pages: str | None,
    sheet_timeout: float | None, sheet_memory: float | None, quiet: bool, force: bool,
) -> None:  # fmt: skip
    """Write a starter mapping file for a new office's drawings, with a picture of every symbol in it.

    Symbols are taken from the legends of the sheets and from shapes that the plans repeat. Kinds are guessed from
    the legends' words: look over every entry.
    """
    with _one_clear_error():
        wanted = batch.pages_wanted(pages) if pages else None
        limits = Limits(sheet_timeout or batch.SHEET_SECONDS, sheet_memory or batch.SHEET_MEMORY_MB)
        many = processes(jobs, sheet_timeout is not None or sheet_memory is not None)
        lesson = learn.learn(sheets, Path(out), many, wanted, password_in(password_file), limits)
        written = learn.write_lesson(lesson, Path(out), force)
    if quiet:
        return
    for note in lesson.notes:
        click.echo(f"note: {printable(note)}", err=True)
    named = sum(bool(entry.sample.text) for entry in lesson.entries)
    fixtures = sum(entry.sample.fixture is not None for entry in lesson.entries)
    shapes = len(lesson.entries) - named - fixtures
    click.echo(f"{named} symbols from legends, {fixtures} fixtures by their shape, {shapes} shapes to be named")
    click.echo("Written: " + ", ".join(printable(str(path)) for path in written))


RECHECK_EPILOG = """\b
Examples:
  cordpath recheck review/ resubmittal/ --symbols symbols.yaml
  cordpath recheck review/results.json set-2.pdf --symbols symbols.yaml --marked answered.marked.pdf --out review-2

\b
Exit status as of check; the new review is written too. Comments keep their numbers.
"""


@main.command("recheck", epilog=RECHECK_EPILOG)
@click.argument("old", metavar="OLD_RESULTS")
@click.argument("sheets", nargs=-1, required=True, metavar="NEW_SHEETS...")
@put_on(symbols_option, code_option, amend_option, permit_date_option)
@click.option(
    "--marked", multiple=True, metavar="FILE",
    help="An old marked copy with states and replies in it; may be given several times.",
)  # fmt: skip
@put_on(*REVIEW_OPTIONS)
@click.option("--out", default="recheck", show_default=True, metavar="DIR", help="Where the outputs go.")
@run_options
def recheck_command(
    old: str, sheets: tuple[str, ...], symbols: str, code: str, amendments: tuple[str, ...],
    permit_date: datetime | None, marked: tuple[str, ...], decisions: str | None, xfdf: bool, out: str,
    ask: Callable[[], Asked],
) -> None:  # fmt: skip
    """Check a resubmittal, and say what became of every finding of the earlier review."""
    with _one_clear_error():
        mapping, (edition,) = _configuration(symbols, (code,), amendments, permit_date)
        asked = ask()
        run = _run(code, amendments, symbols, permit_date)
        order = asked.order(sheets, mapping, edition, run, out, decisions, xfdf)
        with batch.stop_on_interrupt(_say_stopping) as stop, shown(asked.style, asked.verbose) as told:
            again = resubmittal.run(Path(old), [Path(each) for each in marked], order, told, stop)
    if not asked.quiet:
        _tell(again.outcome, order)
        console = _console()
        console.print(resubmittal.recheck_table(again.done, again.answers))
        for line in resubmittal.unclouded_lines(again.done):
            console.print(f"Changed without a revision cloud: {printable(line)}", markup=False)
        console.print(f"Written: {', '.join(printable(str(path)) for path in again.written)}", markup=False)
    sys.exit(again.outcome.status)


def _configuration(
    symbols: str, years: tuple[str, ...], amendments: tuple[str, ...], permit_date: datetime | None
) -> tuple[Mapping, tuple[Edition, ...]]:
    """Mapping and editions in force; the faults of all files are told at once."""
    faults: dict[str, CordpathError] = {}
    mapping: Mapping | None = None
    try:
        mapping = load_mapping(Path(symbols))
    except CordpathError as error:
        faults[str(error)] = error
    in_force = []
    for year in years:
        edition = _dated(year, permit_date)
        for file in amendments:
            try:
                edition = amend(edition, load_amendment(Path(file)))
            except CordpathError as error:
                faults[str(error)] = error
        in_force.append(edition)
    if mapping is None or faults:
        for text in list(faults)[:-1]:
            _complain(text)
        raise list(faults.values())[-1]
    return mapping, tuple(in_force)


def _in_force(code: str, amendments: tuple[str, ...], permit_date: datetime | None) -> Edition:
    """The edition with its amendments; raises what their files are refused for."""
    edition = _dated(code, permit_date)
    for file in amendments:
        edition = amend(edition, load_amendment(Path(file)))
    return edition


def _dated(year: str, permit_date: datetime | None) -> Edition:
    day, edition = day_of(permit_date), load_edition(year)
    return edition if day is None else dated(edition, day)


def _run(code: str, amendments: tuple[str, ...], symbols: str, permit_date: datetime | None) -> Run:
    day = day_of(permit_date)
    return Run(__version__, code, tuple(amendments), symbols, {}, str(day) if day else None, _today())


def _today() -> str:
    """The day in UTC; that of SOURCE_DATE_EPOCH where outputs are to be made again with the same bytes.

    Source: https://reproducible-builds.org/specs/source-date-epoch/
    """
    stated = os.environ.get("SOURCE_DATE_EPOCH", "")
    fixed = stated.isascii() and stated.isdigit() and len(stated) < 12
    return str((datetime.fromtimestamp(int(stated), UTC) if fixed else datetime.now(UTC)).date())


def _say_stopping() -> None:
    click.echo("cordpath: stopping; what is done will be written (Ctrl-C again: at once)", err=True)


def _complain(text: str) -> None:
    """Lines on standard error, in which texts of files steer no terminal."""
    for line in text.split("\n"):
        click.echo(printable(line), err=True)


@contextmanager
def _one_clear_error() -> Iterator[None]:
    try:
        yield
    except ConfigurationRefused as error:
        _complain(str(error))
        sys.exit(WRONG_CALL)
    except CordpathError as error:
        _complain(f"cordpath: {error}")
        sys.exit(WRONG_CALL)
    except KeyboardInterrupt:
        click.echo("cordpath: stopped; nothing half-written was left behind", err=True)
        sys.exit(batch.STOPPED)


def _console() -> Console:
    """Standard output; in a pipe or a file, lines are as long as what they say."""
    if sys.stdout.isatty():
        return Console(highlight=False)
    return Console(highlight=False, soft_wrap=True, width=PIPE_WIDTH)


def _tell(outcome: batch.Outcome, order: batch.Order) -> None:
    console = _console()
    for part in report.console_tables(outcome.results, order.run, outcome.proposals):
        console.print(part)
    for note in outcome.notes:
        click.echo(f"note: {printable(note)}", err=True)
    console.print(
        f"Written to {order.out}/: " + ", ".join(printable(path.name) for path in outcome.written), markup=False
    )

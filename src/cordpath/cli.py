"""The commands: parse, call, print; nothing else."""

from __future__ import annotations

import os
import platform
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from pathlib import Path

import click
from rich.console import Console

from cordpath import __version__, batch, learn, report, resubmittal, rulebook
from cordpath.check import load_mapping, understand
from cordpath.compare import run_comparison
from cordpath.decisions import load_decisions
from cordpath.errors import ConfigurationRefused, CordpathError, UsageRefused
from cordpath.keep import library_versions
from cordpath.model import Mapping, Run
from cordpath.order import password_in
from cordpath.progress import Style, printable, shown
from cordpath.rules import (
    Edition,
    amend,
    dated,
    default_edition,
    edition_cautions,
    editions,
    explain,
    find_lines,
    load_amendment,
    load_edition,
    rule_lines,
)

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
  130  stopped by Ctrl-C; what was done is written, --resume does the rest

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
@click.option(
    "--permit-date", type=click.DateTime(["%Y-%m-%d"]), default=None, metavar="YYYY-MM-DD",
    help="Day that decides dated rules; without it they end as questions.",
)  # fmt: skip
@click.option("--decisions", default=None, metavar="FILE", help="The reviewer's rulings, shown with the verdicts.")
@click.option(
    "--password-file", default=None, metavar="FILE",
    help="Text file whose first line opens encrypted sheets: others can see a command line.",
)  # fmt: skip
@click.option("--xfdf", is_flag=True, help="Write the marks of every file as XFDF (ISO 19444-1) too.")
@click.option("--out", default="review", show_default=True, metavar="DIR", help="Where the outputs go.")
@click.option(
    "--jobs",
    type=click.IntRange(1, 256),
    default=None,
    metavar="N",
    help="Worker processes [default: one a core]. With --jobs 1 alone, sheets are read in this process: "
    "one that crashes it ends the run. Add --sheet-timeout or --sheet-memory to have one worker process instead.",
)
@click.option("--pages", default=None, metavar="LIST", help="Pages to check, such as 1,3-5 [default: all].")
@click.option(
    "--sheet-timeout",
    type=click.FloatRange(1),
    default=None,
    metavar="SECONDS",
    help=f"Give a sheet up after this time [default: {batch.SHEET_SECONDS:g}].",
)
@click.option(
    "--sheet-memory",
    type=click.FloatRange(300),
    default=None,
    metavar="MB",
    help=f"Give a sheet up when its process grows larger [default: {batch.SHEET_MEMORY_MB:g}].",
)
@click.option(
    "--resume",
    is_flag=True,
    help="Read only what changed since the last run into the same folder (sheets, mapping file or program). "
    "Files that are locked with a password are read again: their readings are not kept on the disk.",
)
@click.option(
    "--cluster",
    default=None,
    metavar="ADDRESS",
    help="Read on a Dask cluster: the scheduler's address. Its workers see all files under the same paths.",
)
@click.option(
    "--progress",
    type=click.Choice(["auto", "json", "none"]),
    default="auto",
    show_default=True,
    help="On standard error: bars on a terminal (auto), or one JSON object a line.",
)
@click.option("-q", "--quiet", is_flag=True, help="Print nothing but errors.")
@click.option("-v", "--verbose", is_flag=True, help="One line on standard error for each sheet that is done.")
@click.option(
    "--force", is_flag=True, help="Write over files of the output folder that are not from an earlier run."
)
def check(
    sheets: tuple[str, ...], symbols: str, code: str, amendments: tuple[str, ...], permit_date: datetime | None,
    decisions: str | None, password_file: str | None, xfdf: bool, out: str, jobs: int | None, pages: str | None,
    sheet_timeout: float | None, sheet_memory: float | None, resume: bool, cluster: str | None, progress: Style,
    quiet: bool, verbose: bool, force: bool,
) -> None:  # fmt: skip
    """Check plan sheets: PDF files, folders that hold some, or patterns."""
    with _one_clear_error():
        day = permit_date.date() if permit_date is not None else None
        mapping, edition = _configuration(symbols, code, amendments, day)
        order = batch.Order(
            sheets, mapping, batch.picked_examples(mapping), edition,
            Run(__version__, code, tuple(amendments), symbols, permit_date=str(day) if day else None),
            Path(out), _processes(jobs, sheet_timeout is not None or sheet_memory is not None),
            batch.pages_wanted(pages) if pages else None, force,
            sheet_timeout or batch.SHEET_SECONDS, sheet_memory or batch.SHEET_MEMORY_MB, resume, cluster,
            load_decisions(Path(decisions)) if decisions else (), password_in(password_file), xfdf,
        )  # fmt: skip
        with batch.stop_on_interrupt(_say_stopping) as stop, shown("none" if quiet else progress, verbose) as told:
            outcome = batch.run_batch(order, told, stop)
    if not quiet:
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
@click.option(
    "--symbols", "symbols", required=True, metavar="FILE", help="The mapping file: how symbols are drawn."
)
@click.option(
    "--code", "codes", multiple=True, required=True, metavar="EDITION", type=click.Choice(editions()),
    help=f"Give it for every edition to compare: {', '.join(editions())}.",
)  # fmt: skip
@click.option(
    "--permit-date", type=click.DateTime(["%Y-%m-%d"]), default=None, metavar="YYYY-MM-DD",
    help="Day that decides dated rules; without it they end as questions.",
)  # fmt: skip
@click.option("--out", default="comparison", show_default=True, metavar="DIR", help="Where the outputs go.")
@click.option(
    "--jobs", type=click.IntRange(1, 256), default=None, metavar="N", help="Worker processes [default: one a core]."
)
@click.option("--pages", default=None, metavar="LIST", help="Pages to read, such as 1,3-5 [default: all].")
@click.option("--resume", is_flag=True, help="Read only what changed since the last run into the same folder.")
@click.option("-q", "--quiet", is_flag=True, help="Print nothing but errors.")
@click.option(
    "--force", is_flag=True, help="Write over files of the output folder that are not from an earlier run."
)
def compare(
    sheets: tuple[str, ...], symbols: str, codes: tuple[str, ...], permit_date: datetime | None, out: str,
    jobs: int | None, pages: str | None, resume: bool, quiet: bool, force: bool,
) -> None:  # fmt: skip
    """Tell what changes from edition to edition, outlet by outlet, in one reading of the sheets."""
    with _one_clear_error():
        years = tuple(dict.fromkeys(codes))
        if len(years) < 2:
            raise UsageRefused("one edition cannot be compared", cure="give --code twice or more")
        in_force = tuple(_in_force(year, (), permit_date) for year in years)
        mapping = load_mapping(Path(symbols))
        order = batch.Order(
            sheets, mapping, batch.picked_examples(mapping), in_force[0], Run(__version__, years[0], (), symbols),
            Path(out), _processes(jobs, False), batch.pages_wanted(pages) if pages else None, force,
            resume=resume,
        )  # fmt: skip
        style: Style = "none" if quiet else "auto"
        with batch.stop_on_interrupt(_say_stopping) as stop, shown(style, False) as told:
            done = run_comparison(order, in_force, told, stop)
    if not quiet:
        console = Console(highlight=False, soft_wrap=not sys.stdout.isatty())
        for part in report.comparison_tables(done.results):
            console.print(part)
        console.print(f"Written to {out}/: {', '.join(path.name for path in done.written)}", markup=False)
    sys.exit(done.status)


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
            understand(Path(sheet), page, mapping, batch.examples_for(mapping, Path(sheet))),
            dpi=dpi,
            crop=batch.box_wanted(box),
        )
        report.write_whole(Path(out), lambda path: picture.save(path, "PNG"))
    click.echo(f"Written: {out}")


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


def _in_force(code: str, amendments: tuple[str, ...], permit_date: datetime | None) -> Edition:
    """The edition with its amendments; raises what their files are refused for."""
    edition = load_edition(code)
    edition = dated(edition, permit_date.date()) if permit_date is not None else edition
    for file in amendments:
        edition = amend(edition, load_amendment(Path(file)))
    return edition


def _code_options(command: Callable[..., None]) -> Callable[..., None]:
    """--code, --amend and --permit-date, as ``check`` has them."""
    options = (
        click.option("--code", metavar="EDITION", type=click.Choice(editions()), default=default_edition(),
                     show_default=True, help=f"Edition of the National Electrical Code: {', '.join(editions())}."),
        click.option("--amend", "amendments", multiple=True, metavar="FILE",
                     help="Local amendments; may be given several times."),
        click.option("--permit-date", type=click.DateTime(["%Y-%m-%d"]), default=None, metavar="YYYY-MM-DD",
                     help="Day that decides dated rules."),
    )  # fmt: skip
    for option in reversed(options):
        command = option(command)
    return command


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
@click.option("--pages", default=None, metavar="LIST", help="Pages to look at, such as 1,3-5 [default: all].")
@click.option("--jobs", type=click.IntRange(1, 256), default=None, metavar="N", help="Worker processes.")
@click.option("--force", is_flag=True, help="Write over a mapping file that is there.")
def learn_command(sheets: tuple[str, ...], out: str, pages: str | None, jobs: int | None, force: bool) -> None:
    """Write a starter mapping file for a new office's drawings, with a picture of every symbol in it.

    Symbols are taken from the legends of the sheets and from shapes that the plans repeat. Kinds are guessed from
    the legends' words: look over every entry.
    """
    with _one_clear_error():
        wanted = batch.pages_wanted(pages) if pages else None
        lesson = learn.learn(sheets, Path(out), _processes(jobs, False), wanted)
        written = learn.write_lesson(lesson, Path(out), force)
    for note in lesson.notes:
        click.echo(f"note: {printable(note)}", err=True)
    named = sum(bool(entry.sample.text) for entry in lesson.entries)
    click.echo(f"{named} symbols from legends, {len(lesson.entries) - named} shapes to be named")
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
@click.option(
    "--symbols", "symbols", required=True, metavar="FILE", help="The mapping file: how symbols are drawn."
)
@_code_options
@click.option("--marked", default=None, metavar="FILE", help="The old marked copy with states and replies in it.")
@click.option("--decisions", default=None, metavar="FILE", help="The reviewer's rulings, shown with the verdicts.")
@click.option("--password-file", default=None, metavar="FILE", help="Text file whose first line opens the sheets.")
@click.option("--out", default="recheck", show_default=True, metavar="DIR", help="Where the outputs go.")
@click.option("--jobs", type=click.IntRange(1, 256), default=None, metavar="N", help="Worker processes.")
@click.option("-q", "--quiet", is_flag=True, help="Print nothing but errors.")
@click.option("--force", is_flag=True, help="Write over files that are not from an earlier run.")
def recheck_command(
    old: str, sheets: tuple[str, ...], symbols: str, code: str, amendments: tuple[str, ...],
    permit_date: datetime | None, marked: str | None, decisions: str | None, password_file: str | None, out: str,
    jobs: int | None, quiet: bool, force: bool,
) -> None:  # fmt: skip
    """Check a resubmittal, and say what became of every finding of the earlier review."""
    with _one_clear_error():
        day = permit_date.date() if permit_date is not None else None
        mapping, edition = _configuration(symbols, code, amendments, day)
        password = password_in(password_file)
        order = batch.Order(
            sheets, mapping, batch.picked_examples(mapping), edition,
            Run(__version__, code, tuple(amendments), symbols, permit_date=str(day) if day else None),
            Path(out), _processes(jobs, False), force=force,
            decisions=load_decisions(Path(decisions)) if decisions else (), password=password,
        )  # fmt: skip
        with batch.stop_on_interrupt(_say_stopping) as stop, shown("none" if quiet else "auto", False) as told:
            again = resubmittal.run(Path(old), Path(marked) if marked else None, order, told, stop)
    if not quiet:
        _tell(again.outcome, order)
        console = Console(highlight=False, soft_wrap=not sys.stdout.isatty())
        console.print(resubmittal.recheck_table(again.done, again.answers))
        for line in resubmittal.unclouded_lines(again.done):
            console.print(f"Changed without a revision cloud: {printable(line)}", markup=False)
        console.print(f"Written: {', '.join(printable(str(path)) for path in again.written)}", markup=False)
    sys.exit(again.outcome.status)


def _configuration(
    symbols: str, code: str, amendments: tuple[str, ...], day: date | None
) -> tuple[Mapping, Edition]:
    """Mapping and edition in force; the faults of all files are told at once."""
    faults: list[CordpathError] = []
    mapping: Mapping | None = None
    edition = load_edition(code)
    edition = dated(edition, day) if day is not None else edition
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
            _complain(str(fault))
        raise faults[-1]
    return mapping, edition


def _processes(jobs: int | None, limited: bool) -> int:
    """Worker processes; 0 means this one, which is for looking into the program itself."""
    if jobs is None:
        return os.cpu_count() or 1
    return 0 if jobs == 1 and not limited else jobs


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


def _tell(outcome: batch.Outcome, order: batch.Order) -> None:
    console = Console(highlight=False, soft_wrap=not sys.stdout.isatty())
    for part in report.console_tables(outcome.results, order.run, outcome.proposals):
        console.print(part)
    for note in outcome.notes:
        click.echo(f"note: {printable(note)}", err=True)
    console.print(
        f"Written to {order.out}/: " + ", ".join(printable(path.name) for path in outcome.written), markup=False
    )

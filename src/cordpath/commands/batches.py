"""The commands that go through many sheets: check, compare and recheck."""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import wraps
from pathlib import Path
from typing import Any

import click

from cordpath import report
from cordpath.batch import batch
from cordpath.batch.compare import run_comparison
from cordpath.batch.order import Order
from cordpath.batch.progress import Progress, shown
from cordpath.commands.calls import Call
from cordpath.commands.configuration import configuration, run_of
from cordpath.commands.options import (
    REVIEW_OPTIONS,
    Asked,
    amend_option,
    code_option,
    permit_date_option,
    put_on,
    run_options,
    symbols_option,
)
from cordpath.commands.said import Tables, say_stopping, tell, tell_notes
from cordpath.errors import UsageRefused, printable
from cordpath.resubmittal import resubmittal
from cordpath.rules import editions
from cordpath.symbols.learning.proposals import open_proposals

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
  1  something is missing or unresolved, or an outlet of the legend has no entry in the mapping file
  2  the call or a configuration file is wrong
  3  at least one sheet could not be checked or marked (all the others were), or none has anything to check
  130  stopped by Ctrl-C or SIGTERM; what was done is written, --resume does the rest

A drawing check only: the adopted code, the authority having jurisdiction and licensed practice decide.
"""


@contextmanager
def _under_way(asked: Asked) -> Iterator[tuple[Progress, threading.Event]]:
    with batch.stop_on_interrupt(say_stopping) as stop, shown(asked.style, asked.verbose) as told:
        yield told, stop


def _end(status: int, stop: threading.Event) -> None:
    """An interrupt that came when all was done is told by the exit status too."""
    sys.exit(batch.STOPPED if stop.is_set() else status)


Review = Callable[[], tuple[Asked, Order]]


def _reviewing(command: Callable[..., None]) -> Callable[..., None]:
    """The options of a batch with those of a review, which the command gets as a function that gives how to run it
    and the order, or raises CordpathError, under the name of ``review``.
    """

    @wraps(command)
    def gathered(
        *, sheets: tuple[str, ...], symbols: str, code: str, amendments: tuple[str, ...],
        permit_date: datetime | None, decisions: str | None, xfdf: bool, out: str, ask: Callable[[], Asked],
        **rest: Any,
    ) -> None:  # fmt: skip
        def review() -> tuple[Asked, Order]:
            mapping, (edition,) = configuration(symbols, (code,), amendments, permit_date)
            asked = ask()
            run = run_of(code, amendments, symbols, permit_date)
            return asked, asked.order(sheets, mapping, edition, run, out, decisions, xfdf)

        command(review=review, **rest)

    return run_options(gathered)


@click.command(
    "check", cls=Call, epilog=CHECK_EPILOG,
    short_help="Check sheets: what the code asks for and is not drawn.",
)  # fmt: skip
@click.argument("sheets", nargs=-1, required=True, metavar="SHEETS...")
@put_on(symbols_option, code_option, amend_option, permit_date_option, *REVIEW_OPTIONS)
@click.option("--out", default="review", show_default=True, metavar="DIR", help="Where the outputs go.")
@_reviewing
def check_command(review: Review) -> None:
    """Check plan sheets: PDF files, folders that hold some, or patterns."""
    asked, order = review()
    with _under_way(asked) as (told, stop):
        outcome = batch.run_batch(order, told, stop)
    if not asked.quiet:
        tell(outcome, order)
    _end(outcome.status, stop)


COMPARE_EPILOG = """\b
Examples:
  cordpath compare plans/ --symbols symbols.yaml --code 2020 --code 2023
  cordpath compare set.pdf --symbols symbols.yaml --code 2017 --code 2020 --code 2023 --out moved

\b
Exit status:
  0  no outlet changes its verdict        1  at least one does
  2  the call or a configuration file is wrong
  3  at least one sheet could not be read (all the others were), or none has anything to check
"""


@click.command(
    "compare", cls=Call, epilog=COMPARE_EPILOG,
    short_help="What changes from edition to edition, outlet by outlet.",
)  # fmt: skip
@click.argument("sheets", nargs=-1, required=True, metavar="SHEETS...")
@symbols_option
@click.option(
    "--code", "codes", multiple=True, required=True, metavar="EDITION", type=click.Choice(editions()),
    help=f"Give it for every edition to compare: {', '.join(editions())}.",
)  # fmt: skip
@put_on(amend_option, permit_date_option)
@click.option("--out", default="comparison", show_default=True, metavar="DIR", help="Where the outputs go.")
@run_options
def compare_command(
    sheets: tuple[str, ...], symbols: str, codes: tuple[str, ...], amendments: tuple[str, ...],
    permit_date: datetime | None, out: str, ask: Callable[[], Asked],
) -> None:  # fmt: skip
    """Tell what changes from edition to edition, outlet by outlet, in one reading of the sheets."""
    years = tuple(dict.fromkeys(codes))
    if len(years) < 2:
        raise UsageRefused("one edition cannot be compared", cure="give --code twice or more")
    mapping, compared = configuration(symbols, years, amendments, permit_date)
    asked = ask()
    order = asked.order(sheets, mapping, compared[0], run_of(years[0], amendments, symbols, permit_date), out)
    with _under_way(asked) as (told, stop):
        done = run_comparison(order, compared, told, stop)
    if not asked.quiet:
        console = Tables()
        for part in report.comparison_tables(done.results):
            console.print(part)
        tell_notes((*open_proposals(mapping), *order.examples.astray, *done.notes))
        names = ", ".join(printable(path.name) for path in done.written)
        console.print(f"Written to {printable(out)}/: {names}", markup=False)
    _end(done.status, stop)


RECHECK_EPILOG = """\b
Examples:
  cordpath recheck review/ resubmittal/ --symbols symbols.yaml
  cordpath recheck review/results.json set-2.pdf --symbols symbols.yaml --marked answered.marked.pdf --out review-2

\b
Exit status as of check; the new review is written too. Comments keep their numbers.
"""


@click.command(
    "recheck", cls=Call, epilog=RECHECK_EPILOG,
    short_help="Check a resubmittal: what became of every finding.",
)  # fmt: skip
@click.argument("old", metavar="OLD_RESULTS")
@click.argument("sheets", nargs=-1, required=True, metavar="NEW_SHEETS...")
@put_on(symbols_option, code_option, amend_option, permit_date_option)
@click.option(
    "--marked", multiple=True, metavar="FILE",
    help="An old marked copy with states and replies in it; may be given several times.",
)  # fmt: skip
@put_on(*REVIEW_OPTIONS)
@click.option("--out", default="recheck", show_default=True, metavar="DIR", help="Where the outputs go.")
@_reviewing
def recheck_command(old: str, marked: tuple[str, ...], review: Review) -> None:
    """Check a resubmittal, and say what became of every finding of the earlier review."""
    asked, order = review()
    with _under_way(asked) as (told, stop):
        again = resubmittal.run(Path(old), [Path(each) for each in marked], order, told, stop)
    if not asked.quiet:
        tell(again.outcome, order)
        console = Tables()
        tell_notes(again.notes)
        console.print(resubmittal.recheck_table(again.done, again.answers))
        for line in resubmittal.unclouded_lines(again.done):
            console.print(f"Changed without a revision cloud: {printable(line)}", markup=False)
        console.print(f"Written: {', '.join(printable(str(path)) for path in again.written)}", markup=False)
    _end(again.outcome.status, stop)

"""Options that several commands share, under the same names and with the same meaning everywhere."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import wraps
from pathlib import Path
from typing import Any

import click

from cordpath.batch import batch
from cordpath.batch.order import Order, password_in
from cordpath.batch.progress import Style
from cordpath.decisions import load_decisions
from cordpath.errors import UsageRefused
from cordpath.model import Mapping, Run
from cordpath.rules import Edition, default_edition, editions

Command = Callable[..., None]
Option = Callable[[Command], Command]

symbols_option: Option = click.option(
    "--symbols", "symbols", required=True, metavar="FILE",
    help="The mapping file: how symbols are drawn. 'cordpath learn' writes one.",
)  # fmt: skip
amend_option: Option = click.option(
    "--amend", "amendments", multiple=True, metavar="FILE", help="Local amendments; may be given several times."
)


class _Day(click.DateTime):
    """A day, refused in words that say how to write one."""

    def __init__(self) -> None:
        super().__init__(["%Y-%m-%d"])

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        try:
            return super().convert(value, param, ctx)
        except click.BadParameter:
            self.fail(f"{value!r} is no day of the calendar; write it year first, like 2026-10-15.", param, ctx)


permit_date_option: Option = click.option(
    "--permit-date", type=_Day(), default=None, metavar="YYYY-MM-DD",
    help="Day that decides dated rules; without it they end as questions.",
)  # fmt: skip
code_option: Option = click.option(
    "--code", metavar="EDITION", type=click.Choice(editions()), default=default_edition(), show_default=True,
    help=f"Edition of the National Electrical Code: {', '.join(editions())}.",
)  # fmt: skip
password_option: Option = click.option(
    "--password-file", default=None, metavar="FILE",
    help="Text file whose first line opens encrypted sheets: others can see a command line.",
)  # fmt: skip
pages_option: Option = click.option(
    "--pages", default=None, metavar="LIST", help="Pages to read, such as 1,3-5 [default: all]."
)
jobs_option: Option = click.option(
    "--jobs", type=click.IntRange(0, 256), default=None, metavar="N",
    help="Worker processes [default: one a core]. With --jobs 0 sheets are read in this process, without limits: "
    "one that crashes it ends the run.",
)  # fmt: skip
timeout_option: Option = click.option(
    "--sheet-timeout", type=click.FloatRange(1), default=None, metavar="SECONDS",
    help=f"Give a sheet up after this time [default: {batch.SHEET_SECONDS:g}].",
)  # fmt: skip
memory_option: Option = click.option(
    "--sheet-memory", type=click.FloatRange(300), default=None, metavar="MB",
    help=f"Give a sheet up when its process grows larger [default: {batch.SHEET_MEMORY_MB:g}].",
)  # fmt: skip
quiet_option: Option = click.option("-q", "--quiet", is_flag=True, help="Print nothing but errors.")
verbose_option: Option = click.option(
    "-v", "--verbose", is_flag=True, help="One line on standard error for each sheet that is done."
)
RUN_OPTIONS: tuple[Option, ...] = (
    password_option, jobs_option, pages_option, timeout_option, memory_option,
    click.option(
        "--resume", is_flag=True,
        help="Read only what changed since the last run into the same folder (sheets, mapping file or program). "
        "Files that are locked with a password are read again: their readings are not kept on the disk.",
    ),
    click.option(
        "--cluster", default=None, metavar="ADDRESS",
        help="Read on a Dask cluster: the scheduler's address. Its workers see all files under the same paths.",
    ),
    click.option(
        "--progress", type=click.Choice(["auto", "json", "none"]), default="auto", show_default=True,
        help="On standard error: bars on a terminal (auto), or one JSON object a line.",
    ),
    quiet_option,
    verbose_option,
    click.option(
        "--force", is_flag=True, help="Write over files of the output folder that are not from an earlier run."
    ),
)  # fmt: skip
REVIEW_OPTIONS: tuple[Option, ...] = (
    click.option(
        "--decisions", default=None, metavar="FILE", help="The reviewer's rulings, shown with the verdicts."
    ),
    click.option("--xfdf", is_flag=True, help="Write the marks of every file as XFDF (ISO 19444-1) too."),
)


@dataclass(frozen=True)
class Asked:
    """How a batch is to be run, whatever is done with its sheets."""

    password: str | None = field(repr=False)
    processes: int
    pages: frozenset[int] | None
    seconds: float
    memory_mb: float
    resume: bool
    cluster: str | None
    progress: Style
    quiet: bool
    verbose: bool
    force: bool

    @property
    def style(self) -> Style:
        return "none" if self.quiet else self.progress

    def order(
        self, sheets: tuple[str, ...], mapping: Mapping, edition: Edition, run: Run, out: str,
        decisions: str | None = None, xfdf: bool = False,
    ) -> Order:  # fmt: skip
        """Raises CordpathError where an example or the rulings cannot be read."""
        return Order(
            sheets, mapping, batch.picked_examples(mapping, self.password), edition, run, Path(out), self.processes,
            self.pages, self.force, self.seconds, self.memory_mb, self.resume, self.cluster,
            load_decisions(Path(decisions)) if decisions else (), self.password, xfdf,
        )  # fmt: skip


def put_on(*options: Option) -> Option:
    """These options, in this order."""

    def decorated(command: Command) -> Command:
        for option in reversed(options):
            command = option(command)
        return command

    return decorated


def run_options(command: Command) -> Command:
    """The options of a batch, which the command gets as a function that gives :class:`Asked` or raises
    UsageRefused, under the name of ``ask``.
    """

    @wraps(command)
    def gathered(
        *words: Any, password_file: str | None, jobs: int | None, pages: str | None, sheet_timeout: float | None,
        sheet_memory: float | None, resume: bool, cluster: str | None, progress: Style, quiet: bool, verbose: bool,
        force: bool, **rest: Any,
    ) -> None:  # fmt: skip
        def ask() -> Asked:
            limited = sheet_timeout is not None or sheet_memory is not None
            wanted = None if pages is None else batch.pages_wanted(pages)
            return Asked(
                password_in(password_file), processes(jobs, limited), wanted,
                sheet_timeout or batch.SHEET_SECONDS, sheet_memory or batch.SHEET_MEMORY_MB, resume, cluster,
                progress, quiet, verbose, force,
            )  # fmt: skip

        command(*words, ask=ask, **rest)

    return put_on(*RUN_OPTIONS)(gathered)


def processes(jobs: int | None, limited: bool) -> int:
    """Worker processes; 0 means this one, which is for looking into the program itself.  Raises UsageRefused."""
    if jobs == 0 and limited:
        raise UsageRefused("nothing limits the time and the memory of --jobs 0", cure="use --jobs 1")
    return (os.cpu_count() or 1) if jobs is None else jobs


def day_of(permit_date: datetime | None) -> date | None:
    return permit_date.date() if permit_date is not None else None

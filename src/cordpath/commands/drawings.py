"""The commands that look into drawings: show and learn."""

from __future__ import annotations

from pathlib import Path

import click

from cordpath import batch, learn, report
from cordpath.check import load_mapping
from cordpath.child import Limits
from cordpath.commands.options import (
    jobs_option,
    memory_option,
    pages_option,
    password_option,
    processes,
    put_on,
    quiet_option,
    symbols_option,
    timeout_option,
)
from cordpath.commands.said import tell_notes
from cordpath.order import password_in
from cordpath.progress import printable

SHOW_EPILOG = """\b
Examples:
  cordpath show plans/E-101.pdf --symbols symbols.yaml
  cordpath show set.pdf --symbols symbols.yaml --page 3 --box 400,300,900,700 --dpi 300 --out kitchen.png
"""


@click.command("show", epilog=SHOW_EPILOG)
@click.argument("sheet", metavar="SHEET")
@symbols_option
@click.option("--page", type=click.IntRange(1), default=1, show_default=True, help="Page of the file.")
@click.option("--out", default="understood.png", show_default=True, metavar="PNG", help="Where the picture goes.")
@click.option("--dpi", type=click.FloatRange(20, 600), default=100.0, show_default=True, help="Resolution.")
@click.option(
    "--box", default=None, metavar="X0,Y0,X1,Y1", help="Part of the page, in points from its top left corner."
)
@put_on(password_option, timeout_option, memory_option)
def show_command(
    sheet: str, symbols: str, page: int, out: str, dpi: float, box: str | None, password_file: str | None,
    sheet_timeout: float | None, sheet_memory: float | None,
) -> None:  # fmt: skip
    """Draw what was understood of a sheet: strokes, walls, rooms, symbols, words and cord paths."""
    limits = Limits(sheet_timeout or batch.SHEET_SECONDS, sheet_memory or batch.SHEET_MEMORY_MB)
    mapping = load_mapping(Path(symbols))
    picture = batch.picture_of(
        Path(sheet), page, mapping, dpi, batch.box_wanted(box), password_in(password_file), limits
    )
    report.write_bytes_whole(Path(out), picture, inputs=(Path(sheet), Path(symbols)))
    click.echo(f"Written: {printable(out)}")


LEARN_EPILOG = """\b
Examples:
  cordpath learn plans/E-101.pdf
  cordpath learn submittals/new-office/ --out new-office

\b
Then look over new-office/symbols.yaml with new-office/contact-sheet.png beside it, name what has no name, and:
  cordpath check submittals/new-office/ --symbols new-office/symbols.yaml
"""


@click.command("learn", epilog=LEARN_EPILOG)
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
    wanted = batch.pages_wanted(pages) if pages else None
    limits = Limits(sheet_timeout or batch.SHEET_SECONDS, sheet_memory or batch.SHEET_MEMORY_MB)
    many = processes(jobs, sheet_timeout is not None or sheet_memory is not None)
    lesson = learn.learn(sheets, Path(out), many, wanted, password_in(password_file), limits)
    written = learn.write_lesson(lesson, Path(out), force)
    if quiet:
        return
    tell_notes(lesson.notes)
    named = sum(bool(entry.sample.text) for entry in lesson.entries)
    fixtures = sum(entry.sample.fixture is not None for entry in lesson.entries)
    shapes = len(lesson.entries) - named - fixtures
    click.echo(f"{named} symbols from legends, {fixtures} fixtures by their shape, {shapes} shapes to be named")
    click.echo("Written: " + ", ".join(printable(str(path)) for path in written))

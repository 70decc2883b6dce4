"""The commands that look into drawings: show and learn."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from cordpath import learn, report
from cordpath.batch import batch
from cordpath.batch.child import Limits
from cordpath.batch.order import password_in
from cordpath.batch.progress import shown
from cordpath.check import load_mapping
from cordpath.commands.calls import Call
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
    verbose_option,
)
from cordpath.commands.said import complain, tell_notes
from cordpath.errors import printable
from cordpath.symbols.learning.proposals import open_proposals

SHOW_EPILOG = """\b
Examples:
  cordpath show plans/E-101.pdf --symbols symbols.yaml
  cordpath show set.pdf --symbols symbols.yaml --page 3 --box 400,300,900,700 --dpi 300 --out kitchen.png

\b
Exit status:
  0  the picture is written       2  the call is wrong, or the page could not be read
"""


@click.command(
    "show", cls=Call, epilog=SHOW_EPILOG,
    short_help="A picture of what was understood of a page.",
)  # fmt: skip
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
    target = _named_png(Path(out))
    mapping = load_mapping(Path(symbols))
    crop, password = batch.box_wanted(box), password_in(password_file)
    with shown("auto", verbose=False) as told:
        picture, notes = batch.picture_of(Path(sheet), page, mapping, dpi, crop, password, limits, told)
    report.write_bytes_whole(target, picture, inputs=(Path(sheet), Path(symbols)))
    tell_notes((*open_proposals(mapping), *notes))
    click.echo(f"Written: {printable(str(target))}")


def _named_png(path: Path) -> Path:
    """The path with the ending of what is written: viewers choose by it."""
    named = path.suffix.lower() == ".png" or path.exists()  # an input or a folder is refused as it is called
    return path if named else path.with_name(f"{path.name}.png")


LOST = 3  # exit status: a page could not be read

LEARN_EPILOG = """\b
Examples:
  cordpath learn plans/E-101.pdf
  cordpath learn submittals/new-office/ --out new-office

\b
Then look over new-office/symbols.yaml with new-office/contact-sheet.png beside it: name what has no name, and
delete the line "proposed: true" of what you have confirmed, for until then it settles nothing. And:
  cordpath check submittals/new-office/ --symbols new-office/symbols.yaml

\b
Exit status:
  0  the two files are written       2  the call is wrong, or there is nothing to learn
  3  the two files are written, but a page or a file could not be read
"""


@click.command(
    "learn", cls=Call, epilog=LEARN_EPILOG,
    short_help="Write a starter mapping file from a new office's sheets.",
)  # fmt: skip
@click.argument("sheets", nargs=-1, required=True, metavar="SHEETS...")
@click.option("--out", default="learnt", show_default=True, metavar="DIR", help="Where the two files go.")
@put_on(password_option, jobs_option, pages_option, timeout_option, memory_option, quiet_option, verbose_option)
@click.option("--force", is_flag=True, help="Write over a mapping file that is there.")
def learn_command(
    sheets: tuple[str, ...], out: str, password_file: str | None, jobs: int | None, pages: str | None,
    sheet_timeout: float | None, sheet_memory: float | None, quiet: bool, verbose: bool, force: bool,
) -> None:  # fmt: skip
    """Write a starter mapping file for a new office's drawings, with a picture of every symbol in it.

    Symbols are taken from the legends of the sheets and from shapes that the plans repeat. Kinds are guessed from
    the legends' words: look over every entry. Fixtures and appliances are proposed by their shape or by the letters
    in them.
    """
    if not force:
        learn.refuse_what_is_there(Path(out))
    wanted = None if pages is None else batch.pages_wanted(pages)
    limits = Limits(sheet_timeout or batch.SHEET_SECONDS, sheet_memory or batch.SHEET_MEMORY_MB)
    many = processes(jobs, sheet_timeout is not None or sheet_memory is not None)
    password = password_in(password_file)
    with shown("none" if quiet else "auto", verbose) as told:
        lesson = learn.learn(sheets, Path(out), many, wanted, password, limits, told)
    written = learn.write_lesson(lesson, Path(out))
    for each in lesson.lost:
        complain(f"cordpath: {each}")
    if not quiet:
        tell_notes(lesson.notes)
        click.echo(_counts(lesson))
        click.echo("Written: " + ", ".join(printable(str(path)) for path in written))
    sys.exit(LOST if lesson.lost else 0)


def _counts(lesson: learn.Lesson) -> str:
    kept = [entry for entry in lesson.entries if not entry.refused]
    named = sum(not entry.proposed for entry in kept)
    fixtures = sum(entry.sample.fixture is not None for entry in kept)
    left_out = len(lesson.entries) - len(kept)
    told = (
        (named, "symbol", "from legends"),
        (fixtures, "fixture", "to be confirmed"),
        (len(kept) - named - fixtures, "shape", "to be named"),
    )
    counts = ", ".join(f"{n} {what}{'' if n == 1 else 's'} {rest}" for n, what, rest in told)
    return f"{counts}; {left_out} left out, see the comments in the mapping file" if left_out else counts

"""The comment letters, one a submittal, as Markdown and as a word processor's document: the same table in both.

One row a comment: its number, what is asked, where, the sections, and an empty cell for the applicant's response.
Text of a drawing or a user is data: it is never read as markup, as a field or as a link.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePath
from typing import Any

import docx
from docx.enum.section import WD_ORIENT
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Inches, Pt

from cordpath.model import Run, SheetResult, cites_together
from cordpath.report.atomic import write_text_whole, write_whole
from cordpath.report.comments import MARKED, Comment, Kept, Register, comments_of, places_in_words
from cordpath.report.rows import CAUTIONS, Row, rows_of
from cordpath.report.xml_files import FIXED_DATE, write_fixed_zip, xml_text

HEAD = ("No.", "Comment", "Where", "Section", "Response")
WIDTHS = (0.5, 3.4, 2.7, 1.4, 2.0)  # in, on letter paper laid wide
TITLE = "Plan review comments: GFCI protection"
ASKED = "Answer every comment in its last column: what was changed, and on which sheet. Numbers stay the same."
OF_SEVERAL = f"{ASKED} They run through the letters of all submittals, so that not every number is in each."
NOTHING = "No comment: nothing is missing and nothing is open on the sheets that were checked."
NOT_CHECKED = "No comment: none of its sheets was checked."
MARKS_OF_LINES = {"-": "w:noBreakHyphen", "\n": "w:br"}  # ECMA-376 part 1, 17.3.3
SPECIAL = re.compile(r"([\\`*_{}\[\]<>#!|~$&])")  # what Markdown dialects read as markup


@dataclass(frozen=True)
class Letter:
    """What goes to the applicant of one submittal.  ``name``: its file or folder, empty where there is one only;
    ``closing``: what became of numbers that no comment of this review bears."""

    name: str
    comments: tuple[Comment, ...]
    ruled: tuple[Row, ...] = ()
    closing: tuple[str, ...] = ()
    checked: bool = True


def write_letters(
    folder: Path, submittals: tuple[tuple[SheetResult, ...], ...], run: Run, register: Register
) -> tuple[tuple[Path, ...], Register]:
    """Write ``comments.md`` and ``comments.docx``, with a letter for each submittal on pages of its own; returns
    them and the register to be kept.

    One register numbers them all: a cause has the same number in every letter.  Raises OutputRefused where a file
    cannot be written.
    """
    _, kept = comments_of((result for each in submittals for result in each), register)
    here = frozenset(result.file for each in submittals for result in each)
    letters = [_letter(each, kept, here) for each in submittals or ((),)]
    text, document = folder / "comments.md", folder / "comments.docx"
    write_text_whole(text, markdown(letters, run))
    data = word_document(letters, run)
    write_whole(document, lambda part: write_fixed_zip(part, data))
    return (text, document), kept


def _letter(results: tuple[SheetResult, ...], numbered: Register, here: frozenset[str]) -> Letter:
    """``numbered``: has the number of every cause already, so that this gives none.  ``here``: all files of the
    review; a number that is closed is told to whom it was given, or to all where those files are not here any more.
    """
    comments, _ = comments_of(results, numbered)
    files = sorted({result.file for result in results})
    given = ((kept, here & {file for file, _, _ in kept.places}) for kept in numbered.kept)
    theirs = [kept for kept, to in given if not to or to & set(files)]
    name = files[0] if len(files) == 1 else str(PurePath(*files[:1]).parent)
    return Letter(
        name if here - set(files) else "",
        comments,
        tuple(row for row in rows_of(results) if row.ruling and row.verdict in MARKED),
        tuple(_closing(theirs)),
        any(result.status == "checked" for result in results),
    )


def _asked(letter: Letter) -> str:
    if letter.comments:
        return OF_SEVERAL if letter.name else ASKED
    return NOTHING if letter.checked else NOT_CHECKED


def _cells(comment: Comment) -> tuple[str, str, list[str], str, str]:
    cites = ", ".join(cites_together(comment.cites))
    return str(comment.number), comment.text, list(places_in_words(comment)), cites, ""


def _terms(run: Run) -> str:
    amended = ", ".join(run.amendments) or "none"
    dated = f" Permit date: {run.permit_date}." if run.permit_date else ""
    dated += f" Reviewed on {run.made_on}." if run.made_on else ""
    return f"National Electrical Code, {run.edition} edition. Local amendments: {amended}.{dated}"


def _ruled_lines(ruled: Iterable[Row]) -> Iterator[str]:
    for row in ruled:
        yield f"{row.number} ({row.room or 'no room'}, {row.verdict}): {row.decision}"


def _closing(theirs: list[Kept]) -> Iterator[str]:
    closed, open_ = (
        ", ".join(str(kept.number) for kept in theirs if kept.state == state)
        for state in ("withdrawn", "not checked")
    )
    if closed:
        yield f"Not found any more, and closed: {closed}."
    if open_:
        yield f"Still open, for not all sheets of this review could be checked: {open_}."


# ----------------------------------------------------------------------------------------------- Markdown


def markdown(letters: Sequence[Letter], run: Run) -> str:
    return "\n\n".join("\n".join(_markdown_lines(letter, run)) for letter in letters) + "\n"


def _markdown_lines(letter: Letter, run: Run) -> Iterator[str]:
    yield from (f"# {TITLE}", "")
    if letter.name:
        yield from (f"For: {plain_markdown(letter.name)}", "")
    yield from (plain_markdown(_terms(run)), "", _asked(letter))
    if letter.comments:
        yield from ("", f"| {' | '.join(HEAD)} |", "|" + " --- |" * len(HEAD))
    for comment in letter.comments:
        number, text, where, cites, response = _cells(comment)
        places = "<br>".join(map(plain_markdown, where))
        yield f"| {' | '.join((number, plain_markdown(text), places, plain_markdown(cites), response))} |"
    for line in letter.closing:
        yield from ("", line)
    if letter.ruled:
        ruled = (f"- {plain_markdown(line)}" for line in _ruled_lines(letter.ruled))
        yield from ("", "## Ruled by the reviewer", "", *ruled)
    yield from ("", "---", "", *(f"{caution}  " for caution in CAUTIONS))


def plain_markdown(text: str) -> str:
    """One line of text that Markdown shows as it is."""
    return SPECIAL.sub(r"\\\1", " ".join(xml_text(text).split()))


# ----------------------------------------------------------------------------------------- word processor


def word_document(letters: Sequence[Letter], run: Run) -> bytes:
    document = docx.Document()
    section = document.sections[0]
    section.orientation = WD_ORIENT.LANDSCAPE
    section.page_width, section.page_height = Inches(11), Inches(8.5)
    for side in ("left_margin", "right_margin", "top_margin", "bottom_margin"):
        setattr(section, side, Inches(0.5))
    document.styles["Normal"].font.size = Pt(10)
    for letter in letters:
        _add_letter(document, letter, run, first=letter is letters[0])
    properties = document.core_properties
    properties.author = properties.last_modified_by = "cordpath"
    properties.title, properties.comments = TITLE, ""
    properties.created = properties.modified = FIXED_DATE
    data = io.BytesIO()
    document.save(data)
    return data.getvalue()


def _add_letter(document: Any, letter: Letter, run: Run, first: bool) -> None:
    heading = document.add_heading(xml_text(TITLE), 1)
    heading.paragraph_format.page_break_before = not first
    if letter.name:
        document.add_paragraph(xml_text(f"For: {letter.name}"))
    document.add_paragraph(xml_text(_terms(run)))
    document.add_paragraph(_asked(letter))
    if letter.comments:
        _table(document, letter.comments)
    for line in letter.closing:
        document.add_paragraph(line)
    if letter.ruled:
        document.add_heading("Ruled by the reviewer", 2)
        for line in _ruled_lines(letter.ruled):
            document.add_paragraph(xml_text(line), style="List Bullet")
    document.add_paragraph(" ".join(CAUTIONS)).paragraph_format.space_before = Pt(10)


def _table(document: Any, comments: tuple[Comment, ...]) -> None:
    table = document.add_table(rows=1, cols=len(HEAD))
    table.style = "Table Grid"
    table.autofit = False
    for cell, name in zip(table.rows[0].cells, HEAD, strict=True):
        cell.paragraphs[0].add_run(name).bold = True
    _mark_row(table.rows[0], "w:tblHeader")
    for comment in comments:
        number, text, where, cites, response = _cells(comment)
        row = table.add_row()
        for cell, said in zip(row.cells, (number, text, "\n".join(where), cites, response), strict=True):
            _write_cell(cell, xml_text(said))
    for column, width in zip(table.columns, WIDTHS, strict=True):  # some readers look at the grid, others at cells
        column.width = Inches(width)
    for row in table.rows:
        _mark_row(row, "w:cantSplit")
        for cell, width in zip(row.cells, WIDTHS, strict=True):
            cell.width = Inches(width)


def _write_cell(cell: Any, text: str) -> None:
    """Its hyphens break no line: ``E-101.12`` is the number of an outlet, and is looked for as a whole."""
    run = cell.paragraphs[0].add_run()
    for part in re.split(r"([-\n])", text):
        if part in MARKS_OF_LINES:
            run._r.append(OxmlElement(MARKS_OF_LINES[part]))
        else:
            run.add_text(part)


def _mark_row(row: Any, name: str) -> None:
    """The head is repeated on every page; a row stays on one."""
    row._tr.get_or_add_trPr().append(OxmlElement(name, attrs={qn("w:val"): "true"}))

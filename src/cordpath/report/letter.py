"""The comment letter, as Markdown and as a word processor's document: the same table in both.

One row a comment: its number, what is asked, where, the sections, and an empty cell for the applicant's response.
Text of a drawing or a user is data: it is never read as markup, as a field or as a link.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import docx
from docx.enum.section import WD_ORIENT
from docx.oxml import OxmlElement
from docx.oxml.ns import qn
from docx.shared import Inches, Pt

from cordpath.model import Run, SheetResult
from cordpath.report.atomic import write_text_whole, write_whole
from cordpath.report.comments import MARKED, Comment, Register, comments_of, places_in_words
from cordpath.report.rows import CAUTIONS, Row, rows_of

HEAD = ("No.", "Comment", "Where", "Section", "Response")
WIDTHS = (0.5, 3.4, 2.7, 1.4, 2.0)  # in, on letter paper laid wide
TITLE = "Plan review comments: GFCI protection"
ASKED = "Answer every comment in its last column: what was changed, and on which sheet. Numbers stay the same."
NOTHING = "No comment: nothing is missing and nothing is open on the sheets that were checked."
UNPRINTABLE = re.compile("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff\ufffe\uffff]")  # not allowed in XML 1.0
SPECIAL = re.compile(r"([\\`*_{}\[\]<>#!|~$&])")  # what Markdown dialects read as markup
FIXED_DATE = datetime(2000, 1, 1)  # no clock in an output: the same findings give the same bytes
FIXED_ZIP_DATE = (2000, 1, 1, 0, 0, 0)


def write_letter(
    folder: Path, results: tuple[SheetResult, ...], run: Run, register: Register
) -> tuple[tuple[Path, ...], Register]:
    """Write ``comments.md`` and ``comments.docx``; returns them and the register to be kept.

    Raises OutputRefused where one cannot be written.
    """
    comments, kept = comments_of(results, register)
    ruled = tuple(row for row in rows_of(results) if row.ruling and row.verdict in MARKED)
    text, document = folder / "comments.md", folder / "comments.docx"
    write_text_whole(text, markdown(comments, ruled, kept, run))
    data = word_document(comments, ruled, kept, run)
    write_whole(document, lambda part: _write_fixed_zip(part, data))
    return (text, document), kept


def _cells(comment: Comment) -> tuple[str, str, list[str], str, str]:
    return str(comment.number), comment.text, list(places_in_words(comment)), ", ".join(comment.cites), ""


def _terms(run: Run) -> str:
    amended = ", ".join(run.amendments) or "none"
    dated = f" Permit date: {run.permit_date}." if run.permit_date else ""
    dated += f" Reviewed on {run.made_on}." if run.made_on else ""
    return f"National Electrical Code, {run.edition} edition. Local amendments: {amended}.{dated}"


def _ruled_lines(ruled: Iterable[Row]) -> Iterator[str]:
    for row in ruled:
        yield f"{row.number} ({row.room or 'no room'}, {row.verdict}): {row.decision}"


def _closed(register: Register, state: str) -> str:
    return ", ".join(str(kept.number) for kept in register.kept if kept.state == state)


def _closing(register: Register) -> Iterator[str]:
    if _closed(register, "withdrawn"):
        yield f"Not found any more, and closed: {_closed(register, 'withdrawn')}."
    if _closed(register, "not checked"):
        yield (
            f"Still open, for sheets of this submittal could not be checked: {_closed(register, 'not checked')}."
        )


# ----------------------------------------------------------------------------------------------- Markdown


def markdown(comments: tuple[Comment, ...], ruled: tuple[Row, ...], register: Register, run: Run) -> str:
    lines = [f"# {TITLE}", "", plain_markdown(_terms(run)), ""]
    if comments:
        lines += [ASKED, "", f"| {' | '.join(HEAD)} |", "|" + " --- |" * len(HEAD)]
        for comment in comments:
            number, text, where, cites, response = _cells(comment)
            cells = (
                number,
                plain_markdown(text),
                "<br>".join(map(plain_markdown, where)),
                plain_markdown(cites),
                response,
            )
            lines.append(f"| {' | '.join(cells)} |")
    else:
        lines.append(NOTHING)
    for line in _closing(register):
        lines += ["", line]
    if ruled:
        lines += [
            "",
            "## Ruled by the reviewer",
            "",
            *(f"- {plain_markdown(line)}" for line in _ruled_lines(ruled)),
        ]
    lines += ["", "---", "", *(f"{caution}  " for caution in CAUTIONS)]
    return "\n".join(lines) + "\n"


def plain_markdown(text: str) -> str:
    """One line of text that Markdown shows as it is."""
    return SPECIAL.sub(r"\\\1", " ".join(UNPRINTABLE.sub("�", text).split()))


# ----------------------------------------------------------------------------------------- word processor


def word_document(comments: tuple[Comment, ...], ruled: tuple[Row, ...], register: Register, run: Run) -> bytes:
    document = docx.Document()
    section = document.sections[0]
    section.orientation = WD_ORIENT.LANDSCAPE
    section.page_width, section.page_height = Inches(11), Inches(8.5)
    for side in ("left_margin", "right_margin", "top_margin", "bottom_margin"):
        setattr(section, side, Inches(0.5))
    document.styles["Normal"].font.size = Pt(10)
    document.add_heading(_safe(TITLE), 1)
    document.add_paragraph(_safe(_terms(run)))
    document.add_paragraph(ASKED if comments else NOTHING)
    if comments:
        _table(document, comments)
    for line in _closing(register):
        document.add_paragraph(line)
    if ruled:
        document.add_heading("Ruled by the reviewer", 2)
        for line in _ruled_lines(ruled):
            document.add_paragraph(_safe(line), style="List Bullet")
    document.add_paragraph(" ".join(CAUTIONS))
    properties = document.core_properties
    properties.author = properties.last_modified_by = "cordpath"
    properties.title, properties.comments = TITLE, ""
    properties.created = properties.modified = FIXED_DATE
    data = io.BytesIO()
    document.save(data)
    return data.getvalue()


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
            cell.text = _safe(said)
    for column, width in zip(table.columns, WIDTHS, strict=True):  # some readers look at the grid, others at cells
        column.width = Inches(width)
    for row in table.rows:
        _mark_row(row, "w:cantSplit")
        for cell, width in zip(row.cells, WIDTHS, strict=True):
            cell.width = Inches(width)


def _mark_row(row: Any, name: str) -> None:
    """The head is repeated on every page; a row stays on one."""
    row._tr.get_or_add_trPr().append(OxmlElement(name, attrs={qn("w:val"): "true"}))


def _safe(text: str) -> str:
    return UNPRINTABLE.sub("�", text)


def _write_fixed_zip(part: Path, data: bytes) -> None:
    """The archive again, with dates that do not depend on the clock."""
    with zipfile.ZipFile(io.BytesIO(data)) as made, zipfile.ZipFile(part, "w", zipfile.ZIP_DEFLATED) as out:
        for info in made.infolist():
            entry = zipfile.ZipInfo(info.filename, FIXED_ZIP_DATE)
            entry.compress_type = zipfile.ZIP_DEFLATED
            out.writestr(entry, made.read(info.filename))

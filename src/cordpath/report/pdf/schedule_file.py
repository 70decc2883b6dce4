"""The schedule as a PDF of its own, beside a marked copy that may get no pages: where a certification permits
annotations and nothing else.  Its rows lead into the marked copy (ISO 32000-2:2020, 12.6.4.3, remote go-to
actions).
"""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pymupdf
from pymupdf import mupdf

from cordpath.errors import UnreadableFile
from cordpath.model import Box, Run, SheetResult
from cordpath.report.atomic import write_bytes_whole
from cordpath.report.pdf.annotate import NAME, VIEW_AROUND, Placed, fill_schedule
from cordpath.report.pdf.canvas import numbers
from cordpath.report.pdf.layout import LETTER_WIDE, ROW_KEY, TITLE, SchedulePage, page_size
from cordpath.report.pdf.pdffile import PdfFile, literal, open_copy
from cordpath.report.pdf.schedule import lay_out_schedule
from cordpath.report.pdf.seals import seals_of
from cordpath.report.pdf.signing import only_annotations

ENDING = ".schedule.pdf"
CLOUD = "-cloud"  # how the name of a cloud ends, after that of its outlet


def schedule_beside(
    source: Path, marked: Path, results: tuple[SheetResult, ...], run: Run, password: str | None = None
) -> Path | None:
    """Write the schedule of ``source`` beside its marked copy; where it is, None where the copy has it itself.

    Raises OutputRefused, UnreadableFile, LockedFile.
    """
    read = open_copy(source, source, password)
    try:
        pdf = PdfFile(read)
        if not only_annotations(pdf):
            return None
        last = pdf.page_count - 1
        size = page_size(pdf.frame(last).size) if pdf.sound(last) else LETTER_WIDE
        seals = tuple(seal.told for seal in seals_of(pdf, source.stat().st_size))
        views = _views(marked, results, password)
    except (RuntimeError, ValueError, mupdf.FzErrorBase) as error:
        raise UnreadableFile(f"its schedule cannot be written ({error})", where=str(source)) from error
    finally:
        read.close()
    pages = lay_out_schedule(results, run, size, seals=seals)
    target = marked.with_suffix(ENDING)
    write_bytes_whole(target, _document(pages, size, views, marked.name), inputs=[source, marked])
    return target


def _views(marked: Path, results: tuple[SheetResult, ...], password: str | None) -> dict[ROW_KEY, str]:
    """Where each cloud of the copy is, as a destination for another file: page index and rectangle."""
    with open_copy(marked, marked, password) as document:
        return _views_in(PdfFile(document), results)


def _views_in(pdf: PdfFile, results: tuple[SheetResult, ...]) -> dict[ROW_KEY, str]:
    found: dict[ROW_KEY, str] = {}
    for index in dict.fromkeys(result.page - 1 for result in results if pdf.sound(result.page - 1)):
        first = f"{NAME}{index + 1}-"
        for one in pdf.annotations(index):
            name = mupdf.pdf_to_text_string(mupdf.pdf_dict_gets(one, "NM"))
            if name.startswith(first) and name.endswith(CLOUD):
                rect = mupdf.pdf_to_rect(mupdf.pdf_dict_gets(one, "Rect"))
                around = VIEW_AROUND / pdf.frame(index).user_unit
                box = (rect.x0 - around, rect.y0 - around, rect.x1 + around, rect.y1 + around)
                outlet = name.removeprefix(first).removesuffix(CLOUD)
                found[index + 1, outlet] = f"[{index}/FitR {numbers(*box)}]"
    return found


def _document(
    pages: list[SchedulePage], size: tuple[float, float], views: dict[ROW_KEY, str], marked: str
) -> bytes:
    with pymupdf.open() as document:
        pdf = PdfFile(document)
        indices = [pdf.append_page(*size) for _ in pages]
        fill_schedule(pdf, indices, pages, views, partial(_link, marked))
        pdf.add_bookmark(f"cordpath review: {TITLE.lower()}", f"[{pdf.page_xref(indices[0])} 0 R/Fit]")
        data: bytes = document.tobytes(garbage=0, deflate=True, deflate_fonts=True, no_new_id=True)
        return data


def _link(file: str, placed: Placed, box: Box, view: str, name: str) -> int:
    """A link into another file, which stands in the same folder."""
    said = f"<</Type/Filespec/F{literal(file)}/UF{literal(file)}>>"
    return placed.pdf.add(
        f"<</Type/Annot/Subtype/Link/Rect{placed.rect(box)}/P {placed.pdf.page_xref(placed.index)} 0 R/F 4"
        f"/NM{literal(name)}/Border[0 0 0]/A<</S/GoToR/F{said}/D{view}/NewWindow true>>>>"
    )

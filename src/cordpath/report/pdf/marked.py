"""The marked PDF: the input, with review annotations and schedule pages appended as an incremental update.

The input is copied and only added to, so its bytes stay the beginning of the output.  A file that was damaged and
had to be repaired while opening cannot be added to; it is saved whole, and a note says so.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pymupdf

from cordpath.errors import CordpathError, UnreadableFile
from cordpath.geometry import box_area, box_around
from cordpath.model import Box, FloatArray, Run, SheetResult
from cordpath.report.atomic import write_whole
from cordpath.report.pdf.annotate import (
    NAME,
    Marks,
    Placed,
    annotate_copy,
    annotate_failure,
    annotate_outlet,
    annotate_unnamed,
    fill_schedule,
)
from cordpath.report.pdf.automatic import automatic_notes
from cordpath.report.pdf.layout import LETTER_WIDE, ROW_KEY, TITLE, page_size
from cordpath.report.pdf.marks import OutletMark, lay_out
from cordpath.report.pdf.pdffile import PdfFile, open_copy
from cordpath.report.pdf.place import INK_STEP, Crowd
from cordpath.report.pdf.schedule import lay_out_schedule
from cordpath.report.pdf.seals import seals_of
from cordpath.report.pdf.signing import REVIEW_COPY, only_annotations, permission_notes, signature_notes
from cordpath.report.rows import findings_of

LAYER = "cordpath review"
INK_PIXELS = 4_000_000  # of the ink map: a 36 x 48 in. sheet needs 2.2 million; larger pages get a coarser map
BOOKMARKS_MOST = 500
KEEP_CLEAR = ("title block",)  # offices stamp there
OTHERS_LARGEST = 0.04  # of the page: a stamp or a note; what is larger goes around a part of the drawing
UNSEEN = ("Link", "Popup", "Widget")  # annotations that show nothing of their own, or nothing yet
REMARKED = (
    "the file held review marks of an earlier run; they are replaced, its earlier schedule pages are still there"
)
REWRITTEN = (
    "the file is damaged and was repaired while opening; the marked copy was written anew and does not begin with "
    "the input's bytes"
)

Places = dict[ROW_KEY, tuple[int, tuple[float, float, float, float]]]


def write_marked(
    source: Path, target: Path, results_of_file: tuple[SheetResult, ...], run: Run, password: str | None = None,
    keep_clear: tuple[Box, ...] = (),
) -> tuple[str, ...]:  # fmt: skip
    """Write the marked copy of ``source`` to ``target``; returns notes for the user, whole sentences.

    ``keep_clear``: boxes of every page, in page coordinates, that tags and lengths keep off (stamp areas).

    Raises OutputRefused where ``target`` is ``source`` or cannot be written, UnreadableFile, LockedFile.
    """
    notes: list[str] = []
    if not source.is_file():
        raise UnreadableFile("there is no such file", where=str(source), cure="check the path")

    def fill(part: Path) -> None:
        shutil.copyfile(source, part)
        notes.extend(_mark(part, source, results_of_file, run, password, keep_clear))

    write_whole(target, fill, inputs=[source])
    return tuple(notes)


def _mark(
    part: Path, source: Path, results: tuple[SheetResult, ...], run: Run, password: str | None,
    keep_clear: tuple[Box, ...],
) -> Iterator[str]:  # fmt: skip
    document = open_copy(part, source, password)
    # Drawing a page may write looks for its annotations into the file at hand: pages are drawn from another one.
    seen = open_copy(source, source, password)
    try:
        pdf, look = PdfFile(document), PdfFile(seen)
        signed = signature_notes(pdf)
        yield from signed
        seals = tuple(seal.told for seal in seals_of(pdf, source.stat().st_size))
        yield from seals
        yield from permission_notes(document)
        sealed = only_annotations(pdf)
        yield from automatic_notes(pdf, take_out=not sealed)
        if sealed:
            yield from _add_annotations_only(pdf, look, results, run, keep_clear)
        else:
            yield from _add_everything(pdf, look, results, run, (REVIEW_COPY if signed else "", seals), keep_clear)
        if not pdf.save(part):
            yield REWRITTEN
    except CordpathError:
        raise
    except (RuntimeError, ValueError, pymupdf.mupdf.FzErrorBase) as error:
        raise UnreadableFile(
            f"the file cannot be added to ({error})",
            where=str(source),
            cure="open it in a PDF viewer and save it again",
        ) from error
    finally:
        document.close()
        seen.close()


def _add_everything(
    pdf: PdfFile, look: PdfFile, results: tuple[SheetResult, ...], run: Run, signed: tuple[str, tuple[str, ...]],
    keep_clear: tuple[Box, ...],
) -> Iterator[str]:  # fmt: skip
    here, told = _sound_pages(pdf, results)
    yield from told
    count = pdf.page_count
    replaced = _take_off_earlier(pdf, look, here)
    marks = [_marks_of(look, result, keep_clear) for result in here]
    size = page_size(pdf.frame(count - 1).size) if pdf.sound(count - 1) else LETTER_WIDE
    pages = lay_out_schedule(results, run, size, *signed)
    indices = [pdf.append_page(*size) for _ in pages]
    layer = pdf.layer(LAYER)
    rows: Places = {
        key: (index, box) for index, page in zip(indices, pages, strict=True) for key, box in page.row_boxes.items()
    }
    clouds: dict[ROW_KEY, str] = {}
    children: list[tuple[str, str]] = []
    for result, drawn in zip(here, marks, strict=True):
        placed = Placed(pdf, result.page - 1, pdf.frame(result.page - 1), layer, run.made_on)
        for mark in drawn:
            clouds[result.page, mark.finding.outlet.id] = placed.view_of(mark.extent)
            children.append((f"{mark.finding.outlet.id} {mark.finding.verdict}", placed.view_of(mark.extent)))
        made = _annotate_sheet(placed, result, drawn, rows, run)
        pdf.add_annotations(placed.index, made, replacing=NAME)
    fill_schedule(pdf, indices, pages, clouds, Placed.link)
    pdf.label_pages(indices[0], "Schedule ")
    pdf.add_bookmark(
        f"cordpath review: {TITLE.lower()}", f"[{pdf.page_xref(indices[0])} 0 R/Fit]", children[:BOOKMARKS_MOST]
    )
    pdf.raise_version()
    if replaced:
        yield REMARKED


def _add_annotations_only(
    pdf: PdfFile, look: PdfFile, results: tuple[SheetResult, ...], run: Run, keep_clear: tuple[Box, ...]
) -> Iterator[str]:
    """Annotations with their looks and not a byte more: no page, layer, bookmark or entry of the catalog."""
    here, told = _sound_pages(pdf, results)
    yield from told
    replaced = _take_off_earlier(pdf, look, here)
    marks = [_marks_of(look, result, keep_clear) for result in here]
    for result, drawn in zip(here, marks, strict=True):
        placed = Placed(pdf, result.page - 1, pdf.frame(result.page - 1), None, run.made_on)
        made = [*annotate_copy(placed), *_annotate_sheet(placed, result, drawn, {}, run)]
        pdf.add_annotations(placed.index, made, replacing=NAME)
    if replaced:
        yield REMARKED


def _sound_pages(pdf: PdfFile, results: tuple[SheetResult, ...]) -> tuple[list[SheetResult], list[str]]:
    """Results whose page can be marked, and sentences about the others."""
    here = [result for result in results if pdf.sound(result.page - 1)]
    said = f"cannot be marked; the file has {pdf.page_count} sound pages"
    return here, [f"page {result.page} {said}" for result in results if result not in here]


def _take_off_earlier(pdf: PdfFile, look: PdfFile, here: list[SheetResult]) -> int:
    """Marks of an earlier run are no ink that new ones keep off; how many there were."""
    for result in here:
        look.add_annotations(result.page - 1, (), replacing=NAME)
    return sum(pdf.add_annotations(result.page - 1, (), replacing=NAME) for result in here)


def _marks_of(look: PdfFile, result: SheetResult, keep_clear: tuple[Box, ...]) -> tuple[OutletMark, ...]:
    findings = findings_of(result)
    if result.reading is None or not any(f.verdict in ("missing", "unresolved") for f in findings):
        return ()
    width, height = look.frame(result.page - 1).size
    sheet = result.reading.sheet
    clear = [
        *keep_clear,
        *(r.box for r in sheet.regions if r.kind in KEEP_CLEAR),
        *_other_marks(look, result.page - 1),
    ]
    ink = ink_map(look.document, result.page - 1, width, height)
    kinds = {fixture.id: fixture.symbol.kind for fixture in result.reading.fixtures}
    return lay_out(findings, Crowd(width, height, ink, [word.box for word in sheet.words], clear), kinds)


def _other_marks(look: PdfFile, index: int) -> list[Box]:
    """Boxes of what others marked on a page, in page coordinates; what lies around much of a sheet is left to its
    ink, for within it there would be no place."""
    frame = look.frame(index)
    most = OTHERS_LARGEST * frame.size[0] * frame.size[1]
    boxes = []
    for kind, corners in look.annotation_boxes(index):
        box = box_around(frame.to_page(np.array(corners, float)).reshape(2, 2))
        if kind not in UNSEEN and box_area(box) <= most:
            boxes.append(box)
    return boxes


def ink_map(document: pymupdf.Document, index: int, width: float, height: float) -> FloatArray | None:
    """(rows, columns) share of ink, 0 to 1, in cells of INK_STEP points of the page as shown, None without."""
    columns, rows = round(width / INK_STEP), round(height / INK_STEP)
    if not 0 < columns * rows <= INK_PIXELS:
        return None
    try:
        page = document[index]
        matrix = pymupdf.Matrix(columns / page.rect.width, rows / page.rect.height)
        picture = page.get_pixmap(matrix=matrix, colorspace=pymupdf.csGRAY, alpha=False)
    except (RuntimeError, ValueError, pymupdf.mupdf.FzErrorBase):
        return None  # tags are then placed by the words alone
    grey = np.frombuffer(picture.samples, np.uint8).reshape(picture.height, picture.stride)[:, : picture.width]
    return 1.0 - grey.astype(float) / 255.0


def _annotate_sheet(
    placed: Placed, result: SheetResult, drawn: tuple[OutletMark, ...], rows: Places, run: Run
) -> list[int]:
    marks = Marks(tags=annotate_failure(placed, result) if result.status == "failed" else [])
    for mark in drawn:
        back = _row_destination(placed.pdf, rows, (result.page, mark.finding.outlet.id))
        annotate_outlet(placed, mark, run, back, marks)
    return [*annotate_unnamed(placed, result, drawn), *marks.in_order]


def _row_destination(pdf: PdfFile, rows: Places, key: ROW_KEY) -> str | None:
    if key not in rows:
        return None
    index, box = rows[key]
    top = pdf.frame(index).size[1] - box[1] + 40.0  # a little above the row, in the page's own y-up points
    return f"[{pdf.page_xref(index)} 0 R/XYZ 0 {top:.1f} null]"

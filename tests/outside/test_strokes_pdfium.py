"""Strokes and the page frame against PDFium, which shares no code with the reader that cordpath uses.

- Number and summed length of the straight pieces of all stroked paths, from PDFium's raw path objects
  (``FPDFPath_GetPathSegment``, documented in fpdf_edit.h), on a real sheet, on all sample plans and on a hand-made
  page.
- Where a dot lands on the rendered page, for rotations, crop boxes and media-box origins: PDFium's picture.
"""

from __future__ import annotations

import ctypes
import itertools
import math
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pikepdf
import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from cordpath.frame import PageFrame
from cordpath.geometry import lengths
from cordpath.sheet import opening, read_sheet
from cordpath.sheet.ink.collect import collect
from cordpath.sheet.ink.strokes import pieces

REAL = Path(__file__).parent.parent / "data" / "real_house_plan.pdf"
SAMPLES = sorted((Path(__file__).resolve().parents[2] / "sample_plans").glob("*.pdf"))
Point = tuple[float, float]


def moved(matrix: pdfium.FS_MATRIX, point: Point) -> Point:
    x, y = point
    return (matrix.a * x + matrix.c * y + matrix.e, matrix.b * x + matrix.d * y + matrix.f)


def straight_pieces(item: object) -> Iterator[tuple[Point, Point]]:
    """The straight pieces of a path object, closing pieces too, in the page's user space."""
    matrix, x, y = pdfium.FS_MATRIX(), ctypes.c_float(), ctypes.c_float()
    pdfium.FPDFPageObj_GetMatrix(item, ctypes.byref(matrix))
    start = last = (0.0, 0.0)
    for index in range(pdfium.FPDFPath_CountSegments(item)):
        segment = pdfium.FPDFPath_GetPathSegment(item, index)
        pdfium.FPDFPathSegment_GetPoint(segment, ctypes.byref(x), ctypes.byref(y))
        point = moved(matrix, (x.value, y.value))
        kind = pdfium.FPDFPathSegment_GetType(segment)
        if kind == pdfium.FPDF_SEGMENT_MOVETO:
            start = point
        elif kind == pdfium.FPDF_SEGMENT_LINETO:
            yield last, point
        last = point
        if pdfium.FPDFPathSegment_GetClose(segment):
            yield last, start
            last = start


def stroked_paths(page: pypdfium2.PdfPage) -> Iterator[object]:
    for index in range(pdfium.FPDFPage_CountObjects(page)):
        item = pdfium.FPDFPage_GetObject(page, index)
        if pdfium.FPDFPageObj_GetType(item) == pdfium.FPDF_PAGEOBJ_PATH:
            fill, stroke = ctypes.c_int(), ctypes.c_int()
            pdfium.FPDFPath_GetDrawMode(item, ctypes.byref(fill), ctypes.byref(stroke))
            if stroke.value:
                yield item


def totals(path: Path) -> tuple[int, float]:
    document = pypdfium2.PdfDocument(path)
    page = document[0]
    found = [math.dist(a, b) for item in stroked_paths(page) for a, b in straight_pieces(item)]
    page.close()
    document.close()
    drawn = [length for length in found if length > 1e-4]
    return len(drawn), sum(drawn)


def ours(path: Path, dashed: bool = True) -> tuple[int, float]:
    strokes = read_sheet(path, 1).strokes
    straight = strokes.take((strokes.curve < 0) & (dashed | ~strokes.dashed))
    length = lengths(straight.xy)
    return int((length > 1e-4).sum()), float(length.sum())


def before_clips(path: Path) -> tuple[int, float]:
    """Our own totals before clips and the page cut anything: PDFium's path objects are not cut either."""
    with opening.opened(path) as document:
        page = opening.load(document, 1, path.name)
        frame, _ = opening.bare(page)
        painted = collect(page)
    parts = pieces(painted, frame.matrix)
    length = lengths(parts.xy[painted.stroked[parts.path] & (parts.curve < 0)])
    return int((length > 1e-4).sum()), float(length.sum())


def test_a_real_sheet_has_the_strokes_that_pdfium_finds() -> None:
    count, length = totals(REAL)
    assert before_clips(REAL) == (count, pytest.approx(length, rel=1e-6))
    kept, visible = ours(REAL, dashed=False)  # three bowls of loose dashes are read as circles of more chords
    assert kept <= count
    assert 0.95 * length < visible <= length  # what clips hide is not there


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_sample_plans_have_the_strokes_that_pdfium_finds(path: Path, tmp_path: Path) -> None:
    """With every layer on, for PDFium's path objects know of no layers."""
    shown = tmp_path / "on.pdf"
    with pikepdf.open(path) as document:
        layers = document.Root.get("/OCProperties")
        if layers is not None and "/OFF" in layers.D:
            del layers.D.OFF
        document.save(shown)
    count, length = totals(shown)
    assert count > 400
    assert ours(shown) == (count, pytest.approx(length, rel=1e-6))


def test_a_hand_made_page_agrees_exactly(tmp_path: Path) -> None:
    path = tmp_path / "page.pdf"
    document = pikepdf.new()
    page = document.add_blank_page(page_size=(400, 300))
    lines = "".join(f"{7 * n % 380} {11 * n % 280} m {13 * n % 390} {17 * n % 290} l S " for n in range(1, 300))
    shapes = "10 10 40 20 re S 60 10 m 90 10 l 90 40 l s q .6 .8 -.8 .6 200 20 cm 0 0 40 20 re S Q "
    page.Contents = document.make_stream((lines + shapes).encode())
    document.save(path)
    count, length = totals(path)
    assert ours(path) == (count, pytest.approx(length, rel=1e-5))


@pytest.mark.parametrize(
    ("rotate", "crop", "origin"),
    list(itertools.product([0, 90, 180, 270], [False, True], [(0, 0), (-130, 45)])),
)
def test_a_dot_lands_where_pdfium_paints_it(
    tmp_path: Path, rotate: int, crop: bool, origin: tuple[int, int]
) -> None:
    x, y = origin
    media = (x, y, x + 300, y + 200)
    shown = (x + 20, y + 30, x + 290, y + 180) if crop else None
    path = tmp_path / "dot.pdf"
    document = pikepdf.new()
    page = document.add_blank_page(page_size=(300, 200))
    page.MediaBox, page.Rotate = pikepdf.Array(media), rotate
    if shown:
        page.CropBox = pikepdf.Array(shown)
    page.Contents = document.make_stream(f"{x + 68} {y + 128} 4 4 re f".encode())
    document.save(path)
    opened = pypdfium2.PdfDocument(path)
    page = opened[0]
    picture = page.render(scale=2).to_numpy()[..., 0]
    page.close()
    opened.close()
    rows, columns = np.nonzero(picture < 128)
    painted = ((columns.mean() + 0.5) / 2, (rows.mean() + 0.5) / 2)
    placed = PageFrame.of(media, shown, rotate).to_page(np.array([x + 70.0, y + 130.0]))
    assert placed == pytest.approx(painted, abs=0.3)
    sheet = read_sheet(path, 1)
    assert sheet.fills.shape[0].centroid.coords[0] == pytest.approx(painted, abs=0.3)
    assert (sheet.width * 2, sheet.height * 2) == pytest.approx(picture.shape[::-1], abs=1)

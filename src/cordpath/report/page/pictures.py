"""Pictures of marked sheets for the report page.  To be called where PDFs may be opened: in a worker."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pymupdf
from PIL import Image

from cordpath.errors import CordpathError
from cordpath.model import Box, Finding, SheetResult
from cordpath.report.pdf.pdffile import open_copy
from cordpath.report.rows import findings_of

WIDE = 2200  # pixels: tags can be read on a 36 in. sheet, and a picture stays at some hundred kB
# Of a picture: greys of lines, the two hues of marks, a drawing's own few; a third of the bytes of all
COLOURS = 32
PAPER_LEAST = 250  # of 255: a share of a colour that no eye tells from all of it
CROPS_MOST = 60  # of a sheet; the picture of the whole sheet has them all
CROP_MARGIN = 84.0  # pt around an outlet and its paths: room for its tag and for walls to know the place by
CROP_WIDE, CROP_TALL = 480, 360  # pixels
CROP_ZOOM = 2.5  # pixels a point: finer shows nothing more
TALLEST = 6000  # pixels, whatever shape the page has


def sheet_pictures(
    marked: Path, results_of_file: tuple[SheetResult, ...], password: str | None = None
) -> dict[tuple[str, int], bytes]:
    """PNG bytes of the checked sheets of a marked copy, by (file, page).  A page that cannot be drawn is left out.

    Raises UnreadableFile, LockedFile.
    """
    document = open_copy(marked, marked, password)
    try:
        pages = {(r.file, r.page): _picture(document, r.page - 1) for r in results_of_file if r.judged}
    finally:
        document.close()
    return {key: data for key, data in pages.items() if data}


def finding_pictures(
    marked: Path, results_of_file: tuple[SheetResult, ...], password: str | None = None
) -> dict[tuple[str, int, str], bytes]:
    """PNG bytes of what is missing or unresolved, with its cord paths, by (file, page, outlet).

    At most CROPS_MOST a sheet.  Raises UnreadableFile, LockedFile.
    """
    document = open_copy(marked, marked, password)
    try:
        return {
            (result.file, result.page, number): data
            for result in results_of_file
            if result.judged
            for number, data in _crops(document, result)
        }
    finally:
        document.close()


def _crops(document: pymupdf.Document, result: SheetResult) -> Iterator[tuple[str, bytes]]:
    wanted = [f for f in findings_of(result) if f.verdict in ("missing", "unresolved")][:CROPS_MOST]
    if not wanted:
        return
    try:
        page = document[result.page - 1]
        drawn = page.get_displaylist()  # the page is read once for all its crops
        # Page coordinates are the displayed page in points; the library's differ by the UserUnit alone.
        reading = result.reading
        unit = page.rect.width / reading.sheet.width if reading and reading.sheet.width > 0 else 1.0
        for finding in wanted:
            box = pymupdf.Rect(*(unit * v for v in _around(finding))) & page.rect
            if not box.is_empty:
                zoom = min(CROP_WIDE / box.width, CROP_TALL / box.height, CROP_ZOOM / unit)
                picture = drawn.get_pixmap(matrix=pymupdf.Matrix(zoom, zoom), clip=box, alpha=False)
                yield finding.outlet.id, _png(picture)
    except CordpathError:
        raise
    except Exception:  # see below
        return


def _around(finding: Finding) -> Box:
    points = [finding.outlet.symbol.at, *(point for r in finding.requirements for point in r.path)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) - CROP_MARGIN, min(ys) - CROP_MARGIN, max(xs) + CROP_MARGIN, max(ys) + CROP_MARGIN)


def _picture(document: pymupdf.Document, index: int) -> bytes:
    try:
        page = document[index]
        zoom = min(WIDE / page.rect.width, TALLEST / page.rect.height)
        return _png(page.get_pixmap(matrix=pymupdf.Matrix(zoom, zoom), alpha=False))
    except CordpathError:
        raise
    except Exception:  # whatever is wrong with the page is said in its result; the report goes on without a picture
        return b""


def _png(picture: pymupdf.Pixmap) -> bytes:
    """A picture of few colours, as drawings are; a report of fifty sheets must still open."""
    image = Image.frombytes("RGB", (picture.width, picture.height), picture.samples)
    few = image.quantize(COLOURS, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)
    palette = few.getpalette() or []
    few.putpalette(
        [255 if value >= PAPER_LEAST else value for value in palette]
    )  # means of paper are not quite white
    data = io.BytesIO()
    few.save(data, "PNG", optimize=True)
    return data.getvalue()

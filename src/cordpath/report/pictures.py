"""Pictures of marked sheets for the report page.  To be called where PDFs may be opened: in a worker."""

from __future__ import annotations

from pathlib import Path

import pymupdf

from cordpath.errors import CordpathError
from cordpath.model import SheetResult
from cordpath.report.pdffile import open_copy

WIDE = 1600  # pixels: tags can be made out on a 36 in. sheet, and a picture stays at a few hundred kB
TALLEST = 6000  # pixels, whatever shape the page has


def sheet_pictures(
    marked: Path, results_of_file: tuple[SheetResult, ...], password: str | None = None
) -> dict[tuple[str, int], bytes]:
    """PNG bytes of the checked sheets of a marked copy, by (file, page).  A page that cannot be drawn is left out.

    Raises UnreadableFile, LockedFile.
    """
    document = open_copy(marked, marked, password)
    try:
        pages = {(r.file, r.page): _picture(document, r.page - 1) for r in results_of_file if r.status == "checked"}
    finally:
        document.close()
    return {key: data for key, data in pages.items() if data}


def _picture(document: pymupdf.Document, index: int) -> bytes:
    try:
        page = document[index]
        zoom = min(WIDE / page.rect.width, TALLEST / page.rect.height)
        data: bytes = page.get_pixmap(matrix=pymupdf.Matrix(zoom, zoom), alpha=False).tobytes("png")
        return data
    except CordpathError:
        raise
    except Exception:  # whatever is wrong with the page is said in its result; the report goes on without a picture
        return b""

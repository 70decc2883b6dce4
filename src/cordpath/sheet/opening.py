"""Open a PDF for reading, and say in plain words what is wrong with it.

Every reading opens its own handle: a handle that is shared between processes gives wrong data without an error
(measured), and reading changes the handle (annotations are taken off, the rotation is set to 0).
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pymupdf
from pymupdf import mupdf

from cordpath.errors import LockedFile, UnreadableFile, UnreadablePage, printable
from cordpath.frame import LARGEST, LETTER, Affine, PageFrame, inherited, page_box, page_frame


@contextmanager
def opened(path: Path, password: str | None = None) -> Iterator[pymupdf.Document]:
    """The document, decrypted and open for the length of the ``with``."""
    document = _open(path, password)
    try:
        yield document
    finally:
        document.close()


def _quiet() -> None:
    """Collect MuPDF's messages instead of printing them."""
    pymupdf.TOOLS.mupdf_display_errors(False)
    pymupdf.TOOLS.mupdf_display_warnings(False)
    pymupdf.TOOLS.mupdf_warnings(True)


def _open(path: Path, password: str | None) -> pymupdf.Document:
    _quiet()
    where = path.name
    if path.is_dir():
        raise UnreadableFile("it is a folder", where=str(path), cure="name one PDF file")
    if not path.is_file():
        raise UnreadableFile("there is no such file", where=str(path), cure="check the path")
    try:
        if path.stat().st_size == 0:
            raise UnreadableFile("the file is empty", where=where, cure="send the file again")
        document = pymupdf.open(path, filetype="pdf")
    except UnreadableFile:
        raise
    except Exception as error:
        raise UnreadableFile(
            "the file cannot be read as a PDF", where=where,
            cure="open it in a PDF viewer and save it again, or print it from the drawing program once more",
        ) from error  # fmt: skip
    if document.needs_pass and not (password is not None and document.authenticate(password)):
        document.close()
        what = "the file is locked with a password" if password is None else "the password does not open the file"
        raise LockedFile(
            what, where=where, cure="save it without a password, or give the password with --password-file"
        )
    try:
        pages = document.page_count if document.is_pdf else 0
    except Exception:
        pages = 0
    if pages < 1:
        document.close()
        raise UnreadableFile(
            "the file has no pages that can be read", where=where,
            cure="print it from the drawing program once more",
        )  # fmt: skip
    return document


def load(document: pymupdf.Document, number: int, where: str) -> pymupdf.Page:
    """Page ``number`` (from 1) of a document that is open."""
    if not 1 <= number <= document.page_count:
        last = document.page_count
        there = f"the file has pages 1 to {last}" if last > 1 else "the file has one page"
        raise UnreadablePage(f"there is no page {number}", where=where, cure=there)
    try:
        # Annotations are review marks, perhaps our own of an earlier run: they are never part of the drawing.  They
        # are taken off before the page is loaded, for loading it reads them.
        entries = mupdf.pdf_lookup_page_obj(pymupdf._as_pdf_document(document), number - 1)
        mupdf.pdf_dict_dels(entries, "Annots")
        return document.load_page(number - 1)
    except Exception as error:
        raise UnreadablePage("the page is damaged", where=where, cure="save the PDF again") from error


def bare(page: pymupdf.Page) -> tuple[PageFrame, Affine]:
    """Take the rotation off the handle; return the page's frame, and MuPDF's map from user space to the frame in
    which it then gives drawings and text."""
    entries = mupdf.pdf_page_from_fz_page(page.this).obj()
    frame = page_frame(entries)
    if _stated(inherited(entries, "CropBox")) and not _crops(entries):
        shown = mupdf.FzRect(*frame.crop)  # MuPDF would show nothing through it
        mupdf.pdf_dict_put_rect(entries, mupdf.pdf_new_name("CropBox"), shown)
    mupdf.pdf_dict_put_int(entries, mupdf.pdf_new_name("Rotate"), 0)
    return frame, _reader_matrix(page)


NO_SIZE = "the page states no size that makes sense: letter size was taken, and what lies beyond it may be missing"


def size_doubts(page: pymupdf.Page) -> tuple[str | None, tuple[str, ...]]:
    """What is wrong with the entries that tell the page's size: a fault that may hide a part of the drawing, and
    entries that were passed over."""
    entries = mupdf.pdf_page_from_fz_page(page.this).obj()
    media = page_box(entries, "MediaBox")
    said = []
    if _stated(inherited(entries, "CropBox")) and not _crops(entries):
        said.append("the page's crop box makes no sense: the whole page was read")
    unit = mupdf.pdf_dict_gets(entries, "UserUnit")
    if _stated(unit) and not 0 < float(mupdf.pdf_to_real(unit)) < LARGEST:
        said.append("the page's UserUnit makes no sense: its unit was taken for 1/72 in.")
    return (NO_SIZE if media is None else None), tuple(said)


def _stated(entry: mupdf.PdfObj) -> bool:
    """A key that a dictionary lacks gives an object without an inside, one that is null the null object."""
    return bool(entry.m_internal) and not mupdf.pdf_is_null(entry)


def _crops(entries: mupdf.PdfObj) -> bool:
    """Does the crop box show a part of the page."""
    a, b = page_box(entries, "MediaBox") or LETTER, page_box(entries, "CropBox")
    return b is not None and max(a[0], b[0]) < min(a[2], b[2]) and max(a[1], b[1]) < min(a[3], b[3])


def _reader_matrix(page: pymupdf.Page) -> Affine:
    media, matrix = mupdf.FzRect(), mupdf.FzMatrix()
    mupdf.pdf_page_from_fz_page(page.this).pdf_page_transform(media, matrix)
    return (matrix.a, matrix.b, matrix.c, matrix.d, matrix.e, matrix.f)


def complaints() -> tuple[str, ...]:
    """What MuPDF complained about since the last call, each message once, in order."""
    lines = pymupdf.TOOLS.mupdf_warnings(True).splitlines()
    return tuple(dict.fromkeys(printable(line.strip()) for line in lines if line.strip()))

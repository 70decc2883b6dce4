"""Is the content of a page whole?

MuPDF reads what is left of a damaged stream and goes on without an exception.  A page of which a part is lost looks
like a page with fewer outlets, so that every content stream is unpacked once by itself first, and what is said
meanwhile is judged.

Terms: *content streams*, those of the page and of the forms that it places.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pymupdf
from pymupdf import mupdf

from cordpath.errors import CordpathError, NestedTooDeep, UnreadablePage
from cordpath.sheet import opening

CHUNK = 1 << 20  # bytes unpacked at a time: a packed bomb never lies in memory whole
MOST = 1 << 29  # bytes unpacked in all; a sheet of a million strokes has 40 MB (measured)
LEAST_PACKED = 32  # bytes: nothing at all, encrypted, is a start of 16 bytes and a block of 16 (ISO 32000-2, 7.6.3)
LONGEST = 28_800.0  # pt, 400 in.: eight times a 36 x 48 in. sheet; maps of the ink grow with the page
BROKEN = re.compile(
    r"premature end|zlib error|lzw|run-?length|cannot (open|load|decode|find)|unknown filter|bad.*filter",
    re.IGNORECASE,
)
CUT = "object missing 'endobj'"  # while opening: the file ends within an object
MISSED = "Length incorrect"  # of a stream: MuPDF looked for its end by itself
# Complaints that concern how letters look and colours mix, not what is drawn; forms whose resources name the form
# itself, as programs write that share one dictionary: nothing is drawn in a ring; and states restored that were
# never saved (Q without q), which every viewer passes over.  The one that tells of repeated ones is told by itself.
HARMLESS = re.compile(
    r"font|ascent|glyph|cmap|encoding|icc|lcms|cmsopen|colou?r ?space|annot|metadata|outline|"
    r"circular dependencies! consider page cleaning|gstate underflow|^\.\.\. repeated",
    re.IGNORECASE,
)
GIVEN_UP = "too many syntax errors"  # while drawing: the rest of the page was left out
# Of the 256 steps of MuPDF a form in a form takes four or more: 50 are drawn, of 60 the innermost is lost
# (measured).  Blocks in blocks of a drawing program are seldom five deep (common practice, no source).
OVERFLOWN = "exception stack overflow"


def require_whole(document: pymupdf.Document, page: pymupdf.Page, said: tuple[str, ...], where: str) -> None:
    """Raises UnreadablePage where a content stream is broken, breaks off, or unpacks to more than any drawing has.

    ``said``: the complaints of opening the file.
    """
    cut = any(CUT in line for line in said)
    left = MOST
    for number in _content_streams(document, page, where):
        _unfilter_if_empty(document, number)
        left -= _unpack(document, number, left, where)
        heard = opening.complaints()
        if any(BROKEN.search(line) or (cut and MISSED in line) for line in heard):
            raise _lost(where)


def require_drawn(said: tuple[str, ...], where: str) -> None:
    """Raises UnreadablePage where MuPDF gave the page up half-way, and NestedTooDeep.  ``said``: the complaints of
    drawing it."""
    if any(OVERFLOWN in line for line in said):
        raise _too_deep(where)
    if any(GIVEN_UP in line for line in said):
        raise _lost(where)


def require_paper(size: tuple[float, float], where: str) -> None:
    """Raises UnreadablePage where the page is larger than any paper."""
    if max(size) > LONGEST:
        raise UnreadablePage(
            f"the page is {max(size) / 864:,.0f} ft long: no sheet of paper is", where=where,
            cure="plot the drawing to a paper size, at a scale",
        )  # fmt: skip


def faults(said: tuple[str, ...]) -> tuple[str, ...]:
    """Of MuPDF's complaints, those that concern what is drawn."""
    return tuple(line for line in said if not HARMLESS.search(line))


@contextmanager
def damaged(what: str, where: str, cure: str = "save the PDF again") -> Iterator[None]:
    """Whatever MuPDF or we stumble over inside is damage of the page: raises UnreadablePage, or NestedTooDeep."""
    try:
        yield
    except CordpathError:
        raise
    except Exception as error:
        if any(OVERFLOWN in line for line in (str(error), *opening.complaints())):
            raise _too_deep(where) from error
        raise UnreadablePage(what, where=where, cure=cure) from error


def _too_deep(where: str) -> NestedTooDeep:
    return NestedTooDeep(
        "its parts (forms, clips, saved states) lie in one another deeper than any drawing's", where=where,
        cure="print the sheet again from the drawing program, or flatten it",
    )  # fmt: skip


def _lost(where: str) -> UnreadablePage:
    return UnreadablePage(
        "the page's content is damaged: a part of the drawing is lost", where=where,
        cure="send the file again, or print it from the drawing program once more",
    )  # fmt: skip


def _content_streams(document: pymupdf.Document, page: pymupdf.Page, where: str) -> list[int]:
    """Object numbers, each once."""
    with damaged("the page's entries are damaged", where):
        return list(dict.fromkeys((*page.get_contents(), *_forms(document, page))))


def _forms(document: pymupdf.Document, page: pymupdf.Page) -> Iterator[int]:
    """Object numbers of the forms that the page's resources name, and the resources of these.

    Each dictionary of resources is looked through once: programs let thousands of forms share one that names them
    all, and looked through again for each form it takes a minute and more.
    """
    entries = mupdf.pdf_load_object(pymupdf._as_pdf_document(document), page.xref)
    waiting = [mupdf.pdf_dict_get_inheritable(entries, mupdf.pdf_new_name("Resources"))]
    seen: set[int] = set()
    while waiting:
        named = mupdf.pdf_dict_gets(waiting.pop(), "XObject")
        for k in range(mupdf.pdf_dict_len(named)):
            form = mupdf.pdf_dict_get_val(named, k)
            number = mupdf.pdf_to_num(form)
            if number in seen or mupdf.pdf_to_name(mupdf.pdf_dict_gets(form, "Subtype")) != "Form":
                continue
            seen.add(number)
            yield number
            own = mupdf.pdf_dict_gets(form, "Resources")
            shared = mupdf.pdf_to_num(own)
            if not shared or shared not in seen:
                seen.add(shared)
                waiting.append(own)


def _unfilter_if_empty(document: pymupdf.Document, number: int) -> None:
    """Takes the filters off a stream of no bytes at all: nothing is packed in it, and unpacking it would be called
    damage.  Programs that rewrite files pack the empty content of blank or stamped pages so."""
    pdf = pymupdf._as_pdf_document(document)
    try:
        entries = mupdf.pdf_load_object(pdf, number)
        if mupdf.pdf_to_int(mupdf.pdf_dict_gets(entries, "Length")) > LEAST_PACKED:
            return
        raw = mupdf.pdf_load_raw_stream_number(pdf, number)
    except Exception:
        return  # what is wrong with it is said where it is unpacked
    if not mupdf.fz_buffer_extract(raw):
        mupdf.pdf_dict_dels(entries, "Filter")
        mupdf.pdf_dict_dels(entries, "DecodeParms")


def _unpack(document: pymupdf.Document, number: int, most: int, where: str) -> int:
    """Bytes that a stream holds when unpacked."""
    try:
        stream = mupdf.pdf_open_stream_number(pymupdf._as_pdf_document(document), number)
        total = 0
        while got := int(mupdf.fz_skip(stream, CHUNK)):
            total += got
            if total > most:
                break
    except Exception as error:
        raise _lost(where) from error
    if total > most:
        raise UnreadablePage(
            "the page unpacks to more than any drawing has", where=where,
            cure="plot it without hatch or 3-D shading",
        )  # fmt: skip
    return total

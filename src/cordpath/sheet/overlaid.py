"""What others have laid over a page as annotations, and pages that a form puts in place of those of the file: they
are no part of the drawing that is read, and are told.

A reviewer's comments are not the designer's drawing, and our own marks of an earlier run would be read as walls and
labels: annotations are taken off before a page is read.  But somebody may have added an outlet, written GFI or
struck it out in this way, so that the page as a person sees it is another than the one that was read.
"""

from __future__ import annotations

from collections import Counter

import pymupdf
from pymupdf import mupdf

# Kinds that show something on the page (ISO 32000-2, table 171), as people call them.
SHOWN = {
    "FreeText": "text", "Stamp": "stamp", "Ink": "pen stroke", "Line": "line", "Square": "box", "Circle": "circle",
    "Polygon": "outline or cloud", "PolyLine": "line", "Highlight": "highlight", "Underline": "underline",
    "Squiggly": "underline", "StrikeOut": "strike-out", "Redact": "mark to black out", "Caret": "insertion",
    "Text": "note", "Widget": "form field",
}  # fmt: skip
UNSEEN = 2 | 32  # flags: hidden, not to be viewed (table 167)
OURS = "cordpath"  # the author of our own marks
MOST = 5000  # looked at on one page; an office's text comments are some hundreds
QUOTED, LONGEST = 3, 40  # texts that are quoted, and letters of each


def told(document: pymupdf.Document, number: int) -> tuple[str, ...]:
    """What lies on page ``number`` (from 1), in one sentence; nothing where only our own marks or links do."""
    try:
        counts, said = _shown(document, number)
    except Exception:
        return ("the page's list of annotations is damaged: what they show was not read",)
    total = sum(counts.values())
    if not total:
        return ()
    kinds = ", ".join(f"{count} {kind}{'s' if count > 1 else ''}" for kind, count in counts.most_common())
    quoted = f", such as {', '.join(repr(text) for text in said)}" if said else ""
    was = "annotation lies on the page and was" if total == 1 else "annotations lie on the page and were"
    return (
        f"{total} {was} not read ({kinds}{quoted}): what belongs to the drawing has to be printed into it",
    )  # fmt: skip


def built_anew(document: pymupdf.Document) -> tuple[str, ...]:
    """What is said of a file that is a dynamic form (XFA): its viewer builds pages of its own, others show those of
    the PDF.  Source: ISO 32000-1:2008, 7.7.2 (NeedsRendering) and 12.7.8."""
    try:
        root = mupdf.pdf_dict_gets(mupdf.pdf_trailer(pymupdf._as_pdf_document(document)), "Root")
        form = mupdf.pdf_dict_getp(root, "AcroForm/XFA")
        dynamic = mupdf.pdf_to_bool(mupdf.pdf_dict_gets(root, "NeedsRendering"))
        if not dynamic or not (mupdf.pdf_is_array(form) or mupdf.pdf_is_stream(form)):
            return ()
    except Exception:
        return ()  # a file whose catalog cannot be read has no pages
    return (
        "the file is a dynamic form (XFA): some programs show other pages than those that were read",
    )  # fmt: skip


def _shown(document: pymupdf.Document, number: int) -> tuple[Counter[str], list[str]]:
    """How many of each kind, and some of what they say."""
    page = mupdf.pdf_lookup_page_obj(pymupdf._as_pdf_document(document), number - 1)
    listed = mupdf.pdf_dict_gets(page, "Annots")
    counts: Counter[str] = Counter()
    said: list[str] = []
    for k in range(min(MOST, mupdf.pdf_array_len(listed)) if mupdf.pdf_is_array(listed) else 0):
        one = mupdf.pdf_array_get(listed, k)
        kind = SHOWN.get(str(mupdf.pdf_to_name(mupdf.pdf_dict_gets(one, "Subtype"))))
        text = _text(one, "V" if kind == "form field" else "Contents")
        if kind is None or not _visible(one) or (kind == "form field" and not text):
            continue
        counts[kind] += 1
        if text and text not in said and len(said) < QUOTED:
            said.append(text)
    return counts, said


def _visible(one: mupdf.PdfObj) -> bool:
    """Is it shown, and neither our own nor an answer to another (which shows in lists of comments only)?"""
    hidden = mupdf.pdf_to_int(mupdf.pdf_dict_gets(one, "F")) & UNSEEN
    answers = mupdf.pdf_is_dict(mupdf.pdf_dict_gets(one, "IRT"))
    ours = _text(one, "T") == OURS or _text(one, "NM").startswith(OURS)
    return not (hidden or answers or ours)


def _text(one: mupdf.PdfObj, key: str) -> str:
    text = " ".join(str(mupdf.pdf_to_text_string(mupdf.pdf_dict_gets(one, key))).split())
    return text if len(text) <= LONGEST else text[: LONGEST - 1] + "\u2026"

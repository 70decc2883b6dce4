"""Is the file signed or certified, and does anything speak against adding review marks to a copy of it?

An update appended after signing leaves the signed bytes as they were, but viewers report the file as changed since.
Sources: ISO 32000-2:2020, 12.7.3 (SigFlags), 12.8.2.2 and table 257 (DocMDP, P), 7.6.4.2 (access permissions).
"""

from __future__ import annotations

import pymupdf
from pymupdf import mupdf

from cordpath.report.pdf.pdffile import PdfFile

REVIEW_COPY = "review copy: appended after signing"
ANNOTATIONS_ONLY = (
    f"{REVIEW_COPY}; the certification permits annotations and nothing else, so the copy has the marks, without a "
    "layer of their own, and no schedule pages: the schedule is a PDF of its own beside it."
)


def signature_notes(pdf: PdfFile) -> tuple[str, ...]:
    """Whole sentences for the user and for the schedule page; empty for a file that nobody signed."""
    notes: list[str] = []
    if _signed(pdf):
        notes.append(
            f"{REVIEW_COPY}; the seal covers the drawing as it was signed, not these marks. "
            "Check the signature on the file as received."
        )
    level = _certified(pdf)
    if level is not None and level < 3:
        notes.append(
            f"{REVIEW_COPY}; the file is certified and permits no annotations (DocMDP P {level}), "
            "so viewers will show the certification of this copy as broken."
        )
    elif level is not None:
        notes.append(ANNOTATIONS_ONLY)
    return tuple(notes)


def only_annotations(pdf: PdfFile) -> bool:
    """Is the file certified so that annotations keep the certification, and anything else would break it?"""
    return _certified(pdf) == 3


def permission_notes(document: pymupdf.Document) -> tuple[str, ...]:
    """What the file's access permissions say about annotations."""
    if (
        document.metadata
        and document.metadata.get("encryption")
        and not document.permissions & pymupdf.PDF_PERM_ANNOTATE
    ):
        return (
            "The file's author did not permit annotations; give the marked copy only to those who may have it.",
        )
    return ()


def _signed(pdf: PdfFile) -> bool:
    form = mupdf.pdf_dict_gets(pdf.catalog, "AcroForm")
    flags = mupdf.pdf_to_int(mupdf.pdf_dict_gets(form, "SigFlags"))
    return bool(flags & 1) or mupdf.pdf_is_dict(mupdf.pdf_dict_gets(pdf.catalog, "Perms"))


def _certified(pdf: PdfFile) -> int | None:
    """The modification level P of a certification (2 where it is not stated), None without one."""
    signature = mupdf.pdf_dict_gets(mupdf.pdf_dict_gets(pdf.catalog, "Perms"), "DocMDP")
    if not mupdf.pdf_is_dict(signature):
        return None
    references = mupdf.pdf_dict_gets(signature, "Reference")
    for k in range(mupdf.pdf_array_len(references)):
        level = mupdf.pdf_dict_gets(mupdf.pdf_dict_gets(mupdf.pdf_array_get(references, k), "TransformParams"), "P")
        if mupdf.pdf_is_int(level):
            return int(mupdf.pdf_to_int(level))
    return 2

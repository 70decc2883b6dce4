"""What was answered to the review marks of a copy: states and replies that a PDF viewer put there.

Sources: ISO 32000-2:2020, 12.5.6.3 (annotation states: StateModel, State), table 172 (IRT, RT).  A state is an
annotation of its own that answers the one it is about; every author has a last one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePath

import pymupdf
from pymupdf import mupdf

from cordpath.report.pdf.annotate import NAME
from cordpath.report.pdf.pdffile import PdfFile, open_copy

OURS = re.compile(rf"{NAME}(\d+)-(.+)-(?:cloud|tag|path-\d+)")
MODELS = ("Review", "Marked")
DEPTH_MOST = 50  # answers to answers; a chain that runs in a circle ends here
ANSWERS_MOST = 20_000
TEXT_MOST = 4000  # characters of a reply


@dataclass(frozen=True)
class Answer:
    """One state or one reply.  ``state``: Accepted, Rejected, Cancelled, Completed, None, Marked, Unmarked; empty
    for a reply in words.  ``date`` as the viewer wrote it (D:YYYYMMDD...)."""

    file: str  # the stem of its copy; once it is known (``resubmittal/replies.py``), the drawing as in the results
    page: int
    outlet: str
    author: str
    state: str
    text: str
    date: str


def read_answers(path: Path, password: str | None = None) -> tuple[Answer, ...]:
    """All answers of a marked copy, by page and outlet, oldest first.  To be called where PDFs may be opened.

    Raises UnreadableFile, LockedFile.
    """
    document = open_copy(path, path, password)
    try:
        found = sorted(_answers(document, marked_stem(path.name)), key=lambda a: (a.page, a.outlet, a.date))
    finally:
        document.close()
    return tuple(found[:ANSWERS_MOST])


def marked_stem(file: str) -> str:
    """The name that a drawing and its marked copy share."""
    return PurePath(file.replace("\\", "/")).name.casefold().removesuffix(".pdf").removesuffix(".marked")


def last_states(answers: tuple[Answer, ...]) -> dict[tuple[str, int, str], dict[str, str]]:
    """The last state that each author gave, by file, page and outlet."""
    states: dict[tuple[str, int, str], dict[str, str]] = {}
    for answer in answers:
        if answer.state:
            states.setdefault((answer.file, answer.page, answer.outlet), {})[answer.author] = answer.state
    return states


def _answers(document: pymupdf.Document, file: str) -> Iterator[Answer]:
    pdf = PdfFile(document)
    for index in range(pdf.page_count):
        if not pdf.sound(index):
            continue
        for annotation in pdf.annotations(index):
            if mupdf.pdf_to_name(mupdf.pdf_dict_gets(annotation, "RT")) == "Group":
                continue
            root = _root(annotation)
            named = OURS.fullmatch(_text(root, "NM")) if root is not None else None
            if named is not None:
                yield _answer(annotation, file, int(named[1]), named[2])


def _root(annotation: mupdf.PdfObj) -> mupdf.PdfObj | None:
    """What an annotation answers, at the end of the chain; None where it answers nothing."""
    at, root = annotation, None
    for _ in range(DEPTH_MOST):
        above = mupdf.pdf_dict_gets(at, "IRT")
        if not mupdf.pdf_is_dict(above):
            return root
        at = root = above
    return None


def _answer(annotation: mupdf.PdfObj, file: str, page: int, outlet: str) -> Answer:
    state = _text(annotation, "State") if _text(annotation, "StateModel") in MODELS else ""
    date = _text(annotation, "M") or _text(annotation, "CreationDate")
    said = "" if state else _text(annotation, "Contents")
    return Answer(file, page, outlet, _text(annotation, "T"), state, said, date)


def _text(annotation: mupdf.PdfObj, key: str) -> str:
    value = mupdf.pdf_dict_gets(annotation, key)
    said = mupdf.pdf_to_name(value) if mupdf.pdf_is_name(value) else mupdf.pdf_to_text_string(value)
    return str(said)[:TEXT_MOST]

"""Letters that a clip or the page's edge cuts away: text around a viewport, and what lies beside the paper, stays
in the file and is not seen."""

from __future__ import annotations

import numpy as np
import pymupdf

from cordpath.geometry import midpoints
from cordpath.model import BoolArray, Box, FloatArray, IntArray

Place = tuple[int, int]
NEAR = 20.0  # places a point: two readings of one letter's origin agree far better
WHOLE = 0.8  # of a letter's box that lies on the paper at least, or it may look like another letter

_READING = pymupdf.TEXT_PRESERVE_LIGATURES | pymupdf.TEXT_PRESERVE_WHITESPACE


def place(origin: tuple[float, float]) -> Place:
    """Where a letter stands, as a key, in MuPDF's frame of the page."""
    return round(origin[0] * NEAR), round(origin[1] * NEAR)


def cut_away(page: pymupdf.Page) -> frozenset[Place]:
    """Places of letters of which no clip of theirs leaves anything.

    The text is read with clips and without: a letter that is missing for another reason is missing in both.  A
    letter that is painted a second time where it can be seen stays.
    """
    whole, clipped = (page.get_textpage(flags=flags) for flags in (_READING, _READING | pymupdf.TEXT_CLIP))
    if whole.extractText() == clipped.extractText():
        return frozenset()  # as on most pages: asking where each letter stands takes several times as long
    return _letters(page, whole) - _letters(page, clipped)


def on_paper(boxes: FloatArray, span: IntArray, paper: Box) -> tuple[IntArray, BoolArray]:
    """The letters, boxes (n, 4), whose middle is on the paper, and (n,) whether each, or the one beside it in its
    span, is cut."""
    middle = midpoints(boxes)
    seen = np.asarray(((middle >= paper[:2]) & (middle <= paper[2:])).all(axis=1), bool)
    inside = np.minimum(boxes[:, 2:], paper[2:]) - np.maximum(boxes[:, :2], paper[:2])
    cut = (inside < WHOLE * (boxes[:, 2:] - boxes[:, :2])).any(axis=1)
    together = span[1:] == span[:-1]
    beside = np.zeros(len(boxes), bool)
    beside[1:] |= together & ~seen[:-1]
    beside[:-1] |= together & ~seen[1:]
    return np.flatnonzero(seen), cut | beside


def _letters(page: pymupdf.Page, text: pymupdf.TextPage) -> frozenset[Place]:
    return frozenset(
        place(letter["origin"])
        for block in page.get_text("rawdict", textpage=text)["blocks"]
        for line in block.get("lines", ())
        for span in line["spans"]
        for letter in span["chars"]
    )

"""Letters that a clip cuts away: text around a viewport stays in the file and is not on the paper."""

from __future__ import annotations

import pymupdf

Place = tuple[int, int]
NEAR = 20.0  # places a point: two readings of one letter's origin agree far better

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


def _letters(page: pymupdf.Page, text: pymupdf.TextPage) -> frozenset[Place]:
    return frozenset(
        place(letter["origin"])
        for block in page.get_text("rawdict", textpage=text)["blocks"]
        for line in block.get("lines", ())
        for span in line["spans"]
        for letter in span["chars"]
    )

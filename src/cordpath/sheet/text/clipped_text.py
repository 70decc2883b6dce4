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
    return _letters(page, _READING) - _letters(page, _READING | pymupdf.TEXT_CLIP)


def _letters(page: pymupdf.Page, flags: int) -> frozenset[Place]:
    return frozenset(
        place(letter["origin"])
        for block in page.get_text("rawdict", flags=flags)["blocks"]
        for line in block.get("lines", ())
        for span in line["spans"]
        for letter in span["chars"]
    )

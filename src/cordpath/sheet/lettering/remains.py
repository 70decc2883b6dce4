"""Drawn lettering of which nothing was read: what the reader dropped, and what still may be lettering.

Terms: *remains*, glyphs of a dropped row that look like letters one by one, at a size that the sheet is lettered
in: of a label that other ink crosses, or in a face that is not known, no more is left.  Symbols and hatch look like
a letter now and then, but seldom at that size.
"""

from __future__ import annotations

import numpy as np

from cordpath.model import FloatArray, IntArray, Point
from cordpath.sheet.lettering.classify import CLASSES
from cordpath.sheet.lettering.glyphs import ALNUM
from cordpath.sheet.lettering.rows import Said, like_word, middle_of
from cordpath.sheet.lettering.trust import PLAIN

LIKELY = 0.6  # least chance that a glyph is a letter or figure
# With these figures 10 of 4,900 dropped rows of drawing were told, and 48 of 92 dropped labels (11 faces).
HIGH = (0.6, 1.4)  # of the cap height: letters
BROAD = 0.3  # of the cap height: a letter that is no bar is wider
SAME_SIZE = 0.08  # relative: cap heights this close are one size of lettering
USUAL = 0.02  # share of the read rows, from which their size is one of the sheet's
ONE_PLACE = 2.0  # of the cap height: places this close are told once
SPEAKING = np.array([letter.isalnum() and letter.upper() not in PLAIN for letter in CLASSES])


def unread_places(rows: list[Said]) -> list[Point]:
    """The middles of the rows of which nothing is kept and that may be lettering, and of what was dropped beside
    words that are: of GFI WP the GFI."""
    caps = np.array([said.row.reading.cap for said in rows if said.kept and said.row.like_text])
    out = [
        middle_of(said.row.reading)
        for said in rows
        if not said.kept and (said.row.like_text or any(map(like_word, said.row.tokens)))
    ]
    for said in rows:
        if not _of_usual_size(said.row.reading.cap, caps):
            continue
        near = ONE_PLACE * said.row.reading.cap
        for glyphs in _dropped(said):
            place = _remains(said, glyphs)
            if place is not None and all(np.hypot(place[0] - x, place[1] - y) > near for x, y in out):
                out.append(place)
    return out


def _dropped(said: Said) -> list[IntArray]:
    """The glyphs of the row where nothing of it is kept, else of each token that was dropped."""
    if not said.kept:
        return [np.arange(len(said.row.reading.chance))]
    kept = {(token.first, token.last) for token, _ in said.kept}
    return [
        np.arange(token.first, token.last + 1) for token in said.row.tokens
        if said.row.like_text and (token.first, token.last) not in kept
    ]  # fmt: skip


def _of_usual_size(cap: float, caps: FloatArray) -> bool:
    return bool(len(caps)) and float((np.abs(caps - cap) < SAME_SIZE * cap).mean()) >= USUAL


def _remains(said: Said, glyphs: IntArray) -> Point | None:
    """The middle of those of the glyphs that look like letters: of one that is no plain shape, of two, or of one
    beside another shape that is as large as a letter."""
    reading = said.row.reading
    chance = np.exp(reading.chance[glyphs])
    size = (reading.box[glyphs, 2:] - reading.box[glyphs, :2]) / reading.cap
    letter = (size[:, 1] >= HIGH[0]) & (size[:, 1] <= HIGH[1])
    likely = np.flatnonzero(letter & (chance[:, ALNUM].sum(axis=1) >= LIKELY))
    speaking = letter & (chance[:, SPEAKING].sum(axis=1) >= LIKELY)
    broad = letter & (size[:, 0] > BROAD)
    if not len(likely) or not (speaking.any() or len(likely) >= 2 or broad.sum() >= 2):
        return None
    return middle_of(reading, glyphs[likely])

"""What the sheet's own words tell of the face that it is lettered in.

A plotter draws one letter the same way every time.  A letter alone says little for itself, but where it has the
shape of the G of GARAGE and of LIGHTING, and of no other letter of the sheet's words, it is a G.  And a circuit's
letter that has the shape of another letter of those words was misread.  Figures by themselves, in the cells of a
schedule and the tags of circuits, are those that have the outlines of the figures of longer texts.

Terms: *example*, a glyph of a settled word of the vocabulary, for figures also of a settled text with figures;
*proved*, of the shape of two examples of its letter and of no other letter.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from cordpath.model import FloatArray
from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.features import Features
from cordpath.sheet.lettering.glyphs import Reading
from cordpath.sheet.lettering.grammar import vocabulary
from cordpath.sheet.lettering.rows import Said
from cordpath.sheet.lettering.trust import DOUBTFUL, LIKELY, PLAIN, SETTLED, Trust

WORD = 4  # letters of a word whose glyphs are examples: of those that are settled 0.99 are exact
EXAMPLES = 2  # of the letter, so that one word misread proves nothing
NEARER = 0.5  # of the distance to the nearest other letter: measured up to 0.35 for the same letter, 0.8 for others
ALIKE = 3.0  # distance of two glyphs (features.py): letters of one face and one slant were measured to 2.6
OUTLINE = 1.5  # the same of figures of one font, size by size: measured to 0.8, other figures and letters from 4.7
CLEAR = 0.9  # least chance of a glyph by itself before its shape is asked
UPRIGHT = (0.0, 90.0)  # degrees; a letter alone may as well be upside down where it reads the other way


class Face:
    """Examples of the letters, strokes and outlines apart; ``figures``: and of figures."""

    def __init__(self, said: list[Said], figures: bool = False) -> None:
        letters: dict[bool, list[str]] = {True: [], False: []}
        shapes: dict[bool, list[Features]] = {True: [], False: []}
        for each in said:
            reading = each.row.reading
            for token, sure in each.kept:
                word = len(token.text) >= WORD and token.text in vocabulary()
                number = figures and _figures(token) and token.least >= CLEAR and _as_long(token)
                if sure.confidence >= SETTLED and (word or number):
                    letters[reading.filled] += token.text
                    shapes[reading.filled].append(reading.shapes(token.first, token.last))
        self.letters = {filled: np.array(own) for filled, own in letters.items()}
        self.shapes = {filled: np.concatenate(own) for filled, own in shapes.items() if own}

    def gaps(self, letters: str, shapes: Features, filled: bool) -> tuple[FloatArray, FloatArray]:
        """(n,) distances to the second nearest example of each letter, to the nearest of any other letter."""
        same, other = np.full(len(letters), np.inf), np.full(len(letters), np.inf)
        if filled not in self.shapes:
            return same, other
        asked = np.array(list(letters))
        gap = _distances(shapes, self.shapes[filled])
        for letter in set(self.letters[filled].tolist()):
            own = np.sort(gap[:, self.letters[filled] == letter], axis=1)
            this = asked == letter
            other[~this] = np.minimum(other[~this], own[~this, 0])
            if own.shape[1] >= EXAMPLES:
                same[this] = own[this, EXAMPLES - 1]
        return same, other


def _distances(a: Features, b: Features) -> FloatArray:
    """(n, m) between the rows of (n, d) and (m, d)."""
    square = (a * a).sum(axis=1)[:, None] + (b * b).sum(axis=1) - 2 * (a @ b.T)
    return np.asarray(np.sqrt(np.maximum(square, 0)), float)


def compared(said: list[Said]) -> list[Said]:
    """What is said, with its letters compared with those of the sheet's own words."""
    letters = _weighed(said, False, _asked, _judged)
    return _weighed(letters, True, _short, lambda _, sure, same, other: _borne_out(sure, same, other, OUTLINE))


def _weighed(
    said: list[Said], figures: bool, asks: Callable[[Said, Token, Trust], bool],
    judges: Callable[[Token, Trust, FloatArray, FloatArray], Trust],
) -> list[Said]:  # fmt: skip
    """The same with the tokens that are asked about believed as the gaps of their letters tell; ``figures``: see
    :class:`Face`."""
    asked = [(each.row.reading, token) for each in said for token, sure in each.kept if asks(each, token, sure)]
    if not asked:
        return said
    gaps = iter(_gaps(Face(said, figures), asked))
    return [
        replace(each, kept=[
            (token, judges(token, sure, *next(gaps)) if asks(each, token, sure) else sure)
            for token, sure in each.kept
        ]) for each in said
    ]  # fmt: skip


def _short(said: Said, token: Token, sure: Trust) -> bool:
    """Is it outlined, and nothing but its shortness against it: its shape may prove it."""
    asked = sure.short and (token.text.isdigit() or token.hit) and said.row.reading.filled
    return bool(asked and _as_long(token) and token.least >= CLEAR and said.row.reading.angle in UPRIGHT)


def _as_long(token: Token) -> bool:
    """Has the text a glyph for each of its letters?"""
    return token.last - token.first + 1 == len(token.text)


def _gaps(face: Face, asked: list[tuple[Reading, Token]]) -> list[tuple[FloatArray, FloatArray]]:
    """For each token the gaps of its letters; all tokens at once."""
    out = [(np.zeros(0), np.zeros(0))] * len(asked)
    for filled in (False, True):
        mine = [k for k, (reading, _) in enumerate(asked) if reading.filled == filled]
        if not mine:
            continue
        shapes = np.concatenate([asked[k][0].shapes(asked[k][1].first, asked[k][1].last) for k in mine])
        same, other = face.gaps("".join(asked[k][1].text for k in mine), shapes, filled)
        start = 0
        for k in mine:
            end = start + len(asked[k][1].text)
            out[k] = same[start:end], other[start:end]
            start = end
    return out


def _figures(token: Token) -> bool:
    return any(letter.isdigit() for letter in token.text)


def _asked(said: Said, token: Token, sure: Trust) -> bool:
    """Do the sheet's words have a say: a believed text with figures may be denied, a letter or pair be proved."""
    length = len(token.text)
    if not _as_long(token):
        return False
    if sure.confidence >= LIKELY:
        return _figures(token)
    known = length == 1 or (length == 2 and token.hit and token.text.isalpha())
    speaks = any(letter.isupper() and letter not in PLAIN for letter in token.text)
    return known and speaks and token.least >= CLEAR and said.row.reading.angle in UPRIGHT


def _judged(token: Token, sure: Trust, same: FloatArray, other: FloatArray) -> Trust:
    """``same``, ``other`` (n,): see Face.gaps, of the token's letters."""
    if sure.confidence >= LIKELY:
        capital = np.array([letter.isupper() for letter in token.text])
        denied = capital & (other < ALIKE) & (other < NEARER * same)
        return Trust(True, DOUBTFUL) if denied.any() else sure
    return _borne_out(sure, same, other, ALIKE)


def _borne_out(sure: Trust, same: FloatArray, other: FloatArray, bound: float) -> Trust:
    """Likely where all letters are proved, nearer than the bound to their own."""
    proved = (same < bound) & (same < NEARER * other) & (other < np.inf)
    return Trust(True, LIKELY) if proved.all() else sure

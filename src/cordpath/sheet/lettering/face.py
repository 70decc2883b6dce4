"""What the sheet's own words tell of the face that it is lettered in.

A plotter draws one letter the same way every time.  A letter alone says little for itself, but where it has the
shape of the G of GARAGE and of LIGHTING, and of no other letter of the sheet's words, it is a G.  And a circuit's
letter that has the shape of another letter of those words was misread.

Terms: *example*, a glyph of a settled word of the vocabulary; *proved*, of the shape of two examples of its letter
and of no other letter.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

import numpy as np

from cordpath.model import FloatArray
from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.grammar import vocabulary
from cordpath.sheet.lettering.rows import Row, Said
from cordpath.sheet.lettering.trust import DOUBTFUL, LIKELY, PLAIN, SETTLED, Trust

WORD = 4  # letters of a word whose glyphs are examples: of those that are settled 0.99 are exact
EXAMPLES = 2  # of the letter, so that one word misread proves nothing
NEARER = 0.5  # of the distance to the nearest other letter: measured up to 0.35 for the same letter, 0.8 for others
ALIKE = 3.0  # distance of two glyphs (features.py): letters of one face and one slant were measured to 2.6
CLEAR = 0.9  # least chance of a glyph by itself before its shape is asked
UPRIGHT = (0.0, 90.0)  # degrees; a letter alone may as well be upside down where it reads the other way


class Face:
    """Examples of the letters, strokes and outlines apart."""

    def __init__(self, said: list[Said]) -> None:
        shapes: dict[bool, dict[str, list[FloatArray]]] = {True: defaultdict(list), False: defaultdict(list)}
        for each in said:
            for token, sure in each.kept:
                if sure.confidence >= SETTLED and len(token.text) >= WORD and token.text in vocabulary():
                    own = each.row.reading.shapes[token.first : token.last + 1]
                    for letter, shape in zip(token.text, own, strict=True):
                        shapes[each.row.reading.filled][letter].append(shape)
        self.shapes = {
            filled: {letter: np.array(of) for letter, of in own.items()} for filled, own in shapes.items()
        }

    def gaps(self, letter: str, shape: FloatArray, filled: bool) -> tuple[float, float]:
        """(distance to the second nearest example of the letter, to the nearest of any other letter)."""
        same, other = np.inf, np.inf
        for name, of in self.shapes[filled].items():
            gap = np.sort(np.linalg.norm(of - shape, axis=1))
            if name != letter:
                other = min(other, float(gap[0]))
            elif len(gap) >= EXAMPLES:
                same = float(gap[EXAMPLES - 1])
        return same, other

    def proves(self, row: Row, token: Token) -> bool:
        """Has every letter of the token the shape that it has in the sheet's words."""
        for letter, shape in zip(token.text, row.reading.shapes[token.first : token.last + 1], strict=True):
            same, other = self.gaps(letter, shape, row.reading.filled)
            if not (same < ALIKE and same < NEARER * other < np.inf):
                return False
        return True

    def denies(self, row: Row, token: Token) -> bool:
        """Has a letter of the token the shape of another letter."""
        for letter, shape in zip(token.text, row.reading.shapes[token.first : token.last + 1], strict=True):
            same, other = self.gaps(letter, shape, row.reading.filled)
            if letter.isupper() and other < ALIKE and other < NEARER * same:
                return True
        return False


def compared(said: list[Said]) -> list[Said]:
    """What is said, with its letters compared with those of the sheet's own words."""
    face = Face(said)
    return [replace(each, kept=[(token, _compared(face, each.row, token, sure)) for token, sure in each.kept])
            for each in said]  # fmt: skip


def _compared(face: Face, row: Row, token: Token, sure: Trust) -> Trust:
    length = len(token.text)
    if token.last - token.first + 1 != length:
        return sure
    if sure.confidence >= LIKELY and any(letter.isdigit() for letter in token.text):
        return Trust(True, DOUBTFUL) if face.denies(row, token) else sure
    known = length == 1 or (length == 2 and token.hit and token.text.isalpha())
    if not known or sure.confidence >= LIKELY or token.least < CLEAR or row.reading.angle not in UPRIGHT:
        return sure
    speaks = any(letter.isupper() and letter not in PLAIN for letter in token.text)
    return Trust(True, LIKELY) if speaks and face.proves(row, token) else sure

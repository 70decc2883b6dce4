"""Fonts that do not say what their letters are.

A PDF may show text in a font whose glyphs carry no letters: no ToUnicode map, made-up glyph names, codes counted
from 1 (files that went through PostScript or a printer driver).  A reader sees words, a program gets signs without
a meaning.  Such words are none: their glyphs are read as they are drawn, and where that fails is lettering that
could not be read.

Terms: *sign*, a character that no plan is written in; *mute*, a font whose text is mostly signs, or whose codes are
taken for letters that they are not (:mod:`cordpath.sheet.text.ciphers`), or whose glyphs are drawn as other letters
(:mod:`cordpath.sheet.text.font_maps`).
"""

from __future__ import annotations

from collections import defaultdict

from cordpath.model import Point, Word
from cordpath.sheet.text.ciphers import makes_sense, plain

MOSTLY = 0.5  # share of signs in the text of a mute font; in fonts that say their letters it is next to none
FEW_SIGNS = 4  # different signs: fewer are bullets, arrows and check marks of a font of symbols
SIGNS = (
    (0x2600, 0x27BF),  # dingbats: made-up glyph names (a1, a2, ...) are taken for those
    (0xE000, 0xF8FF),  # private use
    (0xFFFD, 0xFFFD),  # no letter known
    (0xF0000, 0x10FFFF),  # private use
)


def legible(
    words: tuple[Word, ...], suspects: frozenset[str] = frozenset(), liars: frozenset[str] = frozenset()
) -> tuple[tuple[Word, ...], tuple[Point, ...]]:
    """(the words of fonts that say their letters, where the lines of the mute ones stand).  ``suspects``: plain
    names of fonts that say nowhere what their letters are; ``liars``: those that draw others than they say."""
    coded, mute = _unsaid(words, suspects, liars)
    if not mute:
        return words, ()
    lines: dict[int, list[Word]] = defaultdict(list)
    for word in words:
        if word.font in mute and word.origin != "hidden":
            lines[word.line].append(word)
    places = tuple(_middle(line) for line in lines.values() if _letters(line, coded))
    return tuple(word for word in words if word.font not in mute), places


def mute_fonts(words: tuple[Word, ...], suspects: frozenset[str], liars: frozenset[str]) -> frozenset[str]:
    """Plain names of the fonts whose words are none, as of :func:`legible`."""
    return frozenset(map(plain, _unsaid(words, suspects, liars)[1]))


def _unsaid(words: tuple[Word, ...], suspects: frozenset[str], liars: frozenset[str]) -> tuple[set[str], set[str]]:
    """The fonts whose codes are no letters, and all mute ones."""
    by_font: dict[str, list[Word]] = defaultdict(list)
    for word in words:
        by_font[word.font].append(word)
    coded = {font for font, its in by_font.items() if plain(font) in suspects and not makes_sense(its)}
    coded |= {font for font in by_font if plain(font) in liars}
    return coded, coded | {font for font, its in by_font.items() if _mute(its)}


def _letters(line: list[Word], coded: set[str]) -> bool:
    """A single sign may be a bullet; a single letter of a font of letters may be the G of an outlet."""
    return line[0].font in coded or sum(len(word.text) for word in line) > 1


def _mute(words: list[Word]) -> bool:
    text = "".join(word.text for word in words)
    signs = [letter for letter in text if is_sign(letter)]
    return len(signs) > MOSTLY * len(text) and len(set(signs)) >= FEW_SIGNS


def is_sign(letter: str) -> bool:
    """Is this a character that no plan is written in."""
    code = ord(letter)
    return any(low <= code <= high for low, high in SIGNS)


def _middle(line: list[Word]) -> Point:
    x = [end for word in line for end in (word.box[0], word.box[2])]
    y = [end for word in line for end in (word.box[1], word.box[3])]
    return ((min(x) + max(x)) / 2, (min(y) + max(y)) / 2)

"""How far a word that was read from strokes is believed.

``SETTLED`` is for words that may settle a verdict; consumers take words under 0.8 as doubtful.  The figures were
measured on generated sheets in six faces that the classifier was not trained on, clean and crossed by other ink
(tests/benchmarks/lettering.py): share of words that were exact.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.grammar import turns_into_a_tag

SETTLED, LIKELY, PROBABLE, DOUBTFUL, WEAK = 0.97, 0.85, 0.75, 0.6, 0.5
PLAIN = "CDIJLNOQTUVXZ017"  # drawn as often for other reasons: circles, corners, ticks, door swings
LONG = 5  # letters: SHED may be the end of UNFINISHED, LAUNDRY is the end of nothing
JOINS = frozenset("-&")
# In the cells of a schedule; in outlines no other letter and no mark looks like them.
TICK, SIGNS, CLEAR_SIGN = "X", frozenset("#*"), 0.97
PARTED = 0.75  # chance of a blank: a word cut out of a longer one is none (SHED of UNFINISHED)
# Share of the text-like rows that say something, from which the reader knows the face: 0.65 and more in 12 faces
# that it reads, under 0.45 in 5 that it does not, where what it believed was wrong one time in four
READABLE = 0.55
FIGURE = 0.8  # least chance of a glyph in a text with figures, which no vocabulary bears out: under it 0.65 of 136
MARGIN = 0.3  # nat a glyph: a hit that beats another by less may be the other


# A height in feet alone may be one in inches whose second prime was lost: +18" became 18 ft, out of every reach.
FEET_ALONE = re.compile(r"[+@]\d+'")
PANEL_OF_TWO = re.compile(r"[A-Z]{2}-?\d{1,2}")


@dataclass(frozen=True)
class Trust:
    """``short``: nothing but its shortness speaks against it."""

    kept: bool
    confidence: float
    short: bool = False


DROPPED = Trust(False, 0.0)


def trust(token: Token, like_text: bool, filled: bool, whole: bool) -> Trust:
    """``like_text``: the line has the look of lettering (three letters or more, one height, one base);
    ``filled``: the letters are outlines; ``whole``: no ink stands beside the token, where a letter of it might be
    lost.  What a second reader says otherwise is doubted."""
    if token.seconded is False:
        first = trust(replace(token, seconded=None), like_text, filled, whole)
        return replace(first, confidence=min(first.confidence, DOUBTFUL))
    if token.hit and (token.span >= 2 or token.column):
        return _hit(token, like_text, whole)
    figures_or_letters = sum(letter.isalnum() for letter in token.text)
    if not figures_or_letters:  # a dash between words joins them: GFI - TYP. THIS ROOM
        if filled and token.text in SIGNS and token.least >= CLEAR_SIGN:
            return Trust(True, LIKELY)
        return Trust(True, PROBABLE) if like_text and token.text in JOINS and token.least >= 0.9 else DROPPED
    if len(token.text) == 1:  # measured: one in three is a letter; worth something only beside a symbol
        if filled and whole and token.text == TICK and token.least >= CLEAR_SIGN:
            return Trust(True, LIKELY)
        plain = token.text in PLAIN and not filled
        return Trust(token.confidence >= 0.9 and not plain, WEAK, whole)
    if not like_text or figures_or_letters < 0.6 * len(token.text):
        return DROPPED
    if len(token.text) == 2:
        return Trust(token.confidence >= 0.97, WEAK)
    # Names that nobody has heard of: half are exact; whole ones that two readers read alike were, 45 of 45.
    named = token.seconded and whole and token.parted >= PARTED and token.text.isalpha() and len(token.text) >= LONG
    return Trust(token.confidence >= 0.6, LIKELY if named else DOUBTFUL)


def _hit(token: Token, like_text: bool, whole: bool) -> Trust:
    clear = token.confidence >= 0.9 and token.least >= 0.6
    if not clear:
        return Trust(token.confidence >= 0.3 and token.span > 2, DOUBTFUL)  # 0.85 of 120
    if _may_be_another(token, whole):
        return Trust(True, PROBABLE)
    if token.span == 2 and not like_text and not token.column:  # marks often look like two letters
        return Trust(True, PROBABLE if token.confidence >= 0.97 else WEAK, True)
    if token.span > 3 and like_text:
        return Trust(True, SETTLED)  # 0.99 of 2900
    if token.least < 0.9:
        return Trust(True, PROBABLE)
    # 0.96 of 60 of two glyphs and 0.94 of 100 unlike lettering; 0.99 of 383 of three
    return Trust(True, LIKELY if token.span <= 2 or not like_text else SETTLED)


def _may_be_another(token: Token, whole: bool) -> bool:
    """May a clear hit be a piece of a longer word, or another word that looks alike?"""
    long = token.text.isalpha() and len(token.text) >= LONG  # cut short, it would hardly be a word
    return (
        not (whole or long) or token.margin < MARGIN or token.parted < PARTED  # 0.92 of 480 are exact
        or (token.least < FIGURE and any(letter.isdigit() for letter in token.text))
        or FEET_ALONE.fullmatch(token.text) is not None
        # LT-8 for a B-17 that stood upside down: 1 of 1000 tags in odd faces
        or (PANEL_OF_TWO.fullmatch(token.text) is not None and turns_into_a_tag(token.text))
    )  # fmt: skip

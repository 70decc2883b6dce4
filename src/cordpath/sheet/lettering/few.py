"""A few drawn labels on a sheet whose text is otherwise in fonts, or that has next to no text.

Some programs write the title block as text and plot the device letters as strokes.  A handful of rows proves no
lettering by its number, as a full sheet's does; so a row is believed only where it says, clearly, a word of the
trade, a circuit or a height.  A row that looks like letters one by one and says no such thing is told as unread:
the label that shows protection may be there.

Terms: *pair*, a line of two letters and at most a mark, as WP and A-3 are: too short to look like lettering.
"""

from __future__ import annotations

import re

import numpy as np

from cordpath.model import BoolArray, Point, Strokes, Word
from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.grammar import vocabulary
from cordpath.sheet.lettering.parts import Parts
from cordpath.sheet.lettering.rows import (
    Said,
    as_word,
    believed,
    exclusive,
    like_word,
    middle_of,
    read_rows,
    sizes,
)
from cordpath.sheet.lettering.runs import Lines
from cordpath.sheet.lettering.trust import PLAIN, PROBABLE

STILL = 0.1  # unrest of a pair at most: half of what a longer line may have, for two marks are soon alike
LEAST_STROKES = 2  # of each letter of a pair; a bar is no letter that tells anything
PAIRS = frozenset({"WP", "WR", "DW", "GD", "WH", "MW", "JB", "SD", "CO", "EF"})  # devices and what they serve
SHORTEST = 3  # letters of a word that is believed without being one of PAIRS
CIRCUIT = re.compile(r"[A-HJ-NP-Z]{1,2}-\d{1,2}([,/]\d{1,2})?")  # with its dash: W99 is 66M upside down
HEIGHT = re.compile(r'\+\d{2}"')  # over the floor


def few_labels(
    ink: Parts, found: list[Lines], like: list[BoolArray], strokes: Strokes, line: int
) -> tuple[list[Word], int, list[Point]]:
    """(words, rows that are read or unread, middles of the unread rows).  ``like``: which lines look like text;
    ``line``: the number of the first row among the page's lines of text."""
    rows = read_rows(ink, found, like, True)
    short = [pairs(ink, lines) & ~which for lines, which in zip(found, like, strict=True)]
    rows |= read_rows(ink, found, short, False)
    words: list[Word] = []
    unread: list[Point] = []
    count = 0
    said = believed(exclusive([rows[place] for place in sorted(rows)]), ink, strokes)
    for each, cap in zip(said, sizes([one.row for one in said]), strict=True):
        clear = [(token, sure) for token, sure in each.kept if sure.confidence >= PROBABLE and _of_trade(token)]
        words += [as_word(each.row.reading, token, sure, cap, line + count) for token, sure in clear]
        if not clear and _may_say(each):
            unread.append(middle_of(each.row.reading))
        elif not clear:
            continue
        count += 1
    return words, count, unread


def _of_trade(token: Token) -> bool:
    if not token.hit:
        return False
    word = token.text in vocabulary() and sum(map(str.isalpha, token.text)) >= SHORTEST
    form = CIRCUIT.fullmatch(token.text) or HEIGHT.fullmatch(token.text)
    return word or token.text in PAIRS or form is not None


def _may_say(said: Said) -> bool:
    """May the row be a label: its letters are fairly sure one by one, or a doubtful word of the trade is in it."""
    likely = "".join(token.text for token in said.row.tokens if like_word(token))
    if said.row.like_text and any(letter.isalnum() and letter not in PLAIN for letter in likely):
        return True  # letters that are plain shapes alone, as JO and J,Q, are drawn for other reasons
    return any(_of_trade(token) for token, _ in said.kept)


def pairs(ink: Parts, lines: Lines) -> BoolArray:
    """(l,) lines of two letters, each of a letter's width and more than a bar, and at most a mark with them."""
    count = len(lines.base)
    own = lines.box[lines.member]
    cap = lines.cap[lines.line]
    wide, high = own[:, 2] - own[:, 0], own[:, 3] - own[:, 1]
    letter = (high > 0.8 * cap) & (wide > 0.25 * cap) & (wide < 1.4 * cap)
    letter &= ink.strokes[lines.member] >= LEAST_STROKES
    letters = np.bincount(lines.line[letter], minlength=count)
    members = np.bincount(lines.line, minlength=count)
    return np.asarray((letters == 2) & (members <= 3) & (lines.unrest < STILL), bool)

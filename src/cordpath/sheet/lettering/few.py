"""A few drawn labels on a sheet whose text is otherwise in fonts, or that has next to no text.

Some programs write the title block as text and plot the device letters as strokes.  A handful of rows proves no
lettering by its number, as a full sheet's does; so a row is believed only where it says, clearly, a word of the
trade, a circuit or a height.  A row that looks like letters one by one and says no such thing is told as unread:
the label that shows protection may be there.

Terms: *pair*, a line of two letters and at most a mark, as WP and A-3 are: too short to look like lettering;
*single*, a line of one letter.  Both are drawn for other reasons as well: what they say is a doubt, and nothing is
made of them unless white paper parts them from the rest.
"""

from __future__ import annotations

import re

import numpy as np
import shapely

from cordpath.geometry import box_around, directions, first_of_equal, grown, midpoints
from cordpath.geometry import lines as geometries
from cordpath.model import BoolArray, IntArray, Point, Strokes, Word
from cordpath.sheet.lettering.classify import CLASSES
from cordpath.sheet.lettering.decode import Token
from cordpath.sheet.lettering.exclusive import exclusive
from cordpath.sheet.lettering.grammar import turns_into_a_tag, vocabulary
from cordpath.sheet.lettering.near import about
from cordpath.sheet.lettering.parts import Parts
from cordpath.sheet.lettering.rows import (
    Rows,
    Said,
    as_word,
    believed,
    corners,
    like_word,
    middle_of,
    read_rows,
    sizes,
)
from cordpath.sheet.lettering.runs import Lines
from cordpath.sheet.lettering.seconded import seconded
from cordpath.sheet.lettering.trust import PLAIN, PROBABLE, SETTLED, WEAK, Trust

STILL = 0.1  # unrest of a pair at most: half of what a longer line may have, for two marks are soon alike
# Different straight lines in a single and in each letter of a pair: none of SPEAKING has less than three (F, K),
# and a bar tells nothing.  Pieces of a dash are one line.
LEAST_LINES = {1: 3, 2: 2}
SAME_WAY, SAME_LINE = 10.0, 0.5  # degrees and points: strokes that agree so far lie on one line
PAIRS = frozenset({"WP", "WR", "DW", "GD", "WH", "MW", "JB", "SD", "CO", "EF"})  # devices and what they serve
SPEAKING = frozenset(
    "BEFGKMPRSW"
)  # read alone: no symbol is drawn like them, as 6 is a receptacle and A a telephone
LONE = 0.9  # least chance of each glyph of a single or a pair
APART = 0.3  # of the cap height: white paper around a single or a pair
SHORTEST = 3  # letters of a word that is believed without being one of PAIRS
CIRCUIT = re.compile(r"[A-HJ-NP-Z]{1,2}-\d{1,2}([,/]\d{1,2})?")
DASHLESS = re.compile(r"[A-HJ-NP-Z]\d{2}")  # A12: where it is settled, and no tag upside down as well
HEIGHT = re.compile(r'\+\d{2}"')  # over the floor


def few_labels(
    ink: Parts, found: list[Lines], like: list[BoolArray], rows: Rows, strokes: Strokes, line: int
) -> tuple[list[Word], int, list[Point]]:
    """(words, rows that are read or unread, middles of the unread rows).  ``like``: which lines look like text;
    ``rows``: those, read; ``line``: the number of the first row among the page's lines of text."""
    rows = dict(rows)
    straight = _straight_lines(ink)
    for number in (2, 1):
        short = [few(straight, lines, number) & ~which for lines, which in zip(found, like, strict=True)]
        rows |= read_rows(ink, found, short, False)
    words: list[Word] = []
    unread: list[Point] = []
    count = 0
    said = believed(seconded(exclusive([rows[place] for place in sorted(rows)]), ink), ink, strokes)
    for each, lone, cap in zip(said, _lone(said, ink, strokes), sizes([one.row for one in said]), strict=True):
        clear = [
            (token, sure) for token, sure in each.kept
            if sure.confidence >= PROBABLE and (_of_trade(token) or _dashless(token, sure))
        ]  # fmt: skip
        if not clear and lone:
            clear = [(each.row.tokens[0], Trust(True, WEAK))]
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


def _dashless(token: Token, sure: Trust) -> bool:
    """Of 421 such labels in 140 faces three were others before its last test: W40 as V40, two upside down."""
    settled = token.hit and sure.confidence >= SETTLED and DASHLESS.fullmatch(token.text) is not None
    return settled and not turns_into_a_tag(token.text)


def _may_say(said: Said) -> bool:
    """May the row be a label: its letters are fairly sure one by one, or a doubtful word of the trade is in it."""
    likely = "".join(token.text for token in said.row.tokens if like_word(token))
    chance = said.row.reading.chance
    likely += "".join(CLASSES[k] for k in chance.argmax(axis=1)[chance.max(axis=1) > np.log(LONE)])
    if said.row.like_text and any(letter.isalnum() and letter not in PLAIN for letter in likely):
        return True  # letters that are plain shapes alone, as JO and J,Q, are drawn for other reasons
    return any(_of_trade(token) for token, _ in said.kept)


def _lone(said: list[Said], ink: Parts, strokes: Strokes) -> list[bool]:
    """Is the row a single or a pair that reads clearly and stands on white paper."""
    asked = [each for each in said if _short_and_clear(each)]
    if not asked:
        return [False] * len(said)
    around = []
    for each in asked:
        reading, room = each.row.reading, APART * each.row.reading.cap
        box = grown(box_around(reading.box.reshape(-1, 2)), room)
        around.append(shapely.Polygon(corners(box, reading.angle)))
    xy = strokes.xy[strokes.ink()]
    drawn = geometries(xy[about(xy, shapely.bounds(np.array(around, object)))])
    hit, _ = shapely.STRtree(drawn).query(np.array(around, object), predicate="intersects")
    there = np.bincount(hit, minlength=len(asked))
    own = [0 if each.row.reading.filled else int(ink.strokes[sorted(each.row.parts)].sum()) for each in asked]
    apart = {id(each) for each, n, mine in zip(asked, there.tolist(), own, strict=True) if n == mine}
    return [id(each) in apart for each in said]


def _short_and_clear(said: Said) -> bool:
    if said.row.like_text or len(said.row.tokens) != 1:
        return False
    token = said.row.tokens[0]
    whole = len(token.text) == len(said.row.reading.chance) <= 2
    letters = all(letter.isalnum() for letter in token.text) and any(letter not in PLAIN for letter in token.text)
    says = token.text in SPEAKING if len(token.text) == 1 else letters
    return whole and says and token.least >= LONE


def few(straight: IntArray, lines: Lines, number: int) -> BoolArray:
    """(l,) lines of ``number`` letters, each as wide as a letter and more than a bar, and at most one mark.
    ``straight``: see _straight_lines."""
    count = len(lines.base)
    own = lines.box[lines.member]
    cap = lines.cap[lines.line]
    wide, high = own[:, 2] - own[:, 0], own[:, 3] - own[:, 1]
    letter = (high > 0.8 * cap) & (wide > 0.25 * cap) & (wide < 1.4 * cap)
    letter &= straight[lines.member] >= LEAST_LINES[number]
    letters = np.bincount(lines.line[letter], minlength=count)
    members = np.bincount(lines.line, minlength=count)
    return np.asarray((letters == number) & (members <= number + 1) & (lines.unrest < STILL), bool)


def _straight_lines(ink: Parts) -> IntArray:
    """(c,) on how many different straight lines the strokes of each part lie."""
    way = directions(ink.xy)
    turns = round(180.0 / SAME_WAY)
    direction = np.rint(way / np.pi * turns).astype(np.int64) % turns
    rounded = direction * np.pi / turns
    off = (midpoints(ink.xy) * np.c_[-np.sin(rounded), np.cos(rounded)]).sum(axis=1)
    place = np.rint(off / SAME_LINE).astype(np.int64)
    new = first_of_equal(np.c_[ink.owner, direction, place])
    return np.asarray(np.bincount(ink.owner[new], minlength=len(ink)), np.int64)

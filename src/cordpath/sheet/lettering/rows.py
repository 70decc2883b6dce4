"""Lines of glyphs read, from the better side, and what they say as words.

Terms: *row*, a line as read; *said*, the tokens of a row that are believed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import box_around, lengths
from cordpath.geometry import lines as geometries
from cordpath.model import BoolArray, Box, IntArray, Point, Strokes, TextOrigin, Word
from cordpath.sheet.lettering.decode import Token, decode_all
from cordpath.sheet.lettering.glyphs import Reading, readings
from cordpath.sheet.lettering.near import about
from cordpath.sheet.lettering.parts import Parts
from cordpath.sheet.lettering.runs import Lines
from cordpath.sheet.lettering.trust import PROBABLE, TICK, Trust, trust

CLEAR, FARTHEST = 0.3, 0.8  # of the cap height: over the usual gap, and at most; the next letter would be nearer
SLIM = 0.35  # of the cap height: beside a 1 the next figure may stand as far as any, where all are given one width
ABOVE, BELOW = 1.1, 0.35  # of the cap height: where the marks of a row are, over and under its base
# Of the cap height: from a word to a letter by itself on its line, and by how much their bases differ
SPACED, LEVEL = 2.25, 0.1
CERTAIN = 0.9  # least chance of a letter by itself
# In marks of protection, which clear an outlet: most letters by themselves are believed to be none and dropped, and
# the D, the N or the 1 of GFI 1 may take it back.
MARK = "GF"
LOST = 0.1  # of the cap height: length of the strokes in a row that are none of its glyphs; a comma is longer
TURNS = frozenset("69")
ONE_WAY = 0.3  # nat a glyph
CAP = 0.72  # of the font size: capitals (0.70 to 0.73 in usual fonts)
DESCENT, ASCENT = 0.2, 0.8  # of the size, as Word boxes of fonts have
TURNED = {0.0: 0.0, 90.0: 0.12, 270.0: 0.25, 180.0: 0.9}  # nat: how much rarer text is that runs this way
SLANTED, ALONE = 0.2, 0.6  # nat; a letter alone shows no direction, and 0 and 6 are worth 0.35 more as figures
HOPE = 0.15  # least chance of the best glyph of a row that does not look like text: nothing is kept under 0.3, and
# letters of one shape (O and 0) share theirs
LOWEST = 0.4  # of the cap height: small letters are 0.65 to 0.75, and their ascenders as high as capitals
SAME_SIZE = 0.05  # relative: cap heights this close are one size of lettering


@dataclass(frozen=True, eq=False)
class Row:
    reading: Reading
    tokens: list[Token]
    value: float
    like_text: bool
    parts: frozenset[int]
    one_way: bool = True  # read from the other side it says nothing that is as likely


Rows = dict[tuple[int, int], Row]  # by direction, and number in it


def read_rows(ink: Parts, found: list[Lines], chosen: list[BoolArray], like_text: bool) -> Rows:
    """The chosen lines read."""
    places: list[tuple[int, int]] = []
    options: list[list[Reading]] = []
    for k, (lines, which) in enumerate(zip(found, chosen, strict=True)):
        options += readings(ink, lines.keep(which), 0.0 if like_text else HOPE)
        places += [(k, i) for i in np.flatnonzero(which).tolist()]
    decoded = iter(decode_all([reading for each in options for reading in each]))
    rows = [_best([(reading, *next(decoded)) for reading in each], like_text) for each in options]
    return {place: row for place, row in zip(places, rows, strict=True) if row is not None}


@dataclass(frozen=True, eq=False)
class Said:
    """What a row says: the tokens that are kept, and how far each is believed; ``denied``: a letter by itself
    beside its mark of protection may take it back."""

    row: Row
    kept: list[tuple[Token, Trust]]
    denied: bool = False

    @property
    def settled(self) -> bool:
        return self.row.like_text and any(sure.confidence >= PROBABLE for _, sure in self.kept)


def believed(rows: list[Row], ink: Parts, strokes: Strokes) -> list[Said]:
    """``ink``: the parts that the rows were read from; ``strokes``: everything that is drawn."""
    out = []
    asked = [any(_may_be_sure(token, row.reading.filled) for token in row.tokens) for row in rows]
    clear = np.zeros((len(rows), 2), bool)  # asked for these alone: nothing else is believed that much
    clear[asked] = _whole([row for row, ask in zip(rows, asked, strict=True) if ask], ink, strokes)
    lone = _beside_lone(rows, [any(MARK in token.text for token in row.tokens) for row in rows])
    for row, ends, beside in zip(rows, clear & ~lone, lone, strict=True):
        filled = row.reading.filled
        trusts = [
            (token, trust(token, row.like_text, filled, _one_way(token, row) and _inside(token, row, ends)))
            for token in row.tokens
        ]
        out.append(Said(row, [(token, sure) for token, sure in trusts if sure.kept], bool(beside.any())))
    return out


def _one_way(token: Token, row: Row) -> bool:
    """Is it nothing else upside down?  Outlined figures are compared with others, which tells all but 6 and 9."""
    return row.one_way or (row.reading.filled and token.text.isdigit() and not TURNS & set(token.text))


def _may_be_sure(token: Token, filled: bool) -> bool:
    return bool(
        (token.hit and token.span >= 2)
        or token.seconded
        or (filled and (token.text.isdigit() or token.text == TICK))
    )


def _whole(rows: list[Row], ink: Parts, strokes: Strokes) -> BoolArray:
    """(r, 2) is there white paper before, and after, each row, and nothing in it that is not read: no letter or
    mark of it was lost in other ink.  Without its comma, A-1,3 is another circuit."""
    if not rows:
        return np.zeros((0, 2), bool)
    ends, insides = [], []
    for row in rows:
        reading = row.reading
        low, high = float(reading.box[:, 0].min()), float(reading.box[:, 2].max())
        top, foot = reading.base - 0.9 * reading.cap, reading.base - 0.1 * reading.cap
        gap = reading.box[1:, 0] - reading.box[:-1, 2]
        usual = float(np.median(gap)) if len(gap) else 0.0
        near, most = 0.05 * reading.cap, FARTHEST * reading.cap
        # Of a letter alone it is not known how far the next one would be.
        slim = (reading.box[:, 2] - reading.box[:, 0] < SLIM * reading.cap) | (not len(gap))
        before, after = (most if end else min(max(usual, 0.0) + CLEAR * reading.cap, most) for end in slim[[0, -1]])
        for box in ((low - before, top, low - near, foot), (high + near, top, high + after, foot)):
            ends.append(shapely.Polygon(corners(box, reading.angle)))
        box = (low, reading.base - ABOVE * reading.cap, high, reading.base + BELOW * reading.cap)
        insides.append(shapely.Polygon(corners(box, reading.angle)))
    around = shapely.bounds(np.array(ends + insides, object))
    xy = strokes.xy[strokes.ink()]
    xy = xy[about(xy, around)]
    tree = shapely.STRtree(geometries(xy))
    hit, _ = tree.query(np.array(ends, object), predicate="intersects")
    clear = np.ones(len(ends), bool)
    areas = np.array([bool(ink.filled[sorted(row.parts)].all()) for row in rows])
    clear[hit[~areas[hit // 2]]] = False
    clear[_beside_areas(rows, areas, np.array(ends, object), ink)] = False
    of, stroke = tree.query(np.array(insides, object), predicate="contains")
    there = np.bincount(of, lengths(xy)[stroke], minlength=len(rows))
    long = np.bincount(ink.owner, lengths(ink.xy), minlength=len(ink))
    read = np.array([0.0 if row.reading.filled else float(long[sorted(row.parts)].sum()) for row in rows])
    cap = np.array([row.reading.cap for row in rows])
    filled = np.array([row.reading.filled for row in rows])
    lost = ~filled & (there - read > LOST * cap)
    return clear.reshape(-1, 2) & ~lost[:, None]


def _beside_areas(rows: list[Row], areas: BoolArray, ends: NDArray[np.object_], ink: Parts) -> IntArray:
    """Which ends, two a row, of the rows of nothing but ``areas`` have another one beside them: no line is a letter
    there, but the ring around a circuit's tag."""
    area = np.flatnonzero(ink.filled)
    of, near = shapely.STRtree(shapely.box(*ink.box[area].T)).query(ends, predicate="intersects")
    return np.array([end for end, part in zip(of.tolist(), area[near].tolist(), strict=True)
                     if areas[end // 2] and part not in rows[end // 2].parts], np.int64)  # fmt: skip


def _beside_lone(rows: list[Row], chosen: list[bool]) -> BoolArray:
    """(r, 2) does a letter or figure stand by itself, a space off on its line, before and after each chosen row?"""
    out = np.zeros((len(rows), 2), bool)
    lone = [row.reading for row in rows if len(row.reading.chance) == 1 and any(map(_is_lone, row.tokens))]
    if not lone or not any(chosen):
        return out
    spots = shapely.STRtree(shapely.points([middle_of(reading) for reading in lone]))
    for i in np.flatnonzero(chosen).tolist():
        row = rows[i].reading
        low, high = float(row.box[:, 0].min()), float(row.box[:, 2].max())
        top, foot, far = row.base - 0.9 * row.cap, row.base - 0.1 * row.cap, SPACED * row.cap
        for end, box in enumerate(((low - far, top, low, foot), (high, top, high + far, foot))):
            near = [lone[k] for k in spots.query(shapely.Polygon(corners(box, row.angle)), predicate="contains")]
            out[i, end] = any(
                one.angle == row.angle and abs(one.base - row.base) < LEVEL * row.cap
                and abs(one.cap - row.cap) < SAME_SIZE * row.cap
                for one in near
            )  # fmt: skip
    return out


def _is_lone(token: Token) -> bool:
    return len(token.text) == 1 and token.text.isalnum() and token.least >= CERTAIN


def _inside(token: Token, row: Row, whole: BoolArray) -> bool:
    """Has the token nothing unread beside it: no other ink at the ends of the row, no reject among its glyphs."""
    others = [other for other in row.tokens if not (MARK in token.text and _is_lone(other))]
    read = {glyph for other in others for glyph in range(other.first, other.last + 1)}
    last = len(row.reading.chance) - 1
    before = whole[0] if token.first == 0 else token.first - 1 in read
    after = whole[1] if token.last == last else token.last + 1 in read
    return bool(before and after)


def _best(options: list[tuple[Reading, list[Token], float]], like_text: bool) -> Row | None:
    """Of the readings of a line from both sides, the better one."""
    rows: list[Row] = []
    plain: list[float] = []
    for reading, tokens, value in options:
        slanted = ALONE if len(reading.chance) == 1 else SLANTED
        rare = TURNED.get(reading.angle, slanted) / math.sqrt(len(reading.chance))
        own = frozenset(part for group in reading.parts for part in group)
        rows.append(Row(reading, tokens, value - rare, like_text, own))
        plain.append(value)
    if not rows:
        return None
    best = max(rows, key=lambda row: row.value)
    said = [token.text for token in best.tokens]  # X and 8 say the same from either side
    others = [value_ for row, value_ in zip(rows, plain, strict=True) if [t.text for t in row.tokens] != said]
    here = plain[rows.index(best)]
    return replace(best, one_way=all(here - other > ONE_WAY for other in others))


def like_word(token: Token) -> bool:
    """May a dropped token be a word: letters or figures that are fairly sure one by one."""
    return sum(letter.isalnum() for letter in token.text) >= 2 and token.least >= 0.6


def middle_of(reading: Reading, glyphs: IntArray | None = None) -> Point:
    """Where the reading, or some of its glyphs, are on the page."""
    own = reading.box if glyphs is None else reading.box[glyphs]
    box = _on_page(box_around(own.reshape(-1, 2)), reading.angle)
    return ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)


def sizes(rows: list[Row]) -> list[float]:
    """Cap height of each row, with rows of nearly one height given the same."""
    order = sorted(range(len(rows)), key=lambda i: rows[i].reading.cap)
    out = [0.0] * len(rows)
    group: list[int] = []
    for i in [*order, -1]:
        if group and (i < 0 or rows[i].reading.cap > rows[group[0]].reading.cap * (1 + SAME_SIZE)):
            usual = rows[group[len(group) // 2]].reading.cap
            for j in group:
                out[j] = usual
            group = []
        group.append(i)
    return out


def as_word(reading: Reading, token: Token, sure: Trust, cap: float, line: int) -> Word:
    """The word of a token.  Letters that are all far lower than the row stand beside a line that was taken for an
    I: their size is their own, else the word reaches over the lines of its label and away from them."""
    own = reading.box[token.first : token.last + 1]
    tallest, base = float((own[:, 3] - own[:, 1]).max()), reading.base
    if tallest < LOWEST * cap and any(letter.isalnum() for letter in token.text):
        cap, base = tallest, float(own[:, 3].max())
    size = cap / CAP
    low = min(float(own[:, 1].min()), base - ASCENT * size)
    high = max(float(own[:, 3].max()), base + DESCENT * size)
    box = _on_page((float(own[:, 0].min()), low, float(own[:, 2].max()), high), reading.angle)
    origin: TextOrigin = "outline" if reading.filled else "stroke"
    return Word(token.text, box, reading.angle, size, line, "", (0.0, 0.0, 0.0), origin, sure.confidence)


def corners(box: Box, angle: float) -> list[Point]:
    """The corners on the page of a box of the reading frame, in order around it."""
    t = np.radians(angle)
    c, s = float(np.cos(t)), float(np.sin(t))
    frame = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
    return [(x * c + y * s, y * c - x * s) for x, y in frame]


def _on_page(box: Box, angle: float) -> Box:
    """The upright box around a box of the reading frame."""
    xs, ys = zip(*corners(box, angle), strict=True)
    return (min(xs), min(ys), max(xs), max(ys))

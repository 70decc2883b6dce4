"""Lettering that is drawn, read into words.

Terms: *text-like line*, a line whose letters are of one height on one base and differ in shape: what lettering has
and hatch, stairs and symbols do not; *unread*, a text-like line of which nothing could be read.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely

from cordpath.geometry import lengths
from cordpath.geometry import lines as geometries
from cordpath.model import BoolArray, Box, Fills, FloatArray, Point, Strokes, TextOrigin, Word
from cordpath.sheet.lettering.decode import Token, decode_all
from cordpath.sheet.lettering.glyphs import Reading, readings
from cordpath.sheet.lettering.parts import LONGEST, Band, Parts, parts
from cordpath.sheet.lettering.runs import Lines, text_lines
from cordpath.sheet.lettering.trust import PROBABLE, SETTLED, Trust, trust

# Cap heights in points: 1/16 to 1/4 in on sheets at full size; the others are for sheets plotted small or large.
BANDS: tuple[Band, ...] = ((4.0, 20.0), (1.0, 5.0), (16.0, 80.0), (0.3, 1.5), (60.0, 300.0))
FEW_LINES, FEW_GLYPHS = 6, 25  # drawings without lettering were measured to have 3 lines and 27 glyphs at most
UNREST = 0.2
SLIMMEST, WIDEST = 0.12, 1.1  # of the cap height: median width of letters
VARIETY = 0.34  # of the letters have a shape of their own
SENSE = 0.3  # share of text-like lines with a word of grammar or vocabulary; of lettering nearly all have one
CLEAR, FARTHEST = 0.3, 0.8  # of the cap height: over the usual gap, and at most; the next letter would be nearer
ONE_WAY = 0.3  # nat a glyph
CAP = 0.72  # of the font size: capitals (0.70 to 0.73 in usual fonts)
DESCENT, ASCENT = 0.2, 0.8  # of the size, as Word boxes of fonts have
TURNED = {0.0: 0.0, 90.0: 0.12, 270.0: 0.25, 180.0: 0.9}  # nat: how much rarer text is that runs this way
SLANTED = 0.2  # nat
SAME_SIZE = 0.05  # relative: cap heights this close are one size of lettering


@dataclass(frozen=True)
class Lettering:
    """``lines``: number of text-like lines; ``unread``: the middles of lines of which nothing was read."""

    words: tuple[Word, ...] = ()
    lines: int = 0
    unread: tuple[Point, ...] = ()


@dataclass(frozen=True, eq=False)
class _Row:
    reading: Reading
    tokens: list[Token]
    value: float
    like_text: bool
    parts: frozenset[int]
    one_way: bool = True  # read from the other side it says nothing that is as likely


def lettering(strokes: Strokes, fills: Fills, words: tuple[Word, ...]) -> Lettering:
    """The drawn lettering of a page on which ``words`` were found as text.  Nothing is read where the ink shows no
    lettering; text that is drawn as well as written is not read twice."""
    long = _long(strokes)
    best: tuple[int, Parts, list[Lines], list[BoolArray]] | None = None
    for band in BANDS:
        ink = _unwritten(parts(strokes, fills, band), words)
        found = text_lines(ink, band, long)
        like = [_like_text(ink, lines) for lines in found]
        rows = sum(int(which.sum()) for which in like)
        glyphs = sum(int(lines.letters[which].sum()) for lines, which in zip(found, like, strict=True))
        if rows >= FEW_LINES and glyphs >= FEW_GLYPHS and (best is None or glyphs > best[0]):
            best = (glyphs, ink, found, like)
        usual = len([word for word in words if word.origin == "font"]) > FEW_GLYPHS  # a sheet at its usual size
        if usual or (best is not None and _midst(best[2], best[3], band)):
            break
    return _read(*best[1:], words, strokes) if best is not None else Lettering()


def _midst(found: list[Lines], like: list[BoolArray], band: Band) -> bool:
    """Is the usual letter well inside the band, so that no other band can show more."""
    caps = np.concatenate([lines.cap[which] for lines, which in zip(found, like, strict=True)])
    return bool(np.median(caps) >= band[0])


def _long(strokes: Strokes) -> FloatArray:
    use = strokes.ink() & (lengths(strokes.xy) > 2 * LONGEST * BANDS[0][1])
    return strokes.xy[use]


def _unwritten(ink: Parts, words: tuple[Word, ...]) -> Parts:
    """The parts that no font word lies on."""
    shown = [word.box for word in words if word.origin == "font"]
    if not shown or not len(ink):
        return ink
    middle = shapely.points((ink.box[:, :2] + ink.box[:, 2:]) / 2)
    hit, _ = shapely.STRtree(shapely.box(*np.array(shown).T)).query(middle, predicate="intersects"), None
    free = np.ones(len(ink), bool)
    free[hit[0]] = False
    return ink.keep(free)


def _like_text(ink: Parts, lines: Lines) -> BoolArray:
    """(l,) text-like lines."""
    count = len(lines.base)
    box, strokes = lines.box[lines.member], ink.strokes[lines.member]
    cap = lines.cap[lines.line]
    wide, high = box[:, 2] - box[:, 0], box[:, 3] - box[:, 1]
    letter = high > 0.6 * cap
    shape = np.round(wide / cap * 6).astype(np.int64) * 1000 + np.minimum(strokes, 999)
    out = np.zeros(count, bool)
    start = np.searchsorted(lines.line, np.arange(count + 1))
    enough = (lines.letters >= 3) & (lines.unrest < UNREST)
    for i in np.flatnonzero(enough):
        own = np.flatnonzero(letter[start[i] : start[i + 1]]) + start[i]
        if len(own) < 3:
            continue
        width = float(np.median(wide[own])) / lines.cap[i]
        kinds = len(set(shape[own].tolist()))
        out[i] = (
            SLIMMEST <= width <= WIDEST and np.median(strokes[own]) >= 2 and kinds >= max(2, VARIETY * len(own))
        )
    return out


def _read(
    ink: Parts, found: list[Lines], like: list[BoolArray], written: tuple[Word, ...], strokes: Strokes
) -> Lettering:
    has_text = len([word for word in written if word.origin == "font"]) > FEW_GLYPHS
    alike = _rows(ink, found, like, True)
    if has_text and sum(said.settled for said in _said(list(alike.values()), strokes)) < FEW_LINES:
        return Lettering()  # too little makes sense already; rows that look like no text cannot change that
    every = alike | _rows(ink, found, [~which for which in like], False)
    rows = _said(_exclusive([every[place] for place in sorted(every)]), strokes)
    words: list[Word] = []
    unread: list[Point] = []
    number = 1 + max((word.line for word in written), default=-1)
    for said, cap in zip(rows, _sizes([said.row for said in rows]), strict=True):
        row = said.row
        words += [_word(row.reading, token, sure, cap, number) for token, sure in said.kept]
        number += 1
        if not said.kept and (row.like_text or any(map(_like_word, row.tokens))):
            unread.append(_middle(row.reading))
    total = sum(said.row.like_text for said in rows)
    if has_text and sum(said.settled for said in rows) < max(FEW_LINES, SENSE * total):
        return Lettering()  # the sheet has its text, and what looks like lettering makes no sense
    return Lettering(_witnessed(words, written), total, tuple(unread))


def _rows(ink: Parts, found: list[Lines], chosen: list[BoolArray], like_text: bool) -> dict[tuple[int, int], _Row]:
    """The chosen lines read, by their direction and their number in it."""
    places: list[tuple[int, int]] = []
    options: list[list[Reading]] = []
    for k, (lines, which) in enumerate(zip(found, chosen, strict=True)):
        options += readings(ink, lines.keep(which))
        places += [(k, i) for i in np.flatnonzero(which).tolist()]
    decoded = iter(decode_all([reading for each in options for reading in each]))
    rows = [_best([(reading, *next(decoded)) for reading in each], like_text) for each in options]
    return {place: row for place, row in zip(places, rows, strict=True) if row is not None}


@dataclass(frozen=True, eq=False)
class _Said:
    """What a row says: the tokens that are kept, and how far each is believed."""

    row: _Row
    kept: list[tuple[Token, Trust]]

    @property
    def settled(self) -> bool:
        return self.row.like_text and any(sure.confidence >= PROBABLE for _, sure in self.kept)


def _said(rows: list[_Row], strokes: Strokes) -> list[_Said]:
    out = []
    asked = [any(token.hit and token.span >= 2 for token in row.tokens) for row in rows]
    clear = np.zeros((len(rows), 2), bool)  # asked for hits alone: nothing else is believed that much
    clear[asked] = _whole([row for row, ask in zip(rows, asked, strict=True) if ask], strokes)
    for row, ends in zip(rows, clear, strict=True):
        trusts = [
            (token, trust(token, row.like_text, row.reading.filled, row.one_way and _inside(token, row, ends)))
            for token in row.tokens
        ]
        out.append(_Said(row, [(token, sure) for token, sure in trusts if sure.kept]))
    return out


def _witnessed(words: list[Word], written: tuple[Word, ...]) -> tuple[Word, ...]:
    """Words that an invisible text layer repeats at their place are sure: two readers agree."""
    layer: dict[str, list[Word]] = {}
    for word in written:
        if word.origin == "hidden":
            layer.setdefault(word.text.upper(), []).append(word)
    return tuple(
        replace(word, confidence=max(word.confidence, SETTLED))
        if any(_at_one_place(word, other) for other in layer.get(word.text, ()))
        else word
        for word in words
    )


def _at_one_place(word: Word, other: Word) -> bool:
    return max(abs(word.at[0] - other.at[0]), abs(word.at[1] - other.at[1])) < word.size


def _like_word(token: Token) -> bool:
    """May a dropped token be a word: letters or figures that are fairly sure one by one."""
    return sum(letter.isalnum() for letter in token.text) >= 2 and token.least >= 0.6


def _middle(reading: Reading) -> Point:
    low, high = reading.box[:, :2].min(axis=0), reading.box[:, 2:].max(axis=0)
    box = _on_page((float(low[0]), float(low[1]), float(high[0]), float(high[1])), reading.angle)
    return ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)


def _whole(rows: list[_Row], strokes: Strokes) -> BoolArray:
    """(r, 2) is there white paper before, and after, each row: no letter of it was lost in other ink."""
    if not rows:
        return np.zeros((0, 2), bool)
    ends = []
    for row in rows:
        reading = row.reading
        low, high = float(reading.box[:, 0].min()), float(reading.box[:, 2].max())
        top, foot = reading.base - 0.9 * reading.cap, reading.base - 0.1 * reading.cap
        gap = reading.box[1:, 0] - reading.box[:-1, 2]
        usual = float(np.median(gap)) if len(gap) else 0.0
        near, far = 0.05 * reading.cap, min(max(usual, 0.0) + CLEAR * reading.cap, FARTHEST * reading.cap)
        for box in ((low - far, top, low - near, foot), (high + near, top, high + far, foot)):
            ends.append(shapely.Polygon(_corners(box, reading.angle)))
    drawn = geometries(strokes.xy[strokes.ink()])
    hit, _ = shapely.STRtree(drawn).query(np.array(ends, object), predicate="intersects")
    clear = np.ones(len(ends), bool)
    clear[hit] = False
    return clear.reshape(-1, 2)


def _inside(token: Token, row: _Row, whole: BoolArray) -> bool:
    """Has the token nothing unread beside it: no other ink at the ends of the row, no reject among its glyphs."""
    read = {glyph for other in row.tokens for glyph in range(other.first, other.last + 1)}
    last = len(row.reading.chance) - 1
    before = whole[0] if token.first == 0 else token.first - 1 in read
    after = whole[1] if token.last == last else token.last + 1 in read
    return bool(before and after)


def _best(options: list[tuple[Reading, list[Token], float]], like_text: bool) -> _Row | None:
    """Of the readings of a line from both sides, the better one."""
    rows: list[_Row] = []
    plain: list[float] = []
    for reading, tokens, value in options:
        rare = TURNED.get(reading.angle, SLANTED) / math.sqrt(len(reading.chance))
        own = frozenset(part for group in reading.parts for part in group)
        rows.append(_Row(reading, tokens, value - rare, like_text, own))
        plain.append(value)
    if not rows:
        return None
    best = max(rows, key=lambda row: row.value)
    others = [value_ for row, value_ in zip(rows, plain, strict=True) if row is not best]
    here = plain[rows.index(best)]
    return replace(best, one_way=all(here - other > ONE_WAY for other in others))


def _exclusive(rows: list[_Row]) -> list[_Row]:
    """Rows that share no part: of two, the one that reads better."""
    taken: set[int] = set()
    out = []
    for row in sorted(rows, key=lambda row: -(row.value + 1.5) * len(row.reading.chance)):
        if not row.parts & taken:
            taken |= row.parts
            out.append(row)
    return out


def _sizes(rows: list[_Row]) -> list[float]:
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


def _word(reading: Reading, token: Token, sure: Trust, cap: float, line: int) -> Word:
    own = reading.box[token.first : token.last + 1]
    size = cap / CAP
    low = min(float(own[:, 1].min()), reading.base - ASCENT * size)
    high = max(float(own[:, 3].max()), reading.base + DESCENT * size)
    box = _on_page((float(own[:, 0].min()), low, float(own[:, 2].max()), high), reading.angle)
    origin: TextOrigin = "outline" if reading.filled else "stroke"
    return Word(token.text, box, reading.angle, size, line, "", (0.0, 0.0, 0.0), origin, sure.confidence)


def _corners(box: Box, angle: float) -> list[Point]:
    """The corners on the page of a box of the reading frame, in order around it."""
    t = np.radians(angle)
    c, s = float(np.cos(t)), float(np.sin(t))
    frame = ((box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3]))
    return [(x * c + y * s, y * c - x * s) for x, y in frame]


def _on_page(box: Box, angle: float) -> Box:
    """The upright box around a box of the reading frame."""
    xs, ys = zip(*_corners(box, angle), strict=True)
    return (min(xs), min(ys), max(xs), max(ys))

"""Lettering that is drawn, read into words.

Terms: *text-like line*, a line whose letters are of one height on one base and differ in shape: what lettering has
and hatch, stairs and symbols do not; *unread*, a text-like line of which nothing could be read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely

from cordpath.geometry import in_box, lengths
from cordpath.model import BoolArray, Box, Fills, FloatArray, IntArray, Point, Strokes, Word
from cordpath.sheet.lettering.exclusive import exclusive
from cordpath.sheet.lettering.face import compared
from cordpath.sheet.lettering.few import few_labels
from cordpath.sheet.lettering.hand_words import in_own_forms
from cordpath.sheet.lettering.parts import LONGEST, Band, Parts, parts
from cordpath.sheet.lettering.remains import unread_places
from cordpath.sheet.lettering.rows import (
    MARK,
    Rows,
    Said,
    as_word,
    believed,
    middle_of,
    read_rows,
    sizes,
)
from cordpath.sheet.lettering.runs import Lines, text_lines
from cordpath.sheet.lettering.seconded import seconded
from cordpath.sheet.lettering.trust import DOUBTFUL, READABLE, SETTLED

# Cap heights in points: 1/16 to 1/4 in on sheets at full size; the others are for sheets plotted small or large.
BANDS: tuple[Band, ...] = ((4.0, 20.0), (1.0, 5.0), (16.0, 80.0), (0.3, 1.5), (60.0, 300.0))
FEW_LINES, FEW_GLYPHS = 6, 25  # drawings without lettering were measured to have 3 lines and 27 glyphs at most
UNREST = 0.2
SLIMMEST, WIDEST = 0.12, 1.1  # of the cap height: median width of letters
VARIETY = 0.34  # of the letters have a shape of their own
SENSE = 0.3  # share of text-like lines with a word of grammar or vocabulary; of lettering nearly all have one


@dataclass(frozen=True)
class Lettering:
    """``lines``: number of text-like lines; ``unread``: the middles of lines of which nothing was read; ``few``:
    the sheet is not lettered so, only some labels are; ``strange``: so little makes sense that nothing is sure but
    what a second reader reads alike; ``twice``: number of words that it does."""

    words: tuple[Word, ...] = ()
    lines: int = 0
    unread: tuple[Point, ...] = ()
    few: bool = False
    strange: bool = False
    twice: int = 0
    # (n,) of the strokes, the line of the words that each is surely a letter of, -1 for none; empty where not known
    lettered: IntArray = field(default_factory=lambda: np.zeros(0, np.int64), compare=False)


def lettering(strokes: Strokes, fills: Fills, words: tuple[Word, ...]) -> Lettering:
    """The drawn lettering of a page on which ``words`` were found as text.  Where the ink shows hardly any
    lettering, only its clear labels are read; text that is drawn as well as written is not read twice."""
    long = _long(strokes)
    best: tuple[int, Parts, list[Lines], list[BoolArray]] | None = None
    most: tuple[int, Parts, list[Lines], list[BoolArray]] | None = None
    for band in BANDS:
        ink = _unwritten(parts(strokes, fills, band), words)
        found = text_lines(ink, band, long)
        like = [_like_text(ink, lines) for lines in found]
        rows = sum(int(which.sum()) for which in like)
        glyphs = sum(int(lines.letters[which].sum()) for lines, which in zip(found, like, strict=True))
        if most is None or glyphs > most[0]:
            most = (glyphs, ink, found, like)
        if rows >= FEW_LINES and glyphs >= FEW_GLYPHS and (best is None or glyphs > best[0]):
            best = (glyphs, ink, found, like)
        usual = len([word for word in words if word.origin == "font"]) > FEW_GLYPHS  # a sheet at its usual size
        if usual or (best is not None and _midst(best[2], best[3], band)):
            break
    if best is not None:
        return _read(*best[1:], words, strokes)
    if most is None:
        return Lettering()
    _, ink, found, like = most
    return _few(ink, found, like, read_rows(ink, found, like, True), words, strokes)


def _few(
    ink: Parts, found: list[Lines], like: list[BoolArray], alike: Rows, written: tuple[Word, ...], strokes: Strokes
) -> Lettering:
    words, lines, unread = few_labels(ink, found, like, alike, strokes, _free_line(written))
    return Lettering(_witnessed(words, written), lines, tuple(unread), True) if lines else Lettering()


def _free_line(written: tuple[Word, ...]) -> int:
    return 1 + max((word.line for word in written), default=-1)


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
    alike = read_rows(ink, found, like, True)
    if has_text and sum(said.settled for said in believed(list(alike.values()), ink, strokes)) < FEW_LINES:
        # Too little makes sense already; rows that look like no text cannot change that.
        return _few(ink, found, like, alike, written, strokes)
    every = alike | read_rows(ink, found, [~which for which in like], False)
    best = exclusive([every[place] for place in sorted(every)])
    alone = believed(best, ink, strokes)
    twice_read = seconded(best, ink)
    rows = compared(alone if twice_read is best else believed(twice_read, ink, strokes))
    number = _free_line(written)
    words, opinions = _words(rows, number)
    total = sum(said.row.like_text for said in rows)
    if has_text and sum(said.settled for said in rows) < max(FEW_LINES, SENSE * total):
        # The sheet has its text, and what looks like lettering makes little sense.
        return _few(ink, found, like, alike, written, strokes)
    # A second reader bears out words one by one; whether the first one knows the face is its own matter.
    strange = sum(said.settled for said in alone) < READABLE * total
    formed = in_own_forms(words, rows, ink, strokes, number + len(rows))
    unread = _outside(unread_places(rows), formed.found)
    denied = [middle_of(said.row.reading) for said in rows if said.denied]
    held = _witnessed(_held(formed.words, opinions, strange, denied), written)
    return Lettering(
        held, total, tuple(unread), strange=strange, twice=len(opinions.alike), lettered=formed.lettered
    )


@dataclass(frozen=True)
class _Opinions:
    """A second reader's: words, by text and box, that it reads alike, and those that it reads otherwise."""

    alike: frozenset[tuple[str, Box]]
    otherwise: tuple[Word, ...]


def _words(rows: Sequence[Said], line: int) -> tuple[list[Word], _Opinions]:
    """The words of the rows, which are the page's lines from ``line`` on."""
    words: list[Word] = []
    seconded: list[bool | None] = []
    for k, (said, cap) in enumerate(zip(rows, sizes([said.row for said in rows]), strict=True), line):
        words += [as_word(said.row.reading, token, sure, cap, k) for token, sure in said.kept]
        seconded += [token.seconded for token, _ in said.kept]
    alike = frozenset((word.text, word.box) for word, one in zip(words, seconded, strict=True) if one)
    otherwise = tuple(word for word, one in zip(words, seconded, strict=True) if one is False)
    return words, _Opinions(alike, otherwise)


def _held(words: Sequence[Word], opinions: _Opinions, strange: bool, denied: Sequence[Point]) -> list[Word]:
    """The words, each as sure as it may be held.  Who reads the sheet's letter forms reads what is denied again.
    ``denied``: the middles of rows whose marks of protection something beside them may take back."""

    def doubtful(word: Word) -> bool:
        if MARK in word.text and any(in_box(place, word.box) for place in denied):
            return True
        if any(word.text == other.text and _at_one_place(word, other) for other in opinions.otherwise):
            return True
        return strange and (word.text, word.box) not in opinions.alike

    return [replace(word, confidence=min(word.confidence, DOUBTFUL)) if doubtful(word) else word for word in words]


def _outside(places: Sequence[Point], words: list[Word]) -> list[Point]:
    """The places that lie in none of the words."""
    if not places or not words:
        return list(places)
    boxes = shapely.STRtree(shapely.box(*np.array([word.box for word in words]).T))
    inside, _ = boxes.query(shapely.points(np.array(places)), predicate="intersects")
    within = set(inside.tolist())
    return [place for k, place in enumerate(places) if k not in within]


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

"""Whose symbol is a mark that stands between two rows of a legend: GFI above one circle and below another?

Rows stand closer than their symbols are high, so the row whose text is nearer need not have it.  The mark on the
wrong symbol is the worst there can be: every plain outlet would be taken for one that protects itself.

Terms: *cell*, the box left or right of a row in which its symbol stands, see legend.py.  *Line* of a row, the
height of the middle of its text.  *Piece*, a short text in a column of symbols that is no description, or something
small that is drawn there by itself and no row's line crosses: letters that could not be read are strokes or fills.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

import numpy as np
import shapely

from cordpath import geometry, units
from cordpath.model import BoolArray, Box, FloatArray, IntArray, Sheet, Word
from cordpath.symbols.examples import legend
from cordpath.symbols.examples.legend_frame import COLUMN, CROWDED, shapes
from cordpath.symbols.examples.legend_ink import RowInk
from cordpath.symbols.examples.legend_lines import UPRIGHT, Row
from cordpath.symbols.examples.legend_numbers import without_number

CAPITAL = 0.36  # of the text size: half the height of a capital (that of most faces is 0.7 to 0.73 of the size)
LONGEST = 8  # letters of a loose word: GFCI/WP
SMALL = 10.0  # pt: letters are no higher, and bodies of symbols are wider or cross their row's line
GAP = 3.0  # pt from one letter to the next
MARGIN = 2.5  # pt, half a small letter: by so much a piece is clearly nearer to one symbol than to the next
AT_LINE = 0.5  # times as far from one row's line as from the next one's: it is that row's, wherever other ink is
BULLETS = re.compile(r"[-=:.\u2013\u2014\u2022]+|\(?\d{1,3}[.)]")  # "=", a dash, "12." before or behind a symbol
GUARDED = re.compile(r"\bGFC?I\b|\bGROUND.FAULT\b")
ABBREVIATION = re.compile(r"GFC?I|GF")  # two ways to write the same mark


@dataclass(frozen=True, eq=False)
class RowMarks:
    """What is drawn of a row's symbol.  ``words``: indices into Sheet.words; ``others``: those in the cell that
    are not the symbol's.  ``strokes``: (strokes,).  ``rings``: outlines of its fills.  ``doubtful``: what may be
    another row's just as well, whether or not it was taken."""

    words: frozenset[int]
    others: frozenset[int]
    strokes: BoolArray
    rings: list[FloatArray]
    doubtful: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class _Piece:
    box: Box
    text: str = ""
    word: int = -1
    strokes: IntArray = field(default_factory=lambda: np.zeros(0, np.int64))
    rings: tuple[int, ...] = ()

    @property
    def at(self) -> float:
        return (self.box[1] + self.box[3]) / 2


def row_marks(sheet: Sheet, cell: Box, row: Row, ink: RowInk, rings: list[FloatArray]) -> RowMarks:
    """``rings``: (p, 2) outlines of the dark fills in the column of symbols."""
    others = legend.others_of(sheet, row)
    heights = _heights(sheet, row, others)
    loose = _loose(sheet, cell, row, others)
    bullets = {i for i in loose if BULLETS.fullmatch(sheet.words[i].text.strip())}
    here = [cell[1] <= _middle(ring) <= cell[3] for ring in rings]
    level = [i for i in loose if heights.is_own(letter_box(sheet.words[i]))]
    fills = [ring for ring, is_here in zip(rings, here, strict=True) if is_here]
    ink, numbers = without_number(sheet, row, ink, level, fills)
    bullets |= numbers
    pieces = _pieces(sheet, [i for i in loose if i not in bullets], ink, rings, heights)
    strokes, words, theirs = ink.strokes.copy(), set[int](), set(bullets)
    between = [piece for piece in pieces if not heights.crossed(piece.box)]
    for piece in pieces:
        if piece not in between:
            (words if heights.is_own(piece.box) else theirs).add(piece.word)
    ours, away = _ink(sheet, ink, rings, here, between, (words, theirs))
    doubtful = []
    for piece in between:
        mine = _settled(piece, cell, heights, (row, *others), ink, (ours, away))
        if mine is None:
            doubtful.append(f"'{piece.text}'" if piece.text else "a small mark")
            mine = _is_in(cell, piece)
        (words if mine else theirs).add(piece.word)
        strokes[piece.strokes] = mine
        for k in piece.rings:
            here[k] = mine
    taken = [ring for ring, is_here in zip(rings, here, strict=True) if is_here]
    return RowMarks(
        frozenset(words - {-1}), frozenset(theirs - {-1}), strokes, taken, tuple(dict.fromkeys(doubtful))
    )


def _is_in(cell: Box, piece: _Piece) -> bool:
    return cell[1] <= piece.at <= cell[3]


def _settled(
    piece: _Piece, cell: Box, heights: _Heights, rows: tuple[Row, ...], ink: RowInk,
    drawn: tuple[shapely.Geometry, shapely.Geometry],
) -> bool | None:  # fmt: skip
    """Is a piece the row's?  ``rows``: the row itself first.  ``drawn``: what is surely its own, what is not."""
    line = heights.above if piece.at < heights.middle else heights.below
    if np.isinf(line):  # above the first row or below the last one stand headings, too
        at_it = float(shapely.distance(shapely.box(*piece.box), drawn[0])) <= 2 * MARGIN
        return _is_in(cell, piece) or at_it
    next_rows = [other for other in rows[1:] if other.middle == line]
    return _is_mine(piece, (heights.middle, line), ink, *drawn, (rows[0], *next_rows))


@dataclass(frozen=True)
class _Heights:
    """Heights of the lines of text in a column: the row's own, those of others, and the nearest of these."""

    own: tuple[float, ...]
    others: tuple[float, ...]
    middle: float
    above: float
    below: float

    def is_own(self, box: Box) -> bool:
        return any(box[1] <= line <= box[3] for line in self.own)

    def crossed(self, box: Box) -> bool:
        return any(box[1] <= line <= box[3] for line in (*self.own, *self.others))

    def holds(self, box: Box) -> bool:
        """Does a box stand between the neighbours' texts, or at one of them?"""
        return box[3] >= self.above and box[1] <= self.below


def _heights(sheet: Sheet, row: Row, others: list[Row]) -> _Heights:
    column = [other for other in others if other.box[0] < row.box[2] and other.box[2] > row.box[0]]
    own = {sheet.words[i].at[1] for i in row.words} | {row.middle}
    return _Heights(tuple(own), tuple(other.middle for other in column), row.middle, *legend.neighbours(sheet, row))


def _is_mine(
    piece: _Piece, lines: tuple[float, float], ink: RowInk, ours: shapely.Geometry, away: shapely.Geometry,
    rows: tuple[Row, ...],
) -> bool | None:  # fmt: skip
    """By a rule of the table, by the line or else the ink that it is clearly nearer to, else by the descriptions'
    words; None where nothing tells.  ``lines`` and ``rows``: the row's own first, then the next one's."""
    at = piece.at
    rules_at = ink.rules_at[np.abs(ink.rules_at[:, None] - np.array(lines)).min(axis=1) > MARGIN]  # no leaders
    parted = [bool(((rules_at > min(at, y)) & (rules_at < max(at, y))).any()) for y in lines]
    if parted[0] != parted[1]:
        return parted[1]
    to_line, to_next = (abs(at - y) for y in lines)
    if to_line < AT_LINE * to_next or to_next < AT_LINE * to_line:
        return to_line < to_next
    if ours.is_empty or away.is_empty:  # symbols that are made of pieces
        if not piece.text:
            return to_line < to_next
    else:
        near, far = (float(shapely.distance(shapely.box(*piece.box), each)) for each in (ours, away))
        if near + MARGIN <= far or far + MARGIN <= near:
            return near < far
    said = [_says(row.text, piece.text) for row in rows] if piece.text else [False]
    return said[0] if said[0] != any(said[1:]) else None


def _pieces(
    sheet: Sheet, loose: list[int], ink: RowInk, rings: list[FloatArray], heights: _Heights
) -> list[_Piece]:
    """The loose words with the strokes and fills that they are drawn as, then what is small and by itself."""
    near = np.flatnonzero(ink.near)
    xy = sheet.strokes.xy[near]
    shape = shapes(xy) if 0 < len(xy) <= CROWDED else np.zeros(len(xy), np.int64)
    low, high = np.full((shape.max(initial=-1) + 1, 2), np.inf), np.full((shape.max(initial=-1) + 1, 2), -np.inf)
    np.minimum.at(low, shape, np.minimum(xy[:, :2], xy[:, 2:]))
    np.maximum.at(high, shape, np.maximum(xy[:, :2], xy[:, 2:]))
    islands = [(float(a[0]), float(a[1]), float(b[0]), float(b[1])) for a, b in zip(low, high, strict=True)]
    bounds = [(*ring.min(axis=0).tolist(), *ring.max(axis=0).tolist()) for ring in rings]
    found, used, used_rings = [], set[int](), set[int]()
    for i in loose:
        word = sheet.words[i]
        drawn = word.origin != "font"
        own = [k for k, box in enumerate(islands) if drawn and _within(box, word.box)]
        filled = tuple(k for k, box in enumerate(bounds) if drawn and _within(box, word.box))
        used.update(own)
        used_rings.update(filled)
        found.append(_Piece(letter_box(word), word.text.strip(), i, near[np.isin(shape, own)], filled))
    small = [_Piece(box, strokes=near[shape == k]) for k, box in enumerate(islands) if k not in used]
    small += [_Piece(box, rings=(k,)) for k, box in enumerate(bounds) if k not in used_rings]
    return found + _together([piece for piece in small if _is_small(piece.box, heights)])


def _together(pieces: list[_Piece]) -> list[_Piece]:
    """Those side by side as one: the letters of a text are of one symbol."""
    out: list[_Piece] = []
    for piece in sorted(pieces, key=lambda each: each.box[0]):
        k = next((k for k, other in enumerate(out) if _is_beside(other.box, piece.box)), None)
        if k is None:
            out.append(piece)
            continue
        one, two = out[k].box, piece.box
        box = (min(one[0], two[0]), min(one[1], two[1]), max(one[2], two[2]), max(one[3], two[3]))
        strokes = np.r_[out[k].strokes, piece.strokes]
        out[k] = _Piece(box, strokes=strokes, rings=(*out[k].rings, *piece.rings))
    return out


def _is_beside(one: Box, two: Box) -> bool:
    """Do they overlap by half of the lower one's height, or more, with a letter's gap between?"""
    common = min(one[3], two[3]) - max(one[1], two[1])
    return common >= (min(one[3] - one[1], two[3] - two[1])) / 2 and two[0] - one[2] <= GAP


def _is_small(box: Box, heights: _Heights) -> bool:
    """Is it of a letter's size, between the rows, and crosses no row's line?"""
    size = max(box[2] - box[0], box[3] - box[1])
    return size <= SMALL and heights.holds(box) and not heights.crossed(box)


def _within(box: Box, other: tuple[float, ...]) -> bool:
    return box[0] >= other[0] and box[1] >= other[1] and box[2] <= other[2] and box[3] <= other[3]


def _ink(
    sheet: Sheet, ink: RowInk, rings: list[FloatArray], here: list[bool], between: list[_Piece],
    words: tuple[set[int], set[int]],
) -> tuple[shapely.Geometry, shapely.Geometry]:  # fmt: skip
    """What is surely drawn of the row's symbol, and of others."""
    body = ink.near.copy()
    for piece in between:
        body[piece.strokes] = False
    loose = {k for piece in between for k in piece.rings}
    out = []
    for mine in (True, False):
        drawn = [*geometry.lines(sheet.strokes.xy[body & (ink.strokes == mine)])]
        bodies = [ring for k, ring in enumerate(rings) if here[k] == mine and k not in loose]
        drawn += [shapely.Polygon(ring) for ring in bodies if np.ptp(ring[:, 0]) < COLUMN]  # else a tinted cell
        drawn += [shapely.box(*letter_box(sheet.words[i])) for i in words[not mine] if i >= 0]
        out.append(shapely.GeometryCollection(drawn))
    return out[0], out[1]


def _loose(sheet: Sheet, cell: Box, row: Row, others: list[Row]) -> list[int]:
    """Loose words beside the row and as far as the lines of its neighbours."""
    told = {i for other in others for i in other.words} | row.side | set(row.words)
    lines, room = legend.neighbours(sheet, row), CAPITAL * row.size
    low, high = max(lines[0], cell[1] - legend.TALLEST), min(lines[1], cell[3] + legend.TALLEST)
    return [
        i for i in sheet.words_in((cell[0], low - room, cell[2], high + room)).tolist()
        if i not in told and abs(sheet.words[i].angle) < UPRIGHT
        and 0 < len(sheet.words[i].text.strip()) <= LONGEST
    ]  # fmt: skip


def letter_box(word: Word) -> Box:
    """The box of a word is higher than its letters."""
    half = min(CAPITAL * word.size, (word.box[3] - word.box[1]) / 2)
    return (word.box[0], word.at[1] - half, word.box[2], word.at[1] + half)


def _middle(ring: FloatArray) -> float:
    return float(ring[:, 1].min() + ring[:, 1].max()) / 2


def _says(description: str, mark: str) -> bool:
    """Does a description tell of a mark: by the mark, by what it stands for, or by first letters of words?"""
    said, mark = units.plain(description), units.plain(mark)
    if ABBREVIATION.fullmatch(mark) and GUARDED.search(said):
        return True
    words = re.findall(r"[A-Z0-9]+", said)
    initials = "".join(word[0] for word in words)
    return mark in words or (len(mark) > 1 and mark in initials) or (mark == "WP" and "WEATHERPROOF" in words)

"""Drawn letters that nobody read, in one line with a drawn mark of protection, or closely over or under it.

On a sheet with a few drawn labels only what is clearly a word of the trade is read: of NO GFI the GFI, of GFI over
N.I.C. the GFI.  Where both are typed, words that are not understood make the mark a question; so do letters that
were not read.

Terms: *glyph* as in letters/glyphs.py; *band*, what lies between the base and the top of the mark's own letters, as
seen by who reads it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.model import BoolArray, FloatArray, Label, Sheet, Symbol
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.labels.nearness import UNDER
from cordpath.symbols.labels.turns import on_page, reading_boxes
from cordpath.symbols.labels.unread import ALIKE, CROSSED, are_letters, letter_bows, painted_glyphs
from cordpath.symbols.letters.glyphs import CAP, Glyphs, joined, turned
from cordpath.symbols.matching.paint import Paint

LETTER = 0.6  # of the text size, how wide a letter of a run and the space after it are at most
LOWER, HIGHER = 0.7, 1.4  # of the mark's letters: how high letters are that run on from them
LEVEL = 0.3  # of the mark's letters, by which tops or bases of letters in one line differ at most
LEADING = 1.6  # of the mark's letters, between two lines: not quite two text sizes from base to base
BESIDE = 2.5  # of the text size in one line: a dash with two spaces on each side
ROUND = 0.3  # pt about a word that its letters may reach
LEAST = 2  # letters: one by itself is as often a piece of something else, unless it stands close to the mark
CLOSE = 0.9  # of the text size in one line: two spaces
CLOSE_LINE = 1.2  # of the mark's letters, between two lines, and over the dot of a query
SMALL, BRACKET = 0.4, 1.7  # of the mark's letters: how high a sign by itself is, from an asterisk to a bracket
CLEAR = 0.1  # of the mark's letters: white paper around it; a tick or an arrowhead touches its line
MARK = ("protection", "device")


def doubted_by_unread(symbols: tuple[Symbol, ...], sheet: Sheet, ink: Ink, paint: Paint) -> tuple[Symbol, ...]:
    """The symbols; outlets with a drawn mark from which letters run on that nobody read, with that as a doubt."""
    marked = [k for k, each in enumerate(symbols) if each.is_outlet and any(MARK in s.sets for s in each.labels)]
    if not marked:
        return symbols
    around = _Around.of(symbols, sheet, ink, paint)
    out = list(symbols)
    for k in marked:
        doubted = [label for label in symbols[k].labels if MARK in label.sets and around.runs_on(label)]
        if doubted:
            labels = tuple(_unsure(label) if label in doubted else label for label in symbols[k].labels)
            why = (f"letters that could not be read run on from the label {label.text}" for label in doubted)
            out[k] = replace(symbols[k], labels=labels, reasons=tuple(dict.fromkeys((*symbols[k].reasons, *why))))
    return tuple(out)


def _unsure(label: Label) -> Label:
    sets = tuple(("protection_unsure" if name == "protection" else name, value) for name, value in label.sets)
    return replace(label, sets=sets)


@dataclass(frozen=True, eq=False)
class _Around:
    """The sheet's words with their areas, and its ink that no symbol is made of."""

    sheet: Sheet
    areas: NDArray[np.object_]  # of the words
    at: FloatArray  # (w, 2) their middles
    ink: Ink
    free: BoolArray  # of the ink's segments
    paint: Paint
    bodies: shapely.STRtree

    @staticmethod
    def of(symbols: tuple[Symbol, ...], sheet: Sheet, ink: Ink, paint: Paint) -> _Around:
        own = ink.segment_of[np.concatenate([NOBODYS, *(symbol.strokes for symbol in symbols)])]
        free = ~ink.hatch[: len(ink.xy)]
        free[ink.count :] = False
        free[own[own >= 0]] = False
        boxes, turn = reading_boxes(sheet.words, np.arange(len(sheet.words)))
        bodies = shapely.STRtree([symbol.footprint for symbol in symbols])
        return _Around(sheet, on_page(boxes, turn), sheet.words_at, ink, free, paint, bodies)

    def runs_on(self, label: Label) -> bool:
        """Do letters that no word is made of stand in the label's line, or closely over or under it?"""
        own = self._words(label)
        if not own:
            return False
        word = self.sheet.words[own[0]]
        areas = shapely.union_all(self.areas[own])
        reach = math.dist(areas.bounds[:2], areas.bounds[2:]) / 2 + (BESIDE + LEADING) * word.size
        near = self.areas[np.hypot(*(self.at - label.at).T) <= 2 * reach]
        words = shapely.union_all(shapely.buffer(near, ROUND))
        band = shapely.get_coordinates(areas) @ turned(word.angle)
        base = band[:, 1].max() - UNDER * word.size
        box = np.array([band[:, 0].min(), base - CAP * word.size, band[:, 0].max(), base])
        drawn = word.is_drawn
        return any(
            _run_on(glyphs.seen(word.angle), box, words, self, word.angle, drawn)
            for glyphs in self._glyphs(label, reach, CAP * word.size)
        )

    def _words(self, label: Label) -> list[int]:
        """The words of a label, by number."""
        half = LETTER * len(label.text)
        words = self.sheet.words
        near = np.flatnonzero(np.hypot(*(self.at - label.at).T) <= half * max(w.size for w in words)).tolist()
        return [
            k for k in near
            if words[k].text.strip() in label.text
            and math.dist(words[k].at, label.at) <= half * words[k].size
        ]  # fmt: skip

    def _glyphs(self, label: Label, reach: float, cap: float) -> Iterator[Glyphs]:
        centre = np.array(label.at)
        k = np.unique(self.ink.grid.near(centre[None], reach)[1])
        k = k[self.free[k]]
        k = k[np.where(self.ink.curved[k], letter_bows(self.ink, k), self.ink.run[k] <= BRACKET * cap)]
        strokes = joined(self.ink, k, BRACKET * cap)
        if strokes is not None:
            yield strokes
        areas = painted_glyphs(centre, reach, self.paint, self.bodies)
        if areas is not None and len(areas.xy):
            yield areas


def _run_on(
    seen: Glyphs, box: FloatArray, words: shapely.Geometry, around: _Around, angle: float, drawn: bool
) -> bool:
    """Do letters of no word stand beside, over or under the ``box`` of a mark, in its reading frame?

    Beside a typed one only signs by themselves count.
    """
    high, cap = seen.box[:, 3] - seen.box[:, 1], box[3] - box[1]
    middle = (seen.box[:, :2] + seen.box[:, 2:]) / 2
    unread = ~shapely.contains_xy(words, *(middle @ turned(angle).T).T)
    aside = np.maximum(seen.box[:, 0] - box[2], box[0] - seen.box[:, 2])
    over, under = box[1] - seen.box[:, 3], seen.box[:, 1] - box[3]
    sign = unread & (high >= SMALL * cap) & (high <= BRACKET * cap)
    level = (middle[:, 1] > box[1]) & (middle[:, 1] < box[3])
    close = (level & (aside > 0) & (aside <= CLOSE * cap / CAP)) | (
        (aside <= 0) & (np.maximum(over, under) <= CLOSE_LINE * cap) & (np.maximum(over, under) > 0)
    )
    if any(_is_sign(seen, n, cap, around) for n in np.flatnonzero(sign & close).tolist()):
        return True
    if not drawn:
        return False
    free = unread & (high >= LOWER * cap) & (high <= HIGHER * cap)
    level = (np.abs(seen.box[:, [1, 3]] - box[[1, 3]]) <= LEVEL * cap).any(1)
    beside = free & level & (aside <= BESIDE * cap / CAP)
    lines = [level & (aside <= BESIDE * cap / CAP + 2 * cap)] if beside.any() else []
    lines += [(gap > -LEVEL * cap) & ~level & (gap <= LEADING * cap) & (aside <= cap) for gap in (over, under)]
    return any(_are_words(seen, np.flatnonzero(free & line).tolist(), around) for line in lines)


def _is_sign(seen: Glyphs, glyph: int, cap: float, around: _Around) -> bool:
    """Is a glyph by itself shaped as a letter or an X, and parted from all other ink?"""
    ink, k = around.ink, seen.segments[glyph]
    letter = bool(are_letters(seen, [glyph], ink, around.paint, CROSSED)[0])
    if seen.filled:
        return letter or len(around.paint.shapes[k[0]].interiors) > 0
    if not (letter or _is_cross(seen.xy[glyph])):
        return False
    reach = float(np.ptp(ink.xy[k].reshape(-1, 2), axis=0).max()) + CLEAR * cap
    near = np.unique(ink.grid.near(ink.xy[k].reshape(-1, 2).mean(0)[None], reach)[1])
    near = near[(near < ink.count) & ~np.isin(near, k)]
    own, others = (shapely.multilinestrings(ink.xy[each].reshape(-1, 2, 2)) for each in (k, near))
    return bool(shapely.distance(own, others) > CLEAR * cap) or not len(near)


def _is_cross(xy: FloatArray) -> bool:
    """Are two strokes drawn across each other?"""
    return len(xy) == 2 and bool(shapely.crosses(*shapely.linestrings(xy.reshape(-1, 2, 2))))


def _are_words(seen: Glyphs, row: list[int], around: _Around) -> bool:
    """Are at least two of the glyphs letters on one base, and not one shape repeated?"""
    letters = are_letters(seen, row, around.ink, around.paint, CROSSED)  # FUT beside a mark is no piece of a window
    if seen.filled:  # beside letters of their height rings are an O
        letters |= np.array([len(around.paint.shapes[seen.segments[n][0]].interiors) > 0 for n in row], bool)
    base, high = seen.box[row][:, 3], seen.box[row][:, 3] - seen.box[row][:, 1]
    level = np.abs(base - base[:, None]) <= LEVEL * high
    if not len(row) or (level & letters & letters[:, None]).sum(1).max() < LEAST:
        return False
    size = seen.box[row][:, 2:] - seen.box[row][:, :2]
    unlike = (np.ptp(size, axis=0) > ALIKE * size[:, 1].max()).any()
    return bool(unlike or len({len(seen.xy[n]) for n in row}) > 1)

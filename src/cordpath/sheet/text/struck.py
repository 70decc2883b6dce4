"""Words that a line strikes through: what is crossed out settles nothing, whoever crossed it out.

Terms
    *strike*     a line along the middle of a word, no longer than the word and a letter at either end; a thin fill
                 is a line too, as word processors draw it.
    *slash*      such a line from corner to corner; two of them make a cross.
    *side*       of a rectangle: at both its ends a line begins that turns off squarely, both to one side, and
                 leaves the word.  A cabinet drawn over a word does not cross it out.
    *row*        of hatch: one of many even lines, close enough for several to a word, that go on beside the word.
                 A hatched counter does not cross out what is written on it; lines over the word alone do.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath.geometry import EVEN_PT, rows_beside
from cordpath.model import WHITE, BoolArray, Fills, FloatArray, IntArray, Strokes, Word
from cordpath.sheet.text.scrawled import scrawled

MIDDLE = 0.25  # of the height of a word, by which a strike may pass its middle
COVERED = 0.7  # of the length of a word
HALF = 0.5  # the same of GFI, which clears an outlet, by a line that meets no other: a hand misses the ends
OVERHANG = 1.0  # heights of a word by which a strike may run on at either end; longer lines are the drawing's
LEAST_PT = 3.0  # shorter lines are parts of letters
JOINT_PT = 0.3  # between ends that meet: two roundings to a plotter's grid of 0.12 pt, and a little
SQUARE = math.sin(math.radians(3.0))  # by which a corner may miss a quarter turn
ROWS, ROWS_BESIDE = 8, 4  # rows of a hatch, at least, and of those on one side of the word
ROWS_WITHIN = 5.0  # heights of a word, within which so many rows lie at the widest gap
ROW_GAP = 0.6  # of the height of a word, from row to row at most: struck lines of a paragraph are a line apart
SAME_PT = 0.5  # by which lengths and ends of rows differ
THIN = 0.3  # of its length: a filled area as thin as this, and thinner than a stem, is a line
THIN_PT = 2.0
TREADS = frozenset({"UP", "DN", "DOWN"})  # on stairs, whose treads run through the words; they settle nothing
SKEW = 3.0  # degrees by which text may miss a quarter turn
LETTERS = re.compile(r"[A-Z].*[A-Z]", re.IGNORECASE)  # figures have lines of their own: bars of fractions, dashes


@dataclass(frozen=True)
class Lines:
    """(n, 2, 2) lines of a sheet that may strike words through, found by place."""

    xy: FloatArray

    @cached_property
    def by_middle(self) -> cKDTree:
        return cKDTree(self.xy.mean(axis=1))

    @cached_property
    def by_end(self) -> cKDTree:
        """Of both ends of each: end ``k`` belongs to line ``k // 2``."""
        return cKDTree(self.xy.reshape(-1, 2))

    def about(self, middle: FloatArray, radius: float) -> FloatArray:
        """(m, 2, 2) Those whose middle lies within ``radius`` pt."""
        return self.xy[self.by_middle.query_ball_point(middle, radius)]

    def each_about(self, middle: FloatArray, radius: FloatArray) -> tuple[IntArray, FloatArray]:
        """For places (w, 2) and radii (w,): (m,) which place, ascending, and (m, 2, 2) the lines about it."""
        found = self.by_middle.query_ball_point(middle, radius)
        place = np.repeat(np.arange(len(found)), [len(own) for own in found])
        return place, self.xy[np.fromiter((k for own in found for k in own), np.int64, len(place))]

    def from_end(self, end: FloatArray) -> FloatArray:
        """(m, 2) Steps of the lines that begin or end at a place, away from it."""
        k = np.array(self.by_end.query_ball_point(end, JOINT_PT), np.int64)
        line = np.unique(k // 2)
        off = self.xy[line] - end
        at_first = np.hypot(*off[:, 0].T) < JOINT_PT
        return np.where(at_first[:, None], off[:, 1] - off[:, 0], off[:, 0] - off[:, 1])


def doubt_struck(
    words: tuple[Word, ...], strokes: Strokes, fills: Fills
) -> tuple[tuple[Word, ...], tuple[str, ...]]:
    """The words, those struck through with no confidence at all, and what to say of them."""
    which = [k for k, word in enumerate(words) if _may_be(word)]
    lines = np.concatenate([strokes.xy[strokes.ink()], _thin(fills)]).reshape(-1, 2, 2)
    span = np.hypot(*(lines[:, 1] - lines[:, 0]).T)
    if not which or not len(lines):
        return words, ()
    may_be = [words[k] for k in which]
    struck = {which[k] for k in (*_struck(may_be, Lines(lines[span >= LEAST_PT])), *scrawled(may_be, lines))}
    told = tuple(
        f"a line runs through the word '{text}' in {_places(count)}: what it says is in doubt"
        for text, count in sorted(Counter(words[k].text for k in struck).items())
    )
    return tuple(replace(w, confidence=0.0) if k in struck else w for k, w in enumerate(words)), told


def _places(count: int) -> str:
    return "one place" if count == 1 else f"{count} places"


def _may_be(word: Word) -> bool:
    away = abs((word.angle + 45.0) % 90.0 - 45.0)
    told = LETTERS.search(word.text) is not None and word.text.upper().strip(".") not in TREADS
    return told and word.origin != "hidden" and away <= SKEW


def _thin(fills: Fills) -> FloatArray:
    """(n, 4) middle lines of thin level or upright fills."""
    if not len(fills):
        return np.zeros((0, 4))
    box = shapely.bounds(fills.shape[(fills.luminance < WHITE) & (fills.opacity > 0)])
    wide, tall = box[:, 2] - box[:, 0], box[:, 3] - box[:, 1]
    thin = np.minimum(wide, tall) <= np.minimum(THIN_PT, THIN * np.maximum(wide, tall))
    x, y = (box[:, 0] + box[:, 2]) / 2, (box[:, 1] + box[:, 3]) / 2
    level = wide >= tall
    start = np.where(level[:, None], np.stack([box[:, 0], y], axis=1), np.stack([x, box[:, 1]], axis=1))
    end = np.where(level[:, None], np.stack([box[:, 2], y], axis=1), np.stack([x, box[:, 3]], axis=1))
    return np.concatenate([start, end], axis=1)[thin]


def _struck(words: list[Word], lines: Lines) -> list[int]:
    """Which of the words are struck through."""
    box, at = np.array([word.box for word in words]), np.array([word.at for word in words])
    upright = np.array([round(word.angle / 90.0) % 2 == 1 for word in words])
    size = box[:, 2:] - box[:, :2]
    length, height = np.where(upright[:, None], size[:, ::-1], size).T
    radius = MIDDLE * np.maximum(length, height) + OVERHANG * height / 2
    word, near = lines.each_about(at, np.where(height > 0, radius, 0.0))
    ends = near - at[word][:, None]
    ends = np.where(upright[word][:, None, None], ends[..., ::-1], ends)
    clears = np.array(["GF" in each.text.upper() for each in words])
    struck = _strikes(ends, length[word], height[word], COVERED)
    half = ~struck & clears[word] & _strikes(ends, length[word], height[word], HALF)
    strikes = np.flatnonzero((struck | half) & (height[word] > 0))
    return sorted({
        k
        for k, line, part in zip(word[strikes].tolist(), near[strikes], half[strikes].tolist(), strict=True)
        if not (part and _meets(line, lines)) and not _is_side(line, lines, OVERHANG * height[k])
        and not _is_row(line, lines, at[k], float(height[k]))
    })  # fmt: skip


def _meets(line: FloatArray, lines: Lines) -> bool:
    """Does a line (2, 2) meet another one at an end: is it a piece of a door's swing, or a corner?"""
    return max(len(lines.from_end(end)) for end in line) > 1


def _is_side(line: FloatArray, lines: Lines, leaves: float) -> bool:
    """Is a line (2, 2) a side of a rectangle whose next sides are longer than ``leaves``, pt?"""
    way = (line[1] - line[0]) / max(1e-9, float(np.hypot(*(line[1] - line[0]))))
    turned = [_turns_off(line[k], way, lines, leaves) for k in (0, 1)]
    return bool((turned[0] & turned[1]).any())


def _is_row(line: FloatArray, lines: Lines, middle: FloatArray, height: float) -> bool:
    """Is a line (2, 2) a row of hatch that goes on beside a word about ``middle``?"""
    length = float(np.hypot(*(line[1] - line[0])))
    way = (line[1] - line[0]) / max(1e-9, length)
    for within in (ROW_GAP, ROWS_WITHIN):  # most lines have no row next to them
        near = lines.about(line.mean(axis=0), math.hypot(within * height, SAME_PT))
        aside = _rows(near, line, way, length)
        if len(aside) < 2:  # itself
            return False
    gap = np.abs(aside[np.abs(aside) > EVEN_PT]).min(initial=np.inf)
    if gap > ROW_GAP * height:
        return False
    rows = rows_beside(aside, np.array([gap]))
    before, beyond = int(rows.before[0]), int(rows.beyond[0])
    word = float((middle - line.mean(axis=0)) @ np.array([-way[1], way[0]]))
    beside = max(beyond - (word + height) / gap, before + (word - height) / gap)
    return bool(before + beyond + 1 >= ROWS and beside >= ROWS_BESIDE)


def _rows(lines: FloatArray, line: FloatArray, way: FloatArray, length: float) -> FloatArray:
    """How far beside a line those lie that are like it, pt."""
    level = np.abs((lines[:, 0] + lines[:, 1] - line[0] - line[1]) @ way) < 2 * SAME_PT  # few are
    off = lines[level] - line.mean(axis=0)
    along, aside = np.sort(off @ way, axis=1), off @ np.array([-way[1], way[0]])
    alike = (np.abs(along - np.array([-length, length]) / 2) < SAME_PT).all(axis=1)
    alike &= np.abs(aside[:, 1] - aside[:, 0]) < SAME_PT
    return np.asarray(aside[alike].mean(axis=1))


def _turns_off(end: FloatArray, way: FloatArray, lines: Lines, leaves: float) -> BoolArray:
    """(2,) Does a line longer than ``leaves`` begin at an end and turn off squarely from the way to its left, and
    does one to its right?"""
    step = lines.from_end(end)
    size = np.hypot(step[:, 0], step[:, 1])
    square = (size > leaves) & (np.abs(step @ way) < SQUARE * size)
    side = step[square] @ np.array([way[1], -way[0]])
    return np.array([(side > 0).any(), (side < 0).any()])


def _strikes(ends: FloatArray, length: FloatArray, height: FloatArray, share: float) -> BoolArray:
    """(n,) for lines (n, 2, 2), each about the middle of a level word of that length and height (n,), of which a
    strike covers the ``share`` at least."""
    low, high = ends[..., 0].min(axis=1), ends[..., 0].max(axis=1)
    run = np.maximum(high - low, 1e-9)
    within = (low >= -length / 2 - OVERHANG * height) & (high <= length / 2 + OVERHANG * height)
    cover = np.minimum(high, length / 2) - np.maximum(low, -length / 2) >= share * length
    step = ends[:, 1] - ends[:, 0]
    at = ends[:, 0, 1] - ends[:, 0, 0] * np.divide(step[:, 1], np.where(step[:, 0] == 0, run, step[:, 0]))
    boxed = (np.abs(ends[..., 1]) <= height[:, None]).all(axis=1)
    return np.asarray(within & cover & boxed & (np.abs(at) <= MIDDLE * height), bool)

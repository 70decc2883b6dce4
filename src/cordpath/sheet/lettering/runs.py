"""Parts joined to lines of lettering, whatever way they run.

Terms: *reading frame*, the page turned so that text runs along x, y downwards as read; *core*, a part as high as a
letter; *small*, a part that is less (dots, primes, dashes), which joins a line near it; *base*, y on which the
letters of a line stand; *cap*, their usual height; *unrest*, how far tops and bottoms stray from two level lines,
in heights: letters have little, hatch and symbols much.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cordpath.geometry import components, group_boxes
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.sheet.lettering.near import overlapping
from cordpath.sheet.lettering.parts import Band, Parts
from cordpath.sheet.lettering.slants import CORE, SURE, slants

GAP = 1.25  # of the letter height: widest gap inside a line; a space between words is 0.6 to 1.0
OVERLAP = 0.55  # of the lower letter: how far neighbours share their height
SPACE, STEP = 0.4, 0.2  # of the letter height: beyond so wide a gap, the most that neither tops nor feet are level
LIKE = 0.5  # least ratio of the heights of neighbours
WIDE = 2.0  # of the largest cap height
BELOW, ABOVE = 0.35, 1.25  # of the cap height: where small parts of a line lie about its base
SATELLITE = 1.1  # of the cap height: how large small parts are
REACH = 1.5  # of the cap height: how far they may be from the next part of the line; blanks are up to 1.2
DOT = 0.3  # of the cap height: dots up to this may be filled in lettering of strokes, or the other way about
EITHER, FILLED, STROKED = 0, 1, 2
NEXT = 1.5  # of the cap height: lines on one base this close are one
FEW = 2  # letters: so short a line may be marks of another line
LOW = 0.62  # of the cap height: such marks are lower
FREE = 0.7  # of a line's parts that no better line has
UNREST = 0.2
TIGHT = 0.6  # of the cap height: usual gap between letters, at most; rows of a table may lie 0.6 to 1.4 apart
NEAR = (-2.0, -1.0, 0.0, 1.0, 2.0)  # degrees off each of them, tried in turn
CLEAR_OF = 4.0  # of the largest cap height: no letter joins another that far above or below it


@dataclass(frozen=True, eq=False)
class Lines:
    """l lines of one reading direction.  ``member`` lists parts, line by line, along the line."""

    angle: float  # degrees, counter-clockwise as seen
    member: IntArray  # (m,) part
    line: IntArray  # (m,) ascending
    base: FloatArray  # (l,) y in the reading frame
    cap: FloatArray  # (l,)
    letters: IntArray  # (l,) number of core parts
    unrest: FloatArray  # (l,)
    box: FloatArray  # (c, 4) of every part of the page, in the reading frame

    def keep(self, which: BoolArray) -> Lines:
        number = np.cumsum(which) - 1
        stay = which[self.line]
        return Lines(
            self.angle, self.member[stay], number[self.line[stay]], self.base[which], self.cap[which],
            self.letters[which], self.unrest[which], self.box,
        )  # fmt: skip


def turned(xy: FloatArray, angle: float) -> FloatArray:
    """(n, 2) page points in the reading frame of text at ``angle``."""
    t = np.radians(angle)
    c, s = float(np.cos(t)), float(np.sin(t))
    if angle % 90 == 0:
        c, s = round(c), round(s)
    return np.column_stack([xy[:, 0] * c - xy[:, 1] * s, xy[:, 0] * s + xy[:, 1] * c])


def turned_strokes(parts: Parts, angle: float) -> FloatArray:
    return turned(parts.xy.reshape(-1, 2), angle).reshape(-1, 4)


def text_lines(parts: Parts, band: Band, long: FloatArray) -> list[Lines]:
    """Lines in every direction found.  A part may be in two lines where they are too short to tell which is right.
    ``long`` (n, 4): long strokes of the drawing; lettering often follows them."""
    if not len(parts):
        return []
    everything = np.ones(len(parts), bool)
    chosen = _choose([_rows(parts, band, angle, everything) for angle in (0.0, 90.0)], everything.copy())
    sure = [_steady(lines) for lines in chosen]
    left = everything.copy()
    for lines in sure:
        left[lines.member] = False
    slanted = []
    for angle in slants(parts, band, left, long):
        lines = _best(parts, band, angle, left)
        if len(lines.base):
            slanted.append(lines)
            left[lines.member] = False
    angles = [0.0, 90.0, *(lines.angle for lines in slanted[:2])]
    unsure = [_rows(parts, band, angle, left) for angle in angles]
    return [lines for lines in (*_choose(unsure, left.copy(), both=True), *slanted, *sure) if len(lines.base)]


def _rows(parts: Parts, band: Band, angle: float, use: BoolArray) -> Lines:
    """Lines at one angle, with their small marks, and joined across them."""
    return _in_rows(_with_small(parts, _chains(parts, band, angle, use), use))


def _chains(parts: Parts, band: Band, angle: float, use: BoolArray) -> Lines:
    """Core parts joined to neighbours at the same height."""
    return _linked(angle, _boxes(parts, angle), _drawn(parts), band, use)


def _drawn(parts: Parts) -> IntArray:
    """(c,) how each part is drawn: `STROKED`, `FILLED`, or, of a lone stroke, `EITHER`: a filled I or dash that is
    as slim as a pen's line is read as one."""
    return np.where(parts.filled, FILLED, np.where(parts.strokes > 1, STROKED, EITHER))


def _unlike(one: IntArray, other: IntArray) -> BoolArray:
    """(n,) Is one drawn as filled outlines, and the other as strokes?  No lettering mixes them."""
    return np.asarray(one + other == FILLED + STROKED)


def _boxes(parts: Parts, angle: float) -> FloatArray:
    """(c, 4) boxes of the parts in the reading frame."""
    return group_boxes(turned_strokes(parts, angle), parts.owner, len(parts))


def _linked(angle: float, box: FloatArray, drawn: IntArray, band: Band, use: BoolArray) -> Lines:
    wide, high = box[:, 2] - box[:, 0], box[:, 3] - box[:, 1]
    core = use & (high > CORE[0] * band[0]) & (high < CORE[1] * band[1]) & (wide < WIDE * band[1])
    index = np.flatnonzero(core)
    if not len(index):
        return Lines(angle, index, index, np.zeros(0), np.zeros(0), index, np.zeros(0), box)
    own = box[index]
    reach = own.copy()
    reach[:, 2] += GAP * 1.3 * high[index]
    first, second = overlapping(reach, own)
    a, b = own[first], own[second]
    low = np.minimum(high[index][first], high[index][second])
    tall = np.maximum(high[index][first], high[index][second])
    shared = np.minimum(a[:, 3], b[:, 3]) - np.maximum(a[:, 1], b[:, 1])
    gap = b[:, 0] - a[:, 2]
    link = (first != second) & (b[:, 0] >= a[:, 0]) & (gap < GAP * tall) & (low > LIKE * tall)
    link &= (shared > OVERLAP * low) & ~_unlike(drawn[index][first], drawn[index][second])
    step = np.minimum(np.abs(a[:, 1] - b[:, 1]), np.abs(a[:, 3] - b[:, 3]))
    link &= (gap < SPACE * tall) | (step < STEP * tall)
    _, line = components(first[link], second[link], len(index))
    return _measured(angle, index, line, box)


def _measured(angle: float, member: IntArray, line: IntArray, box: FloatArray) -> Lines:
    """Base, cap height and unrest of lines whose members are core parts."""
    high = box[:, 3] - box[:, 1]
    count = np.bincount(line)
    cap = _ranked(high[member], line, count, 0.7)
    base = _ranked(box[member, 3], line, count, 0.5)
    off = np.minimum(np.abs(box[member, 3] - base[line]) / cap[line], 0.5)
    off += np.minimum(np.abs(box[member, 1] - base[line] + cap[line]) / cap[line], 0.5)
    unrest = np.bincount(line, off) / count
    order = np.lexsort((box[member, 0], line))
    return Lines(angle, member[order], line[order], base, cap, count, unrest, box)


def _ranked(value: FloatArray, group: IntArray, count: IntArray, share: float) -> FloatArray:
    """(l,) the value at a share of the way through each group's sorted values."""
    order = np.lexsort((value, group))
    start = np.cumsum(count) - count
    return value[order][start + (share * (count - 1) + 0.5).astype(np.int64)]


def _choose(options: list[Lines], free: BoolArray, both: bool = False) -> list[Lines]:
    """Of lines in several directions that share parts, the better ones: letters close together (a column of a table
    is no line of one letter of each row), then more letters, less unrest.  With ``both``, lines too short to tell
    are kept in every direction."""
    rank = [
        (wide, -float((0.45 - u) * n), k, i)
        for k, lines in enumerate(options)
        for i, (wide, n, u) in enumerate(zip(_wide(lines), lines.letters, lines.unrest, strict=True))
    ]
    keep = [np.zeros(len(lines.base), bool) for lines in options]
    starts = [np.searchsorted(lines.line, np.arange(len(lines.base) + 1)) for lines in options]
    for _, _, k, i in sorted(rank):
        lines = options[k]
        own = lines.member[starts[k][i] : starts[k][i + 1]]
        short = both and len(own) <= SURE
        if short or free[own].mean() >= FREE:
            keep[k][i] = True
            if not short:
                free[own] = False
    return [lines.keep(which) for lines, which in zip(options, keep, strict=True)]


def _wide(lines: Lines) -> list[bool]:
    """Which lines have their letters farther apart than is usual.  What stands beside a letter, and not between
    two, is left out: the dashes of a column 15A-1P stand under its As, seen from the side."""
    if not len(lines.member):
        return []
    own = lines.box[lines.member]
    right, high = own[:, 2], own[:, 3] - own[:, 1]
    apart = (np.ptp(lines.box[:, [0, 2]]) + 1.0) * lines.line
    reached = np.maximum.accumulate(right + apart) - apart
    between = np.r_[True, (right[1:] > reached[:-1]) | (np.diff(lines.line) > 0)]
    between |= high > LOW * lines.cap[lines.line]
    member, line = lines.member[between], lines.line[between]
    same = np.flatnonzero(np.diff(line) == 0)
    gap = lines.box[member[same + 1], 0] - lines.box[member[same], 2]
    count = np.bincount(line[same], minlength=len(lines.base))
    usual = np.zeros(len(lines.base))
    _, group = np.unique(line[same], return_inverse=True)
    usual[count > 0] = _ranked(gap, group, count[count > 0], 0.4)  # the lesser of two: beside an I one is wide
    return [bool(wide) for wide in usual > TIGHT * lines.cap]


def _best(parts: Parts, band: Band, angle: float, left: BoolArray) -> Lines:
    """Lines at about ``angle``; the best of some directions near it, those with little unrest."""
    able = left & (parts.size > CORE[0] * band[0] / np.sqrt(2))  # the others are too low at every angle
    able &= parts.size < np.hypot(WIDE, CORE[1]) * band[1]
    core = parts.keep(able)
    boxes = [_boxes(core, angle + d) for d in NEAR]
    low = min((float(box[:, 1].min(initial=0)) for box in boxes), default=0.0)
    apart = max(float(box[:, 3].max(initial=0)) for box in boxes) - low + CLEAR_OF * band[1]
    # All the tries side by side on one sheet, each by itself below the one before.
    sheet = np.concatenate([box + apart * k * np.array([0, 1, 0, 1]) for k, box in enumerate(boxes)])
    drawn = np.tile(_drawn(core), len(NEAR))
    lines = _steady(_linked(angle, sheet, drawn, band, np.ones(len(sheet), bool)))
    own = np.floor((lines.base - low) / apart).astype(np.int64)
    score = np.bincount(own, lines.letters * (0.4 - lines.unrest), len(NEAR))
    if not len(own):
        return lines
    return _steady(_rows(parts, band, angle + NEAR[int(np.argmax(score))], left))


def _steady(lines: Lines) -> Lines:
    return lines.keep((lines.letters >= SURE) & (lines.unrest < UNREST))


def _with_small(parts: Parts, lines: Lines, use: BoolArray) -> Lines:
    """Dots, primes and dashes added to the lines that they stand in; so are marks that were taken for short lines
    of low letters of their own."""
    if not len(lines.base):
        return lines
    box = lines.box
    size = (box[:, 2:] - box[:, :2]).max(axis=1)
    of = np.full(len(parts), -1)
    of[lines.member] = lines.line
    few = (of >= 0) & (lines.letters[of] <= FEW)
    loose = np.flatnonzero(use & (of < 0) & (size < SATELLITE * lines.cap.max()))
    drawn = _drawn(parts)
    for part in (0, 1, 2):  # marks that passed for letters, then marks, then marks that follow marks: 3'-0"
        small = np.flatnonzero(few) if part == 0 else loose[of[loose] < 0]
        if not len(small):
            continue
        member = np.flatnonzero(of >= 0)
        line = of[member]
        reach = box[member].copy()
        cap, base = lines.cap[line], lines.base[line]
        reach[:, 0] -= REACH * cap
        reach[:, 2] += REACH * cap
        reach[:, 1], reach[:, 3] = base - ABOVE * cap, base + BELOW * cap
        middle = (box[small, :2] + box[small, 2:]) / 2
        near, dot = overlapping(reach, np.concatenate([middle, middle], axis=1))
        fits = size[small[dot]] <= np.where(of[small[dot]] < 0, SATELLITE, LOW) * cap[near]
        mark, letter = drawn[small[dot]], drawn[member[near]]
        unlike = _unlike(mark, letter) | ((mark == FILLED) & (letter != FILLED))
        dots = (of[small[dot]] < 0) & (size[small[dot]] <= DOT * cap[near])
        fits &= (of[small[dot]] != line[near]) & (dots | ~unlike)
        dot, near, unlike = dot[fits], near[fits], unlike[fits]
        a, b = box[small[dot]], box[member[near]]
        gap = np.maximum(np.maximum(a[:, 0] - b[:, 2], b[:, 0] - a[:, 2]), 0.0)
        order = np.lexsort((gap, unlike, dot))
        first = order[np.flatnonzero(np.diff(dot[order], prepend=-1))]
        of[small[dot[first]]] = line[near[first]]
    member = np.flatnonzero(of >= 0)
    order = member[np.lexsort((box[member, 0], of[member]))]
    whole = Lines(lines.angle, order, of[order], lines.base, lines.cap, lines.letters, lines.unrest, box)
    return whole.keep(np.bincount(of[member], minlength=len(lines.base)) > 0)


def _in_rows(lines: Lines) -> Lines:
    """Lines that go on after a mark or a wide space, as one."""
    if not len(lines.base):
        return lines
    low = np.full(len(lines.base), np.inf)
    high = -low
    np.minimum.at(low, lines.line, lines.box[lines.member, 0])
    np.maximum.at(high, lines.line, lines.box[lines.member, 2])
    base, cap = lines.base, lines.cap
    own = np.column_stack([low, base - cap, high, base])
    ahead = np.column_stack([high, base - 0.6 * cap, high + NEXT * cap, base - 0.4 * cap])
    first, second = overlapping(ahead, own)
    step = np.abs(lines.base[first] - lines.base[second]) / lines.cap[first]
    ratio = lines.cap[second] / lines.cap[first]
    link = (first != second) & (step < 0.2) & (ratio > 0.8) & (ratio < 1.25) & (low[second] > low[first])
    _, row = components(first[link], second[link], len(lines.base))
    count = np.bincount(row)
    weight = np.bincount(row, lines.letters)
    base = np.bincount(row, lines.base * lines.letters) / weight
    cap = np.bincount(row, lines.cap * lines.letters) / weight
    unrest = np.bincount(row, lines.unrest * lines.letters) / weight
    line = row[lines.line]
    order = np.lexsort((lines.box[lines.member, 0], line))
    base[count == 1], cap[count == 1] = lines.base[_only(row, count)], lines.cap[_only(row, count)]
    return Lines(
        lines.angle, lines.member[order], line[order], base, cap, weight.astype(np.int64), unrest, lines.box
    )


def _only(row: IntArray, count: IntArray) -> IntArray:
    """The line of each row that has one line, by row."""
    return np.argsort(row, kind="stable")[(np.cumsum(count) - count)[count == 1]]

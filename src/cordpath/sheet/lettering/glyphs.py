"""The glyphs of lines: which parts belong to one letter, and what each may be.

Terms: *group*, neighbouring parts of a line that may be one glyph (i and its dot, =, strokes that do not touch);
*glyph*, a group chosen; *reading*, a line's glyphs in one of its two senses (upright or upside down).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cordpath.geometry import group_boxes
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.sheet.lettering.classify import CLASSES, INDEX, REJECT, network
from cordpath.sheet.lettering.features import CONTEXT, Features, describe, upside_down
from cordpath.sheet.lettering.parts import Parts
from cordpath.sheet.lettering.runs import Lines, turned_strokes

LARGEST = 4  # parts of a glyph
SHARED = 0.55  # of the slimmer part's width: parts of one glyph lie above each other
WIDTH = 1.5  # of the cap height
PRIME = (0.6, 0.45)  # of the cap height: marks lower than this and closer than this may be one pair of primes
DOT = 0.3  # of the cap height: dots are smaller, and this close to what they belong to
GLYPH_COST = 0.9  # nat: fewer glyphs are likelier than more
REJECT_COST = 1.5  # nat
WORST = -6.0  # nat: no glyph counts for less
LETTERLIKE = (0.6, 1.4)  # of the cap height
LOW, HIGH_UP = (
    0.55,
    0.3,
)  # of the cap height: no figure and no capital is lower, or stands so far above the base; two
# marks that overlap, as '- where slanted, do
AFLOAT = 6.0  # nat by which those are less likely
LARGE = 0.8  # of the cap height: T of two strokes that do not meet is higher than a prime over a dash
SLIM, FOOT = (
    0.35,
    0.3,
)  # of the cap height: marks are smaller and i is slimmer; how far up the foot of a letter goes
KNOWN = 5.0  # nat by which ink among sure letters is less likely to be no glyph
SURE = -0.3  # nat
ALNUM = np.array([letter.isalnum() for letter in CLASSES])
ALONE = ALNUM | np.array([letter in "#*" for letter in CLASSES])  # the header of circuits, the key of a note
TALL = np.array([letter.isdigit() or letter.isupper() for letter in CLASSES])


@dataclass(frozen=True, eq=False)
class Reading:
    """The glyphs of a line from first to last."""

    angle: float
    base: float  # y in the reading frame of ``angle``
    cap: float
    chance: FloatArray  # (g, classes) log probabilities
    box: FloatArray  # (g, 4) in the reading frame
    parts: tuple[tuple[int, ...], ...]
    filled: bool
    described: Features  # (all groups of its lines, SIZE), read upright
    rows: IntArray  # (g,) which of them its glyphs are
    over: bool  # upside down

    def shapes(self, first: int, last: int) -> Features:
        """(n, SIZE - CONTEXT) the features of glyphs ``first`` to ``last``, without their size and place."""
        own = self.described[self.rows[first : last + 1]]
        return (upside_down(own) if self.over else own)[:, :-CONTEXT]


@dataclass(frozen=True, eq=False)
class _Groups:
    first: IntArray  # (k,) place of the first part in Lines.member
    size: IntArray  # (k,) number of parts
    box: FloatArray  # (k, 4)


@dataclass(frozen=True, eq=False)
class _Chances:
    """What each group may be, read from one side; ``over``: upside down."""

    log: FloatArray  # (k, classes)
    worth: list[float]  # (k,) of the group as one glyph
    sure: list[bool]  # (k,) a letter or figure without doubt
    over: bool

    @staticmethod
    def of(log: FloatArray, over: bool) -> _Chances:
        sure = (log.max(axis=1, initial=WORST) > SURE) & ALNUM[log.argmax(axis=1)]
        return _Chances(log, _worth(log), sure.tolist(), over)


def _worth(log: FloatArray) -> list[float]:
    top = log.argmax(axis=1)
    worth = np.maximum(log.max(axis=1, initial=WORST), WORST) - GLYPH_COST - REJECT_COST * (top == INDEX[REJECT])
    return [float(value) for value in worth]


def readings(parts: Parts, lines: Lines, least: float = 0.0) -> list[list[Reading]]:
    """For each line its readings, from either side; none where nothing in it is a letter, a figure, # or * with
    a chance of ``least``."""
    if not len(lines.base):
        return []
    groups = _groups(parts, lines)
    features = _features(parts, lines, groups)
    line = lines.line[groups.first]
    cap, top, foot = lines.cap[line], groups.box[:, 1], groups.box[:, 3]
    sized = np.bincount(lines.line, minlength=len(lines.base))[line] > 1  # a mark alone tells no cap height
    low = sized & (foot - top < LOW * cap)
    up = sized & (lines.base[line] - foot > HIGH_UP * cap)
    down = sized & (top - lines.base[line] + cap > HIGH_UP * cap)
    senses = (
        _Chances.of(_afloat(network().log_probabilities(features), low | up), False),
        _Chances.of(_afloat(network().log_probabilities(upside_down(features)), low | down), True),
    )
    worth = np.maximum(*(np.exp(sense.log[:, ALONE].max(axis=1)) for sense in senses))
    cut = np.searchsorted(line, np.arange(len(lines.base) + 1))
    hopeful = np.flatnonzero(np.maximum.reduceat(worth, cut[:-1]) >= least).tolist()
    out: list[list[Reading]] = [[] for _ in range(len(lines.base))]
    for sense in senses:
        for number, reading in _read(parts, lines, groups, features, hopeful, sense):
            out[number].append(reading)
    return out


def _groups(parts: Parts, lines: Lines) -> _Groups:
    """Every run of up to four neighbouring parts that may be one glyph."""
    box = lines.box[lines.member]
    filled = parts.filled[lines.member]
    cap = lines.cap[lines.line]
    n = len(box)
    first, size, boxes = [np.arange(n)], [np.ones(n, np.int64)], [box]
    alive, whole = np.arange(n), box
    for count in range(2, LARGEST + 1):
        after = alive + count - 1
        sound = after < n
        alive, whole, after = alive[sound], whole[sound], after[sound]
        new = box[after]
        joint = np.concatenate([np.minimum(whole[:, :2], new[:, :2]), np.maximum(whole[:, 2:], new[:, 2:])], axis=1)
        unit = cap[alive]
        slim = np.minimum(whole[:, 2] - whole[:, 0], new[:, 2] - new[:, 0])
        over = np.minimum(whole[:, 2], new[:, 2]) - np.maximum(whole[:, 0], new[:, 0])
        fits = over + 0.03 * unit > SHARED * slim
        if count == 2:
            fits |= _primes(whole, new, unit) | _dotted(whole, new, unit)
            fits &= ~_prime_and_dash(whole, new, unit) & ~_comma(whole, new, lines.base[lines.line[alive]], unit)
        fits &= (lines.line[alive] == lines.line[after]) & (filled[alive] == filled[after])
        fits &= joint[:, 2] - joint[:, 0] < WIDTH * unit
        alive, whole = alive[fits], joint[fits]
        first.append(alive)
        size.append(np.full(len(alive), count))
        boxes.append(whole)
    at, number, where = np.concatenate(first), np.concatenate(size), np.concatenate(boxes)
    order = np.lexsort((number, at))
    return _Groups(at[order], number[order], where[order])


def _primes(a: FloatArray, b: FloatArray, unit: FloatArray) -> BoolArray:
    """Two slim low marks side by side."""
    low = np.maximum(a[:, 3] - a[:, 1], b[:, 3] - b[:, 1]) < PRIME[0] * unit
    slim = np.maximum(a[:, 2] - a[:, 0], b[:, 2] - b[:, 0]) < 0.3 * unit
    level = np.abs(a[:, 3] - b[:, 3]) < 0.15 * unit
    tall = np.minimum(a[:, 3] - a[:, 1], b[:, 3] - b[:, 1]) > 0.12 * unit
    return low & slim & level & tall & (b[:, 0] - a[:, 0] < PRIME[1] * unit)


def _dotted(a: FloatArray, b: FloatArray, unit: FloatArray) -> BoolArray:
    """A dot above or under something slim: i and : of slanted letters."""
    dot = np.minimum((a[:, 2:] - a[:, :2]).max(axis=1), (b[:, 2:] - b[:, :2]).max(axis=1)) < DOT * unit
    slim = np.maximum(a[:, 2] - a[:, 0], b[:, 2] - b[:, 0]) < 0.35 * unit
    apart = (a[:, 3] < b[:, 1]) | (b[:, 3] < a[:, 1])
    return dot & slim & apart & (np.abs(a[:, [0, 2]].mean(axis=1) - b[:, [0, 2]].mean(axis=1)) < DOT * unit)


def _prime_and_dash(a: FloatArray, b: FloatArray, unit: FloatArray) -> BoolArray:
    """A slim mark and a flat one wholly to its foot or its head: '- where slanted, read from either side."""
    wide, high = a[:, 2] - a[:, 0], a[:, 3] - a[:, 1]
    wide_b, high_b = b[:, 2] - b[:, 0], b[:, 3] - b[:, 1]
    slim_flat = (high > wide) & (wide_b > 2 * high_b) | (high_b > high) & (wide > 2 * high)
    apart = (a[:, 3] <= b[:, 1]) | (b[:, 3] <= a[:, 1])
    low = np.maximum(a[:, 3], b[:, 3]) - np.minimum(a[:, 1], b[:, 1]) < LARGE * unit
    return np.asarray(slim_flat & apart & low, bool)


def _comma(a: FloatArray, b: FloatArray, base: FloatArray, unit: FloatArray) -> BoolArray:
    """A letter that is not slim, and a small mark at its foot, or (read from the other side) at its head."""
    size_a, size_b = (a[:, 2:] - a[:, :2]), (b[:, 2:] - b[:, :2])
    first_small = size_a.max(axis=1) < size_b.max(axis=1)
    small = np.where(first_small[:, None], a, b)
    large = np.where(first_small[:, None], size_b, size_a)
    marks = np.minimum(size_a.max(axis=1), size_b.max(axis=1)) < SLIM * unit
    letter = (large[:, 1] > LETTERLIKE[0] * unit) & (large[:, 0] > SLIM * unit)
    at_end = (small[:, 1] > base - FOOT * unit) | (small[:, 3] < base - unit + FOOT * unit)
    return np.asarray(marks & letter & at_end, bool)


def _features(parts: Parts, lines: Lines, groups: _Groups) -> np.ndarray:
    member = np.repeat(np.arange(len(groups.first)), groups.size)
    step = np.arange(len(member)) - np.repeat(np.cumsum(groups.size) - groups.size, groups.size)
    part = lines.member[groups.first[member] + step]
    start = np.searchsorted(parts.owner, np.arange(len(parts) + 1))
    count = (start[1:] - start[:-1])[part]
    stroke = np.repeat(start[part], count) + np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    owner = np.repeat(member, count)
    xy = turned_strokes(parts, lines.angle)[stroke]
    line = lines.line[groups.first]
    members = np.bincount(lines.line, minlength=len(lines.base))
    cap = np.where(members[line] > 1, lines.cap[line], 0.0)
    box = group_boxes(xy, owner, len(groups.first))
    return describe(xy, owner, parts.filled[lines.member[groups.first]], lines.base[line], cap, box)


def _read(
    parts: Parts, lines: Lines, groups: _Groups, features: Features, numbers: list[int], sense: _Chances
) -> list[tuple[int, Reading]]:
    """The likeliest division of lines ``numbers`` into glyphs."""
    line = lines.line[groups.first]
    cut = np.searchsorted(line, np.arange(len(lines.base) + 1)).tolist()
    start = np.searchsorted(lines.line, np.arange(len(lines.base) + 1)).tolist()
    places = _Places(groups.first.tolist(), groups.size.tolist(), cut, start)
    chosen = {number: places.division(sense.worth, number) for number in numbers}
    known = np.zeros(len(lines.base))
    for number, own in chosen.items():
        sure = sum(sense.sure[k] for k in own)
        if sure >= 2 or (sure == 1 and len(own) <= 3):
            known[number] = KNOWN if sure >= 2 else KNOWN / 2
    log = _among_letters(sense.log, groups.box, groups.size, lines.cap[line], known[line])
    worth = _worth(log)
    chosen |= {number: places.division(worth, number) for number in np.flatnonzero(known).tolist()}
    if sense.over:
        chosen = {number: own[::-1] for number, own in chosen.items()}
    every = np.array([k for own in chosen.values() for k in own], np.int64)
    chance, box = log[every], groups.box[every]
    if sense.over:
        box = -box[:, [2, 3, 0, 1]]
    angle = (lines.angle + 180) % 360 if sense.over else lines.angle
    filled = np.bincount(lines.line, parts.filled[lines.member], len(lines.base)) * 2 > np.diff(start)
    members, out, end = lines.member.tolist(), [], 0
    for number, own in chosen.items():
        first, end = end, end + len(own)
        cap, base = float(lines.cap[number]), float(lines.base[number])
        pieces = tuple(tuple(members[places.first[k] : places.first[k] + places.size[k]]) for k in own)
        out.append((number, Reading(
            angle, cap - base if sense.over else base, cap, chance[first:end], box[first:end], pieces,
            bool(filled[number]), features, every[first:end], sense.over,
        )))  # fmt: skip
    return out


def _afloat(log: FloatArray, which: BoolArray) -> FloatArray:
    """Nothing low, and nothing that does not reach the base, is a figure or a capital."""
    if not which.any():
        return log
    less = log[which] - AFLOAT * TALL
    out = log.copy()
    out[which] = less - np.log(np.exp(less).sum(axis=1, keepdims=True))
    return out


def _among_letters(
    chance: FloatArray, box: FloatArray, size: IntArray, cap: FloatArray, by: FloatArray
) -> FloatArray:
    """Ink of letter size in the company of sure letters is a letter, though of an unusual form.  ``by`` (k,) nat by
    which it is less likely to be none; 0 where there is no such company."""
    high = box[:, 3] - box[:, 1]
    like = (by > 0) & (high > LETTERLIKE[0] * cap) & (high < LETTERLIKE[1] * cap) & (size <= 2)
    out = chance.copy()
    less = chance[like]
    less[:, INDEX[REJECT]] -= by[like]
    out[like] = less - np.log(np.exp(less).sum(axis=1, keepdims=True))
    return out


@dataclass(frozen=True, eq=False)
class _Places:
    """Where the groups and the parts of each line are."""

    first: list[int]  # (k,) see _Groups
    size: list[int]
    cut: list[int]  # (l + 1,) first group of each line
    start: list[int]  # (l + 1,) first part

    def division(self, worth: list[float], number: int) -> list[int]:
        """Groups that cover the parts of line ``number`` once each, of greatest probability (dynamic
        programming)."""
        start, length = self.start[number], self.start[number + 1] - self.start[number]
        best = [0.0] + [-1e9] * length
        back = [-1] * (length + 1)
        for k in range(self.cut[number], self.cut[number + 1]):
            at = self.first[k] - start
            to = at + self.size[k]
            value = best[at] + worth[k]
            if value > best[to]:
                best[to], back[to] = value, k
        chosen: list[int] = []
        at = length
        while at > 0:
            chosen.append(back[at])
            at -= self.size[back[at]]
        return chosen[::-1]

"""The letters of a symbol where they are drawn as strokes or outlines: read at the one place where they must stand.

The reader of lettering believes no single letter, nor letters that touch something else: as often as not such marks
are no letters at all.  Here it is known which letter would stand where, and what else is drawn there.

Terms: *spot*, the page point where a text mark of a template has its middle; *glyph*, strokes that hang together,
or one filled area; *row*, glyphs side by side on one base; *short*, of strokes: not longer than a letter is high.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from shapely.geometry.base import BaseGeometry

from cordpath.model import BoolArray, Box, FloatArray, IntArray, Word
from cordpath.symbols.grid import within
from cordpath.symbols.letters import Letters
from cordpath.symbols.normalise import Ink
from cordpath.symbols.paint import Paint
from cordpath.symbols.pose import SCALE, into_frame, place
from cordpath.symbols.template import Template
from cordpath.symbols.verify import orbits

# Takes the strokes (n, 4) of the glyphs of one row as read, and whether they are edges of areas; gives the chances
# of each one's letters.
GlyphReader = Callable[[Sequence[FloatArray], bool], list[dict[str, float]]]

TALLEST = 9.0  # pt, 1/8 in: longer strokes are no letters of a symbol
BODIES = 1.3  # body radii that a letter of a symbol is high at most
JOINED = 0.2  # pt between strokes of one glyph: two roundings to the plotter's grid of 0.12 pt
SURE, SURE_ALONE = 0.9, 0.95  # chance of each letter of a row, and of one letter by itself
SHAPES = {"I": "I1L|'", "O": "O0"}  # letters that are one shape with others in many drafting fonts
MOST_GLYPHS = 60  # near a spot; more is hatch or a note
CAP = 0.72  # of the font size
LEVEL = 0.2  # of the row's height, by which bases and tops of its letters differ at most
GAP, DASHED, OVER = (
    0.9,
    1.8,
    0.3,
)  # of the row's height: between letters of one row, with a dash, and by which slanted ones overlap
NOTHING: IntArray = np.zeros(0, np.int64)
UPRIGHT = (0.0, 90.0, 270.0)  # degrees in which letters are read
BARS = "I1L|'/-O0C"  # letters that may be a line, a corner or a circle of something else
CENTRAL = 0.3  # of the body's reach: a text with its middle so near the body's may be its mark
LETTER = 0.5  # chance of any letter from which an area may be one: arrowheads and dots are none
OTHER = 0.5  # chance of another letter, read upright, from which a sideways reading is none


@dataclass(frozen=True, eq=False)
class _Glyphs:
    """Glyphs in a reading frame, from left to right."""

    xy: list[FloatArray]  # strokes (n, 4)
    segments: list[IntArray]  # what they are in the ink, or in the paint
    box: FloatArray  # (g, 4)
    filled: bool

    def seen(self, angle: float) -> _Glyphs:
        """As seen by who reads in the direction ``angle`` of the page."""
        turn = _turned(angle)
        xy = [(row.reshape(-1, 2) @ turn).reshape(-1, 4) for row in self.xy]
        box = np.array([[*row.reshape(-1, 2).min(0), *row.reshape(-1, 2).max(0)] for row in xy]).reshape(-1, 4)
        order = np.argsort(box[:, 0], kind="stable")
        return _Glyphs([xy[k] for k in order], [self.segments[k] for k in order], box[order], self.filled)


def _turned(angle: float) -> FloatArray:
    """(2, 2) that brings points of the page, as rows, to the frame of who reads in that direction."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return np.array([[c, s], [-s, c]])


def with_drawn_words(
    letters: Letters, found: Sequence[tuple[Template, FloatArray, Ink]], paint: Paint, read: GlyphReader
) -> tuple[Word, ...]:
    """The words of the sheet and those that the templates' letters are at their poses, in place of what was read
    there with less knowledge."""
    fresh: list[Word] = []
    line = 1 + max((word.line for word in letters.words), default=-1)
    for template, poses, ink in found:
        for value, x, y in template.drawn.texts:
            if template.text_only or not value.isalnum() or not len(poses):
                continue
            for pose in poses[_inked(template, poses, ink, paint, np.array([x, y]))]:
                if _surely_read(letters, template, pose):
                    continue
                word = _word(value.upper(), np.array([x, y]), template, pose, ink, paint, read, line + len(fresh))
                if word is not None and not any(_at_one_place(word, other) for other in fresh):
                    fresh.append(word)
    kept = [word for word in letters.words if not any(_read_again(word, new) for new in fresh)]
    return (*kept, *fresh)


def _surely_read(letters: Letters, template: Template, pose: FloatArray) -> bool:
    words = letters.lettering(template, pose).words
    return len(words) == len(template.drawn.texts) and all(letters.words[k].confidence >= SURE for k in words)


def _at_one_place(word: Word, other: Word) -> bool:
    return math.dist(word.at, other.at) < 0.3 * word.size


def _read_again(word: Word, new: Word) -> bool:
    """Is the word what was made of the new one's strokes before?"""
    if word.origin not in ("stroke", "outline"):
        return False
    one = shapely.box(*word.box)
    return bool(shapely.area(shapely.intersection(one, shapely.box(*new.box))) > 0.5 * one.area)


# ---------------------------------------------------------------------------------------------- spots


def _height(template: Template, pose: FloatArray) -> float:
    """How high a letter of the symbol may be, pt."""
    return min(TALLEST, BODIES * template.radius * float(pose[SCALE]))


def _inked(template: Template, poses: FloatArray, ink: Ink, paint: Paint, mark: FloatArray) -> BoolArray:
    """(n,) poses at whose spots short strokes or small areas lie that are no marks of the template's lines."""
    height = np.minimum(TALLEST, BODIES * template.radius * poses[:, SCALE])
    spots, kept = _all_spots(template, poses, mark)
    of, n = np.nonzero(kept)
    at = spots[of, n]
    c, k = ink.grid.near(at, 0.5 * float(height.max()))
    of_pose = of[c]
    short = (k < ink.count) & (ink.run[k] <= height[of_pose]) & ~ink.hatch[k]
    c, k, of_pose = c[short], k[short], of_pose[short]
    near = within(ink.xy[k], at[c], 0.5 * height[of_pose])
    k, of_pose = k[near], of_pose[near]
    strange = ~_own(template, poses, ink.xy[k], of_pose)
    out = np.bincount(of_pose[strange], minlength=len(poses)) > 0
    if len(paint.shapes):
        for i in np.flatnonzero(~out):
            around = shapely.MultiPoint(spots[i][kept[i]]).buffer(0.3 * float(height[i]))
            out[i] = len(paint.tree.query(around)) > 0
    return out


def _spots(template: Template, pose: FloatArray, mark: FloatArray) -> FloatArray:
    """(s, 2) the places of the mark at all poses that put the lines on the same ink, each once."""
    spots, kept = _all_spots(template, pose[None], mark)
    return spots[0][kept[0]]


def _all_spots(template: Template, poses: FloatArray, mark: FloatArray) -> tuple[FloatArray, BoolArray]:
    """(n, k, 2) the places of the mark in the orbit of each pose, and which of them are not there already."""
    every = orbits(template, poses)
    spots = place(every.reshape(-1, 5), mark[None]).reshape(*every.shape[:2], 2)
    kept = np.zeros(spots.shape[:2], bool)
    for k in range(spots.shape[1]):
        apart = np.hypot(*(spots[:, :k] - spots[:, k : k + 1]).transpose(2, 0, 1))
        kept[:, k] = ((apart > 1.0) | ~kept[:, :k]).all(1)
    return spots, kept


def _short(ink: Ink, k: IntArray, height: float) -> IntArray:
    k = np.unique(k)
    k = k[k < ink.count]
    return k[(ink.run[k] <= height) & ~ink.hatch[k]]


def _own(template: Template, poses: FloatArray, xy: FloatArray, of: IntArray) -> BoolArray:
    """(n,) strokes that lie on marks of the template; stroke i is seen from pose ``of[i]``."""
    q = into_frame(poses, xy, of)
    points = shapely.points(np.stack([q[:, :2], (q[:, :2] + q[:, 2:]) / 2, q[:, 2:]], 1))
    marks = shapely.multilinestrings(shapely.linestrings(template.drawn.chords()[0].reshape(-1, 2, 2)))
    return np.asarray((shapely.distance(points, marks) < template.tolerance).all(1), bool)


def _word(
    value: str, mark: FloatArray, template: Template, pose: FloatArray, ink: Ink, paint: Paint, read: GlyphReader,
    line: int,
) -> Word | None:  # fmt: skip
    height = _height(template, pose)
    reach = height * (0.5 + 0.45 * len(value))
    radius = template.radius * float(pose[SCALE])
    found: list[Word] = []
    for spot in _spots(template, pose, mark):
        # a letter's side may lie on a mark: then the letter is whole only with the marks
        drawn = (_strokes(template, pose, ink, spot, reach, height, marks) for marks in (False, True))
        for glyphs in (*drawn, _areas(paint, spot, reach, height)):
            word = None if glyphs is None else _spelt(value, glyphs, spot, radius, read, line)
            if word is not None:
                found.append(word)
                break
    return found[0] if len(found) == 1 else None  # on two sides of one body one may be a neighbour's


# --------------------------------------------------------------------------------------------- glyphs


def _strokes(
    template: Template,
    pose: FloatArray,
    ink: Ink,
    spot: FloatArray,
    reach: float,
    height: float,
    marks: bool = False,
) -> _Glyphs | None:
    """Short strokes, with the template's own ``marks`` or without, put together where they touch."""
    k = _short(ink, ink.grid.near(spot[None], reach + 0.5 * height)[1], height)
    k = k if marks or not len(k) else k[~_own(template, pose[None], ink.xy[k], np.zeros(len(k), np.int64))]
    if not 0 < len(k) <= 20 * MOST_GLYPHS:
        return None
    lines = shapely.linestrings(ink.xy[k].reshape(-1, 2, 2))
    one, two = shapely.STRtree(lines).query(lines, predicate="dwithin", distance=JOINED)
    graph = coo_matrix((np.ones(len(one), np.int8), (one, two)), shape=(len(k), len(k)))
    count, label = connected_components(graph, directed=False)
    parts = [k[label == n] for n in range(count)]
    return _glyphs([ink.xy[part] for part in parts], parts, height, False)


def _areas(paint: Paint, spot: FloatArray, reach: float, height: float) -> _Glyphs | None:
    """Small dark areas, each a glyph."""
    if not len(paint.shapes):
        return None
    near = np.sort(paint.tree.query(shapely.Point(spot), predicate="dwithin", distance=reach + 0.5 * height))
    edges = [
        np.concatenate([np.c_[c[:-1], c[1:]] for c in (np.asarray(r.coords) for r in (s.exterior, *s.interiors))])
        for s in paint.shapes[near]
    ]
    return _glyphs(edges, [np.array([k]) for k in near], height, True)


def _glyphs(xy: list[FloatArray], segments: list[IntArray], height: float, filled: bool) -> _Glyphs | None:
    """Those of a letter's size."""
    fit = [k for k, row in enumerate(xy) if float(np.ptp(row.reshape(-1, 2), axis=0).max()) <= 1.3 * height]
    if not 0 < len(fit) <= MOST_GLYPHS:
        return None
    return _Glyphs([xy[k] for k in fit], [segments[k] for k in fit], np.zeros((len(fit), 4)), filled)


# ---------------------------------------------------------------------------------------------- reading


def _spelt(
    value: str, glyphs: _Glyphs, spot: FloatArray, radius: float, read: GlyphReader, line: int
) -> Word | None:
    """The row of glyphs at the spot, if it reads as the value and as nothing else."""
    for angle in UPRIGHT:
        seen, turn = glyphs.seen(angle), _turned(angle)
        for row in _rows(seen, len(value), spot @ turn, radius):
            sure = _chance(value, [seen.xy[k] for k in row], seen.filled, read)
            if sure is None:
                return None
            if sure >= (SURE if len(value) > 1 else SURE_ALONE):
                box = seen.box[row]
                return _as_word(value, box, angle, turn, seen.filled, sure, line)
    return None


def _rows(seen: _Glyphs, letters: int, spot: FloatArray, radius: float) -> Iterator[list[int]]:
    """Glyphs side by side with their middle at the spot, as many as there are letters, and none more beside."""
    high = seen.box[:, 3] - seen.box[:, 1]
    for first in range(len(seen.xy)):
        row = [first]
        while True:
            after = _after(seen, row[-1], high)
            if after is None or len(row) > letters:
                break
            row.append(after)
        if len(row) != letters or _before(seen, first, high) is not None:
            continue
        low, top = seen.box[row][:, :2].min(0), seen.box[row][:, 2:].max(0)
        size = float(top[1] - low[1]) / CAP
        if float(np.hypot(*((low + top) / 2 - spot))) <= max(1.5, 0.6 * size, 0.15 * radius):
            yield row


def _after(seen: _Glyphs, k: int, high: FloatArray) -> int | None:
    """The next letter of the row."""
    beside, gap = _beside(seen, k, high, seen.box[:, 0] - seen.box[k, 2], seen.box[:, 0] > seen.box[k, 0])
    return int(beside[np.argmin(gap)]) if len(beside) else None


def _before(seen: _Glyphs, k: int, high: FloatArray) -> int | None:
    """The letter that goes before."""
    beside, gap = _beside(seen, k, high, seen.box[k, 0] - seen.box[:, 2], seen.box[:, 0] < seen.box[k, 0])
    return int(beside[np.argmin(gap)]) if len(beside) else None


def _beside(
    seen: _Glyphs, k: int, high: FloatArray, gap: FloatArray, side: BoolArray
) -> tuple[IntArray, FloatArray]:
    """Glyphs on a side of one, on its base and as high, and their gaps to it."""
    level = np.abs(seen.box[:, [1, 3]] - seen.box[k, [1, 3]]).max(1) <= LEVEL * high[k]
    between = (seen.box[:, 1] > seen.box[k, 1]) & (seen.box[:, 3] < seen.box[k, 3]) & side & (gap < GAP * high[k])
    most = (DASHED if between.any() else GAP) * high[k]  # A-2 is one row
    beside = np.flatnonzero(level & side & (gap > -OVER * high[k]) & (gap < most))
    return beside, gap[beside]


def _chance(value: str, row: list[FloatArray], filled: bool, read: GlyphReader) -> float | None:
    """The chance of its least sure letter; None where other letters are likely."""
    least = 1.0
    for letter, told in zip(value, read(row, filled), strict=True):
        like = SHAPES.get(letter, letter)
        mine = sum(share for other, share in told.items() if other in like)
        if any(share >= OTHER for other, share in told.items() if other not in like):
            return None
        least = min(least, mine)
    return least


def _as_word(
    value: str, box: FloatArray, angle: float, turn: FloatArray, filled: bool, sure: float, line: int
) -> Word:
    low, high = box[:, :2].min(0), box[:, 2:].max(0)
    corners = np.array([low, (low[0], high[1]), high, (high[0], low[1])]) @ turn.T
    (x0, y0), (x1, y1) = corners.min(0).tolist(), corners.max(0).tolist()
    page: Box = (x0, y0, x1, y1)
    size = float(high[1] - low[1]) / CAP
    return Word(value, page, angle, size, line, "", (0.0, 0.0, 0.0), "outline" if filled else "stroke", sure)


# ------------------------------------------------------------------------------------------ laid over it


def over_it(
    template: Template, pose: FloatArray, ink: Ink, but: str | None = None, *, paint: Paint, read: GlyphReader
) -> tuple[IntArray, IntArray]:
    """Segments, and numbers of painted areas, of words that are laid across the body: drawn letters side by side,
    each of them sure, that reach out of it.  Letters wholly inside it, or about its middle, may be its marks and
    are not among them.  With ``but``, of all such words about the body that have none of its letters."""
    height = _height(template, pose)
    reach = template.radius * float(pose[SCALE])
    centre = place(pose[None], template.centre[None])[0, 0]
    around = reach + 1.5 * height
    found = (_strokes(template, pose, ink, centre, around, height), _areas(paint, centre, around, height))
    if len(template.outline) < 4:
        return NOTHING, NOTHING
    body = shapely.Polygon(place(pose[None], template.outline)[0]).buffer(template.clear)
    strokes, areas = (_across(glyphs, body, centre, reach, read, but) for glyphs in found)
    return strokes, areas


def _across(
    glyphs: _Glyphs | None, body: BaseGeometry, centre: FloatArray, reach: float, read: GlyphReader, but: str | None
) -> IntArray:
    """What the sure letters of rows across the body are made of."""
    found = [NOTHING]
    if glyphs is None:
        return NOTHING
    for angle in UPRIGHT:
        seen, turn = glyphs.seen(angle), _turned(angle)
        for row in _whole_rows(seen):
            low, high = seen.box[row][:, :2].min(0), seen.box[row][:, 2:].max(0)
            corners = np.array([low, (low[0], high[1]), high, (high[0], low[1])]) @ turn.T
            out = not body.covers(shapely.MultiPoint(corners).convex_hull)
            if but is not None or (out and float(np.hypot(*(corners.mean(0) - centre))) > CENTRAL * reach):
                found += [seen.segments[k] for k in _sure(seen, row, read, but or "")]
    return np.unique(np.concatenate(found))


def _whole_rows(seen: _Glyphs) -> Iterator[list[int]]:
    """Rows of two letters or more, from end to end."""
    high = seen.box[:, 3] - seen.box[:, 1]
    for first in range(len(seen.xy)):
        if _before(seen, first, high) is not None:
            continue
        row = [first]
        while (after := _after(seen, row[-1], high)) is not None:
            row.append(after)
        if len(row) > 1:
            yield row


def _sure(seen: _Glyphs, row: list[int], read: GlyphReader, but: str) -> list[int]:
    """The sure letters of a row, if there are two, not of shapes that many things have, and none of ``but``."""
    told = read([seen.xy[k] for k in row], seen.filled)
    best = [max(chances.items(), key=lambda each: each[1], default=("", 0.0)) for chances in told]
    sure = [n for n, (letter, share) in enumerate(best) if share >= SURE and letter.isalnum()]
    plain = sum(best[n][0] in BARS for n in sure)
    barred = any(best[n][0] in but.upper() for n in range(len(best)) if best[n][0])
    return [row[n] for n in sure] if len(sure) - plain >= 2 and not barred else []


# --------------------------------------------------------------------------------------------- unread


def painted_letters(
    template: Template, pose: FloatArray, ink: Ink, words: Sequence[Word], *, paint: Paint, read: GlyphReader
) -> bool:
    """Are there outlined letters at a text mark of the template that none of the ``words`` is made of?

    They may be the mark's, overlaid by something: the reader of lettering takes what overlaps for other words.
    """
    if template.drawn.fills or not len(paint.shapes):
        return False
    height = _height(template, pose)
    known = shapely.union_all([shapely.box(*word.box).buffer(CAP) for word in words])
    for value, x, y in template.drawn.texts:
        elsewhere = over_it(template, pose, ink, value, paint=paint, read=read)[1]
        for spot in _spots(template, pose, np.array([x, y])):
            glyphs = _areas(paint, spot, 0.0, height)
            if glyphs is None:
                continue
            chances = [sum(read([xy], True)[0].values()) for xy in glyphs.xy]
            free = [
                n
                for n, (area,) in enumerate(glyphs.segments)
                if chances[n] >= LETTER and area not in elsewhere and not known.covers(paint.shapes[area].centroid)
            ]
            if len(free) >= min(2, len(value)):
                return True
    return False

"""Glyphs: what may be letters, put together from strokes or taken from small dark areas near a point, side by side.

Terms: *spot*, the page point where a text mark of a template has its middle; *glyph*, strokes that hang together,
or one filled area; *row*, glyphs side by side on one base; *short*, of strokes: not longer than a letter is high.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

import numpy as np
import shapely

from cordpath.geometry import components
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import among
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.pose import SCALE, into_frame, place
from cordpath.symbols.templates.orbits import orbits
from cordpath.symbols.templates.template import Template

# Takes the strokes (n, 4) of the glyphs of one row as read, and whether they are edges of areas; gives the chances
# of each one's letters.
GlyphReader = Callable[[Sequence[FloatArray], bool], list[dict[str, float]]]

TALLEST = 9.0  # pt, 1/8 in: longer strokes are no letters of a symbol
BODIES = 1.3  # body radii that a letter of a symbol is high at most
JOINED = 0.2  # pt between strokes of one glyph: two roundings to the plotter's grid of 0.12 pt
MOST_GLYPHS = 60  # near a spot; more is hatch or a note
WIDE, WIDEST = 1.3, 1.7  # times the greatest height: how large a letter is, and a W of a broad face set aslant
BOW = 340.0  # degrees of a circle from which it is whole: a mark's own, or a bead
CAP = 0.72  # of the font size
LEVEL = 0.2  # of the row's height, by which bases or tops of its letters differ at most
LEAST_HIGH = 0.7  # of its neighbour, that a letter of a row is high: J and Q hang down, and indices are smaller
# of the row's height: between letters of one row, with a dash, and by which slanted ones overlap
GAP, DASHED, OVER = 0.9, 1.8, 0.3


def remembered(read: GlyphReader) -> GlyphReader:
    """The reader, reading no row twice: templates with one body ask about the same letters."""
    known: dict[tuple[bool, tuple[bytes, ...]], list[dict[str, float]]] = {}

    def look_up(glyphs: Sequence[FloatArray], filled: bool) -> list[dict[str, float]]:
        key = (filled, tuple(glyph.tobytes() for glyph in glyphs))
        if key not in known:
            known[key] = read(glyphs, filled)
        return known[key]

    return look_up


@dataclass(frozen=True, eq=False)
class Glyphs:
    """Glyphs in a reading frame, from left to right."""

    xy: list[FloatArray]  # strokes (n, 4)
    segments: list[IntArray]  # what they are in the ink, or in the paint
    box: FloatArray  # (g, 4)
    filled: bool

    def seen(self, angle: float) -> Glyphs:
        """As seen by who reads in the direction ``angle`` of the page."""
        points = np.concatenate(self.xy).reshape(-1, 2) @ turned(angle)
        box = np.concatenate(_ends_of(points, self.xy), axis=1)
        order = np.argsort(box[:, 0], kind="stable")
        xy, cut = points.reshape(-1, 4), [0, *accumulate(len(row) for row in self.xy)]
        rows = [xy[cut[k] : cut[k + 1]] for k in order.tolist()]
        return Glyphs(rows, [self.segments[k] for k in order], box[order], self.filled)


def _ends_of(points: FloatArray, rows: Sequence[FloatArray]) -> tuple[FloatArray, FloatArray]:
    """(g, 2) lowest and (g, 2) highest of the ends ``points`` of the strokes in each of the rows."""
    first = [0, *accumulate(2 * len(row) for row in rows[:-1])]
    return np.minimum.reduceat(points, first), np.maximum.reduceat(points, first)


def turned(angle: float) -> FloatArray:
    """(2, 2) that brings points of the page, as rows, to the frame of who reads in that direction."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    return np.array([[c, s], [-s, c]])


# ---------------------------------------------------------------------------------------------- spots


def letter_height(template: Template, pose: FloatArray) -> float:
    """How high a letter of the symbol may be, pt."""
    return min(TALLEST, BODIES * template.radius * float(pose[SCALE]))


def spots_of(template: Template, pose: FloatArray, mark: FloatArray) -> FloatArray:
    """(s, 2) the places of the mark at all poses that put the lines on the same ink, each once."""
    spots, kept = every_spot(template, pose[None], mark)
    return spots[0][kept[0]]


def every_spot(template: Template, poses: FloatArray, mark: FloatArray) -> tuple[FloatArray, BoolArray]:
    """(n, k, 2) the places of the mark in the orbit of each pose, and which of them are not there already."""
    every = orbits(template, poses)
    spots = place(every.reshape(-1, 5), mark[None]).reshape(*every.shape[:2], 2)
    kept = np.zeros(spots.shape[:2], bool)
    for k in range(spots.shape[1]):
        apart = np.hypot(*(spots[:, :k] - spots[:, k : k + 1]).transpose(2, 0, 1))
        kept[:, k] = ((apart > 1.0) | ~kept[:, :k]).all(1)
    return spots, kept


def short_of(ink: Ink, k: IntArray, height: float, bows: bool = False) -> IntArray:
    """Those of the segments that are short, or (``bows``) bow as those of letters do."""
    k = k[k < ink.count]
    short = ink.run[k] <= height
    return k[(short | _bows(ink, k, height) if bows else short) & ~ink.hatch[k]]


def _bows(ink: Ink, k: IntArray, height: float) -> BoolArray:
    """(n,) chords of arcs that bow about as a letter's do: the bow of a D is longer than the letter is high."""
    circle = ink.arcs.circle_of(k)
    circles = ink.arcs.circles[circle] if len(ink.arcs.circles) else np.zeros((len(k), 4))
    return (circle >= 0) & (2 * circles[:, 2] <= height) & (circles[:, 3] < BOW)


def on_own_marks(template: Template, poses: FloatArray, xy: FloatArray, of: IntArray) -> BoolArray:
    """(n,) strokes that lie on marks of the template; stroke i is seen from pose ``of[i]``."""
    q = into_frame(poses, xy, of)
    points = shapely.points(np.stack([q[:, :2], (q[:, :2] + q[:, 2:]) / 2, q[:, 2:]], 1))
    return np.asarray((shapely.distance(points, template.lines) < template.tolerance).all(1), bool)


# --------------------------------------------------------------------------------------------- glyphs


def stroke_glyphs(
    template: Template,
    pose: FloatArray,
    ink: Ink,
    spot: FloatArray,
    reach: float,
    height: float,
    marks: bool = False,
    others: IntArray = NOBODYS,
) -> Glyphs | None:
    """Short strokes, without the template's own marks, put together where they touch; None for none.

    ``marks``: with the template's own marks, None where none of those is short.  ``others``: segments that are
    known to be letters of other words.
    """
    k = short_strokes(template, pose, ink, spot, reach, height, others, marks)
    return joined(ink, k, height)


def joined(ink: Ink, k: IntArray, height: float, gap: float = JOINED, wide: float = WIDE) -> Glyphs | None:
    """Segments put together where they touch, or lie nearer than ``gap`` pt, those of a letter's size; None for
    none.  ``wide``: times the height, how large they are at most."""
    if not 0 < len(k) <= 20 * MOST_GLYPHS:
        return None
    lines = shapely.linestrings(ink.xy[k].reshape(-1, 2, 2))
    one, two = shapely.STRtree(lines).query(lines, predicate="dwithin", distance=gap)
    once = one < two
    count, label = components(one[once], two[once], len(k))
    parts = np.split(k[np.argsort(label, kind="stable")], np.cumsum(np.bincount(label, minlength=count))[:-1])
    return _glyphs([ink.xy[part] for part in parts], parts, height, False, wide)


def short_strokes(
    template: Template,
    pose: FloatArray,
    ink: Ink,
    spot: FloatArray,
    reach: float,
    height: float,
    others: IntArray = NOBODYS,
    marks: bool = False,
    bows: bool = False,
) -> IntArray:
    """Segments that may be strokes of letters: see ``stroke_glyphs``.

    ``bows``: with arcs that turn as those of letters do, however long.
    """
    k = short_of(ink, ink.grid.near(spot[None], reach + 0.5 * height)[1], height, bows)
    k = k[~among(k, others)]
    if not len(k):
        return k
    own = on_own_marks(template, pose[None], ink.xy[k], np.zeros(len(k), np.int64))
    return (k if own.any() else k[:0]) if marks else k[~own]


def area_glyphs(
    paint: Paint, spot: FloatArray, reach: float, height: float, wide: float = WIDE, but: IntArray = NOBODYS
) -> Glyphs | None:
    """Small dark areas, each a glyph; ``wide``: times the height, how large they are at most.  ``but``: those that
    are marks, which may stand in line with the letters."""
    if not len(paint.shapes):
        return None
    near = np.sort(paint.tree.query(shapely.Point(spot), predicate="dwithin", distance=reach + 0.5 * height))
    near = near[~among(near, but)]
    edges = [paint.edges(piece) for piece in near.tolist()]
    return _glyphs(edges, [np.array([k]) for k in near], height, True, wide)


def _glyphs(
    xy: list[FloatArray], segments: list[IntArray], height: float, filled: bool, wide: float = WIDE
) -> Glyphs | None:
    """Those of a letter's size."""
    low, high = _ends_of(np.concatenate(xy).reshape(-1, 2), xy) if xy else (np.zeros((0, 2)), np.zeros((0, 2)))
    fit = np.flatnonzero((high - low).max(1) <= wide * height).tolist()
    if not 0 < len(fit) <= MOST_GLYPHS:
        return None
    return Glyphs([xy[k] for k in fit], [segments[k] for k in fit], np.zeros((len(fit), 4)), filled)


def rows_at(seen: Glyphs, letters: int, spot: FloatArray, radius: float) -> Iterator[list[int]]:
    """Glyphs side by side with their middle at the spot, as many as there are letters, and none more beside."""
    after, before = _sides(seen)
    for first in np.flatnonzero(before < 0).tolist():
        row = [first]
        while after[row[-1]] >= 0 and len(row) <= letters:
            row.append(int(after[row[-1]]))
        if len(row) != letters:
            continue
        low, top = seen.box[row][:, :2].min(0), seen.box[row][:, 2:].max(0)
        size = float(top[1] - low[1]) / CAP
        if float(np.hypot(*((low + top) / 2 - spot))) <= max(1.5, 0.6 * size, 0.15 * radius):
            yield row


def _sides(seen: Glyphs) -> tuple[IntArray, IntArray]:
    """(g,) the letter of its row that comes after each glyph, and the one that goes before; -1 for none."""
    left, right = seen.box[:, 0], seen.box[:, 2]
    ends = seen.box[:, [1, 3]]
    high = ends[:, 1] - ends[:, 0]
    own = high[:, None]
    level = (np.abs(ends[None] - ends[:, None]) <= LEVEL * own[..., None]).any(2)  # a J hangs under its word's base
    level &= np.minimum(high, own) >= LEAST_HIGH * np.maximum(high, own)
    between = (ends[None, :, 0] > ends[:, None, 0]) & (ends[None, :, 1] < ends[:, None, 1])
    after = _beside(high, level, between, left[None] - right[:, None], left[None] > left[:, None])
    before = _beside(high, level, between, left[:, None] - right[None], left[None] < left[:, None])
    return after, before


def _beside(high: FloatArray, level: BoolArray, between: BoolArray, gap: FloatArray, side: BoolArray) -> IntArray:
    """(g,) for each glyph the nearest one on a side of it, on its base or under its top and about as high; -1 for
    none.  ``high`` (g,); the others (g, g), from each, a row, to every other: ``level`` with it, ``between`` its
    base and its top, and ``gap`` and ``side``."""
    own = high[:, None]
    dash = between & side & (gap < GAP * own)
    most = np.where(dash.any(1), DASHED, GAP) * high  # A-2 is one row
    beside = level & side & (gap > -OVER * own) & (gap < most[:, None])
    nearest = np.argmin(np.where(beside, gap, np.inf), axis=1)
    return np.where(beside.any(1), nearest, -1)


def whole_rows(seen: Glyphs, overlaid: bool = False) -> Iterator[list[int]]:
    """Rows of two letters or more, from end to end.

    ``overlaid``: two texts may lie over each other, so that the letter before one goes on with another: such rows
    from that one on are among them, though they end as the others do.
    """
    after, before = _sides(seen)
    first_of = before < 0
    if overlaid:
        first_of |= after[before] != np.arange(len(before))
    for first in np.flatnonzero(first_of).tolist():
        row = [first]
        while after[row[-1]] >= 0:
            row.append(int(after[row[-1]]))
        if len(row) > 1:
            yield row

"""Marks of what is drawn in a box of a page, or beside a row of its legend: shapes as the mapping file writes them.

Terms: *middle*, the middle of the box around the strokes and fills that were taken: the origin of the marks.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath import geometry
from cordpath.geometry import lengths
from cordpath.model import (
    POINTS_PER_INCH,
    ArcMark,
    BoolArray,
    Box,
    CircleMark,
    FloatArray,
    IntArray,
    LineMark,
    Mark,
    Point,
    PolylineMark,
    Sheet,
    TextMark,
    Word,
)  # fmt: skip
from cordpath.symbols.examples.outlined_letters import running_out
from cordpath.symbols.ink.normalise import TOUCH, Ink, normalise
from cordpath.symbols.letters.glyphs import TALLEST

WHOLE_CIRCLE = 330.0  # degrees of chords from which a circle is whole: a bar may hide a chord or two
UNBROKEN = 0.99  # of a line's length is drawn: dashes leave gaps
MOST_SIDES = 10  # of a polygon; circles that writers draw in straight pieces have more
OFF_CIRCLE = 0.25  # pt between the middle of a polygon's side and its circle, from which it is seen to be straight
LEAST_INK = 3.0  # pt of stroke length, under which a box holds nothing that could be told
PAINTED = 0.9  # luminance under which a fill is a mark and not a white patch behind one
OPAQUE = 0.02
SPACE = 0.8  # of the text size: words of one run stand no farther apart
BEARING = 0.25  # of the text size: a word's box is larger than its letters
BACKGROUND = 2.5  # times the area of the strokes' box: larger fills behind all strokes are rooms and floors


def from_box(sheet: Sheet, box: Box, usable: BoolArray | None = None) -> tuple[Mark, ...]:
    """Marks of everything that is drawn wholly inside the box: inches on paper about the middle of the strokes.

    ``usable``: (strokes,) False for strokes that are somebody else's.

    Walls and hatch that go through the box drop out, because they are not wholly inside, and so do the words of a
    text that runs out of it.  Empty where nothing is.
    """
    inside = geometry.segments_in_box(sheet.strokes.xy, box) & sheet.strokes.ink()
    if usable is not None:
        inside &= usable
    painted = dark_fills(sheet, lambda bounds: is_inside(bounds, box))
    cut = letters_cut(sheet, box)
    painted = [ring for k, ring in enumerate(painted) if k not in cut]
    return marks_of(sheet, box, _running_out(sheet, box), inside, painted)


def letters_cut(sheet: Sheet, box: Box) -> set[int]:
    """Of the dark fills in a box, in their order, those that are letters of a label that it cuts."""
    x0, y0, x1, y1 = box
    near = (x0 - TALLEST, y0 - TALLEST, x1 + TALLEST, y1 + TALLEST)
    inner = dark_fills(sheet, lambda bounds: is_inside(bounds, box))
    around = dark_fills(sheet, lambda bounds: is_inside(bounds, near) & ~is_inside(bounds, box)) if inner else []
    return running_out(inner, around)


def _running_out(sheet: Sheet, box: Box) -> frozenset[int]:
    """Words that the box cuts, and those beside them in the same run of text: a dimension or a note."""
    inside = set(sheet.words_in(box).tolist())
    kept = {k for k in inside if _holds(box, sheet.words[k])}
    lines = {sheet.words[k].line for k in inside}
    if not lines:
        return frozenset()
    out = [word for k, word in enumerate(sheet.words) if word.line in lines and k not in kept]
    while out:  # a word taken away takes away its neighbours
        word = out.pop()
        beside = {k for k in kept if _beside(sheet.words[k], word)}
        out += [sheet.words[k] for k in beside]
        kept -= beside
    return frozenset(inside - kept)


def _beside(word: Word, other: Word) -> bool:
    gap = shapely.distance(shapely.box(*word.box), shapely.box(*other.box))
    return word.line == other.line and bool(gap <= SPACE * word.size)


def _holds(box: Box, word: Word) -> bool:
    """Is the word inside, but for the room that its box leaves above and below the letters?"""
    x0, y0, x1, y1 = word.box
    room = BEARING * word.size
    return x0 >= box[0] - room and y0 >= box[1] - room and x1 <= box[2] + room and y1 <= box[3] + room


def marks_of(
    sheet: Sheet, box: Box, not_words: frozenset[int], strokes: BoolArray, painted: list[FloatArray],
    also: frozenset[int] = frozenset(),
) -> tuple[Mark, ...]:  # fmt: skip
    xy, curve = sheet.strokes.xy[strokes], sheet.strokes.curve[strokes]
    painted = [ring for ring in painted if not _is_background(ring, xy)]
    if float(lengths(xy).sum()) < LEAST_INK and not painted:
        return ()
    middle = _middle(xy, painted)
    marks: list[Mark] = [*_strokes(xy, curve, middle)]
    marks += [PolylineMark(tuple(_inches(at, middle) for at in ring[:-1]), True, True) for ring in painted]
    for index in sorted({*sheet.words_in(box).tolist(), *also} - not_words):
        word = sheet.words[index]
        if word.text.strip() and word.origin == "font":
            marks.append(TextMark(word.text.strip(), _inches(word.at, middle)))
    return tuple(marks)


def _inches(at: FloatArray | Point, middle: Point) -> Point:
    return (float(at[0] - middle[0]) / POINTS_PER_INCH, float(at[1] - middle[1]) / POINTS_PER_INCH)


def _middle(xy: FloatArray, painted: list[FloatArray]) -> Point:
    points = np.concatenate([xy.reshape(-1, 2), *painted])
    low, high = points.min(axis=0), points.max(axis=0)
    return (float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2)


def _strokes(xy: FloatArray, curve: IntArray, middle: Point) -> list[Mark]:
    """Whole circles as circles, straight lines whole however many pieces they are drawn in, and everything else as
    the chords that were drawn, each once."""
    ink = normalise(xy, curve, np.ones(len(xy), bool), np.zeros((0, 4)))
    whole = (ink.arcs.circles[:, 3] >= WHOLE_CIRCLE) & ~_polygons(ink)
    marks: list[Mark] = [
        CircleMark(_inches(circle[:2], middle), float(circle[2]) / POINTS_PER_INCH)
        for circle in ink.arcs.circles[whole]
    ]
    loose = np.ones(ink.count, bool)
    loose[ink.arcs.stroke[whole[ink.arcs.circle]]] = False
    marks += [LineMark(_inches(row[:2], middle), _inches(row[2:], middle)) for row in _lines(ink, loose)]
    return marks


def _polygons(ink: Ink) -> BoolArray:
    """(c,) circles that are polygons to a reader: of few chords, each clearly off the circle."""
    count = len(ink.arcs.circles)
    chords = np.bincount(ink.arcs.circle, minlength=count)
    longest = np.zeros(count)
    np.maximum.at(longest, ink.arcs.circle, ink.lengths[ink.arcs.stroke])
    sagitta = longest**2 / (8 * np.maximum(ink.arcs.circles[:, 2], 1e-9))
    return (chords <= MOST_SIDES) & (sagitta > OFF_CIRCLE)


def _lines(ink: Ink, loose: BoolArray) -> FloatArray:
    """(l, 4) the loose segments of some ink, with those that go on in one straight line in one row.

    A template of splinters offers spotting no line long enough to begin with.  Dashes stay dashes, and so do the
    chords of flat curves, which stray from the straight line between their ends.
    """
    xy, run = ink.xy[: ink.count], ink.run_of
    straight = loose & ~ink.curved[: ink.count]
    if not straight.any():
        return xy[loose]
    whole = ink.runs
    start, step = whole[:, :2], whole[:, 2:] - whole[:, :2]
    extent = np.maximum(lengths(whole), 1e-9)
    out = xy.reshape(-1, 2, 2) - start[run][:, None]
    across = (
        np.abs(out[..., 0] * step[run][:, None, 1] - out[..., 1] * step[run][:, None, 0]) / extent[run][:, None]
    )
    stray = np.zeros(len(whole))
    np.maximum.at(stray, run, across.max(axis=1))
    inked = np.bincount(run, lengths(xy), len(whole))
    joined = (
        (stray <= TOUCH) & (inked >= UNBROKEN * extent) & (np.bincount(run[straight], minlength=len(whole)) > 1)
    )
    joined &= np.bincount(run[~straight], minlength=len(whole)) == 0
    return np.r_[xy[loose & ~joined[run]], whole[joined]]


def dark_fills(sheet: Sheet, wanted: Callable[[FloatArray], BoolArray]) -> list[FloatArray]:
    """Outlines of dark fills, each a (p, 2) closed ring; ``wanted`` tells from (m, 4) boxes of fills which."""
    fills = sheet.fills
    if not len(fills):
        return []
    dark = (fills.luminance < PAINTED) & (fills.opacity > OPAQUE)
    dark &= wanted(shapely.bounds(fills.shape))
    parts = shapely.get_parts(fills.shape[dark]) if dark.any() else []
    return [_ring(part) for part in parts if part.geom_type == "Polygon"]


def _ring(area: shapely.Polygon) -> FloatArray:
    """(p, 2) the closed ring round an area; edges to and fro lead to its holes, else an R were a solid blot."""
    ring = np.asarray(area.exterior.coords)[:, :2]
    for hole in area.interiors:
        inner = np.asarray(hole.coords)[:-1, :2]
        near = cKDTree(inner).query(ring)
        at = int(np.argmin(near[0]))
        start = int(near[1][at])
        ring = np.r_[ring[: at + 1], np.roll(inner, -start, axis=0), inner[start : start + 1], ring[at:]]
    return ring


def is_inside(bounds: FloatArray, box: Box) -> BoolArray:
    """(m,) Do boxes lie wholly inside the box?"""
    return np.asarray((bounds[:, :2] >= box[:2]).all(axis=1) & (bounds[:, 2:] <= box[2:]).all(axis=1), bool)


def _is_background(ring: FloatArray, xy: FloatArray) -> bool:
    """Does it lie behind all strokes, and is much larger?  A solid square with a tick at its side is a symbol."""
    if not len(xy):
        return False
    (x0, y0), (x1, y1) = xy.reshape(-1, 2).min(axis=0), xy.reshape(-1, 2).max(axis=0)
    area = shapely.Polygon(ring)
    larger = area.area > BACKGROUND * max(float((x1 - x0) * (y1 - y0)), 1.0)
    return larger and bool(area.covers(shapely.box(x0, y0, x1, y1)))


def scaled(marks: tuple[Mark, ...], factor: float) -> tuple[Mark, ...]:
    """The marks, ``factor`` times as large."""

    def at(point: Point) -> Point:
        return (point[0] * factor, point[1] * factor)

    out: list[Mark] = []
    for mark in marks:
        if isinstance(mark, LineMark):
            out.append(LineMark(at(mark.start), at(mark.end)))
        elif isinstance(mark, CircleMark):
            out.append(CircleMark(at(mark.center), mark.radius * factor))
        elif isinstance(mark, PolylineMark):
            out.append(PolylineMark(tuple(at(point) for point in mark.points), mark.closed, mark.filled))
        elif isinstance(mark, TextMark):
            out.append(TextMark(mark.value, at(mark.at)))
        else:
            out.append(ArcMark(at(mark.center), mark.radius * factor, mark.start, mark.end))
    return tuple(out)

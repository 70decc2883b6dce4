"""Shapes that the drawing repeats and the mapping file does not name.

What is left of the ink once symbols, walls and texts are taken away is grouped by nearness; groups of the size of a
symbol are compared by how their ink lies about their middle, which turning and mirroring do not change.

Terms: *group* and *profile* as in groups.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath import geometry
from cordpath.geometry import components
from cordpath.model import (
    POINTS_PER_INCH,
    WHITE,
    BoolArray,
    Box,
    FloatArray,
    IntArray,
    Mapping,
    Mark,
    Point,
    Sheet,
    Symbol,
    Unexplained,
)  # fmt: skip
from cordpath.symbols.examples.likeness import profile_of
from cordpath.symbols.examples.page_marks import from_box
from cordpath.symbols.ink.hatch import breadths
from cordpath.symbols.matching.paint import FAINTEST
from cordpath.symbols.unexplained.bubbles import numbered
from cordpath.symbols.unexplained.closed_bodies import closed_bodies
from cordpath.symbols.unexplained.groups import Groups, Profiled, profiled
from cordpath.symbols.unexplained.left_ink import LONGEST, left_ink, once
from cordpath.symbols.unexplained.likely import LARGEST, angular, arrows, like_symbols, plain, slashed
from cordpath.symbols.unexplained.minor import FURNITURE, TAGS, lettered, letters_in, minor
from cordpath.symbols.unexplained.outlines import CORE, TOUCHED, built_in, outlines
from cordpath.symbols.unexplained.pointers import pointers

Named = tuple[tuple[str, tuple[Mark, ...]], ...]  # names with their marks, inches on paper

# Of the length round a group's box. What encloses something has as much: a circle .785, a triangle from .77, a
# square on its corner .707. A leaf of a door (a V, .5), its swing (.64) or a homerun with its arrow (.6) has less.
ENCLOSES = 0.7
LEAST_TIMES = 3
MOST_SHAPES = 20  # shapes named one by one; the others are told in one line
ALIKE = 0.9  # pt, distance between two profiles: pens round to 1/600 in (0.12 pt) and chords cut corners
INK_WEIGHT = 12.0  # pt of profile distance for a factor e of ink
NEARLY = 1.2  # pt, as ALIKE, between a group and an outlet: rounding and chords of both count
# Of its box: a disc on stems is .3 of it, one that is half filled .15, a dot .05 or less (of the usual designs).
PAINT_APART = 0.08
MARGIN = 0.4  # pt about a shape's box: ends of strokes lie on its edge
MOST_MARKS = 300  # of a shape in a picture


@dataclass(frozen=True, eq=False)
class Left:
    """Shapes of a symbol's size that nothing explains, and (m, 4) the longer strokes that nothing does."""

    groups: Profiled
    long: FloatArray
    outlines: NDArray[np.object_]  # areas of what of it is closed, whatever hangs at it

    @property
    def encloses(self) -> BoolArray:
        """(g,) shapes with ink enough to enclose something, as the body of a device does."""
        return np.asarray(self.groups.ink >= ENCLOSES * self.groups.around, bool)

    @property
    def bodies(self) -> FloatArray:
        """(k, 4) boxes of these."""
        return self.groups.box[self.encloses]

    @cached_property
    def built_in(self) -> BoolArray:
        """(g,) shapes that are parts of the building rather than symbols on it."""
        return built_in(self.groups.box, self._frames, CORE)

    @property
    def closed(self) -> NDArray[np.object_]:
        """The closed outlines that are no parts of the building."""
        return self.outlines[~self.in_building(shapely.bounds(self.outlines).reshape(-1, 4))]

    def in_building(self, box: FloatArray) -> BoolArray:
        """(k,) which of the boxes (k, 4) of bodies are parts of the building."""
        return built_in(box, self._frames, TOUCHED)

    @cached_property
    def _frames(self) -> shapely.STRtree:
        """Lines of walls and frames, each once."""
        return shapely.STRtree(geometry.lines(once(self.long[geometry.lengths(self.long) > LONGEST])))


def left_over(sheet: Sheet, symbols: tuple[Symbol, ...], mapping: Mapping) -> Left | None:
    """What ``symbols`` leave of the ink, in shapes of a symbol's size; None where nothing is left."""
    xy, long = left_ink(sheet, symbols, mapping)
    # Without rows of hatch wider than symbols: with the cap of a hatched wall they were a shape at its end.
    # Those that paint a symbol reach no farther than it.
    xy = xy[breadths(xy, np.ones(len(xy), bool)) <= LARGEST]
    if not len(xy):
        return None
    groups = profiled(xy, lambda every: like_symbols(every, lettered(every, sheet) | slashed(every)))
    none = arrows(groups, long) | numbered(groups.box, sheet) | pointers(groups, xy, sheet, symbols)
    none |= outlines(groups, xy, angular(groups) & ~plain(groups) & ~lettered(groups, sheet))
    closed = closed_bodies(xy)
    return Left(groups.take(~none), long, closed[~numbered(shapely.bounds(closed).reshape(-1, 4), sheet)])


def leftovers(
    sheet: Sheet,
    symbols: tuple[Symbol, ...],
    mapping: Mapping,
    outlets: tuple[tuple[str, tuple[Mark, ...]], ...] = (),
    left: Left | None = None,
) -> tuple[Unexplained, ...]:
    """Shapes of a symbol's size, drawn three times or more, that nothing explains; most frequent first.

    Shapes of fewer times are told where they are drawn much like one of ``outlets``: names with their marks, inches
    on paper.
    """
    left = left or left_over(sheet, symbols, mapping)
    if left is None:
        return ()
    groups = left.groups
    told = _told(groups, left.built_in, letters_in(groups, sheet), _painted(groups, sheet))
    known = {place for rest in told for place in rest.at}
    return tuple(_pictured(rest, sheet) for rest in (*told, *nearly(groups, outlets, known)))


# ------------------------------------------------------------------------------------------- the telling


def _told(
    groups: Profiled, built_in: BoolArray, letters: NDArray[np.object_], painted: FloatArray
) -> tuple[Unexplained, ...]:
    n = len(groups)
    if n < LEAST_TIMES:
        return ()
    feature = np.c_[INK_WEIGHT * np.log(groups.ink), groups.profile]
    pairs = cKDTree(feature).query_pairs(ALIKE, output_type="ndarray")
    _, label = components(pairs[:, 0], pairs[:, 1], n)
    shapes: list[tuple[tuple[Point, ...], Box]] = []
    frames: list[tuple[Point, ...]] = []
    others: dict[str, list[tuple[Point, ...]]] = {FURNITURE: [], TAGS: []}
    for name in np.flatnonzero(np.bincount(label) >= LEAST_TIMES):
        which = np.flatnonzero(label == name)
        places = _places(groups, which)
        if 2 * built_in[which].sum() >= len(which):
            frames.append(places)
        elif (likely := minor(groups, which, letters)) is not None:
            others[likely].append(places)
        else:
            alike = _alike_in_paint(painted, which)
            shapes += [(_places(groups, each), _plainest(groups, each)) for each in alike]
    shapes.sort(key=lambda shape: (-len(shape[0]), shape[0]))
    told = [
        Unexplained(f"a shape drawn {times_drawn(len(places))} that the mapping file does not name", places, box)
        for places, box in shapes[:MOST_SHAPES]
    ]
    # Nothing is left out, but what is many or most likely construction takes one line.
    told += _together([places for places, _ in shapes[MOST_SHAPES:]], "further shape", "")
    told += _together(sorted(frames), "shape", " within walls, windows or other lines")
    for likely, each in others.items():
        told += (replace(item, minor=True) for item in _together(sorted(each), "shape", f" {likely}"))
    return tuple(told)


def _painted(groups: Groups, sheet: Sheet) -> FloatArray:
    """(g,) share of each group's box that is painted by what lies in it, letters left out."""
    fills = sheet.fills
    dark = fills.shape[(fills.luminance < WHITE) & (fills.opacity > FAINTEST)] if len(fills) else fills.shape
    x0, y0, x1, y1 = groups.box.T
    within = shapely.box(x0 - MARGIN, y0 - MARGIN, x1 + MARGIN, y1 + MARGIN)
    group, fill = shapely.STRtree(dark).query(within, predicate="contains")
    words = shapely.STRtree([shapely.box(*word.box) for word in sheet.words if word.origin != "font"])
    letters = np.zeros(len(dark), bool)
    letters[words.query(shapely.point_on_surface(dark), predicate="intersects")[0]] = True
    area = np.bincount(group, np.where(letters, 0.0, shapely.area(dark))[fill], len(groups))
    return np.asarray(area / np.maximum((x1 - x0) * (y1 - y0), 1.0), float)


def _alike_in_paint(painted: FloatArray, which: IntArray) -> list[IntArray]:
    """The groups of one shape, apart where some of them are painted as others are not: named after one of these, a
    plain outlet were the solid one that protects itself."""
    order = which[np.argsort(painted[which], kind="stable")]
    return np.split(order, np.flatnonzero(np.diff(painted[order]) > PAINT_APART) + 1)


def times_drawn(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def _together(shapes: list[tuple[Point, ...]], word: str, where: str) -> tuple[Unexplained, ...]:
    if not shapes:
        return ()
    count = f"{len(shapes)} {word}{'s' if len(shapes) > 1 else ''}"
    what = f"{count}{where}, drawn {LEAST_TIMES} times or more, that the mapping file does not name"
    return (Unexplained(what, tuple(place for places in shapes for place in places)),)


def nearly(groups: Profiled, outlets: Named, known: set[Point]) -> Iterator[Unexplained]:
    """Groups drawn much like an outlet of the mapping file, which was not found there."""
    taken = np.zeros(len(groups), bool)
    for name, marks in outlets:
        ink, profile = profile_of(marks)
        if not ink or not len(groups):
            continue
        apart = np.c_[
            INK_WEIGHT * np.log(groups.ink / (ink * POINTS_PER_INCH)), groups.profile - profile * POINTS_PER_INCH
        ]
        which = np.flatnonzero((np.hypot.reduce(apart, axis=1) <= NEARLY) & ~taken)
        taken[which] = True
        at = tuple(place for place in _places(groups, which) if place not in known)
        if at:
            times = f", {len(at)} times" if len(at) > 1 else ""
            yield Unexplained(f"a shape drawn much like '{name}' that could not be matched{times}", at)


def _pictured(rest: Unexplained, sheet: Sheet) -> Unexplained:
    """With the marks of the shape at its plainest place."""
    if rest.box is None:
        return rest
    x0, y0, x1, y1 = rest.box
    marks = from_box(sheet, (x0 - MARGIN, y0 - MARGIN, x1 + MARGIN, y1 + MARGIN))
    return replace(rest, marks=marks[:MOST_MARKS])


def _plainest(groups: Groups, rows: IntArray) -> Box:
    """The box of the one with the least ink, which nothing crosses; of equals the first from the top."""
    box = groups.box[rows]
    order = np.lexsort((box[:, 0], box[:, 1], np.rint(groups.ink[rows])))
    x0, y0, x1, y1 = box[order[0]].tolist()
    return (x0, y0, x1, y1)


def _places(groups: Profiled, which: IntArray) -> tuple[Point, ...]:
    """Where a shape is drawn, top to bottom."""
    middle = (groups.box[which, :2] + groups.box[which, 2:]) / 2
    order = np.lexsort((middle[:, 0], middle[:, 1]))
    return tuple((float(x), float(y)) for x, y in middle[order])

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
from cordpath.symbols.unexplained.bubbles import numbered
from cordpath.symbols.unexplained.closed_bodies import Bodies, closed_bodies
from cordpath.symbols.unexplained.groups import Groups, Profiled, profiled
from cordpath.symbols.unexplained.left_ink import LONGEST, left_ink, once
from cordpath.symbols.unexplained.minor import FURNITURE, TAGS, lettered, letters_in, minor
from cordpath.symbols.unexplained.outlines import CORE, TOUCHED, built_in, outlines
from cordpath.symbols.unexplained.pointers import pointers

Named = tuple[tuple[str, tuple[Mark, ...]], ...]  # names with their marks, inches on paper

SMALLEST, LARGEST = 3.6, 28.8  # pt, 0.05 and 0.4 in: sizes of symbols on paper (common practice, no source)
LEAST_INK = 12.0  # pt of stroke length: less is a tick, a dash or a speck
# Of the length round a group's box. What encloses something has as much: a circle .785, a triangle from .77, a
# square on its corner .707. A leaf of a door (a V, .5), its swing (.64) or a homerun with its arrow (.6) has less.
ENCLOSES = 0.7
LEAST_TIMES = 3
MOST_SHAPES = 20  # shapes named one by one; the others are told in one line
ALIKE = 0.9  # pt, distance between two profiles: pens round to 1/600 in (0.12 pt) and chords cut corners
INK_WEIGHT = 12.0  # pt of profile distance for a factor e of ink
ARROW = 10.0  # pt: larger things at the end of a line are no arrowheads or ticks
TIP_TO_TIP = 5.0  # pt across: two arrowheads where dimensions meet are twice as long, and no wider than one
STRAIGHT = 0.8  # of the ink of a rectangle, cross or corner lies in its one or two directions
RECTANGLE = 1.15  # of the way around a box: the ink of a rectangle has so much, with a little to spare
PLAIN_LINES = SIDES = 4  # of a rectangle; one with stems, as receptacles of some offices are, has more
ASLANT = 0.2  # of each side of a box that a slash in it reaches over: panes of windows lie along a side
ROW_GAP, ROW_HEIGHT = 0.9, 1.5  # letters of a row: gap and ratio of heights
NEARLY = 1.2  # pt, as ALIKE, between a group and an outlet: rounding and chords of both count
MARGIN = 0.4  # pt about a shape's box: ends of strokes lie on its edge
MOST_MARKS = 300  # of a shape in a picture


@dataclass(frozen=True, eq=False)
class Left:
    """Shapes of a symbol's size that nothing explains, and (m, 4) the longer strokes that nothing does."""

    groups: Profiled
    long: FloatArray
    outlines: Bodies  # what of it is closed, whatever hangs at it
    heads: NDArray[np.object_]  # areas of closed triangles as small as arrowheads

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
    def closed(self) -> Bodies:
        """The closed outlines that are no parts of the building."""
        return self.outlines.take(~self.in_building(self.outlines.box))

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
    groups = profiled(xy, lambda every: like_symbols(every, lettered(every, sheet) | _slashed(every)))
    none = _arrows(groups, long) | numbered(groups.box, sheet) | pointers(groups, xy, sheet, symbols)
    none |= outlines(groups, xy, _angular(groups) & ~plain(groups) & ~lettered(groups, sheet))
    closed, heads = closed_bodies(xy)
    return Left(groups.take(~none), long, closed.take(~numbered(closed.box, sheet)), heads)


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
    told = _told(groups, left.built_in, letters_in(groups, sheet))
    known = {place for rest in told for place in rest.at}
    return tuple(_pictured(rest, sheet) for rest in (*told, *nearly(groups, outlets, known)))


# ------------------------------------------------------------------------------- what is no symbol


def _sized(box: FloatArray, ink: FloatArray) -> BoolArray:
    """(g,) groups with the size and the ink of a symbol."""
    size = np.maximum(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1])
    return np.asarray((size >= SMALLEST) & (size <= LARGEST) & (ink >= LEAST_INK), bool)


def like_symbols(groups: Groups, bearing: BoolArray | None = None) -> BoolArray:
    """Size and ink of a symbol, no plain figure but those ``bearing`` a mark, and no letter of a row."""
    none = plain(groups) if bearing is None else plain(groups) & ~bearing
    return _sized(groups.box, groups.ink) & ~none & ~_letters(groups)


def plain(groups: Groups) -> BoolArray:
    """(g,) no more than a rectangle, cross or corner."""
    return _angular(groups) & (groups.lines <= PLAIN_LINES)


def _slashed(groups: Groups) -> BoolArray:
    """(g,) boxes with one other group in them, a slash."""
    size = groups.box[:, 2:] - groups.box[:, :2]
    boxes = np.flatnonzero(plain(groups) & (groups.lines == SIDES) & (size.max(axis=1) <= LARGEST))
    found = np.zeros(len(groups), bool)
    inner, box = shapely.STRtree(shapely.box(*groups.box[boxes].T)).query(
        shapely.box(*groups.box.T), predicate="within"
    )
    box = boxes[box]
    inner, box = inner[inner != box], box[inner != box]
    once = np.bincount(box, minlength=len(groups))[box] == 1
    aslant = (
        (size[inner] >= ASLANT * size[box]).all(axis=1) & (groups.lines[inner] == 1) & (groups.ways[inner] == 1)
    )
    found[box[once & aslant]] = True
    return found


def _angular(groups: Groups) -> BoolArray:
    """(g,) in one or two directions, and with no more ink than a rectangle has."""
    straight = (groups.ways <= 2) & (groups.straight >= STRAIGHT)
    return np.asarray(straight & (groups.ink <= RECTANGLE * groups.around), bool)


def _letters(groups: Groups) -> BoolArray:
    """Groups that stand in a row with groups of about their height, as letters do."""
    size = groups.box[:, 2:] - groups.box[:, :2]
    letter = np.zeros(len(size), bool)
    small = np.flatnonzero((size.max(axis=1) <= LARGEST / 2) & (size.max(axis=1) >= SMALLEST / 2))
    if len(small) < 3:
        return letter
    middle = (groups.box[small, :2] + groups.box[small, 2:]) / 2
    pairs = cKDTree(middle).query_pairs(LARGEST * 0.75, output_type="ndarray")
    one, two = small[pairs[:, 0]], small[pairs[:, 1]]
    in_row = np.zeros(len(one), bool)
    for along, across in ((0, 1), (1, 0)):
        tall = size[one, across], size[two, across]
        alike = np.maximum(*tall) <= ROW_HEIGHT * np.minimum(*tall)
        shift = np.abs(groups.box[one, across] - groups.box[two, across])
        shift = np.minimum(shift, np.abs(groups.box[one, across + 2] - groups.box[two, across + 2]))
        low = np.maximum(groups.box[one, along], groups.box[two, along])
        high = np.minimum(groups.box[one, along + 2], groups.box[two, along + 2])
        in_row |= alike & (shift <= 0.25 * tall[0]) & (low - high <= ROW_GAP * np.maximum(*tall))
    # One neighbour is not enough for small things: a symbol and its twin can stand side by side.
    near = np.bincount(np.r_[one[in_row], two[in_row]], minlength=len(size))
    letter = near >= 2
    beside = np.zeros(len(size), bool)
    beside[one[in_row & letter[two]]] = True
    beside[two[in_row & letter[one]]] = True
    return letter | beside


def _arrows(groups: Profiled, long: FloatArray) -> BoolArray:
    """Small simple groups at the end of a line: ticks and arrowheads of dimensions and leaders."""
    found = np.zeros(len(groups), bool)
    across = (groups.box[:, 2:] - groups.box[:, :2]).min(axis=1, initial=np.inf)
    small = (groups.size <= ARROW) | ((groups.size <= 2 * ARROW) & (across <= TIP_TO_TIP))
    simple = small & (groups.ways <= 4)
    if simple.any() and len(long):
        near, _ = cKDTree(long.reshape(-1, 2)).query(groups.middle[simple])
        found[simple] = near <= groups.size[simple] * 0.75
    return found


# ------------------------------------------------------------------------------------------- the telling


def _told(groups: Profiled, built_in: BoolArray, letters: NDArray[np.object_]) -> tuple[Unexplained, ...]:
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
            shapes.append((places, _plainest(groups, which)))
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

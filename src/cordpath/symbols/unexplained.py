"""Shapes that the drawing repeats and the mapping file does not name.

What is left of the ink once symbols, walls and texts are taken away is grouped by nearness; groups of the size of a
symbol are compared by how their ink lies about their middle, which turning and mirroring do not change.

Terms: *group*, strokes that lie within LINK of each other, one after the other.  *Profile*, the distances from the
group's middle within which 5, 15, ... 95 % of its ink lies.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fnmatch import fnmatchcase

import numpy as np
import shapely
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from cordpath import geometry
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
from cordpath.symbols.grid import sorted_unique
from cordpath.symbols.likeness import profile_of
from cordpath.symbols.page_marks import from_box

Named = tuple[tuple[str, tuple[Mark, ...]], ...]  # names with their marks, inches on paper

LINK = 0.6  # pt: cells of ink that touch, also by a corner, are one group; joins gaps of up to 1.2 pt
MOST_CELLS = 3_000_000  # ink cells of a sheet; a denser sheet gets coarser cells
LONGEST = 30.0  # pt: longer strokes are walls, dimensions and wiring
SMALLEST, LARGEST = 3.6, 28.8  # pt, 0.05 and 0.4 in: sizes of symbols on paper (common practice, no source)
MOST_PAGE = 40_000_000  # cells of a page, of 4 bytes, that are numbered in a table
LEAST_INK = 12.0  # pt of stroke length: less is a tick, a dash or a speck
# Of the length round a group's box. What encloses something has as much: a circle .785, a triangle from .77, a
# square on its corner .707. A leaf of a door (a V, .5), its swing (.64) or a homerun with its arrow (.6) has less.
ENCLOSES = 0.7
LEAST_TIMES = 3
MOST_SHAPES = 20  # shapes named one by one; the others are told in one line
ALIKE = 0.9  # pt, distance between two profiles: pens round to 1/600 in (0.12 pt) and chords cut corners
INK_WEIGHT = 12.0  # pt of profile distance for a factor e of ink
STEP = 0.6  # pt between samples of a stroke
SAME = 0.25  # pt: strokes whose ends agree so far were drawn twice
ARROW = 10.0  # pt: larger things at the end of a line are no arrowheads or ticks
SHAFT = 15.0  # pt: longer than any stroke of such an arrowhead
DIRECTION_BINS = 18  # of 10 degrees
DIRECTION_SHARE = 0.06  # of a group's ink before a direction counts
STRAIGHT = 0.8  # of the ink of a rectangle, cross or corner lies in its one or two directions
BUILT_IN = 3  # long strokes through a group: the frame of a window or a door, the end of a wall
CORE = 0.7  # of a group's box, about its middle: a wall's face that a symbol only touches does not count
ROW_GAP, ROW_HEIGHT = 0.9, 1.5  # letters of a row: gap and ratio of heights
NEARLY = 1.2  # pt, as ALIKE, between a group and an outlet: rounding and chords of both count
MARGIN = 0.4  # pt about a shape's box: ends of strokes lie on its edge
MOST_MARKS = 300  # of a shape in a picture
LEVELS = np.linspace(0.05, 0.95, 10)


@dataclass(frozen=True, eq=False)
class _Groups:
    """Groups of strokes, one row each."""

    box: FloatArray  # (g, 4)
    ink: FloatArray  # (g,) stroke length, pt
    ways: IntArray  # (g,) directions that carry ink
    straight: FloatArray  # (g,) share of the ink that those directions carry; little of a curve's
    middle: FloatArray  # (g, 2) of the ink
    profile: FloatArray  # (g, 10)

    def take(self, which: BoolArray) -> _Groups:
        return _Groups(
            self.box[which], self.ink[which], self.ways[which], self.straight[which], self.middle[which],
            self.profile[which],
        )  # fmt: skip

    def __len__(self) -> int:
        return len(self.ink)

    @property
    def size(self) -> FloatArray:
        return np.asarray(np.maximum(self.box[:, 2] - self.box[:, 0], self.box[:, 3] - self.box[:, 1]))


@dataclass(frozen=True, eq=False)
class Left:
    """Shapes of a symbol's size that nothing explains, and (m, 4) the longer strokes that nothing does."""

    groups: _Groups
    long: FloatArray

    @property
    def bodies(self) -> FloatArray:
        """(g, 4) boxes of the shapes with ink enough to enclose something, as the body of a device does."""
        box = self.groups.box
        around = 2 * (box[:, 2:] - box[:, :2]).sum(axis=1)
        return box[self.groups.ink >= ENCLOSES * around]


def left_over(sheet: Sheet, symbols: tuple[Symbol, ...], mapping: Mapping) -> Left | None:
    """What ``symbols`` leave of the ink, in shapes of a symbol's size; None where nothing is left."""
    xy, long = _left_ink(sheet, symbols, mapping)
    if not len(xy):
        return None
    groups = _grouped(xy)
    groups = groups.take(~_letters(groups))
    groups = groups.take(_like_symbols(groups))
    return Left(groups.take(~_arrows(groups, long) & ~_numbered(groups, sheet)), long)


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
    groups, long = left.groups, left.long
    told = _told(groups, _built_in(groups, long))
    known = {place for rest in told for place in rest.at}
    return tuple(_pictured(rest, sheet) for rest in (*told, *_nearly(groups, outlets, known)))


# ------------------------------------------------------------------------------------------ what is left


def _left_ink(sheet: Sheet, symbols: tuple[Symbol, ...], mapping: Mapping) -> tuple[FloatArray, FloatArray]:
    """(n, 4) short strokes that nothing explains, and (m, 4) the longer ones."""
    strokes = sheet.strokes
    free = strokes.ink()
    for symbol in symbols:
        free[symbol.strokes] = False
    free &= _on_layers(sheet, mapping)
    length = geometry.lengths(strokes.xy)
    long = strokes.xy[free & (length > SHAFT)]
    free &= (length <= LONGEST) & (length > 0)
    which = np.flatnonzero(free)
    middle = geometry.midpoints(strokes.xy[which])
    which = which[~_accounted(middle, sheet, symbols)]
    return _once(strokes.xy[which]), long


def _on_layers(sheet: Sheet, mapping: Mapping) -> BoolArray:
    """(n,) True for strokes on layers where the mapping file looks for devices."""
    drawing = mapping.drawing
    away = [_named(layer, (*drawing.wall_layers, *drawing.ignore_layers)) for layer in sheet.layers]
    if drawing.device_layers:
        away = [not _named(layer, drawing.device_layers) for layer in sheet.layers]
    keep = ~np.array([*away, bool(drawing.device_layers) and bool(sheet.layers)])  # the last: strokes on no layer
    return keep[sheet.strokes.layer]


def _named(layer: str, patterns: tuple[str, ...]) -> bool:
    return any(fnmatchcase(layer.upper(), pattern.upper()) for pattern in patterns)


def _accounted(at: FloatArray, sheet: Sheet, symbols: tuple[Symbol, ...]) -> BoolArray:
    """(n,) True for points in legend, schedule or title block, in a symbol, or in a word drawn as strokes."""
    found = np.zeros(len(at), bool)
    areas = [shapely.box(*region.box) for region in sheet.regions]
    areas += [shapely.buffer(symbol.footprint, 1.0) for symbol in symbols]
    # Words that are strokes, and letters that a hidden text layer repeats; text of a font is not among the strokes.
    areas += [shapely.box(*word.box).buffer(0.15 * word.size) for word in sheet.words if word.origin != "font"]
    if areas and len(at):
        point, _ = shapely.STRtree(np.array(areas, dtype=object)).query(shapely.points(at), predicate="intersects")
        found[point] = True
    return found


def _once(xy: FloatArray) -> FloatArray:
    """Strokes that were drawn twice, once."""
    ends = np.rint(xy / SAME).astype(np.int64)
    swap = (ends[:, 0] > ends[:, 2]) | ((ends[:, 0] == ends[:, 2]) & (ends[:, 1] > ends[:, 3]))
    ends[swap] = ends[swap][:, [2, 3, 0, 1]]
    order = np.lexsort(ends.T)
    same = np.r_[False, (np.diff(ends[order], axis=0) == 0).all(axis=1)] if len(xy) else np.zeros(0, bool)
    return xy[np.sort(order[~same])]


# ------------------------------------------------------------------------------------------ the groups


def _grouped(xy: FloatArray) -> _Groups:
    length = geometry.lengths(xy)
    step = max(STEP, float(length.sum()) / MOST_CELLS)
    count = np.maximum(np.ceil(length / step).astype(np.int64), 1) + 1
    stroke = np.repeat(np.arange(len(xy)), count)
    place = np.arange(len(stroke)) - np.repeat(np.cumsum(count) - count, count)
    part = place / (count[stroke] - 1)
    at = xy[stroke, :2] + part[:, None] * (xy[stroke, 2:] - xy[stroke, :2])
    label = _connected(at, max(LINK, step))
    group = label[np.cumsum(count) - count]  # of each stroke: all its samples are connected
    order = np.argsort(group, kind="stable")
    first = np.flatnonzero(np.r_[True, np.diff(group[order]) != 0])
    low = np.minimum.reduceat(np.minimum(xy[:, :2], xy[:, 2:])[order], first)
    high = np.maximum.reduceat(np.maximum(xy[:, :2], xy[:, 2:])[order], first)
    names, group = np.unique(group, return_inverse=True)
    ink = np.asarray(np.bincount(group, length), float)
    weight = (length / count)[stroke]
    middle, profile = _profiles(at, group[stroke], weight, _sized(np.c_[low, high], ink))
    return _Groups(np.c_[low, high], ink, *_ways(xy, length, group, len(names)), middle, profile)


def _sized(box: FloatArray, ink: FloatArray) -> BoolArray:
    """(g,) groups with the size and the ink of a symbol."""
    size = np.maximum(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1])
    return np.asarray((size >= SMALLEST) & (size <= LARGEST) & (ink >= LEAST_INK), bool)


def _connected(at: FloatArray, cell: float) -> IntArray:
    """(n,) group of each sample: cells with ink that touch by a side or a corner are connected."""
    ij = np.floor((at - at.min(axis=0)) / cell).astype(np.int64)
    width = int(ij[:, 1].max()) + 3
    key = ij[:, 0] * width + ij[:, 1] + 1
    cells, number = _cells(key, width + 1)
    one, two = [], []
    for offset in (1, width - 1, width, width + 1):  # the neighbours that come later
        beside = number(cells + offset)
        hit = np.flatnonzero(beside >= 0)
        one.append(hit)
        two.append(beside[hit])
    first, second = np.concatenate(one), np.concatenate(two)
    graph = coo_matrix((np.ones(len(first), np.int8), (first, second)), shape=(len(cells),) * 2)
    _, label = connected_components(graph, directed=False)
    return np.asarray(label[number(key)], np.int64)


def _cells(key: IntArray, beyond: int) -> tuple[IntArray, Callable[[IntArray], IntArray]]:
    """The cells with ink, ascending, and the function from cells to their numbers among these, -1 for no ink.

    A table is several times faster than sorting the samples, but not for pages as large as a wall.
    """
    most = int(key.max()) + 1 + beyond
    if most > MOST_PAGE:
        cells = sorted_unique(key)

        def looked_up(wanted: IntArray) -> IntArray:
            at = np.minimum(np.searchsorted(cells, wanted), len(cells) - 1)
            return np.where(cells[at] == wanted, at, -1)

        return cells, looked_up
    table = np.full(most, -1, np.int32)
    table[key] = 0
    cells = np.flatnonzero(table == 0)
    table[cells] = np.arange(len(cells), dtype=np.int32)
    return cells, lambda wanted: np.asarray(table[wanted], np.int64)


def _profiles(
    at: FloatArray, group: IntArray, weight: FloatArray, sized: BoolArray
) -> tuple[FloatArray, FloatArray]:
    """(g, 2) middles and (g, levels) profiles of the ``sized`` groups; of the others, which are most of the ink and
    are dropped as no symbols, zeros."""
    number = np.cumsum(sized) - 1
    mine = np.flatnonzero(sized[group])
    own = _own_profiles(at[mine], number[group[mine]], weight[mine], int(sized.sum()))
    middle, profile = np.zeros((len(sized), 2)), np.zeros((len(sized), len(LEVELS)))
    middle[sized], profile[sized] = own
    return middle, profile


def _own_profiles(at: FloatArray, group: IntArray, weight: FloatArray, n: int) -> tuple[FloatArray, FloatArray]:
    if not n:
        return np.zeros((0, 2)), np.zeros((0, len(LEVELS)))
    total = np.bincount(group, weight, n)
    middle = (
        np.c_[np.bincount(group, weight * at[:, 0], n), np.bincount(group, weight * at[:, 1], n)] / total[:, None]
    )
    away = np.hypot(*(at - middle[group]).T)
    order = np.lexsort((away, group))
    ink = np.cumsum(weight[order])
    last = np.cumsum(np.bincount(group, minlength=n))
    before = np.r_[0.0, ink[last[:-1] - 1]]
    wanted = before[:, None] + LEVELS * total[:, None]
    index = np.minimum(np.searchsorted(ink, wanted.ravel()).reshape(wanted.shape), (last - 1)[:, None])
    return middle, away[order][index]


def _ways(xy: FloatArray, length: FloatArray, group: IntArray, n: int) -> tuple[IntArray, FloatArray]:
    """(g,) how many directions carry a group's ink, and what share of it.

    A direction on the edge of two bins counts once.
    """
    bins = np.rint(geometry.directions(xy) / np.pi * DIRECTION_BINS).astype(np.int64) % DIRECTION_BINS
    table = np.bincount(group * DIRECTION_BINS + bins, length, n * DIRECTION_BINS).reshape(n, DIRECTION_BINS)
    total = table.sum(axis=1, keepdims=True)
    carries = table > DIRECTION_SHARE * total
    return np.asarray(carries.sum(axis=1), np.int64), (table * carries).sum(axis=1) / total[:, 0]


# ------------------------------------------------------------------------------- what is no symbol


def _like_symbols(groups: _Groups) -> BoolArray:
    """Size and ink of a symbol, and more than a plain rectangle, cross or corner."""
    around = 2 * (groups.box[:, 2:] - groups.box[:, :2]).sum(axis=1)
    plain = (groups.ways <= 2) & (groups.straight >= STRAIGHT) & (groups.ink <= 1.15 * around)
    return _sized(groups.box, groups.ink) & ~plain


def _letters(groups: _Groups) -> BoolArray:
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


def _arrows(groups: _Groups, long: FloatArray) -> BoolArray:
    """Small simple groups at the end of a line: ticks and arrowheads of dimensions and leaders."""
    found = np.zeros(len(groups), bool)
    simple = (groups.size <= ARROW) & (groups.ways <= 4)
    if simple.any() and len(long):
        near, _ = cKDTree(long.reshape(-1, 2)).query(groups.middle[simple])
        found[simple] = near <= groups.size[simple] * 0.75
    return found


def _built_in(groups: _Groups, long: FloatArray) -> BoolArray:
    """Groups that several walls' or frames' lines run into: parts of the building rather than symbols on it."""
    lines = long[geometry.lengths(long) > LONGEST]
    if not len(lines) or not len(groups):
        return np.zeros(len(groups), bool)
    middle = (groups.box[:, :2] + groups.box[:, 2:]) / 2
    half = CORE * (groups.box[:, 2:] - groups.box[:, :2]) / 2
    cores = shapely.box(*np.c_[middle - half, middle + half].T)
    group, _ = shapely.STRtree(geometry.lines(_once(lines))).query(cores, predicate="intersects")
    return np.asarray(np.bincount(group, minlength=len(groups)) >= BUILT_IN, bool)


def _numbered(groups: _Groups, sheet: Sheet) -> BoolArray:
    """Groups with a number inside: bubbles of keynotes, doors, windows and grids."""
    found = np.zeros(len(groups), bool)
    at = np.array([word.at for word in sheet.words if word.text.strip().isdigit()]).reshape(-1, 2)
    if len(at) and len(found):
        _, group = shapely.STRtree(shapely.box(*groups.box.T)).query(shapely.points(at), predicate="within")
        found[group] = True
    return found


# ------------------------------------------------------------------------------------------- the telling


def _told(groups: _Groups, built_in: BoolArray) -> tuple[Unexplained, ...]:
    n = len(groups)
    if n < LEAST_TIMES:
        return ()
    feature = np.c_[INK_WEIGHT * np.log(groups.ink), groups.profile]
    pairs = cKDTree(feature).query_pairs(ALIKE, output_type="ndarray")
    graph = coo_matrix((np.ones(len(pairs)), (pairs[:, 0], pairs[:, 1])), shape=(n, n))
    _, label = connected_components(graph, directed=False)
    shapes: list[tuple[tuple[Point, ...], Box]] = []
    frames: list[tuple[Point, ...]] = []
    for name in np.flatnonzero(np.bincount(label) >= LEAST_TIMES):
        which = label == name
        places = _places(groups, which)
        if 2 * built_in[which].sum() >= which.sum():
            frames.append(places)
        else:
            shapes.append((places, _plainest(groups, which)))
    shapes.sort(key=lambda shape: (-len(shape[0]), shape[0]))
    told = [
        Unexplained(f"a shape drawn {len(places)} times that the mapping file does not name", places, box)
        for places, box in shapes[:MOST_SHAPES]
    ]
    # Nothing is left out, but what is many or most likely construction takes one line.
    told += _together([places for places, _ in shapes[MOST_SHAPES:]], "further shape", "")
    return (*told, *_together(sorted(frames), "shape", " within walls, windows or other lines"))


def _together(shapes: list[tuple[Point, ...]], word: str, where: str) -> tuple[Unexplained, ...]:
    if not shapes:
        return ()
    count = f"{len(shapes)} {word}{'s' if len(shapes) > 1 else ''}"
    what = f"{count}{where}, drawn {LEAST_TIMES} times or more, that the mapping file does not name"
    return (Unexplained(what, tuple(place for places in shapes for place in places)),)


def _nearly(groups: _Groups, outlets: Named, known: set[Point]) -> Iterator[Unexplained]:
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


def _plainest(groups: _Groups, which: BoolArray) -> Box:
    """The box of the one with the least ink, which nothing crosses; of equals the first from the top."""
    rows = np.flatnonzero(which)
    box = groups.box[rows]
    order = np.lexsort((box[:, 0], box[:, 1], np.rint(groups.ink[rows])))
    x0, y0, x1, y1 = box[order[0]].tolist()
    return (x0, y0, x1, y1)


def _places(groups: _Groups, which: BoolArray | IntArray) -> tuple[Point, ...]:
    """Where a shape is drawn, top to bottom."""
    middle = (groups.box[which, :2] + groups.box[which, 2:]) / 2
    order = np.lexsort((middle[:, 0], middle[:, 1]))
    return tuple((float(x), float(y)) for x, y in middle[order])

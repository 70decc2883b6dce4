"""Strokes that hang together: the shapes of what is left of a sheet's ink, and how their ink lies.

Terms: *group*, strokes that lie within LINK of each other, one after the other.  *Profile*, the distances from the
group's middle within which 5, 15, ... 95 % of its ink lies.  *Cell*, a square of LINK; ink is a row of samples.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from scipy import ndimage

from cordpath import geometry
from cordpath.geometry import components, group_boxes
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.grid import sorted_unique

LINK = 0.6  # pt: cells of ink that touch, also by a corner, are one group; joins gaps of up to 1.2 pt
MOST_CELLS = 3_000_000  # ink cells of a sheet; a denser sheet gets coarser cells
MOST_PAGE = 40_000_000  # cells of a page, of 5 bytes, of which a picture is made
STEP = 0.6  # pt between samples of a stroke
BATCH = 30_000  # samples at once: arrays that stay in the processor's cache
DIRECTION_BINS = 18  # of 10 degrees
DIRECTION_SHARE = 0.06  # of a group's ink before a direction counts
LEVELS = np.linspace(0.05, 0.95, 10)


@dataclass(frozen=True, eq=False)
class Groups:
    """Groups of strokes, one row each."""

    box: FloatArray  # (g, 4)
    ink: FloatArray  # (g,) stroke length, pt
    ways: IntArray  # (g,) directions that carry ink
    straight: FloatArray  # (g,) share of the ink that those directions carry; little of a curve's
    lines: IntArray  # (g,) straight lines that the ink lies on, collinear strokes once

    def take(self, which: BoolArray) -> Groups:
        return Groups(self.box[which], self.ink[which], self.ways[which], self.straight[which], self.lines[which])

    def __len__(self) -> int:
        return len(self.ink)

    @property
    def around(self) -> FloatArray:
        """(g,) pt around the box of each."""
        return np.asarray(2 * (self.box[:, 2:] - self.box[:, :2]).sum(axis=1), float)

    @property
    def size(self) -> FloatArray:
        return np.asarray(np.maximum(self.box[:, 2] - self.box[:, 0], self.box[:, 3] - self.box[:, 1]))


@dataclass(frozen=True, eq=False)
class Profiled(Groups):
    """Groups whose ink was measured from its middle."""

    middle: FloatArray  # (g, 2) of the ink
    profile: FloatArray  # (g, 10)

    def take(self, which: BoolArray) -> Profiled:
        return Profiled(
            self.box[which], self.ink[which], self.ways[which], self.straight[which], self.lines[which],
            self.middle[which], self.profile[which],
        )  # fmt: skip


def profiled(xy: FloatArray, wanted: Callable[[Groups], BoolArray]) -> Profiled:
    """The groups of (n, 4) strokes that are ``wanted``, as they come from the left of the page; only these are
    measured, since most of a plan's ink is none of them."""
    samples = _Samples.of(xy)
    group, count = _connected(samples)
    length = samples.length
    box = group_boxes(xy, group, count)
    ink = np.asarray(np.bincount(group, length), float)
    groups = Groups(box, ink, *_ways(xy, length, group, count), _lines(xy, length, group, count))
    keep = wanted(groups)
    number = np.where(keep, np.cumsum(keep) - 1, -1)[group]
    kept = groups.take(keep)
    return Profiled(
        kept.box, kept.ink, kept.ways, kept.straight, kept.lines, *_profiles(samples, number, len(kept))
    )


@dataclass(frozen=True, eq=False)
class _Samples:
    """Samples of strokes, both ends among them; made in batches where they are asked for."""

    xy: FloatArray  # (n, 4)
    length: FloatArray  # (n,)
    count: IntArray  # (n,) samples of each stroke, two at least
    cell: float  # pt

    @staticmethod
    def of(xy: FloatArray) -> _Samples:
        length = geometry.lengths(xy)
        step = max(STEP, float(length.sum()) / MOST_CELLS)
        return _Samples(xy, length, np.maximum(np.ceil(length / step).astype(np.int64), 1) + 1, max(LINK, step))

    def batches(self) -> Iterator[tuple[slice, slice]]:
        """Strokes, and their samples."""
        end = np.cumsum(self.count)
        begin = 0
        while begin < len(end):
            done = int(end[begin - 1]) if begin else 0
            stop = max(begin + 1, int(np.searchsorted(end, done + BATCH)))
            yield slice(begin, stop), slice(done, int(end[stop - 1]))
            begin = stop

    def at(self, strokes: slice | IntArray) -> tuple[IntArray, FloatArray, FloatArray]:
        """Stroke (counted from the first of ``strokes``), x and y of their samples."""
        count, xy = self.count[strokes], self.xy[strokes]
        stroke = np.repeat(np.arange(len(count)), count)
        place = np.arange(len(stroke)) - np.repeat(np.cumsum(count) - count, count)
        part = place / (count[stroke] - 1)
        x0, y0 = xy[:, 0], xy[:, 1]
        x, y = x0[stroke] + part * (xy[:, 2] - x0)[stroke], y0[stroke] + part * (xy[:, 3] - y0)[stroke]
        return stroke, x, y


def _connected(samples: _Samples) -> tuple[IntArray, int]:
    """(n,) group of each stroke, and how many: cells with ink that touch by a side or a corner are connected, those
    of a stroke among them.

    Groups are numbered by their first cell.
    """
    key, width = _cells(samples)
    start = np.cumsum(samples.count) - samples.count
    cell = _connected_cells(key, width)
    torn = cell[1:] != cell[:-1]  # a sample on a cell's edge may be rounded to the one beyond the next
    torn[start[1:] - 1] = False
    k = np.flatnonzero(torn)
    count, group = components(cell[k], cell[k + 1], int(cell.max()) + 1)
    label = group[cell[start]]
    first = np.full(count, np.iinfo(np.int64).max)
    np.minimum.at(first, label, np.minimum.reduceat(key, start))
    place = np.empty(count, np.int64)
    place[np.argsort(first)] = np.arange(count)
    return place[label], count


def _cells(samples: _Samples) -> tuple[IntArray, int]:
    """Number of the cell of each sample, column by column of the page, and how many numbers a column has: more than
    cells, so that the last of one does not touch the first of the next."""
    start, end = samples.xy[:, :2], samples.xy[:, :2] + (samples.xy[:, 2:] - samples.xy[:, :2])  # as sampled
    low, high = np.minimum(start, end).min(axis=0), np.maximum(start, end).max(axis=0)
    width = int(np.floor((high[1] - low[1]) / samples.cell)) + 3
    key = np.empty(int(samples.count.sum()), np.int64)
    for strokes, mine in samples.batches():
        _, x, y = samples.at(strokes)
        key[mine] = np.floor((x - low[0]) / samples.cell) * width + np.floor((y - low[1]) / samples.cell) + 1
    return key, width


def _connected_cells(key: IntArray, width: int) -> IntArray:
    """The group of the cell of each sample; ``key``, ``width``: as from ``_cells``.

    A picture of the page is several times faster than sorting the cells, but not for pages as large as a wall.
    """
    columns = int(key.max()) // width + 1
    if columns * width <= MOST_PAGE:
        page = np.zeros((columns, width), bool)
        page.reshape(-1)[key] = True
        label, _ = ndimage.label(page, np.ones((3, 3)))
        return np.asarray(label.reshape(-1)[key] - 1, np.int64)
    cells = sorted_unique(key)
    one, two = [np.zeros(0, np.int64)], [np.zeros(0, np.int64)]
    for offset in (1, width - 1, width, width + 1):  # the neighbours that come later
        at = np.minimum(np.searchsorted(cells, cells + offset), len(cells) - 1)
        hit = np.flatnonzero(cells[at] == cells + offset)
        one.append(hit)
        two.append(at[hit])
    group = components(np.concatenate(one), np.concatenate(two), len(cells))[1]
    return group[np.searchsorted(cells, key)]


def _profiles(samples: _Samples, group: IntArray, n: int) -> tuple[FloatArray, FloatArray]:
    """(n, 2) middles and (n, levels) profiles of ``n`` groups; ``group``: of each stroke, -1 for none of them."""
    if not n:
        return np.zeros((0, 2)), np.zeros((0, len(LEVELS)))
    mine = np.flatnonzero(group >= 0)
    stroke, x, y = samples.at(mine)
    weight = (samples.length / samples.count)[mine][stroke]
    group = group[mine][stroke]
    total = np.bincount(group, weight, n)
    middle = np.c_[np.bincount(group, weight * x, n), np.bincount(group, weight * y, n)] / total[:, None]
    away = np.hypot(x - middle[group, 0], y - middle[group, 1])
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


def _lines(xy: FloatArray, length: FloatArray, group: IntArray, n: int) -> IntArray:
    """(g,) how many straight lines a group's strokes lie on; those of other directions than the strokes beside them
    in a bin are told apart by where they lie."""
    turn = geometry.directions(xy)
    bins = np.rint(turn / np.pi * DIRECTION_BINS).astype(np.int64) % DIRECTION_BINS
    middle = geometry.midpoints(xy)
    off = middle[:, 1] * np.cos(turn) - middle[:, 0] * np.sin(turn)
    drawn = np.flatnonzero(length >= LINK)
    order = drawn[np.lexsort((off[drawn], bins[drawn], group[drawn]))]
    same = (group[order][1:] == group[order][:-1]) & (bins[order][1:] == bins[order][:-1])
    new = np.r_[True, ~same | (np.diff(off[order]) > LINK)][: len(order)]
    return np.asarray(np.bincount(group[order[new]], minlength=n), np.int64)

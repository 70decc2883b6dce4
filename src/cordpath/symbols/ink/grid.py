"""Two indexes over segments: a grid of cells for *which segments are near here*, and a raster that tells whether
ink of a like direction lies at a point.

Terms: *cell*, a square of the page; *direction bin*, one of eight 22.5 degree sectors of undirected angles;
*sector*, one of the raster's sixteen.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from cordpath.geometry import directions, lengths
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.pose import MIRROR, SCALE, TURN

CELL = 10.0  # pt: about the size of a device symbol
RASTER = 0.5  # pt
MOST_CELLS = 60_000_000  # bytes; larger pages get larger cells
BINS = 8
SAMPLES = 100_000  # of segments drawn at once: more of them leave the processor's cache
AT_ONCE = 50_000  # points of templates looked up at once, for the same reason
CENTRES = 128  # the same of places about which segments are looked up, with some hundred of them about each
LIKE = math.sin(math.radians(15))  # of a like direction; 16-sided circles are off by 11 degrees
WAYS = 16  # sectors of undirected angles that the raster tells apart: with wider ones hatch passed for most shapes
LONG = 0.8  # pt: directions of shorter chords are noise, but not all of it: letters would pass for any shape
ROWS = 64  # of the raster widened at once, for the same reason


def alike(length: FloatArray) -> FloatArray:
    """(n,) sine of the angle by which ink of that length (pt) may be off and is of a like direction."""
    return LIKE + 0.1 / np.maximum(length, 0.1)


class Grid:
    """Segments by cell, in compressed rows."""

    def __init__(self, xy: FloatArray, cell: float = CELL) -> None:
        self.xy, self.cell = xy, cell
        self.count = max(1, len(xy))
        parts = np.maximum(1, np.ceil(lengths(xy) / (cell / 2)).astype(np.int64)) + 1
        t = np.arange(parts.sum()) - np.repeat(np.cumsum(parts) - parts, parts)
        t = t / np.repeat(parts - 1, parts)
        low = xy.reshape(-1, 2).min(0) if len(xy) else np.zeros(2)
        self.origin = np.floor(low / cell).astype(np.int64) - 2
        column, row = (
            np.floor((np.repeat(start, parts) + np.repeat(end - start, parts) * t) / cell).astype(np.int64) - first
            for start, end, first in ((xy[:, 0], xy[:, 2], self.origin[0]), (xy[:, 1], xy[:, 3], self.origin[1]))
        )
        self.wide, self.high = (int(at.max(initial=0)) + 4 for at in (column, row))
        bits = self.count.bit_length()  # of the number of a segment
        key = sorted_unique((row * self.wide + column << bits) | np.repeat(np.arange(len(xy)), parts))
        self.segment = key & ((1 << bits) - 1)
        self.start = np.searchsorted(key >> bits, np.arange(self.wide * self.high + 1))

    def near(self, centres: FloatArray, radius: float | FloatArray) -> tuple[IntArray, IntArray]:
        """Pairs (centre, segment) within ``radius`` (of each, or of all), sorted by centre then segment."""
        if len(centres) == 1:  # most questions are about one place, and arrays of one row are slow
            radius = float(np.max(radius))
            s = self._around(float(centres[0, 0]), float(centres[0, 1]), radius)
            s = s[within(self.xy.take(s, axis=0), centres, radius)]
            return np.zeros(len(s), np.int64), s
        radii = np.broadcast_to(np.asarray(radius, float), len(centres))
        found = [(np.zeros(0, np.int64), np.zeros(0, np.int64))]
        for k in range(0, len(centres), CENTRES):
            c, s = self._near(centres[k : k + CENTRES], radii[k : k + CENTRES])
            found.append((c + k, s))
        return np.concatenate([c for c, _ in found]), np.concatenate([s for _, s in found])

    def _near(self, centres: FloatArray, radii: FloatArray) -> tuple[IntArray, IntArray]:
        """The same of several centres, each with its radius."""
        most = radii[:, None] + self._slack
        low, high = np.floor((centres - most) / self.cell), np.floor((centres + most) / self.cell)
        rows = np.arange(int((high[:, 1] - low[:, 1]).max(initial=-1.0)) + 1)
        top = low[:, 1:] + rows
        gap = np.maximum(top * self.cell - centres[:, 1:], centres[:, 1:] - (top + 1) * self.cell)
        half = np.sqrt(np.maximum(0.0, most * most - np.maximum(0.0, gap) ** 2))
        # the cells of a row lie side by side in the index, and so do their segments
        left = np.floor((centres[:, :1] - half) / self.cell).astype(np.int64) - self.origin[0]
        right = np.floor((centres[:, :1] + half) / self.cell).astype(np.int64) - self.origin[0]
        row = top.astype(np.int64) - self.origin[1]
        ok = (gap <= most) & (row >= 0) & (row < self.high) & (right >= 0) & (left < self.wide)
        base = np.clip(row, 0, self.high - 1) * self.wide
        first = self.start[base + np.clip(left, 0, self.wide - 1)]
        n = np.where(ok, self.start[base + np.clip(right, 0, self.wide - 1) + 1] - first, 0).ravel()
        before = np.cumsum(n) - n
        p = np.repeat(first.ravel() - before, n)
        p += np.arange(len(p))
        bits = self.count.bit_length()  # of the number of a segment
        c = np.repeat(np.arange(len(centres)) << bits, n.reshape(ok.shape).sum(1))
        pair = sorted_unique(c | self.segment.take(p))  # most segments are in several cells about a centre
        c, s = pair >> bits, pair & ((1 << bits) - 1)
        close = np.flatnonzero(within(self.xy.take(s, axis=0), centres.take(c, axis=0), radii.take(c)))
        return c.take(close), s.take(close)

    @property
    def _slack(self) -> float:
        """pt: a segment may cut a cell's corner between its samples, which lie half a cell apart."""
        return self.cell / 4 + 0.1

    def _around(self, x: float, y: float, radius: float) -> IntArray:
        """Segments in cells within ``radius`` of one place, each once."""
        most, cell = radius + self._slack, self.cell
        left, top = int(self.origin[0]), int(self.origin[1])
        found = []
        for row in range(
            max(math.floor((y - most) / cell), top), min(math.floor((y + most) / cell), top + self.high - 1) + 1
        ):
            gap = max(0.0, row * cell - y, y - (row + 1) * cell)
            half = math.sqrt(max(0.0, most * most - gap * gap))
            first = max(math.floor((x - half) / cell) - left, 0)
            last = min(math.floor((x + half) / cell) - left, self.wide - 1)
            if first <= last:
                base = (row - top) * self.wide
                found.append(self.segment[self.start[base + first] : self.start[base + last + 1]])
        return sorted_unique(np.concatenate(found)) if found else np.zeros(0, np.int64)


def within(xy: FloatArray, centres: FloatArray, radius: float | FloatArray) -> BoolArray:
    """(k,) which segments (k, 4) come within ``radius`` of their centres (k, 2)."""
    return np.asarray(square_gaps(xy, centres) <= radius * radius, bool)


def square_gaps(xy: FloatArray, centres: FloatArray) -> FloatArray:
    """(k,) square pt from segments (k, 4) to their centres (k, 2); (n, k) to centres (n, 1, 2)."""
    ax, ay = xy[:, 0] - centres[..., 0], xy[:, 1] - centres[..., 1]
    dx, dy = xy[:, 2] - xy[:, 0], xy[:, 3] - xy[:, 1]
    t = ax * dx  # in place from here on: arrays that are made anew at each step take twice as long
    t += ay * dy
    t /= -np.maximum(1e-12, dx * dx + dy * dy)
    np.minimum(np.maximum(t, 0.0, out=t), 1.0, out=t)
    ax += dx * t
    ay += dy * t
    ax *= ax
    ay *= ay
    ax += ay
    return np.asarray(ax)


def bounded(cell: NDArray[np.int32], count: int) -> NDArray[np.int32]:
    """Numbers of cells, those beyond the ``count`` that there are at their edge; in place."""
    return np.minimum(np.maximum(cell, 0, out=cell), count - 1, out=cell)


def sorted_unique(values: IntArray) -> IntArray:
    """Like numpy.unique, by sorting: several times faster than its hash table on long int64 arrays."""
    if len(values) < 2:
        return values
    values = np.sort(values)
    new = np.empty(len(values), bool)
    new[0] = True
    np.not_equal(values[1:], values[:-1], out=new[1:])
    return values[new]


def among(values: IntArray, others: IntArray) -> BoolArray:
    """(n,) which of the values are among the others, as ``numpy.isin`` tells: ten times faster on few numbers."""
    if not len(others):
        return np.zeros(len(values), bool)
    others = np.sort(others)
    return np.asarray(others.take(others.searchsorted(values), mode="clip") == values)


def undirected(angle: NDArray[np.float32]) -> NDArray[np.float32]:
    """The angles by half turns, as ``numpy.mod`` gives them, bit for bit: a step at a time is several times faster
    for angles of few turns."""
    half = np.float32(np.pi)
    turns = 2.0 ** np.arange(np.ceil(np.log2(max(1.0, float(np.abs(angle).max(initial=0.0)) / np.pi))), -1, -1)
    out = np.abs(angle)
    for step in turns.astype(np.float32) * half:
        out -= step * (out >= step)  # exact: what is taken off is more than half of what it is taken from
    return np.where((angle < 0) & (out > 0), half - out, out)


def _like_ways(direction: FloatArray, length: FloatArray) -> NDArray[np.uint16]:
    """(n,) a bit for every sector that ink of these directions (radians) and lengths may pass for."""
    sector = direction * (WAYS / np.pi)
    off = np.ones(len(sector))  # sectors to each side: from 11 degrees of it to 22
    short = np.flatnonzero(length < LONG)
    off[short] = np.arcsin(np.minimum(1.0, alike(length[short]))) * (WAYS / np.pi)
    first = np.floor(sector - off).astype(np.int64)
    count = np.minimum(np.floor(sector + off).astype(np.int64) - first + 1, WAYS)
    row = ((1 << count) - 1) << (first % WAYS)  # side by side, and those beyond the last from the first on
    return ((row | (row >> WAYS)) & (2**WAYS - 1)).astype(np.uint16)


def _widen(raster: NDArray[np.uint16]) -> None:
    """Gives every cell the bits of those around it."""
    above = raster[:1].copy()
    for top in range(0, len(raster), ROWS):
        some = np.concatenate([above, raster[top : top + ROWS + 1]])
        above = some[-2:-1].copy() if top + ROWS < len(raster) else above
        wide = some.copy()
        wide[:, 1:] |= some[:, :-1]
        wide[:, :-1] |= some[:, 1:]
        mine = raster[top : top + ROWS]
        mine[:] = wide[1 : len(mine) + 1]
        mine |= wide[: len(mine)]
        mine[: len(wide) - 2] |= wide[2 : len(mine) + 2]


class Raster:
    """A bit for every cell and sector: set where ink of about that direction lies within about one cell."""

    def __init__(self, xy: FloatArray) -> None:
        low = xy.reshape(-1, 2).min(0) - 20 if len(xy) else np.zeros(2)
        high = xy.reshape(-1, 2).max(0) + 20 if len(xy) else np.ones(2)
        self.low = low
        self.cell = max(RASTER, math.sqrt(float(np.prod(high - low)) / MOST_CELLS))
        self.wide, self.high = (int(v) + 2 for v in (high - low) / self.cell)
        self.bits = self._drawn(xy)

    def _drawn(self, xy: FloatArray) -> NDArray[np.uint16]:
        length = lengths(xy)
        bits = _like_ways(directions(xy), length)
        order = np.argsort(bits, kind="stable")  # segments of like bits are drawn together
        xy, length, bits = xy[order], length[order], bits[order]
        parts = np.maximum(1, np.ceil(length / (self.cell * 1.2)).astype(np.int64))
        q = ((xy - np.r_[self.low, self.low]) / self.cell).astype(np.float32, order="F")
        flat = np.zeros(self.wide * self.high, np.uint16)
        full = np.searchsorted(np.cumsum(parts), np.arange(SAMPLES, parts.sum(), SAMPLES))
        for some in np.split(np.arange(len(xy)), np.union1d(np.flatnonzero(np.diff(bits)) + 1, full)):
            if len(some):
                flat[self._cells(q[some], parts[some])] |= bits[some[0]]
        _widen(flat.reshape(self.high, self.wide))
        return flat

    def _cells(self, q: NDArray[np.float32], parts: IntArray) -> IntArray:
        """The cells that segments ``q`` (n, 4), in cells, run through, from so many ``parts`` of each."""
        number = np.arange(parts.sum(), dtype=np.float32)
        number -= np.repeat((np.cumsum(parts) - parts).astype(np.float32) - np.float32(0.5), parts)  # of its middle
        across, down = (
            (np.repeat(start, parts) + np.repeat(((end - start) / parts).astype(np.float32), parts) * number)
            .astype(np.int32)
            for start, end in ((q[:, 0], q[:, 2]), (q[:, 1], q[:, 3]))
        )  # fmt: skip
        return np.asarray(down * np.int32(self.wide) + across, np.int64)

    def share(self, poses: FloatArray, points: FloatArray, tangents: FloatArray) -> FloatArray:
        """(n,) share of template points that lie on ink of a like direction, for every pose."""
        size = max(1, AT_ONCE // max(1, len(points)))
        parts = [self._share(poses[k : k + size], points, tangents) for k in range(0, len(poses), size)]
        return np.concatenate([np.zeros(0), *parts])

    def _share(self, poses: FloatArray, points: FloatArray, tangents: FloatArray) -> FloatArray:
        p = poses.astype(np.float32)
        c, s = np.cos(p[:, TURN])[:, None], np.sin(p[:, TURN])[:, None]
        flip = 1 - 2 * p[:, MIRROR][:, None]
        scale = p[:, SCALE][:, None] / np.float32(self.cell)
        x0 = ((poses[:, 0] - self.low[0]) / self.cell).astype(np.float32)[:, None]
        y0 = ((poses[:, 1] - self.low[1]) / self.cell).astype(np.float32)[:, None]
        q = points.astype(np.float32)
        x, y = q[None, :, 0] * (scale * flip), q[None, :, 1] * scale
        u = bounded((c * x - s * y + x0).astype(np.int32), self.wide)
        v = bounded((s * x + c * y + y0).astype(np.int32), self.high)
        v *= np.int32(self.wide)
        v += u
        angle = undirected(flip * tangents[None].astype(np.float32) + p[:, TURN][:, None])
        angle *= np.float32(WAYS / np.pi)
        sector = angle.astype(np.uint8)
        sector %= np.uint8(WAYS)
        hit = (self.bits.take(v) >> sector) & np.uint16(1)
        return np.asarray(np.count_nonzero(hit, axis=1) / len(points))

"""Ink near a pose, cut into pieces and brought to the template's frame.

Terms: *association*, a short piece of the sheet's ink near a pose, brought to the template frame, with the
sample that it lies nearest to among those of a like direction.

The sheet's ink is looked up in the template's association map, so the cost is that of the ink near the pose and
not of ink times samples.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from cordpath.model import FloatArray, IntArray
from cordpath.symbols.ink.grid import BINS, alike, among, bounded
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.pose import SCALE, TURN, into_frame, place
from cordpath.symbols.templates.association import Maps
from cordpath.symbols.templates.template import Template

DRIFT = 0.3  # of the reach: a mark that has moved less is touched by nothing that was beyond its reach before
NONE: IntArray = np.zeros(0, np.int64)
BATCH = 40_000  # pieces at once: larger batches leave the processor's cache and are slower (measured)


@dataclass(frozen=True, eq=False)
class Pieces:
    """Pieces of ink in the template frame, cut from r rows: a segment near a pose is a row."""

    row: IntArray  # (k,) of each piece
    x: FloatArray  # (k,)
    y: FloatArray
    cell: IntArray  # (k,) of the maps
    of_pose: IntArray  # (r,)
    of_segment: IntArray
    way_x: FloatArray  # (r,) direction of the segment
    way_y: FloatArray
    like: FloatArray  # (r,) sine of the angle that counts as a like direction
    stands_for: FloatArray  # (r,) length that a piece stands for, in the template frame
    bin: IntArray  # (r,) direction bin

    def on(self, maps: Maps) -> IntArray:
        """(k,) the nearest sample of a like direction, -1 for none."""
        return maps.sample.reshape(-1).take(self._place(maps))

    def at_probes(self, maps: Maps) -> tuple[IntArray, IntArray]:
        """Pieces near a probe of a like direction: their indices, and the probe that each is near to."""
        if maps.probe is None:
            return NONE, NONE
        probe = maps.probe.reshape(-1).take(self._place(maps))
        k = np.flatnonzero(probe >= 0)
        return k, probe[k].astype(np.int64)

    def _place(self, maps: Maps) -> IntArray:
        """(k,) of each piece in the maps of its direction."""
        return (self.bin * (maps.side * maps.side)).take(self.row) + self.cell


@dataclass(frozen=True, eq=False)
class Near:
    """The segments that lie by the marks at some poses, good for poses that have moved little since."""

    poses: FloatArray  # (n, 5)
    start: IntArray  # (n + 1,) where the segments of each begin
    segment: IntArray
    drift: float  # pt by which a mark may have moved

    @staticmethod
    def of(template: Template, poses: FloatArray, pairs: list[tuple[IntArray, IntArray]]) -> Near:
        """``pairs``: poses in ascending order, and a segment by the marks of each."""
        pose, segment = (np.concatenate(each) for each in zip(*pairs, strict=True)) if pairs else (NONE, NONE)
        return Near(poses, np.searchsorted(pose, np.arange(len(poses) + 1)), segment, DRIFT * template.reach)

    def about(
        self, template: Template, ink: Ink, poses: FloatArray, part: slice, centres: FloatArray, radius: float
    ) -> tuple[IntArray, IntArray]:
        """Pairs of the poses of a part and segments about each; all those within ``radius`` of the ones that have
        moved too far."""
        cut = self.start[part.start : part.stop + 1]
        pose, segment = np.repeat(np.arange(len(poses)), np.diff(cut)), self.segment[cut[0] : cut[-1]]
        gone = np.flatnonzero(rim_moved(template, self.poses[part], poses) > self.drift)
        if not len(gone):
            return pose, segment
        again, around = ink.grid.near(centres[gone], radius)
        still = ~among(pose, gone)
        pose, segment = np.r_[pose[still], gone[again]], np.r_[segment[still], around]
        order = np.argsort(pose, kind="stable")
        return pose[order], segment[order]


def rim_moved(template: Template, before: FloatArray, after: FloatArray) -> FloatArray:
    """(n,) pt, at least as much as any mark has moved from one pose to another of the same mirror."""
    centre = place(np.r_[before, after], template.centre[None])[:, 0]
    shift = np.hypot(*(centre[len(before) :] - centre[: len(before)]).T)
    turn = np.abs(after[:, TURN] - before[:, TURN]) * before[:, SCALE]
    return np.asarray(shift + template.radius * (turn + np.abs(after[:, SCALE] - before[:, SCALE])), float)


def pieces(
    template: Template, ink: Ink, poses: FloatArray, step: float, near: Near | None = None, *, marks: bool = False
) -> Iterator[tuple[slice, Pieces]]:
    """Batches of poses (as a slice) with the ink near them; ``Pieces.pose`` counts from the slice's start.

    ``marks``: only the pieces that may lie on marks, so not those that are clutter.  A batch has fewer poses where
    the one before had much ink about them.
    """
    most = size = max(1, int(BATCH / (3 * template.radius / step)))
    start = 0
    while start < len(poses):
        part = slice(start, min(start + size, len(poses)))
        here = _pieces(template, ink, poses[part], step, near, part, marks)
        yield part, here
        start, size = part.stop, min(most, max(1, BATCH * (part.stop - start) // max(1, len(here.row))))


def _pieces(
    template: Template, ink: Ink, poses: FloatArray, step: float, near: Near | None, part: slice, marks: bool
) -> Pieces:
    maps, reach = template.maps, template.radius + 1.5
    centres = place(poses, template.centre[None])[:, 0]
    radius = reach * float(poses[:, SCALE].max())
    if near is None:
        pose, segment = ink.grid.near(centres, radius)
    else:
        pose, segment = near.about(template, ink, poses, part, centres, radius)
    q = into_frame(poses, ink.xy.take(segment, axis=0), pose)
    d = q[:, 2:] - q[:, :2]
    length = np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-6)
    ux, uy = d[:, 0] / length, d[:, 1] / length
    # only the part of a segment within reach of the centre is cut into pieces
    ax, ay = template.centre[0] - q[:, 0], template.centre[1] - q[:, 1]
    along = ax * ux + ay * uy
    half = np.sqrt(np.maximum(0.0, reach**2 - (ax * uy - ay * ux) ** 2))
    t0, t1 = np.clip(along - half, 0, length), np.clip(along + half, 0, length)
    cut = t1 - t0
    parts = np.maximum(1, np.ceil(cut / step).astype(np.int64))
    size = cut / parts
    sector = np.floor(np.mod(np.arctan2(uy, ux), np.pi) * (BINS / np.pi)).astype(np.int64) % BINS
    x0, y0 = q[:, 0] + ux * t0, q[:, 1] + uy * t0
    first, count = np.zeros(len(parts), np.int64), parts
    if marks:
        first, count = _inside(((x0, ux), (y0, uy)), size, parts, maps.reach, sector)
    i = np.repeat(np.arange(len(parts)), count)
    number = np.arange(0.5, len(i)) - np.repeat(np.cumsum(count) - count - first, count)  # of its middle
    x, y = (np.repeat(start, count) + np.repeat(way * size, count) * number for start, way in ((x0, ux), (y0, uy)))
    return Pieces(i, x, y, _cell(maps, x, y), pose, segment, ux, uy, alike(length), size, sector)


def _cell(maps: Maps, x: FloatArray, y: FloatArray) -> IntArray:
    """(k,) number of the cell of the maps at each point; beyond them that at their edge."""
    across, down = (  # in 32 bits, which processors convert and clip several at once
        bounded(((v - low) / maps.cell).astype(np.int32), maps.side)
        for v, low in ((x, maps.low[0]), (y, maps.low[1]))
    )
    return np.asarray(across * np.int32(maps.side) + down, np.int64)


def _inside(
    ways: Sequence[tuple[FloatArray, FloatArray]],
    step: FloatArray,
    parts: IntArray,
    boxes: FloatArray,
    box: IntArray,
) -> tuple[IntArray, IntArray]:
    """Number of the first piece of each row that may lie in its box, and how many; most rows have none.

    ``ways``: across and down, where each row starts (n,) and its direction (n,); ``box``: which of the ``boxes``.
    """
    enter, leave = np.zeros(len(step)), parts * step
    outside = np.zeros(len(step), bool)
    for axis, (start, way) in enumerate(ways):
        flat = np.abs(way) < 1e-9
        with np.errstate(invalid="ignore"):
            low, high = boxes[:, axis][box] - start, boxes[:, axis + 2][box] - start
            outside |= (low > high) | (flat & ((low > 0) | (high < 0)))
            over = np.where(flat, 1.0, way)
            one, two = low / over, high / over
        enter = np.where(flat, enter, np.maximum(enter, np.minimum(one, two)))
        leave = np.where(flat, leave, np.minimum(leave, np.maximum(one, two)))
    some = np.flatnonzero(~outside & (leave >= enter))
    size = np.maximum(step[some], 1e-12)
    first, count = np.zeros(len(step), np.int64), np.zeros(len(step), np.int64)
    first[some] = np.minimum(np.floor(enter[some] / size), parts[some] - 1).astype(np.int64)
    count[some] = np.minimum(np.floor(leave[some] / size) + 1, parts[some]).astype(np.int64) - first[some]
    return first, count


@dataclass(frozen=True, eq=False)
class Beside:
    """Pieces that lie beside a mark of a like direction, within the template's reach, and where."""

    piece: IntArray  # (k,)
    sample: IntArray  # (k,) that each is beside
    across: FloatArray  # (k,) pt from the sample, across the mark and along it, in the template frame
    along: FloatArray

    @staticmethod
    def of(template: Template, p: Pieces) -> Beside:
        nearest = p.on(template.maps)
        k = np.flatnonzero(nearest >= 0)
        j: IntArray = nearest.take(k).astype(np.int64)
        row = p.row.take(k)
        tx, ty = np.cos(template.tangents).take(j), np.sin(template.tangents).take(j)
        like = np.flatnonzero(np.abs(p.way_x.take(row) * ty - p.way_y.take(row) * tx) < p.like.take(row))
        k, j, tx, ty = (each.take(like) for each in (k, j, tx, ty))
        qx, qy = p.x.take(k) - template.points[:, 0].take(j), p.y.take(k) - template.points[:, 1].take(j)
        return Beside(k, j, -qx * ty + qy * tx, qx * tx + qy * ty)

    def touching(self, template: Template, tolerance: float, loose: float = 0.0) -> IntArray:
        """Those that lie on the mark."""
        near = np.abs(self.along) < max(0.6 * template.step, 0.12) + 0.1 + loose * template.step
        return np.flatnonzero(near & (np.abs(self.across) < tolerance))


def touching(template: Template, p: Pieces, tolerance: float) -> tuple[IntArray, IntArray]:
    """Pieces that lie on a mark: their indices, and the sample that each lies on."""
    beside = Beside.of(template, p)
    on = beside.touching(template, tolerance)
    return beside.piece[on], beside.sample[on]

"""Parallel strokes.

Terms: *band*, the strip between two parallel strokes that run side by side: a wall drawn as two lines.  Its four
corners are ordered a0, a1, b1, b0: two corners along the first stroke, then back along the second.
*Group*, pieces that are nearer to each other than a gap.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import components, group_boxes, lines
from cordpath.model import BoolArray, FloatArray, IntArray

STUBBY = 0.42  # a band shorter than this part of its width is two wall ends that face each other, not a post
# Outer walls of two leaves of masonry with insulation between, as of the house in tests/data, and basement walls of
# 12 in blocks with studs before them are 16 to 17 in.
THICKEST_IN = 17.0
PARALLEL = 0.035  # sine of 2 degrees: real plots draw parallel wall faces far better than this


@dataclass(frozen=True, eq=False)
class Bands:
    first: IntArray  # (b,) index of one stroke
    second: IntArray  # (b,) index of the other
    gap: FloatArray  # (b,) distance between them, pt
    overlap: FloatArray  # (b,) length that they run side by side, pt
    corners: FloatArray  # (b, 4, 2)

    def __len__(self) -> int:
        return len(self.gap)

    def take(self, which: BoolArray | IntArray) -> Bands:
        return Bands(self.first[which], self.second[which], self.gap[which], self.overlap[which],
                     self.corners[which])  # fmt: skip

    @staticmethod
    def none() -> Bands:
        zero = np.zeros(0)
        index = np.zeros(0, np.int64)
        return Bands(index, index, zero, zero, np.zeros((0, 4, 2)))


def _pairs(xy: FloatArray, reach: float) -> tuple[IntArray, IntArray]:
    shapes = lines(xy)
    left, right = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=reach)
    keep = left < right
    return left[keep].astype(np.int64), right[keep].astype(np.int64)


def pair_up(xy: FloatArray, unit: FloatArray, length: FloatArray, low: float, high: float,
            overlap: float) -> Bands:  # fmt: skip
    """Bands between strokes ``low`` to ``high`` points apart that run side by side for ``overlap`` points, or for
    60 % of the shorter one if that is less (walls cut at every crossing leave short pieces)."""
    if len(xy) < 2:
        return Bands.none()
    i, j = _pairs(xy, high)
    cross = unit[i, 0] * unit[j, 1] - unit[i, 1] * unit[j, 0]
    keep = np.abs(cross) < PARALLEL
    i, j = i[keep], j[keep]
    start = xy[i, :2]
    along, normal = unit[i], np.stack([-unit[i, 1], unit[i, 0]], 1)
    ends = xy[j].reshape(-1, 2, 2) - start[:, None]
    away = (ends * normal[:, None]).sum(-1).mean(1)
    place = (ends * along[:, None]).sum(-1)
    from_, to = np.maximum(0.0, place.min(1)), np.minimum(length[i], place.max(1))
    shorter = np.minimum(length[i], length[j])
    keep = (np.abs(away) >= low) & (np.abs(away) <= high)
    keep &= (to - from_ >= np.minimum(overlap, 0.6 * shorter)) & (to - from_ > 0.3 * overlap)
    keep &= to - from_ > np.where(np.abs(away) < 0.6 * high, STUBBY, 2 * STUBBY) * np.abs(away)
    i, j, start, along, normal = i[keep], j[keep], start[keep], along[keep], normal[keep]
    away, from_, to = away[keep], from_[keep], to[keep]
    a0, a1, out = start + along * from_[:, None], start + along * to[:, None], normal * away[:, None]
    corners = np.stack([a0, a1, a1 + out, a0 + out], 1)
    return Bands(i, j, np.abs(away), to - from_, corners)


def paired_share(bands: Bands, length: FloatArray) -> FloatArray:
    """(n,) part of each stroke's length that its best partner covers, 0 to 1."""
    best = np.zeros(len(length))
    np.maximum.at(best, bands.first, bands.overlap)
    np.maximum.at(best, bands.second, bands.overlap)
    return np.minimum(best / np.maximum(length, 1e-9), 1.0)


def groups(shapes: NDArray[np.object_], gap: float) -> IntArray:
    """(n,) number of the group that each shape belongs to; shapes within ``gap`` points belong together."""
    count = len(shapes)
    if not count:
        return np.zeros(0, np.int64)
    left, right = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=max(gap, 1e-6))
    return components(left, right, count)[1]


def extents(shapes: NDArray[np.object_], group: IntArray) -> FloatArray:
    """(g, 2) smaller and larger side of each group's bounding box."""
    if not len(shapes):
        return np.zeros((0, 2))
    box = group_boxes(shapely.bounds(shapes), group, int(group.max()) + 1)
    return np.asarray(np.sort(box[:, 2:] - box[:, :2], axis=1), float)


def widest_extent(shapes: NDArray[np.object_], gap: float) -> tuple[float, float]:
    """Smaller and larger side of the box around the group that is largest in its smaller side."""
    if not len(shapes):
        return (0.0, 0.0)
    sides = extents(shapes, groups(shapes, gap))
    best = sides[np.lexsort((sides[:, 1], sides[:, 0]))[-1]]
    return (float(best[0]), float(best[1]))


def merge_runs(xy: FloatArray, unit: FloatArray, slack: float = 0.3) -> tuple[FloatArray, IntArray]:
    """Join strokes that continue each other on one line (ends within ``slack`` points, sideways within 0.25 pt,
    1 degree): (m, 4) joined strokes, and for every input stroke the number of its joined one.

    A chain that bends (a flat curve of many strokes) is left as it was.
    """
    count = len(xy)
    if count < 2:
        return xy, np.arange(count, dtype=np.int64)
    i, j = _pairs(xy, slack)
    span = np.hypot(*(xy[:, 2:] - xy[:, :2]).T)
    i, j = np.where(span[i] >= span[j], i, j), np.where(span[i] >= span[j], j, i)  # the longer one is the ruler
    cross = unit[i, 0] * unit[j, 1] - unit[i, 1] * unit[j, 0]
    normal = np.stack([-unit[i, 1], unit[i, 0]], 1)
    ends = xy[j].reshape(-1, 2, 2) - xy[i, None, :2]
    aside = np.abs((ends * normal[:, None]).sum(-1)).max(1)
    keep = (np.abs(cross) < 0.0175 + 0.25 / np.maximum(span[j], 1.0)) & (aside < 0.25)
    _, label = components(i[keep], j[keep], count)
    return _join(xy, unit, label)


def _join(xy: FloatArray, unit: FloatArray, label: IntArray) -> tuple[FloatArray, IntArray]:
    """One stroke a label: along the direction of its longest member, over the reach of all of them."""
    size = np.hypot(*(xy[:, 2:] - xy[:, :2]).T)
    order = np.lexsort((-size, label))
    lead = order[np.r_[True, np.diff(label[order]) > 0]]  # longest stroke of every label
    origin, along = xy[lead, :2][label], unit[lead][label]
    ends = xy.reshape(-1, 2, 2) - origin[:, None]
    place = (ends * along[:, None]).sum(-1)
    aside = np.abs(ends[..., 0] * -along[:, None, 1] + ends[..., 1] * along[:, None, 0]).max(1)
    low, high, bend = (np.full(len(lead), v) for v in (np.inf, -np.inf, 0.0))
    np.minimum.at(low, label, place.min(1))
    np.maximum.at(high, label, place.max(1))
    np.maximum.at(bend, label, aside)
    straight = bend < 0.6  # pt; two jitters of 0.12 pt and rounding to 1/600 in stay far below
    joined = np.concatenate(
        [xy[lead, :2] + unit[lead] * low[:, None], xy[lead, :2] + unit[lead] * high[:, None]], 1
    )
    loose = ~straight[label]
    number = np.cumsum(straight) - 1
    out_label = np.where(loose, 0, number[label])
    out_label[loose] = straight.sum() + np.arange(int(loose.sum()))
    return np.concatenate([joined[straight], xy[loose]]), out_label.astype(np.int64)

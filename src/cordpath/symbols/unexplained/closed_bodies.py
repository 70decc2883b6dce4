"""Closed outlines of a device's size with something in or at them that nothing explains, whatever hangs at them.

A shape that is drawn once or twice may be anything.  But a box, a hexagon or a triangle that is small and has a
letter, a filled part, an outline more, a bar through it or a stem is drawn for a device (common practice, no
source).  A wire that ends on it makes a larger thing of both: what ends in the air, or on a side, is taken away
here until only lines are left that close.

Terms: *body*, strokes each of which ends on others at both ends.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import group_boxes, hanging_together, lengths, nodes
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.unexplained.circles import ALIKE, RADIUS

ROUND = 0.012  # of the way around its box, by which a circle's ink is off; of a hexagon or an octagon it is more
MEET = 0.3  # pt between ends that meet: two roundings to the plotter's grid
FEWEST, MOST_STEPS = 3, 40  # strokes of a body; pieces of a wire that are taken away one after the other
ARROWHEAD = 10.0  # pt: smaller triangles on a line are arrowheads
SMALLEST = 3.6  # pt across: less is a dot or a letter
SLENDER = 1.8  # times as long as wide: windows, doors and ends of walls are longer
RICH = 1.25  # of the way around its box: an outline alone has no more ink than a rectangle
PAINTED = 0.05, 0.85  # share of its box: less is a speck, more a solid post


@dataclass(frozen=True, eq=False)
class Bodies:
    """Bodies of a device's size: ``box`` (k, 4), and (k,) which of them are ``rich``: with more lines than an
    outline has, or another body in them about their middle."""

    box: FloatArray
    rich: BoolArray

    def take(self, which: BoolArray) -> Bodies:
        return Bodies(self.box[which], self.rich[which])

    @property
    def rounds(self) -> FloatArray:
        """(k, 3) middle and half the narrower side."""
        return _rounds(self.box)

    def painted(self, paint: Paint) -> BoolArray:
        """(k,) partly filled."""
        boxes = shapely.box(*self.box.T)
        share = painted_share(boxes, MEET, paint.tree, paint.area)
        return np.asarray((share >= PAINTED[0]) & (share <= PAINTED[1]), bool)


def closed_bodies(xy: FloatArray) -> tuple[Bodies, NDArray[np.object_]]:
    """The bodies that strokes (n, 4) draw, without circles, which are looked at by themselves, and arrowheads; and
    the areas of triangles as small as these."""
    node = nodes(xy.reshape(-1, 2), MEET).reshape(-1, 2)
    left = _closing(node)
    xy, node = xy[left], node[left]
    mine = hanging_together(node.ravel())
    count = int(mine.max(initial=-1)) + 1
    box = group_boxes(xy, mine, count)
    sides = box[:, 2:] - box[:, :2]
    ink, strokes = np.bincount(mine, lengths(xy), count), np.bincount(mine, minlength=count)
    least, most = sides.min(axis=1), sides.max(axis=1)
    fit = (least >= SMALLEST) & (least <= 2 * RADIUS[1]) & (most <= SLENDER * least) & (strokes >= FEWEST)
    box, share = box[fit], (ink / np.maximum(2 * (least + most), 1e-9))[fit]
    round_ = (most <= (1 + ALIKE) * least)[fit] & (np.abs(share - math.pi / 4) <= ROUND)
    head = (strokes == FEWEST)[fit] & (most[fit] <= ARROWHEAD)
    order = np.argsort(mine, kind="stable")
    of = np.flatnonzero(np.isin(mine[order], np.flatnonzero(fit)[head]))
    ends = shapely.multipoints(xy[order[of]].reshape(-1, 2 * FEWEST, 2))
    return Bodies(box, (share >= RICH) | _holding(box)).take(~(round_ | head)), shapely.convex_hull(ends)


def painted_share(
    shape: NDArray[np.object_], reach: float, pieces: shapely.STRtree, area: FloatArray
) -> FloatArray:
    """(n,) how much of the shapes is painted: the ``area`` of the pieces that lie in them or within ``reach``."""
    one, piece = pieces.query(shapely.buffer(shape, reach, join_style="mitre"), predicate="covers")
    return np.asarray(np.bincount(one, area[piece], len(shape)) / np.maximum(shapely.area(shape), 1e-9))


def _rounds(box: FloatArray) -> FloatArray:
    return np.c_[(box[:, :2] + box[:, 2:]) / 2, (box[:, 2:] - box[:, :2]).min(axis=1) / 2]


def _holding(box: FloatArray) -> BoolArray:
    """(k,) boxes with another about their middle that is no larger."""
    rounds = _rounds(box)
    inner, outer = shapely.STRtree(shapely.box(*box.T)).query(shapely.points(rounds[:, :2]), "within")
    apart = np.hypot(*(rounds[outer, :2] - rounds[inner, :2]).T) <= ALIKE * rounds[outer, 2]
    found = np.zeros(len(box), bool)
    found[outer[apart & (rounds[inner, 2] <= rounds[outer, 2]) & (inner != outer)]] = True
    return found


def _closing(node: IntArray) -> IntArray:
    """Numbers of the strokes, given by the nodes (n, 2) of their ends, that are left where those are taken away
    that end in the air, one after the other."""
    left = np.flatnonzero(node[:, 0] != node[:, 1])
    one, two = node[left].T.copy()
    ends = np.bincount(np.r_[one, two], minlength=int(node.max(initial=-1)) + 1)
    for _ in range(MOST_STEPS):
        kept = (ends[one] > 1) & (ends[two] > 1)
        if kept.all():
            break
        np.subtract.at(ends, np.r_[one[~kept], two[~kept]], 1)
        left, one, two = left[kept], one[kept], two[kept]
    return left

"""Closed outlines of a device's size with something in or at them that nothing explains, whatever hangs at them.

A shape that is drawn once or twice may be anything.  But a box, a half circle or a triangle that is small and has a
letter, a filled part, a line in it or a stem is drawn for a device (common practice, no source).  A wire that ends
on it makes a larger thing of both: what ends in the air, or on a side, is taken away here until only lines are left
that close.

Terms: *body*, the area inside strokes each of which ends on others at both ends.  *Stem*, a line of which one end
lies on the edge of a body, and which leads away from about its middle.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import (
    boxes_around,
    directions,
    group_boxes,
    hanging_together,
    lengths,
    lines,
    near_boxes,
    nodes,
)
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.matching.paint import Paint
from cordpath.symbols.unexplained.circles import LONG, RADIUS

MEET = 0.3  # pt between ends that meet: two roundings to the plotter's grid
MOST_STEPS = 40  # pieces of a wire that are taken away one after the other
ARROWHEAD = 10.0  # pt: smaller triangles on a line are arrowheads
SMALLEST = 3.6  # pt across: less is a dot or a letter
SLENDER = 1.8  # times as long as wide: windows, doors and ends of walls are longer
FLAT = 4.2  # the same of what is no rectangle: half of a circle that is drawn half as high is four times as long
FULL = 0.93  # of a rectangle or a triangle: corners are rounded or lack a row
RIM = 0.1  # radii from the edge in which lines are its own, or end on it
INNER = 0.3  # radii of lines inside: less is a speck, or the end of another thing's line
ASLANT = np.sin(2 * np.radians(10.0))  # to the sides of a box: panes of windows lie along one
PAINTED = 0.02, 0.85  # share of a body: less is a speck, more a solid post
EDGE = 0.5  # pt between a stem's end and the edge: half a pen, and a row
STEM = 0.25, 1.0  # of the size: a shorter line is a speck, a longer one a leader or a wire
# Of the size, by which a stem misses the middle: two side by side do, and the middle of half a circle is anywhere.
AIMED, AT_CIRCLE = 0.25, 0.08  # that of a circle is sure: a line that misses it is another thing's

Shapes = NDArray[np.object_]


def closed_bodies(xy: FloatArray) -> Shapes:
    """(k,) bodies of a device's size that strokes (n, 4) draw, an outline in another one with it."""
    node = nodes(xy.reshape(-1, 2), MEET)
    left = _closing(node.reshape(-1, 2))
    xy, node = xy[left], node.reshape(-1, 2)[left].ravel()
    mine = hanging_together(node)
    count = int(mine.max(initial=-1)) + 1
    box = group_boxes(xy, mine, count)
    fit = _sized(*(box[:, 2:] - box[:, :2]).T)[mine]
    node = node.reshape(-1, 2)[fit].ravel()
    ends = xy[fit].reshape(-1, 2)
    often = np.maximum(np.bincount(node), 1)
    met = np.stack([np.bincount(node, ends[:, k]) / often for k in (0, 1)], axis=1)[node]
    faces = shapely.get_parts(shapely.polygonize(lines(met.reshape(-1, 4))))
    whole = shapely.get_parts(shapely.union_all(shapely.make_valid(faces)))
    whole = shapely.polygons(shapely.get_exterior_ring(whole[shapely.get_type_id(whole) == 3]))
    high, wide = sides(whole).T
    slender = np.where(filled(whole) >= FULL, SLENDER, FLAT)
    return whole[_sized(high, wide) & (np.maximum(high, wide) <= slender * np.minimum(high, wide))]


def _sized(wide: FloatArray, high: FloatArray) -> BoolArray:
    least, most = np.minimum(wide, high), np.maximum(wide, high)
    return np.asarray((least >= SMALLEST) & (least <= 2 * RADIUS[1]) & (most <= FLAT * least), bool)


def sides(shape: Shapes) -> FloatArray:
    """(n, 2) of the rectangles about the shapes, at whatever angle."""
    around = shapely.get_coordinates(shapely.oriented_envelope(shape)).reshape(-1, 5, 2)
    return np.asarray(np.hypot(*np.diff(around[:, :3], axis=1).transpose(2, 0, 1)).reshape(-1, 2), float)


def filled(shape: Shapes) -> FloatArray:
    """(n,) of the rectangle about each that it fills."""
    return np.asarray(shapely.area(shape) / np.maximum(sides(shape).prod(axis=1), 1e-9), float)


def three_sided(shape: Shapes) -> BoolArray:
    """(n,) A triangle fills half of the rectangle around it."""
    return np.asarray(np.abs(filled(shape) - 0.5) <= 1 - FULL, bool)


def heads(shape: Shapes) -> BoolArray:
    """(n,) triangles as small as arrowheads."""
    return np.asarray(three_sided(shape) & (sides(shape).max(axis=1, initial=0.0) <= ARROWHEAD), bool)


def radii(shape: Shapes) -> FloatArray:
    """(n,) of circles as large as the shapes."""
    return np.asarray(np.sqrt(shapely.area(shape) / np.pi), float)


def inner_ink(shape: Shapes, ink: Ink) -> FloatArray:
    """(n,) pt of lines inside each shape, without those on its edge, longer ones that pass, and panes."""
    radius = radii(shape)
    inside = shapely.buffer(shape, -RIM * radius)
    drawn = np.flatnonzero(near_boxes(boxes_around(ink.xy[: ink.count]), shapely.bounds(shape).reshape(-1, 4), 0.0))
    drawn = drawn[~ink.hatch[drawn]]
    of, near = shapely.STRtree(lines(ink.xy[drawn])).query(inside, predicate="intersects")
    stroke = drawn[near]
    short = ink.run[stroke] <= LONG * radius[of]
    of, stroke = of[short], stroke[short]
    line = lines(ink.xy[stroke])
    kept = ~_panes(shape, of, stroke, ink, shapely.covers(inside[of], line))
    inner = shapely.length(shapely.intersection(line[kept], inside[of[kept]]))
    return np.asarray(np.bincount(of[kept], inner, len(shape)))


def _panes(shape: Shapes, of: IntArray, stroke: IntArray, ink: Ink, within: BoolArray) -> BoolArray:
    """(k,) strokes in boxes, of which those ``within`` touch no side, that meet nothing: panes and dashes, but for
    one that is alone and aslant."""
    ends = np.bincount(ink.node)
    loose = within & (ends[ink.node[stroke]] == 1) & (ends[ink.node[stroke + ink.count]] == 1)
    around = shapely.get_coordinates(shapely.oriented_envelope(shape)).reshape(-1, 5, 2)[:, :2].reshape(-1, 4)
    turn = directions(ink.xy[stroke]) - directions(around)[of]
    alone = np.bincount(of[loose], minlength=len(shape))[of] == 1
    return np.asarray(loose & (filled(shape) >= FULL)[of] & ~(alone & (np.abs(np.sin(2 * turn)) >= ASLANT)), bool)


def painted_share(shape: Shapes, reach: float, pieces: shapely.STRtree, area: FloatArray) -> FloatArray:
    """(n,) how much of the shapes is painted: the ``area`` of the pieces that lie in them or within ``reach``."""
    one, piece = pieces.query(shapely.buffer(shape, reach, join_style="mitre"), predicate="covers")
    return np.asarray(np.bincount(one, area[piece], len(shape)) / np.maximum(shapely.area(shape), 1e-9))


def on_stems(shape: Shapes, ink: Ink, aimed: float = AIMED, tips: BoolArray | None = None) -> BoolArray:
    """(n,) shapes with a stem; of ``tips``, triangles that may be arrowheads, those that have it at the tip."""
    found = np.zeros(len(shape), bool)
    ends, tree = ink.run_ends
    of, end = tree.query(shapely.boundary(shape), predicate="dwithin", distance=EDGE)
    middle = shapely.get_coordinates(shapely.centroid(shape)).reshape(-1, 2)
    size = np.sqrt(sides(shape).prod(axis=1))[of]
    stem, to = ends[end], middle[of] - ends[end, :2]
    far = lengths(stem)
    way = (stem[:, 2:] - stem[:, :2]) / np.maximum(far, 1e-9)[:, None]
    off = np.abs(way[:, 0] * to[:, 1] - way[:, 1] * to[:, 0])
    fit = (far >= STEM[0] * size) & (far <= STEM[1] * size) & (off <= aimed * size)
    fit &= (way * to).sum(axis=1) < 0
    # A triangle's tip is farther from its middle than a third of the sides is from its base.
    if tips is not None:
        fit &= ~tips[of] | (np.hypot(*to.T) > size / 2)
    found[of[fit]] = True
    return found


def holding(shape: Shapes, ink: Ink, paint: Paint) -> BoolArray:
    """(k,) shapes with lines in them or a filled part."""
    share = painted_share(shape, MEET, paint.tree, paint.area)
    partly = (share >= PAINTED[0]) & (share <= PAINTED[1])
    return np.asarray((inner_ink(shape, ink) >= INNER * radii(shape)) | partly, bool)


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

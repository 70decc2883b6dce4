"""Strokes and filled areas of a page, joined to the parts that letters are made of.

Terms: *part*, ink that hangs together: a letter, a piece of one (the dot of an i), or anything else that is small;
*band*, the cap heights looked for, in points.  All lengths are stated in heights of the band, so that a sheet
plotted at half size is read like the whole one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from cordpath.geometry import components, directions, group_boxes, lengths, segments_near
from cordpath.model import WHITE, BoolArray, Fills, FloatArray, IntArray, Strokes

Band = tuple[float, float]

LONGEST = 1.4  # of the largest cap height: no stroke of a letter is longer; slashes are the longest
WIDEST = 1.6  # of the largest cap height: no letter is larger
CURVE = 1.35  # of the largest cap height: a curve that spans more belongs to the drawing (door swings)
TOUCH = (0.03, 0.15)  # of the least cap height, and points: ends this close touch (pens are about 0.5 pt wide)
BROKEN = (0.62, 0.4)  # of LONGEST: a clump is taken apart by leaving out strokes longer than this, then this
MOST = 120  # strokes of a letter; a double-stroked & with finely cut curves has about 100
SMOOTH = np.radians(35)  # chords of an arc turn less than this at each joint
JOINT = 0.05  # pt: ends closer than this are one joint of a chain
NEIGHBOURS = 24  # looked at around a lone stroke
AT_ONCE = 20_000  # strokes whose neighbours are looked for together: of a dense hatch each has hundreds
ROUND = 8  # strokes of a circle, at least
FRAMED = (0.22, 0.68)  # height of letters over the height of the circle or box around them
SAME_EDGE = 0.06  # pt: writers round to 1/600 in, and cut curves anew for each of the two
PAIR = 1.25  # times as wide as high: areas of two letters that touch are, and few areas of one letter
NECK = 0.02  # of its smaller side, on either side of it: thinner than any pen that letters are drawn with
EACH = 0.6  # of its smaller side: each of such letters is larger, and pieces of one letter are not
SMALLEST_FILL = 0.02  # of the least cap height: a filled part smaller than this is dirt


@dataclass(frozen=True, eq=False)
class Parts:
    """c parts.  ``xy`` is sorted by ``owner``."""

    xy: FloatArray  # (n, 4) page coordinates; for filled parts the edges of the area
    owner: IntArray  # (n,) part of each stroke
    filled: BoolArray  # (c,)
    box: FloatArray  # (c, 4)

    def __len__(self) -> int:
        return len(self.filled)

    @property
    def strokes(self) -> IntArray:
        """(c,) number of strokes."""
        return np.bincount(self.owner, minlength=len(self))

    @property
    def size(self) -> FloatArray:
        """(c,) the larger side of the box."""
        return (self.box[:, 2:] - self.box[:, :2]).max(axis=1, initial=0.0)

    def keep(self, which: BoolArray) -> Parts:
        number = np.cumsum(which) - 1
        stay = which[self.owner]
        return Parts(self.xy[stay], number[self.owner[stay]], self.filled[which], self.box[which])

    @staticmethod
    def of(xy: FloatArray, owner: IntArray, filled: bool) -> Parts:
        """From strokes in any order; owners are renumbered."""
        if not len(xy):
            return Parts(np.zeros((0, 4)), np.zeros(0, np.int64), np.zeros(0, bool), np.zeros((0, 4)))
        order = np.argsort(owner, kind="stable")
        sorted_owner = owner[order]
        number = np.concatenate([[0], np.cumsum(np.diff(sorted_owner) != 0)])
        count = int(number[-1]) + 1
        return Parts(xy[order], number, np.full(count, filled), group_boxes(xy[order], number, count))

    @staticmethod
    def both(a: Parts, b: Parts) -> Parts:
        return Parts(
            np.concatenate([a.xy, b.xy]), np.concatenate([a.owner, b.owner + len(a)]),
            np.concatenate([a.filled, b.filled]), np.concatenate([a.box, b.box]),
        )  # fmt: skip


def parts(strokes: Strokes, fills: Fills, band: Band) -> Parts:
    """Every part of the page that may be a letter of the band, hatch and dashes left out."""
    dark = fills.luminance < WHITE if len(fills) else np.zeros(0, bool)
    areas = _areas(fills, dark, band)
    outlined = _edges(strokes, fills, dark)
    xy, curve = _short(strokes, strokes.ink() & ~strokes.dashed & ~outlined, band)
    xy = xy[~_arcs(xy, curve, band)]
    drawn = _clumps(xy, band)
    found = Parts.both(drawn.keep(~_hatch(drawn, areas, band)), areas)
    return found.keep(~_frames(found))


def _edges(strokes: Strokes, fills: Fills, dark: BoolArray) -> BoolArray:
    """(n,) strokes that only draw the edge of a dark area: of its own path, or of one of the same box whose points
    lie all on that edge, as of letters that are filled and stroked one after the other."""
    if not dark.any() or not len(strokes):
        return np.zeros(len(strokes), bool)
    own = np.isin(strokes.path, fills.path[dark])
    shape = fills.shape[dark]
    number, path = np.unique(strokes.path, return_inverse=True)
    tree, box = cKDTree(shapely.bounds(shape)), group_boxes(strokes.xy, path, len(number))
    far, area = tree.query(box, p=np.inf, distance_upper_bound=SAME_EDGE)
    same = np.flatnonzero((far < SAME_EDGE)[path] & ~own)
    some, which = np.unique(area[path[same]], return_inverse=True)
    edge = shapely.boundary(shape[some])
    shapely.prepare(edge)
    ends = shapely.points(strokes.xy[same].reshape(-1, 2, 2))
    loose = ~shapely.dwithin(edge[which][:, None], ends, SAME_EDGE).all(axis=1)
    own[same[~np.isin(path[same], path[same[loose]])]] = True
    return own


def _short(strokes: Strokes, use: BoolArray, band: Band) -> tuple[FloatArray, IntArray]:
    use = use & (lengths(strokes.xy) < LONGEST * band[1])
    return strokes.xy[use], strokes.curve[use]


def _areas(fills: Fills, dark: BoolArray, band: Band) -> Parts:
    """Small filled areas, each with its holes."""
    if not dark.any():
        return Parts.of(np.zeros((0, 4)), np.zeros(0, np.int64), True)
    shape = shapely.get_parts(fills.shape[dark])
    shape = _one_by_one(shape[(shapely.get_type_id(shape) == 3) & (_size(shape) < 2 * WIDEST * band[1])])
    size = _size(shape)
    shape = shape[(size < WIDEST * band[1]) & (size > SMALLEST_FILL * band[0])]
    ring, area = shapely.get_rings(shape, return_index=True)
    points, index = shapely.get_coordinates(ring, return_index=True)
    inner = index[1:] == index[:-1] if len(index) else np.zeros(0, bool)
    xy = np.column_stack([points[:-1][inner], points[1:][inner]]) if len(points) else np.zeros((0, 4))
    return Parts.of(xy, area[index[:-1][inner]] if len(points) else np.zeros(0, np.int64), True)


def _size(shape: NDArray[np.object_]) -> FloatArray:
    """(s,) the larger side of each one's box."""
    box = shapely.bounds(shape)
    return np.asarray((box[:, 2:] - box[:, :2]).max(axis=1, initial=0.0))


def _one_by_one(shape: NDArray[np.object_]) -> NDArray[np.object_]:
    """The areas, and for letters of one word that touch, as R and A at their feet, each letter by itself."""
    box = shapely.bounds(shape)
    side = np.sort(box[:, 2:] - box[:, :2], axis=1)
    asked = np.flatnonzero(side[:, 1] > PAIR * side[:, 0])
    neck = NECK * side[asked, 0]
    piece, of = shapely.get_parts(shapely.buffer(shape[asked], -neck), return_index=True)
    small = np.bincount(of, _size(piece) < EACH * side[asked[of], 0], len(asked)) > 0
    split = (np.bincount(of, minlength=len(asked)) > 1) & ~small
    letters = shapely.buffer(piece[split[of]], neck[of[split[of]]], join_style="mitre")
    return np.concatenate([np.delete(shape, asked[split]), letters])


def _arcs(xy: FloatArray, curve: IntArray, band: Band) -> BoolArray:
    """(n,) strokes of curves too large for a letter: of one Bezier piece, or of a smooth chain of chords."""
    n = len(xy)
    if n < 2:
        return np.zeros(n, bool)
    joint = np.round(np.concatenate([xy[:, :2], xy[:, 2:]]) / JOINT).astype(np.int64)
    _, node = np.unique(joint[:, 0] * 4_000_037 + joint[:, 1], return_inverse=True)
    degree = np.bincount(node)
    order = np.argsort(node, kind="stable")
    start = np.searchsorted(node[order], np.flatnonzero(degree == 2))
    one, other = order[start], order[start + 1]
    run = xy[:, 2:] - xy[:, :2]
    run = run / np.maximum(lengths(xy), 1e-9)[:, None]
    out = np.concatenate([run, -run])  # direction away from the joint
    turn = -(out[one] * out[other]).sum(axis=1)
    length = np.maximum(lengths(xy), 1e-9)
    ratio = length[one % n] / length[other % n]
    smooth = (turn > np.cos(SMOOTH)) & (ratio < 4) & (ratio > 0.25)
    bend = np.argsort(curve, kind="stable")
    same = (np.diff(curve[bend]) == 0) & (curve[bend][1:] >= 0)
    first = np.concatenate([one[smooth] % n, bend[:-1][same]])
    second = np.concatenate([other[smooth] % n, bend[1:][same]])
    _, chain = components(first, second, n)
    count = int(chain.max()) + 1
    box = group_boxes(xy, chain, count)
    large = (box[:, 2:] - box[:, :2]).max(axis=1) > CURVE * band[1]
    return (large & (np.bincount(chain, minlength=count) >= 4))[chain]


def _clumps(xy: FloatArray, band: Band) -> Parts:
    """Strokes that touch.  Clumps too large for a letter are taken apart at their long strokes, twice."""
    reach = TOUCH[0] * band[0] + min(TOUCH[1], 0.04 * band[0])
    found = Parts.of(np.zeros((0, 4)), np.zeros(0, np.int64), False)
    for limit in (*BROKEN, 0.0):
        if not len(xy):
            break
        clump = Parts.of(xy, components(*touching(xy, reach), len(xy))[1], False)
        large = (clump.size > WIDEST * band[1]) | (clump.strokes > MOST)
        found = Parts.both(found, clump.keep(~large))
        rest = clump.keep(large)
        xy = rest.xy[lengths(rest.xy) < limit * LONGEST * band[1]]
    return found


def touching(xy: FloatArray, reach: float) -> tuple[IntArray, IntArray]:
    """Pairs of strokes within ``reach`` of each other.  Most meet at their ends; only the others are measured."""
    low, high = np.minimum(xy[:, :2], xy[:, 2:]) - reach / 2, np.maximum(xy[:, :2], xy[:, 2:]) + reach / 2
    boxes = shapely.box(*np.hstack([low, high]).T)
    tree = shapely.STRtree(boxes)
    found = [np.zeros((2, 0), np.int64)]
    for start in range(0, len(xy), AT_ONCE):
        pairs = tree.query(boxes[start : start + AT_ONCE])
        pairs[0] += start
        pairs = pairs[:, pairs[0] < pairs[1]]
        found.append(pairs[:, _touch(xy[pairs[0]], xy[pairs[1]], reach)])
    first, second = np.hstack(found)
    return first, second


def _touch(one: FloatArray, other: FloatArray, reach: float) -> BoolArray:
    """(n,) which of the strokes (n, 4) come within ``reach`` of their partners (n, 4)."""
    step = one.reshape(-1, 2, 1, 2) - other.reshape(-1, 1, 2, 2)
    met = ((step * step).sum(axis=3) <= reach * reach).any(axis=(1, 2))
    asked = np.flatnonzero(~met)
    met[asked] = segments_near(one[asked], other[asked], reach)
    return np.asarray(met, bool)


def _hatch(drawn: Parts, areas: Parts, band: Band) -> BoolArray:
    """(c,) lone strokes in the company of their like (hatch, dashes, stipple), or with no letter near.

    I, 1, - and ' are lone strokes too: they stand beside letters, and seldom more than two in a row are alike.
    """
    count = drawn.strokes
    alone = count == 1
    if not alone.any():
        return np.zeros(len(drawn), bool)
    everything = Parts.both(drawn, areas)
    single = np.concatenate([alone, np.zeros(len(areas), bool)])
    middle = (everything.box[:, :2] + everything.box[:, 2:]) / 2
    size = everything.size
    letter = ~single & (size > 0.6 * band[0])
    mine = np.flatnonzero(alone)
    first = np.flatnonzero(np.diff(drawn.owner, prepend=-1))
    length, angle = lengths(drawn.xy[first])[mine], np.degrees(directions(drawn.xy[first]))[mine]
    k = min(NEIGHBOURS + 1, len(everything))
    far, near = cKDTree(middle).query(middle[mine], k=k)
    far, near = far.reshape(len(mine), -1)[:, 1:], near.reshape(len(mine), -1)[:, 1:]
    close = far < np.maximum(2.4 * size[mine], 3.0 * band[0])[:, None]
    all_length, all_angle = np.zeros(len(everything)), np.zeros(len(everything))
    all_length[mine], all_angle[mine] = length, angle
    turn = np.abs((all_angle[near] - angle[:, None] + 90) % 180 - 90)
    alike = close & single[near] & (turn < 3)
    alike &= np.abs(all_length[near] - length[:, None]) < 0.06 * length[:, None] + 0.05
    same = alike.sum(axis=1)
    lone = (close & single[near] & (size[near] > 0.4 * size[mine][:, None])).sum(axis=1)
    others = (close & ~single[near]).sum(axis=1)
    company = (letter[near] & (far < np.maximum(2.4 * size[mine], 1.1 * band[1])[:, None])).any(axis=1)
    bad = ~company | ((same >= 5) & (others <= same)) | ((lone >= 9) & (lone > 3 * others + 2))
    bad |= (others == 0) & (lone >= 5)
    hatch = np.zeros(len(drawn), bool)
    hatch[mine[bad]] = True
    return hatch


def _frames(found: Parts) -> BoolArray:
    """(c,) circles and boxes drawn around letters.  A letter drawn as outline has a hole too, but a larger one or a
    smaller, and not in its middle."""
    size = found.box[:, 2:] - found.box[:, :2]
    wide, high = size[:, 0], size[:, 1]
    strokes = found.strokes
    round_ = (strokes >= ROUND) & (wide < 1.25 * high) & (high < 1.25 * wide)
    outer = np.flatnonzero(~found.filled & (round_ | (strokes == 4)))
    frames = np.zeros(len(found), bool)
    if not len(outer):
        return frames
    middle = (found.box[:, :2] + found.box[:, 2:]) / 2
    inner = np.flatnonzero(found.filled | (strokes > 1))
    at, inside = shapely.STRtree(shapely.box(*found.box[inner].T)).query(
        shapely.box(*found.box[outer].T), predicate="contains"
    )
    a, b = outer[at], inner[inside]
    ratio = high[b] / np.maximum(high[a], 1e-9)
    fits = (a != b) & (ratio > FRAMED[0]) & (ratio < FRAMED[1])
    fits &= np.abs(middle[a, 1] - middle[b, 1]) < 0.15 * high[a]
    frames[a[fits]] = True
    return frames

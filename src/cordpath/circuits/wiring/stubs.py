"""Lines that are not followed to their ends: where they may go is a doubt of the wiring of the symbols at hand."""

from __future__ import annotations

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath.circuits.wiring.line import LEAST_LOOSE, LEAST_WIRE, Line, Shapes, pen_at, way_at_end
from cordpath.circuits.wiring.strands import GAP, TOUCH, Strands
from cordpath.model import BoolArray, FloatArray, IntArray

SHORT = 10.0  # pt from a symbol: a line that ends nearer may be meant to reach it
SHORT_AIM = 30.0  # degrees between such a line and the symbol
TURNED = 45.0  # degrees between a line before a gap and the way over it: a tight arc turns on
HOP = 12.0  # pt, 1/6 in: over another a wire jumps, or is broken, by 1/16 to 1/8 in (common practice, no source)


def short_of(
    found: Strands, reached: set[int], outline: Shapes, middles: FloatArray, pens: FloatArray
) -> list[Line]:
    """Lines that end a little short of a symbol: whether they reach it is a doubt of that symbol's wiring."""
    loose = np.array([e for e in found.loose().tolist() if e not in reached], np.int64)
    if not len(loose):
        return []
    loose = loose[found.length[found.strand[loose // 2]] >= LEAST_LOOSE]
    k, device = shapely.STRtree(outline).query(
        shapely.points(found.ends[loose]), predicate="dwithin", distance=SHORT
    )
    end = loose[k]
    meant = _along(found.ends[end] - found.ends[end ^ 1], middles[device] - found.ends[end])
    return [
        Line(d, None, found.ends[[e ^ 1, e]], pen_at(pens, found, e))
        for e, d in sorted(zip(end[meant].tolist(), device[meant].tolist(), strict=True))
    ]


def stubs(
    found: Strands, reached: dict[int, list[int]], outline: Shapes, middles: FloatArray, pens: FloatArray
) -> list[Line]:
    """Pieces too short for a wire that begin at a symbol and are not followed on: a first dash in a pen of broken
    lines, which may begin with a gap, one that ends at the end of another stroke, or before a line that comes
    towards it from another symbol, as a wire leaves that is broken at a crossing.  Where the wire goes that begins
    with it was not found.

    ``reached``: the ends of longer lines that lie at devices, with these.
    """
    loose = found.loose()
    loose = loose[found.length[found.strand[loose // 2]] < LEAST_LOOSE]
    k, device = shapely.STRtree(outline).query(
        shapely.points(found.ends[loose]), predicate="dwithin", distance=TOUCH + GAP
    )
    widest = _widest_gaps(found, pens, loose[k] // 2)
    near = shapely.distance(shapely.points(found.ends[loose[k]]), outline[device]) <= TOUCH + widest
    end, device, broken = loose[k[near]], device[near], widest[near] > 0
    far = np.array([found.far(e) for e in end.tolist()], np.int64)
    begins = _along(found.ends[end] - found.ends[far], middles[device] - found.ends[end])
    pen = pens[found.kept[end // 2]]
    met = cKDTree(found.ends).query_ball_point(found.ends[far], TOUCH, return_length=True) > 1
    long = found.length[found.strand[end // 2]] >= LEAST_WIRE
    facing = _facing(found, end, device, reached, pens)
    meant = np.flatnonzero(begins & (broken | (met & long) | facing))
    return [Line(int(device[j]), None, found.ends[[end[j], far[j]]], tuple(pen[j].tolist())) for j in meant]


def _widest_gaps(found: Strands, pens: FloatArray, which: IntArray) -> FloatArray:
    """(k,) the widest gap between dashes in the pens of some strokes, pt; 0 in pens without broken lines."""
    gap = found.gap[found.strand]
    dashed, of = np.unique(pens[found.kept[gap > 0]], axis=0, return_inverse=True)
    widest = np.zeros(len(dashed))
    np.maximum.at(widest, of.ravel(), gap[gap > 0])
    alike = (pens[found.kept[which]][:, None] == dashed[None]).all(axis=2)
    return np.asarray((alike * widest).max(axis=1, initial=0.0), float)


def _facing(
    found: Strands, end: IntArray, device: IntArray, reached: dict[int, list[int]], pens: FloatArray
) -> BoolArray:
    """(k,) does a piece that begins with ``end`` at a device point over a gap at a line from another device?"""
    lines = [e for e in sorted(reached) if found.far(e) not in reached]
    start = np.concatenate([end, np.array(lines, np.int64)])
    of = np.concatenate([device, np.array([reached[e][0] for e in lines], np.int64)])
    tip = found.ends[[found.far(e) for e in start.tolist()]]
    i, j = cKDTree(tip).query_pairs(HOP, output_type="ndarray").T
    pen = pens[found.kept[start // 2]]
    length = found.length[found.strand[start // 2]]
    apart = (of[i] != of[j]) & (pen[i] == pen[j]).all(axis=1) & (length[i] + length[j] >= LEAST_WIRE)
    i, j = i[apart], j[apart]
    way = np.zeros_like(tip)
    for k in np.unique(np.concatenate([i, j])).tolist():
        way[k] = way_at_end(found.walk(int(start[k])))
    meant = _along(way[i], tip[j] - tip[i], TURNED) & _along(way[j], tip[i] - tip[j], TURNED)
    facing = np.zeros(len(start), bool)
    facing[np.concatenate([i[meant], j[meant]])] = True
    return facing[: len(end)]


def _along(way: FloatArray, other: FloatArray, most: float = SHORT_AIM) -> BoolArray:
    """(k,) do two ways differ by no more than so many degrees?"""
    length = np.hypot(*way.T) * np.hypot(*other.T)
    return np.asarray((way * other).sum(axis=1) >= np.cos(np.radians(most)) * length)

"""What two candidates at one place have in common, what each has that the other lacks, and do they say the same?

Ink is compared by the sheet's strokes on the marks of both, marks by where they lie at the two poses.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import shapely
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from cordpath.model import OUTLET_KINDS, BoolArray, FloatArray, IntArray, SymbolEntry
from cordpath.symbols.ink.grid import square_gaps
from cordpath.symbols.matching.evidence import LEAST_MARK, MARK, Candidate
from cordpath.symbols.pose import SCALE, place

OFF, LEAST_SMALL = 0.8, 0.4  # pt at full size from which a place is on no mark, and the least part of it
OWN_INK = 0.10  # share of a rival's marks that the winner has no mark near
ASLANT = 2 * math.sin(math.radians(15.0))  # between doubled directions: as for coverage, what is of a like one


def strokes_on(c: Candidate) -> tuple[IntArray, FloatArray]:
    """The sheet's strokes on the candidate's marks, and the length of each that is."""
    return c.ink.stroke[c.segments], c.lengths


def shared(a: tuple[IntArray, FloatArray], b: tuple[IntArray, FloatArray]) -> float:
    """pt of ink that two candidates have both on their marks; the strokes of each are in ascending order."""
    if not len(a[0]) or not len(b[0]):
        return 0.0
    j = np.minimum(np.searchsorted(b[0], a[0]), len(b[0]) - 1)
    i = np.flatnonzero(b[0][j] == a[0])
    return float(np.minimum(a[1][i], b[1][j[i]]).sum())


def paint_shared(one: Candidate, other: Candidate) -> float:
    """Share of what the one paints that the other paints as well; 0 where one of them paints nothing."""
    if not one.template.drawn.fills or not other.template.drawn.fills:
        return 0.0
    mine = painted(one)
    return float(mine.intersection(painted(other)).area / max(mine.area, 1e-9))


def painted(c: Candidate) -> BaseGeometry:
    """The filled marks of a candidate where it stands, as one shape."""
    key = (c.template, c.pose.tobytes())
    if key not in c.ink.known.painted:
        rings = (place(c.pose[None], ring)[0] for ring in c.template.drawn.fills)
        shapes = [shapely.make_valid(shapely.Polygon(ring)) for ring in rings]
        c.ink.known.painted[key] = shapely.union_all(shapes)
    return c.ink.known.painted[key]


def own_share(rival: Candidate, winner: Candidate) -> float:
    """Share of the rival's samples that lie on no mark of the winner."""
    if rival.template.text_only or winner.template.text_only:
        return 0.0
    # as fine as the smaller of the two is drawn: an outlet in a half-size print is no part of the washer behind it
    far = _off(rival, winner, min(winner.template.small, rival.template.small))
    return float(rival.template.weight[far].sum() / rival.template.ink)


def marks_beyond(winner: Candidate, rival: Candidate) -> BoolArray | None:
    """(samples of the winner,) those that are no mark of the rival; None unless the winner is all of its rival and
    a mark more.  A tick makes another symbol, as small as it is beside the rest, and across a bar as well."""
    template = winner.template
    far = _beyond(winner, rival)
    least = max(MARK * template.ink, LEAST_MARK * template.small)
    return far if far is not None and template.weight[far].sum() >= least and len(winner.segments) else None


def _beyond(winner: Candidate, rival: Candidate) -> BoolArray | None:
    """The same, however little it is."""
    if rival.template.text_only or winner.template.text_only or own_share(rival, winner) > OWN_INK:
        return None
    return _off(winner, rival, winner.template.small) | _across(winner, rival)


def drawn_beyond(winner: Candidate, rival: Candidate) -> float:
    """Share of the lines by which the winner is more than its rival that are drawn; 1 where it is not all of the
    rival and some line more."""
    far, template = _beyond(winner, rival), winner.template
    far = None if far is None else far & (template.weight > 0)
    if far is None or not far.any() or not len(winner.segments):
        return 1.0
    samples = place(winner.pose[None], template.points[far])[0]
    close = template.clear * float(winner.pose[SCALE])
    drawn = (square_gaps(winner.ink.xy[winner.segments], samples[:, None]) < close**2).any(1)
    return float(template.weight[far][drawn].sum() / template.weight[far].sum())


def same_facts(one: SymbolEntry, other: SymbolEntry) -> bool:
    """Outlets that differ in name and shape alone, and that nothing but a label or a breaker may protect."""
    if one.kind not in OUTLET_KINDS or one.protection is not None:
        return False
    same = replace(other, name=one.name, shape=one.shape, legend=one.legend, picked=one.picked)
    return replace(same, scales=one.scales, wall_side=one.wall_side, size=one.size, line=one.line) == one


def _across(one: Candidate, other: Candidate) -> BoolArray:
    """(samples of the one,) those of its lines that nowhere lie along a mark of the other, be they near."""
    key = (one.template, one.pose.tobytes(), other.template, other.pose.tobytes(), "across")
    if key not in one.ink.known.off:
        near = OFF * max(LEAST_SMALL, one.template.small)
        mine, theirs = (_with_ways(each, near / ASLANT) for each in (one, other))
        along = cKDTree(theirs).query(mine)[0] <= near
        element, lines = one.template.element, len(one.template.drawn.lines)
        touched = np.bincount(element, along, max(lines, int(element.max(initial=0)) + 1)) > 0
        one.ink.known.off[key] = np.asarray((element < lines) & ~touched[element], bool)
    return one.ink.known.off[key]


def _with_ways(c: Candidate, weight: float) -> FloatArray:
    """(samples, 4) where they lie, and their directions doubled, so that a line has one."""
    ends = place(c.pose[None], np.r_[c.template.points, c.template.points + _units(c.template.tangents)])[0]
    here, ahead = ends[: len(c.template.points)], ends[len(c.template.points) :]
    turn = 2 * np.arctan2(*(ahead - here).T[::-1])
    return np.c_[here, weight * np.cos(turn), weight * np.sin(turn)]


def _units(angles: FloatArray) -> FloatArray:
    return np.c_[np.cos(angles), np.sin(angles)]


def _off(one: Candidate, other: Candidate, small: float) -> BoolArray:
    """(samples of the one,) those that lie on no mark of the other; ``small``: how small the symbols are drawn."""
    key = (one.template, one.pose.tobytes(), other.template, other.pose.tobytes(), small)
    if key not in one.ink.known.off:
        mine = place(one.pose[None], one.template.points)[0]
        theirs = place(other.pose[None], other.template.points)[0]
        gap = cKDTree(theirs).query(mine)[0]
        one.ink.known.off[key] = np.asarray(gap > OFF * max(LEAST_SMALL, small), bool)
    return one.ink.known.off[key]

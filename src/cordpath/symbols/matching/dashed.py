"""Dashes of one line, straight or bent, that was written as loose strokes: a switch leg across an outlet.

Terms: *dash*, joined strokes with two free ends; *gap*, the way from one dash's free end to the next one's.
On an arc a gap is a chord of it, and turns by as much from the one dash as the other does from it.
"""

from __future__ import annotations

import math

import numpy as np

from cordpath.geometry import components, lengths, pairs_within
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.arcs import mutual
from cordpath.symbols.ink.dashes import LEAST, LONGEST, SHARE, WIDEST
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.matching.bodies import Pairs

NARROWEST = 0.2  # pt of a gap: the plotter's grid
TURN = math.radians(20.0)  # from a dash to the gap: of an arc of 1/4 in radius with dashes of 1/12 in
UNEVEN = math.radians(8.0)  # by which the two turns of a gap differ, and as much as roundings turn its dashes
ROUNDED = 0.13  # pt, by which two roundings move an end aside
APART = 1e4  # pt: beyond the largest sheet, between ends about different bodies


def over_gaps(
    ink: Ink, around: Pairs, free: BoolArray, joined: tuple[IntArray, IntArray]
) -> tuple[IntArray, IntArray]:
    """Pairs of the segments ``around`` bodies, by their places in it, that gaps of dashed lines part.

    ``free`` (2p,) ends of the segments, first ones before last ones, that no other meets; ``joined``: pairs of
    segments of one stroke.  A line has as many gaps as it takes for no mark beside another to be a dash of it.
    """
    none = np.zeros(0, np.int64), np.zeros(0, np.int64)
    n, size = len(around), lengths(ink.xy[around.item])
    half = np.flatnonzero(free & np.tile((size > NARROWEST) & (size <= LONGEST), 2))
    if len(half) < 2 * LEAST:
        return none
    own, last = half % n, half >= n
    ends = ink.ends[around.item[own] + last * ink.count]
    out = (ends - ink.ends[around.item[own] + ~last * ink.count]) / size[own, None]
    i, j = pairs_within(np.c_[ends, around.body[own] * APART], WIDEST).T
    step = ends[j] - ends[i]
    gap = np.hypot(*step.T)
    wide = (own[i] != own[j]) & (gap > NARROWEST)
    i, j, step, gap = i[wide], j[wide], step[wide], gap[wide]
    leaves, comes = _turn(out[i], step), _turn(step, -out[j])
    slack = UNEVEN + ROUNDED / size[own[i]] + ROUNDED / size[own[j]]
    on = (np.abs(leaves) < TURN) & (np.abs(comes) < TURN) & (np.abs(leaves - comes) < slack)
    partner = mutual(i[on], j[on], gap[on], len(half))
    a = np.flatnonzero(partner >= 0)
    a = a[a < partner[a]]
    first, second = own[a], own[partner[a]]
    return _in_rows(first, second, np.hypot(*(ends[a] - ends[partner[a]]).T), size, joined)


def _in_rows(
    first: IntArray, second: IntArray, gap: FloatArray, size: FloatArray, joined: tuple[IntArray, IntArray]
) -> tuple[IntArray, IntArray]:
    """Those of the gaps that are no longer than the dashes beside them, in lines of enough."""
    count, dash = components(*joined, len(size))
    long = np.bincount(dash, size, count)
    even = gap <= SHARE * np.maximum(long[dash[first]], long[dash[second]])
    even &= np.maximum(long[dash[first]], long[dash[second]]) <= LONGEST
    first, second = first[even], second[even]
    _, line = components(dash[first], dash[second], count)
    enough = np.bincount(line[dash[first]], minlength=count)[line[dash[first]]] >= LEAST
    return first[enough], second[enough]


def _turn(one: FloatArray, other: FloatArray) -> FloatArray:
    """(n,) angles from directions (n, 2) to others."""
    across = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
    return np.asarray(np.arctan2(across, (one * other).sum(axis=1)))

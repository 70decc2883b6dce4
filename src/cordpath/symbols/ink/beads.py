"""Small circles in a row, each touching the next: a texture that a sheet draws over and over.

Terms: *bead*, one of the circles; *string*, at least three of them of one size, in a straight row at even gaps;
*form*, how many, how large and how far apart; *alone*, on no larger circle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.spatial import cKDTree

from cordpath.geometry import components
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.arcs import Arcs

FEWEST = 3  # beads: two circles that touch are many things
WHOLE = 300.0  # degrees drawn: beads of twelve chords may share one with each neighbour
LARGEST = 6.0  # pt of radius of a bead
LARGEST_BODY = 40.0  # pt of radius of circles on which strings are not alone: larger ones are no symbols
LIKE = 0.04, 0.12  # relative, and pt (a step of the plotter's grid): radii of one size
TOUCH = 0.25  # pt between circles that touch: two steps of the plotter's grid
EVEN = 0.35  # pt by which gaps differ and beads are off their row: three steps of the grid
CLOSEST = 0.5  # radii between two beads: nearer ones are one circle drawn twice


@dataclass(frozen=True, eq=False)
class Beads:
    """``form`` (s, 3): beads, radius and gap in pt of each string; ``ends`` (s, 2, 2): middles of its first and
    last bead; ``string``, ``circle`` (k,): which circle of the sheet is a bead of which string; ``alone`` (s,);
    ``on_string``, ``on_circle`` (o,): which of those that are not alone lie on which larger circle."""

    form: FloatArray
    ends: FloatArray
    string: IntArray
    circle: IntArray
    on_string: IntArray
    on_circle: IntArray

    @property
    def middle(self) -> FloatArray:
        """(s, 2)"""
        return np.asarray(self.ends.mean(1))

    @property
    def alone(self) -> BoolArray:
        return ~np.isin(np.arange(len(self.form)), self.on_string)

    def alike(self, string: int) -> IntArray:
        """Strings of the same form, itself among them."""
        count, radius, gap = self.form.T
        same = (count == count[string]) & _one_size(radius, radius[string])
        return np.flatnonzero(same & (np.abs(gap - gap[string]) < EVEN))


def strings_of(arcs: Arcs) -> Beads:
    """All strings among a sheet's circles."""
    whole = np.flatnonzero(arcs.circles[:, 3] >= WHOLE)
    small = whole[arcs.circles[whole, 2] <= LARGEST]
    xy, radius = arcs.circles[small, :2], arcs.circles[small, 2]
    a, b = cKDTree(xy).query_pairs(2 * LARGEST + TOUCH, output_type="ndarray").T if len(small) else (small, small)
    gap = np.hypot(*(xy[a] - xy[b]).T)
    near = _one_size(radius[a], radius[b]) & (gap < radius[a] + radius[b] + TOUCH) & (gap > CLOSEST * radius[a])
    count, of = components(a[near], b[near], len(small))
    size = np.bincount(of, minlength=count)
    forms, ends, rows = [], [], []
    for group in np.flatnonzero(size >= FEWEST):
        mine = np.flatnonzero(of == group)
        row = _row(xy[mine])
        if row is not None:
            forms.append((len(mine), float(radius[mine].mean()), row[0]))
            ends.append(row[1])
            rows.append(mine)
    form = np.array(forms, float).reshape(-1, 3)
    string = np.repeat(np.arange(len(rows)), [len(mine) for mine in rows])
    circle = small[np.concatenate(rows)] if rows else small[:0]
    return Beads(form, np.array(ends).reshape(-1, 2, 2), string, circle, *_on_larger(arcs.circles, string, circle))


def _row(xy: FloatArray) -> tuple[float, FloatArray] | None:
    """pt from bead to bead (n, 2), and the first and last of them, if they lie in a straight row at even gaps."""
    away = xy - xy.mean(0)
    axis = np.linalg.svd(away, full_matrices=False)[2][0]
    order = np.argsort(away @ axis)
    gaps = np.diff((away @ axis)[order])
    even = np.ptp(gaps) < EVEN and np.abs(away @ np.array([-axis[1], axis[0]])).max() < EVEN
    return (float(gaps.mean()), xy[order[[0, -1]]]) if even else None


def _on_larger(circles: FloatArray, string: IntArray, bead: IntArray) -> tuple[IntArray, IntArray]:
    """Pairs (string, larger circle on which one of its beads lies, or in which)."""
    body = np.flatnonzero(circles[:, 2] <= LARGEST_BODY)
    if not len(bead):
        return string, bead
    reach = circles[bead, 2] + LARGEST_BODY
    near = cKDTree(circles[body, :2]).query_ball_point(circles[bead, :2], reach)
    k = np.repeat(np.arange(len(bead)), [len(each) for each in near])
    large = body[np.concatenate([np.asarray(each, np.int64) for each in near])]
    apart = np.hypot(*(circles[large, :2] - circles[bead[k], :2]).T)
    radius = circles[bead[k], 2]
    larger = (circles[large, 2] > radius) & ~_one_size(circles[large, 2], radius)
    on = larger & (apart < circles[large, 2] + radius)
    pairs = np.unique(np.c_[string[k[on]], large[on]], axis=0)
    return pairs[:, 0], pairs[:, 1]


def _one_size(one: FloatArray, other: FloatArray | float) -> BoolArray:
    return np.asarray(np.abs(one - other) < np.maximum(LIKE[0] * one, LIKE[1]))

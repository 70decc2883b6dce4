"""Beads across a symbol that are a texture of the sheet and no mark: the same string is drawn again elsewhere, on
nothing that looks like the symbol.

A mark of three dots recurs where it is a mark: both its ends as far from the middle of a circle like the symbol's
own.  Terms: see ``beads.py``.
"""

from __future__ import annotations

import numpy as np

from cordpath.model import FloatArray, IntArray
from cordpath.symbols.ink.beads import CLOSEST, Beads
from cordpath.symbols.ink.grid import sorted_unique
from cordpath.symbols.ink.normalise import NOBODYS
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.pose import SCALE, place

ELSEWHERE = 3  # strings of the same form that lie alone, from which it is a texture
# Radii of the body from its middle, twice what drafting and rounding move a mark by: a nearer string may be a mark
# whatever else is drawn.
ASIDE = 0.1
SAME_PLACE = 0.5  # pt by which a mark's ends differ in their distance from the middle of its circle: roundings
LIKE_BODY = 0.1  # share by which radii of circles of like symbols differ


def beads_across(c: Candidate) -> IntArray:
    """Segments of the sheet in strings near the candidate that are a texture."""
    beads, template = c.ink.beads, c.template
    if not len(beads.form) or not len(template.circles):
        return NOBODYS
    body = place(c.pose[None], template.circles[:1, :2])[0, 0]
    radius = float(template.circles[0, 2] * c.pose[SCALE])
    away = np.hypot(*(beads.middle - body).T)
    reach = c.radius + beads.form[:, 1:].sum(1) * beads.form[:, 0]
    near = [k for k in np.flatnonzero((away < reach) & (beads.form[:, 1] < CLOSEST * radius)).tolist()
            if away[k] > ASIDE * c.radius and _is_texture(beads, k, c, body, radius)]  # fmt: skip
    if not near:
        return NOBODYS
    arcs = c.ink.arcs
    return sorted_unique(arcs.stroke[np.isin(arcs.circle, beads.circle[np.isin(beads.string, near)])])


def _is_texture(beads: Beads, string: int, c: Candidate, body: FloatArray, radius: float) -> bool:
    alike = beads.alike(string)
    if beads.alone[alike].sum() < ELSEWHERE:
        return False
    circles = c.ink.arcs.circles
    mine = np.isin(beads.on_string, alike) & (beads.on_string != string)
    of, on = beads.on_string[mine], beads.on_circle[mine]
    like = np.abs(circles[on, 2] - radius) < LIKE_BODY * radius
    here, theirs = _away(beads.ends[string], body), _away(beads.ends[of], circles[on, None, :2])
    return not bool((like & (np.abs(theirs - here) < SAME_PLACE).all(1)).any())


def _away(ends: FloatArray, middle: FloatArray) -> FloatArray:
    """(..., 2) how far the ends of strings (..., 2, 2) are from a middle, the nearer first."""
    apart = ends - middle
    return np.sort(np.hypot(apart[..., 0], apart[..., 1]), axis=-1)

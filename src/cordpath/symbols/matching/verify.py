"""At which of its hypothetical poses is a template drawn?

They are sieved by what costs least first: a raster of the sheet's ink, then coverage and fit, which look at the ink
itself; *coverage* as in coverage.py.
"""

from __future__ import annotations

import math
from hashlib import blake2b

import numpy as np
from scipy.spatial import cKDTree

from cordpath.model import FloatArray, IntArray
from cordpath.symbols.ink.normalise import NOBODYS, Ink
from cordpath.symbols.matching.coverage import coverage
from cordpath.symbols.matching.fit import fitted, fitted_by_pen
from cordpath.symbols.pose import MIRROR, NO_POSES, SCALE, TURN, after, place
from cordpath.symbols.templates.orbits import canonical
from cordpath.symbols.templates.template import Template

LEAST = 0.80  # coverage under which a pose is no candidate at all
BEGUN = LEAST - 0.05  # the same before it is fitted
FEW = 20  # poses, of which each is fitted, however little of it is drawn
IN_FULL = 0.98  # coverage: what differs from 1 by roundings and the pen only
ANOTHER_WAY = math.sin(math.radians(15.0))  # between turns: what a template is fitted from is nearer
ANOTHER_TURN = math.cos(math.radians(15.0))  # the same, of lines that have a head and a tail
ANOTHER_CIRCLE = 1.0  # pt between centres: what is fitted twice to one circle is nearer
LARGE = 20.0  # pt of body radius from which a pose's small errors of scale and turn move its rim off the ink


def verified(template: Template, ink: Ink, poses: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Candidates among hypothetical poses: fitted poses and their coverage, best first, one a place.

    Entries whose lines are the same, and which only text or paint tells apart, are fitted once.
    """
    key = _lines_key(template, poses)
    if key not in ink.known.fits:
        ink.known.fits[key] = best_fits(template, ink, plausible(template, ink, poses))
    return ink.known.fits[key]


def _lines_key(template: Template, poses: FloatArray) -> bytes:
    digest = blake2b(repr((template.lowest, template.highest, template.step)).encode())
    lines = (template.points, template.tangents, template.element, template.weight)
    for values in (*lines, template.drawn.lines, template.drawn.arcs, poses):
        digest.update(repr(values.shape).encode())
        digest.update(np.ascontiguousarray(values).tobytes())
    return digest.digest()


def plausible(template: Template, ink: Ink, poses: FloatArray) -> FloatArray:
    """The poses that cheap look-ups leave, one of those that the template's symmetries lead to."""
    poses = canonical(template, poses)
    # Not the edges of fills, but where the pen draws next to nothing: a solid shape's short stem lies everywhere.
    inked = np.flatnonzero(template.weight) if template.penned.tell else np.arange(len(template.points))
    for count, least in ((24, 0.6), (96, LEAST - 0.04 if template.radius < LARGE else 0.6)):
        if len(poses):
            k = inked[np.linspace(0, len(inked) - 1, min(count, len(inked))).astype(np.int64)]
            poses = poses[ink.raster.share(poses, template.points[k], template.tangents[k]) >= least]
    if not len(poses):
        return poses
    centres = place(poses, template.centre[None])[:, 0]
    return poses[ink.crowding.worth(centres, (template.radius + 1.5) * poses[:, SCALE], template.step)]


def best_fits(template: Template, ink: Ink, poses: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Fitted poses and their coverage, as ``verified`` gives them, of poses that are plausible."""
    poses, near = fitted(template, ink, poses, BEGUN if len(poses) > FEW else 0.0)
    covered = coverage(template, ink, poses, near)
    short = np.flatnonzero(covered < LEAST) if template.drawn.fills and not template.solid else NOBODYS
    if len(short):
        again = fitted_by_pen(template, ink, poses[short])  # before they are given up
        more = coverage(template, ink, again)
        better = more > covered[short]
        poses[short[better]], covered[short[better]] = again[better], more[better]
    poses, covered = _best(template, poses, covered, BEGUN)
    poses, covered = _with_turned(template, ink, poses, covered)
    return _best(template, poses, covered, LEAST)


def _best(
    template: Template, poses: FloatArray, covered: FloatArray, least: float
) -> tuple[FloatArray, FloatArray]:
    """The poses that are covered by ``least``, best first, one a place."""
    order = np.argsort(-np.round(covered, 6), kind="stable")
    order = order[covered[order] >= least]
    poses, covered = poses[order], covered[order]
    kept = _one_a_place(template, poses, covered)
    return poses[kept], covered[kept]


def _with_turned(
    template: Template, ink: Ink, poses: FloatArray, covered: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """With the poses at which the same body lies on the same ink otherwise, and more of the template is drawn: the
    features of a triangle with a tick are those of a triangle, and of three sides one may be drawn in one piece."""
    asked = np.flatnonzero((covered >= BEGUN) & (covered < IN_FULL))
    nearly = template.near_symmetry(BEGUN) if len(asked) else NO_POSES
    if not len(nearly):
        return poses, covered
    turned, near = fitted(template, ink, after(poses[asked], nearly).reshape(-1, 5), 0.0)
    again = coverage(template, ink, turned, near)
    better = again > np.repeat(covered[asked], len(nearly))
    return np.r_[poses, turned[better]], np.r_[covered, again[better]]


def _one_a_place(template: Template, poses: FloatArray, covered: FloatArray) -> IntArray:
    """The best of the poses about each place, and of those turned elsewhere or around another circle each that is
    drawn in full.

    A wall through the middle of a circle with a line is drawn as fully as the line is: which is meant is told
    later.  ``poses``: best first.
    """
    if len(poses) < 2:
        return np.arange(len(poses))
    centre = place(poses, template.centre[None])[:, 0]
    circle = place(poses, template.circles[:1, :2])[:, 0] if len(template.circles) else centre
    pairs = cKDTree(centre).query_pairs(0.35 * template.radius, output_type="ndarray")
    better, worse = pairs[np.argsort(pairs[:, 0], kind="stable")].T
    other = np.abs(np.sin(poses[worse, TURN] - poses[better, TURN])) > ANOTHER_WAY
    other |= np.hypot(*(circle[worse] - circle[better]).T) > ANOTHER_CIRCLE
    full = covered[worse] >= IN_FULL
    if template.drawn.fills:  # lines that look the same turned or mirrored: the paint tells later
        turned = np.cos(poses[worse, TURN] - poses[better, TURN]) < ANOTHER_TURN
        turned |= poses[worse, MIRROR] != poses[better, MIRROR]
        full |= turned
        other |= turned
    yields = ~other | ~full
    taken = [False] * len(poses)
    for i, j in zip(better[yields].tolist(), worse[yields].tolist(), strict=True):
        if not taken[i]:
            taken[j] = True
    return np.flatnonzero(~np.array(taken))

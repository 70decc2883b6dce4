"""How much of a template lies on ink at a pose, and how the pose is bettered.

Term: *coverage*, the share of a template's length that has ink within the tolerance and of a like direction
(0 to 1).  One association of ink and samples gives coverage, the normal equations of the fit (point to line) and
the evidence.
"""

from __future__ import annotations

import math
from hashlib import blake2b

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.matching.pieces import Near, offset, pieces, touching
from cordpath.symbols.pose import MIRROR, SCALE, TURN, place
from cordpath.symbols.templates.orbits import canonical
from cordpath.symbols.templates.template import Template

LEAST = 0.80  # coverage under which a pose is no candidate at all
MOST_MOVE = np.array([0.8, 0.8, 0.08, 0.05])  # pt, pt, radians, share: one step of the fit
IN_FULL = 0.98  # coverage: what differs from 1 by roundings and the pen only
ANOTHER_WAY = math.sin(math.radians(15.0))  # between turns: what a template is fitted from is nearer
ANOTHER_CIRCLE = 1.0  # pt between centres: what is fitted twice to one circle is nearer
LARGE = 20.0  # pt of body radius from which a pose's small errors of scale and turn move its rim off the ink


def coverage(
    template: Template, ink: Ink, poses: FloatArray, *, coarse: bool = False, near: Near | None = None
) -> FloatArray:
    """(n,) coverage of every pose; ``coarse``: with the tolerance of a pose that is not fitted yet."""
    out = np.zeros(len(poses))
    step = (1.0 if coarse else 0.5) * template.step
    tolerance = 0.7 * template.reach if coarse else template.tolerance
    for part, p in pieces(template, ink, poses, step, near, marks=True):
        k, j = touching(template, p, tolerance, 0.5 if coarse else 0.0)
        hit = np.zeros((part.stop - part.start, len(template.points)), bool)
        hit[p.of_pose[p.row[k]], j] = True
        out[part] = (spread(template, hit, coarse) * template.weight).sum(1) / template.ink
    return out


def spread(template: Template, hit: BoolArray, coarse: bool = False) -> BoolArray:
    """Samples closer together than the pieces of ink share their hits with neighbours of the same element."""
    fine = (template.weight < 0.6 * template.step) & (template.weight > 0)
    same = template.element[1:] == template.element[:-1]
    rounds = 1 if coarse else 0
    if fine.any():
        need = math.ceil(0.5 * template.step / max(0.02, float(template.weight[fine].min())))
        rounds = max(rounds, min(need, 4))
    wanted = np.ones(len(fine), bool) if coarse else fine
    for _ in range(rounds):
        wider = hit.copy()
        wider[:, 1:] |= hit[:, :-1] & same & wanted[1:]
        wider[:, :-1] |= hit[:, 1:] & same & wanted[:-1]
        hit = wider
    return hit


def fitted(template: Template, ink: Ink, poses: FloatArray, share: float, near: Near | None = None) -> FloatArray:
    """Poses after one step of least squares from samples to the ink within a share of the template's reach.

    Unknowns: shift, turn and scale about the body's centre; a little damping holds what the ink does not tell.
    """
    n = len(poses)
    normal = np.zeros((n, 4, 4))
    right = np.zeros((n, 4))
    limit = max(share * template.reach, 1.6 * template.tolerance)
    calm = (limit / 3) ** 2  # a wall's face beside a mark must not pull as hard as the mark's own line
    for part, p in pieces(template, ink, poses, template.step, near, marks=True):
        nearest = p.on(template.maps)
        k = np.flatnonzero(nearest >= 0)
        j: IntArray = nearest[k].astype(np.int64)
        across, _, cross = offset(template, p, k, j)
        ok = (np.abs(across) < limit) & (cross < p.like[p.row[k]])
        k, j, across = k[ok], j[ok], across[ok]
        pose = p.of_pose[p.row[k]]
        nx, ny = -np.sin(template.tangents)[j], np.cos(template.tangents)[j]
        kx, ky = template.points[j, 0] - template.centre[0], template.points[j, 1] - template.centre[1]
        terms = (nx, ny, ny * kx - nx * ky, nx * kx + ny * ky)
        trust = calm / (calm + across * across)
        size = part.stop - part.start
        for a in range(4):
            right[part, a] = np.bincount(pose, trust * terms[a] * across, size)
            for b in range(a, 4):
                normal[part, a, b] = np.bincount(pose, trust * terms[a] * terms[b], size)
                normal[part, b, a] = normal[part, a, b]
    lever = max(0.2, template.small) ** 2
    normal += np.diag([0.5, 0.5, 20.0 * lever, 20.0 * lever])
    move = np.linalg.solve(normal, right[..., None])[..., 0]
    return _moved(template, poses, np.clip(move, -MOST_MOVE, MOST_MOVE))


def _moved(template: Template, poses: FloatArray, move: FloatArray) -> FloatArray:
    """Poses after shift, turn and scale in the template frame about the body's centre."""
    centre = place(poses, template.centre[None])[:, 0]
    flip = 1 - 2 * poses[:, MIRROR]
    c, s = np.cos(poses[:, TURN]), np.sin(poses[:, TURN])
    dx, dy = move[:, 0] * flip, move[:, 1]
    centre = centre + np.c_[c * dx - s * dy, s * dx + c * dy] * poses[:, SCALE : SCALE + 1]
    out = poses.copy()
    out[:, TURN] += flip * move[:, 2]
    out[:, SCALE] = np.clip(poses[:, SCALE] * (1 + move[:, 3]), template.lowest, template.highest)
    out[:, :2] = 0.0
    out[:, :2] = centre - place(out, template.centre[None])[:, 0]
    return out


def verified(template: Template, ink: Ink, poses: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Candidates among hypothetical poses: fitted poses and their coverage, best first, one a place.

    Entries whose lines are the same, and which only text or paint tells apart, are fitted once.
    """
    key = _lines_key(template, poses)
    if key not in ink.fits:
        ink.fits[key] = _verified(template, ink, poses)
    return ink.fits[key]


def _lines_key(template: Template, poses: FloatArray) -> bytes:
    digest = blake2b(repr((template.lowest, template.highest, template.step)).encode())
    lines = (template.points, template.tangents, template.element, template.weight)
    for values in (*lines, template.drawn.lines, template.drawn.arcs, poses):
        digest.update(repr(values.shape).encode())
        digest.update(np.ascontiguousarray(values).tobytes())
    return digest.digest()


def _verified(template: Template, ink: Ink, poses: FloatArray) -> tuple[FloatArray, FloatArray]:
    poses = canonical(template, poses)
    for count, least in ((24, 0.6), (96, LEAST - 0.04 if template.radius < LARGE else 0.6)):  # cheap look-ups first
        if len(poses):
            k = np.linspace(0, len(template.points) - 1, min(count, len(template.points))).astype(np.int64)
            poses = poses[ink.raster.share(poses, template.points[k], template.tangents[k]) >= least]
    if len(poses):
        centres = place(poses, template.centre[None])[:, 0]
        reach = (template.radius + 1.5) * poses[:, SCALE]
        poses = poses[ink.crowding.worth(centres, reach, template.step)]
    if len(poses) > 20:
        poses = poses[coverage(template, ink, poses, coarse=True) >= LEAST - 0.05]
    if not len(poses):
        return poses, np.zeros(0)
    near = Near.of(template, ink, poses)
    for share in (0.9, 0.6, 0.4, 0.25):  # of the template's reach
        poses = fitted(template, ink, poses, share, near)
    covered = coverage(template, ink, poses, near=near)
    order = np.argsort(-np.round(covered, 6), kind="stable")
    order = order[covered[order] >= LEAST]
    poses, covered = poses[order], covered[order]
    return _one_a_place(template, poses, covered)


def _one_a_place(template: Template, poses: FloatArray, covered: FloatArray) -> tuple[FloatArray, FloatArray]:
    """The best of the poses about each place, and of those turned elsewhere or around another circle each that is
    drawn in full.

    A wall through the middle of a circle with a line is drawn as fully as the line is: which is meant is told
    later.
    """
    from scipy.spatial import cKDTree

    if not len(poses):
        return poses, covered
    centre = place(poses, template.centre[None])[:, 0]
    circle = place(poses, template.circles[:1, :2])[:, 0] if len(template.circles) else centre
    near = cKDTree(centre).query_ball_point(centre, 0.35 * template.radius)
    taken = np.zeros(len(poses), bool)
    kept = []
    for i in range(len(poses)):  # candidates only: tens to hundreds
        if not taken[i]:
            kept.append(i)
            k = np.array(near[i], np.int64)
            other = np.abs(np.sin(poses[k, TURN] - poses[i, TURN])) > ANOTHER_WAY
            other |= np.hypot(*(circle[k] - circle[i]).T) > ANOTHER_CIRCLE
            taken[k[~other | (covered[k] < IN_FULL)]] = True
    return poses[kept], covered[kept]

"""A pose is improved by least squares, from samples of a template to the ink beside them.

Unknowns: shift, turn and scale about the body's centre; a little damping holds what the ink does not tell.
"""

from __future__ import annotations

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.matching.coverage import coarse
from cordpath.symbols.matching.pieces import Beside, Near, Pieces, pieces
from cordpath.symbols.pose import MIRROR, NO_POSES, SCALE, TURN, place
from cordpath.symbols.templates.template import Template

MOST_MOVE = np.array([0.8, 0.8, 0.08, 0.05])  # pt, pt, radians, share: one step of the fit
SHARES = (0.9, 0.6, 0.4, 0.25)  # of the template's reach: the ink that pulls, from step to step


def fitted(template: Template, ink: Ink, poses: FloatArray, least: float) -> tuple[FloatArray, Near | None]:
    """The poses that are coarsely covered by ``least``, fitted, and the ink about their marks.

    The first step looks at the same ink as the coarse coverage does.  What lies about marks of a like direction
    after it is all that is looked at from then on: a dense sheet has several times as much about a pose.
    """
    first, *more = SHARES
    poses = _begun(template, ink, poses, first, least)
    near = None
    for share in more:
        poses, near = _bettered(template, ink, poses, share, near)
    return poses, near


def fitted_by_pen(template: Template, ink: Ink, poses: FloatArray) -> FloatArray:
    """Fitted poses after one step more, in which edges of paint have no part, as in coverage: a small square,
    rounded to a plotter's grid, held the hook beside it a tenth of a pt off its place."""
    return _bettered(template, ink, poses, SHARES[-1], None, by_pen=True)[0]


def _begun(template: Template, ink: Ink, poses: FloatArray, share: float, least: float) -> FloatArray:
    """The poses that are coarsely covered by ``least``, after one step."""
    out = [NO_POSES]
    for part, p in pieces(template, ink, poses, template.step, marks=True):
        beside = Beside.of(template, p)
        enough = coarse(template, p, beside, part.stop - part.start) >= least
        if enough.any():
            matters = enough[p.of_pose[p.row[beside.piece]]]
            out.append(_stepped(template, poses[part], p, beside, share, matters)[enough])
    return np.concatenate(out)


def _bettered(
    template: Template, ink: Ink, poses: FloatArray, share: float, near: Near | None, by_pen: bool = False
) -> tuple[FloatArray, Near]:
    """Poses after one step, and the ink about their marks before it; ``near``: the same, if it is known;
    ``by_pen``: without the edges of fills."""
    out = poses.copy()
    pairs: list[tuple[IntArray, IntArray]] = []
    for part, p in pieces(template, ink, poses, template.step, near, marks=True):
        beside = Beside.of(template, p)
        own = template.weight[beside.sample] > 0 if by_pen else None
        out[part] = _stepped(template, poses[part], p, beside, share, own)
        if near is None:
            row = np.flatnonzero(np.bincount(p.row, minlength=len(p.of_pose)))
            pairs.append((p.of_pose[row] + part.start, p.of_segment[row]))
    return out, Near.of(template, poses, pairs) if near is None else near


def _stepped(
    template: Template, poses: FloatArray, p: Pieces, beside: Beside, share: float, which: BoolArray | None
) -> FloatArray:
    """Poses after one step to the ink within a share of the template's reach; ``which``: the pieces that matter."""
    n = len(poses)
    limit = max(share * template.reach, 1.6 * template.tolerance)
    calm = (limit / 3) ** 2  # a wall's face beside a mark must not pull as hard as the mark's own line
    near = np.abs(beside.across) < limit
    if which is not None:
        near &= which
    pull = np.flatnonzero(near)
    across, j = beside.across[pull], beside.sample[pull]
    pose = p.of_pose[p.row[beside.piece[pull]]]
    trust = calm / (calm + across * across)
    terms = _terms(template)[:, j]
    normal, right = np.zeros((n, 4, 4)), np.zeros((n, 4))
    for a in range(4):
        trusted = trust * terms[a]
        right[:, a] = np.bincount(pose, trusted * across, n)
        for b in range(a, 4):
            normal[:, a, b] = normal[:, b, a] = np.bincount(pose, trusted * terms[b], n)
    lever = max(0.2, template.small) ** 2
    normal += np.diag([0.5, 0.5, 20.0 * lever, 20.0 * lever])
    move = np.linalg.solve(normal, right[..., None])[..., 0]
    return _moved(template, poses, np.clip(move, -MOST_MOVE, MOST_MOVE))


def _terms(template: Template) -> FloatArray:
    """(4, samples) how far ink comes nearer across a mark with shift, turn and scale by one."""
    nx, ny = -np.sin(template.tangents), np.cos(template.tangents)
    kx, ky = (template.points - template.centre).T
    return np.stack([nx, ny, ny * kx - nx * ky, nx * kx + ny * ky])


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

"""The poses that put a template on the same ink: what its own symmetries lead to."""

from __future__ import annotations

import numpy as np

from cordpath.model import FloatArray, IntArray
from cordpath.symbols.pose import MIRROR, SCALE, TURN, place
from cordpath.symbols.templates.template import Template


def canonical(template: Template, poses: FloatArray) -> FloatArray:
    """One pose for each place, however many of the template's own symmetries lead there."""
    if not len(poses):
        return poses
    centre = place(poses, template.centre[None])[:, 0]
    out = poses.copy()
    if template.round:
        out[:, TURN] = out[:, MIRROR] = 0.0
    else:
        best = np.full(len(poses), np.inf)
        for turn, mirror in template.symmetry:
            angle = np.mod(poses[:, TURN] + (1 - 2 * poses[:, MIRROR]) * turn + 1e-3, 2 * np.pi) - 1e-3
            flip = np.mod(poses[:, MIRROR] + mirror, 2)
            rank = flip * 10 + np.round(angle / 0.05) * 0.05
            better = rank < best - 1e-9
            best = np.where(better, rank, best)
            out[:, TURN] = np.where(better, angle, out[:, TURN])
            out[:, MIRROR] = np.where(better, flip, out[:, MIRROR])
    out[:, :2] = 0.0
    out[:, :2] = centre - place(out, template.centre[None])[:, 0]
    cells = np.c_[centre / 0.4, out[:, TURN] / 0.05, out[:, MIRROR], out[:, SCALE] * 40]
    key = _numbered(np.asarray(np.round(cells), np.int64))
    order = np.argsort(key, kind="stable")  # of equal keys the first pose comes first
    new = np.r_[True, key[order][1:] != key[order][:-1]]
    return out[np.sort(order[new])]


def _numbered(rows: IntArray) -> IntArray:
    """(n,) a number for each of the rows (n, k), the same for equal rows only: sorted faster than rows are."""
    low = rows.min(axis=0)
    number = np.zeros(len(rows), np.int64)
    for column, span in zip((rows - low).T, (rows.max(axis=0) - low + 1).tolist(), strict=True):
        number = number * span + column
    return number


def orbit(template: Template, pose: FloatArray) -> FloatArray:
    """All poses (k, 5) that put the marks on the same ink as ``pose`` (5,)."""
    return orbits(template, pose[None])[0]


def orbits(template: Template, poses: FloatArray) -> FloatArray:
    """(n, k, 5) the orbit of each pose."""
    turn, mirror = np.array(template.symmetry, float).T
    out = np.repeat(poses[:, None], len(turn), 1)
    out[..., TURN] += (1 - 2 * poses[:, MIRROR, None]) * turn
    out[..., MIRROR] = (poses[:, MIRROR, None] + mirror) % 2
    out[..., :2] = 0.0
    shift = place(out.reshape(-1, 5), template.centre[None]).reshape(len(poses), len(turn), 2)
    out[..., :2] = place(poses, template.centre[None]) - shift
    return out

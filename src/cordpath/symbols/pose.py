"""Poses of a template on the page, as rows of an array so that thousands are moved at once.

Terms: *pose*, a row ``x, y, turn, mirror, scale`` that stands for ``p -> scale * R(turn) * M * p + (x, y)``, with
M = diag(-1, 1) where mirror is 1; *turn* is in radians in the y-down frame, so clockwise as seen on the page.
:func:`similarity` gives the same map in the terms of the rest of the program.
"""

from __future__ import annotations

import math

import numpy as np

from cordpath.geometry import Similarity
from cordpath.model import FloatArray, IntArray

X, Y, TURN, MIRROR, SCALE = range(5)
NO_POSES: FloatArray = np.zeros((0, 5))


def place(poses: FloatArray, points: FloatArray) -> FloatArray:
    """(n, 5) poses and (m, 2) template points to (n, m, 2) page points."""
    if len(poses) == 1:  # most questions are about one pose, and arrays of one row are slow
        return _placed(poses, points)
    c, s = np.cos(poses[:, TURN])[:, None], np.sin(poses[:, TURN])[:, None]
    x = points[None, :, 0] * (poses[:, SCALE] * (1 - 2 * poses[:, MIRROR]))[:, None]
    y = points[None, :, 1] * poses[:, SCALE][:, None]
    out = np.empty((len(poses), len(points), 2))
    out[..., 0] = c * x - s * y + poses[:, X : X + 1]
    out[..., 1] = s * x + c * y + poses[:, Y : Y + 1]
    return out


def _placed(poses: FloatArray, points: FloatArray) -> FloatArray:
    """The same, number for number, for one pose."""
    left, top, _, mirror, scale = poses[0].tolist()
    c, s = float(np.cos(poses[:, TURN])[0]), float(np.sin(poses[:, TURN])[0])
    x, y = points[:, 0] * (scale * (1 - 2 * mirror)), points[:, 1] * scale
    out = np.empty((1, len(points), 2))
    out[0, :, 0] = c * x - s * y + left
    out[0, :, 1] = s * x + c * y + top
    return out


def into_frame(poses: FloatArray, xy: FloatArray, of: IntArray) -> FloatArray:
    """(k, 4) page segments to the template frame; segment i belongs to pose ``of[i]``."""
    flip, scale = 1 - 2 * poses[:, MIRROR], poses[:, SCALE]
    each = (np.cos(poses[:, TURN]), np.sin(poses[:, TURN]), poses[:, X], poses[:, Y], flip / scale, 1 / scale)
    c, s, left, top, across, down = (value.take(of) for value in each)
    out = np.empty_like(xy, order="F")  # what is asked of it goes by columns
    for k in (0, 2):
        x, y = xy[:, k] - left, xy[:, k + 1] - top
        out[:, k] = (c * x + s * y) * across
        out[:, k + 1] = (c * y - s * x) * down
    return out


def about(poses: FloatArray, centre: FloatArray, at: FloatArray) -> FloatArray:
    """Poses shifted so that template point ``centre`` lies at page points ``at`` (n, 2)."""
    moved = poses.copy()
    moved[:, :2] = 0.0
    moved[:, :2] = at - place(moved, centre[None])[:, 0]
    return moved


def after(poses: FloatArray, first: FloatArray) -> FloatArray:
    """(n, m, 5) poses (n, 5) of what has been moved by poses (m, 5) in the template frame first."""
    out = np.empty((len(poses), len(first), 5))
    out[..., :2] = place(poses, first[:, :2])
    out[..., TURN] = poses[:, None, TURN] + (1 - 2 * poses[:, None, MIRROR]) * first[:, TURN]
    out[..., MIRROR] = (poses[:, None, MIRROR] + first[:, MIRROR]) % 2
    out[..., SCALE] = poses[:, None, SCALE] * first[:, SCALE]
    return out


def similarity(pose: FloatArray) -> Similarity:
    """The pose as a Similarity, to be applied to points of the template."""
    angle = round(math.degrees(-float(pose[TURN])) % 360.0, 6) % 360.0
    return Similarity(float(pose[SCALE]), angle, bool(pose[MIRROR]), (float(pose[X]), float(pose[Y])))

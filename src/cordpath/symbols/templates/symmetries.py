"""Turns and mirrors that lay a shape on itself."""

from __future__ import annotations

import math

import numpy as np
from scipy.spatial import cKDTree

from cordpath.geometry import lengths
from cordpath.model import FloatArray
from cordpath.symbols.pose import NO_POSES, about, place

Turn = tuple[float, int]  # radians, and 1 where it is mirrored first

TRIED = (*range(0, 360, 15), *range(0, 360, 72))  # degrees: shapes of 2, 3, 4, 6, 8, 12 or 24 like parts, and of 5
FEW = 8  # every so many samples are moved first: they show that most turns are none
MOST_SIDES = 12  # lines of one length: of more, they are chords of something round, which is found by its circle


def symmetries(
    points: FloatArray, weight: FloatArray, centre: FloatArray, tree: cKDTree, allowed: float
) -> tuple[Turn, ...]:
    """Turns and mirrors about the centre at which every sample comes to lie on a sample, the one of nothing first.

    ``points`` (n, 2) samples with their ``weight`` (n,), ``tree`` over them; ``allowed``: pt between two samples
    that are taken for the same.
    """
    away = points - centre
    # a mirror may also run along the main axis of the ink, at any angle
    sxy, sxx, syy = (float((weight * v).sum()) for v in
                     (away[:, 0] * away[:, 1], away[:, 0] ** 2, away[:, 1] ** 2))  # fmt: skip
    axis = math.degrees(math.atan2(2 * sxy, sxx - syy))
    own = (axis % 360.0, (axis + 180.0) % 360.0)
    turns = [(math.radians(degrees), mirror) for mirror in (0, 1)
             for degrees in sorted({*TRIED, *(own if mirror else ())}) if (mirror, degrees) != (0, 0)]  # fmt: skip
    for some in (away[::FEW], away):
        fits = _lie_on(some, turns, centre, tree, allowed)
        turns = [turn for turn, fit in zip(turns, fits, strict=True) if fit]
    return ((0.0, 0), *turns)


def _lie_on(away: FloatArray, turns: list[Turn], centre: FloatArray, tree: cKDTree, allowed: float) -> list[bool]:
    """For each turn and mirror: do points ``away`` from the centre come to lie on samples?"""
    if not turns:
        return []
    turn, mirror = np.array(turns, float).T[:, :, None]
    x, y = away[:, 0] * (1 - 2 * mirror), np.broadcast_to(away[:, 1], (len(turns), len(away)))
    c, s = np.cos(turn), np.sin(turn)
    moved = np.stack([c * x - s * y, s * x + c * y], 2) + centre
    near, _ = tree.query(moved.reshape(-1, 2), distance_upper_bound=allowed)
    return [bool(fits) for fits in np.isfinite(near).reshape(len(turns), -1).all(1)]


def near_symmetries(
    points: FloatArray, weight: FloatArray, lines: FloatArray, tree: cKDTree, allowed: float, least: float
) -> FloatArray:
    """(k, 5) poses that lay one of the longest lines (n, 4) on another as long and so most of the shape on itself,
    ``least`` of its weight: those of the body of a triangle with a tick.  None that lays all on all."""
    size = lengths(lines)
    like = lines[size > size.max(initial=0.0) - allowed].reshape(-1, 2, 2)
    if not 0 < len(like) <= MOST_SIDES:
        return NO_POSES
    way = like[:, 1] - like[:, 0]
    heading = np.arctan2(way[:, 1], way[:, 0])
    (x, y), n = way[0].tolist(), len(like)
    moved = [about(np.c_[np.zeros((n, 2)), heading + back - math.atan2(y, -x if mirror else x),
                         np.full(n, mirror), np.ones(n)], like[0].mean(0), like.mean(1))
             for mirror in (0, 1) for back in (0.0, math.pi)]  # fmt: skip
    poses = np.concatenate(moved)
    at = place(poses, points)
    on = np.isfinite(tree.query(at.reshape(-1, 2), distance_upper_bound=allowed)[0]).reshape(len(poses), -1)
    return poses[(on @ weight >= least * weight.sum()) & ~on.all(1)]

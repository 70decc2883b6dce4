"""Pairs of folding doors that no end of a wall shows: across a closet as wide as the room before it.

Terms: *panel*, one of the two lines of a folding leaf; *foot*, where the leaf hangs; *back*, its other end, on the
line of the doorway; *tip*, where its panels meet.
"""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.model import FloatArray
from cordpath.rooms.ink import Ink

PANEL_IN = (8.0, 25.0)  # leaves of 18 to 48 in (common practice, no source)
PAIR_FT = (2.5, 8.5)  # from foot to foot
HUNG_IN = 4.0  # from a foot to the wall beside it
ALIKE = 0.1  # of a panel: how much the other's length may differ
OFF = 0.1  # of a panel: least distance of the tip off the line from foot to back
APART = 0.4  # of a panel: least distance from foot to back
LEVEL = 0.99  # cosine: both leaves fold along the line from foot to foot
MOST = 200  # leaves of one view; more are a pattern


def folding_pairs(ink: Ink, walls: BaseGeometry, inch: float) -> list[FloatArray]:
    """(2, 2) from foot to foot of pairs of leaves; ``ink`` without walls."""
    panels = ink.take((ink.length > PANEL_IN[0] * inch) & (ink.length < PANEL_IN[1] * inch) & ~ink.dashed)
    foot, back = _leaves(panels, walls, inch)
    if not 1 < len(foot) <= MOST:
        return []
    a, b = np.triu_indices(len(foot), 1)
    way = foot[b] - foot[a]
    wide = np.hypot(*way.T)
    way /= np.maximum(wide, 1e-9)[:, None]
    into = [back[a] - foot[a], foot[b] - back[b]]
    long = [np.hypot(*each.T) for each in into]
    fits = (wide > PAIR_FT[0] * 12 * inch) & (wide < PAIR_FT[1] * 12 * inch) & (long[0] + long[1] < wide + inch)
    for each, size in zip(into, long, strict=True):
        fits &= (each * way).sum(1) > LEVEL * size
    return [np.stack([foot[i], foot[j]]) for i, j in zip(a[fits], b[fits], strict=True)]


def _leaves(panels: Ink, walls: BaseGeometry, inch: float) -> tuple[FloatArray, FloatArray]:
    """Foot and back (n, 2) of leaves that hang at a wall."""
    ends = panels.xy.reshape(-1, 2, 2)
    points = shapely.points(ends)
    near = shapely.dwithin(walls, points, HUNG_IN * inch) if len(points) else np.zeros((0, 2), bool)
    hung = np.flatnonzero(near.sum(1) == 1)
    at_wall = near[hung].argmax(1)
    foot, tip = ends[hung, at_wall], ends[hung, 1 - at_wall]
    first, met = shapely.STRtree(points.ravel()).query(shapely.points(tip), predicate="dwithin", distance=inch)
    other = met // 2
    first, met, other = (each[other != hung[first]] for each in (first, met, other))
    size, back = panels.length[hung[first]], ends[other, 1 - met % 2]
    way = back - foot[first]
    apart = np.hypot(*way.T)
    rise = tip[first] - foot[first]
    off = np.abs(way[:, 0] * rise[:, 1] - way[:, 1] * rise[:, 0]) / np.maximum(apart, 1e-9)
    fits = (np.abs(panels.length[other] / size - 1) < ALIKE) & (apart > APART * size) & (off > OFF * size)
    return foot[first[fits]], back[fits]

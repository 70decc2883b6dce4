"""Door leaves as drawn, found without knowing the scale.

Terms: *swing*, the part of a circle that a leaf sweeps, as short strokes that follow each other.  *Hinge*, its
centre.  *Leaf*, the straight line from the hinge to one end of the swing.  *Radius*, the drawn width of the leaf.
"""

from __future__ import annotations

import numpy as np

from cordpath.geometry import arc, bent_chains
from cordpath.model import Box, FloatArray, Sheet

TOUCH = 0.3  # pt between neighbouring strokes of one swing: rounding to 1/600 in. moves each end by up to 0.17
LONGEST_PIECE = 40.0  # pt; a swing of a 3 ft leaf at 1 in. = 1 ft, in eight pieces
RADIUS = (4.0, 250.0)  # pt: a 2 ft leaf at 1/16 in. = 1 ft, a 3 ft leaf at 1 in. = 1 ft
SWEEP = (np.radians(25.0), np.radians(105.0))  # leaves are drawn open at a right angle, at 45 or at 30 degrees
TURN = np.radians(42.0)  # between neighbouring pieces: three pieces to a quarter circle at least
ROUND = 0.03  # of the radius: how far the pieces may lie off the circle
HINGED = 0.12  # of the radius: how far a leaf may start or end off the hinge and the swing, for its own thickness
SAME = 0.1  # of the radius: swings closer than this are one, drawn twice
# Between the two faces of a curved wall: more than a pen's width, and, of the radius, no more than where a wall of
# 8 in stands round a closet of 3 ft.
FACES_PT, FACES = 2.0, 0.25
MOST = 60_000  # short strokes in a view: more are hatch, and doors are not looked for among them


def leaf_widths(sheet: Sheet, box: Box) -> FloatArray:
    """(d,) drawn widths of the door leaves in a box, points, sorted; doors without a leaf line are left out."""
    xy = sheet.strokes.xy[sheet.strokes.ink()]
    inside = (
        (xy[:, :2] >= box[:2]) & (xy[:, :2] <= box[2:]) & (xy[:, 2:] >= box[:2]) & (xy[:, 2:] <= box[2:])
    ).all(1)
    xy = xy[inside]
    length = np.hypot(xy[:, 2] - xy[:, 0], xy[:, 3] - xy[:, 1])
    short = xy[(length > 0.3) & (length < LONGEST_PIECE)]
    if not 3 <= len(short) <= MOST:
        return np.zeros(0)
    swings = _distinct(_by_themselves(_swings(short)))
    straight = xy[length >= RADIUS[0] * (1 - HINGED)]
    return np.sort([radius for hinge, radius, ends in swings if _has_leaf(hinge, radius, ends, straight)])


Swing = tuple[FloatArray, float, FloatArray]  # hinge, radius, (2, 2) ends


def _swings(xy: FloatArray) -> list[Swing]:
    label = bent_chains(xy, TOUCH, (0.0, TURN))
    order = np.argsort(label, kind="stable")
    count = np.bincount(label)
    stop = np.cumsum(count)
    ends = xy.reshape(-1, 2, 2)
    found = (_fitted(ends[order[b - n : b]].reshape(-1, 2)) for n, b in zip(count, stop, strict=True) if n >= 3)
    return [swing for swing in found if swing is not None]


def _fitted(points: FloatArray) -> Swing | None:
    """The part of a circle through the ends of a chain's strokes; least squares, algebraic."""
    found = arc(points)
    if found is None:
        return None
    centre, radius, off, along, sweep = found
    fits = RADIUS[0] <= radius <= RADIUS[1] and off <= max(ROUND * radius, TOUCH)
    return (centre, radius, along[[0, -1]]) if fits and SWEEP[0] <= sweep <= SWEEP[1] else None


def _by_themselves(swings: list[Swing]) -> list[Swing]:
    """Without those of two that have one centre: the faces of a curved wall, in the corner of a house say, along
    whose walls a leaf of its radius would lie."""
    if len(swings) < 2:
        return swings
    centre, radius = np.array([swing[0] for swing in swings]), np.array([swing[1] for swing in swings])
    off = np.hypot(*(centre[:, None] - centre).transpose(2, 0, 1))
    apart = np.abs(radius[:, None] - radius)
    faces = (off <= ROUND * radius[:, None]) & (apart > FACES_PT) & (apart <= FACES * radius[:, None])
    return [swing for swing, paired in zip(swings, faces.any(1).tolist(), strict=True) if not paired]


def _distinct(swings: list[Swing]) -> list[Swing]:
    kept: list[Swing] = []
    for swing in swings:
        if not any(np.hypot(*(swing[2].sum(0) - other[2].sum(0))) < 2 * SAME * swing[1] for other in kept):
            kept.append(swing)
    return kept


def _has_leaf(hinge: FloatArray, radius: float, ends: FloatArray, straight: FloatArray) -> bool:
    near = HINGED * radius
    for a, b in ((straight[:, :2], straight[:, 2:]), (straight[:, 2:], straight[:, :2])):
        hinged = np.hypot(*(a - hinge).T) <= near
        for end in ends:
            if (hinged & (np.hypot(*(b - end).T) <= near)).any():
                return True
    return False

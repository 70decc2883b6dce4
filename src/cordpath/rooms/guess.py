"""A scale to find rooms with, where the drawing has none that may be measured with.

Which walls close and where doors hang does not need a proved scale: a quarter more or less finds the same rooms.
The guess is told as an assumption, and no distance is ever taken from it.
"""

from __future__ import annotations

import numpy as np

from cordpath.model import FloatArray
from cordpath.rooms.ink import Evidence
from cordpath.rooms.openings.arcs import Swing, find_swings

USUAL_LEAF_IN = 31.0  # middle of the leaves of dwellings, 24 to 36 in (common practice, no source)
TRIED = (0.5, 1.5, 4.5)  # points for an inch: together they look for leaves of 4.5 to 250 pt, 1/16" to 1" = 1'-0"
QUARTER = (1.2, 1.85)  # radians: leaves are drawn open at a right angle, or nearly; arcs of symbols go on
LEAST = 3  # leaves that agree; fewer may be curves of furniture
ALIKE = 1.5  # leaves of one house differ by less than this factor from the usual one: 22 to 46 in
STANDARD = (48.0, 96.0, 24.0)  # where no doors tell: the usual ratio of house plans, half and twice of it


def inch_of_leaves(ev: Evidence) -> tuple[float, int] | None:
    """Points for an inch of the building from the door swings, and how many tell it; None where too few do."""
    found: list[Swing] = []
    for inch in TRIED:
        found += [s for s in find_swings(ev.ink, inch) if QUARTER[0] <= s.sweep <= QUARTER[1]]
    radii = _distinct(found)
    if len(radii) < LEAST:
        return None
    near = np.abs(np.log(radii[:, None] / radii[None, :])) < np.log(ALIKE)
    middle = radii[int(np.argmax(near.sum(1)))]  # the leaf that most others are like
    alike = radii[np.abs(np.log(radii / middle)) < np.log(ALIKE)]
    return (float(np.median(alike)) / USUAL_LEAF_IN, len(alike)) if len(alike) >= LEAST else None


def _distinct(swings: list[Swing]) -> FloatArray:
    """(d,) radii, each swing once although several sizes of search saw it."""
    kept: list[Swing] = []
    for swing in swings:
        if not any(np.hypot(*(swing.hinge - k.hinge)) < 0.1 * k.radius and
                   abs(swing.radius - k.radius) < 0.1 * k.radius for k in kept):  # fmt: skip
            kept.append(swing)
    return np.array([swing.radius for swing in kept])

"""Shapes that are everywhere on a plan: lines that are no evidence by themselves."""

from __future__ import annotations

import numpy as np

from cordpath.geometry import directions, lengths
from cordpath.symbols.templates.features import Features
from cordpath.symbols.templates.marks import Drawn

DOOR_LIKE = 12.0  # pt; an arc with a line of this size is a door leaf and its swing, which few things imitate
WHOLE = 6.28  # radians from which an arc is a circle
WEAK_RUNS = 6  # lines in two directions: a rectangle with a line or two is everywhere on a plan
FLAT = 2.0  # tolerances: a polygon whose sides are no farther from its circle looks like one


def weak_lines(drawn: Drawn, features: Features, tolerance: float, ink: float) -> str | None:
    """Why the lines alone are no evidence, None if they are.  Measured: every wrong find was a weak shape.

    ``tolerance``: pt, how far ink may lie from a mark; ``ink``: pt of all marks.
    """
    elements, arcs = len(drawn.lines) + len(drawn.arcs), len(drawn.arcs)
    sides = _sides_of_a_circle(drawn, features, tolerance)
    if sides == elements > 0 or (arcs == 1 and elements == 1):
        return "a bare circle or arc"
    swing = arcs == 1 and float(drawn.arcs[0, 4] - drawn.arcs[0, 3]) < WHOLE
    round_body = sides == elements - 1 > 1 or (arcs == 1 and elements == 2)
    if round_body and (features.radius < DOOR_LIKE or not swing):
        return "a circle or arc with one line"
    lines = drawn.lines
    bins = np.round(np.degrees(directions(lines)) / 4).astype(int) % 45
    kinds = int((np.bincount(bins, lengths(lines), 45) > 0.04 * ink).sum())
    if not len(features.circles) and kinds <= 2 and elements <= WEAK_RUNS:
        return "a few lines in one or two directions"
    return None


def _sides_of_a_circle(drawn: Drawn, features: Features, tolerance: float) -> int:
    """How many of the lines are sides of a polygon that looks like a circle where it is drawn so small."""
    own = features.ink
    side = own.curved[: own.count] & (own.stroke < len(drawn.lines))
    if len(features.circles) != 1 or not side.any():
        return 0
    sagitta = lengths(own.xy[: own.count][side]) ** 2 / (8 * features.circles[0, 2])
    return int(side.sum()) if sagitta.max() < FLAT * tolerance else 0

"""Shapes that are everywhere on a plan: lines that are no evidence by themselves."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np

from cordpath.geometry import directions, lengths
from cordpath.model import BoolArray, FloatArray
from cordpath.symbols.templates.features import Features
from cordpath.symbols.templates.marks import Drawn

DOOR_LIKE = 12.0  # pt; an arc with a line of this size is a door leaf and its swing, which few things imitate
WHOLE = 6.28  # radians from which an arc is a circle
WEAK_RUNS = 6  # lines in two directions: a rectangle with a line or two is everywhere on a plan
GRID = 0.13  # pt: a step of a plotter's grid, 1/600 in, and its rounding
SAME_WAY = 2.0  # degrees between lines of one direction, besides what a grid turns them by
LEAST_INK = 0.04  # of the ink: what has less is a splinter
MOST_PIECES = 24  # lines; a shape of more is more than a few lines, in however many pieces each is drawn
FLAT = 2.0  # tolerances: a polygon whose sides are no farther from its circle looks like one


def weak_lines(drawn: Drawn, features: Features, tolerance: float, ink: float) -> str | None:
    """Why the lines alone are no evidence, None if they are.  Measured: every wrong find was a weak shape.

    ``tolerance``: pt, how far ink may lie from a mark; ``ink``: pt of all marks.
    """
    arcs = len(drawn.arcs)
    side = _sides_of_a_circle(drawn, features, tolerance)
    lines = straightened(drawn.lines[~side], tolerance)
    others = len(lines) + arcs
    if (side.any() and not others) or (arcs == 1 and others == 1 and not side.any()):
        return "a bare circle or arc"
    swing = arcs == 1 and float(drawn.arcs[0, 4] - drawn.arcs[0, 3]) < WHOLE
    round_body = others == 1 if side.sum() > 1 else (arcs == 1 and others == 2)
    if round_body and (features.radius < DOOR_LIKE or not swing):
        return "a circle or arc with one line"
    if not len(features.circles) and others <= WEAK_RUNS and _kinds(lines, ink) <= 2:
        return "a few lines in one or two directions"
    return None


def straightened(lines: FloatArray, tolerance: float) -> FloatArray:
    """(n, 4) lines, those that go on from end to end in one straight line (to the tolerance, pt) as one: writers
    that round to a grid draw a line in pieces, of which none runs quite as the whole."""
    if not 1 < len(lines) <= MOST_PIECES:
        return lines
    chains = [line.reshape(2, 2) for line in lines]
    free = _joints(lines)
    while (joined := _one_joined(chains, tolerance, free)) is not None:
        chains = joined
    return np.array([np.r_[chain[0], chain[-1]] for chain in chains])


def _joints(lines: FloatArray) -> FloatArray:
    """(j, 2) places where the ends of exactly two lines meet."""
    ends = lines.reshape(-1, 2)
    met = np.hypot(*(ends[:, None] - ends[None]).transpose(2, 0, 1)) <= GRID
    return ends[met.sum(1) == 2]


def _one_joined(chains: list[FloatArray], tolerance: float, joints: FloatArray) -> list[FloatArray] | None:
    """The chains (p, 2) with two of them as one; None where no two are one straight line."""
    for one, other in combinations(range(len(chains)), 2):
        for a, b in product((chains[one], chains[one][::-1]), (chains[other], chains[other][::-1])):
            here = float(np.hypot(*(a[-1] - b[0]))) <= GRID and len(joints) > 0
            if here and np.hypot(*(joints - a[-1]).T).min() <= GRID and _straight(whole := np.r_[a, b], tolerance):
                return [*(chain for k, chain in enumerate(chains) if k not in (one, other)), whole]
    return None


def _straight(points: FloatArray, tolerance: float) -> bool:
    """Do the points follow one another along the straight line from the first to the last?"""
    step = points[-1] - points[0]
    extent = float(np.hypot(*step))
    if extent <= 0:
        return False
    away = points - points[0]
    along = away @ step / extent
    across = (away[:, 0] * step[1] - away[:, 1] * step[0]) / extent
    return bool(np.abs(across).max() <= tolerance and np.diff(along).min() >= -tolerance)


def _kinds(lines: FloatArray, ink: float) -> int:
    """How many directions the lines have that are more than a 25th of the ink, as nearly as a grid tells."""
    angle, length = np.degrees(directions(lines)), lengths(lines)
    left = np.ones(len(lines), bool)
    kinds = 0
    for k in np.argsort(-length, kind="stable").tolist():
        if left[k]:
            apart = np.abs((angle - angle[k] + 90) % 180 - 90)
            slack = SAME_WAY + np.degrees(np.arctan(2 * GRID / np.maximum(length, GRID)))
            own = left & (apart <= slack)
            kinds += int(length[own].sum() > LEAST_INK * ink)
            left &= ~own
    return kinds


def _sides_of_a_circle(drawn: Drawn, features: Features, tolerance: float) -> BoolArray:
    """(n,) lines that are sides of a polygon that looks like a circle where it is drawn so small."""
    own = features.ink
    sides = np.zeros(len(drawn.lines), bool)
    side = own.curved[: own.count] & (own.stroke < len(drawn.lines))
    if len(features.circles) != 1 or not side.any():
        return sides
    sagitta = lengths(own.xy[: own.count][side]) ** 2 / (8 * features.circles[0, 2])
    if sagitta.max() < FLAT * tolerance:
        sides[own.stroke[side]] = True
    return sides

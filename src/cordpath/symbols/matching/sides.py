"""Is a polygon drawn, or the circle that it is taken for?

An octagon lies so near to its circle that the ink of either covers the marks of the other; the directions of the
strokes tell the two apart.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from cordpath.geometry import directions, lengths
from cordpath.model import FloatArray, IntArray
from cordpath.symbols.ink.normalise import Ink
from cordpath.symbols.pose import SCALE, into_frame
from cordpath.symbols.templates.template import MADE, Template
from cordpath.symbols.templates.weak_lines import FLAT

ROUND = 0.125  # of a polygon's outer angle: how far its circle is off its sides is twice as much, on average
CHORD = 0.6  # the same: the chords of its circle are off by half of it at most, but for the plotter's grid
MOST_SIDES = 16  # twice an octagon's: with more, no polygon is meant but a circle, or a part of one, in chords
LEAST_SHARE = 0.5  # of the sides' length that must be drawn for them to be told


def off_sides(template: Template, ink: Ink, pose: FloatArray, drawn: tuple[IntArray, FloatArray]) -> float | None:
    """How far the strokes on the sides of a polygon that passes for a circle are turned off these, on average, over
    what they may be; None where the template has no such polygon, or one so small that its sides cannot be told.

    ``drawn``: segments on the marks at the pose (5,), and pt of each that are.
    """
    sides, outer = _sides(template)
    if not len(sides):
        return None
    segment, length = drawn
    q = into_frame(pose[None], ink.xy[segment], np.zeros(len(segment), np.int64))
    near = template.tree.query((q[:, :2] + q[:, 2:]) / 2)[1]
    side = np.minimum(template.element[near], len(template.drawn.lines) - 1)
    turn = np.abs(directions(q) - directions(template.drawn.lines)[side])
    turn = np.minimum(turn, np.pi - turn)
    own = np.isin(template.element[near], sides) & (turn <= CHORD * outer)  # not what crosses them
    total = float(length[own].sum())
    if total < LEAST_SHARE * float(lengths(template.drawn.lines[sides]).sum() * pose[SCALE]):
        return None
    return float((turn[own] * length[own]).sum() / total) / (ROUND * outer)


def untold(template: Template) -> bool:
    """Has the template a polygon that passes for a circle, so small that its sides cannot be told?"""
    sides, radius = _polygon(template)
    return 0 < len(sides) <= MOST_SIDES and _flat(template, sides, radius)


def polygon_radius(template: Template) -> float:
    """pt, of the circle that the template's one such polygon passes for; 0 where it has none."""
    return _polygon(template)[1]


@lru_cache(maxsize=MADE)
def _sides(template: Template) -> tuple[IntArray, float]:
    """The lines that are sides of a polygon which is taken for a circle, and its outer angle (radians)."""
    sides, radius = _polygon(template)
    if not len(sides) or _flat(template, sides, radius):
        return np.zeros(0, np.int64), 0.0
    size = float(lengths(template.drawn.lines[sides]).max())
    return sides, 2 * float(np.arcsin(min(1.0, size / (2 * radius))))


def _flat(template: Template, sides: IntArray, radius: float) -> bool:
    size = float(lengths(template.drawn.lines[sides]).max())
    return size**2 / (8 * radius) < FLAT * template.tolerance


@lru_cache(maxsize=MADE)
def _polygon(template: Template) -> tuple[IntArray, float]:
    """The lines of the one polygon that is taken for a circle, and its radius, pt; none if it has none or several.

    Dots are circles too: the edges of fills do not count, but for shapes that are nothing else.
    """
    own, lines = template.features.ink, template.drawn.lines
    side = own.curved[: own.count] & (own.stroke < len(lines))
    if not template.solid:
        side &= ~np.isin(own.stroke, template.drawn.filled)
    if template.angular is None or len(np.unique(own.line_of[: own.count][side])) != 1:
        return np.zeros(0, np.int64), 0.0
    circle = int(own.arcs.circle_of(np.flatnonzero(side))[0])
    return np.unique(own.stroke[side]), float(own.arcs.circles[circle, 2])

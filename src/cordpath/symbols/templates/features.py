"""The features by which a template is looked for: the circles, corners and lines of its marks.

They are normalised as the sheet's ink is, so that strokes which merge there merge here too."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from cordpath.geometry import lengths
from cordpath.model import FloatArray, IntArray
from cordpath.symbols.ink.normalise import Ink, normalise

ANCHORS = 2  # circles tried as the first feature
PARTNERS = 3  # lines or circles tried beside each
CORNERS = 4
CHORD = 0.25  # of the longest run: a corner between shorter sides alone is one of many along a round polygon
LEAST_ARC = 57.0  # degrees of a circle that still tells its centre
# Degrees of an arc that rounding to 1/600 in still leaves its radius: that of a quarter is known to
# .12 / (1 - cos 45) = 0.4 pt, a third of a device's rounded corner.
LEAST_ROUND = 100.0
LEAST_RADIUS = 9.0  # pt from which 0.4 pt is within what circles of one radius may differ by: doors' swings
LEAST_LINE = 1.0  # pt, times ``small``: the direction of a shorter line is noise, it tells no turn


@dataclass(frozen=True, eq=False)
class Features:
    """``ink``: the marks; ``small`` and ``radius`` as of the template that they are of."""

    ink: Ink
    small: float
    radius: float

    @cached_property
    def circles(self) -> FloatArray:
        """(k, 4) centre, radius, degrees covered: whole circles first, then larger ones."""
        c = self.ink.arcs.circles
        return c[np.lexsort((-c[:, 2], -(c[:, 3] > 300).astype(int)))]

    @cached_property
    def anchors(self) -> FloatArray:
        """(a, 4) the circles that are tried as the first feature."""
        return self.circles[self.circles[:, 3] > LEAST_ARC][:ANCHORS]

    @property
    def by_lines(self) -> bool:
        """Nothing round tells it: it has no circles, or rounded corners alone, of whatever radius they are read."""
        return not ((self.anchors[:, 3] > LEAST_ROUND) | (self.anchors[:, 2] > LEAST_RADIUS)).any()

    @cached_property
    def round_strokes(self) -> IntArray:
        """Numbers of the strokes that are chords of something round: they end nowhere by themselves."""
        return np.unique(self.ink.stroke[self.ink.curved[: self.ink.count]])

    @cached_property
    def lines(self) -> FloatArray:
        """(r, 4) straight runs, by number."""
        own = self.ink
        return own.runs[np.unique(own.run_of[~own.curved[: own.count]])]

    @cached_property
    def corners(self) -> list[tuple[int, int]]:
        """Half-edges of the corners with the longest sides, without those between chords of something round where
        there are others: every curve of a sheet has such corners, and they tell its turn badly."""
        own = self.ink
        corners = [(int(a), int(b)) for a, b in own.corners
                   if not own.curved[a % own.count] and not own.curved[b % own.count]]  # fmt: skip
        sides = {c: sorted(float(own.run[half % own.count]) for half in c) for c in corners}
        least = CHORD * float(own.run.max(initial=0.0))
        corners = [c for c in corners if sides[c][1] > least] or corners
        return sorted(corners, key=lambda c: (-round(sides[c][0], 3), c))[:CORNERS]

    def partner_lines(self, anchor: FloatArray) -> list[FloatArray]:
        """Long straight runs that differ in direction or distance from the anchor's centre."""
        lines = self.lines
        lines = lines[np.argsort(-np.round(lengths(lines), 3), kind="stable")]
        kept: list[tuple[float, FloatArray, FloatArray]] = []
        for line in lines:
            size = float(np.hypot(*(line[2:] - line[:2])))
            if size <= LEAST_LINE * self.small:
                continue
            unit = (line[2:] - line[:2]) / size
            offset = abs(float(-(line[0] - anchor[0]) * unit[1] + (line[1] - anchor[1]) * unit[0]))
            if all(abs(offset - o) > 0.5 or abs(float(unit @ u)) < 0.98 for o, u, _ in kept):
                kept.append((offset, unit, line))
        return [line for _, _, line in kept[:PARTNERS]]

    def partner_circles(self, anchor: FloatArray) -> list[FloatArray]:
        """Other circles about a centre of their own."""
        others = self.circles[self.circles[:, 3] > LEAST_ARC]
        apart = np.hypot(*(others[:, :2] - anchor[:2]).T) > 0.2 * self.radius
        return list(others[apart][:PARTNERS])

    @property
    def tell(self) -> bool:
        """A circle with a line beside it, or a corner: they tell place and turn."""
        return len(self.corners) > 0 or (len(self.anchors) > 0 and len(self.lines) > 0)


def features(xy: FloatArray, curve: IntArray, small: float, radius: float, bent: bool = True) -> Features:
    """Of (n, 4) lines and chords, with the arc that each chord was cut from, -1 for lines; ``bent``: lines that
    turn little by little are arcs."""
    return Features(normalise(xy, curve, np.ones(len(xy), bool), np.zeros((0, 4)), bent), small, radius)

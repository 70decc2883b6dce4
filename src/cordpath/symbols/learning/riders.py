"""Outlets that stand over an appliance or a basin: they are drawn in its box and are no part of it.

Receptacles of ranges, dryers and refrigerators are drawn where they are, in the box of what they supply, and one on
a wall beside a tub reaches over its rim.  Taken as a part of what it stands over, each would be explained by that
wherever it is drawn, and lost as an outlet.

Terms: *body*, a whole circle of an outlet's size on paper; *stem*, a short line that ends at the rim of a body or
in it and leads out of it; *rider*, a body with a stem.  Burners, drums and drains have no stems; where many circles
of an appliance have them, they are its grates.  A line of a floor or a tap may end at a drain: over a basin a rider
has two stems or more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, Point, Sheet
from cordpath.symbols.ink.normalise import normalise

BODY = 1.6, 9.0  # radius in pt: bodies are drawn 1/8 to 3/16 in. across, half of it in half-size prints, with room
WHOLE = 295.0  # degrees of the circle that are drawn: as of drains
OUT = 0.3  # of the radius by which a stem leads out of its body
STEM = 5.0  # radii: the longest stem, of lines right through the body, is about four long
TOUCH = 0.25  # of the radius: ends of stems on chords and rounded coordinates
MOST = 2  # outlets over one appliance; circles with lines at more of them are its own
BARS = 2  # stems of a rider over a basin: most receptacles have two bars (common practice, no source)


@dataclass(frozen=True, eq=False)
class Riders:
    """``circles``: (n, 3) middle and radius of the bodies; ``strokes``: (strokes,) True for those of riders."""

    circles: FloatArray
    strokes: BoolArray

    def holds(self, at: Point) -> bool:
        """Is a point of the page in a body?"""
        away = np.hypot(self.circles[:, 0] - at[0], self.circles[:, 1] - at[1])
        return bool((away < self.circles[:, 2]).any())

    def discs(self) -> BaseGeometry:
        """The bodies with their rims."""
        return shapely.union_all(shapely.buffer(shapely.points(self.circles[:, :2]), self.circles[:, 2] + 1.0))


def riders_over(sheet: Sheet, appliances: list[BaseGeometry], basins: Sequence[BaseGeometry] = ()) -> Riders:
    """The outlets in the boxes of ``appliances`` and ``basins``: few enough in each to be none of its own lines."""
    xy = sheet.strokes.xy
    boxes = [*((box, 1) for box in appliances), *((box, BARS) for box in basins)]
    if not boxes:
        return Riders(np.zeros((0, 3)), np.zeros(len(xy), bool))
    ink = sheet.strokes.ink()
    circles = normalise(xy, sheet.strokes.curve, ink, np.zeros((0, 4))).arcs.circles
    sized = (circles[:, 2] >= BODY[0]) & (circles[:, 2] <= BODY[1]) & (circles[:, 3] >= WHOLE)
    found: list[FloatArray] = []
    mine = np.zeros(len(xy), bool)
    for box, fewest in boxes:
        within = circles[sized & shapely.intersects_xy(box, circles[:, 0], circles[:, 1]), :3]
        stems = [_stems(xy, ink, circle) for circle in within]
        bodies = [k for k, stem in enumerate(stems) if stem.sum() >= fewest]
        if len(bodies) > MOST:
            continue
        for k in bodies:
            found.append(within[k])
            mine |= stems[k] | _in_body(xy, within[k])
    return Riders(np.array(found).reshape(-1, 3), mine)


def _stems(xy: FloatArray, ink: BoolArray, circle: FloatArray) -> BoolArray:
    """(strokes,) True for the short lines that lead out of a circle."""
    x, y, radius = (float(value) for value in circle)
    ends = _ends(xy, x, y)
    near, out = np.minimum(*ends) <= (1 + TOUCH) * radius, np.maximum(*ends) >= (1 + OUT) * radius
    through = shapely.distance(geometry.lines(xy[ink]), shapely.Point(x, y)) <= radius
    crossing = np.zeros(len(xy), bool)
    crossing[ink] = through
    short = geometry.lengths(xy) <= STEM * radius
    return np.asarray(ink & short & out & (near | crossing) & _radial(xy, x, y, radius), bool)


def _radial(xy: FloatArray, x: float, y: float, radius: float) -> BoolArray:
    """(strokes,) Does the line, made longer, run through the circle, well inside its rim?"""
    along = xy[:, 2:] - xy[:, :2]
    long = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-9)
    off = np.abs(along[:, 0] * (y - xy[:, 1]) - along[:, 1] * (x - xy[:, 0])) / long
    return np.asarray(off <= (1 - TOUCH) * radius, bool)


def _in_body(xy: FloatArray, circle: FloatArray) -> BoolArray:
    ends = _ends(xy, float(circle[0]), float(circle[1]))
    return np.asarray(np.maximum(*ends) <= (1 + TOUCH) * circle[2], bool)


def _ends(xy: FloatArray, x: float, y: float) -> tuple[FloatArray, FloatArray]:
    return np.hypot(xy[:, 0] - x, xy[:, 1] - y), np.hypot(xy[:, 2] - x, xy[:, 3] - y)

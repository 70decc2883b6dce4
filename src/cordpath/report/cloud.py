"""The revision cloud: arcs that bulge outward along a rectangle, as it is drawn on plans.

Terms: *arc*, one bulge between two neighbouring points of the rectangle; *rise*, how far it stands out;
*unit*, the factor by which marks grow on large sheets.
"""

from __future__ import annotations

import itertools
import math

from cordpath.model import Box, Point
from cordpath.report.canvas import Curve

ARC_CHORD = 6.5  # pt, about 1/11 in on paper: bulges that still read as a cloud on a half-size print
RISE = 0.36  # of the chord: a little flatter than a half circle (0.5), so that neighbours meet in a clear cusp
FEWEST = 2  # arcs a side
LEAST_SIDE = 20.0  # pt: a smaller cloud is a blot on a half-size print


def cloud_box(box: Box, margin: float, unit: float = 1.0) -> Box:
    """The rectangle that the arcs stand on: ``box`` grown by ``margin``, at least LEAST_SIDE x ``unit`` a side."""
    spread = []
    for low, high in ((box[0], box[2]), (box[1], box[3])):
        half = max((high - low) / 2 + margin, LEAST_SIDE * unit / 2)
        spread.append(((low + high) / 2 - half, (low + high) / 2 + half))
    (x0, x1), (y0, y1) = spread
    return (x0, y0, x1, y1)


def outer_box(box: Box, pen: float, unit: float = 1.0) -> Box:
    """All that the cloud on ``box`` inks."""
    rise_x, rise_y = (RISE * side / _arcs(side, unit) for side in (box[3] - box[1], box[2] - box[0]))
    return (box[0] - rise_x - pen, box[1] - rise_y - pen, box[2] + rise_x + pen, box[3] + rise_y + pen)


def cloud_curves(box: Box, unit: float = 1.0) -> tuple[Point, list[Curve]]:
    """Start point and cubics, once around."""
    x0, y0, x1, y1 = box
    corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)]
    curves: list[Curve] = []
    for start, end in itertools.pairwise(corners):
        count = _arcs(math.dist(start, end), unit)
        stops = [
            (start[0] + (end[0] - start[0]) * k / count, start[1] + (end[1] - start[1]) * k / count)
            for k in range(count + 1)
        ]
        curves += [_bulge(a, b) for a, b in itertools.pairwise(stops)]
    return corners[0], curves


def _arcs(side: float, unit: float) -> int:
    return max(FEWEST, round(side / (ARC_CHORD * unit)))


def _bulge(a: Point, b: Point) -> Curve:
    """One arc from a to b, to the left of the way when y runs down: outward for a rectangle run clockwise as seen.

    Half angle from rise over chord, tan(angle / 2) = 2 rise / chord; control length 4/3 r tan(angle / 2), the usual
    cubic for an arc of twice that angle (under 0.5 % off for these flat arcs).
    """
    chord = math.dist(a, b)
    tx, ty = (b[0] - a[0]) / chord, (b[1] - a[1]) / chord
    nx, ny = ty, -tx
    half = 2 * math.atan(2 * RISE)
    radius = chord / (2 * math.sin(half))
    reach = 4 / 3 * math.tan(half / 2) * radius
    along, out = reach * math.cos(half), reach * math.sin(half)
    return (
        (a[0] + along * tx + out * nx, a[1] + along * ty + out * ny),
        (b[0] - along * tx + out * nx, b[1] - along * ty + out * ny),
        b,
    )

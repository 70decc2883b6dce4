"""Doors, windows and other openings, as plans show them."""

from __future__ import annotations

import math

from .frame import Frame
from .house import XY, Opening
from .marks import Arc, Pen, Picture

LEAF = Pen(0.6)
SWING = Pen(0.35)
GLASS = Pen(0.35)
HEADER = Pen(0.35, 0.0, (5.0, 3.0))
LEAF_THICK = 1.5 / 12  # ft


def draw_opening(picture: Picture, frame: Frame, opening: Opening, thick: float) -> None:
    """One opening in a wall of that thickness (ft)."""
    o, length = opening, math.dist(opening.a, opening.b)
    d = ((o.b[0] - o.a[0]) / length, (o.b[1] - o.a[1]) / length)
    n = (-d[1] * o.side, d[0] * o.side)

    def p(along: float, across: float) -> XY:
        return frame.at((o.a[0] + d[0] * along + n[0] * across, o.a[1] + d[1] * along + n[1] * across))

    half = thick / 2
    if o.kind == "window":
        for across in (-half, -0.06, 0.06, half):
            picture.line(p(0, across), p(length, across), GLASS)
    elif o.kind == "door":
        _leaf(picture, frame, p, length, half)
    elif o.kind == "cased":
        for across in (-half, half):
            picture.line(p(0, across), p(length, across), HEADER)
    elif o.kind == "garage":
        for across in (half - 0.17, half):
            picture.line(p(0, across), p(length, across), GLASS)
        picture.path([p(0.1, half), p(0.1, half + 7.5), p(length - 0.1, half + 7.5), p(length - 0.1, half)], HEADER)
    elif o.kind == "slider":
        mid = length / 2
        for a, b, across in ((0, mid + 0.15, -0.06), (mid - 0.15, length, 0.06)):
            corners = [p(a, across - 0.05), p(b, across - 0.05), p(b, across + 0.05), p(a, across + 0.05)]
            picture.path(corners, GLASS, closed=True)
        for across in (-half, half):
            picture.line(p(0, across), p(length, across), GLASS)
    else:
        _bifold(picture, p, length, half)


def _leaf(picture: Picture, frame: Frame, p: object, length: float, half: float) -> None:
    assert callable(p)
    corners = [p(0, half), p(0, half + length), p(LEAF_THICK, half + length), p(LEAF_THICK, half)]
    picture.path(corners, LEAF, closed=True)
    hinge, tip, latch = p(0, half), p(0, half + length), p(length, half)
    start = math.degrees(math.atan2(-(tip[1] - hinge[1]), tip[0] - hinge[0]))
    end = math.degrees(math.atan2(-(latch[1] - hinge[1]), latch[0] - hinge[0]))
    sweep = (end - start + 180) % 360 - 180
    if sweep < 0:
        start, sweep = end, -sweep
    picture.add(Arc(hinge, length * frame.per_foot, start, sweep), SWING)


def _bifold(picture: Picture, p: object, length: float, half: float) -> None:
    assert callable(p)
    panel = length / 4
    rise = panel * 0.75
    run = math.sqrt(panel**2 - rise**2)
    for end, way in ((0.0, 1), (length, -1)):
        points = [p(end, half), p(end + way * run, half + rise), p(end + way * 2 * run, half)]
        picture.path(points, LEAF)

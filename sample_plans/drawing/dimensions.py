"""Dimension strings: extension lines, ticks, and text that says what is drawn."""

from __future__ import annotations

import math
from itertools import pairwise

from .frame import Frame
from .house import Dims
from .marks import Pen, Picture, Text

THIN = Pen(0.3)
TICK = Pen(0.9)
TEXT = Pen(0.5)
SIZE = 7.5
OVER = 4.0  # pt that lines run past each other
GAP = 6.0  # pt between the wall and its extension line
LONGEST = 90.0  # pt; longer extension lines are broken off towards the wall
MM_PER_FOOT = 304.8


def feet_inches(feet: float) -> str:
    """12.5 -> 12'-6" ; to the half inch, which must be exact."""
    halves = round(feet * 24)
    if abs(halves / 24 - feet) > 1e-6:
        raise ValueError(f"{feet} ft is no whole number of half inches")
    whole, half = divmod(halves, 2)
    ft, inches = divmod(whole, 12)
    return f"{ft}'-{inches}{' 1/2' if half else ''}\""


def millimetres(feet: float) -> str:
    mm = feet * MM_PER_FOOT
    if abs(mm - round(mm)) > 1e-3:
        raise ValueError(f"{feet} ft is no whole number of millimetres")
    return str(round(mm))


def dimension_text(feet: float, metric: bool) -> str:
    return millimetres(feet) if metric else feet_inches(feet)


def draw_dims(picture: Picture, frame: Frame, dims: Dims, metric: bool) -> None:
    """One string; stations run along a-b, the string lies to the left hand of that walk."""
    a, b = frame.at(dims.a), frame.at(dims.b)
    length = math.dist(a, b)
    d = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    n = (d[1], -d[0])
    places = []
    for s in dims.stations:
        k = s * frame.per_foot
        base = (a[0] + d[0] * k, a[1] + d[1] * k)
        on = (base[0] + n[0] * dims.offset, base[1] + n[1] * dims.offset)
        places.append(on)
        first = max(GAP, dims.offset - LONGEST)
        start = (base[0] + n[0] * first, base[1] + n[1] * first)
        picture.line(start, (on[0] + n[0] * OVER, on[1] + n[1] * OVER), THIN)
        t = ((d[0] + n[0]) * 2.6, (d[1] + n[1]) * 2.6)
        picture.line((on[0] - t[0], on[1] - t[1]), (on[0] + t[0], on[1] + t[1]), TICK)
    first, last = places[0], places[-1]
    picture.line(
        (first[0] - d[0] * OVER, first[1] - d[1] * OVER), (last[0] + d[0] * OVER, last[1] + d[1] * OVER), THIN
    )
    angle = math.degrees(math.atan2(-d[1], d[0]))
    if angle > 90.01 or angle <= -89.99:
        angle += 180
    t = math.radians(angle)
    up = (-math.sin(t), -math.cos(t))
    for (p, q), (s, e) in zip(pairwise(places), pairwise(dims.stations), strict=True):
        mid = ((p[0] + q[0]) / 2 + up[0] * 6.0, (p[1] + q[1]) / 2 + up[1] * 6.0)
        picture.text(Text(mid, dimension_text(e - s, metric), SIZE, angle=(angle + 180) % 360 - 180), TEXT)

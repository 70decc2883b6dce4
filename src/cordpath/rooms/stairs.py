"""Flights of stairs: four or more parallel strokes of equal length at tread distance."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import components, lines
from cordpath.model import BoolArray
from cordpath.rooms.ink import Ink
from cordpath.rooms.walls.bands import pair_up

TREAD_IN = (8.0, 13.5)  # run of a tread on plan; 10 in is the usual least in dwellings, older stairs have 8
WIDE_FT = (2.3, 7.0)
EQUAL_IN = 5.0  # treads differ at most so much in length
LEAST = 4


def find_stairs(ink: Ink, used: BoolArray, inch: float) -> NDArray[np.object_]:
    """(s,) polygons of the flights."""
    pick = ~used & (ink.length > WIDE_FT[0] * 12 * inch) & (ink.length < WIDE_FT[1] * 12 * inch) & ~ink.dashed
    mine = ink.take(pick & (ink.luminance < 0.75))
    if len(mine) < LEAST:
        return np.zeros(0, object)
    bands = pair_up(mine.xy, mine.unit, mine.length, TREAD_IN[0] * inch, TREAD_IN[1] * inch, 24 * inch)
    i, j = bands.first, bands.second
    alike = np.abs(mine.length[i] - mine.length[j]) < EQUAL_IN * inch
    alike &= bands.overlap > 0.85 * np.maximum(mine.length[i], mine.length[j])
    i, j = i[alike], j[alike]
    _, label = components(i, j, len(mine))
    flights = np.flatnonzero(np.bincount(label) >= LEAST)
    shapes = lines(mine.xy)
    hulls = [shapely.convex_hull(shapely.union_all(shapes[label == f])) for f in flights]
    areas = [h for h in hulls if h.geom_type == "Polygon" and h.area < 120 * 144 * inch**2]
    return (
        shapely.get_parts(shapely.union_all(shapely.buffer(np.array(areas, object), inch)))
        if areas
        else (np.zeros(0, object))
    )

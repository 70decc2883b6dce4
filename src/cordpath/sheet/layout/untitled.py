"""A plan without a title of its own beside an elevation or a detail that has one.

Terms: *part*, what the titles of a sheet divide it into; *band*, white paper right across a part.

A part is divided at titles only, so that a plan which the title block names lies in the part of the elevation
beside it, and would pass for no plan, and none of its outlets be judged.
"""

from __future__ import annotations

import numpy as np

from cordpath.geometry import box_area
from cordpath.model import Box
from cordpath.sheet.layout.raster import Raster

BAND = 36.0  # pt: drawings stand half an inch apart at least (common practice, no source)
LARGER = 2.0  # times the titled drawing's area is a plan beside it; smaller ones may belong to the same title


def apart(raster: Raster, title: Box, part: Box) -> tuple[Box, Box | None]:
    """The drawing that a title names within its part, and the larger one beside it; the whole part and None."""
    cell = raster.cell
    left, top = int(part[0] / cell), int(part[1] / cell)
    right, bottom = int(np.ceil(part[2] / cell)), int(np.ceil(part[3] / cell))
    ink = raster.ink[top:bottom, left:right] > 0
    best: tuple[float, Box, Box] | None = None
    for axis, origin in ((0, left), (1, top)):
        middle = (title[axis] + title[axis + 2]) / 2 / cell - origin
        for low, high in _bands(np.asarray(ink.any(axis=axis)), BAND * raster.size / cell):
            at = origin + (low + high) // 2
            cut = (
                ((top, left, bottom, at), (top, at, bottom, right)) if axis == 0
                else ((top, left, at, right), (at, left, bottom, right))
            )  # fmt: skip
            own, other = (raster.extent(*cells) for cells in (cut if middle < (low + high) / 2 else cut[::-1]))
            if own is None or other is None or box_area(other) < LARGER * box_area(own):
                continue
            if best is None or high - low > best[0]:
                best = (high - low, own, other)
    return (best[1], best[2]) if best else (part, None)


def _bands(drawn: np.ndarray, least: float) -> list[tuple[int, int]]:
    """First and last cell of each white run between drawn ones."""
    at = np.flatnonzero(drawn)
    gap = np.flatnonzero(np.diff(at) > least)
    return [(int(at[k]) + 1, int(at[k + 1]) - 1) for k in gap]

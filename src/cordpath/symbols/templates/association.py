"""Association maps: pictures of the template frame whose cells name the nearest sample of a like direction.

Terms: *sample*, a point on the template's marks; *probe*, a point just past a line's free end; *direction bin*, one
of eight sectors of undirected angles.  A map only names the sample, distances are computed.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cordpath.model import FloatArray
from cordpath.symbols.ink.grid import BINS

NEAR = 1  # close to some mark, whatever its direction, or in a filled one
INSIDE = 2  # in the body


@dataclass(frozen=True, eq=False)
class Maps:
    """Pictures of the template frame; ``at(x, y)`` gives the cell of a point."""

    low: FloatArray
    cell: float
    side: int
    sample: NDArray[np.signedinteger[Any]]  # (8, side, side) nearest sample of like direction, -1
    probe: NDArray[np.signedinteger[Any]] | None  # the same for probes
    zone: NDArray[np.uint8]  # (side, side) NEAR and INSIDE, or neither
    reach: FloatArray  # (8, 4) box of the cells of each direction bin that name a sample; inf, -inf: none


def boxes(sample: NDArray[np.signedinteger[Any]], low: FloatArray, cell: float) -> FloatArray:
    """(8, 4) box around the cells of each direction bin that name a sample, with a cell to spare."""
    out = np.tile([np.inf, np.inf, -np.inf, -np.inf], (len(sample), 1))
    for b, named in enumerate(sample >= 0):
        for axis in (0, 1):
            k = np.flatnonzero(named.any(1 - axis))
            if len(k):  # what lies beyond the map is looked up at its edge
                out[b, axis] = low[axis] + (k[0] - 1) * cell if k[0] else -np.inf
                out[b, axis + 2] = low[axis] + (k[-1] + 2) * cell if k[-1] < named.shape[axis] - 1 else np.inf
    return out


def stamped(
    points: FloatArray, tangents: FloatArray, low: FloatArray, cell: float, side: int, reach: float
) -> tuple[NDArray[np.signedinteger[Any]], FloatArray]:
    """Association map of samples, and the distance of every cell to the nearest of any direction."""
    r = int(reach / cell) + 1
    span = np.arange(-r, r + 1)
    base = np.floor((points - low) / cell).astype(np.int64)
    away = ((base[..., None] + span) + 0.5) * cell + low[:, None] - points[..., None]
    d = np.hypot(away[:, 0, :, None], away[:, 1, None, :])
    i, across, down = np.nonzero(d <= reach)
    d = d[i, across, down]
    x, y = base[i, 0] + span[across], base[i, 1] + span[down]
    fits = (x >= 0) & (x < side) & (y >= 0) & (y < side)
    i, d, at = i[fits], d[fits], (x * side + y)[fits]
    order = np.argsort(-d, kind="stable")  # nearest is written last and stays
    i, at = i[order], at[order]
    distance = np.full(side * side, np.inf)
    distance[at] = d[order]
    sector = (np.floor(np.mod(tangents, np.pi) * BINS / np.pi).astype(np.int64) % BINS)[i]
    maps = np.full((BINS, side * side), -1, np.int16 if len(points) < 32_000 else np.int32)
    for b in range(BINS):
        like = (sector - b) % BINS
        m = (like <= 1) | (like == BINS - 1)
        maps[b][at[m]] = i[m]
    return maps.reshape(BINS, side, side), distance.reshape(side, side)

"""Corners of walls whose lines miss each other.

Drafted by hand or cut by a plotter, the faces of two walls may stop short of the corner in which they meet, or of
the jamb that closes them at an opening.  Faces are drawn out until they meet, as the draftsman meant them.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.geometry import lengths, lines
from cordpath.model import FloatArray

# Corners are missed by up to 1/16 in on paper (and the pen), whatever the scale; but no doorway or niche of a house
# is narrower than 8 in, and a miss of 3 in is none of a house (common practice, no source).
MISSED_PT, MISSED_IN = 5.0, (3.0, 8.0)
MET_PT = 0.3  # rounding to 1/600 in at both ends
ACROSS = 0.35  # sine of 20 degrees: lines that cross flatter show no corner


def drawn_out(xy: FloatArray, inch: float) -> FloatArray:
    """(n, 4) wall faces, each end that stops a little short of another face, or of where that would go on to, drawn
    out to it.  Ends that meet a face stay."""
    size = lengths(xy)
    if len(xy) < 2 or not (size > 0).all():
        return xy
    reach = float(np.clip(MISSED_PT, MISSED_IN[0] * inch, MISSED_IN[1] * inch))
    count = len(xy)
    unit = (xy[:, 2:] - xy[:, :2]) / size[:, None]
    end = np.concatenate([xy[:, :2], xy[:, 2:]])
    out = np.concatenate([-unit, unit])
    ahead = lines(np.concatenate([end - out * MET_PT, end + out * reach], axis=1))
    longer = lines(np.concatenate([xy[:, :2] - unit * reach, xy[:, 2:] + unit * reach], axis=1))
    i, j = shapely.STRtree(longer).query(ahead, predicate="intersects")
    sine = out[i, 0] * unit[j, 1] - out[i, 1] * unit[j, 0]
    keep = (i % count != j) & (np.abs(sine) > ACROSS)
    i, j, sine = i[keep], j[keep], sine[keep]
    way = xy[j, :2] - end[i]
    step = (way[:, 0] * unit[j, 1] - way[:, 1] * unit[j, 0]) / sine
    # A face that goes on past the end on both sides, or ends there, meets it: nothing is missing.
    nearest = np.full(2 * count, np.inf)
    np.minimum.at(nearest, i, step)
    nearest = np.where(np.isfinite(nearest) & (nearest > MET_PT), nearest, 0.0)
    moved = end + out * nearest[:, None]
    return np.concatenate([moved[:count], moved[count:]], axis=1)

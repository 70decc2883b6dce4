"""Angular outlines, as of the ends of walls, and frames, as of windows: in the one each line goes on at the end of
the other and none branches off, in the other every line ends on others.

A rectangle with two stems, as the receptacles of some offices are drawn, has as much ink in as few directions; its
stems begin on a side and end in the air, or on a wall.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray
from cordpath.symbols.unexplained.groups import Groups

MEET = 0.4  # pt between the ends of lines that meet: pens round to 1/600 in (0.12 pt)
STEMS = 2  # of places at which lines branch, and of ends in the air; one line may run on past its corner


def outlines(groups: Groups, xy: FloatArray, asked: BoolArray) -> BoolArray:
    """(g,) which of the groups ``asked`` for, of strokes (n, 4), are such outlines or frames."""
    found = np.zeros(len(groups), bool)
    which = np.flatnonzero(asked)
    if not len(which):
        return found
    inside = shapely.STRtree(geometry.lines(xy))
    boxes = shapely.buffer(shapely.box(*groups.box[which].T), MEET, join_style="mitre")
    group, stroke = inside.query(boxes, predicate="covers")
    for number, k in enumerate(which.tolist()):
        found[k] = min(_branches_and_ends(xy[stroke[group == number]])) < STEMS
    return found


def _branches_and_ends(strokes: FloatArray) -> tuple[int, int]:
    """How many ends of the lines lie on another line, away from its ends, and how many on none."""
    ends = strokes.reshape(-1, 2)
    on = shapely.distance(shapely.points(ends)[:, None], geometry.lines(strokes)[None, :]) <= MEET
    apart = np.hypot(*(ends[:, None] - ends[None, :]).transpose(2, 0, 1)).reshape(len(ends), -1, 2).min(axis=2)
    return int((on & (apart > MEET)).any(axis=1).sum()), int((on.sum(axis=1) == 1).sum())

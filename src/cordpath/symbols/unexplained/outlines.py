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
BUILT_IN = 3  # long strokes through a group: the frame of a window or a door, the end of a wall
CORE = 0.7  # of a group's box, about its middle: a wall's face that a symbol only touches does not count
TOUCHED = 1.1  # the same of closed bodies: a device touches one wall, or two in a corner, a window's post all lines
BOX, AMID = 5, 0.2  # strokes of a box on a stem; of its side, from the side's middle to the stem


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
        its = xy[stroke[group == number]]
        found[k] = min(_branches_and_ends(its)) < STEMS and not _on_one_stem(its)
    return found


def _on_one_stem(strokes: FloatArray) -> bool:
    """Are they a box and one stem, that begins at the middle of a side."""
    if len(strokes) != BOX or _branches_and_ends(strokes) != (1, 1):
        return False
    ends, middle = shapely.points(strokes.reshape(-1, 2)), (strokes[:, :2] + strokes[:, 2:]) / 2
    amid = shapely.distance(ends[:, None], shapely.points(middle)[None, :]) <= AMID * geometry.lengths(strokes)
    on = shapely.distance(ends[:, None], geometry.lines(strokes)[None, :]) <= MEET
    return bool((amid & on).any())


def _branches_and_ends(strokes: FloatArray) -> tuple[int, int]:
    """How many ends of the lines lie on another line, away from its ends, and how many on none."""
    ends = strokes.reshape(-1, 2)
    on = shapely.distance(shapely.points(ends)[:, None], geometry.lines(strokes)[None, :]) <= MEET
    apart = np.hypot(*(ends[:, None] - ends[None, :]).transpose(2, 0, 1)).reshape(len(ends), -1, 2).min(axis=2)
    return int((on & (apart > MEET)).any(axis=1).sum()), int((on.sum(axis=1) == 1).sum())


def built_in(box: FloatArray, frames: shapely.STRtree, part: float) -> BoolArray:
    """(g,) of the boxes (g, 4) of groups: those into a ``part`` of which several lines of walls or frames run,
    parts of the building rather than symbols on it."""
    middle, half = (box[:, :2] + box[:, 2:]) / 2, part * (box[:, 2:] - box[:, :2]) / 2
    group, _ = frames.query(shapely.box(*np.c_[middle - half, middle + half].T), predicate="intersects")
    return np.asarray(np.bincount(group, minlength=len(box)) >= BUILT_IN, bool)

"""The signs beside a legend's rows.

Terms: *short stroke*, one that may belong to a sign.  *Sign*, short strokes that touch, no larger than a row.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.geometry import boxes_around, components, group_boxes, hull
from cordpath.model import BoolArray, Box, FloatArray, Strokes
from cordpath.sheet.layout.even_rows import COLUMN, LEVEL, TALLEST_ROW
from cordpath.sheet.text.textlines import Run

JOINED = 0.15  # pt: ends this near are one corner, whatever the writer's rounding (1/600 in is 0.12 pt)
LETTERS = 4  # of a sign, as GFCI; longer ones are texts
OVER, UNDER = 4.0, 12.0  # pt above the first text and below the last in which their signs end


def short_strokes(strokes: Strokes) -> FloatArray:
    """(n, 4) boxes of the visible strokes that are short enough to belong to a legend's sign."""
    xy = strokes.xy[strokes.ink()]
    boxes = boxes_around(xy)
    return boxes[(boxes[:, 2:] - boxes[:, :2]).max(axis=1, initial=0.0) <= COLUMN]


def with_signs(box: Box, rows: list[Run], small: FloatArray) -> Box:
    """Widen a legend's text to the signs left of it, or right of it where there are more.

    ``small``: see :func:`short_strokes`.
    """
    left = min(run.box[0] for run in rows if not _in_a_sign(run, rows))
    right = max(run.box[2] for run in rows)
    level = small[(small[:, 1] >= box[1] - OVER) & (small[:, 3] <= box[3] + UNDER)]
    before = (level[:, 0] >= left - COLUMN) & (level[:, 2] <= left + 2)
    after = (level[:, 0] >= right - 2) & (level[:, 2] <= right + COLUMN)
    signs = before if before.sum() >= after.sum() else after
    if not signs.any():
        return box
    close = (level[:, 2] >= left - COLUMN - TALLEST_ROW) & (level[:, 0] <= right + COLUMN + TALLEST_ROW)
    held = _whole(level[close], signs[close])
    return hull([box, (*held[:, :2].min(axis=0).tolist(), *held[:, 2:].max(axis=0).tolist())])


def _in_a_sign(run: Run, rows: list[Run]) -> bool:
    """Letters of a sign (SD in a circle) stand before the text of their row: no sign stands left of them.

    Reached for from there, a bathroom beside the legend was a part of it.
    """
    return len(run.text) <= LETTERS and any(
        abs(run.middle - text.middle) <= LEVEL * text.size and run.box[2] < text.box[0] <= run.box[2] + COLUMN
        for text in rows
        if len(text.text) > LETTERS
    )


def _whole(boxes: FloatArray, held: BoolArray) -> FloatArray:
    """The strokes held, with the rest of each sign that is cut where the reach for signs ends.

    What is larger than a sign is a drawing beside the legend, and none of it is added.
    """
    drawn = shapely.box(*boxes.T)
    one, two = shapely.STRtree(drawn).query(drawn, predicate="dwithin", distance=JOINED)
    count, shape = components(one, two, len(boxes))
    whole = group_boxes(boxes, shape, count)
    begun = np.bincount(shape[held], minlength=count) > 0
    return boxes[held | (begun & (whole[:, 2] - whole[:, 0] <= TALLEST_ROW))[shape]]

"""How far a part of the sheet without a frame reaches: up to the lines of the drawing beside it.

Terms: *column*, the heading of a part and the rows of text under it.  *Line of the drawing*, a long line that goes
on outside the part: a wall's face, a dimension line.
"""

from __future__ import annotations

import numpy as np
import shapely

from cordpath.geometry import grown, lengths, lines
from cordpath.model import Box, FloatArray, Strokes
from cordpath.sheet.text.textlines import Run

LONG = 90.0  # pt, 1.25 in: longer lines are no strokes of a legend's sign
OUT = 18.0  # pt, 1/4 in: a line goes on outside a part where it sticks out of it so far; rules of tables do not
SAME_ENDS = 1.0  # pt; the rules of a table begin and end at its frame
INTO = 3.0  # pt: what only touches the edge of a part does not go through it


def long_lines(strokes: Strokes) -> FloatArray:
    """(n, 4) the visible solid strokes that may be walls and dimension lines."""
    xy = strokes.xy[strokes.ink() & ~strokes.dashed]
    return xy[lengths(xy) > LONG]


def clear_of_drawing(box: Box, column: Box, long: FloatArray) -> Box:
    """A part's box, cut back left and right of its ``column`` to where no line of the drawing runs through it."""
    if not len(long):
        return box
    x0, y0, x1, y1 = box
    shape = lines(long)
    through = shapely.intersects(shape, shapely.box(*grown(box, -INTO)))
    through &= ~shapely.within(shape, shapely.box(*grown(box, OUT)))
    low, _, high, _ = shapely.bounds(shapely.intersection(shape[through], shapely.box(*box))).reshape(-1, 4).T
    before, after = high[high <= column[0]], low[low >= column[2]]
    if len(before):
        x0 = min(float(before.max()) + INTO, column[0])
    if len(after):
        x1 = max(float(after.min()) - INTO, column[2])
    return (x0, y0, x1, y1)


def parted(bottom: float, run: Run, column: Box, level: FloatArray) -> bool:
    """Does a level line that goes far beyond the column part a row of text from the rows above, down to ``bottom``?

    ``level``: (n, 3) y, x0, x1.  A rule of the table in which the rows stand does not, however wide the table is:
    another with the same two ends stands above the rows.
    """
    y, start, end = level.T
    between = (y > bottom - 1) & (y < run.box[3]) & (start < column[2]) & (end > column[0])
    far = np.maximum(column[0] - start, end - column[2]) > LONG
    across, above = level[between & far], level[(y >= column[1]) & (y < bottom)]
    apart = np.abs(across[:, None, 1:] - above[None, :, 1:]).max(axis=2)
    return bool((apart >= SAME_ENDS).all(axis=1).any())

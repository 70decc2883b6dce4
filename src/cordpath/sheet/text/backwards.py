"""Letters that a writer shows one by one from the last of a line to the first.

Words are built in the order of paint, so that such a line would be letters without a word.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cordpath.model import BoolArray, FloatArray, IntArray

FARTHEST = 1.0  # of the font size between two letters of a line: a space is 0.25 or more, a wide one half of this
NEAREST = -0.25  # of the font size: kerned letters reach over each other
BASELINE = 0.25  # of the font size: letters this far across are on another line
SAME_SIZE = 1.3  # times
SAME_ANGLE = 2.0  # degrees


@dataclass(frozen=True, eq=False)
class Row:
    """g letters that are not blank, in paint order, page coordinates."""

    start: FloatArray  # (g, 2) on the baseline
    width: FloatArray  # (g,) pt
    size: FloatArray  # (g,) pt
    angle: FloatArray  # (g,) degrees
    direction: FloatArray  # (g, 2) unit vector along the line


def forwards(row: Row, new_line: BoolArray) -> IntArray:
    """(g,) numbers of the letters, each backward line turned round.  ``new_line`` (g,): does a line begin there.

    A letter of a backward line ends where the one before begins, and neither goes on to the right with another."""
    step = row.start[:-1] - row.start[1:]
    gap = (step * row.direction[:-1]).sum(axis=1) - row.width[1:]
    across = np.abs(step[:, 0] * row.direction[:-1, 1] - step[:, 1] * row.direction[:-1, 0])
    small = np.minimum(row.size[1:], row.size[:-1])
    turn = np.abs((np.diff(row.angle) + 180) % 360 - 180)
    back = (gap > NEAREST * small) & (gap < FARTHEST * small) & (across < BASELINE * small)
    back &= (turn <= SAME_ANGLE) & (np.maximum(row.size[1:], row.size[:-1]) <= SAME_SIZE * small)
    onwards = np.concatenate([[False], ~new_line[1:] & ~back, [False]])
    back &= ~onwards[:-2] & ~onwards[2:]
    chain = np.cumsum(np.concatenate([[True], ~back]))
    order = np.arange(len(row.size))
    turned: IntArray = np.lexsort((-order, chain))
    return turned

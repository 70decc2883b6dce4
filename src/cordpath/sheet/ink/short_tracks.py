"""Which way a pen went that drew a piece as short as it is broad: a chord of a small arc.

The rectangle tells nothing of it, its neighbours do: the pieces of a line meet end to end.

Terms: *short*, of thin rectangles: a pen may have drawn it along either side.
"""

from __future__ import annotations

import numpy as np
from scipy.spatial import cKDTree

from cordpath.model import BoolArray, FloatArray

SHORT = 1.5  # times as long as broad: pens are seldom broader than that beside the chords that they draw
MEET = 0.1  # pt between ends that meet: two roundings, and how far corners of a piece stray from a rectangle


def in_line(along: FloatArray, across: FloatArray, short: BoolArray) -> tuple[BoolArray, BoolArray]:
    """(n,) which rectangles lie across their line, and (n,) which short ones have something at both ends of it.

    ``along``, ``across`` (n, 4): their middle lines along the longer and along the shorter side.
    """
    ends = np.concatenate([along, across[short]]).reshape(-1, 2)
    # each end is one of the ends near it
    met = cKDTree(ends).query_ball_point(ends, MEET, return_length=True).reshape(-1, 2) > 1
    meets = met[: len(along)].sum(axis=1), np.zeros(len(along), np.int64)
    meets[1][short] = met[len(along) :].sum(axis=1)
    return np.asarray(meets[1] > meets[0], bool), np.asarray(short & (np.maximum(*meets) == 2), bool)

"""Lines so broad that they hide what lies under them: what somebody painted out with a white pen.

Terms: *track*, the area that a pen paints along a path, with its caps and joins (ISO 32000-2, 8.4.3).
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.model import WHITE, IntArray
from cordpath.sheet.ink.paths import Paths
from cordpath.sheet.ink.strokes import Pieces

COVERS = 1.5  # pt; thinner white lines leave something of every mark and letter (the smallest are 4 pt high)
MOST = 20_000  # pieces of such lines; more are no painting out
CHORDS = 6  # of a quarter of a circle, at round caps and joins
MITRE = 10.0  # mitre limit where none is stated (ISO 32000-2, table 51)


def white_tracks(paths: Paths, pieces: Pieces) -> tuple[NDArray[np.object_], IntArray]:
    """Areas of the broad white lines through which nothing shows, one a path, and the path of each.

    A dashed line hides in its dashes only, and its gaps show what was painted out: it is left a line."""
    broad = paths.hiding & paths.stroked & ~paths.dashed & (paths.width >= COVERS)
    broad &= paths.pen.min(axis=1, initial=1.0) >= WHITE
    mine = np.flatnonzero(broad[pieces.path])
    if not len(mine) or len(mine) > MOST:
        return np.zeros(0, object), np.zeros(0, np.int64)
    path, of = np.unique(pieces.path[mine], return_inverse=True)
    segments = shapely.linestrings(pieces.xy[mine].reshape(-1, 2, 2))
    drawn = shapely.line_merge(shapely.multilinestrings(segments, indices=of))
    out = np.empty(len(path), object)
    cap = np.where(paths.butt[path], 0, np.where(paths.round_cap[path], 1, 2))
    for number, its in enumerate(("flat", "round", "square")):
        for corners, join in ((True, "mitre"), (False, "round")):
            some = (cap == number) & (paths.mitred[path] == corners)
            out[some] = shapely.buffer(
                drawn[some], paths.width[path[some]] / 2, quad_segs=CHORDS, cap_style=its, join_style=join,
                mitre_limit=MITRE,
            )  # fmt: skip
    return out, path

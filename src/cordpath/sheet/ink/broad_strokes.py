"""Lines so broad that they hide what lies under them: what somebody painted out with a white pen; and what the gaps
of dashed lines leave out.

Terms: *track*, the area that a pen paints along a path, with its caps and joins (ISO 32000-2, 8.4.3).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.model import WHITE, FloatArray, IntArray
from cordpath.sheet.ink.paths import COVERS, Paths
from cordpath.sheet.ink.strokes import Pieces

MOST = 20_000  # pieces, and dashes, of such lines; more are no painting out
CHORDS = 6  # of a quarter of a circle, at round caps and joins
JOINED = 1e-4  # pt between pieces of one line
MITRE = 10.0  # mitre limit where none is stated (ISO 32000-2, table 51)


def white_tracks(paths: Paths, pieces: Pieces) -> tuple[NDArray[np.object_], IntArray]:
    """Areas of the broad white lines through which nothing shows, one a path, and the path of each.

    A dashed line hides in its dashes only."""
    broad = paths.hiding & paths.stroked & (paths.width >= COVERS)
    broad &= paths.pen.min(axis=1, initial=1.0) >= WHITE
    mine = np.flatnonzero(broad[pieces.path])
    if not len(mine) or len(mine) > MOST:
        return np.zeros(0, object), np.zeros(0, np.int64)
    dashed = paths.dashed[pieces.path[mine]]
    xy, owner = _dashes(paths.dashes, pieces.xy[mine[dashed]], pieces.path[mine[dashed]])
    xy = np.concatenate([pieces.xy[mine[~dashed]], xy])
    owner = np.concatenate([np.stack([pieces.path[mine[~dashed]]] * 2, axis=1), owner])
    if not len(xy):  # all in the gaps of dashes
        return np.zeros(0, object), np.zeros(0, np.int64)
    dash, of = np.unique(owner, axis=0, return_inverse=True)
    order = np.argsort(of.ravel(), kind="stable")
    segments = shapely.linestrings(xy[order].reshape(-1, 2, 2))
    drawn = shapely.line_merge(shapely.multilinestrings(segments, indices=of.ravel()[order]))
    area = _areas(paths, drawn, dash[:, 0])
    path, first = np.unique(dash[:, 0], return_index=True)
    return np.array([shapely.union_all(some) for some in np.split(area, first[1:])], object), path


def _areas(paths: Paths, drawn: NDArray[np.object_], path: IntArray) -> NDArray[np.object_]:
    """What the pens of paths (n,) paint along the lines (n,)."""
    out = np.empty(len(path), object)
    cap = np.where(paths.butt[path], 0, np.where(paths.round_cap[path], 1, 2))
    for number, its in enumerate(("flat", "round", "square")):
        for corners, join in ((True, "mitre"), (False, "round")):
            some = (cap == number) & (paths.mitred[path] == corners)
            out[some] = shapely.buffer(
                drawn[some], paths.width[path[some]] / 2, quad_segs=CHORDS, cap_style=its, join_style=join,
                mitre_limit=MITRE,
            )  # fmt: skip
    return out


def without_gaps(paths: Paths, pieces: Pieces) -> Pieces:
    """The pieces without what lies in wide gaps of dashed lines: such a line may show nothing at all."""
    mine = np.isin(pieces.path, list(paths.gaps))
    if not mine.any() or mine.sum() > MOST:
        return pieces
    xy, dash = _dashes(paths.gaps, pieces.xy[mine], pieces.path[mine])
    path = np.concatenate([pieces.path[~mine], dash[:, 0]])
    order = np.argsort(path, kind="stable")
    return Pieces(
        np.concatenate([pieces.xy[~mine], xy])[order], path[order],
        np.concatenate([pieces.curve[~mine], np.full(len(xy), -1, np.int64)])[order],
    )  # fmt: skip


def _dashes(
    patterns: Mapping[int, tuple[tuple[float, ...], float]], xy: FloatArray, path: IntArray
) -> tuple[FloatArray, IntArray]:
    """(m, 4) what is painted of the pieces (n, 4) of dashed paths, and (m, 2) the path and the dash of each."""
    parts, owners = [np.zeros((0, 4))], [np.zeros((0, 2), np.int64)]
    new = np.ones(len(xy), bool)
    new[1:] = (path[1:] != path[:-1]) | (np.abs(xy[1:, :2] - xy[:-1, 2:]) > JOINED).any(axis=1)
    first, count = np.flatnonzero(new), 0
    for run in np.split(np.arange(len(xy)), first[1:]):
        if not len(run) or int(path[run[0]]) not in patterns:
            continue
        part, dash = _cut_up(xy[run], *patterns[int(path[run[0]])])
        parts.append(part)
        owners.append(np.column_stack([np.full(len(part), path[run[0]]), dash + count]))
        count = int(owners[-1][:, 1].max(initial=count)) + 1
        if count > MOST:
            break
    return np.concatenate(parts), np.concatenate(owners)


def _cut_up(xy: FloatArray, lengths: tuple[float, ...], phase: float) -> tuple[FloatArray, IntArray]:
    """(m, 4) the dashes of a line of pieces (n, 4) that follow one another, and (m,) the number of each dash
    (ISO 32000-2, 8.4.3.6: dashes and gaps by turns, from ``phase`` on)."""
    long = np.hypot(*(xy[:, 2:] - xy[:, :2]).T)
    ends = np.concatenate([[0.0], np.cumsum(long)])
    turns = np.array(lengths * (1 + len(lengths) % 2))
    if not turns.sum() > 0 or not ends[-1] > 0 or ends[-1] / turns.sum() > MOST:
        return np.zeros((0, 4)), np.zeros(0, np.int64)
    rounds = int((ends[-1] + phase % turns.sum()) // turns.sum()) + 1
    marks = np.concatenate([[0.0], np.cumsum(np.tile(turns, rounds))]) - phase % turns.sum()
    cuts = np.unique(np.clip(np.concatenate([marks, ends]), 0.0, ends[-1]))
    middle = (cuts[1:] + cuts[:-1]) / 2
    number = np.searchsorted(marks, middle, side="right") - 1
    on = number % 2 == 0
    piece = np.clip(np.searchsorted(ends, middle, side="right") - 1, 0, len(xy) - 1)
    way = (xy[:, 2:] - xy[:, :2]) / np.maximum(long, 1e-12)[:, None]
    low, high = (xy[piece, :2] + way[piece] * (c - ends[piece])[:, None] for c in (cuts[:-1], cuts[1:]))
    return np.concatenate([low, high], axis=1)[on], number[on]

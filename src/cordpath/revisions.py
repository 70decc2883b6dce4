"""Revision clouds that are drawn on a sheet: where its author says that something changed.

Best effort: a cloud is taken for one where its arcs join at cusps; one of straight strokes, or one laid over the
sheet as an annotation, is not seen.

Terms: *arc*, a Bezier piece of a stroked path; *cusp*, a joint of two arcs where the direction breaks.
"""

from __future__ import annotations

import numpy as np
from scipy.spatial import cKDTree

from cordpath.geometry import box_around, components
from cordpath.model import Box, FloatArray, IntArray, Sheet

JOINED_PT = 0.6  # pt: ends that meet, after rounding to 1/600 in
CUSP = 50.0  # degrees from which a joint is no smooth one; clouds break by 60 and more
CUSPS_LEAST = 6  # a cloud around anything has more; a clover or a door has fewer
SIDE_LEAST = 20.0  # pt: smaller ones are symbols
ARCS_MOST = 60_000  # of a sheet: beyond, curves are lettering or shading


def revision_clouds(sheet: Sheet) -> tuple[Box, ...]:
    """Boxes of clouds in page coordinates, by their place from the top."""
    strokes = sheet.strokes
    chords = np.flatnonzero((strokes.curve >= 0) & strokes.ink())
    if len(chords) < CUSPS_LEAST:
        return ()
    first, last = _arcs(strokes.curve[chords])
    if not CUSPS_LEAST <= len(first) <= ARCS_MOST:
        return ()
    xy = strokes.xy[chords]
    ends = np.stack([xy[first, :2], xy[last, 2:]], axis=1)  # (arcs, 2, 2)
    leaving = np.stack([xy[first, 2:] - xy[first, :2], xy[last, :2] - xy[last, 2:]], axis=1)  # into the arc
    group, cusps = _chains(ends, leaving)
    boxes = []
    for k in np.flatnonzero(np.bincount(group[cusps], minlength=group.max() + 1) >= CUSPS_LEAST):
        mine = np.isin(strokes.curve[chords], strokes.curve[chords][first[group == k]])
        x0, y0, x1, y1 = box_around(xy[mine].reshape(-1, 2))
        if min(x1 - x0, y1 - y0) >= SIDE_LEAST:
            boxes.append((x0, y0, x1, y1))
    return tuple(sorted(boxes, key=lambda box: (box[1], box[0])))


def _arcs(curve: IntArray) -> tuple[IntArray, IntArray]:
    """First and last chord of every arc; the chords of an arc follow each other."""
    breaks = np.flatnonzero(np.diff(curve)) + 1
    first = np.concatenate([[0], breaks])
    return first, np.concatenate([breaks, [len(curve)]]) - 1


def _chains(ends: FloatArray, leaving: FloatArray) -> tuple[IntArray, IntArray]:
    """(arcs,) group of joined arcs, and for every cusp an arc that has it."""
    flat, way = ends.reshape(-1, 2), leaving.reshape(-1, 2)
    pairs = cKDTree(flat).query_pairs(JOINED_PT, output_type="ndarray")
    pairs = pairs[pairs[:, 0] // 2 != pairs[:, 1] // 2]
    count = len(ends)
    _, group = components(pairs[:, 0] // 2, pairs[:, 1] // 2, count)
    a, b = way[pairs[:, 0]], way[pairs[:, 1]]
    size = np.maximum(np.hypot(*a.T) * np.hypot(*b.T), 1e-12)
    turn = 180.0 - np.degrees(np.arccos(np.clip((a * b).sum(axis=1) / size, -1, 1)))
    return group, pairs[turn >= CUSP, 0] // 2

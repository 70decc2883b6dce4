"""Ruled lines: the frames, strips and tables of a sheet.

Terms: *rule*, a level or upright line merged from the strokes that lie on it.  *Frame*, four rules around
something.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cordpath.geometry import box_area
from cordpath.model import Box, FloatArray, Strokes

SHORTEST = 18.0  # pt; shorter lines are no rules
SAME_LINE = 0.6  # pt; strokes this close across are on one line (1/120 in, pen width of a plot)
BREAK = 1.5  # pt; a gap along the line up to this is drawn through
CORNER = 3.0  # pt; rules that end this close to each other meet


@dataclass(frozen=True, eq=False)
class Rules:
    """``level``: (n, 3) y, x0, x1.  ``upright``: (m, 3) x, y0, y1.  Both with x0 < x1, y0 < y1."""

    level: FloatArray
    upright: FloatArray


def rules(strokes: Strokes) -> Rules:
    """The rules among the visible solid strokes."""
    xy = strokes.xy[strokes.ink() & ~strokes.dashed & (strokes.curve < 0)]
    flat = np.abs(xy[:, 3] - xy[:, 1]) < 0.3
    steep = np.abs(xy[:, 2] - xy[:, 0]) < 0.3
    level = _merged((xy[flat, 1] + xy[flat, 3]) / 2, xy[flat][:, [0, 2]])
    upright = _merged((xy[steep, 0] + xy[steep, 2]) / 2, xy[steep][:, [1, 3]])
    return Rules(level, upright)


def _merged(at: FloatArray, ends: FloatArray) -> FloatArray:
    """(k, 3) place, from, to of lines merged from pieces at ``at`` that run between ``ends``."""
    if not len(at):
        return np.zeros((0, 3))
    low, high = ends.min(axis=1), ends.max(axis=1)
    by_place = np.argsort(at, kind="stable")
    group = np.zeros(len(at), np.int64)
    group[by_place] = np.concatenate([[0], np.cumsum(np.diff(at[by_place]) > SAME_LINE)])
    order = np.lexsort((low, group))
    at, low, high, group = at[order], low[order], high[order], group[order]
    # The furthest end so far within a group: groups are moved apart so that one running maximum serves all.
    apart = group * 1e6
    reach = np.maximum.accumulate(high + apart) - apart
    new = np.ones(len(at), bool)
    new[1:] = (group[1:] != group[:-1]) | (low[1:] > reach[:-1] + BREAK)
    start = np.flatnonzero(new)
    end = np.maximum.reduceat(high, start)
    found = np.column_stack([at[start], low[start], end])
    return found[found[:, 2] - found[:, 1] >= SHORTEST]


def frame_around(found: Rules, box: Box, page: Box) -> Box | None:
    """The smallest ruled frame around ``box`` that is no larger than ``page`` allows; None where there is none."""
    x0, y0, x1, y1 = box
    up = found.upright
    across = (up[:, 1] <= y0 + CORNER) & (up[:, 2] >= y1 - CORNER)
    lefts = up[across & (up[:, 0] <= x0 + CORNER)]
    rights = up[across & (up[:, 0] >= x1 - CORNER)]
    best: Box | None = None
    for left in lefts[np.argsort(-lefts[:, 0])][:6]:
        for right in rights[np.argsort(rights[:, 0])][:6]:
            frame = _closed(found, left, right, y0, y1)
            if frame is not None and (best is None or box_area(frame) < box_area(best)):
                best = frame
    too_wide = best is not None and (best[2] - best[0] > page[2] - page[0] or best[3] - best[1] > page[3] - page[1])
    return None if too_wide else best


def _closed(found: Rules, left: FloatArray, right: FloatArray, y0: float, y1: float) -> Box | None:
    """The frame between two uprights: as high as both run, closed by level rules at top and bottom."""
    spans = found.level[(found.level[:, 1] <= left[0] + CORNER) & (found.level[:, 2] >= right[0] - CORNER)]
    top, bottom = max(left[1], right[1]), min(left[2], right[2])
    tops = spans[(spans[:, 0] <= y0 + CORNER) & (spans[:, 0] >= top - CORNER), 0]
    bottoms = spans[(spans[:, 0] >= y1 - CORNER) & (spans[:, 0] <= bottom + CORNER), 0]
    if not len(tops) or not len(bottoms):
        return None
    return (float(left[0]), float(tops.min()), float(right[0]), float(bottoms.max()))


def table_below(found: Rules, heading: Box, reach: float) -> Box | None:
    """The ruled table whose top rule lies just below a heading: ``reach`` in points."""
    x0, _, x1, y1 = heading
    level = found.level
    tops = level[(level[:, 0] >= y1 - CORNER) & (level[:, 0] <= y1 + reach)]
    tops = tops[(tops[:, 1] < x1) & (tops[:, 2] > x0)]
    for y, left, right in tops[np.argsort(tops[:, 0])][:4]:
        same = (np.abs(level[:, 1] - left) <= CORNER) & (np.abs(level[:, 2] - right) <= CORNER) & (level[:, 0] > y)
        sides = found.upright[(np.abs(found.upright[:, 1] - y) <= CORNER)]
        ends = [sides[np.abs(sides[:, 0] - x) <= CORNER, 2] for x in (left, right)]
        if not len(ends[0]) or not len(ends[1]):
            continue
        bottom = min(ends[0].max(), ends[1].max())
        closing = level[same & (level[:, 0] <= bottom + CORNER), 0]
        if len(closing):
            return (float(left), float(y), float(right), float(closing.max()))
    return None

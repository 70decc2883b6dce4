"""Marks of a mapping entry as plain arrays in points, y down."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from cordpath.geometry import SAGITTA_PT, chords
from cordpath.model import ArcMark, CircleMark, FloatArray, IntArray, LineMark, Mark, PolylineMark, TextMark


@dataclass(frozen=True, eq=False)
class Drawn:
    """``lines`` (k, 4); ``arcs`` (a, 5): centre, radius, start, end in radians, y down; fills as (p, 2) rings."""

    lines: FloatArray
    arcs: FloatArray
    fills: tuple[FloatArray, ...]
    filled: IntArray  # numbers of the lines that are edges of fills
    texts: tuple[tuple[str, float, float], ...]

    @property
    def penned(self) -> IntArray:
        """Numbers of the lines that a pen draws: all but the edges of fills, which need none."""
        return np.setdiff1d(np.arange(len(self.lines)), self.filled)

    def chords(self, sagitta: float = SAGITTA_PT) -> tuple[FloatArray, IntArray]:
        """(n, 4) lines and then chords of arcs, (n,) number of the arc each was cut from, -1 for lines."""
        cut, of = chords(self.arcs, sagitta)
        return np.r_[self.lines, cut], np.r_[np.full(len(self.lines), -1, np.int64), of]


def draw(marks: tuple[Mark, ...], unit: float) -> Drawn:
    """Marks in inches times ``unit`` points per inch."""
    lines: list[tuple[float, float, float, float]] = []
    arcs: list[tuple[float, float, float, float, float]] = []
    fills: list[FloatArray] = []
    edges: list[int] = []
    texts: list[tuple[str, float, float]] = []
    for mark in marks:
        if isinstance(mark, LineMark):
            lines.append((*mark.start, *mark.end))
        elif isinstance(mark, CircleMark):
            arcs.append((*mark.center, mark.radius, 0.0, 2 * math.pi))
        elif isinstance(mark, ArcMark):
            sweep = math.radians((mark.end - mark.start) % 360.0 or 360.0)
            start = -math.radians(mark.start)  # counter-clockwise as seen runs backwards in the y-down frame
            arcs.append((*mark.center, mark.radius, start - sweep, start))
        elif isinstance(mark, PolylineMark):
            ring = list(mark.points) + ([mark.points[0]] if mark.closed or mark.filled else [])
            start = len(lines)
            lines.extend((*a, *b) for a, b in pairwise(ring))
            if mark.filled and len(mark.points) >= 3:
                edges.extend(range(start, len(lines)))
                fills.append(np.asarray(mark.points, float) * unit)
        elif isinstance(mark, TextMark):
            texts.append((mark.value, mark.at[0] * unit, mark.at[1] * unit))
    line_array = np.asarray(lines, float).reshape(-1, 4) * unit
    arc_array = np.asarray(arcs, float).reshape(-1, 5) * np.array([unit, unit, unit, 1.0, 1.0])
    kept = np.hypot(*(line_array[:, 2:] - line_array[:, :2]).T) > 1e-6
    filled = np.flatnonzero(np.isin(np.flatnonzero(kept), edges))
    arc_array = arc_array[arc_array[:, 2] > 1e-6]
    return Drawn(line_array[kept], arc_array, tuple(fills), filled, tuple(texts))

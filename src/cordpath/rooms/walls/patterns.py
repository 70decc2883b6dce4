"""Lines at equal distances: hatch, treads, tiles and decking are no walls.

Terms: *neighbour*, a parallel line beside another one.  *Pitch*, the distance from line to line of a pattern.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from cordpath.geometry import components, lines, midpoints
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.rooms.walls.bands import Bands

BESIDE = 0.5  # part of a line that a neighbour covers; furniture over a floor pattern covers less of its long lines
ALONG = 0.9  # part of a line that the next line of its own pattern covers, where nothing cuts it short
EVEN, EVEN_IN = 0.08, 0.15  # how far the distances to two neighbours may differ, of the pitch and in the building
SAME, SAME_IN = 0.02, 0.15  # the same of lines that were drawn by one pattern: it repeats to the plotter's step
PITCH = 0.1  # how far pitches of one pattern differ
MOST_STEPS = 3  # from a line of a pattern to the next, over one that something else runs beside
LEAST = 3  # lines of a pattern next to each other; the lines of a window in its wall give one middle at most


def hatch_like(xy: FloatArray, unit: FloatArray, inch: float) -> bool:
    """Do at least 40 % of a sample of the strokes have seven parallels within 14 in?"""
    if len(xy) < 20:
        return False
    sample = np.random.default_rng(0).permutation(len(xy))[:250]
    shapes = lines(xy)
    q, j = shapely.STRtree(shapes).query(shapes[sample], predicate="dwithin", distance=14 * inch)
    i = sample[q]
    cross = np.abs(unit[i, 0] * unit[j, 1] - unit[i, 1] * unit[j, 0])
    apart = ((xy[j, :2] + xy[j, 2:]) / 2 - xy[i, :2]) * np.stack([-unit[i, 1], unit[i, 0]], 1)
    away = np.abs(apart.sum(1))
    near = (cross < 0.03) & (away > 0.4 * inch) & (away < 14 * inch)
    return bool((np.bincount(q[near], minlength=len(sample)) >= 7).mean() > 0.4)


@dataclass(frozen=True, eq=False)
class Pattern:
    lines: BoolArray  # (n,) strokes of a pattern
    edges: BoolArray  # (n,) strokes one step beyond: the last line of a pattern, or a wall's face that lies there


def equally_spaced(xy: FloatArray, unit: FloatArray, bands: Bands, inch: float) -> BoolArray:
    """(n,) the lines of :func:`find_pattern`."""
    return find_pattern(xy, unit, bands, inch).lines


def find_pattern(xy: FloatArray, unit: FloatArray, bands: Bands, inch: float) -> Pattern:
    """Strokes in the middle between two neighbours at one distance, three or more such next to each other, and
    those between them that something else runs beside.

    ``bands``: all pairs of strokes that run side by side at up to the widest pitch looked for.
    """
    count = len(xy)
    i = np.concatenate([bands.first, bands.second])
    j = np.concatenate([bands.second, bands.first])
    length = np.maximum(np.hypot(*(xy[:, 2:] - xy[:, :2]).T), 1e-9)
    overlap = np.concatenate([bands.overlap, bands.overlap])
    beside = overlap > BESIDE * length[i]
    i, j, overlap = i[beside], j[beside], overlap[beside]
    away = ((midpoints(xy)[j] - xy[i, :2]) * np.stack([-unit[i, 1], unit[i, 0]], 1)).sum(1) / inch
    nearest = _on_either_side(i, away, np.abs(away), count)
    # A table or a leaf that lies over a pattern, nearer to a line than the next line of the pattern is.
    own = overlap > ALONG * length[i]
    next_own = _on_either_side(i[own], away[own], np.abs(away[own]), count)
    nearest = np.where(_even(next_own, SAME, SAME_IN), next_own, nearest)
    middle = _even(nearest, EVEN, EVEN_IN)
    pitch = nearest.sum(0) / 2
    near = middle[i] & middle[j]
    near[near] = np.abs(np.abs(away[near]) - pitch[i[near]]) < PITCH * pitch[i[near]] + EVEN_IN
    _, label = components(i[near], j[near], count)
    found = np.asarray(middle & (np.bincount(label, minlength=count)[label] >= LEAST), bool)
    alike = own & (overlap > ALONG * length[j]) & found[j] & ~found[i]
    steps = _steps(i[alike], away[alike], pitch[j[alike]], count)
    between = steps.sum(0) <= MOST_STEPS
    return Pattern(found | between, ~found & ~between & (steps.min(0) == 1))


def _steps(i: IntArray, away: FloatArray, pitch: FloatArray, count: int) -> FloatArray:
    """(2, count) whole steps to the nearest line of a pattern on either side that is in step, inf for none."""
    steps = np.round(np.abs(away) / pitch)
    fits = (steps >= 1) & (np.abs(np.abs(away) - steps * pitch) < SAME_IN)
    return _on_either_side(i[fits], away[fits], steps[fits], count)


def _on_either_side(i: IntArray, away: FloatArray, value: FloatArray, count: int) -> FloatArray:
    """(2, count) least ``value`` of the neighbours on either side, inf where there is none; ``away`` in, signed."""
    nearest = np.full((2, count), np.inf)
    for side, sign in enumerate((1.0, -1.0)):
        pick = away * sign > 0.2
        np.minimum.at(nearest[side], i[pick], value[pick])
    return nearest


def _even(nearest: FloatArray, share: float, least: float) -> BoolArray:
    with np.errstate(invalid="ignore"):
        apart = np.abs(nearest[0] - nearest[1])
        return np.asarray(apart < share * (nearest[0] + nearest[1]) / 2 + least, bool)

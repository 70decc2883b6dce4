"""Lines of two groups that may be one: they end beside each other, on one another, or run together for a while.

Lines that run together to one symbol or cross, dashed ones above all, may be told apart wrongly on the way.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from scipy.spatial import cKDTree

from cordpath.circuits.wiring.line import Line, way_at_end
from cordpath.circuits.wiring.strands import DASH, GAP
from cordpath.circuits.wiring.stubs import HOP, SHORT
from cordpath.circuits.wiring.wires import FORKED
from cordpath.model import Symbol

TEE = 1.5  # pt between a loose end and the line that it may join
LOST_DASH = DASH + 2 * GAP  # pt between two ends of a broken line where a dash is another line's


def meetings(loose: list[Line], drawn: list[Line]) -> Iterator[tuple[Line, Line]]:
    """Pairs of lines of one pen that may run on as each other.  ``drawn``: wires and homeruns."""
    pairs = [(loose[i], drawn[j]) for i, j in _on(loose, drawn)]
    pairs += _ends_together(loose, {line.pen for line in (*loose, *drawn) if line.broken})
    forked = [line for line in (*loose, *drawn) if line.doubt == FORKED]
    shapes = np.array([shapely.LineString(line.points) for line in forked], object)
    one, two = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=GAP)
    pairs += [(forked[i], forked[j]) for i, j in zip(one.tolist(), two.tolist(), strict=True)]
    return ((one, two) for one, two in pairs if one is not two and one.pen == two.pen)


def _ends_together(loose: list[Line], broken: set[tuple[float, ...]]) -> list[tuple[Line, Line]]:
    """Pairs of loose lines that end beside each other; in pens of ``broken`` lines a dash may be lost between."""
    if len(loose) < 2:
        return []
    near = cKDTree([line.points[-1] for line in loose]).query_pairs(LOST_DASH)
    pairs = [(loose[i], loose[j]) for i, j in near]
    return [(a, b) for a, b in pairs if a.pen in broken or np.hypot(*(a.points[-1] - b.points[-1])) <= GAP]


def ends_near(loose: list[Line], devices: tuple[Symbol, ...]) -> Iterator[tuple[Line, int]]:
    """Loose lines that end short of a device, whichever way they go there, and the device's number."""
    outlines = shapely.STRtree([device.footprint for device in devices])
    ends = shapely.points(np.array([line.points[-1] for line in loose]).reshape(-1, 2))
    one, device = outlines.query(ends, predicate="dwithin", distance=SHORT)
    return ((loose[i], j) for i, j in zip(one.tolist(), device.tolist(), strict=True))


def ends_on(loose: list[Line], drawn: list[Line]) -> bool:
    """Does a loose line end on a drawn one, or over one of its gaps, or a little before one of its own pen?"""
    ends = shapely.points(np.array([line.points[-1] for line in loose]).reshape(-1, 2))
    reach = np.array([TEE + line.gap for line in loose])
    tree = shapely.STRtree([shapely.LineString(line.points) for line in drawn])
    if len(tree.query(ends, predicate="dwithin", distance=reach)[0]):
        return True
    return any(loose[i].pen == drawn[j].pen for i, j in _on(loose, drawn))


def _on(loose: list[Line], drawn: list[Line]) -> list[tuple[int, int]]:
    """Which of the loose lines end on which of the drawn, or a little before one, as where a wire is broken to jump
    over another: what goes on behind it may have been followed along that one."""
    ends = np.array([line.points[-1] for line in loose]).reshape(-1, 2)
    ahead = ends + HOP * np.array([way_at_end(line.points) for line in loose]).reshape(-1, 2)
    jumps = shapely.linestrings(np.stack([ends, ahead], axis=1))
    tree = shapely.STRtree([shapely.LineString(line.points) for line in drawn])
    return list(zip(*tree.query(jumps, predicate="intersects").tolist(), strict=True))

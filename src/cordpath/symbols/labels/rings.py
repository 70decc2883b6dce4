"""Rings, boxes and triangles around texts, as of keynotes: what stands in one is no circuit tag."""

from __future__ import annotations

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import BoolArray, FloatArray, Sheet, Symbol
from cordpath.symbols.labels.runs import Run

RING = 0.9  # text sizes from a text to the ring of a keynote around it
# The same for a triangle, whose corners are farther off, and how long its sides are at most, in text sizes.
CORNER, SIDE = 1.8, 4.5
MEETING = 0.3  # pt: lines whose ends lie as near are one outline; plotters round to 0.12 pt each way


def unringed(runs: dict[int, Run], symbols: tuple[Symbol, ...], sheet: Sheet) -> tuple[set[int], set[int]]:
    """Which texts stand in no ring or box, and which perhaps in none: in several things on all their sides,
    or in a fixture, whose bowl is nobody's bubble."""
    drawn = sheet.strokes.ink()
    near = _near(runs, sheet.strokes.xy[drawn], CORNER)
    about = {i: _about(run, *near, RING) for i, run in runs.items()}
    bare = {
        i for i, (_, hit) in about.items()
        if not _on_all_sides(hit) and not _is_small_outline(runs[i], *_about(runs[i], *near, CORNER))
    }  # fmt: skip
    for symbol in symbols:
        if symbol.is_fixture:
            drawn[symbol.strokes] = False
    framed = {i: runs[i] for i in about if i not in bare and _is_one_outline(*about[i])}
    near = _near(framed, sheet.strokes.xy[drawn], RING)
    keyed = {i for i, run in framed.items() if ringed(run, *near)}
    return bare, set(about) - bare - keyed


def _near(runs: dict[int, Run], ink: FloatArray, within: float) -> tuple[FloatArray, FloatArray]:
    """The ink about the texts and the boxes around it: most ink is near none of them."""
    boxes = geometry.boxes_around(ink)
    at = np.array([run.at for run in runs.values()]).reshape(-1, 2)
    reach = np.array([max(_half(run, within)) for run in runs.values()]).reshape(-1, 1)
    near = geometry.near_boxes(boxes, np.c_[at - reach, at + reach], 0.0)
    return ink[near], boxes[near]


def ringed(run: Run, ink: FloatArray, boxes: FloatArray, within: float = RING) -> bool:
    """Is the text inside a ring, hexagon or box not much larger than itself?

    ``boxes``: those around the ink; ``within``: how far off the text the ring may run, in text sizes.
    """
    return _on_all_sides(_about(run, ink, boxes, within)[1])


def _on_all_sides(hit: BoolArray) -> bool:
    return bool(hit.any(1).all())


def _is_small_outline(run: Run, lines: FloatArray, hit: BoolArray) -> bool:
    """Do short lines of one outline run on all sides of a text, as of a triangle, whose corners are farther off?"""
    short = geometry.lengths(lines) <= SIDE * run.size
    return _is_one_outline(lines[short], hit[:, short])


def _is_one_outline(lines: FloatArray, hit: BoolArray) -> bool:
    """Do lines of one outline run on all sides of a text, and not an appliance's here and an outlet's there?"""
    of_line = geometry.hanging_together(geometry.nodes(lines.reshape(-1, 2), MEETING))
    return any(_on_all_sides(hit[:, of_line == each]) for each in np.unique(of_line))


def _about(run: Run, ink: FloatArray, boxes: FloatArray, within: float) -> tuple[FloatArray, BoolArray]:
    """(n, 4) lines near a text, and (4, n) which of them are met to its right, left, lower and upper side."""
    x, y = run.at
    half = _half(run, within)
    rays = shapely.linestrings([[(x, y), (x + dx * half[0], y + dy * half[1])]
                                for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1))])  # fmt: skip
    reach = max(half)
    near = np.flatnonzero((boxes[:, 2] > x - reach) & (boxes[:, 0] < x + reach))
    near = near[(boxes[near, 3] > y - reach) & (boxes[near, 1] < y + reach)]
    return ink[near], shapely.intersects(rays[:, None], geometry.lines(ink[near])[None, :])


def _half(run: Run, within: float) -> tuple[float, float]:
    """How far from its middle a ring around a text runs at most, across and down."""
    x0, y0, x1, y1 = run.box
    return (x1 - x0) / 2 + within * run.size, (y1 - y0) / 2 + within * run.size

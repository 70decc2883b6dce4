"""The wall that the signs of a legend are drawn on: a line that is no part of them.

Where the plan draws its walls as areas or as one broad line, no such line is there, and every outlet lacks one.

Terms: *foot*, the end of a sign on the side of its wall.  *Wall line*, the outermost line there, across the foot.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from cordpath.model import OUTLET_KINDS, LineMark, Mark, Point, SymbolEntry
from cordpath.symbols.examples.likeness import outline

FEWEST = 2  # outlets: what one alone stands on may be what tells it from the others
ACROSS = 0.02  # of its length, that it leans
BEYOND = 0.007  # in, 1/2 pt: that rounding and pens let anything lie beyond the line
BROAD = 0.6  # of the rest of the sign across, that the line is at least: a tick or a serif is less


def wall_lines(entries: Iterable[SymbolEntry], shapes: Mapping[str, tuple[Mark, ...]]) -> dict[str, LineMark]:
    """The wall lines of the outlets' signs, by name, where all of them that face a wall have one; else none."""
    found = {
        entry.name: _wall_line(shapes[entry.name], entry.wall_side)
        for entry in entries
        if entry.kind in OUTLET_KINDS and entry.wall_side is not None and shapes.get(entry.name)
    }
    lines = {name: line for name, line in found.items() if line is not None}
    return lines if len(lines) == len(found) >= FEWEST else {}


def without(shapes: Mapping[str, tuple[Mark, ...]], lines: Mapping[str, LineMark]) -> dict[str, tuple[Mark, ...]]:
    """The shapes, those of ``lines`` without them."""
    return {name: tuple(mark for mark in marks if mark != lines.get(name)) for name, marks in shapes.items()}


def told(lines: Iterable[str]) -> list[str]:
    """What is said of entries that lost their wall lines."""
    return [f"{name}: the line that it stands on is taken for a wall, which is no part of it" for name in lines]


def _wall_line(marks: tuple[Mark, ...], side: Point) -> LineMark | None:
    way = np.array(side) / np.hypot(*side)
    over = np.array([-way[1], way[0]])
    points = [outline(mark) for mark in marks]
    foot = max(float((each @ way).max()) for each in points)
    for k, mark in enumerate(marks):
        others = [each for j, each in enumerate(points) if j != k]
        if not isinstance(mark, LineMark) or not others:
            continue
        along, across, rest = np.ptp(points[k] @ way), np.ptp(points[k] @ over), np.concatenate(others)
        broad = across >= BROAD * np.ptp(rest @ over)
        free = np.hypot(*(points[k][:, None] - rest).T).min() > BEYOND  # else it is the edge of a box
        if broad and free and along <= ACROSS * across and (points[k] @ way).max() >= foot - BEYOND:
            return mark
    return None

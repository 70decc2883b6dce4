"""A line of the wiring, and how one tells where it goes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cordpath.circuits.wiring.strands import Strands
from cordpath.model import FloatArray, Point

LEAST_WIRE = 8.0  # pt: shorter pieces are marks of the symbol itself
LEAST_LOOSE = 18.0  # pt, 1/4 in: shorter loose pieces are ticks and remains of marks
LOOK_BACK = 6.0  # pt along a line to tell its direction: shorter pieces turn with rounding
Shapes = NDArray[np.object_]


@dataclass(frozen=True, eq=False)
class Line:
    """A strand that ends at a symbol: ``a`` and ``b`` are symbols, ``b`` None for a homerun or a loose line.

    ``text``: it ends at this word of the sheet, as a leader does, or as a wire that is broken around a text.
    ``gap``: the widest between its dashes, pt; ``broken``: is it a broken line?
    """

    a: int
    b: int | None
    points: FloatArray
    pen: tuple[float, ...]
    tip: Point | None = None
    doubt: str | None = None
    text: int | None = None
    gap: float = 0.0
    broken: bool = False


def as_point(point: FloatArray) -> Point:
    return (float(point[0]), float(point[1]))


def way_at_end(points: FloatArray) -> Point:
    """The unit vector in which a line leaves at its last point."""
    away = points[-1] - points
    far = np.hypot(*away.T)
    back = np.flatnonzero(far >= LOOK_BACK)
    k = int(back[-1]) if len(back) else 0
    return as_point(away[k] / max(float(far[k]), 1e-9))


def pen_at(pens: FloatArray, found: Strands, end: int) -> tuple[float, ...]:
    """The pen of the stroke that ends there."""
    return tuple(pens[int(found.kept[end // 2])].tolist())

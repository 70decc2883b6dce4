"""Solid boxes and triangles on stems that no entry explains are told; posts and arrowheads are not."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from cordpath.model import LineMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of
from symbols.test_twins import painted

Q = 5.5 / 72  # inch
BOX = ((-Q, -Q), (Q, -Q), (Q, Q), (-Q, Q))
TIP = ((-Q, 0.6 * Q), (Q, 0.6 * Q), (0.0, -1.2 * Q))
PLAIN = rules(entry("duplex", (LineMark((0.0, 0.0), (0.2, 0.0)), LineMark((0.0, 0.05), (0.2, 0.05)))))


@pytest.mark.parametrize("turn", [0.0, 33.0])
@pytest.mark.parametrize(
    ("corners", "line", "told"),
    [
        (BOX, (-1.0, -1.9), True),
        (TIP, (-1.2, -2.1), True),
        (BOX, (-1.0, -9.0), False),
        (TIP, (0.6, 2.0), False),
        (TIP, (-1.2, -9.0), False),
        (BOX, (3.0, 4.0), False),
    ],
    ids=["box", "triangle", "box on a wire", "arrowhead", "triangle on a leader", "box alone"],
)
def test_a_solid_shape_on_a_short_stem_is_told(
    corners: tuple[tuple[float, float], ...], line: tuple[float, float], told: bool, turn: float
) -> None:
    """Nothing encloses it and its stem is one line: it was lost in silence."""
    pose = at(150.0, 100.0, turn)
    area = shapely.Polygon(pose.apply(np.array(corners) * 72))
    strokes = strokes_of((LineMark((0.0, line[0] * Q), (0.0, line[1] * Q)),), pose)
    result = spot(sheet_of(strokes, fills=painted(area)), PLAIN, ())
    assert bool(result.unexplained) == told


@pytest.mark.parametrize(("tip", "half", "told"), [(True, False, True), (False, True, True), (False, False, False)])
def test_a_small_outlined_triangle_is_told_where_it_is_no_arrowhead(tip: bool, half: bool, told: bool) -> None:
    """All triangles of up to ten points were arrowheads, also with a stem at the tip or half filled."""
    small = np.array(TIP) * 0.7
    sides = tuple(LineMark(tuple(a), tuple(b)) for a, b in zip(small, np.roll(small, -1, axis=0), strict=True))
    stem = LineMark((0.0, -0.84 * Q), (0.0, -1.5 * Q)) if tip else LineMark((0.0, 0.42 * Q), (0.0, 1.4 * Q))
    pose = at(150.0, 100.0, 33.0)
    area = shapely.Polygon(pose.apply(np.array([small[1], small[2], (0.0, small[0][1])]) * 72))
    strokes = strokes_of(sides if half else (*sides, stem), pose)
    result = spot(sheet_of(strokes, fills=painted(area) if half else None), PLAIN, ())
    assert bool(result.unexplained) == told

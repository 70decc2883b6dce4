"""Pages that draw their lines as thin filled rectangles."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath.geometry import lengths
from cordpath.sheet import read_sheet
from cordpath.sheet.pen_areas import FEWEST, _middles

Maker = Callable[..., Path]


def track(x: float, y: float, length: float, width: float, angle: float) -> str:
    """A filled rectangle from (x, y) along an angle, degrees, as operators."""
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    across = (-s * width / 2, c * width / 2)
    ends = [(x, y), (x + c * length, y + s * length)]
    corners = [(u + k * across[0], v + k * across[1]) for k, (u, v) in ((1, ends[0]), (1, ends[1]), (-1, ends[1]))]
    corners.append((ends[0][0] - across[0], ends[0][1] - across[1]))
    first, *rest = [f"{u:.4f} {v:.4f}" for u, v in corners]
    return f"{first} m " + " ".join(f"{at} l" for at in rest) + " h f "


def page_of(count: int) -> str:
    return "".join(track(10 + 6 * (k % 30), 10 + 4 * (k // 30), 5.0, 0.5, 17.0 * k) for k in range(count))


def test_tracks_of_a_pen_are_strokes_where_the_page_is_drawn_so(make: Maker) -> None:
    sheet = read_sheet(make(page_of(FEWEST + 40) + "150 90 20 8 re f "), 1)
    assert len(sheet.strokes) == FEWEST + 40 and len(sheet.fills) == 1
    assert lengths(sheet.strokes.xy) == pytest.approx(np.full(FEWEST + 40, 5.0), abs=0.01)
    assert sheet.strokes.width == pytest.approx(np.full(FEWEST + 40, 0.5), abs=0.01)
    assert any("thin filled areas" in said for said in sheet.assumptions)


def test_a_few_thin_fills_beside_strokes_stay_fills(make: Maker) -> None:
    few = read_sheet(make(page_of(60)), 1)
    assert len(few.strokes) == 0 and len(few.fills) == 60
    strokes = "".join(f"{10 + k % 100} 10 m {10 + k % 100} 60 l S " for k in range(300))
    both = read_sheet(make(page_of(FEWEST + 40) + strokes), 1)
    assert len(both.fills) == FEWEST + 40
    assert not any("thin filled areas" in said for said in both.assumptions)


@given(st.floats(0, 360), st.floats(1.0, 50.0), st.floats(0.1, 0.9))
def test_the_middle_runs_along_the_long_side(angle: float, length: float, slim: float) -> None:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    width = length * slim
    local = np.array([(0, -width / 2), (length, -width / 2), (length, width / 2), (0, width / 2)])
    corner = local @ np.array([[c, s], [-s, c]])
    for start in range(4):
        xy, wide = _middles(np.roll(corner, start, axis=0)[None])
        ends = sorted(map(tuple, xy.reshape(2, 2).round(6)))
        assert np.array(ends) == pytest.approx(np.array(sorted([(0.0, 0.0), (c * length, s * length)])), abs=1e-5)
        assert wide[0] == pytest.approx(width)

"""Circles that are drawn as areas between two circles."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from cordpath.geometry import lengths
from cordpath.sheet import read_sheet

Maker = Callable[..., Path]
LINES = "0.5 w " + "".join(f"10 {10 + 5 * k} m 60 {10 + 5 * k} l S " for k in range(4))


def ring(x: float, y: float, radius: float, width: float, corners: int = 24) -> str:
    """An area of a pen's width around a circle, as operators."""
    out = ""
    for r in (radius + width / 2, radius - width / 2):
        turns = [2 * math.pi * k / corners for k in range(corners)]
        first, *rest = [f"{x + r * math.cos(t):.4f} {y + r * math.sin(t):.4f}" for t in turns]
        out += f"{first} m " + " ".join(f"{at} l" for at in rest) + " h "
    return out + "f* "


def test_a_ring_of_a_pen_of_the_page_is_a_circle(make: Maker) -> None:
    sheet = read_sheet(make(LINES + ring(120, 50, 5.4, 0.5) + ring(150, 50, 5.4, 0.5)), 1)
    assert len(sheet.fills) == 0 and any("2 circles" in said for said in sheet.assumptions)
    drawn = sheet.strokes.xy[4:]
    assert lengths(drawn).sum() == pytest.approx(2 * 2 * math.pi * 5.4, rel=0.01)
    assert np.hypot(drawn[:, 0] - np.where(drawn[:, 0] < 135, 120, 150), drawn[:, 1] - 50) == pytest.approx(
        np.full(len(drawn), 5.4), abs=0.02
    )


def test_thin_areas_that_touch_such_a_circle_are_its_bars(make: Maker) -> None:
    """Too few to tell by themselves what they are, and touching no stroke: the symbols were not found."""
    bars = "110 49.75 20 0.5 re f 110 52.75 20 0.5 re f 160 49.75 20 0.5 re f "
    sheet = read_sheet(make(LINES + ring(120, 50, 5.4, 0.5) + bars), 1)
    assert sorted(sheet.strokes.xy[lengths(sheet.strokes.xy) > 10][4:, 1]) == pytest.approx([47, 50])
    assert len(sheet.fills) == 1 and any("2 thin filled areas" in said for said in sheet.assumptions)


@pytest.mark.parametrize(
    ("painted", "why"),
    [
        (ring(120, 50, 5.4, 1.2), "broader than the pen"),
        (ring(120, 50, 2.4, 0.5), "a letter O"),
        (ring(120, 50, 5.4, 0.5, corners=6), "a nut"),
        ("1 0 0 rg " + ring(120, 50, 5.4, 0.5), "of another colour"),
        ("110 40 20 20 re 110.5 40.5 19 19 re f* ", "a frame"),
    ],
)
def test_other_rings_are_areas(make: Maker, painted: str, why: str) -> None:
    sheet = read_sheet(make(LINES + painted), 1)
    assert (len(sheet.strokes), len(sheet.fills)) == (4, 1), why


def test_without_a_pen_that_draws_lines_a_ring_is_an_area(make: Maker) -> None:
    assert len(read_sheet(make(ring(120, 50, 5.4, 0.5)), 1).fills) == 1


@pytest.mark.parametrize(("count", "told"), [(2, False), (3, True)])
def test_rings_alike_without_such_a_pen_are_told(make: Maker, count: int, told: bool) -> None:
    """Circles of symbols whose pen draws nothing else were lost with nothing said."""
    said = read_sheet(make(LINES + "".join(ring(90 + 15 * k, 50, 5.4, 0.8) for k in range(count))), 1).assumptions
    assert any("3 areas of this page are rings" in each for each in said) is told


@pytest.mark.parametrize(("gap", "areas"), [(0.0, 0), (0.8, 6)], ids=["bars of symbols", "stems of letters"])
def test_rings_that_bars_of_their_pen_touch_are_circles(make: Maker, gap: float, areas: int) -> None:
    """The pen of symbols draws no long line: all outlets were lost, and only the page was told."""
    at = [(90 + 35 * k, 50) for k in range(3)]
    symbols = "".join(ring(x, y, 5.4, 0.8) + f"{x + 5.8 + gap} {y - 4} 0.8 8 re f " for x, y in at)
    assert len(read_sheet(make(LINES + symbols), 1).fills) == areas

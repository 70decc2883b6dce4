"""Circles that are drawn as loose dashes."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from cordpath.geometry import lengths
from cordpath.sheet import read_sheet

Maker = Callable[..., Path]


def arc(x: float, y: float, r: float, a0: float, a1: float, pieces: int = 3) -> str:
    at = [math.radians(a0 + (a1 - a0) * k / pieces) for k in range(pieces + 1)]
    first, *rest = [f"{x + r * math.cos(a):.3f} {y + r * math.sin(a):.3f}" for a in at]
    return f"{first} m " + " ".join(f"{p} l" for p in rest) + " S "


def dashed_circle(count: int, share: float, pieces: int, r: float = 4.7, sweep: float = 360.0) -> str:
    step = sweep / count
    return "".join(arc(60, 50, r, 10 + k * step, 10 + (k + share) * step, pieces) for k in range(count))


@pytest.mark.parametrize(("count", "share", "pieces"), [(11, 0.6, 2), (6, 0.66, 3), (8, 0.5, 1), (20, 0.5, 1)])
def test_dashes_around_a_circle_are_a_dashed_circle(make: Maker, count: int, share: float, pieces: int) -> None:
    """An existing receptacle of a CAD plot: its circle, then the two lines through it, which stay."""
    line = "52 48 m 68 48 l S 52 52 m 68 52 l S "
    sheet = read_sheet(make(dashed_circle(count, share, pieces) + line), 1)
    ring = sheet.strokes.take(sheet.strokes.dashed)
    assert len(sheet.strokes) == len(ring) + 2
    assert lengths(ring.xy).sum() == pytest.approx(2 * math.pi * 4.7, rel=0.03)
    at = ring.xy[:, :2] - (60, 50)
    assert np.hypot(at[:, 0], at[:, 1]) == pytest.approx(np.full(len(ring), 4.7), abs=0.12)


@pytest.mark.parametrize(
    "body",
    [
        dashed_circle(8, 0.6, 2, r=12.0, sweep=90.0),  # a dashed swing of a door
        "".join(f"{20 + 3 * k} 50 m {21.8 + 3 * k} 50 l S " for k in range(9)),  # a dashed line
        "".join(arc(20 + 12 * k, 50, 4.7, 0, 40) for k in range(9)),  # arcs that are no dashes of one circle
        "".join(arc(60, 50, 4.7, 40 * k, 40 * k + 40) for k in range(9)),  # no gaps
        "1 0 0 1 0 0 cm "
        + "".join(f"{30 + k} {40 + k * k % 7} m {31 + k} {41 + k * k % 5} l S " for k in range(25)),
    ],
)
def test_other_short_paths_stay_as_they_are(make: Maker, body: str) -> None:
    sheet = read_sheet(make(body), 1)
    assert not sheet.strokes.dashed.any() and len(sheet.strokes) == body.count(" l")

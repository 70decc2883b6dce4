"""Tubs with hatch over part of them: a side that lies where a row of it might is their own, and a side
that only a row makes is not."""

from __future__ import annotations

import numpy as np
import pytest

from cordpath.model import ArcMark, CircleMark, LineMark, Mark, PolylineMark
from cordpath.symbols import spot
from symbols.test_spot import at, entry, rules, sheet_of, strokes_of

HATCHED = "hatching makes up part of it"


def box(wide: float, high: float) -> PolylineMark:
    x, y = wide / 144, high / 144
    return PolylineMark(((-x, -y), (x, -y), (x, y), (-x, y)), closed=True)


def rounded(wide: float, high: float, r: float) -> tuple[Mark, ...]:
    x, y, r = wide / 144, high / 144, r / 72
    sides = [LineMark((r - x, -y), (x - r, -y)), LineMark((x, r - y), (x, y - r)),
             LineMark((x - r, y), (r - x, y)), LineMark((-x, y - r), (-x, r - y))]  # fmt: skip
    return (*sides, ArcMark((x - r, r - y), r, 0, 90), ArcMark((x - r, y - r), r, 270, 360),
            ArcMark((r - x, y - r), r, 180, 270), ArcMark((r - x, r - y), r, 90, 180))  # fmt: skip


INNER = (*rounded(54, 24, 6), CircleMark((22 / 72, 0), 1.5 / 72))
TUB = (box(60, 30), *INNER)
ALL = rules(entry("tub", TUB, "bathtub"), entry("desk", (box(60, 30),), "countertop"))


def rows(first: float, gap: float, left: float, right: float, count: int = 20) -> np.ndarray:
    """Level rows about (100, 100), the first so far below it."""
    y = 100 + first + gap * np.arange(count)
    return np.c_[np.full(count, 100 + left), y, np.full(count, 100 + right), y]


def seen(shape: tuple[Mark, ...], *others: np.ndarray, turned: bool = False) -> list[tuple[str, tuple[str, ...]]]:
    xy = np.concatenate([strokes_of(shape, at(100, 100)) if shape else np.empty((0, 4)), *others])
    sheet = sheet_of(xy[:, [1, 0, 3, 2]] if turned else xy)
    return [(s.entry.name, s.reasons) for s in spot(sheet, ALL, ()).symbols]


@pytest.mark.parametrize("turned", [False, True], ids=["level", "upright"])
@pytest.mark.parametrize("hatch", [rows(-15.02, 2.862, 6.9, 33.8), rows(-14.95, 3.0, -41.0, 8.0)],
                         ids=["from the right", "from the left"])  # fmt: skip
def test_a_side_that_lies_where_a_row_might_is_its_own(hatch: np.ndarray, turned: bool) -> None:
    """As found on sheets: the hatch finder took two sides of a tub for rows, and it was asked about."""
    assert seen(TUB, hatch, turned=turned) == [("tub", ())]


@pytest.mark.parametrize(("side", "high"), [(40.0, 15.0), (30.0, 60.0)], ids=["longer", "as long, between walls"])
def test_rows_in_place_of_two_sides_of_a_tub_ask(side: float, high: float) -> None:
    """A strip of hatch between two upright lines, about the inner part of a tub."""
    ends = np.array([[x, 100 - high, x, 100 + high] for x in (70.0, 130.0)])
    told = seen(INNER, ends, rows(-45.0, 3.0, -side, side, 31))
    assert "tub" in [name for name, _ in told]
    assert all(HATCHED in reasons for _, reasons in told)


def test_rectangles_of_rows_between_two_lines_ask() -> None:
    ends = np.array([[x, 40.0, x, 160.0] for x in (70.0, 130.0)])
    told = seen((), ends, rows(-45.0, 3.0, -30.0, 30.0, 31))
    assert told and all(HATCHED in reasons for _, reasons in told)

"""Appliances, water closets and bowls without a drain, proposed from what is drawn.  Sizes: common practice."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from cordpath.model import FIXTURE_KINDS, FloatArray, Scale, Sheet, Word
from cordpath.symbols.fixtures.appliance_shapes import SIZES, Proposal, appliances
from drawn_page import frame, ring, sheet, words

INCH = 72.0 / 48.0  # pt an inch of the building
SCALE = (Scale("v1", 48.0, "note", "", "single"),)


def box(x: float, y: float, wide: float, deep: float) -> FloatArray:
    """About (x, y) on the page; sides in inches of the building."""
    return frame(x - wide * INCH / 2, y - deep * INCH / 2, x + wide * INCH / 2, y + deep * INCH / 2)


def oval(x: float, y: float, wide: float, deep: float) -> FloatArray:
    return ring(0, 0, 1, 40) * np.array([wide, deep, wide, deep]) * INCH / 2 + np.array([x, y, x, y])


def turned(xy: FloatArray, degrees: float) -> FloatArray:
    """About the middle of the view."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return ((xy.reshape(-1, 2) - 220) @ np.array([[c, s], [-s, c]]) + 220).reshape(-1, 4)


def told(*drawings: FloatArray, texts: list[Word] | None = None, degrees: float = 0.0) -> tuple[Proposal, ...]:
    page = sheet([turned(xy, degrees) for xy in drawings], texts)
    return appliances(page, (), SCALE)[0]


def kinds(*drawings: FloatArray, texts: list[Word] | None = None, degrees: float = 0.0) -> list[str]:
    return [each.kind for each in told(*drawings, texts=texts, degrees=degrees)]


def letters(text: str, x: float, y: float) -> list[Word]:
    return words(text, x - 0.3 * 7 * len(text), y)


@pytest.mark.parametrize(
    ("text", "wide", "deep", "kind"),
    [
        ("REF", 36, 30, "refrigerator"), ("DW", 24, 24, "dishwasher"), ("D.W.", 24, 25, "dishwasher"),
        ("W", 27, 30, "washer"), ("D", 27, 27, "dryer"), ("RANGE", 30, 26, "range"), ("MICRO", 30, 15, "microwave"),
    ],
)  # fmt: skip
def test_what_its_letters_name(text: str, wide: float, deep: float, kind: str) -> None:
    (found,) = told(box(200, 200, wide, deep), texts=letters(text, 200, 200))
    assert found.kind == kind and found.letters and f"'{text}'" in found.why
    assert kinds(box(200, 200, 3 * wide, 3 * deep), texts=letters(text, 200, 200)) == [], "a room"
    assert kinds(box(200, 200, wide, deep), texts=letters(text, 280, 200)) == [], "beside it"


def test_a_box_closed_by_the_front_of_the_counter() -> None:
    """The appliance is three lines; the counter's edge, which runs on, is the fourth."""
    x0, y0, x1, y1 = 200 - 12 * INCH, 200 - 12 * INCH, 200 + 12 * INCH, 200 + 12 * INCH
    three = np.array([[x0, y0, x1, y0], [x1, y0, x1, y1], [x0, y0, x0, y1]])
    counter = np.array([[x0 - 40, y1, x1 + 40, y1]])
    assert kinds(three, counter, texts=letters("DW", 200, 200)) == ["dishwasher"]


def test_an_appliance_with_doors_and_a_label_of_its_outlet() -> None:
    """The door parts a face off; the outlet behind a dryer says W, for it serves the washer too."""
    door = np.array([[200 - 15 * INCH, 200 + 12 * INCH, 200 + 15 * INCH, 200 + 12 * INCH]])
    texts = [*letters("D", 200, 200), *letters("W", 200 - 8 * INCH, 200 - 9 * INCH)]
    (found,) = told(box(200, 200, 30, 30), door, texts=texts)
    assert found.kind == "dryer" and found.footprint.area == pytest.approx((30 * INCH) ** 2)


def test_the_end_of_a_counter_beside_a_range_is_no_part_of_it() -> None:
    """It is as deep; a range was learnt five feet long."""
    counter = box(200 + 30 * INCH, 200, 30, 25)
    (found,) = told(box(200, 200, 30, 25), counter, texts=letters("RANGE", 200, 200))
    assert found.footprint.area == pytest.approx(30 * 25 * INCH**2)


@pytest.mark.parametrize("degrees", [0.0, 90.0, 37.0])
def test_a_water_closet_of_tank_and_bowl(degrees: float) -> None:
    tank, bowl = box(200, 200, 20, 8), oval(200, 200 + 16 * INCH, 14, 20)
    assert kinds(tank, bowl, degrees=degrees) == ["water closet"]
    low = bowl[(bowl[:, [1, 3]] >= 200 + 16 * INCH).all(axis=1)]  # the half away from the tank
    sides = [[200 + u * INCH, 200 + 4 * INCH, 200 + u * INCH, 200 + 16 * INCH] for u in (-7, 7)]
    assert kinds(tank, low, np.array(sides), degrees=degrees) == ["water closet"], "a bowl that the tank closes"
    aside = oval(200 + 9 * INCH, 200 + 16 * INCH, 14, 20)
    assert kinds(tank, aside, degrees=degrees) == [] and kinds(bowl, degrees=degrees) == []


@pytest.mark.parametrize("burners", [3, 4, 6, 9])
def test_a_range_by_its_burners(burners: int) -> None:
    at = [(200 + 9 * (k % 3 - 1) * INCH, 200 + 9 * (k // 3 - 0.5) * INCH) for k in range(burners)]
    drawn = [ring(x, y, 3.2 * INCH) for x, y in at] + [ring(x, y, 2.4 * INCH) for x, y in at]
    assert kinds(box(200, 203, 36, 28), *drawn) == ["range"] * (4 <= burners <= 6)


def test_a_bowl_without_a_drain_is_a_doubtful_sink() -> None:
    (found,) = told(box(200, 200, 20, 18), oval(200, 200, 16, 13))
    assert found.kind == "sink" and "may be something else" in found.why
    assert kinds(box(200, 200, 20, 18), box(200, 200, 16, 13)) == [], "a box in a box is anything"
    assert kinds(box(200, 200, 60, 36), oval(200, 200, 54, 30)) == [], "a table"
    assert kinds(box(200, 200, 20, 18), oval(200, 200, 16, 13), texts=letters("A", 200, 200)) == [], "a bubble"


def test_a_circle_without_a_drain_is_a_bowl_where_it_is_as_large() -> None:
    assert kinds(box(200, 200, 22, 20), oval(200, 200, 15, 15)) == ["sink"], "it was nothing"
    assert kinds(box(200, 200, 20, 18), oval(200, 200, 12, 12)) == [], "a lamp on a night stand"
    assert kinds(oval(200, 200, 12, 12), oval(200, 200, 10, 10)) == [], "a smoke alarm"
    arrow = np.array([[200.0, 180, 200, 220], [200, 180, 205, 195], [200, 180, 195, 195]])
    assert kinds(oval(200, 200, 30, 30), oval(200, 200, 24, 24), arrow) == [], "a north arrow"


def test_nothing_is_told_twice_or_without_a_scale() -> None:
    washer = (box(200, 200, 27, 27), oval(200, 200, 20, 20))
    assert kinds(*washer, texts=letters("W", 200, 200)) == ["washer"]
    page = sheet(list(washer), letters("W", 200, 200))
    assert appliances(page, (), (replace(SCALE[0], ratio=None, source="none"),))[0] == ()


def test_every_appliance_has_sizes() -> None:
    assert set(SIZES) <= FIXTURE_KINDS
    assert all(a[0] < a[1] and b[0] < b[1] and b[0] <= a[0] for a, b in SIZES.values())


def test_a_pattern_of_outlines_is_not_searched_and_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("cordpath.symbols.fixtures.appliance_shapes.MOST_RINGS", 2)
    page: Sheet = sheet([box(60 + 60 * k, 200, 20, 18) for k in range(3)])
    found, said = appliances(page, (), SCALE)
    assert found == () and said == ("PLAN has 3 closed outlines: no range, water closet or bowl is told by them",)

"""The transform between user space and page coordinates, alone and through a whole reading."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cordpath.frame import PageFrame
from cordpath.sheet import read_sheet

Maker = Callable[..., Path]
ROTATIONS = st.sampled_from([0, 90, 180, 270, -90, 450])
OFFSETS = st.integers(-500, 500)
UNITS = st.sampled_from([1.0, 0.5, 2.0, 1.25])
INSETS = st.tuples(*[st.integers(-40, 60)] * 4)


@given(OFFSETS, OFFSETS, INSETS, ROTATIONS, UNITS)
def test_there_and_back_and_the_corners(x: int, y: int, inset: tuple[int, ...], rotate: int, unit: float) -> None:
    media = (x, y, x + 300.0, y + 200.0)
    crop = (x + inset[0], y + inset[1], x + 300.0 - inset[2], y + 200.0 - inset[3])
    frame = PageFrame.of(media, crop, rotate, unit)
    points = np.array([[x + 10.0, y + 20.0], [x + 250.0, y + 140.0], [x - 5.0, y + 7.0]])
    assert np.allclose(frame.to_user(frame.to_page(points)), points)
    x0, y0, x1, y1 = frame.crop
    corners = frame.to_page(np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]))
    width, height = frame.size
    assert {tuple(c) for c in corners.round(6).tolist()} == {(0, 0), (width, 0), (width, height), (0, height)}
    # The upper left corner of the unrotated page goes round clockwise, a quarter turn for every 90 degrees.
    upper_left = frame.to_page(np.array([[x0, y1]]))[0]
    seen = {0: (0, 0), 90: (width, 0), 180: (width, height), 270: (0, height)}[rotate % 360]
    assert upper_left == pytest.approx(seen)
    assert frame.box_to_user((0, 0, width, height)) == pytest.approx(frame.crop)


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(OFFSETS, OFFSETS, INSETS, ROTATIONS, UNITS)
def test_strokes_words_and_fills_share_the_frame(
    make: Maker, x: int, y: int, inset: tuple[int, ...], rotate: int, unit: float
) -> None:
    media = (x, y, x + 300, y + 200)
    crop = (x + inset[0], y + inset[1], x + 300 - inset[2], y + 200 - inset[3])
    frame = PageFrame.of(media, crop, rotate, unit)
    start, end = (x + 110, y + 80), (x + 150, y + 95)
    content = (
        f"{start[0]} {start[1]} m {end[0]} {end[1]} l S {x + 120} {y + 100} 20 10 re f "
        f"BT /F 10 Tf 1 0 0 1 {start[0]} {start[1]} Tm (IIIIII) Tj ET"
    )
    box = "[{} {} {} {}]"
    page = f"/CropBox{box.format(*crop)}/Rotate {rotate}/UserUnit {unit}"
    sheet = read_sheet(make(content, media=box.format(*media), page=page), 1)
    assert (sheet.width, sheet.height) == pytest.approx(frame.size)
    expected = frame.to_page(np.array([[*start, *end]], float))
    assert np.allclose(sheet.strokes.xy, expected, atol=2e-3)
    centre = frame.to_page(np.array([[x + 130.0, y + 105.0]]))[0]
    assert sheet.fills.shape[0].centroid.coords[0] == pytest.approx(tuple(centre), abs=2e-3)
    word = sheet.words[0]
    assert word.text == "IIIIII"
    assert word.angle == pytest.approx(-rotate % 360)
    assert word.size == pytest.approx(10 * unit, rel=1e-3)
    # The baseline starts on the line's start: a corner of the word's box is a third of the size away at most.
    corner = np.abs(np.array(word.box).reshape(2, 2) - frame.to_page(np.array(start, float))).min(axis=0)
    assert (corner <= 0.35 * word.size).all()


CROSS = "100 100 m 300 100 l S 100 100 m 100 300 l S"


@pytest.mark.parametrize("media", ["[0 0 0 0]", "[0 0 1e9 1e9]", "[(a) (b) (c) (d)]"])
def test_a_page_without_a_size_that_makes_sense_says_so(make: Maker, media: str) -> None:
    sheet = read_sheet(make(CROSS, media=media), 1)
    assert (sheet.width, sheet.height) == (612, 792)
    assert sheet.damage is not None, "what lies beyond the size that was taken may be lost"
    assert "letter" in sheet.damage
    assert any("letter" in said for said in sheet.assumptions)


@pytest.mark.parametrize(
    ("page", "said"),
    [("/CropBox [0 0 0 0]", "crop box"), ("/CropBox [5000 0 6000 99]", "crop box"), ("/UserUnit -3", "UserUnit")],
)
def test_entries_of_the_size_that_were_passed_over_are_said(make: Maker, page: str, said: str) -> None:
    sheet = read_sheet(make(CROSS, media="[0 0 500 400]", page=page), 1)
    assert (sheet.width, sheet.height) == (500, 400)
    assert sheet.damage is None
    assert [text for text in sheet.assumptions if said in text]


def test_a_sound_size_is_not_spoken_of(make: Maker) -> None:
    sheet = read_sheet(make(CROSS, media="[0 0 500 400]", page="/CropBox [-9 -9 400 300] /UserUnit 2"), 1)
    assert sheet.damage is None
    assert not sheet.assumptions

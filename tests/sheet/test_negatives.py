"""Sheets drawn light on dark are read as dark on light."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from cordpath.sheet import read_sheet

Maker = Callable[..., Path]
PLAN = "0.5 w 40 40 m 160 40 l 160 80 l S 60 60 m 60 66 l S 20 20 10 10 re f BT /F1 8 Tf 70 60 Td (GFI) Tj ET "


@pytest.mark.parametrize("ground", ["0 0 0", "0.1 0.2 0.55", "0.2 0.2 0.2"])
def test_white_lines_on_a_dark_page_are_ink(make: Maker, ground: str) -> None:
    """A plot of a dark screen was skipped as a sheet without outlets, with status 0."""
    sheet = read_sheet(make(f"{ground} rg 0 0 200 100 re f 1 g 1 G {PLAN}"), 1)
    assert sheet.strokes.ink().sum() == 3 and (sheet.fills.luminance < 0.5).sum() == 1
    assert [word.text for word in sheet.words if word.origin != "hidden"] == ["GFI"]
    assert any("light on dark" in said for said in sheet.assumptions)


def test_what_has_the_colour_of_the_dark_page_or_lies_below_it_is_unseen(make: Maker) -> None:
    under, on = "0 g 0 G 10 90 m 190 90 l S BT /F1 8 Tf 10 92 Td (NO) Tj ET ", "BT /F1 8 Tf 90 20 Td (WP) Tj ET "
    sheet = read_sheet(make(f"{under} 0 0 200 100 re f 1 g 1 G {PLAN} 0 g 0 G 90 50 m 120 50 l S {on}"), 1)
    assert sheet.strokes.ink().sum() == 3
    assert [word.text for word in sheet.words if word.origin != "hidden"] == ["GFI"]


@pytest.mark.parametrize(
    "ground",
    [
        "0 0 100 100 re f 100 0 100 100 re f ",
        "10 0 m 190 0 l 200 0 200 10 200 10 c 200 100 l 0 100 l 0 10 l 0 10 0 0 10 0 c f ",
        "0 0 200 100 re 170 80 10 10 re f* ",
    ],
)
def test_dark_grounds_of_any_outline_and_of_several_areas(make: Maker, ground: str) -> None:
    sheet = read_sheet(make(f"0 g {ground} 1 g 1 G {PLAN}"), 1)
    assert sheet.strokes.ink().sum() == 3
    assert any("light on dark" in said for said in sheet.assumptions)


def test_lines_drawn_as_areas_on_a_dark_page_are_ink(make: Maker) -> None:
    sheet = read_sheet(
        make("0 g 0 0 200 100 re f 1 g 40 39.8 120 .5 re f 159.8 40 .5 40 re f 20 20 10 10 re f "), 1
    )
    assert (sheet.fills.luminance < 0.5).sum() + sheet.strokes.ink().sum() == 3


@pytest.mark.parametrize(
    "before",
    [
        "0 g 0 0 200 100 re f 1 g 3 3 194 94 re f ",
        "q 60 0 80 10 re W n 0 g 0 0 200 100 re f Q ",
        "q 60 0 m 140 0 l 100 10 l h W n 0 g 0 0 200 100 re f Q ",
        f"0.6 G {PLAN} 0 g 0 0 200 100 re f 1 g 0 0 200 100 re f ",
        "0 g 0 0 125 100 re f ",
    ],
    ids=["border", "clip", "oddly clipped", "painted out", "the drawing is beside it"],
)
def test_grey_lines_on_white_are_read_as_they_are(make: Maker, before: str) -> None:
    """The page was taken for a dark one: its words were hidden, and black was white."""
    plan = "0.5 w 140 40 m 180 40 l 180 80 l S 130 60 m 130 66 l S BT /F1 8 Tf 150 60 Td (GFI) Tj ET "
    sheet = read_sheet(make(f"{before} 0.5 G 0 g {plan}"), 1)
    assert not any("light on dark" in said for said in sheet.assumptions)
    assert "GFI" in [word.text for word in sheet.words if word.origin != "hidden"]


@pytest.mark.parametrize(
    ("before", "why"),
    [
        ("0.3 g 0 0 200 50 re f 1 g 1 G ", "half of the page is dark"),
        ("0.9 g 0 0 200 100 re f 0 g 0 G ", "a light ground"),
        ("0 g 0 0 200 100 re f 0.1 g 0.1 G ", "nobody reads it"),
    ],
)
def test_other_sheets_are_read_as_they_are(make: Maker, before: str, why: str) -> None:
    assert not any("light on dark" in said for said in read_sheet(make(before + PLAN), 1).assumptions), why

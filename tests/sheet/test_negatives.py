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
    ("before", "why"),
    [
        ("0.3 g 0 0 200 50 re f 1 g 1 G ", "half of the page is dark"),
        ("0.9 g 0 0 200 100 re f 0 g 0 G ", "a light ground"),
        ("0 g 0 0 200 100 re f 0.1 g 0.1 G ", "nobody reads it"),
    ],
)
def test_other_sheets_are_read_as_they_are(make: Maker, before: str, why: str) -> None:
    assert not any("light on dark" in said for said in read_sheet(make(before + PLAN), 1).assumptions), why

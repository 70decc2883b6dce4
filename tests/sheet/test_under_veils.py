"""What lies under a shading or under broken white lines settles nothing, or is not read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from cordpath.model import Sheet
from cordpath.sheet import read_sheet

Maker = Callable[..., Path]
LABEL = "BT 0 g /F 8 Tf 20 50 Td (GFI) Tj ET "  # its letters reach from 20 to 33
HALF = "0 g 60 45 8 12 re f 120 90 m 190 90 l S "  # a mark, and a line that stays
WHITE = "/FunctionType 2/Domain[0 1]/C0[1]/C1[1]/N 1"
SHADING = f"/ShadingType 2/ColorSpace/DeviceGray/Coords[0 0 200 0]/Extend[true true]/Function<<{WHITE}>>"
STATES = "/ExtGState<</M<</BM/Multiply>>/A<</ca .5>>>>"


def read(make: Maker, painted: str) -> Sheet:
    return read_sheet(make(painted, resources=f"/Shading<</S<<{SHADING}>>>>{STATES}", media="[0 0 800 100]"), 1)


def words(sheet: Sheet) -> list[tuple[str, bool]]:
    """Each word, and does it settle something."""
    return [(word.text, word.confidence >= 1) for word in sheet.words]


@pytest.mark.parametrize(("shade", "mark"), [
    ("q 0 0 200 100 re W n /S sh Q", True),
    ("q 10 40 30 20 re W n /S sh Q", False),
    ("q 0 0 m 200 0 l 100 300 l h W n /S sh Q", True),  # an odd clip
])  # fmt: skip
def test_what_is_under_a_shading_settles_nothing(make: Maker, shade: str, mark: bool) -> None:
    """A label under a white shading cleared the outlet beside it."""
    sheet = read(make, LABEL + HALF + shade)
    assert words(sheet) == [("GFI", False)]
    assert ((60, 43, 68, 55) in sheet.unread_areas) == mark
    assert any("under a shading" in said for said in sheet.assumptions)


@pytest.mark.parametrize("content", [
    "q 0 0 200 100 re W n /S sh Q " + LABEL + HALF,  # below
    LABEL + HALF + "q /M gs 0 0 200 100 re W n /S sh Q",
    LABEL + HALF + "q /A gs 0 0 200 100 re W n /S sh Q",
    LABEL + HALF + "q 100 0 100 100 re W n /S sh Q",  # beside
])  # fmt: skip
def test_shadings_that_hide_nothing(make: Maker, content: str) -> None:
    sheet = read(make, content)
    assert words(sheet) == [("GFI", True)]
    assert (60, 43, 68, 55) not in sheet.unread_areas


@pytest.mark.parametrize(("dashes", "wanted"), [
    ("[30 4] 0 d 10 53 m", []),  # its first dash covers the word
    ("[4 30] 24 d 9 53 m", [("GFI", False)]),
    ("[5 .01] 0 d 10 53 m", []),
    ("[3 9] 0 d 10 53 m", [("GFI", False)]),
    ("[3 9 3] 0 d 10 53 m", [("GFI", False)]),
    ("[20 20] 20 d 16 53 m", [("GFI", True)]),  # a gap over the word
])  # fmt: skip
def test_a_broken_white_line_hides_in_its_dashes(make: Maker, dashes: str, wanted: list[tuple[str, bool]]) -> None:
    """A label that was painted out with white dashes cleared the outlet beside it."""
    assert words(read(make, f"{LABEL}{HALF} 1 G 10 w {dashes} 45 53 l S")) == wanted


@pytest.mark.parametrize(("dashes", "asked"), [("[5 .01] 0 d", True), ("[2 2] 0 d", True), ("[9 99] 0 d", False)])
def test_a_mark_under_white_dashes_is_asked(make: Maker, dashes: str, asked: bool) -> None:
    sheet = read(make, f"{LABEL}{HALF} 1 G 14 w {dashes} 50 51 m 74 51 l S")
    assert ((60, 43, 68, 55) in sheet.unread_areas) == asked
    assert words(sheet) == [("GFI", True)]


def test_dashes_run_around_a_corner(make: Maker) -> None:
    painted = f"{LABEL} 120 90 m 190 90 l S 1 G 10 w [12 22] 12 d 20 19 m 20 53 l 40 53 l S"
    assert words(read(make, painted)) == [("GFI", False)]  # from 22 to 34 of 34 + 20 pt: the gap is over F

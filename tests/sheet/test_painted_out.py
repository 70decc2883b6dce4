"""What is painted out with a broad white pen or white cells is not read; what is so in part is doubted."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from cordpath.model import Sheet, Word
from cordpath.sheet import read_sheet
from cordpath.sheet.text.covered_words import CAPITAL, cores
from sheet.conftest import HELVETICA

Maker = Callable[..., Path]
DRAWN = "120 90 m 190 90 l S 20 20 m 40 20 l S BT /F 8 Tf 20 50 Td (GFI) Tj ET "  # a line that stays, one under GFI
HALF_SEEN = "/ExtGState<</G<</CA .5/ca .5>>>>"


def read(make: Maker, painted: str, more: str = "", objects: tuple[tuple[str, str], ...] = ()) -> Sheet:
    return read_sheet(make(DRAWN + painted, resources=more, objects=objects), 1)


def words(sheet: Sheet) -> list[tuple[str, bool]]:
    """Each word, and does it settle something."""
    return [(word.text, word.confidence >= 1) for word in sheet.words]


# ------------------------------------------------------------------------------------------------------ broad pens


@pytest.mark.parametrize("pen", [
    "60 w 0 40 m 90 40 l S",
    "9 w 19 53 m 34 53 l S 9 w 19 20 m 41 20 l S",  # no broader than need be
    "9 w 2 J 23 53 m 32 53 l S 20 20 m 40 20 l S",  # its caps reach beyond its ends
    "9 w 19 53 m 26 53 l 34 53 l S 2 J 20 20 m 40 20 l S",  # two pieces
    "12 w 10 15 m 10 53 l 60 53 l S 0 20 m 50 20 l S",  # a corner
    "4 w 19 51 m 34 51 l 34 54 l 19 54 l S 19 20 m 50 20 l S",  # to and fro
])  # fmt: skip
def test_a_broad_white_line_hides_what_was_painted_before_it(make: Maker, pen: str) -> None:
    sheet = read(make, "1 G " + pen)
    assert words(sheet) == []
    assert sheet.strokes.ink().tolist()[:2] == [True, False] and not sheet.strokes.ink()[2:].any()


@pytest.mark.parametrize(("pen", "more"), [
    ("60 w 0 120 m 190 120 l S", ""),  # beside
    ("60 w [4 30] 0 d 0 40 m 90 40 l S", ""),  # dashed
    ("/G gs 60 w 0 40 m 90 40 l S", HALF_SEEN),
    ("9 w 36 53 m 50 53 l S", ""),  # it ends before the word
    ("1 w 19 53 m 34 53 l S", ""),  # a thin line across it
    ("q 0 0 9 9 re W n 60 w 0 40 m 90 40 l S Q", ""),  # cut away
    ("/G gs 60 w 0 40 m 90 40 l S", "/ExtGState<</G<</SMask<</S/Luminosity/G 5 0 R>>>>>>"),
])  # fmt: skip
def test_other_white_lines_hide_no_word(make: Maker, pen: str, more: str) -> None:
    mask = ("<</Type/XObject/Subtype/Form/BBox[0 0 90 90]/Group<</S/Transparency/CS/DeviceGray>>>>", "0 0 9 9 re f")
    sheet = read(make, "1 G " + pen, more, (mask,))
    assert words(sheet) == [("GFI", True)] and not sheet.strokes.covered.any()


def test_a_broad_white_line_hides_nothing_that_comes_after_it(make: Maker) -> None:
    sheet = read_sheet(make(f"1 G 60 w 0 40 m 90 40 l S 0 G 1 w {DRAWN}"), 1)
    assert words(sheet) == [("GFI", True)] and not sheet.strokes.covered.any()


@pytest.mark.parametrize("painted", [
    "1 G 10 w 0 48 m 90 48 l S",  # the lower half
    "1 G 20 w 0 50 m 25.5 50 l S",  # G
    "1 g 31 48 9 12 re f",  # I
    "0.5 g 0 40 90 13 re f",
])  # fmt: skip
def test_words_that_are_painted_out_in_part_settle_nothing_and_it_is_told(make: Maker, painted: str) -> None:
    sheet = read(make, painted)
    assert words(sheet) == [("GFI", False)]
    assert any("partly painted out" in said for said in sheet.assumptions)


@pytest.mark.parametrize("painted", ["1 g 0 40 90 9.5 re f", "0 g 0 52 90 .6 re f", "1 g 34 40 9 20 re f"])
def test_fills_beside_letters_and_thin_ones_across_leave_them_readable(make: Maker, painted: str) -> None:
    assert [word.text for word in read(make, painted).words if word.confidence >= 1] == ["GFI"]


def test_a_white_fill_just_over_the_letters_hides_them(make: Maker) -> None:
    """The box of a word is higher than its letters."""
    assert words(read(make, "1 g 20 49.9 16 6 re f")) == []


@given(
    st.floats(0, 359), st.floats(3, 40), st.floats(1, 200), st.floats(0.5, 1.3), st.floats(-0.6, 0.0),
)  # fmt: skip
def test_the_core_of_a_word_stands_on_its_baseline(
    angle: float, size: float, length: float, top: float, bottom: float
) -> None:
    along = np.array([math.cos(math.radians(angle)), -math.sin(math.radians(angle))])
    up = np.array([along[1], -along[0]])
    start = np.array([50.0, 70.0])
    every = [start + along * k * length + up * size * h for k in (0, 1) for h in (top, bottom)]
    box = (*np.min(every, axis=0).tolist(), *np.max(every, axis=0).tolist())
    word = Word("GFI", box, angle, size, 0, "F", (0.0, 0.0, 0.0))
    (core,) = cores([word], np.array([[top, bottom]]))
    corners = [
        start, start + along * length, start + along * length + up * CAPITAL * size, start + up * CAPITAL * size
    ]  # fmt: skip
    wanted = shapely.Polygon(corners)
    assert core.symmetric_difference(wanted).area <= 1e-6 * max(wanted.area, 1.0)


# ----------------------------------------------------------------------------------------------------- solid cells


def cell(content: str, step: float = 20, paint: int = 1, box: str = "0 0 20 20") -> tuple[str, str]:
    kind = f"<</Type/Pattern/PatternType 1/PaintType {paint}/TilingType 1/BBox[{box}]/XStep {step}/YStep {step}"
    return (f"{kind}/Resources<</Font<</F {HELVETICA}>>>>>>", content)


TILED = "/Pattern cs /P scn 0 0 90 100 re f"
WHITE = "1 g 0 0 20 20 re f"


@pytest.mark.parametrize(("painted", "its"), [
    (TILED, cell(WHITE)),
    (TILED, cell("q 1 1 1 rg -9 -9 m 50 -9 l 50 50 l -9 50 l h f Q", -20)),
    (TILED, cell("1 g 0 0 50 50 re f", 50, box="0 0 50 50")),  # as large as drawings are
    ("/C cs 1 /P scn 0 0 90 100 re f", cell("0 0 20 20 re f", paint=2)),  # coloured where it is used
    ("/Pattern cs /P scn 0 0 m 90 0 l 90 100 l 0 100 l f", cell(WHITE)),
])  # fmt: skip
def test_white_cells_hide_what_was_painted_before_them(make: Maker, painted: str, its: tuple[str, str]) -> None:
    sheet = read(make, painted, "/Pattern<</P 5 0 R>>/ColorSpace<</C[/Pattern/DeviceGray]>>", (its,))
    assert words(sheet) == [] and sheet.strokes.ink().tolist() == [True, False]
    assert not sheet.assumptions


@pytest.mark.parametrize(("painted", "its"), [
    (TILED, cell(WHITE, 22)),  # gaps
    (TILED, cell("1 g 0 0 20 19 re f")),
    ("/G gs " + TILED, cell(WHITE)),  # see-through
    ("/Pattern cs /P scn 120 0 m 190 0 l 190 50 l f", cell(WHITE)),  # elsewhere, though cells begin under the word
    ("/Pattern CS /P SCN 9 w 60 0 m 60 100 l S", cell(WHITE)),
    ("q 0 0 90 100 re W n /Pattern cs /P scn BT /F 8 Tf 50 50 Td (I) Tj ET Q", cell(WHITE)),  # a letter of cells
])  # fmt: skip
def test_other_cells_hide_no_word(make: Maker, painted: str, its: tuple[str, str]) -> None:
    sheet = read(make, painted, "/Pattern<</P 5 0 R>>" + HALF_SEEN, (its,))
    assert ("GFI", True) in words(sheet) and not sheet.strokes.covered.any()


def test_a_dark_half_of_solid_cells_is_a_dark_half(make: Maker) -> None:
    half = "/Pattern cs /P scn 66 50 m 66 57 60 60 60 60 c 60 40 l 60 40 66 43 66 50 c f"
    sheet = read(make, half, "/Pattern<</P 5 0 R>>", (cell("0 0 0 rg 0 0 20 20 re f"),))
    assert sheet.fills.colour.tolist() == [[0, 0, 0]] and sheet.assumptions == ()
    assert sheet.fills.shape[0].bounds == pytest.approx((60, 40, 66, 60), abs=0.1)


def test_cells_that_cannot_be_drawn_are_hatch(make: Maker) -> None:
    assert words(read(make, TILED, "/Pattern<</P 5 0 R>>", (cell("( /"),))) == [("GFI", True)]


def test_a_white_pen_in_the_gap_of_its_dashes_paints_nothing(make: Maker) -> None:
    """The page was refused: the program failed on it."""
    sheet = read(make, "150 9 9 9 re f 170 9 9 9 re f 1 G 60 w [.001 10000] 500 d 0 40 m 90 40 l S")
    assert (words(sheet), len(sheet.fills)) == ([("GFI", True)], 2)
    assert sheet.strokes.ink().sum() == 2


@pytest.mark.parametrize(("wide", "sure"), [(20, [("GFI", True)]), (15.5, [("GFI", False)]), (5, [])])
def test_white_letters_beside_the_dark_fill_under_a_word_are_not_seen(
    make: Maker, wide: float, sure: list[tuple[str, bool]]
) -> None:
    """GF on a black wall, and an I beside it that is white on white, was GFI for certain."""
    sheet = read_sheet(make(f"0 g 15 45 {wide} 15 re f 1 g BT /F 8 Tf 20 50 Td (GFI) Tj ET"), 1)
    assert words(sheet) == sure

"""What lies beneath pictures, what a pattern paints along a line, what is seen through letters only."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from cordpath.sheet import read_sheet

Maker = Callable[..., Path]
FONT = "BT 0 g /F 8 Tf {} {} Td ({}) Tj ET "
LABEL = FONT.format(60, 50, "GFI")
MARKS = f"20 20 m 30 20 l S {LABEL} 90 48 10 5 re f "
GRAINED = "BI /W 2 /H 1 /BPC 8 /CS /G ID \xff\xfe EI "
PICTURE = "BI /W 1 /H 1 /BPC 8 /CS /G ID \xff EI "
OVER = f"q 160 0 0 60 10 10 cm {PICTURE}Q "
WIDE = "[0 0 800 100]"  # a page that is no picture
STATES = "/ExtGState<</M<</BM/Multiply>>/A<</ca .5>>>>"
MASKED = "<</Type/XObject/Subtype/Image/Width 1/Height 1/BitsPerComponent 8/ColorSpace/DeviceGray/SMask 6 0 R>>"
MASK = "<</Type/XObject/Subtype/Image/Width 1/Height 1/BitsPerComponent 8/ColorSpace/DeviceGray>>"
CELL = "<</Type/Pattern/PatternType 1/PaintType 1/TilingType 1/BBox[0 0 8 8]/XStep 8/YStep 8/Resources<<>>>>"


def test_a_picture_hides_what_was_painted_before_it(make: Maker) -> None:
    """A label under a white picture cleared the outlet beside it."""
    sheet = read_sheet(make(f"{MARKS}{OVER}{FONT.format(60, 30, 'SEEN')} 20 40 m 30 40 l S", media=WIDE), 1)
    assert sheet.strokes.covered.tolist() == [True, False]
    assert [word.text for word in sheet.words] == ["SEEN"]
    assert not (sheet.fills.luminance < 0.5).any()


@pytest.mark.parametrize("page", ["/Rotate 90", "/Rotate 180/UserUnit 2", "/CropBox[10 5 700 99]"])
def test_a_picture_lies_where_it_is_shown(make: Maker, page: str) -> None:
    sheet = read_sheet(make(f"{MARKS}{OVER} 20 75 m 30 75 l S", media=WIDE, page=page), 1)
    assert sheet.strokes.covered.tolist() == [True, False]
    assert sheet.words == ()


def test_a_word_half_under_a_picture_settles_nothing(make: Maker) -> None:
    (word,) = read_sheet(make(f"{LABEL} q 12 0 0 12 66 46 cm {PICTURE} Q 1 1 m 9 9 l S"), 1).words
    assert (word.text, word.confidence < 0.75) == ("GFI", True)


@pytest.mark.parametrize(
    "content",
    [
        OVER + MARKS,
        f"{MARKS} q /M gs 160 0 0 60 10 10 cm {PICTURE} Q",
        f"{MARKS} q /A gs 160 0 0 60 10 10 cm {PICTURE} Q",
        f"{MARKS} q 160 0 0 60 10 10 cm /X Do Q",
        f"{MARKS} q 0 0 5 5 re W n 160 0 0 60 10 10 cm {PICTURE} Q",
        f"{MARKS} q 10 10 m 99 9 l 50 99 l h W n 160 0 0 60 10 10 cm {GRAINED} Q",
        f"{MARKS} q /Pattern cs /P scn 400 0 300 99 re f Q",
        f"{MARKS} q 90 30 -30 90 40 10 cm {GRAINED} Q",
    ],
    ids=["below", "multiplied", "see-through", "masked", "cut away", "odd clip", "of a pattern", "turned"],
)
def test_pictures_that_hide_nothing_for_certain(make: Maker, content: str) -> None:
    tiled = CELL.replace("8 8]/XStep 8/YStep 8", "90 90]/XStep 90/YStep 90")
    objects = ((MASKED, "\xff"), (MASK, "\x00"), (tiled, f"q 80 0 0 80 4 4 cm {PICTURE} Q"))
    resources = f"{STATES}/XObject<</X 5 0 R>>/Pattern<</P 7 0 R>>"
    sheet = read_sheet(make(content, resources=resources, objects=objects, media=WIDE), 1)
    assert not sheet.strokes.covered.any()
    assert [word.text for word in sheet.words] == ["GFI"]


def test_a_line_painted_with_a_pattern_of_one_colour_is_a_line(make: Maker) -> None:
    """It was a picture that was not read."""
    line = "q /Pattern CS /P SCN 2 0 0 2 0 0 cm .5 w 10 10 m 60 10 l S Q"
    sheet = read_sheet(make(line, resources="/Pattern<</P 5 0 R>>", objects=((CELL, "1 0 0 rg 0 0 8 8 re f"),)), 1)
    assert sheet.strokes.xy.tolist() == [[20, 80, 120, 80]]
    assert sheet.strokes.width.tolist() == [1.0]
    assert sheet.strokes.colour.tolist() == [[1, 0, 0]]
    assert sheet.unread_areas == ()


@pytest.mark.parametrize(("dash", "seen"), [("[] 0 d", False), ("[3 9] 0 d", True)])
def test_a_broad_line_of_white_pattern_hides(make: Maker, dash: str, seen: bool) -> None:
    line = f"{MARKS} q /Pattern CS /P SCN {dash} 60 w 0 40 m 190 40 l S Q 20 40 m 30 40 l S"
    sheet = read_sheet(make(line, resources="/Pattern<</P 5 0 R>>", objects=((CELL, "1 g 0 0 8 8 re f"),)), 1)
    assert [word.text for word in sheet.words] == ["GFI"] * seen
    assert sheet.strokes.covered[0] != seen


def test_what_is_painted_through_letters_is_no_mark(make: Maker) -> None:
    """A dark half that only shows within a letter elsewhere made an outlet the GFCI one for certain."""
    clip = "q BT 7 Tr /F 8 Tf 150 80 Td (X) Tj ET 90 48 10 5 re f 20 20 m 30 20 l S Q 20 40 m 30 40 l S"
    sheet = read_sheet(make(clip), 1)
    assert len(sheet.fills) == 0
    assert sheet.strokes.xy.tolist() == [[20, 60, 30, 60]]

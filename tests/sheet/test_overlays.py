"""Pictures that are no upright rectangles may hide what was painted before them: it settles nothing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from cordpath.model import Sheet
from cordpath.sheet import read_sheet

Maker = Callable[..., Path]
LABEL = "BT 0 g /F 8 Tf 20 50 Td (GFI) Tj ET "  # its letters reach from 20 to 33
HALF = "0 g 60 45 8 12 re f 120 90 m 190 90 l S "  # a mark, and a line that stays
INLINE = "BI /W 2 /H 1 /BPC 8 /CS /G ID \xff\xfe EI "
FULL_STENCIL = f"BI /W 80 /H 1 /IM true /D[1 0] ID {10 * chr(0xFF)} EI "
WHITE_STENCIL = "BI /W 2 /H 1 /IM true /D[1 0] ID {} EI "
OVER = "80 0 0 60 10 20 cm"
IMAGE = "<</Type/XObject/Subtype/Image/Width 2/Height 1/BitsPerComponent 8/ColorSpace/DeviceGray{}>>"
STENCIL = "<</Type/XObject/Subtype/Image/Width 2/Height 1/BitsPerComponent 1/ImageMask true>>"
OBJECTS = (
    (IMAGE.format("/SMask 6 0 R"), "\xff\xff"), (IMAGE.format(""), "\xff\x00"),  # the left half is opaque
    (IMAGE.format("/SMask 8 0 R"), "\xff\xff"), (IMAGE.format(""), "\x00\x00"),
    (IMAGE.format("/Mask 10 0 R"), "\xff\xff"), (STENCIL, "\x3f"),
    (IMAGE.format("/Mask[255 255]"), "\xff\xff"),
)  # fmt: skip
NAMES = "/XObject<</L 5 0 R/N 7 0 R/H 9 0 R/K 11 0 R>>/ExtGState<</M<</BM/Multiply>>/A<</ca .5>>>>"


def read(make: Maker, painted: str, media: str = "[0 0 800 100]") -> Sheet:
    return read_sheet(make(painted, resources=NAMES, objects=OBJECTS, media=media), 1)


def words(sheet: Sheet) -> list[tuple[str, bool]]:
    """Each word, and does it settle something."""
    return [(word.text, word.confidence >= 1) for word in sheet.words]


@pytest.mark.parametrize("over", [
    f"q 90 30 -30 90 20 0 cm {INLINE} Q",  # turned
    f"q 80 0 40 60 0 20 cm {INLINE} Q",  # skewed
    f"q 0 0 m 100 0 l 100 99 l 50 80 l 0 99 l h W n {OVER} {INLINE} Q",  # an odd clip
    f"q {OVER} /L Do Q",  # a soft mask
    f"q {OVER} /H Do Q",  # another picture for a mask
    f"q 1 g {OVER} {FULL_STENCIL} Q",
    f"q 0 0 0 0 k {OVER} {WHITE_STENCIL.format(chr(0x80))} Q",
])  # fmt: skip
def test_what_is_under_such_a_picture_settles_nothing(make: Maker, over: str) -> None:
    """A label that nobody sees under a turned white picture cleared the outlet beside it."""
    sheet = read(make, LABEL + over)
    assert words(sheet) == [("GFI", False)]
    assert any("a picture" in said for said in sheet.assumptions)


@pytest.mark.parametrize("over", [
    f"q 90 30 -30 90 20 0 cm {INLINE} Q", f"q 0 0 m 100 0 l 100 99 l 50 80 l 0 99 l h W n {OVER} {INLINE} Q",
    f"q 1 g {OVER} {FULL_STENCIL} Q",
])  # fmt: skip
def test_a_mark_under_such_a_picture_is_asked(make: Maker, over: str) -> None:
    assert (60, 43, 68, 55) in read(make, HALF + over).unread_areas


@pytest.mark.parametrize("over", [
    f"q 90 30 -30 90 220 0 cm {INLINE} Q",  # beside
    f"q 20 20 -20 20 10 50 cm {INLINE} Q",  # only the box around it covers the label
    f"q 10 61 m 99 61 l 99 20 l 95 20 l 95 58.5 l 10 58.5 l h W n {OVER} {INLINE} Q",  # cut away there
    f"q /M gs 90 30 -30 90 20 0 cm {INLINE} Q",  # multiplied
    f"q /A gs 90 30 -30 90 20 0 cm {INLINE} Q",  # see-through
    f"q {OVER} /N Do Q",  # a soft mask that shows nothing
    "q 80 0 0 60 -41 20 cm /L Do Q",  # the half that shows is beside
    f"q {OVER} /K Do Q",  # a colour key
    f"q 0 g {OVER} {FULL_STENCIL} Q",  # a black stencil is ink
    f"q 1 g {OVER} {WHITE_STENCIL.format(chr(0x40))} Q",  # painted in its right half only
])  # fmt: skip
def test_such_pictures_that_hide_nothing(make: Maker, over: str) -> None:
    sheet = read(make, LABEL + over)
    assert words(sheet) == [("GFI", True)]


@pytest.mark.parametrize("over", [f"q {OVER} /L Do Q", f"q 90 30 -30 90 20 0 cm {INLINE} Q"])
def test_a_picture_that_lies_below_hides_nothing(make: Maker, over: str) -> None:
    assert words(read(make, f"{over} {LABEL}")) == [("GFI", True)]


def test_a_see_through_sheet_over_the_whole_page_puts_nothing_in_question(make: Maker) -> None:
    drawing = "".join(f"{x} 10 m {x} 90 l S " for x in np.linspace(60, 200, 400))
    assert ("GFI", True) in words(read(make, f"{LABEL}{drawing} q 200 0 0 100 0 0 cm /N Do Q", "[0 0 200 100]"))


@pytest.mark.parametrize("page", ["/Rotate 90", "/Rotate 180/UserUnit 2", "/CropBox[10 5 700 99]"])
def test_such_a_picture_lies_where_it_is_shown(make: Maker, page: str) -> None:
    beside = "BT /F 8 Tf 120 20 Td (SEEN) Tj ET 120 90 m 190 90 l S "
    drawn = f"{LABEL}{beside} q 90 30 -30 90 20 0 cm {INLINE} Q"
    assert words(read_sheet(make(drawn, media="[0 0 800 100]", page=page), 1)) == [("GFI", False), ("SEEN", True)]


def test_a_picture_is_seen_through_its_own_clip(make: Maker) -> None:
    """Clips of other kinds were painted before it."""
    others = (
        "q 20 0 0 20 300 20 cm /L Do Q q BT 7 Tr /F 8 Tf 350 80 Td (X) Tj ET 390 48 10 5 re f Q "
        "q 300 0 m 320 0 l 300 20 l h W n 2 w 300 0 m 310 10 l S Q q 0 0 9 9 re W n Q "
    )
    cut = f"q 10 61 m 99 61 l 99 20 l 95 20 l 95 58.5 l 10 58.5 l h W n {OVER} {INLINE} Q"
    assert words(read(make, others + LABEL + cut)) == [("GFI", True)]


def test_what_is_solid_in_a_picture_over_all_of_the_page_hides_and_its_lines_do_not(make: Maker) -> None:
    """A picture with a mask over more than half of the page hid a label in silence."""
    mask = np.zeros((100, 800), np.uint8)
    mask[30:70, 10:50] = 255  # the label
    mask[48:50, 300:700] = 255  # a line, through another one
    large = IMAGE.replace("2/Height 1", "800/Height 100")
    objects = (
        (large.format("/SMask 6 0 R"), "\xff" * 80_000),
        (large.format(""), mask.tobytes().decode("latin-1")),
    )
    rest = "BT /F 8 Tf 400 48 Td (SEEN) Tj ET " + "".join(f"{x} 10 m {x} 90 l S " for x in range(200, 600))
    content = f"{LABEL}{rest} q 800 0 0 100 0 0 cm /I Do Q"
    path = make(content, resources="/XObject<</I 5 0 R>>", objects=objects, media="[0 0 800 100]")
    assert words(read_sheet(path, 1)) == [("GFI", False), ("SEEN", True)]


@pytest.mark.parametrize("opacity", [0, 0.01])
def test_see_through_paint_of_a_group_that_knocks_out_may_hide(make: Maker, opacity: float) -> None:
    """It replaces what was painted before it (ISO 32000-2, 11.4.6.2; MuPDF, Poppler, Ghostscript; not PDFium)."""
    group = "<</Type/XObject/Subtype/Form/BBox[0 0 200 100]/Group<</S/Transparency/K true>>>>"
    content = f"{LABEL} BT /F 8 Tf 120 50 Td (SEEN) Tj ET /A gs 1 g 10 40 60 30 re f"
    named = f"/XObject<</K 5 0 R>>/ExtGState<</A<</ca {opacity}>>>>"
    assert words(read_sheet(make("/K Do", resources=named, objects=((group, content),)), 1)) == [
        ("GFI", False), ("SEEN", True),
    ]  # fmt: skip


BLACK_PIXEL = "BI /W 1 /H 1 /BPC 8 /CS /G ID \x00 EI "
STENCIL_PIXEL = "BI /W 1 /H 1 /IM true /D[1 0] ID \x80 EI "


@pytest.mark.parametrize(
    "pixel", [BLACK_PIXEL, STENCIL_PIXEL, "BI /W 2 /H 2 /BPC 8 /CS /G ID \x00\x00\x00\x00 EI "]
)
@pytest.mark.parametrize("place", ["40 0 0 .5 20 20 cm", "30 30 -.3 .3 20 20 cm", "8 0 0 8 20 20 cm"])
def test_paint_in_pictures_of_one_pixel_is_ink(make: Maker, pixel: str, place: str) -> None:
    """Lines and areas of printer drivers: they were no picture, as they show nothing, and no paint either."""
    sheet = read_sheet(make(f"120 90 m 190 90 l S q 0 g {place} {pixel} Q"), 1)
    assert sheet.strokes.ink().sum() + (sheet.fills.luminance < 0.5).sum() == 2


def test_a_white_stencil_of_one_pixel_hides_and_one_that_leaves_it_out_does_not(make: Maker) -> None:
    hides, not_ = (
        read_sheet(make(f"{LABEL} {HALF} q 1 g {OVER} BI /W 1 /H 1 /IM true /D[{d}] ID \x80 EI Q"), 1)
        for d in ("1 0", "0 1")
    )
    assert (words(hides), len(hides.fills)) == ([], 1)
    assert words(not_) == [("GFI", True)]


def test_a_see_through_pixel_hides_nothing(make: Maker) -> None:
    sheet = read_sheet(make(f"{LABEL} {HALF} q /A gs {OVER} {INLINE} Q", resources=NAMES, objects=OBJECTS), 1)
    assert [text for text, _ in words(sheet)] == ["GFI"]

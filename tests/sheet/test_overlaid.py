"""What others have laid over a page is not read, and is told."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from cordpath.sheet import read_sheet

Maker = Callable[..., Path]
LINE = "20 50 m 60 50 l S "


def over(*marks: str) -> str:
    body = "".join(f"<</Type/Annot/Rect[10 10 90 90]{mark}>>" for mark in marks)
    return f"/Annots[{body}]"


def said(make: Maker, *marks: str) -> str:
    sheet = read_sheet(make(LINE, page=over(*marks)), 1)
    assert len(sheet.strokes) == 1
    return "; ".join(sheet.assumptions)


def test_marks_of_others_are_told_with_what_they_say(make: Maker) -> None:
    """A GFI that somebody typed over an outlet is no part of the drawing, and was passed over in silence."""
    told = said(make, "/Subtype/FreeText/Contents(GFI)", "/Subtype/FreeText/Contents(GFI)", "/Subtype/Stamp")
    assert told.startswith("3 annotations lie on the page and were not read (2 texts, 1 stamp, such as 'GFI'): ")
    assert said(make, "/Subtype/StrikeOut").startswith(
        "1 annotation lies on the page and was not read (1 strike-out)"
    )


@pytest.mark.parametrize(
    "mark",
    [
        "/Subtype/Link",
        "/Subtype/Popup",
        "/Subtype/Stamp/F 2",  # hidden
        "/Subtype/Ink/F 32",  # not to be viewed
        "/Subtype/Polygon/T(cordpath)",  # our own
        "/Subtype/Text/Contents(done)/IRT<</Subtype/Polygon>>",  # an answer, seen in lists only
        "/Subtype/Widget",  # a field that is empty
        "/Subtype/Nonsense",
    ],
)
def test_what_shows_nothing_is_not_told(make: Maker, mark: str) -> None:
    assert said(make, mark) == ""


def test_a_filled_field_is_told_and_a_long_text_is_cut(make: Maker) -> None:
    assert "1 form field, such as '1/4\" = 1 ft'" in said(make, '/Subtype/Widget/V(1/4" = 1 ft)')
    assert f"'{'x' * 39}\u2026'" in said(make, f"/Subtype/FreeText/Contents({'x' * 90})")


@pytest.mark.parametrize("page", ["/Annots 7", "/Annots[1 null (x)]", "/Annots[<<>>]", "/Annots 99 0 R"])
def test_a_list_that_makes_no_sense_does_no_harm(make: Maker, page: str) -> None:
    assert len(read_sheet(make(LINE, page=page), 1).strokes) == 1


@pytest.mark.parametrize(("catalog", "told"), [
    ("/NeedsRendering true/AcroForm<</Fields[]/XFA 5 0 R>>", True),
    ("/NeedsRendering true/AcroForm<</Fields[]/XFA[(template)5 0 R]>>", True),
    ("/AcroForm<</Fields[]/XFA 5 0 R>>", False),  # a static one: its pages are those of the file
    ("/NeedsRendering true", False),
])  # fmt: skip
def test_a_form_whose_pages_are_built_anew_is_told(make: Maker, catalog: str, told: bool) -> None:
    """It was read without a remark."""
    sheet = read_sheet(make(LINE, catalog=catalog, objects=(("<<>>", "<xdp:xdp/>"),)), 1)
    assert any("dynamic form" in said for said in sheet.assumptions) is told

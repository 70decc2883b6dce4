"""What shows through what is painted over it: highlighters, see-through groups, soft masks."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from cordpath.sheet import read_sheet

Maker = Callable[..., Path]
HIGHLIGHT = "0 0 100 100 re f"
FONT = "<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>"
FORM = "<</Type/XObject/Subtype/Form/BBox[0 0 200 100]/Group<</S/Transparency>>>>"


def shown(text: str, x: float = 20, y: float = 50) -> str:
    return f"BT 0 g /F 8 Tf {x} {y} Td ({text}) Tj ET "


@pytest.mark.parametrize("mode", ["Multiply", "Darken", "ColorBurn", "Color"])
def test_a_highlighter_hides_nothing(make: Maker, mode: str) -> None:
    """A flattened highlight is an opaque fill that is multiplied with what lies below: the lines are seen."""
    state = f"/ExtGState<</M<</BM/{mode}>>>>"
    path = make(f"20 20 m 30 20 l S {shown('KEPT')} q /M gs 1 1 .6 rg {HIGHLIGHT} Q", resources=state)
    sheet = read_sheet(path, 1)
    assert not sheet.strokes.covered.any()
    assert [word.text for word in sheet.words] == ["KEPT"]


def test_a_highlighter_that_is_the_first_path_hides_no_word(make: Maker) -> None:
    path = make(f"{shown('KEPT')} q /M gs 1 1 .6 rg {HIGHLIGHT} Q", resources="/ExtGState<</M<</BM/Multiply>>>>")
    assert [word.text for word in read_sheet(path, 1).words] == ["KEPT"]


def test_a_blend_mode_that_can_hide_hides(make: Maker) -> None:
    path = make(
        f"20 20 m 30 20 l S q /M gs 1 g {HIGHLIGHT} Q 150 9 m 150 90 l S",
        resources="/ExtGState<</M<</BM/Screen>>>>",
    )
    assert read_sheet(path, 1).strokes.covered.tolist() == [True, False]


@pytest.mark.parametrize("state", ["/ca .4", "/BM/Multiply"])
def test_a_veil_hides_what_is_painted_within_it_and_nothing_below_it(make: Maker, state: str) -> None:
    inner = f"20 40 m 30 40 l S {shown('WITHIN', 40, 40)} 1 g {HIGHLIGHT}"
    resources = f"/ExtGState<</M<<{state}>>>>/XObject<</X 5 0 R>>"
    form = FORM[:-2] + f"/Resources<</Font<</F {FONT}>>>>>>"
    path = make(f"20 20 m 30 20 l S {shown('BELOW')} /M gs /X Do", resources=resources, objects=((form, inner),))
    sheet = read_sheet(path, 1)
    assert sheet.strokes.covered.tolist() == [False, True]
    assert [word.text for word in sheet.words] == ["BELOW"]


def test_what_is_painted_through_a_soft_mask_hides_nothing(make: Maker) -> None:
    states = "/ExtGState<</G<</SMask<</S/Luminosity/G 5 0 R>>>>>>"
    mask = (FORM, ".3 g 0 0 200 100 re f")
    path = make(f"20 20 m 30 20 l S /G gs 1 g {HIGHLIGHT}", resources=states, objects=(mask,))
    strokes = read_sheet(path, 1).strokes
    assert strokes.covered.tolist() == [False]


@pytest.mark.parametrize("mode", ["Screen", "Lighten", "ColorDodge"])
def test_dark_paint_in_a_blend_that_lightens_hides_nothing(make: Maker, mode: str) -> None:
    """All of the drawing was hidden by it, and nothing said so."""
    state = f"/ExtGState<</M<</BM/{mode}>>>>"
    path = make(f"1 g {HIGHLIGHT} 20 20 m 30 20 l S {shown('KEPT')} q /M gs 0 g {HIGHLIGHT} Q", resources=state)
    sheet = read_sheet(path, 1)
    assert not sheet.strokes.covered.any()
    assert [word.text for word in sheet.words] == ["KEPT"]


@pytest.mark.parametrize("mode", ["Screen", "Lighten", "ColorDodge", "Difference", "Exclusion"])
def test_paint_that_shows_only_on_bare_paper_is_a_question(make: Maker, mode: str) -> None:
    """Black of these modes shows nothing over a white area: a dark half or a label painted so was sure."""
    state = f"/ExtGState<</M<</BM/{mode}>>>>"
    path = make(f"1 g {HIGHLIGHT} 20 20 m 30 20 l S q /M gs 0 g {shown('GFI')} 60 20 10 5 re f Q", resources=state)
    sheet = read_sheet(path, 1)
    assert [(word.text, word.confidence < 0.75) for word in sheet.words] == [("GFI", True)]
    assert sheet.unread_areas == (pytest.approx((60, 75, 70, 80)),)
    assert "depends on what lies below" in sheet.assumptions[0]


@pytest.mark.parametrize(
    ("kind", "tone", "shows"),
    [
        ("Luminosity", "1 g", True),
        ("Luminosity", "0 g", False),
        ("Luminosity", ".3 g", None),
        ("Alpha", "0 g", True),
    ],
)
def test_a_soft_mask_of_one_tone_shows_all_or_nothing(
    make: Maker, kind: str, tone: str, shows: bool | None
) -> None:
    """A label and a dark half that a mask hides were read, and those under one that shows all were doubtful."""
    states = f"/ExtGState<</G<</SMask<</S/{kind}/G 5 0 R>>>>>>"
    content = f"20 20 m 30 20 l S /G gs 0 g {shown('GFI')} 60 20 10 5 re f"
    sheet = read_sheet(make(content, resources=states, objects=((FORM, f"{tone} 0 0 200 100 re f"),)), 1)
    assert [word.confidence == 1 for word in sheet.words] == ([] if shows is False else [shows is True])
    assert len(sheet.fills) == (shows is not False)
    assert len(sheet.unread_areas) == (shows is None)


NO_TONE = (
    "<</Type/XObject/Subtype/Form/BBox[0 0 200 100]/Group<</S/Transparency/CS/DeviceGray>>>>",
    "0 g 0 0 200 100 re f",
)


@pytest.mark.parametrize(("more", "sure"), [("", True), ("/X<</ca .5>>", False)])
def test_what_is_painted_after_a_mask_was_ended_is_seen(make: Maker, more: str, sure: bool) -> None:
    """The opacity that stands for a mask went on to the end of the state: all of it was lost."""
    states = f"/ExtGState<</M<</SMask<</S/Luminosity/G 5 0 R>>>>/N<</SMask/None>>{more}>>"
    path = make(
        f"/M gs 20 20 m 30 20 l S /N gs 20 40 m 30 40 l S {shown('KEPT')}", resources=states, objects=(NO_TONE,)
    )
    sheet = read_sheet(path, 1)
    assert sheet.strokes.ink().sum() == 1
    assert [(word.text, word.confidence >= 1) for word in sheet.words] == [("KEPT", sure)]


MARK = "0 g 60 45 8 12 re f 120 90 m 190 90 l S "  # a mark, and a line that stays
BOX = (60, 43, 68, 55)
PART = (NO_TONE[0], "1 g 50 30 30 40 re f")
SMALL = (NO_TONE[0].replace("200 100", "5000 5000"), PART[1])
SPOT = "[/Separation/Spot/DeviceCMYK<</FunctionType 2/Domain[0 1]/N 1/C0[0 0 0 0]/C1[0 .1 0 0]>>]"
STATES = (
    "/ExtGState<</M<</SMask<</S/Luminosity/G 5 0 R>>>>/S<</SMask<</S/Luminosity/G 7 0 R>>>>"
    "/O<</OP true/OPM 1>>/P<</OP true>>>>"
    f"/ColorSpace<</C{SPOT}>>/XObject<</X 6 0 R>>"
)


@pytest.mark.parametrize("over", [
    "1 g BT /F 90 Tf 52 20 Td (I) Tj ET",  # a white letter with a stem of 9 pt over the mark
    ".8 g BT /F 90 Tf 52 20 Td (I) Tj ET",  # of a stamp
    "/M gs 1 g 0 0 195 85 re f",
    "/M gs 1 g BT /F 90 Tf 52 20 Td (I) Tj ET",
    "/M gs /X Do",  # a group
    "/S gs 1 g 0 0 195 85 re f",  # a small part of a large mask
    "/O gs 0 0 0 0 k 50 30 40 40 re f",
    "/O gs 0 0 .2 0 k 50 30 40 40 re f",
    "/P gs /C cs .5 scn 50 30 40 40 re f",
    "/O gs 0 0 0 0 K 30 w 50 50 m 90 50 l S",
])  # fmt: skip
def test_a_mark_under_paint_that_may_hide_it_is_asked(make: Maker, over: str) -> None:
    """A mark under a white letter and a soft mask was as sure as one that is seen, and one under overprint gone."""
    form = FORM.replace("[0 0 200 100]", "[0 0 195 85]"), "1 g 0 0 195 85 re f"
    sheet = read_sheet(make(MARK + shown("GFI", 57, 48) + over, resources=STATES, objects=(PART, form, SMALL)), 1)
    assert {word.confidence < 1 for word in sheet.words if word.text == "GFI"} == {True}
    assert BOX in [tuple(round(v) for v in box) for box in sheet.unread_areas]
    assert any("paint that may hide them" in said for said in sheet.assumptions)


@pytest.mark.parametrize("over", [
    "1 g BT /F 90 Tf 72 20 Td (I) Tj ET",  # beside
    "1 g BT /F 90 Tf 30 20 Td (O) Tj ET",  # within its ring
    "1 g BT /F 20 Tf 60 45 Td (I) Tj ET",  # a line of a pen
    "3 Tr BT /F 90 Tf 52 20 Td (I) Tj ET",
    "/O gs 0 0 0 1 k 50 30 40 10 re f",  # beside
    "q 0 0 40 100 re W n 1 g BT /F 90 Tf 52 20 Td (I) Tj ET Q",
])  # fmt: skip
def test_paint_that_hides_no_mark(make: Maker, over: str) -> None:
    assert BOX not in [
        tuple(round(v) for v in box)
        for box in read_sheet(make(MARK + over, resources=STATES, objects=(PART, PART)), 1).unread_areas
    ]


@pytest.mark.parametrize("state", ["/O gs 1 g", "/P gs 0 0 0 0 k"])
def test_overprint_that_no_ink_below_shows_through_hides(make: Maker, state: str) -> None:
    """Grey is paint of all inks, and so is cyan, magenta, yellow and black but in mode 1."""
    sheet = read_sheet(make(f"{MARK} 50 50 m 70 50 l S {state} 40 30 50 40 re f", resources=STATES), 1)
    assert sheet.strokes.covered.tolist() == [False, True]


def test_a_mask_that_is_nowhere_opaque_makes_no_question_of_what_is_below(make: Maker) -> None:
    faint = (NO_TONE[0], ".6 g 0 0 200 100 re f")
    sheet = read_sheet(make(f"{MARK} /M gs 1 g 0 0 195 85 re f", resources=STATES, objects=(faint, faint)), 1)
    assert BOX not in [tuple(round(v) for v in box) for box in sheet.unread_areas]


def test_a_title_that_is_shown_twice_is_sure(make: Maker) -> None:
    """False bold: the second letters lie over the first."""
    title = "BT 0 g /F 40 Tf {} 40 Td (FLOOR) Tj ET "
    assert [word.confidence for word in read_sheet(make(title.format(20) + title.format(20.5)), 1).words] == [1]

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

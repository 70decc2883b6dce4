"""Paint of the colorant None: some viewers show it, others do not (ISO 32000-2, 8.6.6.4)."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from cordpath.sheet import read_sheet

Maker = Callable[..., Path]
TINT = "<</FunctionType 2/Domain[0 1]/C0[0 0 0 0]/C1[0 0 0 1]/N 1>>"
SEPARATION = f"[/Separation/{{}}/DeviceCMYK {TINT}]"
PAINTED = "1 scn 1 SCN BT /F 8 Tf 20 50 Td (GFI) Tj ET 60 45 8 12 re f 120 90 m 190 90 l S "


@pytest.mark.parametrize("space", [SEPARATION, f"[/Indexed{SEPARATION} 1 <00FF>]"])
@pytest.mark.parametrize(("colorant", "sure"), [("None", False), ("All", True), ("Spot", True)])
def test_paint_that_may_not_be_seen_settles_nothing(make: Maker, space: str, colorant: str, sure: bool) -> None:
    """A GFI label of the colorant None, which PDFium and Ghostscript leave out, cleared the outlet beside it."""
    named = f"/ColorSpace<</C{space.format(colorant)}>>"
    sheet = read_sheet(make(f"/C cs /C CS {PAINTED}", resources=named), 1)
    assert [(word.text, word.confidence >= 1) for word in sheet.words] == [("GFI", sure)]
    assert bool(sheet.unread_areas) is not sure
    assert sheet.strokes.ink().sum() == 1 and len(sheet.fills) == 1


def test_such_paint_hides_nothing(make: Maker) -> None:
    named = f"/ColorSpace<</C{SEPARATION.format('None')}>>"
    over = "20 50 m 100 50 l S /C cs 1 scn 10 40 100 20 re f"
    assert read_sheet(make(over, resources=named), 1).strokes.ink().sum() == 1

"""A note against two dimension strings: the doors of the house tell which, or nobody does."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from dimension_chain import LENGTHS_FT, NOTE, Plan, feet_and_inches

from cordpath.model import Drawing, FloatArray, Sheet, Strokes
from cordpath.scale import prove_scales


def swings(widths: tuple[float, ...]) -> FloatArray:
    """Leaves of these widths, points, each with its quarter circle."""
    rows = []
    for k, radius in enumerate(widths):
        x, y = 120.0 + 130 * k, 620.0
        angle = np.linspace(0, np.pi / 2, 13)
        arc = np.c_[x + radius * np.cos(angle), y - radius * np.sin(angle)]
        rows += [*np.c_[arc[:-1], arc[1:]].tolist(), [x, y, x, y - radius]]
    return np.array(rows, float).reshape(-1, 4)


def drawn(ratio: float, leaves_in: tuple[float, ...]) -> Sheet:
    """A print at this ratio under a note of 1:48, with two dimension strings that are right."""
    texts = [feet_and_inches(length) for length in LENGTHS_FT[:2]]
    sheet = Plan(96.0).chain(texts, LENGTHS_FT[:2]).sheet(NOTE)
    strokes = Strokes.of(np.concatenate([sheet.strokes.xy, swings(tuple(w * 72 / ratio for w in leaves_in))]))
    view = replace(sheet.views[0], box=(0.0, 0.0, 1200.0, 800.0))
    return replace(sheet, strokes=strokes, views=(view,))


@pytest.mark.parametrize(("true", "source"), [(48.0, "note"), (96.0, "dimension")])
def test_doors_decide_between_a_note_and_two_strings(true: float, source: str) -> None:
    """Two strings say 1:96.  Where the doors are usual at 1:48, the strings are wrong; where at 1:96, the note."""
    (scale,) = prove_scales(drawn(true, (30.0, 32.0, 28.0, 36.0)), Drawing())
    assert scale.ratio == pytest.approx(true, rel=0.01)
    assert (scale.status, scale.source) == ("single", source)
    assert scale.why is not None
    assert "1:48" in scale.why and "1:96" in scale.why and "4 of 4 door leaves" in scale.why


@pytest.mark.parametrize("leaves_in", [(), (30.0, 32.0), (30.0, 32.0, 60.0, 64.0), (45.0, 46.0, 47.0)])
def test_doors_that_do_not_tell_leave_both_values(leaves_in: tuple[float, ...]) -> None:
    (scale,) = prove_scales(drawn(48.0, leaves_in), Drawing())
    assert (scale.ratio, scale.status) == (None, "conflict")
    assert scale.why is not None and "1:48" in scale.why and "1:96" in scale.why

"""Legends without a frame whose descriptions stand under their signs, or over them: how far they reach."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from cordpath.geometry import hull
from cordpath.sheet import read_sheet
from cordpath.sheet.layout.captioned import captioned
from cordpath.sheet.text.textlines import Run
from sheet.stroke_face import strokes
from sheet.test_layout import Page

NAMES = ("DUPLEX OUTLET", "GROUND FAULT|RECEPTACLE", "QUAD OUTLET", "CEILING LIGHT", "SMOKE ALARM", "FAN")
LEFT, TOP = 1200.0, 120.0  # of the grid on its page


def drawn(path: Path, under: bool, house: bool) -> Page:
    """Three signs in a row, the last row of one; ``house``: a plan close beside the legend."""
    page = Page(path)
    page.strip()
    if house:
        page.house(LEFT - 620, TOP)
        page.text('SCALE: 1/4" = 1\'-0"', LEFT - 600, 520)
    page.text("ELECTRICAL SYMBOLS", LEFT, TOP - 45, 10)
    for k, name in enumerate((*NAMES, "EXHAUST HOOD")):
        x, y = LEFT + 30 + 85 * (k % 3), TOP + 55 * (k // 3)
        page.box(x - 5, y - 5, x + 5, y + 5)
        page.line(x - 2, y - 12, x - 2, y + 5)
        for n, line in enumerate(name.split("|")):
            page.text(line, x, y + (24 if under else -24) + 8 * n, 6.5, centred=True)
    page.canvas.save()
    return page


@pytest.mark.parametrize("under", [True, False])
@pytest.mark.parametrize("house", [True, False])
def test_a_grid_of_captions_is_a_legend_as_far_as_its_last_sign(tmp_path: Path, under: bool, house: bool) -> None:
    """None of it was a legend, or without its last row, and its signs were outlets of the plan."""
    drawn(tmp_path / "a.pdf", under, house)
    legends = [region.box for region in read_sheet(tmp_path / "a.pdf", 1).regions if region.kind == "legend"]
    assert len(legends) == 1
    x0, y0, x1, y1 = legends[0]
    low = TOP + 2 * 55 + (24 if under else 5)
    assert LEFT - 10 <= x0 <= LEFT + 30 - 20 and LEFT + 215 <= x1 <= LEFT + 250
    assert y0 <= TOP - 45 and low - 3 <= y1 <= low + 12


def test_a_sign_that_is_a_letter_does_not_end_its_row(tmp_path: Path) -> None:
    """Signs right of the S of a switch were outlets of the plan, and none of the legend."""
    page = Page(tmp_path / "a.pdf")
    page.strip()
    page.text("ELECTRICAL SYMBOLS", 600, 75, 10)
    names = ("DUPLEX OUTLET", "GFCI OUTLET", "QUAD OUTLET", "SWITCH", "RANGE OUTLET", "DRYER OUTLET")
    for k, name in enumerate(names):
        x = 630 + 95 * k
        if name == "SWITCH":
            page.text("S", x, 124, 9, centred=True)
        else:
            page.box(x - 5, 115, x + 5, 125)
            page.line(x - 2, 108, x - 2, 125)
        page.text(name, x, 144, 6.5, centred=True)
    page.canvas.save()
    (legend,) = [region.box for region in read_sheet(tmp_path / "a.pdf", 1).regions if region.kind == "legend"]
    assert legend[0] <= 625 and legend[2] >= 630 + 95 * 5 + 5


def test_rooms_under_a_heading_with_symbols_over_their_names_are_no_legend(tmp_path: Path) -> None:
    page = Page(tmp_path / "a.pdf")
    page.strip()
    page.house(200, 300)
    page.text("POWER PLAN SYMBOLS", 320, 230, 10)
    for x, y in ((270, 440), (425, 440), (600, 440)):
        page.box(x, y, x + 10, y + 10)
    page.canvas.save()
    assert not [r for r in read_sheet(tmp_path / "a.pdf", 1).regions if r.kind == "legend"]


def test_drawn_letters_are_not_the_signs_of_the_next_row() -> None:
    """A list with drawn letters was taken for a grid of captions: its last rows were outlets of the plan."""
    texts, small = [], []
    for k, text in enumerate(("ELECTRICAL LEGEND", "DUPLEX OUTLET", "QUAD OUTLET", "SMOKE ALARM", "EXHAUST FAN")):
        xy = strokes(text, (100.0, 100.0 + 24 * k), 7.0)
        boxes = np.concatenate([np.minimum(xy[:, :2], xy[:, 2:]), np.maximum(xy[:, :2], xy[:, 2:])], axis=1)
        x0, y0, x1, y1 = hull([tuple(box) for box in boxes.tolist()])
        texts.append(Run(text, (x0, y0, x1, y1), 9.0))
        small.append(boxes)
    assert captioned(texts[0], texts, np.concatenate(small)) == []

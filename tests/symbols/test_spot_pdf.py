"""Symbols in real PDF files of two writers: Bezier circles, loose lines, rotated pages, letters as text."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pymupdf
import pytest
from reportlab.pdfgen import canvas

from cordpath.model import CircleMark, Drawing, LineMark, Mapping, Sheet, Spotting, SymbolEntry, TextMark, View
from cordpath.sheet import read_sheet
from cordpath.symbols import spot

R = 0.0625
BARS = (CircleMark((0, 0), R), LineMark((-0.03, -0.14), (-0.03, 0.1)), LineMark((0.03, -0.14), (0.03, 0.1)))
BOX = (CircleMark((0, 0), 0.1), TextMark("J", (0, 0)))
RULES = Mapping("m.yaml", Drawing(), (
    SymbolEntry("duplex", "receptacle", shape=BARS, wall_side=(0, -1)),
    SymbolEntry("junction box", "hardwired outlet", shape=BOX),
))  # fmt: skip


def spotted(sheet: Sheet) -> Spotting:
    whole = View("v", "PLAN", (0, 0, sheet.width, sheet.height))
    return spot(replace(sheet, views=(whole,), regions=()), RULES, ())


@pytest.mark.parametrize("rotate", [0, 90, 180, 270])
def test_a_rotated_page_with_bezier_circles(tmp_path: Path, rotate: int) -> None:
    document = pymupdf.open()
    page = document.new_page(width=600, height=400)
    shape = page.new_shape()
    for x, y in ((100, 100), (300, 220)):
        shape.draw_circle((x, y), R * 72)
        for side in (-0.03, 0.03):
            shape.draw_line((x + side * 72, y - 0.14 * 72), (x + side * 72, y + 0.1 * 72))
    shape.draw_circle((450, 120), 7.2)
    shape.finish(width=0.5)
    shape.commit()
    page.insert_text((447.7, 123.2), "J", fontsize=9)
    page.set_rotation(rotate)
    document.save(tmp_path / "a.pdf")
    sheet = read_sheet(tmp_path / "a.pdf", 1)
    symbols = spotted(sheet).symbols
    assert sorted(s.entry.name for s in symbols if s.found) == ["duplex", "duplex", "junction box"]
    turn = {0: lambda x, y: (x, y), 90: lambda x, y: (400 - y, x), 180: lambda x, y: (600 - x, 400 - y),
            270: lambda x, y: (y, 600 - x)}[rotate]  # fmt: skip
    for s, at in zip(sorted((s for s in symbols if s.entry.name == "duplex"), key=lambda s: s.strokes.min()),
                     ((100, 100), (300, 220)), strict=True):  # fmt: skip
        assert np.allclose(s.at, turn(*at), atol=0.15)
        assert abs((s.angle + rotate + 180) % 360 - 180) < 0.5  # /Rotate turns the page clockwise


def test_another_writers_file_with_units_of_its_own(tmp_path: Path) -> None:
    sheet = canvas.Canvas(str(tmp_path / "b.pdf"), pagesize=(600, 400))
    sheet.saveState()
    sheet.translate(200, 150)
    sheet.rotate(30)
    sheet.scale(0.72, 0.72)  # hundredths of an inch
    sheet.circle(0, 0, 100 * R)
    for side in (-3, 3):
        sheet.line(side, 14, side, -10)
    sheet.restoreState()
    sheet.circle(400, 200, 7.2)  # no letter: a plain circle is no junction box
    sheet.save()
    (symbol,) = spotted(read_sheet(tmp_path / "b.pdf", 1)).symbols
    assert symbol.found and symbol.entry.name == "duplex"
    assert np.allclose(symbol.at, (200, 250), atol=0.15) and abs(symbol.angle - 30) < 0.5

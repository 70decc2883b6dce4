"""Scale bars as two PDF writers draw them, read back from the page."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pikepdf
import pytest
from fpdf import FPDF
from reportlab.pdfgen.canvas import Canvas

from cordpath.model import Drawing, Scale
from cordpath.scale import prove_scales
from cordpath.scale.bars import find_bars
from cordpath.sheet import read_sheet

WIDE, HIGH = 1224.0, 792.0
FOOT = 18.0
FEET = ((0, "0"), (2, "2"), (4, "4"), (8, "8"), (16, "16'"))
METRES = ((0, "0"), (1, "1"), (2, "2"), (5, "5 m"))


def by_reportlab(path: Path, figures: tuple[tuple[int, str], ...], unit: float, note: str, rotate: int) -> None:
    page = Canvas(str(path), pagesize=(WIDE, HIGH))
    page.setLineWidth(2)
    page.rect(200, 300, 600, 350)
    page.line(500, 300, 500, 650)
    page.setFont("Helvetica-Bold", 12)
    page.drawString(200, 250, "FLOOR PLAN")
    page.setFont("Helvetica", 8)
    page.drawString(200, 238, note)
    page.setLineWidth(0.4)
    marks = [420 + value * unit for value, _ in figures]
    for number, (a, b) in enumerate(pairwise(marks)):
        page.rect(a, 240, b - a, 5, fill=number % 2)
    page.setFont("Helvetica", 7)
    for mark, (_, label) in zip(marks, figures, strict=True):
        page.drawCentredString(mark, 248, label)
    page.setPageRotation(rotate)
    page.save()


def by_fpdf(path: Path, figures: tuple[tuple[int, str], ...], unit: float, note: str, rotate: int) -> None:
    pdf = FPDF(unit="pt", format=(HIGH, WIDE), orientation="landscape")
    pdf.add_page()
    pdf.set_line_width(2)
    pdf.rect(200, 150, 600, 350)
    pdf.line(500, 150, 500, 500)
    pdf.set_font("Times", "B", 12)
    pdf.text(200, 540, "FLOOR PLAN")
    pdf.set_font("Times", "", 8)
    pdf.text(200, 552, note)
    pdf.set_line_width(0.5)
    marks = [420 + value * unit for value, _ in figures]
    pdf.line(marks[0], 550, marks[-1], 550)
    for mark, (_, label) in zip(marks, figures, strict=True):
        pdf.line(mark, 545, mark, 552)
        pdf.text(mark - pdf.get_string_width(label.split(" ")[0]) / 2, 562, label)
    pdf.output(str(path))
    with pikepdf.open(path, allow_overwriting_input=True) as again:
        again.pages[0].Rotate = rotate
        again.save(path)


def scale_of(path: Path) -> Scale:
    return prove_scales(read_sheet(path, 1), Drawing())[0]


@pytest.mark.parametrize("write", [by_reportlab, by_fpdf])
def test_bars_prove_or_contradict_the_note(tmp_path: Path, write) -> None:
    write(tmp_path / "a.pdf", FEET, FOOT, 'SCALE: 1/4" = 1\'-0"', 0)
    scale = scale_of(tmp_path / "a.pdf")
    assert (scale.status, scale.ratio, scale.agrees) == ("proved", 48, ("bar",))
    write(tmp_path / "b.pdf", METRES, 72 / 0.0254 / 50, "SCALE 1:50", 0)
    scale = scale_of(tmp_path / "b.pdf")
    assert (scale.status, scale.ratio, scale.agrees) == ("proved", 50, ("bar",))
    write(tmp_path / "c.pdf", FEET, FOOT * 0.94, 'SCALE: 1/4" = 1\'-0"', 0)
    assert scale_of(tmp_path / "c.pdf").status == "conflict"


@pytest.mark.parametrize("rotate", [90, 180, 270])
@pytest.mark.parametrize("write", [by_reportlab, by_fpdf])
def test_bars_on_turned_pages(tmp_path: Path, write, rotate: int) -> None:
    write(tmp_path / "a.pdf", FEET, FOOT, "", rotate)
    (bar,) = find_bars(read_sheet(tmp_path / "a.pdf", 1))
    assert bar.ratio == pytest.approx(48, rel=0.002)

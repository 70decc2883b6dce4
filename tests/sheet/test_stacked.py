"""Fractions set as two small figures, as plotted text has them, and pairs of figures that are none."""

from __future__ import annotations

from pathlib import Path

import pytest
from reportlab.pdfgen.canvas import Canvas

from cordpath.model import Drawing, Word
from cordpath.scale import prove_scales
from cordpath.sheet import read_sheet
from cordpath.sheet.text.stacked import with_fractions

PARTS = list[str | tuple[str, str]]
FACE = "Helvetica"


def fraction(page: Canvas, x: float, y: float, figures: tuple[str, str], size: float, slanted: bool) -> float:
    """Draw it; gives its width."""
    upper, lower = figures
    small = 0.7 * size
    page.setFont(FACE, small)
    one, two = (page.stringWidth(text, FACE, small) for text in figures)
    page.setLineWidth(0.4)
    if slanted:
        page.drawString(x, y + 0.35 * size, upper)
        page.line(x + one - 1, y - 1, x + one + 3, y + size)
        page.drawString(x + one + 2, y - 1, lower)
        return one + 2 + two
    wide = max(one, two)
    page.drawCentredString(x + wide / 2, y + 0.45 * size, upper)
    page.drawCentredString(x + wide / 2, y - 0.35 * size, lower)
    page.line(x, y + 0.35 * size, x + wide, y + 0.35 * size)
    return wide


def write(page: Canvas, x: float, y: float, parts: PARTS, size: float, slanted: bool) -> None:
    for part in parts:
        if isinstance(part, tuple):
            x += fraction(page, x, y, part, size, slanted)
        else:
            page.setFont(FACE, size)
            page.drawString(x, y, part)
            x += page.stringWidth(part, FACE, size)


def plan(path: Path, slanted: bool, turned: bool) -> None:
    """A plan with three dimensions, the second with sixteenths; all but the note may stand turned."""
    page = Canvas(str(path), pagesize=(1224, 1224))
    page.setFont("Helvetica-Bold", 12)
    page.drawString(200, 100, "FLOOR PLAN")
    write(page, 200, 82, ["SCALE: ", ("1", "4"), '" = 1\'-0"'], 9, slanted)
    page.saveState()
    if turned:
        page.translate(1000, 0)
        page.rotate(90)
    page.setLineWidth(2)
    page.rect(300, 300, 600, 300)
    page.line(500, 300, 500, 600)
    page.setLineWidth(0.4)
    ends = [300.0, 300 + 18 * 11.28125, 300 + 18 * 20.734375, 900.0]
    texts: list[PARTS] = [["11'-3", ("3", "8"), '"'], ["9'-5", ("7", "16"), '"'], ["12'-7", ("3", "16"), '"']]
    for a, b, parts in zip(ends, ends[1:], texts, strict=False):
        page.line(a, 630, b, 630)
        for end in (a, b):
            page.line(end, 610, end, 636)
            page.line(end - 3, 627, end + 3, 633)
        write(page, (a + b) / 2 - 18, 634, parts, 8, slanted)
    page.restoreState()
    page.save()


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize("slanted", [False, True])
def test_lengths_and_notes_with_stacked_fractions(tmp_path: Path, slanted: bool, turned: bool) -> None:
    plan(tmp_path / "t.pdf", slanted, turned)
    sheet = read_sheet(tmp_path / "t.pdf", 1)
    assert {"3/8", "7/16", "3/16", "1/4"} <= {word.text for word in sheet.words}
    (scale,) = prove_scales(sheet, Drawing())
    assert scale.status == "proved", scale
    assert scale.ratio == pytest.approx(48)
    dimension = next(e for e in scale.evidence if e.source == "dimension")
    assert dimension.count == 3
    assert dimension.ratio == pytest.approx(48, rel=5e-4)


def word(text: str, x: float, y: float, line: int, size: float = 6.0) -> Word:
    return Word(text, (x, y - size / 2, x + 0.55 * size * len(text), y + size / 2), 0.0, size, line)


@pytest.mark.parametrize(
    "words",
    [
        (word("1", 100, 100, 1), word("4", 100, 106, 2)),  # no host: circuits above each other
        (word("3", 100, 100, 1), word("5", 100, 106, 2), word('"', 104, 103, 3)),  # no fraction of an inch
        (word("4", 100, 100, 1), word("8", 100, 106, 2), word('"', 104, 103, 3)),  # nobody writes 4/8
        (word("1", 100, 100, 1), word("4", 100, 130, 2), word('"', 104, 103, 3)),  # far below
        (word("1", 100, 100, 1), word("4", 100, 106, 2), word('"', 140, 103, 3)),  # its inch mark is far away
    ],
)
def test_pairs_of_figures_that_are_no_fraction(words: tuple[Word, ...]) -> None:
    assert with_fractions(words) == words

"""Symbols that are characters of a font of symbols are ink, and letters that stand alone are not."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import matplotlib
import numpy as np
import pytest
import shapely
import shapely.affinity
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from PIL import Image
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from cordpath.model import Sheet
from cordpath.sheet import read_sheet

Maker = Callable[..., Path]
LETTERS = Path(matplotlib.get_data_path()) / "fonts/ttf/DejaVuSans.ttf"
CIRCLE = shapely.Point(500, 300)
RECEPTACLE = shapely.union_all([
    CIRCLE.buffer(300).difference(CIRCLE.buffer(262)),
    shapely.box(370, 40, 408, 790),
    shapely.box(592, 40, 630, 790),
])  # fmt: skip
PLACES = ((60, 60), (200, 60), (60, 160), (200, 160))


def _font(path: Path, code: int, name: str = "Invented") -> Path:
    pen = TTGlyphPen(None)
    for ring in (RECEPTACLE.exterior, *RECEPTACLE.interiors):
        first, *others = [(round(x), round(y)) for x, y in ring.coords[:-1]]
        pen.moveTo(first)
        for point in others:
            pen.lineTo(point)
        pen.closePath()
    font = FontBuilder(1000, isTTF=True)
    font.setupGlyphOrder([".notdef", "its"])
    font.setupCharacterMap({code: "its"})
    font.setupGlyf({".notdef": TTGlyphPen(None).glyph(), "its": pen.glyph()})
    font.setupHorizontalMetrics({".notdef": (1000, 0), "its": (1000, 0)})
    font.setupHorizontalHeader(ascent=800, descent=-200)
    font.setupNameTable({"familyName": f"{name}{code}", "styleName": "Regular", "psName": f"{name}{code}"})
    font.setupOS2()
    font.setupPost()
    font.save(path)
    return path


def sheet(folder: Path, font: Path, text: str, size: float = 16) -> Sheet:
    pdfmetrics.registerFont(TTFont(folder.name, str(font)))
    page = Canvas(str(folder / "a.pdf"), pagesize=(600, 300))
    page.line(300, 20, 300, 200)
    page.setFont(folder.name, size)
    for x, y in PLACES:
        page.drawString(x, y, text)
    page.save()
    return read_sheet(folder / "a.pdf", 1)


@pytest.mark.parametrize("code", ["A", "4", "\ue001"])
def test_symbols_of_a_font_are_ink(code: str, tmp_path: Path) -> None:
    """Every outlet was lost, for a letter A that was read for certain."""
    got = sheet(tmp_path, _font(tmp_path / "font.ttf", ord(code)), code)
    wanted = {(x + 8, 300 - y - 0.3 * 16) for x, y in PLACES}
    assert len(got.fills) == 4 and len(got.strokes) > 100
    assert all(any(fill.bounds[0] < x < fill.bounds[2] and fill.bounds[1] < y < fill.bounds[3]
                   for fill in got.fills.shape) for x, y in wanted)  # fmt: skip
    assert all(word.confidence < 0.8 for word in got.words)
    assert any("4 symbols are characters of a font" in said for said in got.assumptions)


@pytest.mark.parametrize(
    "frame", [(16, 0, 0, -16), (0, 16, 16, 0), (-16, 0, 0, 16), (0, 16, -16, 0), (24, 0, 0, 12), (16, 0, 6, 16)]
)
def test_symbols_of_a_font_lie_as_they_are_shown(frame: tuple[float, ...], tmp_path: Path) -> None:
    """Mirrored ones, as of a program whose y runs down, lay on the other side of their wall: in the next room."""
    pdfmetrics.registerFont(TTFont("frames", str(_font(tmp_path / "font.ttf", ord("A")))))
    page = Canvas(str(tmp_path / "a.pdf"), pagesize=(600, 300))
    page.line(300, 20, 300, 200)
    for x, y in PLACES:
        text = page.beginText()
        text.setFont("frames", 1)
        text.setTextTransform(*frame, x, y)
        text.textOut("A")
        page.drawText(text)
    page.save()
    got = read_sheet(tmp_path / "a.pdf", 1).fills.shape
    a, b, c, d = (n / 1000 for n in frame)
    glyph = shapely.affinity.translate(RECEPTACLE, -RECEPTACLE.bounds[0])  # its font says that it begins at once
    wanted = [shapely.affinity.affine_transform(glyph, (a, c, -b, -d, x, 300 - y)) for x, y in PLACES]
    for its in wanted:
        assert min(np.abs(np.subtract(each.bounds, its.bounds)).max() for each in got) < 0.1


def test_symbols_of_a_font_lie_over_a_picture_that_is_painted_before_them(tmp_path: Path) -> None:
    """With no line between the two they were put under it, and hidden."""
    pdfmetrics.registerFont(TTFont("over", str(_font(tmp_path / "font.ttf", ord("A")))))
    page = Canvas(str(tmp_path / "a.pdf"), pagesize=(600, 300))
    page.drawInlineImage(Image.new("RGB", (8, 8), "white"), 20, 20, 250, 200)
    page.setFont("over", 16)
    for x, y in PLACES:
        page.drawString(x, y, "A")
    page.line(300, 20, 300, 200)
    page.save()
    strokes = read_sheet(tmp_path / "a.pdf", 1).strokes
    assert (strokes.ink() & (strokes.xy[:, 0] < 280)).sum() > 100


@pytest.mark.parametrize(("size", "shift"), [(19, 0), (13, 1.5), (5, 3)])
def test_symbols_of_a_font_may_stand_one_over_another(tmp_path: Path, size: float, shift: float) -> None:
    """The circles of LaTeX are glyphs, each begun at its middle or at its side; a light has one within another, and
    drains are small: a font of which a quarter did so was one of letters, and a sheet without outlets skipped."""
    pdfmetrics.registerFont(TTFont("circles", str(_font(tmp_path / "font.ttf", ord("w")))))
    page = Canvas(str(tmp_path / "a.pdf"), pagesize=(600, 300))
    page.line(300, 20, 300, 200)
    for x, y in PLACES:
        page.setFont("circles", 16)
        page.drawString(x, y, "w")
        page.setFont("circles", size)
        page.drawString(x + shift, y + shift / 2, "w")
    page.save()
    got = read_sheet(tmp_path / "a.pdf", 1)
    assert len(got.fills) == (4 if size == 5 else 8)


def test_circles_of_a_font_of_circles_are_no_letters(tmp_path: Path) -> None:
    """Each was a W read with doubt, and the outlet asked whether it serves a washer."""
    got = sheet(tmp_path, _font(tmp_path / "font.ttf", ord("w"), "LCIRCLE"), "w")
    assert len(got.fills) == 4 and not got.words


@pytest.mark.parametrize("text", ["S", "GFI", "3", "I", "WP A"])
def test_letters_are_none(text: str, tmp_path: Path) -> None:
    got = sheet(tmp_path, LETTERS, text, 9)
    assert len(got.strokes) == 1 and not len(got.fills)
    assert not got.assumptions


def test_symbols_that_stand_in_words_are_a_text_in_cipher(tmp_path: Path) -> None:
    got = sheet(tmp_path, _font(tmp_path / "font.ttf", ord("B")), "BBBB", 9)
    assert len(got.strokes) == 1 and not len(got.fills)


@pytest.mark.parametrize("mode", [0, 1])
def test_circles_that_are_signs_of_zapf_dingbats_are_drawn(make: Maker, mode: int) -> None:
    """So the graphics of R write small circles (grDevices, ``pdf(useDingbats = TRUE)``): outlined ones were read as
    solid, and each as the letter G.  Its disc is .72 of the size across (measured on its outline)."""
    names = (("F", "Helvetica"), ("Z", "ZapfDingbats"))
    font = "/Font<<" + "".join(f"/{key}<</Type/Font/Subtype/Type1/BaseFont/{its}>>" for key, its in names) + ">>"
    size = 2 / 0.722 * 5.5
    content = "BT /F 8 Tf 20 80 Td (GFI) Tj ET .75 w "
    for x in (40, 80, 120, 160):
        at = f"{x - 0.396 * size} {50 - 0.347 * size}"
        content += f"BT /Z 1 Tf {mode} Tr {size} 0 0 {size} {at} Tm (l) Tj 0 Tr ET {x - 2} 41 m {x - 2} 59 l S "
    got = read_sheet(make(content, resources=font), 1)
    assert [word.text for word in got.words] == ["GFI"]
    assert len(got.fills) == (0 if mode else 4)
    if mode:
        ring = got.strokes.take(got.strokes.path == got.strokes.path[0])
        assert ring.width == pytest.approx(0.75)
        assert np.hypot(*(ring.xy[:, :2] - (40, 50)).T) == pytest.approx(5.5, abs=0.15)


def test_symbols_of_a_font_that_says_no_letters_are_no_lettering(make: Maker) -> None:
    """As Ghostscript writes the symbols of a PostScript file (Type 3): the circles of lights and outlets were lines
    of text that could not be read, and what stood beside them was asked about; one with an area had no lines."""
    bow = "c ".join(
        f"{7 * c} {7 * s} {7 * e} {7 * f} {7 * g} {7 * h} "
        for c, s, e, f, g, h in ((1, .55, .55, 1, 0, 1), (-.55, 1, -1, .55, -1, 0), (-1, -.55, -.55, -1, 0, -1),
                                 (.55, -1, 1, -.55, 1, 0))
    )  # fmt: skip
    glyph = f"20 0 -10 -10 10 10 d1 [] 0 d .8 w 10 M 0 J 0 j 7 0 m {bow}c S -10 0 m 10 0 l S 0 7 m 7 0 l 0 -7 l f"
    font = (
        "<</Type/Font/Subtype/Type3/FontBBox[-10 -10 10 10]/FontMatrix[1 0 0 1 0 0]/FirstChar 65/LastChar 65"
        "/Widths[20]/CharProcs<</duplex 6 0 R>>/Encoding<</Differences[65/duplex]>>>>"
    )
    content = "".join(f"BT /T 1 Tf 1 0 0 1 {x} 50 Tm (A) Tj ET " for x in (30, 70, 110, 150))
    path = make(
        "BT /F 8 Tf 20 80 Td (GFI) Tj ET " + content, resources="/XObject<<>>", objects=(font, ("<<>>", glyph))
    )
    path.write_bytes(path.read_bytes().replace(b"/Font<</F ", b"/Font<</T 5 0 R/F "))
    got = read_sheet(path, 1)
    assert [word.text for word in got.words] == ["GFI"]
    assert len(got.strokes) > 40 and len(got.fills) == 4 and not got.unread_at
    assert not any("do not say what their letters are" in said for said in got.assumptions)

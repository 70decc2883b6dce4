"""Fonts whose maps say other letters than they draw settle nothing; ornate fonts are believed."""

from __future__ import annotations

import re
from pathlib import Path

import matplotlib
import numpy as np
import pikepdf
import pymupdf
import pytest

from cordpath.sheet import read_sheet
from cordpath.sheet.text.around_text import showings
from cordpath.sheet.text.font_maps import LETTERS, compared, denied, judged
from cordpath.sheet.text.glyph_outlines import ShownFont, outline
from vera_page import VERA, vera_page

PLOTTED = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
OPEN_FONTS = (
    *(VERA.with_name(f"{name}.ttf") for name in ("Vera", "VeraBI")),
    *(
        PLOTTED / f"{name}.ttf"
        for name in ("DejaVuSerif-Italic", "DejaVuSansMono", "STIXGeneralBol", "cmtt10", "cmti10")
    ),
)


def drawn(path: Path, *texts: str) -> Path:
    return vera_page(path, texts, (400, 300))


def said(path: Path, others: dict[str, str]) -> Path:
    """The same drawing, whose maps, or whose names of glyphs, say other letters."""
    told = path.with_name("told.pdf")
    with pikepdf.open(path) as document:
        for entry in document.objects:
            if isinstance(entry, pikepdf.Dictionary) and "/ToUnicode" in entry:
                entry.ToUnicode.write(_told(entry.ToUnicode.read_bytes(), others))
            elif isinstance(entry, pikepdf.Dictionary) and entry.get("/Subtype") == "/Type3":
                _renamed(entry, others)
        document.save(told)
    return told


def _told(cmap: bytes, others: dict[str, str]) -> bytes:
    """A CMap with its ranges as single codes."""
    codes: dict[bytes, int] = {}
    for low, high, first in re.findall(rb"<(\w+)> *<(\w+)> *\[?<(\w+)>", cmap):
        for code in range(int(low, 16), int(high, 16) + 1):
            codes[b"%0*X" % (len(low), code)] = int(first, 16) + code - int(low, 16)
    for some in re.findall(rb"beginbfchar(.*?)endbfchar", cmap, re.DOTALL):
        codes |= {code: int(letter, 16) for code, letter in re.findall(rb"<(\w+)> *<(\w+)>", some)}
    assert codes
    digits = len(next(iter(codes)))
    lines = [b"<%s> <%04X>" % (code, ord(others.get(chr(letter), chr(letter)))) for code, letter in codes.items()]
    return (
        b"/CIDInit /ProcSet findresource begin 12 dict begin begincmap /CMapType 2 def\n"
        b"1 begincodespacerange <%s> <%s> endcodespacerange\n"
        % (b"0" * digits, b"F" * digits)
        + b"%d beginbfchar\n%s\nendbfchar\nendcmap end end" % (len(lines), b"\n".join(lines))
    )


def _renamed(font: pikepdf.Dictionary, others: dict[str, str]) -> None:
    procedures = font.CharProcs
    font.CharProcs = pikepdf.Dictionary({f"/{others.get(k[1:], k[1:])}": v for k, v in procedures.items()})
    font.Encoding.Differences = pikepdf.Array([
        pikepdf.Name(f"/{others.get(str(each)[1:], str(each)[1:])}") if isinstance(each, pikepdf.Name) else each
        for each in font.Encoding.Differences
    ])  # fmt: skip


def turned(truth: str, lie: str) -> dict[str, str]:
    return dict(zip(truth, lie, strict=True))


def test_the_drawing_is_read_as_its_map_says(tmp_path: Path) -> None:
    sheet = read_sheet(said(drawn(tmp_path / "a.pdf", "GFI", "KITCHEN"), {}), 1)
    assert {word.text: word.confidence for word in sheet.words} == {"GFI": 1.0, "KITCHEN": 1.0, "PANTRY": 1.0}
    assert not sheet.unread_at and not sheet.assumptions


@pytest.mark.parametrize("shown", ["SWB", "DWH", "RAM"])
def test_a_font_that_says_gfi_of_other_letters_is_not_believed(shown: str, tmp_path: Path) -> None:
    sheet = read_sheet(said(drawn(tmp_path / "a.pdf", shown), turned(shown, "GFI")), 1)
    assert [word.text for word in sheet.words] == ["PANTRY"]
    assert sheet.unread_at == (pytest.approx((60, 48), abs=6),)
    assert any("against what they show" in each for each in sheet.assumptions)


def test_a_map_shifted_by_one_is_not_believed(tmp_path: Path) -> None:
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    path = drawn(tmp_path / "a.pdf", "KITCHEN", "MASTER BEDROOM", "LAUNDRY")
    sheet = read_sheet(said(path, turned(letters, letters[1:] + "A")), 1)
    assert {word.text for word in sheet.words} == {"KITCHEN", "MASTER", "BEDROOM", "LAUNDRY", "PANTRY"}
    assert {word.origin for word in sheet.words if word.text != "PANTRY"} == {"outline"}  # as they are drawn


def test_one_letter_that_lies_makes_its_words_doubtful(tmp_path: Path) -> None:
    path = drawn(tmp_path / "a.pdf", "KITCHEN", "BEDROOM", "LAUNDRY", "WFI")
    sheet = read_sheet(said(path, {"W": "G"}), 1)
    sure = {word.text: word.confidence for word in sheet.words}
    assert sure.pop("GFI") < 0.8 and set(sure.values()) == {1.0}
    assert any("such as GFI" in each for each in sheet.assumptions)


def test_letters_that_are_not_drawn_settle_nothing(tmp_path: Path) -> None:
    """A glyph without an outline: the word is said, and nothing is to be seen."""
    path = drawn(tmp_path / "a.pdf", "GFI")
    with pikepdf.open(path, allow_overwriting_input=True) as document:
        file = next(each.FontFile2 for each in document.objects
                    if isinstance(each, pikepdf.Dictionary) and "/FontFile2" in each)  # fmt: skip
        file.write(_blanked(file.read_bytes(), tmp_path / "font.ttf"))
        document.save(path)
    word = next(word for word in read_sheet(path, 1).words if word.text == "GFI")
    assert word.confidence < 0.8


def _blanked(font: bytes, at: Path) -> bytes:
    from fontTools.ttLib import TTFont as Tables
    from fontTools.ttLib.tables._g_l_y_f import Glyph

    at.write_bytes(font)
    tables = Tables(at)
    for name in tables.getGlyphOrder():
        tables["glyf"][name] = Glyph()
    tables.save(at)
    return at.read_bytes()


@pytest.mark.parametrize("kind", [3, 42])
def test_type_3_and_truetype_of_one_font_are_read_alike(kind: int, tmp_path: Path) -> None:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(4, 3))
    figure.text(0.1, 0.5, "GFI KITCHEN")
    with matplotlib.rc_context({"pdf.fonttype": kind}):
        figure.savefig(tmp_path / "a.pdf")
    with pymupdf.open(tmp_path / "a.pdf") as document:
        against = denied(showings(document[0]).fonts)
        assert not against.fonts and not against.glyphs
    with pymupdf.open(said(tmp_path / "a.pdf", turned("GFIKTCHEN", "WPXBEDROM"))) as document:
        assert {name[:6] for name in denied(showings(document[0]).fonts).fonts} == {"dejavu"}


@pytest.mark.parametrize("path", OPEN_FONTS, ids=[path.stem for path in OPEN_FONTS])
def test_open_fonts_are_believed_and_their_lies_are_not(path: Path) -> None:
    font = pymupdf.Font(fontfile=str(path)).this
    has = [letter for letter in sorted(LETTERS) if pymupdf.mupdf.fz_encode_character(font, ord(letter))]
    glyphs = [pymupdf.mupdf.fz_encode_character(font, ord(letter)) for letter in has]
    honest = ShownFont(
        path.stem, font, tuple((glyph, ord(letter)) for glyph, letter in zip(glyphs, has, strict=True))
    )
    liar, wrong, alike = judged(honest)
    assert not liar and len(wrong) <= 1 and alike
    shifted = tuple((glyph, ord(letter)) for glyph, letter in zip(glyphs, has[5:] + has[:5], strict=True))
    assert judged(ShownFont(path.stem, font, shifted))[0]


def test_look_alikes_and_small_capitals_are_no_lies() -> None:
    font = pymupdf.Font(fontfile=str(VERA)).this
    shapes = [outline(font, pymupdf.mupdf.fz_encode_character(font, ord(letter)))[0] for letter in "OKITCHEN"]
    against, borne_out = compared(shapes, np.ones(8, bool), list("0kitchen"))
    assert not against.any() and borne_out.all()

"""Text in fonts that do not say what their letters are is lettering that could not be read, never words."""

from __future__ import annotations

from pathlib import Path

import pikepdf
import pytest

from cordpath.model import Word
from cordpath.sheet import read_sheet
from cordpath.sheet.text.legible import legible


def made_up(path: Path, first: int, text: str) -> Path:
    """A page with Helvetica words and with ``text`` in a Type 3 font that says its letters are the characters from
    ``first`` on: Ghostscript does so with text that went through PostScript (glyphs a1, a2 pass for dingbats)."""
    pdf = pikepdf.new()
    letters = sorted(set(text.replace(" ", "")))
    square = pdf.make_stream(b"600 0 0 0 500 700 d1 0 0 500 700 re f")
    glyphs = {f"/a{i}": square for i in range(len(letters))}
    differences = pikepdf.Array([33, *[pikepdf.Name(name) for name in glyphs]])
    font = pikepdf.Dictionary(
        Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type3, FontBBox=[0, 0, 600, 700],
        FontMatrix=[0.001, 0, 0, 0.001, 0, 0], CharProcs=pikepdf.Dictionary(glyphs), FirstChar=33,
        LastChar=32 + len(letters), Widths=[600] * len(letters),
        Encoding=pikepdf.Dictionary(Type=pikepdf.Name.Encoding, Differences=differences),
    )  # fmt: skip
    says = "".join(f"<{33 + i:02x}> <{first + i:04x}>\n" for i in range(len(letters)))
    head = "begincmap 1 begincodespacerange <00> <ff> endcodespacerange"
    font.ToUnicode = pdf.make_stream(f"{head} {len(letters)} beginbfchar\n{says}endbfchar endcmap".encode())
    helvetica = pikepdf.Dictionary(
        Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica
    )
    shown = b"".join(
        b"BT /T 8 Tf 20 %d Td <%s> Tj ET\n"
        % (180 - 20 * i, bytes(33 + letters.index(c) for c in word).hex().encode())
        for i, word in enumerate(text.split())
    )
    page = pdf.add_blank_page(page_size=(300, 200))
    page.Resources = pikepdf.Dictionary(Font=pikepdf.Dictionary(T=font, F=helvetica))
    page.Contents = pdf.make_stream(shown + b"BT /F 8 Tf 150 100 Td (KITCHEN) Tj ET")
    pdf.save(path)
    return path


@pytest.mark.parametrize("first", [0x2701, 0xE000])
def test_made_up_letters_are_no_words(tmp_path: Path, first: int) -> None:
    sheet = read_sheet(made_up(tmp_path / "a.pdf", first, "MASTER BEDROOM CLOSET GFI"), 1)
    assert [word.text for word in sheet.words] == ["KITCHEN"]
    assert len(sheet.unread_at) == 4
    assert sheet.unread_at[0] == pytest.approx((20 + 6 * 8 * 0.6 / 2, 18), abs=4)
    assert any("fonts that do not say what their letters are" in said for said in sheet.assumptions)


def word(text: str, font: str, line: int = 0) -> Word:
    return Word(text, (0, 0, 10, 10), 0.0, 8.0, line, font)


def test_bullets_and_check_marks_are_no_mute_font() -> None:
    words = (word("\u2713", "Dingbats"), word("\u2717\u2713", "Dingbats"), word("BATH", "Helvetica"))
    assert legible(words) == (words, ())


def test_a_font_that_says_nearly_all_its_letters_is_kept() -> None:
    words = tuple(word(text, "Arial", i) for i, text in enumerate(["KITCHEN", "\ufffdATH", "BEDROOM", "\ue000"]))
    assert legible(words) == (words, ())


SIGNS = "\u2701\u2702\u2703\u2704"


@pytest.mark.parametrize(("font", "suspects", "liars", "text"), [
    ("Signs", frozenset(), frozenset(), SIGNS),
    ("Cipher", frozenset({"cipher"}), frozenset(), ".,7&+(1"),
    ("Liar", frozenset(), frozenset({"liar"}), "KITCHEN"),
])  # fmt: skip
def test_each_kind_of_mute_font_alone_is_taken_out(
    font: str, suspects: frozenset[str], liars: frozenset[str], text: str
) -> None:
    bath = word("BATH", "Helvetica", 1)
    assert legible((word(text, font), bath), suspects, liars) == ((bath,), ((5, 5),))

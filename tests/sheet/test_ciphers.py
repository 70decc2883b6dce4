"""Fonts that do not say which letters their codes are: what they say decides, and no cipher is a word."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pikepdf
import pymupdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cordpath.model import Word
from cordpath.sheet import read_sheet
from cordpath.sheet.text.ciphers import _says_letter, makes_sense, plain
from cordpath.sheet.text.legible import legible
from vera_page import VERA, vera_page

TEXTS = ("KITCHEN", "MASTER BEDROOM", "GFI", "WP", "LAUNDRY", "A-12", "GARAGE", "G")


def by_number(path: Path) -> Path:
    """A subset font whose codes are the numbers of its glyphs, beside Helvetica."""
    document = pymupdf.open()
    page = document.new_page(width=800, height=600)
    for k, text in enumerate(TEXTS):
        page.insert_text((50, 100 + 20 * k), text, fontsize=9, fontname="VR", fontfile=str(VERA))
    page.insert_text((400, 100), "PANTRY", fontsize=9, fontname="helv")
    document.subset_fonts()
    document.save(path)
    return path


def subset(path: Path) -> Path:
    return vera_page(path, TEXTS, (800, 600))


def letters(path: Path, own: bool) -> Path:
    """A Type 3 font whose glyphs are called A, B, C in the order of use; ``own``: it is an object of its own."""
    pdf = pikepdf.new()
    used = "".join(dict.fromkeys("".join(TEXTS).replace(" ", "")))
    square = pdf.make_stream(b"600 0 0 0 500 700 d1 0 0 500 700 re f")
    names = [f"/{chr(65 + i)}" for i in range(len(used))]
    font = pikepdf.Dictionary(
        Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type3, FontBBox=[0, 0, 600, 700],
        FontMatrix=[0.001, 0, 0, 0.001, 0, 0], CharProcs=pikepdf.Dictionary(dict.fromkeys(names, square)),
        FirstChar=65, LastChar=64 + len(used), Widths=[600] * len(used),
        Encoding=pikepdf.Dictionary(
            Type=pikepdf.Name.Encoding, Differences=pikepdf.Array([65, *map(pikepdf.Name, names)])
        ),
    )  # fmt: skip
    helvetica = pikepdf.Dictionary(
        Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica
    )
    code = {letter: chr(65 + i) for i, letter in enumerate(used)}
    shown = "".join(
        f"BT /T 9 Tf 50 {500 - 20 * k} Td ({''.join(code.get(c, ' ') for c in text)}) Tj ET\n"
        for k, text in enumerate(TEXTS)
    )
    page = pdf.add_blank_page(page_size=(800, 600))
    page.Resources = pikepdf.Dictionary(
        Font=pikepdf.Dictionary(T=pdf.make_indirect(font) if own else font, F=helvetica)
    )
    page.Contents = pdf.make_stream((shown + "BT /F 9 Tf 400 500 Td (PANTRY) Tj ET").encode())
    pdf.save(path)
    return path


def without_map(path: Path) -> Path:
    bare = path.with_name("bare.pdf")
    with pikepdf.open(path) as document:
        for entry in document.objects:
            if isinstance(entry, pikepdf.Dictionary) and "/ToUnicode" in entry:
                del entry.ToUnicode
        document.save(bare)
    return bare


@pytest.mark.parametrize("draw", [by_number, subset])
def test_with_their_map_all_are_read(draw: Callable[[Path], Path], tmp_path: Path) -> None:
    sheet = read_sheet(draw(tmp_path / "a.pdf"), 1)
    assert {word.text for word in sheet.words} == {"PANTRY", *(part for text in TEXTS for part in text.split())}
    assert not sheet.unread_at


def test_a_font_that_says_nothing_is_read_as_it_is_drawn(tmp_path: Path) -> None:
    """Every room and label of such a plan was unread, though its letters are drawn as plainly as outlines."""
    sheet = read_sheet(without_map(by_number(tmp_path / "a.pdf")), 1)
    parts = {part for text in TEXTS for part in text.split()}
    assert {word.text for word in sheet.words} == {"PANTRY", *parts} and not sheet.unread_at
    assert {word.origin for word in sheet.words if word.text in parts} == {"outline"}


@pytest.mark.parametrize("draw", [lambda path: letters(path, True), lambda path: letters(path, False)])
def test_a_cipher_is_no_word_and_its_places_are_told(draw: Callable[[Path], Path], tmp_path: Path) -> None:
    sheet = read_sheet(without_map(draw(tmp_path / "a.pdf")), 1)
    assert [word.text for word in sheet.words] == ["PANTRY"]
    assert len(sheet.unread_at) == len(TEXTS)
    assert any("fonts that do not say what their letters are" in said for said in sheet.assumptions)


def test_codes_that_are_letters_are_read_without_a_map(tmp_path: Path) -> None:
    sheet = read_sheet(without_map(subset(tmp_path / "a.pdf")), 1)
    assert {"KITCHEN", "GFI", "PANTRY", "G"} <= {word.text for word in sheet.words} and not sheet.unread_at


@pytest.mark.parametrize(
    ("name", "says"),
    [("quoteright", True), ("degree", True), ("onehalf", True), ("hyphen", True), ("A", True), ("fi", True),
     ("uni0041", True), ("u00B0", True), ("one.oldstyle", True), (".notdef", True), ("a12", False), ("a45", False),
     ("g34", False), ("G07", False), ("cid_34", False), ("glyph45", False), ("SF02", False), ("uniE001", False)],
)  # fmt: skip
def test_names_of_glyphs_that_tell_letters(name: str, says: bool) -> None:
    """An apostrophe by its usual name made a font a suspect: 56 lines of a plan were given up.
    Source of the names: Adobe Glyph List for New Fonts 1.7 and the specification beside it."""
    assert _says_letter(name) is says


def word(text: str, line: int = 0, font: str = "ABCDEF+Arial Narrow") -> Word:
    return Word(text, (0, 0, 10, 10), 0.0, 8.0, line, font)


def test_names_of_fonts_are_compared_as_readers_spell_them() -> None:
    assert plain("ABCDEF+Arial-Narrow") == plain("Arial Narrow") == "arialnarrow"


def test_figures_make_sense_and_names_among_words_of_plans_too() -> None:
    assert makes_sense([word("12'-6\""), word("3'-0\"")])
    assert makes_sense([word("KITCHEN"), word("SMITHERS"), word("QUARRYWAY")])
    assert not makes_sense([word(".,7&+(1"), word("*),")]) and not makes_sense([word("*")])


@given(st.lists(st.text(st.characters(min_codepoint=33, max_codepoint=126), min_size=1), max_size=9))
def test_words_are_kept_whole_or_told(texts: list[str]) -> None:
    words = tuple(word(text, k) for k, text in enumerate(texts))
    kept, places = legible(words, frozenset({"arialnarrow"}))
    assert (kept == words and not places) or (not kept and len(places) == len(words))

"""Fonts whose codes are no letters by themselves, and that say nowhere which letters they are.

A PDF shows glyphs by codes.  Which letters they are is told by a ToUnicode map, by a standard encoding or by the
usual names of glyphs; a subset font may lack all three, and a reader then takes the codes for letters: KITCHEN
comes out as ``.,7&+(1``.  Many such fonts still count their codes as letters are counted, so what they say decides:
words of plans, or none.

Terms: *suspect*, a font that says nowhere what its letters are; *sense*, words that plans have, and figures.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

import pymupdf
from pymupdf import mupdf

from cordpath.model import Word
from cordpath.sheet.lettering.grammar import vocabulary

STANDARD = frozenset({"WinAnsiEncoding", "MacRomanEncoding", "StandardEncoding"})
SUBSET = re.compile(r"[A-Z]{6}\+")
SYMBOLIC = 4  # flag of a font descriptor (ISO 32000-1, table 123)
CODE = re.compile(r"u(?:ni)?([0-9A-F]{4,6})")
LIGATURES = range(0xFB00, 0xFB07)
DINGBATS = 0x2600  # names like a12 are taken for these and mean nothing
FIGURES = re.compile(r"[#+±]?\d[\d'\"′″.,/:x°%-]*[A-Z]{0,2}")  # dimensions, circuits, ratings, dates
MAKES_SENSE = 0.3  # share of the words; of real plans' text half and more is of the trade, of a cipher by chance
NAME = 31  # letters of a font's name that MuPDF keeps with its text; fonts of Type 3 it calls by their object
WORTH_ASKING = 2  # letters; single ones say nothing either way


def suspects(page: pymupdf.Page) -> frozenset[str]:
    """Plain names (:func:`plain`) of the page's fonts that say nowhere what their letters are."""
    document = pymupdf._as_pdf_document(page.parent)
    found = set()
    for number, _, kind, name, _, encoding, *_ in page.get_fonts(full=True):
        if number > 0:
            silent = _silent(mupdf.pdf_load_object(document, number), name)
        else:  # written into the page itself, out of reach
            silent = kind == "Type3" or encoding.startswith("Identity")
        if silent:
            found |= {plain(name[:NAME]), plain(f"Type3 ({number} 0 R)")}
    return frozenset(found)


def plain(name: str) -> str:
    """A font's name without its subset's tag, as writers and readers spell it alike."""
    return re.sub(r"[^a-z0-9]", "", SUBSET.sub("", name).lower())


def makes_sense(words: Iterable[Word]) -> bool:
    """Is enough of it written in words of plans and in figures."""
    asked = [word.text.upper() for word in words if len(word.text) >= WORTH_ASKING]
    return bool(asked) and sum(map(_known, asked)) >= MAKES_SENSE * len(asked)


def _known(text: str) -> bool:
    bare = text.strip(".,:;()*")
    book = vocabulary()
    return text in book or bare in book or FIGURES.fullmatch(bare) is not None


def _silent(font: mupdf.PdfObj, name: str) -> bool:
    if _has(font, "ToUnicode"):
        return False
    kind, encoding = _name(font, "Subtype"), mupdf.pdf_dict_gets(font, "Encoding")
    if kind == "Type0":
        return _by_number(font)
    if kind == "Type3":
        return True
    if mupdf.pdf_is_name(encoding):
        return mupdf.pdf_to_name(encoding) not in STANDARD
    if _has(encoding, "Differences"):
        return not all(map(_says_letter, _names(mupdf.pdf_dict_gets(encoding, "Differences"))))
    flags = mupdf.pdf_to_int(mupdf.pdf_dict_gets(mupdf.pdf_dict_gets(font, "FontDescriptor"), "Flags"))
    return _has(font, "FontDescriptor") and (SUBSET.match(name) is not None or bool(flags & SYMBOLIC))


def _by_number(font: mupdf.PdfObj) -> bool:
    """Are a composite font's codes just the numbers of its glyphs."""
    inner = mupdf.pdf_array_get(mupdf.pdf_dict_gets(font, "DescendantFonts"), 0)
    order = mupdf.pdf_dict_gets(mupdf.pdf_dict_gets(inner, "CIDSystemInfo"), "Ordering")
    return not order.m_internal or mupdf.pdf_to_text_string(order) in ("", "Identity")


def _names(array: mupdf.PdfObj) -> list[str]:
    entries = [mupdf.pdf_array_get(array, i) for i in range(mupdf.pdf_array_len(array))]
    return [mupdf.pdf_to_name(entry) for entry in entries if mupdf.pdf_is_name(entry)]


def _says_letter(name: str) -> bool:
    """Is it a name that tells a letter: of Adobe's list or by its code (uni0041), a form of it too (one.oldstyle).

    PyMuPDF's own list has only letters and figures: of a font with an apostrophe nothing was believed.
    """
    base = name.partition(".")[0]
    if not base:  # .notdef
        return True
    number = CODE.fullmatch(base)
    code = int(number[1], 16) if number else mupdf.fz_unicode_from_glyph_name_strict(base)
    return 0 < code < DINGBATS or code in LIGATURES


def _has(entries: mupdf.PdfObj, key: str) -> bool:
    if not entries.m_internal:
        return False
    entry = mupdf.pdf_dict_gets(entries, key)
    return bool(entry.m_internal) and not mupdf.pdf_is_null(entry)


def _name(entries: mupdf.PdfObj, key: str) -> str:
    return str(mupdf.pdf_to_name(mupdf.pdf_dict_gets(entries, key)))

"""What a file does by itself when it is opened or a page of it is shown: scripts, programs, addresses.

A marked copy goes to others under the reviewer's name, so it does none of that.  What a person has to click for is
left as it is and told.

Source: ISO 32000-2:2020, 7.7.2 (OpenAction, AA of the catalog), 7.7.4 (the JavaScript name tree), 12.6.3 and tables
197 to 200 (AA of pages and annotations), 12.6.4 (kinds of actions, S; Next).
"""

from __future__ import annotations

from collections.abc import Iterator

from pymupdf import mupdf

from cordpath.report.pdf.pdffile import PdfFile

ON_SHOWING = ("PO", "PC", "PV", "PI")  # an annotation's page is opened, closed, seen, not seen any more
HARMLESS = ("GoTo", "")  # shows a place of the file itself
CLICKED = ("JavaScript", "Launch", "SubmitForm", "ImportData")
CHAIN_MOST = 50  # actions that follow one another


def automatic_notes(pdf: PdfFile, take_out: bool) -> Iterator[str]:
    """Whole sentences for the user; ``take_out``: the file is open for a copy that may be changed so."""
    found = list(dict.fromkeys(_of_catalog(pdf, take_out)))
    clicked = 0
    for index in range(pdf.page_count):
        if pdf.sound(index):
            found += [kind for kind in _of_page(pdf, index, take_out) if kind not in found]
            clicked += sum(_is_clicked(annotation) for annotation in pdf.annotations(index))
    if found:
        copy = "the marked copy does not" if take_out else "so does the marked copy, for its seal permits no change"
        yield f"The file runs something by itself when it is opened or read ({', '.join(found)}); {copy}."
    if clicked:
        yield (
            f"Links or fields of the file ({clicked}) run a script or a program, or send data, when they are "
            "clicked; the marked copy has them too."
        )


def _of_catalog(pdf: PdfFile, take_out: bool) -> Iterator[str]:
    names = mupdf.pdf_dict_gets(pdf.catalog, "Names")
    opening = mupdf.pdf_dict_gets(pdf.catalog, "OpenAction")
    kinds = [kind for kind in _kinds(opening) if kind not in HARMLESS]
    yield from kinds
    if kinds:
        _drop(pdf.catalog, "OpenAction", take_out)
    yield from _of_events(pdf.catalog, take_out)
    if mupdf.pdf_is_dict(mupdf.pdf_dict_gets(names, "JavaScript")):
        yield "JavaScript"
        _drop(names, "JavaScript", take_out)


def _of_page(pdf: PdfFile, index: int, take_out: bool) -> Iterator[str]:
    yield from _of_events(pdf.entries(index), take_out)
    for annotation in pdf.annotations(index):
        events = mupdf.pdf_dict_gets(annotation, "AA")
        for key in ON_SHOWING:
            kinds = [kind for kind in _kinds(mupdf.pdf_dict_gets(events, key)) if kind not in HARMLESS]
            yield from kinds
            if kinds:
                _drop(events, key, take_out)


def _of_events(holder: mupdf.PdfObj, take_out: bool) -> Iterator[str]:
    """Whatever hangs on events of the file or of a page."""
    events = mupdf.pdf_dict_gets(holder, "AA")
    count = mupdf.pdf_dict_len(events) if mupdf.pdf_is_dict(events) else 0
    kinds = [kind for k in range(count) for kind in _kinds(mupdf.pdf_dict_get_val(events, k))]
    yield from (kind for kind in kinds if kind not in HARMLESS)
    if kinds:
        _drop(holder, "AA", take_out)


def _drop(holder: mupdf.PdfObj, key: str, take_out: bool) -> None:
    if take_out:
        mupdf.pdf_dict_dels(holder, key)


def _kinds(action: mupdf.PdfObj) -> Iterator[str]:
    """The kinds of an action and of those that follow it."""
    waiting, seen = [action], 0
    while waiting and seen < CHAIN_MOST:
        one, seen = waiting.pop(), seen + 1
        if mupdf.pdf_is_array(one):
            waiting += [mupdf.pdf_array_get(one, k) for k in range(min(mupdf.pdf_array_len(one), CHAIN_MOST))]
        elif mupdf.pdf_is_dict(one):
            yield str(mupdf.pdf_to_name(mupdf.pdf_dict_gets(one, "S")))[:20]
            waiting.append(mupdf.pdf_dict_gets(one, "Next"))


def _is_clicked(annotation: mupdf.PdfObj) -> bool:
    return any(kind in CLICKED for kind in _kinds(mupdf.pdf_dict_gets(annotation, "A")))

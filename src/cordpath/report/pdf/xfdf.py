"""The review marks as XFDF: a file beside the drawing that viewers import, for drawings that must stay untouched.

Taken from the marked copy, so that both say the same.  Coordinates are those of the page's user space, as in the
PDF.  Source: ISO 19444-1:2019 (elements xfdf, f, annots, polygon, polyline, freetext, text and their attributes;
pages count from 0).

The schedule's pages, which carry the cautions in the marked copy, do not go along: a note in the upper left corner
of the first page with marks tells them.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

from pymupdf import mupdf

from cordpath.model import Box
from cordpath.report.atomic import write_whole
from cordpath.report.pdf.annotate import AUTHOR, NAME
from cordpath.report.pdf.pdffile import PdfFile, open_copy
from cordpath.report.rows import CAUTIONS
from cordpath.report.xml_files import xml_text

NAMESPACE = "http://ns.adobe.com/xfdf/"  # fixed by the standard
ELEMENTS = {"Polygon": "polygon", "PolyLine": "polyline", "FreeText": "freetext", "Square": "square"}
POINTS = {"Polygon": "Vertices", "PolyLine": "Vertices"}
FLAGS = (
    (1, "invisible"),
    (2, "hidden"),
    (4, "print"),
    (8, "nozoom"),
    (16, "norotate"),
    (32, "noview"),
    (64, "readonly"),
)
CAUTIONS_NAME = "cordpath-cautions"
CORNER: Box = (6.0, 6.0, 24.0, 24.0)  # page coordinates of the note; viewers draw its icon in a size of their own


def write_xfdf(marked: Path, target: Path, drawing: str, password: str | None = None) -> int:
    """Write the marks of a marked copy for ``drawing``, the name of their file; returns how many there are.

    To be called where PDFs may be opened.  Raises OutputRefused, UnreadableFile, LockedFile.
    """
    ElementTree.register_namespace("", NAMESPACE)
    root = ElementTree.Element(_named("xfdf"), {"xml:space": "preserve"})
    ElementTree.SubElement(root, _named("f"), {"href": xml_text(drawing)})
    annots = ElementTree.SubElement(root, _named("annots"))
    document = open_copy(marked, marked, password)
    try:
        pdf = PdfFile(document)
        for index in range(pdf.page_count):
            if pdf.sound(index):
                annots.extend(_of_page(pdf, index))
        count = len(annots)
        first = int(annots[0].get("page", "0")) if count else 0
        if pdf.sound(first):
            annots.append(_cautions(pdf, first))
    finally:
        document.close()
    data = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    write_whole(target, lambda part: _write(part, data))
    return count


def _write(part: Path, data: bytes) -> None:
    part.write_bytes(data + b"\n")


def _named(name: str) -> str:
    return f"{{{NAMESPACE}}}{name}"


def _of_page(pdf: PdfFile, index: int) -> Iterator[ElementTree.Element]:
    for annotation in pdf.annotations(index):
        kind = mupdf.pdf_to_name(mupdf.pdf_dict_gets(annotation, "Subtype"))
        if _text(annotation, "NM").startswith(NAME) and kind in ELEMENTS:
            yield _element(annotation, kind, index)


def _cautions(pdf: PdfFile, index: int) -> ElementTree.Element:
    rect = ",".join(_figure(value) for value in pdf.frame(index).box_to_user(CORNER))
    told = {"page": str(index), "rect": rect, "name": CAUTIONS_NAME, "title": AUTHOR, "subject": "cautions",
            "flags": "print,nozoom,norotate", "icon": "Note", "color": "#B2B2B2"}  # fmt: skip
    made = ElementTree.Element(_named("text"), told)
    ElementTree.SubElement(made, _named("contents")).text = "\n".join(CAUTIONS)
    return made


def _element(annotation: mupdf.PdfObj, kind: str, index: int) -> ElementTree.Element:
    made = ElementTree.Element(_named(ELEMENTS[kind]), _attributes(annotation, index))
    contents = ElementTree.SubElement(made, _named("contents"))
    contents.text = _text(annotation, "Contents")
    if kind in POINTS:
        values = _numbers(mupdf.pdf_dict_gets(annotation, POINTS[kind]))
        pairs = zip(values[::2], values[1::2], strict=False)
        ElementTree.SubElement(made, _named("vertices")).text = ";".join(f"{x},{y}" for x, y in pairs)
    if kind == "FreeText":
        ElementTree.SubElement(made, _named("defaultappearance")).text = _text(annotation, "DA")
    return made


def _attributes(annotation: mupdf.PdfObj, index: int) -> dict[str, str]:
    flags = mupdf.pdf_to_int(mupdf.pdf_dict_gets(annotation, "F"))
    found = {
        "page": str(index),
        "rect": ",".join(_numbers(mupdf.pdf_dict_gets(annotation, "Rect"))),
        "name": _text(annotation, "NM"),
        "title": _text(annotation, "T"),
        "subject": _text(annotation, "Subj"),
        "flags": ",".join(word for bit, word in FLAGS if flags & bit),
    }
    for key, name in (("M", "date"), ("CreationDate", "creationdate")):
        if _text(annotation, key):
            found[name] = _text(annotation, key)
    colour = [mupdf.pdf_to_real(each) for each in _items(mupdf.pdf_dict_gets(annotation, "C"))]
    if len(colour) == 3:
        found["color"] = "#" + "".join(f"{round(255 * min(max(part, 0.0), 1.0)):02X}" for part in colour)
    border = mupdf.pdf_dict_gets(annotation, "BS")
    if mupdf.pdf_is_dict(border):
        found["width"] = _number(mupdf.pdf_dict_gets(border, "W"))
        dashed = mupdf.pdf_to_name(mupdf.pdf_dict_gets(border, "S")) == "D"
        found["style"] = "dash" if dashed else "solid"
        if dashed:
            found["dashes"] = ",".join(_numbers(mupdf.pdf_dict_gets(border, "D")))
    effect = mupdf.pdf_dict_gets(annotation, "BE")
    if mupdf.pdf_to_name(mupdf.pdf_dict_gets(effect, "S")) == "C":
        found["style"], found["intensity"] = "cloudy", _number(mupdf.pdf_dict_gets(effect, "I"))
    inset = _numbers(mupdf.pdf_dict_gets(annotation, "RD"))
    if len(inset) == 4:
        found["fringe"] = ",".join(inset)
    above = mupdf.pdf_dict_gets(annotation, "IRT")
    if mupdf.pdf_is_dict(above):
        grouped = mupdf.pdf_to_name(mupdf.pdf_dict_gets(annotation, "RT")) == "Group"
        found["inreplyto"], found["replyType"] = _text(above, "NM"), "group" if grouped else "reply"
    return found


def _items(array: mupdf.PdfObj) -> list[mupdf.PdfObj]:
    count = mupdf.pdf_array_len(array) if mupdf.pdf_is_array(array) else 0
    return [mupdf.pdf_array_get(array, k) for k in range(count)]


def _numbers(array: mupdf.PdfObj) -> list[str]:
    return [_number(each) for each in _items(array)]


def _number(value: mupdf.PdfObj) -> str:
    return _figure(float(mupdf.pdf_to_real(value)))


def _figure(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _text(holder: mupdf.PdfObj, key: str) -> str:
    return xml_text(str(mupdf.pdf_to_text_string(mupdf.pdf_dict_gets(holder, key))))

"""Signatures of a file as they stand in it: who, over which part of the file, and what a certification permits.

Nothing is verified here: whether a seal is genuine is for a program that knows the certificates.

Sources: ISO 32000-2:2020, 12.7.5.5 (signature fields), 12.8.1 and table 255 (ByteRange, Name, SubFilter), 12.8.2.2
and table 257 (DocMDP); names in certificates: ITU-T X.520 (common name, 2.5.4.3), read from their DER as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from pymupdf import mupdf

from cordpath.report.pdf.pdffile import PdfFile, open_copy

FIELDS_MOST = 500
DEPTH_MOST = 20
TEXT_MOST = 120
COMMON_NAME = re.compile(rb"\x06\x03\x55\x04\x03(?:\x0c|\x13|\x16)(.)", re.DOTALL)  # UTF8, Printable, IA5 strings
HEX_CONTENTS = re.compile(r"/Contents\s*<([0-9A-Fa-f]*)>")  # strings are read up to their first zero byte only
PERMITS = {1: "no changes", 2: "filling in and signing", 3: "filling in, signing and annotations"}


@dataclass(frozen=True)
class Seal:
    """``covers``: the whole file as it was received; ``after``: bytes added since signing, None where the range is
    damaged.  ``level``: what a certification permits (1 to 3), None for a plain signature."""

    field: str
    signer: str
    names: tuple[str, ...]  # common names in its certificates
    date: str
    covers: bool
    after: int | None
    level: int | None

    @property
    def told(self) -> str:
        who = self.signer or (self.names[0] if self.names else "a signer who is not named")
        named = f" (certificates: {', '.join(self.names)})" if self.names and self.signer else ""
        part = "over the whole file" if self.covers else (
            "over a range that does not fit the file" if self.after is None
            else f"over an earlier state: {self.after} bytes were added since"
        )  # fmt: skip
        kind = f"Certified ({PERMITS.get(self.level, 'level not known')} permitted)" if self.level else "Signed"
        return f"{kind} by {who}{named}, field {self.field or 'without a name'}, {part}; not verified here."

    @property
    def data(self) -> dict[str, Any]:
        return {**asdict(self), "names": list(self.names), "told": self.told}


def read_seals(path: Path, password: str | None = None) -> tuple[Seal, ...]:
    """The signatures of a file.  To be called where PDFs may be opened.  Raises UnreadableFile, LockedFile."""
    document = open_copy(path, path, password)
    try:
        return seals_of(PdfFile(document), path.stat().st_size)
    finally:
        document.close()


def seals_of(pdf: PdfFile, size: int) -> tuple[Seal, ...]:
    """The signed fields of a file of that many bytes, in the order of the form."""
    certified = mupdf.pdf_to_num(mupdf.pdf_dict_gets(mupdf.pdf_dict_gets(pdf.catalog, "Perms"), "DocMDP"))
    fields = mupdf.pdf_dict_gets(mupdf.pdf_dict_gets(pdf.catalog, "AcroForm"), "Fields")
    found: list[Seal] = []
    for name, value in _signed(fields, "", 0):
        if len(found) >= FIELDS_MOST:
            break
        covers, after = _coverage(value, size)
        number = mupdf.pdf_to_num(value)
        level = _level(value) if number and number == certified else None
        found.append(Seal(name, _text(value, "Name"), _names(pdf, value), _text(value, "M"), covers, after, level))
    return tuple(found)


def _signed(fields: mupdf.PdfObj, above: str, depth: int) -> Iterator[tuple[str, mupdf.PdfObj]]:
    """(full name, signature) of every signed field."""
    if depth > DEPTH_MOST or not mupdf.pdf_is_array(fields):
        return
    for k in range(min(mupdf.pdf_array_len(fields), FIELDS_MOST)):
        field = mupdf.pdf_array_get(fields, k)
        name = ".".join(part for part in (above, _text(field, "T")) if part)
        value = mupdf.pdf_dict_gets(field, "V")
        if mupdf.pdf_is_dict(value) and mupdf.pdf_is_array(mupdf.pdf_dict_gets(value, "ByteRange")):
            yield name, value
        yield from _signed(mupdf.pdf_dict_gets(field, "Kids"), name, depth + 1)


def _coverage(value: mupdf.PdfObj, size: int) -> tuple[bool, int | None]:
    numbers = mupdf.pdf_dict_gets(value, "ByteRange")
    if mupdf.pdf_array_len(numbers) != 4:
        return False, None
    first, long, second, rest = (int(mupdf.pdf_to_int64(mupdf.pdf_array_get(numbers, k))) for k in range(4))
    end = second + rest
    if first != 0 or long <= 0 or second <= long or rest < 0 or end > size:
        return False, None
    return end == size, size - end


def _level(value: mupdf.PdfObj) -> int:
    references = mupdf.pdf_dict_gets(value, "Reference")
    for k in range(mupdf.pdf_array_len(references) if mupdf.pdf_is_array(references) else 0):
        parameters = mupdf.pdf_dict_gets(mupdf.pdf_array_get(references, k), "TransformParams")
        level = mupdf.pdf_dict_gets(parameters, "P")
        if mupdf.pdf_is_int(level):
            return int(mupdf.pdf_to_int(level))
    return 2  # where it is not stated


def _names(pdf: PdfFile, value: mupdf.PdfObj) -> tuple[str, ...]:
    """Common names in the certificates, each once, as they follow each other."""
    number = mupdf.pdf_to_num(value)
    written = HEX_CONTENTS.search(pdf.document.xref_object(number)) if number else None
    data = bytes.fromhex(written[1]) if written and len(written[1]) % 2 == 0 else b""
    found: dict[str, None] = {}
    for match in COMMON_NAME.finditer(data):
        size = match[1][0]
        if size < 0x80:  # longer names are none of people
            text = data[match.end() : match.end() + size].decode("utf-8", "replace")
            found["".join(c for c in text if c.isprintable())[:TEXT_MOST]] = None
    return tuple(name for name in found if name)[:6]


def _text(holder: mupdf.PdfObj, key: str) -> str:
    said = str(mupdf.pdf_to_text_string(mupdf.pdf_dict_gets(holder, key)))
    return " ".join("".join(c if c.isprintable() else " " for c in said).split())[:TEXT_MOST]

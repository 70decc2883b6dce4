"""What workbooks, documents and XFDF have in common: text that XML allows, and archives without the time of day."""

from __future__ import annotations

import io
import re
import zipfile
from datetime import datetime
from pathlib import Path

FIXED_DATE = datetime(2000, 1, 1)  # no clock in an output: the same results give the same bytes
_UNPRINTABLE = re.compile("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff\ufffe\uffff]")  # not allowed in XML 1.0
_MODIFIED = re.compile(rb"(<dcterms:modified[^>]*>)[^<]*")


def xml_text(text: str) -> str:
    """The text with a replacement character for each one that XML does not allow."""
    return _UNPRINTABLE.sub("\N{REPLACEMENT CHARACTER}", text)


def write_fixed_zip(path: Path, data: bytes) -> None:
    """The archive of a workbook or document again, with one fixed date for its members and for its last change."""
    stamp = FIXED_DATE.strftime("%Y-%m-%dT%H:%M:%SZ").encode()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(path, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "docProps/core.xml":
                content = _MODIFIED.sub(rb"\g<1>" + stamp, content)
            member = zipfile.ZipInfo(name, FIXED_DATE.timetuple()[:6])
            new.writestr(member, content, zipfile.ZIP_DEFLATED)

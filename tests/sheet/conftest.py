"""Small PDFs written by hand, so that each test shows the very operators that it is about."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

Maker = Callable[..., Path]
HELVETICA = "<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>"


def pdf(
    content: str, *, resources: str = "", page: str = "", catalog: str = "", media: str = "[0 0 200 100]",
    objects: tuple[str | tuple[str, str], ...] = (),
) -> bytes:  # fmt: skip
    """A one-page PDF; ``objects`` are numbered from 5, a pair is a dictionary and a stream."""
    resources = f"<</Font<</F {HELVETICA}>>{resources}>>"
    everything: list[str | tuple[str, str]] = [
        f"<</Type/Catalog/Pages 2 0 R {catalog}>>",
        "<</Type/Pages/Kids[3 0 R]/Count 1>>",
        f"<</Type/Page/Parent 2 0 R/MediaBox{media}/Contents 4 0 R/Resources{resources}{page}>>",
        ("<<>>", content),
        *objects,
    ]
    out, places = b"%PDF-1.7\n", []
    for number, entry in enumerate(everything, 1):
        places.append(len(out))
        if isinstance(entry, tuple):
            entries, stream = entry
            entry = f"{entries[:-2]}/Length {len(stream)}>>\nstream\n{stream}\nendstream"
        out += f"{number} 0 obj\n{entry}\nendobj\n".encode("latin-1")
    start = len(out)
    table = "".join(f"{place:010d} 00000 n \n" for place in places)
    out += f"xref\n0 {len(places) + 1}\n0000000000 65535 f \n{table}".encode()
    out += f"trailer<</Size {len(places) + 1}/Root 1 0 R>>\nstartxref\n{start}\n%%EOF".encode()
    return out


@pytest.fixture
def make(tmp_path: Path) -> Maker:
    """Write a PDF made by :func:`pdf` and give its path."""

    def _make(content: str, **parts: object) -> Path:
        path = tmp_path / "page.pdf"
        path.write_bytes(pdf(content, **parts))  # type: ignore[arg-type]
        return path

    return _make

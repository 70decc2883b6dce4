"""Text of ours is at least 3/32 in on paper, whatever the page's size, turn and unit; read by pikepdf alone.

3/32 in (6.75 pt): common practice for the least lettering on plans, no source.  On small sheets, which are mostly
reduced prints, it is the size of the font; on full-size sheets it is the height of capitals too (0.718 of the size
in Helvetica: Adobe's Font Metrics, CapHeight, from memory).  A user space unit is UserUnit points (ISO 32000-2,
8.3.2.3); an appearance is drawn through its form's matrix (12.5.5).
"""

from __future__ import annotations

import math
import re
from pathlib import Path

import pikepdf
import pytest
import report_builder as build
from report_pdfs import plan_pdf

from cordpath.frame import PageFrame
from cordpath.model import CircleMark, Unexplained
from cordpath.report import write_marked

LEAST = 6.75 - 0.01
A4, TABLOID, A0 = (842.0, 595.0), (1224.0, 792.0), (3370.0, 2384.0)
CAPITALS = 0.718
MARKS = (CircleMark((0.0, 0.0), 0.075),)
SIZE = re.compile(rb"/\w+ ([\d.]+) Tf")


def sizes_of(page: pikepdf.Page) -> list[float]:
    """Points on paper of every text that our annotations and the page itself show."""
    unit = float(page.get("/UserUnit", 1.0))
    found = []
    for annotation in page.get("/Annots", []):
        if "/AP" in annotation:
            a, b, *_ = (float(v) for v in annotation.AP.N.Matrix)
            found += [unit * math.hypot(a, b) * float(m) for m in SIZE.findall(annotation.AP.N.read_bytes())]
    content = b"".join(part.read_bytes() for part in page.Contents.as_list()) if isinstance(
        page.Contents, pikepdf.Array
    ) else page.Contents.read_bytes()  # fmt: skip
    return found + [float(m) for m in SIZE.findall(content)]


@pytest.mark.parametrize("rotate", [0, 90, 180, 270])
@pytest.mark.parametrize(("size", "unit"), [(A4, 1.0), (TABLOID, 1.0), (A0, 1.0), (A0, 10.0), (A4, 0.5)])
def test_text_is_large_enough(tmp_path: Path, size: tuple[float, float], unit: float, rotate: int) -> None:
    media = (50.0, -20.0, 50.0 + size[0] / unit, -20.0 + size[1] / unit)
    frame = PageFrame(media, rotate, unit)
    at, sink = (0.3 * frame.size[0], 0.3 * frame.size[1]), (0.3 * frame.size[0] + 60, 0.35 * frame.size[1])
    shape = Unexplained("a shape drawn 2 times", ((300.0, 300.0),) * 2, (300.0, 300.0, 310.0, 310.0), marks=MARKS)
    found = build.result([build.missing("E-101.1", at, sink)], size=frame.size, unexplained=(shape,))
    plan_pdf(tmp_path / "plan.pdf", [at], frame, media)
    write_marked(tmp_path / "plan.pdf", tmp_path / "marked.pdf", (found,), build.RUN)
    with pikepdf.open(tmp_path / "marked.pdf") as pdf:
        assert pdf.check_pdf_syntax() == []
        sizes = [sizes_of(page) for page in pdf.pages]
    assert len(sizes) >= 2 and len(sizes[0]) >= 2 and len(sizes[1]) > 15
    assert min(map(min, sizes)) >= LEAST
    if size == A0:
        assert min(map(min, sizes)) * CAPITALS >= LEAST

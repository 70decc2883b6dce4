"""Lengths on one line keep apart, and no text of ours is smaller than 3/32 in on paper."""

from __future__ import annotations

from itertools import combinations

import pymupdf
import report_builder as build
from hypothesis import given, settings
from hypothesis import strategies as st
from report_pdfs import simple_pdf

from cordpath.model import Box
from cordpath.report import write_marked
from cordpath.report.pdf.marks import OutletMark, lay_out
from cordpath.report.pdf.place import Crowd

PLAN_TEXT = 3 / 32 * 72  # pt; common practice for the least height of lettering on plans, no source


def boxes_of(marks: tuple[OutletMark, ...]) -> list[Box]:
    return [mark.tag for mark in marks] + [path.label_box for mark in marks for path in mark.paths]


def overlap(a: Box, b: Box) -> float:
    return max(min(a[2], b[2]) - max(a[0], b[0]), 0) * max(min(a[3], b[3]) - max(a[1], b[1]), 0)


@settings(max_examples=25, deadline=None)
@given(st.integers(2, 6), st.floats(4, 40), st.booleans(), st.integers(0, 2**32 - 1))
def test_lengths_that_share_a_line_do_not_overlap(count: int, step: float, upright: bool, seed: int) -> None:
    """Outlets in a row along one wall, all with a path to the same sink along that wall."""
    line = [(150.0 + step * k, 200.0) for k in range(count)]
    line = [(y, x) for x, y in line] if upright else line
    sink = (200.0, 500.0) if upright else (500.0, 200.0)
    found = [build.missing(f"E-101.{k}", at, sink) for k, at in enumerate(line, 1)]
    marks = lay_out(found, Crowd(792.0, 612.0))
    labels = boxes_of(marks)
    assert len(labels) == 2 * count
    assert max(overlap(a, b) for a, b in combinations(labels, 2)) == 0
    assert all(x0 >= 0 and y0 >= 0 and x1 <= 792 and y1 <= 612 for x0, y0, x1, y1 in labels)


def test_no_text_is_smaller_than_plan_text(tmp_path) -> None:
    for size in ((612.0, 396.0), (2592.0, 1728.0)):
        source, target = tmp_path / f"{size[0]}.pdf", tmp_path / f"{size[0]}.m.pdf"
        found = build.result([build.missing("E-101.1", (100.0, 100.0), (300.0, 150.0)),
                              build.unresolved("E-101.2", (300.0, 200.0), (350.0, 150.0))], size=size)  # fmt: skip
        write_marked(simple_pdf(source, size=size), target, (found,), build.RUN)
        with pymupdf.open(target) as pdf:
            pdf.bake()
            blocks = [block for page in pdf for block in page.get_text("dict")["blocks"]]
        spans = [span for block in blocks for line in block.get("lines", []) for span in line["spans"]]
        assert len(spans) > 20 and min(span["size"] for span in spans if span["text"].strip()) >= PLAN_TEXT

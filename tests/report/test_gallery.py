"""What was learnt and what is not named, in the results, on the report page and on the marked sheet."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import jsonschema
import pikepdf
import report_builder as build
from report_pdfs import simple_pdf

from cordpath.model import CircleMark, Learnt, LineMark, SheetResult, TextMark, Unexplained
from cordpath.report import results_document, results_schema, write_html, write_marked

MARKS = (CircleMark((0.0, 0.0), 0.075), LineMark((-0.03, -0.1), (-0.03, 0.1)), TextMark("G", (0.0, 0.0)))
SHAPE = Unexplained("a shape drawn 12 times that the mapping file does not name", ((100.0, 100.0),) * 12,
                    (94.0, 94.0, 106.0, 106.0), marks=MARKS)  # fmt: skip


def learnt_sheet(*learnt: Learnt, unexplained: tuple[Unexplained, ...] = ()) -> SheetResult:
    found = build.result([build.free("E-101.1", (100.0, 200.0))], unexplained=unexplained)
    assert found.reading is not None
    spotting = replace(found.reading.spotting, learnt=learnt)
    return replace(found, reading=replace(found.reading, spotting=spotting))


def test_results_name_what_was_learnt_once() -> None:
    one = Learnt("duplex <b>", "legend", "a.pdf", 2, (1.0, 2.0, 30.0, 40.0), MARKS)
    two = Learnt("picked one", "picked", "b.pdf", 1, None, MARKS[:1])
    sheets = (learnt_sheet(two, one), learnt_sheet(one))
    document = results_document(sheets, build.RUN)
    jsonschema.validate(document, results_schema())
    assert document["learnt"] == [
        {"name": "duplex <b>", "source": "legend", "file": "a.pdf", "page": 2, "box": [1.0, 2.0, 30.0, 40.0],
         "marks": 3},
        {"name": "picked one", "source": "picked", "file": "b.pdf", "page": 1, "box": None, "marks": 1},
    ]  # fmt: skip


def test_the_page_shows_pictures_of_both(tmp_path: Path) -> None:
    one = Learnt("duplex <b>", "legend", "a.pdf", 2, (1.0, 2.0, 30.0, 40.0), MARKS)
    write_html(tmp_path / "r.html", (learnt_sheet(one, unexplained=(SHAPE,)),), build.RUN)
    page = (tmp_path / "r.html").read_text(encoding="utf-8")
    assert page.count("<figure>") == 2 and page.count("data:image/png;base64,") == 2
    assert "duplex &lt;b&gt;" in page and "duplex <b>" not in page
    assert "legend, a.pdf page 2" in page and "E-101: drawn 12 times" in page
    write_html(tmp_path / "bare.html", (learnt_sheet(),), build.RUN)
    assert "<figure>" not in (tmp_path / "bare.html").read_text(encoding="utf-8")


def test_the_marked_sheet_has_a_dashed_box_at_the_first_place(tmp_path: Path) -> None:
    source = simple_pdf(tmp_path / "in.pdf")
    label = Unexplained("2 G4 labels without a symbol", ((50.0, 50.0),) * 2, is_label=True)
    write_marked(source, tmp_path / "out.pdf", (learnt_sheet(unexplained=(SHAPE, label)),), build.RUN)
    with pikepdf.open(tmp_path / "out.pdf") as pdf:
        (mark,) = [a for a in pdf.pages[0].Annots if str(a.get("/Subj", "")) == "Shape not named"]
        assert str(mark.NM) == "cordpath-p1-unnamed-1" and "12 times" in str(mark.Contents)
        x0, y0, x1, y1 = (float(v) for v in mark.Rect)
        assert x0 < 94 and x1 > 106 and y1 - y0 < 60

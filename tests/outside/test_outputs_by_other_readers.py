"""Every output of a run, opened by programs that had no part in writing it, and held against one another.

pikepdf (the qpdf library) checks the structure as ``qpdf --check`` does; pypdf lists annotations on its own;
pypdfium2 (the pdfium renderer) shows pixels; openpyxl, python-docx, lxml and jsonschema read the rest.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import docx
import jsonschema
import numpy as np
import openpyxl
import pikepdf
import pypdf
import pypdfium2
import pytest
from click.testing import CliRunner
from lxml import etree, html
from numpy.typing import NDArray

from cordpath.cli import main
from cordpath.report import results_schema

SAMPLES = Path(__file__).parent.parent.parent / "sample_plans"
SHEET = SAMPLES / "tern-street.pdf"
ASKS = ("missing", "unresolved")


@pytest.fixture(scope="module")
def out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("outputs")
    words = [
        "check",
        SHEET,
        "--symbols",
        SAMPLES / "symbols.yaml",
        "--out",
        folder / "review",
        "--xfdf",
        "--jobs",
        "1",
    ]
    found = CliRunner().invoke(main, [str(word) for word in words])
    assert found.exit_code == 1, found.output
    return folder / "review"


@pytest.fixture(scope="module")
def outlets(out: Path) -> dict[str, dict[str, Any]]:
    document = json.loads((out / "results.json").read_text("utf-8"))
    jsonschema.validate(document, results_schema())
    return {outlet["id"]: outlet for sheet in document["sheets"] for outlet in sheet["outlets"]}


def asking(outlets: dict[str, dict[str, Any]]) -> set[str]:
    return {number for number, outlet in outlets.items() if outlet["verdict"] in ASKS}


def test_qpdf_finds_nothing_wrong_and_the_input_is_a_prefix(out: Path) -> None:
    with pikepdf.open(out / "tern-street.marked.pdf") as pdf:
        assert pdf.check_pdf_syntax() == []
    assert (out / "tern-street.marked.pdf").read_bytes().startswith(SHEET.read_bytes())


def test_pypdf_lists_the_same_annotations_a_cloud_for_each_finding(out: Path, outlets) -> None:
    listed = [
        (str(one["/NM"]), str(one["/Subtype"]), str(one.get("/Contents", "")))
        for page in pypdf.PdfReader(out / "tern-street.marked.pdf").pages
        for one in (reference.get_object() for reference in page.get("/Annots", []))
    ]
    with pikepdf.open(out / "tern-street.marked.pdf") as pdf:
        assert listed == [
            (str(one.NM), str(one.Subtype), str(one.get("/Contents", "")))
            for page in pdf.pages
            for one in page.get("/Annots", [])
        ]
    clouds = [
        name.removeprefix("cordpath-p1-").removesuffix("-cloud") for name, *_ in listed if name.endswith("-cloud")
    ]
    assert sorted(clouds) == sorted(asking(outlets))


def pixels(path: Path, marks: bool) -> NDArray[np.int16]:
    document = pypdfium2.PdfDocument(path)
    page = document[0]
    picture = page.render(scale=1.0, may_draw_forms=False, draw_annots=marks).to_numpy()[:, :, :3].astype(np.int16)
    page.close()
    document.close()
    return picture[:, :, ::-1]


def test_pdfium_shows_a_cloud_at_every_finding_and_the_drawing_unchanged_below(out: Path, outlets) -> None:
    bare, marked = pixels(SHEET, False), pixels(out / "tern-street.marked.pdf", True)
    assert (pixels(out / "tern-street.marked.pdf", False) == bare).all()
    for number in asking(outlets):
        x, y = (round(v) for v in outlets[number]["at"])
        near = (slice(max(y - 24, 0), y + 24), slice(max(x - 24, 0), x + 24))
        part, before = marked[near], bare[near]
        missing = outlets[number]["verdict"] == "missing"
        hue = part[..., 0] - part[..., 2] if missing else part[..., 2] - part[..., 0]
        assert (hue > 90).sum() > 40, number
        assert (np.abs(before[..., 0] - before[..., 2]) > 90).sum() == 0
    quiet = np.abs(marked - bare).max(axis=2) == 0
    assert quiet.mean() > 0.98, "marks cover little of a sheet"


def test_tables_letters_and_the_page_agree(out: Path, outlets) -> None:
    rows = list(csv.DictReader((out / "schedule.csv").read_text("utf-8").splitlines()))
    assert {row["number"]: row["verdict"] for row in rows} == {n: o["verdict"] for n, o in outlets.items()}
    book = openpyxl.load_workbook(out / "schedule.xlsx")
    assert {row[1] for row in book["all outlets"].iter_rows(min_row=2, values_only=True)} == set(outlets)
    assert {row[1] for row in book["missing"].iter_rows(min_row=2, values_only=True)} == {
        number for number, outlet in outlets.items() if outlet["verdict"] == "missing"
    }
    assert not any(cell.data_type == "f" for sheet in book for line in sheet.iter_rows() for cell in line)
    page = html.fromstring((out / "report.html").read_text("utf-8"))
    assert page.xpath("//table[@id='outlets']/tbody/tr/th[@scope='row']/text()") and set(
        page.xpath("//table[@id='outlets']/tbody/tr/th[@scope='row']/text()")
    ) == set(outlets)
    table = docx.Document(str(out / "comments.docx")).tables[0]
    named = " ".join(row.cells[2].text for row in table.rows[1:]).replace(",", " ").split()
    assert asking(outlets) == {word for word in named if word in outlets}
    numbers = [int(row.cells[0].text) for row in table.rows[1:]]
    assert numbers == list(range(1, len(numbers) + 1))


def test_the_sidecar_holds_the_marks_and_nothing_more(out: Path, outlets) -> None:
    root = etree.parse(str(out / "tern-street.marked.xfdf")).getroot()
    space = "{http://ns.adobe.com/xfdf/}"
    names = [one.get("name") for one in root.find(f"{space}annots")]
    with pikepdf.open(out / "tern-street.marked.pdf") as pdf:
        drawn = [str(one.NM) for one in pdf.pages[0].Annots if str(one.Subtype) != "/Link"]
    marks = [name for name in names if name != "cordpath-cautions"]  # the sidecar is handed on by itself
    assert len(marks) == len(names) - 1
    assert marks == drawn and len(marks) >= 2 * len(asking(outlets))

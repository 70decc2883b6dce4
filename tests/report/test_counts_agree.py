"""What the outputs say of one batch agrees: counts of each sheet, totals, and the cautions that go with them."""

from __future__ import annotations

import csv
import json
import tempfile
from collections import Counter
from dataclasses import replace
from io import StringIO
from pathlib import Path

import jsonschema
import openpyxl
import pymupdf
import pytest
import report_builder as build
import report_pdfs as pdfs
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import html
from rich.console import Console

from cordpath import report
from cordpath.model import SheetResult
from cordpath.report.rows import CAUTIONS, VERDICTS

SINK = (300.0, 150.0)
MAKE = {
    "missing": lambda number, at: build.missing(number, at, SINK),
    "unresolved": lambda number, at: build.unresolved(number, at, SINK),
    "protected": build.protected,
    "not required": build.free,
}
LOST = "the shape of one kind of outlet is shown by no drawing"


def sheet(page: int, verdicts: list[str], status: str, unjudged: int = 0) -> SheetResult:
    """A sheet with an outlet of each verdict, and some that were read but not judged."""
    if status != "checked" and not verdicts:
        return replace(build.failed(page=page), status=status)
    number = f"E-10{page}"
    findings = [MAKE[verdict](f"{number}.{k}", (20.0 + 9 * k, 100.0)) for k, verdict in enumerate(verdicts)]
    more = [build.outlet(f"{number}.9{k}", (30.0, 200.0 + 9 * k)) for k in range(unjudged)]
    made = build.result(findings, page=page, number=number, extra_outlets=more)
    return made if status == "checked" else replace(made, status="failed", why=LOST)


@st.composite
def batches(draw: st.DrawFn) -> tuple[SheetResult, ...]:
    count = draw(st.integers(1, 4))
    return tuple(
        sheet(
            page,
            draw(st.lists(st.sampled_from(VERDICTS), max_size=5)),
            draw(st.sampled_from(["checked", "checked", "failed", "skipped"])),
            draw(st.integers(0, 1)),
        )
        for page in range(1, count + 1)
    )


Counts = dict[str, dict[str, int]]


def in_results(results: tuple[SheetResult, ...]) -> Counts:
    document = report.results_document(results, build.RUN)
    jsonschema.validate(json.loads(json.dumps(document)), report.results_schema())
    every = {
        each["sheet"] or f"p{each['page']}": Counter(outlet["verdict"] for outlet in each["outlets"])
        for each in document["sheets"]
    }
    assert {name: document["totals"][name] for name in VERDICTS} == dict(added(every))
    assert document["totals"]["outlets"] == sum(added(every).values())
    return shown(every)


def added(every: Counts) -> dict[str, int]:
    return {verdict: sum(counts[verdict] for counts in every.values()) for verdict in VERDICTS}


def shown(every: Counts) -> Counts:
    return {name: {verdict: counts[verdict] for verdict in VERDICTS} for name, counts in every.items()}


def in_csv(results: tuple[SheetResult, ...], folder: Path) -> Counts:
    report.write_schedule_csv(folder / "s.csv", results)
    rows = list(csv.DictReader(StringIO((folder / "s.csv").read_text("utf-8"))))
    every: dict[str, Counter[str]] = {build_name(result): Counter() for result in results}
    for row in rows:
        every[row["sheet"]][row["verdict"]] += 1
    return shown(every)  # type: ignore[arg-type]


def build_name(result: SheetResult) -> str:
    return (result.reading.sheet.number if result.reading else None) or f"p{result.page}"


def in_workbook(results: tuple[SheetResult, ...], folder: Path) -> Counts:
    report.write_schedule_xlsx(folder / "s.xlsx", results, build.RUN)
    book = openpyxl.load_workbook(folder / "s.xlsx")
    head, *rows = book["sheets"].iter_rows(values_only=True)
    found = [dict(zip(head, row, strict=True)) for row in rows]
    listed = Counter(row[7] for row in book["all outlets"].iter_rows(min_row=2, values_only=True))
    assert {v: listed[v] for v in VERDICTS} == {v: sum(row[v] for row in found) for v in VERDICTS}
    told = {cell for row in book["about"].iter_rows(values_only=True) for cell in row}
    assert told.issuperset(CAUTIONS)
    return {str(row["sheet"]): {verdict: row[verdict] for verdict in VERDICTS} for row in found}


def in_page(results: tuple[SheetResult, ...], folder: Path) -> Counts:
    report.write_html(folder / "r.html", results, build.RUN)
    page = html.fromstring((folder / "r.html").read_text("utf-8"))
    figures = {item.text_content().lstrip("0123456789"): int(item.find("b").text)
               for item in page.xpath("//ul[@class='figures']/li")}  # fmt: skip
    listed = page.xpath("//table[@id='outlets']//tbody/tr/th[@scope='row']")
    assert figures["outlets"] == sum(figures[verdict] for verdict in VERDICTS) == len(listed)
    assert all(caution in page.text_content() for caution in CAUTIONS)
    heads = [each.text_content().lower() for each in page.xpath("//table[@id='sheets']/thead//th")]
    every = {}
    for row in page.xpath("//table[@id='sheets']/tbody/tr"):
        cells = dict(zip(heads, [cell.text_content() for cell in row], strict=True))
        name = row.xpath("th")[0].xpath("string(.)").split(build.failed().file)[0]
        every[name] = {verdict: int(cells[verdict] or 0) for verdict in VERDICTS}
    assert added(every) == {verdict: figures[verdict] for verdict in VERDICTS}
    return every


def on_terminal(results: tuple[SheetResult, ...]) -> Counts:
    console = Console(width=200, file=StringIO(), color_system=None)
    for part in report.console_tables(results):
        console.print(part)
    text = console.file.getvalue()  # type: ignore[attr-defined]
    assert "authority having jurisdiction" in text
    every, order = {}, ("missing", "protected", "not required", "unresolved")
    for result in results:
        line = next(line for line in text.splitlines() if line.strip().startswith(f"{build_name(result)} "))
        figures = [int(word) for word in line.split()[-4:]] if line.split()[-1].isdigit() else [0] * 4
        every[build_name(result)] = dict(zip(order, figures, strict=True))
    total = next(line for line in text.splitlines() if line.strip().startswith("total")).split()[-4:]
    assert dict(zip(order, map(int, total), strict=True)) == {v: added(every)[v] for v in order}
    return {name: {verdict: counts[verdict] for verdict in VERDICTS} for name, counts in every.items()}


@settings(max_examples=12, deadline=None)
@given(batches())
def test_every_output_counts_the_same_on_every_sheet(results: tuple[SheetResult, ...]) -> None:
    want = in_results(results)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        assert in_csv(results, folder) == want
        assert in_workbook(results, folder) == want
        assert in_page(results, folder) == want
    assert on_terminal(results) == want


@pytest.mark.parametrize("status", ["checked", "failed"])
def test_the_schedule_of_the_marked_copy_counts_the_same(tmp_path: Path, status: str) -> None:
    """Also of a sheet that failed because outlets of one kind may be lost: what was found on it is not hidden."""
    results = (sheet(1, ["missing", "missing", "protected", "unresolved", "not required"], status, unjudged=1),)
    source, target = pdfs.simple_pdf(tmp_path / "plan.pdf"), tmp_path / "plan.marked.pdf"
    report.write_marked(source, target, results, build.RUN)
    with pymupdf.open(target) as pdf:
        text = " ".join(" ".join(page.get_text() for page in list(pdf)[1:]).split())
        names = [annotation.info["id"] for annotation in pdf[0].annots()]
    want = in_results(results)["E-101"]
    assert sum(name.endswith("-cloud") for name in names) == want["missing"] + want["unresolved"]
    assert f"not shown ({want['missing']})" in text and f"to answer ({want['unresolved']})" in text
    assert "6 outlets" in text and "2 missing" in text and "No sheet of this file was checked" not in text
    assert all(caution in text for caution in CAUTIONS)
    assert (LOST in text) == (status == "failed")


def test_pictures_show_what_was_found_on_a_sheet_that_failed(tmp_path: Path) -> None:
    results = (sheet(1, ["missing"], "failed"),)
    source, target = pdfs.simple_pdf(tmp_path / "plan.pdf"), tmp_path / "plan.marked.pdf"
    report.write_marked(source, target, results, build.RUN)
    assert set(report.sheet_pictures(target, results)) == {(results[0].file, 1)}
    assert set(report.finding_pictures(target, results)) == {(results[0].file, 1, "E-101.0")}

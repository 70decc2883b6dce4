"""``legend:`` entries: one legend serves every sheet of a batch, and a legend that is not there is said loudly."""

from __future__ import annotations

import json
from pathlib import Path

import pymupdf
import pytest
from click.testing import CliRunner, Result

from cordpath.cli import main

MAPPING = """\
cordpath: 1
symbols:
  - {name: duplex, kind: receptacle, legend: DUPLEX RECEPTACLE}
  - {name: clock, kind: receptacle, legend: CLOCK RECEPTACLE}
"""
ROWS = ("DUPLEX RECEPTACLE", "SMOKE DETECTOR", "EXHAUST FAN")
PLACES = ((150, 200), (300, 200), (300, 420), (420, 300))


def duplex(page: pymupdf.Page, x: float, y: float, spread: float = 2.0) -> None:
    page.draw_circle((x, y), 5.4, width=0.5)
    for dx in (-spread, spread):
        page.draw_line((x + dx, y - 10), (x + dx, y + 7.5), width=0.5)


def plan_page(document: pymupdf.Document) -> None:
    page = document.new_page(width=792, height=612)
    page.draw_rect((100, 120, 520, 480), width=2)
    page.draw_rect((105, 125, 515, 475), width=2)
    for x, y in PLACES:
        duplex(page, x, y)
    page.insert_text((280, 320), "BEDROOM", fontsize=8)
    page.insert_text((250, 520), "FIRST FLOOR POWER PLAN", fontsize=12)
    page.insert_text((250, 535), 'SCALE: 1/4" = 1\'-0"', fontsize=8)


def legend_page(document: pymupdf.Document, spread: float = 2.0) -> None:
    page = document.new_page(width=792, height=612)
    page.insert_text((100, 90), "ELECTRICAL LEGEND", fontsize=11)
    for k, text in enumerate(ROWS):
        y = 120.0 + 28 * k
        page.insert_text((140, y + 3), text, fontsize=8)
        if k == 0:
            duplex(page, 118, y, spread)
        else:
            page.draw_circle((118, y), 7.0 + k, width=0.5)
            page.draw_circle((118, y), 3.0, width=0.5)


def run(folder: Path, *files: str) -> tuple[Result, dict]:
    (folder / "m.yaml").write_text(MAPPING)
    out = folder / "out"
    words = ["check", *(str(folder / f) for f in files), "--symbols", str(folder / "m.yaml"), "--out", str(out)]
    result = CliRunner().invoke(main, [*words, "--jobs", "0"])
    return result, json.loads((out / "results.json").read_text())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name, pages in {"plan": [plan_page], "legend": [legend_page], "both": [plan_page, legend_page]}.items():
        document = pymupdf.open()
        for page in pages:
            page(document)
        document.save(tmp_path / f"{name}.pdf")
    return tmp_path


def test_a_legend_of_another_file_serves(folder: Path) -> None:
    result, told = run(folder, "plan.pdf", "legend.pdf")
    sheet = next(s for s in told["sheets"] if s["file"].endswith("plan.pdf"))
    assert sheet["status"] == "checked", result.output
    assert len(sheet["outlets"]) == len(PLACES) and all(o["symbol"] == "duplex" for o in sheet["outlets"])
    assert any("duplex is looked for as drawn on legend.pdf page 1" in text for text in sheet["assumptions"])
    assert "no legend of these sheets shows: clock" in result.output


def test_a_legend_on_another_page_of_the_file_serves(folder: Path) -> None:
    _, told = run(folder, "both.pdf")
    assert len(told["sheets"][0]["outlets"]) == len(PLACES)


def test_without_any_legend_the_sheets_fail(folder: Path) -> None:
    result, told = run(folder, "plan.pdf")
    assert result.exit_code == 3
    (sheet,) = told["sheets"]
    assert sheet["status"] == "failed" and "no drawing shows how these are drawn: duplex, clock" in sheet["why"]
    assert "no legend of these sheets shows: duplex, clock" in result.output


def test_legends_that_draw_it_otherwise_are_said(folder: Path) -> None:
    document = pymupdf.open()
    legend_page(document, spread=0.0)
    document.save(folder / "other.pdf")
    _, told = run(folder, "both.pdf", "other.pdf")
    said = told["sheets"][0]["assumptions"]
    assert any(t.startswith("duplex: the legend on other.pdf page 1 draws it otherwise") for t in said)
    assert len(told["sheets"][0]["outlets"]) == len(PLACES), "the legend of the same file counts"

"""Panel schedules as read here against the table finder of pdfplumber, an independent reader.

Source: pdfplumber (https://github.com/jsvine/pdfplumber), ``Page.extract_table`` with the strategy that fits the
style of the table ("lines" where it is ruled, "text" where it is not).  Rows are matched by their circuit numbers;
circuit, description, amperes, poles and notes must agree cell by cell, and every row must be there.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pdfplumber
import pikepdf
import pytest
from fpdf import FPDF
from reportlab.lib import colors
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Table, TableStyle

from cordpath.circuits import read_panels
from cordpath.model import Answer
from cordpath.sheet import read_sheet

HEAD = ["CKT", "DESCRIPTION", "AMPS", "POLES", "NOTES"]
WIDTHS = [40, 160, 45, 45, 70]
LOADS = ["BATH RECEPTACLES", "KITCHEN COUNTER", "BEDROOM LIGHTS", "DISHWASHER", "GARAGE", "LAUNDRY", "FURNACE",
         "PATIO RECEPTACLES", "DEN", "SMOKE ALARMS"]  # fmt: skip
NOTES = ["GFCI", "DF", "AFCI", "GFCI", "GFI", "AFCI/GFCI", "LOCK-ON", "GFCI", "AFCI", "AFCI"]
SIZE = (1224.0, 792.0)


def rows(first: int, step: int = 2) -> list[list[str]]:
    return [[str(first + step * k), LOADS[k], str(15 + 5 * (k % 2)), "1", NOTES[k]] for k in range(10)]


def reportlab_table(
    path: Path, data: list[list[str]], style: list[tuple], widths: list[int], height: int = 14
) -> None:
    canvas = Canvas(str(path), pagesize=SIZE)
    canvas.setFont("Helvetica-Bold", 11)
    canvas.drawString(102, 640, "PANEL A")
    table = Table(
        data, colWidths=widths, rowHeights=height, style=TableStyle([("FONTSIZE", (0, 0), (-1, -1), 7), *style])
    )
    _, tall = table.wrapOn(canvas, 1000, 600)
    table.drawOn(canvas, 100, 630 - tall)
    canvas.save()


def grid(path: Path) -> None:
    reportlab_table(path, [HEAD, *rows(1)], [("GRID", (0, 0), (-1, -1), 0.5, colors.black)], WIDTHS)


def mirrored_halves(path: Path) -> None:
    body = [left + right[::-1] for left, right in zip(rows(1), rows(2), strict=True)]
    style = [("GRID", (0, 0), (-1, -1), 0.5, colors.black)]
    reportlab_table(path, [HEAD + HEAD[::-1], *body], style, WIDTHS + WIDTHS[::-1])


def halves_side_by_side(path: Path) -> None:
    body = [left + right for left, right in zip(rows(1), rows(2), strict=True)]
    style = [("GRID", (0, 0), (-1, -1), 1.2, colors.black), ("ALIGN", (0, 0), (-1, -1), "CENTER")]
    reportlab_table(path, [HEAD * 2, *body], style, WIDTHS * 2, 16)


def shaded_head_and_bands(path: Path) -> None:
    style = [
        ("BACKGROUND", (0, 0), (-1, 0), colors.lightgrey), ("ROWBACKGROUNDS", (0, 1), (-1, -1),
        [colors.white, colors.whitesmoke]), ("GRID", (0, 0), (-1, -1), 0.25, colors.grey),
    ]  # fmt: skip
    reportlab_table(path, [HEAD, *rows(1, 1)], style, WIDTHS)


def no_rulings(path: Path) -> None:
    reportlab_table(path, [HEAD, *rows(1)], [], WIDTHS)


def level_rulings_only(path: Path) -> None:
    style = [(where, (0, 0), (-1, -1), 0.5, colors.black) for where in ("LINEABOVE", "LINEBELOW")]
    reportlab_table(path, [HEAD, *rows(2)], style, WIDTHS)


def another_writer(path: Path) -> None:
    pdf = FPDF(unit="pt", format=SIZE)
    pdf.add_page()
    pdf.set_font("Times", size=9)
    pdf.cell(text="PANEL A SCHEDULE", new_x="LMARGIN", new_y="NEXT")
    with pdf.table(col_widths=tuple(WIDTHS), width=360, align="LEFT", line_height=14) as table:
        for line in [HEAD, *rows(1)]:
            table.row(line)
    pdf.output(str(path))


def loose_strokes(path: Path) -> None:
    """Every ruling in three pieces, text set right in its cell."""
    canvas = Canvas(str(path), pagesize=SIZE)
    canvas.setFont("Courier-Bold", 10)
    canvas.drawString(102, 640, "PANEL A")
    canvas.setFont("Courier", 7)
    edges = [100 + sum(WIDTHS[:k]) for k in range(len(WIDTHS) + 1)]
    data = [HEAD, *rows(1)]
    for r, cells in enumerate(data):
        for k, cell in enumerate(cells):
            canvas.drawRightString(edges[k + 1] - 3, 616 - 15 * r, cell)
    low, high = 626 - 15 * len(data), 626
    for y in [high - 15 * r for r in range(len(data) + 1)]:
        _pieces(canvas, (edges[0], y), (edges[-1], y))
    for x in edges:
        _pieces(canvas, (x, low), (x, high))
    canvas.save()


def _pieces(canvas: Canvas, a: tuple[float, float], b: tuple[float, float]) -> None:
    at = [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for t in (0, 0.37, 0.71, 1)]
    for k in range(3):
        canvas.line(*at[k], *at[k + 1])


def turned_page(path: Path) -> None:
    """The whole sheet stands upright in the file and is turned by /Rotate."""
    grid(path)
    with pikepdf.open(path, allow_overwriting_input=True) as document:
        page = document.pages[0]
        page.contents_add(b"q 0 1 -1 0 792 0 cm ", prepend=True)
        page.contents_add(b" Q")
        page.mediabox = [0, 0, 792, 1224]
        page.Rotate = 90
        document.save(path)


RULED = {"vertical_strategy": "lines", "horizontal_strategy": "lines"}
BARE = {"vertical_strategy": "text", "horizontal_strategy": "text", "min_words_vertical": 5}
STYLES = [
    (grid, RULED), (mirrored_halves, RULED), (halves_side_by_side, RULED), (shaded_head_and_bands, RULED),
    (another_writer, RULED | {"snap_tolerance": 4}), (loose_strokes, RULED), (turned_page, RULED),
    (level_rulings_only, BARE), (no_rulings, BARE),
]  # fmt: skip


def by_pdfplumber(path: Path, settings: dict) -> dict[str, tuple[str, ...]]:
    """Circuit to description, amperes, poles and notes, halves by their headers."""
    with pdfplumber.open(path) as document:
        table = document.pages[0].extract_table(settings)
    lines = [[(cell or "").strip() for cell in line] for line in table]
    at = next(k for k, line in enumerate(lines) if "CKT" in line)
    head = lines[at]
    halves = _halves(head)
    found = {}
    for line in lines[at + 1 :]:
        for half in halves:
            if line[half["CKT"]]:
                found[line[half["CKT"]]] = tuple(line[half[name]] for name in HEAD[1:])
    return found


def _halves(head: list[str]) -> list[dict[str, int]]:
    named = [(k, name) for k, name in enumerate(head) if name in HEAD]
    return [{name: k for k, name in named[i : i + 5]} for i in range(0, len(named), 5)]


@pytest.mark.parametrize(("draw", "settings"), STYLES, ids=[draw.__name__ for draw, _ in STYLES])
def test_every_cell_agrees(draw: Callable[[Path], None], settings: dict, tmp_path: Path) -> None:
    path = tmp_path / "panel.pdf"
    draw(path)
    theirs = by_pdfplumber(path, settings)
    (panel,) = read_panels(read_sheet(path, 1))
    ours = {row.circuits[0]: row for row in panel.rows}
    assert panel.name == "A" and panel.problems == () and len(theirs) in (10, 20)
    assert set(ours) == set(theirs)
    for circuit, (description, amperes, poles, notes) in theirs.items():
        row = ours[circuit]
        assert (row.description, row.amperes, row.poles) == (description, float(amperes), int(poles)), circuit
        assert row.text.endswith(notes)
        want = Answer.YES if any(mark in notes for mark in ("GFCI", "GFI", "DF")) else Answer.NO
        assert row.gfci is want, (circuit, notes)

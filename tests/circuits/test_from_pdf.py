"""Schedules as PDF writers put them: through the sheet reader, and arbitrary words that must not upset anything."""

from __future__ import annotations

import random

import numpy as np
import pytest
from fpdf import FPDF
from hypothesis import given, settings
from hypothesis import strategies as st
from reportlab.lib import colors
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Table, TableStyle

from cordpath.circuits import protection_of, read_panels
from cordpath.model import Answer, Fills, Sheet, Strokes, Word
from cordpath.sheet import read_sheet

YES, NO, UNKNOWN = Answer.YES, Answer.NO, Answer.UNKNOWN
NAMES = [
    "BATHROOM RECEPTACLES",
    "KITCHEN COUNTER",
    "BEDROOM LTG",
    "DINING ROOM",
    "RANGE",
    "SPARE",
    "GARAGE",
    "FURNACE",
]
MARKS = ["GFCI", "DF", "AFCI", "AFCI/GFCI", "", "", "GFI", ""]
WANT = [YES, YES, NO, YES, NO, NO, YES, NO]


def rows(first=1):
    """Eight circuits with numbers two apart."""
    return [[str(first + 2 * i), NAMES[i], "20", "1", MARKS[i]] for i in range(8)]


def check(panel, name="A", count=16):
    got = {number: row for row in panel.rows for number in row.circuits}
    assert (panel.name, len(got), panel.problems) == (name, count, ())
    assert [got[str(1 + 2 * i)].gfci for i in range(8)] == WANT
    assert [got[str(1 + 2 * i)].description for i in range(8)] == NAMES
    assert all(row.amperes == 20 and row.poles == 1 for row in panel.rows)


@pytest.mark.parametrize("align", ["LEFT", "CENTER"])
@pytest.mark.parametrize("grid", [True, False])
def test_reportlab(tmp_path, align, grid):
    path = tmp_path / "a.pdf"
    canvas = Canvas(str(path), pagesize=(1224, 792))
    canvas.setFont("Helvetica-Bold", 11)
    canvas.drawString(102, 640, "PANEL 'A'   120/240V, 1PH, 3W   200A MCB")
    head = ["CKT", "DESCRIPTION", "AMP", "P", "TYPE"]
    body = [left + right[::-1] for left, right in zip(rows(1), rows(2), strict=True)]
    style = [("FONTSIZE", (0, 0), (-1, -1), 7), ("ALIGN", (0, 0), (-1, -1), align)]
    style.append(("ALIGN", (0, 0), (-1, 0), "CENTER"))
    if grid:
        style.append(("GRID", (0, 0), (-1, -1), 0.5, colors.black))
    table = Table([head + head[::-1], *body], colWidths=[30, 150, 35, 25, 70, 70, 25, 35, 150, 30], rowHeights=14,
                  style=TableStyle(style))  # fmt: skip
    _, height = table.wrapOn(canvas, 900, 600)
    table.drawOn(canvas, 100, 630 - height)
    canvas.save()
    (panel,) = read_panels(read_sheet(path, 1))
    check(panel)


def test_fpdf_with_wrapped_headers(tmp_path):
    path = tmp_path / "b.pdf"
    pdf = FPDF(unit="pt", format=(792, 1224))
    pdf.add_page()
    pdf.set_font("Times", size=8)
    pdf.cell(text="PANELBOARD SCHEDULE: A", new_x="LMARGIN", new_y="NEXT")
    with pdf.table(col_widths=(55, 150, 55, 40, 80), width=380, align="LEFT", line_height=13) as table:
        for line in [["CIRCUIT NO.", "LOAD SERVED", "BREAKER AMPS", "POLES", "REMARKS"], *rows(1)]:
            table.row(line)
    pdf.output(str(path))
    (panel,) = read_panels(read_sheet(path, 1))
    check(panel, count=8)


words = st.sampled_from([
    "CKT", "CIRCUIT", "NO.", "DESCRIPTION", "LOAD", "AMPS", "P", "POLES", "NOTES", "TYPE", "GFCI", "AFCI", "DF",
    "PANEL", "A", "SCHEDULE", "TOTAL", "BATH", "1", "2", "3", "1,3", "12", "20", "20/1", "X", "-", "'", "(", "½",
])  # fmt: skip
place = st.tuples(st.integers(0, 30), st.integers(0, 20), words, st.sampled_from([0.0, 0.0, 0.0, 90.0, 45.0]))


@settings(max_examples=150, deadline=None)
@given(st.lists(place, max_size=60), st.integers(0, 20))
def test_words_in_any_order_upset_nothing(places, lines):
    said = tuple(
        Word(text, (x * 20.0, y * 12.0, x * 20.0 + 5 * len(text), y * 12.0 + 8), angle, 8.0 if x else 0.0, i)
        for i, (x, y, text, angle) in enumerate(places)
    )
    rng = random.Random(lines)
    strokes = np.array([[rng.choice((0, 20, 40, 300)) for _ in range(4)] for _ in range(lines)], float)
    sheet = Sheet("a.pdf", 1, None, None, 700, 400, Strokes.of(strokes), Fills.none(), said, (), (), ())
    for panel in read_panels(sheet):
        assert all(row.circuits for row in panel.rows)
        assert panel.rows or panel.problems


def test_a_plan_of_many_words_takes_no_time(trade):
    """5,000 words and 50,000 rulings besides a schedule."""
    drawn = trade.draw([("CKT", 40), ("DESCRIPTION", 120), ("AMPS", 40), ("TYPE", 60)],
                       [[str(i), "BATH", "20", "GFCI"] for i in range(1, 30)], "PANEL A")  # fmt: skip
    rng = np.random.default_rng(0)
    noise = [Word("ROOM", (x, y, x + 20, y + 8), 0.0, 8.0, 99) for x, y in rng.uniform(500, 1500, (5000, 2))]
    at = rng.uniform(500, 1500, (50000, 2))
    run = np.where(rng.random((50000, 1)) < 0.5, [[30.0, 0.0]], [[0.0, 30.0]])
    sheet = trade.sheet(drawn, (noise, [tuple(r) for r in np.concatenate([at, at + run], axis=1)]))
    (panel,) = read_panels(sheet)
    assert len(panel.rows) == 29
    assert protection_of(trade.outlet("A-7"), (panel,)).by == "breaker"

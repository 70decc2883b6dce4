"""What the schedule pages say: totals, what is missing, what is unresolved, the sheets, and what is left over."""

from __future__ import annotations

from cordpath.model import Run, SheetResult
from cordpath.report.pdf.canvas import (
    BLUE,
    GREY,
    INK,
    PALE,
    VERMILION,
    text_width,
)
from cordpath.report.pdf.layout import Cells, Column, Layout, SchedulePage
from cordpath.report.pdf.mark_drawings import cloud_canvas
from cordpath.report.rows import Row, count_verdicts, rows_of, sheet_name, sheet_title, with_verdict
from cordpath.report.summary import counted, leftovers, scale_remarks, scales_told, totals

OUTLET_COLUMNS = (
    Column("No.", 0.075), Column("Sheet", 0.06), Column("Room", 0.11), Column("Symbol", 0.115),
    Column("Circuit", 0.055), Column("Required by", 0.11), Column("Because", 0.385), Column("Verdict", 0.09),
)  # fmt: skip
SHEET_COLUMNS = (
    Column("Sheet", 0.06), Column("Page", 0.04), Column("Title", 0.16), Column("Status", 0.07),
    Column("Scale used", 0.17), Column("Outlets", 0.06), Column("Missing", 0.06), Column("Unresolved", 0.075),
    Column("Remarks", 0.305),
)  # fmt: skip


def lay_out_schedule(
    results: tuple[SheetResult, ...],
    run: Run,
    size: tuple[float, float],
    banner: str = "",
    seals: tuple[str, ...] = (),
) -> list[SchedulePage]:
    """The pages for the sheets of one file, of that size; ``banner`` is shown on each of them, ``seals``
    (who signed the file) on the first."""
    name = results[0].file.replace("\\", "/").rsplit("/", 1)[-1] if results else ""
    layout = Layout(size, run, name, banner)
    rows = tuple(rows_of(results))
    _totals(layout, results)
    layout.paragraph(_summary(results), name="CpB")
    for seal in seals:
        layout.paragraph(seal)
    for verdict, heading in (("missing", "Missing: protection is required and not shown"),
                             ("unresolved", "Unresolved: a person has to answer")):  # fmt: skip
        chosen = with_verdict(rows, verdict)  # type: ignore[arg-type]
        if chosen:
            layout.heading(f"{heading} ({len(chosen)})")
            layout.table(OUTLET_COLUMNS, [_outlet_cells(row) for row in chosen])
    layout.heading("Sheets of this file")
    layout.table(SHEET_COLUMNS, [_sheet_cells(result) for result in results])
    _leftovers(layout, results)
    return layout.finish()


def _totals(layout: Layout, results: tuple[SheetResult, ...]) -> None:
    """A strip of figures, and the key to the marks."""
    look, canvas, counts = layout.look, layout.canvas, totals(results)
    x, top, high = look.margin, layout.y, look.size(34)
    figures = [("sheets", INK), ("outlets", INK), ("missing", VERMILION), ("unresolved", BLUE), ("protected", INK),
               ("not required", INK), ("unexplained", INK)]  # fmt: skip
    wide = look.size(74)
    for k, (name, colour) in enumerate(figures):
        left = x + k * wide
        canvas.box((left, top, left + wide - look.size(6), top + high), fill=PALE)
        canvas.text((left + look.size(6), top + look.size(17)), str(counts[name]), look.size(14), colour, "CpB")
        canvas.text((left + look.size(6), top + look.size(28)), counted(name, counts[name]), look.size(8.5), GREY)
    layout.y = top + high + look.size(4)
    _key(layout)
    layout.y += look.size(20)


def _key(layout: Layout) -> None:
    """What the marks on the sheets mean."""
    look, canvas = layout.look, layout.canvas
    x, y, high = look.margin, layout.y + look.size(5), look.size(15)
    middle, baseline = y + high / 2, y + high / 2 + look.body * 0.36
    for text, missing in (("protection is missing", True), ("unresolved: see the question", False)):
        cloud_canvas((x + look.size(3), y, x + look.size(25), y + high), missing, look.unit * 0.9, canvas)
        canvas.text((x + look.size(35), baseline), text, look.body)
        x += look.size(59) + text_width(text, look.body)
    end = x + look.size(28)
    canvas.line([(x, middle), (end, middle)], VERMILION, look.size(1.2))
    canvas.dot((x, middle), look.size(2.2), VERMILION)
    canvas.dot((end, middle), look.size(2.2), VERMILION)
    canvas.text((end + look.size(8), baseline), "cord path as measured in the plan", look.body)
    layout.y = y + high


def _summary(results: tuple[SheetResult, ...]) -> str:
    counts = totals(results)
    if not counts["checked"] and not counts["outlets"]:
        return "No sheet of this file was checked; nothing can be said about its outlets."
    unchecked = ""
    if counts["failed"]:
        unchecked = f" {_count(counts['failed'], 'sheet')} could not be checked."
    if counts["missing"]:
        return f"Protection is required and not shown at {_count(counts['missing'], 'outlet')}.{unchecked}"
    if counts["unresolved"]:
        open_ones = _count(counts["unresolved"], "outlet")
        return f"No outlet is found missing protection, but {open_ones} could not be settled.{unchecked}"
    loose = ""
    if counts["unexplained"]:
        loose = f" {_count(counts['unexplained'], 'shape')} drawn on them could not be accounted for."
    if not counts["outlets"]:
        cure = "See whether the mapping file describes the symbols of these sheets."
        return f"No outlet was found on the sheets that were checked.{loose} {cure}{unchecked}"
    return f"No outlet is found missing protection on the sheets that were checked.{loose}{unchecked}"


def _count(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _outlet_cells(row: Row) -> Cells:
    missing = row.verdict == "missing"
    texts = (row.number, row.sheet, row.room, row.symbol, row.circuit, row.required_told, row.told, row.verdict)
    return Cells(texts, (row.page, row.number), VERMILION if missing else BLUE)


def _sheet_cells(result: SheetResult) -> Cells:
    counts = count_verdicts((result,))
    failed = result.status == "failed"
    figures = ("", "", "") if not result.judged else tuple(
        str(n) for n in (sum(counts.values()), counts["missing"], counts["unresolved"])
    )  # fmt: skip
    texts = (
        sheet_name(result),
        str(result.page),
        sheet_title(result),
        result.status,
        scales_told(result.reading),
        *figures,
        scale_remarks(result),
    )
    return Cells(texts, None, VERMILION if failed else INK)


def _leftovers(layout: Layout, results: tuple[SheetResult, ...]) -> None:
    """What nothing accounts for, and what was taken for granted."""
    for heading, lines in leftovers(results):
        layout.heading(heading, 20)
        layout.y += layout.look.body
        for line in lines:
            layout.paragraph(line)

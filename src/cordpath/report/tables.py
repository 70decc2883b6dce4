"""Schedules for spreadsheets: one row an outlet, as comma-separated values and as a workbook.

Text from a drawing is data, never a formula: a cell that a spreadsheet would compute is led by an apostrophe.
(The characters are those of the OWASP page on CSV injection: = + - @, tab, carriage return.)
"""

from __future__ import annotations

import csv
import io
import textwrap
from collections.abc import Iterable
from copy import copy
from pathlib import Path
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from cordpath.model import Companion, Finding, Run, SheetResult
from cordpath.report.atomic import write_text_whole, write_whole
from cordpath.report.groups import (
    CIRCUIT_COLUMNS,
    CIRCUIT_WIDTHS,
    COMPANIONS,
    ROOM_COLUMNS,
    ROOM_WIDTHS,
    SYMBOL_COLUMNS,
    SYMBOL_WIDTHS,
    Cell,
    by_circuit,
    by_room,
    by_symbol,
)
from cordpath.report.rows import CAUTIONS, Row, count_verdicts, number_or_none, rows_of, sheet_name, sheet_title
from cordpath.report.summary import places_unexplained, scale_remarks, scales_told, unexplained_of
from cordpath.report.xml_files import FIXED_DATE, write_fixed_zip, xml_text

COLUMNS = (
    "sheet", "number", "room", "kind", "circuit", "required by", "protected by", "verdict", "distance",
    "symbol", "decision", "reason", "file", "page", "AFCI", "tamper-resistant", "weather-resistant",
    "labels", "volts", "height",
)  # fmt: skip
WIDTHS = (10, 11, 18, 16, 10, 18, 11, 13, 10, 18, 24, 60, 20, 6, 13, 13, 13, 16, 7, 8)  # characters
FEET = '0.00 "ft"'  # how a workbook shows a length; the only figures with a fraction are distances
COMPUTED = ("=", "+", "-", "@", "\t", "\r", "\n")
CELL_MOST = 32_767  # characters a workbook cell may hold (ECMA-376, from memory)
LINE = 15.0  # pt of a line of text of 11 pt, as spreadsheets set it
TALLEST = 409.0  # pt that a row may have (a usual limit of spreadsheets, from memory)
SLACK = 2  # characters of a column that its margins take, and letters wider than a figure
NOT_CHECKED = "sheet not checked"
HEAD_FILL = PatternFill("solid", fgColor="FF1F3A5F")
VERDICT_FILLS = {
    "missing": PatternFill("solid", fgColor="FFF9D9C3"),
    "unresolved": PatternFill("solid", fgColor="FFD6E4F5"),
    NOT_CHECKED: PatternFill("solid", fgColor="FFE3E3E3"),
}


def write_schedule_csv(path: Path, results: tuple[SheetResult, ...]) -> None:
    """UTF-8, a header row, one row an outlet; a sheet that failed has a row of its own without a number.

    The cautions are a last column, the same in every row: programs expect the header first and as many cells in
    each row, and rows that are sorted, filtered or copied out take them along.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")  # RFC 4180
    writer.writerow((*COLUMNS, "cautions"))
    for cells in _cells(results):
        told = [harmless(cell) if isinstance(cell, str) else _shown(cell) for cell in cells]
        writer.writerow([*told, " ".join(CAUTIONS)])
    write_text_whole(path, out.getvalue())


def write_schedule_xlsx(path: Path, results: tuple[SheetResult, ...], run: Run) -> None:
    """All outlets, those missing protection, those to be settled, what is drawn beside them and not accounted for,
    counts by room, circuit and symbol, the sheets, the run."""
    book = Workbook()
    everything = book.active
    everything.title = "all outlets"
    cells = list(_cells(results))
    _fill(everything, COLUMNS, cells, WIDTHS)
    _fill(book.create_sheet("missing"), COLUMNS, [row for row in cells if row[7] == "missing"], WIDTHS)
    _fill(book.create_sheet("unresolved"), COLUMNS,
          [row for row in cells if row[7] in ("unresolved", NOT_CHECKED)], WIDTHS)  # fmt: skip
    _fill(book.create_sheet("unexplained"), OPEN_COLUMNS, _open_cells(results), OPEN_WIDTHS)
    rows = tuple(rows_of(results))
    _fill(book.create_sheet("by room"), ROOM_COLUMNS, by_room(rows), ROOM_WIDTHS)
    _fill(book.create_sheet("by circuit"), CIRCUIT_COLUMNS, by_circuit(rows), CIRCUIT_WIDTHS)
    _fill(book.create_sheet("totals"), SYMBOL_COLUMNS, by_symbol(rows), SYMBOL_WIDTHS)
    _fill(book.create_sheet("sheets"), SHEET_COLUMNS, map(_sheet_row, results), SHEET_WIDTHS)
    _fill(book.create_sheet("about"), ("what", "value"), _about(run), (24, 100))
    for name in ("creator", "lastModifiedBy"):
        setattr(book.properties, name, "cordpath")
    book.properties.created = book.properties.modified = FIXED_DATE
    data = io.BytesIO()
    book.save(data)
    write_whole(path, lambda part: write_fixed_zip(part, data.getvalue()))


def harmless(text: str) -> str:
    """Text that a spreadsheet shows and never computes, without characters that it refuses."""
    text = xml_text(text)[: CELL_MOST - 1]
    return f"'{text}" if text.startswith(COMPUTED) else text


def _shown(cell: float | int | None) -> str:
    return "" if cell is None else (f"{cell:.2f}" if isinstance(cell, float) else str(cell))


def _cells(results: tuple[SheetResult, ...]) -> Iterable[tuple[Cell, ...]]:
    for result in results:
        if result.status == "failed":
            yield (sheet_name(result), *[""] * 6, NOT_CHECKED, None, "", "", result.why or "", result.file,
                   result.page, *[""] * len(COMPANIONS), "", None, "")  # fmt: skip
        yield from (_row_cells(row) for row in rows_of((result,)))


def _row_cells(row: Row) -> tuple[Cell, ...]:
    return (row.sheet, row.number, row.room, row.kind, row.circuit, row.required_by, row.protected_by, row.verdict,
            row.distance_ft, row.symbol, row.decision, row.said, row.file, row.page,
            *companion_cells(row.finding), *_as_drawn(row.finding))  # fmt: skip


def _as_drawn(finding: Finding) -> tuple[Cell, ...]:
    """The words beside the outlet, its volts, and how high it is drawn; empty where nothing says it."""
    symbol = finding.outlet.symbol
    volts, height = number_or_none(symbol.fact("volts")), number_or_none(symbol.fact("height_in"))
    return (
        ", ".join(label.text for label in symbol.labels),
        f"{volts:g}" if volts is not None and volts != int(volts) else volts and int(volts),
        f"{height:g} in" if height is not None else "",
    )


def companion_cells(finding: Finding) -> tuple[str, ...]:
    """What else the code asks of the outlet: ``yes (210.12(B))``, ``no``, ``unknown``; empty where not told."""
    told = {each.name: each for each in finding.companions}
    return tuple(_companion(told.get(name)) for name in COMPANIONS)


def _companion(each: Companion | None) -> str:
    if each is None:
        return ""
    return f"{each.asked.value} ({each.cite})" if each.cite else each.asked.value


SHEET_COLUMNS = ("sheet", "title", "status", "scale", "outlets", "missing", "unresolved", "protected",
                 "not required", "unexplained", "why", "file", "page")  # fmt: skip
SHEET_WIDTHS = (10, 30, 10, 24, 9, 9, 11, 10, 12, 12, 60, 30, 7)
OPEN_COLUMNS = ("sheet", "drawn, and not accounted for", "places", "outlets", "file", "page")
OPEN_WIDTHS = (10, 80, 8, 24, 30, 7)


def _sheet_row(result: SheetResult) -> tuple[Cell, ...]:
    counts = count_verdicts((result,))
    return (sheet_name(result), sheet_title(result), result.status, scales_told(result.reading),
            sum(counts.values()), counts["missing"], counts["unresolved"], counts["protected"],
            counts["not required"], places_unexplained(result), scale_remarks(result),
            result.file, result.page)  # fmt: skip


def _open_cells(results: tuple[SheetResult, ...]) -> Iterable[tuple[Cell, ...]]:
    """What hangs on no outlet that was found: it may be outlets, of which no other part of the workbook tells."""
    for result in results:
        name, place = sheet_name(result), (result.file, result.page)
        yield from ((name, item.what, item.count, "", *place) for item in unexplained_of(result))
        yield from ((name, each.what, None, ", ".join(each.outlets), *place) for each in result.conflicts)


def _about(run: Run) -> list[tuple[Cell, ...]]:
    pairs = [
        ("code edition", f"National Electrical Code {run.edition}"),
        ("amendments", ", ".join(run.amendments) or "none"),
        ("permit date", run.permit_date or "not given: dated rules are questions"),
        *([("reviewed on", run.made_on)] if run.made_on else []),
        ("symbols", run.symbols),
        ("kind, symbol", "the kind is a word of cordpath, the symbol the name that the mapping file gives"),
        ("distance", "feet, along the cord path as measured in the plan, to the nearest thing that a rule names"),
        ("labels, volts, height", "as drawn or as the mapping file says; height to the center, above the floor"),
        ("cordpath", run.version),
    ]
    return [*pairs, *(("caution", caution) for caution in CAUTIONS)]


def _fill(
    sheet: Worksheet, head: tuple[str, ...], rows: Iterable[tuple[Cell, ...]], widths: tuple[int, ...]
) -> None:
    sheet.append(head)
    for cell in sheet[1]:
        cell.font, cell.fill = Font(bold=True, color="FFFFFFFF"), HEAD_FILL
        cell.alignment = Alignment(vertical="top", wrap_text=True)
    for row in rows:
        sheet.append([harmless(cell) if isinstance(cell, str) else cell for cell in row])
    looks: dict[tuple[bool, bool, str | None], Any] = {}
    for cells in sheet.iter_rows(min_row=2):
        _dress(cells, looks)
        sheet.row_dimensions[cells[0].row].height = _height(cells, widths)
    sheet.row_dimensions[1].height = _height(sheet[1], widths)
    for k, width in enumerate(widths, 1):
        sheet.column_dimensions[get_column_letter(k)].width = width
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(head))}{max(sheet.max_row, 1)}"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_TABLOID  # 17 x 11 in: on letter paper the text would be too small
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.page_setup.fitToHeight = 0
    sheet.print_title_rows = "1:1"


def _dress(cells: tuple[Any, ...], looks: dict[tuple[bool, bool, str | None], Any]) -> None:
    """Look of a row's cells.  ``looks``: those of the cells before, by what is in them: setting one takes openpyxl
    ten times as long as copying it, and a book has a hundred thousand cells."""
    verdict = next((cell.value for cell in cells if cell.value in VERDICT_FILLS), None)
    for cell in cells:
        text = isinstance(cell.value, str)
        if text:
            cell.data_type = "s"  # text whatever it looks like
        shade = verdict if cell.value in VERDICT_FILLS else None
        what = text, isinstance(cell.value, float), shade
        if what not in looks:
            # figures stand clear of the texts beside them
            cell.alignment = Alignment("general" if text else "center", vertical="top", wrap_text=text)
            if isinstance(cell.value, float):
                cell.number_format = FEET
            if shade is not None:
                cell.fill = VERDICT_FILLS[shade]
            looks[what] = cell._style
        cell._style = copy(looks[what])


def _height(cells: Iterable[Any], widths: tuple[int, ...]) -> float:
    """Points for the most lines that a cell of the row is wrapped to: not every program works it out by itself."""
    texts = [(str(cell.value), width) for cell, width in zip(cells, widths, strict=False) if cell.value is not None]
    lines = max((len(textwrap.wrap(text, width - SLACK)) for text, width in texts), default=1)
    return min(max(lines, 1) * LINE, TALLEST)

"""The sheets on the report page: the batch at a glance, and each sheet as a picture with its findings.

Terms: *spot*, a place of the picture that leads to the row of the outlet that is drawn there.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Mapping
from html import escape

from cordpath.model import SheetResult
from cordpath.report.page.outlets import RowKey, class_of
from cordpath.report.rows import VERDICTS, Row, count_verdicts, rows_of, sheet_name, sheet_title
from cordpath.report.summary import places_unexplained, scale_remarks, scales_told

Pictures = Mapping[tuple[str, int], bytes]
SHEET_HEAD = ("Sheet", "Title", "Status", "Scale", "Outlets", "Missing", "Unresolved", "Protected", "Not required",
              "Unexplained", "Remarks")  # fmt: skip
SPOT_AROUND = 8.0  # pt around a symbol that lead to its row: about its cloud


def worst_first(results: Iterable[SheetResult]) -> list[SheetResult]:
    """Failed sheets, then by missing, unresolved and unexplained, then skipped; equals stay in order."""

    def badness(result: SheetResult) -> tuple[int, int, int, int]:
        counts = count_verdicts((result,))
        group = {"failed": 0, "checked": 1, "skipped": 2}[result.status]
        return (group, -counts["missing"], -counts["unresolved"], -places_unexplained(result))

    return sorted(results, key=badness)


def sheet_key(result: SheetResult) -> tuple[str, int]:
    return (result.file, result.page)


def sheet_anchors(results: Iterable[SheetResult], pictures: Pictures) -> dict[tuple[str, int], str]:
    """Fragment names of the sheets that have a picture, made of safe characters only."""
    pictured = [result for result in worst_first(results) if sheet_key(result) in pictures]
    return {sheet_key(result): f"s{k}" for k, result in enumerate(pictured, 1)}


def sheet_table(results: tuple[SheetResult, ...], anchors: Mapping[tuple[str, int], str]) -> str:
    rows = "\n".join(_row(result, anchors.get(sheet_key(result))) for result in worst_first(results))
    head = "".join(f"<th scope=col>{escape(name)}</th>" for name in SHEET_HEAD)
    return (
        '<div class=wide tabindex=0 role=region aria-label="Sheets"><table id=sheets>'
        "<caption>Every sheet, worst first</caption>"
        f"<thead><tr>{head}</tr></thead><tbody>\n{rows}\n</tbody></table></div>"
    )


def _row(result: SheetResult, anchor: str | None) -> str:
    counts = count_verdicts((result,))
    figures = [str(n) if result.judged else "" for n in (
        sum(counts.values()), *(counts[v] for v in VERDICTS), places_unexplained(result),
    )]  # fmt: skip
    name = escape(sheet_name(result))
    if anchor:
        name = f'<a href="#{anchor}">{name}</a>'
    name = f"{name}<br><small>{escape(result.file)}, page {result.page}</small>"
    cells = [
        escape(sheet_title(result)), escape(result.status), escape(scales_told(result.reading)), *figures,
        escape(scale_remarks(result)),
    ]  # fmt: skip
    inner = "".join(f"<td>{cell}</td>" for cell in cells)
    return f'<tr class="{class_of(result.status)}"><th scope=row>{name}</th>{inner}</tr>'


def sheet_section(result: SheetResult, picture: bytes, anchor: str, rows: Mapping[RowKey, str]) -> str:
    """The picture of a sheet with its spots, and its findings as a list.  ``rows``: fragment names of outlets."""
    name = f"{sheet_name(result)} {sheet_title(result)}".strip()
    found = [
        (row, rows[result.file, result.page, row.number])
        for row in rows_of((result,))
        if row.verdict in VERDICTS[:2]
    ]
    data = b64encode(picture).decode("ascii")
    spots = "".join(_spot(result, row, target) for row, target in found)
    lines = "".join(_line(row, target) for row, target in found)
    listed = f"<ul class=found>{lines}</ul>" if lines else "<p>Nothing is missing or unresolved on this sheet.</p>"
    return (
        f'<section class=sheet id={anchor} aria-labelledby="{anchor}-name">'
        f'<details open><summary><h2 id="{anchor}-name">{escape(name)}</h2></summary><div class=plan>'
        f'<img loading=lazy alt="{escape(name)} with review marks" src="data:image/png;base64,{data}">{spots}</div>'
        f"{listed}</details></section>"
    )


def _line(row: Row, target: str) -> str:
    """The whole reason stands in the row that the number leads to."""
    said = ", ".join(part for part in (row.room or "no room", row.verdict, row.required_by) if part)
    return f'<li class="{class_of(row.verdict)}"><a href="#{target}">{escape(row.number)}</a> {escape(said)}</li>'


def _spot(result: SheetResult, row: Row, target: str) -> str:
    """For the mouse only: the list below says the same to a keyboard or a screen reader."""
    sheet = result.reading.sheet if result.reading else None
    if sheet is None or sheet.width <= 0 or sheet.height <= 0:
        return ""
    symbol = row.finding.outlet.symbol
    x0, y0, x1, y1 = (*symbol.at, *symbol.at) if symbol.footprint.is_empty else symbol.footprint.bounds
    left, top = (x0 - SPOT_AROUND) / sheet.width, (y0 - SPOT_AROUND) / sheet.height
    wide, tall = (x1 - x0 + 2 * SPOT_AROUND) / sheet.width, (y1 - y0 + 2 * SPOT_AROUND) / sheet.height
    if not all(-1 < share < 2 for share in (left, top, wide, tall)):  # also where one is no number
        return ""
    place = f"left:{left:.3%};top:{top:.3%};width:{wide:.3%};height:{tall:.3%}"
    title = escape(f"{row.number} {row.verdict}")
    return f'<a class=spot href="#{target}" style="{place}" title="{title}" tabindex=-1 aria-hidden=true></a>'

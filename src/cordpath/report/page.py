"""report.html: the batch on one page that works offline, with a picture of every checked sheet.

Everything that comes from a drawing, a file name or a user is escaped; the page loads nothing from anywhere, and
its policy lets no script run but its own.
"""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256
from html import escape
from importlib.resources import files
from pathlib import Path

from cordpath.model import Proposal, Run, SheetResult
from cordpath.report.atomic import write_text_whole
from cordpath.report.document import leftovers, totals
from cordpath.report.gallery import learnt_gallery, shape_gallery
from cordpath.report.page_outlets import Crops, anchors_of, class_of, filters, outlet_table, worst_rows
from cordpath.report.page_sheets import (
    Pictures,
    sheet_anchors,
    sheet_key,
    sheet_section,
    sheet_table,
    worst_first,
)
from cordpath.report.proposals import proposed
from cordpath.report.rows import CAUTIONS, VERDICTS, rows_of


def write_html(
    path: Path,
    results: tuple[SheetResult, ...],
    run: Run,
    pictures: Pictures | None = None,
    proposals: tuple[Proposal, ...] = (),
    crops: Crops | None = None,
) -> None:
    """One file.  ``pictures``: PNG bytes of marked sheets by (file, page), see ``sheet_pictures``; ``crops``: of
    single findings by (file, page, outlet), see ``finding_pictures``.

    Raises OutputRefused where it cannot be written.
    """
    write_text_whole(path, html_report(results, run, pictures or {}, proposals, crops or {}))


def html_report(
    results: tuple[SheetResult, ...], run: Run, pictures: Pictures, proposals: tuple[Proposal, ...] = (),
    crops: Crops | None = None,
) -> str:  # fmt: skip
    script = _asset("report.js")
    # What a user wrote is put in last, so that it cannot stand in for a place holder.
    page = _asset("report.template.html")
    for place, text in (
        ("policy", f"sha256-{b64encode(sha256(f'{chr(10)}{script}{chr(10)}'.encode()).digest()).decode()}"),
        ("style", _asset("report.css")),
        ("script", script),
        ("body", "\n".join(_body(results, run, pictures, proposals, crops or {}))),
    ):
        page = page.replace(f"<!--{place}-->", text)
    return page


def _body(
    results: tuple[SheetResult, ...], run: Run, pictures: Pictures, proposals: tuple[Proposal, ...], crops: Crops
) -> list[str]:
    rows = worst_rows(rows_of(results))
    outlets, sheets = anchors_of(rows), sheet_anchors(results, pictures)
    pictured = [result for result in worst_first(results) if sheet_key(result) in sheets]
    return [
        '<header><a class=skip href="#outlets">Skip to the outlets</a>',
        f"<h1>GFCI review of {len(results)} sheet{'' if len(results) == 1 else 's'}</h1>",
        _terms(run),
        "</header><main>",
        _figures(results),
        "<h2>Sheets, worst first</h2>",
        sheet_table(results, sheets),
        "<h2>Outlets</h2>",
        filters(rows),
        outlet_table(rows, crops, sheets),
        *(sheet_section(r, pictures[sheet_key(r)], sheets[sheet_key(r)], outlets) for r in pictured),
        *(line for heading, items in proposed(proposals) for line in _list(heading, items)),
        *(line for heading, items in leftovers(results) for line in _list(heading, items)),
        *shape_gallery(results),
        *learnt_gallery(results),
        f"</main><footer>{' '.join(escape(caution) for caution in CAUTIONS)}</footer>",
    ]


def _asset(name: str) -> str:
    return files("cordpath.report").joinpath(name).read_text(encoding="utf-8")


def _terms(run: Run) -> str:
    amended = ", ".join(run.amendments) or "none"
    dated = f" Permit date: {escape(run.permit_date)}." if run.permit_date else ""
    return (
        f"<p class=terms>National Electrical Code, {escape(run.edition)} edition, 210.8. "
        f"Local amendments: {escape(amended)}.{dated} Symbols: {escape(run.symbols)}. "
        f"cordpath {escape(run.version)}.</p>"
    )


def _figures(results: tuple[SheetResult, ...]) -> str:
    counts = totals(results)
    shown = ("sheets", "failed", "outlets", *VERDICTS, "unexplained")
    items = (f'<li class="{class_of(name)}"><b>{counts[name]}</b>{escape(name)}</li>' for name in shown)
    return f"<ul class=figures>{''.join(items)}</ul>"


def _list(heading: str, items: list[str]) -> list[str]:
    return [f"<h2>{escape(heading)}</h2>", "<ul>", *(f"<li>{escape(item)}</li>" for item in items), "</ul>"]

"""report.html: the batch on one page that works offline, with a picture of every checked sheet.

Everything that comes from a drawing, a file name or a user is escaped; the page loads nothing from anywhere, and
its policy lets no script run but its own.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Iterator
from hashlib import sha256
from html import escape
from importlib.resources import files
from pathlib import Path

from cordpath.model import Proposal, Run, SheetResult
from cordpath.report.atomic import write_whole
from cordpath.report.page.gallery import learnt_gallery, shape_gallery
from cordpath.report.page.outlets import Crops, anchors_of, class_of, filters, outlet_table, worst_rows
from cordpath.report.page.sheets import (
    Pictures,
    sheet_anchors,
    sheet_key,
    sheet_section,
    sheet_table,
    worst_first,
)
from cordpath.report.proposals import proposed
from cordpath.report.rows import CAUTIONS, VERDICTS, names_apart, rows_of
from cordpath.report.summary import counted, leftovers, totals


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
    pieces = _pieces(results, run, pictures or {}, proposals, crops or {})
    write_whole(path, lambda part: _fill(part, pieces))


def _fill(part: Path, pieces: Iterable[str]) -> None:
    """Piece by piece: the whole page in one text would need the memory of all its pictures several times over."""
    with part.open("wb") as file:
        for piece in pieces:
            file.write(piece.encode("utf-8"))


def _pieces(
    results: tuple[SheetResult, ...], run: Run, pictures: Pictures, proposals: tuple[Proposal, ...], crops: Crops
) -> Iterator[str]:
    script = _asset("report.js")
    page = _asset("report.template.html")
    for place, text in (
        ("policy", f"sha256-{b64encode(sha256(f'{chr(10)}{script}{chr(10)}'.encode()).digest()).decode()}"),
        ("style", _asset("report.css")),
        ("script", script),
    ):
        page = page.replace(f"<!--{place}-->", text)
    # What a user wrote is put in last, so that it cannot stand in for a place holder.
    before, after = page.split("<!--body-->")
    yield before
    for number, line in enumerate(_body(results, run, pictures, proposals, crops)):
        yield line if number == 0 else f"\n{line}"
    yield after


def _body(
    results: tuple[SheetResult, ...], run: Run, pictures: Pictures, proposals: tuple[Proposal, ...], crops: Crops
) -> Iterator[str]:
    by_sheet = [(result, worst_rows(rows_of((result,)))) for result in worst_first(results)]
    groups = [(result, rows) for result, rows in by_sheet if rows]
    rows = tuple(row for _, each in groups for row in each)
    outlets, sheets = anchors_of(rows), sheet_anchors(results, pictures)
    pictured = [result for result in worst_first(results) if sheet_key(result) in sheets]
    yield '<header><a class=skip href="#outlets">Skip to the outlets</a>'
    yield f"<h1>GFCI review of {len(results)} sheet{'' if len(results) == 1 else 's'}</h1>"
    yield _terms(run)
    yield "</header><main>"
    yield _figures(results)
    yield "<h2>Sheets, worst first</h2>"
    yield sheet_table(results, sheets)
    yield "<section class=outlets aria-labelledby=outlets-name><h2 id=outlets-name>Outlets</h2>"
    yield filters(rows, names_apart(results))
    yield outlet_table(groups, outlets, crops, sheets)
    yield "</section>"
    for result in pictured:
        yield sheet_section(result, pictures[sheet_key(result)], sheets[sheet_key(result)], outlets)
    for heading, items in (*proposed(proposals), *leftovers(results)):
        yield from _list(heading, items)
    yield from shape_gallery(results)
    yield from learnt_gallery(results)
    yield f"</main><footer>{' '.join(escape(caution) for caution in CAUTIONS)}</footer>"


def _asset(name: str) -> str:
    return files("cordpath.report").joinpath(name).read_text(encoding="utf-8")


def _terms(run: Run) -> str:
    amended = ", ".join(run.amendments) or "none"
    dated = f" Permit date: {escape(run.permit_date)}." if run.permit_date else ""
    dated += f" Reviewed on {escape(run.made_on)}." if run.made_on else ""
    return (
        f"<p class=terms>National Electrical Code, {escape(run.edition)} edition, 210.8. "
        f"Local amendments: {escape(amended)}.{dated} Symbols: {escape(run.symbols)}. "
        f"cordpath {escape(run.version)}.</p>"
    )


def _figures(results: tuple[SheetResult, ...]) -> str:
    counts = totals(results)
    shown = ("sheets", "failed", "outlets", *VERDICTS, "unexplained")
    items = (
        f'<li class="{class_of(name) if counts[name] else "none"}">'
        f"<b>{counts[name]}</b>{escape(counted(name, counts[name]))}</li>"
        for name in shown
    )
    return f"<ul class=figures>{''.join(items)}</ul>"


def _list(heading: str, items: list[str]) -> list[str]:
    return [f"<h2>{escape(heading)}</h2>", "<ul>", *(f"<li>{escape(item)}</li>" for item in items), "</ul>"]

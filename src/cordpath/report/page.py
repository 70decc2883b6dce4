"""report.html: the batch on one page that works offline, with a picture of every checked sheet.

Everything that comes from a drawing, a file name or a user is escaped; the page loads nothing from anywhere.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Mapping
from html import escape
from importlib.resources import files
from pathlib import Path

from cordpath.model import Proposal, Run, SheetResult
from cordpath.report.atomic import write_text_whole
from cordpath.report.document import leftovers, main_scale, scale_words, totals, unexplained_of
from cordpath.report.gallery import learnt_gallery, shape_gallery
from cordpath.report.proposals import proposed
from cordpath.report.rows import (
    CAUTIONS,
    VERDICTS,
    Row,
    asking,
    count_verdicts,
    may_ask,
    rows_of,
    sheet_name,
    sheet_title,
)

Pictures = Mapping[tuple[str, int], bytes]
Crops = Mapping[tuple[str, int, str], bytes]
OUTLET_HEAD = (
    "No.",
    "Sheet",
    "Room",
    "Kind",
    "Circuit",
    "Required by",
    "Protected by",
    "Verdict",
    "Distance",
    "Reason",
)
SHEET_HEAD = ("Sheet", "Title", "Status", "Scale", "Outlets", "Missing", "Unresolved", "Protected", "Not required",
              "Unexplained", "Remarks")  # fmt: skip


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
    rows = tuple(rows_of(results))
    body = [
        '<a class=skip href="#outlets">Skip to the outlets</a>',
        f"<h1>GFCI review of {len(results)} sheet{'' if len(results) == 1 else 's'}</h1>",
        _terms(run),
        _figures(results),
        "<h2>Sheets, worst first</h2>",
        _sheet_table(results, pictures),
        "<h2>Outlets</h2>",
        _filters(rows),
        _outlet_table(rows, crops or {}),
        *(line for heading, items in proposed(proposals) for line in _list(heading, items)),
        *(line for heading, items in leftovers(results) for line in _list(heading, items)),
        *shape_gallery(results),
        *learnt_gallery(results),
        *(_picture(result, pictures) for result in worst_first(results) if _key(result) in pictures),
        f"<footer>{' '.join(escape(caution) for caution in CAUTIONS)}</footer>",
    ]
    page = _asset("report.template.html")
    # What a user wrote is put in last, so that it cannot stand in for a place holder.
    for place, text in (
        ("style", _asset("report.css")),
        ("script", _asset("report.js")),
        ("body", "\n".join(body)),
    ):
        page = page.replace(f"<!--{place}-->", text)
    return page


def worst_first(results: Iterable[SheetResult]) -> list[SheetResult]:
    """Failed sheets, then by missing, unresolved and unexplained, then skipped; equals stay in order."""

    def badness(result: SheetResult) -> tuple[int, int, int, int]:
        counts = count_verdicts((result,))
        group = {"failed": 0, "checked": 1, "skipped": 2}[result.status]
        loose = sum(item.count for item in unexplained_of(result))
        return (group, -counts["missing"], -counts["unresolved"], -loose)

    return sorted(results, key=badness)


def _asset(name: str) -> str:
    return files("cordpath.report").joinpath(name).read_text(encoding="utf-8")


def _key(result: SheetResult) -> tuple[str, int]:
    return (result.file, result.page)


def _anchor(result: SheetResult) -> str:
    """A fragment name made of safe characters only."""
    return f"s{f'{result.page} {result.file}'.encode(errors='replace').hex()}"


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
    items = (f'<li class="{_class(name)}"><b>{counts[name]}</b>{escape(name)}</li>' for name in shown)
    return f"<ul class=figures>{''.join(items)}</ul>"


def _class(text: str) -> str:
    return "v-" + "".join(letter if letter.isalnum() else "-" for letter in text)


def _head(names: Iterable[str]) -> str:
    return f"<thead><tr>{''.join(f'<th scope=col>{escape(name)}</th>' for name in names)}</tr></thead>"


def _sheet_table(results: tuple[SheetResult, ...], pictures: Pictures) -> str:
    rows = "\n".join(_sheet_row(result, _key(result) in pictures) for result in worst_first(results))
    return f"<div class=wide><table>{_head(SHEET_HEAD)}<tbody>\n{rows}\n</tbody></table></div>"


def _sheet_row(result: SheetResult, pictured: bool) -> str:
    counts = count_verdicts((result,))
    scale = main_scale(result.reading) if result.reading else None
    remarks = "; ".join(dict.fromkeys(t for t in (result.why, scale.why if scale else None) if t))
    checked = result.status == "checked"
    figures = [str(n) if checked else "" for n in (
        sum(counts.values()), *(counts[v] for v in VERDICTS), sum(i.count for i in unexplained_of(result)),
    )]  # fmt: skip
    name = escape(sheet_name(result))
    if pictured:
        name = f'<a href="#{_anchor(result)}">{name}</a>'
    name = f"{name}<br><small>{escape(result.file)}, page {result.page}</small>"
    cells = [
        escape(sheet_title(result)),
        escape(result.status),
        escape(scale_words(scale)),
        *figures,
        escape(remarks),
    ]
    inner = "".join(f"<td>{cell}</td>" for cell in cells)
    return f'<tr class="{_class(result.status)}"><th scope=row>{name}</th>{inner}</tr>'


def _filters(rows: tuple[Row, ...]) -> str:
    boxes = "".join(
        f'<label><input type=checkbox data-verdict="{escape(verdict)}" checked> {escape(verdict)}</label>'
        for verdict in VERDICTS
    )
    rooms = _choice("room", "Room", sorted({row.room for row in rows if row.room}))
    rules = _choice("rule", "Rule", sorted({rule for row in rows for rule in _rules(row)}))
    return (
        '<form class=filters role=search aria-label="Filter the outlets">'
        f"<label>Find <input type=search id=find></label>{rooms}{rules}"
        f"<fieldset><legend>Verdict</legend>{boxes}</fieldset>"
        "<output id=shown aria-live=polite></output></form>"
    )


def _choice(name: str, label: str, values: Iterable[str]) -> str:
    options = "".join(f"<option>{escape(value)}</option>" for value in values)
    return f'<label>{label} <select id={name}><option value="">all</option>{options}</select></label>'


def _rules(row: Row) -> tuple[str, ...]:
    """Sections that ask for protection at the outlet, or may."""
    asked = (*asking(row.finding), *may_ask(row.finding))
    return tuple(dict.fromkeys(requirement.cite for requirement in asked))


def _outlet_table(rows: tuple[Row, ...], crops: Crops) -> str:
    order = {verdict: k for k, verdict in enumerate(VERDICTS)}
    inner = "\n".join(_outlet_row(row, crops) for row in sorted(rows, key=lambda row: order[row.verdict]))
    return (
        '<div class=wide tabindex=0 role=region aria-label="Outlets"><table id=outlets>'
        "<caption>Every outlet, worst first</caption>"
        f"{_head(OUTLET_HEAD)}<tbody>\n{inner}\n</tbody></table></div>"
    )


def _outlet_row(row: Row, crops: Crops) -> str:
    distance = "" if row.distance_ft is None else f"{row.distance_ft:.2f} ft"
    cells = (row.sheet, row.room, row.kind, row.circuit, row.required_by, row.protected_by, row.verdict, distance)
    inner = "".join(f"<td>{escape(cell)}</td>" for cell in cells)
    inner += f"<td>{escape(row.told)}{_crop(row, crops.get((row.file, row.page, row.number)))}</td>"
    rules = "".join("|" + rule for rule in _rules(row)) + "|"
    told = f'class="{_class(row.verdict)}" data-verdict="{escape(row.verdict)}" data-room="{escape(row.room)}"'
    return f'<tr {told} data-rules="{escape(rules)}"><th scope=row>{escape(row.number)}</th>{inner}</tr>'


def _crop(row: Row, picture: bytes | None) -> str:
    if picture is None:
        return ""
    alt = f"{row.number} in {row.room or 'no room'}, {row.verdict}, as marked on {row.sheet}, with its cord paths"
    data = b64encode(picture).decode("ascii")
    return (
        f"<details><summary>Picture of {escape(row.number)}</summary>"
        f'<img class=crop loading=lazy alt="{escape(alt)}" src="data:image/png;base64,{data}"></details>'
    )


def _list(heading: str, items: list[str]) -> list[str]:
    return [f"<h2>{escape(heading)}</h2>", "<ul>", *(f"<li>{escape(item)}</li>" for item in items), "</ul>"]


def _picture(result: SheetResult, pictures: Pictures) -> str:
    name = f"{sheet_name(result)} {sheet_title(result)}".strip()
    data = b64encode(pictures[_key(result)]).decode("ascii")
    return (
        f'<section class=sheet id="{_anchor(result)}"><h2>{escape(name)}</h2>'
        f'<img alt="{escape(name)} with review marks" src="data:image/png;base64,{data}"></section>'
    )

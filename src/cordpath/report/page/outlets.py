"""The outlets on the report page: the filters, and a table with a row an outlet and a picture of each finding.

Terms: *anchor*, the fragment name of a row, by which pictures and lists of a sheet lead to it; *group*, the rows of
one sheet, which a button in its first row closes and opens.  On paper, and without the script, all are open.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterable, Mapping, Sequence
from html import escape

from cordpath.model import SheetResult
from cordpath.report.rows import (
    VERDICTS,
    Row,
    asking,
    count_verdicts,
    may_ask,
    names_apart,
    sheet_name,
    sheet_title,
)

Crops = Mapping[tuple[str, int, str], bytes]
RowKey = tuple[str, int, str]  # file, page, outlet
Groups = Sequence[tuple[SheetResult, tuple[Row, ...]]]
_SECTION = re.compile(r"\d{3}\.\d+(?:\(\w{1,2}\))+[],;.]*")  # browsers break lines before the (10) and ,
OUTLET_HEAD = (
    ("No.", "number"), ("Sheet", "on"), ("Room", "room"), ("Symbol", "symbol"), ("Circuit", "circuit"),
    ("Required by", "cites"), ("Protected by", "by"), ("Verdict", "verdict"), ("Distance", "distance"),
    ("Reason", "reason"),
)  # fmt: skip


def worst_rows(rows: Iterable[Row]) -> tuple[Row, ...]:
    """By verdict, worst first; equals stay in order."""
    order = {verdict: k for k, verdict in enumerate(VERDICTS)}
    return tuple(sorted(rows, key=lambda row: order[row.verdict]))


def anchors_of(rows: Iterable[Row]) -> dict[RowKey, str]:
    """Fragment names, made of safe characters only."""
    return {key_of(row): f"o{k}" for k, row in enumerate(rows, 1)}


def key_of(row: Row) -> RowKey:
    return (row.file, row.page, row.number)


def class_of(text: str) -> str:
    return "v-" + "".join(letter if letter.isalnum() else "-" for letter in text)


def filters(rows: tuple[Row, ...], names: Mapping[tuple[str, int], str]) -> str:
    """``names``: of the sheets by file and page, see :func:`names_apart`."""
    boxes = "".join(
        f'<label><input type=checkbox data-verdict="{escape(verdict)}" checked> {escape(verdict)}</label>'
        for verdict in VERDICTS
    )
    sheets = _choice("sheet", "Sheet", sorted({names[row.file, row.page] for row in rows}))
    rooms = _choice("room", "Room", sorted({row.room for row in rows if row.room}))
    rules = _choice("rule", "Rule", sorted({rule for row in rows for rule in _rules(row)}))
    return (
        '<form class=filters role=search aria-label="Filter the outlets">'
        f"<label>Find <input type=search id=find></label>{sheets}{rooms}{rules}"
        f"<fieldset><legend>Verdict</legend>{boxes}</fieldset>"
        "<button type=reset>Show all</button><button type=button id=fold>Close all sheets</button>"
        "<button type=button id=unfold>Open all pictures</button>"
        "<output id=shown aria-live=polite></output></form>"
    )


def _choice(name: str, label: str, values: Iterable[str]) -> str:
    options = "".join(f"<option>{escape(value)}</option>" for value in values)
    return f'<label>{label} <select id={name}><option value="">all</option>{options}</select></label>'


def _rules(row: Row) -> tuple[str, ...]:
    """Sections that ask for protection at the outlet, or may."""
    asked = (*asking(row.finding), *may_ask(row.finding))
    return tuple(dict.fromkeys(requirement.cite for requirement in asked))


def outlet_table(
    groups: Groups, anchors: Mapping[RowKey, str], crops: Crops, sheets: Mapping[tuple[str, int], str]
) -> str:
    """``anchors``: fragment names of the rows; ``sheets``: of the sheets that have a picture."""
    names = names_apart(result for result, _ in groups)
    inner = "\n".join(
        f"<tbody id=g{k}>{_group_head(result, k, sheets.get((result.file, result.page)))}\n"
        + "\n".join(_row(row, anchors[key_of(row)], crops, sheets, names[row.file, row.page]) for row in rows)
        + "\n</tbody>"
        for k, (result, rows) in enumerate(groups, 1)
    )
    head = "".join(f"<th scope=col class=c-{short}>{escape(name)}</th>" for name, short in OUTLET_HEAD)
    return (
        '<div class=wide tabindex=0 role=region aria-label="Outlets"><table id=outlets>'
        "<caption>Every outlet by sheet, worst first</caption>"
        f"<thead><tr>{head}</tr></thead>\n{inner}\n</table></div>"
    )


def _group_head(result: SheetResult, number: int, picture: str | None) -> str:
    """The row that names a sheet, counts its outlets and leads to its ``picture`` (a fragment name)."""
    counts = count_verdicts((result,))
    counted = ", ".join(f"{counts[verdict]} {verdict}" for verdict in VERDICTS if counts[verdict])
    name = f"{sheet_name(result)} {sheet_title(result)}".strip()
    place = f"{escape(result.file)}, page {result.page}"
    if picture is not None:
        place = f'<a href="#{picture}">{place}</a>'
    return (
        f"<tr class=group><th colspan={len(OUTLET_HEAD)} scope=rowgroup>"
        f"<button type=button aria-expanded=true aria-controls=g{number}>{escape(name)}</button> "
        f"<span>{counted}</span> <small>{place}</small> "
        "<span class=fits></span></th></tr>"
    )


def _row(row: Row, anchor: str, crops: Crops, sheets: Mapping[tuple[str, int], str], name: str) -> str:
    distance = "" if row.distance_ft is None else f"{row.distance_ft:.2f} ft"
    sheet = escape(row.sheet)
    if (row.file, row.page) in sheets:
        sheet = f'<a href="#{sheets[row.file, row.page]}">{sheet}</a>'
    ruled = f"<br><small>Reviewer: {escape(row.decision)}</small>" if row.decision else ""
    cells = [*map(escape, (row.room, row.symbol, row.circuit)), _told(row.required_told), escape(row.protected_by)]
    cells += [f"{escape(row.verdict)}{ruled}", distance]
    inner = f"<td>{sheet}</td>" + "".join(f"<td>{cell}</td>" for cell in cells)
    inner += f"<td>{_told(row.said)}{_crop(row, crops.get(key_of(row)))}</td>"
    data = {
        "verdict": row.verdict, "room": row.room, "sheet": name,
        "rules": "".join("|" + rule for rule in _rules(row)) + "|",
    }  # fmt: skip
    told = " ".join(f'data-{name}="{escape(value)}"' for name, value in data.items())
    head = f"<th scope=row>{escape(row.number)}</th>"
    return f'<tr id={anchor} class="{class_of(row.verdict)}" {told}>{head}{inner}</tr>'


def _told(text: str) -> str:
    """Text of which no section is broken at the end of a line."""
    return _SECTION.sub(r"<span class=section>\g<0></span>", escape(text))


def _crop(row: Row, picture: bytes | None) -> str:
    if picture is None:
        return ""
    alt = f"{row.number} in {row.room or 'no room'}, {row.verdict}, as marked on {row.sheet}, with its cord paths"
    data = b64encode(picture).decode("ascii")
    return (
        f"<details><summary>Picture of {escape(row.number)}</summary>"
        f'<img class=crop loading=lazy alt="{escape(alt)}" src="data:image/png;base64,{data}"></details>'
    )

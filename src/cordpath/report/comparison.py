"""What changes from edition to edition, outlet by outlet: for the console, as CSV and as JSON.

Terms: *line*, an outlet with its verdict and citations under each edition.  An outlet changes where its verdict
does; where only the numbers of the rules are others, the files tell it.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from rich.box import SIMPLE_HEAD
from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from cordpath.model import SheetResult
from cordpath.report.atomic import write_text_whole
from cordpath.report.console import SHORT_CAUTIONS
from cordpath.report.rows import CAUTIONS, VERDICTS, Row, rows_of, sheet_name
from cordpath.report.summary import Json
from cordpath.report.tables import harmless

FORMAT = "cordpath-comparison/1"
SECTION = len("210.8(A)(10)")  # of a terminal: narrower columns would part the numbers of sections
ByEdition = Mapping[str, tuple[SheetResult, ...]]


@dataclass(frozen=True, eq=False)
class Line:
    """``rows``: one an edition, in the order of the editions."""

    rows: tuple[Row, ...]

    @property
    def changes(self) -> bool:
        return len({row.verdict for row in self.rows}) > 1

    @property
    def differs(self) -> bool:
        """Another verdict, or other rules that ask for the same."""
        return self.changes or len({row.required_by for row in self.rows}) > 1


def comparison_lines(results: ByEdition) -> tuple[Line, ...]:
    """All outlets of all sheets.  The same readings stand behind every edition, so the rows are in step."""
    return tuple(Line(rows) for rows in zip(*(rows_of(each) for each in results.values()), strict=True))


def comparison_document(results: ByEdition, symbols: str, version: str, amendments: tuple[str, ...] = ()) -> Json:
    """Everything as plain data; the same results give the same bytes."""
    lines = comparison_lines(results)
    return {
        "format": FORMAT,
        "version": version,
        "symbols": symbols,
        "editions": list(results),
        "amendments": list(amendments),
        "totals": {year: _count(lines, k) for k, year in enumerate(results)},
        "changed": sum(line.changes for line in lines),
        "outlets": [_outlet(line, tuple(results)) for line in lines],
        "not checked": [
            {"file": r.file, "page": r.page, "status": r.status, "why": r.why}
            for r in next(iter(results.values()), ()) if r.status != "checked"
        ],
        "cautions": list(CAUTIONS),
    }  # fmt: skip


def _count(lines: tuple[Line, ...], k: int) -> dict[str, int]:
    verdicts = [line.rows[k].verdict for line in lines]
    return {str(verdict): verdicts.count(verdict) for verdict in VERDICTS}


def _outlet(line: Line, years: tuple[str, ...]) -> Json:
    row = line.rows[0]
    return {
        "file": row.file,
        "page": row.page,
        "sheet": row.sheet,
        "outlet": row.number,
        "room": row.room,
        "kind": row.kind,
        "symbol": row.symbol,
        "circuit": row.circuit or None,
        "changes": line.changes,
        "editions": {
            year: {"verdict": each.verdict, "required_by": each.required_by, "reason": each.told}
            for year, each in zip(years, line.rows, strict=True)
        },
    }


def write_comparison(
    folder: Path, results: ByEdition, symbols: str, version: str, amendments: tuple[str, ...] = ()
) -> list[Path]:
    """compare.json and compare.csv in ``folder``; raises OutputRefused where they cannot be written."""
    data = comparison_document(results, symbols, version, amendments)
    write_text_whole(
        folder / "compare.json", json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    )
    write_text_whole(folder / "compare.csv", _csv(results))
    return [folder / "compare.json", folder / "compare.csv"]


def _csv(results: ByEdition) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")  # RFC 4180
    heads = [f"{what} {year}" for year in results for what in ("verdict", "required by")]
    writer.writerow(["sheet", "number", "room", "kind", "circuit", "changes", *heads, "file", "page", "symbol",
                     "cautions"])  # fmt: skip
    for line in comparison_lines(results):
        row = line.rows[0]
        told = [text for each in line.rows for text in (each.verdict, each.required_by)]
        cells = [row.sheet, row.number, row.room, row.kind, row.circuit, "yes" if line.changes else "no", *told,
                 row.file, str(row.page), row.symbol, " ".join(CAUTIONS)]  # fmt: skip
        writer.writerow([harmless(cell) for cell in cells])
    return out.getvalue()


def comparison_tables(results: ByEdition) -> tuple[RenderableType, ...]:
    """For a console: totals by edition, then the outlets whose verdict changes."""
    lines = comparison_lines(results)
    cautions = Text(SHORT_CAUTIONS, style="dim")
    return (_totals(results, lines), *_changes(results, lines), *_not_checked(results), cautions)


def _totals(results: ByEdition, lines: tuple[Line, ...]) -> Table:
    table = Table(box=SIMPLE_HEAD, show_edge=False, header_style="bold", padding=(0, 1))
    for name in ("edition", *VERDICTS):
        table.add_column(name, justify="left" if name == "edition" else "right")
    for k, year in enumerate(results):
        table.add_row(year, *(str(n) for n in _count(lines, k).values()))
    return table


def _changes(results: ByEdition, lines: tuple[Line, ...]) -> tuple[RenderableType, ...]:
    changing = [line for line in lines if line.changes]
    others = sum(line.differs for line in lines) - len(changing)
    *first, last = results
    verb, keep = ("changes its" if len(changing) == 1 else "change their"), "keeps" if others == 1 else "keep"
    rest = Text(
        f"{len(changing)} of {len(lines)} outlets {verb} verdict between {', '.join(first)} and {last}; "
        f"{others} {keep} it under other rules."
    )
    if not changing:
        return (rest,)
    table = Table(box=SIMPLE_HEAD, show_edge=False, header_style="bold", padding=(0, 1, 0, 0))
    for name in ("outlet", "room", *results):
        table.add_column(name, overflow="fold", min_width=SECTION if name in results else None)
    for line in changing:
        told = (Text("\n".join((r.verdict, *filter(None, r.required_by.split(", "))))) for r in line.rows)
        table.add_row(Text(line.rows[0].number), Text(line.rows[0].room), *told)
    return (table, rest)


def _not_checked(results: ByEdition) -> tuple[Text, ...]:
    first = next(iter(results.values()), ())
    return tuple(
        Text(f"{r.file} page {r.page} ({sheet_name(r)}): {r.status}: {r.why or 'no reason was given'}")
        for r in first
        if r.status != "checked"
    )

"""Panels of a sheet: tables, their headings, their rows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from cordpath.circuits.panels.gaps import gaps
from cordpath.circuits.panels.general import asked_by_notes, general_notes
from cordpath.circuits.panels.headings import column, is_titled, panel_name
from cordpath.circuits.panels.keys import Notes, notes_of
from cordpath.circuits.panels.level import lacks_numbers
from cordpath.circuits.panels.marks import DITTO, panel_of
from cordpath.circuits.panels.meanings import asked_by_meanings
from cordpath.circuits.panels.rows import Body, rows_of
from cordpath.circuits.panels.shading import of_shading, shaded_circuits
from cordpath.circuits.panels.tables import Half, bands, halves
from cordpath.circuits.panels.titles import (
    Heading,
    Table,
    all_over,
    named_under,
    rival_of,
    shared_out,
    stands_over_headers,
    stands_over_rows,
    titles_of,
)
from cordpath.circuits.panels.unread_cells import turned_sheet, with_unread
from cordpath.circuits.panels.withdrawn import withdrawn
from cordpath.circuits.panels.words import Reading, Text, lines, phrases, readings
from cordpath.circuits.tags import bare_name
from cordpath.geometry import in_box
from cordpath.model import Answer, Box, Panel, PanelRow, Sheet
from cordpath.units import plain

LAST_COLUMN = 15.0  # text sizes beyond its header: a description of 30 letters
LEAST_ROWS = 4  # a table without a heading needs as many circuits to count as a panel schedule


def read_panels(sheet: Sheet) -> tuple[Panel, ...]:
    """The panel schedules of a sheet, top to bottom.

    A schedule whose heading is there but whose table cannot be read comes as a panel without rows and with its
    problem, so that nobody takes its circuits for circuits without GFCI breakers.
    """
    label = sheet.number or f"page {sheet.page}"
    found: list[Panel] = []
    for reading in readings(sheet):
        found += _panels(reading, label, sheet)
    return tuple(found)


def _panels(reading: Reading, label: str, sheet: Sheet) -> list[Panel]:
    tables = [(heads, halves(heads, reading, floor)) for heads, floor in _floored(bands(reading))]
    headings = _headings(reading, [half for _, parts in tables for half in parts])
    titles, shared = titles_of(headings, tables)
    page = _Page(reading, sheet, label, tables, headings, titles, frozenset(shared))
    used: set[int] = set()
    again: set[int] = set()  # under a table that has the name already
    unread: set[int] = set()  # over headers under which no row was read
    read: list[list[Text]] = []
    known: list[Half] = []
    found: list[Panel] = []
    for k, ((heads, parts), own) in enumerate(zip(tables, titles, strict=True)):
        over = [i for i in own if i not in used or i in shared]
        mine = _of_table(k, over, page)
        for i in [i for i, _ in mine if i is not None]:
            used.update(all_over(i, headings, heads))
            again.update(named_under(i, headings, heads, parts))
        found += [panel for _, panel in mine]
        unread.update(() if mine else over)
        read += [heads] if mine else []
        known += parts if mine else []
    for i, (text, name) in enumerate(headings):
        if i in used:
            continue
        headed = i in unread or stands_over_headers(text, reading, read) or stands_over_rows(text, reading, known)
        if headed or (i not in again and (is_titled(text.text) or _in_schedule(text, reading, sheet))):
            found.append(Panel(name, (), label, (f"no table could be read under '{text.text}'",), headed))
    return _run_on(found)


def table_boxes(reading: Reading) -> list[Box]:
    """The tables of a reading from their headers down, in its frame; a last column as wide as texts in it are."""
    found = []
    for heads, floor in _floored(bands(reading)):
        if parts := halves(heads, reading, floor):
            x0, _, x1, bottom = _box(parts)
            aside = LAST_COLUMN * heads[0].size
            left, right = min(head.x0 for head in heads) - aside, max(head.x1 for head in heads) + aside
            found.append((max(x0, left), min(head.y0 for head in heads), min(x1, right), bottom))
    return found


@dataclass(frozen=True)
class _Page:
    """A reading with its tables and headings: ``titles`` of each table, and the headings ``shared`` by two."""

    reading: Reading
    sheet: Sheet
    label: str
    tables: list[Table]
    headings: list[Heading]
    titles: list[list[int]]
    shared: frozenset[int]

    @property
    def halves(self) -> list[Half]:
        return [half for _, parts in self.tables for half in parts]

    @cached_property
    def turned(self) -> Sheet:
        """The sheet in the frame of the reading, made once for all of its panels."""
        return turned_sheet(self.sheet, self.reading.turn)


def _of_table(k: int, over: list[int], page: _Page) -> list[tuple[int | None, Panel]]:
    """The panels of a table, each with its heading among those that stand ``over`` it."""
    heads, parts = page.tables[k]
    found: list[tuple[int | None, Panel]] = []
    mixed = lacks_numbers(heads)
    for i, members in shared_out(parts, over, page.headings):
        title, name = page.headings[i] if i is not None else (None, None)
        notes = sum(_elsewhere(k, name, page), notes_of(page.reading, _box(members)))
        bodies = [_body(half, parts, page.reading, notes) for half in members]
        mixed |= any(body.mixed for body in bodies)
        told = not page.reading.turn and any(map(of_shading, notes.texts))
        shaded = shaded_circuits(members, page.sheet) if told else None
        panel = _panel(name, members, bodies, notes, page.label, shaded)
        if panel is None:
            continue
        panel = asked_by_meanings(panel, members, page.halves, page.reading, notes)
        panel = with_unread(panel, members, page.turned)
        if title is not None and i in page.shared:
            panel = _titled_twice(panel, title)
        if i is not None and (rival := rival_of(i, members, over, page.headings)) is not None:
            panel = _unsure(panel, f"'{rival.text}' stands over its table too")
        against = withdrawn(title, heads, page.reading)
        panel = panel if against is None else _doubted(panel, against)
        found.append((i, _of_another(panel, members)))
    return [(i, _unsure(panel)) for i, panel in found] if mixed else found


def _run_on(found: list[Panel]) -> list[Panel]:
    """The panels, the first row of a part as a question where a breaker of the part before may run on into it."""
    short = {
        (panel.name, str(int(row.circuits[-1]) + 2))
        for panel in found for row in panel.rows
        if row.gfci is not Answer.NO and row.circuits[-1].isdigit() and (row.poles or 1) > len(row.circuits)
    }  # fmt: skip

    def asked(panel: Panel, row: PanelRow) -> PanelRow:
        blank = row.gfci is Answer.NO and row.amperes is None and row.description.strip() in DITTO
        number = row.circuits[0]
        own = any(number.isdigit() and str(int(number) - 2) in other.circuits for other in panel.rows)
        may = blank and not own and (panel.name, number) in short
        return replace(row, gfci=Answer.UNKNOWN) if may else row

    return [replace(panel, rows=tuple(asked(panel, row) for row in panel.rows)) for panel in found]


def _elsewhere(k: int, name: str | None, page: _Page) -> Iterator[Notes]:
    """The notes under the other tables of that name, as of a schedule that goes on in another place."""
    for j, (_, parts) in enumerate(page.tables):
        if j != k and name and parts and {page.headings[i][1] for i in page.titles[j]} == {name}:
            yield notes_of(page.reading, _box(parts))


def _titled_twice(panel: Panel, title: Text) -> Panel:
    why = f"'{title.text}' may be the title of the table over it or of that under it"
    return replace(panel, problems=(*panel.problems, why))


def _floored(tables: list[list[Text]]) -> list[tuple[list[Text], float]]:
    """The bands, each with the height at which the next one under its columns begins."""
    found = []
    for k, heads in enumerate(tables):
        known = [head for head in heads if column(head.text) is not None]
        below = [h[0].y0 for h in tables[k + 1 :] if any(c.x0 < h[-1].x1 and c.x1 > h[0].x0 for c in known)]
        found.append((heads, min(below, default=float("inf"))))
    return found


def _headings(reading: Reading, tables: list[Half]) -> list[tuple[Text, str]]:
    """Panel headings with their names, top to bottom; a load SUB-PANEL B in the rows of a table is none."""
    found = []
    for line in lines(list(reading.words)):
        for phrase in phrases(line, reading):
            name = panel_name(phrase.text)
            if name is not None and not any(_in_rows(phrase, half) for half in tables):
                found.append((phrase, name))
    return found


def _in_rows(text: Text, half: Half) -> bool:
    first, last = half.anchors[0], half.anchors[-1]
    return half.x0 <= text.x < half.x1 and first.y0 <= text.y <= last.y1


def _in_schedule(text: Text, reading: Reading, sheet: Sheet) -> bool:
    """Does the heading stand in a region of the sheet that is titled as a panel schedule?"""
    if reading.turn != 0:
        return False
    return any(
        region.kind == "schedule"
        and panel_name(plain(region.title)) is not None
        and in_box((text.x, text.y), region.box)
        for region in sheet.regions
    )


def _body(half: Half, parts: list[Half], reading: Reading, notes: Notes) -> Body:
    """The rows of a half of a panel.  ``parts``: all halves under the band."""
    k = next(k for k, part in enumerate(parts) if part is half)
    return rows_of(half, reading, notes.legend, [*parts[:k][-1:], *parts[k + 1 : k + 2]])


def _panel(
    name: str | None, members: list[Half], bodies: list[Body], notes: Notes, label: str,
    shaded: dict[str, bool] | None,
) -> Panel | None:  # fmt: skip
    rows = [row for body in bodies for row in body.rows]
    general = general_notes(rows, notes)
    rows, told = asked_by_notes(rows, general, "under it", shaded)
    problems = [problem for body in bodies for problem in (*body.problems, *gaps(body.rows))] + told
    if name is None and (len(rows) < LEAST_ROWS or not all(h.strong for h in members) or not _has_breakers(rows)):
        return None
    twice = [c for c, n in Counter(c for row in rows for c in row.circuits).items() if n > 1]
    problems += [f"circuit {c} stands in the schedule more than once" for c in twice]
    rows.sort(key=lambda row: (int("".join(ch for ch in row.circuits[0] if ch.isdigit())), row.circuits))
    return Panel(name or "", tuple(rows), label, tuple(problems), notes=tuple(general))


def _unsure(panel: Panel, *problems: str) -> Panel:
    """A panel none of whose rows is sure, as under a band where words of one table stand in another's columns."""
    rows = tuple(replace(row, gfci=Answer.UNKNOWN) for row in panel.rows)
    return replace(panel, rows=rows, problems=(*panel.problems, *problems))


def _doubted(panel: Panel, why: str) -> Panel:
    """The panel, no breaker of which is sure."""
    unknown = Answer.UNKNOWN
    rows = (replace(row, gfci=unknown, afci=unknown, text=f"{row.text} (under '{why}')") for row in panel.rows)
    return replace(panel, rows=tuple(rows), problems=(*panel.problems, f"its heading says '{why}'"))


def _of_another(panel: Panel, members: list[Half]) -> Panel:
    """The panel, no breaker of which is sure where its circuits name another one: B-1 under PANEL A."""
    named = {own for half in members for anchor in half.anchors if (own := panel_of(anchor.text)) is not None}
    name = bare_name(panel.name)
    if not name or any(own in name or name in own for own in named) or not named:
        return panel
    why = f"its circuits are named as those of panel {', '.join(sorted(named))}"
    return _unsure(panel, why)


def _box(members: list[Half]) -> Box:
    """The table of a panel, headers left out."""
    return (
        min(h.x0 for h in members), min(h.top for h in members), max(h.x1 for h in members),
        max(h.bottom for h in members),
    )  # fmt: skip


def _has_breakers(rows: list[PanelRow]) -> bool:
    return 2 * sum(row.amperes is not None for row in rows) >= len(rows)

"""Panel schedules of other files that may belong to the same building.

Terms: *set*, the files of one folder.  Files are taken for one set where every sheet of them has a number, no
number comes twice (two buildings drawn alike have the same numbers), all are numbered in one manner (E-101, E-601)
and their title blocks say mostly the same.  Otherwise a GFCI breaker found in another file is a question.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from cordpath.circuits.protection import circuit_tags
from cordpath.circuits.tags import bare_name, readings
from cordpath.geometry import in_box
from cordpath.model import Answer, Outlet, Panel, Sheet, Wiring, Word
from cordpath.units import plain

ALIKE = 0.5  # of the words of two title blocks: sheets of one set differ in number, title, scale and dates


def is_one_set(sheets: Iterable[Sheet | None]) -> bool:
    """``sheets``: all sheets of the files, None for those that could not be read."""
    found = list(sheets)
    known = [sheet for sheet in found if sheet is not None and sheet.number]
    numbers = [sheet.number or "" for sheet in known]
    if len(known) < len(found) or len(numbers) > len(set(numbers)):
        return False
    if len({re.sub("[0-9]+", "9", re.sub("[A-Z]+", "A", number.upper())) for number in numbers}) > 1:
        return False
    blocks = [block for block in map(_title_block, known) if block]
    first = blocks[0] if blocks else frozenset()
    return all(len(first & block) >= ALIKE * len(first | block) for block in blocks)


def title_block_words(sheet: Sheet) -> tuple[Word, ...]:
    """The words of a sheet that :func:`is_one_set` hangs on."""
    boxes = [region.box for region in sheet.regions if region.kind == "title block"]
    return tuple(word for word in sheet.words if any(in_box(word.at, box) for box in boxes))


def _title_block(sheet: Sheet) -> frozenset[str]:
    """Texts of the title block; the sheet's own number and title are others on every sheet."""
    own = set(plain(f"{sheet.number or ''} {sheet.title or ''}").split())
    return frozenset(
        text for word in title_block_words(sheet) for text in plain(word.text).split() if text not in own
    )


def lent(panels: Iterable[Panel], file: str, sure: bool) -> tuple[Panel, ...]:
    """Panels of another file as evidence here; where it may be another building's, no breaker of them is sure."""
    return tuple(_lent(panel, file, sure) for panel in panels if panel.name)


def _lent(panel: Panel, file: str, sure: bool) -> Panel:
    sheet = f"{panel.sheet} of {file}"
    if sure:
        return replace(panel, sheet=sheet)
    why = f"on {sheet}, which may be of another building"
    rows = tuple(
        replace(row, gfci=Answer.UNKNOWN if row.gfci is not Answer.NO else row.gfci, text=f"{row.text} ({why})")
        for row in panel.rows
    )
    return replace(panel, sheet=sheet, rows=rows)


def lacks_panels(outlets: tuple[Outlet, ...], wiring: tuple[Wiring, ...], panels: tuple[Panel, ...]) -> bool:
    """Is there a circuit tag of which no reading names one of the panels?"""
    own = {bare_name(panel.name) for panel in panels}
    tags = {text for outlet in outlets for text in circuit_tags(outlet)} | {each.tag for each in wiring if each.tag}
    named = [{way.panel for way in readings(text)} for text in tags]
    return any(ways and not (ways & own) and (ways - {None} or not panels) for ways in named)


def serving(tags: tuple[str, ...], panels: tuple[Panel, ...], elsewhere: tuple[Panel, ...]) -> tuple[Panel, ...]:
    """The panels that decide about a tag: the file's own, and those of other files only for names it has not."""
    own = {bare_name(panel.name) for panel in panels}
    named = {tag.panel for text in tags for tag in readings(text) if tag.panel is not None}
    if named & own:
        return panels
    if not panels and not named:
        return elsewhere
    wanted = tuple(panel for panel in elsewhere if bare_name(panel.name) in named - own)
    return (*panels, *wanted)

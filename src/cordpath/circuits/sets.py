"""Panel schedules of other files that may belong to the same building.

Terms: *set*, the files of one folder.  Files are taken for one set where every sheet of them has a number and no
number comes twice: two buildings drawn alike have the same numbers.  Otherwise a GFCI breaker found in another file
is a question.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from cordpath.circuits.protection import circuit_tags
from cordpath.circuits.tags import bare_name, readings
from cordpath.model import Answer, Outlet, Panel, Wiring


def is_one_set(numbers: Iterable[str | None]) -> bool:
    """``numbers``: the sheet number of every sheet of the files."""
    known = list(numbers)
    return None not in known and len(known) == len(set(known))


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

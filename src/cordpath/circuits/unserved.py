"""Loads of a panel schedule that no outlet of the sheets carries: an outlet may have been missed, or is not drawn.

A schedule lists what the house is to have.  Where outlets are tagged with their circuits, a row that describes a
receptacle or an appliance on a cord and whose circuit stands at no outlet is told.  It is a remark and no verdict:
the outlet may be on a sheet that was not read, or the load may be wired directly.

Terms: *row*, as in panels.py.  *Carried*, said of a circuit that a tag at an outlet names, or a label without one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from cordpath.circuits.protection import circuit_tags
from cordpath.circuits.tags import Tag, bare_name, readings
from cordpath.model import Conflict, Outlet, Panel, PanelRow, Unexplained
from cordpath.units import plain

# What stands on a cord in a dwelling, and what is wired directly or nothing: common practice, no source.
LOADS = re.compile(
    r"RECEP|\bRCPT|\bRECT?S?\b|\bPLUGS?\b|\bOUTLETS?\b|DRYER|WASHER|LAUNDRY|\bRANGE\b|OVEN|REFRIG|\bREF\b"
    r"|FRIDGE|FREEZER|DISH|\bD\.?W\.?\b|DISPOS|\bDISP\b|MICRO|\bM\.?W\.?\b|SMALL APPL|SUMP"
    r"|GARAGE DOOR|\bG\.?D\.?O\.?\b"
)
NO_LOADS = re.compile(r"\bHOOD\b|HVAC|DUCT|SPARE|SPACE|FUTURE|LIGHTING ONLY|SMOKE|HARD.?WIRED")
MOSTLY = 0.5  # of the outlets of a file that are tagged with their circuit: otherwise tags tell nothing
USED = 0.5  # of the loads of a panel whose circuits are carried: otherwise its outlets are on other sheets
MOST_NAMED = 12  # rows in one remark


def unserved(
    outlets: tuple[Outlet, ...], panels: tuple[Panel, ...], left: Iterable[Unexplained] = ()
) -> tuple[Conflict, ...]:
    """A remark for each panel with loads that nothing carries.

    All of them are those of all sheets of a file; ``left``: labels without a symbol are told by themselves.
    """
    tags = [text for outlet in outlets for text in _all_tags(outlet)]
    bare = sum(not _all_tags(outlet) for outlet in outlets)
    if bare > (1 - MOSTLY) * len(outlets):
        return ()
    tags += [item.what.split(" label")[0].split(" ", 1)[-1] for item in left if item.is_label]
    ways = [way for text in dict.fromkeys(tags) for way in readings(text)]
    found = [(panel, *_parted(panel, ways)) for panel in panels]
    found = [each for each in found if len(each[1]) - len(each[2]) >= USED * len(each[1])]
    if sum(len(lacking) for _, _, lacking in found) <= bare:
        return ()  # each may be on an outlet without a tag
    return tuple(Conflict(_said(panel, lacking), ()) for panel, _, lacking in found if lacking)


def _all_tags(outlet: Outlet) -> tuple[str, ...]:
    """Those that may be a neighbour's among them: they stand at an outlet, and that is what matters here."""
    return (*circuit_tags(outlet), *circuit_tags(outlet, "circuit_unsure"))


def _parted(panel: Panel, ways: list[Tag]) -> tuple[list[PanelRow], list[PanelRow]]:
    """The rows that describe loads on a cord, and those of them that nothing carries."""
    name = bare_name(panel.name)
    carried = {number for way in ways if way.panel in (None, name) or not name for number in way.numbers}
    loads = [row for row in panel.rows if is_load(row.description)]
    return loads, [row for row in loads if not carried & set(row.circuits)]


def is_load(description: str) -> bool:
    """Does a row describe receptacles, or an appliance that stands on a cord?"""
    said = plain(description)
    return LOADS.search(said) is not None and NO_LOADS.search(said) is None


def _said(panel: Panel, rows: list[PanelRow]) -> str:
    named = [f"{'/'.join(row.circuits)} {row.description.strip()}" for row in rows[:MOST_NAMED]]
    more = f" and {len(rows) - MOST_NAMED} more" if len(rows) > MOST_NAMED else ""
    head = f"panel {panel.name}" if panel.name else "a panel without a name"
    return (
        f"{head} lists loads that no outlet of the sheets read carries: {', '.join(named)}{more}; "
        "are their outlets drawn, or are they wired directly?"
    )

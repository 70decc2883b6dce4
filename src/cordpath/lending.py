"""What the files of a folder lend each other: panel schedules, where they are sheets of one building.

Terms: *set*, the files of one building; :mod:`cordpath.circuits.sets` tells it by numbers and title blocks.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from cordpath.circuits import across_parts, is_one_set, lacks_panels, lent
from cordpath.errors import CordpathError
from cordpath.model import Panel, Reading, Sheet, SheetResult

Readings = dict[int, Reading | CordpathError]


@dataclass(frozen=True)
class Lending:
    """What a file can lend to others of its folder: its panels, and its sheets (bare) to tell whose they are."""

    sheets: tuple[Sheet | None, ...]
    panels: tuple[Panel, ...]


def lending(readings: Readings) -> Lending:
    pages = [reading for _, reading in sorted(readings.items())]
    sheets = tuple(r.sheet if isinstance(r, Reading) else None for r in pages)
    return Lending(sheets, across_parts(tuple(p for r in pages if isinstance(r, Reading) for p in r.panels)))


def wants_panels(readings: Readings) -> bool:
    """Does an outlet or a homerun of the file name a circuit of a panel that the file has no schedule of?"""
    read = [reading for reading in readings.values() if isinstance(reading, Reading)]
    outlets = tuple(outlet for reading in read for outlet in reading.outlets)
    wiring = tuple(each for reading in read for each in reading.wiring)
    return lacks_panels(outlets, wiring, tuple(panel for reading in read for panel in reading.panels))


def panels_elsewhere(file: str, files: dict[str, Lending]) -> tuple[Panel, ...]:
    """Panel schedules of the other files of a folder, for circuits whose panel a file has not.

    ``files``: what all files of the folder lend, by name.  Where they may be of several buildings, no breaker of
    another file counts as GFCI for sure.
    """
    sure = is_one_set(sheet for each in files.values() for sheet in each.sheets)
    return tuple(
        panel
        for name, each in sorted(files.items())
        if name != file
        for panel in lent(each.panels, Path(name).name, sure)
    )


def sets_of(results: tuple[SheetResult, ...]) -> tuple[tuple[SheetResult, ...], ...]:
    """The results of each set of sheets: a folder whose files are one building, else each file."""
    sets: dict[Path, dict[str, list[SheetResult]]] = {}
    for result in results:
        sets.setdefault(Path(result.file).parent, {}).setdefault(result.file, []).append(result)
    groups: list[tuple[SheetResult, ...]] = []
    for files in sets.values():
        sheets = [r.reading.sheet if r.reading else None for each in files.values() for r in each]
        if len(files) > 1 and is_one_set(sheets):
            groups.append(tuple(r for each in files.values() for r in each))
        else:
            groups += [tuple(each) for each in files.values()]
    return tuple(groups)

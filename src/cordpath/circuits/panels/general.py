"""Notes under a schedule that speak of many of its breakers: ``ALL 20A BREAKERS GFCI``, ``CKTS 1, 3 GFCI BKRS``.

Such a note promises, and marks no row: a row that it may speak of is a question.  ``EXCEPT CKT 7`` leaves rows out.
A note about receptacles, one that denies, and the words of a list of abbreviations say nothing of breakers.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from cordpath.circuits.denials import denies
from cordpath.circuits.panels.cells import tells_no_breaker
from cordpath.circuits.panels.keys import Notes
from cordpath.circuits.panels.marks import signs, speaks_of_breaker, speaks_of_gfci
from cordpath.circuits.panels.shading import of_shading, without_shading
from cordpath.model import Answer, Panel, PanelRow

_BREAKERS = re.compile(r"\b(?:BREAKERS?|BKRS?|BRKRS?|C/?BS?|CIRCUITS?|CKTS?|CCTS?|PANEL(?:BOARD)?|POLES?)\b")
_MANY = re.compile(r"\b(?:ALL|EACH|EVERY|ANY|TYP(?:ICAL)?|BREAKERS|BKRS|BRKRS|CIRCUITS|CKTS|CCTS)\b")
_ONES = re.compile(r"\b(?:BREAKERS?|BKRS?|BRKRS?|C/?BS?)\b")
_RECEPTACLES = re.compile(r"\b(?:RECEPT\w*|RCPT\w*|OUTLETS?|DEVICES?|PLUGS?)\b")
_GFCI_RECEPTACLES = re.compile(rf"\b(?:GFCI|GFI)[- ]*{_RECEPTACLES.pattern}")
_ABBREVIATION = re.compile(r"(?:GFCI|GFI|GFP|GF|C?AFCI|AFI|AF|DF|AF/GF|AFCI/GFCI) ?[-–=:] ?[A-Z].*")
_COUNT = re.compile(r"[-=:( ]\d{1,2}\)?$")  # TOTAL GFCI BREAKERS: 4
_EXCEPT = re.compile(r"\b(?:EXCEPT(?:ING|IONS?)?|EXCLUDING|OTHER THAN|BUT NOT|UNLESS)\b")
_CIRCUITS = re.compile(
    r"\b(?:CIRCUITS?|CKTS?|CCTS?)[ .:#]*(?P<list>\d{1,2}[A-Z]?(?:[ ,&-]+(?:AND |TO )?\d{1,2}[A-Z]?\b)*)"
)
_AMPERES = re.compile(r"\b(\d{2,3}) ?-?(?:A|AMPS?|AMPERES?)\b")
_ALSO = re.compile(r"\b(\d{2}) ?(?:A|AMPS?)? ?(?:,|&|AND|OR|/|-)+ ?(?=\d{2} ?-?(?:A|AMP))")  # 15 AND 20A
MOST_QUOTED = 80  # characters


def asked_by_notes(
    rows: list[PanelRow], notes: Sequence[str], where: str, shaded: Mapping[str, bool] | None = None
) -> tuple[list[PanelRow], list[str]]:
    """The rows, plain ones of which a general note may speak as questions, and the problems to tell.

    ``where``: in which place of the drawing the notes stand, as *under it*.  ``shaded``: which circuits' rows are,
    if that is plain; a note that makes the breakers of shaded rows GFCI then marks them, and speaks of no others.
    """
    problems: list[str] = []
    for text in notes:
        quote = text if len(text) <= MOST_QUOTED else f"{text[:MOST_QUOTED].rsplit(' ', 1)[0]} ..."
        reach = [row.gfci is Answer.NO and _has_breaker(row) and _speaks_of(text, row) for row in rows]
        ground = [_ground(row, text, shaded) for row in rows]
        plain = speaks_of_breaker(without_shading(text))
        answers = [
            Answer.YES if dark and plain and _is_bare(row) else Answer.UNKNOWN
            for dark, row in zip(ground, rows, strict=True)
        ]
        reach = [asked and dark is not False for asked, dark in zip(reach, ground, strict=True)]
        if any(asked and answer is Answer.UNKNOWN for asked, answer in zip(reach, answers, strict=True)):
            problems.append(f"a note {where} may make breakers GFCI: '{quote}'")
        rows = [
            replace(row, gfci=answer, text=f"{row.text} (note {where}: '{quote}')") if asked else row
            for row, asked, answer in zip(rows, reach, answers, strict=True)
        ]
    return rows, problems


def _ground(row: PanelRow, text: str, shaded: Mapping[str, bool] | None) -> bool | None:
    """Is a row one of those that a note calls shaded?  None where it speaks of none, or that cannot be told."""
    if shaded is None or not of_shading(text) or _EXCEPT.search(text):
        return None
    found = {shaded.get(circuit) for circuit in row.circuits}
    return found.pop() if len(found) == 1 else None


def _is_bare(row: PanelRow) -> bool:
    """Is there nothing in a row that may speak against its shade: no breaker yet, another mark, a no?"""
    return row.afci is Answer.NO and "GFCI:" not in row.text and not tells_no_breaker(row.description)


def across_parts(panels: tuple[Panel, ...]) -> tuple[Panel, ...]:
    """The panels of a file, each asked by the general notes under other parts of its schedule as well.

    A schedule that goes on over sheets has its notes under one part.
    """

    def noted(panel: Panel) -> Panel:
        other = [text for part in panels if panel.name and part.name == panel.name for text in part.notes]
        new = [text for text in dict.fromkeys(other) if text not in panel.notes]
        rows, told = asked_by_notes(list(panel.rows), new, "under another part of it")
        return replace(panel, rows=tuple(rows), problems=(*panel.problems, *told)) if told else panel

    return tuple(noted(panel) for panel in panels)


def _has_breaker(row: PanelRow) -> bool:
    """Has a row a breaker, also one whose size could not be read, or may it be the next pole of the one above?"""
    return row.amperes is not None or not tells_no_breaker(row.description)


def general_notes(rows: list[PanelRow], notes: Notes) -> list[str]:
    """The notes that speak of breakers by themselves: without a key, or of many with a number that no row has."""
    shown = " ".join(row.text for row in rows)
    unused = [said for key, said in notes.entries if key.isdigit() and f"({key}: " not in shown]
    many = [said for said in unused if _MANY.search(said) or _AMPERES.search(said) or named_circuits(said)]
    return [text for text in (*notes.loose, *many) if _is_general(text)]


def _is_general(text: str) -> bool:
    said = _EXCEPT.split(text, maxsplit=1)[0]
    if not (speaks_of_gfci(said) or re.search(r"\bGROUND[- ]?FAULT\b", said)) or denies(said):
        return False
    if signs(said) or _ABBREVIATION.fullmatch(said) or (_COUNT.search(said) and not named_circuits(said)):
        return False
    if _GFCI_RECEPTACLES.search(said):
        return _ONES.search(said) is not None
    bare = _RECEPTACLES.search(said) is None
    return _BREAKERS.search(said) is not None or (bare and _AMPERES.search(said) is not None)


def _speaks_of(text: str, row: PanelRow) -> bool:
    """May a note speak of a row, by the circuits and amperes that it names?"""
    said, *but = _EXCEPT.split(text, maxsplit=1)
    own = {re.sub(r"\D", "", circuit) for circuit in row.circuits}
    if but and own & (named_circuits(but[0]) or _numbers(but[0])):
        return False
    named = named_circuits(said)
    if named:
        return bool(own & named)
    amperes = {float(n) for pattern in (_AMPERES, _ALSO) for n in pattern.findall(said)}
    return not amperes or row.amperes is None or row.amperes in amperes


def named_circuits(text: str) -> set[str]:
    """The circuits that a text lists; of 1-5 all between."""
    return {number for match in _CIRCUITS.finditer(text) for number in _numbers(match["list"])}


def _numbers(text: str) -> set[str]:
    found = set(re.findall(r"(?<!\d)\d{1,2}(?!\d)", text))
    for first, last in re.findall(r"(?<!\d)(\d{1,2}) ?(?:-|TO) ?(\d{1,2})(?!\d)", text):
        found |= {str(n) for n in range(int(first), int(last) + 1)}
    return {number.lstrip("0") or "0" for number in found}

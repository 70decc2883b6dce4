"""Marks that the sheet gives another meaning: GF of a list ``GF = GROUND FLOOR``, or beside FF in its own table.

The notes under a schedule are looked up by its rows (keys.py); lists of abbreviations stand anywhere on the sheet.
Nobody can tell whether one of them is meant, so such a mark shows no GFCI breaker, and its row is a question.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from cordpath.circuits.panels.keys import Notes
from cordpath.circuits.panels.marks import is_mark, may_take_back, speaks_of_gfci
from cordpath.circuits.panels.tables import Half
from cordpath.circuits.panels.words import Reading, Text, lines, phrases
from cordpath.model import Answer, Panel

# GFCI and GFI have one meaning.  Behind a dash or a mere gap only words with the mark's initials explain it.
_MEANT = re.compile(
    r"[(\[]?(?P<mark>GF|DF)[)\]]?(?: ?[=:] ?(?P<told>[A-Z].*)| (?:[-–] )?(?P<initials>[GD]\w+ F\w+.*))"
)
MOST_PARTS = 3  # phrases of an entry in columns: mark, sign, text
# Floors by their letters, as people mark where a load is; common practice, no source.  AF and DF are breakers.
_FLOOR = re.compile(r"FF|SF|TF|BF|UF|LF|MF|[123]F")
_FLOOR_HEAD = re.compile(rf"{_FLOOR.pattern}|(?:1ST|2ND|3RD|FIRST|SECOND|THIRD)(?: FL(?:OOR|R)?)?")
# What outlets and loads are called under TYPE: beside them GFCI is as likely the receptacle.  A breaker is none of
# these; common practice, no source.
_LOADS = re.compile(
    r"DUPLEX|SIMPLEX|RECEPT\w*|REC|RCPT\w*|OUTLETS?|LTG|LTS|LIGHT\w*|SWITCH(?:ES)?|WP|MOTORS?|MTR|APPL\w*|EQUIP\w*"
)
_TICK = "GFCI: "  # before the cell of the column of GFCI in a row's text


def asked_by_meanings(
    panel: Panel, members: Sequence[Half], tables: Sequence[Half], reading: Reading, notes: Notes
) -> Panel:
    """The panel; a row whose only mark has another meaning on the sheet, or in its own table, is a question.

    ``members``: its halves; ``tables``: all halves of the sheet; ``notes``: those under the panel, which come
    before any list elsewhere.
    """
    if not any(row.gfci is Answer.YES for row in panel.rows):
        return panel
    panel = _asked_by_loads(panel, members)
    otherwise = {key for key, said in notes.entries if may_take_back(said, its_own=True)}
    explained = {key for key, _ in notes.entries} - otherwise
    meant = {mark: said for mark, said in _meanings(tables, reading).items() if mark not in explained}
    if "GF" not in explained and (floor := next(_floors(panel, members), None)):
        meant.setdefault("GF", f"{floor} beside it may be another floor")
    for mark, why in meant.items():
        headed = any(_bare(f.head.text) == mark for half in members for f in half.fields if f.kind == "gfci")
        asked = [row.gfci is Answer.YES and _only_mark(_bare(row.text), mark, headed=headed) for row in panel.rows]
        rows = (
            replace(row, gfci=Answer.UNKNOWN) if ask else row for row, ask in zip(panel.rows, asked, strict=True)
        )
        told = f"whether {mark} is a mark of GFCI breakers cannot be told: {why}"
        panel = replace(panel, rows=tuple(rows), problems=(*panel.problems, told)) if any(asked) else panel
    return panel


def _asked_by_loads(panel: Panel, members: Sequence[Half]) -> Panel:
    """The panel; marks by themselves under TYPE are questions where other rows have outlets or loads there."""
    heads = {_bare(field.head.text) for half in members for field in half.fields if field.kind == "notes"}
    load = next((cell for cell in _cells(panel) if _LOADS.fullmatch(cell)), None)
    if heads != {"TYPE"} or load is None:
        return panel
    asked = [row.gfci is Answer.YES and _only_bare(_bare(row.text).split(" | ")) for row in panel.rows]
    if not any(asked):
        return panel
    rows = (replace(row, gfci=Answer.UNKNOWN) if ask else row for row, ask in zip(panel.rows, asked, strict=True))
    told = f"whether GFCI under TYPE is the breaker or what it feeds cannot be told: {load} stands there as well"
    return replace(panel, rows=tuple(rows), problems=(*panel.problems, told))


def _only_bare(cells: list[str]) -> bool:
    """Do marks of GFCI stand in cells of their own only?"""
    return not any(speaks_of_gfci(cell) and not is_mark(cell) for cell in cells)


def _cells(panel: Panel) -> Iterator[str]:
    """The cells of a panel but for the descriptions."""
    return (_bare(cell) for row in panel.rows for cell in row.text.split(" | ") if cell != row.description)


def _floors(panel: Panel, members: Sequence[Half]) -> Iterator[str]:
    """Letters of floors in headers and in cells, but not in descriptions."""
    heads = (_bare(field.head.text) for half in members for field in half.fields)
    yield from (head for head in heads if _FLOOR_HEAD.fullmatch(head))
    yield from (cell for cell in _cells(panel) if _FLOOR.fullmatch(cell))


def _meanings(tables: Sequence[Half], reading: Reading) -> dict[str, str]:
    """What lists of the sheet, outside the rows of its schedules, say that marks are, if that is something else."""
    found: dict[str, str] = {}
    for line in lines([word for word in reading.words if not any(_in_rows(word, half) for half in tables)]):
        parts = [_bare(part.text) for part in phrases(line, reading)]
        for k in range(len(parts)):
            wholes = (" ".join(parts[k : k + n + 1]) for n in range(MOST_PARTS))
            match = next(filter(None, map(_MEANT.fullmatch, wholes)), None)
            if match is not None and may_take_back(match["told"] or match["initials"], its_own=True):
                found[match["mark"]] = f"the sheet says '{match[0]}'"
    return found


def _only_mark(text: str, mark: str, *, headed: bool) -> bool:
    """Is a mark the only one of GFCI in a row?  ``headed``: it heads the column of GFCI, and a tick is it too."""
    cells = text.split(" | ")
    if headed:
        cells = [mark if cell.startswith(_TICK) else cell for cell in cells]
    rest = [re.sub(rf"(?<![A-Z]){mark}(?![A-Z])", " ", cell.removeprefix(_TICK)) for cell in cells]
    ticked = any(cell.startswith(_TICK) for cell in cells)
    return rest != cells and not ticked and not any(speaks_of_gfci(cell) for cell in rest)


def _in_rows(word: Text, half: Half) -> bool:
    return half.x0 <= word.x < half.x1 and half.top < word.y < half.bottom


def _bare(text: str) -> str:
    return text.replace(".", "").strip()

"""What the cells of one row of a panel schedule say together, and what in them leaves its breaker open.

Terms: *mark*, *tick* as in marks.py.  A mark or a tick outside its column shows nothing, but may be the row's.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from cordpath.circuits.panels import marks
from cordpath.circuits.panels.keys import (
    Legend,
    keys_in,
    looked_up,
    meant_otherwise,
    says_gfci,
    speaks_in,
    taken_back,
)
from cordpath.model import Answer, PanelRow

LEAST_AMPERES = 15  # the smallest usual breaker of a dwelling; common practice, no source


@dataclass(frozen=True)
class Cells:
    """The texts of one row by column kind, "" where empty; ``breaker`` amperes and poles cells together."""

    circuits: tuple[str, ...]
    description: str
    amperes: str
    poles: str
    notes: str
    gfci: str | None
    afci: str | None
    sure: bool = True  # False where the number or a cell that marks are read from was read with doubt
    struck: bool = False  # a line runs through one of them
    stray: str = ""  # a GFCI mark in the row that stands in no row or column of breakers that could be read
    shared: str = ""  # a GFCI mark of another row, in a cell that reaches into this one
    ticked: bool = False  # is there a column headed GFCI over its half or beside it?
    columns: frozenset[str] = frozenset()  # the kinds of columns of its half
    beside_number: str = ""  # what stands beside the circuit number in its column and was not understood
    number: str = ""  # the cell of the circuit number as written
    denied: str = ""  # a word for no in the row that stands in no column that could be read
    sized: bool = True  # False where the figures of its amperes or poles were read with doubt

    @property
    def text(self) -> str:
        marked = (self.gfci and f"GFCI: {self.gfci}", self.afci and f"AFCI: {self.afci}")
        parts = (self.name, self.description, self.amperes, self.poles, self.notes, *marked)
        return " | ".join(part for part in parts if part)

    @property
    def signs(self) -> tuple[str, ...]:
        """The signs of notes in the row, but for those beside marks in cells of their own."""
        cells = (self.number, self.description, marks.beside_mark(self.amperes), self.poles)
        return tuple(dict.fromkeys(sign for cell in cells for sign in marks.signs(cell)))

    @property
    def behind(self) -> tuple[str, ...]:
        """Letters and dots of an office's own behind the amperes and the poles."""
        return tuple(filter(None, map(marks.behind_size, (self.amperes, self.poles))))

    @property
    def name(self) -> str:
        return "/".join(self.circuits)

    @property
    def blank(self) -> bool:
        cells = (self.description, self.amperes, self.poles, self.notes)
        return all(cell.strip() in marks.DITTO for cell in cells)

    @property
    def own_mark(self) -> str:
        """A mark of GFCI in the row of a further pole."""
        cells = (self.gfci or "", self.notes)
        marked = (cell for cell in cells if marks.is_yes(cell) or marks.speaks_of_gfci(cell))
        return next(iter((*marked, *self.signs)), "")

    def with_pole(self, following: Cells) -> Cells:
        """The row of a breaker with the row of its next pole."""
        return replace(
            self,
            circuits=self.circuits + following.circuits,
            sure=self.sure and following.sure,
            sized=self.sized and following.sized,
            beside_number=self.beside_number or following.beside_number,
            struck=self.struck or following.struck,
            shared=self.shared or following.shared,
            stray=self.stray or following.stray or following.own_mark,
        )


def row_of(cells: Cells, problems: list[str], legend: Legend) -> PanelRow:
    """The row of some cells; what is not clear in it is added to ``problems``, and leaves its breaker open."""
    amperes, poles = marks.breaker(cells.amperes, cells.poles)
    beside = f"{cells.amperes} {cells.poles}"
    noted = looked_up(cells.notes, legend)
    gfci = marks.gfci(beside, "" if noted else cells.notes, cells.description, cells.gfci)
    if noted is not None and gfci is not Answer.YES:
        gfci = noted[1] if gfci is Answer.NO else Answer.UNKNOWN
    keys = (*cells.signs, *_bracketed(cells.amperes, legend), *(k for k in cells.behind if k in legend))
    signed = looked_up(" ".join(keys), legend)
    if gfci is Answer.NO and signed is not None:
        gfci = signed[1]
    unclear = cells.struck or not cells.sure or cells.beside_number
    unsized = unclear or not cells.sized
    if unclear:
        doubts = [_unclear(cells)]
    else:
        doubts = list(
            _against(cells, amperes, noted, legend) if gfci is Answer.YES else _perhaps(cells, gfci, legend)
        )
    if noted is None and marks.is_code(cells.notes):
        problems.append(f"circuit {cells.name}: the mark '{cells.notes}' is not explained in the row")
    problems += [f"circuit {cells.name}: {why}" for why in doubts]
    return PanelRow(
        cells.circuits, cells.description, None if unsized else poles, None if unsized else amperes,
        Answer.UNKNOWN if doubts else gfci,
        marks.afci(beside, noted[0] if noted else cells.notes, cells.description, cells.afci),
        " ".join((cells.text, *(f"({each[0]})" for each in (noted, signed) if each is not None))),
    )  # fmt: skip


def _unclear(cells: Cells) -> str:
    if cells.struck:
        return "a line runs through its row"
    if not cells.sure:
        return "its row is drawn in letters that were read with doubt"
    return f"'{cells.beside_number}' beside the number could not be read"


def _against(
    cells: Cells, amperes: float | None, noted: tuple[str, Answer] | None, legend: Legend
) -> Iterator[str]:
    """What in a row speaks against its GFCI mark."""
    beside = f"{cells.amperes} {cells.poles} {cells.notes} {cells.gfci or ''}"
    if (key := _taken_back(beside, cells.notes, amperes, legend)) is not None:
        yield f"what note {key} says of its GFCI mark is not clear"
    if (key := taken_back(" ".join(cells.signs), legend)) is not None:
        yield f"note {key} may take its GFCI mark back"
    if tells_no_breaker(cells.description) and not marks.speaks_of_gfci(cells.description):
        yield f"'{cells.description}' says that no breaker is there yet"
    if cells.ticked and not cells.gfci and (no := cells.denied or _aside(cells, marks.says_no)):
        yield f"'{no}' may be of the column headed GFCI"
    if noted is None:
        return
    if marks.says_no(cells.gfci or ""):
        yield f"a note makes its breaker GFCI, and the column headed GFCI says '{cells.gfci}'"
    if "poles" in cells.columns and not cells.poles and cells.notes.strip() in _POLES:
        yield f"whether {cells.notes} is the key of a note or its poles cannot be told"


def _bracketed(cell: str, legend: Legend) -> tuple[str, ...]:
    """A number in brackets at the end of a cell that is the key of a note: ``20 (1)``, ``BATH [1]``, ``20 1)``."""
    found = re.search(r"(?:[(\[]|(?<=\s))(\d{1,2})[)\]]$", cell.strip())
    return (found[1],) if found and found[1] in legend else ()


def _lettered(cell: str, legend: Legend) -> tuple[str, ...]:
    """A letter as the last word of a cell that is the key of a note: ``BATH (G)``, ``BATH G``."""
    words = cell.split()
    key = words[-1].strip("()[]") if len(words) > 1 else ""
    return (key,) if key.isalpha() and key in legend else ()


# A spare is a breaker that feeds nothing; a space has none, and what is written beside it is of a later one.
_NO_BREAKER = re.compile(r"\b(?:SPACES?|BLANK|FUTURE|PROVISION(?:S|AL)?|UNUSED)\b(?<!CRAWL SPACE)")
_POLES = frozenset(str(poles) for poles in range(1, marks.MOST_POLES + 1))


def tells_no_breaker(description: str) -> bool:
    """Does the description of a row, in capitals, say that no breaker is there yet?"""
    return _NO_BREAKER.search(description) is not None


def _perhaps(cells: Cells, gfci: Answer, legend: Legend) -> Iterator[str]:
    """What in a row that is not marked may be its mark."""
    if gfci is not Answer.NO:
        return
    if marks.speaks_of_gfci(cells.afci or ""):
        yield f"'{cells.afci}' stands in the column headed AFCI"
    if cells.stray:
        yield f"'{cells.stray}' stands in no row or column that could be read"
    if cells.signs and looked_up(" ".join(cells.signs), legend) is None:
        yield f"the sign '{' '.join(cells.signs)}' in its row is not explained under the schedule"
    if (own := next((k for k in cells.behind if k not in legend and marks.may_be_sign(k)), None)) is not None:
        yield f"the mark '{own}' behind its size is not explained under the schedule"
    last = _bracketed(cells.description, legend) or _lettered(cells.description, legend)
    if (key := next((k for k in last if says_gfci(k, legend)), None)) is not None:
        yield f"({key}) behind its description may be the key of a note that speaks of ground faults"
    if cells.shared:
        yield f"'{cells.shared}' beside it stands in a cell of several rows"
    if (key := speaks_in(cells.notes, legend)) is not None:
        yield f"note {key} beside other words speaks of ground faults"
    if cells.ticked and not cells.gfci and (tick := _aside(cells, marks.is_yes)):
        yield f"'{tick}' may be of the column headed GFCI"


def _aside(cells: Cells, says: Callable[[str], bool]) -> str | None:
    """A tick, or a no, at an end of another cell of the row: without rulings it may be of the column of GFCI."""
    for cell in (cells.description, cells.amperes, cells.poles, cells.notes):
        words = cell.split()
        found = next((word for word in (*words[:1], *words[-1:]) if says(word)), None)
        if found is not None:
            return found
    return None


def _taken_back(text: str, notes: str, amperes: float | None, legend: Legend) -> str | None:
    """The key of a note that may take a GFCI mark back: to the mark, without a clear entry, or among the notes.

    Also a number beside the mark that is not the breaker's amperes: GFI-30 at one of 20 A may trip at 30 mA.
    """
    for key in marks.foot_keys(text):
        said = looked_up(key, legend)
        if said is None or said[1] is Answer.UNKNOWN or taken_back(key, legend):
            return key
    if (trip := _other_number(notes, amperes)) is not None:
        return trip
    unknown = (key for key in keys_in(marks.beside_mark(notes)) if key not in legend and _is_key(key))
    return taken_back(notes, legend) or meant_otherwise(text, legend) or next(unknown, None)


def _other_number(notes: str, amperes: float | None) -> str | None:
    """A bare number beside a mark that is too great for a key and not the amperes of the breaker."""
    parts = re.split(r"[\s,/&()\[\]-]+", marks.beside_mark(notes))
    numbers = (part for part in parts if part.isdigit() and int(part) >= LEAST_AMPERES)
    return next((n for n in numbers if amperes is not None and float(n) != amperes), None)


def _is_key(text: str) -> bool:
    """A number of a note, or a sign; from 15 on numbers are as likely amperes, and letters are marks."""
    return not text.isalpha() and not (text.isdigit() and int(text) >= LEAST_AMPERES)

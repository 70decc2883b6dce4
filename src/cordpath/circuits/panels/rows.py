"""Rows of a half table: cells by column, two-pole breakers joined, marks read."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from itertools import pairwise

from cordpath.circuits.panels import marks
from cordpath.circuits.panels.crossed import crossed
from cordpath.circuits.panels.keys import Legend, keys_in, looked_up, taken_back
from cordpath.circuits.panels.strangers import marks_aside
from cordpath.circuits.panels.tables import Half, pitch
from cordpath.circuits.panels.words import Reading, Text, lines
from cordpath.model import Answer, PanelRow

OWN_ROW = 0.6  # row pitches: a cell merged over two rows stands half a pitch from either
LEAST_AMPERES = 15  # the smallest usual breaker of a dwelling; common practice, no source
RULING_COST = 1000.0  # points: a ruling between a word and a circuit number outweighs any distance


@dataclass(frozen=True)
class _Cells:
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
    stray: str = ""  # a GFCI mark in the row that stands in no row or column that could be read
    shared: str = ""  # a GFCI mark of another row, in a cell that reaches into this one

    @property
    def text(self) -> str:
        marked = (self.gfci and f"GFCI: {self.gfci}", self.afci and f"AFCI: {self.afci}")
        parts = ("/".join(self.circuits), self.description, self.amperes, self.poles, self.notes, *marked)
        return " | ".join(part for part in parts if part)

    @property
    def blank(self) -> bool:
        cells = (self.description, self.amperes, self.poles, self.notes)
        return all(cell.strip() in marks.DITTO for cell in cells)


def rows_of(half: Half, reading: Reading, legend: Legend | None = None) -> tuple[list[PanelRow], list[str]]:
    """The rows of a half, top to bottom, and what could not be read.  ``legend``: its keyed notes."""
    cells, problems = _cells(half, reading)
    joined = _joined(cells, problems)
    rows = [_row(c, problems, legend or {}) for c in joined]
    for k in range(1, len(rows)):
        if (
            rows[k].gfci is Answer.NO
            and rows[k - 1].gfci is not Answer.NO
            and _may_run_on(joined[k - 1], joined[k])
        ):
            rows[k] = replace(rows[k], gfci=Answer.UNKNOWN)
            problems.append(
                f"circuit {'/'.join(rows[k].circuits)}: it may be the next pole of the breaker above it"
            )
    return rows, problems


def _cells(half: Half, reading: Reading) -> tuple[list[_Cells], list[str]]:
    kinds = {field.kind for field in half.fields}
    texts: list[dict[str, list[Text]]] = [{kind: [] for kind in kinds} for _ in half.anchors]
    stray: dict[int, str] = {}
    problems = []
    shared: dict[int, str] = {}
    anchors = set(map(id, half.anchors))
    words = [
        w for w in reading.words
        if id(w) not in anchors and half.top < w.y < half.bottom and half.x0 <= w.x < half.x1
    ]  # fmt: skip
    aside, crosses = marks_aside(half, words, reading), crossed(half, reading)
    for word in words:
        field = next((f for f in half.fields if f.x0 <= word.x < f.x1), None)
        row, sure = _nearest(word, half, reading)
        if id(word) in aside:
            stray[row] = aside[id(word)]
        elif sure and field is not None and field.kind != "ignore":
            texts[row][field.kind].append(word)
            if field.kind != "description" and marks.speaks_of_gfci(word.text):
                shared |= dict.fromkeys(_merged(word, row, half, reading), word.text)
        elif marks.speaks_of_gfci(word.text):
            stray[row] = word.text
    found = []
    for i, (anchor, cells) in enumerate(zip(half.anchors, texts, strict=True)):
        said = {kind: _said(words) for kind, words in cells.items()}
        marked = [w for kind in kinds - {"afci"} for w in (anchor, *cells[kind])]
        numbers = marks.circuits(f"{anchor.text} {said['circuit']}") or marks.circuits(anchor.text)
        if said["circuit"] and numbers == marks.circuits(anchor.text):
            problems.append(f"circuit {anchor.text}: '{said['circuit']}' beside the number could not be read")
        found.append(
            _Cells(
                numbers, said.get("description", ""), said.get("amperes", ""), said.get("poles", ""),
                said.get("notes", ""), said.get("gfci"), said.get("afci"),
                all(w.sure for w in marked), i in crosses or any(w.struck for w in marked), stray.get(i, ""),
                shared.get(i, ""),
            )
        )  # fmt: skip
    return found, problems


def _nearest(word: Text, half: Half, reading: Reading) -> tuple[int, bool]:
    """The row of a word, and whether it surely is: nearest circuit number by height, ties go up.

    Not sure: a ruling between, or a distance at which it may belong to a row whose number was not read.
    """
    steps = [abs(word.y - a.y) for a in half.anchors]
    close = sorted(range(len(steps)), key=lambda i: (round(steps[i], 1), i))[:2]
    between = {i: _rulings(word, half.anchors[i], reading) for i in close}
    cost = [(RULING_COST * between[i] + steps[i], i) for i in close]
    # Rounding of positions must not turn a tie downwards: within a tenth of the font the upper row wins.
    best = min(c for c, _ in cost)
    row = min(i for c, i in cost if c <= best + 0.1 * word.size)
    return row, between[row] == 0 and (steps[row] <= OWN_ROW * pitch(half.anchors) or _ruled(half, reading))


def _rulings(word: Text, anchor: Text, reading: Reading) -> int:
    """Rulings between a word and a circuit number; one that runs through the word itself is none."""
    near = 0.25 * word.size
    if abs(word.y - anchor.y) <= near:
        return 0
    return reading.levels_between(word.x, word.y + (near if anchor.y > word.y else -near), anchor.y)


def _merged(word: Text, row: int, half: Half, reading: Reading) -> list[int]:
    """Other rows that the cell of a word reaches into: most rows have rulings in its column, and these none."""
    at = [anchor.y for anchor in half.anchors]
    if 2 * sum(reading.levels_between(word.x, a, b) > 0 for a, b in pairwise(at)) <= len(at) - 1:
        return []
    return [i for i, y in enumerate(at) if i != row and not reading.levels_between(word.x, word.y, y)]


def _ruled(half: Half, reading: Reading) -> bool:
    """Is there a ruling between most rows, along the circuit numbers?"""
    pairs = list(pairwise(half.anchors))
    return 2 * sum(reading.levels_between(a.x, a.y, b.y) > 0 for a, b in pairs) > len(pairs)


def _said(words: list[Text]) -> str:
    return " ".join(word.text for line in lines(words) for word in line).strip()


def _joined(cells: list[_Cells], problems: list[str]) -> list[_Cells]:
    """Two- and three-pole breakers: blank or repeated rows below the first belong to it."""
    found: list[_Cells] = []
    i = 0
    while i < len(cells):
        first = cells[i]
        told = marks.breaker(first.amperes, first.poles)[1]
        poles = told or 1
        i += 1
        while i < len(cells) and (
            _continues(first, cells[i])
            if len(first.circuits) < poles
            else told is None and _signed(first, cells[i])
        ):
            first = _with_pole(first, cells[i])
            i += 1
        if len(first.circuits) < poles and not _is_space(first):
            problems.append(f"circuit {first.circuits[0]}: {poles} poles, but the next circuits read otherwise")
        found.append(first)
    return found


def _with_pole(first: _Cells, following: _Cells) -> _Cells:
    """The row of a breaker with the row of its next pole."""
    return replace(
        first,
        circuits=first.circuits + following.circuits,
        sure=first.sure and following.sure,
        struck=first.struck or following.struck,
        shared=first.shared or following.shared,
    )


def _continues(first: _Cells, following: _Cells) -> bool:
    if not _next_pole(first, following):
        return False
    same = following.description == first.description and following.notes in ("", first.notes)
    return (
        following.blank or same or (following.description in marks.DITTO and following.notes in ("", first.notes))
    )


def _signed(first: _Cells, following: _Cells) -> bool:
    """Where no poles are told: does a sign of repetition, with nothing else in the row, make it the next pole's?"""
    signed = following.description.strip() in marks.REPEATS and following.blank and not following.notes.strip()
    return (
        signed and len(first.circuits) < marks.MOST_POLES and not _is_space(first) and _next_pole(first, following)
    )


def _may_run_on(first: _Cells, following: _Cells) -> bool:
    """May a row be the next pole of the breaker above, or repeat its mark, although nothing settles it?"""
    if following.notes.strip() in marks.REPEATS:
        return True
    told = marks.breaker(first.amperes, first.poles)[1]
    if not _next_pole(first, following):
        return False
    if told is None:
        return following.blank
    # Two circuits on one breaker of two poles: each has a description of its own, and the breaker stands once.
    return len(first.circuits) < told and not following.amperes.strip() and not following.notes.strip()


def _next_pole(first: _Cells, following: _Cells) -> bool:
    return len(following.circuits) == 1 and _steps_on(first.circuits[-1], following.circuits[0])


def _steps_on(before: str, after: str) -> bool:
    """Poles of one breaker have circuit numbers two apart (a half holds the odd or the even), or one apart."""
    return before.isdigit() and after.isdigit() and int(after) - int(before) in (1, 2)


def _is_space(cells: _Cells) -> bool:
    return cells.description.strip() in ("", "SPACE", "SPARE", "BLANK", "BUSSED SPACE")


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
    return taken_back(notes, legend) or next(unknown, None)


def _other_number(notes: str, amperes: float | None) -> str | None:
    """A bare number beside a mark that is too great for a key and not the amperes of the breaker."""
    parts = re.split(r"[\s,/&()\[\]-]+", marks.beside_mark(notes))
    numbers = (part for part in parts if part.isdigit() and int(part) >= LEAST_AMPERES)
    return next((n for n in numbers if amperes is not None and float(n) != amperes), None)


def _is_key(text: str) -> bool:
    """A number of a note, or a sign; from 15 on numbers are as likely amperes, and letters are marks."""
    return not text.isalpha() and not (text.isdigit() and int(text) >= LEAST_AMPERES)


def _row(cells: _Cells, problems: list[str], legend: Legend) -> PanelRow:
    amperes, poles = marks.breaker(cells.amperes, cells.poles)
    beside = f"{cells.amperes} {cells.poles}"
    noted = looked_up(cells.notes, legend)
    if noted is None and marks.is_code(cells.notes):
        problems.append(f"circuit {'/'.join(cells.circuits)}: the mark '{cells.notes}' is not explained in the row")
    gfci = marks.gfci(beside, "" if noted else cells.notes, cells.description, cells.gfci)
    if noted is not None and gfci is not Answer.YES:
        gfci = noted[1] if gfci is Answer.NO else Answer.UNKNOWN
    if gfci is Answer.YES and (
        lost := _taken_back(f"{beside} {cells.notes} {cells.gfci or ''}", cells.notes, amperes, legend)
    ):
        gfci = Answer.UNKNOWN
        problems.append(f"circuit {'/'.join(cells.circuits)}: what note {lost} says of its GFCI mark is not clear")
    if not cells.sure or cells.struck:
        gfci, amperes, poles = Answer.UNKNOWN, None, None
        why = (
            "a line runs through its row"
            if cells.struck
            else "its row is drawn in letters that were read with doubt"
        )
        problems.append(f"circuit {'/'.join(cells.circuits)}: {why}")
    if gfci is Answer.NO and marks.speaks_of_gfci(cells.afci or ""):
        gfci = Answer.UNKNOWN
        problems.append(f"circuit {'/'.join(cells.circuits)}: '{cells.afci}' stands in the column headed AFCI")
    if cells.stray and gfci is Answer.NO:
        gfci = Answer.UNKNOWN
        problems.append(
            f"circuit {'/'.join(cells.circuits)}: '{cells.stray}' stands in no row or column that could be read"
        )
    if cells.shared and gfci is Answer.NO:
        gfci = Answer.UNKNOWN
        problems.append(
            f"circuit {'/'.join(cells.circuits)}: '{cells.shared}' beside it stands in a cell of several rows"
        )
    return PanelRow(
        cells.circuits, cells.description, poles, amperes,
        gfci,
        marks.afci(beside, noted[0] if noted else cells.notes, cells.description, cells.afci),
        f"{cells.text} ({noted[0]})" if noted else cells.text,
    )  # fmt: skip

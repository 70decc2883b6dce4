"""Rows of a half table: cells by column, two-pole breakers joined, marks read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from cordpath.circuits.panels import marks
from cordpath.circuits.panels.anchors import pitch
from cordpath.circuits.panels.cells import Cells, row_of
from cordpath.circuits.panels.columns import Field
from cordpath.circuits.panels.crossed import crossed
from cordpath.circuits.panels.devices import beside_breakers, marks_of_devices
from cordpath.circuits.panels.figures import counted, is_size, no_mark
from cordpath.circuits.panels.headings import column
from cordpath.circuits.panels.keys import Legend, looked_up
from cordpath.circuits.panels.poles import joined, may_run_on
from cordpath.circuits.panels.strangers import cut_marks, marks_aside, marks_below, marks_beyond, may_be_ticked
from cordpath.circuits.panels.tables import Half
from cordpath.circuits.panels.words import Reading, Text, lines
from cordpath.model import Answer, PanelRow

OWN_ROW = 0.6  # row pitches: a cell merged over two rows stands half a pitch from either
MOST_WORDS = 5  # in a cell of amperes or poles, as 20 A 1P GFCI BREAKER; more are those of a table beside
RULING_COST = 1000.0  # points: a ruling between a word and a circuit number outweighs any distance


@dataclass(frozen=True)
class Body:
    """The rows of a half and what could not be read.  ``mixed``: words of another table stand in its columns."""

    rows: list[PanelRow]
    problems: list[str]
    mixed: bool


def rows_of(half: Half, reading: Reading, legend: Legend | None = None, beside: Sequence[Half] = ()) -> Body:
    """The rows of a half, top to bottom.  ``legend``: its keyed notes; ``beside``: the halves next to it."""
    half = beside_breakers(_keyed(half, legend or {}))
    spilt = [w for other in beside for w in _spilt(other, half, reading)]
    words = _sorted_in(half, reading, [*spilt, *half.between])
    cells = _cells(half, words, crossed(half, reading), counted(half, beside))
    problems: list[str] = []
    breakers = joined(cells, problems)
    rows = [row_of(c, problems, legend or {}) for c in breakers]
    mixed = next((c for c in cells if _is_mixed(c)), None)
    if mixed is not None:
        rows = [replace(row, gfci=Answer.UNKNOWN) for row in rows]
        problems.append(f"circuit {mixed.name}: the words of another table stand in its columns")
    for k in range(1, len(rows)):
        if (
            rows[k].gfci is Answer.NO
            and rows[k - 1].gfci is not Answer.NO
            and may_run_on(breakers[k - 1], breakers[k])
        ):
            rows[k] = replace(rows[k], gfci=Answer.UNKNOWN)
            problems.append(
                f"circuit {'/'.join(rows[k].circuits)}: it may be the next pole of the breaker above it"
            )
    return Body(rows, problems, mixed is not None)


def _is_mixed(cells: Cells) -> bool:
    """Do two breakers stand in a row, or more words than one has?"""
    crowded = max(len(cells.amperes.split()), len(cells.poles.split())) > MOST_WORDS
    return crowded or marks.tell_of_two(cells.amperes, cells.poles)


def _keyed(half: Half, legend: Legend) -> Half:
    """The half, a column whose header is the key of a note that makes breakers GFCI as one of GFCI."""

    def says_so(field: Field) -> bool:
        bare = field.head.text.strip(" .:#")
        said = looked_up(bare, legend) if bare in legend and column(bare) is None else None
        return said is not None and said[1] is Answer.YES and marks.may_head_ticks(bare)

    fields = tuple(replace(field, kind="gfci") if says_so(field) else field for field in half.fields)
    return replace(half, fields=fields, ticked=half.ticked or fields != half.fields)


def _is_ticked(word: Text, field: Field | None) -> bool:
    """Is a word a tick under a header that may be for GFCI?"""
    if field is None:
        return False
    known = field.kind != "ignore" or column(field.head.text) is not None
    may = not known and marks.may_head_ticks(field.head.text) and marks.is_yes(word.text)
    return may or may_be_ticked(word, field.head)


def _spilt(half: Half, beside: Half, reading: Reading) -> list[Text]:
    """Marks and keys among the circuit numbers of a half, on the side of the half ``beside`` it: perhaps its own.

    A ruling between the two halves parts them.
    """
    side = 1 if beside.x0 > half.x0 else -1
    number_column = next(field for field in half.fields if field.kind == "circuit")
    other = beside.fields[0 if side > 0 else -1].head
    found = []
    for word in reading.words:
        if not (number_column.x0 <= word.x < number_column.x1 and half.top < word.y < half.bottom):
            continue
        number = min(half.anchors, key=lambda a: abs(a.y - word.y))
        marked = marks.may_be_mark(word.text, ticked=half.ticked) or marks.is_code(word.text)
        if marked and side * (word.x - number.x) > 0 and word is not number:
            x0, x1 = sorted((word.x, other.x))
            if not reading.upright_between(x0, x1, word.y):
                found.append(word)
    return found


@dataclass
class _Words:
    """The words of a row by column, and what may be a mark or a denial beside them, as ``Cells`` has it."""

    by_column: dict[str, list[Text]]
    stray: str = ""
    shared: str = ""
    denied: str = ""


def _sorted_in(half: Half, reading: Reading, spilt: list[Text]) -> list[_Words]:
    """The words of the half, by row."""
    rows = [_Words({field.kind: [] for field in half.fields}) for _ in half.anchors]
    for word in (*spilt, *marks_beyond(half, reading), *marks_below(half, reading)):
        rows[_nearest(word, half, reading)[0]].stray = word.text
    anchors = set(map(id, half.anchors))
    words = [
        w for w in reading.words
        if id(w) not in anchors and half.top < w.y < half.bottom and half.x0 <= w.x < half.x1
    ]  # fmt: skip
    aside = marks_aside(half, words, reading) | cut_marks(half, words, reading) | marks_of_devices(half, words)
    for word in words:
        field = next((f for f in half.fields if f.x0 <= word.x < f.x1), None)
        row, sure = _nearest(word, half, reading)
        if id(word) in aside:
            rows[row].stray = aside[id(word)]
        elif sure and field is not None and field.kind != "ignore":
            rows[row].by_column[field.kind].append(word)
            if field.kind != "description" and marks.speaks_of_gfci(word.text):
                for other in _merged(word, row, half, reading):
                    rows[other].shared = word.text
        elif marks.may_be_mark(word.text, ticked=half.ticked) or _is_ticked(word, field):
            rows[row].stray = word.text
        elif half.ticked and marks.says_no(word.text):
            rows[row].denied = word.text
    return rows


def _cells(half: Half, rows: list[_Words], crosses: frozenset[int], sure: list[bool]) -> list[Cells]:
    """What the rows say; ``crosses``: those that a line crosses out; ``sure``: is the number of each row sure,
    however it was read?"""
    kinds = frozenset(field.kind for field in half.fields)
    found = []
    for i, (anchor, row) in enumerate(zip(half.anchors, rows, strict=True)):
        said = {kind: _said(words) for kind, words in row.by_column.items()}
        marked = [w for kind in kinds - {"afci"} for w in row.by_column[kind]]
        sizes = [w for kind in kinds if is_size(kind, said[kind]) for w in row.by_column[kind]]
        harmless = {id(w) for w in (*sizes, *filter(no_mark, row.by_column.get("description", ())))}
        unsure = any(not w.sure and id(w) not in harmless for w in marked)
        numbers = marks.circuits(f"{anchor.text} {said['circuit']}") or marks.circuits(anchor.text)
        signs = " ".join(marks.signs(said["circuit"]))
        odd = said["circuit"] if numbers == marks.circuits(anchor.text) and said["circuit"] != signs else ""
        found.append(
            Cells(
                numbers, said.get("description", ""), said.get("amperes", ""), said.get("poles", ""),
                said.get("notes", ""), said.get("gfci"), said.get("afci"),
                (anchor.sure or sure[i]) and not unsure, i in crosses or any(w.struck for w in (anchor, *marked)),
                row.stray, row.shared, half.ticked, kinds, odd, f"{anchor.text} {said['circuit']}", row.denied,
                all(w.sure for w in sizes),
            )
        )  # fmt: skip
    return found


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

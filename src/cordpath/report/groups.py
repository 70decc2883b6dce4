"""Outlets counted: by room, by circuit, and by symbol with what else the code asks of them.

Terms: *group*, outlets that share a room of a sheet, or a circuit of a file, or a symbol: its name in
the mapping file, since nearly all outlets are of the kind "receptacle" and a reviewer counts duplex and GFCI
receptacles apart.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeAlias

from cordpath.report.rows import VERDICTS, Row

Cell: TypeAlias = str | float | int | None
Key: TypeAlias = tuple[str, ...]
COMPANIONS = ("afci", "tamper-resistant", "weather-resistant")  # columns of the schedules, in this order
NO_ROOM, NO_CIRCUIT = "no room settled", "no circuit shown"
ALL_SYMBOLS = ("all symbols", "")

COUNTS = ("outlets", *VERDICTS)
ROOM_COLUMNS = ("sheet", "room", *COUNTS, "missing or unresolved", "file")
ROOM_WIDTHS = (10, 26, 9, 9, 11, 10, 12, 44, 30)
CIRCUIT_COLUMNS = ("circuit", "rooms", "symbols", "protected by", *COUNTS, "missing or unresolved", "file")
CIRCUIT_WIDTHS = (18, 34, 30, 12, 9, 9, 11, 10, 12, 34, 26)
SYMBOL_COLUMNS = (
    "symbol", "kind", *COUNTS, "AFCI asked", "AFCI unknown", "tamper-resistant asked", "tamper-resistant unknown",
    "weather-resistant asked", "weather-resistant unknown",
)  # fmt: skip
SYMBOL_WIDTHS = (28, 18, 9, 9, 11, 10, 12, 12, 12, 12, 12, 12, 12)


def by_room(rows: Iterable[Row]) -> list[tuple[Cell, ...]]:
    """In the order of the sheets; rooms of a sheet in the order in which their first outlet comes."""
    groups = _grouped(rows, lambda row: (row.file, str(row.page), row.sheet, row.room or NO_ROOM))
    return [
        (sheet, room, *_counts(group), _open(group), file) for (file, _, sheet, room), group in groups.items()
    ]  # fmt: skip


def by_circuit(rows: Iterable[Row]) -> list[tuple[Cell, ...]]:
    """Circuits of each file by their names, figures in order; outlets whose circuit is not shown last."""
    groups = _grouped(rows, lambda row: (row.file, row.circuit or NO_CIRCUIT))
    ordered = sorted(groups, key=lambda key: (key[0], key[1] == NO_CIRCUIT, _natural(key[1])))
    return [
        (
            circuit, _each(row.room or NO_ROOM for row in groups[file, circuit]),
            _each(row.symbol for row in groups[file, circuit]),
            _each(row.protected_by for row in groups[file, circuit] if row.protected_by),
            *_counts(groups[file, circuit]), _open(groups[file, circuit]), file,
        )
        for file, circuit in ordered
    ]  # fmt: skip


def by_symbol(rows: Iterable[Row]) -> list[tuple[Cell, ...]]:
    """Totals by symbol, most first, and of all of them."""
    rows = tuple(rows)
    groups = _grouped(rows, lambda row: (row.symbol, row.kind))
    ordered = sorted(groups.items(), key=lambda pair: (-len(pair[1]), pair[0]))
    named: list[tuple[Key, Iterable[Row]]] = [*ordered, (ALL_SYMBOLS, rows)]
    return [(*key, *_counts(group), *_companions(group)) for key, group in named]


def _grouped(rows: Iterable[Row], key: Callable[[Row], Key]) -> dict[Key, list[Row]]:
    groups: dict[Key, list[Row]] = {}
    for row in rows:
        groups.setdefault(key(row), []).append(row)
    return groups


def _counts(rows: Iterable[Row]) -> tuple[int, ...]:
    verdicts = [row.verdict for row in rows]
    return (len(verdicts), *(verdicts.count(verdict) for verdict in VERDICTS))


def _companions(rows: Iterable[Row]) -> tuple[int, ...]:
    told = [(each.name, each.asked.value) for row in rows for each in row.finding.companions]
    return tuple(told.count((name, answer)) for name in COMPANIONS for answer in ("yes", "unknown"))


def _open(rows: Iterable[Row]) -> str:
    """Numbers of outlets that ask for something; a question mark at those that are unresolved."""
    return ", ".join(
        f"{row.number} ?" if row.verdict == "unresolved" else row.number
        for row in rows
        if row.verdict in VERDICTS[:2]
    )


def _each(texts: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(texts))


def _natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """A-2 before A-10."""
    pieces: list[str] = []
    for letter in text:
        if pieces and pieces[-1][-1].isdecimal() == letter.isdecimal():
            pieces[-1] += letter
        else:
            pieces.append(letter)
    return tuple((0, int(piece[:15]), "") if piece.isdecimal() else (1, 0, piece) for piece in pieces)

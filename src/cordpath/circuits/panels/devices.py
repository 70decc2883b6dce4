"""Columns headed DEVICE: the breaker as the overcurrent device, or what stands at the outlet.

Beside another column of amperes nobody can tell which is meant, so a mark there is a question.  The table's own
words settle it where DEVICE is the only column of amperes, every cell of it is written as a breaker is, and the
marked one has its amperes: ``20A GFCI`` among ``20A`` and ``15A``, but not among ``DUPLEX`` and ``SWITCH``.
"""

from __future__ import annotations

import re
from dataclasses import replace

from cordpath.circuits.panels.columns import Field
from cordpath.circuits.panels.marks import beside_mark, breaker, is_tick, speaks_of_gfci
from cordpath.circuits.panels.spoken import is_breakers_own
from cordpath.circuits.panels.tables import Half
from cordpath.circuits.panels.words import Text, lines

_DEVICE = re.compile(r"(?<!CURRENT )(?<!PROTECTIVE )(?<!OCP )\bDEVICES?\b")


def beside_breakers(half: Half) -> Half:
    """The half, a column of devices beside one of breakers as one that is not known: its marks are questions."""
    if not any(field.kind == "amperes" and not _of_devices(field) for field in half.fields):
        return half
    fields = (replace(field, kind="ignore") if _of_devices(field) else field for field in half.fields)
    return replace(half, fields=tuple(fields))


def marks_of_devices(half: Half, words: list[Text]) -> dict[int, str]:
    """Marks in a column of devices, by ``id``, that may be those of outlets, with the cell each is in.

    ``words``: those of the rows.
    """
    found: dict[int, str] = {}
    for field in filter(_of_devices, half.fields):
        cells: dict[int, list[Text]] = {}
        for word in words:
            if field.x0 <= word.x < field.x1:
                row = min(range(len(half.anchors)), key=lambda i: abs(half.anchors[i].y - word.y))
                cells.setdefault(row, []).append(word)
        said = {row: " ".join(word.text for line in lines(cell) for word in line) for row, cell in cells.items()}
        plain = all(is_tick(cell) or is_breakers_own(beside_mark(cell)) for cell in said.values())
        for row, cell in said.items():
            if speaks_of_gfci(cell) and not (plain and breaker(cell, "")[0] is not None):
                found |= {id(word): cell for word in cells[row] if speaks_of_gfci(word.text)}
    return found


def _of_devices(field: Field) -> bool:
    return field.kind == "amperes" and _DEVICE.search(field.head.text) is not None

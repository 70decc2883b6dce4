"""Of rows that share letters, those that read best."""

from __future__ import annotations

import math
from collections import defaultdict

from cordpath.sheet.lettering.rows import Row

GLYPH, BETTER = 1.5, 0.3  # nat a glyph: what one that is read is worth, and by which rows apart are better than one


def exclusive(rows: list[Row]) -> list[Row]:
    """Rows that share no part: of two, the one that reads better; and none whose parts read better row by row: the
    Gs of a schedule's column say OOO from the side."""
    taken: set[int] = set()
    out = []
    ranked = sorted(rows, key=_worth, reverse=True)
    by_part: dict[int, list[Row]] = defaultdict(list)
    for row in ranked:
        for part in row.parts:
            by_part[part].append(row)
    for row in ranked:
        if not row.parts & taken and _worth(row) >= _apart_worth(row, by_part):
            taken |= row.parts
            out.append(row)
    return out


def _worth(row: Row) -> float:
    return (row.value + GLYPH) * len(row.reading.chance)


def _apart_worth(row: Row, by_part: dict[int, list[Row]]) -> float:
    """What the row's parts are worth in the best other rows, less what such rows are over it by chance; nothing if
    these do not have all of them."""
    taken: set[int] = set()
    worth = -BETTER * len(row.reading.chance)
    for part in row.parts:
        if part in taken:
            continue
        other = next((each for each in by_part[part] if each is not row and not each.parts & taken), None)
        if other is None or len(other.parts) >= len(row.parts):
            return -math.inf
        taken |= other.parts
        worth += _worth(other)
    return worth

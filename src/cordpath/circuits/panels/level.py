"""Panel schedules in a row whose headers stand level, with one between them whose headers do not.

The level headers are one line of text, and so one band; the title of the table between them stands over that band
too, and would name a table whose own title was not read.
"""

from __future__ import annotations

from itertools import pairwise

from cordpath.circuits.panels.headings import column
from cordpath.circuits.panels.words import Text

LEAST = 2  # known headers of a table


def without_gaps(bands: list[list[Text]]) -> list[list[Text]]:
    """The bands, those in a gap of which all headers of another band stand cut there; else as they come."""
    return [part for k, band in enumerate(bands) for part in _cut(band, [*bands[:k], *bands[k + 1 :]])]


def _cut(band: list[Text], others: list[list[Text]]) -> list[list[Text]]:
    parts = [[band[0]]]
    for left, right in pairwise(band):
        if any(left.x1 < other[0].x0 and other[-1].x1 < right.x0 for other in others):
            parts.append([])
        parts[-1].append(right)
    return parts if all(_is_table(part) for part in parts) else [band]


def _is_table(heads: list[Text]) -> bool:
    kinds = [column(head.text) for head in heads]
    return "circuit" in kinds and len(kinds) - kinds.count(None) >= LEAST

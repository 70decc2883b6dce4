"""Outlets that all lack lines which the mapping file draws: it may be another office's.

Each is asked about by itself, and forty questions do not say that one line of the file would answer them.
"""

from __future__ import annotations

from collections import Counter

from cordpath.model import Symbol
from cordpath.symbols.matching.evidence import MISSING, SHARE

FEWEST = 5  # outlets; fewer may be crossed by other lines
MOST_OF = 0.5  # of the sheet's outlets


def misfits(symbols: tuple[Symbol, ...]) -> tuple[str, ...]:
    """One line where lines of the entry are missing at most of the sheet's outlets; nothing is settled by it."""
    outlets = [symbol for symbol in symbols if symbol.is_outlet]
    lacking = [
        symbol.entry.name for symbol in outlets
        if not symbol.found and any(why == MISSING or why.endswith(SHARE) for why in symbol.reasons)
    ]  # fmt: skip
    if len(lacking) < FEWEST or len(lacking) < MOST_OF * len(outlets):
        return ()
    nearest = Counter(lacking).most_common(1)[0][0]
    return (
        f"{len(lacking)} of {len(outlets)} outlets lack lines that the mapping file draws, {nearest!r} being the "
        "nearest: it may be another office's; 'cordpath learn' takes the shapes from the sheet's own legend",
    )

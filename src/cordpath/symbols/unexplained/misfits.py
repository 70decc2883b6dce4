"""Outlets that all lack lines which the mapping file draws, or have one more: it may be another office's, or lack
their design.

Each is asked about by itself, and forty questions do not say that one line of the file would answer them.
"""

from __future__ import annotations

from collections import Counter

from cordpath.model import Symbol
from cordpath.symbols.matching.evidence import MISSING, SHARE
from cordpath.symbols.matching.further_marks import FURTHER

FEWEST = 5  # outlets; fewer may be crossed by other lines
MOST_OF = 0.5  # of the sheet's outlets


def misfits(symbols: tuple[Symbol, ...]) -> tuple[str, ...]:
    """One line where lines of the entry are missing at most of the sheet's outlets, and one for each entry that
    symbols have a line more than; nothing is settled by them."""
    further = Counter(symbol.entry.name for symbol in symbols if FURTHER in symbol.reasons)
    more = (
        f"{count} symbols are drawn like {name!r} with a line more, each at the same place: it may be a design "
        "that the mapping file lacks; an entry of its own would tell it apart"
        for name, count in sorted(further.items())
    )
    return (*more, *_lacking(symbols))


def _lacking(symbols: tuple[Symbol, ...]) -> tuple[str, ...]:
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

"""What ``cordpath learn`` proposed settles nothing until somebody has looked at it.

An entry with ``proposed: true`` is a guess from the drawing.  A shape without a name is counted and told, since it
may be an outlet; a fixture is a question, since a guess must neither clear an outlet nor ask protection of it.
"""

from __future__ import annotations

from dataclasses import replace

from cordpath.model import FIXTURE_KINDS, Mapping, Symbol, SymbolEntry, Unexplained
from cordpath.symbols.examples.examples import listed
from cordpath.symbols.unexplained.unexplained import times_drawn

CONFIDENCE = 0.5  # that of a fixture told by its shape


def held_back(symbols: tuple[Symbol, ...]) -> tuple[tuple[Symbol, ...], tuple[Symbol, ...]]:
    """The symbols with those of proposed fixtures unsettled, and apart from them those of shapes without a name."""
    named = tuple(_unsettled(symbol) for symbol in symbols if not _nameless(symbol.entry))
    return named, tuple(symbol for symbol in symbols if _nameless(symbol.entry))


def _nameless(entry: SymbolEntry) -> bool:
    return entry.proposed and entry.kind == "other"


def _unsettled(symbol: Symbol) -> Symbol:
    if not symbol.entry.proposed or symbol.kind not in FIXTURE_KINDS:
        return symbol
    line = f" (line {symbol.entry.line})" if symbol.entry.line else ""
    reason = f"'{symbol.entry.name}' of the mapping file{line} is a proposal that nobody has confirmed"
    confidence = min(CONFIDENCE, symbol.confidence)
    return replace(symbol, found=False, unnamed=True, confidence=confidence, reasons=(*symbol.reasons, reason))


def untitled(symbols: tuple[Symbol, ...]) -> tuple[Unexplained, ...]:
    """What is drawn of shapes without a name, most frequent first."""
    places: dict[str, list[Symbol]] = {}
    for symbol in symbols:
        places.setdefault(symbol.entry.name, []).append(symbol)
    told = []
    for name, drawn in sorted(places.items(), key=lambda each: (-len(each[1]), each[0])):
        what = f"'{name}' of the mapping file, drawn {times_drawn(len(drawn))}, which has no name and kind yet"
        marks = (drawn[0].entry.shape or ()) if drawn[0].entry.size == "plotted" else ()
        box = drawn[0].footprint.bounds
        told.append(Unexplained(what, tuple(symbol.at for symbol in drawn), box, marks=marks, proposed=True))
    return tuple(told)


def open_proposals(mapping: Mapping) -> tuple[str, ...]:
    """What is still to be done in the mapping file, told once a run."""
    nameless = [entry.name for entry in mapping.symbols if _nameless(entry)]
    fixtures = [entry.name for entry in mapping.symbols if entry.proposed and entry.kind in FIXTURE_KINDS]
    said = []
    if nameless:
        said.append(
            f"{mapping.file}: no name and kind yet for {listed(nameless)}: what is drawn of them counts as "
            "unexplained; name them, or delete their 'proposed: true' if they are of no interest"
        )
    if fixtures:
        said.append(
            f"{mapping.file}: not confirmed yet: {listed(fixtures)}: they settle nothing, and distances to them "
            "are questions; delete their 'proposed: true' once you have looked at them"
        )
    return tuple(said)

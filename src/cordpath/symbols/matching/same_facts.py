"""Entries with the same facts: which of them a symbol is may stay open, since no verdict depends on it.

A duplex and a quadruplex that an office draws alike are one and the same to the code.  If nothing else is in doubt
about such an outlet it counts as found, and the other names are kept as its rivals.  The same holds for a tub, and
for anything else that is measured to its outside or not at all.  It does not hold for basins: their bowls, which
distances are measured to, may differ from one design to the other.
"""

from __future__ import annotations

from dataclasses import fields, replace

from cordpath.model import BASIN_KINDS, Mapping, Symbol, SymbolEntry
from cordpath.symbols.matching.compete import AS_WELL

HOW_DRAWN = frozenset({"name", "shape", "legend", "picked", "size", "scales", "wall_side", "line"})
FACTS = tuple(field.name for field in fields(SymbolEntry) if field.name not in HOW_DRAWN)


def settled_alike(symbols: tuple[Symbol, ...], mapping: Mapping) -> tuple[Symbol, ...]:
    """The symbols, with those settled that may only be one or the other of entries with the same facts."""
    entries = {entry.name: entry for entry in mapping.symbols}
    return tuple(_settled(symbol, entries) for symbol in symbols)


def _settled(symbol: Symbol, entries: dict[str, SymbolEntry]) -> Symbol:
    if symbol.found or not _told_by_outside(symbol) or symbol.view is None or not symbol.rivals:
        return symbol
    others = [entries.get(name) for name in symbol.rivals]
    same = all(entry is not None and _facts(entry) == _facts(symbol.entry) for entry in others)
    if not same or not all(reason.startswith(AS_WELL) for reason in symbol.reasons):
        return symbol
    return replace(symbol, found=True, reasons=(), confidence=min(1.0, 2 * symbol.confidence))


def _told_by_outside(symbol: Symbol) -> bool:
    """Is it the same to all that is judged whichever of two designs an outlet or fixture has?"""
    measured_in = symbol.kind in BASIN_KINDS or symbol.entry.edge == "inner"
    return symbol.is_outlet or (symbol.is_fixture and not measured_in)


def _facts(entry: SymbolEntry) -> tuple[object, ...]:
    return tuple(getattr(entry, name) for name in FACTS)

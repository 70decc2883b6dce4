"""Twins that tell the same: which of them an outlet is may stay open, since nothing is judged or counted by it.

A duplex and a quadruplex that an office draws alike are one and the same to the code.  An outlet about which
nothing else is in doubt is found; the names that it may have are kept as its rivals.
"""

from __future__ import annotations

from dataclasses import fields, replace

from cordpath.model import Mapping, Symbol, SymbolEntry
from cordpath.symbols.matching.compete import AS_WELL

HOW_DRAWN = frozenset({"name", "shape", "legend", "picked", "size", "scales", "wall_side", "line"})
FACTS = tuple(field.name for field in fields(SymbolEntry) if field.name not in HOW_DRAWN)


def settled_alike(symbols: tuple[Symbol, ...], mapping: Mapping) -> tuple[Symbol, ...]:
    """The symbols, with the outlets settled that may only be one or the other of entries with the same facts."""
    entries = {entry.name: entry for entry in mapping.symbols}
    return tuple(_settled(symbol, entries) for symbol in symbols)


def _settled(symbol: Symbol, entries: dict[str, SymbolEntry]) -> Symbol:
    if symbol.found or not symbol.is_outlet or symbol.view is None or not symbol.rivals:
        return symbol
    others = [entries.get(name) for name in symbol.rivals]
    same = all(entry is not None and _facts(entry) == _facts(symbol.entry) for entry in others)
    if not same or not all(reason.startswith(AS_WELL) for reason in symbol.reasons):
        return symbol
    return replace(symbol, found=True, reasons=(), confidence=min(1.0, 2 * symbol.confidence))


def _facts(entry: SymbolEntry) -> tuple[object, ...]:
    return tuple(getattr(entry, name) for name in FACTS)

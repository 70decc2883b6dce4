"""Symbols that look like an example of which it is not sure that it was taken whole, and without its neighbour's
marks: with GFI from the next row of its legend, every plain outlet would be one that protects itself.

What a row really shows whose symbol hangs together with the next row's is not known: it may be drawn where another
entry was found, if it was found nowhere itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from cordpath.geometry import from_the_top
from cordpath.model import (
    OUTLET_KINDS,
    CircleMark,
    FloatArray,
    Learnt,
    LineMark,
    Mapping,
    Symbol,
    SymbolEntry,
    Unexplained,
)
from cordpath.symbols.matching.in_common import same_facts

TOUCHING = "its symbol touches that of the next row, and may have been cut there"
BETWEEN = "stands between its symbol and the next row's, and may be a mark of either"
SAME = 0.03  # of a radius or a length: roundings of both
BODY = 3  # lines of the same lengths are a body, as a circle of the same radius is
LEAST = 0.03  # inch: shorter lines are chords


def doubt_of(said: tuple[str, ...]) -> str:
    """Of what is uncertain about an example, that which tells its outlets from others."""
    return "; ".join(each for each in said if each.endswith((BETWEEN, TOUCHING)))


def doubted_by_example(
    symbols: tuple[Symbol, ...], learnt: tuple[Learnt, ...], mapping: Mapping
) -> tuple[Symbol, ...]:
    """The symbols; those of entries whose example is in doubt are not found for certain, and neither are outlets
    with the body of an outlet whose example was cut and that is found nowhere."""
    doubts = {
        each.name: f"its example in the legend of {each.file} page {each.page} is not sure: {each.doubt}"
        for each in learnt if each.doubt
    }  # fmt: skip
    named = {name for symbol in symbols for name in (symbol.entry.name, *symbol.rivals)}
    entries = {entry.name: entry for entry in mapping.symbols if entry.kind in OUTLET_KINDS}
    cut = [each for each in learnt if TOUCHING in each.doubt and each.name in entries]
    lost = [(entries[each.name], each) for each in cut if each.name not in named]
    shapes = {each.name: each for each in learnt}
    return tuple(_doubted(symbol, doubts, lost, shapes) for symbol in symbols)


def _doubted(
    symbol: Symbol, doubts: dict[str, str], lost: list[tuple[SymbolEntry, Learnt]], shapes: dict[str, Learnt]
) -> Symbol:
    name = symbol.entry.name
    if name in doubts and (symbol.is_outlet or TOUCHING in doubts[name]):
        symbol = symbol.doubted(doubts[name])
    own = shapes.get(name)
    for entry, other in lost:
        if own is not None and not same_facts(symbol.entry, entry) and _one_body(own, other):
            why = f"it may be {entry.name!r}, found nowhere as its legend draws it: {TOUCHING}"
            symbol = replace(symbol.doubted(why), rivals=(*symbol.rivals, entry.name))
    return symbol


def _one_body(one: Learnt, other: Learnt) -> bool:
    """Have both a circle of one radius, or lines of the same lengths?"""
    return any(
        sum(bool((np.abs(theirs - size) <= SAME * size).any()) for size in mine) >= least
        for (mine, least), (theirs, _) in zip(_sizes(one), _sizes(other), strict=True)
    )


def _sizes(one: Learnt) -> Iterator[tuple[FloatArray, int]]:
    """Radii and lengths, inches, and how many of them make a body."""
    yield np.array([mark.radius for mark in one.marks if isinstance(mark, CircleMark)]), 1
    ends = np.array([(*mark.start, *mark.end) for mark in one.marks if isinstance(mark, LineMark)]).reshape(-1, 4)
    long = np.hypot(*(ends[:, 2:] - ends[:, :2]).T)
    yield long[long >= LEAST], BODY


def told_by_example(symbols: tuple[Symbol, ...]) -> tuple[Unexplained, ...]:
    """What stands where something else than an outlet is drawn as in a row that was perhaps cut: it may be one."""
    places: dict[tuple[str, str], list[Symbol]] = {}
    for symbol in symbols:
        for why in symbol.reasons:
            if TOUCHING in why and not symbol.is_outlet:
                places.setdefault((symbol.entry.name, why), []).append(symbol)
    return tuple(
        Unexplained(f"drawn like '{name}', but {why}", from_the_top([symbol.at for symbol in each]))
        for (name, why), each in sorted(places.items())
    )

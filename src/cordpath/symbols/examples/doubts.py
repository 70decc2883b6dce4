"""Outlets that look like an example of which it is not sure that it was taken whole, and without its neighbour's
marks: with GFI from the next row of its legend, every plain outlet would be one that protects itself."""

from __future__ import annotations

from cordpath.model import Learnt, Symbol

BETWEEN = "stands between its symbol and the next row's, and may be a mark of either"


def doubt_of(said: tuple[str, ...]) -> str:
    """Of what is uncertain about an example, that which tells its outlets from others."""
    return "; ".join(each for each in said if each.endswith(BETWEEN))


def doubted_by_example(symbols: tuple[Symbol, ...], learnt: tuple[Learnt, ...]) -> tuple[Symbol, ...]:
    """The symbols; outlets of entries whose example is in doubt are not found for certain."""
    doubts = {
        each.name: f"its example in the legend of {each.file} page {each.page} is not sure: {each.doubt}"
        for each in learnt if each.doubt
    }  # fmt: skip
    return tuple(
        symbol.doubted(doubts[symbol.entry.name]) if symbol.is_outlet and symbol.entry.name in doubts else symbol
        for symbol in symbols
    )

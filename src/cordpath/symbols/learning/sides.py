"""On which side do the symbols of an entry touch walls?

Terms: *side*, a direction of the mapping file's frame; *contact*, a wall-like line at the body's edge or a
little beyond it on that side; *equal sides*, those that the symbol's own symmetry turns into one another.

A symbol drawn along walls nearly always turns the same side to them.  One that touches walls on any side, or on
none, has no wall side.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace

import numpy as np

from cordpath.model import OUTLET_KINDS, Mapping, Mark, Sheet, Spotting, Symbol, SymbolEntry
from cordpath.symbols.context import Walls, facing
from cordpath.symbols.ink.normalise import normalise
from cordpath.symbols.templates.orbits import orbit
from cordpath.symbols.templates.template import Template
from cordpath.symbols.templates.templates import sized

Side = tuple[float, float]
SIDES: tuple[Side, ...] = ((0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0))
LEAST_TIMES = 4  # symbols of an entry that must have been found
TOUCHING = 0.7  # share of them with a wall on that side
OTHERS = 0.5  # of that share, which every other side stays under
TURNED = math.cos(math.radians(10))  # sides within this of each other are one


@dataclass(frozen=True)
class Contacts:
    """How many symbols of an entry were found, and how many of them touch a wall on each of SIDES."""

    name: str
    times: int
    touching: tuple[int, ...]
    equal: tuple[tuple[int, ...], ...]  # for each side the numbers of its equal sides, itself among them


def contacts(sheet: Sheet, spotting: Spotting, mapping: Mapping) -> tuple[Contacts, ...]:
    """The contacts of every outlet entry drawn as a shape that was found on the sheet."""
    found: dict[str, list[Symbol]] = {}
    for symbol in spotting.symbols:
        if symbol.found and symbol.kind in OUTLET_KINDS and symbol.entry.shape:
            found.setdefault(symbol.entry.name, []).append(symbol)
    if not found:
        return ()
    strokes = sheet.strokes
    ink = normalise(strokes.xy, strokes.curve, strokes.ink(), np.zeros((0, 4)))
    walls = Walls(sheet, ink.runs, mapping.drawing.wall_layers)
    return tuple(_of_entry(symbols[0].entry, symbols, walls) for _, symbols in sorted(found.items()))


def shown_side(marks: tuple[Mark, ...]) -> Side | None:
    """The side to which a legend's sign leads, as that of an entry which is its row; None where to none."""
    made = sized(SymbolEntry("sign", "receptacle", legend="sign"), marks, None, (1.0, 1.0))
    side = facing(made[0]).entry.wall_side if made else None
    if side is None:
        return None
    return next((each for each in SIDES if each[0] * side[0] + each[1] * side[1] > TURNED), side)


def _of_entry(entry: SymbolEntry, symbols: list[Symbol], walls: Walls) -> Contacts:
    templates = [sized(replace(entry, wall_side=side), entry.shape or (), None, (1.0, 1.0))[0] for side in SIDES]
    touching = tuple(sum(_touches(template, symbol, walls) for symbol in symbols) for template in templates)
    return Contacts(entry.name, len(symbols), touching, tuple(_equal(templates[0], side) for side in SIDES))


def _touches(template: Template, symbol: Symbol, walls: Walls) -> bool:
    pose = np.array([*symbol.at, -math.radians(symbol.angle), float(symbol.mirrored), symbol.drawn_size])
    return any(walls.gap(template, turned) is not None for turned in orbit(template, pose))


def _equal(template: Template, side: Side) -> tuple[int, ...]:
    out = set()
    for turn, mirror in template.symmetry:
        x, y = side[0] * (1 - 2 * mirror), side[1]
        c, s = math.cos(turn), math.sin(turn)
        turned = (c * x - s * y, s * x + c * y)
        out |= {k for k, other in enumerate(SIDES) if turned[0] * other[0] + turned[1] * other[1] > TURNED}
    return tuple(sorted(out | {SIDES.index(side)}))


def wall_sides(found: tuple[Contacts, ...]) -> dict[str, Side]:
    """The wall side of each entry whose symbols, on all pages together, turn one side to the walls."""
    times: Counter[str] = Counter()
    touching: dict[str, list[int]] = {}
    equal = {each.name: each.equal for each in found}
    for each in found:
        times[each.name] += each.times
        sums = touching.setdefault(each.name, [0] * len(SIDES))
        touching[each.name] = [a + b for a, b in zip(sums, each.touching, strict=True)]
    told = {}
    for name, counts in touching.items():
        best = max(range(len(SIDES)), key=lambda k: (counts[k], -k))
        others = [n for k, n in enumerate(counts) if k not in equal[name][best]]
        sure = counts[best] >= TOUCHING * times[name] and all(n <= OTHERS * counts[best] for n in others)
        if times[name] >= LEAST_TIMES and sure:
            told[name] = SIDES[best]
    return told

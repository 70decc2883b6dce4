"""Walls of several kinds on one sheet: outer ones or new ones with a heavier pen than the rest, or some filled.

Terms: *pen*, all strokes of one weight.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from cordpath.rooms.ink import Evidence
from cordpath.rooms.walls.bodies import Raw
from cordpath.rooms.walls.routes import DARK, DOUBLE_FT, by_fill, classes, double_class, long_feet

PENS = 4  # heavier ones than these, or lighter, draw no walls: a sheet has some five to eight
LITTLE = 0.3  # of the least length of all walls: a part of them
EVERYTHING = 1.0  # share of the ink from which a pen that draws more than walls is told as such


def by_several(ev: Evidence) -> Iterator[Raw]:
    """Two lines a wall with the heaviest pens that draw little but walls taken together, two and more of them; each
    with the filled walls of the sheet, where it has any, and then one pen is enough."""
    filled = by_fill(ev, LITTLE)
    ink = ev.ink
    _, label = classes(ink, by_luminance=False)
    dark = (ink.luminance < DARK) & ~ink.dashed
    taken = np.zeros(len(ink), bool)
    if filled is not None:
        dark &= ~filled.used
    pens = 0
    for number in range(int(label.max(initial=-1)) + 1):
        mine = (label == number) & dark
        if long_feet(ink, mine, ev.inch) < LITTLE * DOUBLE_FT:
            continue
        alone = double_class(ev, mine, 0.0, LITTLE, EVERYTHING)
        if alone is None or alone.mixed:
            continue
        taken |= mine
        pens += 1
        if pens > PENS:
            return
        raw = double_class(ev, taken, 0.0, LITTLE, 0.0) if pens > 1 else alone if filled is not None else None
        if raw is not None:
            yield replace(raw if filled is None else _together(filled, raw), route="several", mixed=False)


def _together(one: Raw, other: Raw) -> Raw:
    """Both kinds of walls as one."""
    return Raw(
        one.route,
        np.concatenate([one.solid, other.solid]),
        np.concatenate([one.order, other.order]),
        np.concatenate([one.bands, other.bands]),
        np.concatenate([one.thin, other.thin]),
        one.used | other.used,
        heal_in=max(one.heal_in, other.heal_in),
    )

"""Outlets that are drawn larger or smaller than the mapping file has them, here and there on a sheet.

A view of another scale tells at what size to look (print_size.py).  Within one view, shapes that stand by
themselves do: how their ink lies about its middle (groups.py) is that of an outlet but for the size.  The outlets
are looked for at that size, among other ink as well, and what is drawn so twice or more is told.
"""

from __future__ import annotations

import math
from collections import defaultdict

import numpy as np
import shapely

from cordpath.geometry import in_box
from cordpath.model import OUTLET_KINDS, POINTS_PER_INCH, FloatArray, Mapping, Mark, Point, Symbol, Unexplained
from cordpath.symbols.candidates import Sought
from cordpath.symbols.examples.likeness import profile_of
from cordpath.symbols.matching.compete import compete
from cordpath.symbols.matching.evidence import Candidate
from cordpath.symbols.matching.print_size import drawn_at, drawn_size, outlets_at
from cordpath.symbols.templates.template import make
from cordpath.symbols.templates.templates import FREE
from cordpath.symbols.unexplained.groups import Profiled
from cordpath.symbols.unexplained.unexplained import ALIKE, Left, times_drawn

Shapes = tuple[tuple[str, tuple[Mark, ...]], ...]  # names with their marks, inches on paper

ONE_SIZE = 0.04  # relative: rounding to 1/600 in of shapes of a few pt; of sizes that are one
LEAST = 2  # places: one shape that fits is as likely something else's
MOST_SIZES = 3  # looked at, each by a search of the sheet: a plan's blocks of one symbol come in two or three


def told_resized(
    left: Left | None, outlets: Shapes, sought: Sought, drawn: tuple[Symbol, ...], known: list[Point]
) -> tuple[Unexplained, ...]:
    """Where ``outlets`` are drawn in full at other sizes that shapes of ``left`` tell; nothing of what is ``drawn``
    or ``known``."""
    sizes = other_sizes(left.groups, outlets, sought.mapping) if left is not None else ()
    if not sizes:
        return ()
    taken = shapely.union_all([symbol.footprint for symbol in drawn])
    told: list[Unexplained] = []
    for size in sizes:
        names: dict[str, list[Candidate]] = defaultdict(list)
        seen = [*known, *(at for each in told for at in each.at)]
        for c in _on_plan_at(size, sought):
            new = all(math.dist(_place(c), at) > c.radius for at in seen)
            if new and not taken.intersects(shapely.Point(_place(c))):
                names[c.template.name].append(c)
        told += [_told(name, each) for name, each in sorted(names.items())]
    return tuple(told)


def _on_plan_at(size: float, sought: Sought) -> list[Candidate]:
    """The outlets that the plans show at one size; none where too few are."""
    search, sheet = sought.search, sought.sheet
    found = compete(drawn_at(search, outlets_at(size, sought.mapping, sought.examples)), search.letters)
    on_plan = [c for c in found if not any(in_box(_place(c), region.box) for region in sheet.regions)]
    return on_plan if len(on_plan) >= LEAST else []


def _told(name: str, drawn: list[Candidate]) -> Unexplained:
    size = float(np.median([drawn_size(c) for c in drawn]))
    what = f"a shape {times_drawn(len(drawn))} drawn as '{name}' at {size:.2f} of its size"
    return Unexplained(what, tuple(sorted(map(_place, drawn), key=lambda at: (at[1], at[0]))))


def _place(c: Candidate) -> Point:
    return float(c.centre[0]), float(c.centre[1])


def other_sizes(groups: Profiled, outlets: Shapes, mapping: Mapping) -> tuple[float, ...]:
    """The sizes, relative to the mapping file's, at which groups lie like one of the outlets, the most frequent
    first; those after it of several groups.

    Shapes that are too plain to be told by themselves are like too much, whatever their size.
    """
    every = _sizes(groups, outlets, mapping)
    sizes: list[float] = []
    while len(every) and len(sizes) < MOST_SIZES:
        mates = np.abs(np.log(every[:, None] / every)) <= ONE_SIZE
        most = mates[int(mates.sum(axis=1).argmax())]
        if sizes and most.sum() < LEAST:
            break
        sizes.append(float(np.median(every[most])))
        every = every[~most]
    return tuple(sizes)


def _sizes(groups: Profiled, outlets: Shapes, mapping: Mapping) -> FloatArray:
    """(k,) the size of each group that lies like an outlet of another size than its entry allows."""
    sizes = [np.zeros(0)]
    entries = {e.name: e for e in mapping.symbols if e.kind in OUTLET_KINDS}
    for name, marks in outlets:
        template = make(entries[name], marks, POINTS_PER_INCH, 1.0, 1.0, None)
        ink, profile = profile_of(marks)
        if template.text_only or template.weak_body or not ink:
            continue
        size = groups.ink / (ink * POINTS_PER_INCH)
        apart = groups.profile - size[:, None] * profile * POINTS_PER_INCH
        like = np.hypot.reduce(apart, axis=1) <= ALIKE * np.maximum(size, 1.0)
        low, high = entries[name].scales
        like &= (size >= FREE[0]) & (size <= FREE[1]) & ((size < low) | (size > high))
        sizes.append(size[like])
    return np.concatenate(sizes)

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
from cordpath.model import OUTLET_KINDS, POINTS_PER_INCH, Mapping, Mark, Point, Symbol, Unexplained
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


def told_resized(
    left: Left | None, outlets: Shapes, sought: Sought, drawn: tuple[Symbol, ...], known: list[Point]
) -> tuple[Unexplained, ...]:
    """Where ``outlets`` are drawn in full at the other size that most shapes of ``left`` tell; nothing of what is
    ``drawn`` or ``known``."""
    size = other_size(left.groups, outlets, sought.mapping) if left is not None else None
    if size is None:
        return ()
    search, sheet = sought.search, sought.sheet
    found = compete(drawn_at(search, outlets_at(size, sought.mapping, sought.examples)), search.letters)
    on_plan = [c for c in found if not any(in_box(_place(c), region.box) for region in sheet.regions)]
    if len(on_plan) < LEAST:
        return ()
    taken = shapely.union_all([symbol.footprint for symbol in drawn])
    names: dict[str, list[Candidate]] = defaultdict(list)
    for c in on_plan:
        new = all(math.dist(_place(c), told) > c.radius for told in known)
        if new and not taken.intersects(shapely.Point(_place(c))):
            names[c.template.name].append(c)
    return tuple(_told(name, each) for name, each in sorted(names.items()))


def _told(name: str, drawn: list[Candidate]) -> Unexplained:
    size = float(np.median([drawn_size(c) for c in drawn]))
    what = f"a shape {times_drawn(len(drawn))} drawn as '{name}' at {size:.2f} of its size"
    return Unexplained(what, tuple(sorted(map(_place, drawn), key=lambda at: (at[1], at[0]))))


def _place(c: Candidate) -> Point:
    return float(c.centre[0]), float(c.centre[1])


def other_size(groups: Profiled, outlets: Shapes, mapping: Mapping) -> float | None:
    """The size, relative to the mapping file's, at which most groups lie like one of the outlets; None without any.

    Shapes that are too plain to be told by themselves are like too much, whatever their size.
    """
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
    every = np.concatenate(sizes)
    if not len(every):
        return None
    mates = np.abs(np.log(every[:, None] / every)) <= ONE_SIZE
    return float(np.median(every[mates[int(mates.sum(axis=1).argmax())]]))

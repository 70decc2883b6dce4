"""Walls of several ways of drawing on one sheet, taken together: filled outer walls with inner ones of two
thin lines, new walls hatched beside old ones of one thick stroke.

Terms: *rest*, the ink that the walls found so far leave.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from shapely.geometry.base import BaseGeometry

from cordpath.model import BoolArray
from cordpath.rooms.ink import Evidence, Ink, polygons_only, union
from cordpath.rooms.walls.hatched import by_hatch
from cordpath.rooms.walls.pairs import by_pairs
from cordpath.rooms.walls.routes import by_double_line, by_fill, by_single_line, by_thick_stroke
from cordpath.rooms.walls.walls import Walls, finish

LITTLE = 0.3  # of the least length of all walls: a part of them
# One line a wall is drawn with a pen this much heavier than most other ink, where there is this part of it.
HEAVIER_PT, OTHERS = 0.1, 0.3


def bodily(ev: Evidence) -> Iterator[Walls]:
    """Walls that are filled, hatched or one thick stroke, however little of them there is."""
    for way in (by_fill, by_thick_stroke, by_hatch):
        if (raw := way(ev, LITTLE)) is not None:
            yield finish(raw, ev)


def with_more(found: Walls, ev: Evidence) -> Iterator[Walls]:
    """The walls found with those of one more way among the rest of the ink, for every way that shows some there."""
    left = ~found.used
    rest = replace(ev, ink=ev.ink.take(left))
    for way in (by_fill, by_thick_stroke, by_double_line, by_hatch, by_pairs, by_single_line):
        raw = way(rest, LITTLE)
        if raw is None or (way is by_single_line and not stands_out(raw.used, rest.ink)):
            continue
        more = finish(raw, rest)
        used = found.used.copy()
        used[left] = more.used
        joined = _together(found, replace(more, used=used), raw.heal_in * ev.inch)
        if not joined.exact.equals(found.exact):
            yield joined


def stands_out(used: BoolArray, ink: Ink) -> bool:
    """Is the pen of the used strokes heavier than most others?  Else it draws furniture and grids as well."""
    if not used.any():
        return False
    pen = float(np.median(ink.width[used]))
    own = used | (np.abs(ink.width - pen) < HEAVIER_PT)
    others = ink.take(~own)
    along = np.cumsum(others.length[order := np.argsort(others.width)])
    if not len(along) or along[-1] < OTHERS * float(ink.length[own].sum()):
        return False
    middle = others.width[order][int(np.searchsorted(along, along[-1] / 2))]
    return bool(pen > middle + HEAVIER_PT)


def _together(one: Walls, other: Walls, heal: float) -> Walls:
    """Both as one; what hides walls of the one kind and is wall of the other kind is no opening."""
    healed = union([one.healed, other.healed]).buffer(heal, join_style="mitre").buffer(-heal, join_style="mitre")
    cuts = (
        *(cut for cut in one.cuts if not _covered(cut, other)),
        *(cut for cut in other.cuts if not _covered(cut, one)),
    )
    return Walls(
        "several",
        polygons_only(union([one.exact, other.exact])),
        polygons_only(healed),
        np.concatenate([one.bands, other.bands]),
        other.used,
        cuts,
    )


def _covered(cut: BaseGeometry, walls: Walls) -> bool:
    return bool(walls.exact.intersection(cut).area > 0.5 * cut.area)

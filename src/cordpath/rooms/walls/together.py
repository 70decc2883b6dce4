"""Walls of several ways of drawing on one sheet, taken together: filled outer walls with inner ones of two
thin lines, new walls hatched beside old ones of one thick stroke.

Terms: *rest*, the ink that the walls found so far leave.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import lines
from cordpath.model import BoolArray
from cordpath.rooms.ink import Evidence, Ink, polygons_only, union
from cordpath.rooms.walls.bands import groups
from cordpath.rooms.walls.bodies import Raw
from cordpath.rooms.walls.hatched import by_hatch
from cordpath.rooms.walls.pairs import by_pairs
from cordpath.rooms.walls.routes import by_double_line, by_fill, by_single_line, by_thick_stroke
from cordpath.rooms.walls.walls import Walls, finish

Way = Callable[[Evidence, float], Raw | None]

LITTLE = 0.3  # of the least length of all walls: a part of them
TINY = 0.04  # one wall of 4 ft that the others touch: 4 in, its thickness, both ways
WITHIN_IN = 0.4  # off a wall's face, for the pen and rounding
TOUCH_IN = 1.2  # between the ends of two walls that are joined
# One line a wall is drawn with a pen this much heavier than most other ink, where there is this part of it.
HEAVIER_PT, OTHERS = 0.1, 0.3
BODIES = (by_fill, by_thick_stroke, by_double_line, by_hatch)
LINED = (*BODIES, by_pairs)  # where one line is no wall: leaves, counters and thresholds are drawn so
EVERY = (*LINED, by_single_line)


def surer(ev: Evidence) -> Iterator[Walls]:
    """Walls that are filled, hatched, one thick stroke, or lines of a pen that stands out, however few they are."""
    plain = np.ones(len(ev.ink), bool)
    for way in (by_fill, by_thick_stroke, by_hatch):
        if (raw := way(ev, LITTLE)) is not None:
            plain &= ~raw.used
            yield finish(raw, ev)
    raw = by_single_line(ev, LITTLE)
    if raw is not None and stands_out(raw.used[plain], ev.ink.take(plain)):
        yield finish(raw, ev)


def with_more(found: Walls, ev: Evidence, ways: tuple[Way, ...]) -> Iterator[Walls]:
    """The walls found with those of one more way among the rest of the ink, for every way that shows some there.

    ``ways``: ``BODIES`` show the body of a wall only, and not any two lines or one.
    """
    left = ~found.used & ~_within(found, ev)
    rest = replace(ev, ink=ev.ink.take(left))
    for way in ways:
        raw = way(rest, LITTLE)
        if raw is None and way in (by_fill, by_thick_stroke, by_hatch):
            raw = _attached(way(rest, TINY), found, ev.inch)
        if raw is None:
            continue
        used = found.used.copy()
        used[left] = raw.used
        if way is by_single_line and not stands_out(raw.used, rest.ink):
            continue
        joined = _together(found, replace(finish(raw, rest), used=used), raw.heal_in * ev.inch)
        if not joined.exact.equals(found.exact):
            yield joined


def _within(found: Walls, ev: Evidence) -> BoolArray:
    """(n,) which strokes lie in the walls found: their hatch and batting."""
    body = found.healed.buffer(WITHIN_IN * ev.inch)
    shapely.prepare(body)
    return np.asarray(shapely.covers(body, lines(ev.ink.xy)), bool)


def _attached(raw: Raw | None, found: Walls, inch: float) -> Raw | None:
    """What of a few bodies hangs together with the walls found: one straight wall is no network of its own."""
    if raw is None:
        return None
    label = groups(np.concatenate([raw.solid, shapely.get_parts(found.exact)]), TOUCH_IN * inch)
    keep = np.isin(label[: len(raw.solid)], label[len(raw.solid) :])
    if not keep.any():
        return None
    bands = raw.bands[keep] if len(raw.bands) == len(keep) else raw.bands
    return replace(raw, solid=raw.solid[keep], order=raw.order[keep], bands=bands)


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
        one.exact if one.first is None else one.first,
    )


def _covered(cut: BaseGeometry, walls: Walls) -> bool:
    return bool(walls.exact.intersection(cut).area > 0.5 * cut.area)

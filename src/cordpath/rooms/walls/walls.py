"""From wall evidence to wall areas.

Terms: *exact*, the walls as drawn but for slits, for paths; *healed*, the same with gaps of the plotter closed, for
rooms only; *cut*, a place where a later white or lighter stroke or fill hides the wall: an opening.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cordpath.geometry import sides_around
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.rooms.ink import Evidence, Paint, matching_layers, polygons_only, union
from cordpath.rooms.walls.bodies import Raw
from cordpath.rooms.walls.hatched import by_hatch
from cordpath.rooms.walls.pairs import by_pairs
from cordpath.rooms.walls.routes import (
    DARK,
    ONE_PEN,
    PAIRS_FT,
    by_double_line,
    by_fill,
    by_layer,
    by_single_line,
    by_thick_stroke,
)  # fmt: skip
from cordpath.rooms.walls.several import by_several

EASINGS = (1.0, 0.3)  # the second for views of one or two rooms
WALL_NAMES = ("*wall*",)  # layer names of the usual layer standards and of most offices
NOT_WALL_NAMES = ("*patt*", "*hatch*", "*iden*", "*anno*", "*text*", "*dim*", "*note*", "*demo*", "*cab*", "*tag*")
# Luminance below which a line of a screened drawing may be a wall face: architects' bases are printed at 50 down to
# 15 % of the ink under the work of another trade (common practice, no source).
SCREENED = 0.9
# Half the widest slit between two walls that is none: beside a column in a corner of walls the faces are too short
# for a band.  No house has a way that narrow (common practice, no source).
SLIT_IN = 1.0
CUT_LIGHTER = 0.2  # a later fill that is lighter than its wall by this much hides it


@dataclass(frozen=True, eq=False)
class Walls:
    route: str
    exact: BaseGeometry  # openings not taken out yet
    healed: BaseGeometry
    bands: FloatArray  # (b, 4, 2)
    used: BoolArray  # over the ink
    cuts: tuple[BaseGeometry, ...]
    first: BaseGeometry | None = None  # of several kinds taken together, those that the others were added to


def wall_candidates(ev: Evidence, layer_patterns: tuple[str, ...]) -> Iterator[tuple[Walls, bool]]:
    """Every kind of wall evidence that the view supports, surest first, each made when it is asked for; with it
    True where it follows the user's wall layers.  Nothing where nothing looks like walls."""
    named = matching_layers(ev.layers, layer_patterns)
    if len(named) and (raw := by_layer(ev, named)) is not None:
        yield finish(raw, ev), True
        return
    for easing in EASINGS:
        count = 0
        for raw in _ways(ev, easing):
            count += 1
            yield finish(raw, ev), False
        if count:
            return


def screened_candidates(ev: Evidence) -> Iterator[Walls]:
    """The same where pale lines count as dark ones do: of a base that is printed in grey under the work shown."""
    ink = ev.ink
    pale = (ink.luminance >= DARK) & (ink.luminance < SCREENED) & ~ink.dashed
    for easing in EASINGS:
        if ink.length[pale].sum() < PAIRS_FT * easing * ev.foot:
            continue
        dark = np.where(ink.luminance < SCREENED, ink.luminance * (DARK / SCREENED), ink.luminance)
        count = 0
        for raw in _ways(replace(ev, ink=replace(ink, luminance=dark)), easing):
            count += 1
            yield finish(raw, ev)
        if count:
            return


def hatched_candidates(ev: Evidence) -> Iterator[Walls]:
    """Walls that are drawn as hatch without an outline."""
    for easing in EASINGS:
        if (raw := by_hatch(ev, easing)) is not None:
            yield finish(raw, ev)
            return


def several_candidates(ev: Evidence) -> Iterator[Walls]:
    """Walls of several kinds taken together."""
    for raw in by_several(ev):
        yield finish(raw, ev)


def _ways(ev: Evidence, easing: float) -> Iterator[Raw]:
    guess = _named_walls(ev)
    if len(guess) and (raw := by_layer(ev, guess)) is not None:
        yield raw
    found = [raw for way in (by_fill, by_thick_stroke) if (raw := way(ev, easing)) is not None]
    yield from found
    yield from _lined(ev, easing, bool(found))


def _lined(ev: Evidence, easing: float, found: bool) -> Iterator[Raw]:
    """Walls drawn as lines: two heavy lines or one line of a heavier pen; where one pen draws all, pairs."""
    double = by_double_line(ev, easing)
    one_pen = double.mixed if double is not None else _one_weight(ev)
    if one_pen and not found and (pairs := by_pairs(ev, easing)) is not None:
        yield pairs
    single = None if found else by_single_line(ev, easing)
    heavier = single is not None and (double is None or single.weight > double.weight + 0.01)
    if single is not None and heavier:
        yield single
    if double is not None:
        yield double
    elif not found and not one_pen and single is None and (pairs := by_pairs(ev, easing)) is not None:
        yield pairs


def _named_walls(ev: Evidence) -> IntArray:
    walls = matching_layers(ev.layers, WALL_NAMES)
    return walls[~np.isin(walls, matching_layers(ev.layers, NOT_WALL_NAMES))]


def _one_weight(ev: Evidence) -> bool:
    """Does one pen weight draw nearly everything?"""
    if not len(ev.ink):
        return False
    _, label = np.unique(np.round(ev.ink.width / 0.02), return_inverse=True)
    share = np.bincount(label.reshape(-1), weights=ev.ink.length)
    return bool(share.max() > ONE_PEN * share.sum())


def finish(raw: Raw, ev: Evidence) -> Walls:
    inch = ev.inch
    cuts = _cuts(raw, ev)
    exact = union(np.concatenate([raw.solid, raw.thin]))
    solid = union(raw.solid)
    healed = _clean(_healed(exact, raw.heal_in * inch), solid, inch)
    exact = _clean(_healed(exact, SLIT_IN * inch), solid, inch, fill=False)
    return Walls(raw.route, exact, healed, raw.bands, raw.used, cuts)


def _healed(shape: BaseGeometry, reach: float) -> BaseGeometry:
    """The shape with gaps closed that are no wider than twice ``reach``."""
    return shape.buffer(reach, join_style="mitre").buffer(-reach, join_style="mitre")


def _clean(shape: BaseGeometry, solid: BaseGeometry, inch: float, fill: bool = True) -> BaseGeometry:
    """Drop specks and loose lines; for rooms also fill holes under one square foot."""
    parts = np.array([p for p in shapely.get_parts(shape) if p.geom_type == "Polygon"], object)
    if not len(parts):
        return shapely.Polygon()
    box = shapely.bounds(parts)
    size = np.hypot(box[:, 2] - box[:, 0], box[:, 3] - box[:, 1])
    area = shapely.area(parts)
    shapely.prepare(solid)
    keep = (area > 4 * inch**2) & ~((size < 30 * inch) & (area < 9 * inch**2))
    keep &= shapely.intersects(solid, parts) | (size > 12 * inch)
    least = 144 * inch**2 if fill else 0.5 * inch**2
    cleaned = [
        shapely.Polygon(p.exterior, [h for h in p.interiors if shapely.Polygon(h).area > least])
        for p in parts[keep]
    ]
    return union(cleaned)


def _lighter(ev: Evidence) -> Paint:
    """White covers, and coloured fills as possible covers of darker walls."""
    a, b = ev.covers, ev.fills
    return Paint(
        np.concatenate([a.shape, b.shape]), np.concatenate([a.luminance, b.luminance]),
        np.concatenate([a.colour, b.colour]), np.concatenate([a.order, b.order]),
        np.concatenate([a.layer, b.layer]),
    )  # fmt: skip


def _cuts(raw: Raw, ev: Evidence) -> tuple[BaseGeometry, ...]:
    """Openings painted over walls, at most 20 ft long and as deep as the wall."""
    if raw.route == "pairs" or not len(raw.solid):
        return ()
    over = _lighter(ev)
    tone = _tone(raw, ev)
    pick = np.isin(over.order, raw.order) & (over.luminance < 0.9)  # the wall fills themselves
    over = over.take(~pick & (over.luminance > tone + CUT_LIGHTER))
    if not len(over):
        return ()
    i, j = shapely.STRtree(raw.solid).query(over.shape, predicate="intersects")
    later = over.order[i] > raw.order[j]
    i, j = i[later], j[later]
    if not len(i):
        return ()
    hidden = union(shapely.intersection(over.shape[i], raw.solid[j]))
    early = np.setdiff1d(np.arange(len(raw.solid)), j)
    repainted: NDArray[np.object_] = raw.solid[early]
    hidden = polygons_only(hidden.difference(union(repainted))) if len(repainted) else hidden
    parts = shapely.get_parts(hidden)  # one empty polygon where all of it is painted again
    return tuple(p for p in parts if not p.is_empty and _opening_like(p, ev.inch))


def _tone(raw: Raw, ev: Evidence) -> float:
    mine = np.isin(ev.fills.order, raw.order) if raw.route in ("fill", "layer") else np.zeros(len(ev.fills), bool)
    if mine.any():
        return float(np.median(ev.fills.luminance[mine]))
    return float(np.median(ev.ink.luminance[raw.used])) if raw.used.any() else 0.0


def _opening_like(cut: BaseGeometry, inch: float) -> bool:
    """Wall-thick and 4 in to 20 ft long: not the mask behind a word that touches a wall."""
    long, short = sides_around(cut)
    return 1.2 * inch < short < 20 * inch and 4 * inch < long < 240 * inch

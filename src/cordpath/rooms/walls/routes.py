"""Ways that walls are drawn, one function a way; each gives its evidence or None where the sheet does not use it.

Terms: *fill*, walls as filled areas; *thick*, one stroke as wide as the wall; *double*, two heavy lines;
*layer*, whatever lies on the wall layers; *pairs*, two lines of the weight of everything else; *single*, one line
a wall.  *Easing* (1 or less) lowers the lengths that a way asks for, for views of a single room.

The figures were measured on plans of several offices: wall lines of a house run to hundreds of feet and hang
together over the whole building, which symbols, tables, dimension lines and furniture do not.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray

from cordpath.geometry import lengths, lines
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.rooms.ink import Evidence, Ink
from cordpath.rooms.openings.arcs import find_swings
from cordpath.rooms.walls.bands import THICKEST_IN, groups, pair_up, paired_share, widest_extent
from cordpath.rooms.walls.bodies import (
    THIN_IN,
    Raw,
    around,
    band_polygons,
    joined,
    no_bodies,
    stroke_bodies,
    thin_bodies,
    with_curves,
)
from cordpath.rooms.walls.corners import drawn_out
from cordpath.rooms.walls.patterns import equally_spaced, hatch_like

NETWORK_FT = 8.0  # walls hang together over at least this, both ways
OPENING_FT = 5.0  # strokes as wide as a wall hang together over doors and windows of this width
FILL_FT, THICK_FT, DOUBLE_FT, PAIRS_FT, SINGLE_FT = 80.0, 60.0, 100.0, 60.0, 60.0  # least length in all
FILL_THICK_IN = (1.2, THICKEST_IN + 1.0)
STROKE_THICK_IN = (1.6, THICKEST_IN + 1.0)
DOUBLE_GAP_IN = (2.4, THICKEST_IN)
DARK = 0.46  # luminance below which a line may be a wall face
MOST_PIECES = 6000  # walls of a large house have some hundred pieces; more are text, hatch or noise
ONE_PEN = 0.95  # part of all ink from which a pen draws everything and tells nothing
# A pen that draws as much of the view as this, and less of it in pairs than that, draws counters, furniture and
# dimensions as well as walls (measured: pens of walls alone 0.05 to 0.5 and 0.66 to 0.90, pens of everything from
# 0.5 and up to 0.63).
MUCH, MIXED = 0.3, 0.7
# Leaves of the doors of rooms, how far a leaf's line may end off its hinge and its swing (of the radius), and how
# many leaves tell the pen that they are drawn with: one may be a wall that happens to end at an arc.
LEAF_IN, LEAF_END, LEAST_LEAVES = (20.0, 50.0), 0.12, 2
# Wall pieces that hang together: corners that are joined, and corners that miss each other by 1/16 in on paper,
# 3 in at 1/4" = 1'-0"; the second only for a pen that draws little but walls.
JOINED_IN, UNJOINED_IN, UNJOINED_HEAL_IN = 1.2, 6.0, 2.0
PAIRED = 0.5  # least part of the length of a class of strokes that runs in pairs (walls: 0.76 to 0.90)
MET = 0.25  # of half a pen: ends of thick strokes as near as this to another one meet it


def by_fill(ev: Evidence, easing: float) -> Raw | None:
    fills, inch = ev.fills, ev.inch
    if not len(fills):
        return None
    colours, label = np.unique(np.round(fills.colour, 2), axis=0, return_inverse=True)
    label = label.reshape(-1)
    keep = np.zeros(len(fills), bool)
    for number in range(len(colours)):
        mine = np.flatnonzero(label == number)
        merged = shapely.union_all(shapely.buffer(fills.shape[mine], 0.3 * inch, join_style="mitre"))
        parts = shapely.get_parts(merged)
        thin = thin_network(parts, ev, easing)
        if thin.any():
            inside = np.unique(shapely.STRtree(parts[thin]).query(fills.shape[mine], predicate="intersects")[0])
            keep[mine[inside]] = True
    if not keep.any():
        return None
    shapes = fills.shape[keep]
    used = np.zeros(len(ev.ink), bool)
    body = shapely.union_all(shapely.buffer(shapes, 0.4 * inch))
    shapely.prepare(body)
    used |= shapely.covers(body, lines(ev.ink.xy)) if len(ev.ink) else used  # outlines and hatch of the fills
    return Raw("fill", shapes, fills.order[keep], np.zeros((0, 4, 2)), no_bodies(), used)


def thin_network(parts: NDArray[np.object_], ev: Evidence, easing: float) -> BoolArray:
    """(n,) which areas of one paint are as thin as walls; none where they are few beside others, or do not run and
    hang together as walls do."""
    area, around = shapely.area(parts) / ev.inch**2, shapely.length(parts) / ev.inch
    thick = 2 * area / np.maximum(around, 1e-9)
    thin = np.asarray((thick > FILL_THICK_IN[0]) & (thick < FILL_THICK_IN[1]), bool)
    if not thin.any() or area[thin].sum() < 0.8 * area.sum():
        return np.zeros(len(parts), bool)
    run = (area / np.maximum(thick, 1e-9) / 12)[thin].sum()
    sides = np.sort(shapely.bounds(parts[thin])[:, 2:] - shapely.bounds(parts[thin])[:, :2], axis=1)
    wide = run > FILL_FT * easing and sides[:, 0].max() > NETWORK_FT * easing * ev.foot
    return thin if wide else np.zeros(len(parts), bool)


def classes(ink: Ink, by_luminance: bool) -> tuple[NDArray[np.float64], IntArray]:
    """Weights of the strokes, heaviest first, and the class of each stroke."""
    tone = np.round(ink.luminance, 1) if by_luminance else np.zeros(len(ink))
    keys, label = np.unique(np.stack([-np.round(ink.width / 0.02), tone], 1), axis=0, return_inverse=True)
    return keys, label.reshape(-1).astype(np.int64)


def long_feet(ink: Ink, mask: BoolArray, inch: float) -> float:
    """Length in feet of the strokes of a mask that are no dots and dashes."""
    return float(ink.length[mask & (ink.length > 6 * inch)].sum() / (12 * inch))


def by_thick_stroke(ev: Evidence, easing: float) -> Raw | None:
    ink, inch = ev.ink, ev.inch
    keys, label = classes(ink, by_luminance=True)
    taken, few = np.zeros(len(ink), bool), np.zeros(len(ink), bool)
    for number, key in enumerate(keys):
        real = -key[0] * 0.02 / inch
        mask = (label == number) & ~ink.dashed & (ink.luminance < 0.6)
        if not STROKE_THICK_IN[0] <= real <= STROKE_THICK_IN[1]:
            continue
        wide = long_feet(ink, mask, inch) >= THICK_FT * easing
        if wide:
            bodies = stroke_bodies(ink.take(mask), ink.width[mask] / 2)
            wide = widest_extent(bodies, OPENING_FT * ev.foot)[0] > NETWORK_FT * easing * ev.foot
        if (wide or real >= DOUBLE_GAP_IN[0]) and not _drawn_double(ink, mask, inch):
            (taken if wide else few)[mask] = True
    if not taken.any():
        return None
    if few.sum() <= MOST_PIECES:
        taken |= _joining(ink, few, taken, inch)
    mine = ink.take(taken)
    half = mine.width / 2
    return Raw("thick", _ended_bodies(mine, half), mine.order, around(mine, half), no_bodies(), taken)


def _joining(ink: Ink, few: BoolArray, taken: BoolArray, inch: float) -> BoolArray:
    """Which of the ``few`` strokes as wide as walls hang together with the walls ``taken``: a house with one inner
    wall, or with few that are thinner than its outer ones."""
    both = np.flatnonzero(few | taken)
    label = groups(stroke_bodies(ink.take(both), ink.width[both] / 2), JOINED_IN * inch)
    joining = np.zeros(len(ink), bool)
    joining[both[np.isin(label, label[taken[both]])]] = True
    return joining & few


def _ended_bodies(ink: Ink, half: FloatArray) -> NDArray[np.object_]:
    """(n,) bodies of thick strokes, drawn out by half a pen where they meet another one, as corners need it.

    A free end is a jamb and stays where the stroke ends: what a pen's cap adds to it would make ways around longer.
    """
    tree = shapely.STRtree(stroke_bodies(ink, half, "flat"))
    out = np.zeros((2, len(ink)))
    for side, ends in enumerate((ink.xy[:, :2], ink.xy[:, 2:])):
        end, body = tree.query(shapely.points(ends), predicate="dwithin", distance=MET * half)
        out[side, end[body != end]] = 1.0
    out[:, ink.length < half] = 1.0  # a dot of the pen
    reach = out * half
    a, b = ink.xy[:, :2] - ink.unit * reach[0, :, None], ink.xy[:, 2:] + ink.unit * reach[1, :, None]
    normal = np.stack([-ink.unit[:, 1], ink.unit[:, 0]], 1) * half[:, None]
    return np.asarray(shapely.polygons(np.stack([a - normal, b - normal, b + normal, a + normal], 1)), object)


def _drawn_double(ink: Ink, mask: BoolArray, inch: float) -> bool:
    """Do these strokes run in pairs?  Then they are the two faces of walls, with a pen that is heavy for the scale
    (a reduced print): 0.7 mm are 2.7 in of a house at 1/16" = 1'-0"."""
    xy, unit, size, _ = joined(ink, mask)
    bands = pair_up(xy, unit, size, DOUBLE_GAP_IN[0] * inch, DOUBLE_GAP_IN[1] * inch, 4 * inch)
    return float((paired_share(bands, size) * size).sum()) >= PAIRED * float(size.sum())


def double_class(ev: Evidence, mask: BoolArray, width: float, easing: float, share_of_all: float) -> Raw | None:
    """Walls of two lines among the strokes of a mask; None where most of them do not run in pairs, or apart."""
    ink, inch = ev.ink, ev.inch
    xy, unit, size, label = joined(ink, mask)
    keep = size > 3 * inch
    if hatch_like(xy[keep], unit[keep], inch):
        return None
    keep[keep] = ~equally_spaced(
        xy[keep], unit[keep], pair_up(xy[keep], unit[keep], size[keep], 0.4 * inch, 13 * inch, 6 * inch), inch
    )
    if keep.sum() < 4:
        return None
    xy[keep] = drawn_out(xy[keep], inch)
    size = lengths(xy)
    bands = pair_up(xy[keep], unit[keep], size[keep], DOUBLE_GAP_IN[0] * inch, DOUBLE_GAP_IN[1] * inch, 4 * inch)
    share = paired_share(bands, size[keep])
    paired = float((share * size[keep]).sum() / size[keep].sum())
    if paired < PAIRED:
        return None
    shapes = band_polygons(bands)
    least = NETWORK_FT * easing * ev.foot
    loose = widest_extent(shapes, JOINED_IN * inch)[0] < least
    if loose and (paired < MIXED or widest_extent(shapes, UNJOINED_IN * inch)[0] < least):
        return None
    order = np.zeros(len(xy), np.int64)
    np.maximum.at(order, label, ink.order[mask])
    order = order[keep]
    used = np.zeros(len(ink), bool)
    used[np.flatnonzero(mask)[keep[label]]] = True
    thin = thin_bodies(xy[keep], THIN_IN * inch)
    late = np.minimum(order[bands.first], order[bands.second])
    raw = Raw(
        "double",
        shapes,
        late,
        bands.corners,
        thin,
        used,
        heal_in=UNJOINED_HEAL_IN if loose else 1.0,
        weight=width,
        mixed=paired < MIXED and share_of_all > MUCH,
    )
    return with_curves(raw, ink, mask, DOUBLE_GAP_IN, inch)


def by_double_line(ev: Evidence, easing: float) -> Raw | None:
    """The heaviest class of strokes that passes; a class that draws nearly everything is left to pairs."""
    ink, inch = ev.ink, ev.inch
    keys, label = classes(ink, by_luminance=False)
    share = np.bincount(label, weights=ink.length) / max(float(ink.length.sum()), 1e-9) if len(ink) else np.zeros(0)
    for number, key in enumerate(keys):
        mask = (label == number) & (ink.luminance < DARK) & ~ink.dashed
        if long_feet(ink, mask, inch) < DOUBLE_FT * easing or share[number] > ONE_PEN:
            continue
        raw = double_class(ev, mask, -key[0] * 0.02, easing, float(share[number]))
        if raw is not None:
            everything = share[number] > MUCH and _draws_leaves(ink, mask, inch)
            return replace(raw, mixed=raw.mixed or everything)
    return None


def _draws_leaves(ink: Ink, mask: BoolArray, inch: float) -> bool:
    """Are the leaves of doors drawn with the strokes of a mask, and not with a lighter pen?  It draws counters and
    frames as well then, which would pass for walls of one line."""
    swings = [s for s in find_swings(ink, inch) if LEAF_IN[0] * inch <= s.radius <= LEAF_IN[1] * inch]
    ends = ink.xy.reshape(-1, 2, 2)
    leaves = own = 0
    for swing in swings:
        off = np.hypot(*(ends[:, None] - np.stack([swing.hinge, *swing.ends])[None, :, None]).transpose(3, 0, 1, 2))
        near = off <= LEAF_END * swing.radius  # (n, hinge and two ends, stroke's ends)
        leaf = ((near[:, 0] & near[:, 1, ::-1]) | (near[:, 0] & near[:, 2, ::-1])).any(1)
        leaves += bool(leaf.any())
        own += bool((leaf & mask).any())
    return own >= LEAST_LEAVES and own > leaves / 2


def by_single_line(ev: Evidence, easing: float) -> Raw | None:
    """One line a wall: the heaviest weight whose strokes hang together over the building."""
    ink, inch = ev.ink, ev.inch
    keys, label = classes(ink, by_luminance=False)
    for number, key in enumerate(keys):
        mask = (label == number) & (ink.luminance < DARK) & ~ink.dashed
        if long_feet(ink, mask, inch) < SINGLE_FT * easing:
            continue
        width = -key[0] * 0.02
        mine = ink.take(mask & (ink.length > 3 * inch))
        bodies = stroke_bodies(mine, max(width / 2, THIN_IN * inch))
        if len(mine) > MOST_PIECES or hatch_like(mine.xy, mine.unit, inch):
            continue
        if widest_extent(bodies, 1.2 * inch)[0] < NETWORK_FT * easing * ev.foot:
            continue
        half = np.full(len(mine), max(width / 2, 1.5 * inch))
        used = mask & (ink.length > 3 * inch)
        return Raw("single", bodies, mine.order, around(mine, half), no_bodies(), used, weight=width)
    return None


def by_layer(ev: Evidence, layers: IntArray) -> Raw | None:
    """Everything on the given layers is wall: fills, strokes, and what lies between two strokes."""
    ink, inch = ev.ink, ev.inch
    mask = np.isin(ink.layer, layers)
    dark = np.isin(ev.fills.layer, layers)
    if not mask.any() and not dark.any():
        return None
    mine = ink.take(mask)
    xy, unit, size, label = joined(ink, mask) if mask.any() else (mine.xy, mine.unit, mine.length, mine.layer)
    xy = drawn_out(xy, inch)
    size = lengths(xy)
    bands = pair_up(xy, unit, size, 1.2 * inch, THICKEST_IN * inch, 4 * inch)
    order = np.zeros(len(xy), np.int64)
    if mask.any():
        np.maximum.at(order, label, mine.order)
    wide = mine.width >= STROKE_THICK_IN[0] * inch
    own = stroke_bodies(mine.take(wide), mine.width[wide] / 2)
    shapes = np.concatenate([band_polygons(bands), own, ev.fills.shape[dark]])
    late = np.minimum(order[bands.first], order[bands.second])
    paint = np.concatenate([late, mine.order[wide], ev.fills.order[dark]])
    lone = mine.take(~wide & (mine.length > 3 * inch) & (not len(bands.first)))  # one line a wall
    half = np.full(len(lone), 1.5 * inch)
    corners = np.concatenate([bands.corners, around(mine.take(wide), mine.width[wide] / 2), around(lone, half)])
    thin = thin_bodies(xy, THIN_IN * inch)
    raw = Raw("layer", shapes, paint, corners, thin, mask)
    return with_curves(raw, ink, mask, DOUBLE_GAP_IN, inch) if mask.any() else raw

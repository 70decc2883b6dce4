"""Walls drawn as two lines with the pen that draws everything else.

Stroke by stroke: long strokes at wall distance that run together for long, in the thicknesses that are usual on
the sheet, and what is left of such walls beside doors.
"""

from __future__ import annotations

import numpy as np
import shapely
from scipy.sparse import coo_matrix

from cordpath.geometry import components, lines
from cordpath.model import BoolArray, FloatArray, IntArray
from cordpath.rooms.ink import Evidence
from cordpath.rooms.walls.bands import Bands, extents, groups, pair_up
from cordpath.rooms.walls.bodies import THIN_IN, Raw, band_polygons, joined, thin_bodies, with_curves
from cordpath.rooms.walls.patterns import find_pattern
from cordpath.rooms.walls.routes import (
    DARK,
    MOST_PIECES,
    PAIRS_FT,
)

# The thickest are brick, air and 2x6 studs, or forms filled with concrete (common practice, no source).
PAIRS_GAP_IN = (2.8, 13.5)
REACH_IN = 14.0  # how far lines are paired
LONG_IN, SHORT_IN = 14.0, 8.0  # faces run beside each other; less, only for a piece that ends at such a wall
LONGER = 1.3  # a wall (its length by that of its far face), against what lies beside its near face
OPENING_IN = 120.0  # pieces of one wall may be this far apart: a window or a door for one car
LOOSE_FT, FREE_FT = 5.0, 8.0
SAME_GAP_IN = 0.4  # between two pieces of one thickness
LEAF_FT = 40.0  # two sides of a small house; shelves and curbs of one depth are less


def by_pairs(ev: Evidence, easing: float) -> Raw | None:
    """No weight tells walls: stroke by stroke, long strokes at wall distance that run together for long."""
    ink, inch = ev.ink, ev.inch
    mask = (ink.luminance < DARK) & ~ink.dashed & (ink.length > 1.5 * inch)
    if mask.sum() < 4:
        return None
    xy, unit, size, label = joined(ink, mask)
    keep = size > 3 * inch
    kept = np.cumsum(keep) - 1
    xy, unit, size = xy[keep], unit[keep], size[keep]
    if not 4 <= len(xy) <= 60000:
        return None
    every = pair_up(xy, unit, size, 0.4 * inch, REACH_IN * inch, 6 * inch)
    pattern = find_pattern(xy, unit, every, inch)
    near = every.take(~pattern.lines[every.first] & ~pattern.lines[every.second])
    every = near.take((near.gap >= PAIRS_GAP_IN[0] * inch) & (near.gap <= PAIRS_GAP_IN[1] * inch))
    # Lines of windows and garage doors go on in a face, in one stroke with it, and run beside each other closely.
    close = near.take(near.gap < PAIRS_GAP_IN[0] * inch)
    alike = _beside_each_other(every, close, size, inch)
    long = alike & (every.overlap >= LONG_IN * inch)
    usual = _usual_gaps(every, long, inch)
    long[long & usual] = ~_behind_a_wall(every.take(long & usual), xy, unit, pattern.edges, inch)
    bands, short = every.take(long & usual), every.take(usual & (every.overlap < LONG_IN * inch))
    alike = alike[usual & (every.overlap < LONG_IN * inch)]
    against = _against(short, bands, inch)
    nib = (against & _capped(short, xy, inch)[:, ::-1]).any(1)
    bands = _joined(bands, short.take(nib | (alike & against.any(1))))
    bands = _in_network(_with_stubs(bands, every, inch), ev)
    if bands.overlap.sum() < PAIRS_FT * easing * ev.foot or len(bands) > MOST_PIECES:
        return None
    faces = np.unique(np.concatenate([bands.first, bands.second]))
    used = np.zeros(len(ink), bool)
    inside = keep[label] & np.isin(kept[label], faces)
    used[np.flatnonzero(mask)[inside]] = True
    shapes = band_polygons(bands)
    order = np.zeros(len(shapes), np.int64)
    thin = thin_bodies(xy[faces], THIN_IN * inch)
    raw = Raw("pairs", shapes, order, bands.corners, thin, used, heal_in=3.2)
    return with_curves(raw, ink, mask & ~used, PAIRS_GAP_IN, inch)


def _beside_each_other(every: Bands, close: Bands, size: FloatArray, inch: float) -> BoolArray:
    """(n,) bands of strokes that run beside each other for long, each of them beside some stroke for most of it.

    ``close``: bands too narrow for a wall, which tell of faces too; ``size`` of the strokes, pt.
    """
    shorter = np.minimum(size[every.first], size[every.second])
    alike = (every.overlap >= SHORT_IN * inch) & (every.overlap > 0.5 * shorter)
    total = np.zeros(len(size))
    for some in (every.take(alike), close):
        np.add.at(total, some.first, some.overlap)
        np.add.at(total, some.second, some.overlap)
    mostly = total > 0.45 * size
    return np.asarray(alike & mostly[every.first] & mostly[every.second], bool)


def _usual_gaps(every: Bands, long: BoolArray, inch: float) -> BoolArray:
    """Which gaps are within 0.4 in of a thickness that carries 12 % of the length of the ``long`` ones."""
    bands = every.take(long)
    if not len(bands):
        return np.ones(len(every), bool)
    weight, edge = np.histogram(bands.gap / inch, bins=np.arange(2.5, REACH_IN + 0.1, 0.25), weights=bands.overlap)
    peaks = (edge[:-1] + edge[1:])[weight > 0.12 * weight.sum()] / 2
    if not len(peaks):
        return np.ones(len(every), bool)
    return np.asarray(np.abs(every.gap[:, None] / inch - peaks[None, :]).min(1) < 0.4, bool)


def _behind_a_wall(bands: Bands, xy: FloatArray, unit: FloatArray, edges: BoolArray, inch: float) -> BoolArray:
    """Bands on the wrong side of a face, with a clearly longer wall on its other side: a shelf, a curb, a sill;
    from the last line of a floor pattern (``edges``) to a face, with any wall on its other side.  A face has wall
    on one side and a room on the other.  But where a thickness occurs mostly so, and along much of the building, it
    is a leaf of walls in three lines: studs behind brick."""
    count = np.arange(len(bands))
    stroke, band = np.concatenate([bands.first, bands.second]), np.concatenate([count, count])
    lies = coo_matrix((np.ones(len(stroke)), (band, stroke)), shape=(len(bands), len(xy))).tocsr()
    i, j = (lies @ lies.T).nonzero()
    i, j = i[i != j], j[i != j]
    shares = bands.first[i][:, None] == np.stack([bands.first[j], bands.second[j]], 1)
    face = np.where(shares.any(1), bands.first[i], bands.second[i])
    other = [np.where(bands.first[k] == face, bands.second[k], bands.first[k]) for k in (i, j)]
    size = [bands.overlap[k] * np.hypot(*(xy[o, 2:] - xy[o, :2]).T) for k, o in zip((i, j), other, strict=True)]
    middle, along = bands.corners.mean(1), unit[face]
    away = [(middle[k] - xy[face, :2]) for k in (i, j)]
    side = [a[:, 0] * -along[:, 1] + a[:, 1] * along[:, 0] for a in away]
    span = [np.sort((bands.corners[k][:, :2] * along[:, None]).sum(-1), axis=1) for k in (i, j)]
    both = np.minimum(span[0][:, 1], span[1][:, 1]) - np.maximum(span[0][:, 0], span[1][:, 0])
    opposite = (side[0] * side[1] < 0) & (both > 0.8 * bands.overlap[i])
    beside, shelf, floor = np.zeros((3, len(bands)), bool)
    beside[i[opposite]] = True
    shelf[i[opposite & (size[1] > LONGER * size[0])]] = True
    floor[i[opposite & edges[other[0]] & ~edges[other[1]]]] = True
    return (shelf & ~_of_three_lines(bands, beside, inch)) | floor


def _of_three_lines(bands: Bands, beside: BoolArray, inch: float) -> BoolArray:
    """(b,) bands of a thickness most of which has wall on its other side, in all as long as walls are."""
    order = np.argsort(bands.gap, kind="stable")
    gap, slack = bands.gap[order], SAME_GAP_IN * inch
    low, high = np.searchsorted(gap, bands.gap - slack), np.searchsorted(gap, bands.gap + slack, side="right")
    run = np.stack([beside * bands.overlap, bands.overlap], 1)[order]
    sums = np.concatenate([np.zeros((1, 2)), np.cumsum(run, axis=0)])
    here, every = (sums[high] - sums[low]).T
    return np.asarray((here > 0.5 * every) & (here > LEAF_FT * 12 * inch), bool)


def _ends(short: Bands) -> FloatArray:
    """(2 b, 2, 2) the two short sides of every band."""
    return short.corners[:, [0, 3, 1, 2]].reshape(-1, 2, 2)


def _against(short: Bands, bands: Bands, inch: float) -> BoolArray:
    """(b, 2) which ends of short bands run against a long one: the piece of wall beside a door in a corner."""
    found = np.zeros(2 * len(short), bool)
    if len(short) and len(bands):
        tree = shapely.STRtree(band_polygons(bands))
        found[tree.query(shapely.linestrings(_ends(short)), predicate="dwithin", distance=inch)[0]] = True
    return found.reshape(-1, 2)


def _capped(short: Bands, xy: FloatArray, inch: float) -> BoolArray:
    """(b, 2) which ends are closed by a stroke across: a jamb."""
    found = np.zeros(2 * len(short), bool)
    if len(short):
        ends, caps = _ends(short), xy.reshape(-1, 2, 2)
        i, j = shapely.STRtree(lines(xy)).query(
            shapely.points(ends.mean(1)), predicate="dwithin", distance=0.5 * inch
        )
        straight = np.hypot(*np.moveaxis(ends[i] - caps[j], -1, 0)).max(1)
        turned = np.hypot(*np.moveaxis(ends[i] - caps[j][:, ::-1], -1, 0)).max(1)
        found[i[np.minimum(straight, turned) < 0.6 * inch]] = True
    return found.reshape(-1, 2)


def _joined(*parts: Bands) -> Bands:
    fields = ("first", "second", "gap", "overlap", "corners")
    return Bands(*(np.concatenate([getattr(part, f) for part in parts]) for f in fields))


def _in_line(bands: Bands, every: Bands, inch: float) -> tuple[IntArray, IntArray]:
    """Pairs (i of ``every``, j of ``bands``) on one axis and as thick, with at most an opening between them."""
    axis = [np.stack([(b.corners[:, 0] + b.corners[:, 3]) / 2, (b.corners[:, 1] + b.corners[:, 2]) / 2], 1)
            for b in (bands, every)]  # fmt: skip
    span = axis[0][:, 1] - axis[0][:, 0]
    unit = span / np.maximum(np.hypot(*span.T), 1e-9)[:, None]
    far = OPENING_IN * inch
    longer = np.concatenate([axis[0][:, 0] - unit * far, axis[0][:, 1] + unit * far], 1)
    i, j = shapely.STRtree(lines(longer)).query(
        lines(axis[1].reshape(-1, 4)), predicate="dwithin", distance=0.4 * inch
    )
    off = axis[1][i] - axis[0][j, :1]
    aside = np.abs(off[..., 0] * -unit[j, None, 1] + off[..., 1] * unit[j, None, 0]).max(1)
    fits = (aside < 0.4 * inch) & (np.abs(every.gap[i] - bands.gap[j]) < 0.4 * inch)
    return i[fits].astype(np.int64), j[fits].astype(np.int64)


def _with_stubs(bands: Bands, every: Bands, inch: float) -> Bands:
    """The bands, and short ones in line with one of them and as thick: what is left of a wall beside a door."""
    if not len(bands) or not len(every):
        return bands
    stub = np.zeros(len(every), bool)
    stub[_in_line(bands, every, inch)[0]] = True
    stub &= every.overlap > 3 * inch
    known = set(zip(bands.first.tolist(), bands.second.tolist(), strict=True))
    fresh = [k for k in np.flatnonzero(stub) if (int(every.first[k]), int(every.second[k])) not in known]
    more = every.take(np.array(fresh, np.int64))
    return _joined(bands, more)


def _in_network(bands: Bands, ev: Evidence) -> Bands:
    """Bands of groups that are walls: pieces that touch, or that are in line with an opening between them.

    Groups of less than 5 ft are loose marks; one straight piece of less than 8 ft that touches nothing and goes on
    nowhere is a piece of furniture (the back of a sofa, the head of a bed).
    """
    if not len(bands):
        return bands
    touching = groups(band_polygons(bands), 5 * ev.inch)
    group = _linked(touching, *_in_line(bands, bands, ev.inch))
    sides = extents(band_polygons(bands), group)
    alone = (sides[:, 0] < 1.2 * PAIRS_GAP_IN[1] * ev.inch) & (sides[:, 1] < FREE_FT * ev.foot)
    return bands.take(((np.hypot(sides[:, 0], sides[:, 1]) > LOOSE_FT * ev.foot) & ~alone)[group])


def _linked(group: IntArray, i: IntArray, j: IntArray) -> IntArray:
    """Groups joined where a piece of one is linked to a piece of the other."""
    count = int(group.max()) + 1
    return components(group[i], group[j], count)[1][group]

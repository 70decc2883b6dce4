"""Walls drawn as two lines with the pen that draws everything else.

Stroke by stroke: long strokes at wall distance that run together for long, in the thicknesses that are usual on
the sheet, and what is left of such walls beside doors.
"""

from __future__ import annotations

import numpy as np
import shapely
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from cordpath.geometry import lines
from cordpath.model import IntArray
from cordpath.rooms.bands import Bands, extents, groups, pair_up
from cordpath.rooms.ink import Evidence
from cordpath.rooms.routes import (
    DARK,
    MOST_PIECES,
    PAIRS_FT,
    THIN_IN,
    Raw,
    band_polygons,
    equally_spaced,
    joined,
    thin_bodies,
    with_curves,
)

PAIRS_GAP_IN = (2.8, 9.5)
OPENING_IN = 120.0  # pieces of one wall may be this far apart: a window or a door for one car
LOOSE_FT, FREE_FT = 5.0, 8.0


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
    every = pair_up(xy, unit, size, 0.4 * inch, 13 * inch, 6 * inch)
    hatch = equally_spaced(xy, unit, every, inch)
    pick = (every.gap >= PAIRS_GAP_IN[0] * inch) & (every.gap <= PAIRS_GAP_IN[1] * inch)
    every = every.take(pick & ~hatch[every.first] & ~hatch[every.second])
    bands = every
    shorter = np.minimum(size[bands.first], size[bands.second])
    pick = (bands.overlap >= 14 * inch) & (bands.overlap > 0.5 * shorter)
    total = np.zeros(len(xy))
    np.add.at(total, bands.first[pick], bands.overlap[pick])
    np.add.at(total, bands.second[pick], bands.overlap[pick])
    mostly = total > 0.45 * size
    pick &= mostly[bands.first] & mostly[bands.second]
    bands = _usual_gaps(bands.take(pick), inch)
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


def _usual_gaps(bands: Bands, inch: float) -> Bands:
    """Only gaps within 0.4 in of a thickness that carries 12 % of the length on this sheet."""
    if not len(bands):
        return bands
    weight, edge = np.histogram(bands.gap / inch, bins=np.arange(2.5, 10.1, 0.25), weights=bands.overlap)
    peaks = (edge[:-1] + edge[1:])[weight > 0.12 * weight.sum()] / 2
    if not len(peaks):
        return bands
    near = np.abs(bands.gap[:, None] / inch - peaks[None, :]).min(1) < 0.4
    return bands.take(near)


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
    return Bands(*(np.concatenate([getattr(bands, f), getattr(more, f)])
                   for f in ("first", "second", "gap", "overlap", "corners")))  # fmt: skip


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
    links = coo_matrix((np.ones(len(i), np.int8), (group[i], group[j])), shape=(count, count))
    return np.asarray(connected_components(links, directed=False)[1], np.int64)[group]

"""Outlets that are drawn in white on a dark area: white lines are paper everywhere else, and never looked at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import shapely

from cordpath import geometry
from cordpath.model import WHITE, BoolArray, FloatArray, IntArray, Mapping, Sheet, Unexplained
from cordpath.symbols.unexplained.groups import Profiled, profiled
from cordpath.symbols.unexplained.left_ink import LONGEST, on_layers, once
from cordpath.symbols.unexplained.likely import LARGEST, like_symbols
from cordpath.symbols.unexplained.unexplained import Named, nearly

DARK = 0.6  # luminance below which white lines on an area are seen well
OPAQUE = 0.99  # of 1
ALONG = 1 / 6, 1 / 2, 5 / 6  # where on a stroke it is asked for what lies under it
SEEN = 0.25  # of the ink of a shape that lies on dark areas: a wall as wide as a body shows as much of an outlet


def told_in_white(sheet: Sheet, outlets: Named, mapping: Mapping) -> Iterator[Unexplained]:
    """Shapes of white lines that lie on dark areas, as a whole or in part, and are drawn much like one of
    ``outlets``: names with their marks, inches on paper."""
    strokes, fills = sheet.strokes, sheet.fills
    unseen = (strokes.luminance >= WHITE) & ~strokes.covered & on_layers(sheet, mapping)
    white = np.flatnonzero(unseen & (geometry.lengths(strokes.xy) <= LONGEST))
    dark = np.flatnonzero((fills.luminance < DARK) & (fills.opacity >= OPAQUE))
    if not len(white) or not len(dark):
        return
    middles = geometry.midpoints(strokes.xy[white])
    white = white[geometry.near_points(middles, shapely.bounds(fills.shape[dark]), LARGEST)]
    at, share = _seen(sheet, white, dark)
    if not share.any():
        return
    groups = profiled(once(strokes.xy[white]), like_symbols)
    for each in nearly(groups.take(_in_part(groups, at, share)), outlets, set()):
        yield replace(each, what=f"{each.what}: it is drawn in white on a dark area")


def _seen(sheet: Sheet, white: IntArray, dark: IntArray) -> tuple[FloatArray, FloatArray]:
    """(n, 2) points along the white strokes, and (n,) the length of stroke (pt) for which each stands: 0 where it
    lies on no dark area that is painted before."""
    strokes, fills = sheet.strokes, sheet.fills
    xy = strokes.xy[white]
    at = np.concatenate([xy[:, :2] + part * (xy[:, 2:] - xy[:, :2]) for part in ALONG])
    path = np.tile(strokes.path[white], len(ALONG))
    area, point = shapely.STRtree(shapely.points(at)).query(fills.shape[dark], predicate="intersects")
    seen = np.zeros(len(at))
    over = point[path[point] > fills.path[dark[area]]]
    seen[over] = np.tile(geometry.lengths(xy), len(ALONG))[over] / len(ALONG)
    return at, seen


def _in_part(groups: Profiled, at: FloatArray, seen: FloatArray) -> BoolArray:
    """(g,) Does enough of a group's ink lie on dark areas?"""
    group, point = shapely.STRtree(shapely.points(at)).query(shapely.box(*groups.box.T), predicate="intersects")
    return np.asarray(np.bincount(group, seen[point], len(groups)) >= SEEN * groups.ink, bool)
